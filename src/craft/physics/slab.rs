//! Water leaving a board: diffusion in a slab whose surface holds it back.
//!
//! Crank, *The Mathematics of Diffusion* (1975), eq. 4.50 (number from memory; the sums were checked against finite
//! differences). A slab of half thickness `l`, open on both faces, is the same as one of thickness `l` with one face closed.

use super::{OutOfRange, check_range};
use std::f64::consts::PI;

/// How fast water moves through wood across its grain, m2/s: assumed, and known within a factor of
/// [`DIFFUSION_FACTOR`].
pub const DIFFUSION_M2_PER_S: f64 = 1e-10;
/// See [`DIFFUSION_M2_PER_S`].
pub const DIFFUSION_FACTOR: f64 = 3.0;
/// How fast the air takes it from the surface, m/s: assumed, and known within a factor of [`SURFACE_FACTOR`].
pub const SURFACE_M_PER_S: f64 = 2e-7;
/// See [`SURFACE_M_PER_S`].
pub const SURFACE_FACTOR: f64 = 2.0;

/// So many terms are summed; at the shortest time that is taken the last is smaller than 1e-40.
const TERMS: usize = 60;

/// The wood and its surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DryingSlab {
    /// From the open face to the middle, or to a closed face, m.
    pub depth_m: f64,
    /// How fast water moves in it, m2/s.
    pub diffusion_m2_per_s: f64,
    /// How fast the air takes it, m/s.
    pub surface_m_per_s: f64,
}

impl DryingSlab {
    /// The part of the water that is left after `hours`, 1 for all of it. At first it stands evenly in the outermost
    /// `wet_part` of the depth; 1 is all of it.
    ///
    /// Valid for 0.5 to 100 mm, D from 1e-12 to 1e-8 m2/s, S from 1e-9 to 1 m/s, 1 % to all of the depth.
    ///
    /// # Errors
    /// A figure outside its range.
    pub fn water_left(&self, hours: f64, wet_part: f64) -> Result<f64, OutOfRange> {
        let depth = check_range("depth of wood", self.depth_m, 0.0005, 0.1, "m")?;
        let diffusion = check_range("diffusion in wood", self.diffusion_m2_per_s, 1e-12, 1e-8, "m2/s")?;
        let surface = check_range("exchange at the surface", self.surface_m_per_s, 1e-9, 1.0, "m/s")?;
        let seconds = check_range("hours of drying", hours, 0.0, 1e5, "h")? * 3600.0;
        water_left_of(diffusion * seconds / (depth * depth), surface * depth / diffusion, wet_part)
    }
}

/// The part left at the Fourier number D t / l2, with the surface's L = S l / D.
///
/// Below a Fourier number of 0.005 it is all taken to be there: the series is too slow, and 8 % at most is gone.
fn water_left_of(fourier: f64, surface: f64, wet_part: f64) -> Result<f64, OutOfRange> {
    let wet = check_range("part of the depth that is wet", wet_part, 0.01, 1.0, "")?;
    if fourier < 0.005 {
        return Ok(1.0);
    }
    let term = |b: f64| {
        let at_first = (b.sin() - (b * (1.0 - wet)).sin()) / (b * wet);
        at_first * (b.sin() / b) * (-b * b * fourier).exp() / eigenfunction_norm(b)
    };
    Ok(slab_roots(surface).map(term).sum::<f64>().clamp(0.0, 1.0))
}

/// The mean of the square of cos(b x) from the middle to the face.
fn eigenfunction_norm(b: f64) -> f64 {
    0.5 * (1.0 + (2.0 * b).sin() / (2.0 * b))
}

/// The roots of b tan b = L, rising; one lies in the first half of each turn of the tangent.
fn slab_roots(surface: f64) -> impl Iterator<Item = f64> {
    (0..TERMS).map(move |k| {
        let from = k as f64 * PI;
        super::bisect(from, from + PI / 2.0, |b| b * b.tan() < surface)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What is left in the middle of a slab that was wet all through.
    fn left_in_the_middle(fourier: f64, surface: f64) -> f64 {
        slab_roots(surface).map(|b| b.sin() / b * (-b * b * fourier).exp() / eigenfunction_norm(b)).sum()
    }

    #[test]
    fn it_gives_the_computed_cases_back() {
        // Fourier number, L, part lost, left in the middle: computed by two programs; finite differences agree.
        const OPEN: f64 = 1e9;
        for (fourier, surface, lost, middle) in [
            (0.05, OPEN, 0.25231, 0.99687),
            (0.5, OPEN, 0.76395, 0.37078),
            (1.0, OPEN, 0.93126, 0.10798),
            (0.1, 10.0, 0.27388, 0.96842),
            (0.5, 10.0, 0.68498, 0.45464),
            (1.0, 1.0, 0.52960, 0.53386),
            (0.2, 5.0, 0.35098, 0.86488),
        ] {
            let got = 1.0 - water_left_of(fourier, surface, 1.0).unwrap();
            assert!((got - lost).abs() < 1e-4, "{fourier} {surface}: lost {got}");
            let got = left_in_the_middle(fourier, surface);
            assert!((got - middle).abs() < 1e-4, "{fourier} {surface}: middle {got}");
        }
        // Water that starts in the outer fifth; told to three figures.
        for (fourier, left) in [(0.05, 0.446), (0.1, 0.334), (0.2, 0.242)] {
            let got = water_left_of(fourier, 10.0, 0.2).unwrap();
            assert!((got - left).abs() < 6e-4, "{fourier}: {got}");
        }
        for (surface, root) in [(1.0, 0.86033), (10.0, 1.42887)] {
            let got = slab_roots(surface).next().unwrap();
            assert!((got - root).abs() < 1e-5, "{surface}: {got}");
        }
        // Half lost.
        for (fourier, surface) in [(0.1967, OPEN), (0.2742, 10.0), (0.9175, 1.0)] {
            let got = water_left_of(fourier, surface, 1.0).unwrap();
            assert!((got - 0.5).abs() < 1e-4, "{fourier} {surface}: {got}");
        }
    }

    #[test]
    fn boards_take_the_hours_computed_for_them() {
        // Millimetres; hours to lose half and nine tenths with both faces open, and with one closed.
        for (mm, open, closed) in [
            (6.0, (8.0, 30.0), (26.0, 103.0)),
            (9.0, (16.0, 61.0), (54.0, 217.0)),
            (12.0, (26.0, 103.0), (92.0, 375.0)),
            (18.0, (54.0, 217.0), (197.0, 816.0)),
        ] {
            for (depth_mm, hours) in [(mm / 2.0, open), (mm, closed)] {
                let slab = DryingSlab {
                    depth_m: depth_mm / 1000.0,
                    diffusion_m2_per_s: DIFFUSION_M2_PER_S,
                    surface_m_per_s: SURFACE_M_PER_S,
                };
                for (at, left) in [(hours.0, 0.5), (hours.1, 0.1)] {
                    // The hours are told whole.
                    let (before, after) = (slab.water_left(at - 0.6, 1.0), slab.water_left(at + 0.6, 1.0));
                    assert!(before.unwrap() > left && after.unwrap() < left, "{mm} {depth_mm} {at}");
                }
            }
        }
    }

    #[test]
    fn what_cannot_be_is_refused_and_what_has_hardly_begun_is_all_there() {
        let slab = DryingSlab { depth_m: 0.006, diffusion_m2_per_s: 1e-10, surface_m_per_s: 2e-7 };
        assert_eq!(slab.water_left(0.0, 1.0), Ok(1.0));
        assert!(slab.water_left(f64::NAN, 1.0).is_err() && slab.water_left(24.0, 0.0).is_err());
        assert!(DryingSlab { depth_m: 0.0, ..slab }.water_left(24.0, 1.0).is_err());
    }
}
