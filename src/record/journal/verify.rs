//! A whole file looked at, and mended: every problem found, and what is sound kept.
//!
//! Mending never takes anything away for good: the original is copied aside first. A fact that cannot be read keeps its
//! place as a fact of the kind `lost`, so that the sound facts after it stay, and what refers to them by number still
//! does; their own bytes stay as they are, save the checks that chain them. Nothing is guessed.

use super::error::{Damage, DamageKind, JournalError};
use super::line::{self, ChainLink, JournalEvent, LineError, NewerSign};
use super::line_reader::{CheckedLine, LineReader, RawLine, check_line};
use super::opening_copy::{format_copy, parse_copy};
use super::storage::{Storage, StorageFile, append_all, check_size};
use super::{EMPTY_MESSAGE, bad_ending_message, find_filing_damage, find_name_damage, torn_message};
use crate::record::files::{self, Lock};
use crate::text::{FileError, format_count};
use crate::units::Stamp;
use std::io;
use std::path::{Path, PathBuf};

/// What was found in one file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VerifyReport {
    /// The file.
    pub path: PathBuf,
    /// How many of its lines are sound.
    pub valid_lines: u64,
    /// How many of those are facts: all but the copy of the opening.
    pub valid_facts: u64,
    /// Everything wrong with it, in the order of the file.
    pub damages: Vec<Damage>,
}

impl VerifyReport {
    /// Of a file that is no journal at all.
    pub fn not_a_journal(path: &Path, kind: DamageKind, message: String) -> VerifyReport {
        let damage = Damage { line: 1, byte: 0, kind, message };
        VerifyReport { path: path.to_owned(), valid_lines: 0, valid_facts: 0, damages: vec![damage] }
    }

    /// The worst kind of problem, if there is any.
    pub fn worst_kind(&self) -> Option<DamageKind> {
        self.damages.iter().map(|p| p.kind).max()
    }
}

/// A sound line: where it hangs by its own account, and its bytes.
struct ValidLine {
    link: ChainLink,
    at: Stamp,
    raw: Vec<u8>,
}

/// Looks at every line of the file. After a bad line it goes on with the next that passes its own check.
///
/// # Errors
/// [`JournalError::ReadFailed`].
pub fn verify<E: JournalEvent>(storage: &dyn Storage, path: &Path) -> Result<VerifyReport, JournalError> {
    scan_file::<E>(storage, path).map(|(report, ..)| report)
}

fn scan_file<E: JournalEvent>(
    storage: &dyn Storage,
    path: &Path,
) -> Result<(VerifyReport, Vec<ValidLine>, u64), JournalError> {
    let unread = |e: &io::Error| JournalError::ReadFailed { path: path.to_owned(), error: FileError::from_io_error(e) };
    let mut handle = storage.open_read(path).map_err(|e| unread(&e))?;
    let mut pieces = LineReader::new(handle.as_mut(), 0);
    let mut survey = FileScan {
        path,
        next_link: ChainLink::default(),
        line_number: 0,
        valid_lines: 0,
        copies: 0,
        has_newer: false,
        damages: Vec::new(),
        valid: Vec::new(),
        trailing_bad_lines: 0,
    };
    while let Some(piece) = pieces.next_line().map_err(|e| unread(&e))? {
        survey.scan_line::<E>(&piece);
    }
    if survey.line_number == 0 {
        survey.add_damage(1, 0, DamageKind::Empty, EMPTY_MESSAGE.to_owned());
    }
    let report = VerifyReport {
        path: path.to_owned(),
        valid_lines: survey.valid_lines,
        valid_facts: survey.valid_lines - survey.copies,
        damages: survey.damages,
    };
    Ok((report, survey.valid, survey.trailing_bad_lines))
}

struct FileScan<'p> {
    path: &'p Path,
    next_link: ChainLink,
    line_number: u64,
    valid_lines: u64,
    /// How many of those are copies of the opening.
    copies: u64,
    has_newer: bool,
    damages: Vec<Damage>,
    valid: Vec<ValidLine>,
    /// How many bad lines come after the last sound one.
    trailing_bad_lines: u64,
}

impl FileScan<'_> {
    fn add_damage(&mut self, line: u64, byte: u64, kind: DamageKind, said: String) {
        self.damages.push(Damage { line, byte, kind, message: said });
    }

    fn scan_line<E: JournalEvent>(&mut self, piece: &RawLine<'_>) {
        self.line_number += 1;
        let (line, byte) = (self.line_number, piece.byte);
        match check_line::<E>(piece, self.next_link) {
            CheckedLine::Valid { line: read, end, ending: open } => {
                if let Some(sign) = &read.newer {
                    self.add_newer_damage(byte, sign);
                } else if self.next_link.seq == 0 {
                    self.damages.extend(read.entry.event.header().and_then(|h| find_name_damage(self.path, h)));
                }
                if let Some(id) = read.entry.event.filed_as() {
                    self.damages.retain(|d| d.kind != DamageKind::WrongName);
                    self.damages.extend(find_filing_damage(self.path, id, line));
                }
                if let Some(open) = open {
                    self.add_damage(line, byte, DamageKind::Torn, bad_ending_message(open).to_owned());
                }
                self.valid_lines += 1;
                self.copies += u64::from(read.entry.event.event_name() == line::OPENED_COPY);
                let len = usize::try_from(end - byte).map_or(piece.raw.len(), |n| n.min(piece.raw.len()));
                self.add_valid_line(self.next_link, read.entry.at, &piece.raw[..len]);
                self.next_link = ChainLink { seq: self.next_link.seq.saturating_add(1), prev: read.crc };
            }
            CheckedLine::Torn => {
                self.add_damage(line, byte, DamageKind::Torn, torn_message(self.valid_lines == 0).to_owned())
            }
            CheckedLine::Invalid(_) if line::is_newer_version(&piece.raw) => {
                self.add_newer_damage(byte, &NewerSign::Version)
            }
            CheckedLine::Invalid(error) => {
                self.add_damage(line, byte, DamageKind::Corrupt, error.to_string());
                self.trailing_bad_lines += u64::from(error != LineError::Blank);
                self.recover_lines::<E>(piece);
            }
        }
    }

    /// After a bad line: what is a sound line by itself in it is kept, and tells where to go on.
    fn recover_lines<E: JournalEvent>(&mut self, piece: &RawLine<'_>) {
        for (_, raw) in line::find_lines(&piece.raw) {
            if line::is_newer_version(raw) {
                self.add_newer_damage(piece.byte, &NewerSign::Version);
            }
            let Some(link) = line::parse_link(raw) else { continue };
            if let Ok(read) = line::parse_line::<E>(raw, link) {
                if let Some(sign) = &read.newer {
                    self.add_newer_damage(piece.byte, sign);
                }
                self.add_valid_line(link, read.entry.at, raw);
                self.next_link = ChainLink { seq: link.seq.saturating_add(1), prev: read.crc };
            }
        }
    }

    /// Tells of a newer version, once: wherever its line stands, this one must not write into the file.
    fn add_newer_damage(&mut self, byte: u64, sign: &NewerSign) {
        if !std::mem::replace(&mut self.has_newer, true) {
            let message = format!("a newer version of the program wrote this and what follows{sign}");
            self.add_damage(self.line_number, byte, DamageKind::NewerVersion, message);
        }
    }

    fn add_valid_line(&mut self, link: ChainLink, at: Stamp, raw: &[u8]) {
        self.trailing_bad_lines = 0;
        self.valid.push(ValidLine { link, at, raw: raw.to_vec() });
    }
}

/// What mending did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MendReport {
    /// How many facts were kept.
    pub kept_events: u64,
    /// How many facts are lost; each keeps its place, save those after the last sound one.
    pub lost_events: u64,
    /// Where the original is kept; nothing if there was nothing to mend.
    pub backup: Option<PathBuf>,
    /// What was done, in a sentence without its full stop.
    pub message: String,
}

/// The widest gap that is filled with facts marked as lost: assumed, far above what a story holds between two sound lines.
const GAP_MAX: u64 = 10_000;

/// Mends the file: copies it aside as `<name>.damaged-<time>`, then replaces it by what is sound. A file that was
/// begun and never had a first line is put aside altogether. A wrong name, or lines of a newer version, are left alone.
///
/// # Errors
/// [`JournalError::ReadFailed`]; [`JournalError::NoFirstLine`] if the first line is lost; [`JournalError::Damaged`] if a newer version
/// wrote in it; [`JournalError::WriteFailed`], the file being then as it was.
pub fn mend<E: JournalEvent>(
    storage: &dyn Storage,
    _lock: &Lock,
    path: &Path,
    now: Stamp,
) -> Result<MendReport, JournalError> {
    let (report, mut sound, ends_bad) = scan_file::<E>(storage, path)?;
    let broken = |k: DamageKind| matches!(k, DamageKind::Empty | DamageKind::Torn | DamageKind::Corrupt);
    if !report.damages.iter().any(|p| broken(p.kind)) {
        let said = report.damages.first().map_or("nothing to mend".to_owned(), |p| p.message.clone());
        return Ok(MendReport { kept_events: report.valid_facts, lost_events: 0, backup: None, message: said });
    }
    if let Some(newer) = report.damages.iter().find(|p| p.kind == DamageKind::NewerVersion) {
        return Err(JournalError::Damaged { path: path.to_owned(), damage: newer.clone() });
    }
    let failed =
        |e: &io::Error| JournalError::WriteFailed { path: path.to_owned(), error: FileError::from_io_error(e) };
    let unbegun = sound.is_empty() && matches!(report.worst_kind(), Some(DamageKind::Empty | DamageKind::Torn));
    let restored = if unbegun { false } else { restore_opening::<E>(path, &mut sound)? };
    let rebuilt = rebuild_file::<E>(sound, now).map_err(|why| JournalError::Unwritable { reason: why })?;
    let rebuilt = RebuiltFile { lost: rebuilt.lost + ends_bad, restored, ..rebuilt };
    let aside = back_up_file(storage, path, now).map_err(|e| failed(&e))?;
    let done = if unbegun {
        storage.remove(path).and_then(|()| storage.sync_dir(&files::parent_dir(path)))
    } else {
        storage.replace(path, &rebuilt.bytes)
    };
    done.map_err(|e| failed(&e))?;
    let said = rebuilt.summary(&aside);
    Ok(MendReport { kept_events: rebuilt.kept, lost_events: rebuilt.lost, backup: Some(aside), message: said })
}

/// Where no sound line is the first, puts the opening there from its copy. Returns whether it did.
fn restore_opening<E: JournalEvent>(path: &Path, sound: &mut Vec<ValidLine>) -> Result<bool, JournalError> {
    if sound.iter().any(|s| s.link.seq == 0) {
        return Ok(false);
    }
    let from_copy = |s: &ValidLine| Some((parse_copy::<E>(&s.raw)?.at, line::restore_opening(&s.raw)?));
    let (at, raw) =
        sound.iter().find_map(from_copy).ok_or_else(|| JournalError::NoFirstLine { path: path.to_owned() })?;
    sound.push(ValidLine { link: ChainLink::default(), at, raw });
    Ok(true)
}

#[derive(Default)]
struct RebuiltFile {
    bytes: Vec<u8>,
    kept: u64,
    lost: u64,
    left_out: u64,
    /// The opening came from its copy.
    restored: bool,
    has_copy: bool,
}

impl RebuiltFile {
    fn summary(&self, aside: &Path) -> String {
        let mut message = format!("{} kept, {} lost", format_count(self.kept, "fact"), self.lost);
        if self.restored {
            message += ", the opening from its copy";
        }
        if self.left_out > 0 {
            message += &format!(", {} left out that had no place of their own", self.left_out);
        }
        format!("{message}; the original is kept as {}", aside.display())
    }
}

/// The sound lines in the order of their numbers, chained anew, with a lost fact in every gap. A copy of the opening that
/// is lost, or never was, is put in.
fn rebuild_file<E: JournalEvent>(mut sound: Vec<ValidLine>, now: Stamp) -> Result<RebuiltFile, String> {
    sound.sort_by_key(|s| s.link.seq);
    let mut out = RebuiltFile::default();
    let mut next = ChainLink::default();
    let mut at = now;
    let mut before: Option<&[u8]> = None;
    for (i, line) in sound.iter().enumerate() {
        if line.link.seq < next.seq {
            // The same line twice is no loss; another line of the same number is.
            out.left_out += u64::from(before != Some(line.raw.as_slice()));
            continue;
        }
        if line.link.seq - next.seq > GAP_MAX {
            out.left_out += (sound.len() - i) as u64;
            break;
        }
        if (next.seq, line.link.seq) == (1, 2) {
            out.push_copy::<E>(sound.first(), &mut next, |copy_link| copy_link.prev == line.link.prev);
        }
        while next.seq < line.link.seq {
            out.push_line(&line::format_lost_line(next, at, now)?, &mut next);
            out.lost += 1;
        }
        let raw = if line.link.prev == next.prev { Some(line.raw.clone()) } else { line::relink(&line.raw, next.prev) };
        out.push_line(&raw.ok_or("a line says nowhere what it hangs on to")?, &mut next);
        let is_copy = parse_copy::<E>(&line.raw).is_some();
        out.has_copy |= is_copy;
        out.kept += u64::from(!is_copy);
        at = line.at;
        before = Some(&line.raw);
    }
    if !out.has_copy {
        out.push_copy::<E>(sound.first(), &mut next, |_| true);
    }
    Ok(out)
}

impl RebuiltFile {
    /// Puts in a copy of that opening, if it is one of a panel or a pot, and the copy hangs on as `fits` asks.
    fn push_copy<E: JournalEvent>(
        &mut self,
        opening: Option<&ValidLine>,
        next: &mut ChainLink,
        fits: impl Fn(ChainLink) -> bool,
    ) {
        let Some(raw) = opening.map(|line| &line.raw) else { return };
        let entry = line::parse_line::<E>(raw, ChainLink::default()).ok().map(|read| read.entry);
        let has_id = entry.is_some_and(|e| e.event.header().is_some_and(|h| h.id.is_some()));
        let mut link = *next;
        // One that is too long for a line is done without, as it was before there were copies.
        if let (true, Ok(copy)) = (has_id, format_copy(raw, &mut link))
            && fits(link)
        {
            self.push_line(copy.trim_ascii_end(), next);
            self.has_copy = true;
        }
    }

    fn push_line(&mut self, raw: &[u8], next: &mut ChainLink) {
        self.bytes.extend_from_slice(raw);
        self.bytes.push(b'\n');
        *next = ChainLink { seq: next.seq + 1, prev: line::verify_crc(raw).map_or(0, |(_, crc)| crc) };
    }
}

/// Whether that journal was mended: what it was before is then kept beside it.
pub fn was_mended(path: &Path) -> bool {
    let name = path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
    let files = path.parent().and_then(|dir| std::fs::read_dir(dir).ok()).into_iter().flatten().flatten();
    let prefix = format!("{name}.damaged-");
    files.map(|file| file.file_name()).any(|n| n.to_string_lossy().starts_with(&prefix))
}

/// Copies the file as it is to `<name>.damaged-<time>` beside it, durably.
fn back_up_file(storage: &dyn Storage, path: &Path, now: Stamp) -> io::Result<PathBuf> {
    let time: String = line::format_stamp(now)
        .unwrap_or_else(|| now.ms().to_string())
        .chars()
        .take_while(|c| *c != '.')
        .filter(|c| c.is_ascii_alphanumeric())
        .collect();
    let name = path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
    let mut number = 1;
    let (aside, mut to) = loop {
        let suffix = if number == 1 { String::new() } else { format!("-{number}") };
        let aside = path.with_file_name(format!("{name}.damaged-{time}Z{suffix}"));
        match storage.create(&aside) {
            Ok(handle) => break (aside, handle),
            Err(e) if e.kind() == io::ErrorKind::AlreadyExists && number < 100 => number += 1,
            Err(e) => return Err(e),
        }
    };
    let copied = storage
        .open_read(path)
        .and_then(|mut from| copy_file(from.as_mut(), to.as_mut()))
        .and_then(|()| to.sync())
        .and_then(|()| storage.sync_dir(&files::parent_dir(path)));
    match copied {
        Ok(()) => Ok(aside),
        Err(e) => {
            let _ = storage.remove(&aside);
            Err(e)
        }
    }
}

fn copy_file(from: &mut dyn StorageFile, to: &mut dyn StorageFile) -> io::Result<()> {
    let mut block = vec![0; 64 * 1024];
    let mut at = 0;
    loop {
        let got = from.read_at(at, &mut block)?;
        if got == 0 {
            return check_size(to, at);
        }
        append_all(to, &block[..got])?;
        at += got as u64;
    }
}
