//! What each tick of the clock brings: what the clock itself did, and calls, raised once, written down, rung until
//! somebody quiets them or some minutes have passed.

use super::alarm::{Alarm, PATTERN_BEATS};
use super::alert_text::AlertText;
use super::effect::Effect;
use super::overlay::Overlay;
use super::{ClockEvents, Model};
use crate::bench::{RecordError, find_due_call, trusted_now};
use crate::config::QuietHours;
use crate::units::{Entry, Id, Moment, Span};
use crate::work::advice::wait_calls;
use crate::work::advice::words::{act_words, direction_on_board};
use crate::work::panel::event::{PanelCall, PanelEvent};
use crate::work::panel::phase::PanelPhase;
use crate::work::panel::refusal::PanelRefusal;
use crate::work::panel::story::PanelStory;
use crate::work::plan::queue::PotNeed;
use crate::work::pot::event::PotCall;
use crate::work::story::CommonEvent;

/// The two clocks may differ by this much over one tick before it is called a jump.
const JUMP: Span = Span::from_s(2);
/// The machine slept if its two running clocks differ by more over one tick.
const SLEPT: Span = Span::from_s(1);

/// What the clocks do is written down at most this often.
const NOTICES_APART: Span = Span::from_s(60);

/// Less than this after a beat is the same beat still.
const BEAT: Span = Span::from_ms(700);
/// How long a call waits to be written down before it rings all the same: a slow disk makes none late.
const WRITE_FOR: Span = Span::from_s(1);

impl Model {
    /// Looks at the clock: raises calls that are due, rings, and notices that the clock jumped or the machine slept.
    /// `awake_ms` is a clock that stands still while the machine sleeps, where the platform has one.
    pub fn tick(&mut self, now: Moment, awake_ms: Option<i64>) -> Vec<Effect> {
        self.studio.reminders.update_due(now.wall);
        self.open_on_most_pressing(now);
        self.expire_messages(now);
        let mut effects = self.detect_clock_events(now, awake_ms);
        effects.extend(self.check_clock(now));
        effects.extend(self.update_alarms(now));
        effects.extend(self.skip_long_wait(now));
        effects
    }

    /// Whether a wait runs, or rings, of at most `longest`.
    pub fn has_running_wait(&self, now: Moment, longest: Span) -> bool {
        let short = self.snapshots.iter().filter_map(|t| t.story.as_ref()).any(|story| {
            let status = story.panel().status(crate::bench::trusted_now(story, now));
            status.phase == PanelPhase::Waiting && status.wait.is_some_and(|w| w.span <= longest)
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
        let seen = &mut self.clock_events;
        seen.jumped = seen.jumped + if jump.abs() > JUMP { jump } else { Span::default() };
        seen.slept = seen.slept + slept.filter(|s| *s > SLEPT).unwrap_or_default();
        // A clock that flaps must not fill the journals.
        if seen.written.is_some_and(|written| now.since(written).abs() < NOTICES_APART) {
            return Vec::new();
        }
        let mut events = Vec::new();
        if seen.jumped.abs() > JUMP {
            events.push(CommonEvent::ClockStepped { by: seen.jumped });
        }
        if seen.slept > SLEPT {
            events.push(CommonEvent::Slept { span: seen.slept });
        }
        if !events.is_empty() {
            *seen = ClockEvents { written: Some(now), ..ClockEvents::default() };
        }
        let waiting = self.snapshots.iter().filter(|t| t.is_unfinished(now)).map(|t| t.id.clone());
        let ids: Vec<_> = waiting.collect();
        events.iter().flat_map(|e| ids.iter().map(|id| Effect::RecordNotice(id.clone(), e.clone()))).collect()
    }

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
        let Some(alarm) = self.find_most_pressing_alarm(now) else { return false };
        let shown = self.shown_panel().is_some_and(|p| p.id == alarm.id);
        let next = alarm.next_step_hint(self.keymap());
        let turns = !shown && alarm.is_board_call() && self.overlay == Overlay::None && !self.is_board_in_hand(now);
        let caller = self.snapshots.iter().position(|t| t.id == alarm.id).filter(|_| turns);
        if let Some(at) = caller {
            self.show_board(at);
        }
        let words = match shown || caller.is_some() || !alarm.is_board_call() {
            _ if alarm.is_elsewhere => {
                format!("quiet here, the bell is in another window - {next}")
            }
            true => format!("quiet now - {next}"),
            false => format!("quiet now - then {}", self.block_name(&alarm.id)),
        };
        self.alarms.retain(|a| !a.is_ringing);
        self.show_message(words, false, now);
        true
    }

    /// Of what rings, what wants somebody first.
    fn find_most_pressing_alarm(&self, now: Moment) -> Option<Alarm> {
        let order = self.board_order(now);
        let place = |a: &Alarm| order.iter().position(|at| self.snapshots[*at].id == a.id);
        let ringing = self.alarms.iter().filter(|a| a.is_ringing);
        ringing.min_by_key(|a| (std::cmp::Reverse(Alarm::count_strokes(a.call)), place(a))).cloned()
    }

    /// Raises the calls that are due, and lets those ring that are to.
    pub(super) fn update_alarms(&mut self, now: Moment) -> Vec<Effect> {
        self.forget_answered_calls(now);
        let mut effects = self.raise_panel_calls(now);
        effects.extend(self.raise_pot_calls(now));
        let late: Vec<_> =
            self.alarms.iter().filter(|a| now.since(a.since).abs() >= self.scale_by_pace(WRITE_FOR)).collect();
        let late: Vec<_> = late.into_iter().map(|a| (a.id.clone(), a.call, a.fact_seq)).collect();
        for (id, call, of) in late {
            effects.extend(self.start_ringing(&id, call, of, now));
        }
        effects.extend(self.strike_bell(now));
        effects
    }

    /// A call has nothing more to say once something was begun, another wait runs, or its minutes are over.
    fn forget_answered_calls(&mut self, now: Moment) {
        let ring_for = self.scale_by_pace(self.settings.ring_for.max(Span::from_s(i64::from(PATTERN_BEATS))));
        let snapshots = &self.snapshots;
        let pots = self.alarms.iter().filter_map(|a| Some((a.id.clone(), a.pot_call?, a.fact_seq)));
        let mut over: Vec<_> = pots.collect();
        over.retain(|(id, call, of)| !self.is_pot_call_due(id, *call, *of, now));
        self.alarms.retain(|alarm| {
            if alarm.pot_call.is_some() {
                let gone = over.iter().any(|(id, _, of)| *id == alarm.id && *of == alarm.fact_seq);
                return !gone && now.since(alarm.since).abs() < ring_for;
            }
            let story = snapshots.iter().find(|t| t.id == alarm.id).and_then(|t| t.story.as_ref());
            let wait = story.and_then(|s| s.panel().current_wait());
            wait.is_some_and(|w| w.fact_seq == alarm.fact_seq && (w.dull_at.is_none() || alarm.call == PanelCall::Pot))
                && now.since(alarm.since).abs() < ring_for
        });
    }

    fn raise_panel_calls(&mut self, now: Moment) -> Vec<Effect> {
        let mut effects = Vec::new();
        for snapshot in &self.snapshots {
            let Some(story) = &snapshot.story else { continue };
            let due = find_due_call(story, now, self.settings.night);
            let due = due.or_else(|| find_last_wait_call(story, trusted_now(story, now), self.settings.night));
            let Some((call, of)) = due else { continue };
            if self.raised_calls.contains(&(snapshot.id.clone(), call, of)) {
                continue;
            }
            self.raised_calls.push((snapshot.id.clone(), call, of));
            effects.push(Effect::RecordNotice(snapshot.id.clone(), CommonEvent::Alert { call, fact_seq: of }));
            // The next call on a panel takes the place of the one before.
            self.alarms.retain(|a| a.id != snapshot.id || a.pot_call.is_some());
            self.alarms.push(Alarm::from_panel_call(snapshot.id.clone(), story, (call, of), now));
        }
        // What a second press was asked for may have changed.
        if !effects.is_empty() {
            self.confirmation = None;
        }
        effects
    }

    /// Strikes once if the most pressing alarm has a stroke now; at the first stroke of its pattern all that ring are
    /// spoken, the most pressing first.
    fn strike_bell(&mut self, now: Moment) -> Vec<Effect> {
        let apart = self.scale_by_pace(BEAT);
        let ringing = self.alarms.iter_mut().filter(|a| a.is_ringing && !a.is_elsewhere);
        let Some(most) = ringing.max_by_key(|a| Alarm::count_strokes(a.call)) else { return Vec::new() };
        let (call, begins) = (most.call, most.is_pattern_start());
        if !most.count_beat(now, apart) {
            return Vec::new();
        }
        let mut effects = vec![Effect::RingBell(call)];
        if begins {
            let here = self.ringing_alarms().into_iter().rev().filter(|a| !a.is_elsewhere);
            let sentences: Vec<String> = here.map(|a| self.alert_text(a, now).sentence()).collect();
            effects.push(Effect::Speak(sentences.join(" ")));
        }
        effects
    }

    /// What that alarm says at that moment.
    pub(super) fn alert_text(&self, alarm: &Alarm, now: Moment) -> AlertText {
        let said = |act: &str, pot: Option<String>| AlertText {
            call: alarm.call,
            label: alarm.label.clone(),
            act: act.to_owned(),
            direction: None,
            direction_text: None,
            late_min: 0,
            pot,
        };
        match (alarm.pot_call, alarm.call) {
            (Some(call), _) => said(call_need(call).words(), Some(alarm.label.clone())),
            (None, PanelCall::LookDull) => said("is the gloss gone?", None),
            (None, PanelCall::Pot) => {
                let (pot, need) = self.pot_wanted_for(&alarm.id, now);
                said(need.map_or("see to the pot", PotNeed::words), pot)
            }
            (None, PanelCall::Due) if alarm.is_last_wait => said("ready to paint on", None),
            (None, PanelCall::Due) => {
                let told = self.snapshots.iter().find(|t| t.id == alarm.id).and_then(|t| t.story.as_deref());
                told.map_or_else(|| said("it is time", None), |story| self.due_text(alarm, story, now))
            }
        }
    }

    /// The act that is due, which way, and how late it is.
    fn due_text(&self, alarm: &Alarm, story: &PanelStory, now: Moment) -> AlertText {
        let panel = story.panel();
        let status = panel.status(trusted_now(story, now));
        let turned = self.direction_turned && self.shown_panel().is_some_and(|shown| shown.id == alarm.id);
        let direction = status.direction_to_record(turned);
        let size = &panel.opened().size;
        let act = status.stage_to_record().map_or("it is time".to_owned(), |stage| {
            let words = act_words(&stage, panel.recipe(), size);
            let total = words.total_text.map_or_else(String::new, |total| format!(" {total}"));
            format!("{} {}{total}", words.verb.to_lowercase(), words.object)
        });
        AlertText {
            call: alarm.call,
            label: alarm.label.clone(),
            act,
            direction,
            direction_text: direction.map(|d| direction_on_board(d, size)),
            late_min: status.time_left.map_or(0, |left| (-left).ms().max(0) / 60_000),
            pot: None,
        }
    }

    fn start_ringing(&mut self, id: &Id, call: PanelCall, of: u64, now: Moment) -> Vec<Effect> {
        let quiet = |a: &&mut Alarm| a.id == *id && a.call == call && a.fact_seq == of && !a.is_ringing;
        let Some(alarm) = self.alarms.iter_mut().find(quiet) else { return Vec::new() };
        alarm.is_ringing = true;
        alarm.since = now;
        let alarm = alarm.clone();
        let mut effects = vec![Effect::SendAlert(Box::new(self.alert_text(&alarm, now)))];
        effects.extend(self.strike_bell(now));
        effects
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
        error: &RecordError,
        now: Moment,
    ) -> Vec<Effect> {
        let CommonEvent::Alert { call, fact_seq: of } = event else { return Vec::new() };
        match error {
            RecordError::Refused(PanelRefusal::AlreadyRaised { .. }) => {
                for alarm in self.alarms.iter_mut().filter(|a| a.id == *id && a.call == *call && a.fact_seq == *of) {
                    (alarm.is_ringing, alarm.is_elsewhere) = (true, true);
                }
                Vec::new()
            }
            RecordError::Refused(_)
            | RecordError::PotRefused(_)
            | RecordError::Journal(_)
            | RecordError::NoStory(_)
            | RecordError::Photo(_)
            | RecordError::EarlierFactFailed
            | RecordError::ProgramFault => self.start_ringing(id, *call, *of, now),
        }
    }
}

/// What a pot wants by a call of its own.
const fn call_need(call: PotCall) -> PotNeed {
    match call {
        PotCall::OutOfBath => PotNeed::OutOfBath,
        PotCall::Soaked => PotNeed::Melt,
    }
}

/// The end of a wait that nothing comes after: the panel is finished that moment, and somebody waits to hear it.
fn find_last_wait_call(story: &PanelStory, now: Moment, night: Option<QuietHours>) -> Option<(PanelCall, u64)> {
    let panel = story.panel();
    let wait = panel.current_wait().filter(|w| panel.phase_at(now) == PanelPhase::Finished && !w.is_running_at(now))?;
    let silent = wait.dull_at.is_some() || wait_calls::is_night_silent(wait.wait.span, now.minute_of_day(), night);
    (!silent && !panel.has_raised(PanelCall::Due, wait.fact_seq)).then_some((PanelCall::Due, wait.fact_seq))
}
