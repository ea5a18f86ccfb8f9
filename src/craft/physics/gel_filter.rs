//! What is known of how one pot cools and where it gels, and how surely: a Kalman filter over its coolings.
//!
//! Unknown are the logarithm of the time constant, which walks a little from one cooling to the next, how far the maker's
//! usual start and the glue's gel point lie from the recipe's, which stay, and by how much this one cooling differs in both.
//! A thermometer reading says that the curve of Newton's law passes through it; a jelly, that it passes through the gel
//! point then; a pot found liquid, that it does not yet. Each is linear enough in the unknowns for least squares by Gauss
//! and Newton's steps (the extended Kalman filter, iterated; a liquid pot by the moments of the truncated normal).
//!
//! The spreads are assumed. Simulated pots hold what is foretold nine times in ten (`tests/gel.rs`).

use super::cooling::ThermometerReading;
use super::gel_times::{GelMinutes, GelTimes};
use crate::stats::normal::truncated_moments;

/// ln(time constant in min): its spread where only a recipe says it.
const LN_TAU_SD: f64 = 0.45;
/// The same where earlier pots say it: never surer than this.
const EARLIER_POTS_LN_TAU_SD_MIN: f64 = 0.15;
/// The same for one earlier pot, before others show how far pots differ.
const BETWEEN_POTS_LN_TAU_SD: f64 = 0.30;
/// By how much ln(time constant) walks from one cooling to the next.
const WALK_SD: f64 = 0.07;
/// How far off a known change of ln(fill) may be in ln(time constant), as a share of it.
const FILL_SHARE: f64 = 0.15;
/// The maker's usual start lies off the recipe's by so much, K.
const USUAL_START_SD_K: f64 = 3.0;
/// The start differs from cooling to cooling by so much, K.
pub const START_SD_K: f64 = 1.5;
/// The glue's gel point lies off the recipe's by so much, K.
const GEL_POINT_SD_K: f64 = 1.5;
/// The gel point moves by so much from cooling to cooling, K.
const GEL_POINT_MOVES_SD_K: f64 = 1.0;
/// A thermometer, and how well the pot is stirred, K.
const READING_SD_K: f64 = 1.0;
/// A jelly is marked so far from when it set, min.
const MARK_SD_MIN: f64 = 1.0;
/// Something changed that nobody told of (a lid, a draught, the fill): how often, and by how much in ln(time constant).
const UNTOLD_CHANGE: (f64, f64) = (0.1, 0.4);
/// A pot put into the bath as liquid was a jelly that nobody marked: how often.
const UNMARKED_JELLY: f64 = 0.1;
/// The maker's own scatter weighs as if that many marks had shown the assumed one; it is never taken to be less than the
/// second; one mark counts no more than the third.
const SCATTER: (f64, f64, f64) = (3.0, 0.95, 4.0);
/// Steps of Gauss and Newton; they settle in four or five.
const STEPS: usize = 8;

/// The unknowns, in this order.
const UNKNOWNS: usize = 5;
const LN_TAU: usize = 0;
const USUAL_START: usize = 1;
const START_NOW: usize = 2;
const GEL_POINT: usize = 3;
const GEL_POINT_NOW: usize = 4;

type Unknowns = [f64; UNKNOWNS];

fn dot(a: &Unknowns, b: &Unknowns) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// What is taken for granted of one cooling.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoolingSetting {
    /// Where it begins as far as anybody knows, C.
    pub start_c: f64,
    /// How far the start of this cooling may lie from the maker's usual one, K.
    pub start_sd_k: f64,
    /// The room, C.
    pub room_c: f64,
    /// Where the recipe says that it gels, C.
    pub gels_c: f64,
}

/// How a cooling ended, minutes after its beginning.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CoolingEnd {
    /// It was marked a jelly.
    Gelled(f64),
    /// It was marked liquid, and nothing is known of it afterwards.
    StillLiquid(f64),
    /// It went into the bath, and no mark said that it was a jelly.
    IntoBath(f64),
}

/// What is known of a pot: the unknowns, their covariance, and how far its marks scatter against what is assumed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PotEstimate {
    mean: Unknowns,
    covariance: [Unknowns; UNKNOWNS],
    /// Squares of what its marks were off, in their expected spread, and how many marks.
    scatter: (f64, f64),
}

impl CoolingSetting {
    /// How far the curve then lies above `level_c`, or above the gel point where that is none, K; and its slope in each
    /// unknown.
    fn height_above(&self, at: &Unknowns, time_min: f64, level_c: Option<f64>) -> (f64, Unknowns) {
        let start_k = self.start_c + at[USUAL_START] + at[START_NOW] - self.room_c;
        let constants = time_min * (-at[LN_TAU]).exp();
        let falls_to = (-constants).exp();
        let mut slope = [0.0; UNKNOWNS];
        slope[LN_TAU] = start_k * falls_to * constants;
        slope[USUAL_START] = falls_to;
        slope[START_NOW] = falls_to;
        let level = level_c.unwrap_or_else(|| {
            slope[GEL_POINT] = -1.0;
            slope[GEL_POINT_NOW] = -1.0;
            self.gels_c + at[GEL_POINT] + at[GEL_POINT_NOW]
        });
        (start_k * falls_to - (level - self.room_c), slope)
    }
}

impl PotEstimate {
    /// A pot of which only the recipe is known.
    pub fn from_recipe(time_constant_min: f64) -> PotEstimate {
        let mut pot = PotEstimate {
            mean: [0.0; UNKNOWNS],
            covariance: [[0.0; UNKNOWNS]; UNKNOWNS],
            scatter: (SCATTER.0, SCATTER.0),
        };
        pot.mean[LN_TAU] = time_constant_min.ln();
        for (unknown, sd) in [(LN_TAU, LN_TAU_SD), (USUAL_START, USUAL_START_SD_K), (GEL_POINT, GEL_POINT_SD_K)] {
            pot.covariance[unknown][unknown] = sd * sd;
        }
        pot
    }

    /// A pot like those: their mean, as unsure as they are and as far as they lie apart. None of none.
    pub fn from_earlier_pots(pots: &[PotEstimate]) -> Option<PotEstimate> {
        let n = pots.len() as f64;
        let mean = |of: &dyn Fn(&PotEstimate) -> f64| pots.iter().map(of).sum::<f64>() / n;
        let mut pot = PotEstimate {
            mean: std::array::from_fn(|i| mean(&|p| p.mean[i])),
            covariance: std::array::from_fn(|i| std::array::from_fn(|j| mean(&|p| p.covariance[i][j]))),
            scatter: (SCATTER.0, SCATTER.0),
        };
        let apart: f64 = pots.iter().map(|p| (p.mean[LN_TAU] - pot.mean[LN_TAU]).powi(2)).sum();
        // As if one more pot had shown how far pots differ.
        let between = (apart + BETWEEN_POTS_LN_TAU_SD.powi(2)) / n * (1.0 + 1.0 / n);
        pot.covariance[LN_TAU][LN_TAU] += between.max(EARLIER_POTS_LN_TAU_SD_MIN.powi(2));
        (!pots.is_empty()).then_some(pot)
    }

    /// The time constant, min.
    pub fn time_constant_min(&self) -> f64 {
        self.mean[LN_TAU].exp()
    }

    /// How far the usual start and the gel point are believed to lie from those taken for granted, K.
    pub fn offsets_k(&self) -> (f64, f64) {
        (self.mean[USUAL_START] + self.mean[START_NOW], self.mean[GEL_POINT] + self.mean[GEL_POINT_NOW])
    }

    /// The same pot filled otherwise, `ratio` of what there was: heat is held by the whole and lost by the surface, so the
    /// time constant goes with it (assumed).
    #[must_use]
    pub fn with_fill_changed(mut self, ratio: f64) -> PotEstimate {
        self.mean[LN_TAU] += ratio.ln();
        self.covariance[LN_TAU][LN_TAU] += (FILL_SHARE * ratio.ln()).powi(2);
        self
    }

    /// The same pot at the beginning of another cooling.
    #[must_use]
    pub fn at_next_cooling(mut self, setting: &CoolingSetting) -> PotEstimate {
        self.covariance[LN_TAU][LN_TAU] += WALK_SD * WALK_SD;
        for (unknown, sd) in [(START_NOW, setting.start_sd_k), (GEL_POINT_NOW, GEL_POINT_MOVES_SD_K)] {
            self.mean[unknown] = 0.0;
            self.covariance[unknown] = [0.0; UNKNOWNS];
            self.covariance.iter_mut().for_each(|row| row[unknown] = 0.0);
            self.covariance[unknown][unknown] = sd * sd;
        }
        self
    }

    /// Takes in what lies `off` along `slope`, with that variance. Returns the variance it was expected to have.
    fn take_in(&mut self, slope: &Unknowns, off: f64, variance: f64) -> f64 {
        let along: Unknowns = std::array::from_fn(|i| dot(&self.covariance[i], slope));
        let expected = dot(&along, slope) + variance;
        self.shift(&along, off / expected, 1.0 / expected);
        expected
    }

    fn shift(&mut self, along: &Unknowns, by: f64, shrink: f64) {
        for i in 0..UNKNOWNS {
            self.mean[i] += along[i] * by;
            for j in 0..UNKNOWNS {
                self.covariance[i][j] -= along[i] * along[j] * shrink;
            }
        }
    }

    /// How far off a height is by the straight line through `point`.
    fn off_by_line(&self, point: &Unknowns, (height, slope): (f64, &Unknowns)) -> f64 {
        let from_point: Unknowns = std::array::from_fn(|i| self.mean[i] - point[i]);
        -(height + dot(slope, &from_point))
    }

    /// With the thermometer readings of this cooling.
    #[must_use]
    pub fn with_readings(&self, setting: &CoolingSetting, readings: &[ThermometerReading]) -> PotEstimate {
        let mut fitted = *self;
        for _ in 0..STEPS {
            let point = fitted.mean;
            fitted = *self;
            for reading in readings {
                let (height, slope) = setting.height_above(&point, reading.time_min, Some(reading.temp_c));
                let off = fitted.off_by_line(&point, (height, &slope));
                fitted.take_in(&slope, off, READING_SD_K * READING_SD_K);
            }
            fitted.stay_near(self);
            if fitted.is_settled(&point) {
                break;
            }
        }
        fitted
    }

    fn is_settled(&self, point: &Unknowns) -> bool {
        self.mean.iter().zip(point).all(|(new, old)| (new - old).abs() < 1e-6)
    }

    /// A step too long for the straight line is shortened.
    fn stay_near(&mut self, before: &PotEstimate) {
        let ln_tau = before.mean[LN_TAU];
        self.mean[LN_TAU] = self.mean[LN_TAU].clamp(ln_tau - 2.0, ln_tau + 2.0);
    }

    /// With what the end of this cooling says. Something may have changed that nobody told of: both are weighed by how
    /// well they foretold the end.
    #[must_use]
    pub fn with_end(&self, setting: &CoolingSetting, end: CoolingEnd) -> PotEstimate {
        let mut changed = *self;
        changed.covariance[LN_TAU][LN_TAU] += UNTOLD_CHANGE.1.powi(2);
        let ((same, same_fits), (changed, changed_fits)) =
            (self.with_end_unchanged(setting, end), changed.with_end_unchanged(setting, end));
        mix((same, (1.0 - UNTOLD_CHANGE.0) * same_fits), (changed, UNTOLD_CHANGE.0 * changed_fits))
    }

    fn with_end_unchanged(&self, setting: &CoolingSetting, end: CoolingEnd) -> (PotEstimate, f64) {
        match end {
            CoolingEnd::Gelled(min) => self.with_jelly(setting, min),
            CoolingEnd::StillLiquid(min) => self.with_liquid(setting, min),
            CoolingEnd::IntoBath(min) => {
                let (liquid, fits) = self.with_liquid(setting, min);
                let weights = ((1.0 - UNMARKED_JELLY) * fits, UNMARKED_JELLY * (1.0 - fits));
                (mix((liquid, weights.0), (*self, weights.1)), weights.0 + weights.1)
            }
        }
    }

    /// A jelly at that time, and how well it fits.
    fn with_jelly(&self, setting: &CoolingSetting, time_min: f64) -> (PotEstimate, f64) {
        let (mut fitted, mut fits, mut first_square) = (*self, 0.0, None);
        for _ in 0..STEPS {
            let point = fitted.mean;
            fitted = *self;
            let (height, slope) = setting.height_above(&point, time_min, None);
            let off = fitted.off_by_line(&point, (height, &slope));
            // The curve falls by this much in the minute by which a mark is late.
            let by_mark = MARK_SD_MIN * slope[LN_TAU] / time_min.max(0.5);
            let expected = fitted.take_in(&slope, off, by_mark * by_mark + 1e-4);
            first_square.get_or_insert((off * off / expected).min(SCATTER.2));
            fits = (-0.5 * off * off / expected).exp() * slope[LN_TAU].abs() / expected.sqrt();
            fitted.stay_near(self);
            if fitted.is_settled(&point) {
                break;
            }
        }
        fitted.scatter = (self.scatter.0 + first_square.unwrap_or(1.0), self.scatter.1 + 1.0);
        (fitted, fits)
    }

    /// Found liquid at that time (right-censored), and how well that fits.
    fn with_liquid(&self, setting: &CoolingSetting, time_min: f64) -> (PotEstimate, f64) {
        let (height, slope) = setting.height_above(&self.mean, time_min, None);
        let along: Unknowns = std::array::from_fn(|i| dot(&self.covariance[i], &slope));
        let variance = dot(&along, &slope);
        let Some(above) = truncated_moments(-height / variance.sqrt()) else { return (*self, 0.0) };
        let mut fitted = *self;
        fitted.shift(&along, above.mean / variance.sqrt(), (1.0 - above.variance) / variance);
        (fitted, above.chance)
    }

    /// The minutes until it gels by the best guess alone. None where it never does, or did before.
    pub fn expected_minutes(&self, setting: &CoolingSetting) -> Option<f64> {
        let (start, gel) = self.offsets_k();
        let ratio = (setting.start_c + start - setting.room_c) / (setting.gels_c + gel - setting.room_c);
        (ratio > 1.0 && ratio.is_finite()).then(|| self.time_constant_min() * ratio.ln())
    }

    /// When it gels, known to be liquid until `liquid_until_min`. None in a room too warm for it.
    pub fn forecast(&self, setting: &CoolingSetting, liquid_until_min: f64) -> Option<GelMinutes> {
        let (start, gel) = self.offsets_k();
        let (start_k, gel_k) = (setting.start_c + start - setting.room_c, setting.gels_c + gel - setting.room_c);
        if start_k <= 0.0 || gel_k <= 0.0 || !self.mean[LN_TAU].is_finite() {
            return None;
        }
        let mut slope = [0.0; UNKNOWNS];
        (slope[USUAL_START], slope[START_NOW]) = (1.0 / start_k, 1.0 / start_k);
        (slope[GEL_POINT], slope[GEL_POINT_NOW]) = (-1.0 / gel_k, -1.0 / gel_k);
        let scatter = (self.scatter.0 / self.scatter.1).max(SCATTER.1);
        let along: Unknowns = std::array::from_fn(|i| dot(&self.covariance[i], &slope) * scatter);
        let ln_tau_sd = (self.covariance[LN_TAU][LN_TAU] * scatter).max(1e-12).sqrt();
        let with_tau = along[LN_TAU] / ln_tau_sd;
        let times = GelTimes {
            ln_tau: self.mean[LN_TAU],
            ln_tau_sd,
            ln_ratio: (start_k / gel_k).ln(),
            ln_ratio_with_tau: with_tau,
            ln_ratio_sd: (dot(&along, &slope) - with_tau * with_tau).max(1e-9).sqrt(),
        };
        Some(times.quantiles(liquid_until_min))
    }
}

/// Two guesses as one, weighed: mean and covariance of both together.
fn mix((a, a_weight): (PotEstimate, f64), (b, b_weight): (PotEstimate, f64)) -> PotEstimate {
    let share = if a_weight + b_weight > 0.0 { b_weight / (a_weight + b_weight) } else { 0.5 };
    let between = |a: f64, b: f64| a + (b - a) * share;
    let apart: Unknowns = std::array::from_fn(|i| b.mean[i] - a.mean[i]);
    PotEstimate {
        mean: std::array::from_fn(|i| between(a.mean[i], b.mean[i])),
        covariance: std::array::from_fn(|i| {
            std::array::from_fn(|j| {
                between(a.covariance[i][j], b.covariance[i][j]) + share * (1.0 - share) * apart[i] * apart[j]
            })
        }),
        scatter: (between(a.scatter.0, b.scatter.0), between(a.scatter.1, b.scatter.1)),
    }
}

#[cfg(test)]
#[path = "gel_filter_tests.rs"]
mod tests;
