//! The state of one panel and the one way it changes: [`Panel::after`].
//!
//! Facts come in the order they happened; take-backs and late facts are `story`'s. Absent on purpose: "now".

use super::event::{Call, CheckMap, Done, Event, Face, Flaw, Kind, Opened, Stage};
use super::phase::Phase;
use super::refusal::Refusal;
use super::stage::{Place, plan};
use super::wait::Judgement;
use crate::craft::recipe::{Direction, Recipe};
use crate::units::{Entry, Id, Moment};
use std::collections::{BTreeMap, BTreeSet};

/// The most places a panel may have; far above any real one, so that a hostile story cannot grow without bound.
pub const PLACES_MAX: usize = 400;

/// An act done, with all that later facts are judged by.
#[derive(Debug, Clone, PartialEq)]
pub struct Laid {
    /// The `seq` of the fact.
    pub seq: u64,
    /// When it was done.
    pub done: Moment,
    /// When it was begun, if that was recorded.
    pub began: Option<Moment>,
    /// The fact itself.
    pub fact: Done,
    /// When its gloss was gone, if that was recorded.
    pub dull: Option<Moment>,
}

/// What became of a place in the plan.
#[derive(Debug, Clone, PartialEq)]
pub enum Became {
    /// Still to come.
    Coming,
    /// Begun, not done.
    Begun(Moment),
    /// Done.
    Done(Box<Laid>),
    /// Left out; for a cure, a drying or a rest: ended by the maker.
    Skipped(Moment),
}

/// A place in the plan, what became of it, and the attempts that were given up.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Which place.
    pub place: Place,
    /// What became of it.
    pub became: Became,
    /// Attempts done again since, oldest first, each with its flaw.
    pub failed: Vec<(Laid, Flaw)>,
    /// The `seq` of the check that called for it, where a check did.
    pub called_by: Option<u64>,
}

impl Step {
    fn coming(place: Place) -> Step {
        Step { place, became: Became::Coming, failed: Vec::new(), called_by: None }
    }
    /// The act done here, if it stands.
    pub fn laid(&self) -> Option<&Laid> {
        match &self.became {
            Became::Done(laid) => Some(laid),
            Became::Coming | Became::Begun(_) | Became::Skipped(_) => None,
        }
    }
    /// Whether something is still to be done here.
    pub fn open(&self) -> bool {
        match self.became {
            Became::Coming | Became::Begun(_) => true,
            Became::Done(_) | Became::Skipped(_) => false,
        }
    }
}

/// The state of a panel.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    pub(super) opened: Opened,
    pub(super) opened_at: Moment,
    pub(super) steps: Vec<Step>,
    /// The place of the act last done.
    pub(super) last_act: Option<usize>,
    /// The last act is to be done again; no wait holds it back.
    pub(super) again: bool,
    pub(super) away: Option<Moment>,
    pub(super) given_up: Option<(Moment, String)>,
    /// The last fact that moved the panel.
    pub(super) moved: Moment,
    pub(super) raised: BTreeSet<(Call, u64)>,
    pub(super) judged: BTreeMap<u64, Judgement>,
}

impl Panel {
    /// The panel as its opening leaves it.
    ///
    /// # Errors
    /// [`Refusal::NotOpened`] if the entry is anything else.
    pub fn open(entry: &Entry<Event>) -> Result<Panel, Refusal> {
        match &entry.event {
            Event::Opened(opened) => Ok(Panel {
                steps: plan(&opened.recipe).into_iter().map(Step::coming).collect(),
                opened: (**opened).clone(),
                opened_at: entry.moment(),
                last_act: None,
                again: false,
                away: None,
                given_up: None,
                moved: entry.moment(),
                raised: BTreeSet::new(),
                judged: BTreeMap::new(),
            }),
            Event::Started { .. }
            | Event::Done(_)
            | Event::Dull
            | Event::Noted { .. }
            | Event::Weighed { .. }
            | Event::Inspected(_)
            | Event::Extra
            | Event::Repeated { .. }
            | Event::Skipped { .. }
            | Event::Away
            | Event::Back
            | Event::Undone { .. }
            | Event::Abandoned { .. }
            | Event::Alert { .. }
            | Event::ClockStepped { .. }
            | Event::Slept { .. }
            | Event::Newer { .. } => Err(Refusal::NotOpened),
        }
    }

    /// What was said when it was opened.
    pub fn opened(&self) -> &Opened {
        &self.opened
    }
    /// When it was opened.
    pub fn opened_at(&self) -> Moment {
        self.opened_at
    }
    /// The panel's own recipe.
    pub fn recipe(&self) -> &Recipe {
        &self.opened.recipe
    }
    /// Every place of the work so far, in order.
    pub fn steps(&self) -> &[Step] {
        &self.steps
    }
    /// Why it was given up, if it was.
    pub fn given_up(&self) -> Option<&str> {
        self.given_up.as_ref().map(|(_, why)| why.as_str())
    }
    /// Whether that call was raised for that fact's wait.
    pub fn was_raised(&self, call: Call, of: u64) -> bool {
        self.raised.contains(&(call, of))
    }
    /// How the fact of that `seq` was judged, if it was one that is.
    pub fn judgement(&self, seq: u64) -> Option<&Judgement> {
        self.judged.get(&seq)
    }
    /// How the act done at that place was judged: at its start, and as the fact of that `seq`.
    pub fn judgements_of(&self, place: Place, seq: u64) -> Vec<&Judgement> {
        let here = |j: &&Judgement| {
            (j.stage.kind, j.stage.face) == (place.kind, place.face) && j.stage.number.is_none_or(|n| n == place.number)
        };
        let began = self.judged.range(..seq).next_back().map(|(_, j)| j).filter(here);
        began.into_iter().chain(self.judged.get(&seq)).collect()
    }
    /// The act last done, with the place it was done at.
    pub fn last_done(&self) -> Option<(Stage, &Laid)> {
        let at = self.last_act?;
        Some((self.stage(at), self.steps[at].laid()?))
    }
    /// Standing coats laid on that face; the stipple is not counted.
    pub fn coats(&self, face: Face) -> usize {
        self.laid_on(face).filter(|(step, _)| step.place.kind == Kind::Coat).count()
    }

    fn laid_on(&self, face: Face) -> impl Iterator<Item = (&Step, &Laid)> {
        self.steps.iter().filter(move |s| s.place.face == Some(face)).filter_map(|s| Some((s, s.laid()?)))
    }

    /// The place of the act at hand: the first that is still to be done.
    pub(super) fn hand(&self) -> Option<usize> {
        self.steps.iter().position(|s| s.open() && !s.place.kind.by_itself())
    }

    /// The stage at that place, with its total and the direction it has or should have.
    pub(super) fn stage(&self, at: usize) -> Stage {
        self.stages().nth(at).unwrap_or(Stage {
            kind: Kind::Prepare,
            face: None,
            number: None,
            of: None,
            direction: None,
        })
    }

    /// Every stage in order, directions worked out: each at right angles to the last standing one on its face.
    pub fn stages(&self) -> impl Iterator<Item = Stage> {
        let recipe = &self.opened.recipe;
        let mut last: [Option<Direction>; 3] = [None; 3];
        self.steps.iter().map(move |step| {
            let Place { kind, face, number } = step.place;
            let planned = match (kind, face) {
                (Kind::Coat, Some(face)) => last[face as usize].map_or(recipe.coats.first, Direction::across).into(),
                (Kind::Scrape, _) => last[Face::Front as usize].map(Direction::across),
                (_, _) => None,
            };
            let taken = step.laid().and_then(|laid| laid.fact.direction).filter(|_| planned.is_some());
            let direction = taken.or(planned);
            if let (Some(_), Some(face), false) = (direction, face, matches!(step.became, Became::Skipped(_))) {
                last[face as usize] = direction;
            }
            let of = || self.steps.iter().filter(|s| s.place.kind == kind && s.place.face == face).count() as u32;
            Stage {
                kind,
                face,
                number: kind.counted().then_some(number),
                of: (kind.counted() && !kind.round()).then(of),
                direction,
            }
        })
    }

    /// Takes in one more fact of the story.
    ///
    /// # Errors
    /// A [`Refusal`] if it cannot be true; the panel is then untouched.
    pub fn after(&mut self, entry: &Entry<Event>) -> Result<(), Refusal> {
        let m = entry.moment();
        if let Event::Opened(_) = entry.event {
            return Err(Refusal::AlreadyOpened);
        }
        match self.phase_at(m) {
            Phase::Ready | Phase::Waiting => self.after_idle(entry, m),
            Phase::Working => self.after_working(entry, m),
            Phase::Finished => self.after_finished(entry, m),
            Phase::Abandoned => self.after_given_up(entry),
        }
    }

    fn after_idle(&mut self, entry: &Entry<Event>, m: Moment) -> Result<(), Refusal> {
        match &entry.event {
            Event::Started { .. } => self.start(entry.seq, m),
            Event::Done(done) => self.done(entry.seq, m, done),
            Event::Skipped { .. } => self.skip(entry.seq, m),
            Event::Extra => self.extra(entry.seq, m),
            Event::Repeated { why } => self.repeat(entry.seq, m, *why),
            Event::Dull => self.dull(entry.seq, m),
            Event::Away => self.leave(m),
            Event::Back => self.come_back(),
            Event::Abandoned { why } => self.give_up(m, why),
            Event::Alert { call, of } => self.raise(*call, *of),
            Event::Opened(_)
            | Event::Noted { .. }
            | Event::Weighed { .. }
            | Event::Inspected(_)
            | Event::Undone { .. }
            | Event::ClockStepped { .. }
            | Event::Slept { .. }
            | Event::Newer { .. } => Ok(()),
        }
    }

    fn after_working(&mut self, entry: &Entry<Event>, m: Moment) -> Result<(), Refusal> {
        let stage = self.hand().map(|at| self.stage(at)).ok_or(Refusal::NothingLeft)?;
        match &entry.event {
            Event::Started { .. } => Err(Refusal::AlreadyBegun { stage }),
            Event::Extra | Event::Repeated { .. } => Err(Refusal::UnderWay { stage }),
            Event::Opened(_)
            | Event::Done(_)
            | Event::Skipped { .. }
            | Event::Dull
            | Event::Away
            | Event::Back
            | Event::Abandoned { .. }
            | Event::Alert { .. }
            | Event::Noted { .. }
            | Event::Weighed { .. }
            | Event::Inspected(_)
            | Event::Undone { .. }
            | Event::ClockStepped { .. }
            | Event::Slept { .. }
            | Event::Newer { .. } => self.after_idle(entry, m),
        }
    }

    fn after_finished(&mut self, entry: &Entry<Event>, m: Moment) -> Result<(), Refusal> {
        match &entry.event {
            Event::Started { .. } | Event::Done(_) | Event::Skipped { .. } => Err(Refusal::NothingLeft),
            Event::Opened(_)
            | Event::Extra
            | Event::Repeated { .. }
            | Event::Dull
            | Event::Away
            | Event::Back
            | Event::Abandoned { .. }
            | Event::Alert { .. }
            | Event::Noted { .. }
            | Event::Weighed { .. }
            | Event::Inspected(_)
            | Event::Undone { .. }
            | Event::ClockStepped { .. }
            | Event::Slept { .. }
            | Event::Newer { .. } => self.after_idle(entry, m),
        }
    }

    fn after_given_up(&mut self, entry: &Entry<Event>) -> Result<(), Refusal> {
        match &entry.event {
            Event::Opened(_)
            | Event::Started { .. }
            | Event::Done(_)
            | Event::Skipped { .. }
            | Event::Extra
            | Event::Repeated { .. }
            | Event::Dull
            | Event::Away
            | Event::Back
            | Event::Abandoned { .. } => Err(Refusal::GivenUp),
            Event::Alert { call, of } => self.raise(*call, *of),
            Event::Noted { .. }
            | Event::Weighed { .. }
            | Event::Inspected(_)
            | Event::Undone { .. }
            | Event::ClockStepped { .. }
            | Event::Slept { .. }
            | Event::Newer { .. } => Ok(()),
        }
    }

    fn start(&mut self, seq: u64, m: Moment) -> Result<(), Refusal> {
        let at = self.hand().ok_or(Refusal::NothingLeft)?;
        let judged = self.judge(at, m);
        self.steps[at].became = Became::Begun(m);
        self.judged.insert(seq, judged);
        self.touch(m);
        Ok(())
    }

    fn done(&mut self, seq: u64, m: Moment, fact: &Done) -> Result<(), Refusal> {
        let at = self.hand().ok_or(Refusal::NothingLeft)?;
        self.fits(at, fact)?;
        let rough = self.steps[at].place.kind == Kind::Check && fact.map.as_ref().is_some_and(|map| !map.clear());
        // Found out before anything changes.
        let round = if rough { self.wants_round(at)? } else { None };
        let began = match self.steps[at].became {
            Became::Begun(began) => Some(began),
            Became::Coming | Became::Done(_) | Became::Skipped(_) => None,
        };
        let mut judged = match began {
            Some(_) => Judgement::of(self.stage(at)),
            None => self.judge(at, m),
        };
        self.steps[at].became = Became::Done(Box::new(Laid { seq, done: m, began, fact: fact.clone(), dull: None }));
        judged.stage = self.stage(at);
        self.judged.insert(seq, judged);
        self.last_act = Some(at);
        self.again = false;
        self.renew_wait_after(at);
        if let Some(level) = round {
            self.another_round(at, level);
        }
        self.touch(m);
        Ok(())
    }

    /// Whether direction and map of the fact belong to that place.
    fn fits(&self, at: usize, fact: &Done) -> Result<(), Refusal> {
        let stage = self.stage(at);
        if fact.direction.is_some() && stage.direction.is_none() {
            return Err(Refusal::NoDirectionHere { stage });
        }
        match (&fact.map, &self.opened.recipe.check) {
            (Some(map), Some(check)) if stage.kind == Kind::Check => {
                let (columns, rows) = (check.columns, check.rows);
                let fits = map_fits(map, columns, rows);
                if fits { Ok(()) } else { Err(Refusal::MapShape { columns, rows }) }
            }
            (Some(_), _) => Err(Refusal::NoMapHere { stage }),
            (None, _) => Ok(()),
        }
    }

    /// A wait the maker had ended holds again once something before it was done anew.
    fn renew_wait_after(&mut self, at: usize) {
        for step in self.steps.iter_mut().skip(at + 1).take_while(|s| s.place.kind.by_itself()) {
            step.became = Became::Coming;
        }
    }

    /// What levels the ground before it is checked again, after a check that showed something at that place; none where
    /// that round is there already.
    fn wants_round(&self, check_at: usize) -> Result<Option<Kind>, Refusal> {
        let level = if self.opened.recipe.scrape.is_some() { Kind::Scrape } else { Kind::Polish };
        if self.steps.get(check_at + 1).is_some_and(|s| s.open() && s.place.kind == level) {
            return Ok(None);
        }
        self.room_for(2)?;
        Ok(Some(level))
    }

    /// One more round of levelling and checking behind the check at that place, which called for it.
    fn another_round(&mut self, check_at: usize, level: Kind) {
        let called_by = self.steps[check_at].laid().map(|laid| laid.seq);
        let round = |kind| Step { called_by, ..Step::coming(Place::new(kind, Some(Face::Front), 0)) };
        self.steps.splice(check_at + 1..check_at + 1, [round(level), round(Kind::Check)]);
        self.renumber();
    }

    /// Numbers count within kind and face, in the order of the work, without holes.
    fn renumber(&mut self) {
        let mut counted: Vec<(Kind, Option<Face>, u32)> = Vec::new();
        for step in &mut self.steps {
            let Place { kind, face, number } = &mut step.place;
            match counted.iter_mut().find(|(k, f, _)| k == kind && f == face) {
                Some((.., last)) => *last += 1,
                None => counted.push((*kind, *face, 1)),
            }
            *number = counted.iter().find(|(k, f, _)| k == kind && f == face).map_or(1, |(.., last)| *last);
        }
    }

    fn skip(&mut self, seq: u64, m: Moment) -> Result<(), Refusal> {
        let wait = self.wait_in_force().filter(|w| w.runs_at(m)).and_then(|w| w.by_itself);
        let at = match wait {
            Some(at) => at,
            None => self.hand().ok_or(Refusal::NothingLeft)?,
        };
        self.judged.insert(seq, Judgement::of(self.stage(at)));
        self.steps[at].became = Became::Skipped(m);
        if wait.is_none() {
            self.again = false;
        }
        self.touch(m);
        Ok(())
    }

    fn extra(&mut self, seq: u64, m: Moment) -> Result<(), Refusal> {
        let last = self.last_act.ok_or(Refusal::NothingDoneYet)?;
        self.room_for(1)?;
        let Place { kind, face, .. } = self.steps[last].place;
        // The faces of one size coat follow each other, so one more goes behind both; a coat goes behind its own face's.
        let with_it = |s: &Step| s.place.kind == kind && (kind == Kind::Size || s.place.face == face);
        let at = 1 + self.steps.iter().rposition(with_it).unwrap_or(last);
        self.steps.insert(at, Step::coming(Place::new(kind, face, 0)));
        self.renumber();
        self.judged.insert(seq, Judgement::of(self.stage(at)));
        self.renew_wait_after(at);
        self.touch(m);
        Ok(())
    }

    fn repeat(&mut self, seq: u64, m: Moment, why: Flaw) -> Result<(), Refusal> {
        let last = self.last_act.ok_or(Refusal::NothingDoneYet)?;
        self.judged.insert(seq, Judgement::of(self.stage(last)));
        let step = &mut self.steps[last];
        if let Became::Done(laid) = std::mem::replace(&mut step.became, Became::Coming) {
            let seq = laid.seq;
            step.failed.push((*laid, why));
            self.forget_rounds_of(seq);
        }
        self.renew_wait_after(last);
        self.again = true;
        // What was done before it is the last act again; a second "repeat" goes one further back.
        self.last_act = self
            .steps
            .iter()
            .enumerate()
            .filter_map(|(i, s)| Some((i, s.laid()?.done.wall, s.laid()?.seq)))
            .max_by_key(|(_, at, seq)| (*at, *seq))
            .map(|(i, ..)| i);
        self.touch(m);
        Ok(())
    }

    /// The rounds a check called for are not called for while that check is to be done again.
    fn forget_rounds_of(&mut self, check: u64) {
        self.steps.retain(|s| !(s.open() && s.called_by == Some(check)));
        self.renumber();
    }

    fn dull(&mut self, seq: u64, m: Moment) -> Result<(), Refusal> {
        let at = self.drying().ok_or(Refusal::NothingDrying)?;
        let stage = self.stage(at);
        let Became::Done(laid) = &mut self.steps[at].became else { return Err(Refusal::NothingDrying) };
        if laid.dull.is_some() {
            return Err(Refusal::AlreadyDull { stage });
        }
        laid.dull = Some(m);
        self.judged.insert(seq, Judgement::of(stage));
        self.touch(m);
        Ok(())
    }

    /// The place of the coat that may go dull: the last act, if it was a coat and nothing was begun on its face since.
    fn drying(&self) -> Option<usize> {
        let at = self.last_act?;
        let Place { kind, face, .. } = self.steps[at].place;
        let wet = matches!(kind, Kind::Size | Kind::Stipple | Kind::Coat | Kind::Seal);
        let covered = self.steps.iter().any(|s| matches!(s.became, Became::Begun(_)) && s.place.face == face);
        (wet && !covered && !self.again).then_some(at)
    }

    fn leave(&mut self, m: Moment) -> Result<(), Refusal> {
        if self.away.is_some() {
            return Err(Refusal::AlreadyAway);
        }
        if !self.laying() {
            return Err(Refusal::NoAwayHere);
        }
        self.away = Some(m);
        Ok(())
    }

    fn come_back(&mut self) -> Result<(), Refusal> {
        self.away.take().map(|_| ()).ok_or(Refusal::NotAway)
    }

    /// Whether the panel is between stipple and last coat: something of the gesso is laid or begun, and more is to come.
    pub fn laying(&self) -> bool {
        let gesso = |s: &&Step| matches!(s.place.kind, Kind::Stipple | Kind::Coat);
        let begun = self.steps.iter().filter(gesso).any(|s| !matches!(s.became, Became::Coming));
        self.given_up.is_none() && begun && self.steps.iter().filter(gesso).any(Step::open)
    }

    fn give_up(&mut self, m: Moment, why: &str) -> Result<(), Refusal> {
        self.given_up = Some((m, why.to_owned()));
        self.touch(m);
        Ok(())
    }

    fn raise(&mut self, call: Call, of: u64) -> Result<(), Refusal> {
        if self.raised.insert((call, of)) { Ok(()) } else { Err(Refusal::AlreadyRaised { call }) }
    }

    fn room_for(&self, more: usize) -> Result<(), Refusal> {
        if self.steps.len() + more > PLACES_MAX { Err(Refusal::TooMany { most: PLACES_MAX }) } else { Ok(()) }
    }

    /// The panel moved; whoever moved it is back.
    fn touch(&mut self, m: Moment) {
        self.moved = m;
        self.away = None;
    }

    /// The pots its standing coats came from, each once, in the order of the work.
    pub fn pots(&self) -> Vec<&Id> {
        let mut pots: Vec<&Id> = Vec::new();
        for pot in self.steps.iter().filter_map(|s| s.laid()?.fact.pot.as_ref()) {
            if !pots.contains(&pot) {
                pots.push(pot);
            }
        }
        pots
    }
}

/// Whether a map has that shape.
fn map_fits(map: &CheckMap, columns: u32, rows: u32) -> bool {
    map.rows().len() == rows as usize && map.rows().iter().all(|r| r.len() == columns as usize)
}
