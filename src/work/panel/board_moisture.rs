//! How much of the size's water is likely to be still in a board: a range, from a model nobody has measured.
//!
//! It never says that a board is ready, and shortens nothing.

use super::state::Panel;
use crate::craft::materials::Support;
use crate::craft::materials::supports::BoardBuild;
use crate::craft::physics::slab::{DIFFUSION_FACTOR, DIFFUSION_M2_PER_S, DryingSlab, SURFACE_FACTOR, SURFACE_M_PER_S};
use crate::craft::physics::wood::emc_pct;
use crate::craft::recipe::Faces;
use std::f64::consts::FRAC_PI_2;

/// The part of half the thickness that size wets at first, where it does not go right through (assumed).
const SIZED_PART: f64 = 0.2;

/// A board of unknown thickness is taken for this thick where the slowest is asked for (assumed).
const UNKNOWN_THICKNESS_MM: f64 = 18.0;

/// The part of the size's water that is still in the wood, from the least to the most likely.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoistureLeft {
    /// With air on both faces.
    pub open: (f64, f64),
    /// Lying flat, so that one face is closed.
    pub flat: (f64, f64),
}

/// What is left after so many hours in a board of that thickness. Nothing for boards of fibres, and for what is not known:
/// no figure for them was found.
///
/// Wetted thinly, over all of what wood and air may be; the most is also that of wood as assumed, wet all through.
pub fn moisture_left(support: Support, thickness_mm: f64, hours: f64) -> Option<MoistureLeft> {
    match support.build() {
        BoardBuild::Plywood | BoardBuild::SolidWood => {}
        BoardBuild::Fibreboard | BoardBuild::Unknown => return None,
    }
    let range = |depth_m: f64, wet: f64| {
        let slab = DryingSlab { depth_m, diffusion_m2_per_s: DIFFUSION_M2_PER_S, surface_m_per_s: SURFACE_M_PER_S };
        // Of slow and fast wood either may keep more of what lies near the face.
        let around = |factor: f64| [1.0 / factor, 1.0, factor];
        let (mut least, mut most) = (1.0_f64, slab.water_left(hours, 1.0).ok()?);
        for (wood, air) in around(DIFFUSION_FACTOR).into_iter().flat_map(|d| around(SURFACE_FACTOR).map(|s| (d, s))) {
            let other = DryingSlab {
                diffusion_m2_per_s: DIFFUSION_M2_PER_S * wood,
                surface_m_per_s: SURFACE_M_PER_S * air,
                ..slab
            };
            let left = other.water_left(hours, wet).ok()?;
            (least, most) = (least.min(left), most.max(left));
        }
        Some((least, most))
    };
    let depth_m = thickness_mm / 1000.0;
    Some(MoistureLeft { open: range(depth_m / 2.0, SIZED_PART)?, flat: range(depth_m, SIZED_PART / 2.0)? })
}

/// The longest time constant with which a board can come to rest, hours: lying flat, in slow wood with a slow surface.
pub fn slowest_time_constant_h(thickness_mm: Option<f64>) -> f64 {
    let depth_m = thickness_mm.unwrap_or(UNKNOWN_THICKNESS_MM).clamp(1.0, 100.0) / 1000.0;
    let diffusion = DIFFUSION_M2_PER_S / DIFFUSION_FACTOR;
    // A little below the first root of b tan b = L, so that the time is rather too long.
    let surface = SURFACE_M_PER_S / SURFACE_FACTOR * depth_m / diffusion;
    let root = FRAC_PI_2 * surface / (1.0 + surface);
    depth_m * depth_m / (diffusion * root * root) / 3600.0
}

/// By how many per cent of its mass bare wood grows heavier where the air gets 5 % more humid: at 20 C, from 50 %.
pub fn air_gain_pct() -> f64 {
    let at = |rh| emc_pct(20.0, rh).unwrap_or(0.0);
    100.0 * (at(55.0) - at(50.0)) / (100.0 + at(50.0))
}

impl Panel {
    /// The water its recipe's size brings into the board, g.
    pub fn size_water_g(&self) -> f64 {
        let (size, board) = (&self.recipe().size, self.opened().size);
        let faces = if size.faces == Faces::Both { 2.0 } else { 1.0 };
        let area_m2 = board.width.mm() * board.height.mm() / 1e6 * faces;
        let ml = area_m2 * size.ml_per_m2 * f64::from(size.coats_per_face);
        crate::craft::quantities::compute_size_mix(ml, size.glue_g_per_l_water).map_or(0.0, |mix| mix.water_g)
    }

    /// What of the size's water is likely to be left at the end of its recipe's cure.
    pub fn moisture_after_cure(&self) -> Option<MoistureLeft> {
        moisture_left(self.opened().support, self.opened().size.thickness?.mm(), self.recipe().size.cure_h)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn boards_keep_what_was_computed_for_them() {
        // After 24 h, water at first in the sized fifth or wet all through: computed.
        for (mm, open, flat) in
            [(6.0, (0.01, 0.20), (0.07, 0.52)), (12.0, (0.09, 0.53), (0.15, 0.77)), (18.0, (0.17, 0.69), (0.18, 0.84))]
        {
            let got = moisture_left(Support::BirchPlywood, mm, 24.0).unwrap();
            for (got, told) in [(got.open, open), (got.flat, flat)] {
                assert!((got.0 - told.0).abs() < 0.02 && (got.1 - told.1).abs() < 0.02, "{mm}: {got:?} {told:?}");
            }
        }
        assert_eq!(moisture_left(Support::Mdf, 12.0, 24.0), None);
    }

    #[test]
    fn five_per_cent_of_humid_air_weigh_four_times_what_is_looked_for() {
        // 9.27 and 10.10 % of the dry mass.
        assert!((air_gain_pct() - 0.76).abs() < 0.01, "{}", air_gain_pct());
    }

    #[test]
    fn the_slowest_board_is_slower_than_any_that_dries() {
        for mm in [4.0, 12.0, 18.0, 40.0] {
            let tau = slowest_time_constant_h(Some(mm));
            let slow = DryingSlab {
                depth_m: mm / 1000.0,
                diffusion_m2_per_s: DIFFUSION_M2_PER_S / DIFFUSION_FACTOR,
                surface_m_per_s: SURFACE_M_PER_S / SURFACE_FACTOR,
            };
            // Late in the drying one term is left.
            let (a, b) = (slow.water_left(tau, 1.0).unwrap(), slow.water_left(2.0 * tau, 1.0).unwrap());
            let true_tau = tau / (a / b).ln();
            assert!(tau > 0.98 * true_tau && tau < 1.6 * true_tau, "{mm}: {tau} {true_tau}");
        }
    }
}
