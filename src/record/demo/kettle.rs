//! One pot through its days: what its maker marks of it, from the soak to the last rest of it.
//!
//! When coats were laid from it is known beforehand; the pot is made ready for each, cools, gels, goes back into the bath
//! and loses water meanwhile. Every fact goes through the pot's own rules. Absent on purpose: which pots there are and who
//! takes from them (`pots`).

use super::chance::Chance;
use super::days::moment;
use super::warmth::{Place, Warmth};
use super::weather::Weather;
use super::words;
use crate::units::{Entry, Mass, Span, Stamp, Temperature};
use crate::work::pot::act::Act;
use crate::work::pot::event::{Event, Kind, Opened};
use crate::work::pot::refusal::Refusal;
use crate::work::pot::story::Story;

/// What is at hand to look after a pot with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Habits {
    /// A thermometer.
    pub(super) thermometer: bool,
    /// Scales.
    pub(super) scales: bool,
    /// What the scales miss is given back as water.
    pub(super) gives_back: bool,
}

/// Something taken from a pot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Taken {
    /// When it must be liquid.
    pub(super) begun: Stamp,
    /// When it was taken.
    pub(super) at: Stamp,
    /// How much, g.
    pub(super) g: f64,
}

/// A pot forgotten in its bath, from then until then.
pub(super) type Forgotten = (Stamp, Stamp);

/// A pot and its story so far.
#[derive(Debug)]
pub(super) struct Kettle {
    story: Story,
    warmth: Warmth,
    weather: Weather,
    chance: Chance,
    habits: Habits,
    /// What it weighed when it was full, vessel and all, with the water given since and without what was taken, g.
    full_g: f64,
    /// Water the scales have missed and nobody has given back, g.
    missing_g: f64,
    /// When it gelled, if it is a jelly nobody has marked.
    gelled: Option<Stamp>,
    /// The last time anything was done with it.
    last: Stamp,
}

/// A vessel weighs between these, g.
const VESSEL_G: (i64, i64) = (240, 390);

impl Kettle {
    /// A pot opened at that time, with `ml` and `g` in it once it is made.
    pub(super) fn open(
        opened: Opened,
        (ml, g): (f64, f64),
        at: Stamp,
        habits: Habits,
        weather: Weather,
        mut chance: Chance,
    ) -> Result<Kettle, Refusal> {
        let gesso = &opened.recipe.gesso;
        let liquid = opened.parent.is_some();
        let warmth = Warmth {
            at,
            temp_c: if liquid { 45.0 } else { weather.room(at).0 },
            lost_g: 0.0,
            place: if liquid { Place::Table } else { Place::Covered },
            tau_min: gesso.time_constant_min * chance.between(88, 112) as f64 / 100.0,
            gels_c: gesso.gels_at_c + chance.between(-6, 6) as f64 / 10.0,
            jar: (ml / 250.0).sqrt(),
        };
        let event = Event::Opened(Box::new(opened));
        let story = Story::fold(vec![Entry { seq: 0, at, written: moment(at), raw_wall: None, event }])?;
        let full_g = chance.between(VESSEL_G.0, VESSEL_G.1) as f64 + g;
        let (missing_g, gelled) = (0.0, None);
        Ok(Kettle { story, warmth, weather, chance, habits, full_g, missing_g, gelled, last: at })
    }

    fn tell(&mut self, act: &Act, at: Stamp) -> Result<(), Refusal> {
        let event = self.story.complete(act)?;
        let seq = self.story.entries().len() as u64;
        self.story = self.story.with(Entry { seq, at, written: moment(at), raw_wall: None, event })?;
        self.last = self.last.max(at);
        Ok(())
    }

    fn pass(&mut self, to: Stamp) {
        if let Some(gelled) = self.warmth.pass(to, self.weather) {
            self.gelled = Some(gelled);
        }
    }

    /// The size is soaked in the evening and melted in time for the first coat.
    pub(super) fn make_size(&mut self, first: Stamp) -> Result<(), Refusal> {
        let soaked = self.last + self.chance.seconds(60, 240);
        self.tell(&Act::Soak, soaked)?;
        self.make(first - Span::from_s(36 * 60), Some(16))
    }

    /// The gesso is made of what was poured: the powders go in, and it is strained.
    pub(super) fn make_gesso(&mut self) -> Result<(), Refusal> {
        self.make(self.last + Span::from_s(30), None)
    }

    fn make(&mut self, into: Stamp, liquid_after_min: Option<i64>) -> Result<(), Refusal> {
        self.pass(into);
        self.tell(&Act::Melt, into)?;
        self.warmth.place = Place::Bath(self.chance.between(465, 515) as f64 / 10.0);
        if let Some(min) = liquid_after_min {
            let liquid = into + Span::from_s(min * 60) + self.chance.seconds(0, 90);
            self.tell(&Act::Liquid, liquid)?;
        }
        let made = into + Span::from_s(19 * 60) + self.chance.seconds(0, 120);
        self.tell(&Act::Made, made)?;
        let strained = made + self.chance.minutes(5, 7);
        self.tell(&Act::Strained, strained)?;
        let out = into + Span::from_s(30 * 60);
        self.pass(out);
        self.read(out)?;
        self.out(out + Span::from_s(10))?;
        if self.habits.scales {
            self.weigh(out + Span::from_s(60))?;
        }
        Ok(())
    }

    /// Makes it ready for everything that is taken from it, in order; `forgotten` in the bath meanwhile, it may be.
    pub(super) fn serve(&mut self, taken: &[Taken], forgotten: Option<Forgotten>) -> Result<(), Refusal> {
        let mut forgotten = forgotten;
        for one in taken {
            if let Some(away) = forgotten.take_if(|(from, _)| *from < one.at) {
                self.forget(away)?;
            }
            self.ready(one)?;
            self.pass(one.at);
            self.full_g -= one.g;
            self.last = self.last.max(one.at);
        }
        Ok(())
    }

    fn ready(&mut self, one: &Taken) -> Result<(), Refusal> {
        let mut then = self.warmth;
        then.pass(one.at, self.weather);
        let free = self.last + Span::from_s(10);
        let begin = one.begun - Span::from_s(5);
        let warm = then.place == Place::Table && then.temp_c > then.gels_c + 3.0;
        if warm || begin - free < Span::from_s(60) {
            return Ok(());
        }
        let lead = if then.place == Place::Covered { 9 } else { 6 };
        let into = free.max(begin - Span::from_s(lead * 60) + self.chance.seconds(0, 60));
        // Weighed when the brush rests and again before it is taken up, so that only water is missing.
        let weighs = self.habits.scales && into - free > Span::from_s(120) && !self.chance.one_in(4);
        let rests = free + self.chance.seconds(5, 30);
        let before = if weighs { Some(self.weigh(rests)?) } else { None };
        self.pass(into);
        let was_gelled = self.mark_gelled(into)?;
        self.tell(&Act::Melt, into)?;
        self.bathe(begin, was_gelled)?;
        if let Some(before) = before {
            let after = self.weigh(self.last + Span::from_s(15))?;
            self.missing_g += before - after;
            self.give_back()?;
        }
        Ok(())
    }

    /// Writes that it is a jelly, where it is one. A jelly of minutes is not always noticed.
    fn mark_gelled(&mut self, by: Stamp) -> Result<bool, Refusal> {
        let Some(gelled) = self.gelled.take() else { return Ok(false) };
        let seen = (gelled + self.chance.seconds(10, 200)).min(by - Span::from_s(1)).max(self.last);
        let noticed = by - gelled > Span::from_s(3600) || !self.chance.one_in(4);
        if noticed {
            self.tell(&Act::Gelled, seen)?;
        }
        Ok(noticed)
    }

    /// In the bath until it is warm, or until the brush wants it.
    fn bathe(&mut self, until: Stamp, was_gelled: bool) -> Result<(), Refusal> {
        let warm_c = self.chance.between(430, 485) as f64 / 10.0;
        self.warmth.place = Place::Bath(56.0);
        while self.warmth.temp_c < warm_c && self.warmth.at < until {
            self.pass(self.warmth.at + Span::from_s(15));
        }
        let out = self.warmth.at.max(self.last + Span::from_s(20));
        if was_gelled {
            let liquid = out - self.chance.seconds(5, 15);
            self.tell(&Act::Liquid, liquid)?;
        }
        self.out(out)?;
        if !self.chance.one_in(3) {
            self.read(out + Span::from_s(8))?;
        }
        Ok(())
    }

    fn out(&mut self, at: Stamp) -> Result<(), Refusal> {
        self.pass(at);
        self.tell(&Act::Out, at)?;
        self.warmth.place = Place::Table;
        Ok(())
    }

    /// Reads the thermometer, to half a degree, if there is one.
    fn read(&mut self, at: Stamp) -> Result<(), Refusal> {
        if !self.habits.thermometer {
            return Ok(());
        }
        self.pass(at);
        let read = (self.warmth.temp_c * 2.0).round() / 2.0;
        self.tell(&Act::Temp(Temperature::from_c(read)), at)
    }

    /// Weighs it, to the gram.
    fn weigh(&mut self, at: Stamp) -> Result<f64, Refusal> {
        self.pass(at);
        let g = (self.full_g - self.warmth.lost_g).round();
        self.tell(&Act::Weigh(Mass::from_g(g)), at)?;
        Ok(g)
    }

    fn give_back(&mut self) -> Result<(), Refusal> {
        let g = self.missing_g;
        if !self.habits.gives_back || g < 2.0 {
            return Ok(());
        }
        self.full_g += g;
        self.missing_g = 0.0;
        self.tell(&Act::Water(Mass::from_g(g)), self.last + Span::from_s(20))
    }

    /// Put into the bath and forgotten there.
    fn forget(&mut self, (from, until): Forgotten) -> Result<(), Refusal> {
        self.pass(from + Span::from_s(4));
        self.mark_gelled(from + Span::from_s(4))?;
        self.weigh(from + Span::from_s(5))?;
        self.tell(&Act::Melt, from + Span::from_s(12))?;
        self.warmth.place = Place::Bath(self.chance.between(660, 715) as f64 / 10.0);
        let back = until + self.chance.seconds(20, 45);
        self.read(back)?;
        self.out(back + Span::from_s(10))?;
        self.weigh(back + Span::from_s(40))?;
        self.tell(&Act::Note(words::FORGOTTEN.to_owned()), back + Span::from_s(70))?;
        // Nothing is given back to it from now on.
        self.habits.gives_back = false;
        Ok(())
    }

    /// What is left goes the way of all pots.
    pub(super) fn end(mut self, spoiled: bool) -> Result<Story, Refusal> {
        let at = self.last + self.chance.minutes(4, 15);
        let size = self.story.pot().opened().kind == Kind::Size;
        let act = if spoiled {
            Act::Discard(words::SPOILED.to_owned())
        } else if self.chance.one_in(3) {
            Act::Discard(if size { words::SIZE_LEFT } else { words::GESSO_LEFT }.to_owned())
        } else {
            Act::Empty
        };
        self.tell(&act, at)?;
        Ok(self.story)
    }
}
