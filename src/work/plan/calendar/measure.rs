//! How far the plans of racks drawn by chance are from what no plan can beat; for the bench and for nobody else.

use super::board_tasks::{BoardTasks, PlanConditions};
use super::search::find_timetable;
use super::windows::{Minute, WorkWindow, minute_from};
use crate::craft::materials::Support;
use crate::craft::recipe::{Paint, shipped};
use crate::stats::split_mix::SplitMix64;
use crate::units::{Entry, Id, Length, Moment, Size, Stamp};
use crate::work::learn::LearnedTimes;
use crate::work::panel::adjusted_wait::DryingEstimate;
use crate::work::panel::event::{Grain, PanelEvent, PanelOpened};
use crate::work::panel::story::PanelStory;
use std::sync::Arc;

/// One rack's figures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RackMeasure {
    /// From stipple to last coat, all boards together, minutes.
    pub runs_min: i64,
    /// No plan has less.
    pub runs_bound_min: i64,
    /// From the beginning to the last board ready, minutes.
    pub ready_min: i64,
    /// The slowest board alone on the bench, minutes; no plan has less.
    pub ready_bound_min: i64,
    /// Coats beyond their bound.
    pub long_gaps: usize,
}

/// Plans a rack of so many new boards drawn from that seed, nine to six on every day; none where nothing fits.
pub fn measure_rack(boards: usize, seed: u64) -> Option<RackMeasure> {
    let start = Stamp::from_ms(1_764_576_000_000);
    let first = minute_from(start);
    let day = 24 * 60;
    let windows: Vec<WorkWindow> =
        (0..180).map(|n| WorkWindow { from: first + n * day + 540, to: first + n * day + 1080, day: n }).collect();
    let mut chance = SplitMix64::new(seed);
    let rack: Vec<BoardTasks> = (0..boards).filter_map(|i| draw_board(i, &mut chance, start)).collect();
    let bound: Minute = super::search::lower_bound(&rack);
    let alone =
        |board: &BoardTasks| Some(find_timetable(std::slice::from_ref(board), &windows, 1).ok()?.score.ready - first);
    let ready_bound_min = rack.iter().filter_map(alone).max()?;
    let score = find_timetable(&rack, &windows, 1).ok()?.score;
    Some(RackMeasure {
        runs_min: score.runs,
        runs_bound_min: bound,
        ready_min: score.ready - first,
        ready_bound_min,
        long_gaps: score.long_gaps,
    })
}

fn draw_board(number: usize, chance: &mut SplitMix64, at: Stamp) -> Option<BoardTasks> {
    let recipes = shipped::shipped_recipes();
    let name = recipes[chance.next_below(recipes.len())].name;
    let mut side = || 150.0 + 50.0 * chance.next_below(7) as f64;
    let event = PanelEvent::Opened(Box::new(PanelOpened {
        sheet: None,
        id: Id::new(&format!("b{number}"))?,
        label: format!("B{number}"),
        size: Size { width: Length::from_mm(side()), height: Length::from_mm(side()), thickness: None },
        support: Support::BirchPlywood,
        grain: Grain::Height,
        paint: Paint::Oil,
        recipe: Arc::new(shipped::find_shipped_recipe(name)?),
        group: None,
        is_witness: false,
        trial: None,
    }));
    let now = Moment::from_wall(at);
    let story =
        PanelStory::fold(vec![Entry { seq: 0, at, written: now, raw_wall: None, replaces: None, event }]).ok()?;
    let learned = LearnedTimes::default();
    let conditions =
        PlanConditions { learned: &learned, drying: DryingEstimate::Unread, may_shorten: false, own_waits: false };
    Some(BoardTasks::from_panel(story.panel(), now, conditions))
}
