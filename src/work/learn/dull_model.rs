//! How long the maker's coats take to go dull, in any air: a line through the logarithms of their marks.
//!
//! `ln t = a + b ln f`, `f` being how many times as long as at 20 C and 50 % a film takes by its drying force. Conjugate
//! normal: the prior holds until marks speak, and one mark already moves it.

/// What is believed before the first mark: sd of `a` about the recipe's wait (assumed).
const PRIOR_LN_WAIT_SD: f64 = 0.4;
/// `b` before the first mark, and its sd: a film held between the wet bulb and the air (assumed).
const PRIOR_SLOPE: (f64, f64) = (0.7, 0.3);
/// How far coats of one maker differ in like air, in the logarithm, before the first mark (assumed).
const PRIOR_RESIDUAL_SD: f64 = 0.15;
/// So many marks that is worth (assumed).
const PRIOR_RESIDUAL_MARKS: f64 = 4.0;
/// 95 % of a normal lie below; between two such nine in ten.
const NORMAL_95: f64 = 1.644_853_627;
/// The shortest and the longest time told, minutes.
const TOLD_MIN: (f64, f64) = (0.1, 10_000.0);

/// When the next coat goes dull, minutes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DullPrediction {
    /// Half of the coats are dull by then.
    pub best: f64,
    /// Nine in ten go dull between this,
    pub low: f64,
    /// and this.
    pub high: f64,
}

/// The line, as far as it is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DullTimeModel {
    line: [f64; 2],
    /// Of `line`, in parts of the residual's variance.
    covariance: [[f64; 2]; 2],
    squares: f64,
    freedom: f64,
}

impl DullTimeModel {
    /// What is believed of a recipe that waits so many minutes.
    pub fn from_recipe(wait_min: f64) -> DullTimeModel {
        let part = |sd: f64| (sd / PRIOR_RESIDUAL_SD).powi(2);
        DullTimeModel {
            line: [wait_min.max(TOLD_MIN.0).ln(), PRIOR_SLOPE.0],
            covariance: [[part(PRIOR_LN_WAIT_SD), 0.0], [0.0, part(PRIOR_SLOPE.1)]],
            squares: PRIOR_RESIDUAL_MARKS * PRIOR_RESIDUAL_SD.powi(2),
            freedom: PRIOR_RESIDUAL_MARKS,
        }
    }

    /// The same after one more mark: dull after so many minutes where waits took `factor` times as long.
    #[must_use]
    pub fn with_mark(self, factor: f64, minutes: f64) -> DullTimeModel {
        let (x, y) = (factor.ln(), minutes.ln());
        if !(x.is_finite() && y.is_finite()) {
            return self;
        }
        let ([a, b], [[aa, ab], [_, bb]]) = (self.line, self.covariance);
        let gain = [aa + ab * x, ab + bb * x];
        let spread = 1.0 + gain[0] + gain[1] * x;
        let off = y - a - b * x;
        DullTimeModel {
            line: [a + gain[0] * off / spread, b + gain[1] * off / spread],
            covariance: [
                [aa - gain[0] * gain[0] / spread, ab - gain[0] * gain[1] / spread],
                [ab - gain[0] * gain[1] / spread, bb - gain[1] * gain[1] / spread],
            ],
            squares: self.squares + off * off / spread,
            freedom: self.freedom + 1.0,
        }
    }

    /// When the next coat goes dull where waits take `factor` times as long.
    pub fn predict(&self, factor: f64) -> DullPrediction {
        let x = factor.max(f64::MIN_POSITIVE).ln();
        let [[aa, ab], [_, bb]] = self.covariance;
        let middle = self.line[0] + self.line[1] * x;
        let variance = self.squares / self.freedom * (1.0 + aa + 2.0 * ab * x + bb * x * x);
        let half = student_95(self.freedom) * variance.max(0.0).sqrt();
        let told = |ln: f64| ln.exp().clamp(TOLD_MIN.0, TOLD_MIN.1);
        DullPrediction { best: told(middle), low: told(middle - half), high: told(middle + half) }
    }
}

/// Below it lie 95 % of Student's t. Abramowitz and Stegun 26.7.5 (from memory), good to a thousandth from 4 degrees on.
fn student_95(freedom: f64) -> f64 {
    let z = NORMAL_95;
    let first = (z.powi(3) + z) / 4.0;
    let second = (5.0 * z.powi(5) + 16.0 * z.powi(3) + 3.0 * z) / 96.0;
    let third = (3.0 * z.powi(7) + 19.0 * z.powi(5) + 17.0 * z.powi(3) - 15.0 * z) / 384.0;
    z + first / freedom + second / freedom.powi(2) + third / freedom.powi(3)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn learn(marks: &[(f64, f64)]) -> DullTimeModel {
        marks.iter().fold(DullTimeModel::from_recipe(15.0), |model, (f, min)| model.with_mark(*f, *min))
    }

    #[test]
    fn student_s_t_is_that_of_the_tables() {
        // The 95 % column printed in every textbook.
        for (freedom, t) in [(4.0, 2.132), (5.0, 2.015), (7.0, 1.895), (10.0, 1.812), (30.0, 1.697)] {
            assert!((student_95(freedom) - t).abs() < 0.003, "{freedom}: {}", student_95(freedom));
        }
    }

    #[test]
    fn marks_move_the_line_as_the_closed_form_says() {
        // Computed apart from this code by the matrix form (X'X + V0^-1)^-1 (X'y + V0^-1 m0), numpy.
        for (marks, factor, expected) in [
            (&[][..], 1.0, [15.000, 6.033, 37.292]),
            (&[(1.0, 12.0)][..], 1.0, [12.335, 8.412, 18.087]),
            (&[(1.0, 12.0)][..], 3.0, [26.614, 12.909, 54.868]),
            (&[(1.0, 12.0), (1.5, 14.0), (2.7, 24.0), (0.8, 11.0)][..], 2.0, [18.918, 14.543, 24.609]),
        ] {
            let got = learn(marks).predict(factor);
            let told = [got.best, got.low, got.high];
            assert!(told.iter().zip(expected).all(|(a, b)| (a / b - 1.0).abs() < 0.004), "{marks:?} {factor}: {got:?}");
        }
    }

    #[test]
    fn what_is_no_time_teaches_nothing() {
        let before = learn(&[(1.0, 12.0)]);
        for (factor, minutes) in [(0.0, 12.0), (f64::NAN, 12.0), (1.0, 0.0), (1.0, f64::INFINITY), (-1.0, 3.0)] {
            assert_eq!(before.with_mark(factor, minutes), before);
        }
    }
}
