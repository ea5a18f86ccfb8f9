//! A whole file looked at, and mended: every problem found, and what is sound kept.
//!
//! Mending never takes anything away for good: the original is copied aside first. A fact that cannot be read keeps
//! its place as a fact of the kind `lost`, so that the sound facts after it stay, and what refers to them by number
//! still does; their own bytes stay as they are, save the checks that chain them. Absent on purpose: guessing.

use super::failure::{Damage, DamageKind, Failure};
use super::line::{self, Fact, Link};
use super::read::{Judged, Piece, Pieces, judge};
use super::storage::{Disk, Handle, append_all};
use super::{name_damage, open_said, torn_said};
use crate::record::files::{self, Lock};
use crate::text::Trouble;
use crate::units::Stamp;
use std::io;
use std::path::{Path, PathBuf};

/// What was found in one file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Report {
    /// The file.
    pub path: PathBuf,
    /// How many of its lines are sound.
    pub lines: u64,
    /// Everything wrong with it, in the order of the file.
    pub problems: Vec<Damage>,
}

impl Report {
    /// The worst kind of problem, if there is any.
    pub fn worst(&self) -> Option<DamageKind> {
        self.problems.iter().map(|p| p.kind).max()
    }
}

/// A sound line: where it hangs by its own account, and its bytes.
struct Sound {
    link: Link,
    at: Stamp,
    raw: Vec<u8>,
}

/// Looks at every line of the file. After a bad line it goes on with the next that passes its own check.
///
/// # Errors
/// [`Failure::Unread`].
pub fn verify<E: Fact>(disk: &dyn Disk, path: &Path) -> Result<Report, Failure> {
    survey::<E>(disk, path).map(|(report, ..)| report)
}

fn survey<E: Fact>(disk: &dyn Disk, path: &Path) -> Result<(Report, Vec<Sound>, u64), Failure> {
    let unread = |e: &io::Error| Failure::Unread { path: path.to_owned(), trouble: Trouble::of(e) };
    let mut handle = disk.read(path).map_err(|e| unread(&e))?;
    let mut pieces = Pieces::from(handle.as_mut(), 0);
    let mut survey = Survey {
        path,
        next: Link::default(),
        line: 0,
        lines: 0,
        newer: false,
        problems: Vec::new(),
        sound: Vec::new(),
        ends_bad: 0,
    };
    while let Some(piece) = pieces.take().map_err(|e| unread(&e))? {
        survey.look::<E>(&piece);
    }
    if survey.line == 0 {
        survey.problem(1, 0, DamageKind::Torn, torn_said(true).to_owned());
    }
    Ok((
        Report { path: path.to_owned(), lines: survey.lines, problems: survey.problems },
        survey.sound,
        survey.ends_bad,
    ))
}

struct Survey<'p> {
    path: &'p Path,
    next: Link,
    line: u64,
    lines: u64,
    newer: bool,
    problems: Vec<Damage>,
    sound: Vec<Sound>,
    /// How many bad lines come after the last sound one.
    ends_bad: u64,
}

impl Survey<'_> {
    fn problem(&mut self, line: u64, byte: u64, kind: DamageKind, said: String) {
        self.problems.push(Damage { line, byte, kind, said });
    }

    fn look<E: Fact>(&mut self, piece: &Piece) {
        self.line += 1;
        let (line, byte) = (self.line, piece.byte);
        match judge::<E>(piece, self.next) {
            Judged::Good { read, end, open } => {
                if read.newer && !self.newer {
                    self.newer = true;
                    let said = "a newer version of the program wrote this and what follows".to_owned();
                    self.problem(line, byte, DamageKind::Newer, said);
                } else if self.next.seq == 0 {
                    self.problems.extend(read.entry.event.header().and_then(|h| name_damage(self.path, h)));
                }
                if let Some(open) = open {
                    self.problem(line, byte, DamageKind::Torn, open_said(open).to_owned());
                }
                self.lines += 1;
                let len = usize::try_from(end - byte).map_or(piece.raw.len(), |n| n.min(piece.raw.len()));
                self.keep(self.next, read.entry.at, &piece.raw[..len]);
                self.next = Link { seq: self.next.seq.saturating_add(1), prev: read.crc };
            }
            Judged::Torn => self.problem(line, byte, DamageKind::Torn, torn_said(self.lines == 0).to_owned()),
            Judged::Bad(fault) => {
                self.problem(line, byte, DamageKind::Corrupt, fault.to_string());
                self.ends_bad += 1;
                self.go_on::<E>(piece);
            }
        }
    }

    /// After a bad line: what is a sound line by itself in it is kept, and tells where to go on.
    fn go_on<E: Fact>(&mut self, piece: &Piece) {
        for raw in line::lines_in(&piece.raw) {
            let Some(link) = line::link_of(raw) else { continue };
            if let Ok(read) = line::read::<E>(raw, link) {
                self.keep(link, read.entry.at, raw);
                self.next = Link { seq: link.seq.saturating_add(1), prev: read.crc };
            }
        }
    }

    fn keep(&mut self, link: Link, at: Stamp, raw: &[u8]) {
        self.ends_bad = 0;
        self.sound.push(Sound { link, at, raw: raw.to_vec() });
    }
}

/// What mending did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mended {
    /// How many facts were kept.
    pub kept: u64,
    /// How many facts are lost; each keeps its place, save those after the last sound one.
    pub lost: u64,
    /// Where the original is kept; nothing if there was nothing to mend.
    pub aside: Option<PathBuf>,
    /// What was done, in a sentence without its full stop.
    pub said: String,
}

/// The widest gap that is filled with facts marked as lost: assumed, far above what a story holds between two sound lines.
const GAP_MAX: u64 = 10_000;

/// Mends the file: copies it aside as `<name>.damaged-<time>`, then replaces it by what is sound. A file that was
/// begun and never had a first line is put aside altogether. A wrong name, or lines of a newer version, are left alone.
///
/// # Errors
/// [`Failure::Unread`]; [`Failure::NoBeginning`] if the first line is lost; [`Failure::Damaged`] if a newer version
/// wrote in it; [`Failure::NotSaved`], the file being then as it was.
pub fn mend<E: Fact>(disk: &dyn Disk, _lock: &Lock, path: &Path, now: Stamp) -> Result<Mended, Failure> {
    let (report, sound, ends_bad) = survey::<E>(disk, path)?;
    let broken = |k: DamageKind| matches!(k, DamageKind::Torn | DamageKind::Corrupt);
    if !report.problems.iter().any(|p| broken(p.kind)) {
        let said = report.problems.first().map_or("nothing to mend".to_owned(), |p| p.said.clone());
        return Ok(Mended { kept: report.lines, lost: 0, aside: None, said });
    }
    if let Some(newer) = report.problems.iter().find(|p| p.kind == DamageKind::Newer) {
        return Err(Failure::Damaged { path: path.to_owned(), damage: newer.clone() });
    }
    let failed = |e: &io::Error| Failure::NotSaved { path: path.to_owned(), trouble: Trouble::of(e) };
    let unbegun = sound.is_empty() && report.worst() == Some(DamageKind::Torn);
    if !unbegun && sound.iter().all(|s| s.link.seq != 0) {
        return Err(Failure::NoBeginning { path: path.to_owned() });
    }
    let rebuilt = rebuild(sound, now).map_err(|why| Failure::Unwritable { why })?;
    let rebuilt = Rebuilt { lost: rebuilt.lost + ends_bad, ..rebuilt };
    let aside = set_aside(disk, path, now).map_err(|e| failed(&e))?;
    let done = if unbegun {
        disk.remove(path).and_then(|()| disk.sync_dir(&files::parent(path)))
    } else {
        disk.replace(path, &rebuilt.bytes)
    };
    done.map_err(|e| failed(&e))?;
    let said = rebuilt.said(&aside);
    Ok(Mended { kept: rebuilt.kept, lost: rebuilt.lost, aside: Some(aside), said })
}

#[derive(Default)]
struct Rebuilt {
    bytes: Vec<u8>,
    kept: u64,
    lost: u64,
    left_out: u64,
}

impl Rebuilt {
    fn said(&self, aside: &Path) -> String {
        let facts = |n: u64| if n == 1 { "1 fact".to_owned() } else { format!("{n} facts") };
        let mut said = format!("{} kept, {} lost", facts(self.kept), self.lost);
        if self.left_out > 0 {
            said += &format!(", {} left out that had no place of their own", self.left_out);
        }
        format!("{said}; the original is kept as {}", aside.display())
    }
}

/// The sound lines in the order of their numbers, chained anew, with a lost fact in every gap.
fn rebuild(mut sound: Vec<Sound>, now: Stamp) -> Result<Rebuilt, String> {
    sound.sort_by_key(|s| s.link.seq);
    let mut out = Rebuilt::default();
    let mut next = Link::default();
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
        while next.seq < line.link.seq {
            out.push(&line::lost(next, at, now)?, &mut next);
            out.lost += 1;
        }
        let raw = if line.link.prev == next.prev { Some(line.raw.clone()) } else { line::rehung(&line.raw, next.prev) };
        out.push(&raw.ok_or("a line says nowhere what it hangs on to")?, &mut next);
        out.kept += 1;
        at = line.at;
        before = Some(&line.raw);
    }
    Ok(out)
}

impl Rebuilt {
    fn push(&mut self, raw: &[u8], next: &mut Link) {
        self.bytes.extend_from_slice(raw);
        self.bytes.push(b'\n');
        *next = Link { seq: next.seq + 1, prev: line::checked(raw).map_or(0, |(_, crc)| crc) };
    }
}

/// Copies the file as it is to `<name>.damaged-<time>` beside it, durably.
fn set_aside(disk: &dyn Disk, path: &Path, now: Stamp) -> io::Result<PathBuf> {
    let time: String = line::stamp_text(now)
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
        match disk.create(&aside) {
            Ok(handle) => break (aside, handle),
            Err(e) if e.kind() == io::ErrorKind::AlreadyExists && number < 100 => number += 1,
            Err(e) => return Err(e),
        }
    };
    let copied = disk
        .read(path)
        .and_then(|mut from| copy(from.as_mut(), to.as_mut()))
        .and_then(|()| to.sync())
        .and_then(|()| disk.sync_dir(&files::parent(path)));
    match copied {
        Ok(()) => Ok(aside),
        Err(e) => {
            let _ = disk.remove(&aside);
            Err(e)
        }
    }
}

fn copy(from: &mut dyn Handle, to: &mut dyn Handle) -> io::Result<()> {
    let mut block = vec![0; 64 * 1024];
    let mut at = 0;
    loop {
        let got = from.read(at, &mut block)?;
        if got == 0 {
            return Ok(());
        }
        append_all(to, &block[..got])?;
        at += got as u64;
    }
}
