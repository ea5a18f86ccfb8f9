//! What early and late mean for the act at hand, said while it can still be weighed.
//!
//! Sources disagree on the wait between coats: some lay each coat when the last has just gone dull, others dry fully each
//! time. The recipe's `ready_sign` says which way was taken, and these lines follow it. Absent on purpose: forbidding, and
//! the verdict on a recorded fact (`panel::wait`, told by `told`).

use super::Tip;
use super::source::*;
use super::words::lasting;
use crate::craft::recipe::{ReadySign, Recipe};
use crate::units::{Moment, Span};
use crate::work::panel::event::{Face, Kind, Stage};
use crate::work::panel::fold::Panel;
use crate::work::panel::wait::{TOLERANCE, elapsed};

/// The share of the time between due and the long gap during which nothing worse is said than that the sign has passed
/// (assumed).
const STILL_FINE: f64 = 0.5;

/// What it means that the act at hand is `late` past its due; `gone` is the time since the act below was done.
pub fn lateness(hand: &Stage, late: Span, gone: Span, recipe: &Recipe) -> Tip {
    match hand.kind {
        Kind::Coat | Kind::Stipple if follows_gesso(hand, recipe) => match recipe.coats.ready_sign {
            ReadySign::Dull => late_after_dull(late, gone, recipe),
            ReadySign::Dry => late_when_dry(gone, recipe),
        },
        Kind::Stipple | Kind::Coat => Tip::new("Late harms nothing: size may cure for days.", THOMPSON_SIZE),
        Kind::Size => Tip::new("Late harms nothing: size may dry longer.", THOMPSON_SIZE),
        Kind::Cloth => Tip::new("Late harms nothing: the size below may be dry.", COMMON),
        Kind::Scrape | Kind::Polish | Kind::Check => {
            Tip::new("Late harms nothing: the longer the ground dries, the better.", CENNINI_DRY)
        }
        Kind::Seal => Tip::new("Late harms nothing: a rested ground seals evenly.", COMMON),
        Kind::Sand => Tip::new("Late harms nothing: a hard seal sands cleaner.", COMMON),
        Kind::Prepare | Kind::Cure | Kind::Dry | Kind::Rest => Tip::new("Late harms nothing here.", COMMON),
    }
}

/// Whether gesso lies below on the same face: else the first there goes on to the size.
fn follows_gesso(hand: &Stage, recipe: &Recipe) -> bool {
    let tapped = hand.kind == Kind::Coat && hand.face != Some(Face::Back) && recipe.stipple.coats > 0;
    tapped || hand.number.is_some_and(|n| n > 1)
}

fn late_after_dull(late: Span, gone: Span, recipe: &Recipe) -> Tip {
    let bound = Span::from_min(recipe.coats.long_gap_min);
    let room = (bound - (gone - late)).minutes();
    if gone > bound {
        Tip::new("Bone dry: the next coat bonds less well. It is kept as a long gap.", DISPUTED)
    } else if late.minutes() > room * STILL_FINE {
        Tip::new(format!("Drying out: past {} it is bone dry.", lasting(bound)), RECIPE)
    } else {
        Tip::new("The dull sign has passed: lay it now.", SLADE)
    }
}

fn late_when_dry(gone: Span, recipe: &Recipe) -> Tip {
    let bound = Span::from_min(recipe.coats.long_gap_min);
    if gone > bound {
        let text = format!("Past {}: kept as a long gap; sources differ on the harm.", lasting(bound));
        Tip::new(text, DISPUTED)
    } else {
        Tip::new("Dry, as this recipe wants it: late does no harm yet.", DRY_SCHOOL)
    }
}

/// What it risks to do the act at hand `short` before its wait is over.
pub fn early(hand: &Stage, short: Span, recipe: &Recipe) -> Tip {
    let by = lasting(short);
    let (means, source) = match hand.kind {
        Kind::Coat | Kind::Stipple if follows_gesso(hand, recipe) => match recipe.coats.ready_sign {
            ReadySign::Dull => ("if it shines, the brush lifts the coat below", SLADE),
            ReadySign::Dry => ("this recipe wants it dry; water stays shut in", DRY_SCHOOL),
        },
        Kind::Coat if hand.face == Some(Face::Back) => ("a front still soft takes marks", COMMON),
        Kind::Stipple | Kind::Coat => ("damp size holds the ground less well", COMMON),
        Kind::Size => ("wet wood drinks less; size on top shines", COMMON),
        Kind::Cloth => ("damp size lets the linen slip", COMMON),
        Kind::Scrape => ("a soft ground tears and loads the blade", RIVERS_DRY),
        Kind::Polish => ("a soft ground lifts under the cloth", COMMON),
        Kind::Check => ("powder sticks to a damp ground", COMMON),
        Kind::Seal => ("shut-in damp can haze the seal", COMMON),
        Kind::Sand => ("a soft seal clogs the paper", COMMON),
        Kind::Prepare | Kind::Cure | Kind::Dry | Kind::Rest => ("recorded as early", COMMON),
    };
    Tip::new(format!("{by} early: {means}."), source)
}

/// What the wait of that panel means at that moment: late once it is over by more than half a minute, early while it
/// still runs by more than that; none where no wait is in force, or the act is due just now.
pub fn now_means(panel: &Panel, now: Moment) -> Option<Tip> {
    let wait = panel.wait_in_force()?;
    let hand = panel.at_hand()?;
    let left = wait.left_at(now);
    if left > TOLERANCE {
        Some(early(&hand, left, panel.recipe()))
    } else if -left > TOLERANCE {
        Some(lateness(&hand, -left, elapsed(wait.from, now), panel.recipe()))
    } else {
        None
    }
}
