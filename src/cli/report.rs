//! `report` and `card`: pages about panels.

use super::args::{CardArgs, ReportArgs};
use super::context::CliContext;
use super::error::CliError;
use super::output;
use super::progress::{Progress, with_progress};
use super::read_stories::{
    format_day, print_unreadable, progress_label, read_rows, require_all_readable, reread_stories,
};
use crate::bench::PanelRows;
use crate::craft::materials::fillers::BulkDensities;
use crate::review::GroupBy;
use crate::review::compare::compare_panels;
use crate::review::html::{self, PanelDetail, ReportSurroundings};
use crate::review::panel_row::PanelRow;
use crate::review::pots_and_air::{PotTimeline, air_between, timeline_from_pot};
use crate::review::{card as cards, cross_section, panel_timeline};
use crate::text::{format_count, format_hhmm, sanitize};
use crate::units::{Id, Stamp};
use crate::work::advice::inspections::fault_growth;
use crate::work::air::Air;
use crate::work::panel::story::PanelStory;
use crate::work::pot::lineage::PotLineage;
use crate::work::pot::story::PotStory;
use anyhow::Result;
use chrono::Local;
use std::collections::BTreeSet;
use std::sync::Arc;

/// A report tells of at most so many panels one by one, and of so many pots.
const MAX_DETAILS: usize = 200;

/// Writes the report.
pub(super) fn write_report(context: &CliContext, args: &ReportArgs) -> Result<()> {
    output::check_not_existing(&args.output, args.force)?;
    let is_there = args.output.is_file();
    let left_out = with_progress(|progress| {
        let rows = read_rows(context, progress, &args.panels)?;
        progress.start_activity("comparing", 0);
        let PanelRows { rows, unreadable_stories, pots, air, .. } = rows;
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
