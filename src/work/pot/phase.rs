//! Where a pot stands at a moment: a view of (pot, now), and the calls it raises. Nothing is written when a time is up.
//!
//! Absent on purpose: changing anything; when it will gel (`forecast`).

use super::event::{Call, Kind};
use super::fold::{Bath, Body, End, Pot};
use super::water::{Known, Water};
use crate::units::{Mass, Moment, Span, Stamp, Temperature};
use crate::work::panel::wait::elapsed;

/// The call for the bath rings again after this long, until the pot is out (common practice, no source).
pub const RINGS_EVERY: Span = Span::from_s(60);

/// The phase of a pot, as its marks say.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Phase {
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

impl Phase {
    /// The word written in JSON.
    pub const fn name(self) -> &'static str {
        match self {
            Phase::Soaking => "soaking",
            Phase::Melting => "melting",
            Phase::Liquid => "liquid",
            Phase::Gelled => "gelled",
            Phase::Empty => "empty",
            Phase::Discarded => "discarded",
        }
    }
}

/// A countdown of the soak.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Soak {
    /// The `seq` of the fact it runs from.
    pub of: u64,
    /// When the recipe's hours are over.
    pub due_at: Stamp,
    /// Until then; negative when over.
    pub left: Span,
}

/// A call that is due.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Calling {
    /// Which.
    pub call: Call,
    /// The `seq` of the fact it belongs to.
    pub of: u64,
    /// When it fell due.
    pub due_at: Stamp,
    /// How many times it is to have rung by now, the first time included; 1 where it rings once.
    pub rings: u64,
}

/// Where a pot stands at a moment.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// The phase.
    pub phase: Phase,
    /// What is in it.
    pub kind: Kind,
    /// Since when it stands so.
    pub since: Stamp,
    /// Since when it is in the bath, if it is.
    pub in_bath: Option<Stamp>,
    /// How long it is in the bath this time.
    pub bath_now: Option<Span>,
    /// How long it was in the bath in all.
    pub bath_all: Span,
    /// How often it was melted, or put into the bath to be kept liquid.
    pub melts: u32,
    /// The last thermometer reading, and when.
    pub temp: Option<(Temperature, Stamp)>,
    /// The hottest reading.
    pub max: Option<Temperature>,
    /// When it first read at least the recipe's caution, if it did.
    pub cautioned: Option<Stamp>,
    /// When it first read as overheated by the recipe, if it did; the batch stays so.
    pub overheated: Option<Stamp>,
    /// What it weighs: the last weighing and the water given since.
    pub mass: Option<Mass>,
    /// Its water and strength.
    pub water: Water,
    /// The soak, while nothing else was marked.
    pub soak: Option<Soak>,
    /// When it was marked made.
    pub made_at: Option<Stamp>,
    /// When it was last strained.
    pub strained_at: Option<Stamp>,
    /// How old it is: since it was made, else since it was soaked, else since it was opened; until it ended.
    pub age: Span,
    /// How it ended: the maker's words, where it was thrown away.
    pub discarded: Option<String>,
}

impl Pot {
    /// The phase the marks say.
    pub fn phase(&self) -> Phase {
        match (&self.end, self.body) {
            (Some((_, End::UsedUp)), _) => Phase::Empty,
            (Some((_, End::ThrownAway(_))), _) => Phase::Discarded,
            (None, Body::Raw | Body::Soaking) => Phase::Soaking,
            (None, Body::Melting) => Phase::Melting,
            (None, Body::Liquid) => Phase::Liquid,
            (None, Body::Gelled) => Phase::Gelled,
        }
    }

    /// Where the pot stands at that moment, with what is known from outside its story.
    pub fn standing(&self, now: Moment, known: &Known<'_>) -> Standing {
        let begun = self.made.or(self.soaked.map(|(_, m)| m)).unwrap_or(self.opened_at);
        let ended = self.end.as_ref().map(|(m, _)| *m);
        let first_at = |limit_c: f64| self.temps.iter().find(|(_, t)| t.c() >= limit_c).map(|(m, _)| m.wall);
        Standing {
            phase: self.phase(),
            kind: self.opened.kind,
            since: ended.unwrap_or(self.since).wall,
            in_bath: self.bath().map(|b| b.into.wall),
            bath_now: self.bath().map(|b| elapsed(b.into, now)),
            bath_all: self.bath_all(now),
            melts: self.melts,
            temp: self.temps.last().map(|(m, t)| (*t, m.wall)),
            max: self.temps.iter().map(|(_, t)| *t).max_by(|a, b| a.c().total_cmp(&b.c())),
            cautioned: first_at(self.recipe().gesso.caution_c),
            overheated: first_at(self.recipe().gesso.overheat_c),
            mass: self.mass(),
            water: self.water_at(now.wall, known),
            soak: self.soak_at(now),
            made_at: self.made.map(|m| m.wall),
            strained_at: self.strained.map(|m| m.wall),
            age: elapsed(begun, ended.unwrap_or(now)),
            discarded: match &self.end {
                Some((_, End::ThrownAway(why))) => Some(why.clone()),
                Some((_, End::UsedUp)) | None => None,
            },
        }
    }

    /// How long it was in the bath in all, up to that moment.
    pub fn bath_all(&self, now: Moment) -> Span {
        let each = |b: &Bath| elapsed(b.into, b.out.unwrap_or(now));
        self.baths.iter().map(each).fold(Span::ZERO, |sum, one| sum + one)
    }

    /// The countdown of the soak, while the glue soaks.
    pub fn soak_at(&self, now: Moment) -> Option<Soak> {
        let (of, from) = self.soaked.filter(|_| self.body == Body::Soaking && self.end.is_none())?;
        let left = Span::from_h(self.recipe().size.soak_h) - elapsed(from, now);
        Some(Soak { of, due_at: now.wall + left, left })
    }

    /// The calls of the pot itself that are due at that moment: the soak is over; out of the bath. Whether one was
    /// written down already is told by [`Pot::was_raised`]; that of the bath rings on until the pot is out.
    pub fn calls(&self, now: Moment) -> Vec<Calling> {
        let soaked = self.soak_at(now).filter(|s| s.left <= Span::ZERO);
        let soaked = soaked.map(|s| Calling { call: Call::Soaked, of: s.of, due_at: s.due_at, rings: 1 });
        let melt = Span::from_min(self.recipe().gesso.melt_min);
        let out = self.bath().map(|b| (b.seq, elapsed(b.into, now) - melt)).filter(|(_, over)| *over >= Span::ZERO);
        let out = out.map(|(of, over)| Calling {
            call: Call::Out,
            of,
            due_at: now.wall - over,
            rings: 1 + (over.ms() / RINGS_EVERY.ms()) as u64,
        });
        soaked.into_iter().chain(out).collect()
    }
}
