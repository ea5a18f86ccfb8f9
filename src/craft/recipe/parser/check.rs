//! A parsed file held against the schema, and the figures that must stand in order: a caution before the harm, and the
//! like. What is sound is gathered in the recipe's JSON form with every default in its place; what is not becomes a
//! diagnostic.

use super::diagnostics::{Diagnostics, escape_word};
use super::fillers;
use super::values::{JsonTable, KeySpans, check_value, describe_expected, find_value, key_path, report_wrong_type};
use crate::craft::recipe::schema::{
    self, KeyPresence, KeyRef, ORDER_RULES, RecipeKey, TABLES, TOP_LEVEL, Table, TablePresence, ValueType,
};
use crate::text::find_nearest_word;
use serde_json::{Map, Value};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Where things that are not there are told: the top of the file.
const TOP_OF_FILE: Range<usize> = 0..0;

/// Checks a whole file; what is sound comes back in JSON form.
pub(super) fn check_document(root: &DeTable<'_>, finds: &mut Diagnostics<'_>) -> Value {
    let mut spans = KeySpans::new();
    let mut plain = check_keys(&TOP_LEVEL, root, &TOP_OF_FILE, finds, &mut spans);
    for table in TABLES {
        match find_value(root, table.name) {
            Some(value) => {
                if let Some(inside) = check_table(table, value, finds, &mut spans) {
                    plain.insert(table.name.to_owned(), Value::Object(inside));
                }
            }
            None => check_absent_table(table, finds),
        }
    }
    // `[sand]` without a grade means no sanding.
    if plain.get("sand").and_then(Value::as_object).is_some_and(Map::is_empty) {
        plain.remove("sand");
    }
    check_order_rules(&plain, &spans, finds);
    Value::Object(plain)
}

fn check_absent_table(table: &Table, finds: &mut Diagnostics<'_>) {
    match table.presence {
        TablePresence::Required => {
            let message = format!("The table [{}] is missing: {}.", table.name, table.note);
            finds.report_missing(&TOP_OF_FILE, table.name, table.name, message);
        }
        TablePresence::NoStageIfAbsent | TablePresence::Defaulted => {}
    }
}

fn check_table(
    table: &'static Table,
    value: &Spanned<DeValue<'_>>,
    finds: &mut Diagnostics<'_>,
    spans: &mut KeySpans,
) -> Option<JsonTable> {
    match value.get_ref() {
        DeValue::Table(inside) => Some(check_keys(table, inside, &value.span(), finds, spans)),
        other => {
            report_wrong_type(table.name, &value.span(), other, &format!("a table (written [{}])", table.name), finds);
            None
        }
    }
}

/// Checks the keys of one table: unknown ones, missing ones, and what each holds.
fn check_keys(
    table: &'static Table,
    values: &DeTable<'_>,
    header: &Range<usize>,
    finds: &mut Diagnostics<'_>,
    spans: &mut KeySpans,
) -> JsonTable {
    let mut plain = JsonTable::new();
    for (name, value) in values {
        let top_table = table.name.is_empty() && schema::find_table(name.get_ref()).is_some();
        match table.find_key(name.get_ref()) {
            Some(key) => {
                spans.insert((table.name, key.name), value.span());
                let path = key_path(table, key.name);
                let sound = match (key.value_type, value.get_ref()) {
                    (ValueType::Fillers, DeValue::Array(_)) => fillers::check_fillers(&path, value, finds),
                    _ => check_value(key, &path, value, finds),
                };
                if let Some(sound) = sound {
                    plain.insert(key.name.to_owned(), sound);
                }
            }
            None if top_table => {}
            None => report_unknown_key(table, name.get_ref(), &name.span(), value.get_ref().is_table(), finds),
        }
    }
    for key in table.keys.iter().filter(|key| find_value(values, key.name).is_none()) {
        match key.presence {
            KeyPresence::Required => report_missing_key(table, key, header, &key_path(table, key.name), finds),
            KeyPresence::Defaulted => {
                plain.insert(key.name.to_owned(), key.default_value());
            }
            KeyPresence::Optional => {}
        }
    }
    plain
}

fn describe_key_place(table: &Table) -> String {
    if table.name.is_empty() { "above the first table".to_owned() } else { format!("in [{}]", table.name) }
}

fn describe_table_place(table: &Table) -> String {
    if table.name.is_empty() { "in a recipe".to_owned() } else { format!("in [{}]", table.name) }
}

fn report_missing_key(table: &Table, key: &RecipeKey, header: &Range<usize>, path: &str, finds: &mut Diagnostics<'_>) {
    let message = format!(
        "`{}` is missing {}: {}; {} is needed.",
        key.name,
        describe_key_place(table),
        key.note,
        describe_expected(key)
    );
    finds.report_missing(header, path, key.name, message);
}

fn report_unknown_key(table: &Table, name: &str, span: &Range<usize>, is_table: bool, finds: &mut Diagnostics<'_>) {
    let tables = TABLES.iter().map(|t| t.name).filter(|_| table.name.is_empty());
    let near = find_nearest_word(name, table.keys.iter().map(|k| k.name).chain(tables));
    let elsewhere: Vec<String> =
        TABLES.iter().filter(|t| t.find_key(name).is_some()).map(|t| format!("[{}]", t.name)).collect();
    let mut message = match is_table {
        true => format!("[{}] is not a table known {}", escape_word(name), describe_table_place(table)),
        false => format!("`{}` is not a key known {}", escape_word(name), describe_key_place(table)),
    };
    if !elsewhere.is_empty() {
        message.push_str(&format!("; it belongs in {}", elsewhere.join(" or ")));
    } else if TOP_LEVEL.find_key(name).is_some() {
        message.push_str("; it belongs above the first table");
    }
    message.push('.');
    finds.report_with_nearest(span, &key_path(table, &escape_word(name)), message, near);
}

/// Checks the figures that must stand in order, as far as they are sound.
fn check_order_rules(plain: &JsonTable, spans: &KeySpans, finds: &mut Diagnostics<'_>) {
    for order in &ORDER_RULES {
        let (Some(lower), Some(higher)) =
            (effective_number(plain, spans, order.lower), effective_number(plain, spans, order.higher))
        else {
            continue;
        };
        if lower < higher || (order.allows_equal && lower == higher) {
            continue;
        }
        let span_of = |(table, key, _): KeyRef| spans.get(&(table.name, key));
        let (figure, span) = match (span_of(order.lower), span_of(order.higher)) {
            (Some(span), _) => (order.lower, span),
            (None, Some(span)) => (order.higher, span),
            (None, None) => continue,
        };
        let bound = if order.allows_equal { "not be above" } else { "be below" };
        let (low, high) = (key_ref_path(order.lower), key_ref_path(order.higher));
        let message = format!("`{low}` ({lower}) must {bound} `{high}` ({higher}): {}.", order.reason);
        finds.report(span, &key_ref_path(figure), message);
    }
}

fn key_ref_path((table, key, at): KeyRef) -> String {
    at.map_or_else(|| key_path(table, key), |i| format!("{}[{i}]", key_path(table, key)))
}

/// The figure that stands in the file, or its usual one if the file says nothing; none if what it says is unsound.
fn effective_number(plain: &JsonTable, spans: &KeySpans, (table, key, at): KeyRef) -> Option<f64> {
    let usual = table.find_key(key)?.default_value();
    let value = match plain.get(table.name).and_then(|inside| inside.get(key)) {
        Some(value) => value,
        None if spans.contains_key(&(table.name, key)) => return None,
        None => &usual,
    };
    at.map_or(value.as_f64(), |i| value.get(i)?.as_f64())
}
