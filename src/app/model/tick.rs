//! What each tick of the clock brings: calls, and what the clock itself did.

use super::{Effect, Model};
use crate::units::{Moment, Span};
use crate::work::panel::phase::PanelPhase;
use crate::work::story::CommonEvent;

/// The two clocks may differ by this much over one tick before it is called a jump (K4).
const JUMP: Span = Span::from_s(2);
/// The machine slept if its two running clocks differ by more over one tick (K5).
const SLEPT: Span = Span::from_s(1);

impl Model {
    /// Looks at the clock: raises calls that are due, rings, and notices that the clock jumped or the machine slept.
    /// `awake_ms` is a clock that stands still while the machine sleeps, where the platform has one.
    pub fn tick(&mut self, now: Moment, awake_ms: Option<i64>) -> Vec<Effect> {
        self.studio.reminders.update_due(now.wall);
        self.expire_messages(now);
        let mut requests = self.detect_clock_events(now, awake_ms);
        requests.extend(self.update_alarms(now));
        requests.extend(self.skip_long_wait(now));
        requests
    }

    /// Whether a wait runs, or rings, of at most `longest`.
    pub fn has_running_wait(&self, now: Moment, longest: Span) -> bool {
        let short = self.snapshots.iter().filter_map(|t| t.story.as_ref()).any(|story| {
            let standing = story.panel().status(crate::bench::trusted_now(story, now));
            standing.phase == PanelPhase::Waiting && standing.wait.is_some_and(|w| w.span <= longest)
        });
        short || self.is_ringing()
    }

    /// A jump of the wall clock against the boot clock, and a sleep, since the tick before.
    fn detect_clock_events(&mut self, now: Moment, awake_ms: Option<i64>) -> Vec<Effect> {
        let Some((last, last_awake)) = self.last_tick.replace((now, awake_ms)) else { return Vec::new() };
        let (Some(here), Some(there)) = (now.boot, last.boot) else { return Vec::new() };
        let boot = Span::from_ms(here.ms - there.ms);
        let jump = (now.wall - last.wall) - boot;
        let slept = awake_ms.zip(last_awake).map(|(now, last)| boot - Span::from_ms(now - last));
        let mut events = Vec::new();
        if jump.abs() > JUMP {
            events.push(CommonEvent::ClockStepped { by: jump });
        }
        if let Some(span) = slept.filter(|s| *s > SLEPT) {
            events.push(CommonEvent::Slept { span });
        }
        let waiting = self.snapshots.iter().filter(|t| t.is_unfinished(now)).map(|t| t.id.clone());
        let ids: Vec<_> = waiting.collect();
        events.iter().flat_map(|e| ids.iter().map(|id| Effect::RecordNotice(id.clone(), e.clone()))).collect()
    }
}
