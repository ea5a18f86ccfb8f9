//! A panel's story in sentences: what happened, why, and how it stood to its wait.
//!
//! Absent on purpose: printing times of day, choosing what fits on a screen. Notes and reasons are as the maker typed them.

use super::words::{self, flaw, lasting};
use crate::units::{Entry, Span, Stamp};
use crate::work::panel::event::Event;
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
    let what = words::fact(&entry.event, judged.map(|j| j.stage), story);
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
        | Event::Undone { .. }
        | Event::Alert { .. }
        | Event::ClockStepped { .. }
        | Event::Slept { .. }
        | Event::Newer { .. } => None,
    }
}

/// How a fact stood to the wait before it, all of it: early, late, after a long gap.
pub fn stood(judged: &Judgement) -> Vec<String> {
    let early = judged.early.map(|span| format!("{} early", lasting(span)));
    let late = judged.late.map(|span| format!("{} late", lasting(span)));
    early.into_iter().chain(late).chain(judged.gap.map(gap)).collect()
}

/// The weightiest deviation alone, for the layer list: a long gap before early and late.
pub fn deviation(judged: &Judgement) -> Option<String> {
    stood(judged).pop()
}

fn gap(span: Span) -> String {
    format!("{} gap: bone dry, bonds less well", lasting(span))
}
