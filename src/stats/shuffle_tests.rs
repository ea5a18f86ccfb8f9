use super::*;
use crate::stats::permutation::{TestStatistic, permutation_test};

fn each_alone(n: usize) -> Level {
    Level { unit_of: (0..n).collect(), blocks: vec![(0..n).collect()] }
}

fn field(level: usize, values: &[f64]) -> ShuffledField {
    ShuffledField { level, values: vec![values.iter().map(|v| Some(*v)).collect()], is_told: true }
}

/// Each on its own, a field's chance is that of the permutation test of two groups, which is held against other programs.
#[test]
fn one_field_is_the_permutation_test() {
    for (values, first) in [
        (&[94.0, 197.0, 16.0, 38.0, 99.0, 52.0, 104.0, 146.0][..], 4),
        (&[1.0, 2.0, 2.0, 3.0, 5.0, 2.0, 4.0, 4.0], 5),
        (&[12.0, 14.5, 15.0, 21.0, 24.0, 30.5], 3),
    ] {
        let n = values.len();
        let scores: Vec<f64> =
            (0..n).map(|i| if i < first { 1.0 / first as f64 } else { -1.0 / (n - first) as f64 }).collect();
        let told = shuffle_fields(&scores, &[each_alone(n)], &[field(0, values)], 50_000, 1);
        let is = told.fields[0].unwrap();
        let wants = permutation_test(&values[..first], &values[first..], TestStatistic::MeanDifference, 1).unwrap();
        assert!((is.p_value - wants.p_value).abs() < 1e-12, "{is:?} {wants:?}");
        assert!(is.is_exact && told.is_exact && (is.p_family.unwrap() - is.p_value).abs() < 1e-12);
    }
}

#[test]
fn three_against_three_cannot_come_below_a_tenth() {
    let scores = [1.0, 1.0, 1.0, -1.0, -1.0, -1.0];
    let told = shuffle_fields(&scores, &[each_alone(6)], &[field(0, &[9.0, 8.0, 7.5, 3.0, 2.0, 1.0])], 20_000, 1);
    let is = told.fields[0].unwrap();
    assert!((is.p_value - 0.1).abs() < 1e-12 && (is.p_least - 0.1).abs() < 1e-12, "{is:?}");
}

#[test]
fn boards_change_places_within_their_pot_only() {
    // Four pots of two; the value is the pot's as to its height, and one board of each has a little more.
    let level = Level { unit_of: (0..8).collect(), blocks: vec![vec![0, 1], vec![2, 3], vec![4, 5], vec![6, 7]] };
    let values = [1.0, 0.0, 11.0, 10.0, 21.0, 20.0, 31.0, 30.0];
    let scores = [1.0, -1.0, 1.0, -1.0, 1.0, -1.0, 1.0, -1.0];
    let told = shuffle_fields(&scores, &[level], &[field(0, &values)], 20_000, 1).fields[0].unwrap();
    assert!((told.p_value - 2.0 / 16.0).abs() < 1e-12 && (told.p_least - 2.0 / 16.0).abs() < 1e-12, "{told:?}");
}

#[test]
fn nothing_to_shuffle_is_nothing_said() {
    let one_pot = Level { unit_of: vec![0; 4], blocks: vec![vec![0]] };
    let scores = [1.0, 1.0, -1.0, -1.0];
    let fields = [field(0, &[3.0]), field(1, &[2.0, 2.0, 2.0 + 1e-13, 2.0])];
    let told = shuffle_fields(&scores, &[one_pot, each_alone(4)], &fields, 100, 1);
    assert_eq!(told.fields, [None, None]);
}

#[test]
fn drawn_lies_by_exact_and_is_the_same_for_a_seed() {
    let scores: Vec<f64> = (0..9).map(|i| if i % 3 == 0 { 2.0 } else { -1.0 }).collect();
    let values = [4.0, 1.0, 3.0, 5.0, 2.0, 2.5, 3.5, 0.0, 1.0];
    let fields = [field(0, &values), field(0, &[0.0, 1.0, 0.0, 1.0, 0.0, 1.0, 0.0, 1.0, 0.0])];
    let exact = shuffle_fields(&scores, &[each_alone(9)], &fields, 400_000, 1);
    let drawn = shuffle_fields(&scores, &[each_alone(9)], &fields, 20_000, 1);
    assert!(exact.is_exact && !drawn.is_exact);
    for (a, b) in exact.fields.iter().zip(&drawn.fields) {
        let (a, b) = (a.unwrap(), b.unwrap());
        // Four standard errors of 20,000 draws are at most 0.0142.
        assert!((a.p_family.unwrap() - b.p_family.unwrap()).abs() < 0.0142, "{a:?} {b:?}");
        assert!(a.p_family.unwrap() >= a.p_value - 1e-12);
    }
    assert_eq!(drawn, shuffle_fields(&scores, &[each_alone(9)], &fields, 20_000, 1));
    assert_ne!(drawn, shuffle_fields(&scores, &[each_alone(9)], &fields, 20_000, 2));
}
