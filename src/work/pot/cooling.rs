//! Newton's law of cooling, as far as the forecast needs it: `T(t) = room + (start - room) exp(-t / tau)`.
//!
//! Any unit of temperature and of time will do, as long as it is one. Absent on purpose: marks and clocks (`forecast`).

/// One reading: minutes since the beginning, and degrees.
pub(super) type Reading = (f64, f64);

/// Time until `threshold`: `-tau ln((threshold - room)/(start - room))`. None where it is never reached, or was passed
/// before the beginning.
pub(super) fn time_to(start: f64, room: f64, tau: f64, threshold: f64) -> Option<f64> {
    let left = (threshold - room) / (start - room);
    (left > 0.0 && left <= 1.0 && tau > 0.0).then(|| -tau * left.ln())
}

/// The time constant of one known stretch: from `start` to `end` in `time`. None where it is no cooling towards the room.
pub(super) fn time_constant(start: f64, end: f64, room: f64, time: f64) -> Option<f64> {
    let fall = ((start - room) / (end - room)).ln();
    let tau = time / fall;
    (tau.is_finite() && tau > 0.0).then_some(tau)
}

/// Where it began, for a given time constant: least squares in temperature over every reading.
pub(super) fn start(readings: &[Reading], room: f64, tau: f64) -> f64 {
    let curve = |t: f64| (-t / tau).exp();
    let top: f64 = readings.iter().map(|&(t, temp)| (temp - room) * curve(t)).sum();
    let bottom: f64 = readings.iter().map(|&(t, _)| curve(t).powi(2)).sum();
    room + top / bottom
}

/// A curve through readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Fit {
    /// Time in which the distance to the room falls to 1/e.
    pub tau: f64,
    /// The fitted temperature at the beginning.
    pub start: f64,
    /// Root of the mean squared distance from the curve, degrees.
    pub rms: f64,
}

/// Start and time constant nearest to the readings, the room being known: least squares in temperature, so that every
/// reading weighs the same. None where they do not fall, or fit best at an end of the scale (1 to 2000).
pub(super) fn fit(readings: &[Reading], room: f64) -> Option<Fit> {
    const SCALE: (f64, f64) = (1.0, 2000.0);
    const STEPS: usize = 200;
    let squares = |ln_tau: f64| {
        let (tau, begin) = (ln_tau.exp(), start(readings, room, ln_tau.exp()));
        readings.iter().map(|&(t, temp)| (room + (begin - room) * (-t / tau).exp() - temp).powi(2)).sum::<f64>()
    };
    let at = |i: usize| SCALE.0.ln() + (SCALE.1 / SCALE.0).ln() * i as f64 / STEPS as f64;
    let best = (0..=STEPS).min_by(|&a, &b| squares(at(a)).total_cmp(&squares(at(b))))?;
    if readings.len() < 2 || best == 0 || best == STEPS {
        return None;
    }
    let (mut lo, mut hi) = (at(best - 1), at(best + 1));
    let golden = (5f64.sqrt() - 1.0) / 2.0;
    for _ in 0..60 {
        let (left, right) = (hi - golden * (hi - lo), lo + golden * (hi - lo));
        if squares(left) < squares(right) { hi = right } else { lo = left }
    }
    let ln_tau = lo / 2.0 + hi / 2.0;
    let tau = ln_tau.exp();
    let rms = (squares(ln_tau) / readings.len() as f64).sqrt();
    Some(Fit { tau, start: start(readings, room, tau), rms })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Published examples, in F and minutes: name, start, room, time of the reading, reading, target, published, tolerance.
    /// The tolerance is that of a publisher who rounded the rate on the way.
    const PUBLISHED: [(&str, [f64; 5], f64, f64, f64); 6] = [
        // OpenStax College Algebra / Precalculus (Abramson et al., 2015), read in an open adaptation; exact 107.0279.
        ("cheesecake", [165.0, 35.0, 10.0, 150.0, 70.0], 107.0279, 5e-5, 0.012_260_23),
        // Public maths page; published 88, its rate rounded to 0.013; exact 89.70.
        ("roast turkey", [185.0, 75.0, 30.0, 150.0, 110.0], 89.70, 5e-3, 0.0),
        ("roast turkey at 141", [185.0, 75.0, 30.0, 141.0, 100.0], 87.0123, 5e-5, 0.017_027_52),
        // Public question page: 51.44 min, rate 0.0539.
        ("cake 300 to 200", [300.0, 60.0, 10.0, 200.0, 75.0], 51.4398, 5e-5, 0.053_899_65),
        // Public maths page: 37.2 min.
        ("cake 325 to 150", [325.0, 68.0, 25.0, 150.0, 115.0], 37.1803, 5e-5, 0.045_694_27),
        // Public question page: 36.8 min.
        ("pie 375 to 215", [375.0, 72.0, 15.0, 215.0, 120.0], 36.807, 5e-4, 0.050_059_21),
    ];

    #[test]
    fn published_coolings_come_out() {
        for (name, [begin, room, time, reading, target], minutes, tolerance, rate) in PUBLISHED {
            let tau = time_constant(begin, reading, room, time).unwrap();
            assert!(rate == 0.0 || (1.0 / tau - rate).abs() < 5e-9, "{name}: {tau}");
            let got = time_to(begin, room, tau, target).unwrap();
            assert!((got - minutes).abs() < tolerance, "{name}: {got}");
            // Two readings are met exactly by the fit as well.
            let fit = fit(&[(0.0, begin), (time, reading)], room).unwrap();
            assert!((fit.tau / tau - 1.0).abs() < 1e-5 && fit.rms < 1e-3, "{name}: {fit:?}");
        }
        // A thermometer from 70 F in 10 F outside: 50 after half a minute, so 36.67 after one (textbook item, Zill).
        let tau = time_constant(70.0, 50.0, 10.0, 0.5).unwrap();
        assert!((start(&[(-1.0, 70.0)], 10.0, tau) - 36.6667).abs() < 5e-5);
        // Pots worked out by hand: 55 C, room 20, 60 min, to 35 C; 60 C, room 20, 45 min, to 30 C.
        assert!((time_to(55.0, 20.0, 60.0, 35.0).unwrap() - 50.838).abs() < 5e-4);
        assert!((time_to(60.0, 20.0, 45.0, 30.0).unwrap() - 62.383).abs() < 5e-4);
    }

    #[test]
    fn what_is_never_reached_has_no_time() {
        for (start, room, tau, threshold) in [
            (45.0, 20.0, 40.0, 20.0),
            (45.0, 20.0, 40.0, 15.0),
            (29.0, 20.0, 40.0, 30.0),
            (45.0, 31.0, 40.0, 30.0),
            (45.0, 20.0, 0.0, 30.0),
            (f64::NAN, 20.0, 40.0, 30.0),
        ] {
            assert_eq!(time_to(start, room, tau, threshold), None, "{start} {room} {tau} {threshold}");
        }
        assert_eq!(fit(&[(0.0, 40.0)], 20.0), None);
        assert_eq!(fit(&[(0.0, 40.0), (10.0, 40.0)], 20.0), None);
        assert_eq!(fit(&[(0.0, 40.0), (10.0, 45.0)], 20.0), None);
        assert_eq!(time_constant(40.0, 45.0, 20.0, 10.0), None);
    }
}
