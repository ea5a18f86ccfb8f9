//! What typed lines are as facts: the panel found by its name, the stage by its name among those of the panel.

use super::args::{Cli, Command};
use super::context::find_panel;
use super::enter_file::{LineProblem, TypedAct, TypedFact};
use super::panel::panel_act_from_args;
use crate::bench::{Bench, PassEntry};
use crate::text::{format_hhmm, sanitize};
use crate::units::{Id, Stamp};
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::Stage;
use crate::work::panel::stage_kind::StageCount;
use crate::work::panel::state::{Panel, PlanStep};
use crate::work::panel::story::PanelStory;
use crate::work::plan::bench_sheet::StageName;
use chrono::Local;
use clap::Parser;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Facts to be recorded, each with its line, and what is wrong with the others.
#[derive(Debug, Default)]
pub(super) struct TypedEntries {
    pub(super) entries: Vec<PassEntry>,
    /// Of each entry, at its place.
    pub(super) lines: Vec<usize>,
    pub(super) problems: Vec<LineProblem>,
}

/// Makes facts of what is typed, in the order in which it happened.
pub(super) fn make_entries(bench: &mut Bench, facts: &[TypedFact]) -> TypedEntries {
    let mut made = TypedEntries::default();
    let mut drafts: BTreeMap<Id, PanelDraft> = BTreeMap::new();
    let mut ordered: Vec<&TypedFact> = facts.iter().collect();
    ordered.sort_by_key(|fact| (fact.at, fact.line));
    for fact in ordered {
        match make_entry(bench, &mut drafts, fact) {
            Ok(entry) => {
                made.entries.push(entry);
                made.lines.push(fact.line);
            }
            Err(message) => made.problems.push(LineProblem { line: fact.line, message }),
        }
    }
    made.problems.extend(find_rows_out_of_order(facts));
    made
}

/// A panel while its typed acts are gone through.
struct PanelDraft {
    story: Arc<PanelStory>,
    /// The stages named so far.
    taken: Vec<Stage>,
    /// One more of something was typed, so that there may be more of it than the panel has.
    has_extra: bool,
}

fn make_entry(bench: &mut Bench, drafts: &mut BTreeMap<Id, PanelDraft>, fact: &TypedFact) -> Result<PassEntry, String> {
    let id = find_panel(bench, &fact.panel).map_err(|e| e.to_string())?;
    if !drafts.contains_key(&id) {
        let snapshot = bench.load(&id).map_err(|e| e.to_string())?;
        if let Some(damage) = snapshot.blocking_damage() {
            return Err(format!("{id}: {damage}; see `sottile verify`"));
        }
        let story = snapshot.story.ok_or_else(|| format!("the file of {id} has no readable beginning"))?;
        drafts.insert(id.clone(), PanelDraft { story, taken: Vec::new(), has_extra: false });
    }
    let Some(draft) = drafts.get_mut(&id) else { return Err(format!("{id} is not at hand")) };
    let (act, expected_stage) = match &fact.act {
        TypedAct::Stage(name) => (PanelAct::done_as_planned(), Some(find_stage(draft, *name, fact.at)?)),
        TypedAct::Words(words) => (parse_act(bench, words)?, None),
    };
    draft.has_extra |= matches!(act, PanelAct::Extra(_) | PanelAct::Repeat(_));
    Ok(PassEntry { id, act, at: Some(fact.at), expected_stage })
}

/// The act those words are behind `mark PANEL`.
fn parse_act(bench: &Bench, words: &[String]) -> Result<PanelAct, String> {
    let line = ["sottile", "mark", "--panel", "x"].into_iter().chain(words.iter().map(String::as_str));
    let cli = Cli::try_parse_from(line).map_err(|e| {
        let told = e.to_string();
        let first = told.lines().next().unwrap_or_default();
        sanitize(first.strip_prefix("error: ").unwrap_or(first))
    })?;
    let Some(Command::Mark(mark)) = cli.command else { return Err("that is no act".to_owned()) };
    if mark.at.is_some() || mark.json {
        return Err("leave --at and --json out; the time stands at the end of the line".to_owned());
    }
    let Some(command) = mark.act else { return Err("that is no act".to_owned()) };
    match panel_act_from_args(bench, &command).map_err(|e| e.to_string())? {
        PanelAct::Away | PanelAct::Back => {
            Err("away and back are of the whole rack; record them by `sottile mark PANEL away --at TIME`".to_owned())
        }
        PanelAct::Undo { .. } => {
            Err("what is taken back is the last fact recorded, whenever that was; use `sottile mark PANEL undo`"
                .to_owned())
        }
        act => Ok(act),
    }
}

/// The stage of that name that was done then: the one recorded so already, else the next that is still to be done.
fn find_stage(draft: &mut PanelDraft, name: StageName, at: Stamp) -> Result<Stage, String> {
    if name.kind.ends_by_itself() {
        return Err(format!("{name} goes by itself and has no time of its own"));
    }
    let panel = draft.story.panel();
    let stages: Vec<(Stage, &PlanStep)> = panel.stages().zip(panel.steps()).filter(|(s, _)| name.fits(s)).collect();
    let is_taken = |stage: &Stage| draft.taken.iter().any(|taken| taken.is_same_slot(stage));
    let is_known = |step: &PlanStep| step.laid_coat().is_some_and(|laid| laid.done_at.wall == at);
    let known = stages.iter().find(|(stage, step)| is_known(step) && !is_taken(stage));
    let open = || stages.iter().find(|(stage, step)| step.is_open() && !is_taken(stage));
    let found = known.or_else(open).map(|(stage, _)| *stage).or_else(|| next_round(panel, name, draft));
    let label = sanitize(&panel.opened().label);
    let stage = found.ok_or_else(|| match stages.last() {
        None => format!("{label} has no {name}"),
        Some((_, step)) => match step.laid_coat() {
            Some(laid) => {
                format!("{name} of {label} is recorded at {} already", format_hhmm(laid.done_at.wall, &Local))
            }
            None => format!("{name} of {label} is typed already, or was left out"),
        },
    })?;
    draft.taken.push(stage);
    Ok(stage)
}

/// One more than the panel has so far: a round for which a check calls that is typed too, or a coat behind an `extra`.
fn next_round(panel: &Panel, name: StageName, draft: &PanelDraft) -> Option<Stage> {
    let is_counted = match name.kind.row().count {
        StageCount::Round => true,
        StageCount::OfTotal => draft.has_extra,
        StageCount::Single => false,
    };
    let alike = |stage: &Stage| stage.kind == name.kind && name.face.is_none_or(|face| stage.face == Some(face));
    let last = panel.stages().chain(draft.taken.iter().copied()).filter(alike).max_by_key(|stage| stage.number)?;
    let next = Stage { number: last.number.map(|number| number + 1), ..last };
    (is_counted && name.number.is_none_or(|number| next.number == Some(number))).then_some(next)
}

/// Rows of a sheet follow each other in time on each panel.
fn find_rows_out_of_order(facts: &[TypedFact]) -> Vec<LineProblem> {
    let mut last: BTreeMap<&str, &TypedFact> = BTreeMap::new();
    let mut problems = Vec::new();
    for fact in facts.iter().filter(|fact| fact.is_in_row) {
        let before = last.insert(&fact.panel, fact);
        if let Some(before) = before.filter(|before| before.at > fact.at) {
            let hours = [fact.at, before.at].map(|at| format_hhmm(at, &Local));
            problems.push(LineProblem {
                line: fact.line,
                message: format!(
                    "{} on {} is before {} in line {}; was it on another day? Write that over the date above it",
                    hours[0], fact.panel, hours[1], before.line
                ),
            });
        }
    }
    problems
}
