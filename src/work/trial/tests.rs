use super::amounts::{compute_start_delays, compute_trial_amounts};
use super::design::{CHANCE_TOLD, DesignFault, TrialDesign};
use super::event::TrialOpened;
use super::factor::{Factor, FactorKey, FactorUnit, recipe_with_level};
use super::lots::draw_lots;
use super::power::{PowerModel, PowerSimulation, TrialSpread};
use super::questions::TrialQuestion;
use crate::craft::materials::Support;
use crate::craft::materials::fillers::BulkDensities;
use crate::craft::recipe::shipped::find_shipped_recipe;
use crate::units::{Id, Mass};
use std::collections::BTreeSet;
use std::sync::Arc;

pub(super) fn design(vary: &[&str], jars: u32, boards: u32) -> TrialDesign {
    let factors = vary.iter().map(|text| Factor::parse(text).unwrap()).collect();
    TrialDesign { factors, jars, boards, strips: None }
}

pub(super) fn drawn(design: TrialDesign, seed: u64) -> TrialOpened {
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

/// Two over the number of ways in which the lots can fall; computed by two independent programs.
#[test]
fn the_least_chance_of_the_ready_designs() {
    let least = |question: TrialQuestion| question.design().least_p();
    for (question, wants) in [
        (TrialQuestion::Strength, vec![(FactorKey::Glue, 2.0 / 70.0), (FactorKey::Wait, 2.0 / 256.0)]),
        (TrialQuestion::Wait, vec![(FactorKey::Wait, 2.0 / 400.0)]),
        (TrialQuestion::Coats, vec![(FactorKey::Coats, 2.0 / 8100.0)]),
        (TrialQuestion::Faces, vec![(FactorKey::Faces, 2.0 / 252.0)]),
        (TrialQuestion::Cloth, vec![(FactorKey::Cloth, 2.0 / 4096.0)]),
    ] {
        let is = least(question);
        assert!(question.design().check().is_ok());
        assert_eq!(is.len(), wants.len());
        for (is, wants) in is.iter().zip(&wants) {
            assert!(is.0 == wants.0 && (is.1 - wants.1).abs() < 1e-12, "{question:?}: {is:?} {wants:?}");
        }
    }
    assert!((design(&["glue=60,80"], 10, 20).least_p()[0].1 - 2.0 / 252.0).abs() < 1e-12);
    assert!((design(&["glue=50,65,80"], 9, 18).least_p()[0].1 - 2.0 / 1680.0).abs() < 1e-12);
}

#[test]
fn what_can_tell_nothing_is_offered_larger() {
    let three = design(&["glue=60,80"], 6, 6);
    assert!((three.least_p()[0].1 - 0.1).abs() < 1e-12);
    let next = three.next_size().unwrap();
    assert_eq!((next.jars, next.boards), (8, 8));
    assert!(next.least_p()[0].1 <= CHANCE_TOLD);
    // Three boards a jar, two of one wait and one of the other, come out even.
    let odd = design(&["wait=12,25"], 1, 5);
    let next = odd.next_size().unwrap();
    assert_eq!((next.jars, next.boards), (1, 8));
}

#[test]
fn what_is_wrong_with_a_design_is_one_sentence() {
    let fault = |design: TrialDesign| design.check().unwrap_err();
    assert_eq!(fault(design(&[], 2, 4)), DesignFault::NothingVaried);
    assert_eq!(fault(design(&["glue=1,2", "glue=3,4"], 4, 4)), DesignFault::KeyTwice(FactorKey::Glue));
    assert_eq!(fault(design(&["glue=60,80"], 27, 54)), DesignFault::TooLarge);
    assert_eq!(fault(design(&["glue=60,80"], 8, 4)), DesignFault::EmptyJars);
    assert_eq!(
        fault(design(&["glue=60,80", "wait=12,25", "coats=4,6"], 8, 16)),
        DesignFault::TooManyCombinations { combinations: 4, unit: FactorUnit::Board, of: 2 }
    );
    assert!(matches!(fault(design(&["glue=60,70,80"], 2, 4)), DesignFault::TooManyCombinations { .. }));
    for (text, says) in [
        ("glue", "KEY=A,B"),
        ("glue=60", "one level"),
        ("glue=60,60", "one level"),
        ("lime=1,2", "cannot be varied"),
        ("first=up,down", "horizontal and vertical"),
        ("glue=60,inf", "no level"),
    ] {
        let message = Factor::parse(text).unwrap_err().to_string();
        assert!(message.contains(says), "{text}: {message}");
    }
}

#[test]
fn a_level_is_held_to_the_ranges_of_a_recipe() {
    let recipe = find_shipped_recipe("gypsum-titanium").unwrap();
    let with = |key, level| recipe_with_level(&recipe, key, level);
    assert_eq!(with(FactorKey::Glue, 60.0).unwrap().gesso.glue_g_per_l_water, 60.0);
    assert_eq!(with(FactorKey::Coats, 4.0).unwrap().coats.front, 4);
    assert!(with(FactorKey::Cloth, 1.0).unwrap().cloth.is_some());
    assert_eq!(with(FactorKey::Faces, 1.0).unwrap().coats.back, recipe.coats.front);
    for (key, level) in [(FactorKey::Glue, 900.0), (FactorKey::Coats, 4.5), (FactorKey::Wait, 90.0)] {
        let message = with(key, level).unwrap_err().to_string();
        assert!(message.contains(key.name()) && message.len() > 40, "{message}");
    }
}

#[test]
fn lots_are_even_and_the_same_for_a_seed() {
    let design = TrialQuestion::Strength.design();
    let mut all = BTreeSet::new();
    for seed in 0..200 {
        let lots = draw_lots(&design, seed);
        assert_eq!(lots, draw_lots(&design, seed));
        assert_eq!(lots.jars.iter().filter(|l| l[0] == 1).count(), 4);
        for jar in 1..=8 {
            let waits: Vec<usize> = lots.boards.iter().filter(|b| b.jar == jar).map(|b| b.levels[0]).collect();
            assert!(waits == [0, 1] || waits == [1, 0], "{waits:?}");
        }
        all.insert(lots.jars.iter().map(|l| l[0]).collect::<Vec<_>>());
    }
    // Of 70 ways 200 draws leave out few.
    assert!(all.len() > 55, "{}", all.len());
    let strips = draw_lots(&TrialQuestion::Cloth.design(), 3);
    for strip in 1..=12 {
        let cloth: BTreeSet<usize> =
            strips.boards.iter().filter(|b| b.strip == Some(strip)).map(|b| b.levels[0]).collect();
        assert_eq!(cloth.len(), 2);
    }
}

/// Computed for 500 invented trials, pencil grades: differences found at 1 in 20.
#[test]
fn the_power_of_the_default_is_as_computed() {
    let design = TrialQuestion::Strength.design();
    let [strength, wait] = [0, 1]
        .map(|n| PowerSimulation::new(&design, &design.factors[n], PowerModel::Figure(TrialSpread::PENCIL)).unwrap());
    // 400 trials scatter by 0.025.
    for (simulation, difference, wants) in [(&strength, 2.0, 0.80), (&strength, 1.5, 0.53), (&wait, 1.0, 0.68)] {
        let is = simulation.power(difference, CHANCE_TOLD, 400, 7);
        assert!((is - wants).abs() < 0.07, "{difference}: {is} {wants}");
    }
    // Of trials without effect 1 in 20 is found, and 2 in 70 are all that can be.
    assert!(strength.power(0.0, CHANCE_TOLD, 500, 3) <= 37.0 / 500.0);
}

#[test]
fn a_jar_is_thinned_from_the_stock_and_none_is_too_small() {
    let trial = drawn(TrialQuestion::Strength.design(), 5);
    let amounts = compute_trial_amounts(&trial, &BulkDensities::TABLE).unwrap();
    assert_eq!(amounts.stock_g_per_l, 80.0);
    let water_g_per_l = 998.2;
    for jar in &amounts.jars {
        assert!(jar.size.volume_ml >= 100.0);
        let glue_g = jar.stock_g * 80.0 / (water_g_per_l + 80.0);
        let strength = glue_g / (jar.stock_g + jar.water_g - glue_g) * water_g_per_l;
        assert!((strength - jar.glue_g_per_l).abs() < 1e-6, "{jar:?}");
        assert_eq!(jar.glue_g_per_l > 79.0, jar.water_g < 1e-6);
    }
    let poured: f64 = amounts.jars.iter().map(|j| j.stock_g).sum::<f64>() + amounts.wood_stock_g;
    assert!(amounts.stock.glue_g + amounts.stock.water_g >= poured);
    assert!((6.0..12.0).contains(&amounts.hands_h), "{}", amounts.hands_h);
    assert!(amounts.check_scale(&trial).is_ok());
    let coarse = TrialOpened { balance: Mass::from_g(20.0), ..trial.clone() };
    assert!(amounts.check_scale(&coarse).is_err());
}

/// 60 against 70 g/l with 2 g of glue on a scale of a gram.
#[test]
fn a_scale_that_cannot_part_two_strengths_is_told() {
    let trial = drawn(design(&["glue=60,70"], 8, 16), 5);
    let mut amounts = compute_trial_amounts(&trial, &BulkDensities::TABLE).unwrap();
    assert!(amounts.check_scale(&trial).is_ok());
    let scale = 2.0 / amounts.stock.glue_g;
    amounts.stock.glue_g *= scale;
    let message = amounts.check_scale(&trial).unwrap_err().to_string();
    assert!(message.contains("60 and 70 g/l") && message.contains("2 g of glue"), "{message}");
    let fine = TrialOpened { balance: Mass::from_g(0.1), ..trial };
    assert!(amounts.check_scale(&fine).is_ok());
}

#[test]
fn long_waits_begin_earlier_so_that_the_middle_falls_together() {
    let trial = drawn(TrialQuestion::Strength.design(), 5);
    let delays = compute_start_delays(&trial);
    for (n, delay) in delays.iter().enumerate() {
        let recipe = trial.board_recipe(n as u32 + 1);
        let last = f64::from(recipe.stipple.coats) * recipe.stipple.wait_min
            + f64::from(recipe.coats.front - 1) * recipe.coats.wait_min;
        // A stipple and six coats: six waits of 25, or of 12.
        assert!((delay.minutes() + last / 2.0 - 75.0).abs() < 1e-9, "{delay:?} {last}");
    }
}
