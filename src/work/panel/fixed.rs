//! The wait after a coat, fixed when it is laid: the recipe's minutes, lengthened by the air of that time.
//!
//! The air only lengthens, unless the maker lets it shorten, and never past the bound behind which a surface is bone dry.
//! Very damp air foretells nothing: the recipe's minutes then stand. Absent on purpose: which reading holds (`work::air`),
//! how a fact is judged by its wait (`wait`), later air.

use super::event::{Done, Kind, Wait, WaitFrom};
use crate::craft::physics::{OutOfRange, drying};
use crate::craft::recipe::Recipe;
use crate::units::{Humidity, Span, Temperature};

/// A factor nearer to one than this changes no wait: it is half a minute in an hour (assumed).
const ALIKE: f64 = 0.01;

/// What the air of a moment does to waits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Drying {
    /// Nobody read the air.
    Unread,
    /// No estimate: too damp, or outside the formula's range.
    Unknown(OutOfRange),
    /// A coat takes so many times as long as at 20 C and 50 %.
    Factor(f64),
}

impl Drying {
    /// What air of that temperature and humidity does; none was read. See [`drying::wait_factor`] for source and range.
    pub fn of(air: Option<(Temperature, Humidity)>) -> Drying {
        let Some((temp, rh)) = air else { return Drying::Unread };
        match drying::wait_factor(temp.c(), rh.pct()) {
            Ok(factor) => Drying::Factor(factor),
            Err(range) => Drying::Unknown(range),
        }
    }

    /// The factor, where there is an estimate.
    pub const fn factor(self) -> Option<f64> {
        match self {
            Drying::Factor(factor) => Some(factor),
            Drying::Unread | Drying::Unknown(_) => None,
        }
    }
}

/// Minutes past which the air lengthens no wait of that kind: the long-gap bound, for coats that gesso follows.
pub fn bound(kind: Kind, recipe: &Recipe) -> Option<Span> {
    matches!(kind, Kind::Stipple | Kind::Coat).then(|| Span::from_min(recipe.coats.long_gap_min))
}

/// Whether the air bears on the wait after a stage of that kind.
pub const fn follows_air(kind: Kind) -> bool {
    matches!(kind, Kind::Size | Kind::Stipple | Kind::Coat)
}

/// The wait after a stage of that kind: `recipe_wait` is the recipe's own, `may_shorten` the maker's leave.
pub fn wait(kind: Kind, recipe_wait: Span, recipe: &Recipe, drying: Drying, may_shorten: bool) -> Wait {
    let plain = Wait { span: recipe_wait, from: WaitFrom::Recipe };
    let Some(factor) = drying.factor().filter(|f| f.is_finite() && follows_air(kind)) else { return plain };
    if (factor - 1.0).abs() < ALIKE || (factor < 1.0 && !may_shorten) {
        return plain;
    }
    let span = Span::from_min(recipe_wait.minutes() * factor);
    // A recipe that waits beyond its own bound keeps its wait.
    let span = bound(kind, recipe).map_or(span, |most| span.min(most.max(recipe_wait)));
    if span == recipe_wait { plain } else { Wait { span, from: WaitFrom::RecipeAir } }
}

impl Done {
    /// The same fact, its wait fixed by the air of its time. A wait that rests on anything but the recipe stays.
    #[must_use]
    pub fn in_air(self, recipe: &Recipe, drying: Drying, may_shorten: bool) -> Done {
        let kind = self.stage.map(|s| s.kind);
        let fixed = kind.zip(self.wait).map(|(kind, w)| match w.from {
            WaitFrom::Recipe => wait(kind, w.span, recipe, drying, may_shorten),
            WaitFrom::RecipeAir | WaitFrom::Maker => w,
        });
        Done { wait: fixed.or(self.wait), ..self }
    }
}
