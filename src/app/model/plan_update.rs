//! The plan on the bench: what its keys do, and what comes of planning anew.

use super::Model;
use super::effect::{Effect, PendingKind};
use super::overlay::Overlay;
use super::plan_overlay::DAYS_OF_WEEKS;
use crate::app::message::Message;
use crate::units::Moment;
use crate::work::plan::calendar::kept::KeptPlan;
use std::sync::Arc;

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
