//! How a drying film bends a board: the bow of a strip, Stoney's thin film, Timoshenko's two layers.
//!
//! Positive curvature is hollow on the filmed face. Plates are reckoned with E/(1 - nu) in place of E. A board coated
//! alike on both faces stays flat: the two films pull against each other.
//!
//! The wood's own cupping is not in it: it goes as 1/t and not as 1/t2.

use super::{OutOfRange, check_range};

/// A plate: one layer of a board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlateLayer {
    /// Its thickness, mm.
    pub thickness_mm: f64,
    /// Its modulus of elasticity, GPa.
    pub modulus_gpa: f64,
    /// Its Poisson's ratio; 0 reckons a narrow strip.
    pub poisson_ratio: f64,
}

impl PlateLayer {
    /// `E/(1 - nu)`, GPa, of a layer whose figures make sense.
    fn plate_modulus_gpa(self) -> Result<f64, OutOfRange> {
        let nu = check_range("Poisson's ratio", self.poisson_ratio, 0.0, 0.7, "")?;
        Ok(check_range("modulus of elasticity", self.modulus_gpa, 0.001, 1000.0, "GPa")? / (1.0 - nu))
    }
    /// Its thickness, mm, if it makes sense.
    fn checked_thickness_mm(self) -> Result<f64, OutOfRange> {
        check_range("thickness", self.thickness_mm, 1e-6, 1e4, "mm")
    }
}

/// The thickest film, in parts of the board, for which Stoney's formula is given. Against Timoshenko's it is then 1 % high
/// for a film of a fifth of the board's stiffness, 28 % high for half of it, and 15 % low for a very soft film (computed).
pub const STONEY_MAX_FILM_RATIO: f64 = 0.2;

/// So far Stoney's formula may be from Timoshenko's, in parts, by the leading term `m (1 - 4 n)` (computed).
const STONEY_MAX_ERROR: f64 = 0.1;

/// Whether Stoney's formula may stand beside Timoshenko's for that film on that board: a film thin, and soft enough that it
/// does not hold the board flat. Across the grain of solid wood it is not.
pub fn stoney_holds(board: PlateLayer, film: PlateLayer) -> Result<bool, OutOfRange> {
    let m = film.checked_thickness_mm()? / board.checked_thickness_mm()?;
    let n = film.plate_modulus_gpa()? / board.plate_modulus_gpa()?;
    Ok(m <= STONEY_MAX_FILM_RATIO && (m * (1.0 - 4.0 * n)).abs() <= STONEY_MAX_ERROR)
}

/// Radius of an arc that rises `sag_mm` over a chord of `span_mm`, mm: `L2/(8 s) + s/2`, exact.
///
/// Geometry. Valid for a sag of at most half the span.
pub fn radius_from_sag_mm(span_mm: f64, sag_mm: f64) -> Result<f64, OutOfRange> {
    let span = check_range("span", span_mm, 0.001, 1e6, "mm")?;
    let sag = check_range("sag", sag_mm, 1e-12, span / 2.0, "mm")?;
    Ok(span * span / (8.0 * sag) + sag / 2.0)
}

/// Rise of an arc of `radius_mm` over a chord of `span_mm`, mm: [`radius_from_sag_mm`] turned round.
///
/// Geometry. Valid for a radius of at least half the span.
pub fn sag_from_radius_mm(span_mm: f64, radius_mm: f64) -> Result<f64, OutOfRange> {
    let span = check_range("span", span_mm, 0.001, 1e6, "mm")?;
    let radius = check_range("radius", radius_mm, span / 2.0, 1e15, "mm")?;
    let half = span / 2.0;
    // Not `r - sqrt(r2 - h2)`: for a nearly flat board that subtracts two equal numbers.
    Ok(half * half / (radius + (radius * radius - half * half).sqrt()))
}

/// Rise over a span of a curvature that may be nought or negative, mm. Valid as [`sag_from_radius_mm`].
pub fn sag_from_curvature_mm(span_mm: f64, curvature_per_mm: f64) -> Result<f64, OutOfRange> {
    let span = check_range("span", span_mm, 0.001, 1e6, "mm")?;
    let curvature = check_range("curvature", curvature_per_mm, -2.0 / span, 2.0 / span, "1/mm")?;
    if curvature.abs() < 1e-15 {
        return Ok(0.0);
    }
    Ok(sag_from_radius_mm(span, 1.0 / curvature.abs())?.copysign(curvature))
}

/// Curvature by Stoney's formula, 1/mm: `6 (1 - nu) sigma tf/(E ts2)`, `film_mpa` being the film's pull.
///
/// Stoney 1909 as written for plates by Feng, Huang and Rosakis 2007 (READ); with nu = 0 Stoney's own strip. Valid for
/// films up to a fifth of the board and pulls up to 1000 MPa.
pub fn stoney_curvature_per_mm(board: PlateLayer, film_mm: f64, film_mpa: f64) -> Result<f64, OutOfRange> {
    let (plate_mpa, thick) = (1000.0 * board.plate_modulus_gpa()?, board.checked_thickness_mm()?);
    let film = check_range("film thickness for Stoney's formula", film_mm, 0.0, STONEY_MAX_FILM_RATIO * thick, "mm")?;
    let pull = check_range("film stress", film_mpa, -1000.0, 1000.0, "MPa")?;
    Ok(6.0 * pull * film / (plate_mpa * thick * thick))
}

/// Curvature by Stoney's formula with a film on each face, 1/mm: the front's less the back's.
///
/// Films are (thickness in mm, pull in MPa). Two like films leave it flat. Valid as [`stoney_curvature_per_mm`].
pub fn stoney_two_face_curvature_per_mm(
    board: PlateLayer,
    front: (f64, f64),
    back: (f64, f64),
) -> Result<f64, OutOfRange> {
    Ok(stoney_curvature_per_mm(board, front.0, front.1)? - stoney_curvature_per_mm(board, back.0, back.1)?)
}

/// Curvature of two layers of which the film would be shorter by `mismatch` if it were free, 1/mm.
///
/// Timoshenko, J. Opt. Soc. Am. 11, 233 (1925), formula from memory, confirmed against a balance of forces and moments.
/// Valid for films from 1e-6 to 100 parts of the board and a mismatch of at most 0.1.
pub fn timoshenko_curvature_per_mm(board: PlateLayer, film: PlateLayer, mismatch: f64) -> Result<f64, OutOfRange> {
    let eps = check_range("mismatch of the layers", mismatch, -0.1, 0.1, "")?;
    let m = check_range(
        "film thickness in parts of the board",
        film.checked_thickness_mm()? / board.checked_thickness_mm()?,
        1e-6,
        100.0,
        "",
    )?;
    let n = film.plate_modulus_gpa()? / board.plate_modulus_gpa()?;
    let whole = (1.0 + m) * (1.0 + m);
    let height = film.thickness_mm + board.thickness_mm;
    Ok(6.0 * eps * whole / (height * (3.0 * whole + (1.0 + m * n) * (m * m + 1.0 / (m * n)))))
}

/// The mismatch of a film that would pull with `film_mpa` on a board that did not give: `sigma (1 - nu)/E`.
///
/// Hooke's law for a plate. Valid for pulls up to 1000 MPa.
pub fn strain_mismatch(film: PlateLayer, film_mpa: f64) -> Result<f64, OutOfRange> {
    let pull = check_range("film stress", film_mpa, -1000.0, 1000.0, "MPa")?;
    Ok(pull / (1000.0 * film.plate_modulus_gpa()?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn layer(thickness_mm: f64, e_gpa: f64, nu: f64) -> PlateLayer {
        PlateLayer { thickness_mm, modulus_gpa: e_gpa, poisson_ratio: nu }
    }

    #[test]
    fn timoshenko_tends_to_stoney() {
        // n = 0.2, strips: the ratios to Stoney; the leading term is 1 + m (1 - 4 n).
        let board = layer(10.0, 10.0, 0.0);
        for (m, ratio) in [
            (0.2, 0.98809),
            (0.1, 1.006_585),
            (0.05, 1.006_615),
            (0.02, 1.003_457),
            (0.01, 1.001_864),
            (0.001, 1.000_199),
            (0.000_1, 1.000_02),
        ] {
            let film = layer(10.0 * m, 2.0, 0.0);
            let eps = 1e-3;
            let got = timoshenko_curvature_per_mm(board, film, eps).unwrap()
                / stoney_curvature_per_mm(board, film.thickness_mm, eps * 2000.0).unwrap();
            assert!((got / ratio - 1.0).abs() < 1e-5, "{m}: {got}");
        }
    }

    #[test]
    fn stoney_stands_only_where_it_comes_near_timoshenko() {
        let near = |board: PlateLayer, film: PlateLayer| {
            let two = timoshenko_curvature_per_mm(board, film, 1e-3).unwrap();
            let pull = 1.0 * film.plate_modulus_gpa().unwrap();
            two / stoney_curvature_per_mm(board, film.thickness_mm, pull).unwrap()
        };
        let gesso = |mm: f64| layer(mm, 2.0, 0.2);
        for (board, film, holds) in [
            (layer(9.0, 9.5, 0.2), gesso(0.5), true),
            // Lime, 12 mm: along its grain, and across it, where the film is seven times as stiff.
            (layer(12.0, 10.1, 0.406), gesso(0.5), true),
            (layer(12.0, 0.2727, 0.011), gesso(0.5), false),
            // A film of half the stiffness, and a very soft one.
            (layer(10.0, 4.0, 0.2), gesso(1.9), false),
            (layer(10.0, 9.5, 0.2), layer(1.9, 0.01, 0.2), false),
        ] {
            assert_eq!(stoney_holds(board, film).unwrap(), holds, "{board:?}");
            let off = (near(board, film) - 1.0).abs();
            assert!(if holds { off < 0.1 } else { off > 0.12 }, "{board:?}: {off}");
        }
    }

    #[test]
    fn copper_on_invar() {
        // A textbook bimetal (inputs READ, temperature and answer from memory): 100 mm, 1 mm each, 137 and 130 GPa, mismatch
        // 18.8e-6 x 75: its tip rises 5.2866 mm = kappa L2/2.
        let kappa =
            timoshenko_curvature_per_mm(layer(1.0, 130.0, 0.0), layer(1.0, 137.0, 0.0), 18.8e-6 * 75.0).unwrap();
        assert!((kappa * 100.0 * 100.0 / 2.0 / 5.2866 - 1.0).abs() < 1e-4, "{kappa}");
    }

    #[test]
    fn like_films_leave_a_board_flat() {
        let board = layer(9.0, 9.5, 0.2);
        assert_eq!(stoney_two_face_curvature_per_mm(board, (0.5, 2.0), (0.5, 2.0)).unwrap(), 0.0);
        assert!(stoney_two_face_curvature_per_mm(board, (0.5, 2.0), (0.3, 2.0)).unwrap() > 0.0);
        assert!(stoney_two_face_curvature_per_mm(board, (0.3, 2.0), (0.5, 2.0)).unwrap() < 0.0);
        assert_eq!(sag_from_curvature_mm(400.0, 0.0).unwrap(), 0.0);
        // Hollow on the back is the same sag the other way.
        let (front, back) = (sag_from_curvature_mm(400.0, 1e-5).unwrap(), sag_from_curvature_mm(400.0, -1e-5).unwrap());
        assert!(front > 0.19 && back == -front, "{front} {back}");
    }

    #[test]
    fn what_cannot_be_is_refused() {
        let nan = f64::NAN;
        let board = layer(9.0, 9.5, 0.2);
        assert!(
            radius_from_sag_mm(300.0, 0.0).is_err()
                && radius_from_sag_mm(300.0, 151.0).is_err()
                && radius_from_sag_mm(nan, 1.0).is_err()
        );
        assert!(sag_from_radius_mm(300.0, 149.0).is_err() && sag_from_radius_mm(300.0, nan).is_err());
        assert_eq!(stoney_curvature_per_mm(board, 1.9, 2.0).unwrap_err().hi, STONEY_MAX_FILM_RATIO * 9.0);
        assert!(stoney_curvature_per_mm(board, nan, 2.0).is_err() && stoney_curvature_per_mm(board, 0.5, nan).is_err());
        for bad in [
            layer(nan, 9.5, 0.2),
            layer(9.0, nan, 0.2),
            layer(9.0, 9.5, nan),
            layer(9.0, 9.5, 1.0),
            layer(0.0, 9.5, 0.2),
        ] {
            assert!(stoney_curvature_per_mm(bad, 0.0, 2.0).is_err(), "{bad:?}");
            assert!(timoshenko_curvature_per_mm(bad, layer(0.5, 2.0, 0.3), 1e-3).is_err(), "{bad:?}");
            assert!(timoshenko_curvature_per_mm(board, bad, 1e-3).is_err(), "{bad:?}");
        }
        assert!(timoshenko_curvature_per_mm(board, layer(0.5, 2.0, 0.3), nan).is_err());
        assert!(sag_from_curvature_mm(400.0, nan).is_err());
    }

    proptest! {
        #[test]
        fn sag_and_radius_are_inverse(span in 10.0..3000.0f64, part in 1e-7..0.5f64) {
            let sag = span * part;
            let back = sag_from_radius_mm(span, radius_from_sag_mm(span, sag).unwrap()).unwrap();
            prop_assert!((back / sag - 1.0).abs() < 1e-9, "{back} {sag}");
        }

        #[test]
        fn half_the_board_bows_four_times(thick in 4.0..40.0f64, film in 0.01..0.4f64) {
            let bow = |mm| stoney_curvature_per_mm(layer(mm, 9.5, 0.2), film, 2.0).unwrap();
            prop_assert!((bow(thick / 2.0) / bow(thick) - 4.0).abs() < 1e-9);
        }

        #[test]
        fn a_thicker_board_bows_less(thick in 4.0..40.0f64) {
            let film = layer(0.5, 2.0, 0.3);
            let bow = |mm| timoshenko_curvature_per_mm(layer(mm, 9.5, 0.3), film, 7e-4).unwrap();
            prop_assert!(bow(thick + 1.0) < bow(thick));
        }
    }
}
