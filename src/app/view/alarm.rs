//! Calls: raised once, written down, rung until somebody quiets them or some minutes have passed.
//!
//! Absent on purpose: when a call is due (`bench`), how it sounds (`ui`).

use super::{Request, View};
use crate::bench::{NotRecorded, believed_now, call_due};
use crate::config::Night;
use crate::units::{Entry, Id, Moment, Span};
use crate::work::advice::calls;
use crate::work::panel::event::{Call, Event};
use crate::work::panel::phase::Phase;
use crate::work::panel::refusal::Refusal;
use crate::work::panel::story::Story;
use crate::work::pot;

/// A pattern of strokes begins anew after this many beats, one a second.
const PATTERN_BEATS: u32 = 15;
/// Less than this after a beat is the same beat still.
const BEAT: Span = Span::from_ms(700);
/// How long a call waits to be written down before it rings all the same: a slow disk makes none late.
const WRITE_FOR: Span = Span::from_s(1);

/// A call that was raised and not yet quieted.
#[derive(Debug, Clone, PartialEq)]
pub struct Alarm {
    /// What it calls for.
    pub call: Call,
    /// On which panel.
    pub id: Id,
    /// What the maker calls that panel, as typed.
    pub label: String,
    /// Nothing is to be done after the wait it belongs to.
    pub last: bool,
    /// The `seq` of the fact whose wait it belongs to.
    of: u64,
    pub(super) since: Moment,
    /// Written down, or long enough not to be: it rings.
    rings: bool,
    /// Another window raised it: its bell is there, and here too the first key only quiets.
    pub elsewhere: bool,
    beats: u32,
    pub(super) last_beat: Option<Moment>,
    /// The call of a pot of its own, which `id` and `of` are then of.
    pot: Option<pot::event::Call>,
}

impl Alarm {
    pub(super) fn raised(id: Id, story: &Story, (call, of): (Call, u64), now: Moment) -> Alarm {
        let label = story.panel().opened().label.clone();
        let last = story.panel().at_hand().is_none();
        Alarm {
            call,
            id,
            label,
            last,
            of,
            since: now,
            rings: false,
            elsewhere: false,
            beats: 0,
            last_beat: None,
            pot: None,
        }
    }

    /// A pot's own call. It rings at once: whoever else has heard of it, a pot in the heat spoils.
    pub(super) fn of_pot(id: Id, label: String, (call, of): (pot::event::Call, u64), now: Moment) -> Alarm {
        let (rings, pot) = (true, Some(call));
        Alarm {
            call: Call::Pot,
            id,
            label,
            last: false,
            of,
            since: now,
            rings,
            elsewhere: false,
            beats: 0,
            last_beat: None,
            pot,
        }
    }

    /// Whether it is that call of that pot's own.
    pub(super) fn is_of_pot(&self, id: &Id, call: pot::event::Call) -> bool {
        self.id == *id && self.pot == Some(call)
    }

    /// What it says, in words.
    pub fn says(&self) -> String {
        match (self.pot, self.call) {
            (Some(pot::event::Call::Out), _) => format!("{}: out of the bath", self.label),
            (Some(pot::event::Call::Soaked), _) => format!("{}: soaked, melt it gently", self.label),
            (None, Call::LookDull) => format!("{}: look whether the gloss is gone", self.label),
            (None, Call::Pot) => format!("{}: see to the pot", self.label),
            (None, Call::Due) if self.last => format!("{}: ready to paint on", self.label),
            (None, Call::Due) => format!("{}: it is time", self.label),
        }
    }

    /// How many strokes its pattern has: once to look, twice for the pot, three times to lay.
    pub const fn strokes(call: Call) -> u32 {
        match call {
            Call::LookDull => 1,
            Call::Pot => 2,
            Call::Due => 3,
        }
    }

    /// What to press, once it is quiet.
    const fn then(&self) -> &'static str {
        match (self.pot, self.call) {
            (Some(pot::event::Call::Out), _) => "lift it out, then press p",
            (Some(pot::event::Call::Soaked), _) => "P leads on",
            (None, Call::LookDull) => "press d when the gloss is gone",
            (None, Call::Pot) => "see to the pot; p when it goes into the bath",
            (None, Call::Due) if self.last => "ready to paint on",
            (None, Call::Due) => "press when it is on",
        }
    }

    /// Counts one more beat. Returns whether its pattern has a stroke there.
    fn beat(&mut self, now: Moment, apart: Span) -> bool {
        if self.last_beat.is_some_and(|last| now.since(last).abs() < apart) {
            return false;
        }
        self.last_beat = Some(now);
        let stroke = self.beats % PATTERN_BEATS < Alarm::strokes(self.call);
        self.beats += 1;
        stroke
    }
}

/// The end of a wait that nothing comes after: the panel is finished that moment, and somebody waits to hear it.
fn last_wait_over(story: &Story, now: Moment, night: Option<Night>) -> Option<(Call, u64)> {
    let panel = story.panel();
    let wait = panel.wait_in_force().filter(|w| panel.phase_at(now) == Phase::Finished && !w.runs_at(now))?;
    let silent = wait.dull.is_some() || calls::night_silent(wait.wait.span, now.minute_of_day(), night);
    (!silent && !panel.was_raised(Call::Due, wait.of)).then_some((Call::Due, wait.of))
}

impl View {
    /// Whether an alarm rings.
    pub fn rings(&self) -> bool {
        self.alarms.iter().any(|a| a.rings)
    }

    /// The alarms that ring, the most pressing last.
    pub fn ringing(&self) -> Vec<&Alarm> {
        let mut ringing: Vec<_> = self.alarms.iter().filter(|a| a.rings).collect();
        ringing.sort_by_key(|a| Alarm::strokes(a.call));
        ringing
    }

    /// Takes a press for the quieting of whatever rings. Returns whether anything did.
    pub(super) fn quiets(&mut self, now: Moment) -> bool {
        let Some(alarm) = self.ringing().last().map(|a| (*a).clone()) else { return false };
        let shown = self.panel().is_some_and(|p| p.id == alarm.id);
        let words = match shown || alarm.pot.is_some() {
            _ if alarm.elsewhere => format!("quiet here, the bell is in another window - {}", alarm.then()),
            true => format!("quiet now - {}", alarm.then()),
            false => format!("quiet now - Tab shows {}, {}", alarm.label, alarm.then()),
        };
        self.alarms.retain(|a| !a.rings);
        self.say(words, false, now);
        true
    }

    /// Raises the calls that are due, and lets those ring that are to.
    pub(super) fn calls(&mut self, now: Moment) -> Vec<Request> {
        self.forget_answered_calls(now);
        let mut requests = self.raise(now);
        requests.extend(self.raise_pots(now));
        let late: Vec<_> = self.alarms.iter().filter(|a| now.since(a.since).abs() >= self.eyes(WRITE_FOR)).collect();
        let late: Vec<_> = late.into_iter().map(|a| (a.id.clone(), a.call, a.of)).collect();
        for (id, call, of) in late {
            requests.extend(self.let_ring(&id, call, of, now));
        }
        requests.extend(self.strike(now));
        requests
    }

    /// A call has nothing more to say once something was begun, another wait runs, or its minutes are over.
    fn forget_answered_calls(&mut self, now: Moment) {
        let ring_for = self.eyes(self.manner.ring_for.max(Span::from_s(i64::from(PATTERN_BEATS))));
        let told = &self.told;
        let pots = self.alarms.iter().filter_map(|a| Some((a.id.clone(), a.pot?, a.of)));
        let mut over: Vec<_> = pots.collect();
        over.retain(|(id, call, of)| !self.pot_still_calls(id, *call, *of, now));
        self.alarms.retain(|alarm| {
            if alarm.pot.is_some() {
                let gone = over.iter().any(|(id, _, of)| *id == alarm.id && *of == alarm.of);
                return !gone && now.since(alarm.since).abs() < ring_for;
            }
            let story = told.iter().find(|t| t.id == alarm.id).and_then(|t| t.story.as_ref());
            let wait = story.and_then(|s| s.panel().wait_in_force());
            wait.is_some_and(|w| w.of == alarm.of && (w.dull.is_none() || alarm.call == Call::Pot))
                && now.since(alarm.since).abs() < ring_for
        });
    }

    fn raise(&mut self, now: Moment) -> Vec<Request> {
        let mut requests = Vec::new();
        for told in &self.told {
            let Some(story) = &told.story else { continue };
            let due = call_due(story, now, self.manner.night);
            let due = due.or_else(|| last_wait_over(story, believed_now(story, now), self.manner.night));
            let Some((call, of)) = due else { continue };
            if self.raised.contains(&(told.id.clone(), call, of)) {
                continue;
            }
            self.raised.push((told.id.clone(), call, of));
            requests.push(Request::Notice(told.id.clone(), Event::Alert { call, of }));
            // The next call on a panel takes the place of the one before.
            self.alarms.retain(|a| a.id != told.id || a.pot.is_some());
            self.alarms.push(Alarm::raised(told.id.clone(), story, (call, of), now));
        }
        // What a second press was asked for may have changed.
        if !requests.is_empty() {
            self.question = None;
        }
        requests
    }

    /// Strikes once if the most pressing alarm has a stroke now.
    fn strike(&mut self, now: Moment) -> Vec<Request> {
        let apart = self.eyes(BEAT);
        let ringing = self.alarms.iter_mut().filter(|a| a.rings && !a.elsewhere);
        let most = ringing.max_by_key(|a| Alarm::strokes(a.call));
        most.and_then(|a| a.beat(now, apart).then_some(Request::Sound(a.call))).into_iter().collect()
    }

    fn let_ring(&mut self, id: &Id, call: Call, of: u64, now: Moment) -> Vec<Request> {
        let quiet = |a: &&mut Alarm| a.id == *id && a.call == call && a.of == of && !a.rings;
        let Some(alarm) = self.alarms.iter_mut().find(quiet) else { return Vec::new() };
        alarm.rings = true;
        alarm.since = now;
        let label = alarm.label.clone();
        let mut requests = vec![Request::Tell(call, label)];
        requests.extend(self.strike(now));
        requests
    }

    /// A call another window has just raised on that panel: who hears its bell may press a key here.
    pub(super) fn raised_elsewhere(&mut self, id: &Id, story: &Story, entry: &Entry<Event>, now: Moment) {
        let Event::Alert { call, of } = entry.event else { return };
        let fresh = now.since(entry.written).abs() < self.eyes(self.manner.ring_for);
        if fresh && !self.raised.contains(&(id.clone(), call, of)) {
            self.raised.push((id.clone(), call, of));
            self.alarms.retain(|a| a.id != *id || a.pot.is_some());
            let alarm = Alarm::raised(id.clone(), story, (call, of), now);
            self.alarms.push(Alarm { rings: true, elsewhere: true, ..alarm });
        }
    }

    /// What the program noticed is written; a call is that moment raised, here and in no other window.
    pub(super) fn noted(&mut self, id: &Id, event: &Event, now: Moment) -> Vec<Request> {
        match event {
            Event::Alert { call, of } => self.let_ring(id, *call, *of, now),
            _ => Vec::new(),
        }
    }

    /// A call that another window raised first has its bell there; one that cannot be written down rings all the same.
    pub(super) fn not_noted(&mut self, id: &Id, event: &Event, why: &NotRecorded, now: Moment) -> Vec<Request> {
        let Event::Alert { call, of } = event else { return Vec::new() };
        match why {
            NotRecorded::Refused(Refusal::AlreadyRaised { .. }) => {
                for alarm in self.alarms.iter_mut().filter(|a| a.id == *id && a.call == *call && a.of == *of) {
                    (alarm.rings, alarm.elsewhere) = (true, true);
                }
                Vec::new()
            }
            NotRecorded::Refused(_) | NotRecorded::PotRefused(_) | NotRecorded::Failed(_) | NotRecorded::NoStory(_) => {
                self.let_ring(id, *call, *of, now)
            }
        }
    }
}
