//! A plan as it is told: every act and wait in the order of the hours, and what speaks for it.

use super::bench_time::{BathTime, BenchTime, PotLead, SOAK_WORK, TaskPlace};
use super::board_tasks::{BoardTasks, TaskGroup};
use super::planned_pot::PlannedPot;
use super::search::{Timetable, lower_bound, ready_at, run_minutes};
use super::windows::{Minute, stamp_from};
use crate::craft::materials::PotKind;
use crate::units::{Id, Size, Span, Stamp};
use crate::work::panel::event::Stage;

/// What is done, or goes on by itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PlannedKind {
    /// An act on a board.
    Act(Stage),
    /// A board cures, dries or rests until the next act.
    BoardWait(Stage),
    /// Glue is put to soak.
    PutToSoak,
    /// Glue soaks.
    Soak,
    /// A pot is made.
    MakePot,
    /// A pot is melted again.
    MeltPot,
}

/// One line of the plan.
#[derive(Debug, Clone, PartialEq)]
pub struct PlannedAct {
    /// Whose: a board of the plan by its place, or none for a pot.
    pub board: Option<usize>,
    /// What.
    pub kind: PlannedKind,
    /// When it begins.
    pub start: Stamp,
    /// When it ends.
    pub end: Stamp,
    /// Whether it wants hands.
    pub is_attended: bool,
    /// Why then.
    pub reason: String,
    /// Which of the plan's pots it is about, or is laid from.
    pub pot: Option<usize>,
    /// Its kind, for an act on a pot.
    pub pot_kind: Option<PotKind>,
    /// It comes later than the recipe's bound.
    pub is_long_gap: bool,
}

/// Two boards that want the same hand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlanClash {
    /// When.
    pub at: Stamp,
    /// The board kept waiting, by its place.
    pub kept_waiting: usize,
    /// How long.
    pub waits: Span,
}

/// A board of the plan.
#[derive(Debug, Clone, PartialEq)]
pub struct PlannedBoard {
    /// Its id, or the one given to a board not opened.
    pub id: Id,
    /// What the maker calls it.
    pub label: String,
    /// How large.
    pub size: Size,
    /// When it can be painted.
    pub ready: Stamp,
    /// Whether anything is left to do.
    pub has_acts: bool,
}

/// A plan.
#[derive(Debug, Clone, PartialEq)]
pub struct BoardPlan {
    /// The boards.
    pub boards: Vec<PlannedBoard>,
    /// The first act begins.
    pub start: Stamp,
    /// All can be painted.
    pub ready: Stamp,
    /// Hands are busy for so long.
    pub hands_on: Span,
    /// Every act and every long wait, by their beginnings.
    pub acts: Vec<PlannedAct>,
    /// Where a coat has to wait for a hand.
    pub clashes: Vec<PlanClash>,
    /// From stipple to last coat, all boards together.
    pub runs: Span,
    /// No plan has less.
    pub runs_bound: Span,
    /// Coats beyond their bound.
    pub long_gaps: usize,
    /// The pots, those that stand there already and those that are made.
    pub pots: Vec<PlannedPot>,
}

/// A wait shorter than this stands in no plan by itself: what comes next tells it (assumed).
const WAIT_TOLD: Minute = 120;

impl BoardPlan {
    /// What those places come to. `start` is the moment from which was planned.
    pub fn from_timetable(boards: &[BoardTasks], table: &Timetable<'_>, start: Stamp) -> BoardPlan {
        let mut acts: Vec<PlannedAct> = Vec::new();
        let mut clashes = Vec::new();
        for (i, (board, places)) in boards.iter().zip(&table.places).enumerate() {
            acts.extend(board_acts(i, board, places, &table.bench));
            clashes.extend(board_clashes(i, board, places));
        }
        for bath in &table.bench.baths {
            acts.extend(bath_acts(bath, &table.bench));
        }
        acts.sort_by_key(|act| (act.start, act.end, act.board));
        clashes.sort_by_key(|clash| (clash.at, clash.kept_waiting));
        let attended = acts.iter().filter(|act| act.is_attended);
        let hands_on = attended.clone().fold(Span::ZERO, |sum, act| sum + (act.end - act.start));
        let runs = boards.iter().zip(&table.places).map(|(board, places)| run_minutes(board, places)).sum::<Minute>();
        BoardPlan {
            boards: boards.iter().zip(&table.places).map(|(board, places)| planned_board(board, places)).collect(),
            start: attended.map(|act| act.start).min().unwrap_or(start),
            ready: stamp_from(table.score.ready),
            hands_on,
            clashes,
            runs: Span::from_min(runs as f64),
            runs_bound: Span::from_min(lower_bound(boards) as f64),
            long_gaps: table.score.long_gaps,
            pots: table.bench.pots.as_ref().clone(),
            acts,
        }
    }
}

fn planned_board(board: &BoardTasks, places: &[TaskPlace]) -> PlannedBoard {
    PlannedBoard {
        id: board.opened.id.clone(),
        label: board.opened.label.clone(),
        size: board.opened.size,
        ready: stamp_from(ready_at(board, places)),
        has_acts: !board.tasks.is_empty(),
    }
}

fn act(board: Option<usize>, kind: PlannedKind, (start, end): (Minute, Minute), reason: String) -> PlannedAct {
    let is_attended = match kind {
        PlannedKind::Act(_) | PlannedKind::PutToSoak | PlannedKind::MakePot | PlannedKind::MeltPot => true,
        PlannedKind::BoardWait(_) | PlannedKind::Soak => false,
    };
    let (start, end) = (stamp_from(start), stamp_from(end));
    PlannedAct { board, kind, start, end, is_attended, reason, pot: None, pot_kind: None, is_long_gap: false }
}

fn board_acts(number: usize, board: &BoardTasks, places: &[TaskPlace], bench: &BenchTime<'_>) -> Vec<PlannedAct> {
    let mut acts = Vec::new();
    let end_of = |i: usize| places[i].start + board.tasks[i].work;
    for (i, (task, place)) in board.tasks.iter().zip(places).enumerate() {
        let bound = task.bound.map(|(below, gap)| end_of(below) + gap).or(task.bound_at);
        let is_late = bound.is_some_and(|bound| place.start > bound);
        let due = task.after.iter().map(|(before, least)| end_of(*before) + least).max();
        let reason = match due {
            _ if is_late => "later than the recipe's bound, and there is no other way".to_owned(),
            Some(due) if place.start == due => "as soon as the wait before it is over".to_owned(),
            Some(_) => "the first time hands and bench are free after its wait".to_owned(),
            None => "the first time hands and bench are free".to_owned(),
        };
        let span = (place.start, place.start + task.work);
        let pot = bench.pot_of(board, task);
        let told = act(Some(number), PlannedKind::Act(task.stage), span, reason);
        acts.push(PlannedAct { is_long_gap: is_late, pot, ..told });
        let next = places.get(i + 1).map_or_else(|| span.1 + board.ready_after, |next| next.start);
        let least = match board.tasks.get(i + 1) {
            Some(next) => next.after.iter().filter(|(before, _)| *before == i).map(|(_, least)| *least).max(),
            None => Some(board.ready_after),
        };
        if let Some(least) = least.filter(|least| *least >= WAIT_TOLD) {
            let reason = format!("at least {} h", (least as f64 / 6.0).round() / 10.0);
            acts.push(act(Some(number), PlannedKind::BoardWait(task.stage), (span.1, next), reason));
        }
    }
    acts
}

/// Coats between stipple and last that come later than their wait asks.
fn board_clashes(number: usize, board: &BoardTasks, places: &[TaskPlace]) -> Vec<PlanClash> {
    let laying = |i: usize| TaskGroup::of(board.tasks[i].stage.kind) == TaskGroup::Laying;
    let late = |i: usize| {
        let task = &board.tasks[i];
        let due = task.after.iter().filter(|(before, _)| laying(*before));
        let due = due.map(|(before, least)| places[*before].start + board.tasks[*before].work + least).max()?;
        let waits = Span::from_min((places[i].start - due) as f64);
        (waits > Span::ZERO).then(|| PlanClash { at: stamp_from(due), kept_waiting: number, waits })
    };
    (0..places.len()).filter(|i| laying(*i)).filter_map(late).collect()
}

fn bath_acts(bath: &BathTime, bench: &BenchTime<'_>) -> Vec<PlannedAct> {
    let pot = &bench.pots[bath.pot];
    let mut acts = Vec::new();
    let made = match bath.lead {
        PotLead::Make { soak_at } => {
            let hours = (pot.soak as f64 / 6.0).round() / 10.0;
            if let Some(soak_at) = soak_at {
                let span = (soak_at, soak_at + SOAK_WORK);
                // Longer than a day, wet glue spoils in a warm room (common practice, no source).
                let cold =
                    if bath.from - span.1 > 24 * 60 { "; it stands longer than a day: keep it cold" } else { "" };
                let reason = format!("glue soaks {hours} h before it melts{cold}");
                acts.push(act(None, PlannedKind::PutToSoak, span, reason));
                acts.push(act(None, PlannedKind::Soak, (span.1, bath.from), format!("at least {hours} h")));
            }
            Some(PlannedKind::MakePot)
        }
        PotLead::Melt => Some(PlannedKind::MeltPot),
        // It is warm already.
        PotLead::Nothing => None,
    };
    let reason = "the first coat from it comes right after".to_owned();
    acts.extend(made.map(|kind| act(None, kind, (bath.from, bath.ready), reason)));
    acts.into_iter().map(|act| PlannedAct { pot: Some(bath.pot), pot_kind: Some(pot.kind), ..act }).collect()
}
