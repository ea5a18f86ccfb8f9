//! How far apart boards of a plan are begun, and how many of them one pair of hands keeps going.

use super::board_tasks::{BoardTasks, TaskGroup};
use crate::units::Span;

/// Those two figures, of the coats from stipple to last coat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HandsFigures {
    /// The time from beginning one board to beginning the next that suits one pair of hands.
    pub stagger: Span,
    /// What fits into the shortest wait.
    pub kept_going: usize,
}

impl HandsFigures {
    /// The figures for those boards; none where nothing is laid.
    pub fn from_boards(boards: &[BoardTasks]) -> Option<HandsFigures> {
        let tasks = boards.iter().flat_map(|board| &board.tasks);
        let coats = tasks.filter(|task| TaskGroup::of(task.stage.kind) == TaskGroup::Laying);
        let work = coats.clone().map(|task| task.work).max()?;
        let wait = coats.map(|task| task.wet).min()?;
        let kept_going = usize::try_from(1 + wait / work.max(1)).unwrap_or(1);
        Some(HandsFigures { stagger: Span::from_min(work as f64), kept_going })
    }
}
