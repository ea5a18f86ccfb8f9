//! How often a trial finds what it announces: for the ready designs and some others, the announced part of trials in which a
//! difference is found beside what 500 whole trials find, drawn, laid and read board by board. Then how often something is
//! found where nothing is.
//!
//! `cargo bench --bench trial`; `SOTTILE_TRIALS=100` for fewer than 500.

#![allow(clippy::unwrap_used, missing_docs, reason = "a bench may fail by panicking, and is no library")]

use rayon::prelude::*;
use sottile::inside::{
    Factor, Id, Mass, PowerModel, PowerSimulation, Support, TrialDesign, TrialOpened, TrialQuestion, TrialSpread,
    compute_effect, draw_lots, shipped,
};
use std::collections::BTreeMap;
use std::sync::Arc;

/// What was computed beforehand by another program: design, factor, difference, power at 1 in 20 and at 1 in 10.
type Case = (&'static str, TrialDesign, usize, f64, PowerModel, [f64; 2]);

fn cases() -> Vec<Case> {
    let vary = |text: &str, jars, boards| TrialDesign {
        factors: vec![Factor::parse(text).unwrap()],
        jars,
        boards,
        strips: None,
    };
    let pencil = PowerModel::Figure(TrialSpread::PENCIL);
    let with = |spread: TrialSpread| PowerModel::Figure(spread);
    let strength = || TrialQuestion::Strength.design();
    let once = with(TrialSpread { readings: 1, ..TrialSpread::PENCIL });
    vec![
        ("strength, 8 jars x 2", strength(), 0, 1.5, pencil, [0.53, 0.81]),
        ("strength, 8 jars x 2", strength(), 0, 2.0, pencil, [0.80, 0.96]),
        ("strength, 8 jars x 2", strength(), 0, 2.5, pencil, [0.94, 0.99]),
        ("wait, 8 jars x 2", strength(), 1, 1.0, pencil, [0.68, 0.84]),
        ("wait, 8 jars x 2", strength(), 1, 1.5, pencil, [0.97, 0.99]),
        ("strength, one reading", strength(), 0, 2.0, once, [0.62, 0.88]),
        ("wait, one reading", strength(), 1, 1.0, once, [0.34, 0.54]),
        ("strength, 10 jars x 2", vary("glue=60,80", 10, 20), 0, 1.5, pencil, [0.83, 0.92]),
        ("strength, 10 jars x 2", vary("glue=60,80", 10, 20), 0, 2.0, pencil, [0.98, 0.99]),
        ("three strengths, 9 jars x 2", vary("glue=50,65,80", 9, 18), 0, 1.5, pencil, [0.62, 0.78]),
        ("three strengths, 9 jars x 2", vary("glue=50,65,80", 9, 18), 0, 2.0, pencil, [0.86, 0.94]),
        ("wait, 2 jars x 6", TrialQuestion::Wait.design(), 0, 1.0, pencil, [0.61, 0.76]),
        ("wait, 2 jars x 6", TrialQuestion::Wait.design(), 0, 1.5, pencil, [0.93, 0.97]),
        ("coats 4/6/8, 2 jars x 6", TrialQuestion::Coats.design(), 0, 1.5, pencil, [0.81, 0.90]),
        ("faces, 10 strips", TrialQuestion::Faces.design(), 0, 0.3, with(TrialSpread::BOW), [0.62, 0.77]),
        ("faces, 10 strips", TrialQuestion::Faces.design(), 0, 0.4, with(TrialSpread::BOW), [0.84, 0.93]),
        ("cloth, 12 pairs", TrialQuestion::Cloth.design(), 0, 0.55, PowerModel::Cracked(0.05), [0.71, 0.86]),
        ("jars differ by 0.8", strength(), 0, 2.0, with(TrialSpread { jar: 0.8, ..TrialSpread::PENCIL }), [0.54, 0.80]),
        ("jars differ by 0.3", strength(), 0, 2.0, with(TrialSpread { jar: 0.3, ..TrialSpread::PENCIL }), [0.94, 1.0]),
        ("no effect, strength", strength(), 0, 0.0, pencil, [0.05, 0.10]),
        ("no effect, wait", strength(), 1, 0.0, pencil, [0.05, 0.10]),
        ("no effect, coats", TrialQuestion::Coats.design(), 0, 0.0, pencil, [0.05, 0.10]),
    ]
}

fn main() {
    let trials = std::env::var("SOTTILE_TRIALS").ok().and_then(|n| n.parse().ok()).unwrap_or(500_usize);
    println!("{:28} {:>10} {:>11} {:>11} {:>11}", "design", "difference", "elsewhere", "announced", "found");
    for (name, design, number, difference, model, elsewhere) in cases() {
        let simulation = PowerSimulation::new(&design, &design.factors[number], model).unwrap();
        let announced = [0.05, 0.1].map(|chance| simulation.power(difference, chance, trials, 15));
        let chances: Vec<f64> = (0..trials as u64)
            .into_par_iter()
            .map(|seed| whole_trial(&design, number, difference, model, seed))
            .collect();
        let found =
            [0.05, 0.1].map(|chance| chances.iter().filter(|p| **p <= chance + 1e-9).count() as f64 / trials as f64);
        let two = |of: [f64; 2]| format!("{:.2} {:.2}", of[0], of[1]);
        println!("{name:28} {difference:10.2} {:>11} {:>11} {:>11}", two(elsewhere), two(announced), two(found));
    }
}

/// The chance one whole trial shows: its lots drawn from the seed, every board read by itself.
fn whole_trial(design: &TrialDesign, number: usize, difference: f64, model: PowerModel, seed: u64) -> f64 {
    let trial = TrialOpened {
        id: Id::new("trial").unwrap(),
        label: "Trial".to_owned(),
        question: None,
        lots: draw_lots(design, seed),
        design: design.clone(),
        size: TrialQuestion::Strength.board(),
        support: Support::BirchPlywood,
        recipe: Arc::new(shipped::find_shipped_recipe("gypsum-titanium").unwrap()),
        balance: Mass::from_g(1.0),
        seed,
        first_number: 1,
    };
    let factor = &design.factors[number];
    let top = (factor.levels.len() - 1) as f64;
    let mut chance = Chance(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x51);
    let usual = chance.uniform();
    let jars: Vec<f64> = (0..design.jars).map(|_| chance.normal()).collect();
    let mut outcomes = BTreeMap::new();
    for run in 1..=design.boards {
        let share = trial.level_of_board(factor, run).unwrap() as f64 / top;
        let outcome = match model {
            PowerModel::Cracked(without) => f64::from(u8::from(chance.uniform() < without + difference * share)),
            PowerModel::Figure(spread) => {
                let jar = jars[trial.lots.boards[run as usize - 1].jar as usize - 1];
                let middle = usual + difference * share + spread.jar * jar + spread.board * chance.normal();
                let read = |chance: &mut Chance| {
                    let reading = middle + spread.reading * chance.normal();
                    spread.grade.map_or(reading, |grade| (reading / grade).round() * grade)
                };
                (0..spread.readings).map(|_| read(&mut chance)).sum::<f64>() / f64::from(spread.readings)
            }
        };
        outcomes.insert(run, outcome);
    }
    compute_effect(&trial, factor, &outcomes).map_or(1.0, |effect| effect.p_value)
}

/// Numbers of this bench's own: a linear congruence (Knuth's constants), and sums of twelve for a normal.
struct Chance(u64);

impl Chance {
    fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.uniform()).sum::<f64>() - 6.0
    }
}
