//! The queue: in which order boards and pots want somebody.

use crate::units::{Id, Moment, Span, Stamp};
use crate::work::panel::event::{Stage, StageKind};
use crate::work::panel::phase::{PanelPhase, PanelStatus};
use crate::work::panel::state::Panel;
use crate::work::pot::fold::Pot;
use crate::work::pot::forecast::CoatPreparation;

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

/// What a pot wants.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PotNeed {
    /// Out of the bath.
    OutOfBath,
    /// Into the bath, so that it is liquid for the next coat.
    IntoBath,
    /// A bowl of it is thinned for the next coat.
    ThinBowl,
    /// Its glue has soaked and is to be melted.
    Melt,
}

impl PotNeed {
    /// As it is said: `out of the bath`.
    pub const fn words(self) -> &'static str {
        match self {
            PotNeed::OutOfBath => "out of the bath",
            PotNeed::IntoBath => "into the bath",
            PotNeed::ThinBowl => "thin the bowl",
            PotNeed::Melt => "melt it gently",
        }
    }
}

/// What is to be done, on a board or to a pot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum QueuedAct {
    /// That stage of a board, with its direction.
    Board(Stage),
    /// A pot wants that.
    Pot(PotNeed),
}

/// One line of the queue.
#[derive(Debug, Clone, PartialEq)]
pub struct QueueEntry {
    /// The board or pot.
    pub id: Id,
    /// What the maker calls it, as typed.
    pub label: String,
    /// What is to be done.
    pub act: QueuedAct,
    /// When; none where it can be done at any time.
    pub due_at: Option<Stamp>,
    /// It can be done now.
    pub is_ready: bool,
}

/// What a pot wants next and when; `next_coat` is when pot and bowl are to be seen to for the soonest coat from it, where
/// one is waited for. None where it wants nothing.
pub fn find_pot_need(pot: &Pot, next_coat: Option<CoatPreparation>, now: Moment) -> Option<(PotNeed, Stamp)> {
    if pot.end().is_some() {
        return None;
    }
    if let Some(bath) = pot.current_bath() {
        return Some((PotNeed::OutOfBath, bath.in_at.wall + Span::from_min(pot.recipe().gesso.melt_min)));
    }
    if let Some(soak) = pot.soak_countdown(now) {
        return Some((PotNeed::Melt, soak.due_at));
    }
    let CoatPreparation { bath_by, bowl_at } = next_coat?;
    Some(bath_by.map_or((PotNeed::ThinBowl, bowl_at), |by| (PotNeed::IntoBath, by)))
}

/// Everything that comes, in order: boards as [`board_order`] has them, those finished or given up left out, and pots
/// among them by their times; of two at one time the pot first, since it spoils. `pots` are told with what each wants.
pub fn build_queue(
    boards: &[(Id, &Panel, PanelStatus)],
    pots: &[(&Pot, PotNeed, Stamp)],
    pass_kind: Option<StageKind>,
    now: Stamp,
) -> Vec<QueueEntry> {
    let of_pot = |(pot, need, due_at): &(&Pot, PotNeed, Stamp)| {
        let entry = QueueEntry {
            id: pot.opened().id.clone(),
            label: pot.opened().label.clone(),
            act: QueuedAct::Pot(*need),
            due_at: Some(*due_at),
            is_ready: *due_at <= now,
        };
        ((pot_pressure(*due_at, now), Some(*due_at)), entry)
    };
    let of_board = |(id, panel, status): &(Id, &Panel, PanelStatus)| {
        let entry = QueueEntry {
            id: id.clone(),
            label: panel.opened().label.clone(),
            act: QueuedAct::Board(status.stage_to_record()?),
            due_at: status.due_at,
            is_ready: status.phase != PanelPhase::Waiting,
        };
        Some((order_key(panel, status, pass_kind), entry))
    };
    let mut queue: Vec<_> = pots.iter().map(of_pot).chain(boards.iter().filter_map(of_board)).collect();
    queue.sort_by_key(|(key, _)| *key);
    queue.into_iter().map(|(_, entry)| entry).collect()
}

fn pot_pressure(due_at: Stamp, now: Stamp) -> Pressure {
    match due_at - now {
        left if left <= Span::ZERO => Pressure::CoatDue,
        left if left <= SOON => Pressure::DueSoon,
        _ => Pressure::Waiting,
    }
}
