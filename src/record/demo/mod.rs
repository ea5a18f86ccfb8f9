//! Invented, finished stories, to look at and to try the program on: a small studio prepares panels for studies of
//! garden birds. The same seed makes the same bytes, whenever and wherever.
//!
//! `chance` the numbers, `studio` which panels there are and what befalls each, `days` the hours, `row` one pair of hands
//! over panels laid side by side, `tale` one panel. Pots, air and inspections have their place in `row`. Absent on
//! purpose: clocks, and any word of a person.

mod chance;
mod days;
mod row;
mod studio;
mod tale;
mod words;

#[cfg(test)]
mod tests;

use super::files::{self, Lock, LockFailure};
use super::journal::Failure;
use super::shelf::{Drawer, Shelf, free_id};
use crate::text::Trouble;
use crate::units::{Id, Span};
use crate::work::panel::refusal::Refusal;
use crate::work::panel::story::Story;
use chance::Chance;
use std::collections::BTreeSet;
use std::fmt;
use std::fs;
use std::path::{Path, PathBuf};

/// As many panels as one dozen of fates takes.
pub const PANELS: u16 = 12;

/// What stories are asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Asked {
    /// How many panels.
    pub panels: u16,
    /// From what they are drawn.
    pub seed: u64,
    /// Whether stories of the same names are replaced; others stay in any case.
    pub force: bool,
}

/// Why no stories were written.
#[derive(Debug, Clone, PartialEq)]
pub enum DemoFailure {
    /// There are panels already.
    HasPanels {
        /// Where.
        dir: PathBuf,
    },
    /// An invented fact was refused: a mistake in this module.
    Refused(Refusal),
    /// A journal could not be written.
    Journal(Failure),
    /// The directory could not be written to.
    Trouble {
        /// Which file or directory.
        path: PathBuf,
        /// What the system says.
        trouble: Trouble,
    },
}

impl fmt::Display for DemoFailure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            DemoFailure::HasPanels { dir } => write!(
                f,
                "{} already has panels; name another directory, or let --force replace those of the same names",
                dir.display()
            ),
            DemoFailure::Refused(refusal) => write!(f, "an invented fact was refused: {refusal}"),
            DemoFailure::Journal(failure) => failure.fmt(f),
            DemoFailure::Trouble { path, trouble } => write!(f, "{}: {trouble}", path.display()),
        }
    }
}

impl std::error::Error for DemoFailure {}

impl From<Failure> for DemoFailure {
    fn from(failure: Failure) -> Self {
        DemoFailure::Journal(failure)
    }
}

impl From<LockFailure> for DemoFailure {
    fn from(failure: LockFailure) -> Self {
        DemoFailure::Journal(failure.into())
    }
}

/// The invented stories, in the order their panels were opened.
///
/// # Errors
/// The refusal of a fact, which is a mistake in this module.
pub fn stories(asked: &Asked) -> Result<Vec<Story>, Refusal> {
    let mut stories = Vec::new();
    let mut taken = BTreeSet::new();
    let mut morning = days::monday(Chance::new(asked.seed, "year").between(0, 47));
    for row in studio::rows(asked.seed, usize::from(asked.panels)) {
        let ids: Vec<Id> = row.panels.iter().map(|bare| file_under(&bare.label, &mut taken)).collect();
        let (tales, free) = row::work(&row, &ids, asked.seed, morning)?;
        stories.extend(tales.iter().map(|t| t.story().clone()));
        morning = free + Span::from_h(20.0);
    }
    Ok(stories)
}

fn file_under(label: &str, taken: &mut BTreeSet<Id>) -> Id {
    let id = free_id(label, Drawer::Panels, taken);
    taken.insert(id.clone());
    id
}

/// Writes invented stories into the data directory `dir`, through the real journals. They are written aside first and
/// then moved, so that a run that is broken off leaves nothing half done. Returns the ids.
///
/// # Errors
/// A [`DemoFailure`]; the stories that were there stay, save those that `force` had already replaced.
pub fn write(dir: &Path, asked: &Asked) -> Result<Vec<Id>, DemoFailure> {
    let there = Shelf::open(dir);
    if !asked.force && !there.panel_ids()?.is_empty() {
        return Err(DemoFailure::HasPanels { dir: dir.to_owned() });
    }
    let stories = stories(asked).map_err(DemoFailure::Refused)?;
    files::ensure_dir(dir).map_err(trouble(dir))?;
    let aside = tempfile::Builder::new().prefix(".demo-").tempdir_in(dir).map_err(trouble(dir))?;
    let ids = write_aside(&Shelf::open(aside.path()), &stories)?;
    move_in(aside.path(), &there, &ids)?;
    Ok(ids)
}

fn trouble(path: &Path) -> impl Fn(std::io::Error) -> DemoFailure {
    move |e| DemoFailure::Trouble { path: path.to_owned(), trouble: Trouble::of(&e) }
}

/// Writes the stories on an empty shelf.
fn write_aside(shelf: &Shelf, stories: &[Story]) -> Result<Vec<Id>, DemoFailure> {
    let lock = shelf.lock()?;
    let mut ids = Vec::new();
    for story in stories {
        let [opening, facts @ ..] = story.entries() else { continue };
        let opened = story.panel().opened();
        let (mut journal, _) = shelf.create_panel(&lock, &opened.label, |_| opening.clone())?;
        for entry in facts {
            journal.append(&lock, entry)?;
        }
        ids.push(opened.id.clone());
    }
    Ok(ids)
}

/// Moves the journals to where they belong, under the lock of that directory if anybody uses it.
fn move_in(aside: &Path, to: &Shelf, ids: &[Id]) -> Result<(), DemoFailure> {
    let used = fs::exists(to.root().join("lock")).map_err(trouble(to.root()))?;
    let _lock: Option<Lock> = if used { Some(to.lock()?) } else { None };
    let panels = to.dir(Drawer::Panels);
    files::ensure_dir(&panels).map_err(trouble(&panels))?;
    for id in ids {
        let file = to.file(Drawer::Panels, id);
        fs::rename(Shelf::open(aside).file(Drawer::Panels, id), &file).map_err(trouble(&file))?;
    }
    files::sync_dir(&panels).map_err(trouble(&panels))
}
