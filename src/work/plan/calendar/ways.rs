//! What would make a wish possible that cannot be: tried one by one, and said where it does.

use super::board_tasks::BoardTasks;
use super::windows::{Minute, WorkWindow, minute_from, work_windows};
use super::wish::{PlanBench, plan_from};
use crate::text::{WeekDays, WorkWeek, format_count, local_minute};
use crate::units::Stamp;
use chrono::{NaiveDate, TimeZone};
use std::fmt;

/// So many days are tried for an hour more.
const DAYS_TRIED: usize = 14;
/// Nobody works so many hours more a day.
const HOURS_MORE_MAX: i64 = 6;
/// Plans of so many acts altogether are tried for each kind of way.
const ACTS_TRIED: usize = 1500;

/// Something that would do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PlanWay {
    /// One pair of hands more.
    MoreHands,
    /// So many hours more on one day.
    LongerDay {
        /// Which.
        day: NaiveDate,
        /// How many.
        hours: i64,
    },
    /// So many hours more on every day that is worked.
    LongerDays {
        /// How many.
        hours: i64,
    },
    /// Work on every day, days off too.
    EveryDay,
    /// So many panels fewer.
    FewerPanels {
        /// How many.
        count: usize,
    },
}

impl fmt::Display for PlanWay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let more = |hours: &i64| if *hours == 1 { "an hour more".to_owned() } else { format!("{hours} hours more") };
        match self {
            PlanWay::MoreHands => f.write_str("with one pair of hands more"),
            PlanWay::LongerDay { day, hours } => write!(f, "with {} on {}", more(hours), day.format("%a %-d %b")),
            PlanWay::LongerDays { hours } => write!(f, "with {} on every day", more(hours)),
            PlanWay::EveryDay => f.write_str("working every day, days off too"),
            PlanWay::FewerPanels { count } => write!(f, "with {} fewer", format_count(*count, "panel")),
        }
    }
}

/// A wish that cannot be.
#[derive(Debug, Clone, Copy)]
pub struct FailedWish<'a> {
    /// The boards.
    pub boards: &'a [BoardTasks],
    /// When somebody works.
    pub week: &'a WorkWeek,
    /// How many pairs of hands.
    pub hands: usize,
    /// The soonest it may begin.
    pub start: Stamp,
    /// When all are to be ready; none where any day will do.
    pub by: Option<Stamp>,
    /// So many days are looked at.
    pub days: u32,
}

impl FailedWish<'_> {
    /// Everything tried that does, the smallest change first in its kind; none where nothing tried does.
    pub fn find_ways(&self, zone: &impl TimeZone) -> Vec<PlanWay> {
        let windows = work_windows(self.week, self.start, self.days, zone);
        let mut ways = Vec::new();
        ways.extend(self.does(self.boards, &windows, self.hands + 1).then_some(PlanWay::MoreHands));
        ways.extend(self.find_longer_hours(&windows, zone));
        let every_day = WorkWeek { days: WeekDays::ALL, off: Vec::new(), ..self.week.clone() };
        let every_day = work_windows(&every_day, self.start, self.days, zone);
        ways.extend(self.does(self.boards, &every_day, self.hands).then_some(PlanWay::EveryDay));
        ways.extend(self.find_fewer(&windows));
        ways
    }

    fn does(&self, boards: &[BoardTasks], windows: &[WorkWindow], hands: usize) -> bool {
        let plan = plan_from(boards, PlanBench { windows, hands }, self.start);
        plan.is_ok_and(|plan| self.by.is_none_or(|by| plan.ready <= by))
    }

    fn tries(&self) -> usize {
        let acts: usize = self.boards.iter().map(|board| board.tasks.len()).sum();
        (ACTS_TRIED / acts.max(1)).clamp(2, DAYS_TRIED)
    }

    /// The fewest hours more on every day, and the first day on which they alone do.
    fn find_longer_hours(&self, windows: &[WorkWindow], zone: &impl TimeZone) -> Vec<PlanWay> {
        let last = |hours: i64| self.does(self.boards, &self.longer(windows, None, hours, zone), self.hands);
        let Some(hours) = (1..=HOURS_MORE_MAX).find(|hours| last(*hours)) else { return Vec::new() };
        let mut days: Vec<i64> = windows.iter().map(|window| window.day).collect();
        days.dedup();
        let until = self.by.map(minute_from);
        let days = days
            .into_iter()
            .filter(|day| until.is_none_or(|until| windows.iter().any(|w| w.day == *day && w.from < until)));
        let alone = days
            .take(self.tries())
            .find(|day| self.does(self.boards, &self.longer(windows, Some(*day), hours, zone), self.hands));
        let alone = alone.and_then(date_of).map(|day| PlanWay::LongerDay { day, hours });
        alone.into_iter().chain([PlanWay::LongerDays { hours }]).collect()
    }

    /// The hours with so many more at the end of that day, or of every day; none beyond midnight.
    fn longer(&self, windows: &[WorkWindow], day: Option<i64>, hours: i64, zone: &impl TimeZone) -> Vec<WorkWindow> {
        let mut longer = windows.to_vec();
        for i in 0..longer.len() {
            let is_last = longer.get(i + 1).is_none_or(|next| next.day != longer[i].day);
            if !is_last || day.is_some_and(|day| day != longer[i].day) {
                continue;
            }
            let midnight =
                date_of(longer[i].day).map_or(Minute::MAX, |date| minute_from(local_minute(date, 1440, zone)));
            longer[i].to = (longer[i].to + hours * 60).min(midnight).max(longer[i].to);
        }
        longer
    }

    /// How many of the last ones named must go: one by one while that is quick; of a large rack half at a time.
    fn find_fewer(&self, windows: &[WorkWindow]) -> Option<PlanWay> {
        let all = self.boards.len();
        let mut fewer = all.saturating_sub(1);
        while fewer > 0 {
            if self.does(&self.boards[..fewer], windows, self.hands) {
                return Some(PlanWay::FewerPanels { count: all - fewer });
            }
            fewer = if all <= 12 { fewer - 1 } else { fewer / 2 };
        }
        None
    }
}

/// The date of a day as windows count them.
fn date_of(day: i64) -> Option<NaiveDate> {
    NaiveDate::from_num_days_from_ce_opt(i32::try_from(day).ok()?)
}
