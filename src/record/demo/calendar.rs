//! The hours of the studio. They do not depend on the day it is today.

use crate::units::{Entry, Moment, Span, Stamp};
use chrono::{DateTime, Datelike, Utc};

/// Local time minus UTC, minutes: winter in the middle of Europe, all year, so that no clock change makes a story odd.
pub(super) const OFFSET_MIN: i32 = 60;

/// A day, seconds.
pub(super) const DAY_S: i64 = 24 * 3600;
/// The studio opens, seconds after midnight.
const OPENS_S: i64 = 8 * 3600 + 40 * 60;
/// Nothing new is begun after this, seconds after midnight.
const CLOSES_S: i64 = 18 * 3600;

/// A moment of the studio; no boot clock, since nothing of this was ever run.
pub(super) const fn studio_moment(wall: Stamp) -> Moment {
    Moment { wall, boot: None, offset_min: OFFSET_MIN, raw_wall: None }
}

/// Midnight of the Monday `week` weeks after 1 January 2024.
pub(super) const fn monday_midnight(week: i64) -> Stamp {
    // 1704063600 s is 2023-12-31 23:00 UTC, which is midnight here.
    Stamp::from_ms((1_704_063_600 + week * 7 * DAY_S) * 1000)
}

fn seconds_into_day(at: Stamp) -> i64 {
    (at.ms().div_euclid(1000) + i64::from(OFFSET_MIN) * 60).rem_euclid(DAY_S)
}

/// The day that moment lies on, counted from 1 January 1970.
pub(super) fn day_number(at: Stamp) -> i64 {
    (at.ms().div_euclid(1000) + i64::from(OFFSET_MIN) * 60).div_euclid(DAY_S)
}

/// Midnight at the beginning of that day.
pub(super) const fn day_start(day: i64) -> Stamp {
    Stamp::from_ms((day * DAY_S - OFFSET_MIN as i64 * 60) * 1000)
}

/// Whether anybody is in the studio on that day: not on a Sunday.
pub(super) const fn is_open_day(day: i64) -> bool {
    // 1 January 1970 was a Thursday.
    (day + 4).rem_euclid(7) != 0
}

/// Whether that moment lies on a Sunday.
fn is_sunday(at: Stamp) -> bool {
    !is_open_day(day_number(at))
}

/// How a day is called: "3 March", with its year if that is not 2024.
pub(super) fn format_day(at: Stamp) -> String {
    let day = DateTime::<Utc>::from_timestamp_millis(at.ms() + i64::from(OFFSET_MIN) * 60_000)
        .expect("the studio's days are in the calendar");
    let form = if day.year() == 2024 { "%-d %B" } else { "%-d %B %Y" };
    day.format(form).to_string()
}

/// The next opening after that moment, never on a Sunday.
fn next_opening(at: Stamp) -> Stamp {
    let until = (OPENS_S - seconds_into_day(at)).rem_euclid(DAY_S);
    let opens = at + Span::from_s(until);
    if is_sunday(opens) { opens + Span::from_s(DAY_S) } else { opens }
}

/// The moment itself if something that takes `long` can still be begun then, else the next opening.
pub(super) fn next_working_time(at: Stamp, long: Span) -> Stamp {
    let into = seconds_into_day(at);
    let fits = (OPENS_S..CLOSES_S).contains(&into) && into * 1000 + long.ms() <= CLOSES_S * 1000;
    // What never fits into a day is begun in the morning.
    if !is_sunday(at) && (fits || into == OPENS_S) { at } else { next_opening(at + Span::from_s(1)) }
}

/// The first entry of a story opened then.
pub(super) fn opening_entry<E>(at: Stamp, event: E) -> Entry<E> {
    Entry { seq: 0, at, written: studio_moment(at), raw_wall: None, replaces: None, event }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Day of the first week, hours and minutes, as a stamp.
    fn at(day: i64, hour: i64, minute: i64) -> Stamp {
        monday_midnight(0) + Span::from_s(day * DAY_S + hour * 3600 + minute * 60)
    }

    #[test]
    fn work_is_begun_only_while_the_studio_is_open() {
        let check = |from: Stamp, hours: f64, to: Stamp| assert_eq!(next_working_time(from, Span::from_h(hours)), to);
        check(at(0, 3, 0), 1.0, at(0, 8, 40));
        check(at(0, 8, 40), 1.0, at(0, 8, 40));
        check(at(0, 11, 0), 1.0, at(0, 11, 0));
        check(at(0, 11, 0), 8.0, at(1, 8, 40));
        check(at(0, 8, 40), 12.0, at(0, 8, 40));
        check(at(0, 18, 0), 0.0, at(1, 8, 40));
        check(at(5, 19, 0), 0.0, at(7, 8, 40));
        check(at(6, 10, 0), 0.0, at(7, 8, 40));
    }
}
