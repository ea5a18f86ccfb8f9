//! What is being saved, and what came of it.
//!
//! Nothing is shown as done before it is on disk, and what was typed or marked stays until then.

use super::{JustPressed, Kept, Over, Request, STILL_SAVING, Said, View};
use crate::app::compare::Compare;
use crate::bench::{NotRecorded, Told};
use crate::text::hhmm;
use crate::units::{Moment, Span};
use crate::work::advice::told::told as in_words;
use crate::work::advice::words;
use crate::work::panel::act::Act;
use crate::work::panel::event::{Event, Stage};
use crate::work::panel::refusal::Refusal;
use chrono::FixedOffset;

/// A request the journals have not answered yet. They answer in the order asked.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Pending {
    pub(super) since: Moment,
    pub(super) what: What,
}

/// What a request is for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum What {
    /// An act done, of that stage where the maker saw one.
    Done(Option<Stage>),
    /// Any other fact.
    Fact,
    /// The time of that stage's fact, so many minutes earlier.
    Time { stage: Stage, min: u32 },
    /// Panels opened.
    Opening,
    /// Something about pots or the air.
    Pot,
    /// The shelf read.
    Reading,
    /// A look at a finished panel.
    Look,
}

impl What {
    pub(super) fn of(act: &Act, seen: Option<Stage>) -> What {
        match act {
            Act::Done { .. } => What::Done(seen),
            Act::Start
            | Act::Dull
            | Act::Note(_)
            | Act::Weigh(_)
            | Act::Extra
            | Act::Repeat(_)
            | Act::Skip(_)
            | Act::Away
            | Act::Back
            | Act::Undo { .. }
            | Act::Inspect(_)
            | Act::Abandon(_) => What::Fact,
        }
    }
}

impl View {
    /// Since when the oldest unanswered request is under way.
    pub fn saving(&self) -> Option<Moment> {
        self.pending.front().map(|p| p.since)
    }

    /// Takes in what came of a request. It may want something in its turn: a call that is written down rings.
    pub fn kept(&mut self, kept: Kept, now: Moment) -> Vec<Request> {
        match kept {
            Kept::Changed(told) => self.changed(told, now),
            Kept::Opened(told) => self.opened(told, now),
            Kept::News(told) => self.news(told, now),
            Kept::Noted(told, event) => {
                let id = told.id.clone();
                self.adopt(vec![told]);
                return self.noted(&id, &event, now);
            }
            Kept::Compared(side) => {
                self.pending.pop_front();
                // Whoever has begun something else meanwhile is not taken from it.
                if self.over == Over::Nothing {
                    self.over = Over::Compare(Box::new(Compare::new(side)));
                }
            }
            Kept::Sat(panels, left_out) => self.sat(panels, left_out, now),
            Kept::Looked(told) => self.looked(told, now),
            Kept::NotLooked(id, why) => self.not_looked(&id, &why, now),
            Kept::NotNoted(id, event, why) => return self.not_noted(&id, &event, &why, now),
            Kept::Not(why) => self.failed(&why, now),
            Kept::LowSpace(mb) => {
                self.say(format!("only {mb} MB are left on this disk; make room before it is full"), true, now);
            }
            Kept::Pot(kept) => return self.pot_kept(kept, now),
        }
        Vec::new()
    }

    /// Our own press is on disk.
    fn changed(&mut self, told: Vec<Told>, now: Moment) {
        let Some(Pending { since, what }) = self.pending.pop_front() else {
            return self.adopt(told);
        };
        // What went wrong before this press is mended by it; what went wrong since is not.
        let mended = |s: &Said| s.text == STILL_SAVING || s.since.since(since) <= Span::ZERO;
        if self.said.as_ref().is_some_and(|s| s.loud && mended(s)) {
            self.said = None;
        }
        self.question = None;
        self.panel_pressed(matches!(what, What::Done(_)));
        match what {
            What::Done(stage) => {
                self.close_typing();
                self.pressed = told.first().and_then(|t| just_pressed(t, stage?, now));
            }
            What::Fact => {
                self.close_typing();
                if let Some(words) = fact_in_words(&told) {
                    self.say(words, false, now);
                }
            }
            What::Time { stage, min } => self.say(format!("{} {min} min earlier", words::past(&stage)), false, now),
            What::Opening | What::Reading | What::Pot | What::Look => {}
        }
        self.adopt(told);
    }

    fn opened(&mut self, told: Vec<Told>, now: Moment) {
        self.pending.pop_front();
        self.over = Over::Nothing;
        self.said = None;
        let first = told.first().map(|t| t.id.clone());
        if let Some(words) = fact_in_words(&told) {
            self.say(words, false, now);
        }
        self.adopt(told);
        if let Some(at) = self.told.iter().position(|t| Some(&t.id) == first.as_ref()) {
            self.shown = at;
            self.turned = false;
        }
    }

    /// What was typed, chosen or marked is on disk and need not be kept open.
    fn close_typing(&mut self) {
        match &self.over {
            Over::Line(_) | Over::Flaws(_) | Over::Map(_) => self.over = Over::Nothing,
            Over::Nothing
            | Over::Keys(_)
            | Over::Story(_)
            | Over::Form(_)
            | Over::Pots(_)
            | Over::Compare(_)
            | Over::Sitting(_) => {}
        }
    }

    /// Somebody else wrote. What the program of another window noticed by itself is no news to the maker.
    fn news(&mut self, told: Vec<Told>, now: Moment) {
        let mut by_hand = None;
        let shown = self.panel().map(|p| p.id.clone());
        for new in &told {
            let Some(story) = &new.story else { continue };
            let known = self.told.iter().find(|t| t.id == new.id).and_then(|t| t.story.as_ref());
            let known = known.map_or(0, |s| s.entries().len());
            for entry in story.entries().iter().skip(known) {
                self.raised_elsewhere(&new.id, story, entry, now);
                let event = &entry.event;
                let made = event.can_be_taken_back() || matches!(event, Event::Undone { .. } | Event::Newer { .. });
                if made && shown.as_ref() == Some(&new.id) {
                    by_hand = Some(in_words(story, entry).what);
                }
            }
        }
        self.adopt(told);
        if let Some(what) = by_hand {
            self.question = None;
            if self.said.as_ref().is_none_or(|s| !s.loud) {
                self.say(format!("another window: {what}"), false, now);
            }
        }
    }

    /// Nothing was recorded: the words stay, and the press can be repeated.
    fn failed(&mut self, why: &NotRecorded, now: Moment) {
        let what = self.pending.pop_front().map(|p| p.what);
        let why = in_full(why, now);
        match (&mut self.over, what) {
            (_, Some(What::Time { stage, min })) => {
                let what = words::past(&stage);
                self.say(format!("{what}: it does not stand {min} min earlier, {why}"), true, now);
            }
            (Over::Form(form), Some(What::Opening)) => form.problem = why,
            (Over::Line(line), Some(What::Fact)) => line.problem = why,
            (Over::Map(map), Some(What::Done(_))) => map.hint = why,
            (Over::Flaws(_), Some(What::Fact)) => {
                self.over = Over::Nothing;
                self.say(why, true, now);
            }
            (_, _) => self.say(why, true, now),
        }
    }

    /// Puts what is told now in the place of what was told before; the panel shown stays the one shown.
    pub(super) fn adopt(&mut self, told: Vec<Told>) {
        let before = self.at_hand();
        for new in told {
            match self.told.iter_mut().find(|t| t.id == new.id) {
                Some(old) => *old = new,
                None => self.told.push(new),
            }
        }
        self.pots_beside();
        // The other direction was meant for that act and no other.
        let after = self.at_hand();
        if before.zip(after).is_none_or(|(before, after)| !before.same_place(&after)) {
            self.turned = false;
        }
    }
}

/// Why nothing was recorded; a press for a stage that somebody else has done is told when that was.
pub(super) fn in_full(why: &NotRecorded, now: Moment) -> String {
    let NotRecorded::Refused(Refusal::NoLongerAtHand { seen, recorded_at }) = why else { return why.to_string() };
    match FixedOffset::east_opt(now.offset_min.saturating_mul(60)) {
        Some(zone) => format!("{seen}: recorded at {} by another window", hhmm(*recorded_at, &zone)),
        None => format!("{seen}: recorded by another window"),
    }
}

fn just_pressed(told: &Told, stage: Stage, now: Moment) -> Option<JustPressed> {
    let last = told.story.as_ref()?.last_standing()?;
    let Event::Done(done) = &last.event else { return None };
    let stage = Stage { direction: done.direction.or(stage.direction), ..stage };
    Some(JustPressed { id: told.id.clone(), seq: last.seq, stage, at: last.at, back_min: 0, since: now })
}

/// The fact just written, in words, and whose it is. Leaving and coming back are written to several panels and are the
/// maker's own.
fn fact_in_words(told: &[Told]) -> Option<String> {
    let last = |t: &Told| {
        let story = t.story.clone()?;
        let entry = story.entries().last()?.clone();
        Some((story, entry))
    };
    let all: Vec<_> = told.iter().filter_map(last).collect();
    if let Some((story, entry)) = all.iter().find(|(_, e)| matches!(e.event, Event::Away | Event::Back)) {
        return Some(in_words(story, entry).what);
    }
    let (story, entry) = all.first()?;
    Some(format!("{}: {}", story.panel().opened().label, in_words(story, entry).what))
}
