//! `verify`.

use super::args::Verify;
use super::failure::{Fault, Kind};
use super::{Here, out};
use crate::bench::Bench;
use crate::record::journal::verify::Report;
use crate::record::journal::{Damage, DamageKind, Failure};
use crate::record::shelf::{Drawer, Shelf};
use crate::text::clean;
use crate::units::Id;
use anyhow::Result;
use serde::Serialize;
use std::path::{Path, PathBuf};

#[derive(Serialize)]
struct VerifyJson {
    format: u32,
    files: Vec<FileJson>,
}

#[derive(Serialize)]
struct FileJson {
    path: String,
    lines: u64,
    ok: bool,
    problems: Vec<ProblemJson>,
}

#[derive(Serialize)]
struct ProblemJson {
    line: u64,
    byte: u64,
    kind: &'static str,
    said: String,
}

impl From<&Damage> for ProblemJson {
    fn from(d: &Damage) -> Self {
        ProblemJson { line: d.line, byte: d.byte, kind: d.kind.name(), said: d.said.clone() }
    }
}

impl FileJson {
    /// A file that could not be looked at; why is told on stderr.
    fn unread(path: &Path) -> FileJson {
        FileJson { path: path.display().to_string(), lines: 0, ok: false, problems: Vec::new() }
    }
}

impl From<&Report> for FileJson {
    fn from(r: &Report) -> Self {
        FileJson {
            path: r.path.display().to_string(),
            lines: r.lines,
            ok: r.problems.is_empty(),
            problems: r.problems.iter().map(ProblemJson::from).collect(),
        }
    }
}

/// Checks journals, and mends them if asked to. Every file is looked at, whatever befell the one before it; the exit code
/// is that of the worst.
pub(super) fn run(here: &Here, asked: &Verify) -> Result<()> {
    let shelf = here.shelf();
    let files = if asked.files.is_empty() { shelf.journals().map_err(Fault::from)? } else { asked.files.clone() };
    let mut worst = asked.mend.then(|| mend(here, &shelf, &files)).flatten();
    let (mut told, mut json) = (String::new(), Vec::new());
    for file in &files {
        match shelf.verify(file) {
            Ok(report) => {
                worst = worst.max(report.worst().map(kind));
                told += &said(&report);
                json.push(FileJson::from(&report));
            }
            Err(failure) => {
                worst = worst.max(Some(tell(failure)));
                json.push(FileJson::unread(file));
            }
        }
    }
    if asked.json {
        out::json(&VerifyJson { format: super::json::FORMAT, files: json })?;
    } else {
        out::text(&told)?;
    }
    worst.map_or(Ok(()), |kind| Err(Fault::told(kind).into()))
}

/// What a look that found this ends with.
const fn kind(found: DamageKind) -> Kind {
    match found {
        DamageKind::Corrupt | DamageKind::Name | DamageKind::Newer => Kind::Damaged,
        DamageKind::Torn => Kind::NotDone,
    }
}

/// Mends what can be mended, and tells what could not. Returns the worst that stood in the way.
fn mend(here: &Here, shelf: &Shelf, files: &[PathBuf]) -> Option<Kind> {
    let mut worst = None;
    for file in files {
        // Without the lock nothing at all can be mended, and waiting for it once is enough.
        let lock = match shelf.lock() {
            Ok(lock) => lock,
            Err(failure) => return worst.max(Some(tell(failure))),
        };
        match shelf.mend(&lock, file, here.clock.now().wall) {
            Ok(mended) if mended.aside.is_some() => {
                out::say(&format!("sottile: {}: {}", file.display(), mended.said));
                if mended.lost > 0 {
                    tell_misfits(shelf, file);
                }
            }
            Ok(_) => {}
            Err(failure) => worst = worst.max(Some(tell(failure))),
        }
    }
    worst
}

/// Where an act of a panel is lost, what was recorded after it is told of the act before: that is said, and how to put the
/// lost act in again.
fn tell_misfits(shelf: &Shelf, file: &Path) {
    let id = file.file_stem().and_then(|stem| Id::new(stem.to_str()?));
    let Some(id) = id.filter(|id| shelf.file(Drawer::Panels, id) == file) else { return };
    let Ok(told) = Bench::new(shelf.clone()).bring(&id) else { return };
    let Some(story) = told.story else { return };
    let without = story.entries().iter().filter(|e| story.refusal_of(e.seq).is_some()).count();
    if without > 0 {
        let are = if without == 1 { "1 fact has" } else { "some facts have" };
        out::say(&format!(
            "sottile: {id}: without what is lost {are} no effect ({without} in all), and those after it may be told of the act before; look at `sottile show {id}`, and put a lost act in at its time: sottile mark {id} done --at TIME"
        ));
    }
}

/// Tells a failure, and returns its kind.
fn tell(failure: Failure) -> Kind {
    let fault = Fault::from(failure);
    out::say(&format!("sottile: {fault}"));
    fault.kind
}

fn said(report: &Report) -> String {
    let path = report.path.display();
    if report.problems.is_empty() {
        return format!("{path}: sound, {} facts\n", report.lines);
    }
    let problem = |d: &Damage| format!("{path}: {}: {}\n", d.kind.name(), clean(&d.to_string()));
    report.problems.iter().map(problem).collect()
}
