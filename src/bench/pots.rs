//! What is recorded of pots and of the air, and which pot a coat comes from.

use super::kept::{Kept, Told, believed_now};
use super::{Ask, Bench, NotRecorded};
use crate::record::journal::{Failure, Journal};
use crate::record::shelf::Drawer;
use crate::units::{Entry, Id, Moment, Stamp};
use crate::work::air::{self, Air, Reading};
use crate::work::panel::act::Act;
use crate::work::panel::event::Kind;
use crate::work::pot;
use crate::work::pot::fold::Pot;
use std::sync::Arc;

/// What a maker asks to have recorded of a pot.
#[derive(Debug, Clone, PartialEq)]
pub struct PotAsk {
    /// What happened.
    pub act: pot::act::Act,
    /// When, if not now.
    pub at: Option<Stamp>,
}

/// What came of recording the air.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct AirTaken {
    /// How many readings were written.
    pub written: usize,
    /// How many stood there already.
    pub known: usize,
}

impl Told<Pot> {
    /// Whether it is neither used up nor thrown away.
    pub fn in_use(&self) -> bool {
        self.story.as_ref().is_some_and(|s| s.pot().end().is_none())
    }
}

impl Bench {
    /// Puts a pot on the bench, if it is not there yet.
    ///
    /// # Errors
    /// A [`Failure`] if its journal cannot be read.
    pub fn bring_pot(&mut self, id: &Id) -> Result<Told<Pot>, Failure> {
        if let Some(kept) = self.pots.iter_mut().find(|k| k.id == *id) {
            kept.read_on()?;
            return Ok(kept.told());
        }
        let kept = Kept::open(&self.shelf, Drawer::Pots, id)?;
        let told = kept.told();
        self.pots.push(kept);
        Ok(told)
    }

    /// Puts every pot of the shelf on the bench, oldest first; they are few, and gesso leads back to its size.
    ///
    /// # Errors
    /// A [`Failure`] if the shelf cannot be read at all; a single journal that cannot be read is left out.
    pub fn bring_pots(&mut self) -> Result<Vec<Told<Pot>>, Failure> {
        for id in self.shelf.ids(Drawer::Pots)? {
            // One that cannot be read is told of by `pots`.
            let _ = self.bring_pot(&id);
        }
        self.pots.sort_by_key(|k| k.story.as_ref().map(|s| (s.pot().opened_at().wall, k.id.clone())));
        Ok(self.told_pots())
    }

    /// Every pot on the bench.
    pub fn told_pots(&self) -> Vec<Told<Pot>> {
        self.pots.iter().map(Kept::told).collect()
    }

    /// Takes in what others recorded of pots. Returns those something is new about.
    pub fn read_on_pots(&mut self) -> Vec<Told<Pot>> {
        let before: Vec<Id> = self.pots.iter().map(|k| k.id.clone()).collect();
        let mut changed: Vec<_> =
            self.pots.iter_mut().filter_map(|k| k.read_on().unwrap_or(false).then(|| k.told())).collect();
        for id in self.shelf.ids(Drawer::Pots).unwrap_or_default().iter().filter(|id| !before.contains(id)) {
            changed.extend(self.bring_pot(id).ok());
        }
        changed
    }

    /// Records an act on a pot.
    ///
    /// # Errors
    /// [`NotRecorded`]; nothing is then recorded.
    pub fn record_pot(&mut self, id: &Id, ask: &PotAsk, now: &dyn Fn() -> Moment) -> Result<Told<Pot>, NotRecorded> {
        self.bring_pot(id)?;
        let lock = self.shelf.lock()?;
        let kept = self.pot(id)?;
        kept.read_on()?;
        let event = kept.story()?.complete(&ask.act)?;
        kept.record(&lock, event, ask.at, now())?;
        Ok(kept.told())
    }

    /// Writes a call that a pot raised. One that was raised already is refused.
    ///
    /// # Errors
    /// [`NotRecorded`].
    pub fn notice_pot(
        &mut self,
        id: &Id,
        event: pot::event::Event,
        now: &dyn Fn() -> Moment,
    ) -> Result<Told<Pot>, NotRecorded> {
        self.bring_pot(id)?;
        let lock = self.shelf.lock()?;
        let kept = self.pot(id)?;
        kept.read_on()?;
        kept.record(&lock, event, None, now())?;
        Ok(kept.told())
    }

    fn pot(&mut self, id: &Id) -> Result<&mut Kept<Pot>, NotRecorded> {
        self.pots.iter_mut().find(|k| k.id == *id).ok_or_else(|| NotRecorded::NoStory(id.clone()))
    }

    /// The same ask, with the pot the coat comes from, where the maker named none: the one the last coat of its kind on
    /// this panel came from if that is still in use, else the only one of its kind in use. Where several could be meant
    /// none is named, since a wrong name would be worse than none.
    pub(super) fn with_pot(&mut self, id: &Id, ask: &Ask, now: Moment) -> Ask {
        let Act::Done { direction, pot: None, map } = &ask.act else { return ask.clone() };
        // Pots that cannot be read cost a coat its pot's name and nothing else.
        let _ = self.bring_pots();
        let pot = self.likely_pot(id, ask.at, now);
        Ask { act: Act::Done { direction: *direction, pot, map: map.clone() }, ..ask.clone() }
    }

    fn likely_pot(&mut self, id: &Id, at: Option<Stamp>, now: Moment) -> Option<Id> {
        let story = self.panel(id).ok()?.story.clone()?;
        let then = at.and_then(|at| story.as_of(at)).map_or(story, Arc::new);
        let now = believed_now(&then, now);
        let kind = match then.panel().at_hand()?.kind {
            Kind::Size | Kind::Cloth => pot::event::Kind::Size,
            Kind::Stipple | Kind::Coat => pot::event::Kind::Gesso,
            Kind::Prepare
            | Kind::Cure
            | Kind::Dry
            | Kind::Scrape
            | Kind::Polish
            | Kind::Check
            | Kind::Rest
            | Kind::Seal
            | Kind::Sand => return None,
        };
        let when = at.unwrap_or(now.wall);
        let stands = |s: &pot::story::Story| {
            let pot = s.pot();
            let ended = pot.ended_at().is_some_and(|end| end.wall <= when);
            pot.opened().kind == kind && pot.opened_at().wall <= when && !ended
        };
        let in_use: Vec<Id> =
            self.pots.iter().filter(|k| k.story.as_ref().is_some_and(|s| stands(s))).map(|k| k.id.clone()).collect();
        let last = then.panel().pots().into_iter().rev().find(|id| in_use.contains(id)).cloned();
        last.or_else(|| in_use.first().filter(|_| in_use.len() == 1).cloned())
    }

    /// The readings of the air.
    ///
    /// # Errors
    /// A [`Failure`] if the journal is there and cannot be read.
    pub fn air(&self) -> Result<Air, Failure> {
        let path = self.shelf.air_file();
        if !path.exists() {
            return Ok(Air::default());
        }
        let (_, entries) = Journal::<air::Event>::open(Arc::clone(self.shelf.disk()), &path)?;
        Ok(Air::of(&entries))
    }

    /// Records readings of the air; one that stands there already is passed over.
    ///
    /// # Errors
    /// [`NotRecorded`]; the readings before the one that failed are written.
    pub fn record_air(&mut self, readings: &[Reading], now: &dyn Fn() -> Moment) -> Result<AirTaken, NotRecorded> {
        let lock = self.shelf.lock()?;
        let path = self.shelf.air_file();
        let disk = Arc::clone(self.shelf.disk());
        let (mut journal, entries) = match path.exists() {
            true => Journal::<air::Event>::open(Arc::clone(&disk), &path).map(|(j, e)| (Some(j), e))?,
            false => (None, Vec::new()),
        };
        let known = Air::of(&entries);
        let mut last = entries.last().map(|e| e.written);
        let new: Vec<&Reading> = readings.iter().filter(|r| !known.readings().contains(r)).collect();
        for reading in &new {
            let (written, raw_wall) = last.map_or((now(), None), |last| super::believed(now(), last));
            last = Some(written);
            let seq = journal.as_ref().map_or(0, Journal::next_seq);
            let event = air::Event::Read { temp: reading.temp, rh: reading.rh };
            let entry = Entry { seq, at: reading.at, written, raw_wall, event };
            match &mut journal {
                Some(journal) => journal.append(&lock, &entry)?,
                None => journal = Some(Journal::create(Arc::clone(&disk), &path, &lock, &entry)?),
            }
        }
        Ok(AirTaken { written: new.len(), known: readings.len() - new.len() })
    }
}
