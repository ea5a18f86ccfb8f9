//! The state of one panel: the places of its plan, what became of each, and how its facts were judged.
//!
//! How it changes is in `fold`, what it waits for in `wait`, where it stands at a moment in `phase`.

use super::event::{Face, Flaw, PanelCall, PanelOpened, Stage, StageDone, StageKind};
use super::measured::{PanelQuestion, PanelWeighing};
use super::stage::StageSlot;
use super::stage_kind::DirectionRule;
use super::whereabouts::{Beholder, Placement};
use crate::craft::recipe::{Direction, Recipe};
use crate::units::{Id, Length, Moment, Span};
use std::collections::{BTreeMap, BTreeSet};
use strum::VariantArray;

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
    pub(super) fn new(place: StageSlot) -> PlanStep {
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

/// How a recorded start or done stood to the wait before it.
#[derive(Debug, Clone, PartialEq)]
pub struct IntervalJudgement {
    /// The stage the fact belongs to, as the story now numbers it.
    pub stage: Stage,
    /// How much too early by the recipe's wait.
    pub early_by: Option<Span>,
    /// How much after the wait was over.
    pub late_by: Option<Span>,
    /// The interval, where it was longer than the recipe's bound: the surface was bone dry.
    pub long_gap: Option<Span>,
}

impl IntervalJudgement {
    /// A fact of that stage that no wait bears on.
    pub fn new(stage: Stage) -> IntervalJudgement {
        IntervalJudgement { stage, early_by: None, late_by: None, long_gap: None }
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
    pub(super) weighings: Vec<PanelWeighing>,
    /// At points; the first as the bare board.
    pub(super) thicknesses: Vec<Vec<Length>>,
    pub(super) questions: BTreeMap<u64, Vec<PanelQuestion>>,
    pub(super) placement: Option<Placement>,
}

/// How many kinds of stage there are.
const STAGE_KINDS: usize = <StageKind as VariantArray>::VARIANTS.len();

#[cfg(test)]
thread_local! {
    /// How many places were looked at to tell stages, for tests of how work grows.
    pub(super) static STEP_VISITS: std::cell::Cell<u64> = const { std::cell::Cell::new(0) };
}

fn count_visit() {
    #[cfg(test)]
    STEP_VISITS.with(|visits| visits.set(visits.get() + 1));
}

const fn face_index(face: Option<Face>) -> usize {
    match face {
        Some(face) => face as usize,
        None => 3,
    }
}

impl Panel {
    /// What was said when it was opened.
    pub fn opened(&self) -> &PanelOpened {
        &self.opened
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
        self.abandoned.as_ref().map(|(_, reason)| reason.as_str())
    }
    /// What became of it, where that was said.
    pub fn placement(&self) -> Option<&Placement> {
        self.placement.as_ref()
    }
    /// Who can look it over.
    pub fn beholder(&self) -> Beholder {
        self.placement.as_ref().map_or(Beholder::Maker, |p| p.whereabouts.beholder())
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
        self.stages().nth(at).expect("a place is one of the steps, and each step is a stage")
    }

    /// The direction of the last standing coat below that stage, on its face.
    pub fn direction_below(&self, stage: Stage) -> Option<Direction> {
        let face = if stage.face == Some(Face::Back) { Face::Back } else { Face::Front };
        let below = self.stages().zip(&self.steps).take_while(|(s, _)| !s.is_same_slot(&stage));
        let on_face = below.filter(|(s, step)| s.face == Some(face) && step.laid_coat().is_some());
        on_face.filter_map(|(s, _)| s.direction).last()
    }

    /// Every stage in order, directions worked out: each at right angles to the last standing one on its face.
    pub fn stages(&self) -> impl Iterator<Item = Stage> {
        let recipe = &self.opened.recipe;
        let mut last: [Option<Direction>; 3] = [None; 3];
        let totals = self.stage_totals();
        self.steps.iter().map(move |step| {
            count_visit();
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
            let of = || totals[kind as usize][face_index(face)];
            Stage {
                kind,
                face,
                number: kind.is_counted().then_some(number),
                total: (kind.is_counted() && !kind.is_round()).then(of),
                direction,
            }
        })
    }

    /// How many places there are of each kind on each face, counted in one pass: a story asks for it with every fact.
    fn stage_totals(&self) -> [[u32; 4]; STAGE_KINDS] {
        let mut totals = [[0; 4]; STAGE_KINDS];
        for StageSlot { kind, face, .. } in self.steps.iter().inspect(|_| count_visit()).map(|s| s.slot) {
            totals[kind as usize][face_index(face)] += 1;
        }
        totals
    }

    /// Whether the panel is between stipple and last coat: something of the gesso is laid or begun, and more is to come.
    pub fn is_laying(&self) -> bool {
        let gesso = |s: &&PlanStep| s.slot.kind.is_gesso();
        let begun = self.steps.iter().filter(gesso).any(|s| !matches!(s.state, StepState::Pending));
        self.abandoned.is_none() && begun && self.steps.iter().filter(gesso).any(PlanStep::is_open)
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
