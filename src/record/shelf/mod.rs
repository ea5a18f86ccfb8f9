//! Where the stories lie.
//!
//! ```text
//! DATA/panels/<id>.jsonl   DATA/pots/<id>.jsonl   DATA/air.jsonl   DATA/lock   DATA/rack.json
//! ```
//!
//! Directories are made when something is first written; looking at a shelf that is not there finds it empty and
//! leaves nothing behind. `kinds` tells which kind of story a file holds, `names` makes ids and finds by id or label, `rack` keeps the list of unfinished panels.
//! Absent on purpose: what stands in the stories (`work`), which directory is DATA (`config`).

mod kinds;
mod names;
mod rack;
#[cfg(test)]
mod tests;

pub use names::{Filed, NotFound, free_id, look_up};

use super::files::{self, Lock};
use super::journal::storage::{Disk, RealDisk};
use super::journal::{self, Fact, Failure, Journal};
use crate::text::Trouble;
use crate::units::{Entry, Id, Stamp};
use crate::work::panel::event::Event;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// A part of the shelf that holds many stories of one kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Drawer {
    /// The panels.
    Panels,
    /// The pots.
    Pots,
}

impl Drawer {
    /// The name of its directory.
    pub const fn dir(self) -> &'static str {
        match self {
            Drawer::Panels => "panels",
            Drawer::Pots => "pots",
        }
    }
    /// What one of its things is called.
    pub const fn one(self) -> &'static str {
        match self {
            Drawer::Panels => "panel",
            Drawer::Pots => "pot",
        }
    }
}

/// A data directory.
#[derive(Debug, Clone)]
pub struct Shelf {
    root: PathBuf,
    disk: Arc<dyn Disk>,
}

impl Shelf {
    /// The shelf at `root`, which need not exist. Touches nothing.
    pub fn open(root: impl Into<PathBuf>) -> Self {
        Shelf::on(Arc::new(RealDisk), root)
    }

    /// The shelf at `root` whose journals go through `disk`; names, directories and the lock stay with the system.
    pub fn on(disk: Arc<dyn Disk>, root: impl Into<PathBuf>) -> Self {
        Shelf { root: root.into(), disk }
    }

    /// Where it is.
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// The disk its journals go through.
    pub fn disk(&self) -> &Arc<dyn Disk> {
        &self.disk
    }

    /// The directory of a drawer, whether or not it is there.
    pub fn dir(&self, drawer: Drawer) -> PathBuf {
        self.root.join(drawer.dir())
    }

    /// The file of a story, whether or not it is there.
    pub fn file(&self, drawer: Drawer, id: &Id) -> PathBuf {
        self.root.join(drawer.dir()).join(format!("{id}.jsonl"))
    }

    /// The file of the air's readings, whether or not it is there.
    pub fn air_file(&self) -> PathBuf {
        self.root.join("air.jsonl")
    }

    /// Takes the lock under which everything is written, making the directory if need be.
    ///
    /// # Errors
    /// [`Failure::Lock`]; waiting for another window ends after about five seconds. [`Failure::NotSaved`] if the directory
    /// cannot be made.
    pub fn lock(&self) -> Result<Lock, Failure> {
        let unmade = |e| Failure::NotSaved { path: self.root.clone(), trouble: Trouble::of(&e) };
        files::ensure_dir(&self.root).map_err(unmade)?;
        Ok(Lock::take(&self.root.join("lock"))?)
    }

    /// The ids in a drawer, in their order: every file whose name is an id and `.jsonl`. Empty if there is no drawer.
    ///
    /// # Errors
    /// [`Failure::Unread`].
    pub fn ids(&self, drawer: Drawer) -> Result<Vec<Id>, Failure> {
        let dir = self.root.join(drawer.dir());
        let unread = |e: &std::io::Error| Failure::Unread { path: dir.clone(), trouble: Trouble::of(e) };
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
    pub fn extent(&self, drawer: Drawer, id: &Id) -> Option<(u64, Stamp)> {
        let about = std::fs::metadata(self.file(drawer, id)).ok()?;
        let since = about.modified().ok()?.duration_since(std::time::UNIX_EPOCH).unwrap_or_default();
        Some((about.len(), Stamp::from_ms(i64::try_from(since.as_millis()).unwrap_or(i64::MAX))))
    }

    /// The ids of all panels, in their order.
    ///
    /// # Errors
    /// [`Failure::Unread`].
    pub fn panel_ids(&self) -> Result<Vec<Id>, Failure> {
        self.ids(Drawer::Panels)
    }

    /// Opens a story.
    ///
    /// # Errors
    /// [`Failure::Unread`]; damage is told by the journal.
    pub fn open_story<E: Fact>(&self, drawer: Drawer, id: &Id) -> Result<(Journal<E>, Vec<Entry<E>>), Failure> {
        Journal::open(Arc::clone(&self.disk), &self.file(drawer, id))
    }

    /// Opens a panel's story.
    ///
    /// # Errors
    /// [`Failure::Unread`]; damage is told by the journal.
    pub fn open_panel(&self, id: &Id) -> Result<(Journal<Event>, Vec<Entry<Event>>), Failure> {
        self.open_story(Drawer::Panels, id)
    }

    /// Makes a new story, whose opening is made by `opening` from the id that is free for `label`.
    ///
    /// # Errors
    /// Those of [`Journal::create`], and [`Failure::NotSaved`] if there is no room for the directory.
    pub fn create_story<E: Fact>(
        &self,
        lock: &Lock,
        drawer: Drawer,
        label: &str,
        opening: impl FnOnce(Id) -> Entry<E>,
    ) -> Result<(Journal<E>, Entry<E>), Failure> {
        let dir = self.root.join(drawer.dir());
        files::ensure_dir(&dir).map_err(|e| Failure::NotSaved { path: dir.clone(), trouble: Trouble::of(&e) })?;
        let mut taken: BTreeSet<Id> = self.ids(drawer)?.into_iter().collect();
        taken.retain(|id| !self.never_begun::<E>(drawer, id));
        let id = free_id(label, drawer, &taken);
        let path = self.file(drawer, &id);
        let entry = opening(id);
        let journal = Journal::create(Arc::clone(&self.disk), &path, lock, &entry)?;
        Ok((journal, entry))
    }

    /// Makes a new panel's story, whose opening is made by `opening` from the id that is free for `label`.
    ///
    /// # Errors
    /// Those of [`Shelf::create_story`].
    pub fn create_panel(
        &self,
        lock: &Lock,
        label: &str,
        opening: impl FnOnce(Id) -> Entry<Event>,
    ) -> Result<(Journal<Event>, Entry<Event>), Failure> {
        self.create_story(lock, Drawer::Panels, label, opening)
    }

    /// Whether the file is what is left of an opening that was never wholly written.
    fn never_begun<E: Fact>(&self, drawer: Drawer, id: &Id) -> bool {
        matches!(journal::first::<E>(self.disk.as_ref(), &self.file(drawer, id)), Err(Failure::NoBeginning { .. }))
    }

    /// What is filed in a drawer under which label, from the first line of each file. Where that cannot be read the
    /// label is empty, and the thing is still found by its id.
    ///
    /// # Errors
    /// [`Failure::Unread`], if the drawer cannot be read.
    pub fn filed<E: Fact>(&self, drawer: Drawer) -> Result<Vec<Filed>, Failure> {
        let label = |id: &Id| {
            let first = journal::first::<E>(self.disk.as_ref(), &self.file(drawer, id)).ok()?;
            first.event.header().map(|h| h.label.to_owned())
        };
        Ok(self.ids(drawer)?.into_iter().map(|id| Filed { label: label(&id).unwrap_or_default(), id }).collect())
    }

    /// Finds a story by its id, else its exact label, else an unambiguous beginning of either. First lines are read
    /// only where the id is not there.
    ///
    /// # Errors
    /// [`Failure::Unread`] outside, [`NotFound`] inside.
    pub fn find<E: Fact>(&self, drawer: Drawer, asked: &str) -> Result<Result<Id, NotFound>, Failure> {
        let ids = self.ids(drawer)?;
        match ids.into_iter().find(|id| id.as_str() == asked) {
            Some(id) => Ok(Ok(id)),
            None => Ok(look_up(&self.filed::<E>(drawer)?, drawer.one(), asked)),
        }
    }
}
