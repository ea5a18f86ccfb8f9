//! `verify`.

use super::args::VerifyArgs;
use super::context::CliContext;
use super::error::{CliError, ExitKind};
use super::exchange::{is_pack, open_pack};
use super::output;
use crate::bench::Bench;
use crate::record::journal::verify::VerifyReport;
use crate::record::journal::{Damage, DamageKind, JournalError};
use crate::record::shelf::{Drawer, Shelf};
use crate::text::{format_count, format_entries, sanitize};
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
    message: String,
}

impl From<&Damage> for ProblemJson {
    fn from(d: &Damage) -> Self {
        ProblemJson { line: d.line, byte: d.byte, kind: d.kind.name(), message: d.message.clone() }
    }
}

impl FileJson {
    /// A file that could not be looked at; why is told on stderr.
    fn unreadable(path: &Path) -> FileJson {
        FileJson { path: path.display().to_string(), lines: 0, ok: false, problems: Vec::new() }
    }
}

impl From<&VerifyReport> for FileJson {
    fn from(r: &VerifyReport) -> Self {
        FileJson {
            path: r.path.display().to_string(),
            lines: r.valid_lines,
            ok: r.damages.is_empty(),
            problems: r.damages.iter().map(ProblemJson::from).collect(),
        }
    }
}

/// Checks journals, and mends them if asked to. Every file is looked at, whatever befell the one before it; the exit code
/// is that of the worst.
pub(super) fn run(context: &CliContext, args: &VerifyArgs) -> Result<()> {
    let shelf = context.shelf();
    let (packs, named): (Vec<PathBuf>, Vec<PathBuf>) = args.files.iter().cloned().partition(|file| is_pack(file));
    let mut files = if args.files.is_empty() { shelf.journal_paths().map_err(CliError::from)? } else { named };
    let mut worst = args.mend.then(|| mend_files(context, &shelf, &mut files)).flatten();
    let (mut told, mut json) = (String::new(), Vec::new());
    for file in &files {
        match shelf.verify(file) {
            Ok(report) => {
                worst = worst.max(report.worst_kind().map(exit_kind));
                told += &format_report(&report);
                json.push(FileJson::from(&report));
            }
            Err(error) => {
                worst = worst.max(Some(report_error(error)));
                json.push(FileJson::unreadable(file));
            }
        }
    }
    for pack in &packs {
        let found = verify_pack(pack, &mut told, &mut json);
        worst = worst.max(found);
    }
    if args.files.is_empty() {
        let strangers = shelf.find_strangers().map_err(CliError::from)?;
        let photos = shelf.verify_photos().map_err(CliError::from)?;
        for report in strangers.into_iter().chain(photos) {
            worst = worst.max(report.worst_kind().map(exit_kind));
            told += &format_report(&report);
            json.push(FileJson::from(&report));
        }
    }
    if args.json {
        output::print_json(&VerifyJson { format: super::json::FORMAT_VERSION, files: json })?;
    } else {
        output::print_text(&told)?;
    }
    worst.map_or(Ok(()), |kind| Err(CliError::already_reported(kind).into()))
}

/// Holds a pack to its sums, and looks at every journal in it. Returns the worst that was found.
fn verify_pack(path: &Path, told: &mut String, json: &mut Vec<FileJson>) -> Option<ExitKind> {
    let opened = match open_pack(path) {
        Ok(opened) => opened,
        Err(error) => {
            output::print_message(&format!("sottile: {error}"));
            json.push(FileJson::unreadable(path));
            return Some(error.kind);
        }
    };
    *told += &match opened.unpacked.files_checked {
        Some(files) => format!("{}: {} as they were packed\n", path.display(), format_count(files, "file")),
        None => {
            format!("{}: no pack of this program, so without sums; its journals alone are checked\n", path.display())
        }
    };
    let shelf = Shelf::open(&opened.unpacked.shelf_dir);
    let mut worst = None;
    for file in shelf.journal_paths().unwrap_or_default() {
        let inside = file.strip_prefix(&opened.unpacked.shelf_dir).unwrap_or(&file);
        match shelf.verify(&file) {
            Ok(report) => {
                let report = VerifyReport { path: path.join(inside), ..report };
                worst = worst.max(report.worst_kind().map(exit_kind));
                *told += &format_report(&report);
                json.push(FileJson::from(&report));
            }
            Err(error) => worst = worst.max(Some(report_error(error))),
        }
    }
    worst
}

/// What a look that found this ends with.
const fn exit_kind(found: DamageKind) -> ExitKind {
    match found {
        DamageKind::Corrupt | DamageKind::WrongName | DamageKind::Unreadable => ExitKind::Damaged,
        DamageKind::Empty
        | DamageKind::Torn
        | DamageKind::Stray
        | DamageKind::Photo
        | DamageKind::Special
        | DamageKind::NewerVersion => ExitKind::Failed,
    }
}

/// Mends what can be mended, and tells what could not; a file that was put aside altogether is not looked at again. Returns
/// the worst that stood in the way.
fn mend_files(context: &CliContext, shelf: &Shelf, files: &mut Vec<PathBuf>) -> Option<ExitKind> {
    let mut worst = None;
    for file in files.clone() {
        // Without the lock nothing at all can be mended, and waiting for it once is enough.
        let lock = match shelf.lock() {
            Ok(lock) => lock,
            Err(error) => return worst.max(Some(report_error(error))),
        };
        match shelf.mend(&lock, &file, context.clock.now().wall) {
            Ok(mended) if mended.backup.is_some() => {
                output::print_message(&format!("sottile: {}: {}", file.display(), mended.message));
                files.retain(|f| *f != file || f.exists());
                if mended.lost_events > 0 {
                    report_refused_facts(shelf, &file);
                }
            }
            Ok(_) => {}
            Err(error) => worst = worst.max(Some(report_error(error))),
        }
    }
    worst
}

/// Where an act of a panel is lost, what was recorded after it is told of the act before: that is said, and how to put the
/// lost act in again.
fn report_refused_facts(shelf: &Shelf, file: &Path) {
    let id = file.file_stem().and_then(|stem| Id::new(stem.to_str()?));
    let Some(id) = id.filter(|id| shelf.story_path(Drawer::Panels, id) == file) else { return };
    let Ok(snapshot) = Bench::new(shelf.clone()).load(&id) else { return };
    let Some(story) = snapshot.story else { return };
    let without = story.entries().iter().filter(|e| story.refusal_of(e.seq).is_some()).count();
    if without > 0 {
        let are = if without == 1 { "1 entry has" } else { "some entries have" };
        output::print_message(&format!(
            "sottile: {id}: without what is lost {are} no effect ({without} in all), and those after it may be told of the act before; look at `sottile show {id}`, and put a lost act in at its time: sottile mark {id} done --at TIME"
        ));
    }
}

/// Tells a failure, and returns its kind.
fn report_error(error: JournalError) -> ExitKind {
    let error = CliError::from(error);
    output::print_message(&format!("sottile: {error}"));
    error.kind
}

fn format_report(report: &VerifyReport) -> String {
    let path = report.path.display();
    if report.damages.is_empty() {
        return format!("{path}: sound, {}\n", format_entries(report.valid_facts));
    }
    let problem = |d: &Damage| format!("{path}: {}: {}\n", d.kind.name(), sanitize(&d.to_string()));
    report.damages.iter().map(problem).collect()
}
