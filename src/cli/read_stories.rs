//! Reading the stories that `compare`, `report`, `card` and `export` are about, and saying which could not be.
//!
//! A page or an export that tells all of a story reads it once more.

use super::context::{CliContext, find_panel};
use super::error::{CliError, ExitKind};
use super::output;
use super::progress::Progress;
use crate::bench::{PanelRows, StoryReader};
use crate::craft::materials::fillers::BulkDensities;
use crate::record::shelf::Shelf;
use crate::review::compare::UnreadableStory;
use crate::review::csv::FormulaGuard;
use crate::review::panel_row::PanelRow;
use crate::text::{format_date, format_rfc3339, sanitize};
use crate::units::{Id, Stamp};
use crate::work::panel::story::PanelStory;
use anyhow::Result;
use chrono::Local;
use std::collections::BTreeSet;
use std::path::Path;

/// That word, but nothing where what is written goes to the screen itself.
pub(super) fn progress_label<'w>(path: &Path, doing: &'w str) -> &'w str {
    if path.as_os_str() == "-" { "" } else { doing }
}

pub(super) fn format_time(at: Stamp) -> String {
    format_rfc3339(at, &Local)
}

pub(super) fn format_day(at: Stamp) -> String {
    format_date(at, &Local)
}

pub(super) const fn formula_guard(raw: bool) -> FormulaGuard {
    if raw { FormulaGuard::Raw } else { FormulaGuard::Defuse }
}

pub(super) fn print_unreadable(left_out: &[UnreadableStory]) {
    for l in left_out {
        output::print_message(&format!("sottile: left out: {}: {}", sanitize(&l.path), sanitize(&l.message)));
    }
}

pub(super) fn require_all_readable(left_out: &[UnreadableStory]) -> Result<()> {
    match left_out.iter().map(|story| story.is_damaged).max() {
        None => Ok(()),
        Some(true) => Err(CliError::already_reported(ExitKind::Damaged).into()),
        Some(false) => Err(CliError::already_reported(ExitKind::Failed).into()),
    }
}

/// Reads the stories asked for, or all, and says how far it has come. A damaged one is left out and named.
pub(super) fn read_rows(context: &CliContext, progress: &Progress, asked: &[String]) -> Result<PanelRows> {
    let shelf = context.shelf();
    let ids = find_ids(context, &shelf, asked)?;
    let bulk = context.settings.bulk_densities();
    progress.start_activity("read", ids.len());
    let shelved =
        StoryReader { shelf: &shelf, bulk: &bulk, now: context.clock.now(), on_story_read: &|| progress.increment() };
    Ok(shelved.read_rows(&ids, asked.is_empty()).map_err(CliError::from)?)
}

/// Reads the stories of those rows once more, and hands over in their order what is made of each.
pub(super) fn reread_stories<T: Send>(
    context: &CliContext,
    progress: &Progress,
    doing: &str,
    rows: &[PanelRow],
    make: &(dyn Fn(&PanelStory, &PanelRow) -> T + Sync),
    take: &mut dyn FnMut(T) -> Result<()>,
) -> Result<()> {
    let shelf = context.shelf();
    progress.start_activity(doing, rows.len());
    let shelved = StoryReader {
        shelf: &shelf,
        bulk: &BulkDensities::TABLE,
        now: context.clock.now(),
        on_story_read: &|| progress.increment(),
    };
    shelved.reread_stories(rows, make, &mut |made| take(made).map_err(RereadError::Aborted)).map_err(|broken| {
        match broken {
            RereadError::Unreadable(l) => {
                CliError::damaged(format!("{}: {}", sanitize(&l.path), sanitize(&l.message))).into()
            }
            RereadError::Aborted(error) => error,
        }
    })
}

/// Why a second reading broke off.
enum RereadError {
    /// A story can no longer be read.
    Unreadable(UnreadableStory),
    /// What was made could not be taken.
    Aborted(anyhow::Error),
}

impl From<UnreadableStory> for RereadError {
    fn from(left_out: UnreadableStory) -> RereadError {
        RereadError::Unreadable(left_out)
    }
}

fn find_ids(context: &CliContext, shelf: &Shelf, asked: &[String]) -> Result<Vec<Id>> {
    if asked.is_empty() {
        return Ok(shelf.panel_ids().map_err(CliError::from)?);
    }
    let bench = context.bench();
    let mut taken = BTreeSet::new();
    let mut ids = Vec::new();
    for name in asked {
        let id = find_panel(&bench, name)?;
        if taken.insert(id.clone()) {
            ids.push(id);
        }
    }
    Ok(ids)
}
