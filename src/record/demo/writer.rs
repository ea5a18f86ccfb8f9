//! The way of invented stories onto disk: through the real journals, aside first, then moved in.

use super::shelf_choice::invent_shelf;
use super::{DemoError, DemoOptions, InventedShelf};
use crate::record::files::{self, Lock};
use crate::record::journal::{Journal, JournalEvent};
use crate::record::shelf::{Drawer, Shelf};
use crate::text::FileError;
use crate::units::{Entry, Id};
use std::fs;
use std::path::Path;
use std::sync::Arc;

/// Writes invented stories into the data directory `dir`, through the real journals. They are written aside first and
/// then moved, the panels last, so that a run that is broken off leaves no panel whose pots or air are missing. Returns
/// the ids of the panels.
///
/// # Errors
/// A `DemoError`; the stories that were there stay, save those that `force` had already replaced.
pub fn write_demo(dir: &Path, options: &DemoOptions) -> Result<Vec<Id>, DemoError> {
    let there = Shelf::open(dir);
    if !options.force && has_stories(&there)? {
        return Err(DemoError::HasStories { dir: dir.to_owned() });
    }
    let shelf = invent_shelf(options)?;
    files::ensure_dir(dir).map_err(io_error(dir))?;
    let aside = tempfile::Builder::new().prefix(".demo-").tempdir_in(dir).map_err(io_error(dir))?;
    let aside = Shelf::open(aside.path());
    write_stories(&aside, &shelf)?;
    move_journals(&aside, &there)?;
    Ok(shelf.panels.iter().map(|s| s.panel().opened().id.clone()).collect())
}

fn has_stories(shelf: &Shelf) -> Result<bool, DemoError> {
    let air = fs::exists(shelf.air_path()).map_err(io_error(&shelf.air_path()))?;
    Ok(air
        || !shelf.panel_ids()?.is_empty()
        || !shelf.ids(Drawer::Pots)?.is_empty()
        || !shelf.ids(Drawer::Trials)?.is_empty())
}

fn io_error(path: &Path) -> impl Fn(std::io::Error) -> DemoError {
    move |e| DemoError::Io { path: path.to_owned(), error: FileError::from_io_error(&e) }
}

/// Writes the stories on an empty shelf.
fn write_stories(shelf: &Shelf, invented: &InventedShelf) -> Result<(), DemoError> {
    let lock = shelf.lock()?;
    for story in &invented.pots {
        write_story(shelf, &lock, Drawer::Pots, &story.pot().opened().id, story.entries())?;
    }
    for opened in &invented.trials {
        if let Some(id) = opened.event.header().and_then(|header| header.id) {
            write_story(shelf, &lock, Drawer::Trials, id, std::slice::from_ref(opened))?;
        }
    }
    for story in &invented.panels {
        write_story(shelf, &lock, Drawer::Panels, &story.panel().opened().id, story.entries())?;
    }
    write_lines(shelf, &lock, &shelf.air_path(), &invented.air)
}

fn write_story<E: JournalEvent>(
    shelf: &Shelf,
    lock: &Lock,
    drawer: Drawer,
    id: &Id,
    entries: &[Entry<E>],
) -> Result<(), DemoError> {
    let dir = shelf.drawer_path(drawer);
    files::ensure_dir(&dir).map_err(io_error(&dir))?;
    write_lines(shelf, lock, &shelf.story_path(drawer, id), entries)
}

fn write_lines<E: JournalEvent>(
    shelf: &Shelf,
    lock: &Lock,
    path: &Path,
    entries: &[Entry<E>],
) -> Result<(), DemoError> {
    let [first, others @ ..] = entries else { return Ok(()) };
    let mut journal = Journal::create(Arc::clone(shelf.storage()), path, lock, first)?;
    for entry in others {
        journal.append(lock, entry)?;
    }
    Ok(())
}

/// Moves the journals to where they belong, under the lock of that directory if anybody uses it.
fn move_journals(aside: &Shelf, to: &Shelf) -> Result<(), DemoError> {
    let used = fs::exists(to.root().join("lock")).map_err(io_error(to.root()))?;
    let _lock: Option<Lock> = if used { Some(to.lock()?) } else { None };
    let air = aside.air_path();
    if fs::exists(&air).map_err(io_error(&air))? {
        fs::rename(air, to.air_path()).map_err(io_error(&to.air_path()))?;
    }
    for drawer in [Drawer::Pots, Drawer::Trials, Drawer::Panels] {
        let ids = aside.ids(drawer)?;
        if ids.is_empty() && drawer == Drawer::Trials {
            continue;
        }
        let dir = to.drawer_path(drawer);
        files::ensure_dir(&dir).map_err(io_error(&dir))?;
        for id in ids {
            let file = to.story_path(drawer, &id);
            fs::rename(aside.story_path(drawer, &id), &file).map_err(io_error(&file))?;
        }
        files::sync_dir(&dir).map_err(io_error(&dir))?;
    }
    files::sync_dir(to.root()).map_err(io_error(to.root()))
}
