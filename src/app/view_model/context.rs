//! How a picture is told: at which moment, in which zone and units, and which of several sentences by turns.

use crate::app::model::Model;
use crate::text::UnitSystem;
use crate::units::{Moment, Span, Stamp};
use chrono::{DateTime, TimeZone};
use std::fmt::Display;

/// How a picture is told: in which zone and units, and at which moment.
#[derive(Debug, Clone, Copy)]
pub struct ViewContext<'a, Z> {
    /// The moment.
    pub now: Moment,
    /// The zone of its clock.
    pub zone: &'a Z,
    /// What sizes are told in.
    pub units: UnitSystem,
}

/// One of several, a different one every twenty seconds, so that all come round on a small screen.
pub(super) fn pick_rotating<'a, T>(view: &Model, of: &'a [T], now: Moment) -> Option<&'a T> {
    let turn =
        now.wall.ms().div_euclid(view.scale_by_pace(Span::from_s(20)).ms().max(1)).rem_euclid(of.len().max(1) as i64);
    of.get(turn as usize)
}

pub(super) fn format_weekday_time<Z: TimeZone<Offset: Display>>(stamp: Stamp, zone: &Z) -> String {
    let local = DateTime::from_timestamp_millis(stamp.ms()).unwrap_or_default().with_timezone(zone);
    local.format("%a %H:%M").to_string()
}
