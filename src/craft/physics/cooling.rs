//! How a pot cools: Newton's law, and what a few thermometer readings say about it.
//!
//! A real hot pot cools faster at first, by evaporation, than the law says: a time constant taken above 60 C must not
//! be carried over to the range 60 to 25 C in which gesso is used.

use super::{OutOfRange, check_range};
use std::fmt;

/// The room and the pot, C: no colder or hotter is believed.
const TEMP_RANGE_C: (f64, f64) = (-50.0, 500.0);
/// Time constants, minutes: a thimble to a vat.
const TAU_RANGE_MIN: (f64, f64) = (0.01, 1e6);
/// Times, minutes before or after the beginning.
const TIME_RANGE_MIN: (f64, f64) = (-1e6, 1e6);

/// One thermometer reading of a pot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThermometerReading {
    /// Minutes since the beginning.
    pub time_min: f64,
    /// What the thermometer said, C.
    pub temp_c: f64,
}

/// What readings say about a pot that cools.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoolingFit {
    /// Minutes in which the distance to the room falls to 1/e (37 %).
    pub time_constant_min: f64,
    /// The fitted temperature at minute 0, C.
    pub start_c: f64,
    /// Root of the mean squared distance of the readings from the curve, K.
    pub rms_c: f64,
    /// How many readings it rests on.
    pub readings: usize,
}

/// Why cooling could not be reckoned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CoolingError {
    /// A figure is out of range or not a number.
    OutOfRange(OutOfRange),
    /// Fewer readings than the question needs.
    TooFewReadings {
        /// How many there are.
        given: usize,
        /// How many it needs.
        needed: usize,
    },
    /// A reading is not above the room: the law says nothing of it.
    NotAboveRoom {
        /// Which reading, from 0.
        index: usize,
        /// What it says, C.
        temp_c: f64,
        /// The room, C.
        room_c: f64,
    },
    /// All readings are of one moment.
    NoTimeSpan,
    /// The readings do not fall.
    NotCooling,
    /// The threshold lies on the far side of the room, or at it: it is never reached.
    NeverReached {
        /// The threshold, C.
        threshold_c: f64,
        /// The room, C.
        room_c: f64,
    },
    /// The threshold was passed before the beginning.
    AlreadyPassed {
        /// The threshold, C.
        threshold_c: f64,
        /// Where it begins, C.
        start_c: f64,
    },
}

impl fmt::Display for CoolingError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            CoolingError::OutOfRange(range) => range.fmt(f),
            CoolingError::TooFewReadings { given, needed } => {
                write!(f, "too few readings: {given}; it takes at least {needed}")
            }
            CoolingError::NotAboveRoom { index, temp_c, room_c } => {
                write!(f, "reading {} ({temp_c} C) is not above the room ({room_c} C)", index + 1)
            }
            CoolingError::NoTimeSpan => f.write_str("all readings are of one moment; cooling needs two"),
            CoolingError::NotCooling => f.write_str("the readings do not fall: nothing here is cooling"),
            CoolingError::NeverReached { threshold_c, room_c } => {
                write!(f, "{threshold_c} C is never reached in a room of {room_c} C")
            }
            CoolingError::AlreadyPassed { threshold_c, start_c } => {
                write!(f, "{threshold_c} C was passed before the beginning, which is at {start_c:.1} C")
            }
        }
    }
}

impl std::error::Error for CoolingError {}

impl From<OutOfRange> for CoolingError {
    fn from(range: OutOfRange) -> Self {
        CoolingError::OutOfRange(range)
    }
}

/// The temperature after `time_min`, C: `room + (start - room) exp(-time/tau)`.
///
/// Newton's law of cooling. Valid from -50 to 500 C; a thing colder than the room warms by the same law.
pub fn temperature_c(start_c: f64, room_c: f64, time_constant_min: f64, time_min: f64) -> Result<f64, OutOfRange> {
    let start = check_range("starting temperature", start_c, TEMP_RANGE_C.0, TEMP_RANGE_C.1, "C")?;
    let room = check_range("room temperature", room_c, TEMP_RANGE_C.0, TEMP_RANGE_C.1, "C")?;
    let tau = check_range("cooling time", time_constant_min, TAU_RANGE_MIN.0, TAU_RANGE_MIN.1, "min")?;
    let time = check_range("time", time_min, TIME_RANGE_MIN.0, TIME_RANGE_MIN.1, "min")?;
    Ok(room + (start - room) * (-time / tau).exp())
}

/// Minutes from `start_c` until `threshold_c`: `-tau ln((threshold - room)/(start - room))`.
///
/// Newton's law of cooling, turned round. The threshold must lie between the start (0 minutes) and the room (never).
pub fn minutes_until(start_c: f64, room_c: f64, time_constant_min: f64, threshold_c: f64) -> Result<f64, CoolingError> {
    let start = check_range("starting temperature", start_c, TEMP_RANGE_C.0, TEMP_RANGE_C.1, "C")?;
    let room = check_range("room temperature", room_c, TEMP_RANGE_C.0, TEMP_RANGE_C.1, "C")?;
    let tau = check_range("cooling time", time_constant_min, TAU_RANGE_MIN.0, TAU_RANGE_MIN.1, "min")?;
    let threshold = check_range("threshold", threshold_c, TEMP_RANGE_C.0, TEMP_RANGE_C.1, "C")?;
    let left = (threshold - room) / (start - room);
    if left > 1.0 {
        return Err(CoolingError::AlreadyPassed { threshold_c, start_c });
    }
    if left.is_nan() || left <= 0.0 {
        return Err(CoolingError::NeverReached { threshold_c, room_c });
    }
    Ok(-tau * left.ln())
}

/// Where a pot stood at minute 0 if it reads so now and has this time constant, C. Newton's law; ranges as there.
pub fn start_c_from_reading(
    reading: ThermometerReading,
    room_c: f64,
    time_constant_min: f64,
) -> Result<f64, CoolingError> {
    check_readings(&[reading], room_c)?;
    Ok(temperature_c(reading.temp_c, room_c, time_constant_min, -reading.time_min)?)
}

/// The start and time constant that lie nearest to the readings, the room being known.
///
/// Least squares in temperature, so that every reading weighs the same (the usual straight line through logarithms
/// lets readings near the room weigh most). For each time constant the best start is known outright, which leaves one
/// unknown; it is looked for over 0.01 to 1e6 minutes. Two readings are met exactly:
/// `tau = (t2 - t1)/ln((T1 - room)/(T2 - room))`.
pub fn fit_cooling(readings: &[ThermometerReading], room_c: f64) -> Result<CoolingFit, CoolingError> {
    if readings.len() < 2 {
        return Err(CoolingError::TooFewReadings { given: readings.len(), needed: 2 });
    }
    check_readings(readings, room_c)?;
    let first = readings.iter().map(|r| r.time_min).fold(f64::INFINITY, f64::min);
    let last = readings.iter().map(|r| r.time_min).fold(f64::NEG_INFINITY, f64::max);
    if last - first < 1e-9 {
        return Err(CoolingError::NoTimeSpan);
    }
    if !is_falling(readings) {
        return Err(CoolingError::NotCooling);
    }
    let above: Vec<(f64, f64)> = readings.iter().map(|r| (r.time_min - first, r.temp_c - room_c)).collect();
    let tau = fit_tau(&above);
    let (start_above, squares) = best_start(&above, tau);
    check_range("cooling time", tau, TAU_RANGE_MIN.0 * 1.01, TAU_RANGE_MIN.1 * 0.99, "min")?;
    Ok(CoolingFit {
        time_constant_min: tau,
        start_c: room_c + start_above * (first / tau).exp(),
        rms_c: (squares / above.len() as f64).sqrt(),
        readings: readings.len(),
    })
}

/// Every reading is a number, in range, and above the room.
fn check_readings(readings: &[ThermometerReading], room_c: f64) -> Result<(), CoolingError> {
    check_range("room temperature", room_c, TEMP_RANGE_C.0, TEMP_RANGE_C.1, "C")?;
    for (index, r) in readings.iter().enumerate() {
        check_range("reading", r.temp_c, TEMP_RANGE_C.0, TEMP_RANGE_C.1, "C")?;
        check_range("time of a reading", r.time_min, TIME_RANGE_MIN.0, TIME_RANGE_MIN.1, "min")?;
        if r.temp_c <= room_c {
            return Err(CoolingError::NotAboveRoom { index, temp_c: r.temp_c, room_c });
        }
    }
    Ok(())
}

/// Whether a straight line through the readings falls.
fn is_falling(readings: &[ThermometerReading]) -> bool {
    let n = readings.len() as f64;
    let mean_time = readings.iter().map(|r| r.time_min).sum::<f64>() / n;
    let mean_temp = readings.iter().map(|r| r.temp_c).sum::<f64>() / n;
    readings.iter().map(|r| (r.time_min - mean_time) * (r.temp_c - mean_temp)).sum::<f64>() < 0.0
}

/// For one time constant: the best start above the room, and the sum of squares left, K2.
fn best_start(above: &[(f64, f64)], tau: f64) -> (f64, f64) {
    let curve = |time: f64| (-time / tau).exp();
    let top: f64 = above.iter().map(|&(time, temp)| temp * curve(time)).sum();
    let bottom: f64 = above.iter().map(|&(time, _)| curve(time).powi(2)).sum();
    let start = top / bottom;
    (start, above.iter().map(|&(time, temp)| (temp - start * curve(time)).powi(2)).sum())
}

/// The time constant with the least sum of squares: the best of a fine scale, then closed in on by golden sections
/// and finished by steps of Gauss and Newton, which find the flat bottom of the valley better than comparing does.
fn fit_tau(above: &[(f64, f64)]) -> f64 {
    const STEPS: usize = 600;
    let (lo, hi) = (TAU_RANGE_MIN.0.ln(), TAU_RANGE_MIN.1.ln());
    let at = |i: usize| lo + (hi - lo) * i as f64 / STEPS as f64;
    let squares = |ln_tau: f64| best_start(above, ln_tau.exp()).1;
    let best = (0..=STEPS).min_by(|&a, &b| squares(at(a)).total_cmp(&squares(at(b)))).expect("the scale has steps");
    let (mut a, mut b) = (at(best.saturating_sub(1)), at((best + 1).min(STEPS)));
    let golden = (5f64.sqrt() - 1.0) / 2.0;
    for _ in 0..60 {
        let (left, right) = (b - golden * (b - a), a + golden * (b - a));
        if squares(left) < squares(right) {
            b = right;
        } else {
            a = left;
        }
    }
    let (mut tau, mut left) = ((a / 2.0 + b / 2.0).exp(), squares(a / 2.0 + b / 2.0));
    for _ in 0..20 {
        let next = gauss_newton_step(above, tau);
        if !next.is_finite() || next <= 0.0 {
            break;
        }
        let squares = best_start(above, next).1;
        if squares > left {
            break;
        }
        (tau, left) = (next, squares);
    }
    tau
}

/// One step of Gauss and Newton in (start, rate) from the best start at `tau`; gives the new time constant.
fn gauss_newton_step(above: &[(f64, f64)], tau: f64) -> f64 {
    let (start, _) = best_start(above, tau);
    let (mut aa, mut ab, mut bb, mut ar, mut br) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for &(time, temp) in above {
        let curve = (-time / tau).exp();
        let (by_start, by_rate) = (curve, -start * time * curve);
        let off = temp - start * curve;
        aa += by_start * by_start;
        ab += by_start * by_rate;
        bb += by_rate * by_rate;
        ar += by_start * off;
        br += by_rate * off;
    }
    let rate = 1.0 / tau + (aa * br - ab * ar) / (aa * bb - ab * ab);
    1.0 / rate
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn read(pairs: &[(f64, f64)]) -> Vec<ThermometerReading> {
        pairs.iter().map(|&(time_min, temp_c)| ThermometerReading { time_min, temp_c }).collect()
    }

    #[test]
    fn two_readings_are_met_exactly() {
        // tau = 15 / ln((50-20)/(35-20)) = 15 / ln 2 = 21.640; start = 20 + 30 * 2^(5/15)
        let fit = fit_cooling(&read(&[(5.0, 50.0), (20.0, 35.0)]), 20.0).unwrap();
        assert!((fit.time_constant_min - 15.0 / 2f64.ln()).abs() < 1e-6, "{fit:?}");
        assert!((fit.start_c - (20.0 + 30.0 * 2f64.powf(1.0 / 3.0))).abs() < 1e-6, "{fit:?}");
        assert!(fit.rms_c < 1e-9 && fit.readings == 2, "{fit:?}");
    }

    #[test]
    fn every_reading_weighs_the_same() {
        // Three readings on the curve of 40 minutes from 60 C in 20 C, the last one 1 K high: no neighbour of the fit is
        // nearer to the readings.
        let curve = |t: f64| 20.0 + 40.0 * (-t / 40.0).exp();
        let off = read(&[(0.0, curve(0.0)), (40.0, curve(40.0)), (120.0, curve(120.0) + 1.0)]);
        let got = fit_cooling(&off, 20.0).unwrap();
        let squares = |f: &CoolingFit| -> f64 {
            off.iter()
                .map(|r| temperature_c(f.start_c, 20.0, f.time_constant_min, r.time_min).unwrap() - r.temp_c)
                .map(|d| d * d)
                .sum()
        };
        let least = squares(&got);
        assert!((got.rms_c - (least / 3.0).sqrt()).abs() < 1e-9);
        for (dt, ds) in [(0.01, 0.0), (-0.01, 0.0), (0.0, 0.01), (0.0, -0.01), (0.01, -0.01), (-0.01, 0.01)] {
            let beside = CoolingFit { time_constant_min: got.time_constant_min + dt, start_c: got.start_c + ds, ..got };
            assert!(squares(&beside) > least, "{dt} {ds}");
        }
        // The straight line through logarithms would be pulled to 46.8 minutes by the last reading.
        assert!(got.time_constant_min < 43.0, "{got:?}");
    }

    #[test]
    fn what_says_nothing_is_refused_by_name() {
        let nan = f64::NAN;
        let kind = |pairs: &[(f64, f64)], room: f64| fit_cooling(&read(pairs), room).unwrap_err();
        assert_eq!(kind(&[], 20.0), CoolingError::TooFewReadings { given: 0, needed: 2 });
        assert_eq!(kind(&[(0.0, 50.0)], 20.0), CoolingError::TooFewReadings { given: 1, needed: 2 });
        assert_eq!(
            kind(&[(0.0, 50.0), (30.0, 20.0)], 20.0),
            CoolingError::NotAboveRoom { index: 1, temp_c: 20.0, room_c: 20.0 }
        );
        assert_eq!(kind(&[(5.0, 50.0), (5.0, 49.0)], 20.0), CoolingError::NoTimeSpan);
        assert_eq!(kind(&[(0.0, 50.0), (5.0, 50.0)], 20.0), CoolingError::NotCooling);
        assert_eq!(kind(&[(0.0, 40.0), (5.0, 50.0)], 20.0), CoolingError::NotCooling);
        for (pairs, room) in
            [([(0.0, nan), (5.0, 40.0)], 20.0), ([(nan, 50.0), (5.0, 40.0)], 20.0), ([(0.0, 50.0), (5.0, 40.0)], nan)]
        {
            assert!(matches!(kind(&pairs, room), CoolingError::OutOfRange(_)));
        }
    }

    #[test]
    fn a_threshold_beyond_the_room_is_never_reached() {
        for (start, threshold) in [(50.0, 20.0), (50.0, 15.0), (20.0, 30.0), (20.0, 20.0)] {
            let said = minutes_until(start, 20.0, 40.0, threshold).unwrap_err();
            assert!(matches!(said, CoolingError::NeverReached { .. } | CoolingError::AlreadyPassed { .. }), "{said:?}");
        }
        assert_eq!(
            minutes_until(29.0, 20.0, 40.0, 30.0).unwrap_err(),
            CoolingError::AlreadyPassed { threshold_c: 30.0, start_c: 29.0 }
        );
        assert_eq!(minutes_until(30.0, 20.0, 40.0, 30.0).unwrap(), 0.0);
        assert!(matches!(minutes_until(50.0, 20.0, f64::NAN, 30.0), Err(CoolingError::OutOfRange(_))));
        assert!(matches!(minutes_until(50.0, 20.0, 0.0, 30.0), Err(CoolingError::OutOfRange(_))));
    }

    proptest! {
        #[test]
        fn the_time_to_a_temperature_gives_it_back(room in 5.0..30.0f64, above in 5.0..60.0f64, part in 0.01..1.0f64, tau in 1.0..500.0f64) {
            let threshold = room + above * part;
            let minutes = minutes_until(room + above, room, tau, threshold).unwrap();
            prop_assert!((temperature_c(room + above, room, tau, minutes).unwrap() - threshold).abs() < 1e-9);
        }

        #[test]
        fn exact_readings_give_their_curve_back(room in 5.0..30.0f64, above in 20.0..60.0f64, tau in 10.0..200.0f64, n in 2usize..9) {
            let readings: Vec<ThermometerReading> = (0..n).map(|i| 3.0 + 7.0 * i as f64).map(|time_min| ThermometerReading {
                time_min,
                temp_c: temperature_c(room + above, room, tau, time_min).unwrap(),
            }).collect();
            let fit = fit_cooling(&readings, room).unwrap();
            prop_assert!((fit.time_constant_min / tau - 1.0).abs() < 1e-5, "{fit:?}");
            prop_assert!((fit.start_c - room - above).abs() < 1e-4, "{fit:?}");
        }

        #[test]
        fn a_pot_only_cools(start in 40.0..60.0f64, t in 0.0..200.0f64) {
            let at = |t| temperature_c(start, 20.0, 40.0, t).unwrap();
            prop_assert!(at(t + 1.0) < at(t) && at(t) > 20.0);
        }
    }
}
