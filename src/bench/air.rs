//! The journal of the air at hand: read as far as it goes, and written in batches.

use super::clock_trust::trusted_time;
use crate::record::files::Lock;
use crate::record::journal::{Damage, Journal, JournalError, PreparedLines};
use crate::record::shelf::Shelf;
use crate::text::FileError;
use crate::units::{Entry, Moment, Stamp};
use crate::work::air::{Air, AirEvent, AirReading};
use std::collections::HashMap;
use std::sync::Arc;

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
    pub(super) readings: Arc<Air>,
    /// When the last line was written.
    last_written: Option<(Moment, Option<Stamp>)>,
}

/// Readings made ready to be written where the journal stood then.
pub(super) struct AirBatch {
    entries: Vec<Entry<AirEvent>>,
    /// Their lines; none where the journal is still to be made.
    lines: Option<PreparedLines>,
    /// How many of the batch stand there already.
    pub(super) already_known: usize,
}

impl AirJournal {
    /// Takes in what others recorded, from where the last reading ended; all of it where that cannot be relied on, since
    /// the file was mended, replaced or taken away.
    pub(super) fn refresh(&mut self, shelf: &Shelf) -> Result<(), JournalError> {
        let more = self.journal.as_mut().filter(|j| !j.needs_reopen()).and_then(|j| j.refresh().ok());
        if let Some(more) = more.filter(|_| self.blocking_damage().is_none()) {
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

    /// What is wrong with the journal, where nothing may be recorded in it.
    pub(super) fn blocking_damage(&self) -> Option<&Damage> {
        self.journal.as_ref().and_then(Journal::damage).filter(|d| d.kind.is_blocking())
    }

    fn add_entries(&mut self, entries: &[Entry<AirEvent>]) {
        if !entries.is_empty() {
            Arc::make_mut(&mut self.readings).extend(entries);
        }
        self.last_written = entries.last().map(|e| (e.written, e.raw_wall)).or(self.last_written);
    }

    /// `now` as the journal has to take it, and what the wall clock said where it is not believed.
    pub(super) fn trusted_time(&self, now: Moment) -> (Moment, Option<Stamp>) {
        let first = (Moment { raw_wall: None, ..now }, now.raw_wall);
        self.last_written.map_or(first, |(last, raw)| trusted_time(now, last, raw))
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
    pub(super) fn prepare_batch(&self, batch: &[AirReading], now: Moment) -> Result<AirBatch, JournalError> {
        let new = self.select_new(batch);
        let (written, raw_wall) = self.trusted_time(now);
        let entry = |(seq, reading): (u64, &AirReading)| {
            let event = AirEvent::Read { temp: reading.temp, rh: reading.rh };
            Entry { seq, at: reading.at, written, raw_wall, replaces: None, event }
        };
        let first = self.journal.as_ref().map_or(0, Journal::next_seq);
        let entries: Vec<Entry<AirEvent>> = (first..).zip(&new).map(entry).collect();
        let lines = self.journal.as_ref().map(|journal| journal.prepare_lines(&entries)).transpose()?;
        Ok(AirBatch { entries, lines, already_known: batch.len() - new.len() })
    }

    /// Whether nothing was recorded since that batch was made ready.
    pub(super) fn is_current(&self, ready: &AirBatch) -> bool {
        self.journal.as_ref().zip(ready.lines.as_ref()).is_some_and(|(journal, lines)| journal.is_next(lines))
    }

    /// Writes a batch, making the journal if there is none. Counts what is on disk.
    pub(super) fn write_batch(
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
