//! The state of one pot and the one way it changes: [`Pot::after`](StoryState::after).
//!
//! A pot stands where the maker's marks say; that it must have gelled by now is `forecast`'s to say, and moves nothing.
//! Facts come in the order they happened; take-backs and late facts are `work::story`'s.

use super::event::{PotCall, PotEvent, PotKind, PotOpened};
use super::refusal::{PotQuestion, PotRefusal};
use super::weighed::WeighedParts;
use crate::craft::materials::Filler;
use crate::craft::recipe::Recipe;
use crate::units::{Entry, Mass, Moment, Span, Temperature};
use crate::work::panel::wait::{TOLERANCE, elapsed};
use crate::work::story::{CommonEvent, OrderRefusal, StoryState};
use std::collections::{BTreeMap, BTreeSet};

/// An open pot does not boil above this, C; so a reading above it cannot be true.
pub const BOILING_C: f64 = 100.0;
/// No workroom and no freezer is colder, C (common practice, no source).
pub const COLDEST_C: f64 = -40.0;
/// No pot of this trade weighs more, g (assumed).
pub const MASS_MAX: Mass = Mass::from_g(50_000.0);
/// Scales and drops on the rim differ by this much, g (assumed).
pub const SCALES_TOLERANCE_G: f64 = 0.5;

/// What the maker's marks say of the glue.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GlueState {
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
    pub in_at: Moment,
    /// When it was first marked liquid in it.
    pub liquid_at: Option<Moment>,
    /// When it came out.
    pub out_at: Option<Moment>,
}

/// One cooling: from out of the bath, or from the first liquid mark without a bath, to the jelly.
#[derive(Debug, Clone, PartialEq)]
pub struct Cooling {
    /// The `seq` of the fact it begins with.
    pub seq: u64,
    /// When it began.
    pub started_at: Moment,
    /// The last time it was marked liquid since.
    pub still_liquid_at: Option<Moment>,
    /// When it was marked gelled; none while it cools, and none where it went back into the bath before that.
    pub gelled_at: Option<Moment>,
    /// When it went back into the bath and no mark said that it was a jelly.
    pub into_bath_at: Option<Moment>,
    /// How long before its beginning it was marked liquid in the bath.
    pub melted_for: Option<Span>,
    /// Whether it is over.
    pub is_over: bool,
    /// The thermometer since.
    pub readings: Vec<(Moment, Temperature)>,
}

/// What the scales and the water jug say, in order.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MassRecord {
    /// A weighing.
    Weighed(Mass),
    /// Water given back.
    Water(Mass),
}

/// How a pot ended.
#[derive(Debug, Clone, PartialEq)]
pub enum PotEnd {
    /// Used up.
    UsedUp,
    /// Thrown away, and why.
    ThrownAway(String),
}

/// The state of a pot.
#[derive(Debug, Clone, PartialEq)]
pub struct Pot {
    pub(super) opened: PotOpened,
    pub(super) opened_at: Moment,
    pub(super) glue_state: GlueState,
    /// Since when the body is so.
    pub(super) glue_state_since: Moment,
    pub(super) soaked: Option<(u64, Moment)>,
    pub(super) baths: Vec<Bath>,
    pub(super) coolings: Vec<Cooling>,
    pub(super) made_at: Option<Moment>,
    pub(super) weighed: WeighedParts,
    pub(super) brix_readings: Vec<(Moment, f64)>,
    pub(super) strained_at: Option<Moment>,
    pub(super) melts: u32,
    pub(super) temps: Vec<(Moment, Temperature)>,
    pub(super) mass_records: Vec<(Moment, MassRecord)>,
    pub(super) end: Option<(Moment, PotEnd)>,
    raised_calls: BTreeSet<(PotCall, u64)>,
    questions: BTreeMap<u64, Vec<PotQuestion>>,
}

impl StoryState for Pot {
    type Event = PotEvent;
    type Refusal = PotRefusal;
    const NOUN: &'static str = "pot";

    /// What was poured from a pot of size is liquid; glue of its own is yet to soak.
    fn from_opening(entry: &Entry<PotEvent>) -> Result<Pot, PotRefusal> {
        let PotEvent::Opened(opened) = &entry.event else { return Err(OrderRefusal::NotOpened.into()) };
        if opened.parent.as_ref() == Some(&opened.id) {
            return Err(PotRefusal::ParentIsItself);
        }
        let mut pot = Pot {
            glue_state: if opened.parent.is_some() { GlueState::Liquid } else { GlueState::Raw },
            opened: (**opened).clone(),
            opened_at: entry.moment(),
            glue_state_since: entry.moment(),
            soaked: None,
            baths: Vec::new(),
            coolings: Vec::new(),
            made_at: None,
            weighed: WeighedParts::NONE,
            brix_readings: Vec::new(),
            strained_at: None,
            melts: 0,
            temps: Vec::new(),
            mass_records: Vec::new(),
            end: None,
            raised_calls: BTreeSet::new(),
            questions: BTreeMap::new(),
        };
        if opened.kind == PotKind::Gesso && opened.parent.is_none() && opened.lot.is_none() {
            pot.add_question(entry.seq, PotQuestion::NoParent);
        }
        Ok(pot)
    }

    fn opened_at(&self) -> Moment {
        self.opened_at
    }

    fn after(&mut self, entry: &Entry<PotEvent>) -> Result<(), PotRefusal> {
        match &self.end {
            None => self.after_living(entry, entry.moment()),
            Some((_, PotEnd::UsedUp)) => self.after_end(entry, PotRefusal::UsedUp),
            Some((_, PotEnd::ThrownAway(_))) => self.after_end(entry, PotRefusal::ThrownAway),
        }
    }
}

impl Pot {
    /// What was said when it was opened.
    pub fn opened(&self) -> &PotOpened {
        &self.opened
    }
    /// The pot's own recipe.
    pub fn recipe(&self) -> &Recipe {
        &self.opened.recipe
    }
    /// What the maker's marks say of the glue.
    pub fn glue_state(&self) -> GlueState {
        self.glue_state
    }
    /// Every time in the bath, in order.
    pub fn baths(&self) -> &[Bath] {
        &self.baths
    }
    /// The time in the bath that lasts.
    pub fn current_bath(&self) -> Option<Bath> {
        self.baths.last().copied().filter(|b| b.out_at.is_none())
    }
    /// The cooling under way.
    pub fn current_cooling(&self) -> Option<&Cooling> {
        self.coolings.last().filter(|c| !c.is_over)
    }
    /// Every thermometer reading, in order.
    pub fn temps(&self) -> &[(Moment, Temperature)] {
        &self.temps
    }
    /// Every weighing and all water given back, in order.
    pub fn mass_records(&self) -> &[(Moment, MassRecord)] {
        &self.mass_records
    }
    /// How it ended, if it did.
    pub fn end(&self) -> Option<&PotEnd> {
        self.end.as_ref().map(|(_, end)| end)
    }
    /// When it ended, if it did.
    pub fn ended_at(&self) -> Option<Moment> {
        self.end.as_ref().map(|(at, _)| *at)
    }
    /// When it was marked made.
    pub fn made_at(&self) -> Option<Moment> {
        self.made_at
    }
    /// What was weighed into it.
    pub fn weighed(&self) -> &WeighedParts {
        &self.weighed
    }
    /// Every refractometer reading, degrees, in order.
    pub fn brix_readings(&self) -> &[(Moment, f64)] {
        &self.brix_readings
    }
    /// When it was last strained.
    pub fn strained_at(&self) -> Option<Moment> {
        self.strained_at
    }
    /// Whether that call was raised for that fact.
    pub fn has_raised(&self, call: PotCall, of: u64) -> bool {
        self.raised_calls.contains(&(call, of))
    }
    /// What is doubtful about the fact of that `seq`.
    pub fn questions_of(&self, seq: u64) -> &[PotQuestion] {
        self.questions.get(&seq).map_or(&[], Vec::as_slice)
    }

    fn after_living(&mut self, entry: &Entry<PotEvent>, m: Moment) -> Result<(), PotRefusal> {
        let seq = entry.seq;
        match &entry.event {
            PotEvent::Opened(_) => Err(PotRefusal::AlreadyOpened),
            PotEvent::Soaked => self.mark_soaked(seq, m),
            PotEvent::Melt => self.enter_bath(seq, m),
            PotEvent::OutOfBath => self.leave_bath(seq, m),
            PotEvent::Liquid => self.mark_liquid(seq, m),
            PotEvent::Temp { temp } => self.record_temperature(seq, m, *temp),
            PotEvent::Made(parts) => self.mark_made(seq, m, parts),
            PotEvent::Brix { brix } => {
                self.brix_readings.push((m, *brix));
                Ok(())
            }
            PotEvent::Strained => {
                self.strained_at = Some(m);
                Ok(())
            }
            PotEvent::Gelled => self.mark_gelled(seq, m),
            PotEvent::Water { mass } => self.add_water(m, *mass),
            PotEvent::Emptied => self.end_pot(m, PotEnd::UsedUp),
            PotEvent::Discarded { why } => self.end_pot(m, PotEnd::ThrownAway(why.clone())),
            PotEvent::Common(common) => match common {
                CommonEvent::Weighed { mass, .. } => self.record_weighing(seq, m, *mass),
                CommonEvent::Alert { call, fact_seq } => self.raise_call(*call, *fact_seq),
                CommonEvent::Noted { .. }
                | CommonEvent::Undone { .. }
                | CommonEvent::ClockStepped { .. }
                | CommonEvent::Slept { .. }
                | CommonEvent::Filed(_)
                | CommonEvent::Unknown { .. } => Ok(()),
            },
        }
    }

    fn after_end(&mut self, entry: &Entry<PotEvent>, over: PotRefusal) -> Result<(), PotRefusal> {
        match &entry.event {
            PotEvent::Opened(_) => Err(PotRefusal::AlreadyOpened),
            PotEvent::Soaked
            | PotEvent::Melt
            | PotEvent::OutOfBath
            | PotEvent::Liquid
            | PotEvent::Temp { .. }
            | PotEvent::Made(_)
            | PotEvent::Brix { .. }
            | PotEvent::Strained
            | PotEvent::Gelled
            | PotEvent::Water { .. }
            | PotEvent::Emptied
            | PotEvent::Discarded { .. } => Err(over),
            PotEvent::Common(common) => match common {
                CommonEvent::Weighed { .. } => Err(over),
                CommonEvent::Alert { call, fact_seq } => self.raise_call(*call, *fact_seq),
                CommonEvent::Noted { .. }
                | CommonEvent::Undone { .. }
                | CommonEvent::ClockStepped { .. }
                | CommonEvent::Slept { .. }
                | CommonEvent::Filed(_)
                | CommonEvent::Unknown { .. } => Ok(()),
            },
        }
    }

    fn mark_soaked(&mut self, seq: u64, m: Moment) -> Result<(), PotRefusal> {
        match self.glue_state {
            GlueState::Soaking => return Err(PotRefusal::AlreadySoaking),
            GlueState::Raw => {}
            GlueState::Liquid if self.is_untouched() => self.add_question(seq, PotQuestion::SoakedThoughPoured),
            GlueState::Melting | GlueState::Liquid | GlueState::Gelled => return Err(PotRefusal::AlreadyMelted),
        }
        self.soaked = Some((seq, m));
        self.set_glue_state(GlueState::Soaking, m);
        Ok(())
    }

    /// Whether nothing was done with it since it was poured.
    fn is_untouched(&self) -> bool {
        self.baths.is_empty() && self.coolings.is_empty() && self.made_at.is_none()
    }

    fn enter_bath(&mut self, seq: u64, m: Moment) -> Result<(), PotRefusal> {
        if let Some(bath) = self.current_bath() {
            return Err(PotRefusal::AlreadyInBath { since: bath.in_at.wall });
        }
        match self.glue_state {
            GlueState::Raw => self.add_question(seq, PotQuestion::NeverSoaked),
            GlueState::Soaking => {
                let soak = Span::from_h(self.recipe().size.soak_h);
                let gone = self.soaked.map_or(soak, |(_, from)| elapsed(from, m));
                if soak - gone > TOLERANCE {
                    self.add_question(seq, PotQuestion::SoakTooShort { by: soak - gone });
                }
            }
            GlueState::Melting | GlueState::Liquid | GlueState::Gelled => {}
        }
        if let Some(cooling) = self.coolings.last_mut().filter(|c| !c.is_over) {
            cooling.into_bath_at = Some(m);
        }
        self.end_cooling(None);
        self.baths.push(Bath { seq, in_at: m, liquid_at: None, out_at: None });
        self.melts += 1;
        match self.glue_state {
            // What is liquid stays so while it is kept warm.
            GlueState::Liquid => {}
            GlueState::Raw | GlueState::Soaking | GlueState::Melting | GlueState::Gelled => {
                self.set_glue_state(GlueState::Melting, m)
            }
        }
        Ok(())
    }

    fn leave_bath(&mut self, seq: u64, m: Moment) -> Result<(), PotRefusal> {
        let bath = self.baths.last_mut().filter(|b| b.out_at.is_none()).ok_or(PotRefusal::NotInBath)?;
        bath.out_at = Some(m);
        let melted_for = bath.liquid_at.map(|since| elapsed(since, m));
        match self.glue_state {
            GlueState::Liquid => {
                self.begin_cooling(seq, m);
                if let Some(cooling) = self.coolings.last_mut() {
                    cooling.melted_for = melted_for;
                }
            }
            GlueState::Raw | GlueState::Soaking | GlueState::Melting => {
                self.add_question(seq, PotQuestion::OutBeforeLiquid);
                self.begin_cooling(seq, m);
            }
            GlueState::Gelled => {}
        }
        Ok(())
    }

    fn mark_liquid(&mut self, seq: u64, m: Moment) -> Result<(), PotRefusal> {
        match self.glue_state {
            GlueState::Raw | GlueState::Soaking => self.add_question(seq, PotQuestion::NeverMelted),
            GlueState::Gelled if self.current_bath().is_none() => {
                self.add_question(seq, PotQuestion::LiquidWithoutBath);
                self.melts += 1;
            }
            GlueState::Melting | GlueState::Liquid | GlueState::Gelled => {}
        }
        match self.baths.last_mut().filter(|b| b.out_at.is_none()) {
            None => self.continue_cooling(seq, m),
            Some(bath) => bath.liquid_at = bath.liquid_at.or(Some(m)),
        }
        if self.glue_state != GlueState::Liquid {
            self.set_glue_state(GlueState::Liquid, m);
        }
        Ok(())
    }

    /// It is liquid, out of the bath: cooling goes on, or is known from now.
    fn continue_cooling(&mut self, seq: u64, m: Moment) {
        match self.coolings.last_mut().filter(|c| !c.is_over) {
            Some(cooling) => cooling.still_liquid_at = Some(m),
            None => self.begin_cooling(seq, m),
        }
    }

    fn mark_made(&mut self, seq: u64, m: Moment, parts: &WeighedParts) -> Result<(), PotRefusal> {
        if self.made_at.is_some() {
            return Err(PotRefusal::AlreadyMade);
        }
        match self.glue_state {
            GlueState::Liquid if self.current_bath().is_none() => self.continue_cooling(seq, m),
            GlueState::Liquid => {}
            GlueState::Raw | GlueState::Soaking | GlueState::Melting | GlueState::Gelled => {
                self.add_question(seq, PotQuestion::MadeBeforeLiquid)
            }
        }
        self.made_at = Some(m);
        self.weighed = parts.clone();
        self.ask_about_weighed(seq);
        Ok(())
    }

    fn ask_about_weighed(&mut self, seq: u64) {
        let planned = self.planned_strength();
        if let Some(strength) = self.weighed.strength().filter(|s| *s > planned * 2.0 || *s < planned / 2.0) {
            self.add_question(seq, PotQuestion::StrengthFarOff { strength, planned });
        }
        let has = |filler| self.recipe().gesso.fillers.iter().any(|part| part.filler == filler);
        let others: Vec<&str> =
            self.weighed.fillers.iter().map(|(f, _)| *f).filter(|f| !has(*f)).map(Filler::name).collect();
        for name in others {
            self.add_question(seq, PotQuestion::OtherFiller { name });
        }
    }

    fn mark_gelled(&mut self, seq: u64, m: Moment) -> Result<(), PotRefusal> {
        match self.glue_state {
            GlueState::Raw | GlueState::Soaking => return Err(PotRefusal::NothingToGel),
            GlueState::Gelled => return Err(PotRefusal::AlreadyGelled),
            GlueState::Melting | GlueState::Liquid => {}
        }
        if self.current_bath().is_some() {
            self.add_question(seq, PotQuestion::GelledInBath);
        }
        self.end_cooling(Some(m));
        self.set_glue_state(GlueState::Gelled, m);
        Ok(())
    }

    fn record_temperature(&mut self, seq: u64, m: Moment, temp: Temperature) -> Result<(), PotRefusal> {
        if !temp.c().is_finite() {
            return Err(PotRefusal::InvalidTemperature);
        }
        if temp.c() > BOILING_C {
            return Err(PotRefusal::AboveBoiling { temp });
        }
        if temp.c() < COLDEST_C {
            return Err(PotRefusal::TooCold { temp });
        }
        if temp.c() < 0.0 {
            self.add_question(seq, PotQuestion::Frozen { temp });
        }
        self.temps.push((m, temp));
        if let Some(cooling) = self.coolings.last_mut().filter(|c| !c.is_over) {
            cooling.readings.push((m, temp));
        }
        Ok(())
    }

    fn add_water(&mut self, m: Moment, mass: Mass) -> Result<(), PotRefusal> {
        check_mass(mass)?;
        self.mass_records.push((m, MassRecord::Water(mass)));
        Ok(())
    }

    fn record_weighing(&mut self, seq: u64, m: Moment, mass: Mass) -> Result<(), PotRefusal> {
        check_mass(mass)?;
        if let Some(before) = self.mass() {
            let heavier = mass.g() - before.g();
            if heavier > SCALES_TOLERANCE_G {
                self.add_question(seq, PotQuestion::HeavierWithoutWater { by: Mass::from_g(heavier) });
            } else if mass.g() < before.g() / 2.0 {
                self.add_question(seq, PotQuestion::MuchLighter { by: Mass::from_g(-heavier) });
            }
        }
        self.mass_records.push((m, MassRecord::Weighed(mass)));
        Ok(())
    }

    /// What it weighs as far as is known: the last weighing and the water given since.
    pub fn mass(&self) -> Option<Mass> {
        let last = self.mass_records.iter().rposition(|(_, s)| matches!(s, MassRecord::Weighed(_)))?;
        let sum = self.mass_records[last..].iter().map(|(_, s)| match s {
            MassRecord::Weighed(mass) | MassRecord::Water(mass) => mass.g(),
        });
        Some(Mass::from_g(sum.sum()))
    }

    fn end_pot(&mut self, m: Moment, end: PotEnd) -> Result<(), PotRefusal> {
        if let Some(bath) = self.baths.last_mut().filter(|b| b.out_at.is_none()) {
            bath.out_at = Some(m);
        }
        self.end_cooling(None);
        self.end = Some((m, end));
        Ok(())
    }

    fn begin_cooling(&mut self, seq: u64, m: Moment) {
        self.end_cooling(None);
        let cooling = Cooling {
            seq,
            started_at: m,
            still_liquid_at: None,
            gelled_at: None,
            into_bath_at: None,
            melted_for: None,
            is_over: false,
            readings: Vec::new(),
        };
        self.coolings.push(cooling);
    }

    fn end_cooling(&mut self, gelled: Option<Moment>) {
        if let Some(cooling) = self.coolings.last_mut().filter(|c| !c.is_over) {
            cooling.is_over = true;
            cooling.gelled_at = gelled;
        }
    }

    fn set_glue_state(&mut self, body: GlueState, m: Moment) {
        self.glue_state = body;
        self.glue_state_since = m;
    }

    fn add_question(&mut self, seq: u64, question: PotQuestion) {
        self.questions.entry(seq).or_default().push(question);
    }

    fn raise_call(&mut self, call: PotCall, of: u64) -> Result<(), PotRefusal> {
        if self.raised_calls.insert((call, of)) { Ok(()) } else { Err(PotRefusal::AlreadyRaised { call }) }
    }
}

/// Whether a pot, or water for it, can weigh that.
pub(super) fn check_mass(mass: Mass) -> Result<(), PotRefusal> {
    if !mass.g().is_finite() || mass.g() <= 0.0 {
        return Err(PotRefusal::InvalidMass);
    }
    if mass.g() > MASS_MAX.g() {
        return Err(PotRefusal::TooHeavy { most: MASS_MAX });
    }
    Ok(())
}
