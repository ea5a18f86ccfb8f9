//! What is said beside a countdown of the air: what it did to this wait, how long the maker's own coats took, and what
//! it means for sealing. An estimate says on what it rests.
//!
//! They never move a due: it was fixed when the coat was laid. What the estimate leaves out is said once, on the page of
//! advice.

use super::Tip;
use super::source::{DEW_RULE, DRYING_LIMITS, DRYING_MODEL, OWN_MARKS};
use super::words::format_figure;
use crate::craft::physics::OutOfRange;
use crate::craft::physics::drying;
use crate::craft::quantities::air_properties::{MAX_SEAL_HUMIDITY_PCT, MIN_SEAL_MARGIN_C, compute_air_properties};
use crate::text::{UnitSystem, format_count, format_temperature_difference};
use crate::units::{Humidity, Span};
use crate::work::air::{Air, AirReading};
use crate::work::learn::{DullPrediction, LearnedTimes, OwnDullTime};
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
    /// What the estimate of the air leaves out, where there is one.
    pub limits_tip: Option<Tip>,
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
        WaitOrigin::Maker => {
            let minutes = format_figure(in_force.wait.span.minutes());
            Some(Tip::new(format!("Wait {minutes} min: your own time, not the recipe's."), OWN_MARKS))
        }
    };
    let estimate = drying_estimate(reading);
    let (own, missing) = own_time_tips(&stage, in_force.recipe_span, learned, estimate);
    let limits = estimate
        .factor()
        .map(|_| Tip::new("Not reckoned: draught, a first coat that drinks, a cold board.", DRYING_LIMITS));
    WaitAdvice { tips: fixed.into_iter().chain(own).collect(), missing_tip: missing, limits_tip: limits }
}

fn lengthened_tip(kind: StageKind, span: Span, recipe: Span, panel: &Panel, reading: Option<&AirReading>) -> Tip {
    let bound = adjusted_wait_max(kind, panel.recipe()).filter(|most| *most > recipe);
    let air = reading.map_or_else(String::new, |r| format!(" ({:.0} C {:.0} %)", r.temp.c(), r.rh.pct()));
    let (min, own) = (format_figure(span.minutes()), format_figure(recipe.minutes()));
    let range = reading.and_then(|r| drying::wait_factor_range(r.temp.c(), r.rh.pct()).ok());
    let message = match (range, drying_estimate(reading)) {
        (None, DryingEstimate::TooDamp(_)) => format!("Too damp to foretell{air}: look at it when {min} min are over."),
        _ if bound.is_some_and(|most| span >= most) => format!("Damp air{air}: wait {min} min, then look at it."),
        (Some((low, high)), _) => {
            format!("Wait {min} min{air}: the recipe's {own} x {}.", format_factor_range(low, high))
        }
        // The air of its time was taken back since.
        (None, _) => {
            format!("Wait {min} min: the recipe's {own} x {:.2}.", span.minutes() / recipe.minutes().max(0.001))
        }
    };
    Tip::new(message, DRYING_MODEL)
}

/// How many times as long, at least and at most: `1.43 to 1.48`.
pub fn format_factor_range(low: f64, high: f64) -> String {
    let (low, high) = (format!("{low:.2}"), format!("{high:.2}"));
    if low == high { low } else { format!("{low} to {high}") }
}

/// When a coat of the maker's own goes dull: `13 min, 9 in 10 from 9 to 18 (3 marks)`.
pub fn format_own_dull_time(when: &DullPrediction, marks: usize) -> String {
    let DullPrediction { best, low, high } = when;
    format!("{best:.0} min, 9 in 10 from {low:.0} to {high:.0} ({})", format_count(marks, "mark"))
}

/// No estimate is given outside the formula's range; the recipe's minutes stand.
fn no_estimate_tip(reading: Option<&AirReading>, recipe: Span) -> Option<Tip> {
    let own = format_figure(recipe.minutes());
    match drying_estimate(reading) {
        DryingEstimate::Unknown(OutOfRange { .. }) => {
            Some(Tip::new(format!("No estimate for this air; the recipe's {own} min stand."), DRYING_MODEL))
        }
        DryingEstimate::Unread | DryingEstimate::Factor(_) | DryingEstimate::TooDamp(_) => None,
    }
}

/// How long the maker's own coats took; and what is missing to say it.
fn own_time_tips(
    stage: &Stage,
    recipe_wait: Span,
    learned: &LearnedTimes,
    drying: DryingEstimate,
) -> (Option<Tip>, Option<Tip>) {
    if !stage.kind.is_gesso() {
        return (None, None);
    }
    let one = if stage.kind == StageKind::Stipple { "stipples" } else { "coats" };
    let tip = |message: String| Some(Tip::new(message, OWN_MARKS));
    match learned.own_dull_time(stage.kind, recipe_wait, drying) {
        OwnDullTime::Foretold { when, marks } => {
            (tip(format!("Your {one}: dull after {}.", format_own_dull_time(&when, marks))), None)
        }
        OwnDullTime::NoMark => (None, tip(format!("Your own time: none of your {one} was marked dull yet."))),
        OwnDullTime::NoAir if drying == DryingEstimate::Unread => {
            (None, tip("Your own time: read the air (sottile air) to compare.".to_owned()))
        }
        OwnDullTime::NoAir => (None, None),
    }
}

/// What the air means for sealing, with the panel as warm as the room; none at other stages.
pub fn sealing_tip(stage: &Stage, reading: Option<&AirReading>, units: UnitSystem) -> Option<Tip> {
    let reading = reading.filter(|_| stage.kind == StageKind::Seal)?;
    let meaning = compute_air_properties(reading.temp, reading.rh, Some(reading.temp));
    let rh = Humidity::pct(reading.rh);
    let whole = |c: f64| match units {
        UnitSystem::Metric => format!("{c:.0} C"),
        UnitSystem::Imperial => format!("{:.0} F", c * 1.8 + 32.0),
    };
    let message = match (meaning.dew_point_c, meaning.surface_margin_c, meaning.can_seal) {
        (Some(dew), ..) if rh > MAX_SEAL_HUMIDITY_PCT => {
            format!("{rh:.0} %, dew point {}: damp, a seal may haze; {MAX_SEAL_HUMIDITY_PCT} % at most.", whole(dew))
        }
        (Some(dew), Some(margin), Some(false)) => {
            format!(
                "Dew point {}, only {} below the room: a seal may haze.",
                whole(dew),
                format_temperature_difference(margin, units)
            )
        }
        (Some(dew), ..) => {
            format!("Dew point {}: a panel under {} may haze.", whole(dew), whole(dew + MIN_SEAL_MARGIN_C))
        }
        (None, ..) => return None,
    };
    Some(Tip::new(message, DEW_RULE))
}
