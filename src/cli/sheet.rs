//! `sheet`: a bench sheet on paper, for the day the laptop stays shut.

use super::args_paper::SheetArgs;
use super::context::{CliContext, find_panel};
use super::error::CliError;
use super::output;
use super::sheet_model::{BenchSheet, SheetPots};
use super::sheet_page::format_sheet_page;
use super::sheet_text::format_sheet_text;
use super::story::{map_panel_stories, require_story};
use crate::bench::trusted_now;
use crate::craft::materials::fillers::BulkDensities;
use crate::text::{UnitSystem, local_day, parse_iso_day, quote_word, sanitize};
use crate::units::Moment;
use crate::work::advice::CautionLine;
use crate::work::advice::cautions::{opening_cautions, stage_cautions};
use crate::work::panel::event::StageKind;
use crate::work::panel::phase::PanelPhase;
use crate::work::panel::state::Panel;
use crate::work::panel::story::PanelStory;
use crate::work::plan::bench_sheet::{SHEET_COLUMNS, build_sheet_rows};
use crate::work::plan::board_needs::compute_board_needs;
use anyhow::Result;
use chrono::{Local, NaiveDate};
use std::path::Path;
use std::sync::Arc;

/// No more panels on sheets printed at once.
const PANELS_MAX: usize = 200;

/// Prints the sheets.
pub(super) fn run(context: &CliContext, args: &SheetArgs) -> Result<()> {
    if let Some(file) = &args.output {
        output::check_not_existing(file, args.force)?;
    }
    let now = context.clock.now();
    let day = match &args.day {
        Some(text) => parse_iso_day(text)
            .ok_or_else(|| CliError::usage(format!("--day: {} is no day; write 2026-03-14", quote_word(text))))?,
        None => local_day(now.wall, &Local),
    };
    let stories = read_stories(context, args, now)?;
    if stories.is_empty() {
        let message = "no panel asks for anything; open one with `sottile new LABEL --size 300x400x12mm`";
        return Err(CliError::failed(message).into());
    }
    if stories.len() > PANELS_MAX {
        return Err(CliError::usage(format!("name at most {PANELS_MAX} panels")).into());
    }
    let panels: Vec<&Panel> = stories.iter().map(|story| story.panel()).collect();
    let (units, bulk) = (context.settings.unit_system.value, context.settings.bulk_densities());
    let sheets: Vec<BenchSheet<'_>> =
        panels.chunks(SHEET_COLUMNS).map(|panels| make_sheet(panels, day, units, &bulk)).collect();
    let is_page = args.html || args.output.as_deref().is_some_and(is_page_name);
    let text = if is_page { format_sheet_page(&sheets) } else { format_sheet_text(&sheets) };
    match &args.output {
        Some(file) => output::write_file(file, &text, args.force),
        None => output::print_text(&text),
    }
}

fn is_page_name(file: &Path) -> bool {
    file.extension().is_some_and(|e| e.eq_ignore_ascii_case("html") || e.eq_ignore_ascii_case("htm"))
}

/// The panels that are meant and still ask for something, in the order named, or opened.
fn read_stories(context: &CliContext, args: &SheetArgs, now: Moment) -> Result<Vec<Arc<PanelStory>>> {
    let is_open = |story: &PanelStory| {
        let phase = story.panel().phase_at(trusted_now(story, now));
        !matches!(phase, PanelPhase::Finished | PanelPhase::Abandoned)
    };
    if args.panels.is_empty() {
        let shelf = context.shelf();
        let ids = shelf.panel_ids().map_err(CliError::from)?;
        // One that cannot be read is told of, and left out.
        let (stories, _) = map_panel_stories(&shelf, &ids, |snapshot| snapshot.story.clone());
        return Ok(stories.into_iter().flatten().filter(|story| is_open(story)).collect());
    }
    let mut bench = context.bench();
    let mut stories: Vec<Arc<PanelStory>> = Vec::new();
    for name in &args.panels {
        let id = find_panel(&bench, name)?;
        let snapshot = bench.load(&id).map_err(CliError::from)?;
        let story = require_story(&snapshot)?;
        if !is_open(story) {
            let label = sanitize(&story.panel().opened().label);
            output::print_message(&format!("sottile: {label} asks for nothing any more"));
        } else if stories.iter().all(|other| other.panel().opened().id != id) {
            stories.push(Arc::clone(story));
        }
    }
    Ok(stories)
}

fn make_sheet<'a>(panels: &[&'a Panel], day: NaiveDate, units: UnitSystem, bulk: &BulkDensities) -> BenchSheet<'a> {
    let rows = build_sheet_rows(panels);
    let mut cautions: Vec<CautionLine> = Vec::new();
    let mut add = |lines: Vec<CautionLine>| {
        for line in lines {
            if !cautions.contains(&line) {
                cautions.push(line);
            }
        }
    };
    for panel in panels {
        let opened = panel.opened();
        add(opening_cautions(&opened.recipe, opened.paint, &opened.size, opened.support));
        let open = panel.stages().zip(panel.steps()).filter(|(_, step)| step.is_open());
        for (stage, _) in open {
            add(stage_cautions(&stage, &opened.recipe, opened.paint));
        }
    }
    BenchSheet { panels: panels.to_vec(), rows, pots: sum_pots(panels, bulk), cautions, day, units }
}

/// The needs of the panels, those of one recipe together.
fn sum_pots<'a>(panels: &[&'a Panel], bulk: &BulkDensities) -> Vec<SheetPots<'a>> {
    let mut pots: Vec<SheetPots<'a>> = Vec::new();
    for panel in panels {
        let open: Vec<StageKind> =
            panel.steps().iter().filter(|step| step.is_open()).map(|step| step.slot.kind).collect();
        // A size out of range was told of when the panel was opened; its sheet is without amounts.
        let needs = compute_board_needs(panel.opened(), &open, bulk).unwrap_or_default();
        match pots.iter_mut().find(|pots| pots.panel.opened().recipe == panel.opened().recipe) {
            Some(pots) => pots.needs.add(&needs),
            None => pots.push(SheetPots { panel, needs }),
        }
    }
    pots
}
