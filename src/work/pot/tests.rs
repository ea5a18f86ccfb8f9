//! The pot as tables: what is recorded, minute by minute, and where it then stands.

use super::act::PotAct;
use super::event::*;
use super::fold::Pot;
use super::phase::{PotPhase, PotStatus};
use super::refusal::PotRefusal;
use super::story::PotStory;
use super::water::{StrengthOrigin, WaterInputs};
use crate::craft::materials::Filler;
use crate::craft::materials::fillers::BulkDensities;
use crate::craft::recipe::*;
use crate::units::*;
use crate::work::story::{CommonEvent, OrderRefusal};
use proptest::prelude::*;
use std::sync::Arc;

/// A recipe of round figures (invented for the tests).
pub(super) fn recipe() -> Recipe {
    Recipe {
        format: RECIPE_FORMAT,
        name: "test".into(),
        title: "Test".into(),
        suits: vec![Paint::Oil],
        source: String::new(),
        cautions: vec![],
        size: SizeCoats::default(),
        cloth: None,
        gesso: Gesso {
            fillers: vec![FillerPart { filler: Filler::Gypsum, amount: FillerAmount::Grams(80.0) }],
            ..Gesso::default()
        },
        stipple: Stipple::default(),
        coats: Coats::default(),
        scrape: None,
        check: None,
        rest: Rest::default(),
        seal: Seal::default(),
        sand: None,
        minutes: Minutes::default(),
    }
}

const BEGIN: i64 = 1_800_000_000_000;

pub(super) fn at(min: f64) -> Stamp {
    Stamp::from_ms(BEGIN) + Span::from_min(min)
}

pub(super) fn now(min: f64) -> Moment {
    Moment::from_wall(at(min))
}

pub(super) fn said(id: &str, kind: PotKind, parent: Option<&str>) -> PotOpened {
    PotOpened {
        filler_lot: None,
        id: Id::new(id).unwrap(),
        label: id.into(),
        kind,
        parent: parent.map(|p| Id::new(p).unwrap()),
        recipe: Arc::new(recipe()),
        size_ml: Some(Volume::from_ml(500.0)),
        lot: (kind == PotKind::Size).then(|| "lot 7".into()),
        for_group: None,
        trial: None,
    }
}

pub(super) fn open(opened: PotOpened, min: f64) -> PotStory {
    let event = PotEvent::Opened(Box::new(opened));
    PotStory::fold(vec![Entry { seq: 0, at: at(min), written: now(min), raw_wall: None, replaces: None, event }])
        .unwrap()
}

pub(super) fn size() -> PotStory {
    open(said("robin", PotKind::Size, None), 0.0)
}

pub(super) fn gesso() -> PotStory {
    open(said("wren", PotKind::Gesso, Some("robin")), 0.0)
}

pub(super) fn put(story: &PotStory, event: PotEvent, min: f64, written: f64) -> Result<PotStory, PotRefusal> {
    let seq = story.entries().len() as u64;
    story.with_entry(Entry { seq, at: at(min), written: now(written), raw_wall: None, replaces: None, event })
}

pub(super) fn record(story: &PotStory, act: &PotAct, min: f64, written: f64) -> Result<PotStory, PotRefusal> {
    put(story, story.build_event(act)?, min, written)
}

/// The acts of the tables: a word, or a word and what goes with it.
pub(super) fn act(text: &str) -> PotAct {
    let (word, rest) = text.split_once(' ').unwrap_or((text, ""));
    let number = || rest.parse::<f64>().unwrap();
    match word {
        "soak" => PotAct::Soak,
        "melt" => PotAct::Melt,
        "out" => PotAct::OutOfBath,
        "liquid" => PotAct::Liquid,
        "temp" => PotAct::Temp(Temperature::from_c(number())),
        "made" => PotAct::made_as_asked(),
        "strained" => PotAct::Strained,
        "gelled" => PotAct::Gelled,
        "water" => PotAct::Water(Mass::from_g(number())),
        "weigh" => PotAct::Weigh(Mass::from_g(number())),
        "note" => PotAct::Note(rest.into()),
        "empty" => PotAct::Empty,
        "discard" => PotAct::Discard("mouldy".into()),
        "undo" => PotAct::Undo { seen: None },
        other => panic!("no act {other}"),
    }
}

fn standing_text(s: &PotStatus) -> String {
    let bath = s.bath_span.map_or(String::new(), |b| format!(" in bath {}", b.minutes()));
    let soak = s.soak.map_or(String::new(), |k| format!(" soak [{}]", k.time_left.minutes()));
    let temp = s.last_temp.map_or(String::new(), |(t, _)| format!(" {} C", t.c()));
    let hot = [("caution", s.cautioned_at), ("overheated", s.overheated_at)];
    let hot: String = hot.iter().filter_map(|(w, at)| at.map(|_| format!(" {w}"))).collect();
    format!("{}{bath}{soak}{temp}{hot} melts {}", s.phase.name(), s.melts)
}

/// Plays the rows and holds each to what it says. A row is `minute act` (or `minute/written act`, or `minute ?` to look)
/// and where it stands, with ` ? question` for each, or `! refusal`.
fn check(mut story: PotStory, rows: &[(&str, &str)]) -> PotStory {
    for (doing, expected) in rows {
        let (when, what) = doing.split_once(' ').unwrap();
        let (min, written) = when.split_once('/').unwrap_or((when, when));
        let (min, written): (f64, f64) = (min.parse().unwrap(), written.parse().unwrap());
        let stands = |story: &PotStory| standing_text(&story.pot().status(now(written), &WaterInputs::default()));
        let told = if what == "?" {
            stands(&story)
        } else {
            match record(&story, &act(what), min, written) {
                Ok(next) => {
                    story = next;
                    story.last_questions().iter().fold(stands(&story), |text, q| format!("{text} ? {q}"))
                }
                Err(refusal) => format!("! {refusal}"),
            }
        };
        assert_eq!(told, *expected, "at \"{doing}\"");
    }
    story
}

#[test]
fn a_pot_of_size_from_the_soak_to_the_last_drop() {
    let story = check(
        size(),
        &[
            ("0 ?", "soaking melts 0"),
            ("1 soak", "soaking soak [540] melts 0"),
            ("531 ?", "soaking soak [10] melts 0"),
            ("541 ?", "soaking soak [0] melts 0"),
            ("545 melt", "melting in bath 0 melts 1"),
            ("560 liquid", "liquid in bath 15 melts 1"),
            ("561 temp 48", "liquid in bath 16 48 C melts 1"),
            ("562 made", "liquid in bath 17 48 C melts 1"),
            ("563 strained", "liquid in bath 18 48 C melts 1"),
            ("565 out", "liquid 48 C melts 1"),
            ("600 gelled", "gelled 48 C melts 1"),
            ("700 melt", "melting in bath 0 48 C melts 2"),
            ("703 liquid", "liquid in bath 3 48 C melts 2"),
            ("704 out", "liquid 48 C melts 2"),
            ("710 melt", "liquid in bath 0 48 C melts 3"),
            ("712 empty", "empty 48 C melts 3"),
        ],
    );
    let s = story.pot().status(now(800.0), &WaterInputs::default());
    assert_eq!(s.bath_total, Span::from_min(20.0 + 4.0 + 2.0));
    assert_eq!((s.in_bath_since, s.since, s.made_at), (None, at(712.0), Some(at(562.0))));
    assert_eq!(s.age, Span::from_min(150.0), "the age ends with the pot");
}

#[test]
fn doubtful_marks_are_taken_in_with_a_question() {
    let swollen = "is the glue swollen through?";
    check(size(), &[("1 liquid", "liquid melts 0 ? marked liquid, but it was never in the bath: was that left out?")]);
    check(
        size(),
        &[
            ("1 melt", &format!("melting in bath 0 melts 1 ? melted, but no soak was marked: {swollen}")),
            ("9 made", "melting in bath 8 melts 1 ? marked made while it was not liquid: was a mark left out?"),
            ("10 out", "melting melts 1 ? out of the bath before it was marked liquid: is it liquid?"),
            ("11 liquid", "liquid melts 1"),
            ("12 gelled", "gelled melts 1"),
            ("13 liquid", "liquid melts 2 ? it had gelled and is liquid again without the bath: was that left out?"),
        ],
    );
    check(
        size(),
        &[
            ("0 soak", "soaking soak [540] melts 0"),
            ("60 melt", &format!("melting in bath 0 melts 1 ? it soaked 8.0 h less than the recipe says: {swollen}")),
            ("70 gelled", "gelled in bath 10 melts 1 ? gelled while it stands in the bath: has the bath gone cold?"),
            ("71 liquid", "liquid in bath 11 melts 1"),
            ("72 temp -3", "liquid in bath 12 -3 C melts 1 ? -3.0 C is below freezing: is that right?"),
            ("73 weigh 800", "liquid in bath 13 -3 C melts 1"),
            (
                "74 weigh 812.5",
                "liquid in bath 14 -3 C melts 1 ? 12.5 g heavier than before, and no water was marked: how much was given?",
            ),
            ("75 weigh 812.9", "liquid in bath 15 -3 C melts 1"),
            ("76 water 20", "liquid in bath 16 -3 C melts 1"),
            ("77 weigh 832", "liquid in bath 17 -3 C melts 1"),
            (
                "78 weigh 400",
                "liquid in bath 18 -3 C melts 1 ? 432.0 g lighter than before, more than half: was it weighed the same way?",
            ),
        ],
    );
    check(
        gesso(),
        &[(
            "1 soak",
            "soaking soak [540] melts 0 ? glue was put to soak in a pot that was poured from another: is it the right pot?",
        )],
    );
    let alone = open(PotOpened { parent: None, lot: None, ..said("wren", PotKind::Gesso, None) }, 0.0);
    let asked: Vec<_> = alone.last_questions().iter().map(ToString::to_string).collect();
    assert_eq!(asked, ["no pot of size is named for this gesso: where is its glue from?"]);
}

#[test]
fn what_cannot_be_true_is_refused_in_one_sentence() {
    check(
        size(),
        &[
            ("1 gelled", "! it was never liquid, so it cannot have gelled; mark \"melt\" or \"liquid\" first"),
            ("1 out", "! it is not in the bath; if it was, mark \"melt\" first, with the time it went in"),
            ("1 soak", "soaking soak [540] melts 0"),
            ("2 soak", "! it is soaking already; take that back to mark it at another time"),
            ("600 melt", "melting in bath 0 melts 1"),
            ("601 melt", "! it is in the bath already; mark \"out\" first"),
            ("601 soak", "! it was melted already; open another pot for glue that is soaked anew"),
            ("602 temp 118", "! an open pot does not get hotter than 100 C, and that is 118.0 C; is it in F?"),
            ("602 temp 100", "melting in bath 2 100 C caution overheated melts 1"),
            ("602 temp -41", "! -41.0 C is colder than any workroom or freezer; read the thermometer again"),
            ("602 temp NaN", "! that is no temperature; give one as in \"48C\""),
            ("602 weigh 0", "! that is no weight; give one above nothing, as in \"812g\""),
            ("602 water -5", "! that is no weight; give one above nothing, as in \"812g\""),
            ("602 weigh 50001", "! that is more than 50 kg; give the weight of this pot"),
            ("603 liquid", "liquid in bath 3 100 C caution overheated melts 1"),
            ("603 made", "liquid in bath 3 100 C caution overheated melts 1"),
            ("604 made", "! it is marked made already; take that back to mark it at another time"),
            ("604 note ", "! it needs a word or two"),
            ("605 out", "liquid 100 C caution overheated melts 1"),
            ("640 gelled", "gelled 100 C caution overheated melts 1"),
            ("641 gelled", "! it is marked gelled already; mark \"melt\" or \"liquid\" first"),
            ("642 discard", "discarded 100 C caution overheated melts 1"),
            ("643 melt", "! this pot was thrown away; take that back first"),
            ("643 empty", "! this pot was thrown away; take that back first"),
            ("643 note smelled", "discarded 100 C caution overheated melts 1"),
            ("644 undo", "discarded 100 C caution overheated melts 1"),
            ("645 undo", "gelled 100 C caution overheated melts 1"),
            ("646 empty", "empty 100 C caution overheated melts 1"),
            ("647 weigh 90", "! this pot is used up; take that back first"),
            ("-1/647 note x", "! that lies before the pot was opened; give a later time"),
            ("660/647 note x", "! that lies 13 min ahead; it can be recorded once it has happened"),
            (
                "50/647 discard",
                "! then a later entry (melt) could not be true: this pot was thrown away; take that back first",
            ),
        ],
    );
    let (size, gesso) = (said("robin", PotKind::Size, None), said("wren", PotKind::Gesso, Some("robin")));
    assert_eq!(gesso.check_parent(&size), Ok(()));
    assert_eq!(size.check_parent(&gesso), Err(PotRefusal::ParentNotSize { parent: gesso.id.clone() }));
    assert_eq!(gesso.check_parent(&gesso), Err(PotRefusal::ParentIsItself));
    let own = PotEvent::Opened(Box::new(said("wren", PotKind::Gesso, Some("wren"))));
    let entry = Entry { seq: 0, at: at(0.0), written: now(0.0), raw_wall: None, replaces: None, event: own };
    assert_eq!(PotStory::fold(vec![entry]), Err(PotRefusal::ParentIsItself));
}

#[test]
fn late_marks_take_their_place_and_undo_ends_at_the_opening() {
    let story = check(
        gesso(),
        &[
            ("10 gelled", "gelled melts 0"),
            ("5/11 melt", "gelled in bath 6 melts 1"),
            ("7/12 liquid", "gelled in bath 7 melts 1"),
            ("8/13 out", "gelled melts 1"),
        ],
    );
    let cooled: Vec<_> =
        story.pot().coolings.iter().map(|c| (c.started_at.wall, c.gelled_at.map(|m| m.wall))).collect();
    assert_eq!(cooled, [(at(8.0), Some(at(10.0)))]);
    let doubts = story.entries().iter().flat_map(|e| story.pot().questions_of(e.seq)).count();
    assert_eq!(doubts, 0, "out of the bath in time, so nothing is doubtful any more");
    check(
        gesso(),
        &[
            ("3 made", "liquid melts 0"),
            ("10 melt", "liquid in bath 0 melts 1"),
            ("11 undo", "liquid melts 0"),
            ("12 undo", "liquid melts 0"),
            ("13 undo", "! nothing is left to take back; the opening stays"),
        ],
    );
}

#[test]
fn the_bath_calls_from_the_recipes_minutes_and_rings_until_out() {
    let story = check(gesso(), &[("10 gelled", "gelled melts 0"), ("20 melt", "melting in bath 0 melts 1")]);
    let rings = |min: f64| {
        story.pot().due_calls(now(min)).iter().map(|c| (c.call, c.fact_seq, c.ring_count)).collect::<Vec<_>>()
    };
    assert_eq!(rings(22.99), []);
    assert_eq!(rings(23.0), [(PotCall::OutOfBath, 2, 1)]);
    assert_eq!(rings(23.99), [(PotCall::OutOfBath, 2, 1)]);
    assert_eq!(rings(25.5), [(PotCall::OutOfBath, 2, 3)]);
    assert_eq!(story.pot().due_calls(now(25.5))[0].due_at, at(23.0));
    let raise = |story: &PotStory| {
        put(story, PotEvent::Common(CommonEvent::Alert { call: PotCall::OutOfBath, fact_seq: 2 }), 23.0, 23.0)
    };
    let once = raise(&story).unwrap();
    assert!(once.pot().has_raised(PotCall::OutOfBath, 2));
    assert_eq!(raise(&once), Err(PotRefusal::AlreadyRaised { call: PotCall::OutOfBath }));
    let out = record(&once, &once.pot().bath_act(), 26.0, 26.0).unwrap();
    assert_eq!((out.pot().due_calls(now(30.0)).len(), out.pot().bath_act()), (0, PotAct::Melt));
    let soaking = record(&size(), &PotAct::Soak, 0.0, 0.0).unwrap();
    let due = soaking.pot().due_calls(now(540.0));
    assert_eq!(due.iter().map(|c| (c.call, c.due_at)).collect::<Vec<_>>(), [(PotCall::Soaked, at(540.0))]);
    assert_eq!(soaking.pot().due_calls(now(539.0)), []);
}

/// Plays acts that must all be taken in.
pub(super) fn play(mut story: PotStory, acts: &[&str]) -> PotStory {
    for row in acts {
        let (min, what) = row.split_once(' ').unwrap();
        let min = min.parse().unwrap();
        story = record(&story, &act(what), min, min).unwrap_or_else(|r| panic!("{row}: {r}"));
    }
    story
}

#[test]
fn water_leaves_and_glue_stays() {
    // 500 ml of a size of 70 g to the litre: 500 / (1000 + 70/1.35) * 998.2 = 474.496 g of water.
    let water = 474.496;
    let tell = |story: &PotStory, known: &WaterInputs<'_>| story.pot().water_at(at(1e4), known);
    let plain = WaterInputs::default();
    let fresh = tell(&gesso(), &plain);
    assert_eq!(
        (fresh.lost_g, fresh.glue_g_per_l_water, fresh.strength_origin),
        (None, Some(70.0), StrengthOrigin::Recipe)
    );
    // 6.65516 g of glue to 100 ml of size and 80 g of filler.
    assert!((fresh.glue_per_100g_filler_g.unwrap() - 8.31843).abs() < 1e-3, "{fresh:?}");
    // The craft's own figures: 5, 10, 15, 20 per cent of the water lost make the glue stronger by these (derived).
    for (pct, factor) in [(5.0, 1.05), (10.0, 1.11), (15.0, 1.18), (20.0, 1.25)] {
        let light = 1000.0 - water * pct / 100.0;
        let story = play(gesso(), &["1 weigh 1000", &format!("2 weigh {light}")]);
        let got = tell(&story, &plain);
        assert!((got.strength_factor.unwrap() - factor).abs() < 0.005, "{got:?}");
        assert!((got.lost_pct.unwrap() - pct).abs() < 1e-3, "{got:?}");
        assert!((got.glue_per_100g_filler_g.unwrap() - 8.31843).abs() < 1e-3, "water does not change it: {got:?}");
        // What was lost is given back: as strong as it was made.
        let back = play(story, &[&format!("3 water {}", 1000.0 - light)]);
        let got = tell(&back, &plain);
        assert!(got.lost_g.unwrap().abs() < 1e-9 && (got.strength_factor.unwrap() - 1.0).abs() < 1e-9, "{got:?}");
        assert_eq!(back.pot().mass().map(Mass::g), Some(1000.0));
        let got = back.pot().water_at(at(2.0), &plain);
        assert!((got.strength_factor.unwrap() - factor).abs() < 0.005, "as of a time: {got:?}");
    }
    // A coat was laid between the weighings: what left is gesso, and nothing became stronger.
    let story = play(gesso(), &["1 weigh 1000", "9 weigh 900", "20 weigh 880"]);
    let used = [at(5.0)];
    let got = tell(&story, &WaterInputs { use_times: &used, ..plain });
    assert_eq!(got.lost_g, Some(20.0));
    // 907.75 g were in the pot (water, 33.28 g of glue, 400 g of filler), 100 g of it used; 20 g of water lost of the rest.
    let left = water * (1.0 - 100.0 / (water + 33.2751 + 400.0));
    assert!((got.glue_g_per_l_water.unwrap() - 70.0 * left / (left - 20.0)).abs() < 1e-2, "{got:?}");
    // Poured from a size that had become a tenth stronger.
    let got = tell(&gesso(), &WaterInputs { parent_strength_factor: 1.1, ..plain });
    assert!((got.glue_g_per_l_water.unwrap() - 77.0).abs() < 1e-9 && got.glue_per_100g_filler_g.unwrap() > 9.0);
    // Water given without a weighing: weaker, as far as is known. Without an amount of size nothing is said.
    let got = tell(&play(gesso(), &["1 water 20"]), &plain);
    assert_eq!((got.lost_g, got.strength_origin), (None, StrengthOrigin::WaterGiven));
    assert!(got.glue_g_per_l_water.unwrap() < 70.0);
    let unknown = open(PotOpened { size_ml: None, ..said("wren", PotKind::Gesso, Some("robin")) }, 0.0);
    let got = tell(&play(unknown, &["1 weigh 1000", "2 weigh 980"]), &plain);
    assert_eq!((got.lost_g, got.lost_pct, got.glue_g_per_l_water), (Some(20.0), None, None));
    // More water than there was cannot have left.
    let got = tell(&play(gesso(), &["1 weigh 1000", "2 weigh 510"]), &plain);
    assert_eq!(got.glue_g_per_l_water, None);
}

#[test]
fn a_powder_by_volume_weighs_what_the_makers_cup_does_else_what_the_table_says() {
    let loose = FillerPart { filler: Filler::Gypsum, amount: FillerAmount::LooseMl(100.0) };
    let recipe = Recipe { gesso: Gesso { fillers: vec![loose], ..recipe().gesso }, ..recipe() };
    let story = open(PotOpened { recipe: Arc::new(recipe), ..said("wren", PotKind::Gesso, Some("robin")) }, 0.0);
    let mut cup = BulkDensities::TABLE;
    cup.set_weighed(Filler::Gypsum, 1.6).unwrap();
    for (bulk, expected) in [(BulkDensities::TABLE, 8.31843), (cup, 8.31843 / 2.0)] {
        let known = WaterInputs { bulk: &bulk, ..WaterInputs::default() };
        let got = story.pot().water_at(at(0.0), &known).glue_per_100g_filler_g.unwrap();
        assert!((got - expected).abs() < 1e-3, "{got}");
    }
}

pub(super) fn any_act() -> impl Strategy<Value = PotAct> {
    prop_oneof![
        1 => Just(PotAct::Soak),
        4 => Just(PotAct::Melt),
        4 => Just(PotAct::OutOfBath),
        4 => Just(PotAct::Liquid),
        4 => Just(PotAct::Gelled),
        1 => (-60.0..130.0f64).prop_map(|c| PotAct::Temp(Temperature::from_c(c))),
        1 => Just(PotAct::made_as_asked()),
        1 => Just(PotAct::Strained),
        1 => (-5.0..60.0f64).prop_map(|g| PotAct::Water(Mass::from_g(g))),
        2 => (300.0..1200.0f64).prop_map(|g| PotAct::Weigh(Mass::from_g(g))),
        1 => Just(PotAct::Note("x".into())),
        1 => Just(PotAct::Empty),
        1 => Just(PotAct::Discard("x".into())),
        3 => Just(PotAct::Undo { seen: None }),
    ]
}

fn holds_together(pot: &Pot, min: f64) -> Result<(), TestCaseError> {
    let s = pot.status(now(min), &WaterInputs::default());
    let over = matches!(s.phase, PotPhase::Empty | PotPhase::Discarded);
    prop_assert!(!over || (s.in_bath_since.is_none() && pot.current_cooling().is_none() && s.soak.is_none()));
    prop_assert!(s.in_bath_since.is_none() || pot.current_cooling().is_none(), "nothing cools in the bath");
    prop_assert!(pot.baths().iter().rev().skip(1).all(|b| b.out_at.is_some()), "one bath at a time");
    prop_assert!(pot.coolings.iter().rev().skip(1).all(|c| c.is_over), "one cooling at a time");
    prop_assert!(pot.coolings.iter().all(|c| c.gelled_at.is_none_or(|g| g.wall >= c.started_at.wall)));
    prop_assert!(s.melts as usize >= pot.baths().len());
    prop_assert!(s.max_temp.is_none_or(|t| (-40.0..=100.0).contains(&t.c())));
    prop_assert_eq!(s.overheated_at.is_some(), s.max_temp.is_some_and(|t| t.c() >= 60.0));
    prop_assert!(s.water.glue_g_per_l_water.is_none_or(|g| g.is_finite() && g > 0.0), "{:?}", s.water);
    prop_assert!(s.bath_total >= s.bath_span.unwrap_or(Span::ZERO));
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    /// Whatever is marked in whatever order: nothing panics, a refusal changes nothing, replay gives the same story, the
    /// pot is never in two places, and enough take-backs lead to the opening.
    #[test]
    fn random_pot_stories_hold_together(poured: bool, acts in prop::collection::vec((any_act(), 0u16..60, 0u16..40), 0..60)) {
        let fresh = if poured { gesso() } else { size() };
        let mut story = fresh.clone();
        let mut clock = 0.0;
        for (act, step, back) in acts {
            clock += f64::from(step);
            let min = (clock - f64::from(if back > 30 { back * 3 } else { 0 })).max(0.0);
            let before = story.clone();
            match record(&story, &act, min, clock) {
                Ok(next) => story = next,
                Err(refusal) => {
                    prop_assert_eq!(&before, &story);
                    prop_assert!(!refusal.to_string().contains('\n'));
                }
            }
            prop_assert_eq!(&PotStory::fold(story.entries().to_vec()).unwrap(), &story);
            holds_together(story.pot(), clock)?;
        }
        for _ in 0..story.entries().len() {
            match record(&story, &PotAct::Undo { seen: None }, clock, clock) {
                Ok(next) => story = next,
                Err(refusal) => prop_assert_eq!(refusal, OrderRefusal::NothingToTakeBack.into()),
            }
        }
        prop_assert_eq!(story.pot(), fresh.pot());
    }
}
