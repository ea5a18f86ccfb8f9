//! The JSON of `plan`.

use super::json::{FORMAT_VERSION, StageJson};
use crate::craft::materials::PotKind;
use crate::units::Stamp;
use crate::work::plan::calendar::board_tasks::BoardTasks;
use crate::work::plan::calendar::hands_figures::HandsFigures;
use crate::work::plan::calendar::planned::{BoardPlan, PlanClash, PlannedAct, PlannedKind};
use serde::Serialize;

/// What `plan --json` prints.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub(super) struct PlanJson {
    format: u32,
    /// What the plan is for, as it was named.
    name: Option<String>,
    start: String,
    ready: String,
    hands_on_min: f64,
    elapsed_h: f64,
    acts: Vec<PlannedActJson>,
    clashes: Vec<PlanClashJson>,
    /// The time from beginning one board to beginning the next that suits one pair of hands; none where nothing is laid.
    stagger_min: Option<f64>,
    panels_one_pair_of_hands: Option<usize>,
    long_gaps: usize,
    /// What is to be said besides: damp air, water in the boards, pots that stand there.
    notes: Vec<String>,
}

#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct PlannedActJson {
    panel: Option<String>,
    /// What is done on a panel; none for a pot.
    stage: Option<StageJson>,
    /// done, wait, put to soak, soak, make size, make gesso, melt.
    act: &'static str,
    start: String,
    end: String,
    attended: bool,
    reason: String,
}

#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct PlanClashJson {
    at: String,
    panels: Vec<String>,
}

impl PlanJson {
    /// The plan, its times written by `time`.
    pub(super) fn from_plan(
        boards: &[BoardTasks],
        plan: &BoardPlan,
        notes: &[String],
        name: Option<&str>,
        time: &dyn Fn(Stamp) -> String,
    ) -> PlanJson {
        let act = |act: &PlannedAct| PlannedActJson {
            panel: act.board.map(|board| plan.boards[board].id.to_string()),
            stage: stage_of(act.kind),
            act: act_word(act),
            start: time(act.start),
            end: time(act.end),
            attended: act.is_attended,
            reason: act.reason.clone(),
        };
        let figures = HandsFigures::from_boards(boards);
        PlanJson {
            format: FORMAT_VERSION,
            name: name.map(str::to_owned),
            start: time(plan.start),
            ready: time(plan.ready),
            hands_on_min: plan.hands_on.minutes(),
            elapsed_h: (plan.ready - plan.start).hours(),
            acts: plan.acts.iter().map(act).collect(),
            clashes: plan
                .clashes
                .iter()
                .map(|clash| PlanClashJson { at: time(clash.at), panels: clash_panels(plan, clash) })
                .collect(),
            stagger_min: figures.map(|figures| figures.stagger.minutes()),
            panels_one_pair_of_hands: figures.map(|figures| figures.kept_going),
            long_gaps: plan.long_gaps,
            notes: notes.to_vec(),
        }
    }
}

/// The board kept waiting, behind those in the hand then.
fn clash_panels(plan: &BoardPlan, clash: &PlanClash) -> Vec<String> {
    let in_hand = plan.acts.iter().filter(|act| act.is_attended && act.start <= clash.at && clash.at < act.end);
    let boards = in_hand.filter_map(|act| act.board).chain([clash.kept_waiting]);
    boards.map(|board| plan.boards[board].id.to_string()).collect()
}

fn stage_of(kind: PlannedKind) -> Option<StageJson> {
    match kind {
        PlannedKind::Act(stage) | PlannedKind::BoardWait(stage) => Some(stage.into()),
        PlannedKind::PutToSoak | PlannedKind::Soak | PlannedKind::MakePot | PlannedKind::MeltPot => None,
    }
}

fn act_word(act: &PlannedAct) -> &'static str {
    match act.kind {
        PlannedKind::Act(_) => "done",
        PlannedKind::BoardWait(_) => "wait",
        PlannedKind::PutToSoak => "put to soak",
        PlannedKind::Soak => "soak",
        PlannedKind::MakePot => match act.pot_kind {
            Some(PotKind::Size) => "make size",
            Some(PotKind::Gesso) | None => "make gesso",
        },
        PlannedKind::MeltPot => "melt",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The published schema is that of the shape; `tests/plan.rs` holds what is printed to it.
    #[test]
    fn json_keeps_to_its_published_schema() {
        let path = format!("{}/assets/schema/plan.json", env!("CARGO_MANIFEST_DIR"));
        let made = serde_json::to_string_pretty(&schemars::schema_for!(PlanJson)).unwrap() + "\n";
        if std::env::var_os("SOTTILE_BLESS").is_some() {
            std::fs::write(&path, &made).unwrap();
        }
        assert_eq!(std::fs::read_to_string(&path).unwrap(), made, "run with SOTTILE_BLESS=1 to write it anew");
    }
}
