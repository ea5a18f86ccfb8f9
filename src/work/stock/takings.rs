//! What the pots took out of the cupboard: it follows from their stories, so that masses put right, or a pot taken back,
//! puts the cupboard right as well.

use super::item::StockItem;
use crate::craft::materials::PotKind;
use crate::craft::materials::fillers::BulkDensities;
use crate::craft::quantities::compute_size_mix;
use crate::craft::recipe::FillerAmount;
use crate::units::{Id, Stamp};
use crate::work::pot::fold::Pot;
use crate::work::pot::water::WaterInputs;

/// Something a pot took.
#[derive(Debug, Clone, PartialEq)]
pub struct PotTaking {
    /// When it was made.
    pub at: Stamp,
    /// Which pot.
    pub pot: Id,
    /// Of what.
    pub item: StockItem,
    /// How much, in its unit.
    pub amount: f64,
    /// Of which lot, where the pot says so.
    pub lot: Option<String>,
}

/// What some pots took.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PotTakings {
    /// Everything that is known.
    pub takings: Vec<PotTaking>,
    /// Pots that were made, and of which nobody said how much; with the time.
    pub unknown: Vec<(Stamp, Id)>,
}

impl PotTakings {
    /// What those pots took. One that was never said to be made took nothing.
    pub fn from_pots<'a>(pots: impl IntoIterator<Item = &'a Pot>, bulk: &BulkDensities) -> PotTakings {
        let mut all = PotTakings::default();
        for pot in pots {
            let Some(made_at) = pot.made_at() else { continue };
            let opened = pot.opened();
            let amounts = amounts_of(pot, bulk);
            if amounts.is_empty() {
                all.unknown.push((made_at.wall, opened.id.clone()));
            }
            for (item, amount) in amounts {
                let lot = opened.lot.clone().filter(|_| item == StockItem::Glue);
                all.takings.push(PotTaking { at: made_at.wall, pot: opened.id.clone(), item, amount, lot });
            }
        }
        all
    }
}

/// Weighed where it was weighed, else by the recipe for so much size. What was poured from a pot of size took its glue from
/// there.
fn amounts_of(pot: &Pot, bulk: &BulkDensities) -> Vec<(StockItem, f64)> {
    let (opened, weighed) = (pot.opened(), pot.weighed());
    let size_ml = weighed.size_ml().or(opened.size_ml.map(|ml| ml.ml())).filter(|ml| *ml > 0.0);
    let mut amounts = Vec::new();
    if opened.parent.is_none() {
        let by_recipe = || compute_size_mix(size_ml?, pot.planned_strength()).ok().map(|mix| mix.glue_g);
        let glue = weighed.glue.map(|mass| mass.g()).or_else(by_recipe);
        amounts.extend(glue.map(|glue| (StockItem::Glue, glue)));
    }
    if opened.kind == PotKind::Gesso {
        let known = WaterInputs { bulk, ..WaterInputs::default() };
        for part in &pot.gesso_as_made(&known).fillers {
            let grams_per_ml = match part.amount {
                FillerAmount::Grams(g) => g / 100.0,
                FillerAmount::LooseMl(ml) => ml * bulk.bulk_g_per_ml(part.filler).value / 100.0,
            };
            let on_scales = weighed.filler(part.filler).map(|mass| mass.g());
            let amount = on_scales.or_else(|| size_ml.map(|ml| ml * grams_per_ml));
            amounts.extend(amount.map(|amount| (StockItem::Filler(part.filler), amount)));
        }
    }
    amounts
}
