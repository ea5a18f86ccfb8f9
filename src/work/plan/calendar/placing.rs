//! One piece of one board put on the calendar.
//!
//! A piece that may be broken off at any time takes each act at its first place. From stipple to last coat the piece is put
//! as one: every beginning is tried for which the last coat may still come sooner, or without a coat kept waiting.

use super::bench_time::{BenchTime, OwnActs, SOAK_WORK, TaskPlace, extend_bath};
use super::board_tasks::{BoardTasks, TaskGroup};
use super::windows::Minute;
use std::ops::Range;

/// What matters more while one piece is put.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PlaceBy {
    /// That its last act is done soon.
    Soonest,
    /// That none of its coats is kept waiting.
    Shortest,
    /// That it is where it was: the first beginning is taken.
    First,
}

/// What a piece is put by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PieceAims {
    /// What matters more.
    pub by: PlaceBy,
    /// So many coats of it come later than their bound in any case, since hours break it.
    pub least_gaps: usize,
}

/// Where a piece goes.
#[derive(Debug, Clone, PartialEq, Eq)]
struct PiecePlace {
    places: Vec<TaskPlace>,
    end: Minute,
    /// How many coats come later than their bound.
    long_gaps: usize,
    /// From the beginning of the first to the end of the last.
    run: Minute,
    /// The next beginning worth a try.
    next: Minute,
}

/// Why a run begun then cannot be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum RunStops {
    /// It does not end in these hours, nor would one begun later.
    OutOfHours,
    /// A coat comes too late; one begun then may do.
    TooLate {
        /// When.
        next: Minute,
    },
}

/// How the laying of a piece is bound.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct RunRules {
    /// All on the same day; the hours of a day may have a break.
    one_day: bool,
    /// No coat later than its bound.
    keeps_bounds: bool,
}

/// Puts a piece of a board on the bench and tells how many coats come later than their bound; `ends` are the ends of the
/// board's acts so far. None where it fits nowhere.
pub fn place_piece(
    bench: &mut BenchTime<'_>,
    board: &BoardTasks,
    (group, range): (TaskGroup, Range<usize>),
    ends: &mut [Option<TaskPlace>],
    aims: PieceAims,
) -> Option<usize> {
    let piece = match group {
        TaskGroup::Laying => place_laying(bench, board, &range, ends, aims)?,
        TaskGroup::Preparing | TaskGroup::Sizing | TaskGroup::Levelling | TaskGroup::Sealing | TaskGroup::Sanding => {
            let rules = RunRules { one_day: false, keeps_bounds: false };
            let first = bench.window_at(earliest(board, range.start, ends));
            (first..bench.windows().len())
                .find_map(|window| try_run(bench, board, &range, ends, (window, 0), rules).ok())?
        }
    };
    for (i, place) in range.zip(&piece.places) {
        bench.take(board, &board.tasks[i], *place);
        ends[i] = Some(*place);
    }
    Some(piece.long_gaps)
}

/// The first minute that act may begin, as far as its own board goes.
pub fn earliest(board: &BoardTasks, at: usize, ends: &[Option<TaskPlace>]) -> Minute {
    let task = &board.tasks[at];
    let end = |i: usize| ends[i].map_or(Minute::MIN / 2, |place| place.start + board.tasks[i].work);
    task.after.iter().map(|(i, least)| end(*i) + least).fold(task.release, Minute::max)
}

fn place_laying(
    bench: &BenchTime<'_>,
    board: &BoardTasks,
    range: &Range<usize>,
    ends: &[Option<TaskPlace>],
    aims: PieceAims,
) -> Option<PiecePlace> {
    let one_day = board.one_day;
    let strict = RunRules { one_day, keeps_bounds: true };
    // Only where nothing else does, a coat may come later than its bound; and only a ground that is begun already, and
    // lies over a night, may be broken off against its recipe.
    let is_begun = board.tasks[range.start].bound_at.is_some();
    let loose = [RunRules { one_day, keeps_bounds: false }, RunRules { one_day: false, keeps_bounds: false }];
    let strict = [strict].into_iter().filter(|_| aims.least_gaps == 0);
    let rules = strict.chain(loose.into_iter().take(if is_begun || !one_day { 2 } else { 1 }));
    let first = bench.window_at(earliest(board, range.start, ends));
    rules.into_iter().find_map(|rules| {
        (first..bench.windows().len()).find_map(|window| best_run_in(bench, board, range, ends, window, (aims, rules)))
    })
}

fn best_run_in(
    bench: &BenchTime<'_>,
    board: &BoardTasks,
    range: &Range<usize>,
    ends: &[Option<TaskPlace>],
    window: usize,
    (aims, rules): (PieceAims, RunRules),
) -> Option<PiecePlace> {
    let shortest = board.shortest_run(range);
    let hours = bench.windows()[window];
    let day_ends = bench.windows()[bench.last_window_of_day(window)].to;
    let mut from = earliest(board, range.start, ends).max(hours.from);
    let mut best: Option<PiecePlace> = None;
    while from < hours.to && (!rules.one_day || from + shortest <= day_ends) {
        let tried = match try_run(bench, board, range, ends, (window, from), rules) {
            Ok(tried) => tried,
            Err(RunStops::OutOfHours) => break,
            Err(RunStops::TooLate { next }) => {
                from = next.max(from + 1);
                continue;
            }
        };
        from = tried.next.max(from + 1);
        let is_tight = tried.run <= shortest;
        let key = |p: &PiecePlace| match aims.by {
            PlaceBy::Soonest | PlaceBy::First => (p.long_gaps, p.end, p.run),
            PlaceBy::Shortest => (p.long_gaps, p.run, p.end),
        };
        if best.as_ref().is_none_or(|best| key(&tried) < key(best)) {
            best = Some(tried);
        }
        let has_least = best.as_ref().is_some_and(|best| best.long_gaps <= aims.least_gaps);
        let is_done = match (aims.by, &best) {
            (PlaceBy::Soonest, Some(best)) => from + shortest >= best.end && has_least,
            (PlaceBy::Shortest, _) => is_tight && has_least,
            (PlaceBy::First, Some(_)) => true,
            (PlaceBy::Soonest | PlaceBy::First, None) => false,
        };
        if is_done {
            break;
        }
    }
    best
}

/// The piece begun no sooner than a minute of some working hours, each act at its first place.
fn try_run(
    bench: &BenchTime<'_>,
    board: &BoardTasks,
    range: &Range<usize>,
    ends: &[Option<TaskPlace>],
    (first_window, from): (usize, Minute),
    rules: RunRules,
) -> Result<PiecePlace, RunStops> {
    let mut placed = ends.to_vec();
    // A bath opened by this piece is warm for the acts after it.
    let mut own = OwnActs::default();
    let mut window = first_window;
    let mut long_gaps = 0;
    let mut first_delay = None;
    let mut places = Vec::with_capacity(range.len());
    for i in range.clone() {
        let task = &board.tasks[i];
        let least = earliest(board, i, &placed).max(from);
        let last = match (i == range.start, rules.one_day) {
            (true, _) => window,
            (false, true) => bench.last_window_of_day(first_window),
            (false, false) => bench.windows().len().saturating_sub(1),
        };
        let mut hours = window.max(bench.window_at(least))..=last;
        let place = hours.find_map(|w| bench.first_place((board, task), least, w, &own)).ok_or(RunStops::OutOfHours)?;
        first_delay = first_delay.or(Some(place.start - least).filter(|late| *late > 0 && i > range.start));
        let end_of = |i: usize| placed[i].map(|place: TaskPlace| place.start + board.tasks[i].work);
        let bound = task.bound.and_then(|(below, gap)| Some(end_of(below)? + gap)).or(task.bound_at);
        if bound.is_some_and(|bound| place.start > bound) {
            if rules.keeps_bounds && task.bound.is_none() {
                return Err(RunStops::OutOfHours);
            }
            if rules.keeps_bounds {
                let first = places.first().map_or(place.start, |place: &TaskPlace| place.start);
                return Err(RunStops::TooLate { next: first + first_delay.unwrap_or(1) });
            }
            long_gaps += 1;
        }
        if let Some(pot) = bench.pot_of(board, task) {
            let opened = extend_bath(&mut own.baths, pot, place, place.start + task.work);
            own.baths.extend(opened);
        }
        own.busy.push((place.start - place.lead, place.start + task.work));
        own.busy.extend(place.soak_at().map(|soak| (soak, soak + SOAK_WORK)));
        window = place.window;
        placed[i] = Some(place);
        places.push(place);
    }
    let first = places.first().ok_or(RunStops::OutOfHours)?.start;
    let last = places.last().ok_or(RunStops::OutOfHours)?.start + board.tasks[range.end - 1].work;
    // Begun up to so much later, the first coat that is kept waiting comes no sooner.
    Ok(PiecePlace { places, end: last, long_gaps, run: last - first, next: first + first_delay.unwrap_or(1) })
}
