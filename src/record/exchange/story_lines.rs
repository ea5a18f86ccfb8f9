//! The lines of a story in one copy, and how two copies stand to each other.

use crate::record::journal::line;
use crate::record::journal::{Damage, Journal, JournalError, JournalEvent};
use crate::record::shelf::{Drawer, Shelf};
use crate::units::{Entry, Id, Stamp};
use crate::work::story::{StoryEvent, refile_entries};

/// A story as it lies in one place.
#[derive(Debug)]
pub struct StoryLines<E> {
    /// What it is filed under there.
    pub id: Id,
    /// Its sound lines, each with its end.
    pub bytes: Vec<u8>,
    /// Its facts, called as they are there.
    pub entries: Vec<Entry<E>>,
    /// How many bytes come before the filings at its end, which belong to the place and not to the story.
    own_len: usize,
    /// What is wrong with it, where nothing may be recorded in it.
    pub damage: Option<Damage>,
}

/// How another copy stands to one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Relation {
    /// Something was recorded in both since they were one.
    Parted,
    /// The other goes on where this one ends.
    Continues,
    /// The other has nothing that this one lacks.
    Contained,
}

impl<E: JournalEvent + StoryEvent> StoryLines<E> {
    /// Reads a story.
    ///
    /// # Errors
    /// [`JournalError::ReadFailed`]; damage is told in it.
    pub fn read(shelf: &Shelf, drawer: Drawer, id: &Id) -> Result<StoryLines<E>, JournalError> {
        let path = shelf.story_path(drawer, id);
        let (journal, mut entries): (Journal<E>, _) = shelf.open_story(drawer, id)?;
        let mut bytes = shelf.read_whole(&path)?;
        let damage = journal.damage().filter(|d| d.kind.is_blocking()).cloned();
        bytes.truncate(usize::try_from(journal.sound_len()).unwrap_or(usize::MAX));
        if !bytes.is_empty() && !bytes.ends_with(b"\n") {
            bytes.push(b'\n');
        }
        let own_len = own_len(&bytes, &entries);
        refile_entries(&mut entries);
        Ok(StoryLines { id: id.clone(), bytes, entries, own_len, damage })
    }

    /// Its first line, by which it is known everywhere.
    pub fn first_line(&self) -> &[u8] {
        self.bytes.split(|b| *b == b'\n').next().unwrap_or_default()
    }

    /// What was recorded, without the filings at the end.
    pub fn own_bytes(&self) -> &[u8] {
        self.bytes.get(..self.own_len).unwrap_or(&self.bytes)
    }

    /// How `other`, which begins with the same line, stands to this copy.
    pub fn relation_of(&self, other: &StoryLines<E>) -> Relation {
        if self.bytes.starts_with(other.own_bytes()) {
            Relation::Contained
        } else if other.own_bytes().starts_with(self.own_bytes()) {
            Relation::Continues
        } else {
            Relation::Parted
        }
    }

    /// The same lines with one more fact, written at that time or at the last of its own if that is later.
    ///
    /// # Errors
    /// [`JournalError::Unwritable`].
    pub fn with_fact(&self, event: E, now: Stamp) -> Result<Vec<u8>, JournalError> {
        let unwritable = |reason: &str| JournalError::Unwritable { reason: reason.to_owned() };
        let raw = self.bytes.trim_ascii_end().rsplit(|b| *b == b'\n').next().unwrap_or_default();
        let link = line::parse_link(raw).ok_or_else(|| unwritable("its last line tells no place"))?;
        let (_, prev) = line::verify_crc(raw).ok_or_else(|| unwritable("its last line fails its check"))?;
        let at = self.entries.last().map_or(now, |last| last.written.wall.max(now));
        let written = crate::units::Moment::from_wall(at);
        let entry = Entry { seq: link.seq + 1, at, written, raw_wall: None, replaces: None, event };
        let mut bytes = self.bytes.clone();
        bytes.extend(line::format_line(&entry, prev, "").map_err(|reason| unwritable(&reason))?);
        bytes.push(b'\n');
        Ok(bytes)
    }
}

/// The length without the filings at the end. The copy of the opening comes second and is no fact, so facts at the end are
/// the last lines one by one.
fn own_len<E: StoryEvent>(bytes: &[u8], entries: &[Entry<E>]) -> usize {
    let filings = entries.iter().rev().take_while(|e| e.event.filing().is_some()).count();
    let lines: Vec<&[u8]> = bytes.split_inclusive(|b| *b == b'\n').collect();
    let kept = lines.len().saturating_sub(filings);
    lines.iter().take(kept).map(|line| line.len()).sum()
}
