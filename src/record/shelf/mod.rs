//! Where the stories lie.
//!
//! ```text
//! DATA/panels/<id>.jsonl   DATA/pots/<id>.jsonl   DATA/trials/<id>.jsonl   DATA/air.jsonl   DATA/plan.jsonl
//! DATA/stock.jsonl   DATA/lock   DATA/rack.json   DATA/photos/<sha256>.<ext>
//! ```
//!
//! Directories are made when something is first written; looking at a shelf that is not there finds it empty and
//! leaves nothing behind. `story_kind` tells which kind of story a file holds, `names` makes ids and finds by id or label,
//! `rack` keeps the list of what need not be read, `photos` the pictures, `parts` tells what a shelf is made of.

mod names;
mod parts;
mod photos;
mod rack;
mod story_kind;
#[cfg(test)]
mod tests;

pub use names::{ACT_WORDS, Drawer, ListedStory, LookupError, free_id, look_up};
pub use parts::ShelfPart;
pub use photos::PhotoError;
pub use rack::{Rack, RackPot};

use super::files::{self, Lock};
use super::journal::storage::{FsStorage, Storage};
use super::journal::{self, Journal, JournalError, JournalEvent};
use crate::text::FileError;
use crate::units::{Entry, Id, Stamp};
use crate::work::panel::event::PanelEvent;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// How the word of a correction stands in its line.
const CORRECTED_MEMBER: &[u8] = b"\"fact\":\"corrected\"";

/// A data directory.
#[derive(Debug, Clone)]
pub struct Shelf {
    root: PathBuf,
    storage: Arc<dyn Storage>,
}

impl Shelf {
    /// The shelf at `root`, which need not exist. Touches nothing.
    pub fn open(root: impl Into<PathBuf>) -> Self {
        Shelf::with_storage(Arc::new(FsStorage), root)
    }

    /// The shelf at `root` whose journals go through `disk`; names, directories and the lock stay with the system.
    pub fn with_storage(disk: Arc<dyn Storage>, root: impl Into<PathBuf>) -> Self {
        Shelf { root: root.into(), storage: disk }
    }

    /// Where it is.
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// The disk its journals go through.
    pub fn storage(&self) -> &Arc<dyn Storage> {
        &self.storage
    }

    /// The directory of a drawer, whether or not it is there.
    pub fn drawer_path(&self, drawer: Drawer) -> PathBuf {
        self.root.join(drawer.dir_name())
    }

    /// The file of a story, whether or not it is there.
    pub fn story_path(&self, drawer: Drawer, id: &Id) -> PathBuf {
        self.root.join(drawer.dir_name()).join(format!("{id}.jsonl"))
    }

    /// The file of the air's readings, whether or not it is there.
    pub fn air_path(&self) -> PathBuf {
        self.root.join("air.jsonl")
    }

    /// The file of the plans that are kept, whether or not it is there.
    pub fn plan_path(&self) -> PathBuf {
        self.root.join("plan.jsonl")
    }

    /// The file of the cupboard, whether or not it is there.
    pub fn stock_path(&self) -> PathBuf {
        self.root.join("stock.jsonl")
    }

    /// Takes the lock under which everything is written, making the directory if need be.
    ///
    /// # Errors
    /// [`JournalError::Lock`]; waiting for another window ends after about five seconds. [`JournalError::WriteFailed`] if the directory
    /// cannot be made.
    pub fn lock(&self) -> Result<Lock, JournalError> {
        let unmade = |e| JournalError::WriteFailed { path: self.root.clone(), error: FileError::from_io_error(&e) };
        files::ensure_dir(&self.root).map_err(unmade)?;
        Ok(Lock::acquire(&self.root.join("lock"))?)
    }

    /// The ids in a drawer, in their order: every file whose name is an id and `.jsonl`. Empty if there is no drawer.
    ///
    /// # Errors
    /// [`JournalError::ReadFailed`].
    pub fn ids(&self, drawer: Drawer) -> Result<Vec<Id>, JournalError> {
        let dir = self.root.join(drawer.dir_name());
        let unread =
            |e: &std::io::Error| JournalError::ReadFailed { path: dir.clone(), error: FileError::from_io_error(e) };
        let found = match std::fs::read_dir(&dir) {
            Ok(found) => found,
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(Vec::new()),
            Err(e) => return Err(unread(&e)),
        };
        let mut ids = BTreeSet::new();
        for file in found {
            let name = file.map_err(|e| unread(&e))?.file_name();
            ids.extend(name.to_str().and_then(|n| n.strip_suffix(".jsonl")).and_then(Id::new));
        }
        Ok(ids.into_iter().collect())
    }

    /// How many bytes a story's file has, and when it was last written to, as the system tells. Opens nothing.
    pub fn size_and_modified(&self, drawer: Drawer, id: &Id) -> Option<(u64, Stamp)> {
        let about = std::fs::metadata(self.story_path(drawer, id)).ok()?;
        let since = about.modified().ok()?.duration_since(std::time::UNIX_EPOCH).unwrap_or_default();
        Some((about.len(), Stamp::from_ms(i64::try_from(since.as_millis()).unwrap_or(i64::MAX))))
    }

    /// The ids of all panels, in their order.
    ///
    /// # Errors
    /// [`JournalError::ReadFailed`].
    pub fn panel_ids(&self) -> Result<Vec<Id>, JournalError> {
        self.ids(Drawer::Panels)
    }

    /// Opens a story.
    ///
    /// # Errors
    /// [`JournalError::ReadFailed`]; damage is told by the journal.
    pub fn open_story<E: JournalEvent>(
        &self,
        drawer: Drawer,
        id: &Id,
    ) -> Result<(Journal<E>, Vec<Entry<E>>), JournalError> {
        Journal::open(Arc::clone(&self.storage), &self.story_path(drawer, id))
    }

    /// Opens a panel's story.
    ///
    /// # Errors
    /// [`JournalError::ReadFailed`]; damage is told by the journal.
    pub fn open_panel(&self, id: &Id) -> Result<(Journal<PanelEvent>, Vec<Entry<PanelEvent>>), JournalError> {
        self.open_story(Drawer::Panels, id)
    }

    /// Makes a new story, whose opening is made by `opening` from the id that is free for `label`, and gives that id back.
    ///
    /// # Errors
    /// Those of `Journal::create`, and [`JournalError::WriteFailed`] if there is no room for the directory.
    pub fn create_story<E: JournalEvent>(
        &self,
        lock: &Lock,
        drawer: Drawer,
        label: &str,
        opening: impl FnOnce(Id) -> Entry<E>,
    ) -> Result<(Id, Journal<E>, Entry<E>), JournalError> {
        let dir = self.root.join(drawer.dir_name());
        files::ensure_dir(&dir)
            .map_err(|e| JournalError::WriteFailed { path: dir.clone(), error: FileError::from_io_error(&e) })?;
        files::remove_leftovers(&dir);
        let mut taken: BTreeSet<Id> = self.ids(drawer)?.into_iter().collect();
        taken.retain(|id| !self.has_no_first_line::<E>(drawer, id));
        let id = free_id(label, drawer, &taken);
        let path = self.story_path(drawer, &id);
        let entry = opening(id.clone());
        let journal = Journal::create(Arc::clone(&self.storage), &path, lock, &entry)?;
        Ok((id, journal, entry))
    }

    /// Whether the file is what is left of an opening that was never wholly written.
    fn has_no_first_line<E: JournalEvent>(&self, drawer: Drawer, id: &Id) -> bool {
        matches!(
            journal::read_opening::<E>(self.storage.as_ref(), &self.story_path(drawer, id)),
            Err(JournalError::NoFirstLine { .. })
        )
    }

    /// What is filed in a drawer under which label, from the first line of each file, and all of it where that was put right. Where that cannot be read the
    /// label is empty, and the thing is still found by its id.
    ///
    /// # Errors
    /// [`JournalError::ReadFailed`], if the drawer cannot be read.
    pub fn list_stories<E: JournalEvent>(&self, drawer: Drawer) -> Result<Vec<ListedStory>, JournalError> {
        let label = |id: &Id| {
            let path = self.story_path(drawer, id);
            if contains_correction(self.storage.as_ref(), &path).unwrap_or(false) {
                return E::current_label(self.open_story::<E>(drawer, id).ok()?.1);
            }
            let first = journal::read_opening::<E>(self.storage.as_ref(), &path).ok()?;
            first.event.header().map(|h| h.label.to_owned())
        };
        Ok(self.ids(drawer)?.into_iter().map(|id| ListedStory { label: label(&id).unwrap_or_default(), id }).collect())
    }

    /// Finds a story by its id, else its exact label, else an unambiguous beginning of either. First lines are read
    /// only where the id is not there.
    ///
    /// # Errors
    /// [`JournalError::ReadFailed`] outside, `LookupError` inside.
    pub fn find<E: JournalEvent>(&self, drawer: Drawer, query: &str) -> Result<Result<Id, LookupError>, JournalError> {
        let ids = self.ids(drawer)?;
        match ids.into_iter().find(|id| id.as_str() == query) {
            Some(id) => Ok(Ok(id)),
            None => Ok(look_up(&self.list_stories::<E>(drawer)?, drawer.noun(), query)),
        }
    }
}

/// Whether something is put right in that file; looked for without reading what it says, since most stories have none.
fn contains_correction(storage: &dyn Storage, path: &Path) -> std::io::Result<bool> {
    let mut file = storage.open_read(path)?;
    let (mut at, mut piece, mut kept) = (0, vec![0; 1 << 16], Vec::new());
    loop {
        let read = file.read_at(at, &mut piece)?;
        if read == 0 {
            return Ok(false);
        }
        at += read as u64;
        kept.extend_from_slice(&piece[..read]);
        if memchr::memmem::find(&kept, CORRECTED_MEMBER).is_some() {
            return Ok(true);
        }
        kept.drain(..kept.len().saturating_sub(CORRECTED_MEMBER.len()));
    }
}
