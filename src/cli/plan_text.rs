//! A plan for the eye: grouped by day, no line wider than a terminal; and what to have in the house for it.

use super::wrap::wrap_hanging;
use crate::craft::materials::PotKind;
use crate::craft::materials::fillers::BulkDensities;
use crate::craft::quantities::mix::{MixInputs, compute_mix};
use crate::text::{format_count, format_duration, format_hhmm, format_number, local_day, sanitize};
use crate::units::{Span, Stamp};
use crate::work::panel::event::Stage;
use crate::work::panel::stage::build_plan;
use crate::work::plan::calendar::board_tasks::BoardTasks;
use crate::work::plan::calendar::planned::{BoardPlan, PlannedAct, PlannedKind};
use chrono::TimeZone;
use std::collections::BTreeMap;
use std::fmt::Display;

/// A plan and how it is told.
pub(super) struct PlanFormatter<'a, Z: TimeZone> {
    pub(super) boards: &'a [BoardTasks],
    pub(super) plan: &'a BoardPlan,
    pub(super) bulk: &'a BulkDensities,
    pub(super) zone: &'a Z,
    pub(super) now: Stamp,
}

impl<Z: TimeZone<Offset: Display>> PlanFormatter<'_, Z> {
    /// The whole.
    pub(super) fn format_plan(&self) -> String {
        let plan = self.plan;
        let mut lines = vec![wrap_hanging(
            "",
            &format!(
                "{} ready on {}; {} at the bench, begun {}",
                format_count(plan.boards.len(), "panel"),
                self.when(plan.ready),
                format_duration(plan.hands_on),
                self.when(plan.start)
            ),
        )];
        if plan.long_gaps > 0 {
            let coats = format_count(plan.long_gaps, "coat");
            lines.push(wrap_hanging("", &format!("{coats} come later than the recipe's bound: there is no other way")));
        }
        let mut day = None;
        for run in self.runs() {
            let here = local_day(run[0].start, self.zone);
            if day != Some(here) {
                day = Some(here);
                lines.push(format!("\n{}", here.format("%a %-d %b %Y")));
            }
            let (first, last) = (run[0], run[run.len() - 1]);
            let lead = format!("  {}-{}  ", format_hhmm(first.start, self.zone), format_hhmm(last.end, self.zone));
            lines.push(wrap_hanging(&lead, &self.run_text(&run)));
        }
        let worst = plan.clashes.iter().map(|clash| clash.waits).max();
        if let Some(worst) = worst {
            let coats = format_count(plan.clashes.len(), "coat");
            lines.push(wrap_hanging("\n", &format!("{coats} wait for a hand, {} at most", format_duration(worst))));
        }
        lines.join("\n") + "\n"
    }

    fn when(&self, at: Stamp) -> String {
        let year_now = local_day(self.now, self.zone).format("%Y").to_string();
        let day = local_day(at, self.zone);
        let form = if day.format("%Y").to_string() == year_now { "%a %-d %b" } else { "%a %-d %b %Y" };
        format!("{} {}", day.format(form), format_hhmm(at, self.zone))
    }

    /// The acts of hands, those of one kind that follow each other together.
    fn runs(&self) -> Vec<Vec<&PlannedAct>> {
        let mut runs: Vec<Vec<&PlannedAct>> = Vec::new();
        for act in self.plan.acts.iter().filter(|act| act.is_attended) {
            let joins = |run: &Vec<&PlannedAct>| {
                is_alike(run[run.len() - 1], act)
                    && local_day(run[0].start, self.zone) == local_day(act.start, self.zone)
                    && act.start - run[run.len() - 1].end <= Span::from_min(30.0)
            };
            match runs.last_mut().filter(|run| joins(run)) {
                Some(run) => run.push(act),
                None => runs.push(vec![act]),
            }
        }
        runs
    }

    fn run_text(&self, run: &[&PlannedAct]) -> String {
        let first = run[0];
        let stage = match first.kind {
            PlannedKind::Act(stage) => stage,
            PlannedKind::BoardWait(stage) => stage,
            PlannedKind::PutToSoak => {
                let cold = if first.reason.ends_with("keep it cold") { "; keep it cold" } else { "" };
                return format!("soak glue{}{cold}", self.amounts_text(first));
            }
            PlannedKind::Soak => return "glue soaks".to_owned(),
            PlannedKind::MakePot => return format!("make the {}", pot_word(first)),
            PlannedKind::MeltPot => return format!("melt the {} again", pot_word(first)),
        };
        let mut names: Vec<String> = Vec::new();
        for act in run {
            let label = act.board.map(|board| sanitize(&self.plan.boards[board].label)).unwrap_or_default();
            if !names.contains(&label) {
                names.push(label);
            }
        }
        let late = if run.iter().any(|act| act.is_long_gap) { " (later than the recipe's bound)" } else { "" };
        format!("{}: {}{late}", stage_range(run, stage), names.join(", "))
    }

    /// `, 20 g in 285 ml water`: what the pot that is opened then takes.
    fn amounts_text(&self, act: &PlannedAct) -> String {
        glue_for(self.boards, self.plan, act, self.bulk).map_or_else(String::new, |(glue_g, water_g)| {
            format!(
                " for {}, {} g in {} ml of water",
                pot_word(act),
                format_number(glue_g, 0),
                format_number(water_g, 0)
            )
        })
    }
}

pub(super) fn pot_word(act: &PlannedAct) -> &'static str {
    match act.pot_kind {
        Some(PotKind::Size) => "glue size",
        Some(PotKind::Gesso) | None => "gesso",
    }
}

fn is_alike(one: &PlannedAct, other: &PlannedAct) -> bool {
    match (one.kind, other.kind) {
        (PlannedKind::Act(a), PlannedKind::Act(b)) => a.kind == b.kind,
        _ => false,
    }
}

/// `coats 1 to 6`, or the stage as a person says it where all are one.
fn stage_range(run: &[&PlannedAct], first: Stage) -> String {
    let numbers = run.iter().filter_map(|act| match act.kind {
        PlannedKind::Act(stage) => stage.number,
        PlannedKind::BoardWait(_)
        | PlannedKind::PutToSoak
        | PlannedKind::Soak
        | PlannedKind::MakePot
        | PlannedKind::MeltPot => None,
    });
    let (least, most) = (numbers.clone().min(), numbers.max());
    match least.zip(most).filter(|(least, most)| least < most) {
        Some((least, most)) => format!("{} {least} to {most}", first.kind.row().noun),
        None => match first.number.filter(|_| !first.kind.is_round()) {
            Some(number) => format!("{} {number}", first.kind.row().noun),
            None => first.kind.row().noun.to_owned(),
        },
    }
}

/// Dry glue and water, g, for the pot that is put to soak by that act: what the boards take that are laid from it.
pub(super) fn glue_for(
    boards: &[BoardTasks],
    plan: &BoardPlan,
    act: &PlannedAct,
    bulk: &BulkDensities,
) -> Option<(f64, f64)> {
    let kind = act.pot_kind?;
    // From the pot until the next of its kind is put to soak.
    let next = plan.acts.iter().filter(|other| other.kind == PlannedKind::MakePot && other.pot == act.pot);
    let made = next.clone().map(|other| other.start).find(|start| *start >= act.end)?;
    let until = next.map(|other| other.start).find(|start| *start > made);
    let mut shares: BTreeMap<usize, usize> = BTreeMap::new();
    for other in plan.acts.iter().filter(|other| other.start >= made && until.is_none_or(|until| other.start < until)) {
        let (Some(board), PlannedKind::Act(stage)) = (other.board, other.kind) else { continue };
        let is_same = boards[board].opened.recipe == boards_recipe(boards, plan, act)?;
        if stage.kind.row().pot == Some(kind) && is_same {
            *shares.entry(board).or_default() += 1;
        }
    }
    let (mut glue, mut water) = (0.0, 0.0);
    for (board, acts) in shares {
        let opened = &boards[board].opened;
        let places = build_plan(&opened.recipe);
        let all = places.iter().filter(|place| place.kind.row().pot == Some(kind)).count().max(1);
        let inputs = MixInputs { recipe: &opened.recipe, size: opened.size, panels: 1, faces: None, scoop: None, bulk };
        let mix = compute_mix(&inputs).ok()?;
        let share = acts as f64 / all as f64;
        let (g, w) = match kind {
            PotKind::Size => (mix.size_for_wood.glue_g, mix.size_for_wood.water_g),
            PotKind::Gesso => (mix.gesso.glue_g, mix.gesso.water_g),
        };
        glue += g * share;
        water += w * share;
    }
    Some((glue, water))
}

fn boards_recipe(
    boards: &[BoardTasks],
    plan: &BoardPlan,
    act: &PlannedAct,
) -> Option<std::sync::Arc<crate::craft::recipe::Recipe>> {
    let made = plan.acts.iter().find(|other| other.pot == act.pot && other.kind == PlannedKind::MakePot)?;
    let first = plan.acts.iter().find(|other| other.start == made.end && other.board.is_some())?;
    Some(std::sync::Arc::clone(&boards[first.board?].opened.recipe))
}
