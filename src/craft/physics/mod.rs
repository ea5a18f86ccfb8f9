//! Formulas: air, wood, cooling, films and their bow, shellac, drying, abrasives, water in a board. Each says where it comes from and
//! over what range it may be believed; outside that range it answers [`OutOfRange`], and not-a-number never passes.
//!
//! Bare numbers carry their unit in their name: temperatures in C, humidities in per cent, pressures in Pa.
//! "READ" in a source means the passage was opened; "from memory" means that it was not found.

use std::fmt;

pub mod air;
pub mod cooling;
pub mod gel_filter;
pub mod gel_times;
pub mod wood;

pub mod film;

pub mod bow;

pub mod shellac;

pub mod drying;

pub mod abrasives;

pub mod slab;

/// A figure lies outside the range in which a formula may be believed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OutOfRange {
    /// What the figure is, in words.
    pub quantity: &'static str,
    /// The figure as given; may be not-a-number.
    pub given: f64,
    /// The lowest figure that would do.
    pub lo: f64,
    /// The highest figure that would do.
    pub hi: f64,
    /// The unit of all three.
    pub unit: &'static str,
}

impl fmt::Display for OutOfRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let OutOfRange { quantity: what, given, lo, hi, unit } = *self;
        let space = if unit.is_empty() { "" } else { " " };
        if given.is_nan() {
            return write!(f, "{what} is not a number; it should be {lo} to {hi}{space}{unit}");
        }
        let given = (given * 1e4).round() / 1e4;
        write!(f, "{what}: {given}{space}{unit} is outside the range {lo} to {hi}{space}{unit}")
    }
}

impl std::error::Error for OutOfRange {}

/// `given` if it lies from `lo` to `hi`, both included; not-a-number lies nowhere.
pub(crate) fn check_range(
    what: &'static str,
    given: f64,
    lo: f64,
    hi: f64,
    unit: &'static str,
) -> Result<f64, OutOfRange> {
    if lo <= given && given <= hi { Ok(given) } else { Err(OutOfRange { quantity: what, given, lo, hi, unit }) }
}

/// Halves the interval from `lo` to `hi` until it cannot be halved, and gives where `low_enough` stops being true.
pub(crate) fn bisect(mut lo: f64, mut hi: f64, low_enough: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..80 {
        let mid = lo + (hi - lo) / 2.0;
        if low_enough(mid) {
            lo = mid;
        } else {
            hi = mid;
        }
    }
    lo + (hi - lo) / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ends_belong_to_the_range_and_not_a_number_does_not() {
        for (given, fits) in [(0.0, true), (100.0, true), (-1e-9, false), (100.1, false), (f64::NAN, false)] {
            assert_eq!(check_range("relative humidity", given, 0.0, 100.0, "%").is_ok(), fits, "{given}");
        }
    }

    #[test]
    fn a_refusal_says_the_figure_and_the_range() {
        let said = |given| check_range("relative humidity", given, 0.0, 100.0, "%").unwrap_err().to_string();
        assert_eq!(said(120.0), "relative humidity: 120 % is outside the range 0 to 100 %");
        assert_eq!(said(f64::NAN), "relative humidity is not a number; it should be 0 to 100 %");
    }
}
