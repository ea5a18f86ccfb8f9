//! Times and lengths of time, read and printed. The moment it is now and the time zone are arguments.
//!
//! Local times are not always one moment: where clocks are put forward an hour never was, where they are put back one
//! comes twice. The first is refused by name; of the second it is asked which, unless the later is still to come.

use super::parse_error::{ParseError, ParseErrorKind, Quantity};
use crate::units::{Span, Stamp};
use chrono::{DateTime, LocalResult, NaiveDate, NaiveDateTime, NaiveTime, SecondsFormat, TimeZone};
use std::fmt::Display;

/// The earliest and latest moment printed: years 1 to 9999, a day kept free at each end for any offset. ms.
const PRINTABLE_RANGE_MS: (i64, i64) = (-62_135_510_400_000, 253_402_214_400_000);
/// The longest time that can be given back from now: ten years, in seconds.
const MAX_AGO_S: i64 = 3653 * 86_400;

/// Reads a time: RFC 3339, `HH:MM` or `HH:MM:SS` of today in `zone`, `YYYY-MM-DD HH:MM` in `zone`, `-4m` or `-1h30m`
/// before `now`, or `now`.
///
/// # Errors
/// None of these forms, no such hour or day, a local time over which the clocks were put forward or one that came twice,
/// more than ten years back.
pub fn parse_time(text: &str, now: Stamp, zone: &impl TimeZone) -> Result<Stamp, ParseError> {
    parse_stamp(text.trim(), now, zone).map_err(|kind| ParseError::new(Quantity::Time, text, kind))
}

fn parse_stamp(text: &str, now: Stamp, zone: &impl TimeZone) -> Result<Stamp, ParseErrorKind> {
    if text.is_empty() {
        return Err(ParseErrorKind::Empty);
    }
    if text.eq_ignore_ascii_case("now") {
        return Ok(now);
    }
    if let Some(back) = text.strip_prefix(['-', '−']) {
        return Ok(now - parse_ago(back)?);
    }
    if let Ok(at) = DateTime::parse_from_rfc3339(text) {
        return Ok(Stamp::from_ms(at.timestamp_millis()));
    }
    let (day, time) = match text.split_once([' ', 'T', 't']) {
        Some((day, time)) => (parse_iso_date(day)?, time),
        None => (to_local_time(now, zone).date_naive(), text),
    };
    resolve_local_time(day.and_time(parse_clock_time(time.trim())?), now, zone)
}

/// `1h30m`: whole numbers with their units, the larger before the smaller.
fn parse_ago(text: &str) -> Result<Span, ParseErrorKind> {
    let mut rest = text.trim();
    let mut total_s: i64 = 0;
    let mut last_unit_s = i64::MAX;
    while !rest.is_empty() {
        let end = rest.find(|c: char| !c.is_ascii_digit()).ok_or(ParseErrorKind::MissingUnit)?;
        let (figure, tail) = rest.split_at(end);
        let value: i64 = figure.parse().map_err(|_| ParseErrorKind::NotANumber(rest.to_owned()))?;
        let end = tail.find(|c: char| c.is_ascii_digit()).unwrap_or(tail.len());
        let (unit, after) = tail.split_at(end);
        let unit_s =
            seconds_per_unit(unit.trim()).ok_or_else(|| ParseErrorKind::UnknownUnit(unit.trim().to_owned()))?;
        if unit_s >= last_unit_s {
            return Err(ParseErrorKind::WrongFormat);
        }
        last_unit_s = unit_s;
        total_s = total_s.saturating_add(value.saturating_mul(unit_s));
        rest = after;
    }
    match total_s {
        _ if last_unit_s == i64::MAX => Err(ParseErrorKind::WrongFormat),
        s if s > MAX_AGO_S => Err(ParseErrorKind::TooLarge("ten years")),
        s => Ok(Span::from_s(s)),
    }
}

fn seconds_per_unit(unit: &str) -> Option<i64> {
    Some(match unit {
        "d" => 86_400,
        "h" => 3600,
        "m" | "min" => 60,
        "s" => 1,
        _ => return None,
    })
}

fn parse_iso_date(text: &str) -> Result<NaiveDate, ParseErrorKind> {
    let mut parts = text.split('-');
    let (year, month, day) = (parts.next(), parts.next(), parts.next());
    let read = |part: Option<&str>, most| part.and_then(|p| parse_digits(p, most)).ok_or(ParseErrorKind::WrongFormat);
    if year.map(str::len) != Some(4) || parts.next().is_some() {
        return Err(ParseErrorKind::WrongFormat);
    }
    let year = i32::try_from(read(year, 4)?).map_err(|_| ParseErrorKind::WrongFormat)?;
    NaiveDate::from_ymd_opt(year, read(month, 2)?, read(day, 2)?).ok_or(ParseErrorKind::NoSuchTime)
}

/// Reads `2026-03-29`.
pub fn parse_iso_day(text: &str) -> Option<NaiveDate> {
    parse_iso_date(text).ok()
}

/// The day of the calendar it is then in `zone`.
pub fn local_day<Z: TimeZone>(stamp: Stamp, zone: &Z) -> NaiveDate {
    to_local_time(stamp, zone).date_naive()
}

/// That minute of that day in `zone`, 1440 being the midnight after it. Where the clocks are put forward over it, the
/// first minute behind the gap; where it comes twice, the earlier.
pub fn local_minute<Z: TimeZone>(day: NaiveDate, minute: u16, zone: &Z) -> Stamp {
    let midnight = day.and_time(NaiveTime::MIN);
    // No gap of any zone is longer than a day.
    let tried = (0..=1440).map(|late| midnight + chrono::Duration::minutes(i64::from(minute) + late));
    let found = tried.filter_map(|local| zone.from_local_datetime(&local).earliest()).next();
    Stamp::from_ms(found.map_or_else(|| midnight.and_utc().timestamp_millis(), |at| at.timestamp_millis()))
}

fn parse_clock_time(text: &str) -> Result<NaiveTime, ParseErrorKind> {
    let parts: Option<Vec<u32>> = text.split(':').map(|p| parse_digits(p, 2)).collect();
    let (h, m, s) = match parts.as_deref() {
        Some(&[h, m]) => (h, m, 0),
        Some(&[h, m, s]) => (h, m, s),
        Some(_) | None => return Err(ParseErrorKind::WrongFormat),
    };
    NaiveTime::from_hms_opt(h, m, s).ok_or(ParseErrorKind::NoSuchTime)
}

fn parse_digits(text: &str, most: usize) -> Option<u32> {
    let fits = (1..=most).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit());
    if fits { text.parse().ok() } else { None }
}

fn resolve_local_time(local: NaiveDateTime, now: Stamp, zone: &impl TimeZone) -> Result<Stamp, ParseErrorKind> {
    match zone.from_local_datetime(&local) {
        LocalResult::Single(at) => Ok(Stamp::from_ms(at.timestamp_millis())),
        LocalResult::Ambiguous(one, other) => {
            let (first, second) =
                if one.timestamp_millis() <= other.timestamp_millis() { (one, other) } else { (other, one) };
            if second.timestamp_millis() > now.ms() {
                return Ok(Stamp::from_ms(first.timestamp_millis()));
            }
            // With its offset, so that it can be typed.
            let typed = |at: DateTime<_>| at.fixed_offset().to_rfc3339_opts(SecondsFormat::AutoSi, false);
            Err(ParseErrorKind::RepeatedLocalTime { first: typed(first), second: typed(second) })
        }
        LocalResult::None => Err(ParseErrorKind::SkippedLocalTime {
            day: local.format("%F").to_string(),
            time: local.format("%H:%M").to_string(),
        }),
    }
}

/// `stamp` on the clock of `zone`; moments outside the years 1 to 9999 count as the nearest inside.
fn to_local_time<Z: TimeZone>(stamp: Stamp, zone: &Z) -> DateTime<Z> {
    let ms = stamp.ms().clamp(PRINTABLE_RANGE_MS.0, PRINTABLE_RANGE_MS.1);
    DateTime::from_timestamp_millis(ms).expect("the years 1 to 9999 are in the calendar").with_timezone(zone)
}

/// The hour and minute in `zone`: `13:40`.
pub fn format_hhmm<Z: TimeZone<Offset: Display>>(stamp: Stamp, zone: &Z) -> String {
    to_local_time(stamp, zone).format("%H:%M").to_string()
}

/// The day in `zone`: `2026-03-29`.
pub fn format_date<Z: TimeZone<Offset: Display>>(stamp: Stamp, zone: &Z) -> String {
    to_local_time(stamp, zone).format("%F").to_string()
}

/// The day in `zone` in words, for a title: `29 March 2026`.
pub fn format_date_words<Z: TimeZone<Offset: Display>>(stamp: Stamp, zone: &Z) -> String {
    to_local_time(stamp, zone).format("%-d %B %Y").to_string()
}

/// A time as told to a person for whom it is `now`: `13:40` today, `Sun 13:40` within six days, else `2026-03-29 13:40`.
pub fn format_when<Z: TimeZone<Offset: Display>>(stamp: Stamp, now: Stamp, zone: &Z) -> String {
    let at = to_local_time(stamp, zone);
    let days = (at.date_naive() - to_local_time(now, zone).date_naive()).num_days().abs();
    let form = match days {
        0 => "%H:%M",
        1..=6 => "%a %H:%M",
        _ => "%F %H:%M",
    };
    at.format(form).to_string()
}

/// Times in order, as told to a person for whom it is `now`, all of one width: the day stands at the first of each, and
/// nowhere where all are of today.
pub fn format_times_once_a_day<Z: TimeZone<Offset: Display>>(stamps: &[Stamp], now: Stamp, zone: &Z) -> Vec<String> {
    let today = to_local_time(now, zone).date_naive();
    let are_today = stamps.iter().all(|stamp| to_local_time(*stamp, zone).date_naive() == today);
    let mut before = are_today.then_some(today);
    let mut times: Vec<String> = Vec::with_capacity(stamps.len());
    for stamp in stamps {
        let day = to_local_time(*stamp, zone).date_naive();
        times.push(match before.replace(day) == Some(day) {
            true => format_hhmm(*stamp, zone),
            false if day == today => format_weekday_hhmm(*stamp, zone),
            false => format_when(*stamp, now, zone),
        });
    }
    let width = times.iter().map(String::len).max().unwrap_or(0);
    times.into_iter().map(|time| format!("{time:>width$}")).collect()
}

/// The weekday and the time in `zone`: `Tue 14:07`.
pub fn format_weekday_hhmm<Z: TimeZone<Offset: Display>>(stamp: Stamp, zone: &Z) -> String {
    to_local_time(stamp, zone).format("%a %H:%M").to_string()
}

/// The weekday, the day and the time in `zone`: `Tue 8 Dec 14:07`.
pub fn format_day_and_time<Z: TimeZone<Offset: Display>>(stamp: Stamp, zone: &Z) -> String {
    to_local_time(stamp, zone).format("%a %-d %b %H:%M").to_string()
}

/// RFC 3339 with the offset of `zone`, for JSON: `2026-03-29T13:40:00+01:00`, with milliseconds where there are any.
pub fn format_rfc3339<Z: TimeZone<Offset: Display>>(stamp: Stamp, zone: &Z) -> String {
    to_local_time(stamp, zone).to_rfc3339_opts(SecondsFormat::AutoSi, false)
}

/// RFC 3339 in UTC, always with milliseconds and offset, so that a column of them is of one form:
/// `2026-03-29T12:40:00.000+00:00`.
pub fn format_utc(stamp: Stamp) -> String {
    to_local_time(stamp, &chrono::Utc).to_rfc3339_opts(SecondsFormat::Millis, false)
}

/// What is left of a wait: `12:04` under an hour, `1 h 20 min` under a day, then `2 days 3 h`; past zero it counts up, `+3:10`.
///
/// A time left is rounded up and a time over down, so that `0:00` never shows before the wait has ended.
pub fn format_countdown(left: Span) -> String {
    let ms = left.ms();
    let (sign, s) = if ms >= 0 { ("", div_ceil(ms, 1000)) } else { ("+", ms.saturating_neg() / 1000) };
    if s < 3600 {
        return format!("{sign}{}:{:02}", s / 60, s % 60);
    }
    let whole_min = if ms >= 0 { div_ceil(s, 60) } else { s / 60 };
    format!("{sign}{}", format_hours_or_days(whole_min, ms >= 0))
}

const fn div_ceil(value: i64, unit: i64) -> i64 {
    value / unit + (value % unit > 0) as i64
}

/// `1 h 20 min` under a day, else `2 days 3 h`; `up` rounds the hours up.
fn format_hours_or_days(whole_min: i64, up: bool) -> String {
    if whole_min < 24 * 60 {
        return format_two_units((whole_min / 60, "h"), (whole_min % 60, "min"));
    }
    let h = if up { div_ceil(whole_min, 60) } else { whole_min / 60 };
    format_two_units((h / 24, if h / 24 == 1 { "day" } else { "days" }), (h % 24, "h"))
}

fn format_two_units(large: (i64, &str), small: (i64, &str)) -> String {
    match (large, small) {
        ((n, unit), (0, _)) => format!("{n} {unit}"),
        ((n, unit), (m, part)) => format!("{n} {unit} {m} {part}"),
    }
}

/// How long something lasted, whichever way it is counted: `40 s`, `4 min`, `1 h 20 min`, `2 days 3 h`, rounded to the nearest.
pub fn format_duration(span: Span) -> String {
    let s = div_round(span.abs().ms(), 1000);
    if s < 60 {
        return format!("{s} s");
    }
    match div_round(s, 60) {
        min if min < 60 => format!("{min} min"),
        min if min < 24 * 60 => format_hours_or_days(min, false),
        min => format_hours_or_days(div_round(min, 60).saturating_mul(60), false),
    }
}

const fn div_round(value: i64, unit: i64) -> i64 {
    value / unit + (value % unit * 2 >= unit) as i64
}

/// The longest wait of which minutes are said rather than hours: the waits of a recipe are minutes (assumed).
const MINUTES_MAX: i64 = 180;

/// A length of time as it is said of waits, early and late: "2 min", "100 min", "5 h 20 min". Its sign is not told.
pub fn format_wait_span(span: Span) -> String {
    let minutes = (span.abs().minutes().round() as i64).max(1);
    if minutes <= MINUTES_MAX {
        format!("{minutes} min")
    } else {
        format_duration(Span::from_s(minutes.saturating_mul(60)))
    }
}

/// How far from its time something was, `over` being negative where it came too soon: `4 min early`, `65 min late`,
/// `on time` within half a minute.
pub fn format_lateness(over: Span) -> String {
    if over.abs() <= Span::from_s(30) {
        return "on time".to_owned();
    }
    format!("{} {}", format_wait_span(over), if over < Span::ZERO { "early" } else { "late" })
}

/// Reads `22:00`: the minutes from midnight on.
pub fn parse_minute_of_day(text: &str) -> Option<u16> {
    let (h, min) = text.trim().split_once(':')?;
    let (h, min) = (parse_digits(h, 2)?, parse_digits(min, 2)?);
    (h < 24 && min < 60).then(|| u16::try_from(h * 60 + min).expect("a day has fewer minutes"))
}
