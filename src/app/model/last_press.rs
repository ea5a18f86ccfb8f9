//! What this window recorded last, as it can be taken back.

use crate::units::{Id, Moment};

/// What this window recorded last.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct LastPress {
    pub(super) facts: PressedFacts,
    pub(super) at: Moment,
    /// Whether another window, or a script, recorded something since.
    pub(super) is_overtaken: bool,
}

/// The facts of one press.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum PressedFacts {
    /// Of boards, each with its `seq`: one, or those of a whole pass.
    Boards(Vec<(Id, u64)>),
    /// Of a pot.
    Pot(Id, u64),
}
