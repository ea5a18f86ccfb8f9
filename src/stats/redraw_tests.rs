use super::*;

fn one_block(levels: &[f64]) -> Lots {
    Lots { levels: levels.to_vec(), blocks: vec![(0..levels.len()).collect()] }
}

/// Pairs within jars: the first of each at level 0, the second at 1.
fn pairs(n: usize) -> Lots {
    Lots {
        levels: (0..2 * n).map(|u| (u % 2) as f64).collect(),
        blocks: (0..n).map(|b| vec![2 * b, 2 * b + 1]).collect(),
    }
}

/// Computed by two independent programs.
#[test]
fn jars_pairs_and_a_trend_are_as_computed() {
    let close = |a: f64, b: f64| assert!((a - b).abs() < 0.006, "{a} {b}");
    let jars = one_block(&[0.0, 0.0, 0.0, 0.0, 1.0, 1.0, 1.0, 1.0]);
    let told = RedrawTest::new(&jars, 0, 1).unwrap().test(&[3.0, 3.67, 3.33, 4.67, 5.67, 5.0, 6.33, 6.0]);
    assert_eq!((told.ways, told.is_exact), (70, true));
    close(told.slope, 2.0825);
    assert!((told.p_value - 2.0 / 70.0).abs() < 1e-12, "{told:?}");
    close(told.interval.0, 1.165);
    close(told.interval.1, 3.0);

    let differences = [1.0, 0.33, 0.67, -0.33, 1.33, 0.67, 0.33, 1.0];
    let outcome: Vec<f64> = differences.iter().flat_map(|d| [5.0, 5.0 + d]).collect();
    let told = RedrawTest::new(&pairs(8), 0, 1).unwrap().test(&outcome);
    close(told.slope, 0.625);
    assert!((told.p_value - 8.0 / 256.0).abs() < 1e-12, "{told:?}");
    close(told.interval.0, 0.25);
    close(told.interval.1, 1.0);

    let trend = one_block(&[0.0, 0.0, 1.0, 1.0, 2.0, 2.0]);
    let told = RedrawTest::new(&trend, 0, 1).unwrap().test(&[3.0, 3.67, 4.33, 4.0, 5.67, 5.33]);
    assert!((told.p_value - 2.0 / 90.0).abs() < 1e-12, "{told:?}");
}

/// The least chance of two equal groups: 2 over n choose n/2.
#[test]
fn small_numbers_can_say_little() {
    for (each, least) in [(2, 0.333), (3, 0.1), (4, 0.029), (5, 0.008), (6, 0.002)] {
        let lots = one_block(&(0..2 * each).map(|u| f64::from(u32::from(u >= each))).collect::<Vec<_>>());
        assert!((lots.least_p() - least).abs() < 0.0005, "{each}: {}", lots.least_p());
    }
    assert!((pairs(12).least_p() - 2.0 / 4096.0).abs() < 1e-12);
    // Three against three leave an interval, two against two none.
    let ends =
        |levels: &[f64], outcome: &[f64]| RedrawTest::new(&one_block(levels), 0, 1).unwrap().test(outcome).interval;
    assert!(ends(&[0.0, 0.0, 0.0, 1.0, 1.0, 1.0], &[1.0, 2.0, 3.0, 7.0, 8.0, 9.5]).0.is_finite());
    assert!(ends(&[0.0, 0.0, 1.0, 1.0], &[1.0, 2.0, 7.0, 8.0]).1.is_infinite());
}

/// The end of an interval is the shift beyond which the same test refuses.
#[test]
fn an_interval_holds_what_the_test_does_not_refuse() {
    let mut stream = SplitMix64::new(5);
    let test = RedrawTest::new(&one_block(&[0.0, 0.0, 0.0, 0.0, 1.0, 1.0, 1.0]), 0, 1).unwrap();
    for _ in 0..40 {
        let outcome: Vec<f64> = (0..7).map(|_| stream.next_below(1000) as f64 / 100.0).collect();
        let told = test.test(&outcome);
        let p_of = |shift: f64| {
            let shifted: Vec<f64> =
                outcome.iter().enumerate().map(|(u, y)| if u > 3 { y - shift } else { *y }).collect();
            test.p_value(&shifted)
        };
        for (end, out) in [(told.interval.0, -1e-6), (told.interval.1, 1e-6)] {
            assert!(
                p_of(end - out) > 0.1 && p_of(end + out) <= 0.1,
                "{told:?}: {} {}",
                p_of(end - out),
                p_of(end + out)
            );
        }
    }
}

#[test]
fn drawn_lies_by_exact_and_nothing_to_draw_is_nothing_said() {
    let lots = Lots {
        levels: (0..36).map(|u| (u % 6 / 2) as f64).collect(),
        blocks: (0..6).map(|b| (6 * b..6 * b + 6).collect()).collect(),
    };
    assert!(lots.count_ways() > MAX_EXACT_WAYS);
    let outcome: Vec<f64> = (0..36).map(|u| f64::from(u * 7 % 11) + f64::from(u % 6 / 2)).collect();
    let drawn = |seed| RedrawTest::new(&lots, 4000, seed).unwrap().test(&outcome);
    assert!(!drawn(1).is_exact && drawn(1) == drawn(1));
    // Four standard errors of a chance in 4,000 draws are at most 0.032.
    assert!((drawn(1).p_value - drawn(2).p_value).abs() < 0.045, "{:?} {:?}", drawn(1), drawn(2));
    assert!(RedrawTest::new(&one_block(&[1.0, 1.0]), 10, 1).is_none());
}
