//! Where a panel stands at a moment: a view of (panel, now). Nothing is written when a wait ends.
//!
//! Nothing here changes anything.

use super::event::{Stage, StageKind, Wait};
use super::state::{Panel, PlanStep, StepState};
use crate::craft::recipe::Direction;
use crate::units::{Moment, Span, Stamp};

/// The phase of a panel at a moment.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PanelPhase {
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

impl PanelPhase {
    /// The word written in JSON.
    pub const fn name(self) -> &'static str {
        match self {
            PanelPhase::Ready => "ready",
            PanelPhase::Working => "working",
            PanelPhase::Waiting => "waiting",
            PanelPhase::Finished => "finished",
            PanelPhase::Abandoned => "abandoned",
        }
    }
}

/// Where a panel stands at a moment.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelStatus {
    /// The phase.
    pub phase: PanelPhase,
    /// Ready and working: the act at hand. Waiting: what was done, or the cure, dry or rest that runs. Abandoned: where it stopped.
    pub stage: Option<Stage>,
    /// The stage after it; while waiting, the next act.
    pub next_stage: Option<Stage>,
    /// Since when it stands so.
    pub since: Stamp,
    /// When the wait in force ends or ended; kept until something begins.
    pub due_at: Option<Stamp>,
    /// Until then; negative when over.
    pub time_left: Option<Span>,
    /// The wait in force or just ended.
    pub wait: Option<Wait>,
    /// Since when the maker is away, if so.
    pub away_since: Option<Stamp>,
    /// The drying is over and nothing was begun, done, left out or added since: whether grain shows is still to be said.
    pub asks_grain: bool,
}

impl PanelStatus {
    /// The stage a press, or `mark` from a shell, would record as begun or done now: the act at hand, whether or not a wait
    /// still runs before it. None where nothing is left to do.
    pub const fn stage_to_record(&self) -> Option<Stage> {
        match self.phase {
            PanelPhase::Ready | PanelPhase::Working => self.stage,
            PanelPhase::Waiting => self.next_stage,
            PanelPhase::Finished | PanelPhase::Abandoned => None,
        }
    }

    /// How much too early that would be, where a wait still runs.
    pub fn early_by(&self) -> Option<Span> {
        self.time_left.filter(|_| self.phase == PanelPhase::Waiting)
    }

    /// The direction it would be done in, where it has one; `turned` takes the other than planned.
    pub fn direction_to_record(&self, turned: bool) -> Option<Direction> {
        let planned = self.stage_to_record()?.direction?;
        Some(if turned { planned.perpendicular() } else { planned })
    }

    /// The act that is still to be begun.
    pub fn stage_to_begin(&self) -> Option<Stage> {
        self.stage_to_record().filter(|_| self.phase != PanelPhase::Working)
    }

    /// The stage a screen tells about: the one a press would record, else the one the panel rests or stopped at.
    pub fn stage_shown(&self) -> Option<Stage> {
        self.stage_to_record().or(self.stage)
    }
}

impl Panel {
    /// The phase at that moment.
    pub fn phase_at(&self, m: Moment) -> PanelPhase {
        let begun = |s: &PlanStep| matches!(s.state, StepState::Begun(_));
        if self.abandoned.is_some() {
            PanelPhase::Abandoned
        } else if self.steps.iter().any(begun) {
            PanelPhase::Working
        } else if self.current_wait().is_some_and(|w| w.is_running_at(m)) {
            PanelPhase::Waiting
        } else if self.index_at_hand().is_none() {
            PanelPhase::Finished
        } else {
            PanelPhase::Ready
        }
    }

    /// Whether the wait right before that act is the drying of the ground, which no maker ended.
    fn is_behind_drying(&self, hand: Option<usize>) -> bool {
        let before = hand.and_then(|at| at.checked_sub(1)).filter(|at| self.steps[*at].slot.kind == StageKind::Dry);
        before.is_some() && self.current_wait().is_some_and(|w| w.self_ending_index == before)
    }

    /// Where the panel stands at that moment.
    pub fn status(&self, now: Moment) -> PanelStatus {
        let phase = self.phase_at(now);
        let hand = self.index_at_hand();
        let here = hand.map(|at| self.stage_at(at));
        // What lies behind one more coat on the front may be done already, on the back.
        let is_open = |at: &usize| self.steps.get(*at).is_some_and(PlanStep::is_open);
        let after = hand.and_then(|at| (at + 1..self.steps.len()).find(is_open)).map(|at| self.stage_at(at));
        let wait = self.current_wait();
        let due_at = wait.map(|w| w.due_at(now));
        let (stage, next, since) = match phase {
            PanelPhase::Ready => (here, after, due_at.unwrap_or(self.moved_at.wall).max(self.moved_at.wall)),
            PanelPhase::Working => (here, after, self.moved_at.wall),
            PanelPhase::Waiting => {
                let by_itself = wait.and_then(|w| w.self_ending_index).or(self.last_done_index);
                (by_itself.map(|at| self.stage_at(at)), here, wait.map_or(self.moved_at.wall, |w| w.started_at.wall))
            }
            PanelPhase::Finished => (None, None, due_at.unwrap_or(self.moved_at.wall).max(self.moved_at.wall)),
            PanelPhase::Abandoned => (here, None, self.moved_at.wall),
        };
        let counts = matches!(phase, PanelPhase::Ready | PanelPhase::Waiting);
        let wait = wait.filter(|_| counts);
        PanelStatus {
            phase,
            stage,
            next_stage: next,
            since,
            due_at: due_at.filter(|_| counts),
            time_left: wait.map(|w| w.time_left_at(now)),
            wait: wait.map(|w| w.wait),
            away_since: self.away_since.map(|m| m.wall),
            asks_grain: phase == PanelPhase::Ready && self.is_behind_drying(hand),
        }
    }
}
