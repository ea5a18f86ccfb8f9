//! Invented, finished stories, to look at and to try the program on: a small studio prepares panels for studies of
//! garden birds. The same seed makes the same bytes, whenever and wherever.
//!
//! `rng` draws the numbers, `calendar` keeps the hours and `studio_air` the air; `studio` plans which panels there are
//! and what befalls each, `row` is one pair of hands over panels laid side by side, `panel_simulation` one panel,
//! `pots` the pots of a row, `pot_simulation` one pot and `jar` how it cools; `trial` is a trial of small boards; `inspections` is what is seen months
//! later, `writer` the way onto disk. No clock is read, and no person is named.

mod calendar;
mod inspections;
mod jar;
mod panel_simulation;
mod planted;
mod pot_simulation;
mod pots;
mod rng;
mod row;
mod shelf_choice;
mod studio;
mod studio_air;
mod trial;
mod words;
mod writer;

#[cfg(test)]
mod tests;

pub use inspections::CrackCause;
#[cfg(test)]
pub use shelf_choice::invent_shelf;
pub use writer::write_demo;

use super::journal::JournalError;
use super::shelf::{Drawer, free_id};
use crate::text::FileError;
use crate::units::{Entry, Id, Span, Stamp};
use crate::work::air;
use crate::work::panel::refusal::PanelRefusal;
use crate::work::panel::state::Panel;
use crate::work::panel::story::PanelStory;
use crate::work::pot::refusal::PotRefusal;
use crate::work::pot::story::PotStory;
use crate::work::story::StoryState;
use crate::work::trial::event::TrialEvent;
use pots::{PotNames, RowPots};
use rng::Rng;
use std::collections::BTreeSet;
use std::fmt;
use std::path::PathBuf;
use studio_air::StudioAir;

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
    /// Whether the studio has made a trial, once its panels were done.
    pub trial: bool,
}

/// An invented shelf.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct InventedShelf {
    /// The panels, in the order they were opened.
    pub panels: Vec<PanelStory>,
    /// Their pots, each size before what was made of it.
    pub pots: Vec<PotStory>,
    /// The trials whose pots and boards are among them.
    pub trials: Vec<Entry<TrialEvent>>,
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

/// Invents the shelf of a studio at its work.
///
/// # Errors
/// The refusal of a fact, which is a mistake in this module.
fn invent_studio_shelf(options: &DemoOptions) -> Result<InventedShelf, DemoError> {
    let weather = StudioAir::new(options.seed);
    let mut shelf = InventedShelf::default();
    let (mut taken, mut names) = (BTreeSet::new(), PotNames::default());
    let mut morning = first_morning(options.seed);
    for (nth, row) in studio::plan_rows(options.seed, usize::from(options.panels)).iter().enumerate() {
        morning = calendar::next_working_time(morning, Span::ZERO);
        let ids: Vec<Id> = row.panels.iter().map(|bare| assign_id(&bare.label, &mut taken)).collect();
        let pots = RowPots::plan(row, nth, morning, options.seed, &mut names);
        let worked = row::work_row(row, &ids, &pots, weather, options.seed, morning)?;
        let laid: Vec<&PanelStory> = worked.panels.iter().map(panel_simulation::PanelSimulation::story).collect();
        let forgotten = worked.forgotten.as_ref();
        let away = forgotten.map(|(id, away)| (id, *away));
        shelf.pots.extend(pots.simulate_pots(row, &laid, away, options.seed, weather)?);
        for (bare, story) in row.panels.iter().zip(laid) {
            let hot = forgotten.is_some_and(|(pot, (_, until))| has_coat_from(story.panel(), pot, *until));
            let told =
                if bare.is_inspected { inspections::add_inspections(story, hot, options.seed)? } else { story.clone() };
            shelf.panels.push(told);
        }
        morning = worked.free_at + Span::from_h(20.0);
    }
    if options.trial {
        let mut taken_pots = shelf.pots.iter().map(|s| s.pot().opened().id.clone()).collect();
        let invented =
            trial::invent_trial(options.seed, morning, &mut taken_pots, &mut taken).map_err(DemoError::Refused)?;
        shelf.pots.extend(invented.pots);
        shelf.panels.extend(invented.boards);
        shelf.trials.push(invented.opened);
    }
    shelf.take_air(weather);
    Ok(shelf)
}

fn first_morning(seed: u64) -> Stamp {
    calendar::monday_midnight(Rng::new(seed, "year").draw_int(START_WEEKS.0, START_WEEKS.1))
}

impl InventedShelf {
    /// The readings from its first pot to its last fact.
    fn take_air(&mut self, weather: StudioAir) {
        let opened = self.pots.iter().map(|s| s.pot().opened_at().wall).min();
        let last = self.panels.iter().map(PanelStory::last_fact_at).max();
        self.air = opened.zip(last).map_or_else(Vec::new, |(from, to)| weather.readings_between(from, to));
    }
}

/// Whether a standing coat of that panel was laid from that pot after that time.
fn has_coat_from(panel: &Panel, pot: &Id, after: Stamp) -> bool {
    let laid = panel.steps().iter().filter_map(|s| s.laid_coat());
    laid.filter(|l| l.event.pot.as_ref() == Some(pot)).any(|l| l.done_at.wall > after)
}

fn assign_id(label: &str, taken: &mut BTreeSet<Id>) -> Id {
    let id = free_id(label, Drawer::Panels, taken);
    taken.insert(id.clone());
    id
}
