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
use std::sync::Arc;

mod any_acts;
mod checks;
mod grain;
mod late_facts;
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
