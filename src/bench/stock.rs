//! The cupboard's journal: what is recorded of it, read with what the pots took.

use super::Bench;
use super::clock_trust::trusted_time;
use crate::craft::materials::fillers::BulkDensities;
use crate::record::journal::{Journal, JournalError};
use crate::record::shelf::Shelf;
use crate::text::FileError;
use crate::units::{Entry, Moment, Stamp};
use crate::work::stock::cupboard::{Cupboard, last_standing};
use crate::work::stock::event::StockEvent;
use crate::work::stock::takings::PotTakings;
use crate::work::story::OrderRefusal;
use std::convert::Infallible;
use std::fmt;
use std::sync::Arc;

type StockJournal = (Journal<StockEvent>, Vec<Entry<StockEvent>>);

/// What is asked to be recorded of the cupboard.
#[derive(Debug, Clone, PartialEq)]
pub enum StockRequest {
    /// That.
    Record(StockEvent),
    /// That the last fact is taken back.
    TakeBack,
}

/// Why it was not recorded.
#[derive(Debug, Clone, PartialEq)]
pub enum StockError {
    /// It could not be kept.
    Journal(JournalError),
    /// Nothing stands that could be taken back.
    NothingToTakeBack,
    /// It would lie ahead of the clock.
    Ahead(String),
}

impl fmt::Display for StockError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            StockError::Journal(error) => error.fmt(f),
            StockError::NothingToTakeBack => {
                f.write_str("nothing is recorded of the cupboard that could be taken back")
            }
            StockError::Ahead(sentence) => f.write_str(sentence),
        }
    }
}

impl std::error::Error for StockError {}

impl From<JournalError> for StockError {
    fn from(error: JournalError) -> Self {
        StockError::Journal(error)
    }
}

impl Bench {
    /// The cupboard as of now. Pots that cannot be read took nothing anybody knows of.
    ///
    /// # Errors
    /// A [`JournalError`] if its journal, or the drawer of pots, is there and cannot be relied on.
    pub fn load_cupboard(&mut self, bulk: &BulkDensities) -> Result<Cupboard, JournalError> {
        let entries = match open_journal(&self.shelf)? {
            Some((journal, entries)) => {
                check_sound(&journal)?;
                entries
            }
            None => return Ok(Cupboard::default()),
        };
        let pots = self.load_pots()?;
        let stories: Vec<_> = pots.iter().filter_map(|snapshot| snapshot.story.as_ref()).collect();
        let takings = PotTakings::from_pots(stories.iter().map(|story| story.pot()), bulk);
        Ok(Cupboard::from_facts(&entries, &takings))
    }

    /// Records a fact of the cupboard, at that time or now. Gives back the fact that is on disk.
    ///
    /// # Errors
    /// `StockError`; nothing is then written.
    pub fn record_stock(
        &self,
        request: StockRequest,
        at: Option<Stamp>,
        now: &dyn Fn() -> Moment,
    ) -> Result<Entry<StockEvent>, StockError> {
        let lock = self.shelf.lock()?;
        let open = open_journal(&self.shelf)?;
        if let Some((journal, _)) = &open {
            check_sound(journal)?;
        }
        let before = open.as_ref().map_or(&[][..], |(_, entries)| entries.as_slice());
        let event = match request {
            StockRequest::Record(event) => event,
            StockRequest::TakeBack => {
                let last = last_standing(before).ok_or(StockError::NothingToTakeBack)?;
                StockEvent::Undone { takes_back: last.seq }
            }
        };
        let now = now();
        let first = (Moment { raw_wall: None, ..now }, now.raw_wall);
        let (written, raw_wall) = before.last().map_or(first, |last| trusted_time(now, last.written, last.raw_wall));
        let at = at.unwrap_or(written.wall);
        check_not_ahead(at, written.wall)?;
        let entry = |seq| Entry { seq, at, written, raw_wall, replaces: None, event };
        match open {
            Some((mut journal, entries)) if !entries.is_empty() => {
                let entry = entry(journal.next_seq());
                journal.append(&lock, &entry)?;
                Ok(entry)
            }
            // Nothing, or what is left of a first line that was never wholly written.
            Some(_) | None => {
                let entry = entry(0);
                Journal::create(Arc::clone(self.shelf.storage()), &self.shelf.stock_path(), &lock, &entry)?;
                Ok(entry)
            }
        }
    }
}

fn check_not_ahead(at: Stamp, now: Stamp) -> Result<(), StockError> {
    OrderRefusal::<Infallible>::check_not_ahead(at, now).map_err(|refusal| StockError::Ahead(refusal.to_string()))
}

fn open_journal(shelf: &Shelf) -> Result<Option<StockJournal>, JournalError> {
    match Journal::open(Arc::clone(shelf.storage()), &shelf.stock_path()) {
        Ok(open) => Ok(Some(open)),
        Err(JournalError::ReadFailed { error: FileError::NotFound, .. }) => Ok(None),
        Err(error) => Err(error),
    }
}

fn check_sound(journal: &Journal<StockEvent>) -> Result<(), JournalError> {
    match journal.damage().filter(|damage| damage.kind.is_blocking()) {
        Some(damage) => Err(JournalError::Damaged { path: journal.path().to_owned(), damage: damage.clone() }),
        None => Ok(()),
    }
}
