//! How far figures that come to rest are from their end: y = end + rest exp(-(t - t_last)/tau), by least squares.
//!
//! End and rest are linear once tau is fixed, so only tau is sought. What is left is bounded by the profile of the sum
//! of squares, and not by a covariance at the best tau: with three or four figures the two are far apart, and the
//! covariance is the one that promises too much.

/// The 90 % point of the normal distribution on one side (standard normal table).
pub const NORMAL_90: f64 = 1.2816;

/// So many taus are tried between two bounds, which are then drawn in around those that fit.
const TAUS: usize = 60;
/// So many times the bounds are drawn in.
const PASSES: usize = 4;

/// What a fit says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ApproachFit {
    /// The time constant that fits best, in the unit of the times.
    pub tau: f64,
    /// The shortest and longest one within a standard error.
    pub tau_range: (f64, f64),
    /// What is still left at the last figure; negative where it moves the other way.
    pub rest: f64,
    /// The upper 90 % bound of that.
    pub rest_upper: f64,
    /// The standard deviation of one figure that was reckoned with.
    pub sd: f64,
    /// The best tau is the longest that was allowed: the figures do not bend.
    pub is_straight: bool,
}

/// What one tau makes of the figures.
#[derive(Debug, Clone, Copy)]
struct LinearFit {
    tau: f64,
    rest: f64,
    /// Of a figure with a variance of one.
    rest_variance: f64,
    squares: f64,
}

/// Fits figures in the order of their times. `sd` is what one figure may be off by; a larger scatter about the curve
/// takes its place where there are more than three. `tau_max` is the longest time constant that can be.
///
/// Nothing where there are fewer than three figures, times do not rise, or anything is no number.
pub fn fit_approach(points: &[(f64, f64)], sd: f64, tau_max: f64) -> Option<ApproachFit> {
    let last = points.last()?.0;
    let shortest = points.windows(2).map(|w| w[1].0 - w[0].0).fold(f64::INFINITY, f64::min);
    let sound = points.iter().all(|(t, y)| t.is_finite() && y.is_finite()) && sd.is_finite() && sd > 0.0;
    if points.len() < 3 || !sound || shortest <= 0.0 || shortest.is_nan() || !tau_max.is_finite() {
        return None;
    }
    let lowest = (shortest / 10.0).min(tau_max / 2.0);
    let (mut from, mut to) = (lowest, tau_max);
    let mut best: Option<LinearFit> = None;
    let mut tried = Vec::new();
    for _ in 0..PASSES {
        tried.clear();
        tried.extend(taus_between(from, to).filter_map(|tau| fit_at(points, last, tau)));
        let here = tried.iter().copied().chain(best).min_by(|a, b| a.squares.total_cmp(&b.squares))?;
        best = Some(here);
        // The next pass looks closer at those that fit, and a step beyond.
        let limit = here.squares + (NORMAL_90 * figure_sd(points, sd, here)).powi(2);
        let first = tried.iter().position(|f| f.squares <= limit || f.tau >= here.tau)?;
        let end = tried.iter().rposition(|f| f.squares <= limit || f.tau <= here.tau)?;
        from = tried.get(first.saturating_sub(1)).map_or(from, |f| f.tau);
        to = tried.get(end + 1).map_or(to, |f| f.tau);
    }
    let best = refine(points, last, best?);
    let sd = figure_sd(points, sd, best);
    let within = |width: f64| best.squares + (width * sd).powi(2);
    let near: Vec<f64> = tried.iter().filter(|f| f.squares <= within(1.0)).map(|f| f.tau).chain([best.tau]).collect();
    let upper = tried.iter().chain([&best]).filter(|f| f.squares <= within(NORMAL_90));
    let upper = upper.map(|f| f.rest + (f.rest_variance * (within(NORMAL_90) - f.squares)).sqrt());
    Some(ApproachFit {
        tau: best.tau,
        tau_range: (
            near.iter().copied().fold(f64::INFINITY, f64::min),
            near.iter().copied().fold(f64::NEG_INFINITY, f64::max),
        ),
        rest: best.rest,
        rest_upper: upper.fold(best.rest, f64::max),
        sd,
        is_straight: best.tau >= tau_max * 0.98,
    })
}

fn taus_between(from: f64, to: f64) -> impl Iterator<Item = f64> {
    let step = (to / from).ln() / (TAUS - 1) as f64;
    (0..TAUS).map(move |i| from * (step * i as f64).exp())
}

/// The least sum of squares in the neighbourhood of `best`, where it is smooth.
fn refine(points: &[(f64, f64)], last: f64, best: LinearFit) -> LinearFit {
    let (mut near, mut width) = (best, 1.02_f64);
    while width > 1.000_000_1 {
        let beside = [near.tau / width, near.tau * width].map(|tau| fit_at(points, last, tau));
        match beside.into_iter().flatten().find(|f| f.squares < near.squares && f.tau <= best.tau * 1.1) {
            Some(closer) => near = closer,
            None => width = width.sqrt(),
        }
    }
    near
}

/// What a figure is off by: as given, or as it scatters.
fn figure_sd(points: &[(f64, f64)], sd: f64, best: LinearFit) -> f64 {
    let spare = points.len().saturating_sub(3);
    if spare == 0 { sd } else { sd.max((best.squares / spare as f64).sqrt()) }
}

/// Least squares of end and rest with tau given; none where the figures cannot tell the two apart.
fn fit_at(points: &[(f64, f64)], last: f64, tau: f64) -> Option<LinearFit> {
    // Scaled to 1 at the first time, so that nothing overflows where tau is short.
    let span = (last - points.first()?.0) / tau;
    let shape = |t: f64| ((last - t) / tau - span).exp();
    let n = points.len() as f64;
    let (mean_x, mean_y) =
        (points.iter().map(|(t, _)| shape(*t)).sum::<f64>() / n, points.iter().map(|(_, y)| y).sum::<f64>() / n);
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for (t, y) in points {
        let (x, y) = (shape(*t) - mean_x, y - mean_y);
        (xx, xy, yy) = (xx + x * x, xy + x * y, yy + y * y);
    }
    let scale = (-span).exp();
    let slope = xy / xx;
    let fit =
        LinearFit { tau, rest: slope * scale, rest_variance: scale * scale / xx, squares: (yy - slope * xy).max(0.0) };
    (fit.rest.is_finite() && fit.rest_variance.is_finite()).then_some(fit)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stats::split_mix::SplitMix64;

    #[test]
    fn three_at_equal_intervals_give_the_closed_form_back() {
        // m_e = m3 - d2 q/(1 - q), tau = -D/ln q; computed.
        for (figures, step, end, tau) in [
            ([1000.0, 990.0, 984.0], 24.0, 975.0, 46.98),
            ([812.0, 806.0, 803.0], 24.0, 800.0, 34.62),
            ([1250.0, 1230.0, 1218.0], 12.0, 1200.0, 23.49),
            ([500.0, 498.0, 497.2], 24.0, 496.667, 26.19),
            ([900.0, 890.0, 889.0], 24.0, 888.889, 10.42),
        ] {
            let points: Vec<_> = figures.iter().enumerate().map(|(i, m)| (step * i as f64, *m)).collect();
            let fit = fit_approach(&points, 0.01, 1000.0).unwrap();
            assert!((fit.tau - tau).abs() < 0.01, "{figures:?}: {fit:?}");
            assert!((figures[2] - fit.rest - end).abs() < 0.01, "{figures:?}: {fit:?}");
            assert!(fit.rest_upper >= fit.rest && !fit.is_straight);
        }
    }

    #[test]
    fn seven_weighings_on_two_scales() {
        // 800 + 14 exp(-t/20): tau 18.5 +- 2.2 on a scale of a gram, 19.87 +- 0.20 on one of a tenth; computed with a
        // covariance, for a scale that only rounds.
        let seven = |step: f64| {
            let each = |t: &f64| (*t, ((800.0 + 14.0 * (-t / 20.0).exp()) / step).round() * step);
            let points: Vec<_> = [0.0, 2.0, 4.0, 8.0, 24.0, 32.0, 48.0].iter().map(each).collect();
            fit_approach(&points, step / 12.0_f64.sqrt(), 500.0).unwrap()
        };
        let (coarse, fine) = (seven(1.0), seven(0.1));
        let width = |fit: &ApproachFit| (fit.tau_range.1 - fit.tau_range.0) / 2.0;
        assert!((coarse.tau - 18.6).abs() < 0.3 && (width(&coarse) - 2.2).abs() < 0.3, "{coarse:?}");
        assert!((fine.tau - 19.87).abs() < 0.15 && (width(&fine) - 0.2).abs() < 0.08, "{fine:?}");
        // 14 exp(-48/20) = 1.27 is left.
        assert!(coarse.rest_upper > 1.27 && fine.rest_upper < coarse.rest_upper, "{coarse:?} {fine:?}");
    }

    #[test]
    fn the_upper_bound_holds_nine_times_in_ten() {
        let mut chance = SplitMix64::new(13);
        let mut uniform = || chance.next_u64() as f64 / u64::MAX as f64;
        for times in [&[0.0_f64, 2.0, 4.0, 8.0, 24.0, 32.0, 48.0][..], &[0.0, 8.0, 24.0, 48.0], &[0.0, 24.0, 48.0]] {
            for (tau, step) in [(20.0_f64, 1.0), (20.0, 0.1), (46.0, 1.0), (46.0, 0.1), (136.0, 1.0), (136.0, 0.1)] {
                let (mut held, runs) = (0, 120);
                for _ in 0..runs {
                    let (rest, end) = (5.0 + 25.0 * uniform(), 800.0 + uniform());
                    let scatter = |y: f64, u: f64| ((y + step * (u - 0.5)) / step).round() * step;
                    let points: Vec<_> =
                        times.iter().map(|t: &f64| (*t, scatter(end + rest * (-t / tau).exp(), uniform()))).collect();
                    let left = rest * (-times[times.len() - 1] / tau).exp();
                    held +=
                        u32::from(fit_approach(&points, step / 2.0, 540.0).is_some_and(|fit| fit.rest_upper >= left));
                }
                // 120 runs of 90 % fall below 83 % less than once in a hundred.
                assert!(f64::from(held) >= 0.83 * f64::from(runs), "{} {tau} {step}: {held}", times.len());
            }
        }
    }

    #[test]
    fn what_does_not_bend_is_told_and_what_is_no_series_is_refused() {
        assert!(fit_approach(&[(0.0, 900.0), (24.0, 890.0), (48.0, 880.0)], 0.5, 300.0).unwrap().is_straight);
        assert!(fit_approach(&[(0.0, 1.0), (1.0, 2.0)], 0.5, 300.0).is_none());
        assert!(fit_approach(&[(0.0, 3.0), (0.0, 2.0), (1.0, 1.0)], 0.5, 300.0).is_none());
        assert!(fit_approach(&[(0.0, 3.0), (1.0, f64::NAN), (2.0, 1.0)], 0.5, 300.0).is_none());
        // Already at rest: little can be left.
        let flat = fit_approach(&[(0.0, 810.0), (24.0, 801.0), (48.0, 800.0), (72.0, 800.0)], 0.5, 300.0).unwrap();
        assert!(flat.rest_upper < 0.5, "{flat:?}");
    }
}
