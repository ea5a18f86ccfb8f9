//! The wait in force between the last act and the next, and how a fact is judged by it: early, late, after a long gap.
//!
//! A wait is fixed when the coat is laid and only read here.

use super::event::{Face, StageKind, Wait, WaitOrigin};
use super::state::{IntervalJudgement, LaidCoat, Panel, PlanStep, StepState};
use crate::craft::recipe::ReadySign;
use crate::units::{Moment, Span, Stamp};

/// Shorter than this, early and late are not spoken of (common practice, no source).
pub const TOLERANCE: Span = Span::from_s(30);

/// Wall clock and boot clock may drift this far apart before the boot clock is believed instead.
const CLOCK_DRIFT_MAX: Span = Span::from_s(2);

/// The time from `from` to `to`: by the wall clock while both clocks agree, so that what is shown agrees with the times
/// written beside it; by the boot clock once the wall clock has jumped.
pub fn elapsed(from: Moment, to: Moment) -> Span {
    let wall = to.wall - from.wall;
    let exact = to.since(from);
    if (wall - exact).abs() <= CLOCK_DRIFT_MAX { wall } else { exact }
}

/// What a gap of that length between two coats means, in words. The sources differ on whether it matters; the ones that
/// lay all coats in one go say that a bone-dry coat holds the next less well (Cennini chs. 117-120; Rivers & Umney 2003).
pub fn describe_long_gap(gap: Span) -> String {
    format!("{:.0} min since the coat below: it is bone dry, and the next bonds less well", gap.minutes())
}

/// A wait that runs or has run out, and that nothing was begun after.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurrentWait {
    /// The place of the cure, drying or rest, if it is one.
    pub self_ending_index: Option<usize>,
    /// The `seq` of the fact it runs from.
    pub fact_seq: u64,
    /// The moment it runs from.
    pub started_at: Moment,
    /// How long, and on what that rests.
    pub wait: Wait,
    /// How long the recipe says.
    pub recipe_span: Span,
    /// The gloss was gone then, which ended it.
    pub dull_at: Option<Moment>,
}

impl CurrentWait {
    /// How much of it is left at that moment; negative once over.
    pub fn time_left_at(&self, m: Moment) -> Span {
        let left = self.wait.span - elapsed(self.started_at, m);
        // A mark given past due ends nothing any more.
        self.dull_at.map_or(left, |dull| left.min(-elapsed(dull, m)))
    }
    /// Whether it still runs at that moment.
    pub fn is_running_at(&self, m: Moment) -> bool {
        self.time_left_at(m) > Span::ZERO
    }
    /// When it ends or ended, on the wall clock of that moment.
    pub fn due_at(&self, m: Moment) -> Stamp {
        m.wall + self.time_left_at(m)
    }
}

impl Panel {
    /// The wait the recipe gives a stage of that kind, if it has one of its own.
    pub fn recipe_wait(&self, kind: StageKind) -> Option<Span> {
        kind.row().wait_min.map(|wait_min| Span::from_min(wait_min(self.recipe())))
    }

    /// The wait between the last act and the act at hand, if there is one.
    pub fn current_wait(&self) -> Option<CurrentWait> {
        if self.is_repeating || self.steps.iter().any(|s| matches!(s.state, StepState::Begun(_))) {
            return None;
        }
        let hand = self.index_at_hand().unwrap_or(self.steps.len());
        let behind_last = self.last_done_index.map_or(0, |last| last + 1);
        let mut between = (behind_last..hand).filter(|i| self.steps[*i].slot.kind.ends_by_itself()).peekable();
        if between.peek().is_none() {
            return self.wait_after_act(self.last_done_index?, hand);
        }
        let coming = between.filter(|i| matches!(self.steps[*i].state, StepState::Pending));
        coming.filter_map(|at| self.self_ending_wait(at)).max_by_key(|w| w.started_at.wall + w.wait.span)
    }

    /// The wait after the act at `last`, if the act at `hand` has to wait for it.
    fn wait_after_act(&self, last: usize, hand: usize) -> Option<CurrentWait> {
        let laid = self.steps[last].laid_coat()?;
        let place = self.steps[last].slot;
        let same_coat = |s: &PlanStep| s.slot.kind == place.kind && s.slot.number == place.number;
        if place.kind.row().spans_faces && self.steps.get(hand).is_some_and(same_coat) {
            return None;
        }
        let recipe = self.recipe_wait(place.kind)?;
        let fixed = laid.event.wait.filter(|_| laid.event.stage.is_none_or(|s| s.kind == place.kind));
        let ends_dull = place.kind.is_gesso() && self.recipe().coats.ready_sign == ReadySign::Dull;
        Some(CurrentWait {
            self_ending_index: None,
            fact_seq: laid.seq,
            started_at: laid.done_at,
            wait: fixed.unwrap_or(Wait { span: recipe, origin: WaitOrigin::Recipe }),
            recipe_span: recipe,
            dull_at: laid.dull_at.filter(|_| ends_dull),
        })
    }

    /// The cure, drying or rest at that place. It runs from the acts it belongs to; a cure waits for the cloth as well.
    fn self_ending_wait(&self, at: usize) -> Option<CurrentWait> {
        let recipe = self.recipe();
        let runs = |laid: &LaidCoat, span: Span| CurrentWait {
            self_ending_index: Some(at),
            fact_seq: laid.seq,
            started_at: laid.done_at,
            wait: Wait { span, origin: WaitOrigin::Recipe },
            recipe_span: span,
            dull_at: None,
        };
        let last = |belongs: fn(StageKind) -> bool| {
            let laid = self.steps.iter().filter(|s| belongs(s.slot.kind)).filter_map(PlanStep::laid_coat);
            laid.max_by_key(|laid| (laid.done_at.wall, laid.seq))
        };
        match self.steps[at].slot.kind {
            StageKind::Cure => {
                let size =
                    last(|kind| kind == StageKind::Size).map(|laid| runs(laid, Span::from_h(recipe.size.cure_h)));
                let rest_h = recipe.cloth.as_ref().map_or(0.0, |c| c.rest_h);
                let cloth = last(|kind| kind == StageKind::Cloth).map(|laid| runs(laid, Span::from_h(rest_h)));
                size.into_iter().chain(cloth).max_by_key(|w| w.started_at.wall + w.wait.span)
            }
            StageKind::Dry => last(StageKind::is_gesso).map(|laid| runs(laid, Span::from_min(recipe.coats.dry_min))),
            StageKind::Rest => last(|kind| (StageKind::Stipple..StageKind::Rest).contains(&kind))
                .map(|laid| runs(laid, Span::from_h(recipe.rest.hours))),
            StageKind::Prepare
            | StageKind::Size
            | StageKind::Cloth
            | StageKind::Stipple
            | StageKind::Coat
            | StageKind::Scrape
            | StageKind::Polish
            | StageKind::Check
            | StageKind::Seal
            | StageKind::Sand => None,
        }
    }

    /// How beginning the act at that place at that moment stands to the wait before it.
    pub(super) fn judge_interval(&self, at: usize, m: Moment) -> IntervalJudgement {
        let mut judged = IntervalJudgement::new(self.stage_at(at));
        if let Some(wait) = self.current_wait() {
            let gone = elapsed(wait.started_at, m);
            // The longer of both waits, so that no coat is early by one and late by the other; where the maker's own
            // minutes set the wait, they alone.
            let (least, most) = match wait.wait.origin {
                WaitOrigin::Maker => (wait.wait.span, wait.wait.span),
                WaitOrigin::Recipe | WaitOrigin::RecipeAir => (wait.recipe_span, wait.wait.span.max(wait.recipe_span)),
            };
            let (short, over) = (least - gone, gone - most);
            judged.early_by = (wait.dull_at.is_none() && short > TOLERANCE).then_some(short);
            judged.late_by = (wait.self_ending_index.is_none() && over > TOLERANCE).then_some(over);
        }
        judged.long_gap = self.long_gap(at, m);
        judged
    }

    /// The interval since the coat below, where it is longer than the recipe allows.
    fn long_gap(&self, at: usize, m: Moment) -> Option<Span> {
        let place = self.steps[at].slot;
        if place.kind != StageKind::Coat || self.is_repeating {
            return None;
        }
        let below = |s: &&PlanStep| s.slot.kind.is_gesso() && s.slot.face == place.face.or(Some(Face::Front));
        let laid = self.steps.iter().filter(below).filter_map(PlanStep::laid_coat);
        let last = laid.max_by_key(|laid| (laid.done_at.wall, laid.seq))?;
        let interval = elapsed(last.done_at, m);
        (interval > self.long_gap_after(last)).then_some(interval)
    }

    /// The gap after that coat past which its surface is bone dry: the recipe's bound, times what the air of its time did
    /// where that was read; never less than the wait it was called for with.
    pub fn long_gap_after(&self, laid: &LaidCoat) -> Span {
        let bound = self.recipe().coats.long_gap_min;
        match laid.event.air_factor.filter(|factor| factor.is_finite() && *factor > 0.0) {
            Some(factor) => Span::from_min(bound * factor).max(laid.event.wait.map_or(Span::ZERO, |wait| wait.span)),
            None => Span::from_min(bound),
        }
    }

    /// The same after the coat laid last; the recipe's bound where none lies.
    pub fn long_gap_now(&self) -> Span {
        let laid = self.last_done().filter(|(stage, _)| stage.kind.is_gesso()).map(|(_, laid)| laid);
        laid.map_or_else(|| Span::from_min(self.recipe().coats.long_gap_min), |laid| self.long_gap_after(laid))
    }
}
