//! A batch being made: which step is at hand, and what of a pot's own facts each step is.

use crate::units::{Id, Moment, Span, Stamp};
use crate::work::advice::making::MakingStep;
use crate::work::pot::act::PotAct;
use crate::work::pot::event::PotKind;
use crate::work::pot::fold::{GlueState, Pot};

/// A batch being made.
#[derive(Debug, Clone, PartialEq)]
pub struct MakingModel {
    /// The step at hand.
    pub step: MakingStep,
    /// The pot of size, once it is opened.
    pub size: Option<Id>,
    /// The pot of gesso, once it is opened.
    pub gesso: Option<Id>,
    /// Since when the step is at hand.
    pub since: Moment,
    /// Whether it is told where each line comes from.
    pub shows_sources: bool,
    /// The record that was asked for is that of this step.
    pub(super) is_record_pending: bool,
    /// A take-back was asked for.
    pub(super) is_undo_pending: bool,
}

impl MakingModel {
    /// The pot of that kind, once it is opened.
    pub(super) fn pot_of(&self, kind: PotKind) -> Option<&Id> {
        match kind {
            PotKind::Size => self.size.as_ref(),
            PotKind::Gesso => self.gesso.as_ref(),
        }
    }
}

/// What a step is timed by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StepTimer {
    /// Until then, negative when over; or since then, where `counts_up`.
    pub span: Span,
    /// Whether it counts up from a beginning, and not down to an end.
    pub counts_up: bool,
    /// The end, or the beginning.
    pub at: Stamp,
}

impl MakingStep {
    pub(super) fn index(self) -> usize {
        MakingStep::ALL.iter().position(|s| *s == self).expect("the list holds every step")
    }
    /// Its number from 1.
    pub fn number(self) -> usize {
        self.index() + 1
    }
    pub(super) fn next(self) -> MakingStep {
        MakingStep::ALL.get(self.index() + 1).copied().unwrap_or(self)
    }
    pub(super) fn previous(self) -> MakingStep {
        MakingStep::ALL.get(self.index().saturating_sub(1)).copied().unwrap_or(self)
    }
    /// What the balance may be asked of at that step: of the pot that stands there and is not made.
    pub fn weighed_kind(self) -> Option<PotKind> {
        match self {
            MakingStep::Soak | MakingStep::Melt | MakingStep::Look | MakingStep::Lift | MakingStep::Try => {
                Some(PotKind::Size)
            }
            MakingStep::Sift | MakingStep::Sink | MakingStep::Combine => Some(PotKind::Gesso),
            MakingStep::LayOut
            | MakingStep::Packet
            | MakingStep::Weigh
            | MakingStep::SizeBoard
            | MakingStep::Powders
            | MakingStep::Pour
            | MakingStep::Strain
            | MakingStep::Ready => None,
        }
    }
    /// Whether that step records that the pot is made.
    pub fn makes_pot(self) -> bool {
        matches!(self.pot_act(), Some((_, PotAct::Made(_))))
    }
    /// The fact of which pot that step records, where it records one.
    pub(super) fn pot_act(self) -> Option<(PotKind, PotAct)> {
        Some(match self {
            MakingStep::Soak => (PotKind::Size, PotAct::Soak),
            MakingStep::Melt => (PotKind::Size, PotAct::Melt),
            MakingStep::Look => (PotKind::Size, PotAct::Liquid),
            MakingStep::Lift => (PotKind::Size, PotAct::OutOfBath),
            MakingStep::Try => (PotKind::Size, PotAct::made_as_asked()),
            MakingStep::Combine => (PotKind::Gesso, PotAct::made_as_asked()),
            MakingStep::Strain => (PotKind::Gesso, PotAct::Strained),
            MakingStep::LayOut
            | MakingStep::Packet
            | MakingStep::Weigh
            | MakingStep::SizeBoard
            | MakingStep::Powders
            | MakingStep::Pour
            | MakingStep::Sift
            | MakingStep::Sink
            | MakingStep::Ready => return None,
        })
    }
    /// Whether the pot's own marks say that it is behind.
    pub(super) fn is_done_in(self, pot: &Pot) -> bool {
        match self {
            MakingStep::Soak => pot.glue_state() != GlueState::Raw,
            MakingStep::Melt => !pot.baths().is_empty(),
            MakingStep::Look => matches!(pot.glue_state(), GlueState::Liquid | GlueState::Gelled),
            MakingStep::Lift => pot.current_bath().is_none(),
            MakingStep::Try | MakingStep::Combine => pot.made_at().is_some(),
            MakingStep::Strain => pot.strained_at().is_some(),
            MakingStep::LayOut
            | MakingStep::Packet
            | MakingStep::Weigh
            | MakingStep::SizeBoard
            | MakingStep::Powders
            | MakingStep::Pour
            | MakingStep::Sift
            | MakingStep::Sink
            | MakingStep::Ready => false,
        }
    }
}

pub(super) fn find_first_missing_step(pot: &Pot, steps: &[MakingStep], else_: MakingStep) -> MakingStep {
    steps.iter().copied().find(|s| !s.is_done_in(pot)).unwrap_or(else_)
}
