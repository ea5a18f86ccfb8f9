//! One story on disk: a file of lines that only grows.
//!
//! `line` is the line and its check, `opening_copy` the second place of the first line, `panel_line`, `pot_line` and
//! `common_line` (what both have) and `trial_line` the facts on it, `line_reader` finds the lines in the bytes, `storage` is the disk,
//! `error` what can go wrong, `verify` looks at a whole file and mends it. Here is the journal itself: open, read on,
//! append.
//!
//! What it promises: a fact whose append returned is on disk, whole, and is there again whenever the file is opened; a
//! fact whose append failed is not in the file, or the failure says that this is not certain. What it does not promise:
//! that whole lines cut off at the very end are noticed (a file that lost them looks like one that never had them), and
//! that a forger is found out. A line that another process wrote and did not live to sync is read like any other, and
//! becomes certain with the next append.

mod air_line;
pub mod borrowed_json;
mod common_line;
pub mod error;
pub mod line;
pub mod line_reader;
mod opening_copy;
mod panel_line;
mod plan_line;
mod pot_line;
mod stock_line;
pub mod storage;
mod trial_line;
pub mod verify;

#[cfg(test)]
#[path = "faults_tests.rs"]
pub mod faults;
#[cfg(test)]
mod tests;

pub use error::{Damage, DamageKind, JournalError};
pub use line::{Header, JournalEvent};

use super::files::{self, Lock};
use crate::text::FileError;
use crate::units::{Entry, Id};
use line::{ChainLink, LINE_MAX, NewerSign, OPENED_COPY};
use line_reader::{BadEnding, CheckedLine, LineReader, check_line};
use opening_copy::RecoveredOpening;
use std::io;
use std::marker::PhantomData;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use storage::{Storage, StorageFile, append_all, check_size};

/// The version of this program, as first lines tell it.
const PROGRAM_VERSION: &str = env!("CARGO_PKG_VERSION");

/// The number of the next fact of a story of a panel or a pot, as a new journal counts: the first stands behind the opening
/// and its copy.
pub fn next_seq<E>(entries: &[Entry<E>]) -> u64 {
    entries.last().map_or(0, |e| (e.seq + 1).max(2))
}

/// The last line that was read and found good.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct LastLine {
    byte: u64,
    link: ChainLink,
    crc: u32,
}

/// How far a file is known to be good.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct ValidPrefix {
    /// The offset after the last good line.
    end: u64,
    /// How many good lines.
    lines: u64,
    /// Where the next line hangs on.
    next_link: ChainLink,
    /// The last good line.
    last_line: Option<LastLine>,
    /// Whether the last good line lacks its `\n`.
    unterminated: bool,
}

/// Lines made ready to be appended to a journal where it stood then.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PreparedLines {
    link: ChainLink,
    bytes: Vec<u8>,
}

/// A journal, open for reading and appending. It holds no file open between calls.
#[derive(Debug)]
pub struct Journal<E> {
    path: PathBuf,
    storage: Arc<dyn Storage>,
    prefix: ValidPrefix,
    /// The length of the file when it was last read or written.
    size: u64,
    /// What is wrong after the good lines.
    tail_damage: Option<Damage>,
    /// What was found in the good lines: a newer version, another name.
    prefix_damage: Option<Damage>,
    reopen_cause: Option<FileError>,
    facts: PhantomData<fn() -> E>,
}

impl<E: JournalEvent> Journal<E> {
    /// Makes a new journal whose first line is `entry`, durably: the file and its name. Behind the opening of a panel or a
    /// pot its copy is written with it. What an earlier attempt left of a file, without ever finishing its first line, is
    /// written over.
    ///
    /// # Errors
    /// [`JournalError::AlreadyExists`], [`JournalError::Unwritable`] if `entry` is no opening or the file's name is not its id,
    /// [`JournalError::WriteFailed`]; then no file is left.
    pub fn create(
        storage: Arc<dyn Storage>,
        path: &Path,
        _lock: &Lock,
        entry: &Entry<E>,
    ) -> Result<Self, JournalError> {
        let mut journal = Journal::<E>::new(storage, path);
        let mut link = ChainLink::default();
        let mut lines = format_entry(entry, &mut link)?;
        let Some(header) = entry.event.header() else {
            return Err(JournalError::Unwritable { reason: "a journal begins with its opening".to_owned() });
        };
        if let Some(damage) = find_name_damage(path, header) {
            return Err(JournalError::Unwritable { reason: damage.message });
        }
        if header.id.is_some() {
            let copy = opening_copy::format_copy(lines.trim_ascii_end(), &mut link)?;
            lines.extend(copy);
        }
        let failed =
            |e: &io::Error| JournalError::WriteFailed { path: path.to_owned(), error: FileError::from_io_error(e) };
        let mut handle = match journal.storage.create(path) {
            Ok(handle) => handle,
            Err(e) if e.kind() == io::ErrorKind::AlreadyExists => journal.reclaim_unfinished()?,
            Err(e) => return Err(failed(&e)),
        };
        let made = append_all(handle.as_mut(), &lines)
            .and_then(|()| check_size(handle.as_mut(), lines.len() as u64))
            .and_then(|()| handle.sync())
            .and_then(|()| journal.storage.sync_dir(&files::parent_dir(path)));
        if let Err(e) = made {
            drop(handle);
            // Nothing more can be done where this fails too; the next attempt writes over what is left.
            let _ = journal.storage.remove(path);
            return Err(failed(&e));
        }
        journal.advance_prefix(&lines, false);
        Ok(journal)
    }

    /// Opens a journal and reads it: the facts of its good beginning, in the order written.
    ///
    /// # Errors
    /// [`JournalError::ReadFailed`]. Damage is no error: see [`Journal::damage`].
    pub fn open(storage: Arc<dyn Storage>, path: &Path) -> Result<(Self, Vec<Entry<E>>), JournalError> {
        let mut journal = Journal::new(storage, path);
        let entries = journal.refresh()?;
        Ok((journal, entries))
    }

    /// Forgets what was read and reads it all again: after [`JournalError::ReopenNeeded`], or where the file was mended or
    /// replaced by another process.
    ///
    /// # Errors
    /// [`JournalError::ReadFailed`]; nothing is then forgotten.
    pub fn reopen(&mut self) -> Result<Vec<Entry<E>>, JournalError> {
        let (anew, entries) = self.read_anew()?;
        *self = anew;
        Ok(entries)
    }

    /// The journal as its file is now, read from the beginning; this one stays as it is.
    ///
    /// # Errors
    /// [`JournalError::ReadFailed`].
    pub fn read_anew(&self) -> Result<(Self, Vec<Entry<E>>), JournalError> {
        Journal::open(Arc::clone(&self.storage), &self.path)
    }

    /// A journal of which nothing was read yet: [`Journal::reopen`] reads it.
    pub fn new(disk: Arc<dyn Storage>, path: &Path) -> Self {
        Journal {
            path: path.to_owned(),
            storage: disk,
            prefix: ValidPrefix::default(),
            size: 0,
            tail_damage: None,
            prefix_damage: None,
            reopen_cause: None,
            facts: PhantomData,
        }
    }

    /// Its file.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// How many bytes at the beginning are sound lines.
    pub fn sound_len(&self) -> u64 {
        self.prefix.end
    }

    /// The number the next fact must carry.
    pub fn next_seq(&self) -> u64 {
        self.prefix.next_link.seq
    }

    /// Whether it has lost track of its file: [`Journal::reopen`] before anything else is recorded.
    pub fn needs_reopen(&self) -> bool {
        self.reopen_cause.is_some()
    }

    /// The worst thing wrong with it, if anything is.
    pub fn damage(&self) -> Option<&Damage> {
        self.tail_damage.iter().chain(&self.prefix_damage).max_by_key(|d| d.kind)
    }

    /// Reads on after the last good line: the facts that others have appended since.
    ///
    /// It needs no lock; a line just being written by another process is then seen as a torn end, which the next call
    /// clears. Where the disk fails half-way nothing counts as read, so that the next call delivers all of it.
    ///
    /// # Errors
    /// [`JournalError::ReadFailed`].
    pub fn refresh(&mut self) -> Result<Vec<Entry<E>>, JournalError> {
        let storage = Arc::clone(&self.storage);
        let unread =
            |e: &io::Error| JournalError::ReadFailed { path: self.path.clone(), error: FileError::from_io_error(e) };
        let mut handle = storage.open_read(&self.path).map_err(|e| unread(&e))?;
        let size = handle.size().map_err(|e| unread(&e))?;
        let before = (self.prefix, self.size, self.prefix_damage.clone(), self.tail_damage.clone());
        let mut entries = Vec::new();
        match self.scan(handle.as_mut(), size, &mut entries) {
            Ok(()) => Ok(entries),
            Err(e) => {
                (self.prefix, self.size, self.prefix_damage, self.tail_damage) = before;
                Err(JournalError::ReadFailed { path: self.path.clone(), error: FileError::from_io_error(&e) })
            }
        }
    }

    /// Reads lines from the last good one on, which is looked at again: the file may have been replaced.
    fn scan(&mut self, handle: &mut dyn StorageFile, size: u64, entries: &mut Vec<Entry<E>>) -> io::Result<()> {
        self.tail_damage = None;
        self.size = size;
        if size < self.prefix.end {
            let message = format!("the file is {} bytes shorter than when it was last read", self.prefix.end - size);
            self.tail_damage = Some(self.corrupt_damage(size, message));
            return Ok(());
        }
        self.scan_lines(handle, entries)?;
        if self.prefix.next_link.seq == 0 && self.damage().is_some_and(|d| d.kind == DamageKind::Corrupt) {
            self.recover_opening(handle, entries)?;
        }
        if self.prefix.lines == 0 && self.tail_damage.is_none() {
            self.tail_damage = Some(self.empty_damage());
        }
        Ok(())
    }

    fn scan_lines(&mut self, handle: &mut dyn StorageFile, entries: &mut Vec<Entry<E>>) -> io::Result<()> {
        let mut known = self.prefix.last_line;
        let mut pieces = LineReader::new(handle, known.map_or(self.prefix.end, |last| last.byte));
        while let Some(piece) = pieces.next_line()? {
            let link = known.map_or(self.prefix.next_link, |last| last.link);
            match (check_line::<E>(&piece, link), known.take()) {
                (CheckedLine::Valid { line: read, end, ending: open }, Some(last)) if read.crc == last.crc => {
                    self.set_line_end(end, open)
                }
                (_, Some(last)) => {
                    let said = "what was read here before is no longer there".to_owned();
                    self.tail_damage = Some(Damage { line: self.prefix.lines, ..self.corrupt_damage(last.byte, said) });
                    return Ok(());
                }
                (CheckedLine::Valid { line: read, end, ending: open }, None) => {
                    self.accept_line(&read, piece.byte, link);
                    self.set_line_end(end, open);
                    if read.entry.event.event_name() != OPENED_COPY {
                        entries.push(read.entry);
                    }
                }
                (CheckedLine::Torn, None) => self.tail_damage = Some(self.torn_damage(piece.byte)),
                (CheckedLine::Invalid(_), None) if line::is_newer_version(&piece.raw) => {
                    let message = newer_message(&NewerSign::Version);
                    let newer = Damage { kind: DamageKind::NewerVersion, ..self.corrupt_damage(piece.byte, message) };
                    self.tail_damage = Some(newer);
                    return Ok(());
                }
                (CheckedLine::Invalid(error), None) => {
                    self.tail_damage = Some(self.corrupt_damage(piece.byte, error.to_string()));
                    return Ok(());
                }
            }
        }
        Ok(())
    }

    /// Where the first line fails its check the story is told from the copy of it: as damaged, and not written to.
    fn recover_opening(&mut self, handle: &mut dyn StorageFile, entries: &mut Vec<Entry<E>>) -> io::Result<()> {
        let Some(found) = opening_copy::recover_opening::<E>(handle)? else { return Ok(()) };
        let damage = self.tail_damage.take();
        self.prefix_damage = damage.map(|d| Damage { message: format!("{}; the copy of it is shown", d.message), ..d });
        let RecoveredOpening { entry, byte, lines, next_link } = found;
        self.prefix = ValidPrefix { end: byte, lines, next_link, ..ValidPrefix::default() };
        entries.push(entry);
        self.scan_lines(handle, entries)
    }

    /// Takes a good line into account.
    fn accept_line(&mut self, read: &line::ParsedLine<E>, byte: u64, link: ChainLink) {
        if self.prefix_damage.is_none() {
            self.prefix_damage = if let Some(sign) = &read.newer {
                let message = newer_message(sign);
                Some(Damage { line: self.prefix.lines + 1, byte, kind: DamageKind::NewerVersion, message })
            } else {
                read.entry.event.header().filter(|_| link.seq == 0).and_then(|h| find_name_damage(&self.path, h))
            };
        }
        if let Some(id) = read.entry.event.filed_as() {
            self.prefix_damage.take_if(|d| d.kind == DamageKind::WrongName);
            self.prefix_damage =
                self.prefix_damage.take().or_else(|| find_filing_damage(&self.path, id, self.prefix.lines + 1));
        }
        self.prefix.lines += 1;
        self.prefix.next_link = ChainLink { seq: link.seq + 1, prev: read.crc };
        self.prefix.last_line = Some(LastLine { byte, link, crc: read.crc });
    }

    /// Notes where and how the last good line ends.
    fn set_line_end(&mut self, end: u64, open: Option<BadEnding>) {
        self.prefix.end = end;
        self.prefix.unterminated = open.is_some();
        self.tail_damage = open.map(|open| Damage {
            line: self.prefix.lines,
            byte: self.prefix.last_line.map_or(0, |last| last.byte),
            kind: DamageKind::Torn,
            message: bad_ending_message(open).to_owned(),
        });
    }

    fn torn_damage(&self, byte: u64) -> Damage {
        let said = torn_message(self.prefix.lines == 0).to_owned();
        Damage { line: self.prefix.lines + 1, byte, kind: DamageKind::Torn, message: said }
    }

    fn empty_damage(&self) -> Damage {
        Damage { line: 1, byte: 0, kind: DamageKind::Empty, message: EMPTY_MESSAGE.to_owned() }
    }

    fn corrupt_damage(&self, byte: u64, said: String) -> Damage {
        Damage { line: self.prefix.lines + 1, byte, kind: DamageKind::Corrupt, message: said }
    }

    /// Appends a fact; once this returns it is on disk. The lock must be that of the data directory, and
    /// [`Journal::refresh`] must have been called since it was taken.
    ///
    /// A torn end is cut away first; a last line that lacks its end gets it.
    ///
    /// # Errors
    /// Every variant of [`JournalError`] but [`JournalError::AlreadyExists`] and [`JournalError::Lock`]. Unless it is
    /// [`JournalError::SyncFailed`] with `rolled_back` false, the fact is not in the file.
    pub fn append(&mut self, lock: &Lock, entry: &Entry<E>) -> Result<(), JournalError> {
        self.append_batch(lock, std::slice::from_ref(entry))
    }

    /// Appends facts one after the other, with one write and one sync; once this returns all of them are on disk. A loss
    /// of power on the way leaves a beginning of them, whole line by whole line.
    ///
    /// # Errors
    /// Those of [`Journal::append`], and what they say holds of all of them.
    pub fn append_batch(&mut self, lock: &Lock, entries: &[Entry<E>]) -> Result<(), JournalError> {
        if entries.is_empty() {
            return Ok(());
        }
        self.check_appendable()?;
        let lines = self.prepare_lines(entries)?;
        self.append_lines(lock, &lines)
    }

    /// The lines of facts that come next here, made ready to be appended: it takes no lock, and is most of the work.
    ///
    /// # Errors
    /// [`JournalError::WrongSeq`], [`JournalError::Unwritable`], [`JournalError::TooLong`].
    pub fn prepare_lines(&self, entries: &[Entry<E>]) -> Result<PreparedLines, JournalError> {
        let mut next = self.prefix.next_link;
        let mut lines = PreparedLines { link: next, bytes: Vec::new() };
        for entry in entries {
            lines.bytes.extend(format_entry(entry, &mut next)?);
        }
        Ok(lines)
    }

    /// Whether nothing was appended since those lines were made ready.
    pub fn is_next(&self, lines: &PreparedLines) -> bool {
        lines.link == self.prefix.next_link
    }

    fn check_appendable(&self) -> Result<(), JournalError> {
        if let Some(trouble) = &self.reopen_cause {
            return Err(JournalError::ReopenNeeded { path: self.path.clone(), error: trouble.clone() });
        }
        // What a newer version wrote is not to be mended by this one, whatever else is wrong.
        let newer = self.prefix_damage.iter().find(|d| d.kind == DamageKind::NewerVersion);
        if let Some(damage) = newer.or_else(|| self.damage().filter(|d| d.kind.is_blocking())) {
            return Err(JournalError::Damaged { path: self.path.clone(), damage: damage.clone() });
        }
        if self.prefix.lines == 0 {
            return Err(JournalError::NoFirstLine { path: self.path.clone() });
        }
        Ok(())
    }

    /// Appends lines that were made ready, as [`Journal::append_batch`] does.
    ///
    /// # Errors
    /// Those of [`Journal::append`]; [`JournalError::Stale`] if they do not fit any more.
    pub fn append_lines(&mut self, _lock: &Lock, lines: &PreparedLines) -> Result<(), JournalError> {
        if lines.bytes.is_empty() {
            return Ok(());
        }
        self.check_appendable()?;
        if !self.is_next(lines) {
            return Err(JournalError::Stale { path: self.path.clone() });
        }
        let ended = self.prefix.unterminated;
        let bytes = if ended { [b"\n", lines.bytes.as_slice()].concat() } else { lines.bytes.clone() };
        let mut handle = self.open_for_append()?;
        if let Err(e) = append_all(handle.as_mut(), &bytes) {
            return Err(self.roll_back_write(handle, &e));
        }
        let grown = check_size(handle.as_mut(), self.size + bytes.len() as u64);
        if let Err(e) = grown.and_then(|()| handle.sync()) {
            drop(handle);
            return Err(self.roll_back_sync(&e));
        }
        self.advance_prefix(&bytes, ended);
        Ok(())
    }

    /// The file open for appending and ending where the good lines end.
    fn open_for_append(&mut self) -> Result<Box<dyn StorageFile>, JournalError> {
        let mut handle = self.storage.open_append(&self.path).map_err(|e| self.write_failed(&e))?;
        let size = handle.size().map_err(|e| self.write_failed(&e))?;
        if size != self.size {
            return Err(JournalError::Stale { path: self.path.clone() });
        }
        if size > self.prefix.end {
            handle.set_len(self.prefix.end).map_err(|e| self.write_failed(&e))?;
            self.size = self.prefix.end;
        }
        Ok(handle)
    }

    fn write_failed(&self, e: &io::Error) -> JournalError {
        JournalError::WriteFailed { path: self.path.clone(), error: FileError::from_io_error(e) }
    }

    /// After a write that failed half way: cuts the file back to its good lines.
    fn roll_back_write(&mut self, mut handle: Box<dyn StorageFile>, e: &io::Error) -> JournalError {
        match handle.set_len(self.prefix.end).and_then(|()| handle.sync()) {
            Ok(()) => self.size = self.prefix.end,
            Err(_) => self.reopen_cause = Some(FileError::from_io_error(e)),
        }
        self.write_failed(e)
    }

    /// After a sync that failed. The system may have thrown the bytes away and call the next sync a success, so the
    /// sync is never tried again for the same bytes: the file is opened anew, the new bytes are cut away, and a retry
    /// writes them again.
    fn roll_back_sync(&mut self, e: &io::Error) -> JournalError {
        let trouble = FileError::from_io_error(e);
        let storage = Arc::clone(&self.storage);
        let end = self.prefix.end;
        let cut = || {
            let mut handle = storage.open_append(&self.path)?;
            if handle.size()? < end {
                return Err(io::ErrorKind::UnexpectedEof.into());
            }
            handle.set_len(end)?;
            handle.sync()
        };
        let taken_out = cut().is_ok() && self.refresh().is_ok_and(|more| more.is_empty()) && self.size == end;
        if !taken_out {
            self.reopen_cause = Some(trouble.clone());
        }
        JournalError::SyncFailed { path: self.path.clone(), error: trouble, rolled_back: taken_out }
    }

    /// Takes into account the lines just appended; `ended` if the first byte ended the line before.
    fn advance_prefix(&mut self, bytes: &[u8], ended: bool) {
        self.prefix.end += u64::from(ended);
        for raw in bytes.get(usize::from(ended)..).unwrap_or_default().split_inclusive(|b| *b == b'\n') {
            let crc = raw.strip_suffix(b"\n").and_then(line::verify_crc).map_or(0, |(_, crc)| crc);
            let (link, byte) = (self.prefix.next_link, self.prefix.end);
            self.prefix = ValidPrefix {
                end: byte + raw.len() as u64,
                lines: self.prefix.lines + 1,
                next_link: ChainLink { seq: link.seq + 1, prev: crc },
                last_line: Some(LastLine { byte, link, crc }),
                unterminated: false,
            };
        }
        self.size = self.prefix.end;
        self.tail_damage = None;
    }

    /// The file of an attempt that never finished its first line, emptied.
    fn reclaim_unfinished(&self) -> Result<Box<dyn StorageFile>, JournalError> {
        let (old, _) = Journal::<E>::open(Arc::clone(&self.storage), &self.path)?;
        if old.prefix.lines > 0 || old.damage().is_some_and(|d| d.kind.is_blocking()) {
            return Err(JournalError::AlreadyExists { path: self.path.clone() });
        }
        let mut handle = self.storage.open_append(&self.path).map_err(|e| self.write_failed(&e))?;
        handle.set_len(0).map_err(|e| self.write_failed(&e))?;
        Ok(handle)
    }
}

/// The line of a fact with its `\n`, hung on to `link`, which is moved on to the next; after making sure that it reads
/// back as the same fact: what lives in memory and what a later reading gives are then one and the same.
fn format_entry<E: JournalEvent>(entry: &Entry<E>, link: &mut ChainLink) -> Result<Vec<u8>, JournalError> {
    if entry.seq != link.seq {
        return Err(JournalError::WrongSeq { found: entry.seq, expected: link.seq });
    }
    let mut line =
        line::format_line(entry, link.prev, PROGRAM_VERSION).map_err(|why| JournalError::Unwritable { reason: why })?;
    if line.len() > LINE_MAX {
        return Err(JournalError::TooLong { bytes: line.len() });
    }
    match line::parse_line::<E>(&line, *link) {
        Ok(read) if read.entry == *entry => *link = ChainLink { seq: link.seq + 1, prev: read.crc },
        Ok(_) => return Err(JournalError::Unwritable { reason: "it would read back as something else".to_owned() }),
        Err(error) => return Err(JournalError::Unwritable { reason: error.to_string() }),
    }
    line.push(b'\n');
    Ok(line)
}

/// The opening of the journal at `path`, reading no more than its first line, or the copy of it where that is bad.
///
/// # Errors
/// [`JournalError::ReadFailed`], [`JournalError::NoFirstLine`], [`JournalError::Damaged`].
pub fn read_opening<E: JournalEvent>(storage: &dyn Storage, path: &Path) -> Result<Entry<E>, JournalError> {
    let unread = |e: &io::Error| JournalError::ReadFailed { path: path.to_owned(), error: FileError::from_io_error(e) };
    let mut handle = storage.open_read(path).map_err(|e| unread(&e))?;
    let mut lines = LineReader::new(handle.as_mut(), 0);
    let piece = lines.next_line().map_err(|e| unread(&e))?;
    let checked = piece.map(|piece| check_line::<E>(&piece, ChainLink::default()));
    match checked {
        Some(CheckedLine::Valid { line: read, .. }) => Ok(read.entry),
        Some(CheckedLine::Torn) | None => Err(JournalError::NoFirstLine { path: path.to_owned() }),
        Some(CheckedLine::Invalid(error)) => match opening_copy::recover_opening(handle.as_mut()) {
            Ok(Some(found)) => Ok(found.entry),
            Ok(None) => Err(JournalError::Damaged {
                path: path.to_owned(),
                damage: Damage { line: 1, byte: 0, kind: DamageKind::Corrupt, message: error.to_string() },
            }),
            Err(e) => Err(unread(&e)),
        },
    }
}

/// What is wrong if a file's name and the id in its first line differ.
fn find_name_damage(path: &Path, header: Header<'_>) -> Option<Damage> {
    let id = header.id?.as_str();
    let stem = path.file_stem().and_then(|s| s.to_str()).unwrap_or_default();
    (stem != id).then(|| Damage {
        line: 1,
        byte: 0,
        kind: DamageKind::WrongName,
        message: format!("the file is called {stem}, and its first line says {id}; rename it to {id}.jsonl"),
    })
}

/// As [`find_name_damage`], of a story that was brought in under another id.
fn find_filing_damage(path: &Path, id: &Id, line: u64) -> Option<Damage> {
    let header = Header { id: Some(id), label: "" };
    let message = format!("its line {line} files it as {id}; rename it to {id}.jsonl");
    find_name_damage(path, header).map(|damage| Damage { line, message, ..damage })
}

fn newer_message(sign: &NewerSign) -> String {
    format!("a newer version of the program wrote this{sign}; use that one to record here")
}

fn bad_ending_message(open: BadEnding) -> &'static str {
    match open {
        BadEnding::NoNewline => "the last line is whole and lacks its end; the next fact recorded here mends it",
        BadEnding::TrailingJunk => {
            "the last line is whole, and what comes after it is not a fact; the next fact recorded here mends it"
        }
    }
}

const EMPTY_MESSAGE: &str = "the file is empty; nothing was ever recorded here";

fn torn_message(first: bool) -> &'static str {
    if first {
        "its first line was never wholly written; nothing was recorded here"
    } else {
        "the last line was never wholly written; the next fact recorded here mends it"
    }
}
