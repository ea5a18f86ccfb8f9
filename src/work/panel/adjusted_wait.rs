//! The wait after a coat, fixed when it is laid: the recipe's minutes, lengthened by the air of that time.
//!
//! The air only lengthens, unless the maker lets it shorten, and never past the bound behind which a surface is bone
//! dry. Very damp air foretells nothing: the recipe's minutes then stand. Air recorded later changes nothing.

use super::event::{StageDone, StageKind, Wait, WaitOrigin};
use crate::craft::physics::{OutOfRange, drying};
use crate::craft::recipe::Recipe;
use crate::units::{Humidity, Span, Temperature};

/// A factor nearer to one than this changes no wait: it is half a minute in an hour (assumed).
const FACTOR_TOLERANCE: f64 = 0.01;

/// What the air of a moment does to waits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DryingEstimate {
    /// Nobody read the air.
    Unread,
    /// No estimate: too damp, or outside the formula's range.
    Unknown(OutOfRange),
    /// A coat takes so many times as long as at 20 C and 50 %.
    Factor(f64),
}

impl DryingEstimate {
    /// What air of that temperature and humidity does; none was read. See [`drying::wait_factor`] for source and range.
    pub fn from_air(air: Option<(Temperature, Humidity)>) -> DryingEstimate {
        let Some((temp, rh)) = air else { return DryingEstimate::Unread };
        match drying::wait_factor(temp.c(), rh.pct()) {
            Ok(factor) => DryingEstimate::Factor(factor),
            Err(range) => DryingEstimate::Unknown(range),
        }
    }

    /// The factor, where there is an estimate.
    pub const fn factor(self) -> Option<f64> {
        match self {
            DryingEstimate::Factor(factor) => Some(factor),
            DryingEstimate::Unread | DryingEstimate::Unknown(_) => None,
        }
    }
}

/// Minutes past which the air lengthens no wait of that kind: the long-gap bound, for coats that gesso follows.
pub fn adjusted_wait_max(kind: StageKind, recipe: &Recipe) -> Option<Span> {
    kind.is_gesso().then(|| Span::from_min(recipe.coats.long_gap_min))
}

/// Whether the air bears on the wait after a stage of that kind.
pub const fn is_air_dependent(kind: StageKind) -> bool {
    kind.row().waits_for_air
}

/// The wait after a stage of that kind: `recipe_wait` is the recipe's own, `may_shorten` the maker's leave.
pub fn adjust_wait(
    kind: StageKind,
    recipe_wait: Span,
    recipe: &Recipe,
    drying: DryingEstimate,
    may_shorten: bool,
) -> Wait {
    let plain = Wait { span: recipe_wait, origin: WaitOrigin::Recipe };
    let Some(factor) = drying.factor().filter(|f| f.is_finite() && is_air_dependent(kind)) else { return plain };
    if (factor - 1.0).abs() < FACTOR_TOLERANCE || (factor < 1.0 && !may_shorten) {
        return plain;
    }
    let span = Span::from_min(recipe_wait.minutes() * factor);
    // A recipe that waits beyond its own bound keeps its wait.
    let span = adjusted_wait_max(kind, recipe).map_or(span, |most| span.min(most.max(recipe_wait)));
    if span == recipe_wait { plain } else { Wait { span, origin: WaitOrigin::RecipeAir } }
}

impl StageDone {
    /// The same fact, its wait fixed by the air of its time. A wait that rests on anything but the recipe stays.
    #[must_use]
    pub fn with_adjusted_wait(self, recipe: &Recipe, drying: DryingEstimate, may_shorten: bool) -> StageDone {
        let kind = self.stage.map(|s| s.kind);
        let fixed = kind.zip(self.wait).map(|(kind, w)| match w.origin {
            WaitOrigin::Recipe => adjust_wait(kind, w.span, recipe, drying, may_shorten),
            WaitOrigin::RecipeAir | WaitOrigin::Maker => w,
        });
        StageDone { wait: fixed.or(self.wait), ..self }
    }
}
