//! A plan for a calendar: RFC 5545. The same plan gives the same bytes.
//!
//! An event an act of hands. Its name is a hash of panel, kind, face and number, so that an act that is planned anew for
//! another hour is the same event, moved, and told so by a higher SEQUENCE. Times are local, with the zone's changes of the
//! clocks over the days of the plan; an hour that comes twice is told in UTC.

use super::plan_text::{glue_for, pot_word};
use crate::craft::materials::fillers::BulkDensities;
use crate::text::{format_number, sanitize};
use crate::units::Stamp;
use crate::work::plan::calendar::board_tasks::BoardTasks;
use crate::work::plan::calendar::kept::{ActName, KeptPlan, name_acts};
use crate::work::plan::calendar::planned::{BoardPlan, PlannedAct, PlannedKind};
use chrono::{DateTime, Days, Duration, LocalResult, NaiveDateTime, Offset, TimeZone, Utc};
use icalendar::{Alarm, Calendar, CalendarDateTime, Component, Event, EventLike};
use sha2::{Digest, Sha256};

/// It rings so long before an act.
const ALARM_BEFORE_MIN: i64 = 5;
/// So many hex digits of a hash name an event.
const UID_DIGITS: usize = 32;

/// A plan, and what is told of it.
pub(super) struct CalendarFile<'a, Z: TimeZone> {
    pub(super) boards: &'a [BoardTasks],
    pub(super) plan: &'a BoardPlan,
    /// The same plan as it is kept: which acts were moved.
    pub(super) kept: &'a KeptPlan,
    pub(super) bulk: &'a BulkDensities,
    pub(super) zone: &'a Z,
    /// What the zone is called.
    pub(super) zone_name: &'a str,
}

/// What the maker's zone is called: by `TZ` where that names one, else as the system has it.
pub(super) fn zone_name() -> String {
    let of_environment = std::env::var("TZ").ok().map(|name| name.trim_start_matches(':').to_owned());
    let is_name = |name: &String| name.contains('/') && !name.starts_with('/') || name == "UTC";
    of_environment.filter(is_name).or_else(|| iana_time_zone::get_timezone().ok()).unwrap_or_else(|| "Local".to_owned())
}

impl<Z: TimeZone> CalendarFile<'_, Z> {
    /// The calendar as text. Events are stamped with the beginning of the plan, so that nothing in it hangs on when it is
    /// written.
    pub(super) fn format(&self) -> String {
        let mut calendar = Calendar::new();
        if let Some(name) = &self.kept.name {
            calendar.name(&sanitize(name));
        }
        let named = name_acts(self.plan);
        for (name, act) in &named {
            calendar.push(self.event(name, act));
        }
        let text = calendar.done().to_string();
        // The crate has no component for a zone.
        let zone = self.format_zone(named.iter().map(|(_, act)| act));
        match text.find("BEGIN:VEVENT") {
            Some(at) => format!("{}{zone}{}", &text[..at], &text[at..]),
            None => text,
        }
    }

    fn event(&self, name: &ActName, act: &PlannedAct) -> Event {
        let uid = event_uid(name);
        let summary = self.summary(act);
        let sequence = self.kept.find(name).map_or(0, |kept| kept.sequence);
        let mut event = Event::new();
        event
            .uid(&format!("{uid}@sottile"))
            .sequence(sequence)
            .timestamp(utc(self.plan.start))
            .starts(self.local(act.start))
            .ends(self.local(act.end))
            .summary(&summary)
            .description(&act.reason);
        let mut alarm = Alarm::display(&summary, -Duration::minutes(ALARM_BEFORE_MIN));
        alarm.uid(&format!("{uid}-alarm@sottile")).timestamp(utc(self.plan.start));
        event.alarm(alarm);
        event.done()
    }

    fn local(&self, at: Stamp) -> CalendarDateTime {
        let local = utc(at).with_timezone(self.zone).naive_local();
        match self.zone.from_local_datetime(&local) {
            LocalResult::Single(_) => {
                CalendarDateTime::WithTimezone { date_time: local, tzid: self.zone_name.to_owned() }
            }
            LocalResult::Ambiguous(..) | LocalResult::None => CalendarDateTime::Utc(utc(at)),
        }
    }

    /// The offset at the first act's year, and every change from then to the last act.
    fn format_zone<'p>(&self, acts: impl Iterator<Item = &'p &'p PlannedAct> + Clone) -> String {
        let first = acts.clone().map(|act| act.start).min().map(utc);
        let last = acts.map(|act| act.end).max().map(utc);
        let Some((first, last)) = first.zip(last) else { return String::new() };
        let offset_s = |at: DateTime<Utc>| self.zone.offset_from_utc_datetime(&at.naive_utc()).fix().local_minus_utc();
        let first = first.checked_sub_days(Days::new(366)).unwrap_or(first);
        let mut lines = vec!["BEGIN:VTIMEZONE".to_owned(), format!("TZID:{}", self.zone_name)];
        let mut before = offset_s(first);
        lines.extend(observance(first.naive_utc(), before, before));
        let mut at = first;
        while at < last + Duration::days(1) {
            let next = at + Duration::hours(1);
            let offset = offset_s(next);
            if offset != before {
                let changed = minute_of_change(at, &|at| offset_s(at) == before);
                // The beginning is told in the time that held before it.
                let wall = changed.naive_utc() + Duration::seconds(i64::from(before));
                lines.extend(observance(wall, before, offset));
                before = offset;
            }
            at = next;
        }
        lines.push("END:VTIMEZONE\r\n".to_owned());
        lines.join("\r\n")
    }

    fn summary(&self, act: &PlannedAct) -> String {
        match (act.board, act.kind) {
            (Some(board), PlannedKind::Act(stage)) => format!("{}: {stage}", sanitize(&self.plan.boards[board].label)),
            (_, PlannedKind::PutToSoak) => {
                let amounts = glue_for(self.boards, self.plan, act, self.bulk);
                let amounts =
                    amounts.map(|(g, ml)| format!(", {} g in {} ml", format_number(g, 0), format_number(ml, 0)));
                format!("soak glue for {}{}", pot_word(act), amounts.unwrap_or_default())
            }
            (_, PlannedKind::MakePot) => format!("make the {}", pot_word(act)),
            (_, PlannedKind::MeltPot) => format!("melt the {} again", pot_word(act)),
            (_, PlannedKind::Soak | PlannedKind::BoardWait(_) | PlannedKind::Act(_)) => String::new(),
        }
    }
}

/// The first whole minute in the hour from `at` on at which the old offset does not hold any more.
fn minute_of_change(at: DateTime<Utc>, is_before: &dyn Fn(DateTime<Utc>) -> bool) -> DateTime<Utc> {
    let minutes = (0..=60).map(|minute| at + Duration::minutes(minute));
    minutes.into_iter().find(|at| !is_before(*at)).unwrap_or(at + Duration::hours(1))
}

fn observance(wall: NaiveDateTime, from_s: i32, to_s: i32) -> Vec<String> {
    let kind = if to_s > from_s { "DAYLIGHT" } else { "STANDARD" };
    vec![
        format!("BEGIN:{kind}"),
        format!("DTSTART:{}", wall.format("%Y%m%dT%H%M%S")),
        format!("TZOFFSETFROM:{}", format_offset(from_s)),
        format!("TZOFFSETTO:{}", format_offset(to_s)),
        format!("END:{kind}"),
    ]
}

fn format_offset(seconds: i32) -> String {
    let (sign, minutes) = (if seconds < 0 { '-' } else { '+' }, seconds.abs() / 60);
    format!("{sign}{:02}{:02}", minutes / 60, minutes % 60)
}

fn utc(at: Stamp) -> DateTime<Utc> {
    DateTime::from_timestamp_millis(at.ms()).unwrap_or_default()
}

/// The same for the same act in every plan.
fn event_uid(name: &ActName) -> String {
    let text = match name {
        ActName::Board { panel, kind, face, number } => {
            format!("{panel}/{}/{}/{}", kind.name(), face.map_or("", |face| face.name()), number.unwrap_or(0))
        }
        ActName::Pot { kind, recipe, work, number } => {
            format!("pot/{}/{recipe}/{}/{number}", kind.name(), work.name())
        }
    };
    let hash = Sha256::digest(text.as_bytes());
    hash.iter().map(|byte| format!("{byte:02x}")).collect::<String>().chars().take(UID_DIGITS).collect()
}
