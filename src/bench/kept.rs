//! One thing at hand: its journal and the story that follows from it. Panels and pots alike.

use super::NotRecorded;
use super::time::believed;
use crate::record::files::Lock;
use crate::record::journal::{Damage, Fact, Failure, Journal};
use crate::record::shelf::{Drawer, Shelf};
use crate::units::{Entry, Id, Moment, Stamp};
use crate::work::panel::fold::Panel;
use crate::work::story::{Folded, Story};
use std::sync::Arc;

/// A panel or pot as a reader may have it: its story, and what is wrong with its journal.
#[derive(Debug, Clone, PartialEq)]
pub struct Told<F: Folded = Panel> {
    /// What it is filed under.
    pub id: Id,
    /// Its story; none if not even the opening can be read.
    pub story: Option<Arc<Story<F>>>,
    /// What is wrong with its journal.
    pub damage: Option<Damage>,
}

/// `now` as that story has to take it: its clock never runs behind its own last line.
pub fn believed_now<F: Folded>(story: &Story<F>, now: Moment) -> Moment {
    match story.entries().last() {
        Some(last) => believed(now, last.written).0,
        None => now,
    }
}

/// One thing at hand.
#[derive(Debug)]
pub(super) struct Kept<F: Folded> {
    pub(super) id: Id,
    pub(super) journal: Journal<F::Event>,
    pub(super) story: Option<Arc<Story<F>>>,
    /// The journal lost track of its file and could not be read anew yet.
    adrift: bool,
}

impl<F: Folded> Kept<F>
where
    F::Event: Fact,
    NotRecorded: From<F::Refusal>,
{
    pub(super) fn open(shelf: &Shelf, drawer: Drawer, id: &Id) -> Result<Self, Failure> {
        let (journal, entries) = shelf.open_story(drawer, id)?;
        let story = Story::fold(entries).ok().map(Arc::new);
        Ok(Kept::new(id.clone(), journal, story))
    }

    pub(super) fn new(id: Id, journal: Journal<F::Event>, story: Option<Arc<Story<F>>>) -> Self {
        Kept { id, journal, story, adrift: false }
    }

    /// Takes in what others appended. Returns whether there was anything.
    pub(super) fn read_on(&mut self) -> Result<bool, Failure> {
        if self.adrift {
            self.read_anew()?;
            return Ok(true);
        }
        let more = self.journal.refresh()?;
        if more.is_empty() {
            return Ok(false);
        }
        let mut entries = self.story.as_ref().map_or_else(Vec::new, |s| s.entries().to_vec());
        entries.extend(more);
        self.story = Story::fold(entries).ok().map(Arc::new);
        Ok(true)
    }

    pub(super) fn told(&self) -> Told<F> {
        Told { id: self.id.clone(), story: self.story.clone(), damage: self.journal.damage().cloned() }
    }

    pub(super) fn story(&self) -> Result<Arc<Story<F>>, NotRecorded> {
        self.story.clone().ok_or_else(|| NotRecorded::NoStory(self.id.clone()))
    }

    /// The entry that event would be, and the story with it.
    pub(super) fn entry(
        &self,
        event: F::Event,
        at: Option<Stamp>,
        now: Moment,
    ) -> Result<(Entry<F::Event>, Story<F>), NotRecorded> {
        let story = self.story()?;
        let (written, raw_wall) = match story.entries().last() {
            Some(last) => believed(now, last.written),
            None => (now, None),
        };
        // A fact of this moment is never refused for its time: it lies behind whatever was recorded before it.
        let at = at.unwrap_or_else(|| written.wall.max(story.last_at()));
        let entry = Entry { seq: self.journal.next_seq(), at, written, raw_wall, event };
        let story = story.with(entry.clone())?;
        Ok((entry, story))
    }

    /// Appends an entry and adopts the story with it. Where the journal no longer knows how its file stands, it is read
    /// anew, so that what is shown is what is on disk and the maker may try again.
    pub(super) fn keep(&mut self, lock: &Lock, entry: &Entry<F::Event>, story: Story<F>) -> Result<(), NotRecorded> {
        let Err(failure) = self.journal.append(lock, entry) else {
            self.story = Some(Arc::new(story));
            return Ok(());
        };
        if self.journal.unsettled() || behind(&failure) {
            // A disk that cannot be read either leaves the story as it was last known, until it can.
            self.adrift = self.read_anew().is_err();
        }
        Err(failure.into())
    }

    fn read_anew(&mut self) -> Result<(), Failure> {
        let entries = self.journal.reopen()?;
        self.story = Story::fold(entries).ok().map(Arc::new);
        self.adrift = false;
        Ok(())
    }

    /// Keeps an event that happened at `at`, or now.
    pub(super) fn record(
        &mut self,
        lock: &Lock,
        event: F::Event,
        at: Option<Stamp>,
        now: Moment,
    ) -> Result<(), NotRecorded> {
        let (entry, story) = self.entry(event, at, now)?;
        self.keep(lock, &entry, story)
    }
}

/// Whether the file has moved on under the journal.
fn behind(failure: &Failure) -> bool {
    matches!(failure, Failure::Behind { .. } | Failure::OutOfStep { .. })
}
