//! The wait in force between the last act and the next, and how a fact is judged by it: early, late, after a long gap.
//!
//! A wait is fixed when the coat is laid and only read here. Absent on purpose: "now"; every moment is an argument.

use super::event::{Face, Kind, Stage, Wait, WaitFrom};
use super::fold::{Became, Laid, Panel, Step};
use crate::craft::recipe::ReadySign;
use crate::units::{Moment, Span, Stamp};

/// Shorter than this, early and late are not spoken of (common practice, no source).
pub const TOLERANCE: Span = Span::from_s(30);

/// Wall clock and boot clock may drift this far apart before the boot clock is believed instead (K4).
const DRIFT: Span = Span::from_s(2);

/// The time from `from` to `to`: by the wall clock while both clocks agree, so that what is shown agrees with the times
/// written beside it; by the boot clock once the wall clock has jumped.
pub fn elapsed(from: Moment, to: Moment) -> Span {
    let wall = to.wall - from.wall;
    let exact = to.since(from);
    if (wall - exact).abs() <= DRIFT { wall } else { exact }
}

/// What a gap of that length between two coats means, in words. The sources differ on whether it matters; the ones that
/// lay all coats in one go say that a bone-dry coat holds the next less well (Cennini chs. 117-120; Rivers & Umney 2003).
pub fn gap_means(gap: Span) -> String {
    format!("{:.0} min since the coat below: it is bone dry, and the next bonds less well", gap.minutes())
}

/// How a recorded start or done stood to the wait before it.
#[derive(Debug, Clone, PartialEq)]
pub struct Judgement {
    /// The stage the fact belongs to, as the story now numbers it.
    pub stage: Stage,
    /// How much too early by the recipe's wait.
    pub early: Option<Span>,
    /// How much after the wait was over.
    pub late: Option<Span>,
    /// The interval, where it was longer than the recipe's bound: the surface was bone dry.
    pub gap: Option<Span>,
}

impl Judgement {
    /// A fact of that stage that no wait bears on.
    pub fn of(stage: Stage) -> Judgement {
        Judgement { stage, early: None, late: None, gap: None }
    }
}

/// A wait that runs or has run out, and that nothing was begun after.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InForce {
    /// The place of the cure, drying or rest, if it is one.
    pub by_itself: Option<usize>,
    /// The `seq` of the fact it runs from.
    pub of: u64,
    /// The moment it runs from.
    pub from: Moment,
    /// How long, and on what that rests.
    pub wait: Wait,
    /// How long the recipe says.
    pub recipe: Span,
    /// The gloss was gone then, which ended it.
    pub dull: Option<Moment>,
}

impl InForce {
    /// How much of it is left at that moment; negative once over.
    pub fn left_at(&self, m: Moment) -> Span {
        let left = self.wait.span - elapsed(self.from, m);
        // A mark given past due ends nothing any more.
        self.dull.map_or(left, |dull| left.min(-elapsed(dull, m)))
    }
    /// Whether it still runs at that moment.
    pub fn runs_at(&self, m: Moment) -> bool {
        self.left_at(m) > Span::ZERO
    }
    /// When it ends or ended, on the wall clock of that moment.
    pub fn due_at(&self, m: Moment) -> Stamp {
        m.wall + self.left_at(m)
    }
}

impl Panel {
    /// The wait the recipe gives a stage of that kind, if it has one of its own.
    pub fn recipe_wait(&self, kind: Kind) -> Option<Span> {
        let recipe = self.recipe();
        match kind {
            Kind::Size => Some(recipe.size.wait_min),
            Kind::Stipple => Some(recipe.stipple.wait_min),
            Kind::Coat => Some(recipe.coats.wait_min),
            Kind::Seal => Some(recipe.seal.wait_min),
            Kind::Prepare
            | Kind::Cloth
            | Kind::Cure
            | Kind::Dry
            | Kind::Scrape
            | Kind::Polish
            | Kind::Check
            | Kind::Rest
            | Kind::Sand => None,
        }
        .map(Span::from_min)
    }

    /// The wait between the last act and the act at hand, if there is one.
    pub fn wait_in_force(&self) -> Option<InForce> {
        let last = self.last_act?;
        if self.again || self.steps.iter().any(|s| matches!(s.became, Became::Begun(_))) {
            return None;
        }
        let hand = self.hand().unwrap_or(self.steps.len());
        let mut between = (last + 1..hand).filter(|i| self.steps[*i].place.kind.by_itself()).peekable();
        if between.peek().is_none() {
            return self.own_wait(last, hand);
        }
        let coming = between.filter(|i| matches!(self.steps[*i].became, Became::Coming));
        coming.filter_map(|at| self.wait_by_itself(at)).max_by_key(|w| w.from.wall + w.wait.span)
    }

    /// The wait after the act at `last`, if the act at `hand` has to wait for it.
    fn own_wait(&self, last: usize, hand: usize) -> Option<InForce> {
        let laid = self.steps[last].laid()?;
        let place = self.steps[last].place;
        // The faces of one size coat follow each other; the wait comes after both.
        let same_coat = |s: &Step| s.place.kind == Kind::Size && s.place.number == place.number;
        if place.kind == Kind::Size && self.steps.get(hand).is_some_and(same_coat) {
            return None;
        }
        let recipe = self.recipe_wait(place.kind)?;
        let fixed = laid.fact.wait.filter(|_| laid.fact.stage.is_none_or(|s| s.kind == place.kind));
        let gesso = matches!(place.kind, Kind::Stipple | Kind::Coat);
        let ends_dull = gesso && self.recipe().coats.ready_sign == ReadySign::Dull;
        Some(InForce {
            by_itself: None,
            of: laid.seq,
            from: laid.done,
            wait: fixed.unwrap_or(Wait { span: recipe, from: WaitFrom::Recipe }),
            recipe,
            dull: laid.dull.filter(|_| ends_dull),
        })
    }

    /// The cure, drying or rest at that place. It runs from the acts it belongs to; a cure waits for the cloth as well.
    fn wait_by_itself(&self, at: usize) -> Option<InForce> {
        let recipe = self.recipe();
        let runs = |laid: &Laid, span: Span| InForce {
            by_itself: Some(at),
            of: laid.seq,
            from: laid.done,
            wait: Wait { span, from: WaitFrom::Recipe },
            recipe: span,
            dull: None,
        };
        let last = |kinds: &[Kind]| {
            let laid = self.steps.iter().filter(|s| kinds.contains(&s.place.kind)).filter_map(Step::laid);
            laid.max_by_key(|laid| (laid.done.wall, laid.seq))
        };
        match self.steps[at].place.kind {
            Kind::Cure => {
                let size = last(&[Kind::Size]).map(|laid| runs(laid, Span::from_h(recipe.size.cure_h)));
                let rest_h = recipe.cloth.as_ref().map_or(0.0, |c| c.rest_h);
                let cloth = last(&[Kind::Cloth]).map(|laid| runs(laid, Span::from_h(rest_h)));
                size.into_iter().chain(cloth).max_by_key(|w| w.from.wall + w.wait.span)
            }
            Kind::Dry => {
                last(&[Kind::Stipple, Kind::Coat]).map(|laid| runs(laid, Span::from_min(recipe.coats.dry_min)))
            }
            Kind::Rest => {
                let ground = [Kind::Stipple, Kind::Coat, Kind::Scrape, Kind::Polish, Kind::Check];
                last(&ground).map(|laid| runs(laid, Span::from_h(recipe.rest.hours)))
            }
            Kind::Prepare
            | Kind::Size
            | Kind::Cloth
            | Kind::Stipple
            | Kind::Coat
            | Kind::Scrape
            | Kind::Polish
            | Kind::Check
            | Kind::Seal
            | Kind::Sand => None,
        }
    }

    /// How beginning the act at that place at that moment stands to the wait before it.
    pub(super) fn judge(&self, at: usize, m: Moment) -> Judgement {
        let mut judged = Judgement::of(self.stage(at));
        if let Some(wait) = self.wait_in_force() {
            let gone = elapsed(wait.from, m);
            let short = wait.recipe - gone;
            // The longer of both waits, so that no coat is early by one and late by the other.
            let over = gone - wait.wait.span.max(wait.recipe);
            judged.early = (wait.dull.is_none() && short > TOLERANCE).then_some(short);
            judged.late = (wait.by_itself.is_none() && over > TOLERANCE).then_some(over);
        }
        judged.gap = self.gap(at, m);
        judged
    }

    /// The interval since the coat below, where it is longer than the recipe allows.
    fn gap(&self, at: usize, m: Moment) -> Option<Span> {
        let place = self.steps[at].place;
        if place.kind != Kind::Coat || self.again {
            return None;
        }
        let below = |s: &&Step| {
            matches!(s.place.kind, Kind::Stipple | Kind::Coat) && s.place.face == place.face.or(Some(Face::Front))
        };
        let laid = self.steps.iter().filter(below).filter_map(Step::laid);
        let last = laid.max_by_key(|laid| (laid.done.wall, laid.seq))?;
        let interval = elapsed(last.done, m);
        (interval > Span::from_min(self.recipe().coats.long_gap_min)).then_some(interval)
    }
}
