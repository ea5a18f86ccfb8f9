//! `report` and `card`: pages about panels.

use super::args::{CardArgs, ReportArgs};
use super::context::CliContext;
use super::error::CliError;
use super::output;
use super::progress::{Progress, with_progress};
use super::read_stories::{
    format_day, print_unreadable, progress_label, read_rows, require_all_readable, reread_stories,
};
use super::trial_show::read_trial;
use crate::bench::{PanelRows, load_trials};
use crate::craft::materials::fillers::BulkDensities;
use crate::record::shelf::Shelf;
use crate::review::GroupBy;
use crate::review::compare::compare_panels;
use crate::review::html::{self, PanelDetail, PanelPhoto, ReportSurroundings, TrialPage, shrink_photo};
use crate::review::label::{PanelLabel, label_from_row};
use crate::review::panel_row::PanelRow;
use crate::review::pots_and_air::{PotTimeline, air_between, timeline_from_pot};
use crate::review::trial_page::build_trial_page;
use crate::review::{card as cards, cross_section, panel_timeline};
use crate::text::{UnitSystem, format_count, format_date_words, format_hhmm, sanitize};
use crate::units::{Id, Span, Stamp};
use crate::work::advice::inspections::{fault_growth, format_inspection, story_inspections};
use crate::work::air::Air;
use crate::work::panel::inspection::Inspection;
use crate::work::panel::story::PanelStory;
use crate::work::pot::lineage::PotLineage;
use crate::work::pot::story::PotStory;
use anyhow::Result;
use chrono::Local;
use std::collections::{BTreeMap, BTreeSet};
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
        let lots = glue_lots(&rows);
        let PanelRows { rows, unreadable_stories, pots, air, .. } = rows;
        let compared = compare_panels(rows, GroupBy::Outcome, unreadable_stories);
        let one_by_one = compared.panels.get(..MAX_DETAILS).unwrap_or(&compared.panels);
        let details = read_details(context, progress, one_by_one, &lots, args.names)?;
        let trials = read_trial_pages(context, &details)?;
        let beside = ReportSurroundings { trials, ..collect_surroundings(&pots, &air, &compared.panels) };
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
    ReportSurroundings {
        pots,
        air: span.map_or_else(Vec::new, |(from, to)| air_between(air, from, to)),
        period: period_in_words(panels),
        trials: Vec::new(),
    }
}

/// The page of every trial any of those panels belongs to, oldest first. One that cannot be read has none; `trials` tells of
/// it.
fn read_trial_pages(context: &CliContext, details: &[PanelDetail]) -> Result<Vec<TrialPage>> {
    let shelf = context.shelf();
    let photos: BTreeMap<&Id, &[PanelPhoto]> =
        details.iter().map(|detail| (&detail.row.story.id, detail.photos.as_slice())).collect();
    let mut pages = Vec::new();
    for kept in load_trials(&shelf).map_err(CliError::from)?.into_iter().flatten() {
        let read = read_trial(&shelf, kept.trial.id.as_str(), context.clock.now())?;
        if read.review.boards.iter().filter_map(|board| board.id.as_ref()).any(|id| photos.contains_key(id)) {
            pages.push(build_trial_page(&read.kept.trial, &read.review, &photos));
        }
    }
    Ok(pages)
}

/// The lot of the glue in each pot, by its id.
type GlueLots = BTreeMap<Id, String>;

fn glue_lots(rows: &PanelRows) -> GlueLots {
    let usage = rows.pot_usage(&BulkDensities::TABLE);
    let ids = rows.pots.iter().map(|pot| &pot.pot().opened().id);
    ids.filter_map(|id| Some((id.clone(), usage.lineage().glue_lot(id)?.to_owned()))).collect()
}

/// Writes the card of one panel.
pub(super) fn write_card(context: &CliContext, args: &CardArgs) -> Result<()> {
    output::check_not_existing(&args.output, args.force)?;
    with_progress(|progress| {
        let rows = read_rows(context, progress, std::slice::from_ref(&args.panel))?;
        let details = read_details(context, progress, &rows.rows, &glue_lots(&rows), args.names)?;
        let Some(detail) = details.first() else {
            let left_out = rows.unreadable_stories.first();
            let message = sanitize(&left_out.map_or_else(String::new, |l| format!("{}: {}", l.path, l.message)));
            let is_newer = left_out.is_some_and(|l| !l.is_damaged);
            return Err(if is_newer { CliError::failed(message) } else { CliError::damaged(message) }.into());
        };
        let is_page = |e: &std::ffi::OsStr| e.eq_ignore_ascii_case("html") || e.eq_ignore_ascii_case("htm");
        let page = args.output.extension().is_some_and(is_page);
        let text = match (args.label, page) {
            (true, page) => {
                let label = panel_label(detail);
                if page { html::label_page(&label, &detail.section) } else { label.to_string() }
            }
            (false, true) => html::card_page(detail),
            (false, false) => detail.card.to_string(),
        };
        output::write_file(&args.output, &text, args.force)
    })
}

fn panel_label(detail: &PanelDetail) -> PanelLabel {
    let materials = detail.card.parts.iter().find(|(heading, _)| *heading == cards::MATERIALS);
    let materials = materials.map_or(&[][..], |(_, lines)| lines.as_slice());
    let (from, to) = period(std::slice::from_ref(&detail.row)).unwrap_or_default();
    let days = [format_day(from), format_day(to)];
    let days = if days[0] == days[1] { days[0].clone() } else { days.join(" to ") };
    label_from_row(&detail.row, &detail.section, days, materials)
}

/// From the first opening to the last act of those panels.
fn period(panels: &[PanelRow]) -> Option<(Stamp, Stamp)> {
    let opened = || panels.iter().map(|row| row.story.opened_at);
    let last = panels.iter().map(|row| row.story.opened_at + Span::from_h(row.story.elapsed_h.unwrap_or(0.0)));
    opened().min().zip(last.max())
}

/// The same in words, for a title.
fn period_in_words(panels: &[PanelRow]) -> Option<String> {
    let (from, to) = period(panels)?;
    let days = [from, to].map(|at| format_date_words(at, &Local));
    Some(if days[0] == days[1] { days[0].clone() } else { days.join(" to ") })
}

fn detail_from_story(
    shelf: &Shelf,
    story: &PanelStory,
    facts: &PanelRow,
    bulk: &BulkDensities,
    lots: &GlueLots,
    units: UnitSystem,
) -> PanelDetail {
    let time = |at: Stamp| format_hhmm(at, &Local);
    let cut = cross_section::cross_section_from_story(story, bulk);
    let lots: BTreeSet<&String> = facts.story.pot_ids.iter().filter_map(|id| lots.get(id)).collect();
    let lots: Vec<String> = lots.into_iter().cloned().collect();
    PanelDetail {
        timeline: panel_timeline::timeline_from_story(story),
        card: cards::card_from_story(story, facts, &cut, &lots, &format_day, &time, units),
        section: cut,
        growth: fault_growth(story),
        photos: read_photos(shelf, story, units),
        row: facts.clone(),
    }
}

/// A page shows at most so many photographs of a panel: the first, and the last of the others.
const MAX_PHOTOS: usize = 6;

/// The photographs of a panel in the order of time, made small.
fn read_photos(shelf: &Shelf, story: &PanelStory, units: UnitSystem) -> Vec<PanelPhoto> {
    let mut looks: Vec<_> = story_inspections(story).into_iter().filter(|(_, seen)| seen.photo.is_some()).collect();
    let surplus = looks.len().saturating_sub(MAX_PHOTOS);
    if surplus > 0 {
        looks.drain(1..1 + surplus);
    }
    let photo = |(at, seen): (Stamp, &Inspection)| {
        let name = seen.photo.clone()?;
        let bytes = seen.photo_sha256.as_ref().and_then(|sum| shelf.read_photo(&name, sum));
        let words = Inspection { photo: None, photo_sha256: None, ..seen.clone() };
        let told =
            if words == Inspection::default() { "looked over".to_owned() } else { format_inspection(&words, units) };
        Some(PanelPhoto { at, name, seen: told, picture: bytes.and_then(|bytes| shrink_photo(&bytes)) })
    };
    looks.into_iter().filter_map(photo).collect()
}

/// What a page tells of those panels one by one.
fn read_details(
    context: &CliContext,
    progress: &Progress,
    rows: &[PanelRow],
    lots: &GlueLots,
    with_owners: bool,
) -> Result<Vec<PanelDetail>> {
    let units = context.settings.unit_system.value;
    let bulk = context.settings.bulk_densities();
    let shelf = context.shelf();
    let mut details = Vec::with_capacity(rows.len());
    reread_stories(
        context,
        progress,
        "told",
        rows,
        &|story, row| detail_from_story(&shelf, story, row, &bulk, lots, units),
        &mut |mut detail| {
            if with_owners {
                detail.card = detail.card.with_owner(&detail.row);
            }
            details.push(detail);
            Ok(())
        },
    )?;
    Ok(details)
}
