//! Plans over the shelf: what each board still asks for, with the pots that stand there for it; all of it planned anew.

use super::journaled_story::{Snapshot, trusted_now};
use super::pot_choice::choose_pot_for_coat;
use super::{Bench, StudioKnowledge};
use crate::craft::materials::PotKind;
use crate::record::journal::JournalError;
use crate::text::{HoursOfWeek, WeekDays, WorkWeek, format_day_and_time};
use crate::units::Moment;
use crate::work::panel::adjusted_wait::DryingEstimate;
use crate::work::panel::story::PanelStory;
use crate::work::plan::calendar::board_tasks::{BoardTasks, PlanConditions};
use crate::work::plan::calendar::kept::{KeptPlan, PlanPurpose};
use crate::work::plan::calendar::planned_pot::PotAtHand;
use crate::work::plan::calendar::replan::{PlanAim, PlanChange, plan_near};
use crate::work::plan::calendar::windows::work_windows;
use crate::work::plan::calendar::wish::{PlanBench, PlanError};
use crate::work::pot::fold::Pot;
use chrono::TimeZone;
use std::fmt;
use std::sync::Arc;

/// How the maker works, for a plan made on the bench.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanHabits {
    /// When.
    pub week: WorkWeek,
    /// How many pairs of hands, at least 1.
    pub hands: usize,
    /// Whether the air may shorten a wait.
    pub air_may_shorten: bool,
    /// Whether the maker's own marks of dull set the waits.
    pub own_waits: bool,
}

impl Default for PlanHabits {
    fn default() -> Self {
        let week = WorkWeek { hours: HoursOfWeek::default_hours(), days: WeekDays::DEFAULT, off: Vec::new() };
        PlanHabits { week, hands: 1, air_may_shorten: false, own_waits: false }
    }
}

/// Why nothing was planned.
#[derive(Debug)]
pub enum ReplanError {
    /// No board asks for anything.
    NothingToPlan,
    /// There is no plan.
    Impossible(PlanError),
    /// A journal.
    Journal(JournalError),
}

impl From<JournalError> for ReplanError {
    fn from(error: JournalError) -> Self {
        ReplanError::Journal(error)
    }
}

impl fmt::Display for ReplanError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ReplanError::NothingToPlan => f.write_str("there is nothing to plan: every board is finished"),
            ReplanError::Impossible(error) => error.fmt(f),
            ReplanError::Journal(error) => error.fmt(f),
        }
    }
}

/// So many days are looked at for a plan.
const DAYS_LOOKED_AT: u32 = 180;

impl Bench {
    /// Plans every panel of the shelf that is not finished from now on, as near as may be to the plan that is kept and for
    /// its day of painting where that can still be, and keeps it. Tells what is different.
    ///
    /// # Errors
    /// `ReplanError`; the plan that was kept is then still kept.
    pub fn replan<Z: TimeZone<Offset: fmt::Display>>(
        &self,
        habits: &PlanHabits,
        zone: &Z,
        now: &dyn Fn() -> Moment,
    ) -> Result<(KeptPlan, Vec<String>), ReplanError> {
        // A bench of its own, so that no board joins this one.
        let mut bench = Bench::new(self.shelf.clone());
        let here = now();
        let kept = bench.load_kept_plan()?;
        // Those that cannot be read are told of on the bench.
        bench.load_unfinished(here)?;
        let stories = bench.snapshots().into_iter().filter_map(|panel| panel.story.clone());
        let stories: Vec<_> = stories.map(|story| (Arc::clone(&story), trusted_now(&story, here))).collect();
        let knowledge = StudioKnowledge::load(&self.shelf);
        let air = knowledge.air.reading_as_of(here.wall).map(|reading| (reading.temp, reading.rh));
        let conditions = PlanConditions {
            learned: &knowledge.learned,
            drying: DryingEstimate::from_air(air),
            may_shorten: habits.air_may_shorten,
            own_waits: habits.own_waits,
        };
        let boards = bench.gather_tasks(&stories, conditions, here);
        if boards.is_empty() {
            return Err(ReplanError::NothingToPlan);
        }
        let windows = work_windows(&habits.week, here.wall, DAYS_LOOKED_AT, zone);
        let place = PlanBench { windows: &windows, hands: habits.hands };
        let from_now = PlanAim::From(here.wall);
        let ready_by = kept.as_ref().and_then(|kept| kept.ready_by).filter(|by| *by > here.wall);
        let aim = ready_by.map_or(from_now, |by| PlanAim::Until { now: here.wall, by });
        let found = plan_near(&boards, place, aim, kept.as_ref());
        let is_too_late = matches!(found, Err(PlanError::TooLate { .. }));
        let found = if is_too_late { plan_near(&boards, place, from_now, kept.as_ref()) } else { found };
        let plan = found.map_err(ReplanError::Impossible)?;
        let purpose = PlanPurpose {
            name: kept.as_ref().and_then(|kept| kept.name.clone()),
            ready_by,
            hours: habits.week.hours.to_string(),
            hands: u32::try_from(habits.hands).unwrap_or(u32::MAX),
        };
        let keeping = KeptPlan::from_plan(&plan, purpose, kept.as_ref());
        bench.keep_plan(&keeping, now)?;
        let when = |at| format_day_and_time(at, zone);
        let mut told = match &kept {
            Some(kept) => PlanChange::between(kept, &plan, here.wall).lines(&keeping, &when),
            None => vec![format!("planned: all ready {}", when(plan.ready))],
        };
        if let Some(by) = ready_by.filter(|_| is_too_late) {
            told.insert(0, format!("ready by {} cannot be any more; the nearest is {}", when(by), when(plan.ready)));
        }
        Ok((keeping, told))
    }

    /// What those panels still ask for, each from its own moment on. Their pots are chosen as the bench chooses them; pots
    /// that cannot be read are made anew in the plan.
    pub fn gather_tasks(
        &mut self,
        stories: &[(Arc<PanelStory>, Moment)],
        conditions: PlanConditions<'_>,
        now: Moment,
    ) -> Vec<BoardTasks> {
        let pots = self.load_pots_for_coat(false, now);
        let panels = self.snapshots();
        let tasks = |(story, then): &(Arc<PanelStory>, Moment)| {
            let board = BoardTasks::from_panel(story.panel(), *then, conditions);
            let at_hand =
                PotKind::ALL.into_iter().filter_map(|kind| find_pot(&board, kind, (&pots, &panels), story, now));
            let at_hand = at_hand.collect();
            board.with_pots(at_hand)
        };
        stories.iter().map(tasks).collect()
    }
}

fn find_pot(
    board: &BoardTasks,
    kind: PotKind,
    (pots, panels): (&[Snapshot<Pot>], &[Snapshot]),
    story: &PanelStory,
    now: Moment,
) -> Option<PotAtHand> {
    let stage = board.tasks.iter().find(|task| task.pot == Some(kind))?.stage;
    let pot = choose_pot_for_coat(pots, panels, story.panel(), stage, &[], None)?;
    PotAtHand::from_pot(pot.story.as_ref()?.pot(), now)
}
