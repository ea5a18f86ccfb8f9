//! The plan that is kept, looked at by the day or by two weeks; planned anew on a key.

use super::Model;
use super::effect::{Effect, PendingKind};
use super::overlay::Overlay;
use crate::app::message::Message;
use crate::units::Moment;
use crate::work::plan::calendar::kept::KeptPlan;
use std::sync::Arc;

/// Two weeks are shown at once.
pub const DAYS_OF_WEEKS: i64 = 14;

/// Which part of the plan is looked at.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PlanOverlay {
    /// Two weeks, not one day.
    pub shows_weeks: bool,
    /// So many days behind the first that is shown by itself.
    pub day_offset: i64,
    /// What the plan made last does otherwise than the one before it.
    pub change: Vec<String>,
}

impl Model {
    /// The plan that is kept, where there is one.
    pub fn kept_plan(&self) -> Option<&Arc<KeptPlan>> {
        self.studio.kept_plan.as_ref()
    }

    pub(super) fn update_plan(&mut self, message: &Message, now: Moment) -> Vec<Effect> {
        let Overlay::Plan(plan) = &mut self.overlay else { return Vec::new() };
        let step = if plan.shows_weeks { DAYS_OF_WEEKS / 2 } else { 1 };
        match message {
            Message::Left => plan.day_offset -= step,
            Message::Right => plan.day_offset += step,
            Message::Home => plan.day_offset = 0,
            Message::ToggleWeeks => plan.shows_weeks = !plan.shows_weeks,
            Message::Replan => {
                let request = Box::new(self.settings.habits.clone());
                return self.request_effect(Effect::Replan(request), PendingKind::ReadShelf, now);
            }
            Message::Leave => self.overlay = Overlay::None,
            _ => {}
        }
        Vec::new()
    }

    /// A plan was made and is kept.
    pub(super) fn handle_planned(&mut self, plan: KeptPlan, change: Vec<String>, now: Moment) {
        self.pending.pop_front();
        self.studio.kept_plan = Some(Arc::new(plan));
        match (&mut self.overlay, change.first()) {
            (Overlay::Plan(overlay), _) => overlay.change = change,
            (_, Some(words)) => self.show_message(words.clone(), false, now),
            (_, None) => {}
        }
    }

    /// No plan could be made, and why.
    pub(super) fn handle_plan_failed(&mut self, why: String, now: Moment) {
        self.pending.pop_front();
        self.show_message(why, true, now);
    }
}
