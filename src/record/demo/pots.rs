//! The pots of a row: one of size, and gesso made of it in as many pots as the panels want.
//!
//! Which panel is laid from which pot is settled before the work; the pots' own stories are told after it, when it is
//! known at what times coats were taken from them.

use super::calendar::{day_start, format_day};
use super::pot_simulation::{ForgottenTime, Habits, PotSimulation, Withdrawal};
use super::rng::Rng;
use super::studio::StudioRow;
use super::studio_air::StudioAir;
use crate::craft::materials::fillers::BulkDensities;
use crate::craft::quantities::mix::{MixInputs, compute_mix};
use crate::record::shelf::{Drawer, free_id};
use crate::units::{Id, Size, Span, Stamp, Volume};
use crate::work::panel::event::StageKind;
use crate::work::panel::story::PanelStory;
use crate::work::pot::event::{PotKind, PotOpened};
use crate::work::pot::refusal::PotRefusal;
use crate::work::pot::story::PotStory;
use std::collections::BTreeSet;

/// From the pouring of a gesso to its first coat.
pub(super) const MAKING_TIME: Span = Span::from_s(40 * 60);
/// The most panels to a pot of gesso.
const PANELS_PER_POT: usize = 2;
/// Nobody makes a pot of gesso from less size than this, ml (assumed).
const MIN_GESSO_SIZE_ML: f64 = 150.0;
/// Size weighs this, g/ml (assumed).
const SIZE_G_PER_ML: f64 = 1.02;

/// A name and what it is filed under.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct PotName {
    /// What it is filed under.
    pub(super) id: Id,
    label: String,
}

/// The names given to pots so far.
#[derive(Debug, Default)]
pub(super) struct PotNames {
    taken: BTreeSet<Id>,
    gessoes: usize,
}

impl PotNames {
    fn assign_name(&mut self, label: String) -> PotName {
        let id = free_id(&label, Drawer::Pots, &self.taken);
        self.taken.insert(id.clone());
        PotName { id, label }
    }
}

/// The pots of a row.
#[derive(Debug, Clone)]
pub(super) struct RowPots {
    /// The size.
    pub(super) size: PotName,
    /// The gessoes.
    gesso: Vec<PotName>,
    lot: String,
    /// The lot of the glue in the gesso, where it is another than that of the size.
    gesso_lot: Option<String>,
    habits: Habits,
}

/// What is poured from a pot of size into gesso.
#[derive(Debug, Default)]
pub(super) struct SizeDemand {
    poured: Vec<Withdrawal>,
    ml: f64,
}

impl RowPots {
    /// The pots of a row that begins on that morning; the `nth` of the studio.
    pub(super) fn plan(row: &StudioRow, nth: usize, morning: Stamp, seed: u64, names: &mut PotNames) -> RowPots {
        let mut chance = Rng::new(seed, &format!("pots of row {nth}"));
        let size = names.assign_name(format!("size of {}", format_day(morning)));
        let gesso = (0..row.panels.len().div_ceil(PANELS_PER_POT)).map(|_| {
            names.gessoes += 1;
            names.assign_name(format!("gesso {}", names.gessoes))
        });
        let gesso = gesso.collect();
        let habits = Habits {
            thermometer: !chance.draw_one_in(4),
            scales: !chance.draw_one_in(4),
            replaces_water: !chance.draw_one_in(3),
            hot_bath: false,
        };
        // A packet lasts for a few rows.
        let lot = format!("hide glue, lot {}", 31 + nth / 4 * 3);
        RowPots { size, gesso, lot, gesso_lot: None, habits }
    }

    /// A pot of size made on that morning.
    pub(super) fn name_size(morning: Stamp, names: &mut PotNames) -> PotName {
        names.assign_name(format!("size of {}", format_day(morning)))
    }

    /// A pot of gesso for two panels, of size that others are made of too; looked after with thermometer and scales.
    pub(super) fn of_pair(size: PotName, lot: String, is_hot: bool, names: &mut PotNames) -> RowPots {
        names.gessoes += 1;
        let gesso = vec![names.assign_name(format!("gesso {}", names.gessoes))];
        let habits = Habits { thermometer: true, scales: true, replaces_water: true, hot_bath: is_hot };
        RowPots { size, gesso, lot: "hide glue, lot 30".to_owned(), gesso_lot: Some(lot), habits }
    }

    /// Which pot of gesso the `nth` panel of the row is laid from.
    pub(super) fn gesso_of(&self, nth: usize) -> &PotName {
        &self.gesso[(nth / PANELS_PER_POT).min(self.gesso.len() - 1)]
    }

    /// The pots made at one go with that one, itself too.
    pub(super) fn made_with<'a>(&'a self, pot: &'a Id) -> Vec<&'a Id> {
        if *pot == self.size.id { vec![pot] } else { self.gesso.iter().map(|g| &g.id).collect() }
    }

    /// The stories of the pots, the size first. `forgotten`: which pot of gesso was, and when.
    pub(super) fn simulate_pots(
        &self,
        row: &StudioRow,
        panels: &[&PanelStory],
        forgotten: Option<(&Id, ForgottenTime)>,
        seed: u64,
        weather: StudioAir,
    ) -> Result<Vec<PotStory>, PotRefusal> {
        let mut demand = SizeDemand::default();
        let gessoes = self.simulate_gessoes(row, panels, forgotten, seed, weather, &mut demand)?;
        let forgot = forgotten.is_some();
        let with_care = RowPots { habits: self.habits.with_care(forgot), ..self.clone() };
        let size = with_care.simulate_size(row, panels, demand, seed, weather)?;
        Ok(size.into_iter().chain(gessoes).collect())
    }

    /// The stories of the pots of gesso; what they take of the size is added to the demand.
    pub(super) fn simulate_gessoes(
        &self,
        row: &StudioRow,
        panels: &[&PanelStory],
        forgotten: Option<(&Id, ForgottenTime)>,
        seed: u64,
        weather: StudioAir,
        demand: &mut SizeDemand,
    ) -> Result<Vec<PotStory>, PotRefusal> {
        let habits = self.habits.with_care(forgotten.is_some());
        let chance = |named: &PotName| Rng::new(seed, named.id.as_str());
        let mut gessoes = Vec::new();
        for (n, named) in self.gesso.iter().enumerate() {
            let of_it = row.panels.iter().skip(n * PANELS_PER_POT).take(PANELS_PER_POT);
            let amount = of_it
                .map(|p| PotAmount::for_panel(row, p.size))
                .fold(PotAmount::default(), PotAmount::plus)
                .with_minimum();
            demand.ml += amount.for_wood_ml;
            let taken =
                collect_withdrawals(panels, &named.id, |m2| m2 * row.recipe.gesso.ml_per_m2 * amount.g_per_ml());
            let Some(first) = taken.first() else { continue };
            let at = first.needed_at - MAKING_TIME;
            let poured_ml = round_up_to_ten(amount.size_ml);
            demand.ml += poured_ml;
            demand.poured.push(Withdrawal {
                needed_at: at - Span::from_s(90),
                taken_at: at,
                g: poured_ml * SIZE_G_PER_ML,
            });
            let opened = self.pot_opened(row, named, PotKind::Gesso, poured_ml);
            let mut kettle =
                PotSimulation::new(opened, (amount.volume_ml, amount.g), at, habits, weather, chance(named))?;
            kettle.make_gesso()?;
            let away = forgotten.filter(|(id, _)| **id == named.id).map(|(_, away)| away);
            kettle.serve_withdrawals(&taken, away)?;
            gessoes.push(kettle.finish(away.is_some())?);
        }
        Ok(gessoes)
    }

    /// The story of the pot of size; nothing where nothing was taken from it.
    pub(super) fn simulate_size(
        &self,
        row: &StudioRow,
        panels: &[&PanelStory],
        demand: SizeDemand,
        seed: u64,
        weather: StudioAir,
    ) -> Result<Option<PotStory>, PotRefusal> {
        let mut taken = collect_withdrawals(panels, &self.size.id, |m2| m2 * row.recipe.size.ml_per_m2 * SIZE_G_PER_ML);
        taken.extend(demand.poured);
        taken.sort_by_key(|t| t.taken_at);
        let Some(first) = taken.first() else { return Ok(None) };
        let mut chance = Rng::new(seed, self.size.id.as_str());
        let evening = day_start(super::calendar::day_number(first.taken_at) - 1)
            + Span::from_s(17 * 3600)
            + chance.draw_minutes(5, 50);
        let size_ml = round_up_to_ten(demand.ml * 1.1);
        let opened = self.pot_opened(row, &self.size, PotKind::Size, size_ml);
        let amounts = (size_ml, size_ml * SIZE_G_PER_ML);
        let mut kettle = PotSimulation::new(opened, amounts, evening, self.habits.cool(), weather, chance)?;
        kettle.make_size(first.needed_at)?;
        kettle.serve_withdrawals(&taken, None)?;
        Ok(Some(kettle.finish(false)?))
    }

    fn pot_opened(&self, row: &StudioRow, named: &PotName, kind: PotKind, size_ml: f64) -> PotOpened {
        let size = kind == PotKind::Size;
        PotOpened {
            filler_lot: None,
            id: named.id.clone(),
            label: named.label.clone(),
            kind,
            parent: (!size).then(|| self.size.id.clone()),
            recipe: row.recipe.clone(),
            size_ml: Some(Volume::from_ml(size_ml)),
            lot: if size { Some(self.lot.clone()) } else { self.gesso_lot.clone() },
            for_group: None,
            trial: None,
        }
    }
}

fn round_up_to_ten(ml: f64) -> f64 {
    (ml / 10.0).ceil() * 10.0
}

/// What panels want of a pot.
#[derive(Debug, Clone, Copy, Default)]
struct PotAmount {
    for_wood_ml: f64,
    size_ml: f64,
    volume_ml: f64,
    g: f64,
}

impl PotAmount {
    /// For one panel; nothing where the recipe's figures are out of range, which those that come with the program are not.
    fn for_panel(row: &StudioRow, size: Size) -> PotAmount {
        let inputs =
            MixInputs { recipe: &row.recipe, size, panels: 1, faces: None, scoop: None, bulk: &BulkDensities::TABLE };
        compute_mix(&inputs).map_or_else(
            |_| PotAmount::default(),
            |m| PotAmount {
                for_wood_ml: m.size_for_wood.volume_ml,
                size_ml: m.gesso.size_ml,
                volume_ml: m.gesso.volume_ml,
                g: m.gesso.size_ml * SIZE_G_PER_ML + m.gesso.fillers.iter().map(|f| f.mass_g).sum::<f64>(),
            },
        )
    }

    fn plus(self, other: PotAmount) -> PotAmount {
        PotAmount {
            for_wood_ml: self.for_wood_ml + other.for_wood_ml,
            size_ml: self.size_ml + other.size_ml,
            volume_ml: self.volume_ml + other.volume_ml,
            g: self.g + other.g,
        }
    }

    /// As much as a pot of gesso holds at the least.
    fn with_minimum(self) -> PotAmount {
        let more = if self.size_ml > 0.0 { (MIN_GESSO_SIZE_ML / self.size_ml).max(1.0) } else { 1.0 };
        PotAmount { size_ml: self.size_ml * more, volume_ml: self.volume_ml * more, g: self.g * more, ..self }
    }

    fn g_per_ml(self) -> f64 {
        if self.volume_ml > 0.0 { self.g / self.volume_ml } else { 1.0 }
    }
}

/// What those panels took from that pot, by time; attempts done again too. `g` of so many square metres.
fn collect_withdrawals(panels: &[&PanelStory], pot: &Id, g: impl Fn(f64) -> f64) -> Vec<Withdrawal> {
    let mut taken: Vec<Withdrawal> = Vec::new();
    for story in panels {
        let size = story.panel().opened().size;
        let m2 = size.width.mm() * size.height.mm() / 1e6;
        for step in story.panel().steps() {
            let laid = step.laid_coat().into_iter().chain(step.failed_attempts.iter().map(|(laid, _)| laid));
            for coat in laid.filter(|l| l.event.pot.as_ref() == Some(pot)) {
                let at = coat.done_at.wall;
                let begun = coat.began_at.map_or(at - Span::from_s(150), |m| m.wall);
                taken.push(Withdrawal { needed_at: begun, taken_at: at, g: g(m2) });
            }
        }
    }
    taken.sort_by_key(|t| (t.taken_at, t.needed_at));
    taken
}

/// From which of the row's pots an act of that kind is done.
pub(super) fn pot_for_stage<'a>(kind: StageKind, size: &'a Id, gesso: &'a Id) -> Option<&'a Id> {
    Some(match kind.row().pot? {
        PotKind::Size => size,
        PotKind::Gesso => gesso,
    })
}
