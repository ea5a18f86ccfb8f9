//! How often a planted cause is named, and how often one where none was planted; beside it what an independent reckoning of
//! the same family, units and shuffles (`tests/reference/causes.py`, by Python's own means) names on the same shelves. Then how
//! long sixty panels take.
//!
//! `cargo bench --bench causes`; `SOTTILE_SHELVES=20` for fewer than 100 of each cause and 200 without one,
//! `SOTTILE_DRAWS` for fewer orders.
//!
//! Measured with 2,000 orders a shelf, of 100 shelves with the cause planted, here and elsewhere: strength 79 and 80, lot 81
//! and 80, heat 81 and 81, dry air 58 and 55, thin board 87 and 89, long gap 89 and 91, cure 54 and 54; of 200 without a
//! cause 14 and 13 were named one. Sixty panels with 20,000 orders of 27 columns: 0.04 s on two cores, release build.

#![allow(clippy::unwrap_used, missing_docs, reason = "a bench may fail by panicking, and is no library")]

use rayon::prelude::*;
use serde_json::{Value, json};
use sottile::comparison::{Comparison, PanelRow};
use sottile::inside::{
    AnswerKind, AskedFault, BulkDensities, CrackCause, DRAWS, DemoOptions, GroupBy, Moment, Shelf, Stamp, StoryReader,
    compare_panels_asking, write_demo,
};
use std::io::Write;
use std::process::{Command, Stdio};
use std::time::Instant;

/// The columns of the told family, as this bench knows them, and what changes places.
const FAMILY: [(&str, &str); 12] = [
    ("support", "panel"),
    ("thickness_mm", "panel"),
    ("early_coats", "panel"),
    ("long_gaps", "panel"),
    ("cure_h", "panel"),
    ("dry_h", "panel"),
    ("glue_lot", "lot"),
    ("pot_age_h", "pot"),
    ("pot_max_c", "pot"),
    ("water_lost_pct", "pot"),
    ("glue_per_100g_filler_g", "pot"),
    ("air_rh_min_pct", "day"),
];

fn value(row: &PanelRow, name: &str) -> Value {
    match name {
        "support" => json!(row.story.support.name()),
        "thickness_mm" => json!(row.story.size_mm.2),
        "early_coats" => json!(row.story.early_coats),
        "long_gaps" => json!(row.story.long_gaps),
        "cure_h" => json!(row.story.cure_h),
        "dry_h" => json!(row.story.dry_h),
        "glue_lot" => json!(row.pots.glue_lot),
        "pot_age_h" => json!(row.pots.age_h),
        "pot_max_c" => json!(row.pots.max_c),
        "water_lost_pct" => json!(row.pots.water_lost_pct),
        "glue_per_100g_filler_g" => json!(row.pots.glue_per_100g_filler_g),
        "air_rh_min_pct" => json!(row.air.rh_min_pct),
        other => unreachable!("{other} is of the family"),
    }
}

fn column_of(cause: CrackCause) -> &'static str {
    match cause {
        CrackCause::Strength => "glue_per_100g_filler_g",
        CrackCause::Lot => "glue_lot",
        CrackCause::Heat | CrackCause::Overheated => "pot_max_c",
        CrackCause::DryAir => "air_rh_min_pct",
        CrackCause::ThinBoard => "thickness_mm",
        CrackCause::LongGap => "long_gaps",
        CrackCause::Cure => "cure_h",
        CrackCause::None => "",
    }
}

fn read_rows(seed: u64, cause: CrackCause, panels: u16) -> Vec<PanelRow> {
    let dir = tempfile::tempdir().unwrap();
    write_demo(dir.path(), &DemoOptions { panels, seed, cause, force: false, trial: false }).unwrap();
    let shelf = Shelf::open(dir.path());
    let now = Moment::from_wall(Stamp::from_ms(1_900_000_000_000));
    let bulk = BulkDensities::TABLE;
    let reader = StoryReader { shelf: &shelf, bulk: &bulk, now, on_story_read: &|| {} };
    reader.read_rows(&shelf.panel_ids().unwrap(), true).unwrap().rows
}

fn number_from(variable: &str, otherwise: usize) -> usize {
    std::env::var(variable).ok().and_then(|n| n.parse().ok()).unwrap_or(otherwise)
}

fn compare(rows: Vec<PanelRow>, draws: usize) -> Comparison {
    compare_panels_asking(rows, GroupBy::Outcome, Vec::new(), AskedFault::Cracks, draws)
}

fn named(told: &Comparison) -> Vec<&'static str> {
    let answer = &told.asked.as_ref().unwrap().answer;
    match answer.kind {
        AnswerKind::One | AnswerKind::Together => answer.fields.clone(),
        AnswerKind::Hint | AnswerKind::Nothing | AnswerKind::Cannot => Vec::new(),
    }
}

/// A shelf as the other reckoning reads it.
fn to_line(seed: u64, rows: &[PanelRow]) -> String {
    let fields: Vec<Value> = FAMILY.iter().map(|(name, unit)| json!({"name": name, "unit": unit})).collect();
    let panel = |row: &PanelRow| {
        let values: serde_json::Map<String, Value> =
            FAMILY.iter().map(|(name, _)| ((*name).to_owned(), value(row, name))).collect();
        let looks: Vec<Value> = row.story.outcome.verdicts.iter().map(|v| json!([v.age_days, v.cracked])).collect();
        let began = row.story.coating_period.unwrap().0.ms() as f64 / 3_600_000.0;
        json!({"pot": row.story.front_pot.as_ref().unwrap().as_str(), "began_h": began, "looks": looks, "values": values})
    };
    json!({"seed": seed, "fields": fields, "panels": rows.iter().map(panel).collect::<Vec<_>>()}).to_string()
}

/// What the other reckoning names on each shelf; nothing where there is no Python.
fn name_elsewhere(lines: &[String]) -> Option<Vec<Vec<String>>> {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/reference/causes.py");
    let run = |some: &[String]| {
        let mut python =
            Command::new("python3").args([script, "1000"]).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().ok()?;
        let mut to = python.stdin.take().unwrap();
        let text = some.join("\n") + "\n";
        let writer = std::thread::spawn(move || to.write_all(text.as_bytes()));
        let out = python.wait_with_output().ok().filter(|out| out.status.success())?;
        writer.join().unwrap().unwrap();
        let said = String::from_utf8(out.stdout).unwrap();
        let fields = |line: &str| line.split(',').filter(|f| !f.is_empty()).map(str::to_owned).collect();
        Some(said.lines().map(fields).collect::<Vec<Vec<String>>>())
    };
    let halves: Vec<&[String]> = lines.chunks(lines.len().div_ceil(2).max(1)).collect();
    let said: Vec<Option<_>> = halves.par_iter().map(|half| run(half)).collect();
    Some(said.into_iter().collect::<Option<Vec<_>>>()?.concat())
}

fn main() {
    let each = number_from("SOTTILE_SHELVES", 100) as u64;
    let draws = number_from("SOTTILE_DRAWS", DRAWS);
    println!(
        "{:<12} {:>8} {:>12} {:>10}   first sentence of the first shelf",
        "cause", "shelves", "named right", "elsewhere"
    );
    for cause in CrackCause::ALL.into_iter().filter(|c| c.is_planted()) {
        let shelves = if cause == CrackCause::None { 2 * each } else { each };
        let read: Vec<(u64, Vec<PanelRow>)> =
            (1..=shelves).into_par_iter().map(|seed| (seed, read_rows(seed, cause, 24))).collect();
        let told: Vec<Comparison> = read.par_iter().map(|(_, rows)| compare(rows.clone(), draws)).collect();
        let lines: Vec<String> = read.iter().map(|(seed, rows)| to_line(*seed, rows)).collect();
        let column = column_of(cause);
        let is_right = |fields: &[&str]| if column.is_empty() { !fields.is_empty() } else { fields.contains(&column) };
        let right = told.iter().filter(|c| is_right(&named(c))).count();
        let elsewhere = name_elsewhere(&lines).map_or_else(
            || "no python3".to_owned(),
            |of| {
                let right = of.iter().filter(|fields| is_right(&fields.iter().map(String::as_str).collect::<Vec<_>>()));
                right.count().to_string()
            },
        );
        println!(
            "{:<12} {shelves:>8} {right:>12} {elsewhere:>10}   {}",
            cause.name(),
            told[0].asked.as_ref().unwrap().answer.message
        );
    }
    let rows = read_rows(1, CrackCause::Strength, 60);
    let begun = Instant::now();
    let told = compare(rows, DRAWS);
    let asked = told.asked.unwrap();
    println!(
        "60 panels, {} orders, {} columns: {:.2} s",
        asked.draws,
        told.differences.len(),
        begun.elapsed().as_secs_f64()
    );
}
