//! `new`, `mark`, `panels`, `show`.

use super::args::{MarkArgs, MarkCommand, NewArgs, ShowArgs};
use super::args_shelf::CorrectArgs;
use super::context::{CliContext, find_panel, find_pot};
use super::error::{CliError, ExitKind};
use super::json::{PanelListItemJson, PanelsJson, ShowJson};
use super::pot_survey::load_pot_survey;
use super::several::{SeveralRecorded, record_on_each};
use super::story::{
    check_undamaged, is_newer, map_panel_stories, require_label, require_story, story_at, warn_if_clock_behind,
};
use super::{format_panel, output, recipe};
use crate::bench::{Bench, PanelOpening, PotSurvey, RecordRequest, Snapshot, StudioKnowledge, trusted_now};
use crate::text::{find_nearest_word, format_when, parse_length, parse_mass, parse_size, quote_word, sanitize};
use crate::units::{Id, Moment};
use crate::work::advice::fact_text::format_fact;
use crate::work::advice::{board_water, cautions, waits};
use crate::work::panel::act::PanelAct;
use crate::work::panel::correction::PanelCorrection;
use crate::work::panel::event::CheckMap;
use crate::work::panel::story::PanelStory;
use crate::work::panel::whereabouts::Whereabouts;
use anyhow::Result;
use chrono::Local;
use std::collections::BTreeSet;
use std::sync::Arc;

/// Opens panels and prints their ids.
pub(super) fn open_panels(context: &CliContext, new: &NewArgs) -> Result<()> {
    let opening = PanelOpening {
        sheet: new.sheet.as_deref().map(str::trim).filter(|s| !s.is_empty()).map(str::to_owned),
        label: require_label(&new.label, "a panel needs a label; name it after what you will paint, say Wren")?,
        size: parse_size(&new.size).map_err(|e| CliError::usage(format!("--size: {e}")))?,
        support: new.support,
        grain: new.grain,
        paint: new.paint,
        recipe: Arc::new(recipe::find_recipe(context, &new.recipe)?),
        count: new.count,
        at: context.parse_at(new.at.as_ref())?,
        witness: new.witness,
    };
    for caution in cautions::opening_cautions(&opening.recipe, opening.paint, &opening.size, opening.support) {
        output::print_message(&format!("sottile: caution: {}", caution.text));
    }
    let (opened, error) = match context.bench().open_panels(&opening, &|| context.clock.now()) {
        Ok(opened) => (opened, None),
        Err((error, opened)) => (opened, Some(error)),
    };
    let ids: String = opened.iter().map(|t| format!("{}\n", t.id)).collect();
    output::allow_untold(output::print_text(&ids))?;
    error.map_or(Ok(()), |error| Err(CliError::from(error).into()))
}

/// Records one fact of each panel.
pub(super) fn mark_panels(context: &CliContext, mark: &MarkArgs) -> Result<()> {
    let Some(command) = &mark.act else { return Err(missing_act(&mark.panels).into()) };
    let names: Vec<&String> = mark.panels.iter().chain(&mark.named).collect();
    if names.is_empty() {
        return Err(CliError::usage("which panel? Write `sottile mark PANEL... ACT`").into());
    }
    let mut bench = context.bench();
    let request = RecordRequest {
        act: panel_act_from_args(&bench, command)?,
        at: context.parse_at(mark.at.as_ref())?,
        expected_stage: None,
    };
    let all = record_on_each(context, &mut bench, &names, &request)?;
    // The clock is one, whichever story tells of it.
    if let Some(story) = all.changed.first().and_then(|snapshot| snapshot.story.as_ref()) {
        warn_if_clock_behind(story);
    }
    if matches!(command, MarkCommand::Done { .. }) {
        print_wait_advice(&mut bench, &all);
    }
    if matches!(command, MarkCommand::Weigh { .. }) {
        print_weighing_advice(context, &mut bench, &all);
    }
    let told = if !mark.json {
        let is_undo = matches!(command, MarkCommand::Undo) && names.len() > 1;
        print_recorded(context, &all, is_undo)
    } else if names.len() > 1 {
        all.print_json(context)
    } else {
        print_first_json(context, &all)
    };
    output::allow_untold(told)?;
    all.report_failed()
}

/// Why nothing was asked to be recorded: the act is missing, or mistyped.
fn missing_act(words: &[String]) -> CliError {
    let acts: Vec<&str> = MarkCommand::names();
    let mistyped =
        words.iter().skip(1).rev().find_map(|word| Some((word, find_nearest_word(word, acts.iter().copied())?)));
    CliError::usage(match mistyped {
        Some((word, nearest)) => format!("{} is no act; `{nearest}` is the nearest", quote_word(word)),
        None => format!("what happened? Write one of {} behind the panels", acts.join(", ")),
    })
}

/// What is to be said of the wait that begins, once where several panels have the same.
fn print_wait_advice(bench: &mut Bench, all: &SeveralRecorded) {
    let air = bench.load_air();
    let studio = StudioKnowledge::load(bench.shelf());
    // Only a coat asks the air, and it is recorded all the same.
    let waits = |snapshot: &Snapshot| snapshot.story.as_ref().is_some_and(|s| s.panel().current_wait().is_some());
    if let Some(fault) = air.fault().filter(|_| all.changed.iter().any(waits)) {
        let message = sanitize(&fault.message);
        output::print_message(&format!("sottile: recorded, and the wait is without the air: {message}"));
    }
    let mut said = BTreeSet::new();
    for story in all.changed.iter().filter_map(|snapshot| snapshot.story.as_ref()) {
        for tip in waits::wait_advice(story.panel(), &air, &studio.learned).tips {
            let text = format!("sottile: {} ({})", tip.text, tip.source);
            if said.insert(text.clone()) {
                output::print_message(&text);
            }
        }
    }
}

/// What a board's weighings say now, and whether the air they were taken in is the same.
fn print_weighing_advice(context: &CliContext, bench: &mut Bench, all: &SeveralRecorded) {
    let (air, now) = (bench.load_air(), context.clock.now());
    for story in all.changed.iter().filter_map(|snapshot| snapshot.story.as_ref()) {
        let panel = story.panel();
        let when = |stamp| format_when(stamp, now.wall, &Local);
        let units = context.settings.unit_system.value;
        let report = panel.dryness();
        let says = report.map_or_else(Vec::new, |report| board_water::dryness_sentences(&report, &when, units));
        let rh_at = |at| air.reading_as_of(at).map(|r| r.rh.pct());
        let question = board_water::weighing_air_question(panel, &rh_at);
        // A fact that is asked about has said so itself.
        let is_asked = story.entries().last().is_some_and(|e| !panel.questions_of(e.seq).is_empty());
        for text in says.into_iter().chain(question).filter(|_| !is_asked) {
            output::print_message(&format!("sottile: {text}"));
        }
    }
}

fn print_first_json(context: &CliContext, all: &SeveralRecorded) -> Result<()> {
    let Some(snapshot) = all.changed.first() else { return Ok(()) };
    let story = require_story(snapshot)?;
    output::print_json(&ShowJson::from_story(story, snapshot.damage.as_ref(), trusted_now(story, context.clock.now())))
}

fn print_recorded(context: &CliContext, all: &SeveralRecorded, with_fact: bool) -> Result<()> {
    let units = context.settings.unit_system.value;
    let now = context.clock.now();
    for story in all.changed.iter().filter_map(|snapshot| snapshot.story.as_ref()) {
        let undone = format_panel::format_taken_back(story, units).filter(|_| with_fact).unwrap_or_default();
        output::print_text(&format!(
            "{}{undone}\n",
            format_panel::format_recorded(story, trusted_now(story, now), units).trim_end()
        ))?;
    }
    Ok(())
}

/// The act of those words.
pub(super) fn panel_act_from_args(bench: &Bench, act: &MarkCommand) -> Result<PanelAct, CliError> {
    Ok(match act {
        MarkCommand::Start => PanelAct::Start,
        MarkCommand::Done { direction, pot, map, by } => PanelAct::Done {
            direction: *direction,
            pot: pot.as_deref().map(|query| find_pot(bench, query)).transpose()?,
            map: map.as_deref().map(parse_check_map).transpose()?,
            by: by.clone(),
        },
        MarkCommand::Dull => PanelAct::Dull,
        MarkCommand::Note { text } => PanelAct::Note(text.clone()),
        MarkCommand::Weigh { mass, offcut } => {
            let read = |text: &String| parse_mass(text).map_err(CliError::usage);
            PanelAct::Weigh(read(mass)?, offcut.as_ref().map(read).transpose()?)
        }
        MarkCommand::Thick { points } => {
            let read = |text: &String| parse_length(text).map_err(CliError::usage);
            PanelAct::Thick(points.iter().map(read).collect::<Result<_, _>>()?)
        }
        MarkCommand::Extra { face } => PanelAct::Extra(*face),
        MarkCommand::Repeat { why } => PanelAct::Repeat(*why),
        MarkCommand::Skip { why } => PanelAct::Skip(why.clone()),
        MarkCommand::Away => PanelAct::Away,
        MarkCommand::Back => PanelAct::Back,
        MarkCommand::Undo => PanelAct::Undo { seen: None },
        MarkCommand::Abandon { why } => PanelAct::Abandon(why.clone()),
        MarkCommand::Painted => PanelAct::Place(Whereabouts::Painted, None),
        MarkCommand::Sold { to } => PanelAct::Place(Whereabouts::Sold, to.clone()),
        MarkCommand::Given { to } => PanelAct::Place(Whereabouts::Given, to.clone()),
        MarkCommand::Broken => PanelAct::Place(Whereabouts::Broken, None),
        MarkCommand::Returned => PanelAct::Place(Whereabouts::Returned, None),
    })
}

/// Puts right what was said of a panel when it was opened.
pub(super) fn correct_panel(context: &CliContext, said: &CorrectArgs) -> Result<()> {
    let size = said.size.as_deref().map(parse_size).transpose().map_err(|e| CliError::usage(format!("--size: {e}")))?;
    let correction = PanelCorrection {
        label: said.label.clone(),
        size,
        support: said.support,
        grain: said.grain,
        paint: said.paint,
    };
    if correction == PanelCorrection::default() {
        let message = "what is to be put right? Give one of --label, --size, --support, --grain, --paint";
        return Err(CliError::usage(message).into());
    }
    let mut bench = context.bench();
    let request = RecordRequest::from_act(PanelAct::Correct(Box::new(correction)));
    let all = record_on_each(context, &mut bench, &[&said.panel], &request)?;
    let told = if said.json { print_first_json(context, &all) } else { print_correction(context, &all) };
    output::allow_untold(told)
}

fn print_correction(context: &CliContext, all: &SeveralRecorded) -> Result<()> {
    let units = context.settings.unit_system.value;
    for story in all.changed.iter().filter_map(|snapshot| snapshot.story.as_ref()) {
        let Some(entry) = story.entries().last() else { continue };
        let label = sanitize(&story.panel().opened().label);
        output::print_text(&format!("{label}: {}\n", sanitize(&format_fact(story, entry, units).text)))?;
    }
    Ok(())
}

fn parse_check_map(text: &str) -> Result<CheckMap, CliError> {
    let wrong = || {
        CliError::usage(format!(
            "--map: {} is no map; write rows from the top separated by /, one digit an area, 0 none, 1 some, 2 much: 000/010/000",
            quote_word(text)
        ))
    };
    CheckMap::parse(text).ok_or_else(wrong)
}

/// Tells where every panel stands.
pub(super) fn list_panels(context: &CliContext, json: bool) -> Result<()> {
    let now = context.clock.now();
    let shelf = context.shelf();
    let ids = shelf.panel_ids().map_err(CliError::from)?;
    let damaged = if json {
        let (panels, damaged) = map_panel_stories(&shelf, &ids, |snapshot| list_item_json(snapshot, now));
        output::print_json(&PanelsJson::new(panels.into_iter().flatten().collect()))?;
        damaged
    } else {
        let (rows, damaged) = map_panel_stories(&shelf, &ids, |snapshot| format_panel::panel_list_row(snapshot, now));
        output::print_text(&format_panel::format_panel_list(&rows))?;
        damaged
    };
    if damaged { Err(CliError::already_reported(ExitKind::Damaged).into()) } else { Ok(()) }
}

fn list_item_json(snapshot: &Snapshot, now: Moment) -> Option<PanelListItemJson> {
    match &snapshot.story {
        Some(story) => {
            let status = story.panel().status(trusted_now(story, now));
            Some(PanelListItemJson::from_panel(story.panel(), &status, snapshot.damage.as_ref()))
        }
        None => Some(PanelListItemJson::unreadable(snapshot.id.as_str(), snapshot.damage.as_ref()?)),
    }
}

/// What is known around the pots its coats came from.
fn load_surroundings(context: &CliContext, bench: Bench, story: &PanelStory) -> Result<PotSurvey, CliError> {
    if story.panel().pot_ids().is_empty() { Ok(PotSurvey::default()) } else { load_pot_survey(context, bench) }
}

/// Fails where a pot its coats came from, or one up its line, is damaged: what is said of the coats lacks it.
fn check_pots_undamaged(survey: &PotSurvey, story: &PanelStory) -> Result<(), CliError> {
    let line: Vec<Id> = story.panel().pot_ids().into_iter().flat_map(|id| survey.ancestors(id)).collect();
    survey.pots.iter().filter(|t| line.contains(&t.id)).try_for_each(check_undamaged)
}

/// What is to be said of the wait that runs: what the air did to it, and how long the maker's own coats take.
fn current_wait_lines(bench: &Bench, story: &PanelStory, now: Moment) -> Vec<String> {
    if !story.panel().current_wait().is_some_and(|wait| wait.is_running_at(now)) {
        return Vec::new();
    }
    let studio = StudioKnowledge::load(bench.shelf());
    let said = waits::wait_advice(story.panel(), &studio.air, &studio.learned);
    said.tips.iter().map(|tip| format!("{} ({})", tip.text, tip.source)).collect()
}

/// Tells one panel's story.
pub(super) fn show_panel(context: &CliContext, show: &ShowArgs) -> Result<()> {
    let mut bench = context.bench();
    let id = find_panel(&bench, &show.panel)?;
    let snapshot = bench.load(&id).map_err(CliError::from)?;
    if let (None, Some(damage), true) = (&snapshot.story, &snapshot.damage, is_newer(&snapshot)) {
        if show.json {
            output::print_json(&PanelListItemJson::unreadable(id.as_str(), damage))?;
        }
        return Ok(check_undamaged(&snapshot)?);
    }
    let (story, now) = story_at(context, &snapshot, context.parse_at(show.at.as_ref())?)?;
    if show.json {
        output::print_json(&ShowJson::from_story(&story, snapshot.damage.as_ref(), now))?;
        return Ok(check_undamaged(&snapshot)?);
    }
    let wait_lines = if show.at.is_none() { current_wait_lines(&bench, &story, now) } else { Vec::new() };
    let survey = load_surroundings(context, bench, &story)?;
    let remarks: Vec<(u64, String)> =
        survey.panel_remarks(&story).into_iter().map(|(seq, remark)| (seq, remark.to_string())).collect();
    let units = context.settings.unit_system.value;
    output::print_text(&format_panel::format_panel_story(&story, now, units, &remarks, &wait_lines))?;
    check_undamaged(&snapshot)?;
    Ok(check_pots_undamaged(&survey, &story)?)
}
