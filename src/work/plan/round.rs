//! The rest of a session played forward: boards in turn under one pair of hands, or several.
//!
//! Greedy, as the bench leads: whoever is free takes the board that fell due first; where none is due, one that waits for
//! nothing; else waits for the next. A hand is busy for the minutes of a coat. The pot is taken to be liquid.

use super::board_load::BoardLoad;
use crate::units::{Span, Stamp};
use crate::work::panel::wait::TOLERANCE;
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Which end of the waits' range a round is played with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WaitBound {
    /// The shortest waits.
    Shortest,
    /// The longest.
    Longest,
}

/// One coat as it would be laid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PlannedCoat {
    /// The place of its board among the loads.
    pub board: usize,
    /// When it fell due, where a wait or a plan says so.
    pub due_at: Option<Stamp>,
    /// When it is begun.
    pub begun_at: Stamp,
    /// When it is done.
    pub done_at: Stamp,
    /// The time from the coat below to its end, where one lies below.
    pub gap: Option<Span>,
}

impl PlannedCoat {
    /// How long after its due it is begun.
    pub fn late_by(&self) -> Span {
        self.due_at.map_or(Span::ZERO, |due| self.begun_at - due).max(Span::ZERO)
    }
}

/// Two boards that fall due at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Clash {
    /// The place of the board that is in the hand then.
    pub in_hand: usize,
    /// The place of the board that has to wait for it.
    pub kept_waiting: usize,
    /// When the second falls due.
    pub at: Stamp,
}

/// The coats to come, in the order in which they are begun.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Round {
    /// The coats.
    pub coats: Vec<PlannedCoat>,
    now: Stamp,
}

impl Round {
    /// Plays the loads forward from `now` with so many pairs of hands, at least one. Where one more pair would by the
    /// greedy order end later, it stands by.
    pub fn play(loads: &[BoardLoad], hands: usize, bound: WaitBound, now: Stamp) -> Round {
        let most = hands.min(loads.len()).max(1);
        let rounds = (1..=most).rev().map(|hands| Player::new(loads, hands, bound, now).play());
        rounds.min_by_key(|round| round.end_at()).unwrap_or(Round { coats: Vec::new(), now })
    }

    /// When the last coat is laid; now where there is none.
    pub fn end_at(&self) -> Stamp {
        self.coats.iter().map(|coat| coat.done_at).max().unwrap_or(self.now)
    }

    /// The longest a coat is begun after it fell due.
    pub fn worst_late(&self) -> Span {
        self.coats.iter().map(PlannedCoat::late_by).max().unwrap_or(Span::ZERO)
    }

    /// The longest by which a coat comes after its board's long gap; none where none does.
    pub fn worst_long_gap(&self, loads: &[BoardLoad]) -> Option<Span> {
        let over = |coat: &PlannedCoat| Some(coat.gap? - loads.get(coat.board)?.long_gap);
        self.coats.iter().filter_map(over).max().filter(|over| *over > Span::ZERO)
    }

    /// The first time from now on that a board falls due while the hand lays another that was due.
    pub fn first_clash(&self) -> Option<Clash> {
        let mut late: Vec<&PlannedCoat> = self.coats.iter().filter(|coat| coat.late_by() > TOLERANCE).collect();
        late.sort_by_key(|coat| coat.due_at);
        let clash = |coat: &PlannedCoat| {
            let due = coat.due_at.filter(|due| *due >= self.now)?;
            let held = |other: &&PlannedCoat| {
                other.board != coat.board && other.due_at.is_some() && other.begun_at <= due && due < other.done_at
            };
            let in_hand = self.coats.iter().find(held)?.board;
            Some(Clash { in_hand, kept_waiting: coat.board, at: due })
        };
        late.into_iter().find_map(clash)
    }
}

/// A board while the round is played.
#[derive(Debug, Clone, Copy)]
struct BoardProgress {
    coats_done: usize,
    due_at: Option<Stamp>,
    last_done_at: Option<Stamp>,
}

/// A round while it is played.
struct Player<'a> {
    loads: &'a [BoardLoad],
    bound: WaitBound,
    now: Stamp,
    boards: Vec<BoardProgress>,
    /// When each pair of hands is free.
    hands: BinaryHeap<Reverse<Stamp>>,
    /// Boards that may not be touched yet, by when they may.
    waiting: BinaryHeap<Reverse<(Stamp, usize)>>,
    /// Boards that may: those due before those that wait for nothing, by due, by place.
    ready: BinaryHeap<Reverse<(bool, Option<Stamp>, usize)>>,
    coats: Vec<PlannedCoat>,
}

impl<'a> Player<'a> {
    fn new(loads: &'a [BoardLoad], hands: usize, bound: WaitBound, now: Stamp) -> Player<'a> {
        let board =
            |load: &BoardLoad| BoardProgress { coats_done: 0, due_at: load.due_at, last_done_at: load.last_done_at };
        Player {
            loads,
            bound,
            now,
            boards: loads.iter().map(board).collect(),
            hands: std::iter::repeat_n(Reverse(now), hands).collect(),
            waiting: BinaryHeap::new(),
            ready: BinaryHeap::new(),
            coats: Vec::with_capacity(loads.iter().map(|load| load.coats.len()).sum()),
        }
    }

    fn play(mut self) -> Round {
        // What is in the hand is finished first.
        let (in_hand, others): (Vec<usize>, Vec<usize>) =
            (0..self.loads.len()).partition(|board| self.loads[*board].is_in_hand);
        for board in in_hand {
            let free = self.hands.pop().map_or(self.now, |Reverse(free)| free);
            self.lay(board, free);
        }
        for board in others {
            let ready_at = self.boards[board].due_at.unwrap_or(self.now).max(self.now);
            self.waiting.push(Reverse((ready_at, board)));
        }
        while let Some(Reverse(free)) = self.hands.pop() {
            let Some((board, at)) = self.next_board(free) else { break };
            self.lay(board, at);
        }
        Round { coats: self.coats, now: self.now }
    }

    /// The board for a hand that is free then, and when it can begin; none where no coat is left.
    fn next_board(&mut self, free: Stamp) -> Option<(usize, Stamp)> {
        let soonest = self.waiting.peek().map(|Reverse((at, _))| *at);
        let at = if self.ready.is_empty() { soonest?.max(free) } else { free };
        while let Some(Reverse((ready_at, board))) = self.waiting.pop() {
            if ready_at > at {
                self.waiting.push(Reverse((ready_at, board)));
                break;
            }
            let due_at = self.boards[board].due_at;
            self.ready.push(Reverse((due_at.is_none(), due_at, board)));
        }
        // Another hand may have seen to it that a board stands here which this one, free earlier, has to wait for.
        self.ready.pop().map(|Reverse((_, due_at, board))| (board, due_at.map_or(at, |due| due.max(at))))
    }

    fn lay(&mut self, board: usize, begun_at: Stamp) {
        let progress = &mut self.boards[board];
        let Some(coat) = self.loads[board].coats.get(progress.coats_done) else { return };
        let done_at = begun_at + coat.work;
        let gap = progress.last_done_at.map(|below| done_at - below);
        let due_at = progress.due_at.filter(|_| progress.coats_done > 0 || !self.loads[board].is_in_hand);
        self.coats.push(PlannedCoat { board, due_at, begun_at, done_at, gap });
        let wait = match self.bound {
            WaitBound::Shortest => coat.wait.0,
            WaitBound::Longest => coat.wait.1,
        };
        let due_at = done_at + wait;
        *progress =
            BoardProgress { coats_done: progress.coats_done + 1, due_at: Some(due_at), last_done_at: Some(done_at) };
        self.hands.push(Reverse(done_at));
        if progress.coats_done < self.loads[board].coats.len() {
            self.waiting.push(Reverse((due_at, board)));
        }
    }
}
