//! When a pot gels, as a spread of times: quadrature over its time constant.

use crate::stats::normal::normal_share_below;

/// The share of gels that lie within what is foretold.
pub const FORECAST_LEVEL: f64 = 0.9;

/// When a pot gels, minutes after the beginning of the cooling: [`FORECAST_LEVEL`] lies between the ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GelMinutes {
    /// One in twenty gels before.
    pub earliest: f64,
    /// As many gel before as after.
    pub median: f64,
    /// One in twenty gels after.
    pub latest: f64,
}

/// How the times until a pot gels are spread: the time constant times ln(start above the room / gel point above the
/// room), both normal in these logarithms.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct GelTimes {
    /// ln(time constant in min).
    pub(super) ln_tau: f64,
    /// Its standard deviation.
    pub(super) ln_tau_sd: f64,
    /// The logarithm of the ratio.
    pub(super) ln_ratio: f64,
    /// By how much it moves with a standard deviation of the time constant.
    pub(super) ln_ratio_with_tau: f64,
    /// What spread is left in it then.
    pub(super) ln_ratio_sd: f64,
}

impl GelTimes {
    /// The times, of a pot known to be liquid until then.
    pub(super) fn quantiles(&self, liquid_until_min: f64) -> GelMinutes {
        let nodes = self.nodes();
        let share_before = |min: f64| nodes.iter().map(|node| node.share_before(min, self.ln_ratio_sd)).sum::<f64>();
        let over = share_before(liquid_until_min);
        let quantile = |share: f64| {
            let (mut lo, mut hi) = (liquid_until_min, liquid_until_min + self.far_min());
            // Thirty halvings of hours are microseconds.
            for _ in 0..30 {
                let mid = lo + (hi - lo) / 2.0;
                *(if share_before(mid) < over + share * (1.0 - over) { &mut lo } else { &mut hi }) = mid;
            }
            lo
        };
        let tail = (1.0 - FORECAST_LEVEL) / 2.0;
        GelMinutes { earliest: quantile(tail), median: quantile(0.5), latest: quantile(1.0 - tail) }
    }

    fn nodes(&self) -> [TauNode; 29] {
        let at = |i: usize| (i as f64 - 14.0) * 0.25;
        let weight = |i: usize| (-0.5 * at(i) * at(i)).exp();
        let all: f64 = (0..29).map(weight).sum();
        std::array::from_fn(|i| TauNode {
            weight: weight(i) / all,
            per_min: (-(self.ln_tau + at(i) * self.ln_tau_sd)).exp(),
            ln_ratio: self.ln_ratio + self.ln_ratio_with_tau * at(i),
        })
    }

    /// A time before which all of it lies.
    fn far_min(&self) -> f64 {
        let spread = self.ln_ratio_with_tau.abs() + self.ln_ratio_sd;
        (self.ln_tau + 5.0 * self.ln_tau_sd).exp() * (self.ln_ratio.abs() + 5.0 * spread)
    }
}

/// One time constant of the quadrature.
struct TauNode {
    weight: f64,
    /// One over the time constant.
    per_min: f64,
    /// The logarithm of the ratio that goes with it.
    ln_ratio: f64,
}

impl TauNode {
    fn share_before(&self, min: f64, ln_ratio_sd: f64) -> f64 {
        self.weight * normal_share_below((min * self.per_min - self.ln_ratio) / ln_ratio_sd)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Of a ratio that is all but known the times are lognormal: 40 min times ln 2.5, and around it e to the 1.644854
    /// times 0.307, the root of 0.3 squared and of (0.06 / ln 2.5) squared.
    #[test]
    fn a_known_ratio_gives_a_lognormal_time() {
        let times = GelTimes {
            ln_tau: 40f64.ln(),
            ln_tau_sd: 0.3,
            ln_ratio: 2.5f64.ln(),
            ln_ratio_with_tau: 0.0,
            ln_ratio_sd: 0.06,
        };
        let (middle, spread) = (40.0 * 2.5f64.ln(), 0.3f64.hypot(0.06 / 2.5f64.ln()));
        let got = times.quantiles(0.0);
        // Still liquid at its median: as many gel before as after the time that one in four outlives.
        let later = times.quantiles(got.median);
        for (min, z) in
            [(got.earliest, -1.644_854), (got.median, 0.0), (got.latest, 1.644_854), (later.median, 0.674_490)]
        {
            assert!((min / (middle * (spread * z).exp()) - 1.0).abs() < 0.01, "{min} at {z}: {got:?} {later:?}");
        }
    }
}
