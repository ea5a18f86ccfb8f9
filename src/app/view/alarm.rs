//! Alarms: three patterns, repeated until quieted, at most some minutes; and what each tick notices.

use super::{Request, View};
use crate::bench::call_due;
use crate::units::{Moment, Span};
use crate::work::panel::event::{Call, Event};

/// The seconds from one ringing of the pattern to the next.
const PATTERN_S: i64 = 15;
/// The two clocks may differ by this much over one tick before it is called a jump (K4).
const JUMP: Span = Span::from_s(2);
/// The machine slept if its two running clocks differ by more over one tick (K5).
const SLEPT: Span = Span::from_s(1);

/// An alarm that rings.
#[derive(Debug, Clone, PartialEq)]
pub struct Alarm {
    /// What it calls for.
    pub call: Call,
    /// On which panel.
    pub label: String,
    since: Moment,
}

impl Alarm {
    /// Whether its pattern sounds in this second: once to look, twice for the pot, three times to lay.
    fn sounds(&self, now: Moment, second: Span) -> bool {
        let second = now.since(self.since).ms() / second.ms().max(1) % PATTERN_S;
        let strokes = match self.call {
            Call::LookDull => 1,
            Call::Pot => 2,
            Call::Due => 3,
        };
        second < strokes
    }
}

impl View {
    /// Looks at the clock: raises calls that are due, rings, and notices that the clock jumped or the machine slept.
    /// `awake_ms` is a clock that stands still while the machine sleeps, where the platform has one.
    pub fn tick(&mut self, now: Moment, awake_ms: Option<i64>) -> Vec<Request> {
        let mut requests = self.lapse(now);
        requests.extend(self.noticed(now, awake_ms));
        requests.extend(self.calls(now));
        requests.extend(self.passes(now));
        let ring_for = self.eyes(self.manner.ring_for.max(Span::from_s(PATTERN_S)));
        if self.alarm.as_ref().is_some_and(|a| now.since(a.since) >= ring_for) {
            self.alarm = None;
        }
        let second = self.eyes(Span::from_s(1));
        requests.extend(self.alarm.iter().filter(|a| a.sounds(now, second)).map(|a| Request::Sound(a.call)));
        requests
    }

    fn calls(&mut self, now: Moment) -> Vec<Request> {
        let mut requests = Vec::new();
        for told in &self.told {
            let Some(story) = &told.story else { continue };
            let Some((call, of)) = call_due(story, now, self.manner.night) else { continue };
            let label = story.panel().opened().label.clone();
            if !self.raised.contains(&(told.id.clone(), call, of)) {
                self.raised.push((told.id.clone(), call, of));
                requests.push(Request::Notice(told.id.clone(), Event::Alert { call, of }));
                requests.push(Request::Tell(call, label.clone()));
                self.alarm = Some(Alarm { call, label, since: now });
            }
        }
        requests
    }

    /// A jump of the wall clock against the boot clock, and a sleep, since the tick before.
    fn noticed(&mut self, now: Moment, awake_ms: Option<i64>) -> Vec<Request> {
        let Some((last, last_awake)) = self.last_tick.replace((now, awake_ms)) else { return Vec::new() };
        let (Some(here), Some(there)) = (now.boot, last.boot) else { return Vec::new() };
        let boot = Span::from_ms(here.ms - there.ms);
        let jump = (now.wall - last.wall) - boot;
        let slept = awake_ms.zip(last_awake).map(|(now, last)| boot - Span::from_ms(now - last));
        let mut events = Vec::new();
        if jump.abs() > JUMP {
            events.push(Event::ClockStepped { by: jump });
        }
        if let Some(span) = slept.filter(|s| *s > SLEPT) {
            events.push(Event::Slept { span });
        }
        let waiting = self.told.iter().filter(|t| t.unfinished(now)).map(|t| t.id.clone());
        let ids: Vec<_> = waiting.collect();
        events.iter().flat_map(|e| ids.iter().map(|id| Request::Notice(id.clone(), e.clone()))).collect()
    }
}
