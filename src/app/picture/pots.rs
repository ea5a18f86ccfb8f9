//! The pots in a few lines beside the bench, the air, and the pages of the pots.
//!
//! Absent on purpose: the making (`making`), drawing.

use super::{Telling, pot};
use crate::app::page::{Lead, Page, Paragraph};
use crate::app::scene::{KeyHint, PotLines};
use crate::app::sheets::{FormField, FormView};
use crate::app::view::{PotForm, PotLine, View};
use crate::bench::{Told, believed_now};
use crate::text::{countdown, hhmm, temperature, when};
use crate::units::{Moment, Span, Stamp};
use crate::work::advice::pots as in_words;
use crate::work::panel;
use crate::work::pot::event::Kind;
use crate::work::pot::fold::{Body, Pot};
use crate::work::pot::phase::{Phase, Standing};
use crate::work::pot::story::Story;
use chrono::TimeZone;
use std::fmt::Display;

use super::sheets::{AsForm, key};

/// The most lines of one pot beside the bench.
const LINES_MAX: usize = 4;

/// The pots beside the bench, the one in use first; without any, the recipe's plain line.
pub(super) fn pots<Z: TimeZone<Offset: Display>>(
    view: &View,
    panel: &panel::story::Story,
    standing: &panel::phase::Standing,
    at: &Telling<'_, Z>,
) -> Vec<PotLines> {
    let current = view.current_pot().map(|t| t.id.clone());
    let mut list = view.pot_list();
    list.retain(|t| t.in_use());
    list.sort_by_key(|t| Some(&t.id) != current.as_ref());
    let of_current = |t: &Told<Pot>| Some(&t.id) == current.as_ref();
    let lines = list.iter().filter_map(|t| Some((of_current(t), one(view, t.story.as_deref()?, at))));
    // Of the others only those that want something, or change by themselves, need be seen from afar.
    let mut lines: Vec<PotLines> = lines.filter(|(current, l)| *current || l.calls).map(|(_, l)| l).collect();
    if !fits_the_coat(view) {
        lines.extend(pot::lines(panel, standing, at));
    }
    lines
}

/// Whether a pot of the kind the coat at hand needs is in use.
fn fits_the_coat(view: &View) -> bool {
    let kind = view.story().and_then(|s| s.panel().at_hand()).and_then(|s| Kind::of_stage(s.kind));
    let has = |t: &&Told<Pot>| t.in_use() && t.story.as_ref().map(|s| s.pot().opened().kind) == kind;
    view.around().pots.iter().any(|t| has(&t))
}

/// One pot: what is wanted first, then how it stands, then the forecast.
fn one<Z: TimeZone<Offset: Display>>(view: &View, story: &Story, at: &Telling<'_, Z>) -> PotLines {
    let now = believed_now(story, at.now);
    let pot = story.pot();
    let standing = view.around().standing(story, now);
    let mut wanted = Vec::new();
    let mut lines = body(pot, &standing, now, at.zone);
    if let Some(span) = standing.bath_now {
        let over = span >= Span::from_min(pot.recipe().gesso.melt_min);
        if over {
            wanted.push("out of the bath now".to_owned());
        }
        lines.insert(0, format!("in the bath {}", up(span)));
    }
    if let Some(soak) = standing.soak.filter(|s| s.left <= Span::ZERO) {
        wanted.push(format!("soaked since {}: melt it", when(soak.due_at, now.wall, at.zone)));
    }
    if standing.overheated.is_some() {
        lines.push("overheated: try if it gels".to_owned());
    }
    let forecast = view.around().forecast(pot);
    if let Some(coat) = view.around().for_coat(pot, forecast.as_ref(), at.now) {
        let mut say = |what: &str, stamp: Stamp| match stamp <= now.wall {
            true => wanted.push(format!("{what} now")),
            false => lines.push(format!("{what} at {}", hhmm(stamp, at.zone))),
        };
        if let Some(by) = coat.bath_by {
            say("into the bath", by);
        }
        if coat.bath_by.is_none_or(|by| by > now.wall) {
            say("thin the bowl", coat.bowl_at);
        }
    }
    if let Some(f) = forecast.filter(|_| pot.body() == Body::Liquid && pot.bath().is_none()) {
        let left = f.gels_at - now.wall;
        let spread = f.spread.minutes().ceil().max(1.0);
        let said = match left > Span::ZERO {
            true => format!("estimate: gels in {:.0} ±{spread:.0} min", left.minutes()),
            false => "estimate: a jelly by now".to_owned(),
        };
        lines.insert(1.min(lines.len()), said);
    }
    let calls = !wanted.is_empty();
    wanted.extend(lines);
    wanted.truncate(LINES_MAX);
    PotLines { label: pot.opened().label.clone(), lines: wanted, calls }
}

/// A time that counts up.
fn up(span: Span) -> String {
    countdown(Span::ZERO - span.abs()).trim_start_matches('+').to_owned()
}

/// How it stands by its marks.
fn body<Z: TimeZone<Offset: Display>>(pot: &Pot, standing: &Standing, now: Moment, zone: &Z) -> Vec<String> {
    let since = |word: &str| format!("{word} since {}", when(standing.since, now.wall, zone));
    vec![match (standing.phase, standing.soak) {
        (Phase::Soaking, Some(soak)) if soak.left > Span::ZERO => {
            format!("soak until {}", when(soak.due_at, now.wall, zone))
        }
        (Phase::Soaking, Some(_)) => return Vec::new(),
        (Phase::Soaking, None) if pot.opened().kind == Kind::Size => "dry glue, to be soaked".to_owned(),
        (Phase::Soaking, None) => "nothing marked yet".to_owned(),
        (Phase::Melting, _) => since("melting"),
        (Phase::Liquid, _) => since("liquid"),
        (Phase::Gelled, _) => since("gelled"),
        (Phase::Empty, _) => since("used up"),
        (Phase::Discarded, _) => since("thrown away"),
    }]
}

/// What is to be known before the coat at hand: what a gap means, else what is to be said of the pot.
pub(super) fn remark(view: &View, now: Moment) -> String {
    let remarks = view.remarks(now);
    let (first, more, put_away) = match (view.gap(), &remarks[..]) {
        ([first, more @ ..], _) => (first.to_string(), more.len() + remarks.len(), true),
        ([], [first, more @ ..]) => (first.to_string(), more.len(), false),
        ([], []) => return String::new(),
    };
    let more = if more > 0 { format!("{more} more") } else { "where from".to_owned() };
    let put_away = if put_away { ", x puts it away" } else { "" };
    format!("(i: {more}{put_away}) {first}")
}

/// What stands over everything: what rings, a question, what went wrong.
pub(super) fn problem(view: &View, now: Moment) -> String {
    let notice = super::notice(view, now).filter(|n| n.loud || view.question.is_none()).map(|n| n.text);
    let question = view.question.as_ref().map(|q| q.text.clone());
    question.into_iter().chain(notice).collect::<Vec<_>>().join(" - ")
}

/// The pots, and the one under the cursor in full.
pub fn pots_page<Z: TimeZone<Offset: Display>>(view: &View, cursor: usize, at: &Telling<'_, Z>) -> Page {
    let list = view.pot_list();
    let in_use = view.current_pot().map(|t| t.id.clone());
    let choice = |t: &&Told<Pot>| {
        let story = t.story.as_ref()?;
        let now = believed_now(story, at.now);
        let standing = view.around().standing(story, now);
        let mut said = body(story.pot(), &standing, now, at.zone);
        if let Some(into) = standing.in_bath {
            said.push(format!("in the bath since {}", when(into, now.wall, at.zone)));
        }
        if let Some(soak) = standing.soak.filter(|s| s.left <= Span::ZERO) {
            said.push(format!("soaked since {}", when(soak.due_at, now.wall, at.zone)));
        }
        if Some(&t.id) == in_use.as_ref() {
            said.insert(0, "IN USE".to_owned());
        }
        let opened = story.pot().opened();
        let kind = if opened.label.contains(opened.kind.name()) { "" } else { opened.kind.name() };
        Some((format!("{} {kind}", opened.label).trim().to_owned(), said.join(", ")))
    };
    let mut paragraphs: Vec<Paragraph> =
        list.get(cursor).and_then(|t| t.story.as_ref()).map_or_else(Vec::new, |story| details(view, story, at));
    if list.is_empty() {
        paragraphs
            .push(Paragraph::new(Lead::Plain, "No pot is recorded yet. + opens one; f leads through the making."));
    }
    Page {
        title: "The pots".to_owned(),
        choices: list.iter().filter_map(choice).collect(),
        at: cursor,
        paragraphs,
        problem: problem(view, at.now),
        keys: pot_keys(),
    }
}

fn pot_keys() -> Vec<KeyHint> {
    vec![
        key("Enter", "this one is in use"),
        key("p", "bath in/out"),
        key("l", "liquid"),
        key("j", "a jelly"),
        key("t", "thermometer"),
        key("g", "weigh"),
        key("a", "water added"),
        key("o", "soak"),
        key("r", "made"),
        key("s", "strained"),
        key("w", "note"),
        key("u", "take back"),
        key("z", "used up"),
        key("D", "thrown away"),
        key("+", "open one"),
        key("f", "led making"),
        key("Esc", "bench"),
    ]
}

/// A pot in full: strength, melts, forecast, where it is from, and its last facts.
fn details<Z: TimeZone<Offset: Display>>(view: &View, story: &Story, at: &Telling<'_, Z>) -> Vec<Paragraph> {
    let now = believed_now(story, at.now);
    let around = view.around();
    let s = around.standing(story, now);
    let id = &story.pot().opened().id;
    let mut said = Vec::new();
    if let Some(strength) = s.water.glue_g_per_l_water {
        let lost = s.water.lost_pct.map_or_else(String::new, |pct| format!(", {pct:.1} % of its water lost"));
        said.push(format!("glue {strength:.1} g per litre of water{lost}"));
    }
    if let Some(per_100) = s.water.glue_per_100g_filler_g {
        said.push(format!("glue {per_100:.1} g per 100 g of filler"));
    }
    let old = s.age.hours() / 24.0;
    let age = if old >= 1.0 { format!("{old:.0} days old, ") } else { String::new() };
    said.push(format!("{age}melted {} times, {:.0} min in the bath", s.melts, s.bath_all.minutes()));
    if let Some(lot) = around.lot(id) {
        said.push(format!("glue lot {lot}"));
    }
    let line = around.line(id);
    if line.len() > 1 {
        said.push(format!("from {}", line[1..].iter().map(ToString::to_string).collect::<Vec<_>>().join(", from ")));
    }
    let panels = around.panels_from(id);
    said.extend(panels.iter().map(|(panel, n)| format!("{n} {} on {panel}", if *n == 1 { "coat" } else { "coats" })));
    let mut paragraphs = vec![Paragraph::new(Lead::Plain, said.join("; "))];
    if s.overheated.is_some() {
        let hot = s.max.map_or_else(String::new, |t| temperature(t, at.units));
        paragraphs.push(Paragraph {
            lead: Lead::Caution,
            text: format!("overheated ({hot}): the whole batch counts as overheated; try whether it still gels firmly"),
            source: "S. Rivers & N. Umney 2003, p. 648".to_owned(),
        });
    }
    paragraphs.extend(super::known::forecast(view, story, at));
    let facts = story.in_order();
    let shown = facts.iter().rev().filter(|e| !story.was_taken_back(e.seq)).take(6);
    paragraphs.extend(shown.map(|e| {
        let asked: Vec<String> = story.pot().questions_of(e.seq).iter().map(ToString::to_string).collect();
        let asked = if asked.is_empty() { String::new() } else { format!(" ({})", asked.join(" ")) };
        let what = in_words::fact(&e.event);
        Paragraph::new(Lead::Plain, format!("{}  {what}{asked}", when(e.at, now.wall, at.zone)))
    }));
    paragraphs
}

impl AsForm for PotForm {
    fn as_form(&self) -> FormView {
        let field = |f: &crate::app::view::Field| FormField {
            label: f.label.to_owned(),
            value: f.shown(),
            cursor: f.cursor(),
            help: f.help.to_owned(),
            problem: f.problem.clone(),
        };
        FormView {
            title: "A pot".to_owned(),
            fields: self.fields.iter().map(field).collect(),
            focus: self.focus,
            problem: self.problem.clone(),
            keys: vec![
                key("Enter", "open the pot"),
                key("Up Down", "field"),
                key("Left Right", "change"),
                key("Esc", "back"),
            ],
        }
    }
}

impl AsForm for PotLine {
    fn as_form(&self) -> FormView {
        FormView {
            title: self.purpose.question().to_owned(),
            fields: vec![FormField {
                label: self.purpose.question().to_owned(),
                value: self.input.value().to_owned(),
                cursor: self.input.cursor(),
                help: self.purpose.help().to_owned(),
                problem: self.problem.clone(),
            }],
            focus: 0,
            problem: String::new(),
            keys: vec![key("Enter", "keep"), key("Esc", "forget")],
        }
    }
}
