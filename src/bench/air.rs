//! The air: its journal at hand, read as far as it goes, and the way readings get in.
//!
//! A logger's file is written in batches. Each is made ready without the lock, and is one write and one sync under it, so
//! that whoever lays a coat meanwhile finds it free. Absent on purpose: what the air does to a wait (`weather`), a logger's
//! file as text (`work::air::logger`).

use super::time::believed;
use super::{Bench, NotRecorded};
use crate::record::files::Lock;
use crate::record::journal::{Failure, Journal, Lines};
use crate::record::shelf::Shelf;
use crate::text::Trouble;
use crate::units::{Entry, Moment, Stamp};
use crate::work::air::{Air, Event, Reading};
use crate::work::panel::refusal::Refusal;
use crate::work::story::AHEAD;
use std::collections::HashMap;
use std::sync::Arc;

/// How many readings are written at once: a month of one every ten minutes.
const BATCH: usize = 4096;

/// What came of recording the air.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct AirTaken {
    /// How many readings were written.
    pub written: usize,
    /// How many stood there already.
    pub known: usize,
}

/// The readings at hand and the journal they stand in; none where nothing was recorded yet.
#[derive(Debug, Default)]
pub(super) struct KeptAir {
    journal: Option<Journal<Event>>,
    air: Air,
    /// When the last line was written.
    last: Option<Moment>,
}

/// Readings made ready to be written where the journal stood then.
struct Ready {
    entries: Vec<Entry<Event>>,
    /// Their lines; none where the journal is still to be made.
    lines: Option<Lines>,
    /// How many of the batch stand there already.
    known: usize,
}

impl KeptAir {
    /// Takes in what others recorded, from where the last reading ended; all of it where that cannot be relied on, since
    /// the file was mended, replaced or taken away.
    fn read_on(&mut self, shelf: &Shelf) -> Result<(), Failure> {
        let more = self.journal.as_mut().filter(|j| !j.unsettled()).and_then(|j| j.refresh().ok());
        let sound = self.journal.as_ref().and_then(Journal::damage).is_none_or(|d| !d.kind.blocks());
        if let Some(more) = more.filter(|_| sound) {
            self.adopt(&more);
            return Ok(());
        }
        *self = KeptAir::default();
        match Journal::open(Arc::clone(shelf.disk()), &shelf.air_file()) {
            Ok((journal, entries)) => {
                self.adopt(&entries);
                // What is left of a first line that was never wholly written is written over by the next.
                let unbegun = entries.is_empty() && journal.damage().is_some_and(|d| !d.kind.blocks());
                self.journal = Some(journal).filter(|_| !unbegun);
                Ok(())
            }
            Err(Failure::Unread { trouble: Trouble::Gone, .. }) => Ok(()),
            Err(failure) => Err(failure),
        }
    }

    fn adopt(&mut self, entries: &[Entry<Event>]) {
        self.air.extend(entries);
        self.last = entries.last().map(|e| e.written).or(self.last);
    }

    /// `now` as the journal has to take it, and what the wall clock said where it is not believed.
    fn believed(&self, now: Moment) -> (Moment, Option<Stamp>) {
        self.last.map_or((now, None), |last| believed(now, last))
    }

    /// The readings that say something else than what holds at their time.
    fn new_of(&self, readings: &[Reading]) -> Vec<Reading> {
        let mut holds: HashMap<Stamp, Reading> = HashMap::new();
        let mut new = readings.to_vec();
        new.retain(|reading| {
            let before = holds.insert(reading.at, *reading);
            before.as_ref().or_else(|| self.air.at(reading.at)) != Some(reading)
        });
        new
    }

    /// A batch made ready where the journal stands now.
    fn ready(&self, batch: &[Reading], now: Moment) -> Result<Ready, Failure> {
        let new = self.new_of(batch);
        let (written, raw_wall) = self.believed(now);
        let entry = |(seq, reading): (u64, &Reading)| {
            let event = Event::Read { temp: reading.temp, rh: reading.rh };
            Entry { seq, at: reading.at, written, raw_wall, event }
        };
        let first = self.journal.as_ref().map_or(0, Journal::next_seq);
        let entries: Vec<Entry<Event>> = (first..).zip(&new).map(entry).collect();
        let lines = self.journal.as_ref().map(|journal| journal.lines(&entries)).transpose()?;
        Ok(Ready { entries, lines, known: batch.len() - new.len() })
    }

    /// Whether nothing was recorded since that batch was made ready.
    fn fits(&self, ready: &Ready) -> bool {
        self.journal.as_ref().zip(ready.lines.as_ref()).is_some_and(|(journal, lines)| journal.fits(lines))
    }

    /// Writes a batch, making the journal if there is none. Counts what is on disk.
    fn write(&mut self, shelf: &Shelf, lock: &Lock, ready: &Ready, written: &mut usize) -> Result<(), Failure> {
        if let (Some(journal), Some(lines)) = (&mut self.journal, &ready.lines) {
            journal.append_lines(lock, lines)?;
            self.adopt(&ready.entries);
            *written += ready.entries.len();
        } else if let Some((first, rest)) = ready.entries.split_first() {
            let mut journal = Journal::create(Arc::clone(shelf.disk()), &shelf.air_file(), lock, first)?;
            self.adopt(std::slice::from_ref(first));
            *written += 1;
            let appended = journal.append_batch(lock, rest);
            self.journal = Some(journal);
            appended?;
            self.adopt(rest);
            *written += rest.len();
        }
        Ok(())
    }
}

impl Bench {
    /// The readings of the air.
    ///
    /// # Errors
    /// A [`Failure`] if the journal is there and cannot be read.
    pub fn air(&mut self) -> Result<Air, Failure> {
        self.air.read_on(&self.shelf)?;
        Ok(self.air.air.clone())
    }

    /// Records readings of the air; one that says what holds at its time already is passed over.
    ///
    /// # Errors
    /// [`NotRecorded`], and what was written all the same: batches before the one that failed. Where one reading lies
    /// too far ahead, nothing is.
    #[allow(clippy::result_large_err, reason = "the air is recorded seldom, and both parts are told")]
    pub fn record_air(
        &mut self,
        readings: &[Reading],
        now: &dyn Fn() -> Moment,
    ) -> Result<AirTaken, (NotRecorded, AirTaken)> {
        self.record_air_by(BATCH, readings, now)
    }

    /// The same with so many readings in a batch.
    #[allow(clippy::result_large_err, reason = "the air is recorded seldom, and both parts are told")]
    pub(super) fn record_air_by(
        &mut self,
        size: usize,
        readings: &[Reading],
        now: &dyn Fn() -> Moment,
    ) -> Result<AirTaken, (NotRecorded, AirTaken)> {
        let mut taken = AirTaken::default();
        // A long journal is read before the lock is taken; under it only what came since.
        self.air.read_on(&self.shelf).map_err(|failure| (failure.into(), taken))?;
        let here = self.air.believed(now()).0.wall;
        if let Some(by) = readings.iter().map(|r| r.at - here).max().filter(|by| *by > AHEAD) {
            return Err((Refusal::Ahead { by }.into(), taken));
        }
        for batch in readings.chunks(size) {
            self.record_batch(batch, now, &mut taken).map_err(|failure| (failure.into(), taken))?;
        }
        Ok(taken)
    }

    fn record_batch(
        &mut self,
        batch: &[Reading],
        now: &dyn Fn() -> Moment,
        taken: &mut AirTaken,
    ) -> Result<(), Failure> {
        // Made ready before the lock is taken, so that others have their turn between two batches; and anew if they took it.
        let ready = self.air.ready(batch, now())?;
        let lock = self.shelf.lock()?;
        self.air.read_on(&self.shelf)?;
        let ready = if self.air.fits(&ready) { ready } else { self.air.ready(batch, now())? };
        self.air.write(&self.shelf, &lock, &ready, &mut taken.written)?;
        taken.known += ready.known;
        Ok(())
    }
}
