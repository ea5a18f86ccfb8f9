//! The plan from a start, and for a day of painting; and where that cannot be, what would do.

use super::board_tasks::{BoardTasks, TaskGroup};
use super::planned::BoardPlan;
use super::planned_pot::PlannedPot;
use super::search::{PlacingError, find_timetable};
use super::windows::{Minute, WorkWindow, minute_from, stamp_from};
use crate::craft::materials::PotKind;
use crate::units::{Span, Stamp};
use std::fmt;

/// A start for a day of painting is found to within so many minutes of work.
const START_STEP: Minute = 5;

/// Hands and hours.
#[derive(Debug, Clone, Copy)]
pub struct PlanBench<'a> {
    /// The working hours from now on, far enough for any plan.
    pub windows: &'a [WorkWindow],
    /// How many pairs of hands.
    pub hands: usize,
}

/// Why there is no plan.
#[derive(Debug, Clone, PartialEq)]
pub enum PlanError {
    /// Nobody works on any day.
    NoHours,
    /// One act alone is longer than any working day.
    ActTooLong {
        /// The board.
        label: String,
        /// What.
        act: String,
        /// So long.
        takes: Span,
        /// The longest hours.
        longest: Span,
    },
    /// From stipple to last coat is longer than any working day.
    RunTooLong {
        /// The board.
        label: String,
        /// So long at least.
        takes: Span,
        /// The longest hours.
        longest: Span,
    },
    /// It fits nowhere in the days looked at.
    FitsNowhere {
        /// The board.
        label: String,
        /// The act it stops at.
        act: String,
    },
    /// The day of painting cannot be kept.
    TooLate {
        /// The soonest that all are ready, begun now.
        ready: Stamp,
        /// The board alone, begun now, would be ready then.
        alone: Stamp,
        /// Which board needs longest.
        label: String,
    },
}

impl fmt::Display for PlanError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let minutes = |span: &Span| crate::text::format_duration(*span);
        match self {
            PlanError::NoHours => f.write_str("nobody works on any of these days; give other --days or --hours"),
            PlanError::ActTooLong { label, act, takes, longest } => write!(
                f,
                "{label}: {act} takes {}, and the longest hours of any day are {}; give longer --hours",
                minutes(takes),
                minutes(longest)
            ),
            PlanError::RunTooLong { label, takes, longest } => write!(
                f,
                "{label}: from stipple to last coat it takes {} on one day, and the longest hours of any day are {}; give \
                 longer --hours, or a recipe with one_day = false",
                minutes(takes),
                minutes(longest)
            ),
            PlanError::FitsNowhere { label, act } => {
                write!(f, "{label}: {act} fits into none of the days looked at; give longer --hours or more --days")
            }
            PlanError::TooLate { label, .. } => write!(f, "{label} cannot be ready so soon"),
        }
    }
}

impl std::error::Error for PlanError {}

/// The plan that has all ready soonest, begun no sooner than `start`.
///
/// # Errors
/// Where there is none.
pub fn plan_from(boards: &[BoardTasks], bench: PlanBench<'_>, start: Stamp) -> Result<BoardPlan, PlanError> {
    let windows = cut_windows(bench.windows, minute_from(start));
    let boards: Vec<BoardTasks> = boards.iter().map(|board| begin_after(board, minute_from(start))).collect();
    check_lengths(&boards, &windows)?;
    let table = find_timetable(&boards, &windows, bench.hands).map_err(|error| describe(&boards, error))?;
    Ok(BoardPlan::from_timetable(&boards, &table, start))
}

/// The plan that has all ready by that moment and begins latest; `now` is the soonest it may begin.
///
/// # Errors
/// [`PlanError::TooLate`] where the day cannot be kept.
pub fn plan_until(
    boards: &[BoardTasks],
    bench: PlanBench<'_>,
    now: Stamp,
    ready_by: Stamp,
) -> Result<BoardPlan, PlanError> {
    let soonest = plan_from(boards, bench, now)?;
    if soonest.ready > ready_by {
        return Err(too_late(boards, bench, now, &soonest));
    }
    let windows = cut_windows(bench.windows, minute_from(now));
    let within = |start: Minute| {
        let plan = plan_from(boards, bench, stamp_from(start)).ok()?;
        (plan.ready <= ready_by && plan.long_gaps <= soonest.long_gaps).then_some(plan)
    };
    // The latest hours at whose beginning it is not too late, then the latest minute in them.
    let latest = windows.partition_point(|window| stamp_from(window.from) < ready_by);
    let found = windows[..latest].iter().rev().find_map(|window| Some((window, within(window.from)?)));
    let Some((window, mut best)) = found else { return Ok(soonest) };
    let (mut good, mut bad) = (window.from, window.to);
    while bad - good > START_STEP {
        let middle = good + (bad - good) / 2;
        match within(middle) {
            Some(plan) => (good, best) = (middle, plan),
            None => bad = middle,
        }
    }
    Ok(best)
}

fn too_late(boards: &[BoardTasks], bench: PlanBench<'_>, now: Stamp, soonest: &BoardPlan) -> PlanError {
    let alone = |board: &BoardTasks| {
        let plan = plan_from(std::slice::from_ref(board), bench, now).ok()?;
        Some((plan.ready, board.opened.label.clone()))
    };
    let slowest = boards.iter().filter_map(alone).max_by_key(|(ready, _)| *ready);
    let (alone, label) = slowest.unwrap_or((soonest.ready, String::new()));
    PlanError::TooLate { ready: soonest.ready, alone, label }
}

/// Those hours from that minute on.
pub(super) fn cut_windows(windows: &[WorkWindow], from: Minute) -> Vec<WorkWindow> {
    let cut = windows.iter().map(|window| WorkWindow { from: window.from.max(from), ..*window });
    cut.filter(|window| window.length() > 0).collect()
}

/// The same board, begun no sooner than that.
pub(super) fn begin_after(board: &BoardTasks, start: Minute) -> BoardTasks {
    let mut board = board.clone();
    board.tasks.iter_mut().for_each(|task| task.release = task.release.max(start));
    board
}

fn check_lengths(boards: &[BoardTasks], windows: &[WorkWindow]) -> Result<(), PlanError> {
    if boards.iter().all(|board| board.tasks.is_empty()) {
        return Ok(());
    }
    let longest = windows.iter().map(|window| window.length()).max().ok_or(PlanError::NoHours)?;
    let longest_day = windows.chunk_by(|a, b| a.day == b.day).map(|day| day[day.len() - 1].to - day[0].from).max();
    let longest_day = longest_day.unwrap_or(longest);
    let span = |minutes: Minute| Span::from_min(minutes as f64);
    for board in boards {
        let label = || board.opened.label.clone();
        if let Some(task) = board.tasks.iter().find(|task| task.work > longest) {
            let (act, takes) = (task.stage.to_string(), span(task.work));
            return Err(PlanError::ActTooLong { label: label(), act, takes, longest: span(longest) });
        }
        let laying = board.groups().into_iter().filter(|(group, _)| *group == TaskGroup::Laying && board.one_day);
        for (_, range) in laying.filter(|(_, range)| board.tasks[range.start].bound_at.is_none()) {
            // The pot is melted right before it at least.
            let melt = PlannedPot::new(PotKind::Gesso, &board.opened.recipe, None).melt;
            let takes = board.shortest_run(&range) + melt;
            if takes > longest_day {
                return Err(PlanError::RunTooLong { label: label(), takes: span(takes), longest: span(longest_day) });
            }
        }
    }
    Ok(())
}

fn describe(boards: &[BoardTasks], error: PlacingError) -> PlanError {
    match error {
        PlacingError::FitsNowhere { board, range, .. } => PlanError::FitsNowhere {
            label: boards[board].opened.label.clone(),
            act: boards[board].tasks[range.start].stage.to_string(),
        },
    }
}
