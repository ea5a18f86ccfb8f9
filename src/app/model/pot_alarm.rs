//! The calls of pots: for a coat's sake before it falls due; out of the bath, again and again until it is out; the soak is
//! over, once.
//!
//! A pot left in the heat spoils, so every window that is open rings for it, also one opened only since it went in.

use super::Model;
use super::alarm::Alarm;
use super::effect::Effect;
use crate::bench::{Snapshot, find_due_pot_call, trusted_now};
use crate::units::{Id, Moment, Span};
use crate::work::advice::wait_calls::is_night_silent;
use crate::work::panel;
use crate::work::plan::queue::{PotNeed, find_pot_need};
use crate::work::pot::event::PotCall;
use crate::work::pot::fold::Pot;
use crate::work::pot::phase::DuePotCall;
use crate::work::story::CommonEvent;
use std::sync::Arc;

/// Once quieted, a pot still in the bath is silent for at least so long, however fast the clock runs.
const QUIET_FOR: Span = Span::from_s(30);

impl Model {
    /// Raises the calls of pots that are due.
    pub(super) fn raise_pot_calls(&mut self, now: Moment) -> Vec<Effect> {
        if !self.pots.is_loaded {
            return Vec::new();
        }
        let mut effects = self.raise_coat_calls(now);
        let pots: Vec<Snapshot<Pot>> = self.pots.survey.pots.iter().filter(|t| t.is_in_use()).cloned().collect();
        for snapshot in pots {
            // What a damaged journal says may long be otherwise; the bench says that it is damaged.
            let Some(story) = snapshot.sound_story() else { continue };
            let pot = story.pot();
            for calling in pot.due_calls(trusted_now(story, now)) {
                effects.extend(match calling.call {
                    PotCall::Soaked => self.raise_soaked_call(&snapshot.id, pot, calling, now),
                    PotCall::OutOfBath => self.raise_out_call(&snapshot.id, pot, calling, now),
                });
            }
        }
        effects
    }

    /// The pot of a panel's next coat, in time for it.
    fn raise_coat_calls(&mut self, now: Moment) -> Vec<Effect> {
        let mut effects = Vec::new();
        let night = self.settings.night;
        let due: Vec<(Id, _, u64)> = self
            .snapshots
            .iter()
            .filter_map(|snapshot| {
                let story = snapshot.story.as_ref()?;
                let status = story.panel().status(trusted_now(story, now));
                let pot = self.find_pot_for_coat(story.panel(), status.stage_to_begin()?)?.sound_story()?;
                let of = find_due_pot_call(&self.pots.survey, story, pot.pot(), now, night)?;
                Some((snapshot.id.clone(), Arc::clone(story), of))
            })
            .collect();
        let call = panel::event::PanelCall::Pot;
        for (id, story, of) in due {
            if self.raised_calls.contains(&(id.clone(), call, of)) {
                continue;
            }
            self.raised_calls.push((id.clone(), call, of));
            effects.push(Effect::RecordNotice(id.clone(), CommonEvent::Alert { call, fact_seq: of }));
            self.alarms.push(Alarm::from_panel_call(id, &story, (call, of), now));
        }
        effects
    }

    /// Once, and not in the night: then in the morning.
    fn raise_soaked_call(&mut self, id: &Id, pot: &Pot, calling: DuePotCall, now: Moment) -> Vec<Effect> {
        let silent = is_night_silent(Span::from_h(pot.recipe().size.soak_h), now.minute_of_day(), self.settings.night);
        let before =
            pot.has_raised(calling.call, calling.fact_seq) || self.find_rung_call(id, calling.fact_seq).is_some();
        if silent || before {
            return Vec::new();
        }
        self.ring_pot_alarm(id, pot, calling, now)
    }

    /// Again every minute until it is out.
    fn raise_out_call(&mut self, id: &Id, pot: &Pot, calling: DuePotCall, now: Moment) -> Vec<Effect> {
        let rings = self.alarms.iter().any(|a| a.is_pot_call(id, calling.call));
        match self.find_rung_call(id, calling.fact_seq) {
            Some((_, last)) if rings => {
                self.note_rung_call(id, calling, last);
                Vec::new()
            }
            Some((before, last))
                if before >= calling.ring_count || now.since(last).abs() < self.scale_by_pace(QUIET_FOR) =>
            {
                Vec::new()
            }
            Some(_) | None => self.ring_pot_alarm(id, pot, calling, now),
        }
    }

    fn ring_pot_alarm(&mut self, id: &Id, pot: &Pot, calling: DuePotCall, now: Moment) -> Vec<Effect> {
        let label = pot.opened().label.clone();
        let alarm = Alarm::from_pot_call(id.clone(), label, (calling.call, calling.fact_seq), now);
        let mut effects = Vec::new();
        if self.find_rung_call(id, calling.fact_seq).is_none() {
            if !pot.has_raised(calling.call, calling.fact_seq) {
                let event = CommonEvent::Alert { call: calling.call, fact_seq: calling.fact_seq };
                effects.push(Effect::RecordPotNotice(id.clone(), event));
            }
            effects.push(Effect::SendAlert(Box::new(self.alert_text(&alarm, now))));
        }
        self.note_rung_call(id, calling, now);
        self.alarms.push(alarm);
        effects
    }

    /// The pot of that panel's next coat, as the maker calls it, and what it wants.
    pub(super) fn pot_wanted_for(&self, id: &Id, now: Moment) -> (Option<String>, Option<PotNeed>) {
        let wanted = || {
            let story = self.snapshots.iter().find(|t| t.id == *id)?.story.as_deref()?;
            let status = story.panel().status(trusted_now(story, now));
            let pot = self.find_pot_for_coat(story.panel(), status.stage_to_begin()?)?.sound_story()?.pot();
            let survey = &self.pots.survey;
            let coat = pot.coat_preparation(survey.forecast(pot).as_ref(), status.due_at?);
            let need = find_pot_need(pot, coat, now).map(|(need, _)| need);
            Some((pot.opened().label.clone(), need))
        };
        wanted().map_or((None, None), |(pot, need)| (Some(pot), need))
    }

    /// How many times that call rang here, and when last.
    fn find_rung_call(&self, id: &Id, of: u64) -> Option<(u64, Moment)> {
        self.pots
            .rung_calls
            .iter()
            .find(|(pot, fact, ..)| pot == id && *fact == of)
            .map(|(_, _, times, at)| (*times, *at))
    }

    fn note_rung_call(&mut self, id: &Id, calling: DuePotCall, at: Moment) {
        self.pots.rung_calls.retain(|(pot, fact, ..)| !(pot == id && *fact == calling.fact_seq));
        self.pots.rung_calls.push((id.clone(), calling.fact_seq, calling.ring_count, at));
    }

    /// Whether a pot still wants what that alarm of it calls for.
    pub(super) fn is_pot_call_due(&self, id: &Id, call: PotCall, of: u64, now: Moment) -> bool {
        let story = self.pots.survey.pots.iter().find(|t| t.id == *id).and_then(Snapshot::sound_story);
        story.is_some_and(|s| s.pot().due_calls(trusted_now(s, now)).iter().any(|c| c.call == call && c.fact_seq == of))
    }

    /// Whether a pot has a time that runs: it is in the bath, or its soak is not over.
    pub(super) fn has_counting_pot(&self, now: Moment) -> bool {
        let runs = |t: &Snapshot<Pot>| {
            let pot = t.sound_story().map(|s| s.pot());
            pot.is_some_and(|p| {
                p.current_bath().is_some() || p.soak_countdown(now).is_some_and(|s| s.time_left > Span::ZERO)
            })
        };
        self.pots.survey.pots.iter().filter(|t| t.is_in_use()).any(runs)
    }
}
