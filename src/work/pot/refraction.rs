//! Glue strength from a refractometer, by the maker's own readings of size whose glue and water were weighed.
//!
//! What a degree Brix of hide glue stands for differs with glue and instrument, so no constant is taken from elsewhere:
//! without a pot of known strength a reading is only written down. Refraction follows the share of the mass that is
//! dissolved, so that is what is fitted.

use crate::craft::physics::film::WATER_G_PER_L;

/// The most that a reading may be; the scales of pocket refractometers end there (common practice, no source).
pub const BRIX_MAX: f64 = 95.0;
/// What a reading is off by, degrees: half of the finest mark of a pocket refractometer (assumed).
const READING_SD: f64 = 0.1;
/// A slope through zero where there are fewer than this.
const POINTS_FOR_LINE: usize = 3;

/// A reading of size whose strength is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CalibrationPoint {
    /// Degrees.
    pub brix: f64,
    /// Dry glue to a litre of water, g.
    pub strength: f64,
}

/// What the maker's own readings make of a degree.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BrixCalibration {
    /// How many readings it rests on.
    pub points: usize,
    intercept: f64,
    slope: f64,
    mean_brix: f64,
    /// The sum of squares about the mean; about zero where the line goes through zero.
    spread: f64,
    /// What a share is off by about the line.
    sd: f64,
}

/// A strength from a reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BrixStrength {
    /// Dry glue to a litre of water, g.
    pub strength: f64,
    /// Its standard deviation, g.
    pub sd: f64,
}

/// Grams of glue in a gram of size.
fn mass_share(strength: f64) -> f64 {
    strength / (strength + WATER_G_PER_L)
}

impl BrixCalibration {
    /// A slope through zero from one or two readings, a line from three. Nothing without any, and where they do not rise.
    pub fn fit(points: &[CalibrationPoint]) -> Option<BrixCalibration> {
        let n = points.len() as f64;
        let known = || points.iter().map(|p| (p.brix, mass_share(p.strength)));
        let has_line = points.len() >= POINTS_FOR_LINE;
        let mean = |sum: f64| if has_line { sum / n } else { 0.0 };
        let (mean_x, mean_y) = (mean(known().map(|(x, _)| x).sum()), mean(known().map(|(_, y)| y).sum()));
        let xx: f64 = known().map(|(x, _)| (x - mean_x).powi(2)).sum();
        let slope = known().map(|(x, y)| (x - mean_x) * (y - mean_y)).sum::<f64>() / xx;
        if !slope.is_finite() || slope <= 0.0 {
            return None;
        }
        let intercept = mean_y - slope * mean_x;
        let squares: f64 = known().map(|(x, y)| (y - intercept - slope * x).powi(2)).sum();
        let scatter = if has_line { (squares / (n - 2.0).max(1.0)).sqrt() } else { 0.0 };
        let sd = scatter.max(slope * READING_SD);
        Some(BrixCalibration { points: points.len(), intercept, slope, mean_brix: mean_x, spread: xx, sd })
    }

    /// The strength that reading tells; nothing where the line says that there is no glue, or no water.
    pub fn strength(&self, brix: f64) -> Option<BrixStrength> {
        let share = self.intercept + self.slope * brix;
        if !(share > 0.0 && share < 0.9) {
            return None;
        }
        let lever = (brix - self.mean_brix).powi(2) / self.spread
            + if self.points >= POINTS_FOR_LINE { 1.0 / self.points as f64 } else { 0.0 };
        let share_sd = self.sd * (1.0 + lever).sqrt();
        // d strength / d share
        let steep = WATER_G_PER_L / (1.0 - share).powi(2);
        Some(BrixStrength { strength: share / (1.0 - share) * WATER_G_PER_L, sd: steep * share_sd })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn point(brix: f64, strength: f64) -> CalibrationPoint {
        CalibrationPoint { brix, strength }
    }

    #[test]
    fn one_reading_is_a_slope_and_three_are_a_line() {
        assert!(BrixCalibration::fit(&[]).is_none() && BrixCalibration::fit(&[point(0.0, 70.0)]).is_none());
        // 70 g to a litre is 6.553 % of the mass; read as 8.0.
        let one = BrixCalibration::fit(&[point(8.0, 70.0)]).unwrap();
        let same = one.strength(8.0).unwrap();
        assert!((same.strength - 70.0).abs() < 1e-9, "{same:?}");
        // Half the reading: 3.2764 % is 33.81 g to a litre of 998.2 g.
        assert!((one.strength(4.0).unwrap().strength - 33.813).abs() < 1e-2);
        // 0.1 degree of reading at either end: 0.0819 % of the mass each, times 998.2/0.93447^2.
        assert!((same.sd - 1.3245).abs() < 0.01, "{same:?}");
        let three = [point(6.5, 50.0), point(8.5, 70.0), point(10.5, 91.0)];
        let line = BrixCalibration::fit(&three).unwrap();
        for known in three {
            let got = line.strength(known.brix).unwrap();
            assert!((got.strength - known.strength).abs() < 1.0 && got.sd > 0.0, "{known:?}: {got:?}");
        }
        // Far from what was read it knows less.
        assert!(line.strength(16.0).unwrap().sd > 1.5 * line.strength(8.5).unwrap().sd);
        // The same reading for every strength tells nothing.
        assert!(BrixCalibration::fit(&[point(8.0, 50.0), point(8.0, 70.0), point(8.0, 90.0)]).is_none());
    }
}
