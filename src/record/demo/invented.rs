//! An invented shelf, what is asked of it, and why it could not be made.

use super::calendar;
use super::inspections::CrackCause;
use super::rng::Rng;
use super::studio_air::StudioAir;
use crate::record::journal::JournalError;
use crate::record::shelf::{Drawer, free_id};
use crate::text::FileError;
use crate::units::{Entry, Id, Stamp};
use crate::work::air;
use crate::work::panel::refusal::PanelRefusal;
use crate::work::panel::story::PanelStory;
use crate::work::pot::refusal::PotRefusal;
use crate::work::pot::story::PotStory;
use crate::work::story::StoryState;
use std::collections::BTreeSet;
use std::fmt;
use std::path::PathBuf;

/// What stories are asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DemoOptions {
    /// How many panels.
    pub panels: u16,
    /// From what they are drawn.
    pub seed: u64,
    /// What makes panels crack.
    pub cause: CrackCause,
    /// Whether stories of the same names are replaced, and the readings of the air; others stay in any case.
    pub force: bool,
}

/// An invented shelf.
#[derive(Debug, Clone, PartialEq)]
pub struct InventedShelf {
    /// The panels, in the order they were opened.
    pub panels: Vec<PanelStory>,
    /// Their pots, each size before what was made of it.
    pub pots: Vec<PotStory>,
    /// The readings of the air, by time.
    pub air: Vec<Entry<air::AirEvent>>,
}

/// Why no stories were written.
#[derive(Debug, Clone, PartialEq)]
pub enum DemoError {
    /// There are stories already.
    HasStories {
        /// Where.
        dir: PathBuf,
    },
    /// The rules refuse an invented fact, and say why: a mistake in this module.
    Refused(String),
    /// A journal could not be written.
    Journal(JournalError),
    /// The directory could not be written to.
    Io {
        /// Which file or directory.
        path: PathBuf,
        /// What the system says.
        error: FileError,
    },
}

impl fmt::Display for DemoError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            DemoError::HasStories { dir } => write!(
                f,
                "{} already has panels, pots or readings of the air; name another directory, or let --force replace those of the same names, and the readings",
                dir.display()
            ),
            DemoError::Refused(refused) => write!(f, "an invented fact was refused: {refused}"),
            DemoError::Journal(failure) => failure.fmt(f),
            DemoError::Io { path, error: trouble } => write!(f, "{}: {trouble}", path.display()),
        }
    }
}

impl std::error::Error for DemoError {}

impl From<PanelRefusal> for DemoError {
    fn from(refusal: PanelRefusal) -> Self {
        DemoError::Refused(refusal.to_string())
    }
}

impl From<PotRefusal> for DemoError {
    fn from(refusal: PotRefusal) -> Self {
        DemoError::Refused(refusal.to_string())
    }
}

impl From<JournalError> for DemoError {
    fn from(error: JournalError) -> Self {
        DemoError::Journal(error)
    }
}

/// The weeks of 2024 in which the studio begins, so that its first winter falls into the stories.
const START_WEEKS: (i64, i64) = (37, 43);

/// The morning on which the studio begins.
pub(super) fn first_morning(seed: u64) -> Stamp {
    calendar::monday_midnight(Rng::new(seed, "year").draw_int(START_WEEKS.0, START_WEEKS.1))
}

impl InventedShelf {
    /// The readings from its first pot to its last fact.
    pub(super) fn take_air(&mut self, weather: StudioAir) {
        let opened = self.pots.iter().map(|s| s.pot().opened_at().wall).min();
        let last = self.panels.iter().map(PanelStory::last_fact_at).max();
        self.air = opened.zip(last).map_or_else(Vec::new, |(from, to)| weather.readings_between(from, to));
    }
}

/// What a panel of that label is filed under.
pub(super) fn assign_id(label: &str, taken: &mut BTreeSet<Id>) -> Id {
    let id = free_id(label, Drawer::Panels, taken);
    taken.insert(id.clone());
    id
}
