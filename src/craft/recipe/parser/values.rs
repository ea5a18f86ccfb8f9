//! What one key holds, held against its shape: kinds, words, ranges, lists.

use super::diagnostics::{Diagnostics, escape_word};
use crate::craft::recipe::RECIPE_FORMAT;
use crate::craft::recipe::schema::{self, KeyPresence, MAX_NAME_LEN, RecipeKey, Table, ValueType};
use crate::text::find_nearest_word;
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// What is sound of a table, in JSON form.
pub(super) type JsonTable = Map<String, Value>;
/// Where the value of each key stands.
pub(super) type KeySpans = BTreeMap<(&'static str, &'static str), Range<usize>>;

pub(super) fn find_value<'a, 'i>(values: &'a DeTable<'i>, name: &str) -> Option<&'a Spanned<DeValue<'i>>> {
    values.iter().find(|(key, _)| key.get_ref().as_ref() == name).map(|(_, value)| value)
}

pub(super) fn key_path(table: &Table, name: &str) -> String {
    if table.name.is_empty() { name.to_owned() } else { format!("{}.{name}", table.name) }
}

/// What a key wants, as it stands after "needed" or "expected".
pub(super) fn describe_expected(key: &RecipeKey) -> String {
    match key.value_type {
        ValueType::FormatNumber => format!("the number {RECIPE_FORMAT}"),
        ValueType::Name => format!("1 to {MAX_NAME_LEN} of a-z, 0-9 and -, in quotation marks"),
        ValueType::Text { max_chars: longest, .. } => {
            format!("text of one line, 1 to {longest} characters, in quotation marks")
        }
        ValueType::Choice { words, .. } => format!("one of {}", quote_list(words)),
        ValueType::ChoiceList { words, .. } => format!("a list of {}", quote_list(words)),
        ValueType::Number { range, .. } => format!("a number from {range}"),
        ValueType::Pair { range, .. } => format!("a list of two numbers from {range}"),
        ValueType::Integer { min: lowest, max: highest, .. } => format!("a whole number from {lowest} to {highest}"),
        ValueType::Bool { .. } => "true or false".to_owned(),
        ValueType::Fillers => "a list with at least one filler, each { name = ..., g_per_100_ml_size = ... } \
                           or { name = ..., ml_per_100_ml_size = ... }"
            .to_owned(),
    }
}

pub(super) fn quote_list(words: &[&str]) -> String {
    words.iter().map(|w| format!("\"{w}\"")).collect::<Vec<_>>().join(", ")
}

pub(super) fn report_wrong_type(
    path: &str,
    span: &Range<usize>,
    value: &DeValue<'_>,
    wanted: &str,
    finds: &mut Diagnostics<'_>,
) {
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
    finds.report(span, path, format!("`{path}` is {is}; {wanted} is expected.{quotes}"));
}

/// Checks what one key holds, lists of fillers aside (`fillers`); what is sound comes back in JSON form.
pub(super) fn check_value(
    key: &RecipeKey,
    path: &str,
    value: &Spanned<DeValue<'_>>,
    finds: &mut Diagnostics<'_>,
) -> Option<Value> {
    let span = value.span();
    match (key.value_type, value.get_ref()) {
        (ValueType::FormatNumber, DeValue::Integer(_)) => check_format(path, value, finds),
        (ValueType::Name, DeValue::String(text)) => check_name(path, text, &span, finds).map(Value::from),
        (ValueType::Text { max_chars: longest, .. }, DeValue::String(text)) => {
            let may_be_empty = key.presence == KeyPresence::Defaulted;
            check_text(path, text, longest, may_be_empty, &span, finds).map(Value::from)
        }
        (ValueType::Choice { words, .. }, DeValue::String(text)) => {
            check_choice(path, text, words, &span, finds).map(Value::from)
        }
        (ValueType::ChoiceList { words, min_len: fewest }, DeValue::Array(_)) => {
            check_choice_list(path, value, words, fewest, finds)
        }
        (ValueType::Number { range, .. }, DeValue::Integer(_) | DeValue::Float(_)) => {
            check_number(path, value, range, finds).map(Value::from)
        }
        (ValueType::Pair { range, .. }, DeValue::Array(_)) => check_pair(key, path, value, range, finds),
        (ValueType::Integer { min: lowest, max: highest, .. }, DeValue::Integer(_)) => {
            check_integer(path, value, lowest, highest, finds).map(Value::from)
        }
        (ValueType::Bool { .. }, DeValue::Boolean(flag)) => Some(json!(flag)),
        (_, other) => {
            report_wrong_type(path, &span, other, &describe_expected(key), finds);
            None
        }
    }
}

fn parse_integer(value: &DeValue<'_>) -> Option<i64> {
    let written = value.as_integer()?;
    i64::from_str_radix(written.as_str(), written.radix()).ok()
}

fn check_format(path: &str, value: &Spanned<DeValue<'_>>, finds: &mut Diagnostics<'_>) -> Option<Value> {
    if parse_integer(value.get_ref()) == Some(i64::from(RECIPE_FORMAT)) {
        return Some(json!(RECIPE_FORMAT));
    }
    let message =
        format!("This program reads recipes of format {RECIPE_FORMAT} only; a newer version may read this one.");
    finds.report(&value.span(), path, message);
    None
}

fn check_name(path: &str, text: &str, span: &Range<usize>, finds: &mut Diagnostics<'_>) -> Option<String> {
    let plain = text.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-');
    if plain && (1..=MAX_NAME_LEN).contains(&text.len()) {
        return Some(text.to_owned());
    }
    let message = format!("`{path}` must be 1 to {MAX_NAME_LEN} of a-z, 0-9 and -; it is \"{}\".", escape_word(text));
    finds.report(span, path, message);
    None
}

/// Text of one line without control characters.
fn check_text(
    path: &str,
    text: &str,
    longest: usize,
    may_be_empty: bool,
    span: &Range<usize>,
    finds: &mut Diagnostics<'_>,
) -> Option<String> {
    let message = if let Some(control) = text.chars().find(|c| c.is_control()) {
        format!("`{path}` holds the control character U+{:04X}; it must be plain text of one line.", u32::from(control))
    } else if text.trim().is_empty() && !(may_be_empty && text.is_empty()) {
        format!("`{path}` is empty; write 1 to {longest} characters.")
    } else if text.chars().count() > longest {
        format!("`{path}` is {} characters long; at most {longest} are allowed.", text.chars().count())
    } else {
        return Some(text.to_owned());
    };
    finds.report(span, path, message);
    None
}

fn check_choice<'w>(
    path: &str,
    text: &str,
    words: &[&'w str],
    span: &Range<usize>,
    finds: &mut Diagnostics<'_>,
) -> Option<&'w str> {
    let found = words.iter().copied().find(|word| *word == text);
    if found.is_none() {
        let message = format!("`{path}` is \"{}\"; it must be one of {}.", escape_word(text), quote_list(words));
        finds.report_with_nearest(span, path, message, find_nearest_word(text, words.iter().copied()));
    }
    found
}

/// A list of known words, each once.
fn check_choice_list(
    path: &str,
    value: &Spanned<DeValue<'_>>,
    words: &[&str],
    fewest: usize,
    finds: &mut Diagnostics<'_>,
) -> Option<Value> {
    let items = value.get_ref().as_array()?;
    if items.len() < fewest {
        let message = format!("`{path}` is an empty list; it must name at least {fewest} of {}.", quote_list(words));
        finds.report(&value.span(), path, message);
        return None;
    }
    let mut sound = Vec::new();
    for (i, item) in items.iter().enumerate() {
        let path = format!("{path}[{i}]");
        match item.get_ref() {
            DeValue::String(text) => {
                if let Some(word) = check_choice(&path, text, words, &item.span(), finds) {
                    if sound.contains(&word) {
                        finds.report(&item.span(), &path, format!("\"{word}\" is named twice; leave one out."));
                    }
                    sound.push(word);
                }
            }
            other => report_wrong_type(&path, &item.span(), other, &format!("one of {}", quote_list(words)), finds),
        }
    }
    (sound.len() == items.len()).then(|| json!(sound))
}

fn check_number(
    path: &str,
    value: &Spanned<DeValue<'_>>,
    range: schema::NumberRange,
    finds: &mut Diagnostics<'_>,
) -> Option<f64> {
    let (number, written) = match value.get_ref() {
        DeValue::Integer(i) => (i128::from_str_radix(i.as_str(), i.radix()).ok().map(|n| n as f64), i.to_string()),
        DeValue::Float(f) => (f.as_str().parse::<f64>().ok(), f.as_str().to_owned()),
        DeValue::String(_) | DeValue::Boolean(_) | DeValue::Datetime(_) | DeValue::Array(_) | DeValue::Table(_) => {
            return None;
        }
    };
    let written = escape_word(&written);
    let message = match number.filter(|n| n.is_finite()) {
        Some(n) if (range.min..=range.max).contains(&n) => return Some(n),
        Some(_) => format!("`{path}` is {written}; it must lie from {range}."),
        None => format!("`{path}` is {written}, which is no finite number; it must lie from {range}."),
    };
    finds.report(&value.span(), path, message);
    None
}

fn check_integer(
    path: &str,
    value: &Spanned<DeValue<'_>>,
    lowest: u32,
    highest: u32,
    finds: &mut Diagnostics<'_>,
) -> Option<u32> {
    let number = parse_integer(value.get_ref()).and_then(|n| u32::try_from(n).ok());
    if let Some(n) = number.filter(|n| (lowest..=highest).contains(n)) {
        return Some(n);
    }
    let written = value.get_ref().as_integer().expect("only whole numbers are checked here").to_string();
    finds.report(
        &value.span(),
        path,
        format!("`{path}` is {}; it must lie from {lowest} to {highest}.", escape_word(&written)),
    );
    None
}

fn check_pair(
    key: &RecipeKey,
    path: &str,
    value: &Spanned<DeValue<'_>>,
    range: schema::NumberRange,
    finds: &mut Diagnostics<'_>,
) -> Option<Value> {
    let items = value.get_ref().as_array()?;
    if items.len() != 2 {
        let message = format!("`{path}` is a list of {}; {} is expected.", items.len(), describe_expected(key));
        finds.report(&value.span(), path, message);
        return None;
    }
    let mut sound = Vec::new();
    for (i, item) in items.iter().enumerate() {
        let path = format!("{path}[{i}]");
        match item.get_ref() {
            DeValue::Integer(_) | DeValue::Float(_) => sound.extend(check_number(&path, item, range, finds)),
            other => report_wrong_type(&path, &item.span(), other, &format!("a number from {range}"), finds),
        }
    }
    (sound.len() == items.len()).then(|| json!(sound))
}
