//! Which kind of story a file holds, and what is done alike for all kinds.

use super::{Drawer, Shelf};
use crate::record::files::Lock;
use crate::record::journal::storage::Storage;
use crate::record::journal::verify::{MendReport, VerifyReport, mend, verify};
use crate::record::journal::{JournalError, JournalEvent};
use crate::units::Stamp;
use crate::work::{air, panel, pot};
use std::path::{Path, PathBuf};

/// How much of a file is looked at for the word of its kind, bytes: it stands near the beginning of the first line.
const PROBE_LEN: usize = 4096;

/// The kinds of stories.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum StoryKind {
    Panel,
    Pot,
    Air,
}

impl StoryKind {
    /// By what the first line says, else by where the file lies.
    fn detect(disk: &dyn Storage, path: &Path) -> StoryKind {
        let mut beginning = vec![0; PROBE_LEN];
        let read = disk.open_read(path).and_then(|mut file| file.read_at(0, &mut beginning)).unwrap_or(0);
        beginning.truncate(read);
        let says = |format: &str| {
            let word = format!("\"format\":\"{format}\"");
            beginning.windows(word.len()).any(|w| w == word.as_bytes())
        };
        let lies_in = path.parent().and_then(Path::file_name).and_then(|n| n.to_str()).unwrap_or_default();
        if says(panel::event::PanelEvent::FORMAT) {
            StoryKind::Panel
        } else if says(pot::event::PotEvent::FORMAT) || lies_in == Drawer::Pots.dir_name() {
            StoryKind::Pot
        } else if says(air::AirEvent::FORMAT) || path.file_name().is_some_and(|n| n == "air.jsonl") {
            StoryKind::Air
        } else {
            StoryKind::Panel
        }
    }
}

impl Shelf {
    /// Every journal on the shelf: panels, pots, the air.
    ///
    /// # Errors
    /// [`JournalError::ReadFailed`].
    pub fn journal_paths(&self) -> Result<Vec<PathBuf>, JournalError> {
        let mut files = Vec::new();
        for drawer in [Drawer::Panels, Drawer::Pots] {
            files.extend(self.ids(drawer)?.iter().map(|id| self.story_path(drawer, id)));
        }
        files.extend(Some(self.air_path()).filter(|file| file.exists()));
        Ok(files)
    }

    /// Looks at a journal as a whole; which kind of story it holds is taken from what it says and where it lies.
    ///
    /// # Errors
    /// [`JournalError::ReadFailed`].
    pub fn verify(&self, path: &Path) -> Result<VerifyReport, JournalError> {
        let disk = self.storage().as_ref();
        match StoryKind::detect(disk, path) {
            StoryKind::Panel => verify::<panel::event::PanelEvent>(disk, path),
            StoryKind::Pot => verify::<pot::event::PotEvent>(disk, path),
            StoryKind::Air => verify::<air::AirEvent>(disk, path),
        }
    }

    /// Mends a journal.
    ///
    /// # Errors
    /// Those of `journal::verify::mend`.
    pub fn mend(&self, lock: &Lock, path: &Path, now: Stamp) -> Result<MendReport, JournalError> {
        let disk = self.storage().as_ref();
        match StoryKind::detect(disk, path) {
            StoryKind::Panel => mend::<panel::event::PanelEvent>(disk, lock, path, now),
            StoryKind::Pot => mend::<pot::event::PotEvent>(disk, lock, path, now),
            StoryKind::Air => mend::<air::AirEvent>(disk, lock, path, now),
        }
    }
}
