//! What one key holds, held against its shape: kinds, words, ranges, lists.
//!
//! Absent on purpose: which keys there are (`keys`, `check`), lists of fillers (`fillers`).

use super::finds::{Finds, nearest, quoted};
use crate::craft::recipe::FORMAT;
use crate::craft::recipe::keys::{self, Key, NAME_MAX, Need, Shape, Table};
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// What is sound of a table, in JSON form.
pub(super) type Plain = Map<String, Value>;
/// Where the value of each key stands.
pub(super) type Spans = BTreeMap<(&'static str, &'static str), Range<usize>>;

pub(super) fn entry<'a, 'i>(values: &'a DeTable<'i>, name: &str) -> Option<&'a Spanned<DeValue<'i>>> {
    values.iter().find(|(key, _)| key.get_ref().as_ref() == name).map(|(_, value)| value)
}

pub(super) fn path(table: &Table, name: &str) -> String {
    if table.name.is_empty() { name.to_owned() } else { format!("{}.{name}", table.name) }
}

/// What a key wants, as it stands after "needed" or "expected".
pub(super) fn wanted(key: &Key) -> String {
    match key.shape {
        Shape::Format => format!("the number {FORMAT}"),
        Shape::Name => format!("1 to {NAME_MAX} of a-z, 0-9 and -, in quotation marks"),
        Shape::Text { longest, .. } => format!("text of one line, 1 to {longest} characters, in quotation marks"),
        Shape::Word { words, .. } => format!("one of {}", listed(words)),
        Shape::Words { words, .. } => format!("a list of {}", listed(words)),
        Shape::Number { range, .. } => format!("a number from {range}"),
        Shape::Pair { range, .. } => format!("a list of two numbers from {range}"),
        Shape::Count { lowest, highest, .. } => format!("a whole number from {lowest} to {highest}"),
        Shape::Flag { .. } => "true or false".to_owned(),
        Shape::Fillers => "a list with at least one filler, each { name = ..., g_per_100_ml_size = ... } \
                           or { name = ..., ml_per_100_ml_size = ... }"
            .to_owned(),
    }
}

pub(super) fn listed(words: &[&str]) -> String {
    words.iter().map(|w| format!("\"{w}\"")).collect::<Vec<_>>().join(", ")
}

pub(super) fn wrong_kind(path: &str, span: &Range<usize>, value: &DeValue<'_>, wanted: &str, finds: &mut Finds<'_>) {
    let is = match value {
        DeValue::String(_) => "text",
        DeValue::Integer(_) => "a whole number",
        DeValue::Float(_) => "a number with a point",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date or time",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    };
    let quotes = match value {
        DeValue::String(text) if text.parse::<f64>().is_ok() => " Leave out the quotation marks if a number is meant.",
        _ => "",
    };
    finds.add(span, path, format!("`{path}` is {is}; {wanted} is expected.{quotes}"));
}

/// Checks what one key holds, lists of fillers aside (`fillers`); what is sound comes back in JSON form.
pub(super) fn one_value(key: &Key, path: &str, value: &Spanned<DeValue<'_>>, finds: &mut Finds<'_>) -> Option<Value> {
    let span = value.span();
    match (key.shape, value.get_ref()) {
        (Shape::Format, DeValue::Integer(_)) => format_number(path, value, finds),
        (Shape::Name, DeValue::String(text)) => name(path, text, &span, finds).map(Value::from),
        (Shape::Text { longest, .. }, DeValue::String(text)) => {
            let may_be_empty = key.need == Need::Usual;
            one_line(path, text, longest, may_be_empty, &span, finds).map(Value::from)
        }
        (Shape::Word { words, .. }, DeValue::String(text)) => {
            one_word(path, text, words, &span, finds).map(Value::from)
        }
        (Shape::Words { words, fewest }, DeValue::Array(_)) => list(path, value, words, fewest, finds),
        (Shape::Number { range, .. }, DeValue::Integer(_) | DeValue::Float(_)) => {
            figure(path, value, range, finds).map(Value::from)
        }
        (Shape::Pair { range, .. }, DeValue::Array(_)) => pair(key, path, value, range, finds),
        (Shape::Count { lowest, highest, .. }, DeValue::Integer(_)) => {
            whole(path, value, lowest, highest, finds).map(Value::from)
        }
        (Shape::Flag { .. }, DeValue::Boolean(flag)) => Some(json!(flag)),
        (_, other) => {
            wrong_kind(path, &span, other, &wanted(key), finds);
            None
        }
    }
}

fn integer(value: &DeValue<'_>) -> Option<i64> {
    let written = value.as_integer()?;
    i64::from_str_radix(written.as_str(), written.radix()).ok()
}

fn format_number(path: &str, value: &Spanned<DeValue<'_>>, finds: &mut Finds<'_>) -> Option<Value> {
    if integer(value.get_ref()) == Some(i64::from(FORMAT)) {
        return Some(json!(FORMAT));
    }
    let said = format!("This program reads recipes of format {FORMAT} only; a newer version may read this one.");
    finds.add(&value.span(), path, said);
    None
}

fn name(path: &str, text: &str, span: &Range<usize>, finds: &mut Finds<'_>) -> Option<String> {
    let plain = text.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-');
    if plain && (1..=NAME_MAX).contains(&text.len()) {
        return Some(text.to_owned());
    }
    let said = format!("`{path}` must be 1 to {NAME_MAX} of a-z, 0-9 and -; it is \"{}\".", quoted(text));
    finds.add(span, path, said);
    None
}

/// Text of one line without control characters.
fn one_line(
    path: &str,
    text: &str,
    longest: usize,
    may_be_empty: bool,
    span: &Range<usize>,
    finds: &mut Finds<'_>,
) -> Option<String> {
    let said = if let Some(control) = text.chars().find(|c| c.is_control()) {
        format!("`{path}` holds the control character U+{:04X}; it must be plain text of one line.", u32::from(control))
    } else if text.trim().is_empty() && !(may_be_empty && text.is_empty()) {
        format!("`{path}` is empty; write 1 to {longest} characters.")
    } else if text.chars().count() > longest {
        format!("`{path}` is {} characters long; at most {longest} are allowed.", text.chars().count())
    } else {
        return Some(text.to_owned());
    };
    finds.add(span, path, said);
    None
}

fn one_word<'w>(
    path: &str,
    text: &str,
    words: &[&'w str],
    span: &Range<usize>,
    finds: &mut Finds<'_>,
) -> Option<&'w str> {
    let found = words.iter().copied().find(|word| *word == text);
    if found.is_none() {
        let said = format!("`{path}` is \"{}\"; it must be one of {}.", quoted(text), listed(words));
        finds.add_near(span, path, said, nearest(text, words.iter().copied()));
    }
    found
}

/// A list of known words, each once.
fn list(
    path: &str,
    value: &Spanned<DeValue<'_>>,
    words: &[&str],
    fewest: usize,
    finds: &mut Finds<'_>,
) -> Option<Value> {
    let items = value.get_ref().as_array()?;
    if items.len() < fewest {
        let said = format!("`{path}` is an empty list; it must name at least {fewest} of {}.", listed(words));
        finds.add(&value.span(), path, said);
        return None;
    }
    let mut sound = Vec::new();
    for (i, item) in items.iter().enumerate() {
        let path = format!("{path}[{i}]");
        match item.get_ref() {
            DeValue::String(text) => {
                if let Some(word) = one_word(&path, text, words, &item.span(), finds) {
                    if sound.contains(&word) {
                        finds.add(&item.span(), &path, format!("\"{word}\" is named twice; leave one out."));
                    }
                    sound.push(word);
                }
            }
            other => wrong_kind(&path, &item.span(), other, &format!("one of {}", listed(words)), finds),
        }
    }
    (sound.len() == items.len()).then(|| json!(sound))
}

fn figure(path: &str, value: &Spanned<DeValue<'_>>, range: keys::Range, finds: &mut Finds<'_>) -> Option<f64> {
    let (number, written) = match value.get_ref() {
        DeValue::Integer(i) => (i128::from_str_radix(i.as_str(), i.radix()).ok().map(|n| n as f64), i.to_string()),
        DeValue::Float(f) => (f.as_str().parse::<f64>().ok(), f.as_str().to_owned()),
        DeValue::String(_) | DeValue::Boolean(_) | DeValue::Datetime(_) | DeValue::Array(_) | DeValue::Table(_) => {
            return None;
        }
    };
    let written = quoted(&written);
    let said = match number.filter(|n| n.is_finite()) {
        Some(n) if (range.lowest..=range.highest).contains(&n) => return Some(n),
        Some(_) => format!("`{path}` is {written}; it must lie from {range}."),
        None => format!("`{path}` is {written}, which is no finite number; it must lie from {range}."),
    };
    finds.add(&value.span(), path, said);
    None
}

fn whole(path: &str, value: &Spanned<DeValue<'_>>, lowest: u32, highest: u32, finds: &mut Finds<'_>) -> Option<u32> {
    let number = integer(value.get_ref()).and_then(|n| u32::try_from(n).ok());
    if let Some(n) = number.filter(|n| (lowest..=highest).contains(n)) {
        return Some(n);
    }
    let written = value.get_ref().as_integer().map(|i| quoted(&i.to_string())).unwrap_or_default();
    finds.add(&value.span(), path, format!("`{path}` is {written}; it must lie from {lowest} to {highest}."));
    None
}

fn pair(
    key: &Key,
    path: &str,
    value: &Spanned<DeValue<'_>>,
    range: keys::Range,
    finds: &mut Finds<'_>,
) -> Option<Value> {
    let items = value.get_ref().as_array()?;
    if items.len() != 2 {
        let said = format!("`{path}` is a list of {}; {} is expected.", items.len(), wanted(key));
        finds.add(&value.span(), path, said);
        return None;
    }
    let mut sound = Vec::new();
    for (i, item) in items.iter().enumerate() {
        let path = format!("{path}[{i}]");
        match item.get_ref() {
            DeValue::Integer(_) | DeValue::Float(_) => sound.extend(figure(&path, item, range, finds)),
            other => wrong_kind(&path, &item.span(), other, &format!("a number from {range}"), finds),
        }
    }
    (sound.len() == items.len()).then(|| json!(sound))
}
