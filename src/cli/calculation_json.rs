//! The JSON of what is reckoned: `mix`, `board`, `air --only`, `pot forecast`. Nothing is rounded, nothing left out.

use super::json::FORMAT_VERSION;
use crate::craft::physics::gel_times::FORECAST_LEVEL;
use crate::craft::quantities::Advice;
use crate::craft::quantities::air_properties::AirProperties;
use crate::craft::quantities::board::{AxisBow, BoardMovement, FilmBow};
use crate::craft::quantities::consumption::MixRange;
use crate::craft::quantities::gel_forecast::GelForecast;
use crate::craft::quantities::mix::{FillerMix, Ground, Mix};
use serde::Serialize;

/// What `mix --json` prints.
#[derive(Serialize)]
pub(super) struct MixJson {
    format: u32,
    face_area_m2: f64,
    size_for_wood: SizeMixJson,
    gesso: GessoJson,
    seal: Option<SealJson>,
    ground: GroundJson,
}

/// An amount: the least that may be used, what to make, the most.
#[derive(Serialize)]
struct AmountJson {
    low: f64,
    best: f64,
    high: f64,
}

#[derive(Serialize)]
struct SizeMixJson {
    volume_ml: AmountJson,
    glue_g: AmountJson,
    water_g: AmountJson,
}

#[derive(Serialize)]
struct GessoJson {
    volume_ml: AmountJson,
    size_ml: AmountJson,
    glue_g: AmountJson,
    water_g: AmountJson,
    fillers: Vec<FillerJson>,
    thinning_ml: AmountJson,
}

#[derive(Serialize)]
struct FillerJson {
    name: &'static str,
    mass_g: AmountJson,
    bulk_ml: AmountJson,
    scoops: Option<f64>,
}

#[derive(Serialize)]
struct SealJson {
    solution_ml: AmountJson,
    resin_g: Option<AmountJson>,
    spirit_ml: Option<AmountJson>,
    g_per_l_spirit: Option<f64>,
    pound_cut: Option<f64>,
}

#[derive(Serialize)]
struct GroundJson {
    glue_per_100g_filler_g: f64,
    glue_per_100g_filler_range_g: [f64; 2],
    pvc_pct: f64,
    cpvc_pct: f64,
    void_pct: f64,
    volume_solids_pct: f64,
    effective_volume_solids_pct: f64,
    wet_um_per_coat: f64,
    dry_um_per_coat: f64,
    dry_um_total: f64,
}

impl From<&MixRange> for MixJson {
    fn from(range: &MixRange) -> Self {
        let MixRange { low, best, high } = range;
        let amount = |of: &dyn Fn(&Mix) -> f64| AmountJson { low: of(low), best: of(best), high: of(high) };
        let known =
            |of: &dyn Fn(&Mix) -> Option<f64>| Some(AmountJson { low: of(low)?, best: of(best)?, high: of(high)? });
        let filler = |(at, filler): (usize, &FillerMix)| FillerJson {
            name: filler.filler.name(),
            mass_g: amount(&|mix| mix.gesso.fillers[at].mass_g),
            bulk_ml: amount(&|mix| mix.gesso.fillers[at].bulk_ml),
            scoops: filler.scoops,
        };
        MixJson {
            format: FORMAT_VERSION,
            face_area_m2: best.face_area_m2,
            size_for_wood: SizeMixJson {
                volume_ml: amount(&|mix| mix.size_for_wood.volume_ml),
                glue_g: amount(&|mix| mix.size_for_wood.glue_g),
                water_g: amount(&|mix| mix.size_for_wood.water_g),
            },
            gesso: GessoJson {
                volume_ml: amount(&|mix| mix.gesso.volume_ml),
                size_ml: amount(&|mix| mix.gesso.size_ml),
                glue_g: amount(&|mix| mix.gesso.glue_g),
                water_g: amount(&|mix| mix.gesso.water_g),
                fillers: best.gesso.fillers.iter().enumerate().map(filler).collect(),
                thinning_ml: amount(&|mix| mix.gesso.thinning_ml),
            },
            seal: best.seal.and_then(|seal| {
                Some(SealJson {
                    solution_ml: known(&|mix| Some(mix.seal?.solution_ml))?,
                    resin_g: known(&|mix| mix.seal?.resin_g),
                    spirit_ml: known(&|mix| mix.seal?.spirit_ml),
                    g_per_l_spirit: seal.g_per_l_spirit,
                    pound_cut: seal.pound_cut,
                })
            }),
            ground: best.ground.into(),
        }
    }
}

impl From<Ground> for GroundJson {
    fn from(g: Ground) -> Self {
        GroundJson {
            glue_per_100g_filler_g: g.glue_per_100g_filler_g,
            glue_per_100g_filler_range_g: g.glue_per_100g_filler_range_g,
            pvc_pct: g.pvc_pct,
            cpvc_pct: g.cpvc_pct,
            void_pct: g.void_pct,
            volume_solids_pct: g.volume_solids_pct,
            effective_volume_solids_pct: g.effective_volume_solids_pct,
            wet_um_per_coat: g.wet_um_per_coat,
            dry_um_per_coat: g.dry_um_per_coat,
            dry_um_total: g.dry_um_total,
        }
    }
}

/// What `board --json` prints.
#[derive(Serialize)]
pub(super) struct BoardJson {
    format: u32,
    emc_from_pct: f64,
    emc_to_pct: f64,
    across_mm: Option<f64>,
    along_mm: Option<f64>,
    bow: Option<BowJson>,
    advice: Vec<String>,
}

#[derive(Serialize)]
struct BowJson {
    along: AxisBowJson,
    across: AxisBowJson,
}

#[derive(Serialize)]
struct AxisBowJson {
    radius_mm: Option<f64>,
    sag_mm_stoney: Option<f64>,
    sag_mm_timoshenko: Option<f64>,
    span_mm: f64,
    balanced_sag_mm: f64,
}

impl From<&BoardMovement> for BoardJson {
    fn from(b: &BoardMovement) -> Self {
        BoardJson {
            format: FORMAT_VERSION,
            emc_from_pct: b.emc_from_pct,
            emc_to_pct: b.emc_to_pct,
            across_mm: b.across_mm,
            along_mm: b.along_mm,
            bow: b.bow.map(BowJson::from),
            advice: b.advice.iter().map(Advice::to_string).collect(),
        }
    }
}

impl From<FilmBow> for BowJson {
    fn from(b: FilmBow) -> Self {
        BowJson { along: b.along.into(), across: b.across.into() }
    }
}

impl From<AxisBow> for AxisBowJson {
    fn from(b: AxisBow) -> Self {
        AxisBowJson {
            radius_mm: b.radius_mm,
            sag_mm_stoney: b.sag_mm_stoney,
            sag_mm_timoshenko: b.sag_mm_timoshenko,
            span_mm: b.span_mm,
            balanced_sag_mm: b.balanced_sag_mm,
        }
    }
}

/// What `air T RH --only --json` prints.
#[derive(Serialize)]
pub(super) struct AirJson {
    format: u32,
    saturation_pa: Option<f64>,
    vapour_pa: Option<f64>,
    vpd_pa: Option<f64>,
    dew_point_c: Option<f64>,
    wet_bulb_c: Option<f64>,
    absolute_humidity_g_m3: Option<f64>,
    humidity_ratio_kg_kg: Option<f64>,
    wood_emc_pct: Option<f64>,
    drying_force_pa: Option<f64>,
    wait_factor: Option<f64>,
    wait_factor_low: Option<f64>,
    wait_factor_high: Option<f64>,
    surface_margin_c: Option<f64>,
    seal_ok: Option<bool>,
}

impl From<&AirProperties> for AirJson {
    fn from(properties: &AirProperties) -> Self {
        // Every field by its name, so that none can be forgotten here.
        let AirProperties {
            saturation_pressure_pa: saturation_pa,
            vapour_pressure_pa: vapour_pa,
            vapour_pressure_deficit_pa: vpd_pa,
            dew_point_c,
            wet_bulb_c,
            absolute_humidity_g_m3,
            humidity_ratio_kg_kg,
            wood_emc_pct,
            drying_force_pa,
            wait_factor,
            wait_factor_range,
            surface_margin_c,
            can_seal: seal_ok,
            out_of_range: _,
        } = *properties;
        AirJson {
            format: FORMAT_VERSION,
            saturation_pa,
            vapour_pa,
            vpd_pa,
            dew_point_c,
            wet_bulb_c,
            absolute_humidity_g_m3,
            humidity_ratio_kg_kg,
            wood_emc_pct,
            drying_force_pa,
            wait_factor,
            wait_factor_low: wait_factor_range.map(|(low, _)| low),
            wait_factor_high: wait_factor_range.map(|(_, high)| high),
            surface_margin_c,
            seal_ok,
        }
    }
}

/// What `pot forecast --json` prints.
#[derive(Serialize)]
pub(super) struct GelForecastJson {
    format: u32,
    time_constant_min: f64,
    start_c: f64,
    rms_c: f64,
    gels_after_min: Option<f64>,
    earliest_min: Option<f64>,
    latest_min: Option<f64>,
    level: f64,
    readings: usize,
}

impl From<&GelForecast> for GelForecastJson {
    fn from(f: &GelForecast) -> Self {
        GelForecastJson {
            format: FORMAT_VERSION,
            time_constant_min: f.time_constant_min,
            start_c: f.start_c,
            rms_c: f.rms_c,
            gels_after_min: f.gels_after_min,
            earliest_min: f.interval.map(|told| told.earliest),
            latest_min: f.interval.map(|told| told.latest),
            level: FORECAST_LEVEL,
            readings: f.readings,
        }
    }
}
