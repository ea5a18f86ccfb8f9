//! How a view model is told: at which moment, in which zone and units, and which of several sentences by turns.

use crate::app::model::Model;
use crate::text::UnitSystem;
use crate::units::{Moment, Span};

/// How a view model is told: in which zone and units, and at which moment.
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
pub(super) fn pick_rotating<'a, T>(model: &Model, of: &'a [T], now: Moment) -> Option<&'a T> {
    let turn =
        now.wall.ms().div_euclid(model.scale_by_pace(Span::from_s(20)).ms().max(1)).rem_euclid(of.len().max(1) as i64);
    of.get(turn as usize)
}
