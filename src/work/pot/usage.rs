//! What was taken out of the pots and when, and the water and strength that leaves in them.
//!
//! What a pot lost between two weighings is water only if nothing was taken out meanwhile, so every use of every pot is
//! gathered before anything is asked.

use super::fold::Pot;
use super::lineage::PotLineage;
use super::phase::PotStatus;
use super::water::{PotWater, WaterInputs};
use crate::craft::materials::fillers::BulkDensities;
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
        PotUsage { lineage, use_times, bulk }
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
        let mut parent_strength_factor = 1.0;
        let mut water = None;
        let mut line = self.lineage.ancestors(id);
        while let Some(here) = line.pop() {
            // A pot that is not at hand is taken to have been as strong as its recipe.
            let Some(pot) = self.lineage.pot(&here) else { continue };
            let poured_at = line.last().and_then(|child| self.lineage.pot(child)).map(|child| child.opened_at().wall);
            let inputs = WaterInputs { use_times: self.use_times(&here), parent_strength_factor, bulk: self.bulk };
            let here = pot.water_at(poured_at.unwrap_or(at), &inputs);
            // Its factor is against its own beginning, which may have been stronger than the recipe.
            parent_strength_factor *= here.strength_factor.unwrap_or(1.0);
            water = Some(here);
        }
        water
    }

    /// Where a pot stands at that moment.
    pub fn status(&self, pot: &Pot, now: Moment) -> PotStatus {
        let id = &pot.opened().id;
        let inputs = WaterInputs { use_times: self.use_times(id), parent_strength_factor: 1.0, bulk: self.bulk };
        let mut status = pot.status(now, &inputs);
        if let Some(water) = self.water_at(id, now.wall) {
            status.water = water;
        }
        status
    }
}
