//! The forecast against marks: worked pots, and simulated ones with noise from a fixed seed.

use super::act::PotAct;
use super::forecast::*;
use super::story::PotStory;
use super::tests::*;
use crate::units::*;

fn told(story: &PotStory, around: &ForecastInputs<'_>) -> Option<(f64, f64, TimeConstantOrigin)> {
    let f = story.pot().forecast_gel(around)?;
    let round = |x: f64| (x * 100.0).round() / 100.0;
    Some((round((f.gels_at - at(0.0)).minutes()), round(f.time_constant_min), f.basis.time_constant_origin))
}

/// The recipe alone: from the middle of 40 and 50 C, room 20, 40 min, to 30 C: 40 ln 2.5 = 36.65 min.
#[test]
fn from_the_recipe_alone_and_only_while_it_cools() {
    let plain = ForecastInputs::default();
    assert_eq!(told(&gesso(), &plain), None, "nobody marked since when it cools");
    assert_eq!(told(&play(gesso(), &["10 liquid"]), &plain), Some((46.65, 40.0, TimeConstantOrigin::Recipe)));
    assert_eq!(told(&play(gesso(), &["10 made"]), &plain), Some((46.65, 40.0, TimeConstantOrigin::Recipe)));
    assert_eq!(told(&play(gesso(), &["5 melt", "8 liquid"]), &plain), None, "it stands in the bath");
    assert_eq!(
        told(&play(gesso(), &["5 melt", "8 liquid", "10 out"]), &plain),
        Some((46.65, 40.0, TimeConstantOrigin::Recipe))
    );
    assert_eq!(told(&play(gesso(), &["10 liquid", "40 gelled"]), &plain), None);
    assert_eq!(told(&play(gesso(), &["10 liquid", "40 discard"]), &plain), None);
    // Marked liquid again after it should have gelled: not before that mark.
    assert_eq!(told(&play(gesso(), &["10 liquid", "50 liquid"]), &plain).map(|t| t.0), Some(50.0));
    let learned = ForecastInputs { learned_time_constant_min: Some(50.0), ..plain };
    assert_eq!(told(&play(gesso(), &["10 liquid"]), &learned), Some((55.81, 50.0, TimeConstantOrigin::EarlierPots)));
    let warm = ForecastInputs { room_at: &|_| Some(Temperature::from_c(31.0)), ..plain };
    assert_eq!(told(&play(gesso(), &["10 liquid"]), &warm), None, "it never gels in such a room");
    let text = play(gesso(), &["10 liquid"]).pot().forecast_gel(&plain).unwrap().basis.to_string();
    assert_eq!(
        text,
        "Newton's law of cooling; the recipe's cooling time; 45.0 C at the beginning (assumed), room 20.0 C (assumed), \
         gels at 30.0 C (recipe)"
    );
}

#[test]
fn marks_alone_give_back_what_they_showed() {
    let plain = ForecastInputs::default();
    let once = play(gesso(), &["0 liquid", "30 gelled", "40 melt", "43 liquid", "44 out"]);
    assert_eq!(told(&once, &plain), Some((74.0, 32.74, TimeConstantOrigin::Marks { coolings: 1 })));
    let thrice =
        play(once, &["80 gelled", "90 melt", "93 liquid", "94 out", "123 gelled", "130 melt", "133 liquid", "134 out"]);
    // 30, 36 and 29 minutes: the middle one stands.
    assert_eq!(told(&thrice, &plain).map(|t| (t.0, t.2)), Some((164.0, TimeConstantOrigin::Marks { coolings: 3 })));
    let f = thrice.pot().forecast_gel(&plain).unwrap();
    assert!((f.spread.minutes() - 1.4826).abs() < 0.01, "one minute is the middle distance: {f:?}");
    // The same marks, and now the room is colder than it was: sooner.
    let colder =
        ForecastInputs { room_at: &|t| Some(Temperature::from_c(if t < at(133.0) { 20.0 } else { 15.0 })), ..plain };
    assert!(told(&thrice, &colder).unwrap().0 < 160.0);
    // A jelly found next morning says nothing of when it gelled, nor does a pot that went back before it gelled.
    let morning = play(gesso(), &["0 liquid", "700 gelled", "710 melt", "713 liquid", "714 out"]);
    assert_eq!(told(&morning, &plain).map(|t| t.2), Some(TimeConstantOrigin::Recipe));
    let back = play(gesso(), &["0 liquid", "20 melt", "23 out"]);
    assert_eq!(told(&back, &plain).map(|t| t.2), Some(TimeConstantOrigin::Recipe));
}

#[test]
fn a_thermometer_is_better() {
    let plain = ForecastInputs::default();
    // On the curve from 50 C, room 20, 60 min: 30 C after 65.92 min.
    let curve = |t: f64| 20.0 + 30.0 * (-t / 60.0f64).exp();
    let rows: Vec<String> = [0.0, 5.0, 10.0, 15.0].iter().map(|t| format!("{t} temp {}", curve(*t))).collect();
    let rows: Vec<&str> = [&["0 liquid"], &rows.iter().map(String::as_str).collect::<Vec<_>>()[..]].concat();
    assert_eq!(told(&play(gesso(), &rows), &plain), Some((65.92, 60.0, TimeConstantOrigin::Readings { readings: 4 })));
    // One reading begins the curve; the recipe bends it: 40 ln(25/10) from minute 5.
    let one = play(gesso(), &["0 liquid", "5 temp 45"]);
    assert_eq!(told(&one, &plain), Some((41.65, 40.0, TimeConstantOrigin::Recipe)));
    assert!(one.pot().forecast_gel(&plain).unwrap().basis.start_read);
    // Two readings a minute apart tell no curve; nor do readings that rise; one above 60 C is left out.
    assert_eq!(
        told(&play(gesso(), &["0 liquid", "5 temp 45", "6 temp 44"]), &plain).unwrap().2,
        TimeConstantOrigin::Recipe
    );
    assert_eq!(
        told(&play(gesso(), &["0 liquid", "5 temp 40", "15 temp 44"]), &plain).unwrap().2,
        TimeConstantOrigin::Recipe
    );
    let hot = play(gesso(), &["0 liquid", "0 temp 70", "5 temp 45"]);
    assert_eq!(told(&hot, &plain), told(&one, &plain));
    // From minute 1 at 45 C, and it gelled at 31.04 C the first time: 60 ln(25/11.04) later.
    // What a thermometer showed of an earlier cooling goes with a reading of this one, and marks go without.
    let later: Vec<&str> = [&rows[..], &["60 gelled", "70 melt", "73 liquid", "74 out"]].concat();
    let story = play(gesso(), &later);
    assert_eq!(told(&story, &plain).unwrap().2, TimeConstantOrigin::Marks { coolings: 1 });
    let story = play(story, &["75 temp 45"]);
    assert_eq!(told(&story, &plain).unwrap(), (124.06, 60.0, TimeConstantOrigin::EarlierReadings { coolings: 1 }));
    // Already below where the recipe says it gels: now.
    assert_eq!(told(&play(gesso(), &["0 liquid", "50 temp 28"]), &plain).map(|t| t.0 <= 50.0), Some(true));
}

#[test]
fn the_bath_is_called_so_that_pot_and_coat_are_ready_together() {
    let tell = |story: &PotStory, due: f64| {
        let f = story.pot().forecast_gel(&ForecastInputs::default());
        let for_coat = story.pot().coat_preparation(f.as_ref(), at(due))?;
        Some((for_coat.bath_by.map(|by| (by - at(0.0)).minutes()), (for_coat.bowl_at - at(0.0)).minutes()))
    };
    // Melting takes 3 minutes and the bowl 2: in by five before the coat.
    assert_eq!(tell(&play(gesso(), &["10 liquid", "40 gelled"]), 60.0), Some((Some(55.0), 58.0)));
    // The ground went dull at 52: the coat is due then, and the bath with it.
    assert_eq!(tell(&play(gesso(), &["10 liquid", "40 gelled"]), 52.0), Some((Some(47.0), 50.0)));
    assert_eq!(tell(&play(gesso(), &["10 liquid", "40 gelled", "54 melt"]), 60.0), Some((None, 58.0)));
    // Liquid until 46.65, give or take half of it: it lasts for a coat at 20, and not for one at 45.
    assert_eq!(tell(&play(gesso(), &["10 liquid"]), 20.0), Some((None, 18.0)));
    assert_eq!(tell(&play(gesso(), &["10 liquid"]), 45.0), Some((Some(40.0), 43.0)));
    assert_eq!(tell(&size(), 45.0), None);
    assert_eq!(tell(&play(gesso(), &["10 liquid", "20 empty"]), 45.0), None);
}

/// Numbers from a seed (SplitMix64), so that a failing pot can be told and made again.
struct Dice(u64);

impl Dice {
    fn between(&mut self, lo: f64, hi: f64) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        lo + (hi - lo) * ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }
}

/// A pot nobody knows: it cools by its own law, gels at its own temperature, and its maker marks late and is not always
/// equally quick out of the bath. Gives minutes between forecast and jelly after `marks` marks.
fn simulated(seed: u64, marks: usize, start_k: f64, mark_min: f64, thermometer: Option<f64>) -> f64 {
    let dice = &mut Dice(seed);
    let (tau, gels, room, start) =
        (dice.between(25.0, 60.0), dice.between(28.0, 32.0), dice.between(17.0, 23.0), dice.between(42.0, 50.0));
    let mut story = gesso();
    let mut clock = 5.0;
    let step = |story: &PotStory, act: &PotAct, min: f64| record(story, act, min, min).unwrap();
    for cooling in 0..=marks {
        story = step(&story, &PotAct::Melt, clock);
        story = step(&story, &PotAct::Liquid, clock + 3.0);
        let out = clock + 4.0;
        let begin = start + dice.between(-start_k, start_k);
        let minutes = tau * ((begin - room) / (gels - room)).ln();
        story = step(&story, &PotAct::OutOfBath, out + dice.between(0.0, mark_min));
        if let Some(off) = thermometer {
            for min in [4.0, 9.0, 14.0, 19.0] {
                let temp = room + (begin - room) * (-min / tau).exp() + dice.between(-off, off);
                story = step(&story, &PotAct::Temp(Temperature::from_c(temp)), out + min);
            }
        }
        if cooling == marks {
            let read = |_| Some(Temperature::from_c(room));
            let forecast =
                story.pot().forecast_gel(&ForecastInputs { room_at: &read, learned_time_constant_min: None }).unwrap();
            return ((forecast.gels_at - at(out)).minutes() - minutes).abs();
        }
        let seen = out + minutes + dice.between(0.0, mark_min);
        story = step(&story, &PotAct::Gelled, seen);
        clock = seen + 10.0;
    }
    f64::NAN
}

fn share_within_two(marks: usize, start_k: f64, mark_min: f64, thermometer: Option<f64>) -> f64 {
    const POTS: u64 = 400;
    let good = (0..POTS).filter(|seed| simulated(*seed, marks, start_k, mark_min, thermometer) <= 2.0);
    good.count() as f64 / POTS as f64
}

/// Each row: coolings marked before, how far the maker's beginnings differ (K), how late the marks are (min), the error of
/// a thermometer if there is one (K), and the least share of the pots forecast within two minutes.
#[test]
fn three_marks_forecast_the_fourth_within_two_minutes() {
    const ROWS: [(usize, f64, f64, Option<f64>, f64); 5] = [
        (3, 0.2, 0.5, None, 1.0),
        (3, 0.5, 1.0, None, 0.97),
        (1, 0.3, 1.0, None, 0.97),
        // Not equally quick out of the bath: marks alone are then worse, a thermometer is not.
        (1, 2.0, 1.0, Some(0.1), 0.97),
        (3, 2.0, 1.0, Some(0.3), 0.95),
    ];
    for (marks, start_k, mark_min, thermometer, least) in ROWS {
        let share = share_within_two(marks, start_k, mark_min, thermometer);
        assert!(share >= least, "{marks} marks, {start_k} K, {mark_min} min, {thermometer:?}: {share}");
    }
    let unmarked = share_within_two(0, 0.2, 0.5, None);
    assert!(unmarked < 0.2, "the recipe alone does not know these pots: {unmarked}");
    let marks_alone = share_within_two(3, 2.0, 1.0, None);
    assert!(marks_alone < 0.7, "{marks_alone}");
}
