//! What a pot's story lends to its forecast. Whether the interval keeps what it states is simulated in `tests/gel.rs`.

use super::act::PotAct;
use super::fill::PotUse;
use super::forecast::*;
use super::story::PotStory;
use super::tests::*;
use crate::units::*;

/// Earliest, middle and latest, minutes since the tables begin, to the minute.
fn told_by(story: &PotStory, around: &ForecastInputs<'_>) -> Option<[f64; 3]> {
    let f = story.pot().forecast_gel(around)?;
    assert!(f.earliest <= f.gels_at && f.gels_at <= f.latest, "{f:?}");
    Some([f.earliest, f.gels_at, f.latest].map(|stamp| (stamp - at(0.0)).minutes().round()))
}

fn told(story: &PotStory) -> Option<[f64; 3]> {
    told_by(story, &ForecastInputs::default())
}

fn basis(story: &PotStory) -> String {
    story.pot().forecast_gel(&ForecastInputs::default()).unwrap().basis.to_string()
}

/// A room that is always so warm, C.
macro_rules! in_room {
    ($c:expr) => {
        ForecastInputs { room_at: &|_| Some(Temperature::from_c($c)), ..ForecastInputs::default() }
    };
}

/// The recipe alone: from the middle of 40 and 50 C, room 20, 40 min, to 30 C: 40 ln 2.5 = 36.65 min in the middle, and
/// from half of it to more than twice, since nobody knows this pot.
#[test]
fn from_the_recipe_alone_and_only_while_it_cools() {
    let cools = told(&play(gesso(), &["10 liquid"])).unwrap();
    assert!(
        (cools[1] - 46.0).abs() <= 1.0 && (22.0..28.0).contains(&cools[0]) && (80.0..100.0).contains(&cools[2]),
        "{cools:?}"
    );
    for (rows, cooling) in [
        (&[][..], false),
        (&["10 made"], true),
        (&["5 melt", "8 liquid"], false),
        (&["5 melt", "6 liquid", "10 out"], true),
        (&["10 liquid", "40 gelled"], false),
        (&["10 liquid", "40 discard"], false),
    ] {
        let got = told(&play(gesso(), rows));
        assert_eq!(got, cooling.then_some(cools), "{rows:?}");
    }
    // Marked liquid again after it should have gelled: not before that mark, and later than was thought.
    let late = told(&play(gesso(), &["10 liquid", "60 liquid"])).unwrap();
    assert!(late[0] >= 60.0 && late[1] > 65.0 && late[2] > cools[2], "{late:?}");
    let warm = told_by(&play(gesso(), &["10 liquid"]), &in_room!(25.0)).unwrap();
    assert!(warm[1] > cools[1] + 10.0, "{warm:?}");
    assert_eq!(told_by(&play(gesso(), &["10 liquid"]), &in_room!(31.0)), None, "it never gels in such a room");
    assert_eq!(
        basis(&play(gesso(), &["10 liquid"])),
        "Newton's law of cooling; the recipe's cooling time; 45.0 C at the beginning (assumed), room 20.0 C (assumed), \
         gels at 30.0 C (recipe)"
    );
}

fn again(story: PotStory, from: f64, jellies: &[f64]) -> PotStory {
    jellies.iter().enumerate().fold(story, |story, (n, min)| {
        let out = from + 100.0 * n as f64;
        let rows = [
            format!("{} melt", out - 5.0),
            format!("{} liquid", out - 3.0),
            format!("{out} out"),
            format!("{} gelled", out + min),
        ];
        play(story, &rows.each_ref().map(String::as_str))
    })
}

fn cools_from(story: PotStory, out: f64) -> PotStory {
    let rows = [format!("{} melt", out - 5.0), format!("{} liquid", out - 3.0), format!("{out} out")];
    play(story, &rows.each_ref().map(String::as_str))
}

#[test]
fn marks_teach_and_each_makes_it_surer() {
    let after = |jellies: &[f64]| told(&cools_from(again(gesso(), 100.0, jellies), 1000.0)).unwrap();
    let rows = [after(&[]), after(&[24.0]), after(&[24.0, 25.0, 24.0, 25.0])];
    assert!(rows.windows(2).all(|w| w[1][2] - w[1][0] < w[0][2] - w[0][0]), "{rows:?}");
    assert!((rows[2][1] - 1025.0).abs() <= 1.5 && rows[2][2] - rows[2][0] < 17.0, "{rows:?}");
    assert_eq!(
        basis(&cools_from(again(gesso(), 100.0, &[24.0, 25.0]), 1000.0)).split("; ").nth(1),
        Some("the recipe's cooling time, 2 coolings of yours to the jelly")
    );
    // A jelly found next morning says nothing of when it gelled.
    assert_eq!(after(&[700.0])[1], after(&[])[1]);
    // A maker whose pots gel at very different times is told a wider interval.
    let (steady, unsteady) = (after(&[30.0, 30.0, 30.0, 30.0]), after(&[22.0, 40.0, 23.0, 39.0]));
    assert!(unsteady[2] - unsteady[0] > 1.25 * (steady[2] - steady[0]), "{steady:?} {unsteady:?}");
    // The same marks, and now the room is colder: sooner.
    let colder = ForecastInputs {
        room_at: &|t| Some(Temperature::from_c(if t < at(900.0) { 20.0 } else { 15.0 })),
        ..ForecastInputs::default()
    };
    let story = cools_from(again(gesso(), 100.0, &[30.0, 30.0]), 1000.0);
    assert!(told_by(&story, &colder).unwrap()[1] < told(&story).unwrap()[1] - 3.0);
}

/// Six coolings found liquid at 55 min, or put into the bath then: it gels later than that.
#[test]
fn a_pot_found_liquid_teaches_too() {
    for last in ["{} liquid", "{} melt"] {
        let mut story = gesso();
        for n in 0..6 {
            let out = 100.0 * f64::from(n) + 100.0;
            if story.pot().current_bath().is_none() {
                story = play(story, &[&format!("{} melt", out - 5.0)]);
            }
            story = play(story, &[&format!("{out} out"), &last.replace("{}", &(out + 55.0).to_string())]);
        }
        if story.pot().current_bath().is_none() {
            story = play(story, &["695 melt"]);
        }
        let [earliest, middle, _] = told(&play(story.clone(), &["700 out"])).unwrap();
        assert!(middle > 755.0 && earliest > 735.0, "{last}: {earliest} {middle}");
        assert!(basis(&play(story, &["700 out"])).contains("6 coolings found liquid"));
    }
}

#[test]
fn taken_out_just_liquid_it_gels_sooner() {
    let warm = told(&play(gesso(), &["5 melt", "7 liquid", "10 out"])).unwrap();
    let just = play(gesso(), &["5 melt", "9.7 liquid", "10 out"]);
    // From 36 C: 40 ln 1.6 = 18.8 min.
    let [earliest, middle, latest] = told(&just).unwrap();
    assert!((middle - 28.5).abs() < 2.0 && earliest < 18.0 && latest < warm[2], "{earliest} {middle} {latest}");
    assert!(basis(&just).contains("36.0 C at the beginning (taken out just liquid)"), "{}", basis(&just));
}

#[test]
fn a_thermometer_is_better() {
    // On the curve from 50 C, room 20, 60 min: 30 C after 65.92 min.
    let curve = |t: f64| 20.0 + 30.0 * (-t / 60.0f64).exp();
    let read = |times: &[f64]| {
        times.iter().fold(play(gesso(), &["0 liquid"]), |story, t| {
            let temp = PotAct::Temp(Temperature::from_c(curve(*t)));
            record(&story, &temp, *t, *t).unwrap()
        })
    };
    let none = told(&play(gesso(), &["0 liquid"])).unwrap();
    let (three, many) = (read(&[0.0, 4.0, 8.0]), read(&(0..16).map(|n| 2.0 * f64::from(n)).collect::<Vec<_>>()));
    let [three_told, many_told] = [&three, &many].map(|story| told(story).unwrap());
    let width = |told: [f64; 3]| told[2] - told[0];
    assert!(
        width(three_told) < width(none) && width(many_told) < width(three_told),
        "{none:?} {three_told:?} {many_told:?}"
    );
    assert!((many_told[1] - 65.9).abs() < 4.0, "{many_told:?}");
    assert!(basis(&three).contains("3 thermometer readings; 50.0 C at the beginning (read)"), "{}", basis(&three));
    // One above 60 C is left out.
    assert_eq!(
        told(&play(gesso(), &["0 liquid", "0 temp 70", "5 temp 45"])),
        told(&play(gesso(), &["0 liquid", "5 temp 45"]))
    );
    // Already below where the recipe says it gels: now.
    assert!(told(&play(gesso(), &["0 liquid", "50 temp 28"])).unwrap()[0] <= 50.0);
}

/// A pot half used up cools in half the time, known from coats that name it or from the scales; the cooling after it is
/// foretold so, and as surely.
#[test]
fn what_is_left_scales_the_time() {
    let story = again(gesso(), 100.0, &[36.0, 36.0]);
    let (made_ml, made_g) = story.pot().made_amounts(&crate::craft::materials::fillers::BulkDensities::TABLE).unwrap();
    let full = told(&cools_from(story.clone(), 500.0)).unwrap();
    let uses = [PotUse { at: at(300.0), volume: Volume::from_ml(made_ml / 2.0) }];
    let coats = ForecastInputs { uses: &uses, ..ForecastInputs::default() };
    let by_coats = told_by(&cools_from(story.clone(), 500.0), &coats).unwrap();
    let rows = [format!("301 weigh {}", 300.0 + made_g), format!("302 weigh {}", 300.0 + made_g / 2.0)];
    let weighed = cools_from(play(story, &rows.each_ref().map(String::as_str)), 500.0);
    for half in [by_coats, told(&weighed).unwrap()] {
        assert!(((half[1] - 500.0) / (full[1] - 500.0) - 0.5).abs() < 0.04, "{half:?} {full:?}");
        assert!(half[2] - half[0] < 0.65 * (full[2] - full[0]), "{half:?} {full:?}");
    }
    assert!(basis(&weighed).ends_with(", 50 % of the pot left"), "{}", basis(&weighed));
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
    // Nobody knows this pot, and one in twenty gels before 26: it lasts for a coat at 20, and not for one at 30, though as
    // many like it gel after 46 as before.
    assert_eq!(tell(&play(gesso(), &["10 liquid"]), 20.0), Some((None, 18.0)));
    assert_eq!(tell(&play(gesso(), &["10 liquid"]), 30.0), Some((Some(25.0), 28.0)));
    assert_eq!(tell(&size(), 45.0), None);
    assert_eq!(tell(&play(gesso(), &["10 liquid", "20 empty"]), 45.0), None);
}
