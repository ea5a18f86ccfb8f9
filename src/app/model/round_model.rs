//! What the view remembers of a round over several boards.

use crate::units::{Id, Moment};
use crate::work::panel::event::StageKind;

/// What the view remembers of a round.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct RoundModel {
    /// Whether the most pressing board was shown at the beginning.
    pub(super) is_opened: bool,
    /// The kind of the act pressed last, which goes on from board to board.
    pub(super) pass_kind: Option<StageKind>,
    /// The block name of each snapshot.
    pub(super) block_names: Vec<String>,
    /// The boards in the order in which they are gone through, and when the last step was.
    pub(super) step_order: Option<(Vec<Id>, Moment)>,
}
