//! What was weighed, and what a refractometer tells, in strength and in glue to 100 g of filler.

use super::act::PotAct;
use super::event::{PotKind, PotOpened};
use super::lineage::PotLineage;
use super::refusal::{PotQuestion, PotRefusal};
use super::story::PotStory;
use super::tests::{act, gesso, open, play, record, said};
use super::usage::PotUsage;
use super::water::{PotWater, StrengthSource, WaterInputs};
use super::weighed::WeighedParts;
use crate::craft::materials::Filler;
use crate::craft::materials::fillers::BulkDensities;
use crate::units::{Id, Mass, Stamp};

fn made(line: &str) -> PotAct {
    PotAct::Made(Box::new(WeighedParts::parse(line).unwrap()))
}

fn mark(story: &PotStory, what: &PotAct, min: f64) -> PotStory {
    record(story, what, min, min).unwrap_or_else(|r| panic!("{what:?}: {r}"))
}

fn size_pot(id: &str) -> PotStory {
    play(open(said(id, PotKind::Size, None), 0.0), &["1 liquid"])
}

fn water_of(pots: &[&PotStory], id: &str) -> PotWater {
    let usage = PotUsage::new(PotLineage::new(pots.iter().copied()), [], &BulkDensities::TABLE);
    usage.water_at(&Id::new(id).unwrap(), Stamp::from_ms(i64::MAX)).unwrap()
}

#[track_caller]
fn near(got: Option<f64>, expected: f64) {
    assert!(got.is_some_and(|g| (g - expected).abs() < 1e-3 * expected), "{got:?}, not {expected}");
}

#[test]
fn the_strength_is_that_of_what_was_weighed_and_the_recipes_where_nothing_was() {
    // (what was weighed into 500 ml of size of 70 g to the litre, strength, which).
    let asked = 500.0 / (1000.0 + 70.0 / 1.35);
    for (line, strength, source) in [
        ("", 70.0, StrengthSource::Recipe),
        ("glue 71g, water 1000g", 71.0 * 0.9982, StrengthSource::Weighed),
        ("glue 80g, water 998.2g", 80.0, StrengthSource::Weighed),
        // The other is as asked for.
        ("glue 40g", 40.0 / asked, StrengthSource::Weighed),
        ("water 600g", 70.0 * asked / (600.0 / 998.2), StrengthSource::Weighed),
    ] {
        let pot = mark(&size_pot("robin"), &made(line), 2.0);
        let got = water_of(&[&pot], "robin");
        near(got.glue_g_per_l_water, strength);
        assert_eq!(got.strength_source, source, "{line}");
    }
    // Water lost since counts from there: 50 g of 1000 g.
    let pot = mark(&size_pot("robin"), &made("glue 71g, water 1000g"), 2.0);
    let lighter = play(pot, &["3 weigh 1300", "4 weigh 1250"]);
    near(water_of(&[&lighter], "robin").glue_g_per_l_water, 71.0 * 0.9982 / 0.95);
}

#[test]
fn what_was_poured_is_as_strong_as_what_it_was_poured_from() {
    let weighed = mark(&size_pot("robin"), &made("glue 84g, water 998.2g"), 2.0);
    let child = open(said("wren", PotKind::Gesso, Some("robin")), 5.0);
    let got = water_of(&[&weighed, &child], "wren");
    near(got.glue_g_per_l_water, 84.0);
    assert_eq!((got.strength_source, got.is_filler_weighed), (StrengthSource::Weighed, false));
    // 84 / (1000 + 84/1.35) = 7.9079 g in 100 ml of size, to the recipe's 80 g of filler.
    near(got.glue_per_100g_filler_g, 9.8849);
    // The same with the powder weighed: 500 ml took 320 g, 64 g to 100 ml.
    let child = mark(&child, &made("gypsum 320g"), 6.0);
    let got = water_of(&[&weighed, &child], "wren");
    near(got.glue_per_100g_filler_g, 12.3561);
    assert!(got.is_filler_weighed);
}

#[test]
fn a_reading_is_a_strength_only_by_size_that_was_weighed() {
    let read = mark(&size_pot("wren"), &PotAct::Brix(9.0), 3.0);
    let got = water_of(&[&read], "wren");
    assert_eq!(
        (got.strength_source, got.glue_g_per_l_water, got.strength_sd),
        (StrengthSource::Recipe, Some(70.0), None)
    );
    let known = mark(&mark(&size_pot("robin"), &made("glue 70g, water 998.2g"), 2.0), &PotAct::Brix(8.0), 3.0);
    let got = water_of(&[&known, &read], "wren");
    // 70/1068.2 of the mass at 8 degrees, 9/8 of that at 9: 7.3723 %, 79.447 g to a litre.
    near(got.glue_g_per_l_water, 79.447);
    assert_eq!(got.strength_source, StrengthSource::Brix);
    assert!(got.strength_sd.is_some_and(|sd| sd > 0.5 && sd < 3.0), "{got:?}");
    // What was weighed goes before what was read; and a gesso poured from what was read is as strong.
    assert_eq!(water_of(&[&known, &read], "robin").strength_source, StrengthSource::Weighed);
    let child = open(said("dunnock", PotKind::Gesso, Some("wren")), 5.0);
    let got = water_of(&[&known, &read, &child], "dunnock");
    near(got.glue_g_per_l_water, 79.447);
    assert_eq!(got.strength_source, StrengthSource::Brix);
    // The reading taken back leaves the recipe.
    let back = play(read, &["4 undo"]);
    assert_eq!(water_of(&[&known, &back], "wren").strength_source, StrengthSource::Recipe);
}

#[test]
fn what_is_doubtful_is_asked_and_what_cannot_be_is_refused() {
    let size = size_pot("robin");
    let odd = mark(&size, &made("glue 71g, water 100g"), 2.0);
    assert!(
        matches!(odd.pot().questions_of(2), [PotQuestion::StrengthFarOff { .. }]),
        "{:?}",
        odd.pot().questions_of(2)
    );
    let fine = mark(&size, &made("glue 71g, water 1000g"), 2.0);
    assert!(fine.pot().questions_of(2).is_empty());
    let other = mark(&play(gesso(), &["1 liquid"]), &made("barytes 20g"), 2.0);
    assert_eq!(other.pot().questions_of(2), [PotQuestion::OtherFiller { name: "barytes" }]);
    let none = Mass::from_g(0.0);
    for (story, what, refusal) in [
        (&size, made("chalk 20g"), PotRefusal::FillerInSize),
        (
            &size,
            PotAct::Made(Box::new(WeighedParts { glue: Some(none), ..WeighedParts::NONE })),
            PotRefusal::InvalidMass,
        ),
        (&size, PotAct::Brix(0.0), PotRefusal::InvalidBrix),
        (&size, PotAct::Brix(f64::NAN), PotRefusal::InvalidBrix),
        (&gesso(), PotAct::Brix(8.0), PotRefusal::BrixOfGesso),
    ] {
        assert_eq!(story.build_event(&what), Err(refusal), "{what:?}");
    }
    // Without the amount of size powders say nothing of how much glue there is to them.
    let unknown = open(PotOpened { size_ml: None, ..said("wren", PotKind::Gesso, Some("robin")) }, 0.0);
    let unknown = mark(&unknown, &made("gypsum 320g"), 6.0);
    let got = unknown.pot().water_at(Stamp::from_ms(i64::MAX), &WaterInputs::default());
    near(got.glue_per_100g_filler_g, 8.31843);
    assert!(!got.is_filler_weighed && act("made") == PotAct::made_as_asked());
    assert_eq!(unknown.pot().weighed().filler(Filler::Gypsum), Some(Mass::from_g(320.0)));
}
