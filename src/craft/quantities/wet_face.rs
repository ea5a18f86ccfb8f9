//! How far size on one face alone can bow a board on the way: a bound, and no forecast.
//!
//! The wet layer wants to swell as far as wood swells from dry to saturated, and the board holds it. Wood that is held
//! yields, so it presses no harder than its limit; and of two layers of one stiffness the bow is known in closed form.

use super::board::checked_sides_mm;
use crate::craft::materials::Support;
use crate::craft::materials::supports::SheetMovement;
use crate::craft::physics::bow::sag_from_curvature_mm;
use crate::craft::physics::wood::{self, BoardCut, FIBRE_SATURATION_PCT};
use crate::craft::recipe::Direction;
use crate::units::Size;

/// Where the bound comes from.
pub const WET_FACE_SOURCE: &str = "two layers of one stiffness; the strain at which wood yields across its grain, 0.4 %, from memory \
                                   (Mecklenburg, Tumosa and Erhardt 1998); the wet tenth is assumed";
/// Strain past which held wood yields across its grain (from memory).
const WOOD_YIELD_STRAIN: f64 = 0.004;
/// The part of the thickness that size wets at first, from one face (assumed).
const WET_PART: f64 = 0.1;
/// The moisture of wood in a room of 20 C and 50 %.
const ROOM: (f64, f64) = (20.0, 50.0);

/// The most by which a board sized on one face alone stands out of flat over its side across the grain, mm, and that side,
/// mm. None without a thickness, and for a board of which no figure is known.
pub fn one_face_bow_bound_mm(size: Size, support: Support, grain: Option<Direction>) -> Option<(f64, f64)> {
    let (width, height) = checked_sides_mm(size).ok()?;
    let thickness = size.thickness?.mm();
    let along_width = grain.map_or(width > height, |grain| grain == Direction::Horizontal);
    let span = if along_width { height } else { width };
    let strain = swelling_to_saturation(support)?.min(WOOD_YIELD_STRAIN);
    // 12/h^3 times the moment of the held layer, strain h1 h2/h at h/2.
    let per_mm = 6.0 * strain * WET_PART * (1.0 - WET_PART) / thickness;
    Some((sag_from_curvature_mm(span, per_mm).ok()?, span))
}

/// How far it swells across the grain from the room's moisture until it is saturated, in parts.
fn swelling_to_saturation(support: Support) -> Option<f64> {
    let room_pct = wood::emc_pct(ROOM.0, ROOM.1).ok()?;
    if let Some(species) = support.species() {
        let movement = species.movement(BoardCut::Flat);
        return Some(wood::movement_mm(1000.0, movement, room_pct, FIBRE_SATURATION_PCT).ok()? / 1000.0);
    }
    Some(match support.sheet_movements().first()? {
        SheetMovement::ByMoisture { across, .. } => across.value / 100.0 * (FIBRE_SATURATION_PCT - room_pct),
        SheetMovement::ByHumidity(rate) => rate.value / 100.0 * (100.0 - ROOM.1),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Length;

    #[test]
    fn a_board_sized_on_one_face_bows_no_further_than_held_wood_presses() {
        let size = |t: Option<f64>| Size {
            width: Length::from_mm(300.0),
            height: Length::from_mm(400.0),
            thickness: t.map(Length::from_mm),
        };
        // Lime: 0.004 of 6.2 %; 6 * 0.004 * 0.09 / 12 = 1.8e-4 a mm, times 300^2/8: 2.025 mm.
        let (sag, span) = one_face_bow_bound_mm(size(Some(12.0)), Support::Lime, None).unwrap();
        assert!((sag - 2.025).abs() < 1e-3 && span == 300.0, "{sag}");
        // MDF, 0.005 % for 1 % of humidity: 0.0025; 1.125e-4 a mm.
        let (sag, _) = one_face_bow_bound_mm(size(Some(12.0)), Support::Mdf, None).unwrap();
        assert!((sag - 1.2656).abs() < 1e-3, "{sag}");
        // Half as thick, twice as far: it is the wet part that goes with the thickness.
        let thin = one_face_bow_bound_mm(size(Some(6.0)), Support::Lime, None).unwrap().0;
        assert!((thin / 4.05 - 1.0).abs() < 1e-3, "{thin}");
        assert!(
            one_face_bow_bound_mm(size(Some(12.0)), Support::Lime, Some(Direction::Horizontal)).unwrap().1 == 400.0
        );
        assert_eq!(one_face_bow_bound_mm(size(None), Support::Lime, None), None);
        assert_eq!(one_face_bow_bound_mm(size(Some(12.0)), Support::Other, None), None);
    }
}
