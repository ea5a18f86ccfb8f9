//! Rounds of checking, and where they end.

use super::*;

#[test]
fn checks_call_for_rounds_until_nothing_stays() {
    let (map, note) = (
        "! the map of this panel has 2 rows of 2 areas, as in \"00/00\"",
        "! a map belongs to a check, and scraping round 2 is none",
    );
    from_coat_1(&[
        ("1515 done", "waiting coat 2 of 3 v > coat 3 of 3 h [15]"),
        ("1530 done", "waiting the drying > scraping round 1 v [15]"),
        ("1545 done", "ready the damp cloth > check 1"),
        ("1546 done", "ready check 1 > the rest"),
        ("1547 done 000/000", map),
        ("1547 done 20/01", "ready scraping round 2 h > check 2"),
        ("1548 done 00/00", note),
        ("1548 repeat other", "ready check 1 > the rest"),
        ("1549 done 20/01", "ready scraping round 2 h > check 2"),
        ("1550 done", "ready check 2 > the rest"),
        ("1551 done 00/01", "ready scraping round 3 v > check 3"),
        ("1552 done", "ready check 3 > the rest"),
        ("1553 done", "waiting the rest > seal 1 of 1 [1440]"),
        ("1554 done horizontal", "! seal 1 of 1 has no direction; leave it out"),
    ]);
    // Checks added by hand and rounds called for by a check that is then done again leave no hole in the numbers.
    from_coat_1(&[
        ("1515 done", "waiting coat 2 of 3 v > coat 3 of 3 h [15]"),
        ("1530 done", "waiting the drying > scraping round 1 v [15]"),
        ("1545 done", "ready the damp cloth > check 1"),
        ("1546 done", "ready check 1 > the rest"),
        ("1547 done 20/01", "ready scraping round 2 h > check 2"),
        ("1548 extra", "ready scraping round 2 h > check 2"),
        ("1549 repeat other", "ready check 1 > check 2"),
        ("1550 done 10/00", "ready scraping round 2 h > check 2"),
        ("1551 skip", "ready check 2 > check 3"),
    ]);
    let unscraped = Recipe { scrape: None, ..recipe() };
    check(
        unscraped,
        &[
            &TO_COAT_1[..],
            &[
                ("1515 done", "waiting coat 2 of 3 v > coat 3 of 3 h [15]"),
                ("1530 done", "waiting the drying > the damp cloth [15]"),
                ("1545 done", "ready check 1 > the rest"),
                ("1546 done 01/00", "ready the damp cloth > check 2"),
            ],
        ]
        .concat(),
    );
}

/// Rounds of checking end somewhere, and the check that is refused then changes nothing.
#[test]
fn a_panel_that_is_never_smooth_is_refused_another_round_and_left_untouched() {
    let mut panel = opened(recipe()).panel().clone();
    for seq in 1.. {
        let before = panel.clone();
        let rough = panel.stage_at_hand().unwrap().kind == StageKind::Check;
        let map = rough.then(|| CheckMap::parse("01/20").unwrap());
        let event = PanelEvent::Done(Box::new(StageDone {
            stage: None,
            direction: None,
            pot: None,
            by: None,
            map,
            wait: None,
            air_factor: None,
        }));
        let m = Moment::from_wall(at(seq as f64));
        match panel.after(&Entry { seq, at: m.wall, written: m, raw_wall: None, replaces: None, event }) {
            Ok(()) => assert!(seq < 1000),
            Err(refusal) => {
                assert_eq!(refusal, PanelRefusal::TooManyStages { most: STEPS_MAX });
                assert!(panel == before, "changed by a refusal");
                return;
            }
        }
    }
}
