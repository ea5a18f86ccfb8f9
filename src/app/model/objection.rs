//! What speaks against the act at hand before it is pressed. It is said large, and recorded all the same if the maker
//! insists.

use super::Model;
use crate::bench::{Snapshot, trusted_now};
use crate::units::Moment;
use crate::work::advice::neighbours::DangerousNeighbour;
use crate::work::panel::phase::{PanelPhase, PanelStatus};
use std::fmt;

/// What speaks against a press.
#[derive(Debug, Clone, PartialEq)]
pub enum PressObjection {
    /// Something else on the bench is too near.
    Neighbour(DangerousNeighbour),
}

impl PressObjection {
    /// In block letters, at most 14.
    pub fn word(&self) -> &'static str {
        match self {
            PressObjection::Neighbour(neighbour) => neighbour.block_word(),
        }
    }
}

impl fmt::Display for PressObjection {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PressObjection::Neighbour(neighbour) => neighbour.fmt(f),
        }
    }
}

impl Model {
    /// What speaks against the act at hand on the board shown.
    pub fn find_objection(&self, status: &PanelStatus, now: Moment) -> Option<PressObjection> {
        let stage = status.stage_to_record()?;
        let recipe = self.story()?.panel().recipe();
        let mut pots = self.pot_survey().pots.iter().filter_map(Snapshot::sound_story);
        let is_bath_on = pots.any(|s| s.pot().current_bath().is_some());
        let mut others = self.snapshots.iter().enumerate().filter(|(at, _)| *at != self.shown_index);
        let is_board_wet = others.any(|(_, t)| {
            t.story.as_ref().is_some_and(|s| {
                let waits = s.panel().status(trusted_now(s, now)).phase == PanelPhase::Waiting;
                waits && s.panel().current_wait().is_some_and(|wait| wait.self_ending_index.is_none())
            })
        });
        DangerousNeighbour::find(stage.kind, recipe, is_bath_on, is_board_wet).map(PressObjection::Neighbour)
    }
}
