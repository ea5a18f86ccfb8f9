//! What is true now while working: the panels and pots at hand with their journals, and the one way a fact gets in.
//!
//! lock -> read on what others appended -> take now -> complete the fact -> `after` -> append -> sync -> unlock -> adopt.
//!
//! `kept` is one thing at hand, `around` what pots, panels and air say together, `opening` how panels and pots are opened,
//! `pots` what is recorded of pots, `air` the readings of the air and how they get in, `pot_calls` when a wait calls for
//! its pot, `weather` the wait after a coat in the air of its time, `room` the air and what earlier panels teach,
//! `shelved` the whole shelf read afterwards, `looks` its finished panels and when each is to be looked over, `time` what
//! is believed of the clock.
//! Absent on purpose: what is looked at (`app`), keys, drawing; clocks are handed in.

mod air;
mod air_now;
mod clock_trust;
mod inspection_reminders;
mod journaled_story;
mod opening;
mod pot_calls;
mod pot_choice;
mod pot_survey;
mod pots;
mod story_reader;
mod studio_knowledge;

#[cfg(test)]
mod air_tests;
#[cfg(test)]
mod pot_tests;
#[cfg(test)]
mod tests;

pub use air::AirRecorded;
pub use inspection_reminders::{FinishedPanel, InspectionReminders, load_finished_panels};
pub use journaled_story::{Snapshot, trusted_now};
pub use opening::{PanelOpening, PotOpening};
pub use pot_calls::find_due_pot_call;
pub use pot_choice::choose_pot_for_coat;
pub use pot_survey::PotSurvey;
pub use pots::PotRecordRequest;
pub use story_reader::{PanelRows, StoryReader};
pub use studio_knowledge::StudioKnowledge;

use crate::config::QuietHours;
use crate::record::files::Lock;
use crate::record::journal::JournalError;
use crate::record::shelf::{Drawer, Shelf};
use crate::units::{Entry, Id, Moment, Stamp};
use crate::work::advice::wait_calls;
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::{PanelCall, PanelEvent, Stage};
use crate::work::panel::fold::Panel;
use crate::work::panel::phase::PanelPhase;
use crate::work::panel::refusal::PanelRefusal;
use crate::work::panel::story::PanelStory;
use crate::work::pot;
use crate::work::pot::fold::Pot;
use air::AirJournal;
use air_now::{AirNow, reset_recipe_wait};
use journaled_story::JournaledStory;
use std::fmt;
use std::sync::Arc;

/// What a maker asks to have recorded, and what goes with it.
#[derive(Debug, Clone, PartialEq)]
pub struct RecordRequest {
    /// What happened.
    pub act: PanelAct,
    /// When, if not now.
    pub at: Option<Stamp>,
    /// The stage the maker saw at hand; refused if it is no longer that one.
    pub expected_stage: Option<Stage>,
}

impl RecordRequest {
    /// That act, happening now.
    pub const fn from_act(act: PanelAct) -> RecordRequest {
        RecordRequest { act, at: None, expected_stage: None }
    }
}

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
    /// The program panicked while it recorded something, so nothing more is recorded.
    ProgramFault,
}

impl fmt::Display for RecordError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            RecordError::Refused(refusal) => refusal.fmt(f),
            RecordError::PotRefused(refusal) => refusal.fmt(f),
            RecordError::Journal(failure) => failure.fmt(f),
            RecordError::NoStory(id) => {
                write!(f, "the journal of {id} has no readable beginning; see `sottile verify`")
            }
            RecordError::ProgramFault => f.write_str(
                "recording has stopped, by a fault of the program; leave with q and start again: what is shown then is on disk",
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
    fn from(failure: JournalError) -> Self {
        RecordError::Journal(failure)
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
            let standing = s.panel().status(trusted_now(s, now));
            standing.time_left.is_some() || standing.phase == PanelPhase::Working
        };
        self.story.as_ref().is_some_and(runs)
    }
}

/// The panels and pots at hand, and where they are kept.
#[derive(Debug)]
pub struct Bench {
    shelf: Shelf,
    panels: Vec<JournaledStory<Panel>>,
    pots: Vec<JournaledStory<Pot>>,
    air: AirJournal,
    air_may_shorten: bool,
    /// It was opened over the rack, so that a panel opened elsewhere belongs to it too.
    follows_rack: bool,
}

impl Bench {
    /// A bench over that shelf, with nothing on it yet.
    pub fn new(shelf: Shelf) -> Bench {
        Bench {
            shelf,
            panels: Vec::new(),
            pots: Vec::new(),
            air: AirJournal::default(),
            air_may_shorten: false,
            follows_rack: false,
        }
    }

    /// The same bench, on which dry air may shorten a wait or not; without this it may not.
    #[must_use]
    pub fn with_air_may_shorten(self, yes: bool) -> Bench {
        Bench { air_may_shorten: yes, ..self }
    }

    /// Where its panels are kept.
    pub fn shelf(&self) -> &Shelf {
        &self.shelf
    }

    /// Puts a panel on the bench, if it is not there yet.
    ///
    /// # Errors
    /// A [`Failure`] if its journal cannot be read.
    pub fn load(&mut self, id: &Id) -> Result<Snapshot, JournalError> {
        if let Some(kept) = self.panels.iter_mut().find(|k| k.id == *id) {
            kept.refresh()?;
            return Ok(kept.snapshot());
        }
        let kept = JournaledStory::open(&self.shelf, Drawer::Panels, id)?;
        let told = kept.snapshot();
        self.panels.push(kept);
        Ok(told)
    }

    /// Puts every panel on the bench that is not finished or given up at that moment, oldest first; those that are opened
    /// later come too.
    ///
    /// # Errors
    /// A [`Failure`] if the shelf cannot be read at all; a single journal that cannot be read is left out.
    pub fn load_rack(&mut self, now: Moment) -> Result<(), JournalError> {
        self.follows_rack = true;
        self.load_unfinished(now)?;
        self.panels.retain(|k| k.snapshot().is_unfinished(now));
        self.panels.sort_by_key(|k| k.story.as_ref().map(|s| (s.panel().opened_at().wall, k.id.clone())));
        Ok(())
    }

    fn load_unfinished(&mut self, now: Moment) -> Result<(), JournalError> {
        for id in self.unfinished_ids(now)? {
            // A panel whose journal has vanished is no longer on the rack; one that cannot be read is told of by `panels`.
            if !self.has_panel(&id) {
                let _ = self.load(&id);
            }
        }
        Ok(())
    }

    /// Whether that panel is on the bench.
    pub fn has_panel(&self, id: &Id) -> bool {
        self.panels.iter().any(|k| k.id == *id)
    }

    /// The ids of the panels not yet finished; read from the stories themselves where no list is kept.
    fn unfinished_ids(&self, now: Moment) -> Result<Vec<Id>, JournalError> {
        let on_it = |id: &Id| {
            let kept = JournaledStory::<Panel>::open(&self.shelf, Drawer::Panels, id);
            kept.is_ok_and(|k| k.journal.damage().is_some() || k.snapshot().is_unfinished(now))
        };
        self.shelf.read_rack(|ids| ids.into_iter().filter(on_it).collect())
    }

    /// Keeps the list of unfinished panels in step with one of them, once something was recorded on it.
    fn update_rack(&self, lock: &Lock, told: &Snapshot, before: Result<Vec<Id>, JournalError>, now: Moment) {
        let Ok(before) = before else { return };
        let mut after: Vec<Id> = before.iter().filter(|id| **id != told.id).cloned().collect();
        if told.is_unfinished(now) {
            after.push(told.id.clone());
        }
        let changed = after.len() != before.len() || !before.contains(&told.id);
        if changed || !self.shelf.has_stored_rack() {
            // A list that cannot be kept costs a slower start and nothing else.
            let _ = self.shelf.store_rack(lock, &after);
        }
    }

    /// Takes a panel off the bench; nothing of it changes.
    pub fn unload(&mut self, id: &Id) {
        self.panels.retain(|k| k.id != *id);
    }

    /// Every panel on the bench.
    pub fn snapshots(&self) -> Vec<Snapshot> {
        self.panels.iter().map(JournaledStory::snapshot).collect()
    }

    /// Takes in what other windows and scripts recorded, and over the rack the panels they opened. Returns the panels
    /// something is new about.
    pub fn refresh(&mut self, now: Moment) -> Vec<Snapshot> {
        let changed = self.panels.iter_mut().filter_map(|k| k.refresh().unwrap_or(false).then(|| k.snapshot()));
        let mut changed: Vec<Snapshot> = changed.collect();
        let before = self.panels.len();
        // A rack that cannot be read now is read with the next news.
        if self.follows_rack && self.load_unfinished(now).is_ok() {
            changed.extend(self.panels.iter().skip(before).map(JournaledStory::snapshot));
        }
        changed
    }

    fn panel_mut(&mut self, id: &Id) -> Result<&mut JournaledStory<Panel>, RecordError> {
        self.panels.iter_mut().find(|k| k.id == *id).ok_or_else(|| RecordError::NoStory(id.clone()))
    }

    /// Records an act on a panel. Leaving and coming back belong to the maker, so they are written to every panel that
    /// is between stipple and last coat. Returns every panel of this bench that changed, the named one first.
    ///
    /// # Errors
    /// [`NotRecorded`]; nothing is then recorded on the named panel.
    pub fn record(
        &mut self,
        id: &Id,
        ask: &RecordRequest,
        now: &dyn Fn() -> Moment,
    ) -> Result<Vec<Snapshot>, RecordError> {
        self.load(id)?;
        if !matches!(ask.act, PanelAct::Away | PanelAct::Back) {
            return self.record_on_panel(id, ask, now);
        }
        // The others are written to and go back to where they were: this bench is over those it was opened over.
        let here: Vec<Id> = self.panels.iter().map(|k| k.id.clone()).collect();
        self.load_unfinished(now())?;
        let changed = self.record_on_panel(id, ask, now);
        if !self.follows_rack {
            self.panels.retain(|k| here.contains(&k.id));
        }
        Ok(changed?.into_iter().filter(|told| self.has_panel(&told.id)).collect())
    }

    fn record_on_panel(
        &mut self,
        id: &Id,
        ask: &RecordRequest,
        now: &dyn Fn() -> Moment,
    ) -> Result<Vec<Snapshot>, RecordError> {
        self.preload_air(&ask.act);
        let lock = self.shelf.lock()?;
        self.panel_mut(id)?.refresh()?;
        let now = now();
        let ask = self.fill_in_pot(id, ask);
        let weather = self.air_for_act(&ask.act);
        let named = record_act(self.panel_mut(id)?, &lock, &ask, &weather, now);
        let others = self.record_on_others(id, &lock, &ask, now);
        match (named, others.is_empty()) {
            // A panel that is not being laid has no part in it, as long as another has.
            (
                Err(RecordError::Refused(
                    PanelRefusal::AwayNotAllowed | PanelRefusal::NotAway | PanelRefusal::AlreadyAway,
                )),
                false,
            ) => {}
            (named, _) => named?,
        }
        let told = self.panel_mut(id)?.snapshot();
        self.update_rack(&lock, &told, self.unfinished_ids(now), now);
        let mut changed = vec![told];
        changed.extend(others);
        Ok(changed)
    }

    /// Leaving and coming back, on the other panels they concern.
    fn record_on_others(&mut self, id: &Id, lock: &Lock, ask: &RecordRequest, now: Moment) -> Vec<Snapshot> {
        if !matches!(ask.act, PanelAct::Away | PanelAct::Back) {
            return Vec::new();
        }
        let (mut changed, weather) = (Vec::new(), self.air_for_act(&ask.act));
        for kept in self.panels.iter_mut().filter(|k| k.id != *id) {
            if kept.refresh().is_ok() && record_act(kept, lock, ask, &weather, now).is_ok() {
                changed.push(kept.snapshot());
            }
        }
        changed
    }

    /// Moves the fact just recorded to another time: takes it back and records it anew at `at`, both under one lock.
    /// `seq` names the fact the maker saw.
    ///
    /// # Errors
    /// [`NotRecorded`]; the fact then stands where it stood, or its take-back does.
    pub fn retime(&mut self, id: &Id, seq: u64, at: Stamp, now: &dyn Fn() -> Moment) -> Result<Snapshot, RecordError> {
        self.load(id)?;
        self.preload_air(&PanelAct::done_as_planned());
        let lock = self.shelf.lock()?;
        let weather = self.air_for_act(&PanelAct::done_as_planned());
        let kept = self.panel_mut(id)?;
        kept.refresh()?;
        let now = now();
        let story = kept.require_story()?;
        let moved = story.last_standing_entry().filter(|e| e.seq == seq).map(|e| e.event.clone());
        let moved =
            weather.adjust_wait(reset_recipe_wait(moved.ok_or(PanelRefusal::LastFactChanged)?, &story), &story, at);
        let undo = story.build_event(&PanelAct::Undo { seen: Some(seq) }, now)?;
        let (undo, without) = kept.prepare_entry(undo, None, now)?;
        // Whether the fact can lie there is found out before anything is written.
        let entry = Entry { seq: undo.seq + 1, at, event: moved, ..undo.clone() };
        let with = without.with_entry(entry.clone())?;
        kept.append(&lock, &undo, without)?;
        kept.append(&lock, &entry, with)?;
        Ok(kept.snapshot())
    }

    /// Writes something the program noticed by itself. A call that was raised already, here or in another window, is
    /// refused with [`Refusal::AlreadyRaised`].
    ///
    /// # Errors
    /// [`NotRecorded`].
    pub fn record_notice(
        &mut self,
        id: &Id,
        event: PanelEvent,
        now: &dyn Fn() -> Moment,
    ) -> Result<Snapshot, RecordError> {
        self.load(id)?;
        let lock = self.shelf.lock()?;
        let kept = self.panel_mut(id)?;
        kept.refresh()?;
        let now = now();
        if !is_repeated_notice(kept, &event, now) {
            kept.record(&lock, event, None, now)?;
        }
        Ok(kept.snapshot())
    }
}

/// Completes an act on a panel and keeps it.
fn record_act(
    kept: &mut JournaledStory<Panel>,
    lock: &Lock,
    ask: &RecordRequest,
    weather: &AirNow,
    now: Moment,
) -> Result<(), RecordError> {
    let story = kept.require_story()?;
    let here = trusted_now(&story, now);
    // A fact of this moment lies behind whatever was recorded before it, also behind what was put a minute ahead.
    let at = ask.at.unwrap_or_else(|| here.wall.max(story.last_fact_at()));
    let at = here.earlier_by(here.wall - at);
    if let Some(seen) = &ask.expected_stage {
        story.check_still_at_hand(seen, at)?;
    }
    let event = weather.adjust_wait(story.build_event(&ask.act, at)?, &story, at.wall);
    kept.record(lock, event, ask.at, now)
}

/// Whether another window wrote the same jump of the clock, or the same sleep, within the last minute.
fn is_repeated_notice(kept: &JournaledStory<Panel>, event: &PanelEvent, now: Moment) -> bool {
    let same = |entry: &Entry<PanelEvent>| match (&entry.event, event) {
        (PanelEvent::ClockStepped { by: a }, PanelEvent::ClockStepped { by: b }) => (*a - *b).abs().ms() < 5000,
        (PanelEvent::Slept { span: a }, PanelEvent::Slept { span: b }) => (*a - *b).abs().ms() < 5000,
        (_, _) => false,
    };
    let recent = |entry: &&Entry<PanelEvent>| now.since(entry.written).abs().ms() < 60_000;
    kept.story.as_ref().is_some_and(|s| s.entries().iter().rev().take(8).filter(recent).any(same))
}

/// The call that is to be raised for a panel at that moment, and the `seq` of the fact whose wait it belongs to: the last
/// one whose time has come, unless it was raised already, here or in another window. Long waits end silently at night.
pub fn find_due_call(story: &PanelStory, now: Moment, night: Option<QuietHours>) -> Option<(PanelCall, u64)> {
    let now = trusted_now(story, now);
    let panel = story.panel();
    let standing = panel.status(now);
    let wait = panel.current_wait()?;
    if wait_calls::is_night_silent(wait.wait.span, now.minute_of_day(), night) {
        return None;
    }
    let come = wait_calls::wait_calls(panel, &standing).into_iter().filter(|(_, at)| *at <= now.wall);
    come.map(|(call, _)| call)
        .next_back()
        .filter(|call| !panel.has_raised(*call, wait.fact_seq))
        .map(|call| (call, wait.fact_seq))
}
