//! One panel on its way through the studio: what is done to it next, when, and what befalls it meanwhile.
//!
//! Every fact goes through the panel's own rules ([`Story::complete`], [`Story::with`]), so that nothing is told which
//! they refuse. Absent on purpose: other panels (`row`), files.

mod next;

use super::chance::Chance;
use super::days::moment;
use super::pots::pot_for;
use super::studio::Fate;
use super::weather::Weather;
use super::words;
use crate::units::{Entry, Id, Mass, Span, Stamp};
use crate::work::panel::act::Act;
use crate::work::panel::event::{CheckMap, Event, Face, Flaw, Kind, Low, Opened, Stage};
use crate::work::panel::fixed::Drying;
use crate::work::panel::phase::Phase;
use crate::work::panel::refusal::Refusal;
use crate::work::panel::story::Story;
use next::Next;

/// Grams to a cubic millimetre of a light board; only what is weighed first rests on it (assumed).
const BOARD_G_PER_MM3: f64 = 0.000_68;

/// What a panel is worked with.
#[derive(Debug, Clone)]
pub(super) struct With {
    /// The pot of size.
    pub(super) size: Id,
    /// The pot of gesso.
    pub(super) gesso: Id,
    /// The air of the studio.
    pub(super) weather: Weather,
}

/// A panel and its story so far.
#[derive(Debug, Clone)]
pub(super) struct Tale {
    with: With,
    story: Story,
    fate: Fate,
    chance: Chance,
    next: Next,
    /// Whether its fate has come about, where it comes about once.
    befell: bool,
    /// Whether the maker is called away right now.
    pub(super) called: bool,
    /// How many rounds of checking it will take.
    rounds: u32,
}

impl Tale {
    /// A panel opened at that time.
    pub(super) fn open(opened: Opened, fate: Fate, with: With, mut chance: Chance, at: Stamp) -> Result<Tale, Refusal> {
        let event = Event::Opened(Box::new(opened));
        let story = Story::fold(vec![Entry { seq: 0, at, written: moment(at), raw_wall: None, event }])?;
        let rounds = if fate == Fate::Slow { 3 } else { chance.between(1, 2) as u32 };
        let next = Next { at, long: Span::ZERO, starts: true, dull: None };
        let mut tale = Tale { with, story, fate, chance, next, befell: false, called: false, rounds };
        tale.plan(at);
        Ok(tale)
    }

    /// The story so far.
    pub(super) fn story(&self) -> &Story {
        &self.story
    }

    /// The pot of gesso it is laid from.
    pub(super) fn gesso(&self) -> &Id {
        &self.with.gesso
    }

    /// The pot the act at hand is done from.
    pub(super) fn pot(&self) -> Option<&Id> {
        self.hand().and_then(|s| pot_for(s.kind, &self.with.size, &self.with.gesso))
    }

    /// What is to be done next; nothing once it is finished or given up.
    pub(super) fn hand(&self) -> Option<Stage> {
        self.story.panel().at_hand().filter(|_| self.story.panel().given_up().is_none())
    }

    /// When it next wants hands; nothing once it is finished or given up.
    pub(super) fn wants(&self) -> Option<Stamp> {
        self.hand().map(|_| self.next.at)
    }

    /// How much of one day the act at hand needs, all that has to follow on the same day included.
    pub(super) fn needs(&self) -> Span {
        let recipe = self.story.panel().recipe();
        let first = self.hand().is_some_and(|s| s.kind == Kind::Stipple && s.number == Some(1));
        if !first {
            return self.next.long;
        }
        let coats = f64::from(recipe.stipple.coats + recipe.coats.front + recipe.coats.back);
        Span::from_min(coats * (recipe.coats.wait_min.max(recipe.stipple.wait_min) + recipe.minutes.coat))
    }

    /// Whether the act at hand is one of the coats that follow the stipple without a night between.
    pub(super) fn goes_on(&self) -> bool {
        self.hand().is_some_and(|s| s.kind == Kind::Coat)
    }

    fn tell(&mut self, act: &Act, at: Stamp, written: Stamp) -> Result<(), Refusal> {
        let event = match self.story.complete(act, moment(at))? {
            Event::Done(done) => {
                let drying = Drying::of(self.with.weather.known(at));
                Event::Done(Box::new(done.in_air(self.story.panel().recipe(), drying, false)))
            }
            event => event,
        };
        let seq = self.story.entries().len() as u64;
        let entry = Entry { seq, at, written: moment(written), raw_wall: None, event };
        self.story = self.story.with(entry)?;
        Ok(())
    }

    /// Does the act at hand, beginning at that time. Returns when the hands are free again.
    pub(super) fn work(&mut self, at: Stamp) -> Result<Stamp, Refusal> {
        let Some(stage) = self.hand() else { return Ok(at) };
        let next = self.next.clone();
        let free = match self.instead(&stage, at)? {
            Some(free) => free,
            None => self.lay(&stage, at, &next)?,
        };
        self.plan(free);
        Ok(free)
    }

    /// The act as it is meant to be, and what befalls the panel by it.
    fn lay(&mut self, stage: &Stage, at: Stamp, next: &Next) -> Result<Stamp, Refusal> {
        let dull_late = self.fate == Fate::Late && self.front_coat(stage, 4);
        if let Some(dull) = next.dull.filter(|d| *d < at + next.long && !dull_late) {
            self.tell(&Act::Dull, dull, dull)?;
        }
        if next.starts {
            self.tell(&Act::Start, at, at)?;
        }
        let done = at + next.long;
        let late = self.fate == Fate::Late && self.front_coat(stage, 3);
        let written = if late { done + self.chance.seconds(6 * 60, 9 * 60) } else { done };
        let act = self.done(stage);
        self.tell(&act, done, written)?;
        if let Some(dull) = next.dull.filter(|d| *d < done && dull_late) {
            let given = done + self.chance.seconds(40, 120);
            self.tell(&Act::Dull, dull, given)?;
        }
        self.afterwards(stage, done)
    }

    fn done(&mut self, stage: &Stage) -> Act {
        let turned = self.fate == Fate::Turned && self.front_coat(stage, 3);
        Act::Done {
            direction: stage.direction.filter(|_| turned).map(|d| d.across()),
            pot: pot_for(stage.kind, &self.with.size, &self.with.gesso).cloned(),
            map: if stage.kind == Kind::Check { self.map(stage.number.unwrap_or(1)) } else { None },
        }
    }

    fn front_coat(&self, stage: &Stage, number: u32) -> bool {
        (stage.kind, stage.face, stage.number) == (Kind::Coat, Some(Face::Front), Some(number))
    }

    /// The map of that round: fewer areas from round to round, none in the last.
    fn map(&mut self, round: u32) -> Option<CheckMap> {
        let check = self.story.panel().recipe().check.clone()?;
        let left = self.rounds.saturating_sub(round);
        let mut areas = vec![vec![Low::None; check.columns as usize]; check.rows as usize];
        for _ in 0..left * 2 {
            let row = self.chance.between(0, i64::from(check.rows) - 1) as usize;
            let column = self.chance.between(0, i64::from(check.columns) - 1) as usize;
            areas[row][column] = if left > 1 && self.chance.one_in(2) { Low::Much } else { Low::Some };
        }
        CheckMap::new(areas)
    }

    /// What is done in the place of the act at hand, if anything is.
    fn instead(&mut self, stage: &Stage, at: Stamp) -> Result<Option<Stamp>, Refusal> {
        if self.befell {
            return Ok(None);
        }
        let phase = self.story.panel().phase_at(moment(at));
        let front = self.story.panel().recipe().coats.front;
        match self.fate {
            Fate::GivenUp if self.front_coat(stage, front / 2 + 1) => {
                self.befell = true;
                self.tell(&Act::Abandon(words::GIVEN_UP.to_owned()), at, at)?;
            }
            Fate::Extra if self.front_is_laid(stage) => {
                self.befell = true;
                self.tell(&Act::Note(words::GRAIN.to_owned()), at, at)?;
                self.tell(&Act::Extra, at, at + Span::from_s(20))?;
            }
            Fate::RestEnded if phase == Phase::Waiting && self.rests(at) => {
                self.befell = true;
                self.tell(&Act::Skip(words::REST_ENDED.to_owned()), at, at)?;
            }
            _ => return Ok(None),
        }
        Ok(Some(at + Span::from_s(60)))
    }

    /// Whether the last front coat was the last thing done, and something else than a front coat follows.
    fn front_is_laid(&self, stage: &Stage) -> bool {
        let last = self.story.panel().last_done();
        let coat = last.is_some_and(|(s, _)| (s.kind, s.face) == (Kind::Coat, Some(Face::Front)));
        coat && (stage.kind, stage.face) != (Kind::Coat, Some(Face::Front))
    }

    fn rests(&self, at: Stamp) -> bool {
        self.story.panel().standing(moment(at)).stage.is_some_and(|s| s.kind == Kind::Rest)
    }

    /// What follows straight after an act. Returns when the hands are free again.
    fn afterwards(&mut self, stage: &Stage, done: Stamp) -> Result<Stamp, Refusal> {
        let mut free = done + Span::from_s(15);
        match self.fate {
            Fate::TakenBack if self.front_coat(stage, 2) => {
                let (press, back) = (done + Span::from_s(7), done + Span::from_s(19));
                let act = self.hand().map_or_else(Act::done, |next| self.done(&next));
                self.tell(&act, press, press)?;
                self.tell(&Act::Undo { seen: None }, back, back)?;
                free = back;
            }
            Fate::Repeated if self.front_coat(stage, 4) && !self.befell => {
                self.befell = true;
                let seen = done + self.chance.seconds(25, 90);
                self.tell(&Act::Note(words::LUMPY.to_owned()), seen, seen)?;
                free = seen + Span::from_s(20);
                self.tell(&Act::Repeat(Flaw::Lumpy), free, free)?;
            }
            Fate::Turned if self.front_coat(stage, 3) => {
                free = done + Span::from_s(45);
                self.tell(&Act::Note(words::TURNED.to_owned()), free, free)?;
            }
            Fate::CalledAway if self.front_coat(stage, 3) => self.called = true,
            Fate::Weighed => self.weigh(stage, free)?,
            _ => {}
        }
        if self.chance.one_in(9)
            && let Some(words) = self.chance.of(words::notes(stage.kind))
        {
            free = free + Span::from_s(30);
            self.tell(&Act::Note((*words).to_owned()), free, free)?;
        }
        Ok(free)
    }

    /// The board bare, with all its coats, and finished.
    fn weigh(&mut self, stage: &Stage, at: Stamp) -> Result<(), Refusal> {
        let panel = self.story.panel();
        let last = self.hand().is_none_or(|h| h.kind != stage.kind);
        if !matches!(stage.kind, Kind::Prepare | Kind::Coat | Kind::Seal | Kind::Sand) || !last {
            return Ok(());
        }
        let size = panel.opened().size;
        let (width, height) = (size.width.mm(), size.height.mm());
        let board = width * height * size.thickness.map_or(9.0, |t| t.mm()) * BOARD_G_PER_MM3;
        // What the coats weigh is assumed: 70 g of dry ground to a square metre and coat.
        let coats = (panel.coats(Face::Front) + panel.coats(Face::Back)) as f64;
        let ground = width * height * 0.000_07 * coats;
        self.tell(&Act::Weigh(Mass::from_g((board + ground).round())), at, at)
    }

    /// Writes a note.
    pub(super) fn note(&mut self, words: &str, at: Stamp) -> Result<(), Refusal> {
        self.tell(&Act::Note(words.to_owned()), at, at)
    }

    /// Sees to it that nothing of what is meant next lies in the time the maker is away.
    pub(super) fn leave_off(&mut self) {
        self.called = false;
        self.next.dull = None;
    }

    /// Leaves or comes back; a panel that is not being laid has no part in it.
    pub(super) fn away_or_back(&mut self, act: &Act, at: Stamp) -> Result<(), Refusal> {
        match self.tell(act, at, at) {
            Err(Refusal::NoAwayHere | Refusal::NotAway | Refusal::AlreadyAway | Refusal::GivenUp) => Ok(()),
            told => told,
        }
    }
}
