//! Figures of figures, whatever they mean and of whichever unit they are: the median, the normal distribution, the
//! permutation test, a trial tested as it was drawn, an approach to an end, and chance from a seed.

pub mod approach;
pub mod interval_censored;
pub mod normal;
pub mod permutation;
pub mod redraw;
pub mod shuffle;
pub mod split_mix;

/// The median, of an even number of values the mean of the middle two; nothing of no values.
pub fn median(values: &[f64]) -> Option<f64> {
    let mut rising = values.to_vec();
    rising.sort_by(f64::total_cmp);
    let upper = *rising.get(rising.len() / 2)?;
    let lower = *rising.get(rising.len().saturating_sub(1) / 2)?;
    // Halved first, so that the sum of two large values is still a number.
    Some(lower / 2.0 + upper / 2.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_median_lies_in_the_middle_or_between_the_middle_two() {
        for (values, expected) in [
            (&[][..], None),
            (&[40.0], Some(40.0)),
            (&[50.0, 30.0], Some(40.0)),
            (&[7.0, -1.25, 7.0, 0.5, 3.5], Some(3.5)),
            (&[31.0, 1.0, 16.0, 2.0, 8.0, 4.0], Some(6.0)),
            (&[f64::MAX, f64::MAX], Some(f64::MAX)),
        ] {
            assert_eq!(median(values), expected, "{values:?}");
        }
    }
}
