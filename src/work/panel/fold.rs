//! The one way a panel changes: [`Panel::after`](StoryState::after).
//!
//! Facts come in the order they happened; take-backs and late facts are `story`'s.

use super::event::{CheckMap, Face, Flaw, PanelCall, PanelEvent, StageDone, StageKind};
use super::phase::PanelPhase;
use super::refusal::PanelRefusal;
use super::stage::{StageSlot, build_plan};
use super::state::{IntervalJudgement, LaidCoat, Panel, PlanStep, StepState};
use super::whereabouts::{Beholder, Placement, Whereabouts};
use crate::units::{Entry, Moment};
use crate::work::story::{CommonEvent, OrderRefusal, StoryState};
use std::collections::{BTreeMap, BTreeSet};

/// The most places a panel may have; far above any real one, so that a hostile story cannot grow without bound.
pub const STEPS_MAX: usize = 400;

impl StoryState for Panel {
    type Event = PanelEvent;
    type Refusal = PanelRefusal;
    const NOUN: &'static str = "panel";

    fn from_opening(entry: &Entry<PanelEvent>) -> Result<Panel, PanelRefusal> {
        let PanelEvent::Opened(opened) = &entry.event else { return Err(OrderRefusal::NotOpened.into()) };
        Ok(Panel {
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
            weighings: Vec::new(),
            thicknesses: Vec::new(),
            questions: BTreeMap::new(),
            placement: None,
        })
    }

    fn opened_at(&self) -> Moment {
        self.opened_at
    }

    fn after(&mut self, entry: &Entry<PanelEvent>) -> Result<(), PanelRefusal> {
        let m = entry.moment();
        match &entry.event {
            PanelEvent::Opened(_) => return Err(PanelRefusal::AlreadyOpened),
            // It comes before all else that happened, and moves nothing.
            PanelEvent::Corrected(correction) => {
                self.opened.correct(correction);
                return Ok(());
            }
            PanelEvent::Placed { whereabouts, to } => return self.place(*whereabouts, to.as_ref(), m),
            PanelEvent::Started { .. }
            | PanelEvent::Done(_)
            | PanelEvent::Dull
            | PanelEvent::Extra { .. }
            | PanelEvent::Repeated { .. }
            | PanelEvent::Skipped { .. }
            | PanelEvent::Away
            | PanelEvent::Back
            | PanelEvent::Abandoned { .. }
            | PanelEvent::Inspected(_)
            | PanelEvent::Thick { .. }
            | PanelEvent::Common(_) => {}
        }
        match self.phase_at(m) {
            PanelPhase::Ready | PanelPhase::Waiting => self.after_idle(entry, m),
            PanelPhase::Working => self.after_working(entry, m),
            PanelPhase::Finished => self.after_finished(entry, m),
            PanelPhase::Abandoned => self.after_abandoned(entry, m),
        }
    }
}

impl Panel {
    fn after_idle(&mut self, entry: &Entry<PanelEvent>, m: Moment) -> Result<(), PanelRefusal> {
        match &entry.event {
            PanelEvent::Started { .. } => self.start_stage(entry.seq, m),
            PanelEvent::Done(done) => self.finish_stage(entry.seq, m, done),
            PanelEvent::Skipped { .. } => self.skip_stage(entry.seq, m),
            PanelEvent::Extra { face } => self.add_extra(entry.seq, m, *face),
            PanelEvent::Repeated { why } => self.repeat_last(entry.seq, m, *why),
            PanelEvent::Dull => self.mark_dull(entry.seq, m),
            PanelEvent::Away => self.mark_away(m),
            PanelEvent::Back => self.mark_back(),
            PanelEvent::Abandoned { why } => self.abandon(m, why),
            PanelEvent::Thick { points } => {
                self.record_thickness(entry.seq, points);
                Ok(())
            }
            PanelEvent::Common(common) => self.after_common(entry.seq, m, common),
            PanelEvent::Opened(_) | PanelEvent::Inspected(_) | PanelEvent::Placed { .. } | PanelEvent::Corrected(_) => {
                Ok(())
            }
        }
    }

    fn after_working(&mut self, entry: &Entry<PanelEvent>, m: Moment) -> Result<(), PanelRefusal> {
        let stage = self.index_at_hand().map(|at| self.stage_at(at)).ok_or(PanelRefusal::NothingLeft)?;
        match &entry.event {
            PanelEvent::Started { .. } => Err(PanelRefusal::AlreadyBegun { stage }),
            PanelEvent::Extra { .. } | PanelEvent::Repeated { .. } => Err(PanelRefusal::UnderWay { stage }),
            PanelEvent::Opened(_)
            | PanelEvent::Done(_)
            | PanelEvent::Skipped { .. }
            | PanelEvent::Dull
            | PanelEvent::Away
            | PanelEvent::Back
            | PanelEvent::Abandoned { .. }
            | PanelEvent::Inspected(_)
            | PanelEvent::Thick { .. }
            | PanelEvent::Placed { .. }
            | PanelEvent::Corrected(_)
            | PanelEvent::Common(_) => self.after_idle(entry, m),
        }
    }

    fn after_finished(&mut self, entry: &Entry<PanelEvent>, m: Moment) -> Result<(), PanelRefusal> {
        match &entry.event {
            PanelEvent::Started { .. } | PanelEvent::Done(_) | PanelEvent::Skipped { .. } => {
                Err(PanelRefusal::NothingLeft)
            }
            PanelEvent::Opened(_)
            | PanelEvent::Extra { .. }
            | PanelEvent::Repeated { .. }
            | PanelEvent::Dull
            | PanelEvent::Away
            | PanelEvent::Back
            | PanelEvent::Abandoned { .. }
            | PanelEvent::Inspected(_)
            | PanelEvent::Thick { .. }
            | PanelEvent::Placed { .. }
            | PanelEvent::Corrected(_)
            | PanelEvent::Common(_) => self.after_idle(entry, m),
        }
    }

    fn after_abandoned(&mut self, entry: &Entry<PanelEvent>, m: Moment) -> Result<(), PanelRefusal> {
        match &entry.event {
            PanelEvent::Opened(_)
            | PanelEvent::Started { .. }
            | PanelEvent::Done(_)
            | PanelEvent::Skipped { .. }
            | PanelEvent::Extra { .. }
            | PanelEvent::Repeated { .. }
            | PanelEvent::Dull
            | PanelEvent::Away
            | PanelEvent::Back
            | PanelEvent::Abandoned { .. } => Err(PanelRefusal::Abandoned),
            PanelEvent::Common(common) => self.after_common(entry.seq, m, common),
            PanelEvent::Thick { points } => {
                self.record_thickness(entry.seq, points);
                Ok(())
            }
            PanelEvent::Inspected(_) | PanelEvent::Placed { .. } | PanelEvent::Corrected(_) => Ok(()),
        }
    }

    /// What comes back went away before.
    fn place(&mut self, whereabouts: Whereabouts, to: Option<&String>, since: Moment) -> Result<(), PanelRefusal> {
        let is_away = self.placement.as_ref().is_some_and(|p| p.whereabouts.beholder() == Beholder::Owner);
        if whereabouts == Whereabouts::Returned && !is_away {
            return Err(PanelRefusal::NotGone);
        }
        self.placement = Some(Placement { whereabouts, to: to.cloned(), since });
        Ok(())
    }

    fn after_common(&mut self, seq: u64, m: Moment, common: &CommonEvent<PanelCall>) -> Result<(), PanelRefusal> {
        match common {
            CommonEvent::Weighed { mass, offcut } => {
                self.record_weighing(seq, m, *mass, *offcut);
                Ok(())
            }
            CommonEvent::Alert { call, fact_seq } => self.raise_call(*call, *fact_seq),
            CommonEvent::Noted { .. }
            | CommonEvent::Undone { .. }
            | CommonEvent::ClockStepped { .. }
            | CommonEvent::Slept { .. }
            | CommonEvent::Filed(_)
            | CommonEvent::Unknown { .. } => Ok(()),
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

    /// The same of the wait that comes once this is done, where what lies between is done or left out already: the coats of
    /// the other face.
    fn renew_next_wait_after(&mut self, at: usize) {
        let to_come = |s: &&mut PlanStep| s.slot.kind.ends_by_itself() || !s.is_open();
        for step in self.steps.iter_mut().skip(at + 1).take_while(to_come).filter(|s| s.slot.kind.ends_by_itself()) {
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
            *number = match counted.iter_mut().find(|(k, f, _)| k == kind && f == face) {
                Some((.., last)) => {
                    *last += 1;
                    *last
                }
                None => {
                    counted.push((*kind, *face, 1));
                    1
                }
            };
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

    fn add_extra(&mut self, seq: u64, m: Moment, on: Option<Face>) -> Result<(), PanelRefusal> {
        let last = self.last_done_index.ok_or(PanelRefusal::NothingDoneYet)?;
        self.check_room_for(1)?;
        let StageSlot { kind, face, .. } = self.steps[last].slot;
        let other_face = on.filter(|on| Some(*on) != face);
        if let Some(face) = other_face.filter(|_| !matches!(kind, StageKind::Size | StageKind::Coat)) {
            return Err(PanelRefusal::NothingDoneOnFace { face });
        }
        let face = on.or(face);
        let with_it = |s: &PlanStep| s.slot.kind == kind && (kind.row().spans_faces || s.slot.face == face);
        let alike = self.steps.iter().rposition(with_it);
        let at = 1 + alike.or_else(|| self.steps.iter().rposition(|s| s.slot.kind == kind)).unwrap_or(last);
        self.steps.insert(at, PlanStep::new(StageSlot::new(kind, face, 0)));
        self.last_done_index = self.last_done_index.map(|last| if last < at { last } else { last + 1 });
        self.renumber();
        self.judgements.insert(seq, IntervalJudgement::new(self.stage_at(at)));
        self.renew_wait_after(at);
        if on.is_some() {
            self.renew_next_wait_after(at);
        }
        self.mark_moved(m);
        Ok(())
    }

    /// The place of the act done last among those.
    fn last_laid_index(&self, of: impl Fn(&PlanStep) -> bool) -> Option<usize> {
        let laid = self.steps.iter().enumerate().filter(|(_, s)| of(s)).filter_map(|(i, s)| Some((i, s.laid_coat()?)));
        laid.max_by_key(|(_, laid)| (laid.done_at.wall, laid.seq)).map(|(i, _)| i)
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
        self.last_done_index = self.last_laid_index(|_| true);
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
    pub(super) fn drying_index(&self) -> Option<usize> {
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

    fn abandon(&mut self, m: Moment, reason: &str) -> Result<(), PanelRefusal> {
        self.abandoned = Some((m, reason.to_owned()));
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
}

/// Whether a map has that shape.
fn map_fits(map: &CheckMap, columns: u32, rows: u32) -> bool {
    map.rows().len() == rows as usize && map.rows().iter().all(|r| r.len() == columns as usize)
}
