//! The whole story of a pot. How take-backs and late facts work is `work::story`'s; here is what it needs to know of a
//! pot.
//!
//! Absent on purpose: files and clocks.

use super::event::PotEvent;
use super::fold::Pot;
use super::refusal::{PotQuestion, PotRefusal};
use crate::units::{Entry, Moment};
use crate::work::story::{self, OrderRefusal, StoryEvent, StoryState};

/// A pot's story.
pub type PotStory = story::Story<Pot>;

impl PotStory {
    /// The state that follows.
    pub fn pot(&self) -> &Pot {
        self.state()
    }
    /// What is doubtful about the fact written last.
    pub fn last_questions(&self) -> &[PotQuestion] {
        self.entries().last().map_or(&[], |e| self.pot().questions_of(e.seq))
    }
}

impl StoryEvent for PotEvent {
    fn name(&self) -> &str {
        PotEvent::name(self)
    }
    fn can_be_taken_back(&self) -> bool {
        PotEvent::can_be_taken_back(self)
    }
    fn takes_back(&self) -> Option<u64> {
        if let PotEvent::Undone { takes_back } = self { Some(*takes_back) } else { None }
    }
}

impl StoryState for Pot {
    type Event = PotEvent;
    type Refusal = PotRefusal;

    fn from_opening(entry: &Entry<PotEvent>) -> Result<Pot, PotRefusal> {
        Pot::from_opening(entry)
    }
    fn opened_at(&self) -> Moment {
        Pot::opened_at(self)
    }
    fn after(&mut self, entry: &Entry<PotEvent>) -> Result<(), PotRefusal> {
        Pot::after(self, entry)
    }
}

impl From<OrderRefusal<PotRefusal>> for PotRefusal {
    fn from(misplaced: OrderRefusal<PotRefusal>) -> PotRefusal {
        match misplaced {
            OrderRefusal::NotOpened => PotRefusal::NotOpened,
            OrderRefusal::BeforeOpening { opened_at } => PotRefusal::BeforeOpening { opened_at },
            OrderRefusal::TooFarAhead { by } => PotRefusal::TooFarAhead { by },
            OrderRefusal::StoryBreaks { at, fact, cause: because } => {
                PotRefusal::StoryBreaks { at, fact, cause: because }
            }
            OrderRefusal::NothingToTakeBack => PotRefusal::NothingToTakeBack,
            OrderRefusal::NotTheLastFact { seq } => PotRefusal::NotTheLastFact { seq },
            OrderRefusal::LastFactChanged => PotRefusal::LastFactChanged,
        }
    }
}
