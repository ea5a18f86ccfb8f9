//! Over many invented shelves, a cause that was planted is found, while one that was not is found no more often than chance
//! has it.

use super::GroupBy;
use super::compare::{Comparison, compare_panels};
use super::panel_row::PanelRow;
use super::pots_and_air::PotsAndAir;
use super::story_facts::{StoryFacts, facts_from_story};
use crate::craft::materials::fillers::BulkDensities;
use crate::record::demo::{CrackCause, DemoOptions, invent_shelf};
use crate::units::{Moment, Span};
use crate::work::air::Air;
use crate::work::panel::story::PanelStory;
use crate::work::pot::lineage::PotLineage;
use crate::work::pot::usage::PotUsage;
use rayon::prelude::*;

/// An invented shelf, compared as `sottile compare` does it.
fn compared(panels: u16, seed: u64, cause: CrackCause) -> Comparison {
    let shelf = invent_shelf(&DemoOptions { panels, seed, cause, force: false }).unwrap();
    let facts = |s: &PanelStory| {
        facts_from_story(s, &BulkDensities::TABLE, Moment::from_wall(s.last_fact_at() + Span::from_h(1.0)))
    };
    let read: Vec<StoryFacts> = shelf.panels.iter().map(facts).collect();
    let uses = read.iter().flat_map(|f| &f.pot_uses).map(|u| (&u.pot, u.at));
    let pots = PotUsage::new(PotLineage::new(&shelf.pots), uses, &BulkDensities::TABLE);
    let around = PotsAndAir { pots, air: &Air::from_entries(&shelf.air) };
    let rows = read.into_iter().map(|f| PanelRow::new(f, &around)).collect();
    compare_panels(rows, GroupBy::Outcome, Vec::new())
}

/// The shelves of ten seeds.
fn ten(panels: u16, cause: CrackCause) -> Vec<(u64, Comparison)> {
    (1..=10).into_par_iter().map(|seed| (seed, compared(panels, seed, cause))).collect()
}

fn p_of(told: &Comparison, field: &str) -> f64 {
    let differs = told.differences.iter().find(|d| d.field == field);
    differs.and_then(|d| d.p_value).unwrap_or(1.0)
}

/// The pot that was forgotten in its bath is told by its heat and by its water, before nearly everything else; and the long
/// gap that came with it is told too, as an honest comparison cannot tell the two apart.
#[test]
fn a_planted_cause_is_among_what_differs_whatever_the_seed() {
    let (mut gaps, mut plain) = (0, 0);
    for (seed, told) in ten(48, CrackCause::Overheated) {
        for field in ["pot_max_c", "water_lost_pct"] {
            let p = p_of(&told, field);
            assert!(p <= 0.05, "seed {seed}: {field} {p}");
            plain += u32::from(p <= 0.02);
            let before = told.differences.iter().filter(|d| d.p_value.is_some_and(|other| other < p)).count();
            assert!(before <= 4, "seed {seed}: {before} things are told before {field}");
        }
        gaps += u32::from(p_of(&told, "wait_max_min") <= 0.05);
        let between = told.contrast.unwrap();
        assert!(between.tests_pots && between.panel_counts.0 >= 3, "seed {seed}: {between:?}");
    }
    assert!(gaps >= 7, "{gaps} of 10");
    assert!(plain >= 16, "{plain} of 20");
}

/// Of what is tested where nothing but chance cracks panels, no more comes out small than chance has it.
#[test]
fn where_no_cause_was_planted_none_is_told_more_often_than_chance_has_it() {
    let shelves = ten(26, CrackCause::Chance);
    let tested: Vec<f64> = shelves.iter().flat_map(|(_, c)| &c.differences).filter_map(|d| d.p_value).collect();
    let small = |bound: f64| tested.iter().filter(|p| **p <= bound).count() as f64 / tested.len() as f64;
    assert!(tested.len() > 150, "{}", tested.len());
    assert!(small(0.05) <= 0.05, "{} of {}", small(0.05), tested.len());
    assert!(small(0.2) <= 0.2, "{} of {}", small(0.2), tested.len());
    // What was planted elsewhere is no more remarkable here than anything else.
    let planted = |c: &Comparison| p_of(c, "pot_max_c").min(p_of(c, "water_lost_pct")) <= 0.02;
    assert!(shelves.iter().filter(|(_, c)| planted(c)).count() <= 1);
}
