//! What is recorded of plans: that one was made.

use super::calendar::kept::KeptPlan;

/// A fact of the plan's journal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PlanEvent {
    /// A plan was made, and holds instead of any before it.
    Planned(Box<KeptPlan>),
    /// A word of a newer version.
    Unknown {
        /// The word.
        name: String,
    },
}

impl PlanEvent {
    /// The word written under `fact`.
    pub fn name(&self) -> &str {
        match self {
            PlanEvent::Planned(_) => "planned",
            PlanEvent::Unknown { name } => name,
        }
    }
}
