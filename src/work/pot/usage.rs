//! What was taken out of the pots and when, and the water and strength that leaves in them.
//!
//! What a pot lost between two weighings is water only if nothing was taken out meanwhile, so every use of every pot is
//! gathered before anything is asked.

use super::event::PotKind;
use super::fold::Pot;
use super::lineage::PotLineage;
use super::phase::PotStatus;
use super::refraction::{BrixCalibration, CalibrationPoint};
use super::water::{PotWater, StrengthSource, WaterInputs};
use crate::craft::materials::fillers::BulkDensities;
use crate::craft::recipe::Gesso;
use crate::units::{Id, Moment, Stamp};
use crate::work::story::StoryState;
use std::collections::HashMap;

/// The pots at hand with every use of them.
#[derive(Debug)]
pub struct PotUsage<'a> {
    lineage: PotLineage<'a>,
    /// By pot, in the order of time.
    use_times: HashMap<&'a Id, Vec<Stamp>>,
    bulk: &'a BulkDensities,
    /// What the maker's own readings make of a degree of the refractometer.
    calibration: Option<BrixCalibration>,
}

impl<'a> PotUsage<'a> {
    /// The pots, when something was taken out of them for panels, and what powders weigh. What was poured from one pot
    /// into another is a use too, and known already.
    pub fn new<'u>(
        lineage: PotLineage<'a>,
        panel_uses: impl IntoIterator<Item = (&'u Id, Stamp)>,
        bulk: &'a BulkDensities,
    ) -> PotUsage<'a> {
        let mut use_times: HashMap<&Id, Vec<Stamp>> =
            lineage.pots().map(|pot| (&pot.opened().id, Vec::new())).collect();
        // Nothing is asked of a pot that is not at hand.
        let mut add = |id: &Id, at: Stamp| {
            if let Some(times) = use_times.get_mut(id) {
                times.push(at);
            }
        };
        panel_uses.into_iter().for_each(|(id, at)| add(id, at));
        for pot in lineage.pots() {
            if let Some(parent) = &pot.opened().parent {
                add(parent, pot.opened_at().wall);
            }
        }
        use_times.values_mut().for_each(|times| times.sort());
        let mut usage = PotUsage { lineage, use_times, bulk, calibration: None };
        usage.calibration = usage.fit_calibration();
        usage
    }

    /// What a degree means, from pots of size whose glue and water were weighed and that were read.
    fn fit_calibration(&self) -> Option<BrixCalibration> {
        let known = |pot: &Pot| pot.opened().kind == PotKind::Size && pot.weighed().strength().is_some();
        let pots = self.lineage.pots().filter(|pot| known(pot) && !self.lineage.is_damaged(&pot.opened().id));
        let points = pots.flat_map(|pot| {
            pot.brix_readings().iter().filter_map(|(m, brix)| {
                let strength = pot.water_at(m.wall, &self.inputs(&pot.opened().id)).glue_g_per_l_water?;
                Some(CalibrationPoint { brix: *brix, strength })
            })
        });
        BrixCalibration::fit(&points.collect::<Vec<_>>())
    }

    /// What the maker's own readings make of a degree of the refractometer, if there are any.
    pub const fn calibration(&self) -> Option<BrixCalibration> {
        self.calibration
    }

    fn inputs(&self, id: &Id) -> WaterInputs<'_> {
        WaterInputs {
            use_times: self.use_times(id),
            calibration: self.calibration,
            bulk: self.bulk,
            ..WaterInputs::default()
        }
    }

    /// The pots.
    pub const fn lineage(&self) -> &PotLineage<'a> {
        &self.lineage
    }

    /// What powders weigh, loosely filled.
    pub const fn bulk(&self) -> &'a BulkDensities {
        self.bulk
    }

    /// When something was taken out of that pot: coats, attempts done again, and pots poured from it; by time.
    pub fn use_times(&self, id: &Id) -> &[Stamp] {
        self.use_times.get(id).map_or(&[], Vec::as_slice)
    }

    /// The water and strength of a pot as of that time, what it was poured from taken into account.
    pub fn water_at(&self, id: &Id, at: Stamp) -> Option<PotWater> {
        if self.is_line_damaged(id) {
            return Some(PotWater::UNKNOWN);
        }
        let pot = self.lineage.pot(id)?;
        Some(pot.water_at(at, &self.inputs_in_line(id)))
    }

    /// The gesso of a pot as it was made, what was weighed in the place of what was asked for.
    pub fn gesso_as_made(&self, id: &Id) -> Option<Gesso> {
        let pot = self.lineage.pot(id).filter(|_| !self.is_line_damaged(id))?;
        Some(pot.gesso_as_made(&self.inputs_in_line(id)))
    }

    /// The strength a pot was made with, or has by refractometer, g of dry glue to a litre of water; and which.
    pub fn strength_as_made(&self, id: &Id) -> Option<(f64, StrengthSource)> {
        let pot = self.lineage.pot(id).filter(|_| !self.is_line_damaged(id))?;
        let inputs = self.inputs_in_line(id);
        let read = pot.last_brix(Stamp::from_ms(i64::MAX), &inputs);
        Some(read.map_or_else(|| pot.initial_strength(&inputs), |(_, read)| (read.strength, StrengthSource::Brix)))
    }

    fn is_line_damaged(&self, id: &Id) -> bool {
        self.lineage.ancestors(id).iter().any(|id| self.lineage.is_damaged(id))
    }

    /// What is known from outside a pot's own story, the pots up its line read from the first.
    fn inputs_in_line(&self, id: &Id) -> WaterInputs<'_> {
        let line = self.lineage.ancestors(id);
        let (mut parent_strength_factor, mut parent_source) = (1.0, StrengthSource::Recipe);
        for pair in line.windows(2).rev() {
            let [child, here] = pair else { continue };
            // A pot that is not at hand is taken to have been as strong as its recipe.
            let (Some(pot), Some(poured)) = (self.lineage.pot(here), self.lineage.pot(child)) else { continue };
            let inputs = WaterInputs { parent_strength_factor, parent_source, ..self.inputs(here) };
            let water = pot.water_at(poured.opened_at().wall, &inputs);
            parent_strength_factor = water.recipe_factor.unwrap_or(parent_strength_factor);
            parent_source = water.strength_source;
        }
        WaterInputs { parent_strength_factor, parent_source, ..self.inputs(id) }
    }

    /// Where a pot stands at that moment.
    pub fn status(&self, pot: &Pot, now: Moment) -> PotStatus {
        let id = &pot.opened().id;
        let mut status = pot.status(now, &self.inputs(id));
        if let Some(water) = self.water_at(id, now.wall) {
            status.water = water;
        }
        status
    }
}
