//! When a pot gels, as a spread of times: quadrature over its time constant.

use super::bisect;
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
        let over = self.share_before(liquid_until_min);
        let last = liquid_until_min + self.far_min();
        let quantile =
            |share: f64| bisect(liquid_until_min, last, |min| self.share_before(min) < over + share * (1.0 - over));
        let tail = (1.0 - FORECAST_LEVEL) / 2.0;
        GelMinutes { earliest: quantile(tail), median: quantile(0.5), latest: quantile(1.0 - tail) }
    }

    fn share_before(&self, min: f64) -> f64 {
        let (mut sum, mut weights) = (0.0, 0.0);
        for node in -8..=8 {
            let z = f64::from(node) * 0.5;
            let weight = (-0.5 * z * z).exp();
            let constants = min * (-(self.ln_tau + z * self.ln_tau_sd)).exp();
            sum += weight
                * normal_share_below((constants - self.ln_ratio - self.ln_ratio_with_tau * z) / self.ln_ratio_sd);
            weights += weight;
        }
        sum / weights
    }

    /// A time before which all of it lies.
    fn far_min(&self) -> f64 {
        let spread = self.ln_ratio_with_tau.abs() + self.ln_ratio_sd;
        (self.ln_tau + 5.0 * self.ln_tau_sd).exp() * (self.ln_ratio.abs() + 5.0 * spread)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Of a ratio that is known the times are lognormal: 40 min times ln 2.5, and e to the 1.644854 times 0.3 around it.
    #[test]
    fn a_known_ratio_gives_a_lognormal_time() {
        let times = GelTimes {
            ln_tau: 40f64.ln(),
            ln_tau_sd: 0.3,
            ln_ratio: 2.5f64.ln(),
            ln_ratio_with_tau: 0.0,
            ln_ratio_sd: 0.01,
        };
        let (got, middle) = (times.quantiles(0.0), 40.0 * 2.5f64.ln());
        let off = [
            got.earliest / (middle * (-0.493_456f64).exp()),
            got.median / middle,
            got.latest / (middle * 0.493_456f64.exp()),
        ];
        assert!(off.iter().all(|r| (r - 1.0).abs() < 0.01), "{got:?}");
        // Still liquid at its median: half of the rest gels before the time that one in four outlives.
        let later = times.quantiles(got.median);
        assert!((later.median / (middle * (0.3f64 * 0.674_490).exp()) - 1.0).abs() < 0.01, "{later:?}");
    }
}
