//! The time of what was just recorded, stepped with the arrows until another key or a few seconds settle it.

use super::Model;
use super::effect::{Effect, PendingEffect, PendingKind};
use super::overlay::Overlay;
use crate::app::message::Message;
use crate::units::{Moment, Span};

/// How long after the press, or the last step, the time is settled.
pub const RETIME_WINDOW: Span = Span::from_s(8);
/// No further back than this can the time of a fact be stepped; for more there is `sottile mark --at`.
const BACK_MAX_MIN: u32 = 240;

impl Model {
    /// One minute earlier, or later again.
    pub(super) fn adjust_time(&mut self, earlier: i64, now: Moment) -> Vec<Effect> {
        if let Some(pressed) = &mut self.recent_fact {
            let back = i64::from(pressed.back_min) + earlier;
            pressed.back_min = back.clamp(0, i64::from(BACK_MAX_MIN)) as u32;
            pressed.since = now;
        }
        Vec::new()
    }

    /// A key that does not step settles the time; taking the fact back makes its time no matter.
    pub(super) fn settle_time_before(&mut self, action: &Message, now: Moment) -> Vec<Effect> {
        match (action, &self.overlay) {
            (Message::Left | Message::Right, Overlay::None) => Vec::new(),
            (Message::Undo, Overlay::None) => {
                self.recent_fact = None;
                Vec::new()
            }
            (_, _) => self.settle_time(now),
        }
    }

    /// So do a few seconds.
    pub(super) fn settle_time_if_expired(&mut self, now: Moment) -> Vec<Effect> {
        match &self.recent_fact {
            Some(p) if now.since(p.since).abs() > self.scale_by_pace(RETIME_WINDOW) => self.settle_time(now),
            Some(_) | None => Vec::new(),
        }
    }

    /// The time stepped to is the one meant: it is written down, behind whatever is still being saved.
    fn settle_time(&mut self, now: Moment) -> Vec<Effect> {
        match self.recent_fact.take() {
            Some(p) if p.back_min > 0 => {
                self.pending.push_back(PendingEffect {
                    since: now,
                    kind: PendingKind::Retime { stage: p.stage, min: p.back_min },
                });
                vec![Effect::Retime(p.id, p.seq, p.at - Span::from_min(f64::from(p.back_min)))]
            }
            Some(_) | None => Vec::new(),
        }
    }
}
