//! What was around the panels: their pots and the air, joined to each panel by time.
//!
//! A pot is told as it stood at the last coat a panel had from it. How much water it had lost rests on its weighings and on
//! when coats were taken from it, so the uses of every panel are gathered first (`work::pot::usage`).

use super::story_facts::StoryFacts;
use crate::craft::quantities::mix::compute_recipe_ground;
use crate::craft::recipe::Recipe;
use crate::units::{Id, Moment, Span, Stamp};
use crate::work::air::Air;
use crate::work::pot::event::PotKind;
use crate::work::pot::fold::{MassRecord, Pot};
use crate::work::pot::usage::PotUsage;
use crate::work::pot::water::StrengthSource;
use crate::work::story::StoryState;
use std::collections::BTreeMap;

/// What the records of one or more pots of gesso say of them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PotSummary {
    /// How often it was melted; of several, the most.
    pub melts: Option<u32>,
    /// The hottest it was read, C.
    pub max_c: Option<f64>,
    /// It was read as hot as its own recipe calls overheated.
    pub overheated: bool,
    /// Water lost, per cent of what belongs to the glue in it; of several, the most.
    pub water_lost_pct: Option<f64>,
    /// Dry glue to 100 g of dry filler, g; of several, the strongest.
    pub glue_per_100g_filler_g: Option<f64>,
    /// Pigment volume concentration, per cent; of several, the lowest.
    pub pvc_pct: Option<f64>,
    /// Hours from its making to the last coat from it; of several, the most.
    pub age_h: Option<f64>,
    /// The lot of the glue in it, as typed; of several, that of the first.
    pub glue_lot: Option<String>,
    /// The lot of the filler in it, as typed; of several, that of the first.
    pub filler_lot: Option<String>,
    /// Dry glue to a litre of water in the size the board was sized with, g.
    pub size_glue_g_per_l: Option<f64>,
    /// The last refractometer reading of that size, degrees.
    pub size_brix: Option<f64>,
    /// Where the strength comes from; of several, the one that rests on least.
    pub strength_source: Option<StrengthSource>,
    /// The powders of every pot were weighed.
    pub is_filler_weighed: bool,
}

impl PotSummary {
    /// Both together.
    fn merge(self, other: PotSummary) -> PotSummary {
        let of_both = |pick: fn(f64, f64) -> f64, a: Option<f64>, b: Option<f64>| a.into_iter().chain(b).reduce(pick);
        PotSummary {
            melts: self.melts.max(other.melts),
            max_c: of_both(f64::max, self.max_c, other.max_c),
            overheated: self.overheated || other.overheated,
            water_lost_pct: of_both(f64::max, self.water_lost_pct, other.water_lost_pct),
            glue_per_100g_filler_g: of_both(f64::max, self.glue_per_100g_filler_g, other.glue_per_100g_filler_g),
            pvc_pct: of_both(f64::min, self.pvc_pct, other.pvc_pct),
            age_h: of_both(f64::max, self.age_h, other.age_h),
            glue_lot: self.glue_lot.or(other.glue_lot),
            filler_lot: self.filler_lot.or(other.filler_lot),
            size_glue_g_per_l: self.size_glue_g_per_l.or(other.size_glue_g_per_l),
            size_brix: self.size_brix.or(other.size_brix),
            strength_source: self.strength_source.max(other.strength_source),
            is_filler_weighed: other.is_filler_weighed && (self.strength_source.is_none() || self.is_filler_weighed),
        }
    }
}

/// The room's air from the first to the last coat.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct AirSummary {
    /// Mean temperature, C.
    pub temp_mean_c: Option<f64>,
    /// Lowest relative humidity, per cent.
    pub rh_min_pct: Option<f64>,
    /// Highest relative humidity, per cent.
    pub rh_max_pct: Option<f64>,
    /// Mean relative humidity while the size cured, per cent.
    pub cure_rh_mean_pct: Option<f64>,
}

/// Pots and air as they were recorded, with every use of the pots.
#[derive(Debug)]
pub struct PotsAndAir<'a> {
    /// The pots.
    pub pots: PotUsage<'a>,
    /// The air.
    pub air: &'a Air,
}

impl PotsAndAir<'_> {
    /// The pots the gesso of a panel came from, each as it stood at the last coat from it; where no pot tells, the ground
    /// is that of the recipe. Nothing is told where the journal of one of them is damaged.
    pub fn panel_pots(&self, story_facts: &StoryFacts) -> PotSummary {
        let gesso_pots = || story_facts.pot_uses.iter().filter(|u| u.gesso).map(|u| &u.pot);
        // What one of several pots was is not known, so neither is the most of them, nor the ground.
        if gesso_pots().any(|id| self.pots.lineage().is_damaged(id)) {
            return PotSummary::default();
        }
        let mut last_use: BTreeMap<&Id, Stamp> = BTreeMap::new();
        for used in story_facts.pot_uses.iter().filter(|u| u.gesso) {
            let at = last_use.entry(&used.pot).or_insert(used.at);
            *at = (*at).max(used.at);
        }
        let pots = last_use.into_iter().filter_map(|(id, at)| self.pot_summary_at(id, at));
        let pots = pots.fold(PotSummary::default(), PotSummary::merge);
        let lineage = self.pots.lineage();
        let is_line_damaged = gesso_pots().any(|id| lineage.ancestors(id).iter().any(|id| lineage.is_damaged(id)));
        let ground = story_facts.recipe_ground.filter(|_| !is_line_damaged);
        PotSummary {
            glue_per_100g_filler_g: pots.glue_per_100g_filler_g.or(ground.map(|g| g.glue_per_100g_filler_g)),
            pvc_pct: pots.pvc_pct.or(ground.map(|g| g.pvc_pct)),
            size_glue_g_per_l: self.size_strength(story_facts),
            size_brix: self.size_brix(story_facts),
            ..pots
        }
    }

    /// How strong the size was when the board was first sized.
    fn size_strength(&self, story_facts: &StoryFacts) -> Option<f64> {
        let first = story_facts.pot_uses.iter().filter(|u| !u.gesso).min_by_key(|u| u.at)?;
        self.pots.water_at(&first.pot, first.at)?.glue_g_per_l_water
    }

    /// What the refractometer said of the size by the time the board was first sized.
    fn size_brix(&self, story_facts: &StoryFacts) -> Option<f64> {
        let first = story_facts.pot_uses.iter().filter(|u| !u.gesso).min_by_key(|u| u.at)?;
        self.pots.lineage().story(&first.pot)?.as_of(first.at)?.pot().brix_readings().last().map(|(_, brix)| *brix)
    }

    /// The pot of that id as it stood then; nothing where it is not known, or is no gesso.
    fn pot_summary_at(&self, id: &Id, at: Stamp) -> Option<PotSummary> {
        let then = self.pots.lineage().story(id)?.as_of(at)?;
        let pot = then.pot();
        if pot.opened().kind != PotKind::Gesso {
            return None;
        }
        let status = self.pots.status(pot, Moment::from_wall(at));
        Some(PotSummary {
            melts: Some(status.melts),
            max_c: status.max_temp.map(|t| t.c()),
            overheated: status.overheated_at.is_some(),
            water_lost_pct: status.water.lost_pct,
            glue_per_100g_filler_g: status.water.glue_per_100g_filler_g,
            pvc_pct: self.pots.gesso_as_made(id).and_then(|gesso| {
                let as_made = Recipe { gesso, ..pot.recipe().clone() };
                Some(compute_recipe_ground(&as_made, self.pots.bulk()).ok()?.pvc_pct)
            }),
            strength_source: Some(status.water.strength_source),
            is_filler_weighed: status.water.is_filler_weighed,
            age_h: Some((at - pot.made_at().map_or(pot.opened_at().wall, |m| m.wall)).hours()),
            glue_lot: self.pots.lineage().glue_lot(id).map(str::to_owned),
            filler_lot: self.pots.lineage().filler_lot(id).map(str::to_owned),
            size_glue_g_per_l: None,
            size_brix: None,
        })
    }

    /// The air while a panel was coated.
    pub fn panel_air(&self, story_facts: &StoryFacts) -> AirSummary {
        let between = |(from, to)| self.air.stats_between(from, to);
        let coating = story_facts.coating_period;
        let stats = coating.and_then(between);
        let cure = coating.zip(story_facts.cure_h).map(|((first, _), hours)| (first - Span::from_h(hours), first));
        AirSummary {
            temp_mean_c: stats.as_ref().map(|s| s.temp_c.mean),
            rh_min_pct: stats.as_ref().map(|s| s.rh_pct.lo),
            rh_max_pct: stats.as_ref().map(|s| s.rh_pct.hi),
            cure_rh_mean_pct: cure.and_then(between).map(|s| s.rh_pct.mean),
        }
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

/// The temperatures a pot was read at and the water given back to it, in the order of time.
pub fn timeline_from_pot(pot: &Pot) -> PotTimeline {
    let water = pot.mass_records().iter().filter_map(|(m, record)| match record {
        MassRecord::Water(mass) => Some((m.wall, mass.g())),
        MassRecord::Weighed(_) => None,
    });
    PotTimeline {
        label: pot.opened().label.clone(),
        temps_c: pot.temps().iter().map(|(m, t)| (m.wall, t.c())).collect(),
        water_g: water.collect(),
        overheat_c: pot.recipe().gesso.overheat_c,
    }
}

/// The readings of the air between two times: when, C, per cent.
pub fn air_between(air: &Air, from: Stamp, to: Stamp) -> Vec<(Stamp, f64, f64)> {
    let here = air.readings().iter().filter(|r| (from..=to).contains(&r.at));
    here.map(|r| (r.at, r.temp.c(), r.rh.pct())).collect()
}
