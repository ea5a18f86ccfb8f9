//! Moist air at sea level: what the vapour in it weighs and presses, and where it would settle as dew.
//!
//! Everything is for a total pressure of 101325 Pa. Below 0.01 C saturation is over ice, so that a dew point below
//! freezing is a frost point; a hygrometer's humidity below freezing is often over water, which this does not undo.

use super::{OutOfRange, bisect, check_range};

/// The pressure of the air everything here is reckoned at, Pa.
pub const PRESSURE_PA: f64 = 101_325.0;

/// Water's triple point, C: saturation is over ice at and below it.
const TRIPLE_POINT_C: f64 = 0.01;
/// Kelvin at 0 C.
const ZERO_C_IN_K: f64 = 273.15;
/// Molar masses of water and dry air, divided (ASHRAE Handbook Fundamentals 2017 ch. 1).
const MOLAR_MASS_RATIO: f64 = 0.621_945;
/// Kilograms in a mole of water (IUPAC weights) and the gas constant, J/(mol K) (SI, exact to the digits shown).
const WATER_KG_PER_MOL: f64 = 0.018_015_268;
const GAS_CONSTANT_J_PER_MOL_K: f64 = 8.314_462_618;
/// The coldest and hottest room for which a wet bulb is sought, C.
const ROOM_RANGE_C: (f64, f64) = (-20.0, 80.0);

/// The pressure of saturated vapour at `temp_c`, Pa: over water, and over ice at and below 0.01 C.
///
/// ASHRAE Handbook Fundamentals 2017 ch. 1 Eq. 5 (ice, -100 to 0 C) and Eq. 6 (water, 0 to 200 C), after Hyland and
/// Wexler; coefficients READ in the source of PsychroLib. Valid from -100 to 200 C.
pub fn saturation_pressure_pa(temp_c: f64) -> Result<f64, OutOfRange> {
    check_range("temperature", temp_c, -100.0, 200.0, "C").map(saturation_pressure_unchecked_pa)
}

/// [`saturation_pressure_pa`] of a temperature already known to be in range.
fn saturation_pressure_unchecked_pa(temp_c: f64) -> f64 {
    let t = temp_c + ZERO_C_IN_K;
    let ln_p = if temp_c <= TRIPLE_POINT_C {
        -5.674_535_9e3 / t
            + 6.392_524_7
            + t * (-9.677_843e-3 + t * (6.221_570_1e-7 + t * (2.074_782_5e-9 - t * 9.484_024e-13)))
            + 4.163_501_9 * t.ln()
    } else {
        -5.800_220_6e3 / t
            + 1.391_499_3
            + t * (-4.864_023_9e-2 + t * (4.176_476_8e-5 - t * 1.445_209_3e-8))
            + 6.545_967_3 * t.ln()
    };
    ln_p.exp()
}

/// The pressure of the vapour in air of `temp_c` and `rh_pct`, Pa. Valid from -100 to 200 C, 0 to 100 %.
///
/// The definition of relative humidity.
pub fn vapour_pressure_pa(temp_c: f64, rh_pct: f64) -> Result<f64, OutOfRange> {
    let full = saturation_pressure_pa(temp_c)?;
    Ok(full * check_range("relative humidity", rh_pct, 0.0, 100.0, "%")? / 100.0)
}

/// How much more vapour pressure the air would take, Pa. Valid as [`vapour_pressure_pa`].
pub fn vapour_pressure_deficit_pa(temp_c: f64, rh_pct: f64) -> Result<f64, OutOfRange> {
    Ok(saturation_pressure_pa(temp_c)? - vapour_pressure_pa(temp_c, rh_pct)?)
}

/// The temperature at which this air is saturated, C; below 0.01 C that of frost.
///
/// [`saturation_pressure_pa`] turned round by halving. Valid from -20 to 80 C, 0.01 to 100 %: air without vapour has none.
pub fn dew_point_c(temp_c: f64, rh_pct: f64) -> Result<f64, OutOfRange> {
    check_range("temperature", temp_c, ROOM_RANGE_C.0, ROOM_RANGE_C.1, "C")?;
    check_range("relative humidity", rh_pct, 0.01, 100.0, "%")?;
    if rh_pct == 100.0 {
        return Ok(temp_c);
    }
    let vapour = vapour_pressure_pa(temp_c, rh_pct)?;
    Ok(bisect(-100.0, temp_c, |t| saturation_pressure_unchecked_pa(t) <= vapour))
}

/// Kilograms of vapour to a kilogram of dry air.
///
/// 0.621945 p / (P - p), ASHRAE Handbook Fundamentals 2017 ch. 1. Valid while the vapour presses less than nine
/// tenths of the whole.
pub fn humidity_ratio_kg_kg(temp_c: f64, rh_pct: f64) -> Result<f64, OutOfRange> {
    let vapour = check_range("vapour pressure", vapour_pressure_pa(temp_c, rh_pct)?, 0.0, 0.9 * PRESSURE_PA, "Pa")?;
    Ok(humidity_ratio_from_vapour_pressure(vapour))
}

/// Kilograms of vapour to a kilogram of dry air at a vapour pressure.
fn humidity_ratio_from_vapour_pressure(vapour_pa: f64) -> f64 {
    MOLAR_MASS_RATIO * vapour_pa / (PRESSURE_PA - vapour_pa)
}

/// Grams of vapour in a cubic metre. The ideal gas law; valid as [`vapour_pressure_pa`].
pub fn absolute_humidity_g_m3(temp_c: f64, rh_pct: f64) -> Result<f64, OutOfRange> {
    let vapour = vapour_pressure_pa(temp_c, rh_pct)?;
    Ok(1000.0 * vapour * WATER_KG_PER_MOL / (GAS_CONSTANT_J_PER_MOL_K * (temp_c + ZERO_C_IN_K)))
}

/// The temperature to which a wet thing cools in this air by its own drying, C; below 0 C it is iced.
///
/// ASHRAE Handbook Fundamentals 2017 ch. 1 Eq. 33 (water) and Eq. 35 (ice), from memory, solved by halving; PsychroLib, which
/// implements them, agrees. In a narrow band of cold dry air both have an answer, and it is water as long as it can be: it
/// falls by up to 0.7 K where ice begins. Valid from -20 to 80 C, 0 to 100 %.
pub fn wet_bulb_c(temp_c: f64, rh_pct: f64) -> Result<f64, OutOfRange> {
    check_range("temperature", temp_c, ROOM_RANGE_C.0, ROOM_RANGE_C.1, "C")?;
    let here = humidity_ratio_kg_kg(temp_c, rh_pct)?;
    if rh_pct == 100.0 {
        return Ok(temp_c);
    }
    if temp_c > 0.0 && humidity_ratio_from_wet_bulb(temp_c, 0.0) <= here {
        Ok(bisect(0.0, temp_c, |wet_c| humidity_ratio_from_wet_bulb(temp_c, wet_c) <= here))
    } else {
        Ok(bisect(-100.0, temp_c.min(0.0), |wet_c| humidity_ratio_from_iced_bulb(temp_c, wet_c) <= here))
    }
}

/// The humidity ratio of air of `temp_c` in which a wet thing cools to `wet_c`.
fn humidity_ratio_from_wet_bulb(temp_c: f64, wet_c: f64) -> f64 {
    let full = humidity_ratio_from_vapour_pressure(saturation_pressure_unchecked_pa(wet_c));
    ((2501.0 - 2.326 * wet_c) * full - 1.006 * (temp_c - wet_c)) / (2501.0 + 1.86 * temp_c - 4.186 * wet_c)
}

/// The humidity ratio of air of `temp_c` in which an iced thing cools to `wet_c`.
fn humidity_ratio_from_iced_bulb(temp_c: f64, wet_c: f64) -> f64 {
    let full = humidity_ratio_from_vapour_pressure(saturation_pressure_unchecked_pa(wet_c));
    ((2830.0 - 0.24 * wet_c) * full - 1.006 * (temp_c - wet_c)) / (2830.0 + 1.86 * temp_c - 2.1 * wet_c)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn published_charts_agree() {
        // A painting-conditions guide: 21 C dry and 17 C wet has its dew point at 15 C; 16 C and 71 % at 11 C.
        let rh = bisect(1.0, 100.0, |rh| wet_bulb_c(21.0, rh).unwrap() <= 17.0);
        assert!((dew_point_c(21.0, rh).unwrap() - 14.73).abs() < 0.03);
        assert!((dew_point_c(16.0, 71.0).unwrap() - 10.75).abs() < 0.03);
    }

    #[test]
    fn water_and_ice_meet_at_the_triple_point() {
        let (ice, water) =
            (saturation_pressure_pa(TRIPLE_POINT_C).unwrap(), saturation_pressure_pa(TRIPLE_POINT_C + 1e-9).unwrap());
        assert!((ice / water - 1.0).abs() < 1e-4, "{ice} {water}");
    }

    #[test]
    fn what_cannot_be_is_refused() {
        type Formula = fn(f64, f64) -> Result<f64, OutOfRange>;
        let all: [Formula; 6] = [
            vapour_pressure_pa,
            vapour_pressure_deficit_pa,
            dew_point_c,
            humidity_ratio_kg_kg,
            absolute_humidity_g_m3,
            wet_bulb_c,
        ];
        for formula in all {
            for (t, rh) in
                [(f64::NAN, 50.0), (20.0, f64::NAN), (20.0, 100.1), (20.0, -1.0), (250.0, 50.0), (-274.0, 50.0)]
            {
                assert!(formula(t, rh).is_err(), "{t} {rh}");
            }
        }
        assert_eq!(dew_point_c(20.0, 0.0).unwrap_err().quantity, "relative humidity");
        assert_eq!(humidity_ratio_kg_kg(150.0, 50.0).unwrap_err().quantity, "vapour pressure");
    }

    proptest! {
        #[test]
        fn the_dew_point_of_saturated_air_is_its_temperature(t in -20.0..80.0f64) {
            prop_assert!((dew_point_c(t, 100.0).unwrap() - t).abs() < 1e-9);
            prop_assert!((dew_point_c(t, 99.999_999).unwrap() - t).abs() < 1e-5);
            prop_assert!((wet_bulb_c(t, 99.999_999).unwrap() - t).abs() < 1e-5);
        }

        #[test]
        fn the_dew_point_gives_the_vapour_back(t in -20.0..80.0f64, rh in 1.0..100.0f64) {
            let back = saturation_pressure_pa(dew_point_c(t, rh).unwrap()).unwrap();
            prop_assert!((back / vapour_pressure_pa(t, rh).unwrap() - 1.0).abs() < 1e-4);
        }

        #[test]
        fn dew_point_wet_bulb_and_room_stand_in_order(t in -15.0..60.0f64, rh in 1.0..99.0f64) {
            let (dew, wet) = (dew_point_c(t, rh).unwrap(), wet_bulb_c(t, rh).unwrap());
            prop_assert!(dew <= wet + 1e-9 && wet <= t + 1e-9, "{dew} {wet} {t}");
        }

        #[test]
        fn a_wet_bulb_that_can_be_water_is_not_ice(t in 1.0..9.0f64, rh in 5.0..95.0f64) {
            let wet = wet_bulb_c(t, rh).unwrap();
            let here = humidity_ratio_kg_kg(t, rh).unwrap();
            prop_assert_eq!(wet >= 0.0, humidity_ratio_from_wet_bulb(t, 0.0) <= here);
        }

        #[test]
        fn warmer_and_damper_mean_more(t in -20.0..79.0f64, rh in 1.0..99.0f64) {
            prop_assert!(saturation_pressure_pa(t + 1.0).unwrap() > saturation_pressure_pa(t).unwrap());
            prop_assert!(dew_point_c(t, rh + 1.0).unwrap() > dew_point_c(t, rh).unwrap());
            prop_assert!(wet_bulb_c(t, rh + 1.0).unwrap() > wet_bulb_c(t, rh).unwrap());
        }
    }
}
