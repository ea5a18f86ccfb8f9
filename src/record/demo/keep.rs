//! The way of invented stories onto disk: through the real journals, aside first, then moved in.
//!
//! Absent on purpose: what is in them (`invent`).

use super::{Asked, DemoFailure, Invented, invent};
use crate::record::files::{self, Lock};
use crate::record::journal::{Fact, Journal};
use crate::record::shelf::{Drawer, Shelf};
use crate::text::Trouble;
use crate::units::{Entry, Id};
use std::fs;
use std::path::Path;
use std::sync::Arc;

/// Writes invented stories into the data directory `dir`, through the real journals. They are written aside first and
/// then moved, the panels last, so that a run that is broken off leaves no panel whose pots or air are missing. Returns
/// the ids of the panels.
///
/// # Errors
/// A [`DemoFailure`]; the stories that were there stay, save those that `force` had already replaced.
pub fn write(dir: &Path, asked: &Asked) -> Result<Vec<Id>, DemoFailure> {
    let there = Shelf::open(dir);
    if !asked.force && has_stories(&there)? {
        return Err(DemoFailure::HasStories { dir: dir.to_owned() });
    }
    let shelf = invent(asked)?;
    files::ensure_dir(dir).map_err(trouble(dir))?;
    let aside = tempfile::Builder::new().prefix(".demo-").tempdir_in(dir).map_err(trouble(dir))?;
    let aside = Shelf::open(aside.path());
    write_aside(&aside, &shelf)?;
    move_in(&aside, &there)?;
    Ok(shelf.panels.iter().map(|s| s.panel().opened().id.clone()).collect())
}

fn has_stories(shelf: &Shelf) -> Result<bool, DemoFailure> {
    let air = fs::exists(shelf.air_file()).map_err(trouble(&shelf.air_file()))?;
    Ok(air || !shelf.panel_ids()?.is_empty() || !shelf.ids(Drawer::Pots)?.is_empty())
}

fn trouble(path: &Path) -> impl Fn(std::io::Error) -> DemoFailure {
    move |e| DemoFailure::Trouble { path: path.to_owned(), trouble: Trouble::of(&e) }
}

/// Writes the stories on an empty shelf.
fn write_aside(shelf: &Shelf, invented: &Invented) -> Result<(), DemoFailure> {
    let lock = shelf.lock()?;
    for story in &invented.pots {
        write_one(shelf, &lock, Drawer::Pots, &story.pot().opened().id, story.entries())?;
    }
    for story in &invented.panels {
        write_one(shelf, &lock, Drawer::Panels, &story.panel().opened().id, story.entries())?;
    }
    write_lines(shelf, &lock, &shelf.air_file(), &invented.air)
}

fn write_one<E: Fact>(
    shelf: &Shelf,
    lock: &Lock,
    drawer: Drawer,
    id: &Id,
    entries: &[Entry<E>],
) -> Result<(), DemoFailure> {
    let dir = shelf.dir(drawer);
    files::ensure_dir(&dir).map_err(trouble(&dir))?;
    write_lines(shelf, lock, &shelf.file(drawer, id), entries)
}

fn write_lines<E: Fact>(shelf: &Shelf, lock: &Lock, path: &Path, entries: &[Entry<E>]) -> Result<(), DemoFailure> {
    let [first, others @ ..] = entries else { return Ok(()) };
    let mut journal = Journal::create(Arc::clone(shelf.disk()), path, lock, first)?;
    for entry in others {
        journal.append(lock, entry)?;
    }
    Ok(())
}

/// Moves the journals to where they belong, under the lock of that directory if anybody uses it.
fn move_in(aside: &Shelf, to: &Shelf) -> Result<(), DemoFailure> {
    let used = fs::exists(to.root().join("lock")).map_err(trouble(to.root()))?;
    let _lock: Option<Lock> = if used { Some(to.lock()?) } else { None };
    let air = aside.air_file();
    if fs::exists(&air).map_err(trouble(&air))? {
        fs::rename(air, to.air_file()).map_err(trouble(&to.air_file()))?;
    }
    for drawer in [Drawer::Pots, Drawer::Panels] {
        let dir = to.dir(drawer);
        files::ensure_dir(&dir).map_err(trouble(&dir))?;
        for id in aside.ids(drawer)? {
            let file = to.file(drawer, &id);
            fs::rename(aside.file(drawer, &id), &file).map_err(trouble(&file))?;
        }
        files::sync_dir(&dir).map_err(trouble(&dir))?;
    }
    files::sync_dir(to.root()).map_err(trouble(to.root()))
}
