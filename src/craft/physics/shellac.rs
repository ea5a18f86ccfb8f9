//! Shellac: pound cuts, grams to a litre, mixing.
//!
//! A strength "to a litre of spirit" counts the spirit before the resin went in; "of solution" counts what stands in the
//! jar. They differ by a tenth at a 1-pound cut, and most quarrels about cuts are that difference.
//!
//! Absent on purpose: how much a panel takes (`quantities::mix`), the dangers of spirit (`materials`).

use super::{OutOfRange, check_range};
use crate::units::Mass;

/// A US gallon in litres, exact (NIST Handbook 44 App. C, from memory; 231 cubic inches READ).
const L_PER_US_GALLON: f64 = 3.785_411_784;
/// Dry shellac, g/ml (1.035 to 1.20 from memory; 1.14 gives the published "2 lb makes 1.2 gallons" back).
pub const RESIN_G_PER_ML: f64 = 1.14;
/// The strongest solution believed, g of resin to a litre of spirit (an 8-pound cut and a little).
const MAX_G_PER_L_SPIRIT: f64 = 1000.0;

/// What goes into a jar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShellacMix {
    /// Dry resin, g.
    pub resin_g: f64,
    /// Spirit, ml.
    pub spirit_ml: f64,
}

fn checked_strength(g_per_l_spirit: f64) -> Result<f64, OutOfRange> {
    check_range("shellac to a litre of spirit", g_per_l_spirit, 0.0, MAX_G_PER_L_SPIRIT, "g/l")
}

/// The pound cut of so many grams to a litre of spirit: pounds to a US gallon, 119.826 g/l a pound, exact. Valid from 0 to
/// 1000 g/l.
pub fn pound_cut_from_g_per_l_spirit(g_per_l_spirit: f64) -> Result<f64, OutOfRange> {
    Ok(checked_strength(g_per_l_spirit)? * L_PER_US_GALLON / Mass::G_PER_LB)
}

/// Litres of solution that a litre of spirit makes: its own volume and the resin's. Valid from 0 to 1000 g/l.
///
/// Volumes are taken to add (assumed; published mixing tables agree to 2 %).
pub fn solution_l_per_l_spirit(g_per_l_spirit: f64) -> Result<f64, OutOfRange> {
    Ok(1.0 + checked_strength(g_per_l_spirit)? / 1000.0 / RESIN_G_PER_ML)
}

/// What makes `solution_ml` of a strength. Valid from 0 to 1e6 ml, 0 to 1000 g/l of spirit.
pub fn mix_shellac(solution_ml: f64, g_per_l_spirit: f64) -> Result<ShellacMix, OutOfRange> {
    let solution = check_range("solution", solution_ml, 0.0, 1e6, "ml")?;
    let spirit_ml = solution / solution_l_per_l_spirit(g_per_l_spirit)?;
    Ok(ShellacMix { resin_g: spirit_ml * g_per_l_spirit / 1000.0, spirit_ml })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_jar_holds_what_was_asked() {
        // 100 ml at 120 g/l: 100/(1 + 0.12/1.14) = 90.476 ml of spirit and 10.857 g of resin.
        let jar = mix_shellac(100.0, 120.0).unwrap();
        assert!((jar.spirit_ml - 90.4762).abs() < 1e-3 && (jar.resin_g - 10.8571).abs() < 1e-3, "{jar:?}");
        assert!((jar.spirit_ml + jar.resin_g / RESIN_G_PER_ML - 100.0).abs() < 1e-9);
    }

    #[test]
    fn what_cannot_be_is_refused() {
        let nan = f64::NAN;
        assert!(pound_cut_from_g_per_l_spirit(-1.0).is_err() && pound_cut_from_g_per_l_spirit(nan).is_err());
        assert!(mix_shellac(nan, 120.0).is_err() && mix_shellac(100.0, 1001.0).is_err());
    }
}
