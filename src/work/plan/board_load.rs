//! What one board still asks of the hands in this session: its coats of gesso, the minutes of each, and the waits after.

use crate::craft::physics::cooling;
use crate::craft::recipe::Recipe;
use crate::units::{Id, Moment, Span, Stamp};
use crate::work::learn::LearnedTimes;
use crate::work::panel::adjusted_wait::{DryingEstimate, adjust_wait};
use crate::work::panel::event::StageKind;
use crate::work::panel::phase::PanelPhase;
use crate::work::panel::state::Panel;
use crate::work::panel::wait::elapsed;
use crate::work::pot::forecast::ROOM_DEFAULT_C;

/// How far the wait factor of the air may be off, as a factor each way: formulas of its kind are 30 % apart
/// (`craft::physics::drying`).
const FACTOR_SPREAD: f64 = 1.15;
/// Work on a face takes at least so long, whatever its size (assumed).
const WORK_MIN: Span = Span::from_s(30);
/// A board joins the session if its first coat may go on within so long (assumed).
const JOINS_WITHIN: Span = Span::from_s(2 * 3600);

/// How many times as long as the recipe's the waits are in this air, at least and at most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WaitFactors {
    /// At least.
    pub low: f64,
    /// At most.
    pub high: f64,
}

impl WaitFactors {
    /// What that air does, as far as the model can tell; none where there is no estimate. Air that may not shorten a wait
    /// gives no factor below 1.
    pub fn from_estimate(drying: DryingEstimate, may_shorten: bool) -> Option<WaitFactors> {
        let factor = drying.factor().filter(|f| f.is_finite())?;
        let least = if may_shorten { 0.0 } else { 1.0 };
        Some(WaitFactors { low: (factor / FACTOR_SPREAD).max(least), high: (factor * FACTOR_SPREAD).max(least) })
    }
}

/// One coat that is still to be laid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RemainingCoat {
    /// Stipple or coat.
    pub kind: StageKind,
    /// The hand is busy with it for so long.
    pub work: Span,
    /// The wait after it, at least and at most.
    pub wait: (Span, Span),
}

/// The coats of gesso one board still asks for.
#[derive(Debug, Clone, PartialEq)]
pub struct BoardLoad {
    /// Which board.
    pub id: Id,
    /// What the maker calls it, as typed.
    pub label: String,
    /// When the wait that runs, or is over, ends; none where the next coat waits for nothing.
    pub due_at: Option<Stamp>,
    /// The first of `coats` is begun.
    pub is_in_hand: bool,
    /// Gesso lies on it, or is being laid.
    pub has_begun: bool,
    /// When the coat that lies on top was done, where one does.
    pub last_done_at: Option<Stamp>,
    /// Longer than this between two coats, and the surface is bone dry.
    pub long_gap: Span,
    /// What melting the pot again and thinning a bowl take, once each.
    pub pot_work: Span,
    /// How long a pot stays liquid out of the bath.
    pub pot_liquid: Span,
    /// The coats in the order of the work; at least one.
    pub coats: Vec<RemainingCoat>,
}

impl BoardLoad {
    /// What that panel still asks for. None where no gesso is to be laid in this session: all of it lies, or something
    /// else comes first, or the wait before it goes on for more than two hours.
    pub fn from_panel(
        panel: &Panel,
        now: Moment,
        learned: &LearnedTimes,
        wait_factors: Option<WaitFactors>,
    ) -> Option<BoardLoad> {
        let status = panel.status(now);
        let joins = status.stage_to_record().is_some_and(|stage| stage.kind.is_gesso())
            && status.time_left.is_none_or(|left| left <= JOINS_WITHIN);
        let is_in_hand = status.phase == PanelPhase::Working;
        let opened = panel.opened();
        let open = panel.steps().iter().filter(|step| step.slot.kind.is_gesso() && step.is_open());
        let mut coats: Vec<RemainingCoat> = open
            .map(|step| {
                let kind = step.slot.kind;
                let work = Span::from_min(learned.work_minutes(kind, opened)).max(WORK_MIN);
                RemainingCoat { kind, work, wait: wait_range(kind, panel, wait_factors) }
            })
            .collect();
        let first = coats.first_mut().filter(|_| joins)?;
        if is_in_hand {
            // Over its time, it may be done any moment.
            first.work = (first.work - (now.wall - status.since)).max(Span::ZERO).min(first.work);
        }
        let laid = panel.last_done().filter(|(stage, _)| stage.kind.is_gesso()).map(|(_, laid)| laid.done_at);
        let gesso = &opened.recipe.gesso;
        Some(BoardLoad {
            id: opened.id.clone(),
            label: opened.label.clone(),
            due_at: status.due_at,
            is_in_hand,
            has_begun: is_in_hand || laid.is_some(),
            last_done_at: laid.map(|done| now.wall - elapsed(done, now)),
            long_gap: panel.long_gap_now(),
            pot_work: Span::from_min(gesso.melt_min + gesso.bowl_min),
            pot_liquid: liquid_span(&opened.recipe),
            coats,
        })
    }

    /// What panels still ask for, in the order given.
    pub fn from_panels<'a>(
        panels: impl IntoIterator<Item = (&'a Panel, Moment)>,
        learned: &LearnedTimes,
        wait_factors: Option<WaitFactors>,
    ) -> Vec<BoardLoad> {
        panels.into_iter().filter_map(|(panel, now)| BoardLoad::from_panel(panel, now, learned, wait_factors)).collect()
    }

    /// The longest minutes a coat of it.
    pub fn longest_work(&self) -> Span {
        self.coats.iter().map(|coat| coat.work).max().unwrap_or(WORK_MIN)
    }

    /// The shortest wait between two of its coats; none where only one is left.
    pub fn shortest_wait(&self) -> Option<Span> {
        let (_last, before) = self.coats.split_last()?;
        before.iter().map(|coat| coat.wait.0).min()
    }
}

/// The wait after a stage of that kind in air of those factors, at least and at most.
fn wait_range(kind: StageKind, panel: &Panel, factors: Option<WaitFactors>) -> (Span, Span) {
    let own = panel.recipe_wait(kind).unwrap_or(Span::ZERO);
    // What may not shorten gives no factor below one.
    let adjusted = |factor| adjust_wait(kind, own, panel.recipe(), DryingEstimate::Factor(factor), true).span;
    factors.map_or((own, own), |f| (adjusted(f.low), adjusted(f.high)))
}

/// How long a pot of that recipe stays liquid from the middle of its working temperatures in a room of 20 C (assumed).
fn liquid_span(recipe: &Recipe) -> Span {
    let gesso = &recipe.gesso;
    let start_c = gesso.work_c[0] / 2.0 + gesso.work_c[1] / 2.0;
    let minutes = cooling::minutes_until(start_c, ROOM_DEFAULT_C, gesso.time_constant_min, gesso.gels_at_c);
    Span::from_min(minutes.unwrap_or(gesso.time_constant_min))
}
