//! The calls of pots: for a coat's sake before it falls due; out of the bath, again and again until it is out; the soak is
//! over, once.
//!
//! A pot left in the heat spoils, so every window that is open rings for it, also one opened only since it went in.
//! Absent on purpose: when a call is due (`bench`, `work::pot`), how it sounds (`ui`).

use super::pots::PotRequest;
use super::{Alarm, Request, View};
use crate::bench::{Told, believed_now, pot_call_due};
use crate::units::{Id, Moment, Span};
use crate::work::advice::calls::night_silent;
use crate::work::panel;
use crate::work::panel::phase::Phase;
use crate::work::pot::event::{Call, Event, Kind};
use crate::work::pot::fold::Pot;
use crate::work::pot::phase::Calling;
use std::sync::Arc;

/// Once quieted, a pot still in the bath is silent for at least so long, however fast the clock runs.
const QUIET_FOR: Span = Span::from_s(30);

impl View {
    /// Raises the calls of pots that are due.
    pub(super) fn raise_pots(&mut self, now: Moment) -> Vec<Request> {
        if !self.pots.read {
            return Vec::new();
        }
        let mut requests = self.raise_for_coats(now);
        let pots: Vec<Told<Pot>> = self.pots.around.pots.iter().filter(|t| t.in_use()).cloned().collect();
        for told in pots {
            let Some(story) = &told.story else { continue };
            let pot = story.pot();
            for calling in pot.calls(believed_now(story, now)) {
                requests.extend(match calling.call {
                    Call::Soaked => self.raise_soaked(&told.id, pot, calling, now),
                    Call::Out => self.raise_out(&told.id, pot, calling, now),
                });
            }
        }
        requests
    }

    /// The pot of a panel's next coat, in time for it.
    fn raise_for_coats(&mut self, now: Moment) -> Vec<Request> {
        let mut requests = Vec::new();
        let night = self.manner.night;
        let due: Vec<(Id, _, u64)> = self
            .told
            .iter()
            .filter_map(|told| {
                let story = told.story.as_ref()?;
                let standing = story.panel().standing(believed_now(story, now));
                let coat = match standing.phase {
                    Phase::Waiting => standing.next,
                    Phase::Ready => standing.stage,
                    Phase::Working | Phase::Finished | Phase::Abandoned => None,
                }?;
                let pot = self.pot_for(told, Kind::of_stage(coat.kind)?)?.story.as_ref()?;
                let of = pot_call_due(&self.pots.around, story, pot.pot(), now, night)?;
                Some((told.id.clone(), Arc::clone(story), of))
            })
            .collect();
        let call = panel::event::Call::Pot;
        for (id, story, of) in due {
            if self.raised.contains(&(id.clone(), call, of)) {
                continue;
            }
            self.raised.push((id.clone(), call, of));
            requests.push(Request::Notice(id.clone(), panel::event::Event::Alert { call, of }));
            self.alarms.push(Alarm::raised(id, &story, (call, of), now));
        }
        requests
    }

    /// Once, and not in the night: then in the morning.
    fn raise_soaked(&mut self, id: &Id, pot: &Pot, calling: Calling, now: Moment) -> Vec<Request> {
        let silent = night_silent(Span::from_h(pot.recipe().size.soak_h), now.minute_of_day(), self.manner.night);
        let before = pot.was_raised(calling.call, calling.of) || self.rung(id, calling.of).is_some();
        if silent || before {
            return Vec::new();
        }
        self.ring_pot(id, pot, calling, now)
    }

    /// Again every minute until it is out.
    fn raise_out(&mut self, id: &Id, pot: &Pot, calling: Calling, now: Moment) -> Vec<Request> {
        let rings = self.alarms.iter().any(|a| a.is_of_pot(id, calling.call));
        match self.rung(id, calling.of) {
            Some((_, last)) if rings => {
                self.note_rung(id, calling, last);
                Vec::new()
            }
            Some((before, last)) if before >= calling.rings || now.since(last).abs() < self.eyes(QUIET_FOR) => {
                Vec::new()
            }
            Some(_) | None => self.ring_pot(id, pot, calling, now),
        }
    }

    fn ring_pot(&mut self, id: &Id, pot: &Pot, calling: Calling, now: Moment) -> Vec<Request> {
        let label = pot.opened().label.clone();
        let mut requests = Vec::new();
        if self.rung(id, calling.of).is_none() {
            if !pot.was_raised(calling.call, calling.of) {
                let event = Event::Alert { call: calling.call, of: calling.of };
                requests.push(Request::Pot(PotRequest::Notice(id.clone(), event)));
            }
            requests.push(Request::Tell(panel::event::Call::Pot, label.clone()));
        }
        self.note_rung(id, calling, now);
        self.alarms.push(Alarm::of_pot(id.clone(), label, (calling.call, calling.of), now));
        requests
    }

    /// How many times that call rang here, and when last.
    fn rung(&self, id: &Id, of: u64) -> Option<(u64, Moment)> {
        self.pots.rung.iter().find(|(pot, fact, ..)| pot == id && *fact == of).map(|(_, _, times, at)| (*times, *at))
    }

    fn note_rung(&mut self, id: &Id, calling: Calling, at: Moment) {
        self.pots.rung.retain(|(pot, fact, ..)| !(pot == id && *fact == calling.of));
        self.pots.rung.push((id.clone(), calling.of, calling.rings, at));
    }

    /// Whether a pot still wants what that alarm of it calls for.
    pub(super) fn pot_still_calls(&self, id: &Id, call: Call, of: u64, now: Moment) -> bool {
        let story = self.pots.around.pots.iter().find(|t| t.id == *id).and_then(|t| t.story.as_ref());
        story.is_some_and(|s| s.pot().calls(believed_now(s, now)).iter().any(|c| c.call == call && c.of == of))
    }

    /// Whether a pot has a time that runs: it is in the bath, or its soak is not over.
    pub(super) fn pots_count(&self, now: Moment) -> bool {
        let runs = |t: &Told<Pot>| {
            let pot = t.story.as_ref().map(|s| s.pot());
            pot.is_some_and(|p| p.bath().is_some() || p.soak_at(now).is_some_and(|s| s.left > Span::ZERO))
        };
        self.pots.around.pots.iter().filter(|t| t.in_use()).any(runs)
    }
}
