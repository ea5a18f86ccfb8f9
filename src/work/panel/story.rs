//! The whole story of a panel. How take-backs and late facts work is `work::story`'s; here is what it needs to know of a
//! panel.
//!
//! Absent on purpose: files and clocks.

use super::event::Event;
use super::fold::Panel;
use super::refusal::Refusal;
use crate::units::{Entry, Moment};
use crate::work::story::{self, Fact, Folded, Misplaced};

pub use crate::work::story::AHEAD;

/// A panel's story.
pub type Story = story::Story<Panel>;

impl Story {
    /// The state that follows.
    pub fn panel(&self) -> &Panel {
        self.state()
    }
}

impl Fact for Event {
    fn name(&self) -> &str {
        Event::name(self)
    }
    fn can_be_taken_back(&self) -> bool {
        Event::can_be_taken_back(self)
    }
    fn takes_back(&self) -> Option<u64> {
        if let Event::Undone { takes_back } = self { Some(*takes_back) } else { None }
    }
}

impl Folded for Panel {
    type Event = Event;
    type Refusal = Refusal;

    fn open(entry: &Entry<Event>) -> Result<Panel, Refusal> {
        Panel::open(entry)
    }
    fn opened_at(&self) -> Moment {
        Panel::opened_at(self)
    }
    fn after(&mut self, entry: &Entry<Event>) -> Result<(), Refusal> {
        Panel::after(self, entry)
    }
}

impl From<Misplaced<Refusal>> for Refusal {
    fn from(misplaced: Misplaced<Refusal>) -> Refusal {
        match misplaced {
            Misplaced::NotOpened => Refusal::NotOpened,
            Misplaced::BeforeOpening { opened_at } => Refusal::BeforeOpening { opened_at },
            Misplaced::Ahead { by } => Refusal::Ahead { by },
            Misplaced::StoryBreaks { at, fact, because } => Refusal::StoryBreaks { at, fact, because },
            Misplaced::NothingToTakeBack => Refusal::NothingToTakeBack,
            Misplaced::NotTheLastFact { seq } => Refusal::NotTheLastFact { seq },
            Misplaced::AnotherFactSince => Refusal::AnotherFactSince,
        }
    }
}
