//! Amounts: what a job takes, what a board will do, what the air means, when a pot gels. Plain values, ready to be told;
//! an estimate comes with what it rests on.

use super::physics::film::{GLUE_G_PER_ML, WATER_G_PER_ML};
use super::physics::{OutOfRange, check_range};
use std::fmt;

pub mod air_properties;
pub mod board;
pub mod consumption;
pub mod gel_forecast;
pub mod mix;
pub mod wet_face;

/// One sentence of advice and where it comes from. Never a verdict: the maker's own panels answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Advice {
    /// The sentence, with its full stop.
    pub text: String,
    /// Where it comes from.
    pub source: String,
}

impl Advice {
    fn new(said: impl Into<String>, source: impl Into<String>) -> Advice {
        Advice { text: said.into(), source: source.into() }
    }
}

impl fmt::Display for Advice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} ({})", self.text, self.source)
    }
}

/// Size: so much dry glue in so much water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SizeMix {
    /// The whole, ml.
    pub volume_ml: f64,
    /// Dry glue, g.
    pub glue_g: f64,
    /// Water, g.
    pub water_g: f64,
}

/// `volume_ml` of size of a strength, g of dry glue to a litre of water.
///
/// A litre of water is 998.2 g (20 C) and makes 1000 + c/1.35 ml. Valid from 0 to 1e6 ml, 0 to 1000 g/l.
pub fn compute_size_mix(volume_ml: f64, glue_g_per_l_water: f64) -> Result<SizeMix, OutOfRange> {
    let volume_ml = check_range("volume of size", volume_ml, 0.0, 1e6, "ml")?;
    let strength = check_range("glue to a litre of water", glue_g_per_l_water, 0.0, 1000.0, "g/l")?;
    let litres_of_water = volume_ml / (1000.0 + strength / GLUE_G_PER_ML);
    Ok(SizeMix { volume_ml, glue_g: strength * litres_of_water, water_g: 1000.0 * WATER_G_PER_ML * litres_of_water })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_litre_of_water_makes_more_than_a_litre_of_size() {
        // 70 g to a litre: 1000 + 70/1.35 = 1051.852 ml, 70 g of glue, 998.2 g of water.
        let size = compute_size_mix(1_000.0 + 70.0 / 1.35, 70.0).unwrap();
        assert!((size.glue_g - 70.0).abs() < 1e-9 && (size.water_g - 998.2).abs() < 1e-9, "{size:?}");
        assert!(compute_size_mix(f64::NAN, 70.0).is_err() && compute_size_mix(100.0, f64::NAN).is_err());
    }

    proptest! {
        #[test]
        fn the_parts_fill_the_whole(ml in 1.0..10_000.0f64, c in 0.0..300.0f64) {
            let size = compute_size_mix(ml, c).unwrap();
            let parts = size.water_g / WATER_G_PER_ML + size.glue_g / GLUE_G_PER_ML;
            prop_assert!((parts / ml - 1.0).abs() < 1e-12);
        }
    }
}
