//! `compare`, `report`, `card`, `export`, and reading the stories they are about.
//!
//! A page or an export that tells all of a story reads it once more.

use super::args::{CardArgs, CompareArgs, ExportArgs, ExportForm, ReportArgs};
use super::context::{CliContext, find_panel};
use super::error::{CliError, ExitKind};
use super::output;
use super::progress::{Progress, with_progress};
use crate::bench::{PanelRows, StoryReader};
use crate::craft::materials::fillers::BulkDensities;
use crate::record::journal::line::event_members;
use crate::record::shelf::Shelf;
use crate::review::GroupBy;
use crate::review::compare::{Comparison, DRAWS, UnreadableStory, compare_panels, compare_panels_asking};
use crate::review::csv::{FormulaGuard, format_csv};
use crate::review::export::{self, ExportedJson};
use crate::review::html::{self, PanelDetail, ReportSurroundings};
use crate::review::json::CompareJson;
use crate::review::panel_row::PanelRow;
use crate::review::pots_and_air::{PotTimeline, air_between, timeline_from_pot};
use crate::review::{card as cards, comparison_text, cross_section, panel_timeline};
use crate::text::{format_count, format_date, format_hhmm, format_rfc3339, sanitize};
use crate::units::{Id, Stamp};
use crate::work::advice::inspections::fault_growth;
use crate::work::air::Air;
use crate::work::panel::event::PanelEvent;
use crate::work::panel::story::PanelStory;
use crate::work::pot::lineage::PotLineage;
use crate::work::pot::story::PotStory;
use anyhow::Result;
use chrono::Local;
use std::collections::BTreeSet;
use std::io::Write;
use std::path::Path;
use std::sync::Arc;

/// A report tells of at most so many panels one by one, and of so many pots.
const MAX_DETAILS: usize = 200;

/// Sets panels side by side.
pub(super) fn run(context: &CliContext, args: &CompareArgs) -> Result<()> {
    let compared = with_progress(|progress| {
        let rows = read_rows(context, progress, &args.panels)?;
        progress.start_activity("comparing", 0);
        Ok(compare_panels_asking(rows.rows, args.by, rows.unreadable_stories, args.of, DRAWS))
    })?;
    if args.json {
        output::print_json(&CompareJson::from_comparison(&compared, &format_time))?;
    } else if args.csv {
        output::print_text(&format_csv(&compared.panels, &format_time, formula_guard(args.raw)))?;
        print_unreadable(&compared.unreadable_stories);
    } else if args.all || compared.asked.is_none() || compared.panels.is_empty() {
        output::print_text(&comparison_text::format_comparison(&compared))?;
        output::print_text(&suggest_sound_recipe(&compared))?;
    } else {
        output::print_text(&comparison_text::format_answer(&compared))?;
        output::print_text("Every panel, group and figure: sottile compare --all\n")?;
        output::print_text(&suggest_sound_recipe(&compared))?;
    }
    require_all_readable(&compared.unreadable_stories)
}

/// Where a sound panel stands among others, another like it may be wanted.
fn suggest_sound_recipe(c: &Comparison) -> String {
    let sound = c.panels.iter().filter(|row| row.story.outcome.sound == Some(true));
    let oldest = sound.max_by(|a, b| {
        let age = |row: &PanelRow| row.story.outcome.age_days.unwrap_or(0.0);
        age(a).total_cmp(&age(b))
    });
    oldest.map_or_else(String::new, |row| {
        format!("Another like {}: sottile recipe from {}\n", sanitize(&row.story.label), row.story.id)
    })
}

/// Writes the report.
pub(super) fn write_report(context: &CliContext, args: &ReportArgs) -> Result<()> {
    output::check_not_existing(&args.output, args.force)?;
    let is_there = args.output.is_file();
    let left_out = with_progress(|progress| {
        let rows = read_rows(context, progress, &args.panels)?;
        progress.start_activity("comparing", 0);
        let PanelRows { rows, unreadable_stories, pots, air } = rows;
        let compared = compare_panels(rows, GroupBy::Outcome, unreadable_stories);
        let one_by_one = compared.panels.get(..MAX_DETAILS).unwrap_or(&compared.panels);
        let details = read_details(context, progress, one_by_one)?;
        let beside = collect_surroundings(&pots, &air, &compared.panels);
        progress.start_activity(progress_label(&args.output, "writing"), 0);
        output::write_file(
            &args.output,
            &html::comparison_page(&compared, &details, &beside, &format_day),
            args.force,
        )?;
        Ok(compared.unreadable_stories)
    })?;
    print_unreadable(&left_out);
    if is_there && !left_out.is_empty() {
        output::print_message(&format!(
            "sottile: {} was written over, and misses {}",
            args.output.display(),
            format_count(left_out.len(), "panel")
        ));
    }
    require_all_readable(&left_out)
}

/// The pots and the air of the panels.
fn collect_surroundings(pots: &[Arc<PotStory>], air: &Air, panels: &[PanelRow]) -> ReportSurroundings {
    let lineage = PotLineage::new(pots.iter().map(Arc::as_ref));
    let pots: BTreeSet<&Id> = panels.iter().flat_map(|row| &row.story.pot_ids).collect();
    let pots: Vec<PotTimeline> =
        pots.into_iter().filter_map(|id| lineage.pot(id)).map(timeline_from_pot).take(MAX_DETAILS).collect();
    let spans: Vec<(Stamp, Stamp)> = panels.iter().filter_map(|row| row.story.coating_period).collect();
    let span = spans.iter().map(|s| s.0).min().zip(spans.iter().map(|s| s.1).max());
    ReportSurroundings { pots, air: span.map_or_else(Vec::new, |(from, to)| air_between(air, from, to)) }
}

/// Writes the card of one panel.
pub(super) fn write_card(context: &CliContext, args: &CardArgs) -> Result<()> {
    output::check_not_existing(&args.output, args.force)?;
    with_progress(|progress| {
        let rows = read_rows(context, progress, std::slice::from_ref(&args.panel))?;
        let details = read_details(context, progress, &rows.rows)?;
        let Some(detail) = details.first() else {
            let left_out = rows.unreadable_stories.first();
            let message = sanitize(&left_out.map_or_else(String::new, |l| format!("{}: {}", l.path, l.message)));
            let is_newer = left_out.is_some_and(|l| !l.is_damaged);
            return Err(if is_newer { CliError::failed(message) } else { CliError::damaged(message) }.into());
        };
        let is_page = |e: &std::ffi::OsStr| e.eq_ignore_ascii_case("html") || e.eq_ignore_ascii_case("htm");
        let page = args.output.extension().is_some_and(is_page);
        let text = if page { html::card_page(detail) } else { detail.card.to_string() };
        output::write_file(&args.output, &text, args.force)
    })
}

/// Writes the facts for other tools.
pub(super) fn write_export(context: &CliContext, args: &ExportArgs) -> Result<()> {
    output::check_not_existing(&args.output, args.force)?;
    let left_out = with_progress(|progress| {
        let rows = read_rows(context, progress, &args.panels)?;
        match args.form {
            ExportForm::Csv => {
                let table = format_csv(&rows.rows, &format_time, formula_guard(args.raw));
                output::write_file(&args.output, &table, args.force)?;
            }
            ExportForm::Json => output::write_file_with(&args.output, args.force, &mut |to| {
                let doing = progress_label(&args.output, "written");
                write_stories_json(context, progress, doing, &rows, to)
            })?,
        }
        Ok(rows.unreadable_stories)
    })?;
    print_unreadable(&left_out);
    require_all_readable(&left_out)
}

/// That word, but nothing where what is written goes to the screen itself.
fn progress_label<'w>(path: &Path, doing: &'w str) -> &'w str {
    if path.as_os_str() == "-" { "" } else { doing }
}

/// Writes every story as JSON, a piece for each, so that no more than a few are ever held.
fn write_stories_json(
    context: &CliContext,
    progress: &Progress,
    doing: &str,
    rows: &PanelRows,
    to: &mut dyn Write,
) -> Result<()> {
    to.write_all(export::export_head().as_bytes())?;
    let piece = |story: &PanelStory, row: &PanelRow| {
        ExportedJson::from_story(story, row, &format_time, &|e: &PanelEvent| event_members(e)).to_json_piece()
    };
    let mut comma = "";
    reread_stories(context, progress, doing, &rows.rows, &piece, &mut |piece| {
        write!(to, "{comma}{}", piece?)?;
        comma = ",";
        Ok(())
    })?;
    to.write_all(export::export_foot(rows.rows.is_empty(), &rows.unreadable_stories)?.as_bytes())?;
    Ok(())
}

fn format_time(at: Stamp) -> String {
    format_rfc3339(at, &Local)
}

fn format_day(at: Stamp) -> String {
    format_date(at, &Local)
}

const fn formula_guard(raw: bool) -> FormulaGuard {
    if raw { FormulaGuard::Raw } else { FormulaGuard::Defuse }
}

fn detail_from_story(story: &PanelStory, facts: &PanelRow, bulk: &BulkDensities) -> PanelDetail {
    let time = |at: Stamp| format_hhmm(at, &Local);
    let cut = cross_section::cross_section_from_story(story, bulk);
    PanelDetail {
        timeline: panel_timeline::timeline_from_story(story),
        card: cards::card_from_story(story, facts, &cut, &format_day, &time),
        section: cut,
        growth: fault_growth(story),
        row: facts.clone(),
    }
}

fn print_unreadable(left_out: &[UnreadableStory]) {
    for l in left_out {
        output::print_message(&format!("sottile: left out: {}: {}", sanitize(&l.path), sanitize(&l.message)));
    }
}

fn require_all_readable(left_out: &[UnreadableStory]) -> Result<()> {
    match left_out.iter().map(|story| story.is_damaged).max() {
        None => Ok(()),
        Some(true) => Err(CliError::already_reported(ExitKind::Damaged).into()),
        Some(false) => Err(CliError::already_reported(ExitKind::Failed).into()),
    }
}

/// Reads the stories asked for, or all, and says how far it has come. A damaged one is left out and named.
fn read_rows(context: &CliContext, progress: &Progress, asked: &[String]) -> Result<PanelRows> {
    let shelf = context.shelf();
    let ids = find_ids(context, &shelf, asked)?;
    let bulk = context.settings.bulk_densities();
    progress.start_activity("read", ids.len());
    let shelved =
        StoryReader { shelf: &shelf, bulk: &bulk, now: context.clock.now(), on_story_read: &|| progress.increment() };
    Ok(shelved.read_rows(&ids, asked.is_empty()).map_err(CliError::from)?)
}

/// Reads the stories of those rows once more, and hands over in their order what is made of each.
fn reread_stories<T: Send>(
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

/// What a page tells of those panels one by one.
fn read_details(context: &CliContext, progress: &Progress, rows: &[PanelRow]) -> Result<Vec<PanelDetail>> {
    let bulk = context.settings.bulk_densities();
    let mut details = Vec::with_capacity(rows.len());
    reread_stories(
        context,
        progress,
        "told",
        rows,
        &|story, row| detail_from_story(story, row, &bulk),
        &mut |detail| {
            details.push(detail);
            Ok(())
        },
    )?;
    Ok(details)
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
