//! The copy of a journal's opening: made with it, and found where the first line fails its check.

use super::error::JournalError;
use super::line::{self, ChainLink, JournalEvent, LINE_MAX};
use super::line_reader::{LineReader, RawLine};
use super::storage::StorageFile;
use crate::units::Entry;
use std::io;

/// An opening found in its copy, and where its story goes on.
pub struct RecoveredOpening<E> {
    /// The opening.
    pub entry: Entry<E>,
    /// Where the next line of the story begins.
    pub byte: u64,
    /// How many lines stand before that.
    pub lines: u64,
    /// Where that line hangs on.
    pub next_link: ChainLink,
}

/// The line with a copy of that opening, with its `\n`, hung on to `link`, which is moved on to the next.
///
/// # Errors
/// [`JournalError::TooLong`] if the copy no longer fits on a line; [`JournalError::Unwritable`] if `opening` is none.
pub fn format_copy(opening: &[u8], link: &mut ChainLink) -> Result<Vec<u8>, JournalError> {
    let unwritable = || JournalError::Unwritable { reason: "no copy can be made of its opening".to_owned() };
    let mut copy = line::copy_opening(opening, *link).ok_or_else(unwritable)?;
    if copy.len() > LINE_MAX {
        return Err(JournalError::TooLong { bytes: copy.len() });
    }
    let (_, crc) = line::verify_crc(&copy).ok_or_else(unwritable)?;
    *link = ChainLink { seq: link.seq + 1, prev: crc };
    copy.push(b'\n');
    Ok(copy)
}

/// The opening kept in that line, if it is such a copy and can be read.
pub fn parse_copy<E: JournalEvent>(raw: &[u8]) -> Option<Entry<E>> {
    let opening = line::restore_opening(raw)?;
    Some(line::parse_line::<E>(&opening, ChainLink::default()).ok()?.entry)
}

/// Looks for the copy in the whole file. The story goes on behind the bad first line where the second is its own next;
/// else, as where both have run together, at the copy.
///
/// # Errors
/// What the system says.
pub fn recover_opening<E: JournalEvent>(handle: &mut dyn StorageFile) -> io::Result<Option<RecoveredOpening<E>>> {
    let mut reader = LineReader::new(handle, 0);
    let mut second = None;
    let mut lines = 0;
    while let Some(piece) = reader.next_line()? {
        if lines == 1 {
            second = line::parse_link(&piece.raw).filter(|link| link.seq == 1).map(|link| (piece.byte, lines, link));
        }
        if let Some((entry, at, link)) = find_copy::<E>(&piece) {
            let (byte, lines, next_link) = second.unwrap_or((piece.byte + at as u64, lines, link));
            return Ok(Some(RecoveredOpening { entry, byte, lines, next_link }));
        }
        lines += 1;
    }
    Ok(None)
}

fn find_copy<E: JournalEvent>(piece: &RawLine<'_>) -> Option<(Entry<E>, usize, ChainLink)> {
    let mut lines = line::find_lines(&piece.raw).into_iter();
    lines.find_map(|(at, raw)| Some((parse_copy::<E>(raw)?, at, line::parse_link(raw)?)))
}
