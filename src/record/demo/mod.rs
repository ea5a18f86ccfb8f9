//! Invented, finished stories, to look at and to try the program on: a small studio prepares panels for studies of
//! garden birds. The same seed makes the same bytes, whenever and wherever.
//!
//! `chance` the numbers, `days` the hours, `weather` the air, `studio` which panels there are and what befalls each, `row`
//! one pair of hands over panels laid side by side, `tale` one panel, `pots` the pots of a row, `kettle` one pot, `warmth`
//! how it cools, `looks` what is seen months later, `keep` the way onto disk. Absent on purpose: clocks, and any word of a
//! person.

mod chance;
mod days;
mod keep;
mod kettle;
mod looks;
mod pots;
mod row;
mod studio;
mod tale;
mod warmth;
mod weather;
mod words;

#[cfg(test)]
mod tests;

pub use keep::write;

use super::journal::Failure;
use super::shelf::{Drawer, free_id};
use crate::text::Trouble;
use crate::units::{Entry, Id, Span, Stamp};
use crate::work::air;
use crate::work::panel::fold::Panel;
use crate::work::panel::refusal::Refusal as PanelRefusal;
use crate::work::panel::story::Story as PanelStory;
use crate::work::pot::refusal::Refusal as PotRefusal;
use crate::work::pot::story::Story as PotStory;
use chance::Chance;
use pots::{Names, RowPots};
use std::collections::BTreeSet;
use std::fmt;
use std::path::PathBuf;
use weather::Weather;

/// As many panels as one dozen of fates takes.
pub const PANELS: u16 = 12;

/// Why panels of an invented shelf crack. The work is the same for every cause; what comes of it differs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// The gesso of a pot that was forgotten in its bath cracks; one in twenty of the others does, by chance.
    Overheated,
    /// None: one panel in four cracks, by chance, whatever was done to it.
    Chance,
}

impl Cause {
    /// Every cause, in the order they are told.
    pub const ALL: [Cause; 2] = [Cause::Overheated, Cause::Chance];
    /// The word it is asked for by.
    pub const fn name(self) -> &'static str {
        match self {
            Cause::Overheated => "overheated",
            Cause::Chance => "none",
        }
    }
    /// The cause of that name.
    pub fn named(name: &str) -> Option<Cause> {
        Cause::ALL.into_iter().find(|c| c.name() == name)
    }
}

/// What stories are asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Asked {
    /// How many panels.
    pub panels: u16,
    /// From what they are drawn.
    pub seed: u64,
    /// What makes panels crack.
    pub cause: Cause,
    /// Whether stories of the same names are replaced, and the readings of the air; others stay in any case.
    pub force: bool,
}

/// An invented shelf.
#[derive(Debug, Clone, PartialEq)]
pub struct Invented {
    /// The panels, in the order they were opened.
    pub panels: Vec<PanelStory>,
    /// Their pots, each size before what was made of it.
    pub pots: Vec<PotStory>,
    /// The readings of the air, by time.
    pub air: Vec<Entry<air::Event>>,
}

/// Why no stories were written.
#[derive(Debug, Clone, PartialEq)]
pub enum DemoFailure {
    /// There are stories already.
    HasStories {
        /// Where.
        dir: PathBuf,
    },
    /// The rules refuse an invented fact, and say why: a mistake in this module.
    Refused(String),
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
            DemoFailure::HasStories { dir } => write!(
                f,
                "{} already has panels, pots or readings of the air; name another directory, or let --force replace those of the same names, and the readings",
                dir.display()
            ),
            DemoFailure::Refused(refused) => write!(f, "an invented fact was refused: {refused}"),
            DemoFailure::Journal(failure) => failure.fmt(f),
            DemoFailure::Trouble { path, trouble } => write!(f, "{}: {trouble}", path.display()),
        }
    }
}

impl std::error::Error for DemoFailure {}

impl From<PanelRefusal> for DemoFailure {
    fn from(refusal: PanelRefusal) -> Self {
        DemoFailure::Refused(refusal.to_string())
    }
}

impl From<PotRefusal> for DemoFailure {
    fn from(refusal: PotRefusal) -> Self {
        DemoFailure::Refused(refusal.to_string())
    }
}

impl From<Failure> for DemoFailure {
    fn from(failure: Failure) -> Self {
        DemoFailure::Journal(failure)
    }
}

/// The weeks of 2024 in which the studio begins, so that its first winter falls into the stories.
const BEGINS_WEEK: (i64, i64) = (37, 43);

/// Invents a shelf.
///
/// # Errors
/// The refusal of a fact, which is a mistake in this module.
pub fn invent(asked: &Asked) -> Result<Invented, DemoFailure> {
    let weather = Weather::new(asked.seed);
    let mut shelf = Invented { panels: Vec::new(), pots: Vec::new(), air: Vec::new() };
    let (mut taken, mut names) = (BTreeSet::new(), Names::default());
    let mut morning = days::monday(Chance::new(asked.seed, "year").between(BEGINS_WEEK.0, BEGINS_WEEK.1));
    for (nth, row) in studio::rows(asked.seed, usize::from(asked.panels)).iter().enumerate() {
        morning = days::open_at(morning, Span::ZERO);
        let ids: Vec<Id> = row.panels.iter().map(|bare| file_under(&bare.label, &mut taken)).collect();
        let pots = RowPots::plan(row, nth, morning, asked.seed, &mut names);
        let worked = row::work(row, &ids, &pots, weather, asked.seed, morning)?;
        let laid: Vec<&PanelStory> = worked.tales.iter().map(tale::Tale::story).collect();
        let forgotten = worked.forgotten.as_ref();
        let away = forgotten.map(|(id, away)| (id, *away));
        shelf.pots.extend(pots.tell(row, &laid, away, asked.seed, weather)?);
        for (bare, story) in row.panels.iter().zip(laid) {
            let hot = forgotten.is_some_and(|(pot, (_, until))| laid_from(story.panel(), pot, *until));
            let told = if bare.looked_at { looks::look(story, hot, asked.cause, asked.seed)? } else { story.clone() };
            shelf.panels.push(told);
        }
        morning = worked.free + Span::from_h(20.0);
    }
    let opened = shelf.pots.iter().map(|s| s.pot().opened_at().wall).min();
    let last = shelf.panels.iter().map(PanelStory::last_at).max();
    shelf.air = opened.zip(last).map_or_else(Vec::new, |(from, to)| weather.readings(from, to));
    Ok(shelf)
}

/// Whether a standing coat of that panel was laid from that pot after that time.
fn laid_from(panel: &Panel, pot: &Id, after: Stamp) -> bool {
    let laid = panel.steps().iter().filter_map(|s| s.laid());
    laid.filter(|l| l.fact.pot.as_ref() == Some(pot)).any(|l| l.done.wall > after)
}

fn file_under(label: &str, taken: &mut BTreeSet<Id>) -> Id {
    let id = free_id(label, Drawer::Panels, taken);
    taken.insert(id.clone());
    id
}
