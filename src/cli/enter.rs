//! `enter`: times typed afterwards, from paper, made facts; all of a file or nothing.

use super::args::MarkCommand;
use super::args_paper::EnterArgs;
use super::context::{CliContext, find_panel};
use super::enter_facts::{TypedEntries, make_entries};
use super::enter_file::{LineProblem, read_typed_file};
use super::error::{CliError, ExitKind};
use super::format_panel::format_recorded;
use super::input::InputKind;
use super::json::{FORMAT_VERSION, ShowJson};
use super::output;
use super::story::require_story;
use crate::bench::{Bench, PassRecorded, RecordError, Snapshot, trusted_now};
use crate::text::{format_count, format_date_words, sanitize};
use crate::work::panel::refusal::PanelRefusal;
use anyhow::Result;
use chrono::Local;
use serde::Serialize;
use std::path::Path;

#[derive(Debug, Serialize)]
struct EnterJson<'a> {
    format: u32,
    /// Nothing was to be written.
    checked: bool,
    /// Facts written; with `checked`, those that would be.
    written: usize,
    /// Facts that stood already.
    known: usize,
    /// The panels something was written to, as `show` tells them.
    panels: Vec<ShowJson<'a>>,
    problems: Vec<ProblemJson<'a>>,
}

#[derive(Debug, Serialize)]
struct ProblemJson<'a> {
    line: usize,
    message: &'a str,
}

/// What came of a file.
struct Entered {
    written: usize,
    known: usize,
    changed: Vec<Snapshot>,
    problems: Vec<LineProblem>,
    worst: Option<ExitKind>,
}

/// Takes a file in.
pub(super) fn run(context: &CliContext, args: &EnterArgs) -> Result<()> {
    let (panel, file) = match args.words.as_slice() {
        [panel, file] => (Some(panel.as_str()), file),
        [file, ..] => (None, file),
        [] => return Err(CliError::usage("which file? Write `sottile enter FILE`").into()),
    };
    let text = InputKind::Times.read_text(Path::new(file))?;
    let mut bench = context.bench();
    if let Some(panel) = panel {
        find_panel(&bench, panel)?;
    }
    let now = context.clock.now();
    let mut typed = read_typed_file(&text, panel, &MarkCommand::names(), now.wall);
    let mut made = make_entries(&mut bench, &typed.facts);
    typed.problems.append(&mut made.problems);
    if typed.facts.is_empty() && typed.problems.is_empty() {
        return Err(CliError::failed(format!("{} holds no times; nothing is recorded", sanitize(file))).into());
    }
    if typed.takes_today && typed.problems.is_empty() {
        let today = format_date_words(now.wall, &Local);
        output::print_message(&format!("sottile: times without a day are taken for today's, {today}"));
    }
    let is_trial = args.check || !typed.problems.is_empty();
    let entered = record_entries(context, &mut bench, &made, typed.problems, is_trial);
    let told = if args.json { print_json(context, args, &entered) } else { print_entered(context, args, &entered) };
    output::allow_untold(told)?;
    entered.worst.map_or(Ok(()), |kind| Err(CliError::already_reported(kind).into()))
}

/// Records them all, or finds out what stands against it. Where lines are wrong already, the panels of the others are still
/// tried, so that as much as can be told is told at once.
fn record_entries(
    context: &CliContext,
    bench: &mut Bench,
    made: &TypedEntries,
    mut problems: Vec<LineProblem>,
    is_trial: bool,
) -> Entered {
    let mut worst = (!problems.is_empty()).then_some(ExitKind::Failed);
    let line_of = |index: usize| made.lines.get(index).copied().unwrap_or(0);
    let mut problem = |index: usize, error: &RecordError| {
        let kind = CliError::from(error.clone()).kind;
        worst = worst.max(Some(if kind == ExitKind::Damaged { kind } else { ExitKind::Failed }));
        problems.push(LineProblem { line: line_of(index), message: describe_error(error) });
    };
    let nothing = PassRecorded { changed: Vec::new(), written: Vec::new(), failed: Vec::new(), known: Vec::new() };
    let recorded = bench.record_typed(&made.entries, is_trial, &|| context.clock.now()).unwrap_or_else(|refused| {
        for (index, error) in &refused {
            problem(*index, error);
        }
        nothing
    });
    for (index, error) in &recorded.failed {
        problem(*index, error);
    }
    problems.sort();
    problems.dedup();
    let written = match is_trial && problems.is_empty() {
        true => made.entries.len() - recorded.known.len(),
        false => recorded.written.len(),
    };
    Entered { written, known: recorded.known.len(), changed: recorded.changed, problems, worst }
}

fn describe_error(error: &RecordError) -> String {
    match error {
        RecordError::Refused(PanelRefusal::NoLongerAtHand { seen, .. }) => format!(
            "{seen} is not at hand then: something before it has no time here and is not recorded, or it was done already"
        ),
        other => sanitize(&other.to_string()),
    }
}

fn print_entered(context: &CliContext, args: &EnterArgs, entered: &Entered) -> Result<()> {
    for problem in &entered.problems {
        output::print_message(&format!("sottile: line {}: {}", problem.line, problem.message));
    }
    let facts = format_count(entered.written, "fact");
    let known = match entered.known {
        0 => String::new(),
        n => format!("; {} stood already", format_count(n, "fact")),
    };
    if !entered.problems.is_empty() {
        let done =
            if entered.written == 0 { "nothing is recorded".to_owned() } else { format!("{facts} are recorded") };
        output::print_message(&format!("sottile: {done}; mend what is told and give the file again"));
        return Ok(());
    }
    if args.check {
        return output::print_text(&format!("{facts} would be recorded{known}\n"));
    }
    let units = context.settings.unit_system.value;
    let now = context.clock.now();
    let mut text = format!("{facts} recorded{known}\n");
    for story in entered.changed.iter().filter_map(|snapshot| snapshot.story.as_ref()) {
        text.push_str(&format_recorded(story, trusted_now(story, now), units));
    }
    output::print_text(&text)
}

fn print_json(context: &CliContext, args: &EnterArgs, entered: &Entered) -> Result<()> {
    let now = context.clock.now();
    let mut panels = Vec::new();
    for snapshot in &entered.changed {
        let story = require_story(snapshot)?;
        panels.push(ShowJson::from_story(story, snapshot.damage.as_ref(), trusted_now(story, now)));
    }
    let problems = entered.problems.iter().map(|p| ProblemJson { line: p.line, message: &p.message }).collect();
    let Entered { written, known, .. } = *entered;
    output::print_json(&EnterJson { format: FORMAT_VERSION, checked: args.check, written, known, panels, problems })
}
