//! Coats: how thick they lie wet and dry, and how full of powder they are.
//!
//! A gesso holds more powder than its glue can wrap (it is above the critical volume), so its dry film keeps air and is
//! thicker than its solids alone would be. That model is standard for paints; no measurement of a gesso was found.
//!
//! Absent on purpose: densities and oil absorptions of fillers (`materials`), amounts for a job (`quantities::mix`).

use super::{OutOfRange, check_range};

/// Linseed oil, g/ml: oil absorption is measured with it, whatever binds the film afterwards.
///
/// 93.5 = 100 x density, coatings trade article on CPVC (READ).
pub const LINSEED_G_PER_ML: f64 = 0.935;
/// Dry animal glue, g/ml: 1.3 to 1.4 at 8 to 13 % moisture (supplier's data sheet, READ); the midpoint was chosen.
pub const GLUE_G_PER_ML: f64 = 1.35;
/// Ten litres of water at 20 C, g (CoolProp, computed); a whole number, from which both units below come out exact.
const WATER_G_PER_10_L: f64 = 9982.0;
/// Water at 20 C, g/ml.
pub const WATER_G_PER_ML: f64 = WATER_G_PER_10_L / 10_000.0;
/// Water at 20 C, g to a litre.
pub const WATER_G_PER_L: f64 = WATER_G_PER_10_L / 10.0;

/// One powder in a film.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Powder {
    /// How much of it, g.
    pub mass_g: f64,
    /// Its own density without the air between, g/ml.
    pub density_g_per_ml: f64,
    /// Grams of linseed oil that 100 g of it take up (ASTM D281).
    pub oil_absorption_g_per_100g: f64,
}

/// How full of powder a dry film is. All in per cent of a volume.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PigmentVolume {
    /// Powder in powder and binder.
    pub pvc_pct: f64,
    /// Where the binder just fills the gaps between the grains.
    pub cpvc_pct: f64,
    /// Air in the dry film; 0 below the critical volume.
    pub void_pct: f64,
}

/// Wet film thickness, micrometres: 1 ml on 1 m2 lies 1 um thick (geometry). Valid from 0 to 1e6 ml, 1e-6 to 1e4 m2.
pub fn wet_film_um(volume_ml: f64, area_m2: f64) -> Result<f64, OutOfRange> {
    let volume = check_range("volume", volume_ml, 0.0, 1e6, "ml")?;
    Ok(volume / check_range("area", area_m2, 1e-6, 1e4, "m2")?)
}

/// Dry film thickness, micrometres: wet thickness x volume solids (wording READ on coatings pages). 0 to 1e5 um, 0 to 100 %.
pub fn dry_film_um(wet_um: f64, volume_solids_pct: f64) -> Result<f64, OutOfRange> {
    let wet = check_range("wet film", wet_um, 0.0, 1e5, "um")?;
    Ok(wet * check_range("volume solids", volume_solids_pct, 0.0, 100.0, "%")? / 100.0)
}

/// Pigment volume concentration, per cent: powder in powder and binder (READ). Valid from 0 ml, with something in it.
pub fn pvc_pct(powder_ml: f64, binder_ml: f64) -> Result<f64, OutOfRange> {
    let powder = check_range("volume of powder", powder_ml, 0.0, 1e7, "ml")?;
    let binder = check_range("volume of binder", binder_ml, 0.0, 1e7, "ml")?;
    Ok(100.0 * powder / check_range("volume of powder and binder", powder + binder, 1e-9, 2e7, "ml")?)
}

/// Critical pigment volume concentration of a mixture, per cent: `1/(1 + oil volume/powder volume)`.
///
/// `1/(1 + OA rho/93.5)` for one powder (READ); volumes of oil add for a mixture, since the gaps do. Valid for at least
/// a trace of powder, densities 0.5 to 10 g/ml and oil absorptions 1 to 200 g/100 g.
pub fn cpvc_pct(powders: &[Powder]) -> Result<f64, OutOfRange> {
    let (mut powder_ml, mut oil_ml) = (0.0, 0.0);
    for powder in powders {
        powder_ml += powder_volume_ml(powder)?;
        let oil = check_range("oil absorption", powder.oil_absorption_g_per_100g, 1.0, 200.0, "g/100 g")?;
        oil_ml += powder.mass_g * oil / 100.0 / LINSEED_G_PER_ML;
    }
    check_range("volume of powder", powder_ml, 1e-9, 1e7, "ml")?;
    Ok(100.0 / (1.0 + oil_ml / powder_ml))
}

/// The volume of a powder without the air between its grains, ml. Valid from 0 to 1e7 g, 0.5 to 10 g/ml.
pub fn powder_volume_ml(powder: &Powder) -> Result<f64, OutOfRange> {
    let mass = check_range("mass of powder", powder.mass_g, 0.0, 1e7, "g")?;
    Ok(mass / check_range("density of powder", powder.density_g_per_ml, 0.5, 10.0, "g/ml")?)
}

/// How full a film of these powders and `binder_ml` of dry binder is.
///
/// Air above the critical volume: `1 - CPVC/PVC` (standard model, from memory). Valid as [`pvc_pct`] and [`cpvc_pct`].
pub fn pigment_volume(powders: &[Powder], binder_ml: f64) -> Result<PigmentVolume, OutOfRange> {
    let powder_ml = powders.iter().map(powder_volume_ml).sum::<Result<f64, _>>()?;
    let (pvc_pct, cpvc_pct) = (pvc_pct(powder_ml, binder_ml)?, cpvc_pct(powders)?);
    let void_pct = if pvc_pct > cpvc_pct { 100.0 * (1.0 - cpvc_pct / pvc_pct) } else { 0.0 };
    Ok(PigmentVolume { pvc_pct, cpvc_pct, void_pct })
}

/// Solids in a wet mix, per cent of its volume: powder and dry binder in the whole. Valid where they fit in it.
pub fn volume_solids_pct(powder_ml: f64, binder_ml: f64, wet_ml: f64) -> Result<f64, OutOfRange> {
    let powder = check_range("volume of powder", powder_ml, 0.0, 1e7, "ml")?;
    let binder = check_range("volume of binder", binder_ml, 0.0, 1e7, "ml")?;
    let wet = check_range("volume of the wet mix", wet_ml, (powder + binder).max(1e-9), 1e8, "ml")?;
    Ok(100.0 * (powder + binder) / wet)
}

/// What stays of a wet mix, air included, per cent of its volume.
///
/// Above the critical volume `(powder/CPVC)/wet`; below it there is no air and this is [`volume_solids_pct`]. At most 100: a
/// mix with more powder than that has gaps its size cannot fill, and does not pour. A model, not a measurement of gesso.
pub fn effective_volume_solids_pct(
    powder_ml: f64,
    binder_ml: f64,
    wet_ml: f64,
    cpvc_pct: f64,
) -> Result<f64, OutOfRange> {
    let solids = volume_solids_pct(powder_ml, binder_ml, wet_ml)?;
    let cpvc = check_range("critical volume", cpvc_pct, 0.1, 100.0, "%")?;
    if pvc_pct(powder_ml, binder_ml)? <= cpvc {
        return Ok(solids);
    }
    Ok((100.0 * powder_ml / (cpvc / 100.0) / wet_ml).min(100.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn powder(mass_g: f64, density_g_per_ml: f64, oil_g_per_100g: f64) -> Powder {
        Powder { mass_g, density_g_per_ml, oil_absorption_g_per_100g: oil_g_per_100g }
    }

    #[test]
    fn critical_volumes_of_single_powders() {
        for (what, density, oil, pct) in [
            ("coated rutile", 4.2, 20.0, 52.68),
            ("chalk", 2.71, 17.0, 66.99),
            ("zinc white", 5.61, 18.5, 47.39),
            ("kaolin", 2.60, 30.0, 54.52),
            ("barytes", 4.45, 15.0, 58.35),
            ("gypsum", 2.32, 28.2, 58.83),
        ] {
            let got = cpvc_pct(&[powder(100.0, density, oil)]).unwrap();
            assert!((got - pct).abs() < 0.01, "{what}: {got}");
        }
    }

    #[test]
    fn below_the_critical_volume_there_is_no_air() {
        let full = pigment_volume(&[powder(100.0, 4.0, 20.0)], 50.0).unwrap();
        assert!((full.pvc_pct - 33.333).abs() < 0.001);
        assert_eq!(full.void_pct, 0.0);
        let (plain, with_air) = (
            volume_solids_pct(25.0, 50.0, 200.0).unwrap(),
            effective_volume_solids_pct(25.0, 50.0, 200.0, full.cpvc_pct).unwrap(),
        );
        assert_eq!(plain, with_air);
    }

    #[test]
    fn a_mix_too_full_to_pour_is_all_solid() {
        assert_eq!(effective_volume_solids_pct(70.0, 3.0, 110.0, 60.0).unwrap(), 100.0);
        assert!(effective_volume_solids_pct(60.0, 3.0, 110.0, 60.0).unwrap() < 100.0);
    }

    #[test]
    fn what_cannot_be_is_refused() {
        let nan = f64::NAN;
        assert!(wet_film_um(nan, 1.0).is_err() && wet_film_um(1.0, 0.0).is_err() && wet_film_um(1.0, nan).is_err());
        assert!(dry_film_um(100.0, 101.0).is_err() && dry_film_um(nan, 50.0).is_err());
        assert!(pvc_pct(0.0, 0.0).is_err() && pvc_pct(nan, 1.0).is_err() && pvc_pct(1.0, -1.0).is_err());
        assert!(cpvc_pct(&[]).is_err() && cpvc_pct(&[powder(nan, 2.7, 17.0)]).is_err());
        assert_eq!(cpvc_pct(&[powder(1.0, 2.7, nan)]).unwrap_err().quantity, "oil absorption");
        assert_eq!(volume_solids_pct(60.0, 50.0, 100.0).unwrap_err().quantity, "volume of the wet mix");
    }

    proptest! {
        #[test]
        fn more_glue_means_less_powder_and_less_air(glue in 1.0..100.0f64) {
            let chalk = [powder(100.0, 2.71, 17.0)];
            let (lean, fat) = (pigment_volume(&chalk, glue).unwrap(), pigment_volume(&chalk, glue + 1.0).unwrap());
            prop_assert!(fat.pvc_pct < lean.pvc_pct && fat.void_pct <= lean.void_pct);
            prop_assert_eq!(fat.cpvc_pct, lean.cpvc_pct);
        }

        #[test]
        fn a_mixture_lies_between_its_parts(a in 1.0..100.0f64, b in 1.0..100.0f64) {
            let (gypsum, zinc) = (powder(a, 2.32, 28.2), powder(b, 5.61, 18.5));
            let both = cpvc_pct(&[gypsum, zinc]).unwrap();
            let (one, other) = (cpvc_pct(&[zinc]).unwrap(), cpvc_pct(&[gypsum]).unwrap());
            prop_assert!(one <= both && both <= other, "{one} {both} {other}");
        }
    }
}
