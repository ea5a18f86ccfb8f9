//! The whole story of a pot. How take-backs and late facts work is `work::story`'s; here is what it needs to know of a
//! pot.

use super::fold::Pot;
use super::refusal::PotQuestion;
use crate::work::story;

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
