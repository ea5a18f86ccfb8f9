//! One story on disk: a file of lines that only grows.
//!
//! `line` is the line and its check, `panel_line` the facts of a panel on it, `read` finds the lines in the bytes,
//! `storage` is the disk, `failure` what can go wrong, `verify` looks at a whole file and mends it. Here is the
//! journal itself: open, read on, append.
//!
//! What it promises: a fact whose append returned is on disk, whole, and is there again whenever the file is opened;
//! a fact whose append failed is not in the file, or the failure says that this is not certain. What it does not
//! promise: that whole lines cut off at the very end are noticed (a file that lost them looks like one that never had
//! them), and that a forger is found out. A line that another process wrote and did not live to sync is read like any
//! other, and becomes certain with the next append.
//!
//! Absent on purpose: what a fact means and whether it can be true (`work`), the state made from facts, clocks.

mod air_line;
pub mod failure;
pub mod flat;
pub mod line;
mod panel_line;
mod pot_line;
pub mod read;
pub mod storage;
pub mod verify;

#[cfg(test)]
#[path = "faults_tests.rs"]
pub mod faults;
#[cfg(test)]
mod tests;

pub use failure::{Damage, DamageKind, Failure};
pub use line::{Fact, Header};

use super::files::{self, Lock};
use crate::text::Trouble;
use crate::units::Entry;
use line::{LINE_MAX, Link};
use read::{Judged, Open, Pieces, judge};
use std::io;
use std::marker::PhantomData;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use storage::{Disk, Handle, append_all};

/// The version of this program, as first lines tell it.
const PROGRAM: &str = env!("CARGO_PKG_VERSION");

/// The last line that was read and found good.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Last {
    byte: u64,
    link: Link,
    crc: u32,
}

/// How far a file is known to be good.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct Reach {
    /// The offset after the last good line.
    end: u64,
    /// How many good lines.
    lines: u64,
    /// Where the next line hangs on.
    next: Link,
    /// The last good line.
    last: Option<Last>,
    /// Whether the last good line lacks its `\n`.
    open: bool,
}

/// Lines made ready to be appended to a journal where it stood then.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lines {
    from: Link,
    bytes: Vec<u8>,
}

/// A journal, open for reading and appending. It holds no file open between calls.
#[derive(Debug)]
pub struct Journal<E> {
    path: PathBuf,
    disk: Arc<dyn Disk>,
    reach: Reach,
    /// The length of the file when it was last read or written.
    size: u64,
    /// What is wrong after the good lines.
    after: Option<Damage>,
    /// What was found in the good lines: a newer version, another name.
    within: Option<Damage>,
    unsettled: Option<Trouble>,
    facts: PhantomData<fn() -> E>,
}

impl<E: Fact> Journal<E> {
    /// Makes a new journal whose first line is `entry`, durably: the file and its name. What an earlier attempt left
    /// of a file, without ever finishing its first line, is written over.
    ///
    /// # Errors
    /// [`Failure::Exists`], [`Failure::Unwritable`] if `entry` is no opening or the file's name is not its id,
    /// [`Failure::NotSaved`]; then no file is left.
    pub fn create(disk: Arc<dyn Disk>, path: &Path, _lock: &Lock, entry: &Entry<E>) -> Result<Self, Failure> {
        let mut journal = Journal::<E>::new(disk, path);
        let line = line_of(entry, &mut Link::default())?;
        let Some(header) = entry.event.header() else {
            return Err(Failure::Unwritable { why: "a journal begins with its opening".to_owned() });
        };
        if let Some(damage) = name_damage(path, header) {
            return Err(Failure::Unwritable { why: damage.said });
        }
        let failed = |e: &io::Error| Failure::NotSaved { path: path.to_owned(), trouble: Trouble::of(e) };
        let mut handle = match journal.disk.create(path) {
            Ok(handle) => handle,
            Err(e) if e.kind() == io::ErrorKind::AlreadyExists => journal.leavings()?,
            Err(e) => return Err(failed(&e)),
        };
        let made = append_all(handle.as_mut(), &line)
            .and_then(|()| handle.sync())
            .and_then(|()| journal.disk.sync_dir(&files::parent(path)));
        if let Err(e) = made {
            drop(handle);
            // Nothing more can be done where this fails too; the next attempt writes over what is left.
            let _ = journal.disk.remove(path);
            return Err(failed(&e));
        }
        journal.adopt(&line, false);
        Ok(journal)
    }

    /// Opens a journal and reads it: the facts of its good beginning, in the order written.
    ///
    /// # Errors
    /// [`Failure::Unread`]. Damage is no error: see [`Journal::damage`].
    pub fn open(disk: Arc<dyn Disk>, path: &Path) -> Result<(Self, Vec<Entry<E>>), Failure> {
        let mut journal = Journal::new(disk, path);
        let entries = journal.refresh()?;
        Ok((journal, entries))
    }

    /// Forgets what was read and reads it all again: after [`Failure::Unsettled`], or where the file was mended or
    /// replaced by another process.
    ///
    /// # Errors
    /// [`Failure::Unread`]; nothing is then forgotten.
    pub fn reopen(&mut self) -> Result<Vec<Entry<E>>, Failure> {
        let (anew, entries) = Journal::open(Arc::clone(&self.disk), &self.path)?;
        *self = anew;
        Ok(entries)
    }

    fn new(disk: Arc<dyn Disk>, path: &Path) -> Self {
        Journal {
            path: path.to_owned(),
            disk,
            reach: Reach::default(),
            size: 0,
            after: None,
            within: None,
            unsettled: None,
            facts: PhantomData,
        }
    }

    /// The number the next fact must carry.
    pub fn next_seq(&self) -> u64 {
        self.reach.next.seq
    }

    /// Whether it has lost track of its file: [`Journal::reopen`] before anything else is recorded.
    pub fn unsettled(&self) -> bool {
        self.unsettled.is_some()
    }

    /// The worst thing wrong with it, if anything is.
    pub fn damage(&self) -> Option<&Damage> {
        self.after.iter().chain(&self.within).max_by_key(|d| d.kind)
    }

    /// Reads on after the last good line: the facts that others have appended since.
    ///
    /// It needs no lock; a line just being written by another process is then seen as a torn end, which the next call
    /// clears. Where the disk fails half-way nothing counts as read, so that the next call delivers all of it.
    ///
    /// # Errors
    /// [`Failure::Unread`].
    pub fn refresh(&mut self) -> Result<Vec<Entry<E>>, Failure> {
        let disk = Arc::clone(&self.disk);
        let unread = |e: &io::Error| Failure::Unread { path: self.path.clone(), trouble: Trouble::of(e) };
        let mut handle = disk.read(&self.path).map_err(|e| unread(&e))?;
        let size = handle.size().map_err(|e| unread(&e))?;
        let before = (self.reach, self.size, self.within.clone(), self.after.clone());
        let mut entries = Vec::new();
        match self.scan(handle.as_mut(), size, &mut entries) {
            Ok(()) => Ok(entries),
            Err(e) => {
                (self.reach, self.size, self.within, self.after) = before;
                Err(Failure::Unread { path: self.path.clone(), trouble: Trouble::of(&e) })
            }
        }
    }

    /// Reads lines from the last good one on, which is looked at again: the file may have been replaced.
    fn scan(&mut self, handle: &mut dyn Handle, size: u64, entries: &mut Vec<Entry<E>>) -> io::Result<()> {
        self.after = None;
        self.size = size;
        if size < self.reach.end {
            let said = format!("the file is {} bytes shorter than when it was last read", self.reach.end - size);
            self.after = Some(self.corrupt(size, said));
            return Ok(());
        }
        let mut known = self.reach.last;
        let mut pieces = Pieces::from(handle, known.map_or(0, |last| last.byte));
        while let Some(piece) = pieces.take()? {
            let link = known.map_or(self.reach.next, |last| last.link);
            match (judge::<E>(&piece, link), known.take()) {
                (Judged::Good { read, end, open }, Some(last)) if read.crc == last.crc => self.ends(end, open),
                (_, Some(last)) => {
                    let said = "what was read here before is no longer there".to_owned();
                    self.after = Some(Damage { line: self.reach.lines, ..self.corrupt(last.byte, said) });
                    return Ok(());
                }
                (Judged::Good { read, end, open }, None) => {
                    self.found(&read, piece.byte, link);
                    self.ends(end, open);
                    entries.push(read.entry);
                }
                (Judged::Torn, None) => self.after = Some(self.torn(piece.byte)),
                (Judged::Bad(fault), None) => {
                    self.after = Some(self.corrupt(piece.byte, fault.to_string()));
                    return Ok(());
                }
            }
        }
        if self.reach.lines == 0 && self.after.is_none() {
            self.after = Some(self.torn(0));
        }
        Ok(())
    }

    /// Takes a good line into account.
    fn found(&mut self, read: &line::Read<E>, byte: u64, link: Link) {
        if self.within.is_none() {
            self.within = if read.newer {
                let said = "a newer version of the program wrote this; use that one to record here".to_owned();
                Some(Damage { line: self.reach.lines + 1, byte, kind: DamageKind::Newer, said })
            } else {
                read.entry.event.header().filter(|_| link.seq == 0).and_then(|h| name_damage(&self.path, h))
            };
        }
        self.reach.lines += 1;
        self.reach.next = Link { seq: link.seq + 1, prev: read.crc };
        self.reach.last = Some(Last { byte, link, crc: read.crc });
    }

    /// Notes where and how the last good line ends.
    fn ends(&mut self, end: u64, open: Option<Open>) {
        self.reach.end = end;
        self.reach.open = open.is_some();
        self.after = open.map(|open| Damage {
            line: self.reach.lines,
            byte: self.reach.last.map_or(0, |last| last.byte),
            kind: DamageKind::Torn,
            said: open_said(open).to_owned(),
        });
    }

    fn torn(&self, byte: u64) -> Damage {
        let said = torn_said(self.reach.lines == 0).to_owned();
        Damage { line: self.reach.lines + 1, byte, kind: DamageKind::Torn, said }
    }

    fn corrupt(&self, byte: u64, said: String) -> Damage {
        Damage { line: self.reach.lines + 1, byte, kind: DamageKind::Corrupt, said }
    }

    /// Appends a fact; once this returns it is on disk. The lock must be that of the data directory, and
    /// [`Journal::refresh`] must have been called since it was taken.
    ///
    /// A torn end is cut away first; a last line that lacks its end gets it.
    ///
    /// # Errors
    /// Every variant of [`Failure`] but [`Failure::Exists`] and [`Failure::Lock`]. Unless it is
    /// [`Failure::NotCertain`] with `taken_out` false, the fact is not in the file.
    pub fn append(&mut self, lock: &Lock, entry: &Entry<E>) -> Result<(), Failure> {
        self.append_batch(lock, std::slice::from_ref(entry))
    }

    /// Appends facts one after the other, with one write and one sync; once this returns all of them are on disk. A loss
    /// of power on the way leaves a beginning of them, whole line by whole line.
    ///
    /// # Errors
    /// Those of [`Journal::append`], and what they say holds of all of them.
    pub fn append_batch(&mut self, lock: &Lock, entries: &[Entry<E>]) -> Result<(), Failure> {
        if entries.is_empty() {
            return Ok(());
        }
        self.takes_facts()?;
        let lines = self.lines(entries)?;
        self.append_lines(lock, &lines)
    }

    /// The lines of facts that come next here, made ready to be appended: it takes no lock, and is most of the work.
    ///
    /// # Errors
    /// [`Failure::OutOfStep`], [`Failure::Unwritable`], [`Failure::TooLong`].
    pub fn lines(&self, entries: &[Entry<E>]) -> Result<Lines, Failure> {
        let mut next = self.reach.next;
        let mut lines = Lines { from: next, bytes: Vec::new() };
        for entry in entries {
            lines.bytes.extend(line_of(entry, &mut next)?);
        }
        Ok(lines)
    }

    /// Whether nothing was appended since those lines were made ready.
    pub fn fits(&self, lines: &Lines) -> bool {
        lines.from == self.reach.next
    }

    fn takes_facts(&self) -> Result<(), Failure> {
        if let Some(trouble) = &self.unsettled {
            return Err(Failure::Unsettled { path: self.path.clone(), trouble: trouble.clone() });
        }
        if let Some(damage) = self.damage().filter(|d| d.kind.blocks()) {
            return Err(Failure::Damaged { path: self.path.clone(), damage: damage.clone() });
        }
        if self.reach.lines == 0 {
            return Err(Failure::NoBeginning { path: self.path.clone() });
        }
        Ok(())
    }

    /// Appends lines that were made ready, as [`Journal::append_batch`] does.
    ///
    /// # Errors
    /// Those of [`Journal::append`]; [`Failure::Behind`] if they do not fit any more.
    pub fn append_lines(&mut self, _lock: &Lock, lines: &Lines) -> Result<(), Failure> {
        if lines.bytes.is_empty() {
            return Ok(());
        }
        self.takes_facts()?;
        if !self.fits(lines) {
            return Err(Failure::Behind { path: self.path.clone() });
        }
        let ended = self.reach.open;
        let bytes = if ended { [b"\n", lines.bytes.as_slice()].concat() } else { lines.bytes.clone() };
        let mut handle = self.ready()?;
        if let Err(e) = append_all(handle.as_mut(), &bytes) {
            return Err(self.put_back(handle, &e));
        }
        // A system that says it took more than it did is found out before the fact is called kept.
        let grown = handle.size().and_then(|size| {
            if size == self.size + bytes.len() as u64 { Ok(()) } else { Err(io::ErrorKind::WriteZero.into()) }
        });
        if let Err(e) = grown.and_then(|()| handle.sync()) {
            drop(handle);
            return Err(self.not_certain(&e));
        }
        self.adopt(&bytes, ended);
        Ok(())
    }

    /// The file open for appending and ending where the good lines end.
    fn ready(&mut self) -> Result<Box<dyn Handle>, Failure> {
        let mut handle = self.disk.append(&self.path).map_err(|e| self.not_saved(&e))?;
        let size = handle.size().map_err(|e| self.not_saved(&e))?;
        if size != self.size {
            return Err(Failure::Behind { path: self.path.clone() });
        }
        if size > self.reach.end {
            handle.set_len(self.reach.end).map_err(|e| self.not_saved(&e))?;
            self.size = self.reach.end;
        }
        Ok(handle)
    }

    fn not_saved(&self, e: &io::Error) -> Failure {
        Failure::NotSaved { path: self.path.clone(), trouble: Trouble::of(e) }
    }

    /// After a write that failed half way: cuts the file back to its good lines.
    fn put_back(&mut self, mut handle: Box<dyn Handle>, e: &io::Error) -> Failure {
        match handle.set_len(self.reach.end).and_then(|()| handle.sync()) {
            Ok(()) => self.size = self.reach.end,
            Err(_) => self.unsettled = Some(Trouble::of(e)),
        }
        self.not_saved(e)
    }

    /// After a sync that failed. The system may have thrown the bytes away and call the next sync a success, so the
    /// sync is never tried again for the same bytes: the file is opened anew, the new bytes are cut away, and a retry
    /// writes them again.
    fn not_certain(&mut self, e: &io::Error) -> Failure {
        let trouble = Trouble::of(e);
        let disk = Arc::clone(&self.disk);
        let end = self.reach.end;
        let cut = || {
            let mut handle = disk.append(&self.path)?;
            if handle.size()? < end {
                return Err(io::ErrorKind::UnexpectedEof.into());
            }
            handle.set_len(end)?;
            handle.sync()
        };
        let taken_out = cut().is_ok() && self.refresh().is_ok_and(|more| more.is_empty()) && self.size == end;
        if !taken_out {
            self.unsettled = Some(trouble.clone());
        }
        Failure::NotCertain { path: self.path.clone(), trouble, taken_out }
    }

    /// Takes into account the lines just appended; `ended` if the first byte ended the line before.
    fn adopt(&mut self, bytes: &[u8], ended: bool) {
        self.reach.end += u64::from(ended);
        for raw in bytes.get(usize::from(ended)..).unwrap_or_default().split_inclusive(|b| *b == b'\n') {
            let crc = raw.strip_suffix(b"\n").and_then(line::checked).map_or(0, |(_, crc)| crc);
            let (link, byte) = (self.reach.next, self.reach.end);
            self.reach = Reach {
                end: byte + raw.len() as u64,
                lines: self.reach.lines + 1,
                next: Link { seq: link.seq + 1, prev: crc },
                last: Some(Last { byte, link, crc }),
                open: false,
            };
        }
        self.size = self.reach.end;
        self.after = None;
    }

    /// The file of an attempt that never finished its first line, emptied.
    fn leavings(&self) -> Result<Box<dyn Handle>, Failure> {
        let (old, _) = Journal::<E>::open(Arc::clone(&self.disk), &self.path)?;
        if old.reach.lines > 0 || old.damage().is_some_and(|d| d.kind.blocks()) {
            return Err(Failure::Exists { path: self.path.clone() });
        }
        let mut handle = self.disk.append(&self.path).map_err(|e| self.not_saved(&e))?;
        handle.set_len(0).map_err(|e| self.not_saved(&e))?;
        Ok(handle)
    }
}

/// The line of a fact with its `\n`, hung on to `link`, which is moved on to the next; after making sure that it reads
/// back as the same fact: what lives in memory and what a later reading gives are then one and the same.
fn line_of<E: Fact>(entry: &Entry<E>, link: &mut Link) -> Result<Vec<u8>, Failure> {
    if entry.seq != link.seq {
        return Err(Failure::OutOfStep { found: entry.seq, expected: link.seq });
    }
    let mut line = line::write(entry, link.prev, PROGRAM).map_err(|why| Failure::Unwritable { why })?;
    if line.len() > LINE_MAX {
        return Err(Failure::TooLong { bytes: line.len() });
    }
    match line::read::<E>(&line, *link) {
        Ok(read) if read.entry == *entry => *link = Link { seq: link.seq + 1, prev: read.crc },
        Ok(_) => return Err(Failure::Unwritable { why: "it would read back as something else".to_owned() }),
        Err(fault) => return Err(Failure::Unwritable { why: fault.to_string() }),
    }
    line.push(b'\n');
    Ok(line)
}

/// The opening of the journal at `path`, reading no more than its first line.
///
/// # Errors
/// [`Failure::Unread`], [`Failure::NoBeginning`], [`Failure::Damaged`].
pub fn first<E: Fact>(disk: &dyn Disk, path: &Path) -> Result<Entry<E>, Failure> {
    let unread = |e: &io::Error| Failure::Unread { path: path.to_owned(), trouble: Trouble::of(e) };
    let mut handle = disk.read(path).map_err(|e| unread(&e))?;
    let piece = Pieces::from(handle.as_mut(), 0).take().map_err(|e| unread(&e))?;
    match piece.map(|piece| judge::<E>(&piece, Link::default())) {
        Some(Judged::Good { read, .. }) => Ok(read.entry),
        Some(Judged::Torn) | None => Err(Failure::NoBeginning { path: path.to_owned() }),
        Some(Judged::Bad(fault)) => Err(Failure::Damaged {
            path: path.to_owned(),
            damage: Damage { line: 1, byte: 0, kind: DamageKind::Corrupt, said: fault.to_string() },
        }),
    }
}

/// What is wrong if a file's name and the id in its first line differ.
fn name_damage(path: &Path, header: Header<'_>) -> Option<Damage> {
    let id = header.id?.as_str();
    let stem = path.file_stem().and_then(|s| s.to_str()).unwrap_or_default();
    (stem != id).then(|| Damage {
        line: 1,
        byte: 0,
        kind: DamageKind::Name,
        said: format!("the file is called {stem}, and its first line says {id}; rename it to {id}.jsonl"),
    })
}

fn open_said(open: Open) -> &'static str {
    match open {
        Open::NoEnd => "the last line is whole and lacks its end; the next fact recorded here mends it",
        Open::Junk => {
            "the last line is whole, and what comes after it is not a fact; the next fact recorded here mends it"
        }
    }
}

fn torn_said(first: bool) -> &'static str {
    if first {
        "its first line was never wholly written; nothing was recorded here"
    } else {
        "the last line was never wholly written; the next fact recorded here mends it"
    }
}
