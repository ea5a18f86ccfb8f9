//! A panel's story in sentences: what happened, why, and how it stood to its wait.
//!
//! Absent on purpose: printing times of day, choosing what fits on a screen. Notes and reasons are as the maker typed them.

use super::words::{lasting, past, support};
use crate::craft::recipe::Paint;
use crate::units::{Entry, Span, Stamp};
use crate::work::panel::event::{CheckMap, Done, Event, Flaw, Kind, Low, Stage};
use crate::work::panel::story::Story;
use crate::work::panel::wait::Judgement;

/// One fact of a story, told.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    /// The `seq` of the fact.
    pub seq: u64,
    /// When it happened.
    pub at: Stamp,
    /// What happened, as a sentence without capital and full stop.
    pub what: String,
    /// Why, where a reason was given.
    pub why: Option<String>,
    /// How it stood to the wait before it, each as a few words.
    pub stood: Vec<String>,
    /// Why it has no effect: taken back, or refused by the rules.
    pub no_effect: Option<String>,
}

/// Every fact in story order, told.
pub fn story(story: &Story) -> Vec<Told> {
    story.in_order().into_iter().map(|entry| told(story, entry)).collect()
}

/// One fact of that story, told.
pub fn told(story: &Story, entry: &Entry<Event>) -> Told {
    let judged = story.panel().judgement(entry.seq);
    let what = if let Event::Undone { takes_back } = entry.event {
        taken_back(story, takes_back)
    } else {
        fact(&entry.event, judged.map(|j| &j.stage))
    };
    let refused = story.refusal_of(entry.seq).map(|refusal| format!("without effect: {refusal}"));
    let gone = story.was_taken_back(entry.seq).then(|| "taken back".to_owned());
    Told {
        seq: entry.seq,
        at: entry.at,
        what,
        why: why(&entry.event),
        stood: judged.map_or_else(Vec::new, stood),
        no_effect: gone.or(refused),
    }
}

fn taken_back(story: &Story, seq: u64) -> String {
    let fact_there = story.entries().iter().find(|e| e.seq == seq);
    fact_there.map_or_else(|| format!("fact {seq} taken back"), |e| format!("taken back: {}", fact(&e.event, None)))
}

/// What happened, as a sentence without capital and full stop. `stage` is the stage as the story now numbers it; without
/// it the stage the fact was recorded for is told.
pub fn fact(event: &Event, stage: Option<&Stage>) -> String {
    let of = |recorded: &Option<Stage>| stage.copied().or(*recorded);
    match event {
        Event::Opened(o) => format!(
            "opened: {}, {}, recipe {}",
            support(o.support),
            match o.paint {
                Paint::Oil => "for oil",
                Paint::Tempera => "for tempera",
                Paint::Gilding => "for gilding",
            },
            o.recipe.name
        ),
        Event::Started { stage: recorded } => of(recorded).map_or("begun".to_owned(), |s| format!("{s} begun")),
        Event::Done(done) => finished(done, of(&done.stage)),
        Event::Dull => stage.map_or("the gloss gone: dull".to_owned(), |s| format!("{s} gone dull")),
        Event::Noted { text } => format!("note: {text}"),
        Event::Weighed { mass } => format!("weighed: {} g", super::words::figure(mass.g())),
        Event::Extra => stage.map_or("one more added".to_owned(), |s| format!("one more added: {s}")),
        Event::Repeated { .. } => stage.map_or("to be done again".to_owned(), |s| format!("{s} to be done again")),
        Event::Skipped { stage: recorded, .. } => match of(recorded) {
            Some(s) if s.kind.by_itself() => format!("{s} ended before its time"),
            Some(s) => format!("{s} left out"),
            None => "left out".to_owned(),
        },
        Event::Away => "away from the bench".to_owned(),
        Event::Back => "back at the bench".to_owned(),
        Event::Undone { takes_back } => format!("fact {takes_back} taken back"),
        Event::Abandoned { .. } => "given up".to_owned(),
        Event::Inspected(seen) => super::inspections::told(seen),
        Event::Alert { call, .. } => format!("called: {}", call.name()),
        Event::ClockStepped { by } if *by < Span::ZERO => format!("the clock was set back by {}", lasting(*by)),
        Event::ClockStepped { by } => format!("the clock was set on by {}", lasting(*by)),
        Event::Slept { span } => format!("the computer slept for {}", lasting(*span)),
        // What mending leaves in the place of a line that could not be saved.
        Event::Newer { fact } if fact == "lost" => "a fact that was lost to damage".to_owned(),
        Event::Newer { fact } => format!("a fact this version does not know: {fact}"),
    }
}

/// An act done; a direction recorded goes before the one planned, and a check tells what it showed.
fn finished(done: &Done, stage: Option<Stage>) -> String {
    let Some(stage) = stage else { return "done".to_owned() };
    let stage = Stage { direction: done.direction.or(stage.direction), ..stage };
    match (stage.kind, &done.map) {
        (Kind::Check, map) => format!("{}: {}", past(&stage), map.as_ref().map_or("clear".to_owned(), showed)),
        (_, None) | (_, Some(_)) => past(&stage),
    }
}

/// What a check's map showed: "clear", "3 of 9 areas grey, 1 of them much".
pub fn showed(map: &CheckMap) -> String {
    let areas: Vec<Low> = map.rows().iter().flatten().copied().collect();
    let grey = areas.iter().filter(|low| **low != Low::None).count();
    let much = areas.iter().filter(|low| **low == Low::Much).count();
    match (grey, much) {
        (0, _) => "clear".to_owned(),
        (_, 0) => format!("{grey} of {} areas grey", areas.len()),
        (_, _) => format!("{grey} of {} areas grey, {much} of them much", areas.len()),
    }
}

/// The reason given with a fact, if it has one.
pub fn why(event: &Event) -> Option<String> {
    match event {
        Event::Repeated { why } => Some(flaw(*why).to_owned()),
        Event::Skipped { why, .. } | Event::Abandoned { why } => Some(why.clone()),
        Event::Opened(_)
        | Event::Started { .. }
        | Event::Done(_)
        | Event::Dull
        | Event::Noted { .. }
        | Event::Weighed { .. }
        | Event::Extra
        | Event::Away
        | Event::Back
        | Event::Inspected(_)
        | Event::Undone { .. }
        | Event::Alert { .. }
        | Event::ClockStepped { .. }
        | Event::Slept { .. }
        | Event::Newer { .. } => None,
    }
}

/// What was wrong with an act, as a reason.
pub const fn flaw(flaw: Flaw) -> &'static str {
    match flaw {
        Flaw::Lumpy => "lumpy",
        Flaw::Thick => "too thick",
        Flaw::Thin => "too thin",
        Flaw::Direction => "laid in the wrong direction",
        Flaw::Other => "another reason",
    }
}

/// How a fact stood to the wait before it, all of it: early, late, after a long gap.
pub fn stood(judged: &Judgement) -> Vec<String> {
    let early = judged.early.map(|span| format!("{} early", lasting(span)));
    let late = judged.late.map(|span| format!("{} late", lasting(span)));
    early.into_iter().chain(late).chain(judged.gap.map(gap)).collect()
}

fn gap(span: Span) -> String {
    format!("{} gap: bone dry, bonds less well", lasting(span))
}
