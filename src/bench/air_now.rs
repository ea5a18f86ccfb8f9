//! The air as the bench knows it when something is recorded, and the wait it gives a coat.

use super::Bench;
use crate::units::Stamp;
use crate::work::air::Air;
use crate::work::panel::act::PanelAct;
use crate::work::panel::adjusted_wait::DryingEstimate;
use crate::work::panel::event::{PanelEvent, StageDone, Wait, WaitOrigin};
use crate::work::panel::story::PanelStory;
use std::sync::Arc;

/// The readings of the air, and whether they may shorten a wait.
#[derive(Debug, Default)]
pub(super) struct AirNow {
    readings: Arc<Air>,
    air_may_shorten: bool,
}

impl Bench {
    /// Reads what that act will ask of the air, before the lock is taken: under it only what came since is left to read.
    pub(super) fn preload_air(&mut self, act: &PanelAct) {
        self.air_for_act(act);
    }

    /// What the air says to that act; only a coat asks it. Air that cannot be read costs a coat its estimate and nothing else.
    pub(super) fn air_for_act(&mut self, act: &PanelAct) -> AirNow {
        match act {
            PanelAct::Done { .. } => {
                AirNow { readings: self.load_air().unwrap_or_default(), air_may_shorten: self.air_may_shorten }
            }
            PanelAct::Start
            | PanelAct::Dull
            | PanelAct::Note(_)
            | PanelAct::Weigh(_)
            | PanelAct::Extra
            | PanelAct::Repeat(_)
            | PanelAct::Skip(_)
            | PanelAct::Away
            | PanelAct::Back
            | PanelAct::Undo { .. }
            | PanelAct::Inspect(_)
            | PanelAct::Abandon(_) => AirNow::default(),
        }
    }
}

impl AirNow {
    /// The same fact; the wait after a coat is fixed by the air as of the time the coat was laid.
    pub(super) fn adjust_wait(&self, event: PanelEvent, story: &PanelStory, at: Stamp) -> PanelEvent {
        let PanelEvent::Done(done) = event else { return event };
        let drying = DryingEstimate::from_air(self.readings.reading_as_of(at).map(|r| (r.temp, r.rh)));
        PanelEvent::Done(Box::new(done.with_adjusted_wait(story.panel().recipe(), drying, self.air_may_shorten)))
    }
}

/// A fact that is moved to another time, with the recipe's wait again, which the air of the new time then fixes.
pub(super) fn reset_recipe_wait(event: PanelEvent, story: &PanelStory) -> PanelEvent {
    let PanelEvent::Done(done) = event else { return event };
    let of_recipe = |wait: Wait| match wait.origin {
        WaitOrigin::Recipe | WaitOrigin::RecipeAir => {
            let span = done.stage.and_then(|s| story.panel().recipe_wait(s.kind)).unwrap_or(wait.span);
            Wait { span, origin: WaitOrigin::Recipe }
        }
        WaitOrigin::Maker => wait,
    };
    PanelEvent::Done(Box::new(StageDone { wait: done.wait.map(of_recipe), ..*done }))
}
