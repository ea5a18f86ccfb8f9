//! The state of one pot and the one way it changes: [`Pot::after`].
//!
//! A pot stands where the maker's marks say; that it must have gelled by now is `forecast`'s to say, and moves nothing.
//! Facts come in the order they happened; take-backs and late facts are `work::story`'s. Absent on purpose: "now".

use super::event::{Call, Event, Kind, Opened};
use super::refusal::{Question, Refusal};
use crate::craft::recipe::Recipe;
use crate::units::{Entry, Mass, Moment, Span, Temperature};
use crate::work::panel::wait::{TOLERANCE, elapsed};
use std::collections::{BTreeMap, BTreeSet};

/// An open pot does not boil above this, C; so a reading above it cannot be true.
pub const BOILING_C: f64 = 100.0;
/// No workroom and no freezer is colder, C (common practice, no source).
pub const COLDEST_C: f64 = -40.0;
/// No pot of this trade weighs more, g (assumed).
pub const MASS_MAX: Mass = Mass::from_g(50_000.0);
/// Scales and drops on the rim differ by this much, g (assumed).
pub const SCALES_G: f64 = 0.5;

/// What the maker's marks say of the glue.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Body {
    /// Nothing marked yet.
    Raw,
    /// In cold water.
    Soaking,
    /// Put into the bath, not yet marked liquid.
    Melting,
    /// Liquid.
    Liquid,
    /// A jelly.
    Gelled,
}

/// One time in the bath.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bath {
    /// The `seq` of the fact that put it in.
    pub seq: u64,
    /// When it went in.
    pub into: Moment,
    /// When it came out.
    pub out: Option<Moment>,
}

/// One cooling: from out of the bath, or from the first liquid mark without a bath, to the jelly.
#[derive(Debug, Clone, PartialEq)]
pub struct Cooling {
    /// The `seq` of the fact it begins with.
    pub seq: u64,
    /// When it began.
    pub from: Moment,
    /// The last time it was marked liquid since.
    pub still_liquid: Option<Moment>,
    /// When it was marked gelled; none while it cools, and none where it went back into the bath before that.
    pub gelled: Option<Moment>,
    /// Whether it is over.
    pub over: bool,
    /// The thermometer since.
    pub readings: Vec<(Moment, Temperature)>,
}

/// What the scales and the water jug say, in order.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Scales {
    /// A weighing.
    Weighed(Mass),
    /// Water given back.
    Water(Mass),
}

/// How a pot ended.
#[derive(Debug, Clone, PartialEq)]
pub enum End {
    /// Used up.
    UsedUp,
    /// Thrown away, and why.
    ThrownAway(String),
}

/// The state of a pot.
#[derive(Debug, Clone, PartialEq)]
pub struct Pot {
    pub(super) opened: Opened,
    pub(super) opened_at: Moment,
    pub(super) body: Body,
    /// Since when the body is so.
    pub(super) since: Moment,
    pub(super) soaked: Option<(u64, Moment)>,
    pub(super) baths: Vec<Bath>,
    pub(super) coolings: Vec<Cooling>,
    pub(super) made: Option<Moment>,
    pub(super) strained: Option<Moment>,
    pub(super) melts: u32,
    pub(super) temps: Vec<(Moment, Temperature)>,
    pub(super) scales: Vec<(Moment, Scales)>,
    pub(super) end: Option<(Moment, End)>,
    raised: BTreeSet<(Call, u64)>,
    questions: BTreeMap<u64, Vec<Question>>,
}

impl Pot {
    /// The pot as its opening leaves it. What was poured from a pot of size is liquid; glue of its own is yet to soak.
    ///
    /// # Errors
    /// [`Refusal::NotOpened`] if the entry is anything else; [`Refusal::OwnParent`].
    pub fn open(entry: &Entry<Event>) -> Result<Pot, Refusal> {
        let Event::Opened(opened) = &entry.event else { return Err(Refusal::NotOpened) };
        if opened.parent.as_ref() == Some(&opened.id) {
            return Err(Refusal::OwnParent);
        }
        let mut pot = Pot {
            body: if opened.parent.is_some() { Body::Liquid } else { Body::Raw },
            opened: (**opened).clone(),
            opened_at: entry.moment(),
            since: entry.moment(),
            soaked: None,
            baths: Vec::new(),
            coolings: Vec::new(),
            made: None,
            strained: None,
            melts: 0,
            temps: Vec::new(),
            scales: Vec::new(),
            end: None,
            raised: BTreeSet::new(),
            questions: BTreeMap::new(),
        };
        if opened.kind == Kind::Gesso && opened.parent.is_none() && opened.lot.is_none() {
            pot.ask(entry.seq, Question::NoParent);
        }
        Ok(pot)
    }

    /// What was said when it was opened.
    pub fn opened(&self) -> &Opened {
        &self.opened
    }
    /// When it was opened.
    pub fn opened_at(&self) -> Moment {
        self.opened_at
    }
    /// The pot's own recipe.
    pub fn recipe(&self) -> &Recipe {
        &self.opened.recipe
    }
    /// What the maker's marks say of the glue.
    pub fn body(&self) -> Body {
        self.body
    }
    /// Every time in the bath, in order.
    pub fn baths(&self) -> &[Bath] {
        &self.baths
    }
    /// The time in the bath that lasts.
    pub fn bath(&self) -> Option<Bath> {
        self.baths.last().copied().filter(|b| b.out.is_none())
    }
    /// The cooling under way.
    pub fn cooling(&self) -> Option<&Cooling> {
        self.coolings.last().filter(|c| !c.over)
    }
    /// Every thermometer reading, in order.
    pub fn temps(&self) -> &[(Moment, Temperature)] {
        &self.temps
    }
    /// Every weighing and all water given back, in order.
    pub fn scales(&self) -> &[(Moment, Scales)] {
        &self.scales
    }
    /// How it ended, if it did.
    pub fn end(&self) -> Option<&End> {
        self.end.as_ref().map(|(_, end)| end)
    }
    /// When it ended, if it did.
    pub fn ended_at(&self) -> Option<Moment> {
        self.end.as_ref().map(|(at, _)| *at)
    }
    /// When it was marked made.
    pub fn made(&self) -> Option<Moment> {
        self.made
    }
    /// When it was last strained.
    pub fn strained(&self) -> Option<Moment> {
        self.strained
    }
    /// Whether that call was raised for that fact.
    pub fn was_raised(&self, call: Call, of: u64) -> bool {
        self.raised.contains(&(call, of))
    }
    /// What is doubtful about the fact of that `seq`.
    pub fn questions_of(&self, seq: u64) -> &[Question] {
        self.questions.get(&seq).map_or(&[], Vec::as_slice)
    }

    /// Takes in one more fact of the story.
    ///
    /// # Errors
    /// A [`Refusal`] if it cannot be true; the pot is then untouched.
    pub fn after(&mut self, entry: &Entry<Event>) -> Result<(), Refusal> {
        match &self.end {
            None => self.after_living(entry, entry.moment()),
            Some((_, End::UsedUp)) => self.after_end(entry, Refusal::UsedUp),
            Some((_, End::ThrownAway(_))) => self.after_end(entry, Refusal::ThrownAway),
        }
    }

    fn after_living(&mut self, entry: &Entry<Event>, m: Moment) -> Result<(), Refusal> {
        let seq = entry.seq;
        match &entry.event {
            Event::Opened(_) => Err(Refusal::AlreadyOpened),
            Event::Soaked => self.soak(seq, m),
            Event::Melt => self.enter_bath(seq, m),
            Event::Out => self.out_of_bath(seq, m),
            Event::Liquid => self.liquid(seq, m),
            Event::Temp { temp } => self.temp(seq, m, *temp),
            Event::Made => self.make(seq, m),
            Event::Strained => {
                self.strained = Some(m);
                Ok(())
            }
            Event::Gelled => self.gel(seq, m),
            Event::Water { mass } => self.water(m, *mass),
            Event::Weighed { mass } => self.weigh(seq, m, *mass),
            Event::Emptied => self.finish(m, End::UsedUp),
            Event::Discarded { why } => self.finish(m, End::ThrownAway(why.clone())),
            Event::Alert { call, of } => self.raise(*call, *of),
            Event::Noted { .. }
            | Event::Undone { .. }
            | Event::ClockStepped { .. }
            | Event::Slept { .. }
            | Event::Newer { .. } => Ok(()),
        }
    }

    fn after_end(&mut self, entry: &Entry<Event>, over: Refusal) -> Result<(), Refusal> {
        match &entry.event {
            Event::Opened(_) => Err(Refusal::AlreadyOpened),
            Event::Soaked
            | Event::Melt
            | Event::Out
            | Event::Liquid
            | Event::Temp { .. }
            | Event::Made
            | Event::Strained
            | Event::Gelled
            | Event::Water { .. }
            | Event::Weighed { .. }
            | Event::Emptied
            | Event::Discarded { .. } => Err(over),
            Event::Alert { call, of } => self.raise(*call, *of),
            Event::Noted { .. }
            | Event::Undone { .. }
            | Event::ClockStepped { .. }
            | Event::Slept { .. }
            | Event::Newer { .. } => Ok(()),
        }
    }

    fn soak(&mut self, seq: u64, m: Moment) -> Result<(), Refusal> {
        match self.body {
            Body::Soaking => return Err(Refusal::AlreadySoaking),
            Body::Raw => {}
            Body::Liquid if self.untouched() => self.ask(seq, Question::SoakedThoughPoured),
            Body::Melting | Body::Liquid | Body::Gelled => return Err(Refusal::PastSoaking),
        }
        self.soaked = Some((seq, m));
        self.turns(Body::Soaking, m);
        Ok(())
    }

    /// Whether nothing was done with it since it was poured.
    fn untouched(&self) -> bool {
        self.baths.is_empty() && self.coolings.is_empty() && self.made.is_none()
    }

    fn enter_bath(&mut self, seq: u64, m: Moment) -> Result<(), Refusal> {
        if let Some(bath) = self.bath() {
            return Err(Refusal::InTheBath { since: bath.into.wall });
        }
        match self.body {
            Body::Raw => self.ask(seq, Question::NeverSoaked),
            Body::Soaking => {
                let soak = Span::from_h(self.recipe().size.soak_h);
                let gone = self.soaked.map_or(soak, |(_, from)| elapsed(from, m));
                if soak - gone > TOLERANCE {
                    self.ask(seq, Question::SoakedShort { by: soak - gone });
                }
            }
            Body::Melting | Body::Liquid | Body::Gelled => {}
        }
        self.end_cooling(None);
        self.baths.push(Bath { seq, into: m, out: None });
        self.melts += 1;
        match self.body {
            // What is liquid stays so while it is kept warm.
            Body::Liquid => {}
            Body::Raw | Body::Soaking | Body::Melting | Body::Gelled => self.turns(Body::Melting, m),
        }
        Ok(())
    }

    fn out_of_bath(&mut self, seq: u64, m: Moment) -> Result<(), Refusal> {
        let bath = self.baths.last_mut().filter(|b| b.out.is_none()).ok_or(Refusal::NotInTheBath)?;
        bath.out = Some(m);
        match self.body {
            Body::Liquid => self.begin_cooling(seq, m),
            Body::Raw | Body::Soaking | Body::Melting => {
                self.ask(seq, Question::OutUnmelted);
                self.begin_cooling(seq, m);
            }
            Body::Gelled => {}
        }
        Ok(())
    }

    fn liquid(&mut self, seq: u64, m: Moment) -> Result<(), Refusal> {
        match self.body {
            Body::Raw | Body::Soaking => self.ask(seq, Question::NeverMelted),
            Body::Gelled if self.bath().is_none() => {
                self.ask(seq, Question::LiquidWithoutBath);
                self.melts += 1;
            }
            Body::Melting | Body::Liquid | Body::Gelled => {}
        }
        if self.bath().is_none() {
            self.keep_cooling(seq, m);
        }
        if self.body != Body::Liquid {
            self.turns(Body::Liquid, m);
        }
        Ok(())
    }

    /// It is liquid, out of the bath: cooling goes on, or is known from now.
    fn keep_cooling(&mut self, seq: u64, m: Moment) {
        match self.coolings.last_mut().filter(|c| !c.over) {
            Some(cooling) => cooling.still_liquid = Some(m),
            None => self.begin_cooling(seq, m),
        }
    }

    fn make(&mut self, seq: u64, m: Moment) -> Result<(), Refusal> {
        if self.made.is_some() {
            return Err(Refusal::AlreadyMade);
        }
        match self.body {
            Body::Liquid if self.bath().is_none() => self.keep_cooling(seq, m),
            Body::Liquid => {}
            Body::Raw | Body::Soaking | Body::Melting | Body::Gelled => self.ask(seq, Question::MadeUnmelted),
        }
        self.made = Some(m);
        Ok(())
    }

    fn gel(&mut self, seq: u64, m: Moment) -> Result<(), Refusal> {
        match self.body {
            Body::Raw | Body::Soaking => return Err(Refusal::NothingToGel),
            Body::Gelled => return Err(Refusal::AlreadyGelled),
            Body::Melting | Body::Liquid => {}
        }
        if self.bath().is_some() {
            self.ask(seq, Question::GelledInBath);
        }
        self.end_cooling(Some(m));
        self.turns(Body::Gelled, m);
        Ok(())
    }

    fn temp(&mut self, seq: u64, m: Moment, temp: Temperature) -> Result<(), Refusal> {
        if !temp.c().is_finite() {
            return Err(Refusal::NoTemperature);
        }
        if temp.c() > BOILING_C {
            return Err(Refusal::AboveBoiling { temp });
        }
        if temp.c() < COLDEST_C {
            return Err(Refusal::TooCold { temp });
        }
        if temp.c() < 0.0 {
            self.ask(seq, Question::Frozen { temp });
        }
        self.temps.push((m, temp));
        if let Some(cooling) = self.coolings.last_mut().filter(|c| !c.over) {
            cooling.readings.push((m, temp));
        }
        Ok(())
    }

    fn water(&mut self, m: Moment, mass: Mass) -> Result<(), Refusal> {
        weighable(mass)?;
        self.scales.push((m, Scales::Water(mass)));
        Ok(())
    }

    fn weigh(&mut self, seq: u64, m: Moment, mass: Mass) -> Result<(), Refusal> {
        weighable(mass)?;
        if let Some(before) = self.mass() {
            let heavier = mass.g() - before.g();
            if heavier > SCALES_G {
                self.ask(seq, Question::HeavierWithoutWater { by: Mass::from_g(heavier) });
            } else if mass.g() < before.g() / 2.0 {
                self.ask(seq, Question::MuchLighter { by: Mass::from_g(-heavier) });
            }
        }
        self.scales.push((m, Scales::Weighed(mass)));
        Ok(())
    }

    /// What it weighs as far as is known: the last weighing and the water given since.
    pub fn mass(&self) -> Option<Mass> {
        let last = self.scales.iter().rposition(|(_, s)| matches!(s, Scales::Weighed(_)))?;
        let sum = self.scales[last..].iter().map(|(_, s)| match s {
            Scales::Weighed(mass) | Scales::Water(mass) => mass.g(),
        });
        Some(Mass::from_g(sum.sum()))
    }

    fn finish(&mut self, m: Moment, end: End) -> Result<(), Refusal> {
        if let Some(bath) = self.baths.last_mut().filter(|b| b.out.is_none()) {
            bath.out = Some(m);
        }
        self.end_cooling(None);
        self.end = Some((m, end));
        Ok(())
    }

    fn begin_cooling(&mut self, seq: u64, m: Moment) {
        self.end_cooling(None);
        let cooling = Cooling { seq, from: m, still_liquid: None, gelled: None, over: false, readings: Vec::new() };
        self.coolings.push(cooling);
    }

    fn end_cooling(&mut self, gelled: Option<Moment>) {
        if let Some(cooling) = self.coolings.last_mut().filter(|c| !c.over) {
            cooling.over = true;
            cooling.gelled = gelled;
        }
    }

    fn turns(&mut self, body: Body, m: Moment) {
        self.body = body;
        self.since = m;
    }

    fn ask(&mut self, seq: u64, question: Question) {
        self.questions.entry(seq).or_default().push(question);
    }

    fn raise(&mut self, call: Call, of: u64) -> Result<(), Refusal> {
        if self.raised.insert((call, of)) { Ok(()) } else { Err(Refusal::AlreadyRaised { call }) }
    }
}

/// Whether a pot, or water for it, can weigh that.
fn weighable(mass: Mass) -> Result<(), Refusal> {
    if !mass.g().is_finite() || mass.g() <= 0.0 {
        return Err(Refusal::NoMass);
    }
    if mass.g() > MASS_MAX.g() {
        return Err(Refusal::TooHeavy { most: MASS_MAX });
    }
    Ok(())
}
