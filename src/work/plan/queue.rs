//! The queue: in which order boards and pots want somebody.

use crate::units::{Id, Span, Stamp};
use crate::work::panel::event::StageKind;
use crate::work::panel::phase::{PanelPhase, PanelStatus};
use crate::work::panel::state::Panel;

/// A wait that ends within so long is kept in view; what has longer to go comes after whatever is ready (assumed).
pub const SOON: Span = Span::from_s(2 * 3600);

/// How pressing a board is, the most pressing first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Pressure {
    /// Begun and not done: it is in the hand.
    Begun,
    /// The wait after a coat is over, and the coat below dries on.
    CoatDue,
    /// Nothing hurries it, and it wants the act that is being done on one board after another.
    SameAct,
    /// Its wait ends within [`SOON`].
    DueSoon,
    /// Nothing hurries it.
    Ready,
    /// Its wait goes on for longer.
    Waiting,
    /// Finished or given up.
    Ended,
}

/// The boards as they come: indices into `boards`, the most pressing first. `boards` stand in their places, and boards of
/// one rank stay in that order; `pass_kind` is the act pressed last, which goes on from board to board.
pub fn board_order(boards: &[(Id, &Panel, PanelStatus)], pass_kind: Option<StageKind>) -> Vec<usize> {
    let mut order: Vec<usize> = (0..boards.len()).collect();
    order.sort_by_key(|at| order_key(boards[*at].1, &boards[*at].2, pass_kind));
    order
}

/// By pressure, then by when it falls due; where nothing falls due, the place decides.
fn order_key(panel: &Panel, status: &PanelStatus, pass_kind: Option<StageKind>) -> (Pressure, Option<Stamp>) {
    let pressure = pressure(panel, status, pass_kind);
    let by_due = match pressure {
        Pressure::CoatDue | Pressure::DueSoon | Pressure::Waiting => true,
        Pressure::Begun | Pressure::SameAct | Pressure::Ready | Pressure::Ended => false,
    };
    (pressure, status.due_at.filter(|_| by_due))
}

fn pressure(panel: &Panel, status: &PanelStatus, pass_kind: Option<StageKind>) -> Pressure {
    match status.phase {
        PanelPhase::Working => Pressure::Begun,
        PanelPhase::Ready if panel.current_wait().is_some_and(|wait| wait.self_ending_index.is_none()) => {
            Pressure::CoatDue
        }
        PanelPhase::Ready if pass_kind.is_some() && status.stage.map(|s| s.kind) == pass_kind => Pressure::SameAct,
        PanelPhase::Ready => Pressure::Ready,
        PanelPhase::Waiting if status.time_left.is_some_and(|left| left <= SOON) => Pressure::DueSoon,
        PanelPhase::Waiting => Pressure::Waiting,
        PanelPhase::Finished | PanelPhase::Abandoned => Pressure::Ended,
    }
}
