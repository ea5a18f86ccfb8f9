//! Every column stands where the list says it does, and what is told of a panel elsewhere is a column.

use super::super::GroupBy;
use super::super::column::{Column, ComparedAs, JsonObject, Read};
use super::super::compare::compare_panels;
use super::super::comparison_text::format_comparison;
use super::super::csv::header;
use super::super::html::{ReportSurroundings, comparison_page};
use super::super::json::CompareJson;
use super::super::outcome::Outcome;
use super::super::panel_row::PanelRow;
use super::super::pots_and_air::AirSummary;
use super::super::samples::row;
use super::{COLUMNS, work_columns};
use crate::craft::materials::Support;
use crate::craft::recipe::{Paint, SealMaterial};
use crate::work::pot::water::StrengthSource;
use std::collections::BTreeSet;

/// A row of which everything is known: each count and figure is `n`, and what can be yes is so above 0.
fn known_row(name: &str, n: u32, recipe: &str, words: (Support, Paint, SealMaterial)) -> PanelRow {
    let figure = Some(f64::from(n));
    let mut f = row(name, &[&format!("pot-{n}")], f64::from(n), &[]);
    f.story.recipe = recipe.to_owned();
    (f.story.support, f.story.paint, f.story.sealed) = words;
    f.story.size_mm = (f64::from(n), f64::from(n), figure);
    (f.story.given_up, f.story.cloth) = ((n > 0).then(|| "split".to_owned()), n > 0);
    (f.story.size_coats, f.story.stipples, f.story.coats_front, f.story.coats_back) = ((n, n), n, n, n);
    (f.story.early_coats, f.story.late_coats, f.story.long_gaps, f.story.same_direction) = (n, n, n, n);
    (f.story.skipped_acts, f.story.repeated_acts, f.story.scrape_rounds, f.story.check_rounds) = (n, n, n, n);
    (f.story.dull_median_min, f.story.hands_on_min, f.story.elapsed_h) = (figure, figure, figure);
    (f.pots.melts, f.pots.max_c, f.pots.water_lost_pct) = (Some(n), figure, figure);
    (f.pots.glue_per_100g_filler_g, f.pots.pvc_pct) = (figure, figure);
    f.pots.strength_source = Some(StrengthSource::Weighed);
    f.air = AirSummary { temp_mean_c: figure, rh_min_pct: figure, rh_max_pct: figure, cure_rh_mean_pct: figure };
    let (age_days, bow_mm) = (figure, figure);
    f.story.outcome = Outcome { inspected: true, age_days, pinholes: Some(n), bow_mm, ..Outcome::default() };
    f.story.outcome.test_means = [figure; 9];
    f
}

#[test]
fn every_column_stands_where_it_says_it_does() {
    let rows = vec![
        known_row("wren", 0, "gypsum-zinc", (Support::Lime, Paint::Oil, SealMaterial::Glue)),
        known_row("robin", 9, "whiting-tempera", (Support::Mdf, Paint::Tempera, SealMaterial::None)),
    ];
    let c = compare_panels(rows, GroupBy::Recipe, Vec::new());
    let clock = |_| "then".to_owned();
    let told = format_comparison(&c);
    let table_head = told.lines().find(|line| line.starts_with("panel ")).unwrap();
    let page = comparison_page(&c, &[], &ReportSurroundings::default(), &clock);
    let side_by_side = page.split("Side by side").nth(1).unwrap();
    let json = serde_json::to_value(CompareJson::from_comparison(&c, &clock)).unwrap();
    let compared: Vec<&str> = c.differences.iter().map(|d| d.field).collect();
    for column in COLUMNS {
        let name = column.name;
        assert_eq!(header().contains(&name), column.in_csv, "{name} in the CSV");
        let members = |value: &serde_json::Value| value.get(name).is_some();
        let panel = &json["panels"][0];
        assert_eq!(members(panel), column.json == Some(JsonObject::Panel), "{name} in the JSON");
        assert_eq!(members(&panel["outcome"]), column.json == Some(JsonObject::Outcome), "{name} in the outcome");
        if let Some(heading) = column.table_heading {
            assert!(table_head.split("  ").any(|cell| cell.trim() == heading), "{name} in {table_head}");
        }
        if let Some(heading) = column.page_heading {
            assert!(side_by_side.contains(&format!("<th scope=\"col\">{heading}</th>")), "{name} on the page");
        }
        let one_figure = column.compared.is_some_and(|compared| compared.as_what != ComparedAs::ResultAtEqualAge);
        assert_eq!(compared.contains(&name), one_figure, "{name} among {compared:?}");
        if let Some(work) = column.work {
            let begins = format!("{}: ", work.name);
            assert!(c.work_differences.iter().any(|text| text.starts_with(&begins)), "{name} in words");
        }
    }
}

/// What is told of a panel beside its columns: a list of things to look at, and the object of its outcome.
const NO_COLUMNS: [&str; 2] = ["look_at", "outcome"];

#[test]
fn every_json_member_of_a_panel_is_a_column() {
    let schema: serde_json::Value = serde_json::from_str(include_str!("../../assets/schema/compare.json")).unwrap();
    for (object, place) in [("PanelJson", JsonObject::Panel), ("OutcomeJson", JsonObject::Outcome)] {
        let members = schema["$defs"][object]["properties"].as_object().unwrap().keys().map(String::as_str);
        let members: BTreeSet<&str> = members.filter(|name| !NO_COLUMNS.contains(name)).collect();
        let columns: BTreeSet<&str> = COLUMNS.iter().filter(|c| c.json == Some(place)).map(|c| c.name).collect();
        assert_eq!(members, columns, "{object}");
    }
}

/// Members of a row that no column shows: what other rows are worked out from, and what is told in other ways.
const NOT_SHOWN: &str = "bow_pct lift_mm mould_days rub coating_period overheated faults recipe_ground \
    front_pot size_pot is_filler_weighed trial";

/// The list is read as text, since nothing else knows the members of a row by their names.
#[test]
fn every_member_of_a_row_is_shown_by_a_column_or_known_to_be_in_none() {
    let source = [include_str!("columns.rs"), include_str!("row_text.rs")].concat();
    let is_read = |member: &str| {
        let ends = |rest: &str| !rest.starts_with(|c: char| c.is_ascii_alphanumeric() || c == '_');
        source.split(&format!(".{member}")).skip(1).any(ends)
    };
    let printed = format!("{:#?}", row("wren", &["p1"], 1.0, &[(28.0, true)]));
    let mut members: BTreeSet<&str> =
        printed.lines().filter_map(|line| Some(line.trim().split_once(": ")?.0)).collect();
    assert!(members.len() > 40, "{members:?}");
    for member in NOT_SHOWN.split_whitespace() {
        assert!(members.remove(member), "{member} is no member of a row any more");
        assert!(!is_read(member), "{member} has a column after all");
    }
    for member in members {
        assert!(is_read(member), "{member} has no column: give it a row in `columns.rs`, or name it in NOT_SHOWN");
    }
}

#[test]
fn a_column_has_a_name_and_a_rank_of_its_own_and_is_shown_somewhere() {
    let all_different = |of: Vec<String>| assert_eq!(of.iter().collect::<BTreeSet<_>>().len(), of.len(), "{of:?}");
    all_different(COLUMNS.iter().map(|c| c.name.to_owned()).collect());
    all_different(work_columns().iter().map(|(_, work)| work.rank.to_string()).collect());
    let is_shown = |c: &Column| c.in_csv || c.json.is_some() || c.table_heading.is_some() || c.page_heading.is_some();
    for column in COLUMNS {
        let is_asked = column.compared.is_some() || column.work.is_some() || column.cause.is_some();
        assert!(is_shown(column) || is_asked, "{}", column.name);
        if matches!(column.read, Read::Figure(_)) {
            let unit = column.name.rsplit('_').next().unwrap_or_default();
            assert!(
                ["min", "c", "pct", "g", "mm", "h", "days", "cm2", "m2", "l", "um", "brix", "s", "mean"]
                    .contains(&unit),
                "{} has no unit",
                column.name
            );
        }
    }
}
