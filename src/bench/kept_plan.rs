//! The plan that is kept: the last one in `plan.jsonl`.

use super::Bench;
use super::clock_trust::trusted_time;
use crate::record::journal::{Journal, JournalError};
use crate::record::shelf::Shelf;
use crate::text::FileError;
use crate::units::{Entry, Moment};
use crate::work::plan::calendar::kept::KeptPlan;
use crate::work::plan::event::PlanEvent;
use std::sync::Arc;

type PlanJournal = (Journal<PlanEvent>, Vec<Entry<PlanEvent>>);

impl Bench {
    /// The plan that is kept; none where none was, or the last is a newer version's.
    ///
    /// # Errors
    /// A [`JournalError`] if its journal is there and cannot be relied on.
    pub fn load_kept_plan(&self) -> Result<Option<KeptPlan>, JournalError> {
        let Some((journal, entries)) = open_journal(&self.shelf)? else { return Ok(None) };
        check_sound(&journal)?;
        Ok(entries.into_iter().next_back().and_then(|entry| match entry.event {
            PlanEvent::Planned(plan) => Some(*plan),
            PlanEvent::Unknown { .. } => None,
        }))
    }

    /// Keeps a plan in the place of any before it. Nothing is written where it is kept already. Gives back whether
    /// anything was.
    ///
    /// # Errors
    /// [`JournalError`]; nothing is then written.
    pub fn keep_plan(&self, plan: &KeptPlan, now: &dyn Fn() -> Moment) -> Result<bool, JournalError> {
        let lock = self.shelf.lock()?;
        let open = open_journal(&self.shelf)?;
        let before = open.as_ref().and_then(|(_, entries)| entries.last());
        let event = PlanEvent::Planned(Box::new(plan.clone()));
        if before.is_some_and(|before| before.event == event) {
            return Ok(false);
        }
        let now = now();
        let first = (Moment { raw_wall: None, ..now }, now.raw_wall);
        let (written, raw_wall) = before.map_or(first, |last| trusted_time(now, last.written, last.raw_wall));
        let entry = |seq| Entry { seq, at: written.wall, written, raw_wall, replaces: None, event };
        match open {
            Some((mut journal, entries)) if !entries.is_empty() => {
                check_sound(&journal)?;
                journal.append(&lock, &entry(journal.next_seq()))?;
            }
            // Nothing, or what is left of a first line that was never wholly written.
            Some(_) | None => {
                Journal::create(Arc::clone(self.shelf.storage()), &self.shelf.plan_path(), &lock, &entry(0))?;
            }
        }
        Ok(true)
    }
}

fn open_journal(shelf: &Shelf) -> Result<Option<PlanJournal>, JournalError> {
    match Journal::open(Arc::clone(shelf.storage()), &shelf.plan_path()) {
        Ok(open) => Ok(Some(open)),
        Err(JournalError::ReadFailed { error: FileError::NotFound, .. }) => Ok(None),
        Err(error) => Err(error),
    }
}

fn check_sound(journal: &Journal<PlanEvent>) -> Result<(), JournalError> {
    match journal.damage().filter(|damage| damage.kind.is_blocking()) {
        Some(damage) => Err(JournalError::Damaged { path: journal.path().to_owned(), damage: damage.clone() }),
        None => Ok(()),
    }
}
