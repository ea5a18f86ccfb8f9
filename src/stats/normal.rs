//! The normal distribution: its density, how much of it lies below a value, and its moments where its lower part is cut off.

/// The density of the standard normal distribution.
pub fn normal_density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt()
}

/// The share of the standard normal distribution below `z`.
pub fn normal_share_below(z: f64) -> f64 {
    0.5 * libm::erfc(-z / std::f64::consts::SQRT_2)
}

/// The moments of a standard normal number known to lie above a bound.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TruncatedMoments {
    /// The chance of lying there at all.
    pub chance: f64,
    /// The mean.
    pub mean: f64,
    /// The variance.
    pub variance: f64,
}

/// The moments above `bound`: with l = density/chance the mean is l and the variance 1 + bound l - l^2 (truncated normal
/// distribution, textbook). None so far out that the chance is nothing.
pub fn truncated_moments(bound: f64) -> Option<TruncatedMoments> {
    let chance = normal_share_below(-bound);
    (chance > 1e-12).then(|| {
        let mean = normal_density(bound) / chance;
        TruncatedMoments { chance, mean, variance: (1.0 + bound * mean - mean * mean).max(0.0) }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Tables of the normal distribution.
    #[test]
    fn shares_are_those_of_the_tables() {
        for (z, share) in [(0.0, 0.5), (1.0, 0.841_345), (1.644_854, 0.95), (-1.959_964, 0.025), (-3.0, 0.001_350)] {
            assert!((normal_share_below(z) - share).abs() < 1e-6, "{z}");
        }
    }

    /// Against sums over a fine grid.
    #[test]
    fn truncated_moments_are_those_of_a_grid() {
        for bound in [-2.0, -0.5, 0.0, 0.8, 2.5] {
            let (mut all, mut first, mut second) = (0.0, 0.0, 0.0);
            for i in 0..200_000 {
                let z = bound + (f64::from(i) + 0.5) * 5e-5;
                let weight = normal_density(z) * 5e-5;
                (all, first, second) = (all + weight, first + z * weight, second + z * z * weight);
            }
            let (mean, got) = (first / all, truncated_moments(bound).unwrap());
            let off = [got.chance - all, got.mean - mean, got.variance - (second / all - mean * mean)];
            assert!(off.iter().all(|d| d.abs() < 1e-6), "{bound}: {off:?}");
        }
        assert_eq!(truncated_moments(40.0), None);
    }
}
