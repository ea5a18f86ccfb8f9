//! The time of what was just recorded, stepped with the arrows: each step is on disk before it is shown.

use super::Model;
use super::effect::{Effect, PendingKind};
use super::last_press::{LastPress, PressedFacts};
use super::overlay::Overlay;
use crate::app::message::Message;
use crate::bench::Snapshot;
use crate::units::{Moment, Span};

/// How long after the press, or the last step, the time may still be stepped.
pub const RETIME_WINDOW: Span = Span::from_s(8);
/// No further back than this can the time of a fact be stepped; for more there is `sottile mark --at`.
const BACK_MAX_MIN: u32 = 240;

impl Model {
    /// One minute earlier, or later again.
    pub(super) fn adjust_time(&mut self, earlier: i64, now: Moment) -> Vec<Effect> {
        let Some(fact) = &mut self.recent_fact else { return Vec::new() };
        fact.since = now;
        let min = (i64::from(fact.back_min) + earlier).clamp(0, i64::from(BACK_MAX_MIN)) as u32;
        if min == fact.back_min {
            return Vec::new();
        }
        let moved = Effect::Retime(fact.id.clone(), fact.seq, fact.at - Span::from_min(f64::from(min)));
        let stage = fact.stage;
        self.request_effect(moved, PendingKind::Retime { stage, min }, now)
    }

    /// The fact stands so many minutes earlier than it was first recorded, under another `seq`.
    pub(super) fn update_recent_fact(&mut self, snapshots: &[Snapshot], min: u32, now: Moment) {
        let Some(fact) = &mut self.recent_fact else { return };
        let story = snapshots.iter().find(|t| t.id == fact.id).and_then(|t| t.story.as_ref());
        if let Some(entry) = story.and_then(|s| s.last_standing_entry()) {
            fact.seq = entry.seq;
            fact.back_min = min;
            fact.since = now;
            let facts = PressedFacts::Boards(vec![(fact.id.clone(), entry.seq)]);
            self.last_press = Some(LastPress { facts, at: now, is_overtaken: false });
        }
    }

    /// A key that does not step ends the stepping.
    pub(super) fn end_time_steps_before(&mut self, message: &Message) {
        let steps = matches!((message, &self.overlay), (Message::Left | Message::Right, Overlay::None));
        if !steps {
            self.recent_fact = None;
        }
    }

    /// So do a few seconds.
    pub(super) fn expire_recent_fact(&mut self, now: Moment) {
        let window = self.scale_by_pace(RETIME_WINDOW);
        self.recent_fact.take_if(|fact| now.since(fact.since).abs() > window);
    }
}
