//! What the air of a room means: vapour, dew, wood, drying, and whether a surface is dry enough to seal.

use crate::craft::physics::{OutOfRange, air, check_range, drying, wood};
use crate::units::{Humidity, Temperature};

/// A surface to be sealed is at least so much warmer than the dew point, K.
///
/// ISO 8502-4 and ISO 12944-7 as quoted by trade pages (READ), for steel; borrowed here as a caution.
pub const MIN_SEAL_MARGIN_C: f64 = 3.0;
/// And the air at most so damp, per cent. As [`MIN_SEAL_MARGIN_C`].
pub const MAX_SEAL_HUMIDITY_PCT: f64 = 85.0;

/// What a room's air means, at 101325 Pa. A figure whose formula does not reach so far is `None` and stands in `said`.
#[derive(Debug, Clone, PartialEq)]
pub struct AirProperties {
    /// Vapour pressure if it were saturated, Pa.
    pub saturation_pressure_pa: Option<f64>,
    /// Vapour pressure, Pa.
    pub vapour_pressure_pa: Option<f64>,
    /// What it would still take, Pa.
    pub vapour_pressure_deficit_pa: Option<f64>,
    /// Dew point, below freezing frost point, C.
    pub dew_point_c: Option<f64>,
    /// Wet bulb, below freezing iced, C.
    pub wet_bulb_c: Option<f64>,
    /// Water in a cubic metre, g.
    pub absolute_humidity_g_m3: Option<f64>,
    /// Water to a kilogram of dry air, kg.
    pub humidity_ratio_kg_kg: Option<f64>,
    /// Moisture at which wood settles in it, per cent.
    pub wood_emc_pct: Option<f64>,
    /// What drives drying, Pa.
    pub drying_force_pa: Option<f64>,
    /// How many times as long as at 20 C and 50 % a coat takes.
    pub wait_factor: Option<f64>,
    /// The same at least and at most: the film at the wet bulb, and as warm as the air.
    pub wait_factor_range: Option<(f64, f64)>,
    /// How much warmer than the dew point the surface is, K; `None` without a surface.
    pub surface_margin_c: Option<f64>,
    /// Whether the surface is far enough from dew and the air dry enough to seal; `None` without a surface.
    pub can_seal: Option<bool>,
    /// Each refusal once, in the order met.
    pub out_of_range: Vec<OutOfRange>,
}

/// What this air means, and this surface in it. Never fails: see [`AirProperties`].
pub fn compute_air_properties(temp: Temperature, humidity: Humidity, surface: Option<Temperature>) -> AirProperties {
    let (t, rh) = (temp.c(), humidity.pct());
    let mut said: Vec<OutOfRange> = Vec::new();
    let mut known = |figure: Result<f64, OutOfRange>| match figure {
        Ok(value) => Some(value),
        Err(refusal) => {
            if !said
                .iter()
                .any(|other| (other.quantity, other.lo, other.hi) == (refusal.quantity, refusal.lo, refusal.hi))
            {
                said.push(refusal);
            }
            None
        }
    };
    let dew_point_c = known(air::dew_point_c(t, rh));
    let surface_c = surface.and_then(|s| known(check_range("surface temperature", s.c(), -50.0, 150.0, "C")));
    let surface_margin_c = surface_c.zip(dew_point_c).map(|(surface, dew)| surface - dew);
    AirProperties {
        saturation_pressure_pa: known(air::saturation_pressure_pa(t)),
        vapour_pressure_pa: known(air::vapour_pressure_pa(t, rh)),
        vapour_pressure_deficit_pa: known(air::vapour_pressure_deficit_pa(t, rh)),
        dew_point_c,
        wet_bulb_c: known(air::wet_bulb_c(t, rh)),
        absolute_humidity_g_m3: known(air::absolute_humidity_g_m3(t, rh)),
        humidity_ratio_kg_kg: known(air::humidity_ratio_kg_kg(t, rh)),
        wood_emc_pct: known(wood::emc_pct(t, rh)),
        drying_force_pa: known(drying::driving_force_pa(t, rh)),
        wait_factor: known(drying::wait_factor(t, rh)),
        wait_factor_range: drying::wait_factor_range(t, rh).ok(),
        surface_margin_c,
        can_seal: surface_margin_c.map(|margin| margin >= MIN_SEAL_MARGIN_C && rh <= MAX_SEAL_HUMIDITY_PCT),
        out_of_range: said,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(t: f64, rh: f64, surface: Option<f64>) -> AirProperties {
        compute_air_properties(Temperature::from_c(t), Humidity::from_pct(rh), surface.map(Temperature::from_c))
    }

    #[test]
    fn a_mild_room() {
        let room = at(20.0, 50.0, None);
        for (got, want, within) in [
            (room.saturation_pressure_pa, 2338.80, 0.01),
            (room.vapour_pressure_pa, 1169.40, 0.01),
            (room.vapour_pressure_deficit_pa, 1169.40, 0.01),
            (room.dew_point_c, 9.272, 0.01),
            (room.wet_bulb_c, 13.783, 0.002),
            (room.absolute_humidity_g_m3, 8.643, 0.001),
            (room.humidity_ratio_kg_kg, 0.007_262, 1e-6),
            (room.wood_emc_pct, 9.2711, 0.001),
            (room.drying_force_pa, 406.93, 0.5),
            (room.wait_factor, 1.0, 1e-12),
        ] {
            assert!((got.unwrap() - want).abs() < within, "{got:?} {want}");
        }
        assert_eq!((room.surface_margin_c, room.can_seal), (None, None));
        assert!(room.out_of_range.is_empty());
    }

    #[test]
    fn when_a_surface_may_be_sealed() {
        // Published: 16 C and 71 %, surface 13 C: margin 2.25, no. 21 C with wet bulb 17 C (67 %), surface 19 C: 4.27, yes.
        for (t, rh, surface, ok) in [
            (16.0, 71.0, 13.0, false),
            (21.0, 67.0, 19.0, true),
            (20.0, 86.0, 40.0, false),
            (20.0, 85.0, 40.0, true),
            (20.0, 50.0, 12.0, false),
        ] {
            assert_eq!(at(t, rh, Some(surface)).can_seal, Some(ok), "{t} {rh} {surface}");
        }
        assert!((at(16.0, 71.0, Some(13.0)).surface_margin_c.unwrap() - 2.25).abs() < 0.03);
    }

    #[test]
    fn what_is_out_of_range_is_unknown_and_said() {
        let damp = at(20.0, 97.0, None);
        assert_eq!((damp.wood_emc_pct, damp.wait_factor), (None, None));
        assert!(damp.dew_point_c.is_some() && damp.drying_force_pa.is_some());
        assert_eq!(damp.out_of_range.len(), 2);
        let cold = at(-5.0, 50.0, None);
        assert!(cold.wet_bulb_c.unwrap() < -5.0 && cold.wood_emc_pct.is_none());
        let dry = at(20.0, 0.0, Some(20.0));
        assert_eq!((dry.dew_point_c, dry.surface_margin_c, dry.can_seal), (None, None, None));
        let nonsense = at(f64::NAN, f64::NAN, Some(f64::NAN));
        assert_eq!((nonsense.saturation_pressure_pa, nonsense.wait_factor, nonsense.can_seal), (None, None, None));
        assert!(!nonsense.out_of_range.is_empty());
    }
}
