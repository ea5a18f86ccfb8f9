//! All boards put on the calendar, several times in other orders; the best is kept.
//!
//! First hard rules, which no placing breaks; then the fewest coats beyond their bound; then the soonest ready; then the
//! shortest time from stipple to last coat, over all boards. Orders are drawn from a fixed seed, so that the same rack has
//! the same plan.

use super::bench_time::{BenchTime, TaskPlace};
use super::board_tasks::{BoardTasks, PlanTask, TaskGroup};
use super::placing::{PieceAims, PlaceBy, place_piece};
use super::windows::{Minute, WorkWindow};
use crate::stats::split_mix::SplitMix64;
use std::ops::Range;

/// Racks are tried in so many acts altogether; the more boards, the fewer orders.
const ACTS_TRIED: usize = 6000;
/// A coat is held back by no more minutes than this.
const HELD_BACK_MAX: usize = 4;
/// A board alone is tried on so many days from when it is free: every day of the week comes in them.
const DAYS_TRIED_ALONE: Minute = 28;
/// No more orders than this.
const ORDERS_MAX: usize = 200;

/// How good a plan is; smaller is better, the weightiest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct PlanScore {
    /// Coats later than their bound.
    pub long_gaps: usize,
    /// The last board is ready.
    pub ready: Minute,
    /// From stipple to last coat, all boards together, minutes.
    pub runs: Minute,
}

/// All acts with their places.
#[derive(Debug, Clone)]
pub struct Timetable<'a> {
    /// The places of each board's acts.
    pub places: Vec<Vec<TaskPlace>>,
    /// The bench, all taken.
    pub bench: BenchTime<'a>,
    /// How good it is.
    pub score: PlanScore,
}

/// Why there is no plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PlacingError {
    /// That piece of that board fits into no hours.
    FitsNowhere {
        /// The board.
        board: usize,
        /// Which acts.
        range: Range<usize>,
        /// Of which piece.
        group: TaskGroup,
    },
}

/// The best timetable found for those boards.
///
/// # Errors
/// Where a piece fits nowhere in any order tried.
pub fn find_timetable<'a>(
    boards: &[BoardTasks],
    windows: &'a [WorkWindow],
    hands: usize,
) -> Result<Timetable<'a>, PlacingError> {
    let acts: usize = boards.iter().map(|board| board.tasks.len()).sum();
    let tries = (ACTS_TRIED / acts.max(1)).clamp(2, ORDERS_MAX);
    let mut order: Vec<usize> = (0..boards.len()).collect();
    // The one that has most before it first; as typed where two are alike.
    order.sort_by_key(|i| (boards[*i].tasks.first().map(|task| task.release), -(boards[*i].tasks.len() as i64)));
    let mut chance = SplitMix64::new(1);
    let least_gaps = find_least_gaps(boards, windows, hands);
    let place = |boards: &[BoardTasks], order: &[usize], by: PlaceBy| {
        place_all((boards, &least_gaps), windows, hands, order, by)
    };
    let mut best: Result<Timetable<'a>, PlacingError> = place(boards, &order, PlaceBy::Soonest);
    for attempt in 1..tries {
        if best.is_ok() && boards.len() < 2 {
            break;
        }
        let by = if attempt % 2 == 1 { PlaceBy::Shortest } else { PlaceBy::Soonest };
        if attempt > 1 {
            shuffle(&mut order, &mut chance);
        }
        // After some orders, coats are held back by chance as well: others then come in between.
        let tried = if attempt > 3 && attempt % 3 != 0 {
            let loose = loosen(boards, &mut chance);
            place(&loose, &order, by)
                .map(|table| Timetable { score: score(boards, &table.places, table.score.long_gaps), ..table })
        } else {
            place(boards, &order, by)
        };
        let is_better = match (&tried, &best) {
            (Ok(tried), Ok(best)) => tried.score < best.score,
            (Ok(_), Err(_)) => true,
            (Err(_), _) => false,
        };
        if is_better {
            best = tried;
        }
    }
    let best = best.map(|table| Timetable { places: order_alike(boards, table.places), ..table })?;
    Ok(settle_pots(boards, windows, hands, &best).unwrap_or(best))
}

/// The same acts at the same hours, with the pots as they come of putting them in the order of the hours: what comes of it
/// hangs on the hours alone, and a batch made for one day is melted again for the next. None where an act would then move.
fn settle_pots<'a>(
    boards: &[BoardTasks],
    windows: &'a [WorkWindow],
    hands: usize,
    table: &Timetable<'_>,
) -> Option<Timetable<'a>> {
    let mut held = boards.to_vec();
    for (board, places) in held.iter_mut().zip(&table.places) {
        board.tasks.iter_mut().zip(places).for_each(|(task, place)| task.release = place.start);
    }
    let span = |(task, place): (&PlanTask, &TaskPlace)| (place.start, place.start + task.work);
    let acts = boards.iter().zip(&table.places).flat_map(|(board, places)| board.tasks.iter().zip(places));
    let reserved: Vec<(Minute, Minute)> = acts.map(span).collect();
    let settled = place_held(&held, windows, hands, &|_, _| true, &reserved).ok()?;
    let starts = |places: &[Vec<TaskPlace>]| places.iter().flatten().map(|place| place.start).collect::<Vec<_>>();
    let score = score(boards, &settled.places, settled.score.long_gaps);
    (starts(&settled.places) == starts(&table.places) && score == table.score).then_some(Timetable { score, ..settled })
}

/// Of boards that are alike the one named first comes first.
fn order_alike(boards: &[BoardTasks], mut places: Vec<Vec<TaskPlace>>) -> Vec<Vec<TaskPlace>> {
    let is_alike = |a: &BoardTasks, b: &BoardTasks| {
        (&a.tasks, a.ready_after, a.ready_release, &a.opened.recipe, a.opened.size)
            == (&b.tasks, b.ready_after, b.ready_release, &b.opened.recipe, b.opened.size)
    };
    let mut is_done = vec![false; boards.len()];
    for first in 0..boards.len() {
        if is_done[first] {
            continue;
        }
        let alike: Vec<usize> = (first..boards.len()).filter(|i| is_alike(&boards[first], &boards[*i])).collect();
        let mut theirs: Vec<Vec<TaskPlace>> = alike.iter().map(|i| places[*i].clone()).collect();
        theirs.sort_by_key(|of| of.iter().map(|place| place.start).collect::<Vec<_>>());
        for (i, of) in alike.into_iter().zip(theirs) {
            (places[i], is_done[i]) = (of, true);
        }
    }
    places
}

fn shuffle(order: &mut [usize], chance: &mut SplitMix64) {
    for i in (1..order.len()).rev() {
        order.swap(i, chance.next_below(i + 1));
    }
}

/// Every run at its shortest, together, minutes: no plan has less.
pub fn lower_bound(boards: &[BoardTasks]) -> Minute {
    boards.iter().map(|board| laying_ranges(board).map(|range| board.shortest_run(&range)).sum::<Minute>()).sum()
}

fn laying_ranges(board: &BoardTasks) -> impl Iterator<Item = Range<usize>> {
    board.groups().into_iter().filter(|(group, _)| *group == TaskGroup::Laying).map(|(_, range)| range)
}

/// How many coats of each board come later than their bound even where it has the bench for itself: a break between the
/// hours of a day may be longer than the bound.
fn find_least_gaps(boards: &[BoardTasks], windows: &[WorkWindow], hands: usize) -> Vec<usize> {
    let mut least: Vec<usize> = Vec::with_capacity(boards.len());
    for (i, board) in boards.iter().enumerate() {
        let alike = boards[..i].iter().position(|other| other.tasks == board.tasks);
        let has_breaks = || windows.windows(2).any(|pair| pair[0].day == pair[1].day);
        let gaps = match alike {
            Some(alike) => least[alike],
            None if has_breaks() => gaps_alone(board, windows, hands),
            None => 0,
        };
        least.push(gaps);
    }
    least
}

fn gaps_alone(board: &BoardTasks, windows: &[WorkWindow], hands: usize) -> usize {
    let released = board.tasks.iter().map(|task| task.release).max().unwrap_or(0);
    let until = windows.partition_point(|hours| hours.from < released + DAYS_TRIED_ALONE * 24 * 60);
    let alone = std::slice::from_ref(board);
    let table = place_all((alone, &[0]), &windows[..until], hands, &[0], PlaceBy::Soonest);
    table.map_or(0, |table| table.score.long_gaps)
}

/// A piece of a board: which, in which group, and its acts.
type Piece = (TaskGroup, usize, Range<usize>);

/// The boards' pieces, group by group, in each in that order of the boards.
fn list_pieces(boards: &[BoardTasks], order: &[usize]) -> Vec<Piece> {
    let mut pieces: Vec<(TaskGroup, usize, Piece)> = Vec::new();
    for (rank, board) in order.iter().enumerate() {
        let mut level = TaskGroup::Preparing;
        for (group, range) in boards[*board].groups() {
            // One more coat after a check comes behind the checks.
            level = level.max(group);
            pieces.push((level, rank, (group, *board, range)));
        }
    }
    pieces.sort_by_key(|(level, rank, (_, _, range))| (*level, *rank, range.start));
    pieces.into_iter().map(|(_, _, piece)| piece).collect()
}

/// Every piece at its own hour, as its acts' releases have it, and only then those of which `is_held` says no; each act at
/// its first place from there. No glue is put to soak in the hours that are `reserved` for acts not put yet.
///
/// # Errors
/// Where a piece then fits nowhere.
pub fn place_held<'a>(
    boards: &[BoardTasks],
    windows: &'a [WorkWindow],
    hands: usize,
    is_held: &dyn Fn(usize, usize) -> bool,
    reserved: &[(Minute, Minute)],
) -> Result<Timetable<'a>, PlacingError> {
    let order: Vec<usize> = (0..boards.len()).collect();
    let mut pieces = list_pieces(boards, &order);
    // A stable order: what is not held stays group by group.
    pieces.sort_by_key(|(_, board, range)| match is_held(*board, range.start) {
        true => (false, boards[*board].tasks[range.start].release),
        false => (true, 0),
    });
    let least_gaps = find_least_gaps(boards, windows, hands);
    let mut bench = BenchTime::new(windows, hands, boards);
    reserved.iter().for_each(|(from, to)| bench.reserve(*from, *to));
    place_pieces((boards, &least_gaps), bench, pieces, PlaceBy::First)
}

fn place_all<'a>(
    (boards, least_gaps): (&[BoardTasks], &[usize]),
    windows: &'a [WorkWindow],
    hands: usize,
    order: &[usize],
    by: PlaceBy,
) -> Result<Timetable<'a>, PlacingError> {
    place_pieces((boards, least_gaps), BenchTime::new(windows, hands, boards), list_pieces(boards, order), by)
}

fn place_pieces<'a>(
    (boards, least_gaps): (&[BoardTasks], &[usize]),
    mut bench: BenchTime<'a>,
    pieces: Vec<Piece>,
    by: PlaceBy,
) -> Result<Timetable<'a>, PlacingError> {
    let mut ends: Vec<Vec<Option<TaskPlace>>> = boards.iter().map(|board| vec![None; board.tasks.len()]).collect();
    let mut long_gaps = 0;
    for (group, board, range) in pieces {
        let aims = PieceAims { by, least_gaps: least_gaps[board] };
        let placed = place_piece(&mut bench, &boards[board], (group, range.clone()), &mut ends[board], aims);
        long_gaps += placed.ok_or(PlacingError::FitsNowhere { board, range, group })?;
    }
    let places: Vec<Vec<TaskPlace>> = ends.into_iter().map(|of| of.into_iter().flatten().collect()).collect();
    let score = score(boards, &places, long_gaps);
    Ok(Timetable { places, bench, score })
}

fn score(boards: &[BoardTasks], places: &[Vec<TaskPlace>], long_gaps: usize) -> PlanScore {
    PlanScore {
        long_gaps,
        ready: boards.iter().zip(places).map(|(board, of)| ready_at(board, of)).max().unwrap_or(0),
        runs: boards.iter().zip(places).map(|(board, of)| run_minutes(board, of)).sum(),
    }
}

/// The same boards, some coats of which wait some minutes more.
fn loosen(boards: &[BoardTasks], chance: &mut SplitMix64) -> Vec<BoardTasks> {
    let mut loose = boards.to_vec();
    for task in loose.iter_mut().flat_map(|board| &mut board.tasks) {
        if TaskGroup::of(task.stage.kind) == TaskGroup::Laying && chance.next_below(4) == 0 {
            let more = 1 + chance.next_below(HELD_BACK_MAX) as Minute;
            task.after.iter_mut().for_each(|(_, least)| *least += more);
            task.release += if task.after.is_empty() { more } else { 0 };
        }
    }
    loose
}

/// When a board can be painted.
pub fn ready_at(board: &BoardTasks, places: &[TaskPlace]) -> Minute {
    let last = places.last().zip(board.tasks.last()).map(|(place, task)| place.start + task.work + board.ready_after);
    last.unwrap_or(board.ready_release).max(board.ready_release)
}

/// From stipple to last coat, minutes.
pub fn run_minutes(board: &BoardTasks, places: &[TaskPlace]) -> Minute {
    let run = |range: Range<usize>| {
        let last = range.end - 1;
        places[last].start + board.tasks[last].work - places[range.start].start
    };
    laying_ranges(board).map(run).sum()
}
