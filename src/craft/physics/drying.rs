//! How the air of a room stretches or shortens a wait.
//!
//! A wet film is held near the wet bulb by its own drying, so what drives it is the difference between saturation there
//! and the vapour in the room; a wait goes as the inverse. A model: no published calibration for glue gesso was found, and
//! open-water formulas of this kind are 30 % apart. The plain vapour deficit, which would hold the film at the room's
//! temperature, gives 0.55 where this gives 0.78 (30 C, 50 %): a thick panel lies between.
//!
//! The draught is not in it: a fan is not recorded.

use super::{OutOfRange, air, check_range};

/// The room in which a recipe's waits are meant: C and per cent.
pub const REFERENCE_AIR: (f64, f64) = (20.0, 50.0);
/// Above this humidity, per cent, no wait is foretold: it grows without bound.
pub const MAX_HUMIDITY_PCT: f64 = 95.0;

/// What drives drying, Pa: saturation at the wet bulb less the vapour in the room.
///
/// An adiabatic wet film in its period of constant rate. Valid from -20 to 80 C, 0 to 100 %; where the wet bulb freezes
/// (below 10 C in dry air) it steps down by a twentieth, for ice needs more heat to dry than water.
pub fn driving_force_pa(temp_c: f64, rh_pct: f64) -> Result<f64, OutOfRange> {
    let wet = air::wet_bulb_c(temp_c, rh_pct)?;
    Ok((air::saturation_pressure_pa(wet)? - air::vapour_pressure_pa(temp_c, rh_pct)?).max(0.0))
}

/// How many times as long as at 20 C and 50 % a coat takes to go dull here.
///
/// The driving force there divided by the one here. Valid from -20 to 80 C, 0 to 95 %.
pub fn wait_factor(temp_c: f64, rh_pct: f64) -> Result<f64, OutOfRange> {
    check_range("relative humidity for a wait", rh_pct, 0.0, MAX_HUMIDITY_PCT, "%")?;
    Ok(driving_force_pa(REFERENCE_AIR.0, REFERENCE_AIR.1)? / driving_force_pa(temp_c, rh_pct)?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn known_rooms() {
        for (t, rh, factor) in [
            (20.0, 50.0, 1.0),
            (20.0, 30.0, 0.6801),
            (20.0, 40.0, 0.8134),
            (20.0, 65.0, 1.4794),
            (20.0, 80.0, 2.6779),
            (20.0, 90.0, 5.476),
            (15.0, 65.0, 1.7148),
            (25.0, 60.0, 1.1249),
            (30.0, 50.0, 0.7787),
            (10.0, 70.0, 2.392),
            (22.0, 40.0, 0.7674),
        ] {
            let got = wait_factor(t, rh).unwrap();
            assert!((got / factor - 1.0).abs() < 0.005, "{t} {rh}: {got}");
        }
    }

    #[test]
    fn very_damp_air_foretells_nothing() {
        assert!(wait_factor(20.0, 95.0).is_ok());
        assert_eq!(wait_factor(20.0, 95.1).unwrap_err().hi, MAX_HUMIDITY_PCT);
        assert_eq!(driving_force_pa(20.0, 100.0).unwrap(), 0.0);
        assert!(wait_factor(f64::NAN, 50.0).is_err() && wait_factor(20.0, f64::NAN).is_err());
    }

    proptest! {
        #[test]
        fn damper_means_longer(t in 12.0..40.0f64, rh in 5.0..94.0f64) {
            prop_assert!(wait_factor(t, rh + 1.0).unwrap() > wait_factor(t, rh).unwrap());
        }

        #[test]
        fn warmer_at_the_same_humidity_means_shorter(t in 12.0..40.0f64, rh in 5.0..95.0f64) {
            prop_assert!(wait_factor(t + 1.0, rh).unwrap() < wait_factor(t, rh).unwrap());
        }
    }
}
