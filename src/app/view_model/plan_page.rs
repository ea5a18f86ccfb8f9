//! The plan that is kept, for the eye: a day or two weeks of it, and how far reality is from it.

use super::context::ViewContext;
use super::status_line::format_alert;
use crate::app::message::{InputMode, Message};
use crate::app::model::{DAYS_OF_WEEKS, Model, PlanOverlay};
use crate::app::plan_view_model::{PlanBarKind, PlanRow, PlanViewModel};
use crate::bench::trusted_now;
use crate::text::{
    format_countdown, format_day_and_time, format_duration, format_hhmm, local_day, local_minute, sanitize,
};
use crate::units::{Id, Span, Stamp};
use crate::work::plan::calendar::drift::{find_drift, is_done};
use crate::work::plan::calendar::kept::{ActName, KeptAct, KeptPlan};
use chrono::{Days, NaiveDate, TimeZone};
use std::fmt::Display;

/// No day is drawn shorter than this, hours (assumed).
const HOURS_MIN: i64 = 2;
/// A board this near to its plan is where it should be.
const ON_TIME: Span = Span::from_s(5 * 60);

/// The time that is drawn.
struct DrawnTime {
    from: Stamp,
    to: Stamp,
}

impl DrawnTime {
    fn part(&self, at: Stamp) -> f64 {
        (at - self.from).minutes() / (self.to - self.from).minutes().max(1.0)
    }

    fn holds(&self, act: &KeptAct) -> bool {
        act.end > self.from && act.start < self.to
    }
}

/// The plan as the overlay looks at it; without one, how to come by it.
pub fn build_plan_view_model<Z: TimeZone<Offset: Display>>(
    model: &Model,
    overlay: &PlanOverlay,
    at: &ViewContext<'_, Z>,
) -> PlanViewModel {
    let key = |messages: &[Message], words| model.keymap().hint_as(InputMode::Plan, messages, words);
    let other = if overlay.shows_weeks { "the day" } else { "the weeks" };
    let keys = vec![
        key(&[Message::Replan], "plan anew"),
        key(&[Message::ToggleWeeks], other),
        key(&[Message::Left, Message::Right], "before, after"),
        key(&[Message::Leave], "back"),
    ];
    let alert = format_alert(model, at.now);
    let Some(plan) = model.kept_plan() else {
        let words = model.keymap().label(&Message::Replan, InputMode::Plan);
        let note = format!("no plan is kept; {words} plans every board that is not finished");
        return PlanViewModel {
            title: "The plan".to_owned(),
            notes: vec![note],
            alert,
            keys,
            ..PlanViewModel::default()
        };
    };
    let day = first_day(plan, at) + chrono::Duration::days(overlay.day_offset);
    let mut view =
        if overlay.shows_weeks { build_weeks(model, plan, day, at) } else { build_day(model, plan, day, at) };
    view.title = format!("{}; {}", view.title, describe_ready(plan, at));
    view.notes.extend(overlay.change.iter().cloned());
    PlanViewModel { alert, keys, ..view }
}

/// Today, or the first day after it on which something is planned.
fn first_day<Z: TimeZone<Offset: Display>>(plan: &KeptPlan, at: &ViewContext<'_, Z>) -> NaiveDate {
    let today = local_day(at.now.wall, at.zone);
    let days = plan.acts.iter().map(|act| local_day(act.start, at.zone));
    days.filter(|day| *day >= today).min().unwrap_or(today)
}

fn describe_ready<Z: TimeZone<Offset: Display>>(plan: &KeptPlan, at: &ViewContext<'_, Z>) -> String {
    let ready = format!("all ready {}", format_day_and_time(plan.ready, at.zone));
    match (&plan.name, plan.ready_by) {
        (Some(name), Some(by)) => format!("{}: {ready}, to paint {}", sanitize(name), format_day_and_time(by, at.zone)),
        (Some(name), None) => format!("{}: {ready}", sanitize(name)),
        (None, _) => ready,
    }
}

fn build_day<Z: TimeZone<Offset: Display>>(
    model: &Model,
    plan: &KeptPlan,
    day: NaiveDate,
    at: &ViewContext<'_, Z>,
) -> PlanViewModel {
    let of_day = plan.acts.iter().filter(|act| local_day(act.start, at.zone) == day);
    let (first, last) = (of_day.clone().map(|act| act.start).min(), of_day.map(|act| act.end).max());
    let mut view = PlanViewModel { title: day.format("%a %-d %b").to_string(), ..PlanViewModel::default() };
    let Some((first, last)) = first.zip(last) else {
        view.notes.push("nothing is planned for this day".to_owned());
        return view;
    };
    let hour = |stamp: Stamp| stamp.ms().div_euclid(3_600_000);
    let from = hour(first);
    let to = (hour(last - Span::from_ms(1)) + 1).max(from + HOURS_MIN);
    let stamp = |hour: i64| Stamp::from_ms(hour * 3_600_000);
    let drawn = DrawnTime { from: stamp(from), to: stamp(to) };
    view.ticks = (from..to).map(|hour| (drawn.part(stamp(hour)), format_hhmm(stamp(hour), at.zone))).collect();
    let acts = || plan.acts.iter().filter(|act| drawn.holds(act));
    view.load = acts().map(|act| (drawn.part(act.start), drawn.part(act.end))).collect();
    view.now = Some(drawn.part(at.now.wall)).filter(|part| (0.0..=1.0).contains(part));
    view.rows =
        build_rows(model, plan, at, &|act| drawn.holds(act).then(|| (drawn.part(act.start), drawn.part(act.end))));
    view.notes.extend(describe_next(model, plan, at));
    view
}

fn build_weeks<Z: TimeZone<Offset: Display>>(
    model: &Model,
    plan: &KeptPlan,
    day: NaiveDate,
    at: &ViewContext<'_, Z>,
) -> PlanViewModel {
    let days = DAYS_OF_WEEKS as f64;
    let place = |stamp: Stamp| (local_day(stamp, at.zone) - day).num_days();
    let dates = (0..DAYS_OF_WEEKS).map(|n| day + chrono::Duration::days(n));
    let ticks = dates.clone().map(|date| ((date - day).num_days() as f64 / days, date.format("%a %-d").to_string()));
    let is_shown = |act: &&KeptAct| (0..DAYS_OF_WEEKS).contains(&place(act.start));
    let minutes = (0..DAYS_OF_WEEKS).filter_map(|n| {
        let of_day = plan.acts.iter().filter(|act| place(act.start) == n);
        let sum = of_day.fold(Span::ZERO, |sum, act| sum + (act.end - act.start));
        (sum > Span::ZERO).then(|| (n as f64 / days, format!("{:.1}", sum.hours())))
    });
    let last = day.checked_add_days(Days::new(DAYS_OF_WEEKS as u64 - 1)).unwrap_or(day);
    let midnight = local_minute(local_day(at.now.wall, at.zone), 0, at.zone);
    let into_day = ((at.now.wall - midnight).hours() / 24.0).clamp(0.0, 1.0);
    let now = (place(at.now.wall) as f64 + into_day) / days;
    // Of the acts of a board on one day each has an even share of it.
    let rows = build_rows(model, plan, at, &|act| {
        let board = board_of(act)?;
        let n = Some(place(act.start)).filter(|_| is_shown(&act))?;
        let of_day: Vec<&KeptAct> = plan.acts_of(board).filter(|other| place(other.start) == n).collect();
        let i = of_day.iter().position(|other| other.name == act.name)?;
        let share = |i: usize| (n as f64 + i as f64 / of_day.len() as f64) / days;
        Some((share(i), share(i + 1)))
    });
    PlanViewModel {
        title: format!("{} to {}", day.format("%a %-d %b"), last.format("%a %-d %b")),
        ticks: ticks.collect(),
        rows,
        day_minutes: minutes.collect(),
        now: Some(now).filter(|part| (0.0..=1.0).contains(part)),
        ..PlanViewModel::default()
    }
}

const fn board_of(act: &KeptAct) -> Option<&Id> {
    match &act.name {
        ActName::Board { panel, .. } => Some(panel),
        ActName::Pot { .. } => None,
    }
}

/// A line a board: those on the bench in the order in which it leads through them, then the others.
fn build_rows<Z: TimeZone<Offset: Display>>(
    model: &Model,
    plan: &KeptPlan,
    at: &ViewContext<'_, Z>,
    place: &dyn Fn(&KeptAct) -> Option<(f64, f64)>,
) -> Vec<PlanRow> {
    let queue = model.queue(at.now);
    let rank = |id: &Id| queue.iter().position(|entry| entry.id == *id).unwrap_or(usize::MAX);
    let mut boards: Vec<&(Id, String)> = plan.boards.iter().collect();
    boards.sort_by_key(|(id, _)| rank(id));
    let row = |(id, label): &(Id, String)| {
        let story = model.snapshots().iter().find(|t| t.id == *id).and_then(|t| t.story.as_ref());
        let panel = story.map(|story| story.panel());
        let bars = plan.acts_of(id).filter_map(|act| {
            let ActName::Board { kind, .. } = &act.name else { return None };
            let is_done = panel.is_some_and(|panel| is_done(panel, act));
            Some((place(act)?, PlanBarKind { kind: *kind, direction: act.direction, is_done }))
        });
        let now = story.map_or(at.now, |story| trusted_now(story, at.now));
        let drift = panel.and_then(|panel| find_drift(panel, plan, now.wall));
        PlanRow {
            name: sanitize(label),
            bars: bars.collect(),
            is_late: drift.is_some_and(|drift| drift > ON_TIME),
            drift: drift.map_or_else(String::new, describe_drift),
        }
    };
    boards.into_iter().map(row).collect()
}

fn describe_drift(drift: Span) -> String {
    if drift.abs() <= ON_TIME {
        "on time".to_owned()
    } else if drift > Span::ZERO {
        format!("{} late", format_duration(drift))
    } else {
        format!("{} early", format_duration(drift.abs()))
    }
}

/// What is planned next, and for when.
fn describe_next<Z: TimeZone<Offset: Display>>(
    model: &Model,
    plan: &KeptPlan,
    at: &ViewContext<'_, Z>,
) -> Option<String> {
    let panel_of = |id: &Id| model.snapshots().iter().find(|t| t.id == *id).and_then(|t| t.story.as_ref());
    let is_open = |act: &&KeptAct| board_of(act).and_then(panel_of).is_none_or(|story| !is_done(story.panel(), act));
    let next = plan.acts.iter().filter(|act| act.end > at.now.wall).find(is_open)?;
    let left = next.start - at.now.wall;
    let when = if left > Span::ZERO { format!("in {}", format_countdown(left)) } else { "now".to_owned() };
    let words = crate::work::plan::calendar::replan::act_words(&next.name, plan);
    Some(format!("next by the plan, {when}: {words}"))
}
