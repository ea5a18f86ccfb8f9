//! Where a panel stands at a moment: a view of (panel, now). Nothing is written when a wait ends.
//!
//! Absent on purpose: changing anything.

use super::event::{Stage, Wait};
use super::fold::{Became, Panel, Step};
use crate::units::{Moment, Span, Stamp};

/// The phase of a panel at a moment.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Phase {
    /// Nothing begun; the wait before it, if any, is over.
    Ready,
    /// An act is begun and not done.
    Working,
    /// Something is drying, curing or resting, and its time is not up.
    Waiting,
    /// Everything is done; from now on inspections.
    Finished,
    /// Given up.
    Abandoned,
}

impl Phase {
    /// The word written in JSON.
    pub const fn name(self) -> &'static str {
        match self {
            Phase::Ready => "ready",
            Phase::Working => "working",
            Phase::Waiting => "waiting",
            Phase::Finished => "finished",
            Phase::Abandoned => "abandoned",
        }
    }
}

/// Where a panel stands at a moment.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// The phase.
    pub phase: Phase,
    /// Ready and working: the act at hand. Waiting: what was done, or the cure, dry or rest that runs. Abandoned: where it stopped.
    pub stage: Option<Stage>,
    /// The stage after it; while waiting, the next act.
    pub next: Option<Stage>,
    /// Since when it stands so.
    pub since: Stamp,
    /// When the wait in force ends or ended; kept until something begins.
    pub due_at: Option<Stamp>,
    /// Until then; negative when over.
    pub left: Option<Span>,
    /// The wait in force or just ended.
    pub wait: Option<Wait>,
    /// Since when the maker is away, if so.
    pub away: Option<Stamp>,
}

impl Panel {
    /// The phase at that moment.
    pub fn phase_at(&self, m: Moment) -> Phase {
        let begun = |s: &Step| matches!(s.became, Became::Begun(_));
        if self.given_up.is_some() {
            Phase::Abandoned
        } else if self.steps.iter().any(begun) {
            Phase::Working
        } else if self.wait_in_force().is_some_and(|w| w.runs_at(m)) {
            Phase::Waiting
        } else if self.hand().is_none() {
            Phase::Finished
        } else {
            Phase::Ready
        }
    }

    /// Where the panel stands at that moment.
    pub fn standing(&self, now: Moment) -> Standing {
        let phase = self.phase_at(now);
        let hand = self.hand();
        let here = hand.map(|at| self.stage(at));
        let after = hand.and_then(|at| self.stages().nth(at + 1));
        let wait = self.wait_in_force();
        let due_at = wait.map(|w| w.due_at(now));
        let (stage, next, since) = match phase {
            Phase::Ready => (here, after, due_at.unwrap_or(self.moved.wall).max(self.moved.wall)),
            Phase::Working => (here, after, self.moved.wall),
            Phase::Waiting => {
                let by_itself = wait.and_then(|w| w.by_itself).or(self.last_act);
                (by_itself.map(|at| self.stage(at)), here, wait.map_or(self.moved.wall, |w| w.from.wall))
            }
            Phase::Finished => (None, None, due_at.unwrap_or(self.moved.wall).max(self.moved.wall)),
            Phase::Abandoned => (here, None, self.moved.wall),
        };
        let counts = matches!(phase, Phase::Ready | Phase::Waiting);
        let wait = wait.filter(|_| counts);
        Standing {
            phase,
            stage,
            next,
            since,
            due_at: due_at.filter(|_| counts),
            left: wait.map(|w| w.left_at(now)),
            wait: wait.map(|w| w.wait),
            away: self.away.map(|m| m.wall),
        }
    }
}
