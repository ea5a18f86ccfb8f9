//! Trials: how one is kept, and its jars and boards opened; how kept ones are read.

use super::Bench;
use super::journaled_story::RecordError;
use crate::craft::materials::fillers::BulkDensities;
use crate::craft::physics::OutOfRange;
use crate::record::journal::{Journal, JournalError, read_opening};
use crate::record::shelf::{Drawer, Shelf};
use crate::units::{Entry, Id, Moment, Stamp};
use crate::work::panel::event::PanelEvent;
use crate::work::panel::refusal::PanelRefusal;
use crate::work::panel::story::PanelStory;
use crate::work::pot::event::PotEvent;
use crate::work::story::OrderRefusal;
use crate::work::trial::amounts::{TrialAmounts, compute_trial_amounts};
use crate::work::trial::event::{TrialEvent, TrialOpened};
use crate::work::trial::openings::{board_opened, jar_openings};
use std::fmt;

/// A trial as it is kept.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptTrial {
    /// When it was drawn.
    pub opened_at: Moment,
    /// What was drawn.
    pub trial: TrialOpened,
}

/// Why a trial was not opened, or not all of it.
#[derive(Debug)]
pub enum TrialError {
    /// There is one of that name.
    Exists {
        /// The name.
        label: String,
    },
    /// It could not be kept.
    Record(RecordError),
    /// Its amounts cannot be reckoned.
    OutOfRange(OutOfRange),
    /// It is kept, but not all of its jars and boards could be opened.
    Halfway {
        /// How many boards are open.
        boards: usize,
        /// Why the next is not.
        cause: RecordError,
    },
}

impl fmt::Display for TrialError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            TrialError::Exists { label } => write!(
                f,
                "there is a trial \"{label}\", and a trial is not changed once its lots are drawn; open another under another name"
            ),
            TrialError::Record(error) => error.fmt(f),
            TrialError::OutOfRange(error) => error.fmt(f),
            TrialError::Halfway { boards, cause } => {
                write!(f, "the lots are drawn and kept, but only {boards} boards could be opened: {cause}")
            }
        }
    }
}

impl std::error::Error for TrialError {}

impl<E: Into<RecordError>> From<E> for TrialError {
    fn from(error: E) -> Self {
        TrialError::Record(error.into())
    }
}

impl Bench {
    /// Keeps a trial, then opens its jars and its boards. Its id and the number of its first board are given here.
    ///
    /// # Errors
    /// A `TrialError`; nothing is kept but where it says so.
    pub fn open_trial(
        &mut self,
        asked: &TrialOpened,
        bulk: &BulkDensities,
        at: Option<Stamp>,
        now: &dyn Fn() -> Moment,
    ) -> Result<KeptTrial, TrialError> {
        let amounts = compute_trial_amounts(asked, bulk).map_err(TrialError::OutOfRange)?;
        let kept = self.keep_trial(asked, at, now)?;
        self.open_jars(&kept.trial, &amounts, at, now).map_err(|cause| TrialError::Halfway { boards: 0, cause })?;
        for run in 1..=kept.trial.lots.boards.len() {
            let opened = self.open_board(&kept.trial, run as u32, at, now);
            opened.map_err(|cause| TrialError::Halfway { boards: run - 1, cause })?;
        }
        Ok(kept)
    }

    fn keep_trial(
        &mut self,
        asked: &TrialOpened,
        at: Option<Stamp>,
        now: &dyn Fn() -> Moment,
    ) -> Result<KeptTrial, TrialError> {
        let lock = self.shelf.lock()?;
        let written = now();
        let at = at.unwrap_or(written.wall);
        OrderRefusal::check_not_ahead(at, written.wall).map_err(PanelRefusal::from)?;
        let listed = self.shelf.list_stories::<TrialEvent>(Drawer::Trials)?;
        if listed.iter().any(|l| l.label == asked.label) {
            return Err(TrialError::Exists { label: asked.label.clone() });
        }
        let first_number = self.next_board_number()?;
        let trial = |id| TrialOpened { id, first_number, ..asked.clone() };
        let entry = |id| Entry {
            seq: 0,
            at,
            written,
            raw_wall: None,
            replaces: None,
            event: TrialEvent::Opened(Box::new(trial(id))),
        };
        let (id, _, entry) = self.shelf.create_story(&lock, Drawer::Trials, &asked.label, entry)?;
        Ok(KeptTrial { opened_at: entry.moment(), trial: trial(id) })
    }

    /// The number of the next board: boards are numbered through all trials, and no number that stands on a panel is given
    /// again.
    fn next_board_number(&self) -> Result<u32, JournalError> {
        let of_trials = load_trials(&self.shelf)?;
        let trials = of_trials.iter().flatten().map(|t| t.trial.first_number + t.trial.design.boards);
        let panels = self.shelf.list_stories::<PanelEvent>(Drawer::Panels)?;
        let numbered = panels.iter().filter_map(|p| p.label.strip_prefix('T')?.parse::<u32>().ok()?.checked_add(1));
        Ok(trials.chain(numbered).max().unwrap_or(1))
    }

    /// The stock, the size for the wood where that is another, and the jars.
    fn open_jars(
        &mut self,
        trial: &TrialOpened,
        amounts: &TrialAmounts,
        at: Option<Stamp>,
        now: &dyn Fn() -> Moment,
    ) -> Result<(), RecordError> {
        let lock = self.shelf.lock()?;
        let mut stock = None;
        for jar in jar_openings(trial, amounts) {
            let label = jar.label.clone();
            let event = |id| PotEvent::Opened(Box::new(jar.into_opened(trial, id, stock.clone())));
            let opened = self.pots.create(&self.shelf, &lock, &label, (at, now()), event)?;
            // The stock comes first, and everything else is poured from it.
            stock.get_or_insert(opened.id);
        }
        Ok(())
    }

    fn open_board(
        &mut self,
        trial: &TrialOpened,
        run: u32,
        at: Option<Stamp>,
        now: &dyn Fn() -> Moment,
    ) -> Result<(), RecordError> {
        let lock = self.shelf.lock()?;
        let written = now();
        let event = |id| PanelEvent::Opened(Box::new(board_opened(trial, run, id)));
        let snapshot = self.panels.create(&self.shelf, &lock, &trial.board_label(run), (at, written), event)?;
        self.update_rack_of_panel(&lock, &snapshot, written);
        Ok(())
    }
}

/// Every trial of the shelf, oldest first; of one that cannot be read, why.
///
/// # Errors
/// [`JournalError::ReadFailed`] where the shelf cannot be read at all.
pub fn load_trials(shelf: &Shelf) -> Result<Vec<Result<KeptTrial, JournalError>>, JournalError> {
    let mut trials: Vec<_> = shelf.ids(Drawer::Trials)?.iter().map(|id| load_trial(shelf, id)).collect();
    trials.sort_by_key(|t| t.as_ref().map(|t| (t.opened_at.wall, t.trial.id.clone())).ok());
    Ok(trials)
}

/// A trial of the shelf.
///
/// # Errors
/// A [`JournalError`] where it is not there, is damaged, or a newer version's.
pub fn load_trial(shelf: &Shelf, id: &Id) -> Result<KeptTrial, JournalError> {
    let path = shelf.story_path(Drawer::Trials, id);
    let (journal, entries): (Journal<TrialEvent>, _) = shelf.open_story(Drawer::Trials, id)?;
    if let Some(damage) = journal.damage().filter(|d| d.kind.is_blocking()) {
        return Err(JournalError::Damaged { path, damage: damage.clone() });
    }
    let opened = entries.into_iter().find_map(|entry| {
        let opened_at = entry.moment();
        if let TrialEvent::Opened(trial) = entry.event { Some(KeptTrial { opened_at, trial: *trial }) } else { None }
    });
    opened.ok_or(JournalError::NoFirstLine { path })
}

/// The boards of a trial, each with its run, as far as they can be read. First lines are read to find them.
///
/// # Errors
/// [`JournalError::ReadFailed`] where the shelf cannot be read at all.
pub fn load_trial_boards(shelf: &Shelf, trial: &Id) -> Result<Vec<(u32, PanelStory)>, JournalError> {
    let mut boards = Vec::new();
    for id in shelf.panel_ids()? {
        let first = read_opening::<PanelEvent>(shelf.storage().as_ref(), &shelf.story_path(Drawer::Panels, &id));
        let Ok(Entry { event: PanelEvent::Opened(opened), .. }) = first else { continue };
        let Some(run) = opened.trial.filter(|run| run.trial == *trial).map(|run| run.run) else { continue };
        let Ok((_, entries)) = shelf.open_panel(&id) else { continue };
        boards.extend(PanelStory::fold(entries).ok().map(|story| (run, story)));
    }
    boards.sort_by_key(|(run, _)| *run);
    Ok(boards)
}
