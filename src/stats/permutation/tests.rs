//! Held against worked examples of others, and against other programs.
//!
//! "Computed" is SciPy 1.17.1 with NumPy 2.4.6:
//!
//! ```text
//! r = scipy.stats.permutation_test((a, b), statistic, permutation_type="independent", n_resamples=numpy.inf)
//! p = numpy.mean(abs(r.null_distribution) >= abs(r.statistic) - 1e-9 * (1 + abs(r.statistic)))
//! ```
//!
//! where `statistic` is the difference of `numpy.mean`, of `numpy.median`, or of `numpy.mean` of the ranks that
//! `scipy.stats.rankdata(a + b)` gives. The ways drawn are held against p-values that are exact by another road.

use super::*;

fn close(is: f64, wants: f64, what: &str) {
    assert!((is - wants).abs() < 1e-12, "{what}: {is}, not {wants}");
}

/// The permeability of a membrane (Hollander and Wolfe 1973, p. 69), the example of R's `wilcox.test`.
const HELD_X: [f64; 10] = [0.80, 0.83, 1.89, 1.04, 1.45, 1.38, 1.91, 1.64, 0.73, 1.46];
const HELD_Y: [f64; 5] = [1.15, 0.88, 0.90, 0.74, 1.21];

#[test]
fn p_values_are_those_of_others() {
    let check = |a: &[f64], b: &[f64], by: TestStatistic, p: f64| {
        let tested = permutation_test(a, b, by, 1).unwrap();
        assert!(tested.is_exact);
        close(tested.p_value, p, &format!("{by:?} of {a:?} and {b:?}"));
        close(permutation_test(b, a, by, 1).unwrap().p_value, p, "turned round");
    };
    // R's manual prints W = 35 and p = 0.1272 for "greater"; two-sided is twice that, the distribution being even.
    check(&HELD_X, &HELD_Y, TestStatistic::MeanRankDifference, 0.254_412_254_412_254_4);
    assert!(
        (permutation_test(&HELD_X, &HELD_Y, TestStatistic::MeanRankDifference, 1).unwrap().p_value / 2.0 - 0.1272)
            .abs()
            < 5e-5
    );

    // Two ways of teaching (Ernst 2004): 35 ways, of which 4 lie as far apart; computed.
    let (new, old) = ([37.0, 49.0, 55.0, 57.0], [23.0, 31.0, 46.0]);
    check(&new, &old, TestStatistic::MeanDifference, 4.0 / 35.0);

    // Survival of mice (Efron and Tibshirani 1993, table 2.1); computed.
    let treated = [94.0, 197.0, 16.0, 38.0, 99.0, 141.0, 23.0];
    let control = [52.0, 104.0, 146.0, 10.0, 51.0, 30.0, 40.0, 27.0, 46.0];
    check(&treated, &control, TestStatistic::MeanDifference, 0.278_321_678_321_678_3);
    check(&treated, &control, TestStatistic::MeanRankDifference, 0.680_594_405_594_405_6);

    // Ties, uneven sides, negative values; computed.
    let (a, b) = ([1.0, 2.0, 2.0, 3.0, 5.0], [2.0, 4.0, 4.0, 6.0]);
    check(&a, &b, TestStatistic::MeanDifference, 0.238_095_238_095_238_08);
    check(&a, &b, TestStatistic::MeanRankDifference, 0.246_031_746_031_746_02);
    let (a, b) = ([0.5, 9.0], [1.0, 2.0, 3.0, 4.0, 5.0, 6.0]);
    check(&a, &b, TestStatistic::MeanDifference, 0.642_857_142_857_142_9);
    check(&a, &b, TestStatistic::MeanRankDifference, 1.0);
    let (a, b) = ([-3.5, 0.25, 1.75, -8.0], [2.5, 2.5, 11.0, -0.5, 4.0]);
    check(&a, &b, TestStatistic::MeanDifference, 0.063_492_063_492_063_49);
    check(&a, &b, TestStatistic::MeanRankDifference, 0.047_619_047_619_047_616);

    // The lady who tells by taste whether milk or tea went in first (Fisher 1935): of her four cups three are right. One
    // way and sixteen of the seventy are as good, and as many as bad: 34 of 70. scipy.stats.fisher_exact([[3, 1], [1, 3]])
    // gives the same.
    check(&[1.0, 1.0, 1.0, 0.0], &[1.0, 0.0, 0.0, 0.0], TestStatistic::MeanDifference, 34.0 / 70.0);

    // Three and three, wholly apart: the least p there can be.
    check(&[12.0, 14.5, 15.0], &[21.0, 24.0, 30.5], TestStatistic::MeanDifference, 0.1);
    check(&[7.0; 4], &[7.0; 3], TestStatistic::MeanDifference, 1.0);
}

/// The whole distribution cannot be gone through; `permutation_test` with `n_resamples=400000` draws this of it.
#[test]
fn large_groups_are_sampled_from_the_seed() {
    let a: Vec<f64> = (1..=20).map(f64::from).collect();
    let b: Vec<f64> = a.iter().map(|v| v + 3.0).collect();
    let tested = permutation_test(&a, &b, TestStatistic::MeanDifference, 7).unwrap();
    assert!(!tested.is_exact);
    assert!((tested.p_value - 0.12308).abs() < 0.01, "{}", tested.p_value);
    assert_eq!(permutation_test(&a, &b, TestStatistic::MeanDifference, 7), Some(tested));
    let far: Vec<f64> = a.iter().map(|v| v + 1000.0).collect();
    close(permutation_test(&a, &far, TestStatistic::MeanDifference, 7).unwrap().p_value, 1.0 / 20_001.0, "never 0");
}

/// Where the ways are too many to go through, the share drawn lies by the exact one: four times its standard error, the
/// square root of p (1 - p) / 20000, is seen once in sixteen thousand seeds, and these seeds are always the same.
#[test]
fn what_is_drawn_lies_by_what_is_exact() {
    let check = |a: &[f64], b: &[f64], by: TestStatistic, exact: f64| {
        for seed in 0..4 {
            for (a, b) in [(a, b), (b, a)] {
                let tested = permutation_test(a, b, by, seed).unwrap();
                let far = 4.0 * (exact * (1.0 - exact) / f64::from(SAMPLE_COUNT)).sqrt();
                assert!(
                    !tested.is_exact && (tested.p_value - exact).abs() < far,
                    "{by:?}: {}, not {exact}",
                    tested.p_value
                );
            }
        }
    };
    let from = |first: f64, n: usize| (0..n).map(|i| first + i as f64).collect::<Vec<f64>>();
    // scipy.stats.mannwhitneyu(a, b, method="exact").pvalue, SciPy 1.17.1; a: numpy.arange(20) + 0.5, b: numpy.arange(25) + 4.
    check(&from(0.5, 20), &from(4.0, 25), TestStatistic::MeanRankDifference, 0.008_570_229_869_246_798);
    // The same call; a: numpy.arange(20) + 1, b: numpy.arange(20) + 4.25.
    check(&from(1.0, 20), &from(4.25, 20), TestStatistic::MeanRankDifference, 0.085_914_019_985_693_8);
    // Twelve of twenty against eight of thirty: scipy.stats.fisher_exact([[12, 8], [8, 22]]).pvalue, SciPy 1.17.1.
    let ones = |ones: usize, n: usize| (0..n).map(|i| if i < ones { 1.0 } else { 0.0 }).collect::<Vec<f64>>();
    check(&ones(12, 20), &ones(8, 30), TestStatistic::MeanDifference, 0.037_749_945_470_773_47);
}

#[test]
fn what_cannot_be_tested_is_not() {
    for (a, b) in [(&[][..], &[1.0][..]), (&[1.0], &[]), (&[f64::NAN], &[1.0]), (&[1.0], &[f64::INFINITY])] {
        assert_eq!(permutation_test(a, b, TestStatistic::MeanDifference, 1), None);
    }
}

/// SciPy 1.17.1, `scipy.stats.rankdata(values)`.
#[test]
fn equal_values_share_their_ranks() {
    let ties = [1.0, 2.0, 2.0, 3.0, 5.0, 2.0, 4.0, 4.0, 6.0];
    assert_eq!(ranks(&ties), [1.0, 3.0, 3.0, 5.0, 8.0, 3.0, 6.5, 6.5, 9.0]);
    assert_eq!(ranks(&[]), Vec::<f64>::new());
    assert_eq!(mean(&[]), None);
}

#[test]
fn every_choice_is_seen_once() {
    for (n, k, wants) in [(5, 2, 10), (6, 3, 20), (7, 1, 7), (4, 4, 1)] {
        let mut seen = std::collections::BTreeSet::new();
        for_each_combination(n, k, &mut |is_in| assert!(seen.insert(is_in.to_vec())));
        assert_eq!((seen.len() as u64, count_combinations(n, k)), (wants, wants));
        assert!(seen.iter().all(|s| s.iter().filter(|x| **x).count() == k));
    }
    assert_eq!(count_combinations(200, 100), u64::MAX);
    assert_eq!(count_combinations(40, 20), 137_846_528_820);
}
