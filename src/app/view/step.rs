//! The time of what was just recorded, stepped with the arrows until another key or a few seconds settle it.

use super::keeping::{Pending, What};
use super::{Over, Request, View};
use crate::app::action::Action;
use crate::units::{Id, Moment, Span, Stamp};
use crate::work::panel::event::Stage;

/// How long after the press, or the last step, the time is settled.
pub const STEP_FOR: Span = Span::from_s(8);
/// No further back than this can the time of a fact be stepped; for more there is `sottile mark --at`.
const BACK_MAX_MIN: u32 = 240;

/// A fact just recorded, while its time may still be stepped.
#[derive(Debug, Clone, PartialEq)]
pub struct JustPressed {
    /// On which panel.
    pub id: Id,
    /// The `seq` of the fact.
    pub seq: u64,
    /// The stage it was recorded for.
    pub stage: Stage,
    /// When it was recorded as having happened.
    pub at: Stamp,
    /// How many minutes earlier it is to stand.
    pub back_min: u32,
    /// Since when nobody stepped it.
    pub(super) since: Moment,
}

impl View {
    /// One minute earlier, or later again.
    pub(super) fn step_time(&mut self, earlier: i64, now: Moment) -> Vec<Request> {
        if let Some(pressed) = &mut self.pressed {
            let back = i64::from(pressed.back_min) + earlier;
            pressed.back_min = back.clamp(0, i64::from(BACK_MAX_MIN)) as u32;
            pressed.since = now;
        }
        Vec::new()
    }

    /// A key that does not step settles the time; taking the fact back makes its time no matter.
    pub(super) fn settle_before(&mut self, action: &Action, now: Moment) -> Vec<Request> {
        match (action, &self.over) {
            (Action::Left | Action::Right, Over::Nothing) => Vec::new(),
            (Action::Undo, Over::Nothing) => {
                self.pressed = None;
                Vec::new()
            }
            (_, _) => self.settle_time(now),
        }
    }

    /// So do a few seconds.
    pub(super) fn settle_in_time(&mut self, now: Moment) -> Vec<Request> {
        match &self.pressed {
            Some(p) if now.since(p.since).abs() > self.eyes(STEP_FOR) => self.settle_time(now),
            Some(_) | None => Vec::new(),
        }
    }

    /// The time stepped to is the one meant: it is written down, behind whatever is still being saved.
    fn settle_time(&mut self, now: Moment) -> Vec<Request> {
        match self.pressed.take() {
            Some(p) if p.back_min > 0 => {
                self.pending.push_back(Pending { since: now, what: What::Time { stage: p.stage, min: p.back_min } });
                vec![Request::Retime(p.id, p.seq, p.at - Span::from_min(f64::from(p.back_min)))]
            }
            Some(_) | None => Vec::new(),
        }
    }
}
