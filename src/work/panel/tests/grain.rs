//! One more coat on a face of its own, and the question that the end of the drying asks.

use super::*;

/// One coat on each face, everything before it left out of the way.
fn both_faces() -> Recipe {
    Recipe { coats: Coats { front: 1, back: 1, ..Coats::default() }, ..recipe() }
}

const TO_THE_BACK: [(&str, &str); 6] = [
    ("0 done", "ready glue size 1 of 1 on the front > glue size 1 of 1 on the back"),
    ("1 done", "ready glue size 1 of 1 on the back > the cure"),
    ("2 done", "waiting the cure > stipple 1 of 1 [1440]"),
    ("1485 done", "waiting stipple 1 of 1 > coat 1 of 1 h [15]"),
    ("1500 done", "waiting coat 1 of 1 h > coat 1 of 1 on the back h [15]"),
    ("1515 done", "waiting the drying > scraping round 1 v [15]"),
];

#[test]
fn one_more_coat_lies_on_the_face_it_is_asked_for() {
    let on = |rows: &[(&str, &str)]| check(both_faces(), &[&TO_THE_BACK[..], rows].concat());
    // Without a face it follows the act last done, on the back.
    on(&[("1540 extra", "ready coat 2 of 2 on the back v > the drying [-10]")]);
    let story = on(&[
        ("1540 extra front", "ready coat 2 of 2 v > the drying [-10]"),
        ("1541 done", "waiting the drying > scraping round 1 h [15] late=11"),
        ("1556 ?", "ready scraping round 1 h > the damp cloth [0]"),
        ("1557 extra back", "ready coat 2 of 2 on the back v > the drying [-1]"),
    ]);
    assert_eq!((story.panel().count_coats(Face::Front), story.panel().count_coats(Face::Back)), (2, 1));
    // A drying that was ended holds again once there is one more coat to dry, also where the back lies between.
    on(&[
        ("1521 skip", "ready scraping round 1 v > the damp cloth"),
        ("1531 extra front", "ready coat 2 of 2 v > the drying [-1]"),
        ("1532 done", "waiting the drying > scraping round 1 h [15] late=2"),
    ]);
}

#[test]
fn one_more_on_a_face_needs_something_done_on_it() {
    check(
        both_faces(),
        &[
            ("0 extra front", "! nothing has been done on this panel yet"),
            ("1 done", "ready glue size 1 of 1 on the front > glue size 1 of 1 on the back"),
            ("2 extra back", "! nothing has been done on the back of this panel yet"),
            ("3 done", "ready glue size 1 of 1 on the back > the cure"),
            ("4 extra front", "ready glue size 1 of 1 on the back > glue size 2 of 2 on the front"),
        ],
    );
}

/// Whether grain is asked about after those facts, at that minute.
fn asks(recipe: Recipe, facts: &[(&str, &str)], min: f64) -> bool {
    let mut story = opened(recipe);
    for (doing, _) in facts {
        let (min, what) = doing.split_once(' ').unwrap();
        let min: f64 = min.parse().unwrap();
        story = record(&story, &act(what), min, min).unwrap();
    }
    story.panel().status(Moment::from_wall(at(min))).asks_grain
}

#[test]
fn grain_is_asked_about_from_the_end_of_the_drying_until_something_is_done() {
    let cases: &[(&[&str], f64, bool)] = &[
        (&[], 1515.0, false),
        (&[], 1529.0, false),
        (&[], 1530.0, true),
        (&[], 9000.0, true),
        // Whatever answers, answers for every window.
        (&["1536 start"], 1540.0, false),
        (&["1536 done"], 1540.0, false),
        (&["1536 skip"], 1540.0, false),
        (&["1536 extra front"], 1540.0, false),
        (&["1536 abandon"], 1540.0, false),
        // Begun before the drying was over, or the drying ended by the maker: there is nothing left to ask.
        (&["1525 start"], 1540.0, false),
        (&["1525 done"], 1540.0, false),
        (&["1525 skip"], 1540.0, false),
        // What only tells leaves it open, and so does an answer that is taken back.
        (&["1536 note"], 1540.0, true),
        (&["1536 start", "1537 undo"], 1540.0, true),
        // One more coat dries anew, and is asked about anew.
        (&["1536 extra front", "1541 done"], 1555.0, false),
        (&["1536 extra front", "1541 done"], 1556.0, true),
    ];
    for (more, min, expected) in cases {
        let more = more.iter().map(|doing| if doing.ends_with("note") { "1536 note a hair" } else { doing });
        let rows: Vec<_> = TO_THE_BACK.iter().copied().chain(more.map(|doing| (doing, ""))).collect();
        let shown: Vec<_> = rows.iter().skip(TO_THE_BACK.len()).map(|(doing, _)| *doing).collect();
        assert_eq!(asks(both_faces(), &rows, *min), *expected, "{shown:?} at {min}");
    }
    // The rest after the check, and a cure, ask nothing.
    assert!(!asks(both_faces(), &TO_THE_BACK[..3], 9000.0));
}
