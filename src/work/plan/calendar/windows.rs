//! The hours in which somebody works, as moments.

use crate::text::{WorkWeek, local_day, local_minute};
use crate::units::Stamp;
use chrono::{Datelike, Days, TimeZone};

/// Minutes since 1970.
pub type Minute = i64;

/// The minute that moment lies in, or the next where it has begun.
pub const fn minute_from(stamp: Stamp) -> Minute {
    stamp.ms().div_euclid(60_000) + (stamp.ms().rem_euclid(60_000) > 0) as i64
}

/// The moment that minute begins.
pub const fn stamp_from(minute: Minute) -> Stamp {
    Stamp::from_ms(minute.saturating_mul(60_000))
}

/// Some hours without a break in which somebody works.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WorkWindow {
    /// The first minute.
    pub from: Minute,
    /// The first minute after it.
    pub to: Minute,
    /// The day it belongs to, counted on; hours of one day may have a break between them.
    pub day: i64,
}

impl WorkWindow {
    /// How long it is, minutes.
    pub const fn length(self) -> Minute {
        self.to - self.from
    }
}

/// The working hours of so many days from that moment on, cut off at it. An hour over which the clocks are put forward is
/// missing from its day, and one that comes twice is worked twice.
pub fn work_windows(week: &WorkWeek, from: Stamp, days: u32, zone: &impl TimeZone) -> Vec<WorkWindow> {
    let first = local_day(from, zone);
    let dates = (0..u64::from(days)).filter_map(|n| first.checked_add_days(Days::new(n)));
    let start = minute_from(from);
    let hours = dates.flat_map(|date| week.hours_on(date).into_iter().map(move |hours| (date, hours)));
    let window = hours.map(|(date, hours)| WorkWindow {
        from: minute_from(local_minute(date, hours.start_min, zone)).max(start),
        to: minute_from(local_minute(date, hours.end_min, zone)),
        day: i64::from(date.num_days_from_ce()),
    });
    window.filter(|window| window.length() > 0).collect()
}

/// Whole minutes, rounded up; a hair above a whole one is a rounding of floats.
pub fn ceil_minutes(minutes: f64) -> Minute {
    (minutes - 1e-6).ceil().max(0.0) as Minute
}
