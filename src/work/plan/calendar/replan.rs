//! A plan made anew that stays near the one that is kept, and what is different in it.

use super::board_tasks::BoardTasks;
use super::kept::{ActName, KeptPlan, PotWork, name_acts};
use super::planned::BoardPlan;
use super::search::place_held;
use super::windows::minute_from;
use super::wish::{PlanBench, PlanError, begin_after, cut_windows, plan_from, plan_until};
use crate::text::{format_count, sanitize};
use crate::units::Stamp;
use crate::work::panel::event::Stage;

/// When a plan is to begin or to end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PlanAim {
    /// From then on, ready as soon as may be.
    From(Stamp),
    /// Ready by then, begun as late as may be, and no sooner than `now`.
    Until {
        /// The soonest it may begin.
        now: Stamp,
        /// When all are to be ready.
        by: Stamp,
    },
}

/// The plan for that aim. Where one is kept every act stays at its hour that can; a plan so made is taken where all are
/// ready as soon as was planned, with no more coats beyond their bound than the best plan has.
///
/// # Errors
/// Those of [`plan_from`] and [`plan_until`].
pub fn plan_near(
    boards: &[BoardTasks],
    bench: PlanBench<'_>,
    aim: PlanAim,
    kept: Option<&KeptPlan>,
) -> Result<BoardPlan, PlanError> {
    let best = match aim {
        PlanAim::From(start) => plan_from(boards, bench, start),
        PlanAim::Until { now, by } => plan_until(boards, bench, now, by),
    }?;
    let Some(kept) = kept else { return Ok(best) };
    let (start, ready_by) = match aim {
        PlanAim::From(start) => (start, best.ready.max(kept.ready)),
        PlanAim::Until { now, by } => (now, by),
    };
    let near = plan_held(boards, bench, start, kept);
    let near = near.filter(|near| near.ready <= ready_by && near.long_gaps <= best.long_gaps);
    Ok(near.unwrap_or(best))
}

fn plan_held(boards: &[BoardTasks], bench: PlanBench<'_>, start: Stamp, kept: &KeptPlan) -> Option<BoardPlan> {
    let windows = cut_windows(bench.windows, minute_from(start));
    let boards: Vec<BoardTasks> = boards.iter().map(|board| begin_after(board, minute_from(start))).collect();
    let held = hold_back(&boards, kept);
    let is_held = |board: usize, task: usize| {
        let board = &boards[board];
        kept.find(&act_name(board, board.tasks[task].stage)).is_some()
    };
    let is_of_board = |name: &ActName| matches!(name, ActName::Board { .. });
    let held_acts = kept.acts.iter().filter(|act| act.start >= start && is_of_board(&act.name));
    let reserved: Vec<_> = held_acts.map(|act| (minute_from(act.start), minute_from(act.end))).collect();
    let table = place_held(&held, &windows, bench.hands, &is_held, &reserved).ok()?;
    Some(BoardPlan::from_timetable(&boards, &table, start))
}

fn act_name(board: &BoardTasks, stage: Stage) -> ActName {
    ActName::Board { panel: board.opened.id.clone(), kind: stage.kind, face: stage.face, number: stage.number }
}

/// The same boards, no act of which comes before its hour in the plan that is kept.
fn hold_back(boards: &[BoardTasks], kept: &KeptPlan) -> Vec<BoardTasks> {
    let mut held = boards.to_vec();
    for board in &mut held {
        for i in 0..board.tasks.len() {
            let name = act_name(board, board.tasks[i].stage);
            let task = &mut board.tasks[i];
            if let Some(act) = kept.find(&name) {
                task.release = task.release.max(minute_from(act.start));
            }
        }
    }
    held
}

/// An act that is planned for another hour than before.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MovedAct {
    /// Which.
    pub name: ActName,
    /// Its hour before.
    pub from: Stamp,
    /// Its hour now.
    pub to: Stamp,
}

/// What is different from the plan that was kept.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PlanChange {
    /// Acts at another hour, by their hours now.
    pub moved: Vec<MovedAct>,
    /// Acts that were in no plan.
    pub added: usize,
    /// Acts that were planned, are not any more, and whose hour was still to come.
    pub dropped: usize,
}

impl PlanChange {
    /// What that plan does otherwise than the one kept.
    pub fn between(kept: &KeptPlan, plan: &BoardPlan, now: Stamp) -> PlanChange {
        let named = name_acts(plan);
        let mut change = PlanChange::default();
        for (name, act) in &named {
            match kept.find(name) {
                Some(old) if old.start != act.start => {
                    change.moved.push(MovedAct { name: name.clone(), from: old.start, to: act.start });
                }
                Some(_) => {}
                None => change.added += 1,
            }
        }
        let is_gone = |name: &ActName| match name {
            // What is not planned any more of a board that is was done.
            ActName::Board { panel, .. } => !plan.boards.iter().any(|board| board.id == *panel),
            ActName::Pot { .. } => !named.iter().any(|(here, _)| here == name),
        };
        change.dropped = kept.acts.iter().filter(|old| old.start > now && is_gone(&old.name)).count();
        change
    }

    /// Whether anything is different.
    pub fn is_empty(&self) -> bool {
        *self == PlanChange::default()
    }

    /// What is said of it, in lines; the first tells how many, the others which, as far as a few lines go.
    pub fn lines(&self, kept: &KeptPlan, when: &dyn Fn(Stamp) -> String) -> Vec<String> {
        const MOVED_TOLD: usize = 5;
        if self.is_empty() {
            return vec!["nothing moved in the plan that is kept".to_owned()];
        }
        let mut parts = Vec::new();
        let count = |n: usize, what: &str| format!("{} {what}", format_count(n, "act"));
        parts.extend((!self.moved.is_empty()).then(|| count(self.moved.len(), "moved")));
        parts.extend((self.added > 0).then(|| count(self.added, "new")));
        parts.extend((self.dropped > 0).then(|| count(self.dropped, "no longer planned")));
        let mut lines = vec![format!("against the plan that is kept: {}", parts.join(", "))];
        for moved in self.moved.iter().take(MOVED_TOLD) {
            let later = if moved.to > moved.from { "later" } else { "earlier" };
            let by = crate::text::format_duration((moved.to - moved.from).abs());
            lines.push(format!("{}: {} ({by} {later})", act_words(&moved.name, kept), when(moved.to)));
        }
        let more = self.moved.len().saturating_sub(MOVED_TOLD);
        lines.extend((more > 0).then(|| format!("and {more} more")));
        lines
    }
}

/// An act as a person says it: `Wren coat 3, front`.
pub fn act_words(name: &ActName, kept: &KeptPlan) -> String {
    match name {
        ActName::Board { panel, kind, face, number } => {
            let label = kept.label_of(panel).map_or_else(|| panel.to_string(), sanitize);
            let number = number.map_or_else(String::new, |number| format!(" {number}"));
            let face = face.map_or_else(String::new, |face| format!(", {}", face.name()));
            format!("{label} {}{number}{face}", kind.row().noun)
        }
        ActName::Pot { kind, work, .. } => {
            let work = match work {
                PotWork::Soak => "glue to soak for the",
                PotWork::Make => "making the",
                PotWork::Melt => "melting the",
            };
            format!("{work} {}", kind.name())
        }
    }
}
