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
mod around;
mod kept;
mod looks;
mod opening;
mod pot_calls;
mod pots;
mod room;
mod shelved;
mod time;
mod weather;

#[cfg(test)]
mod air_tests;
#[cfg(test)]
mod pot_tests;
#[cfg(test)]
mod tests;

pub use air::AirTaken;
pub use around::Around;
pub use kept::{Told, believed_now};
pub use looks::{Finished, Looks, finished_panels};
pub use opening::{Opening, PotOpening};
pub use pot_calls::pot_call_due;
pub use pots::PotAsk;
pub use room::Room;
pub use shelved::{Rows, Shelved};

use crate::config::Night;
use crate::record::files::Lock;
use crate::record::journal::Failure;
use crate::record::shelf::{Drawer, Shelf};
use crate::units::{Entry, Id, Moment, Stamp};
use crate::work::advice::calls;
use crate::work::panel::act::Act;
use crate::work::panel::event::{Call, Event, Stage};
use crate::work::panel::fold::Panel;
use crate::work::panel::phase::Phase;
use crate::work::panel::refusal::Refusal;
use crate::work::panel::story::Story;
use crate::work::pot;
use crate::work::pot::fold::Pot;
use air::KeptAir;
use kept::Kept;
use std::fmt;
use std::sync::Arc;
use weather::{Weather, planned};

/// What a maker asks to have recorded, and what goes with it.
#[derive(Debug, Clone, PartialEq)]
pub struct Ask {
    /// What happened.
    pub act: Act,
    /// When, if not now.
    pub at: Option<Stamp>,
    /// The stage the maker saw at hand; refused if it is no longer that one.
    pub seen: Option<Stage>,
}

impl Ask {
    /// That act, happening now.
    pub const fn now(act: Act) -> Ask {
        Ask { act, at: None, seen: None }
    }
}

/// Why something was not recorded.
#[derive(Debug, Clone, PartialEq)]
pub enum NotRecorded {
    /// It cannot be true of a panel.
    Refused(Refusal),
    /// It cannot be true of a pot.
    PotRefused(pot::refusal::Refusal),
    /// It could not be kept.
    Failed(Failure),
    /// The story's beginning cannot be read, so nothing can be said of it.
    NoStory(Id),
}

impl fmt::Display for NotRecorded {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NotRecorded::Refused(refusal) => refusal.fmt(f),
            NotRecorded::PotRefused(refusal) => refusal.fmt(f),
            NotRecorded::Failed(failure) => failure.fmt(f),
            NotRecorded::NoStory(id) => {
                write!(f, "the journal of {id} has no readable beginning; see `sottile verify`")
            }
        }
    }
}

impl std::error::Error for NotRecorded {}

impl From<Refusal> for NotRecorded {
    fn from(refusal: Refusal) -> Self {
        NotRecorded::Refused(refusal)
    }
}

impl From<pot::refusal::Refusal> for NotRecorded {
    fn from(refusal: pot::refusal::Refusal) -> Self {
        NotRecorded::PotRefused(refusal)
    }
}

impl From<Failure> for NotRecorded {
    fn from(failure: Failure) -> Self {
        NotRecorded::Failed(failure)
    }
}

impl Told {
    /// Whether something is still to be done on it at that moment.
    pub fn unfinished(&self, now: Moment) -> bool {
        let standing = self.story.as_ref().map(|s| s.panel().phase_at(believed_now(s, now)));
        standing.is_some_and(|phase| !matches!(phase, Phase::Finished | Phase::Abandoned))
    }

    /// Whether it has a time that runs at that moment: a wait, what is over of one, or an act under way.
    pub fn counts(&self, now: Moment) -> bool {
        let runs = |s: &Arc<Story>| {
            let standing = s.panel().standing(believed_now(s, now));
            standing.left.is_some() || standing.phase == Phase::Working
        };
        self.story.as_ref().is_some_and(runs)
    }
}

/// The panels and pots at hand, and where they are kept.
#[derive(Debug)]
pub struct Bench {
    shelf: Shelf,
    panels: Vec<Kept<Panel>>,
    pots: Vec<Kept<Pot>>,
    air: KeptAir,
    air_may_shorten: bool,
    /// It was opened over the rack, so that a panel opened elsewhere belongs to it too.
    over_rack: bool,
}

impl Bench {
    /// A bench over that shelf, with nothing on it yet.
    pub fn new(shelf: Shelf) -> Bench {
        Bench {
            shelf,
            panels: Vec::new(),
            pots: Vec::new(),
            air: KeptAir::default(),
            air_may_shorten: false,
            over_rack: false,
        }
    }

    /// The same bench, on which dry air may shorten a wait or not; without this it may not.
    #[must_use]
    pub fn air_may_shorten(self, yes: bool) -> Bench {
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
    pub fn bring(&mut self, id: &Id) -> Result<Told, Failure> {
        if let Some(kept) = self.panels.iter_mut().find(|k| k.id == *id) {
            kept.read_on()?;
            return Ok(kept.told());
        }
        let kept = Kept::open(&self.shelf, Drawer::Panels, id)?;
        let told = kept.told();
        self.panels.push(kept);
        Ok(told)
    }

    /// Puts every panel on the bench that is not finished or given up at that moment, oldest first; those that are opened
    /// later come too.
    ///
    /// # Errors
    /// A [`Failure`] if the shelf cannot be read at all; a single journal that cannot be read is left out.
    pub fn bring_rack(&mut self, now: Moment) -> Result<(), Failure> {
        self.over_rack = true;
        self.bring_unfinished(now)?;
        self.panels.retain(|k| k.told().unfinished(now));
        self.panels.sort_by_key(|k| k.story.as_ref().map(|s| (s.panel().opened_at().wall, k.id.clone())));
        Ok(())
    }

    fn bring_unfinished(&mut self, now: Moment) -> Result<(), Failure> {
        for id in self.rack(now)? {
            // A panel whose journal has vanished is no longer on the rack; one that cannot be read is told of by `panels`.
            if !self.has(&id) {
                let _ = self.bring(&id);
            }
        }
        Ok(())
    }

    /// Whether that panel is on the bench.
    pub fn has(&self, id: &Id) -> bool {
        self.panels.iter().any(|k| k.id == *id)
    }

    /// The ids of the panels not yet finished; read from the stories themselves where no list is kept.
    fn rack(&self, now: Moment) -> Result<Vec<Id>, Failure> {
        let on_it = |id: &Id| {
            let kept = Kept::<Panel>::open(&self.shelf, Drawer::Panels, id);
            kept.is_ok_and(|k| k.journal.damage().is_some() || k.told().unfinished(now))
        };
        self.shelf.rack(|ids| ids.into_iter().filter(on_it).collect())
    }

    /// Keeps the list of unfinished panels in step with one of them, once something was recorded on it.
    fn keep_rack(&self, lock: &Lock, told: &Told, before: Result<Vec<Id>, Failure>, now: Moment) {
        let Ok(before) = before else { return };
        let mut after: Vec<Id> = before.iter().filter(|id| **id != told.id).cloned().collect();
        if told.unfinished(now) {
            after.push(told.id.clone());
        }
        let changed = after.len() != before.len() || !before.contains(&told.id);
        if changed || !self.shelf.rack_is_kept() {
            // A list that cannot be kept costs a slower start and nothing else.
            let _ = self.shelf.keep_rack(lock, &after);
        }
    }

    /// Takes a panel off the bench; nothing of it changes.
    pub fn let_go(&mut self, id: &Id) {
        self.panels.retain(|k| k.id != *id);
    }

    /// Every panel on the bench.
    pub fn told(&self) -> Vec<Told> {
        self.panels.iter().map(Kept::told).collect()
    }

    /// Takes in what other windows and scripts recorded, and over the rack the panels they opened. Returns the panels
    /// something is new about.
    pub fn read_on(&mut self, now: Moment) -> Vec<Told> {
        let changed = self.panels.iter_mut().filter_map(|k| k.read_on().unwrap_or(false).then(|| k.told()));
        let mut changed: Vec<Told> = changed.collect();
        let before = self.panels.len();
        // A rack that cannot be read now is read with the next news.
        if self.over_rack && self.bring_unfinished(now).is_ok() {
            changed.extend(self.panels.iter().skip(before).map(Kept::told));
        }
        changed
    }

    fn panel(&mut self, id: &Id) -> Result<&mut Kept<Panel>, NotRecorded> {
        self.panels.iter_mut().find(|k| k.id == *id).ok_or_else(|| NotRecorded::NoStory(id.clone()))
    }

    /// Records an act on a panel. Leaving and coming back belong to the maker, so they are written to every panel that
    /// is between stipple and last coat. Returns every panel of this bench that changed, the named one first.
    ///
    /// # Errors
    /// [`NotRecorded`]; nothing is then recorded on the named panel.
    pub fn record(&mut self, id: &Id, ask: &Ask, now: &dyn Fn() -> Moment) -> Result<Vec<Told>, NotRecorded> {
        self.bring(id)?;
        if !matches!(ask.act, Act::Away | Act::Back) {
            return self.record_here(id, ask, now);
        }
        // The others are written to and go back to where they were: this bench is over those it was opened over.
        let here: Vec<Id> = self.panels.iter().map(|k| k.id.clone()).collect();
        self.bring_unfinished(now())?;
        let changed = self.record_here(id, ask, now);
        if !self.over_rack {
            self.panels.retain(|k| here.contains(&k.id));
        }
        Ok(changed?.into_iter().filter(|told| self.has(&told.id)).collect())
    }

    fn record_here(&mut self, id: &Id, ask: &Ask, now: &dyn Fn() -> Moment) -> Result<Vec<Told>, NotRecorded> {
        self.look_at_the_air(&ask.act);
        let lock = self.shelf.lock()?;
        self.panel(id)?.read_on()?;
        let now = now();
        let ask = self.with_pot(id, ask, now);
        let weather = self.weather(&ask.act);
        let named = act_on(self.panel(id)?, &lock, &ask, &weather, now);
        let others = self.record_with_it(id, &lock, &ask, now);
        match (named, others.is_empty()) {
            // A panel that is not being laid has no part in it, as long as another has.
            (Err(NotRecorded::Refused(Refusal::NoAwayHere | Refusal::NotAway | Refusal::AlreadyAway)), false) => {}
            (named, _) => named?,
        }
        let told = self.panel(id)?.told();
        self.keep_rack(&lock, &told, self.rack(now), now);
        let mut changed = vec![told];
        changed.extend(others);
        Ok(changed)
    }

    /// Leaving and coming back, on the other panels they concern.
    fn record_with_it(&mut self, id: &Id, lock: &Lock, ask: &Ask, now: Moment) -> Vec<Told> {
        if !matches!(ask.act, Act::Away | Act::Back) {
            return Vec::new();
        }
        let (mut changed, weather) = (Vec::new(), self.weather(&ask.act));
        for kept in self.panels.iter_mut().filter(|k| k.id != *id) {
            if kept.read_on().is_ok() && act_on(kept, lock, ask, &weather, now).is_ok() {
                changed.push(kept.told());
            }
        }
        changed
    }

    /// Moves the fact just recorded to another time: takes it back and records it anew at `at`, both under one lock.
    /// `seq` names the fact the maker saw.
    ///
    /// # Errors
    /// [`NotRecorded`]; the fact then stands where it stood, or its take-back does.
    pub fn retime(&mut self, id: &Id, seq: u64, at: Stamp, now: &dyn Fn() -> Moment) -> Result<Told, NotRecorded> {
        self.bring(id)?;
        self.look_at_the_air(&Act::done());
        let lock = self.shelf.lock()?;
        let weather = self.weather(&Act::done());
        let kept = self.panel(id)?;
        kept.read_on()?;
        let now = now();
        let story = kept.story()?;
        let moved = story.last_standing().filter(|e| e.seq == seq).map(|e| e.event.clone());
        let moved = weather.fix(planned(moved.ok_or(Refusal::AnotherFactSince)?, &story), &story, at);
        let undo = story.complete(&Act::Undo { seen: Some(seq) }, now)?;
        let (undo, without) = kept.entry(undo, None, now)?;
        // Whether the fact can lie there is found out before anything is written.
        let entry = Entry { seq: undo.seq + 1, at, event: moved, ..undo.clone() };
        let with = without.with(entry.clone())?;
        kept.keep(&lock, &undo, without)?;
        kept.keep(&lock, &entry, with)?;
        Ok(kept.told())
    }

    /// Writes something the program noticed by itself. A call that was raised already, here or in another window, is
    /// refused with [`Refusal::AlreadyRaised`].
    ///
    /// # Errors
    /// [`NotRecorded`].
    pub fn notice(&mut self, id: &Id, event: Event, now: &dyn Fn() -> Moment) -> Result<Told, NotRecorded> {
        self.bring(id)?;
        let lock = self.shelf.lock()?;
        let kept = self.panel(id)?;
        kept.read_on()?;
        let now = now();
        if !noticed_before(kept, &event, now) {
            kept.record(&lock, event, None, now)?;
        }
        Ok(kept.told())
    }
}

/// Completes an act on a panel and keeps it.
fn act_on(kept: &mut Kept<Panel>, lock: &Lock, ask: &Ask, weather: &Weather, now: Moment) -> Result<(), NotRecorded> {
    let story = kept.story()?;
    let here = believed_now(&story, now);
    // A fact of this moment lies behind whatever was recorded before it, also behind what was put a minute ahead.
    let at = ask.at.unwrap_or_else(|| here.wall.max(story.last_at()));
    let at = here.back(here.wall - at);
    if let Some(seen) = &ask.seen {
        story.still_at_hand(seen, at)?;
    }
    let event = weather.fix(story.complete(&ask.act, at)?, &story, at.wall);
    kept.record(lock, event, ask.at, now)
}

/// Whether another window wrote the same jump of the clock, or the same sleep, within the last minute.
fn noticed_before(kept: &Kept<Panel>, event: &Event, now: Moment) -> bool {
    let same = |entry: &Entry<Event>| match (&entry.event, event) {
        (Event::ClockStepped { by: a }, Event::ClockStepped { by: b }) => (*a - *b).abs().ms() < 5000,
        (Event::Slept { span: a }, Event::Slept { span: b }) => (*a - *b).abs().ms() < 5000,
        (_, _) => false,
    };
    let recent = |entry: &&Entry<Event>| now.since(entry.written).abs().ms() < 60_000;
    kept.story.as_ref().is_some_and(|s| s.entries().iter().rev().take(8).filter(recent).any(same))
}

/// The call that is to be raised for a panel at that moment, and the `seq` of the fact whose wait it belongs to: the last
/// one whose time has come, unless it was raised already, here or in another window. Long waits end silently at night.
pub fn call_due(story: &Story, now: Moment, night: Option<Night>) -> Option<(Call, u64)> {
    let now = believed_now(story, now);
    let panel = story.panel();
    let standing = panel.standing(now);
    let wait = panel.wait_in_force()?;
    if calls::night_silent(wait.wait.span, now.minute_of_day(), night) {
        return None;
    }
    let come = calls::calls(panel, &standing).into_iter().filter(|(_, at)| *at <= now.wall);
    come.map(|(call, _)| call).next_back().filter(|call| !panel.was_raised(*call, wait.of)).map(|call| (call, wait.of))
}
