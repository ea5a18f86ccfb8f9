//! The panels, or the pots, at hand: what is done alike with both.

use super::journaled_story::{JournaledStory, RecordError, Snapshot};
use crate::record::files::Lock;
use crate::record::journal::{JournalError, JournalEvent};
use crate::record::shelf::{Drawer, Shelf};
use crate::units::{Entry, Id, Moment, Stamp};
use crate::work::story::{CommonEvent, OrderRefusal, Story, StoryEvent, StoryState};
use std::sync::Arc;

/// Another window's note of the same jump of the clock, or the same sleep, is this recent and differs by no more.
const SAME_NOTICE_WITHIN_MS: i64 = 60_000;
const SAME_SPAN_WITHIN_MS: i64 = 5000;

/// Panels or pots at hand, all of one drawer.
#[derive(Debug)]
pub(super) struct StoryList<F: StoryState> {
    drawer: Drawer,
    pub(super) stories: Vec<JournaledStory<F>>,
}

impl<F: StoryState> StoryList<F>
where
    F::Event: JournalEvent,
    RecordError: From<F::Refusal>,
{
    pub(super) fn new(drawer: Drawer) -> Self {
        StoryList { drawer, stories: Vec::new() }
    }

    /// Puts a story at hand, or takes in what others appended to it.
    pub(super) fn load(&mut self, shelf: &Shelf, id: &Id) -> Result<Snapshot<F>, JournalError> {
        if let Some(journaled) = self.stories.iter_mut().find(|k| k.id == *id) {
            journaled.refresh()?;
            return Ok(journaled.snapshot());
        }
        Ok(self.push(JournaledStory::open(shelf, self.drawer, id)?))
    }

    /// The same; one that cannot be read is at hand as such.
    pub(super) fn load_even_unreadable(&mut self, shelf: &Shelf, id: &Id) -> Snapshot<F> {
        let loaded = self.load(shelf, id);
        match (loaded, self.stories.iter().find(|k| k.id == *id)) {
            (Ok(snapshot), _) => snapshot,
            (Err(_), Some(journaled)) => journaled.snapshot(),
            (Err(error), None) => self.push(JournaledStory::unreadable(shelf, self.drawer, id, &error)),
        }
    }

    fn push(&mut self, journaled: JournaledStory<F>) -> Snapshot<F> {
        let snapshot = journaled.snapshot();
        self.stories.push(journaled);
        snapshot
    }

    pub(super) fn get_mut(&mut self, id: &Id) -> Result<&mut JournaledStory<F>, RecordError> {
        self.stories.iter_mut().find(|k| k.id == *id).ok_or_else(|| RecordError::NoStory(id.clone()))
    }

    pub(super) fn contains(&self, id: &Id) -> bool {
        self.stories.iter().any(|k| k.id == *id)
    }

    pub(super) fn snapshots(&self) -> Vec<Snapshot<F>> {
        self.stories.iter().map(JournaledStory::snapshot).collect()
    }

    /// Oldest first; what cannot be read stands before all.
    pub(super) fn sort_by_opening(&mut self) {
        self.stories.sort_by_key(|k| k.story.as_ref().map(|s| (s.state().opened_at().wall, k.id.clone())));
    }

    /// Takes in what others appended. Returns the stories something is new about.
    pub(super) fn refresh(&mut self) -> Vec<Snapshot<F>> {
        self.stories.iter_mut().filter_map(|k| k.refresh().unwrap_or(false).then(|| k.snapshot())).collect()
    }

    /// Begins a story and puts it at hand, once its opening is on disk. `at` is when it was opened, if not now.
    pub(super) fn create(
        &mut self,
        shelf: &Shelf,
        lock: &Lock,
        label: &str,
        (at, written): (Option<Stamp>, Moment),
        opening: impl FnOnce(Id) -> F::Event,
    ) -> Result<Snapshot<F>, RecordError> {
        let at = at.unwrap_or(written.wall);
        OrderRefusal::check_not_ahead(at, written.wall).map_err(F::Refusal::from)?;
        let entry = |id| Entry { seq: 0, at, written, raw_wall: None, replaces: None, event: opening(id) };
        let (id, journal, entry) = shelf.create_story(lock, self.drawer, label, entry)?;
        let story = Story::fold(vec![entry])?;
        Ok(self.push(JournaledStory::new(id, journal, Some(Arc::new(story)))))
    }

    /// Writes what the program noticed by itself, unless another window just wrote the same.
    pub(super) fn record_notice(
        &mut self,
        shelf: &Shelf,
        id: &Id,
        event: CommonEvent<Call<F>>,
        now: &dyn Fn() -> Moment,
    ) -> Result<Snapshot<F>, RecordError> {
        self.load(shelf, id)?;
        let lock = shelf.lock()?;
        let journaled = self.get_mut(id)?;
        journaled.refresh()?;
        let now = now();
        if !is_repeated_notice(journaled, &event, now) {
            journaled.record(&lock, event.into(), None, now)?;
        }
        Ok(journaled.snapshot())
    }
}

type Call<F> = <<F as StoryState>::Event as StoryEvent>::Call;

/// Whether another window wrote the same jump of the clock, or the same sleep, within the last minute.
fn is_repeated_notice<F: StoryState>(journaled: &JournaledStory<F>, event: &CommonEvent<Call<F>>, now: Moment) -> bool {
    let same = |entry: &Entry<F::Event>| match (entry.event.as_common(), event) {
        (Some(CommonEvent::ClockStepped { by: a }), CommonEvent::ClockStepped { by: b })
        | (Some(CommonEvent::Slept { span: a }), CommonEvent::Slept { span: b }) => {
            (*a - *b).abs().ms() < SAME_SPAN_WITHIN_MS
        }
        (_, _) => false,
    };
    let recent = |entry: &&Entry<F::Event>| now.since(entry.written).abs().ms() < SAME_NOTICE_WITHIN_MS;
    journaled.story.as_ref().is_some_and(|s| s.entries().iter().rev().take(8).filter(recent).any(same))
}
