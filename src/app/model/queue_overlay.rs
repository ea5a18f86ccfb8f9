//! The whole screen of what comes, while one of it is chosen.

use crate::units::Id;
use crate::work::plan::queue::QueueEntry;

/// The whole screen of what comes, while one is chosen.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct QueueOverlay {
    /// Whom the cursor is on; the first where there is none, or it is gone.
    pub chosen: Option<Id>,
    /// The letters typed so far.
    pub typed: String,
}

impl QueueOverlay {
    /// The place of the cursor.
    pub fn cursor(&self, entries: &[QueueEntry]) -> usize {
        entries.iter().position(|entry| Some(&entry.id) == self.chosen.as_ref()).unwrap_or(0)
    }

    /// The first whose label begins with what is typed; a letter that fits nothing begins anew.
    pub(super) fn type_letter(&mut self, letter: char, entries: &[QueueEntry]) {
        let longer: String = self.typed.chars().chain([letter]).collect();
        for typed in [longer, letter.to_string()] {
            let fits = |entry: &&QueueEntry| entry.label.to_lowercase().starts_with(&typed.to_lowercase());
            if let Some(entry) = entries.iter().find(fits) {
                self.chosen = Some(entry.id.clone());
                self.typed = typed;
                return;
            }
        }
    }
}
