//! The whole story of a pot. How take-backs and late facts work is `work::story`'s; here is what it needs to know of a
//! pot.

use super::event::PotEvent;
use super::fold::Pot;
use super::refusal::PotQuestion;
use super::weighed::{BALANCE_NOTE, WeighedParts};
use crate::work::story::{self, CommonEvent};

/// A pot's story.
pub type PotStory = story::Story<Pot>;

impl PotStory {
    /// The state that follows.
    pub fn pot(&self) -> &Pot {
        self.state()
    }
    /// What the balance said while it was being made, where that was noted: the last such note.
    pub fn noted_balance(&self) -> Option<WeighedParts> {
        let standing = self.entries().iter().rev().filter(|e| !self.is_taken_back(e.seq));
        let mut notes = standing.filter_map(|e| match &e.event {
            PotEvent::Common(CommonEvent::Noted { text }) => text.strip_prefix(BALANCE_NOTE),
            _ => None,
        });
        WeighedParts::parse(notes.next()?).ok().filter(|parts| !parts.is_empty())
    }
    /// What is doubtful about the fact written last.
    pub fn last_questions(&self) -> &[PotQuestion] {
        self.entries().last().map_or(&[], |e| self.pot().questions_of(e.seq))
    }
}
