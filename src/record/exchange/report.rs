//! What came of bringing a shelf, or would.

use super::fate::StoryFate;
use crate::record::shelf::Drawer;
use crate::units::Id;

/// One story of the other shelf.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BroughtStory {
    /// The drawer.
    pub drawer: Drawer,
    /// Its id there.
    pub id: Id,
    /// Its id here.
    pub new_id: Id,
    /// What becomes of it.
    pub fate: StoryFate,
}

/// What came of it, or would.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct BringReport {
    /// Every story.
    pub stories: Vec<BroughtStory>,
    /// How many readings of the air were not there yet.
    pub air: usize,
    /// How many photographs.
    pub photos: usize,
    /// The trials.
    pub trials: Vec<String>,
    /// What is there, and is not merged.
    pub not_merged: Vec<&'static str>,
    /// What else is not taken, each a sentence.
    pub left_out: Vec<String>,
}

impl BringReport {
    /// How many stories had that fate.
    pub fn count(&self, drawer: Drawer, fate: &StoryFate) -> usize {
        self.stories.iter().filter(|s| s.drawer == drawer && s.fate == *fate).count()
    }
}
