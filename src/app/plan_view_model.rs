//! The plan as it is drawn, as plain data: boards down, time across.

use super::keymap::KeyHint;
use crate::craft::recipe::Direction;
use crate::work::panel::event::StageKind;

/// A part of the time across: where it begins and ends, as parts of the whole from 0 to 1.
pub type TimePart = (f64, f64);

/// What a bar stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PlanBarKind {
    /// The act.
    pub kind: StageKind,
    /// The direction it is laid in, where it has one.
    pub direction: Option<Direction>,
    /// It lies on the board already.
    pub is_done: bool,
}

/// One board's line.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanRow {
    /// What the maker calls it.
    pub name: String,
    /// Its acts.
    pub bars: Vec<(TimePart, PlanBarKind)>,
    /// How far it is from the plan: `12 min late`; empty where nothing is to be said.
    pub drift: String,
    /// It is behind the plan.
    pub is_late: bool,
}

/// The plan of a day or of two weeks.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PlanViewModel {
    /// Which days, and when all are ready.
    pub title: String,
    /// What stands above the time: where, and what.
    pub ticks: Vec<(f64, String)>,
    /// The boards, in the order in which the bench leads through them.
    pub rows: Vec<PlanRow>,
    /// When hands are busy, with boards or pots.
    pub load: Vec<TimePart>,
    /// Minutes of work of each part, where parts are days.
    pub day_minutes: Vec<(f64, String)>,
    /// The moment it is now, where it lies in this time.
    pub now: Option<f64>,
    /// What is to be said: how far reality is from the plan, what moved.
    pub notes: Vec<String>,
    /// What rings or went wrong; empty if nothing.
    pub alert: String,
    /// The keys worth naming.
    pub keys: Vec<KeyHint>,
}
