//! Looking a finished panel over: how a look is told, when the next is due, and whether a fault grows.
//!
//! Absent on purpose: what a fault may come from (`review::causes`), clocks.

use crate::text::round_to;
use crate::units::{Moment, Span, Stamp};
use crate::work::panel::event::Event;
use crate::work::panel::inspection::{Bow, Crack, CrackAt, CrackRun, Inspection};
use crate::work::panel::phase::Phase;
use crate::work::panel::story::Story;

/// The days after finishing on which a look is worth while: common practice, no source. Cracks have been told of weeks
/// after painting, on grounds months old.
pub const DAYS: [u32; 7] = [1, 3, 7, 14, 28, 90, 365];

/// A look may come this much before its day, in parts of the days, and still be the look of that day (assumed).
pub const EARLY_BY: f64 = 0.1;

/// One look at a panel, in a sentence without capital and full stop.
pub fn told(seen: &Inspection) -> String {
    let mut parts: Vec<String> = Vec::new();
    if seen.sound {
        parts.push("sound".to_owned());
    }
    match no_crack_anywhere(seen) {
        true => parts.push("no crack".to_owned()),
        false => parts.extend(seen.cracks.iter().map(crack)),
    }
    parts.extend(seen.pinholes.map(|n| format!("{n} pinhole{}", if n == 1 { "" } else { "s" })));
    parts.extend(seen.lift.map(|l| format!("lifting by {} mm", round_to(l.mm(), 2))));
    parts.extend(seen.bow.as_ref().map(bow));
    parts.extend(seen.nail.map(|g| format!("nail {g} of 3")));
    parts.extend(seen.rub.map(|g| format!("rub {g} of 3")));
    parts.extend(
        seen.drop_s.map(|d| {
            format!("drops dull after {}, {} and {} s", round_to(d[0], 1), round_to(d[1], 1), round_to(d[2], 1))
        }),
    );
    if seen.mould {
        parts.push("mould".to_owned());
    }
    if seen.no_mould {
        parts.push("no mould".to_owned());
    }
    parts.extend(seen.photo.as_ref().map(|p| format!("photo {p}")));
    parts.extend(seen.note.as_ref().map(|n| format!("note: {n}")));
    format!("inspected: {}", parts.join("; "))
}

/// Looked for in every place and both ways, and not there.
pub fn no_crack() -> Vec<Crack> {
    let ways = |at| CrackRun::ALL.map(|run| Crack { at, grade: 0, run });
    CrackAt::ALL.into_iter().flat_map(ways).collect()
}

fn no_crack_anywhere(seen: &Inspection) -> bool {
    !seen.cracked() && no_crack().iter().all(|none| seen.cracks.contains(none))
}

fn crack(c: &Crack) -> String {
    match c.grade {
        0 => format!("no crack {}, {} the grain", at(c.at), c.run.name()),
        grade => format!("crack {}, {} the grain, grade {grade} of 4", at(c.at), c.run.name()),
    }
}

const fn at(at: CrackAt) -> &'static str {
    match at {
        CrackAt::Edge => "at an edge",
        CrackAt::Field => "in the field",
        CrackAt::Joint => "over a joint",
    }
}

/// A bow with what it comes to: "bow 2 mm over 400 mm (0.5 % of the span, radius 10 m)".
pub fn bow(bow: &Bow) -> String {
    let radius =
        bow.radius().map_or_else(|| "flat".to_owned(), |r| format!("radius {} m", round_to(r.mm() / 1000.0, 2)));
    let pct = round_to(bow.pct_of_span(), 3);
    format!(
        "bow {} mm over {} mm ({pct} % of the span, {radius})",
        round_to(bow.sag.mm(), 2),
        round_to(bow.span.mm(), 1)
    )
}

/// The looks that stand, in the order they happened.
pub fn looks(story: &Story) -> Vec<(Stamp, &Inspection)> {
    let stands = |seq: u64| !story.was_taken_back(seq) && story.refusal_of(seq).is_none();
    let seen = story.in_order().into_iter().filter(|e| stands(e.seq));
    seen.filter_map(|e| if let Event::Inspected(seen) = &e.event { Some((e.at, &**seen)) } else { None }).collect()
}

/// The look that is due or comes next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Due {
    /// The day after finishing it belongs to.
    pub day: u32,
    /// When that day comes.
    pub at: Stamp,
    /// Whether it is due now.
    pub now: bool,
}

fn days(n: u32) -> Span {
    Span::from_h(f64::from(n) * 24.0)
}

/// The look due now, else the next one to come; nothing while the panel is not finished, or once all are done. A day
/// that was missed falls away when the next has come.
pub fn due(story: &Story, now: Moment) -> Option<Due> {
    let standing = story.panel().standing(now);
    if standing.phase != Phase::Finished {
        return None;
    }
    due_after(standing.since, looks(story).last().map(|(at, _)| *at), now.wall)
}

/// [`due`], of a panel finished then and last looked over then.
pub fn due_after(finished: Stamp, last: Option<Stamp>, now: Stamp) -> Option<Due> {
    let done =
        |day: u32| last.is_some_and(|at| (at - finished).ms() as f64 >= days(day).ms() as f64 * (1.0 - EARLY_BY));
    let come = DAYS.into_iter().rev().find(|d| finished + days(*d) <= now);
    if let Some(day) = come.filter(|d| !done(*d)) {
        return Some(Due { day, at: finished + days(day), now: true });
    }
    let next = DAYS.into_iter().find(|d| finished + days(*d) > now && !done(*d))?;
    Some(Due { day: next, at: finished + days(next), now: false })
}

/// For so long the bench reminds of the last look of all, days; a day before it is told of until the next comes. Assumed.
pub const LAST_FOR: u32 = 90;

/// After so long a panel is no longer reminded of, whether or not it was looked over.
pub fn silent_after() -> Span {
    days(DAYS.into_iter().max().unwrap_or(0) + LAST_FOR)
}

/// The moment after that one at which what is due of a panel finished then may change by itself, if it ever does.
pub fn next_change(finished: Stamp, now: Stamp) -> Option<Stamp> {
    let changes = DAYS.into_iter().map(|d| finished + days(d)).chain([finished + silent_after()]);
    changes.filter(|at| *at > now).min()
}

/// What the bench says of looks that are due, the longest due by name; then the same in fewer words. Nothing where none is.
pub fn reminder(due: &[(&str, u32)], key: &str) -> Vec<String> {
    let Some(((label, day), more)) = due.split_first() else { return Vec::new() };
    let more = match more.len() {
        0 => String::new(),
        n => format!(", {n} more"),
    };
    let n = due.len();
    let short = if n == 1 { "1 inspection due".to_owned() } else { format!("{n} inspections due") };
    vec![format!("Inspection due: {label} (day {day}){more}: key {key}"), format!("{short}: key {key}")]
}

/// What of a panel is measured at each look, so that its growth can be told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[allow(missing_docs, reason = "the names say it")]
pub enum Measured {
    Cracks,
    Pinholes,
    Lift,
    Bow,
}

/// One fault as it was seen over several looks.
#[derive(Debug, Clone, PartialEq)]
pub struct Growth {
    /// What was measured.
    pub of: Measured,
    /// The fault: "crack at an edge, along the grain".
    pub fault: String,
    /// The unit of its figures; empty for grades and counts.
    pub unit: &'static str,
    /// When it was looked at, and how much of it there was; two or more.
    pub seen: Vec<(Stamp, f64)>,
}

impl Growth {
    /// What it does, from the first look to the last.
    pub fn does(&self) -> &'static str {
        match self.change() {
            c if c > 0.0 => "growing",
            c if c < 0.0 => "less than before",
            _ => "unchanged",
        }
    }
    fn change(&self) -> f64 {
        let size = |x: Option<&(Stamp, f64)>| x.map_or(0.0, |(_, v)| v.abs());
        size(self.seen.last()) - size(self.seen.first())
    }
}

/// Every fault that was measured at two looks or more, and is or was there. A look that does not tell of a fault says
/// nothing of it; one that says "sound" says that there is no crack and no lifting.
pub fn growth(story: &Story) -> Vec<Growth> {
    growth_over(&looks(story))
}

/// [`growth`], over those looks in their order.
pub fn growth_over(looks: &[(Stamp, &Inspection)]) -> Vec<Growth> {
    let mut grown = Vec::new();
    for where_ in CrackAt::ALL {
        for run in CrackRun::ALL {
            let worst = |seen: &Inspection| {
                let here = seen.cracks.iter().filter(|c| c.at == where_ && c.run == run);
                here.map(|c| f64::from(c.grade)).reduce(f64::max).or(seen.sound.then_some(0.0))
            };
            let fault = format!("crack {}, {} the grain", at(where_), run.name());
            grown.push(series(looks, Measured::Cracks, fault, &worst));
        }
    }
    let lift = |s: &Inspection| s.lift.map(|l| l.mm()).or(s.sound.then_some(0.0));
    grown.push(series(looks, Measured::Pinholes, "pinholes".to_owned(), &|s| s.pinholes.map(f64::from)));
    grown.push(series(looks, Measured::Lift, "lifting".to_owned(), &lift));
    grown.push(series(looks, Measured::Bow, "bow".to_owned(), &|s| s.bow.map(|b| b.pct_of_span())));
    grown.into_iter().flatten().collect()
}

fn series(
    looks: &[(Stamp, &Inspection)],
    of: Measured,
    fault: String,
    much: &dyn Fn(&Inspection) -> Option<f64>,
) -> Option<Growth> {
    let unit = match of {
        Measured::Cracks | Measured::Pinholes => "",
        Measured::Lift => "mm",
        Measured::Bow => "% of the span",
    };
    let seen: Vec<(Stamp, f64)> = looks.iter().filter_map(|(at, look)| Some((*at, much(look)?))).collect();
    let there = seen.len() > 1 && seen.iter().any(|(_, v)| *v != 0.0);
    there.then_some(Growth { of, fault, unit, seen })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::craft::materials::Support;
    use crate::craft::recipe::{Paint, shipped};
    use crate::units::{Entry, Id, Length, Size};
    use crate::work::panel::act::Act;
    use crate::work::panel::event::{Grain, Opened};
    use std::sync::Arc;

    fn moment(day: f64) -> Moment {
        Moment::wall_only(Stamp::from_ms(1_800_000_000_000) + Span::from_h(day * 24.0))
    }

    /// A panel everything of which was left out but the opening: finished at once.
    fn finished() -> Story {
        let opened = Opened {
            id: Id::new("wren").unwrap(),
            label: "Wren".into(),
            size: Size { width: Length::from_mm(300.0), height: Length::from_mm(400.0), thickness: None },
            support: Support::BirchPlywood,
            grain: Grain::Height,
            paint: Paint::Oil,
            recipe: Arc::new(shipped::named("gypsum-zinc").unwrap()),
        };
        let event = Event::Opened(Box::new(opened));
        let entry = Entry { seq: 0, at: moment(0.0).wall, written: moment(0.0), raw_wall: None, event };
        let mut story = Story::fold(vec![entry]).unwrap();
        while story.panel().phase_at(moment(0.0)) != Phase::Finished {
            story = with(&story, &Act::Skip("not for this".into()), 0.0);
        }
        story
    }

    fn with(story: &Story, act: &Act, day: f64) -> Story {
        let event = story.complete(act, moment(day)).unwrap();
        let seq = story.entries().len() as u64;
        story.with(Entry { seq, at: moment(day).wall, written: moment(day), raw_wall: None, event }).unwrap()
    }

    fn seen(cracks: &[&str]) -> Inspection {
        let cracks: Vec<Crack> = cracks.iter().map(|c| Crack::parse(c).unwrap()).collect();
        Inspection { sound: cracks.is_empty(), cracks, ..Inspection::default() }
    }

    fn look(story: &Story, seen: Inspection, day: f64) -> Story {
        with(story, &Act::Inspect(Box::new(seen)), day)
    }

    #[test]
    fn looks_fall_due_on_their_days() {
        let check = |looks: &[f64], now: f64, due_is: Option<(u32, bool)>| {
            let story = looks.iter().fold(finished(), |s, day| look(&s, seen(&[]), *day));
            assert_eq!(due(&story, moment(now)).map(|d| (d.day, d.now)), due_is, "looks {looks:?}, now day {now}");
        };
        check(&[], 0.5, Some((1, false)));
        check(&[], 1.0, Some((1, true)));
        check(&[], 8.0, Some((7, true)));
        check(&[1.0], 1.5, Some((3, false)));
        check(&[1.0], 3.0, Some((3, true)));
        check(&[6.4], 7.5, Some((14, false)));
        check(&[6.2], 7.5, Some((7, true)));
        check(&[1.0, 30.0], 89.0, Some((90, false)));
        check(&[340.0], 341.0, None);
        check(&[], 4000.0, Some((365, true)));
    }

    #[test]
    fn a_fault_grows_or_not() {
        let check = |looks: &[(f64, &[&str])], grown: &[(&str, &str)]| {
            let story = looks.iter().fold(finished(), |s, (day, cracks)| look(&s, seen(cracks), *day));
            let told: Vec<_> = growth(&story).iter().map(|g| (g.fault.clone(), g.does())).collect();
            let told: Vec<_> = told.iter().map(|(f, d)| (f.as_str(), *d)).collect();
            assert_eq!(told, grown, "{looks:?}");
        };
        let edge = "crack at an edge, along the grain";
        let field = "crack in the field, across the grain";
        check(&[(1.0, &[]), (7.0, &[])], &[]);
        check(&[(1.0, &[]), (7.0, &["edge:2:along"])], &[(edge, "growing")]);
        check(&[(1.0, &["edge:2:along"]), (7.0, &["edge:2:along"])], &[(edge, "unchanged")]);
        check(&[(1.0, &["field:3:across"]), (7.0, &["field:1:across"])], &[(field, "less than before")]);
        check(&[(1.0, &["edge:1:along"]), (7.0, &["field:1:across"])], &[]);
    }

    #[test]
    fn a_look_is_told_whole() {
        let seen = Inspection {
            bow: Some(Bow { sag: Length::from_mm(2.0), span: Length::from_mm(400.0) }),
            pinholes: Some(1),
            mould: true,
            ..seen(&["edge:2:along", "joint:0:across"])
        };
        assert_eq!(
            told(&seen),
            "inspected: crack at an edge, along the grain, grade 2 of 4; no crack over a joint, across the grain; \
             1 pinhole; bow 2 mm over 400 mm (0.5 % of the span, radius 10 m); mould"
        );
    }

    #[test]
    fn a_reminder_names_the_first_and_counts_the_others() {
        let check = |due: &[(&str, u32)], says: &[&str]| assert_eq!(reminder(due, "l"), says);
        check(&[], &[]);
        check(&[("Wren", 1)], &["Inspection due: Wren (day 1): key l", "1 inspection due: key l"]);
        check(
            &[("Wren", 28), ("Robin", 3), ("Siskin", 3)],
            &["Inspection due: Wren (day 28), 2 more: key l", "3 inspections due: key l"],
        );
    }

    #[test]
    fn no_crack_anywhere_is_told_in_two_words_and_counts_as_looked_for() {
        let none = Inspection { cracks: no_crack(), no_mould: true, ..Inspection::default() };
        assert_eq!(told(&none), "inspected: no crack; no mould");
        assert_eq!(none.verdict(), Some(true));
    }

    #[test]
    fn a_look_taken_back_is_none() {
        let story = with(&look(&finished(), seen(&["edge:2:along"]), 2.0), &Act::Undo { seen: None }, 2.0);
        assert_eq!(looks(&story), vec![]);
    }
}
