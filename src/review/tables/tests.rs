//! The tables of a story, to the letter.

use super::*;
use crate::craft::materials::fillers::BulkDensities;
use crate::review::csv::FormulaGuard;
use crate::review::samples::{HOSTILE, at, look, made, pot, row, seen};
use crate::units::{Humidity, Span, Temperature};
use crate::work::air::{Air, AirReading};
use crate::work::panel::inspection::Inspection;
use crate::work::pot::lineage::PotLineage;
use crate::work::pot::usage::PotUsage;
use std::collections::BTreeSet;

const DAY: f64 = 24.0 * 60.0;

fn write(table: TidyTable, rows: &[Vec<Cell>], form: TableForm) -> String {
    let mut writer = TableWriter::new(&table.columns(), form);
    let body = writer.rows(rows);
    writer.head() + &body + &writer.foot()
}

/// A row of every table, of a story whose words are hostile.
fn sample_rows() -> Vec<(TidyTable, Vec<Vec<Cell>>)> {
    let (story, end) = made(HOSTILE, 12.0);
    let photo = Some("a.jpg".to_owned());
    let first = Inspection { drop_s: Some([40.0, 45.25, 38.0]), note: Some("=1+1".into()), ..seen(&["edge:2:along"]) };
    let story = look(&story, first, end + DAY);
    let second = Inspection {
        photo,
        photo_sha256: Some("0f".repeat(32)),
        sound: false,
        no_mould: true,
        ..Inspection::default()
    };
    let story = look(&story, second, end + 7.0 * DAY);
    let begin = at(0.0).wall;
    let pots = [pot("pot-1", begin, 60.0, &[(begin + Span::from_min(3.0), 63.0)])];
    let usage = PotUsage::new(PotLineage::new(&pots), [], &BulkDensities::TABLE);
    let reading = AirReading::new(at(0.0).wall, Temperature::from_c(19.1 + 0.2), Humidity::from_pct(44.0)).unwrap();
    let air = Air::from_readings([reading]);
    vec![
        (TidyTable::Panels, vec![panel_cells(&row("wren", &["pot-1"], 0.1 + 0.2, &[(28.0, true)]))]),
        (TidyTable::Coats, coat_rows(&story, &usage, &air)),
        (TidyTable::Looks, look_rows(&story)),
        (TidyTable::Pots, vec![pot_row(&pots[0], &usage)]),
        (TidyTable::PotFacts, pot_fact_rows(&pots[0])),
        (TidyTable::Air, air.readings().iter().map(air_row).collect()),
    ]
}

#[test]
fn every_table_is_written_as_it_was() {
    for (table, rows) in sample_rows() {
        let csv = write(table, &rows, TableForm::Csv(FormulaGuard::Defuse));
        insta::assert_snapshot!(format!("{}_csv", table.name()), csv.replace("\r\n", "\n"));
        assert!(!rows.is_empty(), "{}", table.name());
        // Twelve places or more are no figure of this trade.
        assert!(!csv.split([',', '\n']).any(|cell| cell.len() > 12 && cell.parse::<f64>().is_ok()), "dust: {csv}");
    }
}

/// The published shape is that of the columns, and what is written keeps to it.
#[test]
fn json_keeps_to_its_published_schema() {
    let property = |c: &ColumnMeaning| {
        let kind = match c.type_name {
            "time" => serde_json::json!({"type": ["string", "null"], "format": "date-time"}),
            "text" => serde_json::json!({"type": ["string", "null"]}),
            other => serde_json::json!({"type": [other, "null"]}),
        };
        let mut kind = kind.as_object().unwrap().clone();
        kind.insert("description".into(), c.meaning.clone().into());
        (c.name.to_owned(), serde_json::Value::Object(kind))
    };
    let table = |table: TidyTable| {
        let columns = table.columns();
        let names: Vec<&str> = columns.iter().map(|c| c.name).collect();
        let properties: serde_json::Map<_, _> = columns.iter().map(property).collect();
        let row = serde_json::json!({"type": "object", "properties": properties, "required": names});
        (table.name().to_owned(), serde_json::json!({"type": "array", "items": row}))
    };
    let tables: serde_json::Map<_, _> = TidyTable::ALL.into_iter().map(table).collect();
    let schema = serde_json::json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "tables",
        "description": "What `export --table NAME --as json` writes, under the name of the table.",
        "$defs": tables,
    });
    let made = serde_json::to_string_pretty(&schema).unwrap() + "\n";
    let path = format!("{}/assets/schema/tables.json", env!("CARGO_MANIFEST_DIR"));
    if std::env::var_os("SOTTILE_BLESS").is_some() {
        std::fs::write(&path, &made).unwrap();
    }
    assert_eq!(std::fs::read_to_string(&path).unwrap(), made, "run with SOTTILE_BLESS=1 to write it anew");
    for (table, rows) in sample_rows() {
        let written: serde_json::Value = serde_json::from_str(&write(table, &rows, TableForm::Json)).unwrap();
        let mut schema = schema.clone();
        schema["$ref"] = format!("#/$defs/{}", table.name()).into();
        let validator = jsonschema::draft202012::new(&schema).unwrap();
        let wrong: Vec<String> = validator.iter_errors(&written).map(|e| e.to_string()).collect();
        assert!(wrong.is_empty(), "{}: {wrong:?}", table.name());
        assert!(!validator.is_valid(&serde_json::json!([{"panel": 1}])));
        assert_eq!(written.as_array().unwrap().len(), rows.len());
    }
}

#[test]
fn every_column_is_told_of_and_joins_one_that_is_there() {
    let keys: BTreeSet<String> = TidyTable::ALL
        .into_iter()
        .flat_map(|table| table.columns().into_iter().map(move |c| format!("{}.{}", table.name(), c.name)))
        .collect();
    for table in TidyTable::ALL {
        let columns = table.columns();
        let names: BTreeSet<&str> = columns.iter().map(|c| c.name).collect();
        assert_eq!(names.len(), columns.len(), "{}: a name comes twice", table.name());
        for c in columns {
            assert!(c.meaning.len() > 3, "{}.{}", table.name(), c.name);
            assert!(c.joins.is_empty() || keys.contains(c.joins), "{}.{} joins {}", table.name(), c.name, c.joins);
            assert!(c.type_name != "number" || !c.unit.is_empty(), "{}.{} has no unit", table.name(), c.name);
            assert!(
                c.type_name != "time" || c.name.ends_with("_at"),
                "{}.{}: pandas knows no time by it",
                table.name(),
                c.name
            );
        }
    }
    let told: Vec<_> = TidyTable::ALL.into_iter().map(|t| (t.name(), t.columns())).collect();
    let csv = format_column_meanings(&told, TableForm::Csv(FormulaGuard::Defuse));
    assert!(csv.contains("coats,pot,text,,pots.id,the pot it came from\r\n"), "{csv}");
}

#[test]
fn an_empty_table_is_one_all_the_same() {
    assert_eq!(write(TidyTable::Air, &[], TableForm::Json), "[\n]\n");
    assert_eq!(write(TidyTable::Air, &[], TableForm::Csv(FormulaGuard::Raw)), "read_at,temp_c,rh_pct\r\n");
}

#[test]
fn a_formula_is_defused_in_a_table_and_a_figure_is_not() {
    let rows = [vec![Cell::Figure(-0.000_01), Cell::Text("-1".into()), Cell::Figure(f64::NAN)]];
    let csv = |guard| write(TidyTable::Air, &rows, TableForm::Csv(guard)).lines().nth(1).unwrap().to_owned();
    assert_eq!((csv(FormulaGuard::Defuse), csv(FormulaGuard::Raw)), ("0,'-1,".to_owned(), "0,-1,".to_owned()));
}
