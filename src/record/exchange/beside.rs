//! What lies on a shelf beside its panels and pots: the air, photographs, trials; and what is not merged.

use super::report::BringReport;
use crate::record::files::{self, Lock};
use crate::record::journal::line::verify_crc;
use crate::record::journal::{Journal, JournalError};
use crate::record::shelf::{Shelf, ShelfPart};
use crate::text::FileError;
use crate::units::{Entry, Moment, Stamp};
use crate::work::air::{Air, AirEvent, AirReading};
use std::path::Path;
use std::sync::Arc;

/// What the other shelf has and nobody can merge: each says what is to be, or what is left, of one place alone.
pub fn find_unmerged(source: &Shelf) -> Vec<&'static str> {
    let unmerged = [ShelfPart::Plan, ShelfPart::Stock];
    unmerged.into_iter().filter(|part| source.part_path(*part).exists()).map(ShelfPart::name).collect()
}

/// Copies photographs that are not there yet. One whose bytes are not what its name says is left out.
///
/// # Errors
/// [`JournalError`].
pub fn bring_photos(
    shelf: &Shelf,
    source: &Shelf,
    is_written: bool,
    report: &mut BringReport,
) -> Result<(), JournalError> {
    for (name, path) in source.photo_files()? {
        let target = shelf.root().join(&name);
        if target.exists() {
            continue;
        }
        let bytes = source.read_whole(&path)?;
        if !Shelf::is_named_by_sum(&path, &bytes) {
            report.left_out.push(format!("{name}: its bytes are not those its name is the sum of"));
            continue;
        }
        if is_written {
            write_file(&target, &bytes)?;
        }
        report.photos += 1;
    }
    Ok(())
}

/// Copies trials that are not there yet, or that the other side went on with. Of one both sides went on with the one here
/// stays.
///
/// # Errors
/// [`JournalError`].
pub fn bring_trials(
    shelf: &Shelf,
    source: &Shelf,
    is_written: bool,
    report: &mut BringReport,
) -> Result<(), JournalError> {
    for (name, path) in source.files_of(ShelfPart::Trials)? {
        let theirs = sound_lines(&source.read_whole(&path)?);
        let target = shelf.root().join(&name);
        let mine = if target.exists() { sound_lines(&shelf.read_whole(&target)?) } else { Vec::new() };
        if mine.starts_with(&theirs) {
            continue;
        }
        if !theirs.starts_with(&mine) {
            report.left_out.push(format!("{name}: here it goes on otherwise, or is another trial; the one here stays"));
            continue;
        }
        if is_written {
            write_file(&target, &theirs)?;
        }
        report.trials.push(name);
    }
    Ok(())
}

/// The lines at the beginning that pass their check.
fn sound_lines(bytes: &[u8]) -> Vec<u8> {
    let is_sound = |line: &&[u8]| line.strip_suffix(b"\n").is_some_and(|raw| verify_crc(raw).is_some());
    bytes.split_inclusive(|b| *b == b'\n').take_while(is_sound).flatten().copied().collect()
}

fn write_file(path: &Path, bytes: &[u8]) -> Result<(), JournalError> {
    files::ensure_dir(&files::parent_dir(path))
        .and_then(|()| files::replace_file(path, bytes))
        .map_err(|e| JournalError::WriteFailed { path: path.to_owned(), error: FileError::from_io_error(&e) })
}

/// Writes the readings of times of which there is none here.
///
/// # Errors
/// [`JournalError`].
pub fn bring_air(
    shelf: &Shelf,
    source: &Shelf,
    lock: Option<&Lock>,
    now: Stamp,
    report: &mut BringReport,
) -> Result<(), JournalError> {
    if !source.air_path().exists() {
        return Ok(());
    }
    let (journal, theirs): (Journal<AirEvent>, _) = Journal::open(Arc::clone(source.storage()), &source.air_path())?;
    if let Some(damage) = journal.damage().filter(|d| d.kind.is_blocking()) {
        report.left_out.push(format!("air.jsonl: taken as far as it can be read; {damage}"));
    }
    let (mut journal, mine): (Option<Journal<AirEvent>>, _) = if shelf.air_path().exists() {
        let (journal, mine) = Journal::open(Arc::clone(shelf.storage()), &shelf.air_path())?;
        (Some(journal), mine)
    } else {
        (None, Vec::new())
    };
    let (here, there) = (Air::from_entries(&mine), Air::from_entries(&theirs));
    let new: Vec<&AirReading> = there.readings().iter().filter(|r| here.reading_at(r.at).is_none()).collect();
    report.air = new.len();
    let (Some(lock), false) = (lock, new.is_empty()) else { return Ok(()) };
    let written = Moment::from_wall(mine.last().map_or(now, |last| last.written.wall.max(now)));
    let first_seq = journal.as_ref().map_or(0, Journal::next_seq);
    let entry = |(seq, reading): (u64, &AirReading)| {
        let event = AirEvent::Read { temp: reading.temp, rh: reading.rh };
        Entry { seq, at: reading.at, written, raw_wall: None, replaces: None, event }
    };
    let entries: Vec<Entry<AirEvent>> = (first_seq..).zip(new).map(entry).collect();
    match (&mut journal, entries.split_first()) {
        (Some(journal), _) => journal.append_batch(lock, &entries),
        (None, Some((first, rest))) => {
            Journal::create(Arc::clone(shelf.storage()), &shelf.air_path(), lock, first)?.append_batch(lock, rest)
        }
        (None, None) => Ok(()),
    }
}
