//! The machine as tables: what is recorded, minute by minute, and where the panel then stands.

use super::act::PanelAct;
use super::event::*;
use super::fold::STEPS_MAX;
use super::phase::{PanelPhase, PanelStatus};
use super::refusal::PanelRefusal;
use super::stage::build_plan;
use super::story::PanelStory;
use crate::craft::materials::{Filler, Support};
use crate::craft::recipe::*;
use crate::units::*;
use crate::work::story::{CommonEvent, OrderRefusal, StoryEvent, StoryState};
use proptest::prelude::*;
use std::sync::Arc;

mod grain;
mod measured;
mod placed;

/// A short recipe of round figures (invented for the tests).
fn recipe() -> Recipe {
    Recipe {
        format: RECIPE_FORMAT,
        name: "test".into(),
        title: "Test".into(),
        suits: vec![Paint::Oil],
        source: String::new(),
        cautions: vec![],
        size: SizeCoats { coats_per_face: 1, ..SizeCoats::default() },
        cloth: None,
        gesso: Gesso {
            fillers: vec![FillerPart { filler: Filler::Gypsum, amount: FillerAmount::Grams(80.0) }],
            ..Gesso::default()
        },
        stipple: Stipple::default(),
        coats: Coats { front: 3, ..Coats::default() },
        scrape: Some(Scrape::default()),
        check: Some(Check { columns: 2, rows: 2 }),
        rest: Rest::default(),
        seal: Seal::default(),
        sand: Some(Sand { grit: "P400".into() }),
        minutes: Minutes::default(),
    }
}

const DAY: f64 = 24.0 * 60.0;
const BEGIN: i64 = 1_800_000_000_000;

fn at(min: f64) -> Stamp {
    Stamp::from_ms(BEGIN) + Span::from_min(min)
}

fn opened(recipe: Recipe) -> PanelStory {
    let size = Size { width: Length::from_mm(300.0), height: Length::from_mm(400.0), thickness: None };
    let event = PanelEvent::Opened(Box::new(PanelOpened {
        sheet: None,
        id: Id::new("wren").unwrap(),
        label: "Wren".into(),
        size,
        support: Support::BirchPlywood,
        grain: Grain::Height,
        paint: Paint::Oil,
        recipe: Arc::new(recipe),
        group: None,
        is_witness: false,
        trial: None,
    }));
    PanelStory::fold(vec![Entry {
        seq: 0,
        at: at(0.0),
        written: Moment::from_wall(at(0.0)),
        raw_wall: None,
        replaces: None,
        event,
    }])
    .unwrap()
}

/// One act recorded at `min`, written down at `written`.
fn record(story: &PanelStory, act: &PanelAct, min: f64, written: f64) -> Result<PanelStory, PanelRefusal> {
    let event = story.build_event(act, Moment::from_wall(at(min)))?;
    let seq = story.entries().len() as u64;
    story.with_entry(Entry {
        seq,
        at: at(min),
        written: Moment::from_wall(at(written)),
        raw_wall: None,
        replaces: None,
        event,
    })
}

/// The acts of the tables: a word, or a word and what goes with it.
fn act(text: &str) -> PanelAct {
    let (word, rest) = text.split_once(' ').unwrap_or((text, ""));
    match word {
        "start" => PanelAct::Start,
        "done" if rest == "horizontal" => {
            PanelAct::Done { direction: Some(Direction::Horizontal), pot: None, map: None, by: None }
        }
        "done" if rest == "vertical" => {
            PanelAct::Done { direction: Some(Direction::Vertical), pot: None, map: None, by: None }
        }
        "done" if rest.is_empty() => PanelAct::done_as_planned(),
        "done" => PanelAct::Done { direction: None, pot: None, map: CheckMap::parse(rest), by: None },
        "dull" => PanelAct::Dull,
        "note" => PanelAct::Note(rest.into()),
        "extra" => PanelAct::Extra(Face::from_name(rest)),
        "repeat" => PanelAct::Repeat(Flaw::from_name(rest).unwrap()),
        "skip" => PanelAct::Skip("because".into()),
        "away" => PanelAct::Away,
        "back" => PanelAct::Back,
        "undo" => PanelAct::Undo { seen: None },
        "abandon" => PanelAct::Abandon("cracked".into()),
        other => panic!("no act {other}"),
    }
}

fn stage_text(stage: Option<Stage>) -> String {
    stage.map_or("-".into(), |s| format!("{s}{}", s.direction.map_or("", |d| [" h", " v"][d as usize])))
}

fn standing_text(s: &PanelStatus) -> String {
    let left = s.time_left.map_or(String::new(), |l| format!(" [{}]", l.minutes()));
    format!("{} {} > {}{left}", s.phase.name(), stage_text(s.stage), stage_text(s.next_stage))
}

fn judged_text(story: &PanelStory) -> String {
    let last = story.entries().last().unwrap();
    let Some(j) = story.panel().judgement(last.seq) else { return String::new() };
    let part = |word, span: Option<Span>| span.map_or(String::new(), |s| format!(" {word}={}", s.minutes()));
    part("early", j.early_by) + &part("late", j.late_by) + &part("gap", j.long_gap)
}

/// Plays the rows and holds each to what it says. A row is `minute act` (or `minute/written act`, or `minute ?` to look)
/// and `where it stands` or `! refusal`.
fn check(recipe: Recipe, rows: &[(&str, &str)]) -> PanelStory {
    let mut story = opened(recipe);
    for (doing, expected) in rows {
        let (when, what) = doing.split_once(' ').unwrap();
        let (min, written) = when.split_once('/').unwrap_or((when, when));
        let (min, written): (f64, f64) = (min.parse().unwrap(), written.parse().unwrap());
        let told = if what == "?" {
            standing_text(&story.panel().status(Moment::from_wall(at(min))))
        } else {
            match record(&story, &act(what), min, written) {
                Ok(next) => {
                    story = next;
                    standing_text(&story.panel().status(Moment::from_wall(at(written)))) + &judged_text(&story)
                }
                Err(refusal) => format!("! {refusal}"),
            }
        };
        assert_eq!(told, *expected, "at \"{doing}\"");
    }
    story
}

#[test]
fn a_whole_panel_from_the_first_to_the_last() {
    let story = check(
        recipe(),
        &[
            ("0 ?", "ready preparing the board > glue size 1 of 1 on the front"),
            ("5 done", "ready glue size 1 of 1 on the front > glue size 1 of 1 on the back"),
            ("10 done", "ready glue size 1 of 1 on the back > the cure"),
            ("14 done", "waiting the cure > stipple 1 of 1 [1440]"),
            ("1453 ?", "waiting the cure > stipple 1 of 1 [1]"),
            ("1454 ?", "ready stipple 1 of 1 > coat 1 of 3 h [0]"),
            ("1464 start", "working stipple 1 of 1 > coat 1 of 3 h"),
            ("1470 done", "waiting stipple 1 of 1 > coat 1 of 3 h [15]"),
            ("1485 done", "waiting coat 1 of 3 h > coat 2 of 3 v [15]"),
            ("1500 done", "waiting coat 2 of 3 v > coat 3 of 3 h [15]"),
            ("1515 ?", "ready coat 3 of 3 h > the drying [0]"),
            ("1516 done", "waiting the drying > scraping round 1 v [15] late=1"),
            ("1531 start", "working scraping round 1 v > the damp cloth"),
            ("1570 done", "ready the damp cloth > check 1"),
            ("1575 done", "ready check 1 > the rest"),
            ("1580 done 00/10", "ready scraping round 2 h > check 2"),
            ("1600 done", "ready check 2 > the rest"),
            ("1605 done 00/00", "waiting the rest > seal 1 of 1 [1440]"),
            ("3045 done", "waiting seal 1 of 1 > the last fine pass [60]"),
            ("3105 done", "finished - > -"),
            ("3106 done", "! everything on this panel is done; add one more with \"extra\", or inspect it"),
            ("3107 note good", "finished - > -"),
        ],
    );
    assert_eq!(story.panel().count_coats(Face::Front), 3);
}

/// To the first coat of the short recipe, laid at minute 1500.
const TO_COAT_1: [(&str, &str); 5] = [
    ("0 done", "ready glue size 1 of 1 on the front > glue size 1 of 1 on the back"),
    ("1 done", "ready glue size 1 of 1 on the back > the cure"),
    ("2 done", "waiting the cure > stipple 1 of 1 [1440]"),
    ("1485 done", "waiting stipple 1 of 1 > coat 1 of 3 h [15]"),
    ("1500 done", "waiting coat 1 of 3 h > coat 2 of 3 v [15]"),
];

fn from_coat_1(rows: &[(&str, &str)]) -> PanelStory {
    check(recipe(), &[&TO_COAT_1[..], rows].concat())
}

#[test]
fn early_late_and_long_gaps_are_named() {
    from_coat_1(&[("1511 done", "waiting coat 2 of 3 v > coat 3 of 3 h [15] early=4")]);
    from_coat_1(&[("1514.6 done", "waiting coat 2 of 3 v > coat 3 of 3 h [15]")]);
    from_coat_1(&[("1520 done", "waiting coat 2 of 3 v > coat 3 of 3 h [15] late=5")]);
    from_coat_1(&[("1600 done", "waiting coat 2 of 3 v > coat 3 of 3 h [15] late=85 gap=100")]);
    // The interval ends at the start, and only the start is judged.
    from_coat_1(&[
        ("1505 start", "working coat 2 of 3 v > coat 3 of 3 h early=10"),
        ("1508 done", "waiting coat 2 of 3 v > coat 3 of 3 h [15]"),
    ]);
    // A cure cut short is early, one left to run is never late.
    check(
        recipe(),
        &[&TO_COAT_1[..3], &[("1382 done", "waiting stipple 1 of 1 > coat 1 of 3 h [15] early=60")]].concat(),
    );
}

#[test]
fn a_dull_mark_ends_the_wait_where_the_recipe_says_so() {
    from_coat_1(&[
        ("1509 dull", "ready coat 2 of 3 v > coat 3 of 3 h [0]"),
        ("1510 dull", "! coat 1 of 3 is marked dull already; take that back to mark it at another time"),
        ("1510 done", "waiting coat 2 of 3 v > coat 3 of 3 h [15]"),
        ("1530 dull", "ready coat 3 of 3 h > the drying [-5]"),
        ("1531 start", "working coat 3 of 3 h > the drying late=6"),
        ("1532 dull", "! no coat is drying, so none can have gone dull"),
    ]);
    let dry = Recipe { coats: Coats { ready_sign: ReadySign::Dry, front: 3, ..Coats::default() }, ..recipe() };
    let rows = [
        ("1509 dull", "waiting coat 1 of 3 h > coat 2 of 3 v [6]"),
        ("1510 done", "waiting coat 2 of 3 v > coat 3 of 3 h [15] early=5"),
    ];
    check(dry, &[&TO_COAT_1[..], &rows].concat());
    check(recipe(), &[("1 dull", "! no coat is drying, so none can have gone dull")]);
    check(
        recipe(),
        &[
            &TO_COAT_1[..2],
            &[(
                "3 dull",
                "! glue size 1 of 1 on the front is no gesso, and only gesso goes dull; when it is dry record the next act",
            )],
        ]
        .concat(),
    );
}

#[test]
fn extra_repeat_and_skip_keep_numbers_and_directions() {
    from_coat_1(&[
        ("1515 skip", "ready coat 3 of 3 v > the drying [0]"),
        ("1516 done", "waiting the drying > scraping round 1 h [15] late=1"),
        ("1517 extra", "waiting coat 3 of 4 v > coat 4 of 4 h [14]"),
        ("1531 done", "waiting the drying > scraping round 1 v [15]"),
        ("1532 repeat lumpy", "ready coat 4 of 4 h > the drying"),
        ("1533 done vertical", "waiting the drying > scraping round 1 h [15]"),
        ("1534 start", "working scraping round 1 h > the damp cloth early=14"),
        ("1535 extra", "! scraping round 1 is under way; record it as done, or take the start back, first"),
        ("1535 start", "! scraping round 1 is begun already; record it as done, or take the start back"),
        ("1536 skip", "waiting the drying > the damp cloth [12]"),
        ("1536 skip", "ready the damp cloth > check 1"),
    ]);
    check(recipe(), &[("1 extra", "! nothing has been done on this panel yet")]);
    check(recipe(), &[("1 repeat thin", "! nothing has been done on this panel yet")]);
    // One more size coat while it cures starts the cure again.
    check(
        recipe(),
        &[
            &TO_COAT_1[..3],
            &[
                ("60 extra", "ready glue size 2 of 2 on the back > the cure [-28]"),
                ("61 done", "waiting the cure > stipple 1 of 1 [1440] late=29"),
                ("70 skip", "ready stipple 1 of 1 > coat 1 of 3 h"),
                ("71 repeat thin", "ready glue size 2 of 2 on the back > the cure"),
                ("72 done", "waiting the cure > stipple 1 of 1 [1440]"),
            ],
        ]
        .concat(),
    );
}

#[test]
fn both_faces_are_sized_before_the_wait_and_before_the_cure() {
    let two = Recipe { size: SizeCoats { coats_per_face: 2, ..SizeCoats::default() }, ..recipe() };
    check(
        two.clone(),
        &[
            ("0 done", "ready glue size 1 of 2 on the front > glue size 1 of 2 on the back"),
            ("1 done", "ready glue size 1 of 2 on the back > glue size 2 of 2 on the front"),
            ("5 done", "waiting glue size 1 of 2 on the back > glue size 2 of 2 on the front [30]"),
            ("35 done", "ready glue size 2 of 2 on the back > the cure"),
            ("36 skip", "waiting the cure > stipple 1 of 1 [1439]"),
        ],
    );
    check(
        two,
        &[
            ("0 done", "ready glue size 1 of 2 on the front > glue size 1 of 2 on the back"),
            ("1 done", "ready glue size 1 of 2 on the back > glue size 2 of 2 on the front"),
            ("2 skip", "waiting glue size 1 of 2 on the front > glue size 2 of 2 on the front [29]"),
        ],
    );
}

#[test]
fn cloth_rests_and_the_cure_waits_for_it() {
    let cloth = Recipe { cloth: Some(Cloth { rest_h: 48.0 }), ..recipe() };
    let rows = [
        ("0 done", "ready glue size 1 of 1 on the front > glue size 1 of 1 on the back"),
        ("1 done", "ready glue size 1 of 1 on the back > laying the cloth"),
        ("2 done", "waiting glue size 1 of 1 on the back > laying the cloth [30]"),
        ("32 done", "waiting the cure > stipple 1 of 1 [2880]"),
    ];
    check(cloth, &rows);
    let short = Recipe { cloth: Some(Cloth { rest_h: 1.0 }), ..recipe() };
    check(short, &[&rows[..3], &[("32 done", "waiting the cure > stipple 1 of 1 [1410]")]].concat());
}

#[test]
fn balanced_faces_turn_after_the_front_and_begin_anew() {
    let both = Recipe { coats: Coats { front: 1, back: 2, ..Coats::default() }, ..recipe() };
    check(
        both,
        &[
            ("0 done", "ready glue size 1 of 1 on the front > glue size 1 of 1 on the back"),
            ("1 done", "ready glue size 1 of 1 on the back > the cure"),
            ("2 done", "waiting the cure > stipple 1 of 1 [1440]"),
            ("1485 done", "waiting stipple 1 of 1 > coat 1 of 1 h [15]"),
            ("1500 done", "waiting coat 1 of 1 h > coat 1 of 2 on the back h [15]"),
            ("1600 done", "waiting coat 1 of 2 on the back h > coat 2 of 2 on the back v [15] late=85"),
            ("1615 done", "waiting the drying > scraping round 1 v [15]"),
        ],
    );
}

#[test]
fn late_facts_take_their_place_and_numbers_follow() {
    let story = from_coat_1(&[
        ("1531 done", "waiting coat 2 of 3 v > coat 3 of 3 h [15] late=16"),
        // The coat forgotten at 1516 goes in there; what was coat 2 is coat 3 now.
        ("1516/1532 done", "waiting the drying > scraping round 1 h [14] late=1"),
        ("1532 undo", "waiting coat 2 of 3 v > coat 3 of 3 h [14]"),
        ("-1/1533 done", "! that lies before the panel was opened; give a later time"),
        ("1540/1533 done", "! that lies 7 min ahead; it can be recorded once it has happened"),
        (
            "1510/1533 abandon",
            "! then a later entry (done) could not be true: this panel was given up; take that back first",
        ),
    ]);
    assert_eq!(story.panel().count_coats(Face::Front), 2);
    let early = story.as_of(at(1500.0)).unwrap();
    assert_eq!(early.panel().count_coats(Face::Front), 1);
    assert!(story.as_of(at(-1.0)).is_none());
}

#[test]
fn undo_walks_back_to_the_opening_and_never_beyond() {
    check(
        recipe(),
        &[
            ("1 start", "working preparing the board > glue size 1 of 1 on the front"),
            ("2 done", "ready glue size 1 of 1 on the front > glue size 1 of 1 on the back"),
            ("3 note a knot", "ready glue size 1 of 1 on the front > glue size 1 of 1 on the back"),
            ("4 undo", "ready glue size 1 of 1 on the front > glue size 1 of 1 on the back"),
            ("5 undo", "working preparing the board > glue size 1 of 1 on the front"),
            ("6 undo", "ready preparing the board > glue size 1 of 1 on the front"),
            ("7 undo", "! nothing is left to take back; the opening stays"),
        ],
    );
}

#[test]
fn away_and_back_lie_between_stipple_and_last_coat() {
    from_coat_1(&[
        ("1501 back", "! not away, so not back either"),
        ("1502 away", "waiting coat 1 of 3 h > coat 2 of 3 v [13]"),
        ("1503 away", "! away already; mark \"back\" first"),
        ("1504 back", "waiting coat 1 of 3 h > coat 2 of 3 v [11]"),
        ("1505 away", "waiting coat 1 of 3 h > coat 2 of 3 v [10]"),
        ("1515 done", "waiting coat 2 of 3 v > coat 3 of 3 h [15]"),
        ("1516 back", "! not away, so not back either"),
    ]);
    let no = "! being away matters only between the stipple and the last coat; nothing to record";
    check(recipe(), &[("1 away", no)]);
}

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

#[test]
fn given_up_takes_nothing_but_words_until_taken_back() {
    let no = "! this panel was given up; take that back first";
    from_coat_1(&[
        ("1501 abandon", "abandoned coat 2 of 3 v > -"),
        ("1502 done", no),
        ("1502 start", no),
        ("1502 skip", no),
        ("1502 extra", no),
        ("1502 repeat thin", no),
        ("1502 dull", no),
        ("1502 abandon", no),
        ("1503 note kept as a trial", "abandoned coat 2 of 3 v > -"),
        ("1504 undo", "abandoned coat 2 of 3 v > -"),
        ("1505 undo", "waiting coat 1 of 3 h > coat 2 of 3 v [10]"),
    ]);
}

#[test]
fn a_finished_panel_is_reopened_by_extra_and_repeat() {
    let plain = Recipe {
        seal: Seal { with: SealMaterial::None, ..Seal::default() },
        sand: None,
        scrape: None,
        check: None,
        coats: Coats { front: 1, ..Coats::default() },
        ..recipe()
    };
    check(
        plain,
        &[
            ("0 done", "ready glue size 1 of 1 on the front > glue size 1 of 1 on the back"),
            ("1 done", "ready glue size 1 of 1 on the back > the cure"),
            ("2 done", "waiting the cure > stipple 1 of 1 [1440]"),
            ("1485 done", "waiting stipple 1 of 1 > coat 1 of 1 h [15]"),
            ("1500 done", "waiting the drying > the damp cloth [15]"),
            ("1515 done", "waiting the rest > - [1440]"),
            ("1516 start", "! everything on this panel is done; add one more with \"extra\", or inspect it"),
            ("2955 ?", "finished - > -"),
            ("2956 repeat other", "ready the damp cloth > the rest"),
            ("2957 done", "waiting the rest > - [1440]"),
            ("2958 extra", "ready the damp cloth > the rest"),
        ],
    );
}

#[test]
fn the_boot_clock_holds_the_countdown_when_the_wall_clock_jumps() {
    let boot = |min: f64, jump: f64| Moment {
        wall: at(min + jump),
        boot: Some(BootMark { boot_id: 7, ms: (min * 60_000.0) as i64 }),
        offset_min: 0,
        raw_wall: None,
    };
    let mut story = opened(recipe());
    for min in [1.0, 2.0, 3.0, 1443.0] {
        let m = boot(min, 0.0);
        let event = story.build_event(&PanelAct::done_as_planned(), m).unwrap();
        let seq = story.entries().len() as u64;
        story = story.with_entry(Entry { seq, at: m.wall, written: m, raw_wall: None, replaces: None, event }).unwrap();
    }
    // An hour forward, five minutes on: ten minutes are left all the same, and the due time follows the wall clock.
    let standing = story.panel().status(boot(1448.0, 60.0));
    assert_eq!((standing.phase, standing.time_left), (PanelPhase::Waiting, Some(Span::from_min(10.0))));
    assert_eq!(standing.due_at, Some(at(1518.0)));
    // After another boot only the wall clock is there.
    let other = Moment { boot: Some(BootMark { boot_id: 8, ms: 0 }), ..boot(1448.0, 60.0) };
    assert_eq!(story.panel().status(other).phase, PanelPhase::Ready);
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

#[test]
fn a_call_is_raised_once() {
    let story = from_coat_1(&[]);
    let of = story.panel().current_wait().unwrap().fact_seq;
    let raise = |story: &PanelStory| {
        let seq = story.entries().len() as u64;
        let event = PanelEvent::Common(CommonEvent::Alert { call: PanelCall::Due, fact_seq: of });
        story.with_entry(Entry {
            seq,
            at: at(1515.0),
            written: Moment::from_wall(at(1515.0)),
            raw_wall: None,
            replaces: None,
            event,
        })
    };
    let once = raise(&story).unwrap();
    assert_eq!(raise(&once), Err(PanelRefusal::AlreadyRaised { call: PanelCall::Due }));
    assert!(once.panel().has_raised(PanelCall::Due, of));
    assert_eq!(once.last_standing_entry().map(|e| e.event.name()), Some("done"));
}

/// A story with one more fact at that minute, in the place of another.
fn replace(story: &PanelStory, seq: u64, event: PanelEvent, min: f64) -> Result<PanelStory, PanelRefusal> {
    let next = story.entries().len() as u64;
    let written = Moment::from_wall(at(2000.0));
    story.with_entry(Entry { seq: next, at: at(min), written, raw_wall: None, replaces: Some(seq), event })
}

#[test]
fn a_fact_in_the_place_of_the_last_one_takes_it_back_and_is_itself_what_undo_takes_back() {
    let story = from_coat_1(&[]);
    let last = story.last_standing_entry().unwrap().clone();
    let before = last.seq - 1;
    let moved = replace(&story, last.seq, last.event.clone(), 1505.0).unwrap();
    assert!(moved.is_taken_back(last.seq) && !moved.is_taken_back(before));
    assert_eq!(moved.panel().count_coats(Face::Front), story.panel().count_coats(Face::Front));
    assert_eq!(moved.last_standing_entry().map(|e| e.at), Some(at(1505.0)));
    // One that moves again, and an undo: what was replaced stays taken back.
    let seq = moved.last_standing_entry().unwrap().seq;
    let again = replace(&moved, seq, last.event.clone(), 1504.0).unwrap();
    let undone = record(&again, &PanelAct::Undo { seen: None }, 2000.0, 2000.0).unwrap();
    assert!([last.seq, seq, seq + 1].iter().all(|seq| undone.is_taken_back(*seq)));
    assert_eq!(undone.last_standing_entry().unwrap().seq, before);
    // Only the last standing fact can be replaced, and only by one of the maker's; on replay such a fact has no effect.
    assert_eq!(
        replace(&moved, before, last.event.clone(), 1505.0),
        Err(PanelRefusal::from(OrderRefusal::NotTheLastFact { seq: before }))
    );
    assert!(replace(&moved, seq, PanelEvent::Common(CommonEvent::Slept { span: Span::from_s(60) }), 1505.0).is_err());
    let mut entries = story.entries().to_vec();
    let next = entries.len() as u64;
    entries.push(Entry { seq: next, replaces: Some(before), ..last });
    let folded = PanelStory::fold(entries).unwrap();
    assert_eq!(folded.panel(), story.panel());
    assert!(folded.refusal_of(next).is_some() && folded.as_of(at(2000.0)).unwrap().panel() == story.panel());
}

fn any_act() -> impl Strategy<Value = PanelAct> {
    prop_oneof![
        8 => Just(PanelAct::done_as_planned()),
        2 => Just(PanelAct::Start),
        1 => Just(PanelAct::Done { direction: Some(Direction::Vertical), pot: None, map: None, by: None }),
        2 => Just(PanelAct::Done { direction: None, pot: None, map: CheckMap::parse("01/20"), by: None }),
        2 => Just(PanelAct::Dull),
        1 => Just(PanelAct::Note("x".into())),
        1 => Just(PanelAct::Extra(None)),
        1 => Just(PanelAct::Extra(Some(Face::Front))),
        1 => Just(PanelAct::Extra(Some(Face::Back))),
        1 => Just(PanelAct::Repeat(Flaw::Thin)),
        1 => Just(PanelAct::Skip("x".into())),
        1 => Just(PanelAct::Away),
        1 => Just(PanelAct::Back),
        2 => Just(PanelAct::Undo { seen: None }),
        1 => Just(PanelAct::Abandon("x".into())),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    /// Whatever is asked in whatever order: nothing panics, a refused fact leaves the panel untouched, numbers within a kind
    /// and face have no holes, the coat at hand crosses the one below, and enough take-backs lead to the opening.
    #[test]
    fn random_stories_hold_together(acts in prop::collection::vec((any_act(), 0u16..2000, 0u16..40), 0..80)) {
        let mut story = opened(recipe());
        let mut clock = 0.0;
        let mut asked = Vec::new();
        for (act, step, back) in acts {
            clock += f64::from(step);
            let min = (clock - f64::from(if back > 30 { back * 10 } else { 0 })).max(0.0);
            asked.extend(story.build_event(&act, Moment::from_wall(at(min))));
            if let Ok(next) = record(&story, &act, min, clock) {
                story = next;
            }
            let now = Moment::from_wall(at(clock));
            for event in &asked {
                let mut panel = story.panel().clone();
                let seq = story.entries().len() as u64;
                let entry = Entry { seq, at: now.wall, written: now, raw_wall: None, replaces: None, event: event.clone() };
                if panel.after(&entry).is_err() {
                    prop_assert_eq!(&panel, story.panel());
                }
            }
            let panel = story.panel();
            let hand = panel.stage_at_hand().filter(|s| s.kind == StageKind::Coat);
            let below = |face| {
                let steps = panel.stages().zip(panel.steps()).filter(move |(_, s)| s.slot.face == face);
                let laid = steps.filter_map(|(stage, s)| Some((s.laid_coat()?, stage.direction?)));
                laid.max_by_key(|(l, _)| (l.done_at.wall, l.seq)).map(|(_, direction)| direction)
            };
            if let Some((ours, theirs)) = hand.and_then(|h| h.direction.zip(below(h.face))) {
                prop_assert_eq!(ours, theirs.perpendicular());
            }
            let s = story.panel().status(now);
            match (s.stage_to_record(), story.build_event(&PanelAct::done_as_planned(), now)) {
                (Some(stage), Ok(PanelEvent::Done(done))) => prop_assert_eq!(done.stage, Some(stage)),
                (None, _) => prop_assert!(record(&story, &PanelAct::done_as_planned(), clock, clock).is_err()),
                (Some(_), other) => prop_assert!(false, "{:?}", other),
            }
            prop_assert_eq!(s.early_by().is_some(), s.phase == PanelPhase::Waiting);
            prop_assert_eq!(s.phase == PanelPhase::Waiting, s.time_left.is_some_and(|l| l > Span::ZERO) && s.phase != PanelPhase::Ready);
            let stages: Vec<_> = story.panel().stages().collect();
            for kind in StageKind::ALL {
                for face in [Some(Face::Front), Some(Face::Back)] {
                    let mut numbers: Vec<_> = stages.iter().filter(|s| s.kind == kind && s.face == face && kind.is_counted()).map(|s| s.number.unwrap()).collect();
                    numbers.sort_unstable();
                    prop_assert_eq!(numbers.clone(), (1..=numbers.len() as u32).collect::<Vec<_>>());
                }
            }
        }
        for _ in 0..story.entries().len() {
            match record(&story, &PanelAct::Undo { seen: None }, clock, clock) {
                Ok(next) => story = next,
                Err(refusal) => prop_assert_eq!(refusal, OrderRefusal::NothingToTakeBack.into()),
            }
        }
        let s = story.panel().status(Moment::from_wall(at(DAY)));
        prop_assert_eq!(standing_text(&s), "ready preparing the board > glue size 1 of 1 on the front");
    }
}

#[test]
fn every_kind_of_stage_stands_in_the_plan_of_a_full_recipe_in_the_order_of_the_kinds() {
    let full = Recipe { cloth: Some(Cloth::default()), ..recipe() };
    let mut kinds: Vec<_> = build_plan(&full).into_iter().map(|slot| slot.kind).collect();
    kinds.dedup();
    assert_eq!(kinds, StageKind::ALL);
}

/// A story of so many facts, with so many coats to come, an odd number; an act is begun and taken back again and again.
fn long_story(facts: u64, coats: u64) -> PanelStory {
    let mut entries = opened(recipe()).entries().to_vec();
    for seq in 1..facts {
        let event = match seq {
            1 => PanelEvent::Done(Box::default()),
            n if n <= coats => PanelEvent::Extra { face: None },
            n if n % 2 == 0 => PanelEvent::Started { stage: None },
            n => PanelEvent::Common(CommonEvent::Undone { takes_back: n - 1 }),
        };
        let when = at(seq as f64);
        entries.push(Entry { seq, at: when, written: Moment::from_wall(when), raw_wall: None, replaces: None, event });
    }
    PanelStory::fold(entries).unwrap()
}

#[test]
fn twice_as_much_is_twice_the_work() {
    let visits = |facts: u64, coats: u64| {
        super::state::STEP_VISITS.set(0);
        let story = long_story(facts, coats);
        assert_eq!(story.panel().steps().len() as u64, long_story(2, 1).panel().steps().len() as u64 + coats - 1);
        crate::work::advice::fact_text::format_story(&story, crate::text::UnitSystem::Metric);
        super::state::STEP_VISITS.get()
    };
    // A fact looks at every place once or twice: facts times places, and no more.
    let (once, more_facts) = (visits(2000, 51), visits(4000, 51));
    assert!(more_facts <= once * 21 / 10, "{once} {more_facts}");
    let stages = |coats: u64| {
        let story = long_story(coats + 1, coats);
        super::state::STEP_VISITS.set(0);
        assert!(story.panel().stages().last().is_some());
        super::state::STEP_VISITS.get()
    };
    let (once, more_coats) = (stages(151), stages(301));
    assert!(more_coats <= once * 21 / 10, "{once} {more_coats}");
}
