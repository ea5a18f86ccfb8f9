//! Shellac: pound cuts, grams to a litre, mixing and diluting.
//!
//! A strength "to a litre of spirit" counts the spirit before the resin went in; "of solution" counts what stands in the
//! jar. They differ by a tenth at a 1-pound cut, and most quarrels about cuts are that difference.
//!
//! Absent on purpose: how much a panel takes (`quantities::mix`), the dangers of spirit (`materials`).

use super::{OutOfRange, within};

/// A pound in grams and a US gallon in litres, both exact (NIST Handbook 44 App. C, from memory; 231 cubic inches READ).
const LB_G: f64 = 453.592_37;
const US_GALLON_L: f64 = 3.785_411_784;
/// Dry shellac, g/ml (1.035 to 1.20 from memory; 1.14 gives the published "2 lb makes 1.2 gallons" back).
pub const RESIN_G_PER_ML: f64 = 1.14;
/// The strongest solution believed, g of resin to a litre of spirit (an 8-pound cut and a little).
const STRONGEST_G_PER_L: f64 = 1000.0;

/// What goes into a jar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Jar {
    /// Dry resin, g.
    pub resin_g: f64,
    /// Spirit, ml.
    pub spirit_ml: f64,
}

fn strength(g_per_l_spirit: f64) -> Result<f64, OutOfRange> {
    within("shellac to a litre of spirit", g_per_l_spirit, 0.0, STRONGEST_G_PER_L, "g/l")
}

/// Grams of resin to a litre of spirit at a pound cut (pounds to a US gallon of spirit): 119.826 g/l a pound, exact.
///
/// Definition. Valid from 0 to 8.3 lb.
pub fn g_per_l_spirit(pound_cut: f64) -> Result<f64, OutOfRange> {
    Ok(within("pound cut", pound_cut, 0.0, 8.3, "lb")? * LB_G / US_GALLON_L)
}

/// The pound cut of so many grams to a litre of spirit: [`g_per_l_spirit`] turned round. Valid from 0 to 1000 g/l.
pub fn pound_cut(g_per_l_spirit: f64) -> Result<f64, OutOfRange> {
    Ok(strength(g_per_l_spirit)? * US_GALLON_L / LB_G)
}

/// Litres of solution that a litre of spirit makes: its own volume and the resin's. Valid from 0 to 1000 g/l.
///
/// Volumes are taken to add (assumed; published mixing tables agree to 2 %).
pub fn solution_l_per_l_spirit(g_per_l_spirit: f64) -> Result<f64, OutOfRange> {
    Ok(1.0 + strength(g_per_l_spirit)? / 1000.0 / RESIN_G_PER_ML)
}

/// Grams of resin in a litre of solution: `s/(1 + s/1140)`. Valid from 0 to 1000 g/l of spirit.
pub fn g_per_l_solution(g_per_l_spirit: f64) -> Result<f64, OutOfRange> {
    Ok(strength(g_per_l_spirit)? / solution_l_per_l_spirit(g_per_l_spirit)?)
}

/// Grams to a litre of spirit, from grams in a litre of solution: `c/(1 - c/1140)`. Valid from 0 to 532 g/l of solution.
pub fn g_per_l_spirit_of_solution(g_per_l_solution: f64) -> Result<f64, OutOfRange> {
    let c = within("shellac in a litre of solution", g_per_l_solution, 0.0, 532.0, "g/l")?;
    Ok(c / (1.0 - c / 1000.0 / RESIN_G_PER_ML))
}

/// What makes `solution_ml` of a strength. Valid from 0 to 1e6 ml, 0 to 1000 g/l of spirit.
pub fn mix(solution_ml: f64, g_per_l_spirit: f64) -> Result<Jar, OutOfRange> {
    let solution = within("solution", solution_ml, 0.0, 1e6, "ml")?;
    let spirit_ml = solution / solution_l_per_l_spirit(g_per_l_spirit)?;
    Ok(Jar { resin_g: spirit_ml * g_per_l_spirit / 1000.0, spirit_ml })
}

/// Parts of spirit, by volume, to add to one part of solution to weaken it.
///
/// `(s1/s2 - 1)/(1 + s1/1140)`, strengths in g to a litre of spirit. The wanted strength may not be the greater one, nor
/// less than 1 g/l.
pub fn spirit_to_add(from_g_per_l_spirit: f64, to_g_per_l_spirit: f64) -> Result<f64, OutOfRange> {
    let from = strength(from_g_per_l_spirit)?;
    let to = within("strength after diluting", to_g_per_l_spirit, 1.0, from, "g/l")?;
    Ok((from / to - 1.0) / solution_l_per_l_spirit(from)?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn published_dilutions_agree() {
        // Parts of spirit to one of solution, from a published chart where it agrees with arithmetic.
        for (from, to, parts) in [
            (3.0, 2.0, 0.380),
            (3.0, 1.0, 1.521),
            (4.0, 3.0, 0.2347),
            (4.0, 2.0, 0.704),
            (4.0, 1.0, 2.112),
            (5.0, 1.0, 2.622),
            (5.0, 2.0, 0.983),
        ] {
            let got = spirit_to_add(g_per_l_spirit(from).unwrap(), g_per_l_spirit(to).unwrap()).unwrap();
            assert!((got - parts).abs() < 0.0006, "{from} to {to}: {got}");
        }
    }

    #[test]
    fn a_jar_holds_what_was_asked() {
        // 100 ml at 120 g/l: 100/(1 + 0.12/1.14) = 90.476 ml of spirit and 10.857 g of resin.
        let jar = mix(100.0, 120.0).unwrap();
        assert!((jar.spirit_ml - 90.4762).abs() < 1e-3 && (jar.resin_g - 10.8571).abs() < 1e-3, "{jar:?}");
        assert!((jar.spirit_ml + jar.resin_g / RESIN_G_PER_ML - 100.0).abs() < 1e-9);
    }

    #[test]
    fn what_cannot_be_is_refused() {
        let nan = f64::NAN;
        assert!(g_per_l_spirit(-1.0).is_err() && g_per_l_spirit(nan).is_err() && pound_cut(nan).is_err());
        assert!(mix(nan, 120.0).is_err() && mix(100.0, 1001.0).is_err() && g_per_l_spirit_of_solution(nan).is_err());
        assert_eq!(spirit_to_add(120.0, 240.0).unwrap_err().hi, 120.0);
        assert!(spirit_to_add(120.0, nan).is_err() && spirit_to_add(120.0, 0.0).is_err());
    }

    proptest! {
        #[test]
        fn cut_and_strength_are_inverse(cut in 0.0..8.0f64) {
            prop_assert!((pound_cut(g_per_l_spirit(cut).unwrap()).unwrap() - cut).abs() < 1e-12);
        }

        #[test]
        fn spirit_and_solution_are_inverse(s in 0.0..990.0f64) {
            let back = g_per_l_spirit_of_solution(g_per_l_solution(s).unwrap()).unwrap();
            prop_assert!((back - s).abs() < 1e-9);
        }

        #[test]
        fn a_diluted_jar_has_the_strength_asked(from in 100.0..900.0f64, part in 0.1..1.0f64) {
            let to = from * part;
            let jar = mix(100.0, from).unwrap();
            let spirit_ml = jar.spirit_ml + 100.0 * spirit_to_add(from, to).unwrap();
            prop_assert!((jar.resin_g / spirit_ml * 1000.0 - to).abs() < 1e-9);
        }
    }
}
