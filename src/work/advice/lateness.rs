//! What early and late mean for the act at hand, said while it can still be weighed.
//!
//! Sources disagree on the wait between coats: some lay each coat when the last has just gone dull, others dry fully
//! each time. The recipe's `ready_sign` says which way was taken, and these lines follow it. They never forbid; the
//! verdict on a recorded fact is `panel::wait`'s.

use super::Tip;
use super::source::*;
use crate::craft::recipe::{ReadySign, Recipe};
use crate::text::format_wait_span;
use crate::units::{Moment, Span};
use crate::work::panel::event::{Face, Stage, StageKind};
use crate::work::panel::state::Panel;
use crate::work::panel::wait::{TOLERANCE, elapsed};

/// The share of the time between due and the long gap during which nothing worse is said than that the sign has passed
/// (assumed).
const STILL_FINE_SHARE: f64 = 0.5;

/// What it means that the act at hand is `late` past its due; `gone` is the time since the act below was done, `bound` the
/// time after which that is bone dry.
pub fn lateness_tip(hand: &Stage, late: Span, gone: Span, bound: Span, recipe: &Recipe) -> Tip {
    match hand.kind {
        StageKind::Coat | StageKind::Stipple if is_on_gesso(hand, recipe) => match recipe.coats.ready_sign {
            ReadySign::Dull => late_after_dull_tip(late, gone, bound),
            ReadySign::Dry => late_when_dry_tip(gone, bound),
        },
        StageKind::Stipple | StageKind::Coat => Tip::new("Late harms nothing: size may cure for days.", THOMPSON_SIZE),
        StageKind::Size => Tip::new("Late harms nothing: size may dry longer.", THOMPSON_SIZE),
        StageKind::Cloth => Tip::new("Late harms nothing: the size below may be dry.", COMMON),
        StageKind::Scrape | StageKind::Polish | StageKind::Check => {
            Tip::new("Late harms nothing: the longer the ground dries, the better.", CENNINI_DRY)
        }
        StageKind::Seal => Tip::new("Late harms nothing: a rested ground seals evenly.", COMMON),
        StageKind::Sand => Tip::new("Late harms nothing: a hard seal sands cleaner.", COMMON),
        StageKind::Prepare | StageKind::Cure | StageKind::Dry | StageKind::Rest => {
            Tip::new("Late harms nothing here.", COMMON)
        }
    }
}

/// Whether gesso lies below on the same face: else the first there goes on to the size.
fn is_on_gesso(hand: &Stage, recipe: &Recipe) -> bool {
    let tapped = hand.kind == StageKind::Coat && hand.face != Some(Face::Back) && recipe.stipple.coats > 0;
    tapped || hand.number.is_some_and(|n| n > 1)
}

fn late_after_dull_tip(late: Span, gone: Span, bound: Span) -> Tip {
    let room = (bound - (gone - late)).minutes();
    if gone > bound {
        Tip::new("Bone dry: the next coat bonds less well. It is kept as a long gap.", DISPUTED)
    } else if late.minutes() > room * STILL_FINE_SHARE {
        Tip::new(format!("Drying out: past {} it is bone dry.", format_wait_span(bound)), RECIPE)
    } else {
        Tip::new("The dull sign has passed: lay it now.", SLADE)
    }
}

fn late_when_dry_tip(gone: Span, bound: Span) -> Tip {
    if gone > bound {
        let text = format!("Past {}: kept as a long gap; sources differ on the harm.", format_wait_span(bound));
        Tip::new(text, DISPUTED)
    } else {
        Tip::new("Dry, as this recipe wants it: late does no harm yet.", DRY_SCHOOL)
    }
}

/// What it risks to do the act at hand `short` before its wait is over.
pub fn earliness_tip(hand: &Stage, short: Span, recipe: &Recipe) -> Tip {
    let by = format_wait_span(short);
    let (means, source) = match hand.kind {
        StageKind::Coat | StageKind::Stipple if is_on_gesso(hand, recipe) => match recipe.coats.ready_sign {
            ReadySign::Dull => ("if it shines, the brush lifts the coat below", SLADE),
            ReadySign::Dry => ("this recipe wants it dry; water stays shut in", DRY_SCHOOL),
        },
        StageKind::Coat if hand.face == Some(Face::Back) => ("a front still soft takes marks", COMMON),
        StageKind::Stipple | StageKind::Coat => ("damp size holds the ground less well", COMMON),
        StageKind::Size => ("wet wood drinks less; size on top shines", COMMON),
        StageKind::Cloth => ("damp size lets the linen slip", COMMON),
        StageKind::Scrape => ("a soft ground tears and loads the blade", RIVERS_DRY),
        StageKind::Polish => ("a soft ground lifts under the cloth", COMMON),
        StageKind::Check => ("powder sticks to a damp ground", COMMON),
        StageKind::Seal => ("shut-in damp can haze the seal", COMMON),
        StageKind::Sand => ("a soft seal clogs the paper", COMMON),
        StageKind::Prepare | StageKind::Cure | StageKind::Dry | StageKind::Rest => ("recorded as early", COMMON),
    };
    Tip::new(format!("{by} early: {means}."), source)
}

/// What the wait of that panel means at that moment: late once it is over by more than half a minute, early while it
/// still runs by more than that; none where no wait is in force, or the act is due just now.
pub fn current_wait_tip(panel: &Panel, now: Moment) -> Option<Tip> {
    let wait = panel.current_wait()?;
    let hand = panel.stage_at_hand()?;
    let left = wait.time_left_at(now);
    if left > TOLERANCE {
        Some(earliness_tip(&hand, left, panel.recipe()))
    } else if -left > TOLERANCE {
        let gone = elapsed(wait.started_at, now);
        Some(lateness_tip(&hand, -left, gone, panel.long_gap_now(), panel.recipe()))
    } else {
        None
    }
}
