//! Over invented shelves, a cause that was planted is named, and where none was planted nothing is named more often than
//! chance has it. The benches play more of them, against an independent reckoning.

use super::GroupBy;
use super::compare::{AnswerKind, AskedFault, Comparison, compare_panels_asking};
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

/// An invented shelf, compared as `sottile compare` does it, by so many draws.
fn compared(seed: u64, cause: CrackCause, draws: usize) -> Comparison {
    let panels = cause.default_panels();
    let shelf = invent_shelf(&DemoOptions { panels, seed, cause, force: false, trial: false }).unwrap();
    let facts = |s: &PanelStory| {
        facts_from_story(s, &BulkDensities::TABLE, Moment::from_wall(s.last_fact_at() + Span::from_h(1.0)))
    };
    let read: Vec<StoryFacts> = shelf.panels.iter().map(facts).collect();
    let uses = read.iter().flat_map(|f| &f.pot_uses).map(|u| (&u.pot, u.at));
    let pots = PotUsage::new(PotLineage::new(&shelf.pots), uses, &BulkDensities::TABLE);
    let around = PotsAndAir { pots, air: &Air::from_entries(&shelf.air) };
    let rows = read.into_iter().map(|f| PanelRow::new(f, &around)).collect();
    compare_panels_asking(rows, GroupBy::Outcome, Vec::new(), AskedFault::Cracks, draws)
}

/// The column a planted cause is recorded in.
fn column_of(cause: CrackCause) -> &'static str {
    match cause {
        CrackCause::Strength => "glue_per_100g_filler_g",
        CrackCause::Lot => "glue_lot",
        CrackCause::Heat | CrackCause::Overheated => "pot_max_c",
        CrackCause::DryAir => "air_rh_min_pct",
        CrackCause::ThinBoard => "thickness_mm",
        CrackCause::LongGap => "long_gaps",
        CrackCause::Cure => "cure_h",
        CrackCause::None => "",
    }
}

fn names(told: &Comparison) -> Vec<&'static str> {
    let answer = &told.asked.as_ref().unwrap().answer;
    match answer.kind {
        AnswerKind::One | AnswerKind::Together => answer.fields.clone(),
        AnswerKind::Hint | AnswerKind::Nothing | AnswerKind::Cannot => Vec::new(),
    }
}

#[test]
fn a_planted_cause_is_named_on_most_shelves() {
    let mut named = 0;
    for cause in CrackCause::ALL.into_iter().filter(|c| c.is_planted() && *c != CrackCause::None) {
        let found = (1..=3_u64)
            .into_par_iter()
            .filter(|seed| names(&compared(*seed, cause, 1_000)).contains(&column_of(cause)));
        let found = found.count();
        assert!(found > 0, "{}: named on none of 3", cause.name());
        named += found;
    }
    assert!(named >= 14, "named on {named} of 21");
}

/// Of 20 shelves without a cause, at 5 of 100 each, more than 3 are named once in sixty.
#[test]
fn without_a_cause_none_is_named() {
    let named = (1..=20_u64).into_par_iter().map(|seed| {
        let told = compared(seed, CrackCause::None, 1_000);
        usize::from(!names(&told).is_empty())
    });
    let named: usize = named.sum();
    assert!(named <= 3, "{named} of 20");
}
