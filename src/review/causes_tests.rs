//! What goes with a fault, asked of rows invented one by one.

use super::GroupBy;
use super::columns::cause_columns;
use super::compare::{AnswerKind, AskedFault, Comparison, compare_panels, compare_panels_asking};
use super::comparison_text::format_answer;
use super::panel_row::PanelRow;
use super::possible_causes::telling_causes;
use super::samples::row;
use super::seen_fault::SeenFault;
use crate::text::display_width;
use crate::units::{Id, Span, Stamp};
use std::collections::BTreeSet;

/// Panels, `per_pot` from each of some pots, looked at on day 28; `make` says of each, by its pot and its place in it, whether it
/// cracked, and changes what is recorded of it.
fn shelf(pots: usize, per_pot: usize, make: &dyn Fn(usize, usize, &mut PanelRow) -> bool) -> Vec<PanelRow> {
    let one = |i: usize| {
        let (pot, place) = (i / per_pot, i % per_pot);
        let mut made = row(&format!("wren{i}"), &[&format!("p{pot}")], 15.0, &[]);
        let begins = Stamp::from_ms(1_800_000_000_000) + Span::from_h(24.0 * pot as f64);
        made.story.coating_period = Some((begins, begins + Span::from_h(3.0)));
        made.story.size_pot = Id::new(&format!("s{}", pot / 6));
        let cracked = make(pot, place, &mut made);
        let looked = row(&made.story.label, &[], 15.0, &[(28.0, cracked)]);
        made.story.outcome = looked.story.outcome;
        made
    };
    (0..pots * per_pot).map(one).collect()
}

fn asked(rows: Vec<PanelRow>) -> Comparison {
    compare_panels(rows, GroupBy::Outcome, Vec::new())
}

fn answer(c: &Comparison) -> (AnswerKind, Vec<&'static str>, &str) {
    let answer = &c.asked.as_ref().unwrap().answer;
    (answer.kind, answer.fields.clone(), &answer.message)
}

fn p_of(c: &Comparison, field: &str) -> Option<f64> {
    c.differences.iter().find(|d| d.field == field)?.p_value
}

const STRONG: &str = "glue_per_100g_filler_g";

fn strengthen(pot: usize, made: &mut PanelRow) -> bool {
    let strong = pot.is_multiple_of(2);
    made.pots.glue_per_100g_filler_g = Some(if strong { 10.0 } else { 8.0 } + pot as f64 / 20.0);
    strong
}

/// One pot of size for six of gesso joins nothing: it is the gesso that is strong.
#[test]
fn a_shared_pot_of_size_hides_no_strong_glue() {
    let c = asked(shelf(12, 2, &|pot, _, made| strengthen(pot, made)));
    let (kind, fields, message) = answer(&c);
    assert_eq!((kind, fields), (AnswerKind::One, vec![STRONG]));
    for said in
        ["Cracked panels had stronger glue: ", "All 6 pots above 9.3 g cracked, none of the 6 below.", "of 100."]
    {
        assert!(message.contains(said), "{said} in {message}");
    }
    let asked = c.asked.as_ref().unwrap();
    assert_eq!((asked.size_pots, asked.gesso_pots, asked.panels), (2, 12, 24));
}

/// Ten pots of three panels, of which not every one cracks: over pots that is clear, with both sides' pots as units it was not.
#[test]
fn a_cause_in_the_pot_is_found_though_pots_have_panels_on_both_sides() {
    let c = asked(shelf(10, 3, &|pot, place, made| {
        strengthen(pot, made) && (place < 2 || pot == 4) || (pot, place) == (1, 0)
    }));
    assert!(p_of(&c, STRONG).unwrap() <= 0.02, "{:?}", p_of(&c, STRONG));
}

/// What is recorded of a panel may go with a fault; and the family that is told was fixed beforehand.
#[test]
fn every_recorded_fact_is_asked() {
    let names: BTreeSet<&str> = cause_columns().map(|(column, _)| column.name).collect();
    for name in "glue_lot thickness_mm area_cm2 edges_left_out cure_h dry_h rest_h same_direction skipped_acts \
        size_glue_g_per_l pot_age_h coat_ml_per_m2 recipe support seal paint cure_air_rh_pct air_rh_min_pct melts \
        done_again cloth grain"
        .split_whitespace()
    {
        assert!(names.contains(name), "{name}");
    }
    for name in ["label", "id", "pots", "cracks", "pinholes", "sound", "finished", "abandoned", "outcome_text"] {
        assert!(!names.contains(name), "{name}");
    }
    let told: Vec<&str> = cause_columns().filter(|(_, c)| c.told.is_some()).map(|(column, _)| column.name).collect();
    assert_eq!(told.len(), 12, "{told:?}");
    for (column, cause) in cause_columns() {
        for of in cause.by_product_of {
            assert!(names.contains(of), "{} comes of {of}, which is no column", column.name);
        }
    }
}

/// All looked over on one day, each at its own age: nothing is dropped, and the answer is that of looks on set days.
#[test]
fn looked_over_once_on_one_day_no_panel_is_dropped() {
    let mut rows = shelf(12, 2, &|pot, _, made| strengthen(pot, made));
    let set_days = p_of(&asked(rows.clone()), STRONG).unwrap();
    for (i, made) in rows.iter_mut().enumerate() {
        made.story.outcome.verdicts[0].age_days = 100.0 - 5.0 * (i / 2) as f64;
    }
    let c = asked(rows);
    assert_eq!(c.contrast.as_ref().unwrap().unknown_count, 0);
    assert_eq!(answer(&c).1, [STRONG]);
    assert!(p_of(&c, STRONG).unwrap() < set_days + 0.02);
}

/// Dry air lengthens the way from dull to the next coat; late coats are told under it and not before it.
#[test]
fn a_by_product_is_told_under_its_cause() {
    let c = asked(shelf(12, 2, &|pot, _, made| {
        let dry = pot.is_multiple_of(2);
        made.air.rh_min_pct = Some(if dry { 40.0 } else { 55.0 } + (pot % 5) as f64);
        made.story.late_coats = if dry { 9 } else { 2 };
        dry
    }));
    let (kind, fields, message) = answer(&c);
    assert_eq!((kind, fields), (AnswerKind::One, vec!["air_rh_min_pct"]), "{message}");
    for said in ["had drier air: ", "days below", "coats laid late too, 9 against 2", "not counted as a second cause"] {
        assert!(message.contains(said), "{said} in {message}");
    }
}

#[test]
fn what_goes_together_is_not_parted() {
    let c = asked(shelf(12, 2, &|pot, _, made| {
        let strong = strengthen(pot, made);
        let dry = strong != (pot == 11);
        made.air.rh_min_pct = Some(if dry { 40.0 } else { 55.0 } + (pot % 3) as f64);
        strong
    }));
    let (kind, fields, message) = answer(&c);
    assert_eq!((kind, fields), (AnswerKind::Together, vec![STRONG, "air_rh_min_pct"]), "{message}");
    assert!(
        message.starts_with("Stronger glue and drier air go with the cracks, and with each other: 6 of your 6 pots")
    );
    assert!(message.contains("The records cannot part them."), "{message}");
    let crossing = c.asked.as_ref().unwrap().answer.crossing.as_ref().unwrap();
    assert!(
        crossing.contains("with drier air alone 0 of 1 pot") && crossing.contains("with neither 0 of 5 pots"),
        "{crossing}"
    );
    let with =
        |field: &str| c.differences.iter().find(|d| d.field == field).unwrap().test.as_ref().unwrap().goes_with.clone();
    assert_eq!(with(STRONG), ["air_rh_min_pct"]);
}

/// Four cracked panels of one pot are one event; what that pot alone had is told, and where to look.
#[test]
fn one_pot_is_one_event() {
    let c = asked(shelf(8, 4, &|pot, _, made| {
        made.pots.max_c = Some(if pot == 3 { 64.0 } else { 48.0 + pot as f64 / 10.0 });
        made.pots.glue_lot = Some(if matches!(pot, 3 | 5) { "R-23" } else { "R-20" }.to_owned());
        pot == 3
    }));
    let (kind, fields, message) = answer(&c);
    assert_eq!((kind, fields.len()), (AnswerKind::Cannot, 0), "{message}");
    for said in [
        "All 4 cracked panels came from one pot: that is one event, not 4.",
        "Only its panels had a hotter pot (64 against at most 49 C).",
        "Look at the other 4 panels of that lot.",
    ] {
        assert!(message.contains(said), "{said} in {message}");
    }
}

/// Where even the clearest difference is not clear, that is said, with the least chance there can be.
#[test]
fn few_pots_cannot_say() {
    let c = asked(shelf(6, 1, &|pot, _, made| strengthen(pot, made)));
    let (kind, _, message) = answer(&c);
    assert_eq!(kind, AnswerKind::Cannot);
    assert!(message.contains("even the clearest difference turns up by chance on 10 shelves of 100"), "{message}");
    let one_pot = asked(shelf(1, 4, &|_, place, _| place < 2));
    assert_eq!(answer(&one_pot).0, AnswerKind::Cannot);
}

#[test]
fn nothing_cracked_or_nothing_seen_is_said() {
    let none = asked(shelf(4, 2, &|_, _, _| false));
    let (kind, _, message) = answer(&none);
    assert!(
        kind == AnswerKind::Nothing && message.starts_with("Nothing to explain: of 8 panels looked at, none cracked.")
    );
    let unseen = asked(vec![row("wren", &["p1"], 15.0, &[])]);
    assert!(answer(&unseen).2.starts_with("Cannot say. No panel has been looked at for cracks."));
}

/// Words are tested as figures are.
#[test]
fn a_lot_is_found_by_its_name() {
    let c = asked(shelf(12, 2, &|pot, _, made| {
        let bad = pot.is_multiple_of(2);
        made.pots.glue_lot = Some(if bad { "R-23" } else { "R-20" }.to_owned());
        bad
    }));
    let (kind, fields, message) = answer(&c);
    assert_eq!((kind, fields), (AnswerKind::One, vec!["glue_lot"]));
    assert!(
        message
            .contains("glue of lot R-23: 12 of 12, against 0 of 12. All 6 pots of it cracked, none of the 6 others."),
        "{message}"
    );
}

/// Thickness differs within pots: boards change places within their pot; equal within pots, pots do.
#[test]
fn a_column_goes_over_pots_where_pots_are_alike_in_it() {
    let unit = |make: &dyn Fn(usize, usize) -> f64| {
        let c = asked(shelf(12, 2, &|pot, place, made| {
            made.story.size_mm.2 = Some(make(pot, place));
            pot % 3 == 0
        }));
        c.differences.iter().find(|d| d.field == "thickness_mm").unwrap().test.as_ref().unwrap().unit.name()
    };
    assert_eq!(unit(&|_, place| if place == 0 { 6.0 } else { 12.0 }), "panel");
    assert_eq!(unit(&|pot, _| if pot < 6 { 6.0 } else { 12.0 }), "gesso_pot");
}

/// Panels without a pot, laid on one day, are one pot; that is said.
#[test]
fn panels_without_a_pot_are_of_the_pot_of_their_day() {
    let mut rows = shelf(6, 2, &|pot, _, made| strengthen(pot, made));
    for made in &mut rows {
        made.story.front_pot = None;
    }
    let c = asked(rows);
    let asked = c.asked.as_ref().unwrap();
    assert_eq!((asked.gesso_pots, asked.assumed_pots), (6, 6));
    assert!(c.remarks.iter().any(|r| r.contains("without a recorded pot")), "{:?}", c.remarks);
}

/// What is measured is asked by its ranks.
#[test]
fn any_fault_is_a_question() {
    let mut rows = shelf(12, 2, &|pot, _, made| strengthen(pot, made));
    for (i, made) in rows.iter_mut().enumerate() {
        let strong = made.pots.glue_per_100g_filler_g.unwrap() > 9.0;
        let much = if strong { 0.6 } else { 0.1 } + i as f64 / 1000.0;
        let seen = &mut made.story.outcome;
        (seen.bow_pct, seen.pinholes, seen.rub) =
            (Some(much), Some((much * 100.0) as u32), Some(if strong { 3 } else { 0 }));
        seen.lift_mm = strong.then_some(0.4);
        seen.mould_days = Some(if strong { (1.0, 7.0) } else { (28.0, f64::INFINITY) });
        seen.sound = Some(!strong);
    }
    for fault in AskedFault::ALL {
        let c = compare_panels_asking(rows.clone(), GroupBy::Outcome, Vec::new(), fault, 2_000);
        let (kind, fields, message) = answer(&c);
        assert_eq!((kind, fields), (AnswerKind::One, vec![STRONG]), "{}: {message}", fault.name());
        assert!(message.starts_with(fault.words().subject), "{message}");
        let test = c.differences[0].test.as_ref().unwrap();
        assert!(test.low < test.effect && test.effect < test.high && test.low > Some(0.0), "{test:?}");
    }
}

/// No line of the answer is wider than a terminal, no word is broken, and no p stands in it.
#[test]
fn the_answer_fits_a_terminal() {
    let lot = "hide glue of a maker with a very long name, lot R-23, opened in spring";
    let c = asked(shelf(12, 2, &|pot, place, made| {
        made.pots.glue_lot = Some(if pot % 3 == 0 { lot } else { "R-20" }.to_owned());
        made.story.size_mm.2 = Some(if place == 0 { 6.0 } else { 12.0 });
        made.air.rh_min_pct = Some(40.0 + (pot % 5) as f64);
        strengthen(pot, made)
    }));
    let told = format_answer(&c);
    for line in told.lines() {
        assert!(display_width(line) <= 80, "{line}");
        assert!(!line.contains(" p ") && !line.contains("p ="), "{line}");
    }
    assert!(told.lines().filter(|line| line.contains(" pots") && line.contains("  ")).count() <= 10);
    assert!(told.contains("glue to 100 g of filler, g"), "{told}");
}

/// What sound panels have as often is no thing to look at; what all have is marked.
#[test]
fn to_look_at_is_what_sets_cracked_panels_apart() {
    let rows = shelf(6, 2, &|pot, _, made| {
        made.story.faults = if pot < 3 { vec![SeenFault::Cracks, SeenFault::CracksAlongGrain] } else { Vec::new() };
        made.pots.overheated = pot < 3;
        made.air.rh_min_pct = Some(if pot % 2 == 0 { 30.0 } else { 50.0 });
        made.story.coats_back = u32::from(pot == 1) * 6;
        pot < 3
    });
    let told = telling_causes(&rows);
    let words: BTreeSet<(String, bool)> = told
        .iter()
        .flat_map(|(row, causes)| causes.iter().map(|(c, all)| (c.risk_factor.describe(row), *all)))
        .collect();
    let has = |text: &str, all: bool| words.iter().any(|(w, a)| w.contains(text) && *a == all);
    assert!(has("plywood without linen", true) && has("pot was read at", false), "{words:?}");
    assert!(!words.iter().any(|(w, _)| w.contains("gesso on the front only")), "{words:?}");
}
