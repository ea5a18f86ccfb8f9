//! What was around the panels: their pots and the air, joined to each panel by time.
//!
//! A pot is told as it stood at the last coat a panel had from it. How much water it had lost rests on its weighings and on
//! when coats were taken from it, so the uses of every panel compared are gathered first. Absent on purpose: reading
//! files, which are handed in as stories.

use super::panel_row::{AirSummary, PanelRow, PotUse};
use crate::craft::materials::Filler;
use crate::craft::materials::fillers::BulkDensities;
use crate::craft::quantities::mix::{Ground, MixInputs, compute_mix};
use crate::craft::recipe::Recipe;
use crate::units::{Id, Moment, Size, Stamp};
use crate::work::air::Air;
use crate::work::pot::event::PotKind;
use crate::work::pot::story::PotStory;
use crate::work::pot::water::WaterInputs;
use crate::work::story::StoryState;
use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

/// What a pot's own record says of it at the time of a coat.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PotSummary {
    /// How often it was melted.
    pub melts: Option<u32>,
    /// The hottest it was read, C.
    pub max_c: Option<f64>,
    /// Water lost, per cent of what belongs to the glue in it.
    pub water_lost_pct: Option<f64>,
    /// Dry glue to 100 g of dry filler, g.
    pub glue_per_100g_filler_g: Option<f64>,
    /// Pigment volume concentration, per cent.
    pub pvc_pct: Option<f64>,
}

/// Pots and air as they were recorded.
#[derive(Debug, Default)]
pub struct PotsAndAir {
    pots: BTreeMap<Id, PotStory>,
    air: Arc<Air>,
    loose_g_per_ml: Vec<(Filler, f64)>,
    uses: HashMap<Id, Vec<Stamp>>,
}

/// The longest line from gesso back to its first size; a longer one goes in a circle.
const MAX_LINEAGE: usize = 32;

impl PotsAndAir {
    /// Pots, the air, and what powders weigh loosely filled, g/ml.
    pub fn new(pots: Vec<PotStory>, air: Arc<Air>, loose_g_per_ml: Vec<(Filler, f64)>) -> PotsAndAir {
        let pots: BTreeMap<Id, PotStory> = pots.into_iter().map(|s| (s.pot().opened().id.clone(), s)).collect();
        let mut around = PotsAndAir { pots, air, loose_g_per_ml, uses: HashMap::new() };
        let poured: Vec<(Id, Stamp)> = around
            .pots
            .values()
            .filter_map(|s| Some((s.pot().opened().parent.clone()?, s.pot().opened_at().wall)))
            .collect();
        for (parent, at) in poured {
            around.uses.entry(parent).or_default().push(at);
        }
        around
    }

    /// Whether how much water one of those pots lost depends on what other panels took from it: it was weighed twice.
    pub fn needs_all_uses(&self, panels: &[PanelRow]) -> bool {
        let pots = panels.iter().flat_map(|f| &f.pot_uses).map(|u| &u.pot);
        let mut weighed = pots.flat_map(|id| self.pot_lineage(id)).filter_map(|id| self.pots.get(&id));
        weighed.any(|s| s.pot().mass_records().len() > 1)
    }

    /// Takes in when coats were taken from the pots.
    pub fn add_uses(&mut self, uses: impl IntoIterator<Item = PotUse>) {
        for used in uses {
            self.uses.entry(used.pot).or_default().push(used.at);
        }
    }

    /// Once every use is taken in: in the order of time, as weighings ask for them.
    pub fn sort_uses(&mut self) {
        for uses in self.uses.values_mut() {
            uses.sort();
        }
    }

    fn pot_lineage(&self, id: &Id) -> Vec<Id> {
        let mut line = vec![id.clone()];
        while let Some(parent) =
            line.last().and_then(|id| self.pots.get(id)).and_then(|s| s.pot().opened().parent.clone())
        {
            if line.contains(&parent) || line.len() >= MAX_LINEAGE {
                break;
            }
            line.push(parent);
        }
        line
    }

    /// The pot of that id as it stood then; nothing where it is not known, or is no gesso.
    pub fn pot_summary_at(&self, id: &Id, at: Stamp) -> Option<PotSummary> {
        let story = self.pots.get(id)?;
        let then = story.as_of(at)?;
        let recipe = then.pot().recipe();
        if then.pot().opened().kind != PotKind::Gesso {
            return None;
        }
        let standing = then.pot().status(Moment::from_wall(at), &WaterInputs::default());
        let water = self.pot_water_at(id, at);
        let ground = ground_from_recipe(recipe, &self.loose_g_per_ml);
        Some(PotSummary {
            melts: Some(standing.melts),
            max_c: standing.max_temp.map(|t| t.c()),
            water_lost_pct: water.and_then(|w| w.lost_pct),
            glue_per_100g_filler_g: water
                .and_then(|w| w.glue_per_100g_filler_g)
                .or(ground.map(|g| g.glue_per_100g_filler_g)),
            pvc_pct: ground.map(|g| g.pvc_pct),
        })
    }

    fn pot_water_at(&self, id: &Id, at: Stamp) -> Option<crate::work::pot::water::PotWater> {
        let loose = |filler| self.loose_g_per_ml.iter().find(|(f, _)| *f == filler).map(|(_, g)| *g);
        let none: Vec<Stamp> = Vec::new();
        let mut line = self.pot_lineage(id);
        let (mut poured_factor, mut water) = (1.0, None);
        while let Some(here) = line.pop() {
            let Some(story) = self.pots.get(&here) else { continue };
            let until = line.last().and_then(|below| self.pots.get(below)).map_or(at, |s| s.pot().opened_at().wall);
            let uses = self.uses.get(&here).unwrap_or(&none);
            let known = WaterInputs { use_times: uses, parent_strength_factor: poured_factor, loose_g_per_ml: &loose };
            let told = story.pot().water_at(until, &known);
            // Its factor is against its own beginning, which may have been stronger than the recipe.
            poured_factor *= told.strength_factor.unwrap_or(1.0);
            water = Some(told);
        }
        water
    }

    /// The temperatures a pot was read at and the water given back to it, in the order of time.
    pub fn pot_timeline(&self, id: &Id) -> Option<PotTimeline> {
        let story = self.pots.get(id)?;
        let pot = story.pot();
        let water = pot.mass_records().iter().filter_map(|(m, s)| match s {
            crate::work::pot::fold::MassRecord::Water(g) => Some((m.wall, g.g())),
            crate::work::pot::fold::MassRecord::Weighed(_) => None,
        });
        Some(PotTimeline {
            label: pot.opened().label.clone(),
            temps_c: pot.temps().iter().map(|(m, t)| (m.wall, t.c())).collect(),
            water_g: water.collect(),
            overheat_c: pot.recipe().gesso.overheat_c,
        })
    }

    /// The readings of the air between two times.
    pub fn air_between(&self, from: Stamp, to: Stamp) -> Vec<(Stamp, f64, f64)> {
        let here = self.air.readings().iter().filter(|r| (from..=to).contains(&r.at));
        here.map(|r| (r.at, r.temp.c(), r.rh.pct())).collect()
    }

    /// Fills in what of a row pots and the air tell, and then what to look at.
    pub fn fill_row(&self, f: &mut PanelRow) {
        let mut last: BTreeMap<&Id, Stamp> = BTreeMap::new();
        for used in f.pot_uses.iter().filter(|u| u.gesso) {
            let at = last.entry(&used.pot).or_insert(used.at);
            *at = (*at).max(used.at);
        }
        let known: Vec<PotSummary> = last.into_iter().filter_map(|(id, at)| self.pot_summary_at(id, at)).collect();
        let most = |of: fn(&PotSummary) -> Option<f64>| known.iter().filter_map(of).reduce(f64::max);
        f.melts = known.iter().filter_map(|p| p.melts).max();
        f.pot_max_c = most(|p| p.max_c);
        f.water_lost_pct = most(|p| p.water_lost_pct);
        f.glue_per_100g_filler_g = most(|p| p.glue_per_100g_filler_g).or(f.glue_per_100g_filler_g);
        f.pvc_pct = known.iter().filter_map(|p| p.pvc_pct).reduce(f64::min).or(f.pvc_pct);
        if let Some(range) = f.coating_period.and_then(|(from, to)| self.air.stats_between(from, to)) {
            f.air = AirSummary {
                temp_mean_c: Some(range.temp_c.mean),
                rh_min_pct: Some(range.rh_pct.lo),
                rh_max_pct: Some(range.rh_pct.hi),
            };
        }
        f.possible_causes = super::possible_causes::possible_causes(f);
    }
}

/// What happened in a pot, for a picture.
#[derive(Debug, Clone, PartialEq)]
pub struct PotTimeline {
    /// What the maker calls it.
    pub label: String,
    /// When it was read, and how hot, C.
    pub temps_c: Vec<(Stamp, f64)>,
    /// When water was given back, and how much, g.
    pub water_g: Vec<(Stamp, f64)>,
    /// Where it counts as overheated, C.
    pub overheat_c: f64,
}

/// The ground a recipe gives; nothing where its figures are out of range.
pub fn ground_from_recipe(recipe: &Recipe, loose_g_per_ml: &[(Filler, f64)]) -> Option<Ground> {
    let mut bulk = BulkDensities::from_table();
    for (filler, g_per_ml) in loose_g_per_ml {
        // A weight no powder can have says nothing; the table's then stands.
        let _ = bulk.set_weighed(*filler, *g_per_ml);
    }
    // The ground is the same on any board.
    let mm = crate::units::Length::from_mm;
    let size = Size { width: mm(300.0), height: mm(400.0), thickness: None };
    compute_mix(&MixInputs { recipe, size, panels: 1, faces: None, scoop: None, bulk: &bulk }).ok().map(|m| m.ground)
}
