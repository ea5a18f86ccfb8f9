//! The plan that is kept, looked at by the day or by two weeks.

/// Two weeks are shown at once.
pub const DAYS_OF_WEEKS: i64 = 14;

/// Which part of the plan is looked at.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PlanOverlay {
    /// Two weeks, not one day.
    pub shows_weeks: bool,
    /// So many days behind the first that is shown by itself.
    pub day_offset: i64,
    /// What the plan made last does otherwise than the one before it.
    pub change: Vec<String>,
}
