//! The filter against Kalman's formulas by hand, against grids, and in what it must learn.

use super::*;

const SETTING: CoolingSetting = CoolingSetting { start_c: 45.0, start_sd_k: START_SD_K, room_c: 20.0, gels_c: 30.0 };

fn begin(pot: PotEstimate) -> PotEstimate {
    pot.at_next_cooling(&SETTING)
}

fn ln_tau(pot: &PotEstimate) -> (f64, f64) {
    (pot.mean[LN_TAU], pot.covariance[LN_TAU][LN_TAU].sqrt())
}

fn told(pot: &PotEstimate) -> GelMinutes {
    pot.forecast(&SETTING, 0.0).unwrap()
}

/// Where only ln(time constant) is unknown, a jelly at t says x = ln(t / ln 2.5), give or take the mark (1 min of t); by
/// Kalman's formulas the mean moves by s2/(s2 + r2) of the difference and the variance becomes s2 r2/(s2 + r2).
#[test]
fn a_mark_combines_as_kalman_s_formulas_say() {
    let mut pot = PotEstimate::from_recipe(40.0);
    for unknown in [USUAL_START, GEL_POINT] {
        pot.covariance[unknown][unknown] = 0.0;
    }
    for jelly_min in [33.0, 36.65, 41.0] {
        let (x, s2, r2) = (40f64.ln(), LN_TAU_SD * LN_TAU_SD, (1.0f64 / jelly_min).powi(2));
        let seen = (jelly_min / 2.5f64.ln()).ln();
        let (mean, sd) = ln_tau(&pot.with_jelly(&SETTING, jelly_min).0);
        assert!((mean - (x + s2 / (s2 + r2) * (seen - x))).abs() < 1e-3, "{jelly_min}: {mean}");
        assert!((sd / (s2 * r2 / (s2 + r2)).sqrt() - 1.0).abs() < 0.02, "{jelly_min}: {sd}");
    }
}

/// Exact readings of a pot that is nothing like the recipe: 48 C, 60 min, as many as leave the recipe no say.
#[test]
fn many_readings_give_their_curve() {
    let readings: Vec<ThermometerReading> = (0..60)
        .map(f64::from)
        .map(|time_min| ThermometerReading { time_min, temp_c: 20.0 + 28.0 * (-time_min / 60.0).exp() })
        .collect();
    let pot = begin(PotEstimate::from_recipe(40.0)).with_readings(&SETTING, &readings);
    assert!((pot.time_constant_min() - 60.0).abs() < 1.0, "{}", pot.time_constant_min());
    assert!((pot.offsets_k().0 - 3.0).abs() < 0.2, "{:?}", pot.offsets_k());
    let GelMinutes { earliest, median, latest } = told(&pot);
    // 60 ln(28/10) = 61.8; the gel point alone, 1.8 K of 10, leaves 18 % of 60 min to either side and half as much again.
    assert!((median - 61.8).abs() < 2.0 && earliest > 40.0 && latest < 84.0, "{earliest} {median} {latest}");
}

/// The least squares of one reading with a prior, by a grid over start and time constant.
#[test]
fn readings_with_a_prior_are_the_posterior_of_a_grid() {
    let readings =
        [(1.0, 43.9), (4.0, 42.2), (8.0, 39.0)].map(|(time_min, temp_c)| ThermometerReading { time_min, temp_c });
    let (mean, sd) = ln_tau(&begin(PotEstimate::from_recipe(40.0)).with_readings(&SETTING, &readings));
    let (mut all, mut first, mut second) = (0.0, 0.0, 0.0);
    let prior_sd = LN_TAU_SD.hypot(WALK_SD);
    for i in -300..=300 {
        for j in -100..=100 {
            let (x, start) = (40f64.ln() + f64::from(i) * 0.01, 45.0 + f64::from(j) * 0.15);
            let off = |r: &ThermometerReading| r.temp_c - 20.0 - (start - 20.0) * (-r.time_min * (-x).exp()).exp();
            let squares: f64 = readings.iter().map(|r| (off(r) / READING_SD_K).powi(2)).sum();
            let prior =
                ((x - 40f64.ln()) / prior_sd).powi(2) + ((start - 45.0) / USUAL_START_SD_K.hypot(START_SD_K)).powi(2);
            let weight = (-0.5 * (squares + prior)).exp();
            (all, first, second) = (all + weight, first + weight * x, second + weight * x * x);
        }
    }
    let grid = (first / all, (second / all - (first / all).powi(2)).sqrt());
    // The middle of a leaning hill lies a quarter of its spread beside its peak.
    assert!((mean - grid.0).abs() < 0.3 * sd && (sd / grid.1 - 1.0).abs() < 0.1, "{mean} {sd} against {grid:?}");
}

#[test]
fn each_jelly_makes_it_surer_and_six_found_liquid_move_it_out() {
    let jelly = |pot: PotEstimate, min| begin(pot).with_end(&SETTING, CoolingEnd::Gelled(min));
    let recipe = PotEstimate::from_recipe(40.0);
    let widths: Vec<f64> = std::iter::successors(Some(recipe), |pot| Some(jelly(*pot, 36.65)))
        .map(|pot| told(&begin(pot)))
        .map(|told| told.latest - told.earliest)
        .take(4)
        .collect();
    assert!(widths.windows(2).all(|w| w[1] < w[0]) && widths[3] < 24.0, "{widths:?}");
    for end in [CoolingEnd::StillLiquid(55.0), CoolingEnd::IntoBath(55.0)] {
        let six = (0..6).fold(recipe, |pot, _| begin(pot).with_end(&SETTING, end));
        assert!(told(&begin(six)).median > 55.0, "{end:?}: {:?}", told(&begin(six)));
    }
    // Found liquid long before it would gel says nothing.
    let early = begin(recipe).with_end(&SETTING, CoolingEnd::StillLiquid(5.0));
    assert!((told(&early).median - told(&begin(recipe)).median).abs() < 0.5);
}

/// A lid left off: the third mark is far out, the next forecast is near it and wide, and the one after is sure again.
#[test]
fn what_nobody_told_is_learned_from_one_surprise() {
    let after = |marks: &[f64]| {
        let pot = marks
            .iter()
            .fold(PotEstimate::from_recipe(40.0), |pot, min| begin(pot).with_end(&SETTING, CoolingEnd::Gelled(*min)));
        told(&begin(pot))
    };
    let (steady, surprised, again) =
        (after(&[36.0, 37.0, 36.0]), after(&[36.0, 37.0, 18.0]), after(&[36.0, 37.0, 18.0, 19.0]));
    assert!(surprised.median < 24.0 && surprised.latest < steady.latest, "{surprised:?}");
    assert!(again.latest - again.earliest < 0.8 * (surprised.latest - surprised.earliest), "{again:?} {surprised:?}");
}

#[test]
fn a_pot_half_empty_cools_in_half_the_time_and_is_less_sure() {
    let pot = begin(PotEstimate::from_recipe(40.0)).with_end(&SETTING, CoolingEnd::Gelled(36.65));
    let (full, half) = (told(&begin(pot)), told(&begin(pot.with_fill_changed(0.5))));
    assert!((half.median / full.median - 0.5).abs() < 0.01, "{half:?} {full:?}");
    assert!(half.latest / half.earliest > full.latest / full.earliest, "{half:?} {full:?}");
}

#[test]
fn earlier_pots_lend_their_mean_and_how_far_they_lie_apart() {
    let pot = |min: f64| begin(PotEstimate::from_recipe(40.0)).with_end(&SETTING, CoolingEnd::Gelled(min));
    let lent = |minutes: &[f64]| PotEstimate::from_earlier_pots(&minutes.iter().map(|m| pot(*m)).collect::<Vec<_>>());
    assert_eq!(lent(&[]), None);
    let width = |minutes: &[f64]| {
        let told = told(&begin(lent(minutes).unwrap()));
        (told.latest / told.earliest).ln()
    };
    let recipe = told(&begin(PotEstimate::from_recipe(40.0)));
    assert!(width(&[30.0]) < (recipe.latest / recipe.earliest).ln());
    assert!(width(&[30.0, 30.5, 29.5]) < width(&[30.0]));
    assert!(width(&[22.0, 30.0, 41.0]) > width(&[30.0, 30.5, 29.5]));
    assert!(ln_tau(&lent(&[30.0; 8]).unwrap()).1 >= EARLIER_POTS_LN_TAU_SD_MIN);
}

#[test]
fn no_room_too_warm_and_nothing_that_is_no_number() {
    let pot = begin(PotEstimate::from_recipe(40.0));
    assert_eq!(pot.forecast(&CoolingSetting { room_c: 31.0, ..SETTING }, 0.0), None);
    for min in [0.0, 0.1, 1.0, 20.0, 200.0, 5000.0] {
        for end in [CoolingEnd::Gelled(min), CoolingEnd::StillLiquid(min), CoolingEnd::IntoBath(min)] {
            let told = told(&begin(pot.with_end(&SETTING, end)));
            let rising = 0.0 <= told.earliest && told.earliest <= told.median && told.median <= told.latest;
            assert!(rising && told.latest.is_finite(), "{end:?}: {told:?}");
        }
    }
}
