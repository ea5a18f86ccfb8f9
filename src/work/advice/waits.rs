//! What is said beside a countdown of the air: what it did to this wait, how long the maker's own coats took, and what
//! it means for sealing. An estimate says on what it rests.
//!
//! Absent on purpose: moving a due; it was fixed when the coat was laid.

use super::Tip;
use super::source::{DEW_RULE, DRYING_MODEL, OWN_MARKS};
use super::words::figure;
use crate::craft::physics::OutOfRange;
use crate::craft::physics::drying::DAMPEST_PCT;
use crate::craft::quantities::air::{SEAL_DAMPEST_PCT, SEAL_MARGIN_C, air};
use crate::units::{Humidity, Span};
use crate::work::air::{Air, Reading};
use crate::work::learn::{FEWEST, Learned, OwnDull};
use crate::work::panel::event::{Kind, Stage, WaitFrom};
use crate::work::panel::fixed::{Drying, bound, follows_air};
use crate::work::panel::fold::Panel;

/// A reading as the bench knows it.
fn drying(reading: Option<&Reading>) -> Drying {
    Drying::of(reading.map(|r| (r.temp, r.rh)))
}

/// What is said of a wait that runs.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Said {
    /// To stand beside the countdown: what the air did to it, how long the maker's own coats took.
    pub beside: Vec<Tip>,
    /// What is missing to tell the maker's own time.
    pub missing: Option<Tip>,
}

/// What is said of the wait in force of that panel. Nothing where no coat is waited for.
pub fn waits(panel: &Panel, air: &Air, learned: &Learned) -> Said {
    let Some(in_force) = panel.wait_in_force().filter(|w| w.by_itself.is_none() && w.dull.is_none()) else {
        return Said::default();
    };
    let Some((stage, _)) = panel.last_done().filter(|(stage, _)| follows_air(stage.kind)) else {
        return Said::default();
    };
    let reading = air.as_of(in_force.from.wall);
    let fixed = match in_force.wait.from {
        WaitFrom::RecipeAir => Some(lengthened(stage.kind, in_force.wait.span, in_force.recipe, panel, reading)),
        WaitFrom::Recipe => no_estimate(reading, in_force.recipe),
        WaitFrom::Maker => None,
    };
    let (own, missing) = own(&stage, learned, drying(reading));
    Said { beside: fixed.into_iter().chain(own).collect(), missing }
}

fn lengthened(kind: Kind, span: Span, recipe: Span, panel: &Panel, reading: Option<&Reading>) -> Tip {
    let times = span.minutes() / recipe.minutes().max(0.001);
    let capped = bound(kind, panel.recipe()).is_some_and(|most| span >= most && most > recipe);
    let air = reading.map_or_else(String::new, |r| format!(" ({:.0} C {:.0} %)", r.temp.c(), r.rh.pct()));
    let (min, own) = (figure((span.minutes() * 10.0).round() / 10.0), figure(recipe.minutes()));
    let said = match capped {
        true => format!("Wait {min} min: damp air{air}, held at the long gap."),
        false => format!("Wait {min} min: the recipe's {own} x {times:.2} for this air{air}."),
    };
    Tip::new(said, DRYING_MODEL)
}

/// No estimate is given in very damp air; the recipe's minutes stand.
fn no_estimate(reading: Option<&Reading>, recipe: Span) -> Option<Tip> {
    let own = figure(recipe.minutes());
    match (drying(reading), reading) {
        (Drying::Unknown(_), Some(r)) if r.rh.pct() > DAMPEST_PCT => Some(Tip::new(
            format!("{:.0} %: too damp for an estimate; the recipe's {own} min stand.", r.rh.pct()),
            DRYING_MODEL,
        )),
        (Drying::Unknown(OutOfRange { .. }), _) => {
            Some(Tip::new(format!("No estimate for this air; the recipe's {own} min stand."), DRYING_MODEL))
        }
        (Drying::Unread | Drying::Factor(_), _) => None,
    }
}

/// How long the maker's own coats took; and what is missing to say it.
fn own(stage: &Stage, learned: &Learned, drying: Drying) -> (Option<Tip>, Option<Tip>) {
    if !matches!(stage.kind, Kind::Stipple | Kind::Coat) {
        return (None, None);
    }
    let one = if stage.kind == Kind::Stipple { "stipples" } else { "coats" };
    let tip = |said: String| Some(Tip::new(said, OWN_MARKS));
    match learned.own_dull(stage.kind, drying) {
        OwnDull::Median { minutes, marks } => {
            (tip(format!("In such air your {one} went dull after {minutes:.0} min ({marks} marks).")), None)
        }
        OwnDull::TooFew { marks } => {
            (None, tip(format!("Your own time: {marks} of {FEWEST} dull marks in such air so far.")))
        }
        OwnDull::NoAir if drying == Drying::Unread => {
            (None, tip("Your own time: read the air (sottile air) to compare.".to_owned()))
        }
        OwnDull::NoAir => (None, None),
    }
}

/// What the air means for sealing, with the panel as warm as the room; none at other stages.
pub fn before_sealing(stage: &Stage, reading: Option<&Reading>) -> Option<Tip> {
    let reading = reading.filter(|_| stage.kind == Kind::Seal)?;
    let meaning = air(reading.temp, reading.rh, Some(reading.temp));
    let rh = Humidity::pct(reading.rh);
    let said = match (meaning.dew_point_c, meaning.surface_margin_c, meaning.seal_ok) {
        (Some(dew), ..) if rh > SEAL_DAMPEST_PCT => {
            format!("{rh:.0} %, dew point {dew:.0} C: damp, a seal may haze; {SEAL_DAMPEST_PCT} % at most.")
        }
        (Some(dew), Some(margin), Some(false)) => {
            format!("Dew point {dew:.0} C, only {margin:.1} K below the room: a seal may haze.")
        }
        (Some(dew), ..) => format!("Dew point {dew:.0} C: a panel under {:.0} C may haze.", dew + SEAL_MARGIN_C),
        (None, ..) => return None,
    };
    Some(Tip::new(said, DEW_RULE))
}
