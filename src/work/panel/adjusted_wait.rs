//! The wait after a coat, fixed when it is laid: the recipe's minutes, lengthened by the air of that time.
//!
//! The air only lengthens, unless the maker lets it shorten, and never past the recipe's long gap: by then somebody is to
//! look. Very damp air holds the wait there. Air recorded later changes nothing.

use super::event::{StageDone, StageKind, Wait, WaitOrigin};
use crate::craft::physics::{OutOfRange, drying};
use crate::craft::recipe::Recipe;
use crate::units::{Humidity, Span, Temperature};

/// A factor nearer to one than this changes no wait: it is half a minute in an hour (assumed).
const FACTOR_TOLERANCE: f64 = 0.01;

/// The shortest wait that marks can set (assumed).
const OWN_WAIT_MIN: Span = Span::from_s(60);

/// What the air of a moment does to waits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DryingEstimate {
    /// Nobody read the air.
    Unread,
    /// No estimate: outside the formula's range.
    Unknown(OutOfRange),
    /// A coat takes so many times as long as at 20 C and 50 %.
    Factor(f64),
    /// Too damp for an estimate: at least so many times.
    TooDamp(f64),
}

impl DryingEstimate {
    /// What air of that temperature and humidity does; none was read. See [`drying::wait_factor`] for source and range.
    pub fn from_air(air: Option<(Temperature, Humidity)>) -> DryingEstimate {
        let Some((temp, rh)) = air else { return DryingEstimate::Unread };
        let most = drying::MAX_HUMIDITY_PCT;
        let is_too_damp = rh.pct() > most && rh.pct() <= 100.0;
        match drying::wait_factor(temp.c(), if is_too_damp { most } else { rh.pct() }) {
            Ok(factor) if is_too_damp => DryingEstimate::TooDamp(factor),
            Ok(factor) => DryingEstimate::Factor(factor),
            Err(range) => DryingEstimate::Unknown(range),
        }
    }

    /// The factor, where there is an estimate; in air that is too damp for one, the least it can be.
    pub const fn factor(self) -> Option<f64> {
        match self {
            DryingEstimate::Factor(factor) | DryingEstimate::TooDamp(factor) => Some(factor),
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
    let bound = adjusted_wait_max(kind, recipe).map(|most| most.max(recipe_wait));
    let span = match drying {
        DryingEstimate::TooDamp(_) => bound.unwrap_or(span),
        DryingEstimate::Factor(_) | DryingEstimate::Unread | DryingEstimate::Unknown(_) => {
            bound.map_or(span, |most| span.min(most))
        }
    };
    if span == recipe_wait { plain } else { Wait { span, origin: WaitOrigin::RecipeAir } }
}

/// The maker's own wait after a stage of that kind: never past the recipe's long gap, nor next to nothing.
pub fn own_wait_within_bounds(kind: StageKind, recipe: &Recipe, own: Span) -> Span {
    adjusted_wait_max(kind, recipe).map_or(own, |most| own.min(most)).max(OWN_WAIT_MIN)
}

impl StageDone {
    /// The same fact with what the air of its time did, and its wait fixed by it. A wait that rests on anything but the
    /// recipe stays.
    #[must_use]
    pub fn with_adjusted_wait(self, recipe: &Recipe, drying: DryingEstimate, may_shorten: bool) -> StageDone {
        let kind = self.stage.map(|s| s.kind);
        let fixed = kind.zip(self.wait).map(|(kind, w)| match w.origin {
            WaitOrigin::Recipe => adjust_wait(kind, w.span, recipe, drying, may_shorten),
            WaitOrigin::RecipeAir | WaitOrigin::Maker => w,
        });
        let air_factor = kind.filter(|k| is_air_dependent(*k)).and(drying.factor()).filter(|f| f.is_finite());
        StageDone { wait: fixed.or(self.wait), air_factor, ..self }
    }

    /// The same fact, its wait the maker's own: so long their coats took to go dull in such air. Never past the recipe's
    /// long gap.
    #[must_use]
    pub fn with_own_wait(self, recipe: &Recipe, own: Span) -> StageDone {
        let span = self.stage.map_or(own, |stage| own_wait_within_bounds(stage.kind, recipe, own));
        StageDone { wait: self.wait.map(|_| Wait { span, origin: WaitOrigin::Maker }), ..self }
    }
}
