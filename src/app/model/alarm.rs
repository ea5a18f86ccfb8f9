//! Calls: raised once, written down, rung until somebody quiets them or some minutes have passed.
//!
//! Absent on purpose: when a call is due (`bench`), how it sounds (`ui`).

use super::{Effect, Model};
use crate::app::keymap::Keymap;
use crate::app::message::{InputMode, Message};
use crate::bench::{RecordError, find_due_call, trusted_now};
use crate::config::QuietHours;
use crate::units::{Entry, Id, Moment, Span};
use crate::work::advice::wait_calls;
use crate::work::panel::event::{PanelCall, PanelEvent};
use crate::work::panel::phase::PanelPhase;
use crate::work::panel::refusal::PanelRefusal;
use crate::work::panel::story::PanelStory;
use crate::work::pot;
use crate::work::story::CommonEvent;

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
    pub call: PanelCall,
    /// On which panel.
    pub id: Id,
    /// What the maker calls that panel, as typed.
    pub label: String,
    /// Nothing is to be done after the wait it belongs to.
    pub is_last_wait: bool,
    /// The `seq` of the fact whose wait it belongs to.
    fact_seq: u64,
    pub(super) since: Moment,
    /// Written down, or long enough not to be: it rings.
    is_ringing: bool,
    /// Another window raised it: its bell is there, and here too the first key only quiets.
    pub is_elsewhere: bool,
    beats: u32,
    pub(super) last_beat: Option<Moment>,
    /// The call of a pot of its own, which `id` and `of` are then of.
    pot_call: Option<pot::event::PotCall>,
}

impl Alarm {
    pub(super) fn from_panel_call(id: Id, story: &PanelStory, (call, of): (PanelCall, u64), now: Moment) -> Alarm {
        let label = story.panel().opened().label.clone();
        let last = story.panel().stage_at_hand().is_none();
        Alarm {
            call,
            id,
            label,
            is_last_wait: last,
            fact_seq: of,
            since: now,
            is_ringing: false,
            is_elsewhere: false,
            beats: 0,
            last_beat: None,
            pot_call: None,
        }
    }

    /// A pot's own call. It rings at once: whoever else has heard of it, a pot in the heat spoils.
    pub(super) fn from_pot_call(id: Id, label: String, (call, of): (pot::event::PotCall, u64), now: Moment) -> Alarm {
        let (rings, pot) = (true, Some(call));
        Alarm {
            call: PanelCall::Pot,
            id,
            label,
            is_last_wait: false,
            fact_seq: of,
            since: now,
            is_ringing: rings,
            is_elsewhere: false,
            beats: 0,
            last_beat: None,
            pot_call: pot,
        }
    }

    /// Whether it is that call of that pot's own.
    pub(super) fn is_pot_call(&self, id: &Id, call: pot::event::PotCall) -> bool {
        self.id == *id && self.pot_call == Some(call)
    }

    /// What it says, in words.
    pub fn describe(&self) -> String {
        match (self.pot_call, self.call) {
            (Some(pot::event::PotCall::OutOfBath), _) => format!("{}: out of the bath", self.label),
            (Some(pot::event::PotCall::Soaked), _) => format!("{}: soaked, melt it gently", self.label),
            (None, PanelCall::LookDull) => format!("{}: look whether the gloss is gone", self.label),
            (None, PanelCall::Pot) => format!("{}: see to the pot", self.label),
            (None, PanelCall::Due) if self.is_last_wait => format!("{}: ready to paint on", self.label),
            (None, PanelCall::Due) => format!("{}: it is time", self.label),
        }
    }

    /// How many strokes its pattern has: once to look, twice for the pot, three times to lay.
    pub const fn count_strokes(call: PanelCall) -> u32 {
        match call {
            PanelCall::LookDull => 1,
            PanelCall::Pot => 2,
            PanelCall::Due => 3,
        }
    }

    /// What to press, once it is quiet.
    fn next_step_hint(&self, keymap: &Keymap) -> String {
        let key = |message| keymap.label(&message, InputMode::Bench);
        let hint = match (self.pot_call, self.call) {
            (Some(pot::event::PotCall::OutOfBath), _) => {
                return format!("lift it out, then press {}", key(Message::ToggleBath));
            }
            (Some(pot::event::PotCall::Soaked), _) => return format!("{} leads on", key(Message::ShowPots)),
            (None, PanelCall::LookDull) => return format!("press {} when the gloss is gone", key(Message::RecordDull)),
            (None, PanelCall::Pot) => {
                return format!("see to the pot; {} when it goes into the bath", key(Message::ToggleBath));
            }
            (None, PanelCall::Due) if self.is_last_wait => "ready to paint on",
            (None, PanelCall::Due) => "press when it is on",
        };
        hint.to_owned()
    }

    /// Counts one more beat. Returns whether its pattern has a stroke there.
    fn count_beat(&mut self, now: Moment, apart: Span) -> bool {
        if self.last_beat.is_some_and(|last| now.since(last).abs() < apart) {
            return false;
        }
        self.last_beat = Some(now);
        let stroke = self.beats % PATTERN_BEATS < Alarm::count_strokes(self.call);
        self.beats += 1;
        stroke
    }
}

/// The end of a wait that nothing comes after: the panel is finished that moment, and somebody waits to hear it.
fn find_last_wait_call(story: &PanelStory, now: Moment, night: Option<QuietHours>) -> Option<(PanelCall, u64)> {
    let panel = story.panel();
    let wait = panel.current_wait().filter(|w| panel.phase_at(now) == PanelPhase::Finished && !w.is_running_at(now))?;
    let silent = wait.dull_at.is_some() || wait_calls::is_night_silent(wait.wait.span, now.minute_of_day(), night);
    (!silent && !panel.has_raised(PanelCall::Due, wait.fact_seq)).then_some((PanelCall::Due, wait.fact_seq))
}

impl Model {
    /// Whether an alarm rings.
    pub fn is_ringing(&self) -> bool {
        self.alarms.iter().any(|a| a.is_ringing)
    }

    /// The alarms that ring, the most pressing last.
    pub fn ringing_alarms(&self) -> Vec<&Alarm> {
        let mut ringing: Vec<_> = self.alarms.iter().filter(|a| a.is_ringing).collect();
        ringing.sort_by_key(|a| Alarm::count_strokes(a.call));
        ringing
    }

    /// Takes a press for the quieting of whatever rings. Returns whether anything did.
    pub(super) fn quiet_alarms(&mut self, now: Moment) -> bool {
        let Some(alarm) = self.ringing_alarms().last().map(|a| (*a).clone()) else { return false };
        let shown = self.shown_panel().is_some_and(|p| p.id == alarm.id);
        let next = alarm.next_step_hint(self.keymap());
        let words = match shown || alarm.pot_call.is_some() {
            _ if alarm.is_elsewhere => {
                format!("quiet here, the bell is in another window - {next}")
            }
            true => format!("quiet now - {next}"),
            false => format!("quiet now - {} shows {}, {next}", self.bench_key(&Message::NextPanel), alarm.label),
        };
        self.alarms.retain(|a| !a.is_ringing);
        self.show_message(words, false, now);
        true
    }

    /// Raises the calls that are due, and lets those ring that are to.
    pub(super) fn update_alarms(&mut self, now: Moment) -> Vec<Effect> {
        self.forget_answered_calls(now);
        let mut requests = self.raise_panel_calls(now);
        requests.extend(self.raise_pot_calls(now));
        let late: Vec<_> =
            self.alarms.iter().filter(|a| now.since(a.since).abs() >= self.scale_by_pace(WRITE_FOR)).collect();
        let late: Vec<_> = late.into_iter().map(|a| (a.id.clone(), a.call, a.fact_seq)).collect();
        for (id, call, of) in late {
            requests.extend(self.start_ringing(&id, call, of, now));
        }
        requests.extend(self.strike_bell(now));
        requests
    }

    /// A call has nothing more to say once something was begun, another wait runs, or its minutes are over.
    fn forget_answered_calls(&mut self, now: Moment) {
        let ring_for = self.scale_by_pace(self.settings.ring_for.max(Span::from_s(i64::from(PATTERN_BEATS))));
        let told = &self.snapshots;
        let pots = self.alarms.iter().filter_map(|a| Some((a.id.clone(), a.pot_call?, a.fact_seq)));
        let mut over: Vec<_> = pots.collect();
        over.retain(|(id, call, of)| !self.is_pot_call_due(id, *call, *of, now));
        self.alarms.retain(|alarm| {
            if alarm.pot_call.is_some() {
                let gone = over.iter().any(|(id, _, of)| *id == alarm.id && *of == alarm.fact_seq);
                return !gone && now.since(alarm.since).abs() < ring_for;
            }
            let story = told.iter().find(|t| t.id == alarm.id).and_then(|t| t.story.as_ref());
            let wait = story.and_then(|s| s.panel().current_wait());
            wait.is_some_and(|w| w.fact_seq == alarm.fact_seq && (w.dull_at.is_none() || alarm.call == PanelCall::Pot))
                && now.since(alarm.since).abs() < ring_for
        });
    }

    fn raise_panel_calls(&mut self, now: Moment) -> Vec<Effect> {
        let mut requests = Vec::new();
        for told in &self.snapshots {
            let Some(story) = &told.story else { continue };
            let due = find_due_call(story, now, self.settings.night);
            let due = due.or_else(|| find_last_wait_call(story, trusted_now(story, now), self.settings.night));
            let Some((call, of)) = due else { continue };
            if self.raised_calls.contains(&(told.id.clone(), call, of)) {
                continue;
            }
            self.raised_calls.push((told.id.clone(), call, of));
            requests.push(Effect::RecordNotice(told.id.clone(), CommonEvent::Alert { call, fact_seq: of }));
            // The next call on a panel takes the place of the one before.
            self.alarms.retain(|a| a.id != told.id || a.pot_call.is_some());
            self.alarms.push(Alarm::from_panel_call(told.id.clone(), story, (call, of), now));
        }
        // What a second press was asked for may have changed.
        if !requests.is_empty() {
            self.confirmation = None;
        }
        requests
    }

    /// Strikes once if the most pressing alarm has a stroke now.
    fn strike_bell(&mut self, now: Moment) -> Vec<Effect> {
        let apart = self.scale_by_pace(BEAT);
        let ringing = self.alarms.iter_mut().filter(|a| a.is_ringing && !a.is_elsewhere);
        let most = ringing.max_by_key(|a| Alarm::count_strokes(a.call));
        most.and_then(|a| a.count_beat(now, apart).then_some(Effect::RingBell(a.call))).into_iter().collect()
    }

    fn start_ringing(&mut self, id: &Id, call: PanelCall, of: u64, now: Moment) -> Vec<Effect> {
        let quiet = |a: &&mut Alarm| a.id == *id && a.call == call && a.fact_seq == of && !a.is_ringing;
        let Some(alarm) = self.alarms.iter_mut().find(quiet) else { return Vec::new() };
        alarm.is_ringing = true;
        alarm.since = now;
        let label = alarm.label.clone();
        let mut requests = vec![Effect::SendAlert(call, label)];
        requests.extend(self.strike_bell(now));
        requests
    }

    /// A call another window has just raised on that panel: who hears its bell may press a key here.
    pub(super) fn note_call_raised_elsewhere(
        &mut self,
        id: &Id,
        story: &PanelStory,
        entry: &Entry<PanelEvent>,
        now: Moment,
    ) {
        let PanelEvent::Common(CommonEvent::Alert { call, fact_seq: of }) = entry.event else { return };
        let fresh = now.since(entry.written).abs() < self.scale_by_pace(self.settings.ring_for);
        if fresh && !self.raised_calls.contains(&(id.clone(), call, of)) {
            self.raised_calls.push((id.clone(), call, of));
            self.alarms.retain(|a| a.id != *id || a.pot_call.is_some());
            let alarm = Alarm::from_panel_call(id.clone(), story, (call, of), now);
            self.alarms.push(Alarm { is_ringing: true, is_elsewhere: true, ..alarm });
        }
    }

    /// What the program noticed is written; a call is that moment raised, here and in no other window.
    pub(super) fn handle_notice_recorded(
        &mut self,
        id: &Id,
        event: &CommonEvent<PanelCall>,
        now: Moment,
    ) -> Vec<Effect> {
        match event {
            CommonEvent::Alert { call, fact_seq: of } => self.start_ringing(id, *call, *of, now),
            _ => Vec::new(),
        }
    }

    /// A call that another window raised first has its bell there; one that cannot be written down rings all the same.
    pub(super) fn handle_notice_failed(
        &mut self,
        id: &Id,
        event: &CommonEvent<PanelCall>,
        why: &RecordError,
        now: Moment,
    ) -> Vec<Effect> {
        let CommonEvent::Alert { call, fact_seq: of } = event else { return Vec::new() };
        match why {
            RecordError::Refused(PanelRefusal::AlreadyRaised { .. }) => {
                for alarm in self.alarms.iter_mut().filter(|a| a.id == *id && a.call == *call && a.fact_seq == *of) {
                    (alarm.is_ringing, alarm.is_elsewhere) = (true, true);
                }
                Vec::new()
            }
            RecordError::Refused(_)
            | RecordError::PotRefused(_)
            | RecordError::Journal(_)
            | RecordError::NoStory(_) => self.start_ringing(id, *call, *of, now),
        }
    }
}
