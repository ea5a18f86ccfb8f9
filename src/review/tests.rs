//! Stories made into rows, rows held against each other, and the forms they are told in.

use super::GroupBy;
use super::card::card_from_story;
use super::compare::{Comparison, GroupValue, UnreadableStory, compare_panels};
use super::csv::{FormulaGuard, defuse_formula, format_csv, header};
use super::export::{self, ExportJson, ExportedJson};
use super::html::{PanelDetail, ReportSurroundings, comparison_page};
use super::json::CompareJson;
use super::panel_row::PanelRow;
use super::possible_causes::{RiskFactor, possible_causes};
use super::pots_and_air::{PotsAndAir, air_between, timeline_from_pot};
use super::recipe_from_story::recipe_from_story;
use super::samples::{HOSTILE, at, look, made, pot, record, row, row_alone, seen};
use super::story_facts::facts_from_story;
use super::{comparison_text, cross_section, panel_timeline};
use crate::craft::materials::fillers::BulkDensities;
use crate::craft::recipe::parser::parse_recipe;
use crate::craft::recipe::schema::ValueType;
use crate::record::journal::line::event_members;
use crate::units::{Humidity, Id, Length, Span, Stamp, Temperature};
use crate::work::advice::inspections::fault_growth;
use crate::work::air::{Air, AirReading};
use crate::work::panel::act::PanelAct;
use crate::work::panel::inspection::{Bow, Inspection};
use crate::work::panel::story::PanelStory;
use crate::work::pot::lineage::PotLineage;
use crate::work::pot::story::PotStory;
use crate::work::pot::usage::PotUsage;

const DAY: f64 = 24.0 * 60.0;

fn clock(at: Stamp) -> String {
    format!("t{}", at.ms())
}

fn facts_of(story: &PanelStory) -> PanelRow {
    row_alone(story, 100.0 * DAY)
}

/// The row of a story among those pots, which no other panel took from.
fn row_among(story: &PanelStory, pots: &[PotStory], air: &Air) -> PanelRow {
    let facts = facts_from_story(story, &BulkDensities::TABLE, at(100.0 * DAY));
    let uses = facts.pot_uses.clone();
    let pots = PotUsage::new(PotLineage::new(pots), uses.iter().map(|u| (&u.pot, u.at)), &BulkDensities::TABLE);
    PanelRow::new(facts, &PotsAndAir { pots, air })
}

fn detail(story: &PanelStory) -> PanelDetail {
    let facts = facts_of(story);
    PanelDetail {
        timeline: panel_timeline::timeline_from_story(story),
        card: card_from_story(
            story,
            &facts,
            &cross_section::cross_section_from_story(story, &BulkDensities::TABLE),
            &["hide glue, lot 31".to_owned(), HOSTILE.to_owned()],
            &clock,
            &clock,
            crate::text::UnitSystem::Metric,
        ),
        section: cross_section::cross_section_from_story(story, &BulkDensities::TABLE),
        growth: fault_growth(story),
        photos: Vec::new(),
        row: facts,
    }
}

#[test]
fn a_story_becomes_a_row() {
    let (story, end) = made("Wren", 12.0);
    let f = facts_of(&story);
    assert_eq!((f.story.coats_front, f.story.coats_back, f.story.stipples, f.story.size_coats), (6, 0, 1, (2, 2)));
    assert_eq!(
        (f.story.wait_median_min, f.story.wait_min_min, f.story.wait_max_min),
        (Some(12.0), Some(12.0), Some(102.0))
    );
    // Five coats follow another after 12 min where 15 were due, but for the fourth, which came 90 min late.
    assert_eq!((f.story.early_coats, f.story.long_gaps), (4, 1));
    assert_eq!((f.story.scrape_rounds, f.story.check_rounds, f.story.grey_checks), (2, 2, 1));
    assert_eq!(f.story.pot_ids, [Id::new("pot-1").unwrap()]);
    assert_eq!(f.story.elapsed_h, Some(end / 60.0));
    assert_eq!((f.story.outcome.inspected, f.story.outcome.sound, f.story.hands_on_min), (false, None, None));
    assert!(f.story.finished && possible_causes(&f).is_empty());
}

#[test]
fn what_was_not_looked_at_is_not_sound() {
    let bow = Inspection {
        bow: Some(Bow { sag: Length::from_mm(1.0), span: Length::from_mm(400.0) }),
        ..Inspection::default()
    };
    let check = |looks: &[(f64, Inspection)], sound: Option<bool>, cracks: Option<u32>| {
        let (story, end) = made("Wren", 15.0);
        let story = looks.iter().fold(story, |s, (day, seen)| look(&s, seen.clone(), end + day * DAY));
        let outcome = facts_of(&story).story.outcome;
        assert_eq!((outcome.sound, outcome.cracks), (sound, cracks), "{looks:?}");
        assert_eq!(outcome.inspected, !looks.is_empty());
        assert_eq!(outcome.age_days, looks.last().map(|l| l.0));
    };
    check(&[], None, None);
    check(&[(1.0, bow.clone())], None, None);
    check(&[(1.0, seen(&[]))], Some(true), Some(0));
    check(&[(1.0, seen(&[])), (7.0, bow)], Some(true), Some(0));
    check(&[(1.0, seen(&[])), (7.0, seen(&["edge:2:along", "field:0:across"]))], Some(false), Some(1));
    // A crack does not heal.
    check(&[(1.0, seen(&["edge:2:along"])), (7.0, seen(&[]))], Some(false), Some(0));
    check(&[(1.0, Inspection { mould: true, ..Inspection::default() })], Some(false), None);
}

#[test]
fn a_look_before_the_last_act_calls_nothing_sound() {
    let (story, _) = made("Wren", 15.0);
    assert_eq!(facts_of(&look(&story, seen(&[]), 20.0)).story.outcome.sound, None);
    assert_eq!(facts_of(&look(&story, seen(&["edge:1:along"]), 20.0)).story.outcome.sound, Some(false));
}

#[test]
fn pots_and_air_are_joined_by_time() {
    let (story, end) = made("Wren", 15.0);
    let story = look(&story, seen(&["field:2:across"]), end + DAY);
    let alone = facts_of(&story).story;
    let planned = alone.recipe_ground.unwrap().glue_per_100g_filler_g;
    let (from, to) = alone.coating_period.unwrap();
    let temps = [(from, 48.0), (to, 64.0), (to + Span::from_h(1.0), 70.0)];
    let air = Air::from_readings([
        AirReading { at: from, temp: Temperature::from_c(19.0), rh: Humidity::from_pct(31.0) },
        AirReading { at: to, temp: Temperature::from_c(21.0), rh: Humidity::from_pct(47.0) },
        AirReading { at: to + Span::from_h(1.0), temp: Temperature::from_c(40.0), rh: Humidity::from_pct(5.0) },
    ]);
    let pots = [pot("pot-1", from - Span::from_h(1.0), 60.0, &temps)];
    let f = row_among(&story, &pots, &air);
    // What was read after the last coat says nothing of this panel.
    assert_eq!((f.pots.max_c, f.pots.melts, f.pots.water_lost_pct), (Some(64.0), Some(1), None));
    assert_eq!((f.air.temp_mean_c, f.air.rh_min_pct, f.air.rh_max_pct), (Some(20.0), Some(31.0), Some(47.0)));
    assert!((f.pots.glue_per_100g_filler_g.unwrap() - planned).abs() < 1e-9);
    let pointed: Vec<RiskFactor> = possible_causes(&f).iter().map(|p| p.risk_factor).collect();
    assert_eq!(pointed, [RiskFactor::DryAir, RiskFactor::HotPot]);
    let course = timeline_from_pot(pots[0].pot());
    assert_eq!((course.temps_c.len(), course.overheat_c), (3, 60.0));
    let beside =
        ReportSurroundings { pots: vec![course], air: air_between(&air, from, to), trials: Vec::new(), period: None };
    let page = comparison_page(&compare_panels(vec![f], GroupBy::Outcome, vec![]), &[], &beside, &clock);
    for said in ["read 3 times, 48 to 70 C; overheated, 60 C or more", "19 to 21 C, humidity 31 to 47 %, in 2 readings"]
    {
        assert!(page.contains(said), "no {said}");
    }
}

/// What is too hot for one recipe is not for another: a pot is judged by the recipe it was made by.
#[test]
fn a_pot_is_overheated_by_its_own_recipe() {
    let (story, end) = made("Wren", 15.0);
    let story = look(&story, seen(&["field:2:across"]), end + DAY);
    let (from, _) = facts_of(&story).story.coating_period.unwrap();
    for (overheat_c, hot) in [(60.0, true), (64.0, true), (66.0, false)] {
        let pots = [pot("pot-1", from - Span::from_h(1.0), overheat_c, &[(from, 64.0)])];
        let row = row_among(&story, &pots, &Air::default());
        let points = possible_causes(&row).iter().any(|cause| cause.risk_factor == RiskFactor::HotPot);
        assert_eq!((row.pots.max_c, points), (Some(64.0), hot), "{overheat_c}");
    }
}

#[test]
fn a_fault_points_at_what_is_recorded_and_at_nothing_else() {
    let (story, end) = made("Wren", 12.0);
    let check = |seen: Inspection, points: &[RiskFactor]| {
        let f = facts_of(&look(&story, seen, end + DAY));
        assert_eq!(possible_causes(&f).iter().map(|p| p.risk_factor).collect::<Vec<_>>(), points);
        assert!(possible_causes(&f).iter().all(|p| !p.source.is_empty() && !p.risk_factor.describe(&f).is_empty()));
    };
    check(seen(&[]), &[]);
    check(seen(&["field:1:along"]), &[RiskFactor::NoLinenOnPly, RiskFactor::FrontOnly]);
    check(seen(&["field:1:across"]), &[RiskFactor::EarlyCoats]);
    check(seen(&["field:0:across"]), &[]);
    check(Inspection { lift: Some(Length::from_mm(0.5)), ..Inspection::default() }, &[RiskFactor::LongGaps]);
    let bow = |sag: f64| Inspection {
        bow: Some(Bow { sag: Length::from_mm(sag), span: Length::from_mm(400.0) }),
        ..Inspection::default()
    };
    check(bow(1.0), &[]);
    check(bow(-2.0), &[RiskFactor::FrontOnly]);
}

/// Cracked panels waited `a`, sound ones `b`, each its pot beside it.
fn two_sides(a: &[(&str, f64)], b: &[(&str, f64)]) -> Comparison {
    let side = |name: &str, of: &[(&str, f64)], cracked: bool| {
        let row =
            |(i, (pot, wait)): (usize, &(&str, f64))| row(&format!("{name}{i}"), &[pot], *wait, &[(28.0, cracked)]);
        of.iter().enumerate().map(row).collect::<Vec<PanelRow>>()
    };
    compare_panels([side("Wren", a, true), side("Robin", b, false)].concat(), GroupBy::Outcome, Vec::new())
}

fn wait_p(c: &Comparison) -> Option<Option<f64>> {
    c.differences.iter().find(|d| d.field == "wait_median_min").map(|d| d.p_value)
}

#[test]
fn chance_is_reckoned_over_pots() {
    let check = |a: &[(&str, f64)], b: &[(&str, f64)], p: Option<Option<f64>>| {
        let is = wait_p(&two_sides(a, b));
        let near = |x: f64, y: f64| (x - y).abs() < 1e-9;
        let same = match (is, p) {
            (Some(Some(is)), Some(Some(p))) => near(is, p),
            (is, p) => is == p,
        };
        assert!(same, "{is:?}, not {p:?}: {a:?} {b:?}");
    };
    let own = |pots: [&'static str; 3], wait: f64| pots.map(|p| (p, wait));
    // Six pots, wholly apart: 2 of 20 ways.
    check(&own(["p1", "p2", "p3"], 8.0), &own(["q1", "q2", "q3"], 16.0), Some(Some(0.1)));
    // The same from one pot a side: two pots, which lie as far apart whichever is which.
    check(&own(["p", "p", "p"], 8.0), &own(["q", "q", "q"], 16.0), Some(Some(1.0)));
    // One pot served both, so its panels change places within it.
    check(&own(["p", "p", "p"], 8.0), &own(["p", "p", "p"], 16.0), Some(Some(0.1)));
    check(&own(["p1", "p2", "p3"], 8.0), &own(["p1", "p2", "p3"], 16.0), Some(Some(0.25)));
    // No difference is not told as one, nor is one in the last places of a sum.
    check(&own(["p1", "p2", "p3"], 15.0), &own(["q1", "q2", "q3"], 15.0), None);
    check(&own(["p1", "p2", "p3"], 15.0), &own(["q1", "q2", "q3"], 15.000_000_1), None);
}

#[test]
fn given_up_and_never_inspected_stay_in_the_count() {
    let mut gone = row("dunnock", &["p1"], 15.0, &[]);
    gone.story.given_up = Some("cracked".into());
    let rows = vec![row("wren", &["p1"], 15.0, &[(28.0, true)]), row("robin", &["p1"], 15.0, &[(28.0, false)]), gone];
    let c = compare_panels(
        rows,
        GroupBy::Pot,
        vec![UnreadableStory { path: "serin.jsonl".into(), message: "torn".into(), is_damaged: true }],
    );
    let [g] = c.groups.as_slice() else { panic!("{:?}", c.groups) };
    assert_eq!((g.panels, g.pots, g.sound, g.cracked, g.not_inspected, g.given_up), (3, 1, 1, 1, 1, 1));
    let told = comparison_text::format_comparison(&c);
    for said in [
        "1 panel was never inspected",
        "1 panel was given up",
        "1 story could not be read",
        "left out: serin.jsonl: torn",
    ] {
        assert!(told.contains(said), "{said} in {told}");
    }
}

#[test]
fn what_was_done_differently_comes_before_any_count() {
    let mut robin = row("robin", &["p2"], 15.0, &[(28.0, false)]);
    robin.story.cloth = true;
    let c = compare_panels(vec![row("wren", &["p1"], 15.0, &[(28.0, true)]), robin], GroupBy::Outcome, vec![]);
    assert_eq!(c.work_differences, ["pot: p1 (wren); p2 (robin)", "linen: none (wren); laid over the board (robin)"]);
    let told = comparison_text::format_comparison(&c);
    let place = |of: &str| told.find(of).unwrap_or_else(|| panic!("no {of} in {told}"));
    assert!(place("Done differently") < place("By outcome"));
    assert!(told.starts_with("Cannot say."), "{told}");
}

#[test]
fn two_recipes_are_held_against_each_other() {
    let rows: Vec<PanelRow> = (0..6)
        .map(|i| {
            let mut f = row(&format!("wren{i}"), &[&format!("p{i}")], 15.0, &[(28.0, i < 3)]);
            f.story.recipe = if i < 3 { "gypsum-zinc" } else { "whiting-tempera" }.into();
            f
        })
        .collect();
    let c = compare_panels(rows, GroupBy::Recipe, vec![]);
    let cracks = c.differences.iter().find(|d| d.field == "cracks").unwrap();
    assert_eq!(
        (&cracks.value_a, &cracks.value_b, cracks.p_value),
        (&GroupValue::Number(1.0), &GroupValue::Number(0.0), Some(0.1))
    );
    assert_eq!(
        c.groups.iter().map(|g| (g.value.as_str(), g.cracked)).collect::<Vec<_>>(),
        [("gypsum-zinc", 3), ("whiting-tempera", 0)]
    );
}

#[test]
fn one_panel_and_none_are_told_too() {
    assert!(
        comparison_text::format_comparison(&compare_panels(vec![], GroupBy::Outcome, vec![])).starts_with("no panels")
    );
    let one = compare_panels(vec![row("wren", &[], 15.0, &[])], GroupBy::Outcome, vec![]);
    assert!(one.contrast.is_none() && one.differences.is_empty() && one.work_differences.is_empty());
    assert!(comparison_text::format_comparison(&one).contains("pots not recorded"));
}

#[test]
fn many_rows_are_compared_and_drawn_by_lot_the_same_way_each_time() {
    let rows: Vec<PanelRow> = (0..400)
        .map(|i| row(&format!("wren{i}"), &[&format!("p{i}")], f64::from(i % 17), &[(28.0, i % 3 == 0)]))
        .collect();
    let c = compare_panels(rows.clone(), GroupBy::Outcome, vec![]);
    assert_eq!(c, compare_panels(rows, GroupBy::Outcome, vec![]));
    assert!(wait_p(&c).unwrap().unwrap() > 0.05);
    assert!(comparison_text::format_comparison(&c).contains("and 340 more; `--csv` tells all"));
}

/// However many there are, a person is told no more than can be taken in, and is told that there is more.
#[test]
fn of_very_many_the_first_are_shown_and_the_rest_is_counted() {
    let rows: Vec<PanelRow> = (0..1200)
        .map(|i| row(&format!("wren{i}"), &[&format!("p{i}")], f64::from(i % 17), &[(28.0, i % 3 == 0)]))
        .collect();
    let left_out: Vec<UnreadableStory> = (0..100)
        .map(|n| UnreadableStory { path: format!("{n}.jsonl"), message: "torn".into(), is_damaged: true })
        .collect();
    let by_pot = comparison_text::format_comparison(&compare_panels(rows.clone(), GroupBy::Pot, left_out.clone()));
    for said in
        ["and 1176 more groups", "and 1140 more; `--csv`", "100 stories could not be read", "and 40 more; `--json`"]
    {
        assert!(by_pot.contains(said), "no {said} in {by_pot}");
    }
    assert!(by_pot.lines().count() < 250, "{} lines", by_pot.lines().count());
    let page =
        comparison_page(&compare_panels(rows, GroupBy::Outcome, left_out), &[], &ReportSurroundings::default(), &clock);
    assert!(page.contains("And 200 more, which are in every count above"));
    assert_eq!(page.matches("<th scope=\"row\">wren").count(), 1000);
    // Seventeen waits on two sides, six above each other at most, however many panels have them.
    let marks = page.matches("<rect class=\"in\" x=").count() + page.matches("<circle class=\"mk\" cx=").count();
    assert!((2..=4 * 34 * 6).contains(&marks), "{marks} marks");
    assert!(page.contains("text-anchor=\"middle\">+"), "what is not drawn is counted");
}

#[test]
fn a_formula_is_defused_and_a_figure_is_not() {
    for (text, safe) in [
        ("Wren", "Wren"),
        ("", ""),
        ("=1+1", "'=1+1"),
        ("+1", "'+1"),
        ("-1", "'-1"),
        ("@sum", "'@sum"),
        ("\t=1", "'\t=1"),
        ("\r=1", "'\r=1"),
        ("  =1", "'  =1"),
        ("＝1", "'＝1"),
        ("a=1", "a=1"),
    ] {
        assert_eq!(defuse_formula(text), safe, "{text:?}");
    }
    let mut f = row("wren", &[], -3.5, &[]);
    f.story.label = "-3.5".into();
    let cells = |guard: FormulaGuard| {
        let text = format_csv(std::slice::from_ref(&f), &clock, guard);
        let mut reader = ::csv::Reader::from_reader(text.as_bytes());
        assert_eq!(reader.headers().unwrap().iter().collect::<Vec<_>>(), header());
        let row = reader.records().next().unwrap().unwrap();
        let column = |name: &str| row[header().iter().position(|h| *h == name).unwrap()].to_owned();
        (column("label"), column("wait_median_min"), column("sound"), column("pot_max_c"))
    };
    let wants = |label: &str| (label.to_owned(), "-3.5".to_owned(), String::new(), String::new());
    assert_eq!(cells(FormulaGuard::Defuse), wants("'-3.5"));
    assert_eq!(cells(FormulaGuard::Raw), wants("-3.5"));
}

#[test]
fn a_hostile_label_is_harmless_everywhere() {
    let (story, end) = made(HOSTILE, 12.0);
    let note = Inspection { note: Some(HOSTILE.into()), photo: Some(HOSTILE.into()), ..seen(&["edge:1:along"]) };
    let story = record(&look(&story, note, end + DAY), &PanelAct::Abandon(HOSTILE.into()), end + 2.0 * DAY);
    let mut rows = vec![facts_of(&story), row("robin", &[], 15.0, &[(28.0, false)])];
    rows[0].story.recipe = HOSTILE.into();
    let out = UnreadableStory { path: HOSTILE.into(), message: HOSTILE.into(), is_damaged: true };
    for by in GroupBy::ALL {
        let c = compare_panels(rows.clone(), by, vec![out.clone()]);
        let page = comparison_page(&c, &[detail(&story)], &ReportSurroundings::default(), &clock);
        assert!(!page.contains("<script") && !page.contains('\u{1b}') && !page.contains('\u{202e}'));
        let told = comparison_text::format_comparison(&c) + &detail(&story).card.to_string();
        assert!(!told.contains('\u{1b}') && !told.contains('\u{202e}'), "{told:?}");
        let json = serde_json::to_string(&CompareJson::from_comparison(&c, &clock)).unwrap();
        assert!(serde_json::from_str::<serde_json::Value>(&json).unwrap()["panels"][0]["label"].is_string());
        assert!(!format_csv(&c.panels, &clock, FormulaGuard::Defuse).contains("\n="), "a formula begins a line");
    }
}

#[test]
fn the_page_stands_by_itself_and_is_the_same_each_time() {
    let (story, end) = made("Wren", 12.0);
    let story = look(&look(&story, seen(&[]), end + DAY), seen(&["edge:2:along"]), end + 7.0 * DAY);
    let robin = row("robin", &["p2"], 15.0, &[(28.0, false)]);
    let c = compare_panels(vec![facts_of(&story), robin], GroupBy::Outcome, vec![]);
    let page_1 = comparison_page(&c, &[detail(&story)], &ReportSurroundings::default(), &clock);
    assert_eq!(page_1, comparison_page(&c, &[detail(&story)], &ReportSurroundings::default(), &clock));
    for outside in ["<script", "http:", "https:", "src=", "@import", "<link", "javascript:", "onload"] {
        assert!(!page_1.contains(outside), "{outside}");
    }
    for there in [
        "Content-Security-Policy",
        "default-src 'none'",
        "lang=\"en\"",
        "<title>Wren, robin</title>",
        "What was done differently",
        "front about ",
        "Round 1: 2 of 9 areas grey, 1 of them much",
        "crack at an edge, along the grain, growing",
        "None of it is a verdict.",
    ] {
        assert!(page_1.contains(there), "no {there}");
    }
    // A text for each picture.
    assert_eq!(page_1.matches("role=\"img\"").count(), page_1.matches("<figcaption").count());
    assert!(!page_1.contains("aria-label=\"\""));
    assert_eq!(page_1.matches("<th").count(), page_1.matches("scope=").count() + page_1.matches("<thead").count());
}

#[test]
fn what_was_done_becomes_a_recipe_that_reads_back() {
    let (story, _) = made("Wren \"the\" first", 12.0);
    let recipe = recipe_from_story(&story);
    assert_eq!((recipe.name.as_str(), recipe.coats.front, recipe.coats.wait_min), ("gypsum-zinc-like-wren", 6, 12.0));
    let reading = parse_recipe(&recipe.to_toml());
    assert_eq!((reading.diagnostics, reading.recipe), (vec![], Some(recipe)));
}

#[test]
fn a_panel_hardly_begun_becomes_its_own_recipe() {
    let story = super::samples::opened("Wren", "whiting-tempera");
    let recipe = recipe_from_story(&story);
    assert!(parse_recipe(&recipe.to_toml()).diagnostics.is_empty());
    let own = story.panel().recipe();
    assert_eq!(
        (&recipe.coats, &recipe.size, &recipe.scrape, &recipe.seal),
        (&own.coats, &own.size, &own.scrape, &own.seal)
    );
    assert!(matches!(
        crate::craft::recipe::schema::COATS.find_key("front").unwrap().value_type,
        ValueType::Integer { .. }
    ));
}

/// The published schemas are those of the shapes, and what is written keeps to them.
#[test]
fn json_keeps_to_its_published_schema() {
    let (story, end) = made(HOSTILE, 12.0);
    let story = look(&story, seen(&["edge:2:along"]), end + DAY);
    let c = compare_panels(
        vec![facts_of(&story), row("robin", &["p2"], 15.0, &[])],
        GroupBy::Pot,
        vec![UnreadableStory { path: "x".into(), message: "y".into(), is_damaged: true }],
    );
    let exported = ExportedJson::from_story(&story, &facts_of(&story), &clock, &|e| event_members(e));
    let check = |name: &str, schema: schemars::Schema, written: serde_json::Value| {
        let path = format!("{}/assets/schema/{name}.json", env!("CARGO_MANIFEST_DIR"));
        let made = serde_json::to_string_pretty(&schema).unwrap() + "\n";
        if std::env::var_os("SOTTILE_BLESS").is_some() {
            std::fs::write(&path, &made).unwrap();
        }
        assert_eq!(std::fs::read_to_string(&path).unwrap(), made, "{name}: run with SOTTILE_BLESS=1 to write it anew");
        assert!(made.contains("https://json-schema.org/draft/2020-12/schema"));
        let validator = jsonschema::draft202012::new(&serde_json::from_str(&made).unwrap()).unwrap();
        let wrong: Vec<String> = validator.iter_errors(&written).map(|e| e.to_string()).collect();
        assert!(wrong.is_empty(), "{name}: {wrong:?}");
        assert!(!validator.is_valid(&serde_json::json!({"format": "1"})));
    };
    check(
        "compare",
        schemars::schema_for!(CompareJson),
        serde_json::to_value(CompareJson::from_comparison(&c, &clock)).unwrap(),
    );
    check(
        "export",
        schemars::schema_for!(ExportJson),
        serde_json::to_value(ExportJson::new(vec![exported], &c.unreadable_stories)).unwrap(),
    );
}

/// An export in pieces is the export.
#[test]
fn an_export_in_pieces_is_the_same_to_the_byte() {
    let (story, end) = made(HOSTILE, 12.0);
    let story =
        look(&record(&story, &PanelAct::Note("two\nlines, \"quoted\"".into()), end + 1.0), seen(&[]), end + DAY);
    let exported = || ExportedJson::from_story(&story, &facts_of(&story), &clock, &|e| event_members(e));
    let out = UnreadableStory { path: "x".into(), message: "y\n".into(), is_damaged: true };
    for (panels, left_out) in [(0, vec![]), (0, vec![out.clone()]), (1, vec![]), (3, vec![out.clone(), out])] {
        let pieces: Vec<String> = (0..panels).map(|_| exported().to_json_piece().unwrap()).collect();
        let pieces = export::export_head() + &pieces.join(",") + &export::export_foot(panels == 0, &left_out).unwrap();
        let whole = ExportJson::new((0..panels).map(|_| exported()).collect(), &left_out);
        assert_eq!(pieces, serde_json::to_string_pretty(&whole).unwrap() + "\n");
    }
}

/// The names scripts rely on.
#[test]
fn every_promised_name_is_there() {
    let c = two_sides(&[("p1", 8.0)], &[("p1", 16.0)]);
    let json = serde_json::to_value(CompareJson::from_comparison(&c, &clock)).unwrap();
    let names = |value: &serde_json::Value| value.as_object().unwrap().keys().cloned().collect::<Vec<_>>();
    let check = |value: &serde_json::Value, promised: &str| {
        let has = names(value);
        for name in promised.split_whitespace() {
            assert!(has.iter().any(|h| h == name), "no {name} among {has:?}");
        }
    };
    check(&json, "format panels groups of answer units draws p_error strata differs left_out");
    check(
        &json["panels"][0],
        "id label recipe pots support opened_at coats_front coats_back wait_median_min wait_min_min wait_max_min \
         dull_median_min early_coats late_coats long_gaps melts pot_max_c water_lost_pct glue_per_100g_filler_g pvc_pct \
         air_temp_mean_c air_rh_min_pct air_rh_max_pct scrape_rounds check_rounds hands_on_min elapsed_h outcome",
    );
    check(&json["panels"][0]["outcome"], "inspected age_days cracks pinholes bow_mm sound");
    check(&json["groups"][0], "key value panels pots sound cracked not_inspected");
    check(
        &json["differs"][0],
        "field unit a b units_a units_b effect low high p_value p_family p_least exact with message",
    );
}
