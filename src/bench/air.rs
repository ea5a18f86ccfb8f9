//! The air: its journal at hand, read as far as it goes, and the way readings get in.
//!
//! A logger's file is written in batches. Each is made ready without the lock, and is one write and one sync under it, so
//! that whoever lays a coat meanwhile finds it free. Absent on purpose: what the air does to a wait (`weather`), a logger's
//! file as text (`work::air::logger`).

use super::clock_trust::trusted_time;
use super::{Bench, RecordError};
use crate::record::files::Lock;
use crate::record::journal::{Journal, JournalError, PreparedLines};
use crate::record::shelf::Shelf;
use crate::text::FileError;
use crate::units::{Entry, Moment, Stamp};
use crate::work::air::{Air, AirEvent, AirReading};
use crate::work::panel::refusal::PanelRefusal;
use crate::work::story::AHEAD_MAX;
use std::collections::HashMap;
use std::sync::Arc;

/// How many readings are written at once: a month of one every ten minutes.
const BATCH_SIZE: usize = 4096;

/// What came of recording the air.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct AirRecorded {
    /// How many readings were written.
    pub written: usize,
    /// How many stood there already.
    pub already_known: usize,
}

/// The readings at hand and the journal they stand in; none where nothing was recorded yet.
#[derive(Debug, Default)]
pub(super) struct AirJournal {
    journal: Option<Journal<AirEvent>>,
    /// Shared with whoever was handed it, and copied only where they still hold it when something new is read.
    readings: Arc<Air>,
    /// When the last line was written.
    last_written: Option<Moment>,
}

/// Readings made ready to be written where the journal stood then.
struct AirBatch {
    entries: Vec<Entry<AirEvent>>,
    /// Their lines; none where the journal is still to be made.
    lines: Option<PreparedLines>,
    /// How many of the batch stand there already.
    already_known: usize,
}

impl AirJournal {
    /// Takes in what others recorded, from where the last reading ended; all of it where that cannot be relied on, since
    /// the file was mended, replaced or taken away.
    fn refresh(&mut self, shelf: &Shelf) -> Result<(), JournalError> {
        let more = self.journal.as_mut().filter(|j| !j.needs_reopen()).and_then(|j| j.refresh().ok());
        let sound = self.journal.as_ref().and_then(Journal::damage).is_none_or(|d| !d.kind.is_blocking());
        if let Some(more) = more.filter(|_| sound) {
            self.add_entries(&more);
            return Ok(());
        }
        *self = AirJournal::default();
        match Journal::open(Arc::clone(shelf.storage()), &shelf.air_path()) {
            Ok((journal, entries)) => {
                self.add_entries(&entries);
                // What is left of a first line that was never wholly written is written over by the next.
                let unbegun = entries.is_empty() && journal.damage().is_some_and(|d| !d.kind.is_blocking());
                self.journal = Some(journal).filter(|_| !unbegun);
                Ok(())
            }
            Err(JournalError::ReadFailed { error: FileError::NotFound, .. }) => Ok(()),
            Err(failure) => Err(failure),
        }
    }

    fn add_entries(&mut self, entries: &[Entry<AirEvent>]) {
        if !entries.is_empty() {
            Arc::make_mut(&mut self.readings).extend(entries);
        }
        self.last_written = entries.last().map(|e| e.written).or(self.last_written);
    }

    /// `now` as the journal has to take it, and what the wall clock said where it is not believed.
    fn trusted_time(&self, now: Moment) -> (Moment, Option<Stamp>) {
        self.last_written.map_or((now, None), |last| trusted_time(now, last))
    }

    /// The readings that say something else than what holds at their time.
    fn select_new(&self, readings: &[AirReading]) -> Vec<AirReading> {
        let mut holds: HashMap<Stamp, AirReading> = HashMap::new();
        let mut new = readings.to_vec();
        new.retain(|reading| {
            let before = holds.insert(reading.at, *reading);
            before.as_ref().or_else(|| self.readings.reading_at(reading.at)) != Some(reading)
        });
        new
    }

    /// A batch made ready where the journal stands now.
    fn prepare_batch(&self, batch: &[AirReading], now: Moment) -> Result<AirBatch, JournalError> {
        let new = self.select_new(batch);
        let (written, raw_wall) = self.trusted_time(now);
        let entry = |(seq, reading): (u64, &AirReading)| {
            let event = AirEvent::Read { temp: reading.temp, rh: reading.rh };
            Entry { seq, at: reading.at, written, raw_wall, event }
        };
        let first = self.journal.as_ref().map_or(0, Journal::next_seq);
        let entries: Vec<Entry<AirEvent>> = (first..).zip(&new).map(entry).collect();
        let lines = self.journal.as_ref().map(|journal| journal.prepare_lines(&entries)).transpose()?;
        Ok(AirBatch { entries, lines, already_known: batch.len() - new.len() })
    }

    /// Whether nothing was recorded since that batch was made ready.
    fn is_current(&self, ready: &AirBatch) -> bool {
        self.journal.as_ref().zip(ready.lines.as_ref()).is_some_and(|(journal, lines)| journal.is_next(lines))
    }

    /// Writes a batch, making the journal if there is none. Counts what is on disk.
    fn write_batch(
        &mut self,
        shelf: &Shelf,
        lock: &Lock,
        ready: &AirBatch,
        written: &mut usize,
    ) -> Result<(), JournalError> {
        if let (Some(journal), Some(lines)) = (&mut self.journal, &ready.lines) {
            journal.append_lines(lock, lines)?;
            self.add_entries(&ready.entries);
            *written += ready.entries.len();
        } else if let Some((first, rest)) = ready.entries.split_first() {
            let mut journal = Journal::create(Arc::clone(shelf.storage()), &shelf.air_path(), lock, first)?;
            self.add_entries(std::slice::from_ref(first));
            *written += 1;
            let appended = journal.append_batch(lock, rest);
            self.journal = Some(journal);
            appended?;
            self.add_entries(rest);
            *written += rest.len();
        }
        Ok(())
    }
}

impl Bench {
    /// The readings of the air.
    ///
    /// # Errors
    /// A [`JournalError`] if the journal is there and cannot be read.
    pub fn load_air(&mut self) -> Result<Arc<Air>, JournalError> {
        self.air.refresh(&self.shelf)?;
        Ok(Arc::clone(&self.air.readings))
    }

    /// Records readings of the air; one that says what holds at its time already is passed over.
    ///
    /// # Errors
    /// [`NotRecorded`], and what was written all the same: batches before the one that failed. Where one reading lies
    /// too far ahead, nothing is.
    #[allow(clippy::result_large_err, reason = "the air is recorded seldom, and both parts are told")]
    pub fn record_air(
        &mut self,
        readings: &[AirReading],
        now: &dyn Fn() -> Moment,
    ) -> Result<AirRecorded, (RecordError, AirRecorded)> {
        self.record_air_in_batches(BATCH_SIZE, readings, now)
    }

    /// The same with so many readings in a batch.
    #[allow(clippy::result_large_err, reason = "the air is recorded seldom, and both parts are told")]
    pub(super) fn record_air_in_batches(
        &mut self,
        size: usize,
        readings: &[AirReading],
        now: &dyn Fn() -> Moment,
    ) -> Result<AirRecorded, (RecordError, AirRecorded)> {
        let mut taken = AirRecorded::default();
        // A long journal is read before the lock is taken; under it only what came since.
        self.air.refresh(&self.shelf).map_err(|failure| (failure.into(), taken))?;
        let here = self.air.trusted_time(now()).0.wall;
        if let Some(by) = readings.iter().map(|r| r.at - here).max().filter(|by| *by > AHEAD_MAX) {
            return Err((PanelRefusal::TooFarAhead { by }.into(), taken));
        }
        for batch in readings.chunks(size) {
            self.record_air_batch(batch, now, &mut taken).map_err(|failure| (failure.into(), taken))?;
        }
        Ok(taken)
    }

    fn record_air_batch(
        &mut self,
        batch: &[AirReading],
        now: &dyn Fn() -> Moment,
        taken: &mut AirRecorded,
    ) -> Result<(), JournalError> {
        // Made ready before the lock is taken, so that others have their turn between two batches; and anew if they took it.
        let ready = self.air.prepare_batch(batch, now())?;
        let lock = self.shelf.lock()?;
        self.air.refresh(&self.shelf)?;
        let ready = if self.air.is_current(&ready) { ready } else { self.air.prepare_batch(batch, now())? };
        self.air.write_batch(&self.shelf, &lock, &ready, &mut taken.written)?;
        taken.already_known += ready.already_known;
        Ok(())
    }
}
