//! What a plan needs of the shelf: what each board still asks for, with the pots that stand there for it.

use super::Bench;
use super::journaled_story::Snapshot;
use super::pot_choice::choose_pot_for_coat;
use crate::craft::materials::PotKind;
use crate::units::Moment;
use crate::work::panel::story::PanelStory;
use crate::work::plan::calendar::board_tasks::{BoardTasks, PlanConditions};
use crate::work::plan::calendar::planned_pot::PotAtHand;
use crate::work::pot::fold::Pot;
use std::sync::Arc;

impl Bench {
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
