//! Makes the picture of the bench from what is true: stories and a moment in, a `Scene` out.
//!
//! Absent on purpose: reading clocks (the moment and the zone are handed in), drawing.

mod known;
mod lead;
mod making;
mod pot;
mod pots;
mod room;
mod section;
mod sheets;

pub use known::known_page;
pub use making::making_view;
pub use pots::pots_page;
pub use sheets::{form_view, keys_sheet, map_view, sitting_sheet, story_view};

use super::scene::{Act, Digits, Head, KeyHint, Notice, Pressed, RackLine, Reads, Scene, Section, Urgency};
use super::view::View;
use crate::bench::{Told, believed_now};
use crate::text::{self, Units, clean, countdown, hhmm, when};
use crate::units::{Moment, Span, Stamp};
use crate::work::advice::{Tip, calls, lateness, offers, stages, words};
use crate::work::panel::event::{Call, Kind, Stage};
use crate::work::panel::phase::{Phase, Standing};
use crate::work::panel::story::Story;
use chrono::{DateTime, TimeZone};
use std::fmt::Display;

/// How a picture is told: in which zone and units, and at which moment.
#[derive(Debug, Clone, Copy)]
pub struct Telling<'a, Z> {
    /// The moment.
    pub now: Moment,
    /// The zone of its clock.
    pub zone: &'a Z,
    /// What sizes are told in.
    pub units: Units,
}

/// The wait is nearly over for this long before it ends.
const SOON: Span = Span::from_s(120);

/// The picture of the panel shown; none where the bench is empty.
pub fn scene<Z: TimeZone<Offset: Display>>(view: &View, at: &Telling<'_, Z>) -> Option<Scene> {
    let story = view.story()?;
    let at = &Telling { now: believed_now(story, at.now), ..*at };
    let panel = story.panel();
    let standing = panel.standing(at.now);
    let hand = View::hand(&standing).or(standing.stage);
    let rests = rests(&standing);
    let act = if rests { nothing(&standing) } else { act(story, hand, &standing, view.turned) };
    let missing = room::missing(view, story).filter(|_| standing.phase == Phase::Waiting);
    let tips = tips(story, &standing, hand, at).into_iter().map(|tip| tip.text.to_string());
    let tips: Vec<String> = tips.chain(missing).collect();
    Some(Scene {
        head: head(story, at.units),
        clock: weekday(at.now.wall, at.zone),
        phase: standing.phase,
        urgency: urgency(view, &standing),
        digits: digits(&standing, at.now),
        due: due(story, &standing, at),
        meaning: meaning(view, story, &standing, at),
        section: Section {
            wood: section::wood(panel, at.units),
            front: section::front(story, at),
            back: section::back(story, at),
        },
        remark: pots::remark(view, at.now),
        pots: pots::pots(view, story, &standing, at),
        rack: rack(view, at.now),
        air: room::air(view, at),
        looks: view.room.looks.says().to_vec(),
        then: if rests { then(standing.next) } else { standing_then(story, &standing, hand) },
        lead: lead::lead(view, &standing, hand),
        tip: turn(view, &tips, at.now).cloned().unwrap_or_default(),
        caution: room::caution(view, story, hand, at.now),
        keys: keys(view, &standing, hand),
        notice: notice(view, at.now),
        question: view.question.as_ref().map(|q| q.text.clone()),
        pressed: pressed(view, at),
        far: view.far,
        act,
    })
}

/// One of several, a different one every twenty seconds, so that all come round on a small screen.
fn turn<'a, T>(view: &View, of: &'a [T], now: Moment) -> Option<&'a T> {
    let turn = now.wall.ms().div_euclid(view.eyes(Span::from_s(20)).ms().max(1)).rem_euclid(of.len().max(1) as i64);
    of.get(turn as usize)
}

fn weekday<Z: TimeZone<Offset: Display>>(stamp: Stamp, zone: &Z) -> String {
    let local = DateTime::from_timestamp_millis(stamp.ms()).unwrap_or_default().with_timezone(zone);
    local.format("%a %H:%M").to_string()
}

fn head(story: &Story, units: Units) -> Head {
    let opened = story.panel().opened();
    Head {
        label: opened.label.clone(),
        size_mm: (opened.size.width.mm(), opened.size.height.mm()),
        size: text::size(opened.size, units),
        support: words::support(opened.support).to_owned(),
        recipe: opened.recipe.name.clone(),
    }
}

fn act(story: &Story, hand: Option<Stage>, standing: &Standing, turned: bool) -> Act {
    let opened = story.panel().opened();
    let Some(stage) = hand else { return nothing(standing) };
    let stage = Stage { direction: stage.direction.map(|d| if turned { d.across() } else { d }), ..stage };
    let said = words::act(&stage, &opened.recipe, &opened.size);
    let how = stages::tips(&stage, opened, None).first().map(|tip| tip.text.to_string());
    Act {
        kind: stage.kind,
        face: stage.face,
        direction: stage.direction,
        verb: said.verb.to_owned(),
        object: said.object,
        of: said.of.unwrap_or_default(),
        along: said.along.unwrap_or_default().to_owned(),
        how: how.unwrap_or_default(),
    }
}

/// Whether a wait of hours runs that is an act of its own. Whoever sees its name across the room does not begin what comes
/// after it by mistake; between coats the next act is what has to be seen.
fn rests(standing: &Standing) -> bool {
    standing.phase == Phase::Waiting && standing.stage.is_some_and(|s| matches!(s.kind, Kind::Cure | Kind::Rest))
}

/// What is said where nothing is to be done.
fn nothing(standing: &Standing) -> Act {
    let (verb, object) = match standing.phase {
        Phase::Abandoned => ("Given up", ""),
        Phase::Waiting if standing.stage.is_some_and(|s| s.kind == Kind::Cure) => ("Let it", "cure"),
        Phase::Waiting => ("Let it", "rest"),
        Phase::Finished | Phase::Ready | Phase::Working => ("Ready", "to paint on"),
    };
    Act {
        kind: Kind::Sand,
        face: None,
        direction: None,
        verb: verb.to_owned(),
        object: object.to_owned(),
        of: String::new(),
        along: String::new(),
        how: String::new(),
    }
}

fn urgency(view: &View, standing: &Standing) -> Urgency {
    let ours = view.ringing().iter().any(|a| view.panel().is_some_and(|p| p.id == a.id));
    match (standing.phase, standing.left) {
        (Phase::Ready | Phase::Finished, _) if ours => Urgency::Ringing,
        (Phase::Ready, Some(_)) => Urgency::Over,
        (Phase::Waiting, Some(left)) if left <= SOON => Urgency::Soon,
        (Phase::Waiting, _) => Urgency::Counting,
        (Phase::Working, _) => Urgency::Counting,
        (Phase::Ready, None) | (Phase::Finished | Phase::Abandoned, _) => Urgency::Nothing,
    }
}

fn digits(standing: &Standing, now: Moment) -> Option<Digits> {
    let whole = |span: Span, up: bool| (span.abs().ms() + if up { 999 } else { 0 }).max(0) as u64 / 1000;
    match (standing.phase, standing.left, standing.wait) {
        (Phase::Waiting, Some(left), wait) => {
            let gone = wait.map(|w| 1.0 - left.seconds() / w.span.seconds().max(1.0));
            Some(Digits { seconds: whole(left, true), reads: Reads::Left, gone })
        }
        (Phase::Ready, Some(left), _) => {
            Some(Digits { seconds: whole(left, false), reads: Reads::Over, gone: Some(1.0) })
        }
        (Phase::Working, ..) => {
            Some(Digits { seconds: whole(now.wall - standing.since, false), reads: Reads::Worked, gone: None })
        }
        (Phase::Waiting | Phase::Ready | Phase::Finished | Phase::Abandoned, ..) => None,
    }
}

/// What stands under the digits.
fn due<Z: TimeZone<Offset: Display>>(story: &Story, standing: &Standing, at: &Telling<'_, Z>) -> String {
    let told = |stamp| when(stamp, at.now.wall, at.zone);
    match (standing.phase, standing.due_at) {
        (Phase::Waiting, Some(due)) => {
            let look = calls::calls(story.panel(), standing).into_iter().find(|(call, _)| *call == Call::LookDull);
            match look {
                Some((_, look)) => format!("look for dull from {}, due {}", told(look), told(due)),
                None => format!("until {}", told(due)),
            }
        }
        (Phase::Ready, Some(due)) => format!("was due {}", told(due)),
        (Phase::Working, _) => format!("since {}", told(standing.since)),
        (Phase::Waiting | Phase::Ready, None) | (Phase::Finished | Phase::Abandoned, _) => String::new(),
    }
}

/// What being late, or away, means; while a wait runs, on what it rests.
fn meaning<Z: TimeZone<Offset: Display>>(
    view: &View,
    story: &Story,
    standing: &Standing,
    at: &Telling<'_, Z>,
) -> String {
    if let Some(away) = standing.away {
        return format!("away since {}; a to be back", hhmm(away, at.zone));
    }
    match standing.phase {
        Phase::Ready => lateness::now_means(story.panel(), at.now).map(|tip| tip.text.to_string()).unwrap_or_default(),
        Phase::Abandoned => story.panel().given_up().map(clean).unwrap_or_default(),
        Phase::Waiting => room::of_wait(view, story, at.now),
        Phase::Working | Phase::Finished => String::new(),
    }
}

/// What can be prepared during the wait, then what makes the act come out right.
fn tips<Z: TimeZone<Offset: Display>>(
    story: &Story,
    standing: &Standing,
    hand: Option<Stage>,
    at: &Telling<'_, Z>,
) -> Vec<Tip> {
    let panel = story.panel();
    let mut tips = Vec::new();
    if let (Phase::Waiting, Some(stage), Some(left)) = (standing.phase, standing.stage, standing.left) {
        let due = standing.due_at.map(|due| when(due, at.now.wall, at.zone));
        if stage.kind.by_itself() {
            tips.extend(stages::tips(&stage, panel.opened(), due.as_deref()));
        }
        tips.extend(offers::offers(&stage, standing.next.as_ref(), panel.recipe(), left));
    }
    tips.extend(hand.iter().flat_map(|h| stages::tips(h, panel.opened(), None)));
    tips
}

fn standing_then(story: &Story, standing: &Standing, hand: Option<Stage>) -> String {
    let after = match standing.phase {
        Phase::Waiting => hand.and_then(|h| {
            let mut stages = story.panel().stages().skip_while(move |s| !s.same_place(&h));
            stages.nth(1)
        }),
        Phase::Ready | Phase::Working => standing.next,
        Phase::Finished | Phase::Abandoned => None,
    };
    then(after)
}

fn then(after: Option<Stage>) -> String {
    after.map_or_else(String::new, |stage| match stage.direction {
        Some(direction) => format!("then {stage}, {}", direction.name()),
        None => format!("then {stage}"),
    })
}

/// The other panels, the soonest call first.
fn rack(view: &View, now: Moment) -> Vec<RackLine> {
    let others = view.told().iter().enumerate().filter(|(i, _)| *i != view.shown());
    let mut lines: Vec<_> = others.filter_map(|(_, told)| rack_line(told, now)).collect();
    lines.sort_by_key(|(left, line)| (*left, line.label.clone()));
    lines.into_iter().map(|(_, line)| line).collect()
}

/// How soon a panel calls, and its line.
fn rack_line(told: &Told, now: Moment) -> Option<(Span, RackLine)> {
    let story = told.story.as_ref()?;
    let now = believed_now(story, now);
    let standing = story.panel().standing(now);
    let hand = View::hand(&standing);
    let damaged = told.damage.as_ref().is_some_and(|d| d.kind.blocks());
    let said = match standing.phase {
        Phase::Waiting if standing.stage.is_some_and(|s| s.kind.by_itself()) => standing.stage,
        Phase::Waiting | Phase::Ready | Phase::Working => hand,
        Phase::Finished | Phase::Abandoned => None,
    };
    let act = match (said, damaged) {
        (_, true) => "damaged, see verify".to_owned(),
        (Some(stage), false) => stage.to_string(),
        (None, false) => standing.phase.name().to_owned(),
    };
    let time = match (standing.phase, standing.left) {
        (Phase::Working, _) => "under way".to_owned(),
        (_, Some(left)) => countdown(left),
        (Phase::Ready, None) => "now".to_owned(),
        (Phase::Waiting | Phase::Finished | Phase::Abandoned, None) => String::new(),
    };
    let over = standing.phase == Phase::Ready && standing.left.is_some();
    let soon = standing.left.unwrap_or(Span::from_h(24.0 * 365.0));
    let direction = said.and_then(|s| s.direction);
    Some((soon, RackLine { label: story.panel().opened().label.clone(), act, direction, time, over }))
}

/// The keys worth naming now.
fn keys(view: &View, standing: &Standing, hand: Option<Stage>) -> Vec<KeyHint> {
    let key = |key: &str, does: &str| KeyHint { key: key.to_owned(), does: does.to_owned() };
    let mut keys = Vec::new();
    match standing.phase {
        Phase::Ready | Phase::Working | Phase::Waiting => {
            let does = match hand.map(|h| h.kind) {
                Some(Kind::Check) => "map",
                Some(Kind::Size | Kind::Cloth | Kind::Stipple | Kind::Coat | Kind::Seal) => "laid",
                Some(_) => "done",
                None => "",
            };
            if !does.is_empty() {
                keys.push(key("Space", does));
            }
            if standing.phase == Phase::Ready {
                keys.push(key("s", "begin"));
            }
        }
        Phase::Finished => keys.extend([key("l", "look over"), key("e", "one more")]),
        Phase::Abandoned => {}
    }
    if matches!(standing.stage.map(|s| s.kind), Some(Kind::Stipple | Kind::Coat)) && standing.phase == Phase::Waiting {
        keys.push(key("d", "gone dull"));
    }
    let pot = view.current_pot().and_then(|t| t.story.as_ref());
    if let Some(story) = pot {
        keys.push(key("p", if story.pot().bath().is_some() { "pot out" } else { "pot in" }));
    }
    keys.push(key("u", "take back"));
    // With a pot in use the line is full, and the list of keys tells of the rest.
    if pot.is_none() {
        keys.push(key("f", "far"));
    }
    keys.extend([key("?", "every key"), key("q", "leave")]);
    keys
}

fn notice(view: &View, now: Moment) -> Option<Notice> {
    if let Some(words) = ringing(view) {
        return Some(Notice { text: words, loud: true });
    }
    if saving(view, now) {
        return Some(Notice { text: "saving".to_owned(), loud: false });
    }
    if let Some(damage) = view.panel().and_then(|t| t.damage.as_ref()).filter(|d| d.kind.blocks()) {
        return Some(Notice { text: format!("damaged, {damage}"), loud: true });
    }
    view.said.as_ref().map(|said| Notice { text: said.text.clone(), loud: said.loud })
}

/// A press is answered once it is on disk; after this long the screen says that it is being saved.
pub const SAVING_AFTER: Span = Span::from_ms(200);

/// Whether something has been under way to the disk for long enough to be told.
fn saving(view: &View, now: Moment) -> bool {
    view.saving().is_some_and(|since| now.since(since).abs() >= SAVING_AFTER)
}

/// What rings, in words.
fn ringing(view: &View) -> Option<String> {
    let alarms = view.ringing();
    let all: Vec<_> = alarms.iter().rev().map(|a| a.says()).collect();
    let here = alarms.iter().any(|a| !a.elsewhere);
    let quiets = if here { "any key quiets" } else { "it rings in another window; any key, and then press" };
    (!all.is_empty()).then(|| format!("{} - {quiets}", all.join("; ")))
}

fn pressed<Z: TimeZone<Offset: Display>>(view: &View, at: &Telling<'_, Z>) -> Option<Pressed> {
    let pressed = view.pressed.as_ref().filter(|p| view.panel().is_some_and(|t| t.id == p.id))?;
    let stamp = pressed.at - Span::from_min(f64::from(pressed.back_min));
    let ago = match pressed.back_min {
        0 => "just now".to_owned(),
        n => format!("{n} min earlier"),
    };
    Some(Pressed { what: words::past(&pressed.stage), at: hhmm(stamp, at.zone), ago })
}

/// What is left to say when the bench is left: each panel's next act and its time.
pub fn leaving<Z: TimeZone<Offset: Display>>(view: &View, at: &Telling<'_, Z>) -> Vec<String> {
    let line = |told: &Told| {
        let story = told.story.as_ref()?;
        let now = believed_now(story, at.now);
        let standing = story.panel().standing(now);
        let label = clean(&story.panel().opened().label);
        let due = standing.due_at.map(|due| when(due, now.wall, at.zone));
        let hand = View::hand(&standing).map(|stage| match stage.direction {
            Some(direction) => format!("{stage}, {}", direction.name()),
            None => stage.to_string(),
        });
        Some(match (standing.phase, hand, due) {
            (Phase::Finished, ..) => format!("{label}: finished"),
            (Phase::Abandoned, ..) => format!("{label}: given up"),
            (Phase::Working, Some(hand), _) => format!("{label}: {hand} is under way"),
            (Phase::Ready, Some(hand), Some(due)) => format!("{label}: {hand}, due since {due}"),
            (Phase::Ready, Some(hand), None) => format!("{label}: {hand}, now"),
            (_, Some(hand), Some(due)) => format!("{label}: {hand} at {due}"),
            (_, None, Some(due)) => format!("{label}: rests until {due}"),
            (_, _, None) => label,
        })
    };
    view.told().iter().filter_map(line).collect()
}
