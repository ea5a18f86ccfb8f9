//! One pot through its days: what its maker marks of it, from the soak to the last rest of it.
//!
//! When coats were laid from it is known beforehand; the pot is made ready for each, cools, gels, goes back into the
//! bath and loses water meanwhile. Every fact goes through the pot's own rules.

use super::calendar::{opening_entry, studio_moment};
use super::jar::{JarPlace, JarState};
use super::rng::Rng;
use super::studio_air::StudioAir;
use super::words;
use crate::record::journal::next_seq;
use crate::units::{Entry, Mass, Span, Stamp, Temperature};
use crate::work::pot::act::PotAct;
use crate::work::pot::event::{PotEvent, PotKind, PotOpened};
use crate::work::pot::refusal::PotRefusal;
use crate::work::pot::story::PotStory;

/// What is at hand to look after a pot with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Habits {
    /// A thermometer.
    pub(super) thermometer: bool,
    /// Scales.
    pub(super) scales: bool,
    /// What the scales miss is given back as water.
    pub(super) replaces_water: bool,
    /// Gesso is made in a bath that is too hot.
    pub(super) hot_bath: bool,
}

impl Habits {
    /// After a pot was forgotten it is read and weighed.
    pub(super) const fn with_care(self, forgotten: bool) -> Habits {
        Habits { thermometer: self.thermometer || forgotten, scales: self.scales || forgotten, ..self }
    }

    /// In a bath as it should be.
    pub(super) const fn cool(self) -> Habits {
        Habits { hot_bath: false, ..self }
    }
}

/// Something taken from a pot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Withdrawal {
    /// When it must be liquid.
    pub(super) needed_at: Stamp,
    /// When it was taken.
    pub(super) taken_at: Stamp,
    /// How much, g.
    pub(super) g: f64,
}

/// A pot forgotten in its bath, from then until then.
pub(super) type ForgottenTime = (Stamp, Stamp);

/// A pot and its story so far.
#[derive(Debug)]
pub(super) struct PotSimulation {
    story: PotStory,
    jar: JarState,
    air: StudioAir,
    rng: Rng,
    habits: Habits,
    /// What it weighed when it was full, vessel and all, with the water given since and without what was taken, g.
    full_g: f64,
    /// Water the scales have missed and nobody has given back, g.
    missing_water_g: f64,
    /// When it gelled, if it is a jelly nobody has marked.
    gelled_at: Option<Stamp>,
    /// The last time anything was done with it.
    last_act_at: Stamp,
}

/// So far above its gel point it is seen to be liquid, K (assumed).
const SEEN_LIQUID_K: f64 = 6.0;
/// A vessel weighs between these, g.
const VESSEL_G: (i64, i64) = (240, 390);

impl PotSimulation {
    /// A pot opened at that time, with `ml` and `g` in it once it is made.
    pub(super) fn new(
        opened: PotOpened,
        (ml, g): (f64, f64),
        at: Stamp,
        habits: Habits,
        weather: StudioAir,
        mut chance: Rng,
    ) -> Result<PotSimulation, PotRefusal> {
        let gesso = &opened.recipe.gesso;
        let liquid = opened.parent.is_some();
        let warmth = JarState {
            at,
            temp_c: if liquid { 45.0 } else { weather.room_conditions(at).0 },
            lost_water_g: 0.0,
            place: if liquid { JarPlace::Table } else { JarPlace::Covered },
            tau_min: gesso.time_constant_min * chance.draw_int(88, 112) as f64 / 100.0,
            gel_point_c: gesso.gels_at_c + chance.draw_int(-6, 6) as f64 / 10.0,
            opening_ratio: (ml / 250.0).sqrt(),
        };
        let event = PotEvent::Opened(Box::new(opened));
        let story = PotStory::fold(vec![opening_entry(at, event)])?;
        let full_g = chance.draw_int(VESSEL_G.0, VESSEL_G.1) as f64 + g;
        let (missing_g, gelled) = (0.0, None);
        Ok(PotSimulation {
            story,
            jar: warmth,
            air: weather,
            rng: chance,
            habits,
            full_g,
            missing_water_g: missing_g,
            gelled_at: gelled,
            last_act_at: at,
        })
    }

    fn record(&mut self, act: &PotAct, at: Stamp) -> Result<(), PotRefusal> {
        let event = self.story.build_event(act)?;
        let seq = next_seq(self.story.entries());
        self.story = self.story.with_entry(Entry {
            seq,
            at,
            written: studio_moment(at),
            raw_wall: None,
            replaces: None,
            event,
        })?;
        self.last_act_at = self.last_act_at.max(at);
        Ok(())
    }

    fn advance(&mut self, to: Stamp) {
        if let Some(gelled) = self.jar.advance(to, self.air) {
            self.gelled_at = Some(gelled);
        }
    }

    /// The size is soaked in the evening and melted in time for the first coat.
    pub(super) fn make_size(&mut self, first: Stamp) -> Result<(), PotRefusal> {
        let soaked = self.last_act_at + self.rng.draw_seconds(60, 240);
        self.record(&PotAct::Soak, soaked)?;
        self.make_contents(first - Span::from_s(36 * 60), Some(16))
    }

    /// The gesso is made of what was poured: the powders go in, and it is strained.
    pub(super) fn make_gesso(&mut self) -> Result<(), PotRefusal> {
        self.make_contents(self.last_act_at + Span::from_s(30), None)
    }

    fn make_contents(&mut self, into: Stamp, liquid_after_min: Option<i64>) -> Result<(), PotRefusal> {
        self.advance(into);
        self.record(&PotAct::Melt, into)?;
        let (low, high) = if self.habits.hot_bath { (630, 690) } else { (465, 515) };
        self.jar.place = JarPlace::Bath(self.rng.draw_int(low, high) as f64 / 10.0);
        if let Some(min) = liquid_after_min {
            let liquid = into + Span::from_s(min * 60) + self.rng.draw_seconds(0, 90);
            self.record(&PotAct::Liquid, liquid)?;
        }
        let made = into + Span::from_s(19 * 60) + self.rng.draw_seconds(0, 120);
        self.record(&PotAct::made_as_asked(), made)?;
        let strained = made + self.rng.draw_minutes(5, 7);
        self.record(&PotAct::Strained, strained)?;
        let out = into + Span::from_s(30 * 60);
        self.advance(out);
        self.read_thermometer(out)?;
        self.take_out_of_bath(out + Span::from_s(10))?;
        if self.habits.scales {
            self.weigh(out + Span::from_s(60))?;
        }
        Ok(())
    }

    /// Makes it ready for everything that is taken from it, in order; `forgotten` in the bath meanwhile, it may be.
    pub(super) fn serve_withdrawals(
        &mut self,
        taken: &[Withdrawal],
        forgotten: Option<ForgottenTime>,
    ) -> Result<(), PotRefusal> {
        let mut forgotten = forgotten;
        for one in taken {
            if let Some(away) = forgotten.take_if(|(from, _)| *from < one.taken_at) {
                self.forget_in_bath(away)?;
            }
            self.prepare_for(one)?;
            self.advance(one.taken_at);
            self.full_g -= one.g;
            self.last_act_at = self.last_act_at.max(one.taken_at);
        }
        Ok(())
    }

    fn prepare_for(&mut self, one: &Withdrawal) -> Result<(), PotRefusal> {
        let mut then = self.jar;
        then.advance(one.taken_at, self.air);
        let free = self.last_act_at + Span::from_s(10);
        let begin = one.needed_at - Span::from_s(5);
        let warm = then.place == JarPlace::Table && then.temp_c > then.gel_point_c + 3.0;
        if warm || begin - free < Span::from_s(60) {
            return Ok(());
        }
        let lead = if then.place == JarPlace::Covered { 9 } else { 6 };
        let into = free.max(begin - Span::from_s(lead * 60) + self.rng.draw_seconds(0, 60));
        // Weighed when the brush rests and again before it is taken up, so that only water is missing.
        let weighs = self.habits.scales && into - free > Span::from_s(120) && !self.rng.draw_one_in(4);
        let rests = free + self.rng.draw_seconds(5, 30);
        let before = if weighs { Some(self.weigh(rests)?) } else { None };
        self.advance(into);
        let was_gelled = self.mark_gelled(into)?;
        self.record(&PotAct::Melt, into)?;
        self.warm_in_bath(begin, was_gelled)?;
        if let Some(before) = before {
            let after = self.weigh(self.last_act_at + Span::from_s(15))?;
            self.missing_water_g += before - after;
            self.replace_water()?;
        }
        Ok(())
    }

    /// Writes that it is a jelly, where it is one. A jelly of minutes is not always noticed.
    fn mark_gelled(&mut self, by: Stamp) -> Result<bool, PotRefusal> {
        let Some(gelled) = self.gelled_at.take() else { return Ok(false) };
        let seen = (gelled + self.rng.draw_seconds(10, 200)).min(by - Span::from_s(1)).max(self.last_act_at);
        let noticed = by - gelled > Span::from_s(3600) || !self.rng.draw_one_in(4);
        if noticed {
            self.record(&PotAct::Gelled, seen)?;
        }
        Ok(noticed)
    }

    /// In the bath until it is warm, or until the brush wants it.
    fn warm_in_bath(&mut self, until: Stamp, was_gelled: bool) -> Result<(), PotRefusal> {
        let warm_c = self.rng.draw_int(430, 485) as f64 / 10.0;
        self.jar.place = JarPlace::Bath(56.0);
        let mut liquid = None;
        while self.jar.temp_c < warm_c && self.jar.at < until {
            self.advance(self.jar.at + Span::from_s(15));
            if self.jar.temp_c >= self.jar.gel_point_c + SEEN_LIQUID_K {
                liquid.get_or_insert(self.jar.at);
            }
        }
        let out = self.jar.at.max(self.last_act_at + Span::from_s(20));
        if was_gelled {
            let seen = self.rng.draw_seconds(5, 15);
            self.record(&PotAct::Liquid, liquid.map_or(out, |at| at.max(self.last_act_at) + seen).min(out - seen))?;
        }
        self.take_out_of_bath(out)?;
        if !self.rng.draw_one_in(3) {
            self.read_thermometer(out + Span::from_s(8))?;
        }
        Ok(())
    }

    fn take_out_of_bath(&mut self, at: Stamp) -> Result<(), PotRefusal> {
        self.advance(at);
        self.record(&PotAct::OutOfBath, at)?;
        self.jar.place = JarPlace::Table;
        Ok(())
    }

    /// Reads the thermometer, to half a degree, if there is one.
    fn read_thermometer(&mut self, at: Stamp) -> Result<(), PotRefusal> {
        if !self.habits.thermometer {
            return Ok(());
        }
        self.advance(at);
        let read = (self.jar.temp_c * 2.0).round() / 2.0;
        self.record(&PotAct::Temp(Temperature::from_c(read)), at)
    }

    /// Weighs it, to the gram.
    fn weigh(&mut self, at: Stamp) -> Result<f64, PotRefusal> {
        self.advance(at);
        let g = (self.full_g - self.jar.lost_water_g).round();
        self.record(&PotAct::Weigh(Mass::from_g(g)), at)?;
        Ok(g)
    }

    fn replace_water(&mut self) -> Result<(), PotRefusal> {
        let g = self.missing_water_g;
        if !self.habits.replaces_water || g < 2.0 {
            return Ok(());
        }
        self.full_g += g;
        self.missing_water_g = 0.0;
        self.record(&PotAct::Water(Mass::from_g(g)), self.last_act_at + Span::from_s(20))
    }

    /// Put into the bath and forgotten there.
    fn forget_in_bath(&mut self, (from, until): ForgottenTime) -> Result<(), PotRefusal> {
        self.advance(from + Span::from_s(4));
        self.mark_gelled(from + Span::from_s(4))?;
        self.weigh(from + Span::from_s(5))?;
        self.record(&PotAct::Melt, from + Span::from_s(12))?;
        self.jar.place = JarPlace::Bath(self.rng.draw_int(660, 715) as f64 / 10.0);
        let back = until + self.rng.draw_seconds(20, 45);
        self.read_thermometer(back)?;
        self.take_out_of_bath(back + Span::from_s(10))?;
        self.weigh(back + Span::from_s(40))?;
        self.record(&PotAct::Note(words::FORGOTTEN.to_owned()), back + Span::from_s(70))?;
        // Nothing is given back to it from now on.
        self.habits.replaces_water = false;
        Ok(())
    }

    /// What is left goes the way of all pots.
    pub(super) fn finish(mut self, spoiled: bool) -> Result<PotStory, PotRefusal> {
        let at = self.last_act_at + self.rng.draw_minutes(4, 15);
        let size = self.story.pot().opened().kind == PotKind::Size;
        let act = if spoiled {
            PotAct::Discard(words::SPOILED.to_owned())
        } else if self.rng.draw_one_in(3) {
            PotAct::Discard(if size { words::SIZE_LEFT } else { words::GESSO_LEFT }.to_owned())
        } else {
            PotAct::Empty
        };
        self.record(&act, at)?;
        Ok(self.story)
    }
}
