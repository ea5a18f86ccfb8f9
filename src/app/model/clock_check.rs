//! Whether the clock can be believed: held against the newest line of what is at hand. A clock that is behind runs on from
//! there; one that is far off is asked about, once a start, and the answer forbids nothing.

use super::Model;
use super::effect::Effect;
use super::overlay::{ClockQuestion, Overlay};
use crate::app::message::Message;
use crate::units::{Moment, Span};
use crate::work::story::AHEAD_MAX;

/// A newest line that lies further back makes the clock doubtful.
const FAR_BACK: Span = Span::from_s(30 * 86_400);
/// So does one further ahead (assumed).
const FAR_AHEAD: Span = Span::from_s(86_400);

impl Model {
    /// Sets a clock that is behind right for this start, and asks about one that is far off.
    pub(super) fn check_clock(&mut self, now: Moment) -> Vec<Effect> {
        let Some(newest) = self.newest_line(now).filter(|_| self.rehearsal.is_none()) else { return Vec::new() };
        let clock = Moment { wall: now.raw_wall.unwrap_or(now.wall), ..now };
        let ahead = newest.wall - clock.wall;
        let is_doubtful = ahead > FAR_AHEAD || ahead < -FAR_BACK;
        if is_doubtful && !self.has_asked_clock && self.overlay == Overlay::None {
            self.has_asked_clock = true;
            self.overlay = Overlay::Clock(ClockQuestion { clock, newest: newest.wall, is_right: true });
        }
        // Within one boot the boot clock knows better.
        let same_boot = matches!((now.boot, newest.boot), (Some(a), Some(b)) if a.boot_id == b.boot_id);
        if now.wall >= newest.wall || same_boot || self.clock_runs_from >= Some(newest.wall) {
            return Vec::new();
        }
        self.clock_runs_from = Some(newest.wall);
        let words = "the clock is behind the records: times run on from the newest entry; set the clock when you can";
        self.show_message(words.to_owned(), true, now);
        vec![Effect::RunClockFrom(newest.wall + Span::from_ms(1), false)]
    }

    /// When the newest line was written of the panels not finished, of the pots in use and of the air.
    fn newest_line(&self, now: Moment) -> Option<Moment> {
        let panels = self.snapshots.iter().filter(|t| t.is_unfinished(now)).filter_map(|t| t.story.as_ref());
        let panels = panels.filter_map(|s| s.entries().last()).map(|e| e.written);
        let pots = self.pots.survey.pots.iter().filter_map(|t| t.story.as_ref()).filter(|s| s.pot().end().is_none());
        let pots = pots.filter_map(|s| s.entries().last()).map(|e| e.written);
        // A reading may lie a little ahead: a logger has a clock of its own.
        let air = self.pots.survey.air.readings().last().map(|r| Moment::from_wall(r.at - AHEAD_MAX));
        panels.chain(pots).chain(air).max_by_key(|m| m.wall)
    }

    pub(super) fn update_clock_question(&mut self, message: &Message) -> Vec<Effect> {
        let Overlay::Clock(question) = &mut self.overlay else { return Vec::new() };
        match message {
            Message::Up | Message::Down => question.is_right = !question.is_right,
            Message::Home => question.is_right = true,
            Message::End => question.is_right = false,
            Message::Leave => self.overlay = Overlay::None,
            Message::Accept => {
                let ClockQuestion { newest, is_right, .. } = *question;
                self.overlay = Overlay::None;
                if !is_right {
                    self.clock_runs_from = Some(newest);
                    return vec![Effect::RunClockFrom(newest + Span::from_ms(1), true)];
                }
            }
            _ => {}
        }
        Vec::new()
    }
}
