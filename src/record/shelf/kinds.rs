//! Which kind of story a file holds, and what is done alike for all kinds.

use super::{Drawer, Shelf};
use crate::record::files::Lock;
use crate::record::journal::storage::Disk;
use crate::record::journal::verify::{Mended, Report, mend, verify};
use crate::record::journal::{Fact, Failure};
use crate::units::Stamp;
use crate::work::{air, panel, pot};
use std::path::{Path, PathBuf};

/// How much of a file is looked at for the word of its kind, bytes: it stands near the beginning of the first line.
const LOOK: usize = 4096;

/// The kinds of stories.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum StoryKind {
    Panel,
    Pot,
    Air,
}

impl StoryKind {
    /// By what the first line says, else by where the file lies.
    fn of(disk: &dyn Disk, path: &Path) -> StoryKind {
        let mut beginning = vec![0; LOOK];
        let read = disk.read(path).and_then(|mut file| file.read(0, &mut beginning)).unwrap_or(0);
        beginning.truncate(read);
        let says = |format: &str| {
            let word = format!("\"format\":\"{format}\"");
            beginning.windows(word.len()).any(|w| w == word.as_bytes())
        };
        let lies_in = path.parent().and_then(Path::file_name).and_then(|n| n.to_str()).unwrap_or_default();
        if says(panel::event::Event::FORMAT) {
            StoryKind::Panel
        } else if says(pot::event::Event::FORMAT) || lies_in == Drawer::Pots.dir() {
            StoryKind::Pot
        } else if says(air::Event::FORMAT) || path.file_name().is_some_and(|n| n == "air.jsonl") {
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
    /// [`Failure::Unread`].
    pub fn journals(&self) -> Result<Vec<PathBuf>, Failure> {
        let mut files = Vec::new();
        for drawer in [Drawer::Panels, Drawer::Pots] {
            files.extend(self.ids(drawer)?.iter().map(|id| self.file(drawer, id)));
        }
        files.extend(Some(self.air_file()).filter(|file| file.exists()));
        Ok(files)
    }

    /// Looks at a journal as a whole; which kind of story it holds is taken from what it says and where it lies.
    ///
    /// # Errors
    /// [`Failure::Unread`].
    pub fn verify(&self, path: &Path) -> Result<Report, Failure> {
        let disk = self.disk().as_ref();
        match StoryKind::of(disk, path) {
            StoryKind::Panel => verify::<panel::event::Event>(disk, path),
            StoryKind::Pot => verify::<pot::event::Event>(disk, path),
            StoryKind::Air => verify::<air::Event>(disk, path),
        }
    }

    /// Mends a journal.
    ///
    /// # Errors
    /// Those of [`mend`].
    pub fn mend(&self, lock: &Lock, path: &Path, now: Stamp) -> Result<Mended, Failure> {
        let disk = self.disk().as_ref();
        match StoryKind::of(disk, path) {
            StoryKind::Panel => mend::<panel::event::Event>(disk, lock, path, now),
            StoryKind::Pot => mend::<pot::event::Event>(disk, lock, path, now),
            StoryKind::Air => mend::<air::Event>(disk, lock, path, now),
        }
    }
}
