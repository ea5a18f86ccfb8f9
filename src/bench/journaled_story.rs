//! One thing at hand, panel or pot: its journal, the story that follows from it, and why something was not recorded.

use super::clock_trust::trusted_time;
use crate::record::files::Lock;
use crate::record::journal::verify::was_mended;
use crate::record::journal::{Damage, DamageKind, Journal, JournalError, JournalEvent};
use crate::record::shelf::{Drawer, PhotoError, Shelf};
use crate::units::{Entry, Id, Moment, Stamp};
use crate::work::panel::phase::PanelPhase;
use crate::work::panel::refusal::PanelRefusal;
use crate::work::panel::state::Panel;
use crate::work::panel::story::PanelStory;
use crate::work::pot;
use crate::work::story::{Story, StoryState};
use std::fmt;
use std::sync::Arc;

/// Why something was not recorded.
#[derive(Debug, Clone, PartialEq)]
pub enum RecordError {
    /// It cannot be true of a panel.
    Refused(PanelRefusal),
    /// It cannot be true of a pot.
    PotRefused(pot::refusal::PotRefusal),
    /// It could not be kept.
    Journal(JournalError),
    /// The story's beginning cannot be read, so nothing can be said of it.
    NoStory(Id),
    /// The photograph that goes with it could not be kept.
    Photo(PhotoError),
    /// An earlier fact of the same pass could not be written to this panel.
    EarlierFactFailed,
    /// The program panicked while it recorded something, so nothing more is recorded.
    ProgramFault,
}

impl fmt::Display for RecordError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            RecordError::Refused(refusal) => refusal.fmt(f),
            RecordError::PotRefused(refusal) => refusal.fmt(f),
            RecordError::Journal(error) => error.fmt(f),
            RecordError::NoStory(id) => {
                write!(f, "the file of {id} has no readable beginning; see `sottile verify`")
            }
            RecordError::Photo(error) => write!(f, "not recorded: {error}"),
            RecordError::EarlierFactFailed => {
                f.write_str("not recorded, since what comes before it on this panel could not be written")
            }
            RecordError::ProgramFault => f.write_str(
                "recording has stopped, by a fault of the program; leave the bench and start again: what is shown then is on disk",
            ),
        }
    }
}

impl std::error::Error for RecordError {}

impl From<PanelRefusal> for RecordError {
    fn from(refusal: PanelRefusal) -> Self {
        RecordError::Refused(refusal)
    }
}

impl From<pot::refusal::PotRefusal> for RecordError {
    fn from(refusal: pot::refusal::PotRefusal) -> Self {
        RecordError::PotRefused(refusal)
    }
}

impl From<JournalError> for RecordError {
    fn from(error: JournalError) -> Self {
        RecordError::Journal(error)
    }
}

/// A panel or pot as a reader may have it: its story, and what is wrong with its journal.
#[derive(Debug, Clone, PartialEq)]
pub struct Snapshot<F: StoryState = Panel> {
    /// What it is filed under.
    pub id: Id,
    /// Its story; none if not even the opening can be read.
    pub story: Option<Arc<Story<F>>>,
    /// What is wrong with its journal.
    pub damage: Option<Damage>,
}

impl<F: StoryState> Snapshot<F> {
    /// Its story, where nothing is wrong with it that could make what it says untrue.
    pub fn sound_story(&self) -> Option<&Arc<Story<F>>> {
        self.story.as_ref().filter(|_| self.blocking_damage().is_none())
    }

    /// What is wrong with its journal, where nothing may be recorded in it.
    pub fn blocking_damage(&self) -> Option<&Damage> {
        self.damage.as_ref().filter(|d| d.kind.is_blocking())
    }
}

impl Snapshot {
    /// Whether something is still to be done on it at that moment.
    pub fn is_unfinished(&self, now: Moment) -> bool {
        let standing = self.story.as_ref().map(|s| s.panel().phase_at(trusted_now(s, now)));
        standing.is_some_and(|phase| !matches!(phase, PanelPhase::Finished | PanelPhase::Abandoned))
    }

    /// Whether it has a time that runs at that moment: a wait, what is over of one, or an act under way.
    pub fn has_running_time(&self, now: Moment) -> bool {
        let runs = |s: &Arc<PanelStory>| {
            let status = s.panel().status(trusted_now(s, now));
            status.time_left.is_some() || status.phase == PanelPhase::Working
        };
        self.story.as_ref().is_some_and(runs)
    }
}

/// `now` as that story has to take it: its clock never runs behind its own last line.
pub fn trusted_now<F: StoryState>(story: &Story<F>, now: Moment) -> Moment {
    match story.entries().last() {
        Some(last) => trusted_time(now, last.written, last.raw_wall).0,
        None => now,
    }
}

/// One thing at hand.
#[derive(Debug)]
pub(super) struct JournaledStory<F: StoryState> {
    pub(super) id: Id,
    pub(super) journal: Journal<F::Event>,
    pub(super) story: Option<Arc<Story<F>>>,
    /// The journal lost track of its file and could not be read anew yet.
    needs_reload: bool,
    /// Why the file could not be read when that was last tried.
    unreadable: Option<Damage>,
}

impl<F: StoryState> JournaledStory<F>
where
    F::Event: JournalEvent,
    RecordError: From<F::Refusal>,
{
    pub(super) fn open(shelf: &Shelf, drawer: Drawer, id: &Id) -> Result<Self, JournalError> {
        let (journal, entries) = shelf.open_story(drawer, id)?;
        let story = Story::fold(entries).ok().map(Arc::new);
        Ok(JournaledStory::new(id.clone(), journal, story))
    }

    pub(super) fn new(id: Id, journal: Journal<F::Event>, story: Option<Arc<Story<F>>>) -> Self {
        JournaledStory { id, journal, story, needs_reload: false, unreadable: None }
    }

    /// A story whose file cannot be read now; it is read with the first refresh that can.
    pub(super) fn unreadable(shelf: &Shelf, drawer: Drawer, id: &Id, error: &JournalError) -> Self {
        let journal = Journal::new(Arc::clone(shelf.storage()), &shelf.story_path(drawer, id));
        let unreadable = Some(Damage::from_read_error(error));
        JournaledStory { id: id.clone(), journal, story: None, needs_reload: true, unreadable }
    }

    /// Takes in what others appended. Returns whether there was anything.
    pub(super) fn refresh(&mut self) -> Result<bool, JournalError> {
        let read = self.read_on();
        self.unreadable = read.as_ref().err().map(Damage::from_read_error);
        read
    }

    fn read_on(&mut self) -> Result<bool, JournalError> {
        if self.needs_reload {
            self.reload()?;
            return Ok(true);
        }
        let more = self.journal.refresh()?;
        if more.is_empty() {
            return self.adopt_replaced_file();
        }
        let extended = self.story.as_ref().map_or_else(|| Story::fold(more.clone()), |s| s.extended(more.clone()));
        self.story = extended.ok().map(Arc::new);
        Ok(true)
    }

    /// Takes the file as it is now, where what was read of it is no longer there or was damaged: it was mended, or a copy put
    /// in its place. A file that lost facts, and that nobody mended, stays told as damaged. Returns whether it was taken.
    fn adopt_replaced_file(&mut self) -> Result<bool, JournalError> {
        let is_blocked = |journal: &Journal<F::Event>| journal.damage().is_some_and(|d| d.kind.is_blocking());
        if !is_blocked(&self.journal) {
            return Ok(false);
        }
        let (journal, entries) = self.journal.read_anew()?;
        let known = self.story.as_ref().map_or(0, |s| s.entries().len());
        if is_blocked(&journal) || (entries.len() < known && !was_mended(journal.path())) {
            return Ok(false);
        }
        self.journal = journal;
        self.story = Story::fold(entries).ok().map(Arc::new);
        Ok(true)
    }

    pub(super) fn snapshot(&self) -> Snapshot<F> {
        let damage = self.unreadable.as_ref().or(self.journal.damage()).cloned();
        Snapshot { id: self.id.clone(), story: self.story.clone(), damage }
    }

    /// The damage that lets nothing more be recorded, as an error.
    pub(super) fn damage_error(&self) -> Option<RecordError> {
        let damage = self.journal.damage().filter(|d| d.kind.is_blocking())?.clone();
        Some(RecordError::Journal(JournalError::Damaged { path: self.journal.path().to_owned(), damage }))
    }

    pub(super) fn require_story(&self) -> Result<Arc<Story<F>>, RecordError> {
        self.story.clone().ok_or_else(|| match self.journal.damage() {
            Some(damage) if damage.kind == DamageKind::NewerVersion => RecordError::Journal(JournalError::Damaged {
                path: self.journal.path().to_owned(),
                damage: damage.clone(),
            }),
            Some(_) | None => RecordError::NoStory(self.id.clone()),
        })
    }

    /// The entry that event would be, and the story with it. It may stand in the place of the last standing fact.
    pub(super) fn prepare_entry(
        &self,
        event: F::Event,
        replaces: Option<u64>,
        at: Option<Stamp>,
        now: Moment,
    ) -> Result<(Entry<F::Event>, Story<F>), RecordError> {
        prepare_entry_on(&*self.require_story()?, self.journal.next_seq(), event, replaces, at, now)
    }

    /// Appends an entry and adopts the story with it. Where the journal no longer knows how its file stands, it is read
    /// anew, so that what is shown is what is on disk and the maker may try again.
    pub(super) fn append(&mut self, lock: &Lock, entry: &Entry<F::Event>, story: Story<F>) -> Result<(), RecordError> {
        let Err(error) = self.journal.append(lock, entry) else {
            self.story = Some(Arc::new(story));
            return Ok(());
        };
        if self.journal.needs_reopen() || is_stale(&error) {
            // A disk that cannot be read either leaves the story as it was last known, until it can.
            self.needs_reload = self.reload().is_err();
        }
        Err(error.into())
    }

    fn reload(&mut self) -> Result<(), JournalError> {
        let entries = self.journal.reopen()?;
        self.story = Story::fold(entries).ok().map(Arc::new);
        self.needs_reload = false;
        Ok(())
    }

    /// Keeps an event that happened at `at`, or now.
    pub(super) fn record(
        &mut self,
        lock: &Lock,
        event: F::Event,
        at: Option<Stamp>,
        now: Moment,
    ) -> Result<(), RecordError> {
        let (entry, story) = self.prepare_entry(event, None, at, now)?;
        self.append(lock, &entry, story)
    }
}

/// The entry of that `seq` an event would be behind that story, and the story with it.
pub(super) fn prepare_entry_on<F: StoryState>(
    story: &Story<F>,
    seq: u64,
    event: F::Event,
    replaces: Option<u64>,
    at: Option<Stamp>,
    now: Moment,
) -> Result<(Entry<F::Event>, Story<F>), RecordError>
where
    RecordError: From<F::Refusal>,
{
    let (written, raw_wall) = match story.entries().last() {
        Some(last) => trusted_time(now, last.written, last.raw_wall),
        None => (Moment { raw_wall: None, ..now }, now.raw_wall),
    };
    // A fact of this moment is never refused for its time: it lies behind whatever was recorded before it.
    let at = at.unwrap_or_else(|| written.wall.max(story.last_fact_at()));
    let entry = Entry { seq, at, written, raw_wall, replaces, event };
    let story = story.with_entry(entry.clone())?;
    Ok((entry, story))
}

/// Whether the file has moved on under the journal.
fn is_stale(error: &JournalError) -> bool {
    matches!(error, JournalError::Stale { .. } | JournalError::WrongSeq { .. })
}
