use super::metric::TrialMetric;
use super::*;
use crate::craft::materials::Support;
use crate::craft::materials::fillers::BulkDensities;
use crate::craft::recipe::shipped::find_shipped_recipe;
use crate::stats::split_mix::SplitMix64;
use crate::units::{Id, Mass};
use crate::work::trial::amounts::compute_trial_amounts;
use crate::work::trial::design::TrialDesign;
use crate::work::trial::factor::FactorUnit;
use crate::work::trial::lots::draw_lots;
use crate::work::trial::power::PowerPoint;
use crate::work::trial::questions::TrialQuestion;
use std::sync::Arc;

fn drawn(design: TrialDesign, seed: u64) -> TrialOpened {
    TrialOpened {
        id: Id::new("glue").unwrap(),
        label: "Glue".to_owned(),
        question: None,
        lots: draw_lots(&design, seed),
        design,
        size: TrialQuestion::Strength.board(),
        support: Support::BirchPlywood,
        recipe: Arc::new(find_shipped_recipe("gypsum-titanium").unwrap()),
        balance: Mass::from_g(1.0),
        seed,
        first_number: 1,
    }
}

/// The grades of every board, where glue does that much and the wait that much, and boards differ a little besides.
fn grades(trial: &TrialOpened, of_glue: f64, of_wait: f64, noise: f64, seed: u64) -> BTreeMap<u32, f64> {
    let mut stream = SplitMix64::new(seed);
    let mut chance = || stream.next_below(1000) as f64 / 999.0 - 0.5;
    let jars: Vec<f64> = trial.lots.jars.iter().map(|_| noise * chance()).collect();
    let levels = |factor: &Factor, run: u32| trial.level_of_board(factor, run).unwrap_or(0) as f64;
    (1..=trial.design.boards)
        .map(|run| {
            let jar = jars[trial.lots.boards[run as usize - 1].jar as usize - 1];
            let [glue, wait] = [&trial.design.factors[0], &trial.design.factors[1]];
            (run, 5.0 + jar + of_glue * levels(glue, run) + of_wait * levels(wait, run) + noise * chance())
        })
        .collect()
}

fn effects(trial: &TrialOpened, outcomes: &BTreeMap<u32, f64>) -> Vec<(TrialEffect, String)> {
    let of = |factor: &Factor| {
        let effect = compute_effect(trial, factor, outcomes).unwrap();
        (effect, say_effect(trial, factor, TrialMetric::Pencil, &effect))
    };
    trial.design.factors.iter().map(of).collect()
}

#[test]
fn stronger_glue_is_found_and_the_wait_is_not() {
    let trial = drawn(TrialQuestion::Strength.design(), 4);
    let [glue, wait] = &effects(&trial, &grades(&trial, 2.0, 0.0, 0.8, 9))[..] else { panic!("two factors") };
    assert!(
        glue.1.starts_with("Stronger glue made it harder: ") && glue.1.contains("from 60 to 80 g/l (9 in 10: "),
        "{}",
        glue.1
    );
    assert!(glue.1.contains("Drawing the lots anew does as much in 3 of 100."), "{}", glue.1);
    assert!(
        wait.1.starts_with("The wait made no difference that 16 boards could show from 12 to 25 min (9 in 10: "),
        "{}",
        wait.1
    );
    let below = TrialEffect { effect: -0.2, interval: (-0.8, 0.3), ..wait.0 };
    let told = say_not_found(&trial, &trial.design.factors[1], TrialMetric::Pencil, &below);
    assert!(told.ends_with("from 12 to 25 min (9 in 10: -0.8 to 0.3)."), "{told}");
    assert!((glue.0.effect - 2.0).abs() < 0.8 && glue.0.interval.0 > 0.0 && glue.0.is_exact);
    assert_eq!((glue.0.ways, wait.0.ways, glue.0.units), (70, 256, 8));
}

#[test]
fn what_makes_it_less_is_told_the_other_way_round() {
    let trial = drawn(TrialQuestion::Strength.design(), 4);
    let told = &effects(&trial, &grades(&trial, -2.0, 1.5, 0.5, 9));
    assert!(told[0].1.starts_with("Stronger glue made it softer: "), "{}", told[0].1);
    assert!(told[1].1.starts_with("A longer wait made it harder: "), "{}", told[1].1);
    assert!(!told[0].1.contains('-'), "{}", told[0].1);
}

/// A jar of which the board with the long wait is missing is not taken for a softer one.
#[test]
fn a_missing_board_does_not_lend_its_kind_to_its_jar() {
    let trial = drawn(TrialQuestion::Strength.design(), 4);
    let whole = grades(&trial, 0.0, 3.0, 0.0, 9);
    for lost in 1..=trial.design.boards {
        let mut outcomes = whole.clone();
        outcomes.remove(&lost);
        let told = effects(&trial, &outcomes);
        assert!(told[0].0.effect.abs() < 1e-6, "{lost}: {:?}", told[0].0);
        assert!((told[1].0.effect - 3.0).abs() < 1e-6 && told[1].0.ways == 128, "{lost}: {:?}", told[1].0);
    }
}

/// Of 500 trials without effect at most 37 are found: 1 in 20, and what chance adds to that.
#[test]
fn without_effect_little_is_found() {
    let (mut glue, mut wait) = (0, 0);
    for seed in 0..500 {
        let trial = drawn(TrialQuestion::Strength.design(), seed);
        let told = effects(&trial, &grades(&trial, 0.0, 0.0, 1.0, seed + 1000));
        glue += u32::from(told[0].0.p_value <= 0.05);
        wait += u32::from(told[1].0.p_value <= 0.05);
    }
    assert!(glue <= 37 && wait <= 37, "{glue} {wait}");
}

#[test]
fn nothing_looked_at_is_no_answer() {
    let trial = drawn(TrialQuestion::Strength.design(), 4);
    let review = review_trial(&trial, &BTreeMap::new(), &[], Moment::from_wall(crate::units::Stamp::from_ms(0)));
    assert_eq!(review.answer.kind, AnswerKind::Cannot);
    assert!(review.answer.message.starts_with("Not answered yet: 0 of 16 boards"), "{}", review.answer.message);
    assert!(review.departures[0].contains("T1, T2"), "{:?}", review.departures);
    assert_eq!(trial.design.factors[0].key.unit(), FactorUnit::Pot);
}

/// The published schema is that of the shape, and what is written keeps to it.
#[test]
fn json_keeps_to_its_published_schema_of_a_trial() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/assets/schema/trial.json");
    let made = serde_json::to_string_pretty(&schemars::schema_for!(json::TrialJson)).unwrap() + "\n";
    if std::env::var_os("SOTTILE_BLESS").is_some() {
        std::fs::write(path, &made).unwrap();
    }
    assert_eq!(std::fs::read_to_string(path).unwrap(), made, "run with SOTTILE_BLESS=1 to write it anew");
    let trial = drawn(TrialQuestion::Strength.design(), 4);
    let review = review_trial(&trial, &BTreeMap::new(), &[], Moment::from_wall(crate::units::Stamp::from_ms(0)));
    let amounts = compute_trial_amounts(&trial, &BulkDensities::TABLE).unwrap();
    let power = vec![vec![PowerPoint { difference: 2.0, power: 0.8 }], Vec::new()];
    let parts = json::TrialJsonParts { amounts: &amounts, power: &power, opened_at: "then", jars: &[] };
    let written = serde_json::to_value(json::TrialJson::new(&trial, &review, parts)).unwrap();
    let validator = jsonschema::draft202012::new(&serde_json::from_str(&made).unwrap()).unwrap();
    let wrong: Vec<String> = validator.iter_errors(&written).map(|e| e.to_string()).collect();
    assert!(wrong.is_empty(), "{wrong:?}");
    assert_eq!(written["boards"].as_array().unwrap().len(), 16);
}
