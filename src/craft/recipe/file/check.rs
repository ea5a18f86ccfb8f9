//! A parsed file held against the key table. What is sound is gathered in the recipe's JSON form with every default
//! in its place; what is not goes to the finds.
//!
//! Absent on purpose: what each key may hold (`keys`).

use super::finds::{Finds, nearest, quoted};
use super::values::{Plain, Spans, entry, one_value, path, wanted, wrong_kind};
use super::{fillers, orders};
use crate::craft::recipe::keys::{self, Absent, Key, Need, Shape, TABLES, TOP, Table};
use serde_json::{Map, Value};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Where things that are not there are told: the top of the file.
const TOP_OF_FILE: Range<usize> = 0..0;

/// Checks a whole file; what is sound comes back in JSON form.
pub(super) fn document(root: &DeTable<'_>, finds: &mut Finds<'_>) -> Value {
    let mut spans = Spans::new();
    let mut plain = keys_of(&TOP, root, &TOP_OF_FILE, finds, &mut spans);
    for table in TABLES {
        match entry(root, table.name) {
            Some(value) => {
                if let Some(inside) = one_table(table, value, finds, &mut spans) {
                    plain.insert(table.name.to_owned(), Value::Object(inside));
                }
            }
            None => absent(table, finds),
        }
    }
    // `[sand]` without a grade means no sanding.
    if plain.get("sand").and_then(Value::as_object).is_some_and(Map::is_empty) {
        plain.remove("sand");
    }
    orders::hold(&plain, &spans, finds);
    Value::Object(plain)
}

fn absent(table: &Table, finds: &mut Finds<'_>) {
    match table.absent {
        Absent::Missing => {
            let said = format!("The table [{}] is missing: {}.", table.name, table.note);
            finds.missing(&TOP_OF_FILE, table.name, table.name, said);
        }
        Absent::NoStage | Absent::Usual => {}
    }
}

fn one_table(
    table: &'static Table,
    value: &Spanned<DeValue<'_>>,
    finds: &mut Finds<'_>,
    spans: &mut Spans,
) -> Option<Plain> {
    match value.get_ref() {
        DeValue::Table(inside) => Some(keys_of(table, inside, &value.span(), finds, spans)),
        other => {
            wrong_kind(table.name, &value.span(), other, &format!("a table (written [{}])", table.name), finds);
            None
        }
    }
}

/// Checks the keys of one table: unknown ones, missing ones, and what each holds.
fn keys_of(
    table: &'static Table,
    values: &DeTable<'_>,
    header: &Range<usize>,
    finds: &mut Finds<'_>,
    spans: &mut Spans,
) -> Plain {
    let mut plain = Plain::new();
    for (name, value) in values {
        let top_table = table.name.is_empty() && keys::table(name.get_ref()).is_some();
        match table.key(name.get_ref()) {
            Some(key) => {
                spans.insert((table.name, key.name), value.span());
                let path = path(table, key.name);
                let sound = match (key.shape, value.get_ref()) {
                    (Shape::Fillers, DeValue::Array(_)) => fillers::list(&path, value, finds),
                    _ => one_value(key, &path, value, finds),
                };
                if let Some(sound) = sound {
                    plain.insert(key.name.to_owned(), sound);
                }
            }
            None if top_table => {}
            None => unknown(table, name.get_ref(), &name.span(), value.get_ref().is_table(), finds),
        }
    }
    for key in table.keys.iter().filter(|key| entry(values, key.name).is_none()) {
        match key.need {
            Need::Required => missing(table, key, header, &path(table, key.name), finds),
            Need::Usual => {
                plain.insert(key.name.to_owned(), key.usual());
            }
            Need::Unknown => {}
        }
    }
    plain
}

fn place_in(table: &Table) -> String {
    if table.name.is_empty() { "above the first table".to_owned() } else { format!("in [{}]", table.name) }
}

fn place_in_file(table: &Table) -> String {
    if table.name.is_empty() { "in a recipe".to_owned() } else { format!("in [{}]", table.name) }
}

fn missing(table: &Table, key: &Key, header: &Range<usize>, path: &str, finds: &mut Finds<'_>) {
    let said = format!("`{}` is missing {}: {}; {} is needed.", key.name, place_in(table), key.note, wanted(key));
    finds.missing(header, path, key.name, said);
}

fn unknown(table: &Table, name: &str, span: &Range<usize>, is_table: bool, finds: &mut Finds<'_>) {
    let tables = TABLES.iter().map(|t| t.name).filter(|_| table.name.is_empty());
    let near = nearest(name, table.keys.iter().map(|k| k.name).chain(tables));
    let elsewhere: Vec<String> =
        TABLES.iter().filter(|t| t.key(name).is_some()).map(|t| format!("[{}]", t.name)).collect();
    let mut said = match is_table {
        true => format!("[{}] is not a table known {}", quoted(name), place_in_file(table)),
        false => format!("`{}` is not a key known {}", quoted(name), place_in(table)),
    };
    if !elsewhere.is_empty() {
        said.push_str(&format!("; it belongs in {}", elsewhere.join(" or ")));
    } else if TOP.key(name).is_some() {
        said.push_str("; it belongs above the first table");
    }
    said.push('.');
    finds.add_near(span, &path(table, &quoted(name)), said, near);
}
