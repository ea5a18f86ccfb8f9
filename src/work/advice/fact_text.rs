//! A panel's story in sentences: what happened, why, and how it stood to its wait.
//!
//! Absent on purpose: printing times of day, choosing what fits on a screen. Notes and reasons are as the maker typed them.

use super::words::{format_past, format_wait_span, support_text};
use crate::craft::recipe::Paint;
use crate::units::{Entry, Span, Stamp};
use crate::work::panel::event::{CheckMap, Flaw, PanelEvent, Roughness, Stage, StageDone, StageKind};
use crate::work::panel::state::IntervalJudgement;
use crate::work::panel::story::PanelStory;

/// One fact of a story, told.
#[derive(Debug, Clone, PartialEq)]
pub struct FactText {
    /// The `seq` of the fact.
    pub seq: u64,
    /// When it happened.
    pub at: Stamp,
    /// What happened, as a sentence without capital and full stop.
    pub text: String,
    /// Why, where a reason was given.
    pub reason: Option<String>,
    /// How it stood to the wait before it, each as a few words.
    pub deviations: Vec<String>,
    /// Why it has no effect: taken back, or refused by the rules.
    pub no_effect_reason: Option<String>,
}

/// Every fact in story order, told.
pub fn format_story(story: &PanelStory) -> Vec<FactText> {
    story.entries_in_order().into_iter().map(|entry| format_fact(story, entry)).collect()
}

/// One fact of that story, told.
pub fn format_fact(story: &PanelStory, entry: &Entry<PanelEvent>) -> FactText {
    let judged = story.panel().judgement(entry.seq);
    let what = if let PanelEvent::Undone { takes_back } = entry.event {
        format_take_back(story, takes_back)
    } else {
        format_panel_event(&entry.event, judged.map(|j| &j.stage))
    };
    let refused = story.refusal_of(entry.seq).map(|refusal| format!("without effect: {refusal}"));
    let gone = story.is_taken_back(entry.seq).then(|| "taken back".to_owned());
    FactText {
        seq: entry.seq,
        at: entry.at,
        text: what,
        reason: event_reason(&entry.event),
        deviations: judged.map_or_else(Vec::new, format_deviations),
        no_effect_reason: gone.or(refused),
    }
}

fn format_take_back(story: &PanelStory, seq: u64) -> String {
    let fact_there = story.entries().iter().find(|e| e.seq == seq);
    fact_there.map_or_else(
        || format!("fact {seq} taken back"),
        |e| format!("taken back: {}", format_panel_event(&e.event, None)),
    )
}

/// What happened, as a sentence without capital and full stop. `stage` is the stage as the story now numbers it; without
/// it the stage the fact was recorded for is told.
pub fn format_panel_event(event: &PanelEvent, stage: Option<&Stage>) -> String {
    let of = |recorded: &Option<Stage>| stage.copied().or(*recorded);
    match event {
        PanelEvent::Opened(o) => format!(
            "opened: {}, {}, recipe {}",
            support_text(o.support),
            match o.paint {
                Paint::Oil => "for oil",
                Paint::Tempera => "for tempera",
                Paint::Gilding => "for gilding",
            },
            o.recipe.name
        ),
        PanelEvent::Started { stage: recorded } => of(recorded).map_or("begun".to_owned(), |s| format!("{s} begun")),
        PanelEvent::Done(done) => format_done(done, of(&done.stage)),
        PanelEvent::Dull => stage.map_or("the gloss gone: dull".to_owned(), |s| format!("{s} gone dull")),
        PanelEvent::Noted { text } => format!("note: {text}"),
        PanelEvent::Weighed { mass } => format!("weighed: {} g", super::words::format_figure(mass.g())),
        PanelEvent::Extra => stage.map_or("one more added".to_owned(), |s| format!("one more added: {s}")),
        PanelEvent::Repeated { .. } => stage.map_or("to be done again".to_owned(), |s| format!("{s} to be done again")),
        PanelEvent::Skipped { stage: recorded, .. } => match of(recorded) {
            Some(s) if s.kind.ends_by_itself() => format!("{s} ended before its time"),
            Some(s) => format!("{s} left out"),
            None => "left out".to_owned(),
        },
        PanelEvent::Away => "away from the bench".to_owned(),
        PanelEvent::Back => "back at the bench".to_owned(),
        PanelEvent::Undone { takes_back } => format!("fact {takes_back} taken back"),
        PanelEvent::Abandoned { .. } => "given up".to_owned(),
        PanelEvent::Inspected(seen) => super::inspections::format_inspection(seen),
        PanelEvent::Alert { call, .. } => format!("called: {}", call.name()),
        PanelEvent::ClockStepped { by } if *by < Span::ZERO => {
            format!("the clock was set back by {}", format_wait_span(*by))
        }
        PanelEvent::ClockStepped { by } => format!("the clock was set on by {}", format_wait_span(*by)),
        PanelEvent::Slept { span } => format!("the computer slept for {}", format_wait_span(*span)),
        // What mending leaves in the place of a line that could not be saved.
        PanelEvent::Unknown { name: fact } if fact == "lost" => "a fact that was lost to damage".to_owned(),
        PanelEvent::Unknown { name: fact } => format!("a fact this version does not know: {fact}"),
    }
}

/// An act done; a direction recorded goes before the one planned, and a check tells what it showed.
fn format_done(done: &StageDone, stage: Option<Stage>) -> String {
    let Some(stage) = stage else { return "done".to_owned() };
    let stage = Stage { direction: done.direction.or(stage.direction), ..stage };
    match (stage.kind, &done.map) {
        (StageKind::Check, map) => {
            format!("{}: {}", format_past(&stage), map.as_ref().map_or("clear".to_owned(), format_check_map))
        }
        (_, None) | (_, Some(_)) => format_past(&stage),
    }
}

/// What a check's map showed: "clear", "3 of 9 areas grey, 1 of them much".
pub fn format_check_map(map: &CheckMap) -> String {
    let areas: Vec<Roughness> = map.rows().iter().flatten().copied().collect();
    let grey = areas.iter().filter(|low| **low != Roughness::None).count();
    let much = areas.iter().filter(|low| **low == Roughness::Much).count();
    match (grey, much) {
        (0, _) => "clear".to_owned(),
        (_, 0) => format!("{grey} of {} areas grey", areas.len()),
        (_, _) => format!("{grey} of {} areas grey, {much} of them much", areas.len()),
    }
}

/// The reason given with a fact, if it has one.
pub fn event_reason(event: &PanelEvent) -> Option<String> {
    match event {
        PanelEvent::Repeated { why } => Some(flaw_text(*why).to_owned()),
        PanelEvent::Skipped { why, .. } | PanelEvent::Abandoned { why } => Some(why.clone()),
        PanelEvent::Opened(_)
        | PanelEvent::Started { .. }
        | PanelEvent::Done(_)
        | PanelEvent::Dull
        | PanelEvent::Noted { .. }
        | PanelEvent::Weighed { .. }
        | PanelEvent::Extra
        | PanelEvent::Away
        | PanelEvent::Back
        | PanelEvent::Inspected(_)
        | PanelEvent::Undone { .. }
        | PanelEvent::Alert { .. }
        | PanelEvent::ClockStepped { .. }
        | PanelEvent::Slept { .. }
        | PanelEvent::Unknown { .. } => None,
    }
}

/// What was wrong with an act, as a reason.
pub const fn flaw_text(flaw: Flaw) -> &'static str {
    match flaw {
        Flaw::Lumpy => "lumpy",
        Flaw::Thick => "too thick",
        Flaw::Thin => "too thin",
        Flaw::Direction => "laid in the wrong direction",
        Flaw::Other => "another reason",
    }
}

/// How a fact stood to the wait before it, all of it: early, late, after a long gap.
pub fn format_deviations(judged: &IntervalJudgement) -> Vec<String> {
    let early = judged.early_by.map(|span| format!("{} early", format_wait_span(span)));
    let late = judged.late_by.map(|span| format!("{} late", format_wait_span(span)));
    early.into_iter().chain(late).chain(judged.long_gap.map(format_long_gap)).collect()
}

fn format_long_gap(span: Span) -> String {
    format!("{} gap: bone dry, bonds less well", format_wait_span(span))
}
