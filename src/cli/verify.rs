//! `verify`.

use super::args::Verify;
use super::failure::{Fault, Kind};
use super::{Here, out};
use crate::record::journal::verify::Report;
use crate::record::journal::{Damage, DamageKind};
use crate::record::shelf::Shelf;
use crate::text::clean;
use anyhow::Result;
use serde::Serialize;
use std::path::Path;

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

/// Checks journals, and mends them if asked to.
pub(super) fn run(here: &Here, asked: &Verify) -> Result<()> {
    let shelf = here.shelf();
    let files = if asked.files.is_empty() { shelf.journals().map_err(Fault::from)? } else { asked.files.clone() };
    let mut reports = Vec::new();
    let mut unread = false;
    for file in &files {
        if asked.mend {
            mend(here, &shelf, file)?;
        }
        match shelf.verify(file) {
            Ok(report) => reports.push(report),
            Err(failure) => {
                unread = true;
                out::say(&format!("sottile: {failure}"));
            }
        }
    }
    if asked.json {
        out::json(&VerifyJson { format: super::json::FORMAT, files: reports.iter().map(FileJson::from).collect() })?;
    } else {
        out::text(&reports.iter().map(told).collect::<String>())?;
    }
    match reports.iter().filter_map(Report::worst).max() {
        Some(DamageKind::Corrupt | DamageKind::Name | DamageKind::Newer) => Err(Fault::told(Kind::Damaged).into()),
        Some(DamageKind::Torn) => Err(Fault::told(Kind::NotDone).into()),
        None if unread => Err(Fault::told(Kind::NotDone).into()),
        None => Ok(()),
    }
}

fn mend(here: &Here, shelf: &Shelf, file: &Path) -> Result<(), Fault> {
    let lock = shelf.lock()?;
    let mended = shelf.mend(&lock, file, here.clock.now().wall)?;
    if mended.aside.is_some() {
        out::say(&format!("sottile: {}: {}", file.display(), mended.said));
    }
    Ok(())
}

fn told(report: &Report) -> String {
    let path = report.path.display();
    if report.problems.is_empty() {
        return format!("{path}: sound, {} facts\n", report.lines);
    }
    let problem = |d: &Damage| format!("{path}: {}: {}\n", d.kind.name(), clean(&d.to_string()));
    report.problems.iter().map(problem).collect()
}
