//! Where a pot stands at a moment: a view of (pot, now), and the calls it raises. Nothing is written when a time is up.
//!
//! Nothing here changes anything.

use super::event::{PotCall, PotKind};
use super::fold::{Bath, GlueState, Pot, PotEnd};
use super::water::{PotWater, WaterInputs};
use crate::units::{Mass, Moment, Span, Stamp, Temperature};
use crate::work::panel::wait::elapsed;

/// The call for the bath rings again after this long, until the pot is out (common practice, no source).
pub const RING_INTERVAL: Span = Span::from_s(60);

/// The phase of a pot, as its marks say.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PotPhase {
    /// Dry glue, in cold water or not yet.
    Soaking,
    /// Put into the bath, not yet marked liquid.
    Melting,
    /// Liquid.
    Liquid,
    /// A jelly.
    Gelled,
    /// Used up.
    Empty,
    /// Thrown away.
    Discarded,
}

impl PotPhase {
    /// The word written in JSON.
    pub const fn name(self) -> &'static str {
        match self {
            PotPhase::Soaking => "soaking",
            PotPhase::Melting => "melting",
            PotPhase::Liquid => "liquid",
            PotPhase::Gelled => "gelled",
            PotPhase::Empty => "empty",
            PotPhase::Discarded => "discarded",
        }
    }
}

/// A countdown of the soak.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SoakCountdown {
    /// The `seq` of the fact it runs from.
    pub fact_seq: u64,
    /// When the recipe's hours are over.
    pub due_at: Stamp,
    /// Until then; negative when over.
    pub time_left: Span,
}

/// A call that is due.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DuePotCall {
    /// Which.
    pub call: PotCall,
    /// The `seq` of the fact it belongs to.
    pub fact_seq: u64,
    /// When it fell due.
    pub due_at: Stamp,
    /// How many times it is to have rung by now, the first time included; 1 where it rings once.
    pub ring_count: u64,
}

/// Where a pot stands at a moment.
#[derive(Debug, Clone, PartialEq)]
pub struct PotStatus {
    /// The phase.
    pub phase: PotPhase,
    /// What is in it.
    pub kind: PotKind,
    /// Since when it stands so.
    pub since: Stamp,
    /// Since when it is in the bath, if it is.
    pub in_bath_since: Option<Stamp>,
    /// How long it is in the bath this time.
    pub bath_span: Option<Span>,
    /// How long it was in the bath in all.
    pub bath_total: Span,
    /// How often it was melted, or put into the bath to be kept liquid.
    pub melts: u32,
    /// The last thermometer reading, and when.
    pub last_temp: Option<(Temperature, Stamp)>,
    /// The hottest reading.
    pub max_temp: Option<Temperature>,
    /// When it first read at least the recipe's caution, if it did.
    pub cautioned_at: Option<Stamp>,
    /// When it first read as overheated by the recipe, if it did; the batch stays so.
    pub overheated_at: Option<Stamp>,
    /// What it weighs: the last weighing and the water given since.
    pub mass: Option<Mass>,
    /// Its water and strength.
    pub water: PotWater,
    /// The soak, while nothing else was marked.
    pub soak: Option<SoakCountdown>,
    /// When it was marked made.
    pub made_at: Option<Stamp>,
    /// When it was last strained.
    pub strained_at: Option<Stamp>,
    /// How old it is: since it was made, else since it was soaked, else since it was opened; until it ended.
    pub age: Span,
    /// How it ended: the maker's words, where it was thrown away.
    pub discard_reason: Option<String>,
}

impl Pot {
    /// The phase the marks say.
    pub fn phase(&self) -> PotPhase {
        match (&self.end, self.glue_state) {
            (Some((_, PotEnd::UsedUp)), _) => PotPhase::Empty,
            (Some((_, PotEnd::ThrownAway(_))), _) => PotPhase::Discarded,
            (None, GlueState::Raw | GlueState::Soaking) => PotPhase::Soaking,
            (None, GlueState::Melting) => PotPhase::Melting,
            (None, GlueState::Liquid) => PotPhase::Liquid,
            (None, GlueState::Gelled) => PotPhase::Gelled,
        }
    }

    /// Where the pot stands at that moment, with what is known from outside its story.
    pub fn status(&self, now: Moment, known: &WaterInputs<'_>) -> PotStatus {
        let begun = self.made_at.or(self.soaked.map(|(_, m)| m)).unwrap_or(self.opened_at);
        let ended = self.end.as_ref().map(|(m, _)| *m);
        let first_at = |limit_c: f64| self.temps.iter().find(|(_, t)| t.c() >= limit_c).map(|(m, _)| m.wall);
        PotStatus {
            phase: self.phase(),
            kind: self.opened.kind,
            since: ended.unwrap_or(self.glue_state_since).wall,
            in_bath_since: self.current_bath().map(|b| b.in_at.wall),
            bath_span: self.current_bath().map(|b| elapsed(b.in_at, now)),
            bath_total: self.bath_total(now),
            melts: self.melts,
            last_temp: self.temps.last().map(|(m, t)| (*t, m.wall)),
            max_temp: self.temps.iter().map(|(_, t)| *t).max_by(|a, b| a.c().total_cmp(&b.c())),
            cautioned_at: first_at(self.recipe().gesso.caution_c),
            overheated_at: first_at(self.recipe().gesso.overheat_c),
            mass: self.mass(),
            water: self.water_at(now.wall, known),
            soak: self.soak_countdown(now),
            made_at: self.made_at.map(|m| m.wall),
            strained_at: self.strained_at.map(|m| m.wall),
            age: elapsed(begun, ended.unwrap_or(now)),
            discard_reason: match &self.end {
                Some((_, PotEnd::ThrownAway(reason))) => Some(reason.clone()),
                Some((_, PotEnd::UsedUp)) | None => None,
            },
        }
    }

    /// How long it was in the bath in all, up to that moment.
    pub fn bath_total(&self, now: Moment) -> Span {
        let each = |b: &Bath| elapsed(b.in_at, b.out_at.unwrap_or(now));
        self.baths.iter().map(each).fold(Span::ZERO, |sum, one| sum + one)
    }

    /// The countdown of the soak, while the glue soaks.
    pub fn soak_countdown(&self, now: Moment) -> Option<SoakCountdown> {
        let (of, from) = self.soaked.filter(|_| self.glue_state == GlueState::Soaking && self.end.is_none())?;
        let left = Span::from_h(self.recipe().size.soak_h) - elapsed(from, now);
        Some(SoakCountdown { fact_seq: of, due_at: now.wall + left, time_left: left })
    }

    /// The calls of the pot itself that are due at that moment: the soak is over; out of the bath. Whether one was
    /// written down already is told by [`Pot::has_raised`]; that of the bath rings on until the pot is out.
    pub fn due_calls(&self, now: Moment) -> Vec<DuePotCall> {
        let soaked = self.soak_countdown(now).filter(|s| s.time_left <= Span::ZERO);
        let soaked =
            soaked.map(|s| DuePotCall { call: PotCall::Soaked, fact_seq: s.fact_seq, due_at: s.due_at, ring_count: 1 });
        let melt = Span::from_min(self.recipe().gesso.melt_min);
        let out =
            self.current_bath().map(|b| (b.seq, elapsed(b.in_at, now) - melt)).filter(|(_, over)| *over >= Span::ZERO);
        let out = out.map(|(of, over)| DuePotCall {
            call: PotCall::OutOfBath,
            fact_seq: of,
            due_at: now.wall - over,
            ring_count: 1 + (over.ms() / RING_INTERVAL.ms()) as u64,
        });
        soaked.into_iter().chain(out).collect()
    }
}
