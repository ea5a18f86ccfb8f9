//! What speaks against the act at hand before it is pressed. It is said large, and recorded all the same if the maker
//! insists.

use super::Model;
use crate::bench::{PotObjection, Snapshot, pot_objection, trusted_now};
use crate::units::Moment;
use crate::work::advice::neighbours::DangerousNeighbour;
use crate::work::panel::phase::{PanelPhase, PanelStatus};
use std::fmt;

/// What speaks against a press.
#[derive(Debug, Clone, PartialEq)]
pub enum PressObjection {
    /// Something else on the bench is too near.
    Neighbour(DangerousNeighbour),
    /// The pot in use is not the one, or not fit.
    Pot(PotObjection),
}

impl PressObjection {
    /// In block letters, at most 14.
    pub fn word(&self) -> &'static str {
        match self {
            PressObjection::Neighbour(neighbour) => neighbour.block_word(),
            PressObjection::Pot(objection) => match objection {
                PotObjection::Discarded { .. } | PotObjection::UsedUp { .. } => "POT IS EMPTY",
                PotObjection::OtherRecipe { .. } => "WRONG POT?",
                PotObjection::StillDry { .. } => "GLUE STILL DRY",
                PotObjection::NotMelted { .. } => "POT NOT MELTED",
                PotObjection::NotMade { .. } => "POT NOT MADE?",
                PotObjection::Overheated { .. } => "POT OVERHEATED",
                PotObjection::TooOld { .. } => "OLD POT?",
            },
        }
    }
}

impl fmt::Display for PressObjection {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PressObjection::Neighbour(neighbour) => neighbour.fmt(f),
            PressObjection::Pot(objection) => objection.fmt(f),
        }
    }
}

impl Model {
    /// What speaks against the act at hand on the board shown.
    pub fn find_objection(&self, status: &PanelStatus, now: Moment) -> Option<PressObjection> {
        let stage = status.stage_to_record()?;
        let story = self.story()?;
        let recipe = story.panel().recipe();
        let mut pots = self.pot_survey().pots.iter().filter_map(Snapshot::sound_story);
        let is_bath_on = pots.any(|s| s.pot().current_bath().is_some());
        let mut others = self.snapshots.iter().enumerate().filter(|(at, _)| *at != self.shown_index);
        let is_board_wet = others.any(|(_, t)| {
            t.story.as_ref().is_some_and(|s| {
                let waits = s.panel().status(trusted_now(s, now)).phase == PanelPhase::Waiting;
                waits && s.panel().current_wait().is_some_and(|wait| wait.self_ending_index.is_none())
            })
        });
        let neighbour = DangerousNeighbour::find(stage.kind, recipe, is_bath_on, is_board_wet);
        let pot = || {
            let pot = self.find_pot_for_coat(story.panel(), stage)?.sound_story()?;
            pot_objection(story.panel(), stage, pot.pot(), trusted_now(pot, now))
        };
        neighbour.map(PressObjection::Neighbour).or_else(|| pot().map(PressObjection::Pot))
    }
}
