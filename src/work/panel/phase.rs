//! Where a panel stands at a moment: a view of (panel, now). Nothing is written when a wait ends.
//!
//! Absent on purpose: changing anything.

use super::event::{Stage, Wait};
use crate::units::{Span, Stamp};

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
