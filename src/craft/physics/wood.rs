//! Wood and the air: the moisture it settles at, and how far a board moves with it.
//!
//! The moisture content is an average of all species, without the lag between wetting and drying; good for practice, not
//! for science (Glass, Zelinka and Johnson, FPL-GTR-229, 2014).

use super::{OutOfRange, check_range};

/// Moisture contents, per cent, over which the handbook's coefficients of movement hold.
pub const COEFFICIENT_RANGE_PCT: (f64, f64) = (6.0, 14.0);
/// Fibre saturation, per cent: above it wood no longer swells.
pub const FIBRE_SATURATION_PCT: f64 = 30.0;

/// How a board was cut: which way its width lies to the growth rings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum BoardCut {
    /// Flat-sawn: the width runs along the rings (tangential).
    Flat,
    /// Quarter-sawn: the width runs across the rings (radial).
    Quarter,
}

/// The moisture content at which wood settles, per cent of its dry mass.
///
/// Hailwood and Horrobin's equation with two hydrates, USDA Wood Handbook FPL-GTR-190 (2010) Eq. 4-5 (coefficients READ,
/// number from memory), which gives its Table 4-2 back within rounding. Valid from 0 to 95 % and, as checked, from
/// -1.2 to 55 C.
pub fn emc_pct(temp_c: f64, rh_pct: f64) -> Result<f64, OutOfRange> {
    let t = check_range("temperature for wood moisture", temp_c, -1.2, 55.0, "C")?;
    let h = check_range("relative humidity for wood moisture", rh_pct, 0.0, 95.0, "%")? / 100.0;
    let w = 349.0 + 1.29 * t + 0.0135 * t * t;
    let k = 0.805 + 0.000_736 * t - 0.000_002_73 * t * t;
    let k1 = 6.27 - 0.009_38 * t - 0.000_303 * t * t;
    let k2 = 1.91 + 0.0407 * t - 0.000_293 * t * t;
    let (kh, both) = (k * h, k1 * k2 * k * k * h * h);
    Ok(1800.0 / w * (kh / (1.0 - kh) + (k1 * kh + 2.0 * both) / (1.0 + k1 * kh + both)))
}

/// How one direction of a species moves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WoodMovement {
    /// Part of its width by which it grows for each per cent of moisture, between 6 and 14 %.
    pub coefficient_per_pct: f64,
    /// Per cent by which it shrinks from green to oven-dry.
    pub shrinkage_pct: f64,
}

/// How far wood of `width_mm` grows from one moisture content to another, mm; negative when it shrinks.
///
/// On the way between 6 and 14 % USDA Wood Handbook FPL-GTR-190 (2010) Eq. 13-2, `D C (M2 - M1)` (READ); on what lies
/// outside Eq. 13-3, `D (M2 - M1)/(3000/S - 30 + M1)` (form from memory; it gives the handbook's coefficients back at
/// 10 %), with the shrinkage that agrees with the coefficient, so that nothing jumps where the two meet. Valid from 0 to
/// 30 % and for 0.1 mm to 10 m.
pub fn movement_mm(width_mm: f64, wood: WoodMovement, from_pct: f64, to_pct: f64) -> Result<f64, OutOfRange> {
    let (lo, hi) = COEFFICIENT_RANGE_PCT;
    let whole = movement_by_shrinkage_mm(width_mm, wood.agreeing_shrinkage_pct(), from_pct, to_pct)?;
    let (from, to) = (from_pct.clamp(lo, hi), to_pct.clamp(lo, hi));
    let inside = movement_by_coefficient_mm(width_mm, wood.coefficient_per_pct, from, to)?;
    let way = to_pct - from_pct;
    let share_outside = if way.abs() < 1e-12 { 0.0 } else { 1.0 - (to - from) / way };
    Ok(inside + whole * share_outside)
}

impl WoodMovement {
    /// Its shrinkage where that gives its coefficient back at 10 %, `C = 1/(3000/S - 20)`, as it does for most woods of the
    /// handbook's two tables; else the one that would, `3000/(1/C + 20)`.
    fn agreeing_shrinkage_pct(self) -> f64 {
        let of_coefficient = 3000.0 / (1.0 / self.coefficient_per_pct + 20.0);
        let given_back = 1.0 / (3000.0 / self.shrinkage_pct - 20.0);
        // The table prints five decimals.
        if (given_back - self.coefficient_per_pct).abs() <= 0.000_006 { self.shrinkage_pct } else { of_coefficient }
    }
}

/// Eq. 13-2 alone: see [`movement_mm`]. Valid from 6 to 14 %.
pub fn movement_by_coefficient_mm(
    width_mm: f64,
    coefficient_per_pct: f64,
    from_pct: f64,
    to_pct: f64,
) -> Result<f64, OutOfRange> {
    let (lo, hi) = COEFFICIENT_RANGE_PCT;
    let width = check_range("width", width_mm, 0.1, 10_000.0, "mm")?;
    let coefficient = check_range("coefficient of movement", coefficient_per_pct, 0.0001, 0.01, "per %")?;
    let from = check_range("moisture content at first", from_pct, lo, hi, "%")?;
    let to = check_range("moisture content at last", to_pct, lo, hi, "%")?;
    Ok(width * coefficient * (to - from))
}

/// Eq. 13-3 alone: see [`movement_mm`]. Valid from 0 to 30 %.
pub fn movement_by_shrinkage_mm(
    width_mm: f64,
    shrinkage_pct: f64,
    from_pct: f64,
    to_pct: f64,
) -> Result<f64, OutOfRange> {
    let width = check_range("width", width_mm, 0.1, 10_000.0, "mm")?;
    let shrinkage = check_range("shrinkage", shrinkage_pct, 0.1, 20.0, "%")?;
    let from = check_range("moisture content at first", from_pct, 0.0, FIBRE_SATURATION_PCT, "%")?;
    let to = check_range("moisture content at last", to_pct, 0.0, FIBRE_SATURATION_PCT, "%")?;
    Ok(width * (to - from) / (FIBRE_SATURATION_PCT * 100.0 / shrinkage - FIBRE_SATURATION_PCT + from))
}

/// How far a sheet grows in its own plane when its moisture changes, mm: in proportion.
///
/// Linear between the two ends that the source measured (plywood: 7 to 20 %). Valid for 0.1 mm to 10 m, 0 to 30 %.
pub fn sheet_movement_by_moisture_mm(
    length_mm: f64,
    pct_per_pct: f64,
    from_pct: f64,
    to_pct: f64,
) -> Result<f64, OutOfRange> {
    let length = check_range("length", length_mm, 0.1, 10_000.0, "mm")?;
    let rate = check_range("in-plane movement", pct_per_pct, 0.0, 1.0, "% per %")?;
    let from = check_range("moisture content at first", from_pct, 0.0, FIBRE_SATURATION_PCT, "%")?;
    let to = check_range("moisture content at last", to_pct, 0.0, FIBRE_SATURATION_PCT, "%")?;
    Ok(length * rate / 100.0 * (to - from))
}

/// How far a sheet grows in its own plane when the air's humidity changes, mm: in proportion.
///
/// Linear between the ends the source gives. Valid for 0.1 mm to 10 m, 0 to 100 %.
pub fn sheet_movement_by_humidity_mm(
    length_mm: f64,
    pct_per_pct_rh: f64,
    from_rh_pct: f64,
    to_rh_pct: f64,
) -> Result<f64, OutOfRange> {
    let length = check_range("length", length_mm, 0.1, 10_000.0, "mm")?;
    let rate = check_range("in-plane movement", pct_per_pct_rh, 0.0, 1.0, "% per % RH")?;
    let from = check_range("relative humidity at first", from_rh_pct, 0.0, 100.0, "%")?;
    let to = check_range("relative humidity at last", to_rh_pct, 0.0, 100.0, "%")?;
    Ok(length * rate / 100.0 * (to - from))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn moisture_at_round_figures() {
        // Values of the equation itself, to three decimals.
        for (t, rh, pct) in [
            (20.0, 20.0, 4.5067),
            (20.0, 35.0, 6.9632),
            (20.0, 50.0, 9.2711),
            (20.0, 65.0, 11.9963),
            (20.0, 80.0, 16.0371),
            (10.0, 60.0, 11.2441),
            (30.0, 40.0, 7.4726),
            (5.0, 90.0, 20.9927),
            (35.0, 30.0, 5.8575),
            (21.111, 50.0, 9.2423),
        ] {
            assert!((emc_pct(t, rh).unwrap() - pct).abs() < 0.001, "{t} {rh}");
        }
        assert_eq!(emc_pct(20.0, 0.0).unwrap(), 0.0);
    }

    #[test]
    fn movement_of_known_boards() {
        let by = |c: f64, s: f64| WoodMovement { coefficient_per_pct: c, shrinkage_pct: s };
        for (what, width, wood, from, to, mm) in [
            // The handbook's own example, p. 13-18: 232 mm of white fir, 8 to 11 %, 1.7 mm.
            ("white fir", 232.0, by(0.00245, 7.0), 8.0, 11.0, 1.7052),
            ("white oak, plain-sawn", 300.0, by(0.00365, 10.5), 8.0, 11.0, 3.285),
            ("white oak, quarter-sawn", 300.0, by(0.0018, 5.6), 8.0, 11.0, 1.62),
            // Published: 5 in of mesquite, 6 to 9 %, C 0.00129: 0.019 in.
            ("mesquite, in inches", 5.0, by(0.00129, 3.7), 6.0, 9.0, 0.01935),
            ("yellow-poplar", 300.0, by(0.00289, 8.2), 9.2711, 11.9963, 2.3627),
            // Up to 14 % by the one, 300 * 0.00289 * 4 = 3.468; above by the other, 300 * 6 / (3000/8.2 - 20) = 5.2045.
            ("yellow-poplar, damp", 300.0, by(0.00289, 8.2), 10.0, 20.0, 8.6725),
            // Mahogany's shrinkage does not agree (4.1 would be 0.00141): 300 * 6 / (1/0.00238) + 300 * 0.00238 * 4.
            ("mahogany, damp", 300.0, by(0.00238, 4.1), 10.0, 20.0, 7.14),
        ] {
            let got = movement_mm(width, wood, from, to).unwrap();
            assert!((got - mm).abs() < 0.001, "{what}: {got}");
        }
        assert!((movement_by_shrinkage_mm(232.0, 7.0, 8.0, 11.0).unwrap() - 1.7119).abs() < 0.001);
    }

    #[test]
    fn where_the_two_equations_meet_nothing_jumps() {
        // White oak jumped by 9.5 % at 14 %, mahogany ran backwards; yellow-poplar agrees.
        for (c, s) in [(0.00365, 10.5), (0.0018, 5.6), (0.00238, 4.1), (0.00172, 3.0), (0.00289, 8.2)] {
            let wood = WoodMovement { coefficient_per_pct: c, shrinkage_pct: s };
            let mm = |from: f64, to: f64| movement_mm(300.0, wood, from, to).unwrap();
            for (other, edge) in [(6.0, 14.0), (9.27, 14.0), (14.0, 6.0), (20.0, 14.0), (2.0, 6.0)] {
                for step in [1e-9, -1e-9] {
                    assert!((mm(other, edge + step) - mm(other, edge)).abs() < 1e-6, "{c} {other} to {edge}");
                    assert!((mm(edge + step, other) - mm(edge, other)).abs() < 1e-6, "{c} {edge} to {other}");
                }
            }
            for to in 1..300 {
                assert!(mm(9.27, f64::from(to) / 10.0) > mm(9.27, f64::from(to - 1) / 10.0), "{c} {to}");
            }
        }
    }

    #[test]
    fn what_cannot_be_is_refused() {
        let oak = WoodMovement { coefficient_per_pct: 0.00365, shrinkage_pct: 10.5 };
        assert_eq!(emc_pct(20.0, 96.0).unwrap_err().hi, 95.0);
        assert_eq!(emc_pct(60.0, 50.0).unwrap_err().unit, "C");
        assert!(emc_pct(f64::NAN, 50.0).is_err() && emc_pct(20.0, f64::NAN).is_err());
        for (width, from, to) in
            [(f64::NAN, 8.0, 9.0), (300.0, f64::NAN, 9.0), (300.0, 8.0, f64::NAN), (300.0, 8.0, 31.0), (0.0, 8.0, 9.0)]
        {
            assert!(movement_mm(width, oak, from, to).is_err(), "{width} {from} {to}");
        }
        assert!(sheet_movement_by_moisture_mm(300.0, f64::NAN, 8.0, 9.0).is_err());
        assert!(sheet_movement_by_humidity_mm(300.0, 0.002, 50.0, 101.0).is_err());
    }

    proptest! {
        #[test]
        fn damper_air_means_damper_wood(t in 0.0..50.0f64, rh in 0.0..94.0f64) {
            prop_assert!(emc_pct(t, rh + 1.0).unwrap() > emc_pct(t, rh).unwrap());
        }

        #[test]
        fn wetter_grows_and_drier_shrinks(from in 0.0..30.0f64, to in 0.0..30.0f64) {
            let beech = WoodMovement { coefficient_per_pct: 0.00431, shrinkage_pct: 11.9 };
            let mm = movement_mm(300.0, beech, from, to).unwrap();
            prop_assert!(mm * (to - from) >= 0.0);
        }
    }
}
