//! What is said beside a countdown of the air: what it did to this wait, how long the maker's own coats took, and what
//! it means for sealing. An estimate says on what it rests.
//!
//! They never move a due: it was fixed when the coat was laid.

use super::Tip;
use super::source::{DEW_RULE, DRYING_MODEL, OWN_MARKS};
use super::words::format_figure;
use crate::craft::physics::OutOfRange;
use crate::craft::physics::drying::MAX_HUMIDITY_PCT;
use crate::craft::quantities::air_properties::{MAX_SEAL_HUMIDITY_PCT, MIN_SEAL_MARGIN_C, compute_air_properties};
use crate::units::{Humidity, Span};
use crate::work::air::{Air, AirReading};
use crate::work::learn::{LearnedTimes, MARKS_MIN, OwnDullTime};
use crate::work::panel::adjusted_wait::{DryingEstimate, adjusted_wait_max, is_air_dependent};
use crate::work::panel::event::{Stage, StageKind, WaitOrigin};
use crate::work::panel::state::Panel;

/// A reading as the bench knows it.
fn drying_estimate(reading: Option<&AirReading>) -> DryingEstimate {
    DryingEstimate::from_air(reading.map(|r| (r.temp, r.rh)))
}

/// What is said of a wait that runs.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct WaitAdvice {
    /// To stand beside the countdown: what the air did to it, how long the maker's own coats took.
    pub tips: Vec<Tip>,
    /// What is missing to tell the maker's own time.
    pub missing_tip: Option<Tip>,
}

/// What is said of the wait in force of that panel. Nothing where no coat is waited for.
pub fn wait_advice(panel: &Panel, air: &Air, learned: &LearnedTimes) -> WaitAdvice {
    let Some(in_force) = panel.current_wait().filter(|w| w.self_ending_index.is_none() && w.dull_at.is_none()) else {
        return WaitAdvice::default();
    };
    let Some((stage, _)) = panel.last_done().filter(|(stage, _)| is_air_dependent(stage.kind)) else {
        return WaitAdvice::default();
    };
    let reading = air.reading_as_of(in_force.started_at.wall);
    let fixed = match in_force.wait.origin {
        WaitOrigin::RecipeAir => {
            Some(lengthened_tip(stage.kind, in_force.wait.span, in_force.recipe_span, panel, reading))
        }
        WaitOrigin::Recipe => no_estimate_tip(reading, in_force.recipe_span),
        WaitOrigin::Maker => None,
    };
    let (own, missing) = own_time_tips(&stage, learned, drying_estimate(reading));
    WaitAdvice { tips: fixed.into_iter().chain(own).collect(), missing_tip: missing }
}

fn lengthened_tip(kind: StageKind, span: Span, recipe: Span, panel: &Panel, reading: Option<&AirReading>) -> Tip {
    let times = span.minutes() / recipe.minutes().max(0.001);
    let capped = adjusted_wait_max(kind, panel.recipe()).is_some_and(|most| span >= most && most > recipe);
    let air = reading.map_or_else(String::new, |r| format!(" ({:.0} C {:.0} %)", r.temp.c(), r.rh.pct()));
    let (min, own) = (format_figure(span.minutes()), format_figure(recipe.minutes()));
    let message = match capped {
        true => format!("Wait {min} min: damp air{air}, held at the long gap."),
        false => format!("Wait {min} min: the recipe's {own} x {times:.2} for this air{air}."),
    };
    Tip::new(message, DRYING_MODEL)
}

/// No estimate is given in very damp air; the recipe's minutes stand.
fn no_estimate_tip(reading: Option<&AirReading>, recipe: Span) -> Option<Tip> {
    let own = format_figure(recipe.minutes());
    match (drying_estimate(reading), reading) {
        (DryingEstimate::Unknown(_), Some(r)) if r.rh.pct() > MAX_HUMIDITY_PCT => Some(Tip::new(
            format!("{:.0} %: too damp for an estimate; the recipe's {own} min stand.", r.rh.pct()),
            DRYING_MODEL,
        )),
        (DryingEstimate::Unknown(OutOfRange { .. }), _) => {
            Some(Tip::new(format!("No estimate for this air; the recipe's {own} min stand."), DRYING_MODEL))
        }
        (DryingEstimate::Unread | DryingEstimate::Factor(_), _) => None,
    }
}

/// How long the maker's own coats took; and what is missing to say it.
fn own_time_tips(stage: &Stage, learned: &LearnedTimes, drying: DryingEstimate) -> (Option<Tip>, Option<Tip>) {
    if !stage.kind.is_gesso() {
        return (None, None);
    }
    let one = if stage.kind == StageKind::Stipple { "stipples" } else { "coats" };
    let tip = |message: String| Some(Tip::new(message, OWN_MARKS));
    match learned.own_dull_time(stage.kind, drying) {
        OwnDullTime::Median { minutes, marks } => {
            (tip(format!("In such air your {one} went dull after {minutes:.0} min ({marks} marks).")), None)
        }
        OwnDullTime::TooFew { marks } => {
            (None, tip(format!("Your own time: {marks} of {MARKS_MIN} dull marks in such air so far.")))
        }
        OwnDullTime::NoAir if drying == DryingEstimate::Unread => {
            (None, tip("Your own time: read the air (sottile air) to compare.".to_owned()))
        }
        OwnDullTime::NoAir => (None, None),
    }
}

/// What the air means for sealing, with the panel as warm as the room; none at other stages.
pub fn sealing_tip(stage: &Stage, reading: Option<&AirReading>) -> Option<Tip> {
    let reading = reading.filter(|_| stage.kind == StageKind::Seal)?;
    let meaning = compute_air_properties(reading.temp, reading.rh, Some(reading.temp));
    let rh = Humidity::pct(reading.rh);
    let message = match (meaning.dew_point_c, meaning.surface_margin_c, meaning.can_seal) {
        (Some(dew), ..) if rh > MAX_SEAL_HUMIDITY_PCT => {
            format!("{rh:.0} %, dew point {dew:.0} C: damp, a seal may haze; {MAX_SEAL_HUMIDITY_PCT} % at most.")
        }
        (Some(dew), Some(margin), Some(false)) => {
            format!("Dew point {dew:.0} C, only {margin:.1} K below the room: a seal may haze.")
        }
        (Some(dew), ..) => format!("Dew point {dew:.0} C: a panel under {:.0} C may haze.", dew + MIN_SEAL_MARGIN_C),
        (None, ..) => return None,
    };
    Some(Tip::new(message, DEW_RULE))
}
