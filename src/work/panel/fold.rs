//! The state of one panel and the one way it changes: [`Panel::after`].
//!
//! Facts come in the order they happened; take-backs and late facts are `story`'s. Absent on purpose: "now".

use super::event::{CheckMap, Face, Flaw, PanelCall, PanelEvent, PanelOpened, Stage, StageDone, StageKind};
use super::phase::PanelPhase;
use super::refusal::PanelRefusal;
use super::stage::{StageSlot, build_plan};
use super::stage_kind::DirectionRule;
use super::wait::IntervalJudgement;
use crate::craft::recipe::{Direction, Recipe};
use crate::units::{Entry, Id, Moment};
use std::collections::{BTreeMap, BTreeSet};

/// The most places a panel may have; far above any real one, so that a hostile story cannot grow without bound.
pub const STEPS_MAX: usize = 400;

/// An act done, with all that later facts are judged by.
#[derive(Debug, Clone, PartialEq)]
pub struct LaidCoat {
    /// The `seq` of the fact.
    pub seq: u64,
    /// When it was done.
    pub done_at: Moment,
    /// When it was begun, if that was recorded.
    pub began_at: Option<Moment>,
    /// The fact itself.
    pub event: StageDone,
    /// When its gloss was gone, if that was recorded.
    pub dull_at: Option<Moment>,
}

/// What became of a place in the plan.
#[derive(Debug, Clone, PartialEq)]
pub enum StepState {
    /// Still to come.
    Pending,
    /// Begun, not done.
    Begun(Moment),
    /// Done.
    Done(Box<LaidCoat>),
    /// Left out; for a cure, a drying or a rest: ended by the maker.
    Skipped(Moment),
}

/// A place in the plan, what became of it, and the attempts that were given up.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanStep {
    /// Which place.
    pub slot: StageSlot,
    /// What became of it.
    pub state: StepState,
    /// Attempts done again since, oldest first, each with its flaw.
    pub failed_attempts: Vec<(LaidCoat, Flaw)>,
    /// The `seq` of the check that called for it, where a check did.
    pub check_seq: Option<u64>,
}

impl PlanStep {
    fn new(place: StageSlot) -> PlanStep {
        PlanStep { slot: place, state: StepState::Pending, failed_attempts: Vec::new(), check_seq: None }
    }
    /// The act done here, if it stands.
    pub fn laid_coat(&self) -> Option<&LaidCoat> {
        match &self.state {
            StepState::Done(laid) => Some(laid),
            StepState::Pending | StepState::Begun(_) | StepState::Skipped(_) => None,
        }
    }
    /// Whether something is still to be done here.
    pub fn is_open(&self) -> bool {
        match self.state {
            StepState::Pending | StepState::Begun(_) => true,
            StepState::Done(_) | StepState::Skipped(_) => false,
        }
    }
}

/// The state of a panel.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    pub(super) opened: PanelOpened,
    pub(super) opened_at: Moment,
    pub(super) steps: Vec<PlanStep>,
    /// The place of the act last done.
    pub(super) last_done_index: Option<usize>,
    /// The last act is to be done again; no wait holds it back.
    pub(super) is_repeating: bool,
    pub(super) away_since: Option<Moment>,
    pub(super) abandoned: Option<(Moment, String)>,
    /// The last fact that moved the panel.
    pub(super) moved_at: Moment,
    pub(super) raised_calls: BTreeSet<(PanelCall, u64)>,
    pub(super) judgements: BTreeMap<u64, IntervalJudgement>,
}

impl Panel {
    /// The panel as its opening leaves it.
    ///
    /// # Errors
    /// [`Refusal::NotOpened`] if the entry is anything else.
    pub fn from_opening(entry: &Entry<PanelEvent>) -> Result<Panel, PanelRefusal> {
        match &entry.event {
            PanelEvent::Opened(opened) => Ok(Panel {
                steps: build_plan(&opened.recipe).into_iter().map(PlanStep::new).collect(),
                opened: (**opened).clone(),
                opened_at: entry.moment(),
                last_done_index: None,
                is_repeating: false,
                away_since: None,
                abandoned: None,
                moved_at: entry.moment(),
                raised_calls: BTreeSet::new(),
                judgements: BTreeMap::new(),
            }),
            PanelEvent::Started { .. }
            | PanelEvent::Done(_)
            | PanelEvent::Dull
            | PanelEvent::Noted { .. }
            | PanelEvent::Weighed { .. }
            | PanelEvent::Inspected(_)
            | PanelEvent::Extra
            | PanelEvent::Repeated { .. }
            | PanelEvent::Skipped { .. }
            | PanelEvent::Away
            | PanelEvent::Back
            | PanelEvent::Undone { .. }
            | PanelEvent::Abandoned { .. }
            | PanelEvent::Alert { .. }
            | PanelEvent::ClockStepped { .. }
            | PanelEvent::Slept { .. }
            | PanelEvent::Unknown { .. } => Err(PanelRefusal::NotOpened),
        }
    }

    /// What was said when it was opened.
    pub fn opened(&self) -> &PanelOpened {
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
    pub fn steps(&self) -> &[PlanStep] {
        &self.steps
    }
    /// Why it was given up, if it was.
    pub fn abandon_reason(&self) -> Option<&str> {
        self.abandoned.as_ref().map(|(_, why)| why.as_str())
    }
    /// Whether that call was raised for that fact's wait.
    pub fn has_raised(&self, call: PanelCall, of: u64) -> bool {
        self.raised_calls.contains(&(call, of))
    }
    /// How the fact of that `seq` was judged, if it was one that is.
    pub fn judgement(&self, seq: u64) -> Option<&IntervalJudgement> {
        self.judgements.get(&seq)
    }
    /// How the act done at that place was judged: at its start, and as the fact of that `seq`.
    pub fn step_judgements(&self, place: StageSlot, seq: u64) -> Vec<&IntervalJudgement> {
        let here = |j: &&IntervalJudgement| {
            (j.stage.kind, j.stage.face) == (place.kind, place.face) && j.stage.number.is_none_or(|n| n == place.number)
        };
        let began = self.judgements.range(..seq).next_back().map(|(_, j)| j).filter(here);
        began.into_iter().chain(self.judgements.get(&seq)).collect()
    }
    /// The act last done, with the place it was done at.
    pub fn last_done(&self) -> Option<(Stage, &LaidCoat)> {
        let at = self.last_done_index?;
        Some((self.stage_at(at), self.steps[at].laid_coat()?))
    }
    /// Standing coats laid on that face; the stipple is not counted.
    pub fn count_coats(&self, face: Face) -> usize {
        self.laid_coats_on(face).filter(|(step, _)| step.slot.kind == StageKind::Coat).count()
    }

    fn laid_coats_on(&self, face: Face) -> impl Iterator<Item = (&PlanStep, &LaidCoat)> {
        self.steps.iter().filter(move |s| s.slot.face == Some(face)).filter_map(|s| Some((s, s.laid_coat()?)))
    }

    /// The place of the act at hand: the first that is still to be done.
    pub(super) fn index_at_hand(&self) -> Option<usize> {
        self.steps.iter().position(|s| s.is_open() && !s.slot.kind.ends_by_itself())
    }

    /// The stage at that place, with its total and the direction it has or should have.
    pub(super) fn stage_at(&self, at: usize) -> Stage {
        self.stages().nth(at).unwrap_or(Stage {
            kind: StageKind::Prepare,
            face: None,
            number: None,
            total: None,
            direction: None,
        })
    }

    /// Every stage in order, directions worked out: each at right angles to the last standing one on its face.
    pub fn stages(&self) -> impl Iterator<Item = Stage> {
        let recipe = &self.opened.recipe;
        let mut last: [Option<Direction>; 3] = [None; 3];
        self.steps.iter().map(move |step| {
            let StageSlot { kind, face, number } = step.slot;
            let planned = match (kind.row().direction, face) {
                (DirectionRule::CrossFace, Some(face)) => {
                    Some(last[face as usize].map_or(recipe.coats.first, Direction::perpendicular))
                }
                (DirectionRule::CrossFront, _) => last[Face::Front as usize].map(Direction::perpendicular),
                (DirectionRule::CrossFace, None) | (DirectionRule::None, _) => None,
            };
            let taken = step.laid_coat().and_then(|laid| laid.event.direction).filter(|_| planned.is_some());
            let direction = taken.or(planned);
            if let (Some(_), Some(face), false) = (direction, face, matches!(step.state, StepState::Skipped(_))) {
                last[face as usize] = direction;
            }
            let of = || self.steps.iter().filter(|s| s.slot.kind == kind && s.slot.face == face).count() as u32;
            Stage {
                kind,
                face,
                number: kind.is_counted().then_some(number),
                total: (kind.is_counted() && !kind.is_round()).then(of),
                direction,
            }
        })
    }

    /// Takes in one more fact of the story.
    ///
    /// # Errors
    /// A [`Refusal`] if it cannot be true; the panel is then untouched.
    pub fn after(&mut self, entry: &Entry<PanelEvent>) -> Result<(), PanelRefusal> {
        let m = entry.moment();
        if let PanelEvent::Opened(_) = entry.event {
            return Err(PanelRefusal::AlreadyOpened);
        }
        match self.phase_at(m) {
            PanelPhase::Ready | PanelPhase::Waiting => self.after_idle(entry, m),
            PanelPhase::Working => self.after_working(entry, m),
            PanelPhase::Finished => self.after_finished(entry, m),
            PanelPhase::Abandoned => self.after_abandoned(entry),
        }
    }

    fn after_idle(&mut self, entry: &Entry<PanelEvent>, m: Moment) -> Result<(), PanelRefusal> {
        match &entry.event {
            PanelEvent::Started { .. } => self.start_stage(entry.seq, m),
            PanelEvent::Done(done) => self.finish_stage(entry.seq, m, done),
            PanelEvent::Skipped { .. } => self.skip_stage(entry.seq, m),
            PanelEvent::Extra => self.add_extra(entry.seq, m),
            PanelEvent::Repeated { why } => self.repeat_last(entry.seq, m, *why),
            PanelEvent::Dull => self.mark_dull(entry.seq, m),
            PanelEvent::Away => self.mark_away(m),
            PanelEvent::Back => self.mark_back(),
            PanelEvent::Abandoned { why } => self.abandon(m, why),
            PanelEvent::Alert { call, fact_seq: of } => self.raise_call(*call, *of),
            PanelEvent::Opened(_)
            | PanelEvent::Noted { .. }
            | PanelEvent::Weighed { .. }
            | PanelEvent::Inspected(_)
            | PanelEvent::Undone { .. }
            | PanelEvent::ClockStepped { .. }
            | PanelEvent::Slept { .. }
            | PanelEvent::Unknown { .. } => Ok(()),
        }
    }

    fn after_working(&mut self, entry: &Entry<PanelEvent>, m: Moment) -> Result<(), PanelRefusal> {
        let stage = self.index_at_hand().map(|at| self.stage_at(at)).ok_or(PanelRefusal::NothingLeft)?;
        match &entry.event {
            PanelEvent::Started { .. } => Err(PanelRefusal::AlreadyBegun { stage }),
            PanelEvent::Extra | PanelEvent::Repeated { .. } => Err(PanelRefusal::UnderWay { stage }),
            PanelEvent::Opened(_)
            | PanelEvent::Done(_)
            | PanelEvent::Skipped { .. }
            | PanelEvent::Dull
            | PanelEvent::Away
            | PanelEvent::Back
            | PanelEvent::Abandoned { .. }
            | PanelEvent::Alert { .. }
            | PanelEvent::Noted { .. }
            | PanelEvent::Weighed { .. }
            | PanelEvent::Inspected(_)
            | PanelEvent::Undone { .. }
            | PanelEvent::ClockStepped { .. }
            | PanelEvent::Slept { .. }
            | PanelEvent::Unknown { .. } => self.after_idle(entry, m),
        }
    }

    fn after_finished(&mut self, entry: &Entry<PanelEvent>, m: Moment) -> Result<(), PanelRefusal> {
        match &entry.event {
            PanelEvent::Started { .. } | PanelEvent::Done(_) | PanelEvent::Skipped { .. } => {
                Err(PanelRefusal::NothingLeft)
            }
            PanelEvent::Opened(_)
            | PanelEvent::Extra
            | PanelEvent::Repeated { .. }
            | PanelEvent::Dull
            | PanelEvent::Away
            | PanelEvent::Back
            | PanelEvent::Abandoned { .. }
            | PanelEvent::Alert { .. }
            | PanelEvent::Noted { .. }
            | PanelEvent::Weighed { .. }
            | PanelEvent::Inspected(_)
            | PanelEvent::Undone { .. }
            | PanelEvent::ClockStepped { .. }
            | PanelEvent::Slept { .. }
            | PanelEvent::Unknown { .. } => self.after_idle(entry, m),
        }
    }

    fn after_abandoned(&mut self, entry: &Entry<PanelEvent>) -> Result<(), PanelRefusal> {
        match &entry.event {
            PanelEvent::Opened(_)
            | PanelEvent::Started { .. }
            | PanelEvent::Done(_)
            | PanelEvent::Skipped { .. }
            | PanelEvent::Extra
            | PanelEvent::Repeated { .. }
            | PanelEvent::Dull
            | PanelEvent::Away
            | PanelEvent::Back
            | PanelEvent::Abandoned { .. } => Err(PanelRefusal::Abandoned),
            PanelEvent::Alert { call, fact_seq: of } => self.raise_call(*call, *of),
            PanelEvent::Noted { .. }
            | PanelEvent::Weighed { .. }
            | PanelEvent::Inspected(_)
            | PanelEvent::Undone { .. }
            | PanelEvent::ClockStepped { .. }
            | PanelEvent::Slept { .. }
            | PanelEvent::Unknown { .. } => Ok(()),
        }
    }

    fn start_stage(&mut self, seq: u64, m: Moment) -> Result<(), PanelRefusal> {
        let at = self.index_at_hand().ok_or(PanelRefusal::NothingLeft)?;
        let judged = self.judge_interval(at, m);
        self.steps[at].state = StepState::Begun(m);
        self.judgements.insert(seq, judged);
        self.mark_moved(m);
        Ok(())
    }

    fn finish_stage(&mut self, seq: u64, m: Moment, fact: &StageDone) -> Result<(), PanelRefusal> {
        let at = self.index_at_hand().ok_or(PanelRefusal::NothingLeft)?;
        self.check_done(at, fact)?;
        let rough =
            self.steps[at].slot.kind == StageKind::Check && fact.map.as_ref().is_some_and(|map| !map.is_clear());
        // Found out before anything changes.
        let round = if rough { self.next_round_kind(at)? } else { None };
        let began = match self.steps[at].state {
            StepState::Begun(began) => Some(began),
            StepState::Pending | StepState::Done(_) | StepState::Skipped(_) => None,
        };
        let mut judged = match began {
            Some(_) => IntervalJudgement::new(self.stage_at(at)),
            None => self.judge_interval(at, m),
        };
        self.steps[at].state = StepState::Done(Box::new(LaidCoat {
            seq,
            done_at: m,
            began_at: began,
            event: fact.clone(),
            dull_at: None,
        }));
        judged.stage = self.stage_at(at);
        self.judgements.insert(seq, judged);
        self.last_done_index = Some(at);
        self.is_repeating = false;
        self.renew_wait_after(at);
        if let Some(level) = round {
            self.add_round(at, level);
        }
        self.mark_moved(m);
        Ok(())
    }

    /// Whether direction and map of the fact belong to that place.
    fn check_done(&self, at: usize, fact: &StageDone) -> Result<(), PanelRefusal> {
        let stage = self.stage_at(at);
        if fact.direction.is_some() && stage.direction.is_none() {
            return Err(PanelRefusal::DirectionNotAllowed { stage });
        }
        match (&fact.map, &self.opened.recipe.check) {
            (Some(map), Some(check)) if stage.kind == StageKind::Check => {
                let (columns, rows) = (check.columns, check.rows);
                let fits = map_fits(map, columns, rows);
                if fits { Ok(()) } else { Err(PanelRefusal::MapShapeMismatch { columns, rows }) }
            }
            (Some(_), _) => Err(PanelRefusal::MapNotAllowed { stage }),
            (None, _) => Ok(()),
        }
    }

    /// A wait the maker had ended holds again once something before it was done anew.
    fn renew_wait_after(&mut self, at: usize) {
        for step in self.steps.iter_mut().skip(at + 1).take_while(|s| s.slot.kind.ends_by_itself()) {
            step.state = StepState::Pending;
        }
    }

    /// What levels the ground before it is checked again, after a check that showed something at that place; none where
    /// that round is there already.
    fn next_round_kind(&self, check_at: usize) -> Result<Option<StageKind>, PanelRefusal> {
        let level = if self.opened.recipe.scrape.is_some() { StageKind::Scrape } else { StageKind::Polish };
        if self.steps.get(check_at + 1).is_some_and(|s| s.is_open() && s.slot.kind == level) {
            return Ok(None);
        }
        self.check_room_for(2)?;
        Ok(Some(level))
    }

    /// One more round of levelling and checking behind the check at that place, which called for it.
    fn add_round(&mut self, check_at: usize, level: StageKind) {
        let called_by = self.steps[check_at].laid_coat().map(|laid| laid.seq);
        let round =
            |kind| PlanStep { check_seq: called_by, ..PlanStep::new(StageSlot::new(kind, Some(Face::Front), 0)) };
        self.steps.splice(check_at + 1..check_at + 1, [round(level), round(StageKind::Check)]);
        self.renumber();
    }

    /// Numbers count within kind and face, in the order of the work, without holes.
    fn renumber(&mut self) {
        let mut counted: Vec<(StageKind, Option<Face>, u32)> = Vec::new();
        for step in &mut self.steps {
            let StageSlot { kind, face, number } = &mut step.slot;
            match counted.iter_mut().find(|(k, f, _)| k == kind && f == face) {
                Some((.., last)) => *last += 1,
                None => counted.push((*kind, *face, 1)),
            }
            *number = counted.iter().find(|(k, f, _)| k == kind && f == face).map_or(1, |(.., last)| *last);
        }
    }

    fn skip_stage(&mut self, seq: u64, m: Moment) -> Result<(), PanelRefusal> {
        let wait = self.current_wait().filter(|w| w.is_running_at(m)).and_then(|w| w.self_ending_index);
        let at = match wait {
            Some(at) => at,
            None => self.index_at_hand().ok_or(PanelRefusal::NothingLeft)?,
        };
        self.judgements.insert(seq, IntervalJudgement::new(self.stage_at(at)));
        self.steps[at].state = StepState::Skipped(m);
        if wait.is_none() {
            self.is_repeating = false;
        }
        self.mark_moved(m);
        Ok(())
    }

    fn add_extra(&mut self, seq: u64, m: Moment) -> Result<(), PanelRefusal> {
        let last = self.last_done_index.ok_or(PanelRefusal::NothingDoneYet)?;
        self.check_room_for(1)?;
        let StageSlot { kind, face, .. } = self.steps[last].slot;
        let with_it = |s: &PlanStep| s.slot.kind == kind && (kind.row().spans_faces || s.slot.face == face);
        let at = 1 + self.steps.iter().rposition(with_it).unwrap_or(last);
        self.steps.insert(at, PlanStep::new(StageSlot::new(kind, face, 0)));
        self.renumber();
        self.judgements.insert(seq, IntervalJudgement::new(self.stage_at(at)));
        self.renew_wait_after(at);
        self.mark_moved(m);
        Ok(())
    }

    fn repeat_last(&mut self, seq: u64, m: Moment, why: Flaw) -> Result<(), PanelRefusal> {
        let last = self.last_done_index.ok_or(PanelRefusal::NothingDoneYet)?;
        self.judgements.insert(seq, IntervalJudgement::new(self.stage_at(last)));
        let step = &mut self.steps[last];
        if let StepState::Done(laid) = std::mem::replace(&mut step.state, StepState::Pending) {
            let seq = laid.seq;
            step.failed_attempts.push((*laid, why));
            self.remove_rounds_of(seq);
        }
        self.renew_wait_after(last);
        self.is_repeating = true;
        // What was done before it is the last act again; a second "repeat" goes one further back.
        self.last_done_index = self
            .steps
            .iter()
            .enumerate()
            .filter_map(|(i, s)| Some((i, s.laid_coat()?.done_at.wall, s.laid_coat()?.seq)))
            .max_by_key(|(_, at, seq)| (*at, *seq))
            .map(|(i, ..)| i);
        self.mark_moved(m);
        Ok(())
    }

    /// The rounds a check called for are not called for while that check is to be done again.
    fn remove_rounds_of(&mut self, check: u64) {
        self.steps.retain(|s| !(s.is_open() && s.check_seq == Some(check)));
        self.renumber();
    }

    fn mark_dull(&mut self, seq: u64, m: Moment) -> Result<(), PanelRefusal> {
        let at = self.drying_index().ok_or(PanelRefusal::NothingDrying)?;
        let stage = self.stage_at(at);
        let StepState::Done(laid) = &mut self.steps[at].state else { return Err(PanelRefusal::NothingDrying) };
        if laid.dull_at.is_some() {
            return Err(PanelRefusal::AlreadyDull { stage });
        }
        laid.dull_at = Some(m);
        self.judgements.insert(seq, IntervalJudgement::new(stage));
        self.mark_moved(m);
        Ok(())
    }

    /// The place of the coat that may go dull: the last act, if it was a coat and nothing was begun on its face since.
    fn drying_index(&self) -> Option<usize> {
        let at = self.last_done_index?;
        let StageSlot { kind, face, .. } = self.steps[at].slot;
        let covered = self.steps.iter().any(|s| matches!(s.state, StepState::Begun(_)) && s.slot.face == face);
        (kind.is_wet_coat() && !covered && !self.is_repeating).then_some(at)
    }

    fn mark_away(&mut self, m: Moment) -> Result<(), PanelRefusal> {
        if self.away_since.is_some() {
            return Err(PanelRefusal::AlreadyAway);
        }
        if !self.is_laying() {
            return Err(PanelRefusal::AwayNotAllowed);
        }
        self.away_since = Some(m);
        Ok(())
    }

    fn mark_back(&mut self) -> Result<(), PanelRefusal> {
        self.away_since.take().map(|_| ()).ok_or(PanelRefusal::NotAway)
    }

    /// Whether the panel is between stipple and last coat: something of the gesso is laid or begun, and more is to come.
    pub fn is_laying(&self) -> bool {
        let gesso = |s: &&PlanStep| s.slot.kind.is_gesso();
        let begun = self.steps.iter().filter(gesso).any(|s| !matches!(s.state, StepState::Pending));
        self.abandoned.is_none() && begun && self.steps.iter().filter(gesso).any(PlanStep::is_open)
    }

    fn abandon(&mut self, m: Moment, why: &str) -> Result<(), PanelRefusal> {
        self.abandoned = Some((m, why.to_owned()));
        self.mark_moved(m);
        Ok(())
    }

    fn raise_call(&mut self, call: PanelCall, of: u64) -> Result<(), PanelRefusal> {
        if self.raised_calls.insert((call, of)) { Ok(()) } else { Err(PanelRefusal::AlreadyRaised { call }) }
    }

    fn check_room_for(&self, more: usize) -> Result<(), PanelRefusal> {
        if self.steps.len() + more > STEPS_MAX { Err(PanelRefusal::TooManyStages { most: STEPS_MAX }) } else { Ok(()) }
    }

    /// The panel moved; whoever moved it is back.
    fn mark_moved(&mut self, m: Moment) {
        self.moved_at = m;
        self.away_since = None;
    }

    /// The pots its standing coats came from, each once, in the order of the work.
    pub fn pot_ids(&self) -> Vec<&Id> {
        let mut pots: Vec<&Id> = Vec::new();
        for pot in self.steps.iter().filter_map(|s| s.laid_coat()?.event.pot.as_ref()) {
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
