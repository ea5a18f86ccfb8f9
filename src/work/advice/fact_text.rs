//! A story in sentences: what happened, why, and what is to be said of it. Notes and reasons are as the maker typed them.

use super::words::{format_figure, format_past, support_text};
use crate::craft::recipe::Paint;
use crate::text::{UnitSystem, format_mass, format_number, format_size, format_temperature, format_wait_span};
use crate::units::{Entry, Length, Mass, Span, Stamp};
use crate::work::panel::correction::PanelCorrection;
use crate::work::panel::event::{CheckMap, Flaw, PanelEvent, PanelOpened, Roughness, Stage, StageDone, StageKind};
use crate::work::panel::state::IntervalJudgement;
use crate::work::panel::story::PanelStory;
use crate::work::pot::event::PotEvent;
use crate::work::pot::story::PotStory;
use crate::work::story::{CommonEvent, LOST_EVENT, Story, StoryCall, StoryEvent, StoryState};

/// A fact written this long after it happened is told to be late.
const WRITTEN_LATER: Span = Span::from_s(60);

/// One fact of a story, told.
#[derive(Debug, Clone, PartialEq)]
pub struct FactText {
    /// The `seq` of the fact.
    pub seq: u64,
    /// When it happened.
    pub at: Stamp,
    /// How much later it was written down, where that is worth telling.
    pub written_later: Option<Span>,
    /// How many of the facts behind it were written later as well, and so do not say it again.
    pub written_later_next: usize,
    /// What happened, as a sentence without capital and full stop.
    pub text: String,
    /// Why, where a reason was given.
    pub reason: Option<String>,
    /// How it stood to the wait before it, or what is doubtful about it, each as a few words.
    pub remarks: Vec<String>,
    /// What the pot it came from says of it, where pots are known.
    pub pot_remarks: Vec<String>,
    /// Why it has no effect: taken back, or refused by the rules.
    pub no_effect_reason: Option<String>,
}

impl FactText {
    /// `text` is what happened; `format_event` tells the fact a take-back takes back.
    fn new<F: StoryState>(
        story: &Story<F>,
        entry: &Entry<F::Event>,
        text: String,
        format_event: impl Fn(&F::Event) -> String,
    ) -> FactText {
        let gone = story.is_taken_back(entry.seq).then(|| "taken back".to_owned());
        let refused = story.refusal_of(entry.seq).map(|refusal| format!("without effect: {refusal}"));
        let taken_back = entry.event.takes_back().and_then(|seq| story.entry(seq));
        FactText {
            seq: entry.seq,
            at: entry.at,
            written_later: Some(entry.written.wall - entry.at).filter(|late| *late > WRITTEN_LATER),
            written_later_next: 0,
            text: taken_back.map_or(text, |e| format!("taken back: {}", format_event(&e.event))),
            reason: None,
            remarks: entry.replaces.map(|_| "instead of the one taken back".to_owned()).into_iter().collect(),
            pot_remarks: Vec::new(),
            no_effect_reason: gone.or(refused),
        }
    }

    /// What happened, and why.
    pub fn text_with_reason(&self) -> String {
        match &self.reason {
            Some(reason) => format!("{}: {reason}", self.text),
            None => self.text.clone(),
        }
    }
}

/// Every fact in story order, told.
pub fn format_story(story: &PanelStory, units: UnitSystem) -> Vec<FactText> {
    let mut facts =
        story.entries_in_order().into_iter().map(|entry| format_fact(story, entry, units)).collect::<Vec<_>>();
    say_written_later_once(&mut facts);
    facts
}

/// Of facts in a row that were written later, as those of a sheet are, the first says so for all.
pub fn say_written_later_once(facts: &mut [FactText]) {
    for run in facts.chunk_by_mut(|a, b| a.written_later.is_some() == b.written_later.is_some()) {
        if let [first, others @ ..] = run {
            first.written_later_next = if first.written_later.is_some() { others.len() } else { 0 };
            others.iter_mut().for_each(|fact| fact.written_later = None);
        }
    }
}

/// One fact of a panel's story, told.
pub fn format_fact(story: &PanelStory, entry: &Entry<PanelEvent>, units: UnitSystem) -> FactText {
    let judged = story.panel().judgement(entry.seq);
    let text = match &entry.event {
        PanelEvent::Corrected(correction) => {
            let before = said_before(story, entry.seq);
            format!("put right: {}", format_correction(correction, before.as_ref(), units))
        }
        event => format_panel_event(event, judged.map(|j| &j.stage), units),
    };
    FactText {
        reason: panel_event_reason(&entry.event),
        remarks: judged
            .map_or_else(Vec::new, format_deviations)
            .into_iter()
            .chain(story.panel().questions_of(entry.seq).iter().map(ToString::to_string))
            .collect(),
        ..FactText::new(story, entry, text, |event| format_panel_event(event, None, units))
    }
}

/// One fact of a pot's story, told.
pub fn format_pot_fact(story: &PotStory, entry: &Entry<PotEvent>, units: UnitSystem) -> FactText {
    let told = |event: &PotEvent| format_pot_event(event, units);
    FactText {
        reason: if let PotEvent::Discarded { why } = &entry.event { Some(why.clone()) } else { None },
        remarks: story.pot().questions_of(entry.seq).iter().map(ToString::to_string).collect(),
        ..FactText::new(story, entry, told(&entry.event), told)
    }
}

/// What can happen to a panel and a pot alike, as a sentence without capital and full stop.
fn format_common_event<C: StoryCall>(event: &CommonEvent<C>, units: UnitSystem) -> String {
    match event {
        CommonEvent::Noted { text } => format!("note: {text}"),
        CommonEvent::Weighed { mass, offcut } => {
            let beside = offcut.map_or_else(String::new, |o| {
                format!(", a bare offcut {}", format_weighed(o, format_number(o.g(), 2), units))
            });
            format!("weighed {}{beside}", format_weighed(*mass, format_figure(mass.g()), units))
        }
        CommonEvent::Undone { takes_back } => format!("entry {takes_back} taken back"),
        CommonEvent::Alert { call, .. } => format!("called: {}", call.name()),
        CommonEvent::ClockStepped { by } => {
            let way = if *by < Span::ZERO { "back" } else { "on" };
            format!("the clock was set {way} by {}", format_wait_span(*by))
        }
        CommonEvent::Filed(filing) => format!("brought from another shelf, filed as {}", filing.id),
        CommonEvent::Slept { span } => format!("the computer slept for {}", format_wait_span(*span)),
        CommonEvent::Unknown { name } if name == LOST_EVENT => "an entry that was lost to damage".to_owned(),
        CommonEvent::Unknown { name } => format!("something this version does not know: {name}"),
    }
}

/// A mass off a balance, `grams` where it is told in grams.
fn format_weighed(mass: Mass, grams: String, units: UnitSystem) -> String {
    match units {
        UnitSystem::Metric => format!("{grams} g"),
        UnitSystem::Imperial => format_mass(mass, units),
    }
}

/// What happened to a pot, as a sentence without capital and full stop.
fn format_pot_event(event: &PotEvent, units: UnitSystem) -> String {
    let told = |mass: Mass| format_weighed(mass, format_figure(mass.g()), units);
    match event {
        PotEvent::Opened(_) => "opened".to_owned(),
        PotEvent::Soaked => "glue put to soak".to_owned(),
        PotEvent::Melt => "into the bath".to_owned(),
        PotEvent::OutOfBath => "out of the bath".to_owned(),
        PotEvent::Liquid => "liquid".to_owned(),
        PotEvent::Temp { temp } => format_temperature(*temp, units),
        PotEvent::Made(parts) if parts.is_empty() => "made".to_owned(),
        PotEvent::Made(parts) => {
            let each = parts.masses().map(|(name, mass)| format!("{} of {name}", told(mass)));
            format!("made of {}", each.collect::<Vec<_>>().join(", "))
        }
        PotEvent::Brix { brix } => format!("refractometer {} Brix", format_figure(*brix)),
        PotEvent::Strained => "strained".to_owned(),
        PotEvent::Gelled => "gelled".to_owned(),
        PotEvent::Water { mass } => format!("{} of water given back", told(*mass)),
        PotEvent::Emptied => "used up".to_owned(),
        PotEvent::Discarded { .. } => "thrown away".to_owned(),
        PotEvent::Common(common) => format_common_event(common, units),
    }
}

/// What happened, as a sentence without capital and full stop. `stage` is the stage as the story now numbers it; without
/// it the stage the fact was recorded for is told.
pub fn format_panel_event(event: &PanelEvent, stage: Option<&Stage>, units: UnitSystem) -> String {
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
        PanelEvent::Extra { face } => match (stage, face) {
            (Some(s), _) => format!("one more added: {s}"),
            (None, Some(face)) => format!("one more added on the {}", face.name()),
            (None, None) => "one more added".to_owned(),
        },
        PanelEvent::Repeated { .. } => stage.map_or("to be done again".to_owned(), |s| format!("{s} to be done again")),
        PanelEvent::Skipped { stage: recorded, .. } => match of(recorded) {
            Some(s) if s.kind.ends_by_itself() => format!("{s} ended before its time"),
            Some(s) => format!("{s} left out"),
            None => "left out".to_owned(),
        },
        PanelEvent::Away => "away from the bench".to_owned(),
        PanelEvent::Back => "back at the bench".to_owned(),
        PanelEvent::Abandoned { .. } => "given up".to_owned(),
        PanelEvent::Inspected(seen) => super::inspections::format_inspection(seen, units),
        PanelEvent::Thick { points } => format_thickness(points, units),
        PanelEvent::Placed { whereabouts, .. } => whereabouts.words().to_owned(),
        PanelEvent::Corrected(correction) => format!("put right: {}", format_correction(correction, None, units)),
        PanelEvent::Common(common) => format_common_event(common, units),
    }
}

/// What was said of the panel before the fact of that `seq`: as opened, with what was put right till then.
fn said_before(story: &PanelStory, seq: u64) -> Option<PanelOpened> {
    let PanelEvent::Opened(opened) = &story.entries().first()?.event else { return None };
    let mut said = (**opened).clone();
    for entry in story.entries().iter().filter(|e| e.seq < seq && !story.is_taken_back(e.seq)) {
        if let PanelEvent::Corrected(correction) = &entry.event {
            said.correct(correction);
        }
    }
    Some(said)
}

/// What is put right, each with what was said before.
fn format_correction(correction: &PanelCorrection, before: Option<&PanelOpened>, units: UnitSystem) -> String {
    let PanelCorrection { label, size, support, grain, paint } = correction;
    let part = |what: &str, new: String, old: Option<String>| match old {
        Some(old) => format!("{what} {new} (was {old})"),
        None => format!("{what} {new}"),
    };
    let parts = [
        label.as_ref().map(|l| part("label", l.clone(), before.map(|b| b.label.clone()))),
        size.map(|s| part("size", format_size(s, units), before.map(|b| format_size(b.size, units)))),
        support.map(|s| part("board", support_text(s).to_owned(), before.map(|b| support_text(b.support).to_owned()))),
        grain.map(|g| part("grain along the", g.name().to_owned(), before.map(|b| b.grain.name().to_owned()))),
        paint.map(|p| part("for", p.name().to_owned(), before.map(|b| b.paint.name().to_owned()))),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join("; ")
}

fn format_thickness(points: &[Length], units: UnitSystem) -> String {
    let (unit, number): (_, fn(Length) -> String) = match units {
        UnitSystem::Metric => ("mm", |p| format_number(p.mm(), 2)),
        UnitSystem::Imperial => ("in", |p| format_number(p.mm() / Length::MM_PER_IN, 4)),
    };
    let each: Vec<String> = points.iter().take(9).map(|p| number(*p)).collect();
    let more = if points.len() > each.len() { " ..." } else { "" };
    format!("thickness {} {unit}{more}", each.join(", "))
}

/// An act done; a direction recorded goes before the one planned, and a check tells what it showed.
fn format_done(done: &StageDone, stage: Option<Stage>) -> String {
    // Pot and wait are told beside the fact.
    let StageDone { stage: _, direction, pot: _, by, map, wait: _, air_factor: _ } = done;
    let Some(stage) = stage else { return "done".to_owned() };
    let stage = Stage { direction: direction.or(stage.direction), ..stage };
    match (stage.kind, map) {
        (StageKind::Check, map) => {
            format!("{}: {}", format_past(&stage), map.as_ref().map_or("clear".to_owned(), format_check_map))
        }
        (_, None) | (_, Some(_)) => match by {
            Some(by) => format!("{}, by {by}", format_past(&stage)),
            None => format_past(&stage),
        },
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
fn panel_event_reason(event: &PanelEvent) -> Option<String> {
    match event {
        PanelEvent::Repeated { why } => Some(flaw_text(*why).to_owned()),
        PanelEvent::Skipped { why, .. } | PanelEvent::Abandoned { why } => Some(why.clone()),
        PanelEvent::Placed { to, .. } => to.as_ref().map(|to| format!("to {to}")),
        PanelEvent::Opened(_)
        | PanelEvent::Started { .. }
        | PanelEvent::Done(_)
        | PanelEvent::Dull
        | PanelEvent::Extra { .. }
        | PanelEvent::Away
        | PanelEvent::Back
        | PanelEvent::Inspected(_)
        | PanelEvent::Thick { .. }
        | PanelEvent::Corrected(_)
        | PanelEvent::Common(_) => None,
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

/// How a fact stood to the wait before it, where that mattered: early, or after a gap beyond the recipe's bound. Somewhat late
/// is every coat, and is not said.
pub fn format_deviations(judged: &IntervalJudgement) -> Vec<String> {
    let early = judged.early_by.map(|span| format!("{} early", format_wait_span(span)));
    early.into_iter().chain(judged.long_gap.map(format_long_gap)).collect()
}

fn format_long_gap(span: Span) -> String {
    format!("{} gap: bone dry, bonds less well", format_wait_span(span))
}
