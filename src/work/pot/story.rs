//! The whole story of a pot. How take-backs and late facts work is `work::story`'s; here is what it needs to know of a
//! pot.
//!
//! Absent on purpose: files and clocks.

use super::event::Event;
use super::fold::Pot;
use super::refusal::{Question, Refusal};
use crate::units::{Entry, Moment};
use crate::work::story::{self, Fact, Folded, Misplaced};

/// A pot's story.
pub type Story = story::Story<Pot>;

impl Story {
    /// The state that follows.
    pub fn pot(&self) -> &Pot {
        self.state()
    }
    /// What is doubtful about the fact written last.
    pub fn asked(&self) -> &[Question] {
        self.entries().last().map_or(&[], |e| self.pot().questions_of(e.seq))
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

impl Folded for Pot {
    type Event = Event;
    type Refusal = Refusal;

    fn open(entry: &Entry<Event>) -> Result<Pot, Refusal> {
        Pot::open(entry)
    }
    fn opened_at(&self) -> Moment {
        Pot::opened_at(self)
    }
    fn after(&mut self, entry: &Entry<Event>) -> Result<(), Refusal> {
        Pot::after(self, entry)
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
