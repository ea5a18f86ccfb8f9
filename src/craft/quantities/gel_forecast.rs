//! When a pot gels: thermometer readings, the room, and the temperature at which it gels.

use crate::craft::physics::cooling::{self, CoolingError, ThermometerReading};
use crate::craft::physics::gel_filter::{CoolingSetting, PotEstimate};
use crate::craft::physics::gel_times::GelMinutes;
use crate::units::Temperature;

/// Above this a pot cools faster than the law says, by evaporation, C.
const MAX_NEWTON_C: f64 = 60.0;
/// From a start above this a forecast comes too early, C.
const ONE_SIDED_FROM_C: f64 = 55.0;
/// How little is known of a start before the thermometer, K.
const UNKNOWN_START_SD_K: f64 = 30.0;

/// When a pot gels, and what that rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct GelForecast {
    /// Minutes in which the distance to the room falls to 37 %.
    pub time_constant_min: f64,
    /// The fitted temperature at minute 0, C.
    pub start_c: f64,
    /// How far the readings lie from the curve, root of the mean square, K; nought for one reading or two.
    pub rms_c: f64,
    /// Minutes from minute 0 until it gels; `None` where it never does or already had, as said.
    pub gels_after_min: Option<f64>,
    /// Nine of ten such pots gel between the earliest and the latest of these minutes; the recipe's cooling time has its
    /// say where the readings leave it open.
    pub interval: Option<GelMinutes>,
    /// How wide that interval is for a pot like this after three readings in its first eight minutes, min.
    pub three_readings_width_min: Option<f64>,
    /// How many readings it rests on.
    pub readings: usize,
    /// What should be said of it, in sentences.
    pub notes: Vec<String>,
}

/// When a pot that reads so gels in this room.
///
/// Least squares in temperature over every reading, the room fixed ([`cooling::fit_cooling`]); one reading alone takes
/// `recipe_time_constant_min`. Errors: no reading, a reading not above the room, readings that say nothing of cooling, a
/// figure out of range.
pub fn forecast_gelling(
    room: Temperature,
    gels_at: Temperature,
    readings: &[ThermometerReading],
    recipe_time_constant_min: f64,
) -> Result<GelForecast, CoolingError> {
    let room_c = room.c();
    let mut messages = Vec::new();
    let (time_constant_min, start_c, rms_c) = match *readings {
        [] => return Err(CoolingError::TooFewReadings { given: 0, needed: 1 }),
        [only] => {
            messages.push(format!(
                "One reading alone: the cooling time of {recipe_time_constant_min} minutes is the recipe's."
            ));
            (recipe_time_constant_min, cooling::start_c_from_reading(only, room_c, recipe_time_constant_min)?, 0.0)
        }
        _ => {
            let fit = cooling::fit_cooling(readings, room_c)?;
            (fit.time_constant_min, fit.start_c, fit.rms_c)
        }
    };
    if readings.iter().any(|r| r.temp_c > MAX_NEWTON_C) {
        messages.push(format!(
            "Readings above {MAX_NEWTON_C} C cool faster than the law, by evaporation: leave them out of a forecast for a warm pot."
        ));
    }
    let gels_after_min = match cooling::minutes_until(start_c, room_c, time_constant_min, gels_at.c()) {
        Ok(minutes) => Some(minutes),
        Err(never @ (CoolingError::NeverReached { .. } | CoolingError::AlreadyPassed { .. })) => {
            messages.push(format!("{never}."));
            None
        }
        Err(
            other @ (CoolingError::OutOfRange(_)
            | CoolingError::TooFewReadings { .. }
            | CoolingError::NotAboveRoom { .. }
            | CoolingError::NoTimeSpan
            | CoolingError::NotCooling),
        ) => return Err(other),
    };
    if start_c >= ONE_SIDED_FROM_C {
        messages.push(format!(
            "It begins at {start_c:.0} C. From {ONE_SIDED_FROM_C} C a pot cools faster at first than the law says: it gels \
             later than foretold, not sooner. In one record of water from 60 C, which took 125 min, the first 15, 30 and \
             60 min foretold it 24, 17 and 10 min too early."
        ));
    }
    let setting = CoolingSetting { start_c, start_sd_k: UNKNOWN_START_SD_K, room_c, gels_c: gels_at.c() };
    let pot = PotEstimate::from_recipe(recipe_time_constant_min).at_next_cooling(&setting);
    let interval_after = |readings: &[ThermometerReading]| {
        pot.with_readings(&setting, readings).forecast(&setting, 0.0).filter(|_| gels_after_min.is_some())
    };
    let early = [0.0, 4.0, 8.0].map(|time_min| ThermometerReading {
        time_min,
        temp_c: room_c + (start_c - room_c) * (-time_min / time_constant_min).exp(),
    });
    Ok(GelForecast {
        time_constant_min,
        start_c,
        rms_c,
        gels_after_min,
        // Where the readings by themselves say something else than the recipe lets them, the interval holds both.
        interval: interval_after(readings).zip(gels_after_min).map(|(told, min)| GelMinutes {
            earliest: told.earliest.min(min),
            latest: told.latest.max(min),
            ..told
        }),
        three_readings_width_min: interval_after(&early).map(|told| told.latest - told.earliest),
        readings: readings.len(),
        notes: messages,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ask(room: f64, gels: f64, pairs: &[(f64, f64)]) -> Result<GelForecast, CoolingError> {
        let readings: Vec<ThermometerReading> =
            pairs.iter().map(|&(time_min, temp_c)| ThermometerReading { time_min, temp_c }).collect();
        forecast_gelling(Temperature::from_c(room), Temperature::from_c(gels), &readings, 40.0)
    }

    #[test]
    fn readings_of_known_pots() {
        // 60 C in 20 C with 45 minutes, and 55 C in 20 C with 60, as two readings each; when they reach 30 and 35 C.
        let curve = |start: f64, tau: f64, t: f64| 20.0 + (start - 20.0) * (-t / tau).exp();
        for (start, tau, gels, after) in [(60.0, 45.0, 30.0, 62.383), (55.0, 60.0, 35.0, 50.838)] {
            let got = ask(20.0, gels, &[(0.0, start), (25.0, curve(start, tau, 25.0))]).unwrap();
            assert!((got.gels_after_min.unwrap() - after).abs() < 0.001, "{got:?}");
            assert!(
                (got.time_constant_min - tau).abs() < 1e-6 && got.notes.len() == 1,
                "both from 55 C or above: {got:?}"
            );
        }
    }

    #[test]
    fn one_reading_takes_the_recipe_s_time_constant() {
        // At 10 minutes 50 C in 20 C, 40 minutes: it began at 20 + 30 e^(1/4) = 58.521 C and gels at 30 C after
        // 40 ln(38.521/10) = 53.944 minutes.
        let got = ask(20.0, 30.0, &[(10.0, 50.0)]).unwrap();
        assert!((got.start_c - 58.5208).abs() < 1e-3 && (got.gels_after_min.unwrap() - 53.944).abs() < 1e-3, "{got:?}");
        assert_eq!((got.time_constant_min, got.rms_c, got.readings, got.notes.len()), (40.0, 0.0, 1, 2));
        assert!(got.notes[1].starts_with("It begins at 59 C. From 55 C"), "{got:?}");
    }

    #[test]
    fn what_cannot_gel_is_unknown_and_said() {
        for (room, gels, pairs) in
            [(20.0, 18.0, [(0.0, 50.0), (20.0, 40.0)]), (20.0, 55.0, [(0.0, 50.0), (20.0, 40.0)])]
        {
            let got = ask(room, gels, &pairs).unwrap();
            assert_eq!((got.gels_after_min, got.notes.len()), (None, 1), "{got:?}");
        }
        assert_eq!(ask(20.0, 30.0, &[]).unwrap_err(), CoolingError::TooFewReadings { given: 0, needed: 1 });
        assert!(matches!(ask(20.0, 30.0, &[(0.0, 19.0)]), Err(CoolingError::NotAboveRoom { index: 0, .. })));
        assert!(matches!(ask(20.0, f64::NAN, &[(0.0, 50.0)]), Err(CoolingError::OutOfRange(_))));
    }

    #[test]
    fn a_very_hot_pot_is_warned_of() {
        let got = ask(20.0, 30.0, &[(0.0, 70.0), (20.0, 45.0)]).unwrap();
        assert!(got.notes.iter().any(|s| s.contains("evaporation")), "{got:?}");
    }

    /// From 45 C, 20 C, 40 min, 30 C: 36.65 min. One reading leaves the recipe's doubt, three in eight minutes less, and an
    /// hour of them what the gel point leaves; none of them tells it to the minute.
    #[test]
    fn the_interval_holds_the_forecast_and_narrows() {
        let curve = |t: f64| (t, 20.0 + 25.0 * (-t / 40.0).exp());
        let rows: [&[f64]; 3] = [&[0.0], &[0.0, 4.0, 8.0], &[0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0]];
        let told = rows.map(|times| ask(20.0, 30.0, &times.iter().map(|t| curve(*t)).collect::<Vec<_>>()).unwrap());
        let widths = told.each_ref().map(|f| f.interval.map(|told| told.latest - told.earliest).unwrap());
        assert!(widths[0] > widths[1] && widths[1] > widths[2] && widths[2] > 10.0, "{widths:?}");
        for (f, width) in told.iter().zip(widths) {
            let (interval, min) = (f.interval.unwrap(), f.gels_after_min.unwrap());
            assert!(
                interval.earliest < min && min < interval.latest && f.notes.iter().all(|n| !n.contains("55")),
                "{f:?}"
            );
            let three = f.three_readings_width_min.unwrap();
            assert!((three - widths[1]).abs() < 0.5, "{three} and not {}, of {width}", widths[1]);
        }
        // Two readings that say 500 min against a recipe's 40.
        let odd = ask(20.0, 30.0, &[(0.0, 45.0), (2.0, 44.9)]).unwrap();
        assert!(odd.interval.unwrap().latest >= odd.gels_after_min.unwrap(), "{odd:?}");
    }
}
