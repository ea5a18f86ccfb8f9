//! A plan for a calendar: RFC 5545. The same plan gives the same bytes.
//!
//! An event an act of hands. Its name is made of panel, kind, face and number, so that an act that is planned anew for
//! another hour is the same event, moved. Times stand in UTC, which every calendar shows in its own zone.

use super::plan_text::{glue_for, pot_word};
use crate::craft::materials::fillers::BulkDensities;
use crate::text::{format_number, sanitize};
use crate::units::Stamp;
use crate::work::plan::calendar::board_tasks::BoardTasks;
use crate::work::plan::calendar::planned::{BoardPlan, PlannedAct, PlannedKind};
use chrono::{DateTime, Utc};
use icalendar::{Alarm, Calendar, Component, Event, EventLike};

/// The calendar as text. Events are stamped with the beginning of the plan, so that nothing in it hangs on when it is written.
pub(super) fn format_ics(boards: &[BoardTasks], plan: &BoardPlan, bulk: &BulkDensities) -> String {
    let mut calendar = Calendar::new();
    let mut pots = 0;
    for act in plan.acts.iter().filter(|act| act.is_attended) {
        let uid = match (act.board, act.kind) {
            (Some(board), PlannedKind::Act(stage)) => {
                let face = stage.face.map_or("", |face| face.name());
                format!("{}-{}-{face}-{}", plan.boards[board].id, stage.kind.name(), stage.number.unwrap_or(1))
            }
            _ => {
                pots += 1;
                format!("pot-{pots}")
            }
        };
        let mut event = Event::new();
        event
            .uid(&format!("{uid}@sottile"))
            .timestamp(utc(plan.start))
            .starts(utc(act.start))
            .ends(utc(act.end))
            .summary(&summary(boards, plan, act, bulk))
            .description(&act.reason);
        let mut alarm = Alarm::display(&summary(boards, plan, act, bulk), -chrono::Duration::minutes(5));
        alarm.uid(&format!("{uid}-alarm@sottile")).timestamp(utc(plan.start));
        event.alarm(alarm);
        calendar.push(event.done());
    }
    calendar.done().to_string()
}

fn utc(at: Stamp) -> DateTime<Utc> {
    DateTime::from_timestamp_millis(at.ms()).unwrap_or_default()
}

fn summary(boards: &[BoardTasks], plan: &BoardPlan, act: &PlannedAct, bulk: &BulkDensities) -> String {
    match (act.board, act.kind) {
        (Some(board), PlannedKind::Act(stage)) => format!("{}: {stage}", sanitize(&plan.boards[board].label)),
        (_, PlannedKind::PutToSoak) => {
            let amounts = glue_for(boards, plan, act, bulk);
            let amounts = amounts.map(|(g, ml)| format!(", {} g in {} ml", format_number(g, 0), format_number(ml, 0)));
            format!("soak glue for {}{}", pot_word(act), amounts.unwrap_or_default())
        }
        (_, PlannedKind::MakePot) => format!("make the {}", pot_word(act)),
        (_, PlannedKind::MeltPot) => format!("melt the {} again", pot_word(act)),
        (_, PlannedKind::Soak | PlannedKind::BoardWait(_) | PlannedKind::Act(_)) => String::new(),
    }
}
