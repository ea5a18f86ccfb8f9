//! One story as one flat row: everything a comparison holds against other panels.

use super::pots_and_air::{AirSummary, PotSummary, PotsAndAir};
use super::story_facts::StoryFacts;

/// One panel: what its story tells, and what was around it.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelRow {
    /// What its story tells by itself.
    pub story: StoryFacts,
    /// The pots its gesso came from; its ground, where no pot tells, is what its recipe gives.
    pub pots: PotSummary,
    /// The air from the first to the last coat.
    pub air: AirSummary,
}

impl PanelRow {
    /// The row of a story among those pots and in that air.
    pub fn new(story: StoryFacts, pots_and_air: &PotsAndAir<'_>) -> PanelRow {
        PanelRow { pots: pots_and_air.panel_pots(&story), air: pots_and_air.panel_air(&story), story }
    }
}
