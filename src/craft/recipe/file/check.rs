//! A parsed file held against the key table. What is sound is gathered in the recipe's JSON form with every default
//! in its place; what is not goes to the finds.
//!
//! Absent on purpose: what each key may hold (`keys`).

use super::finds::{Finds, nearest, quoted};
use crate::craft::materials::Filler;
use crate::craft::recipe::FORMAT;
use crate::craft::recipe::keys::{
    self, Absent, FILLER, Figure, Key, NAME_MAX, Need, ORDERS, Shape, TABLES, TOP, Table,
};
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

type Plain = Map<String, Value>;
type Spans = BTreeMap<(&'static str, &'static str), Range<usize>>;

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
    orders(&plain, &spans, finds);
    Value::Object(plain)
}

fn entry<'a, 'i>(values: &'a DeTable<'i>, name: &str) -> Option<&'a Spanned<DeValue<'i>>> {
    values.iter().find(|(key, _)| key.get_ref().as_ref() == name).map(|(_, value)| value)
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
                if let Some(sound) = one_value(key, &path(table, key.name), value, finds) {
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

fn path(table: &Table, name: &str) -> String {
    if table.name.is_empty() { name.to_owned() } else { format!("{}.{name}", table.name) }
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

/// What a key wants, as it stands after "needed" or "expected".
fn wanted(key: &Key) -> String {
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

fn listed(words: &[&str]) -> String {
    words.iter().map(|w| format!("\"{w}\"")).collect::<Vec<_>>().join(", ")
}

fn wrong_kind(path: &str, span: &Range<usize>, value: &DeValue<'_>, wanted: &str, finds: &mut Finds<'_>) {
    // What the parser puts where it found nothing has no place of its own; the syntax error has been told.
    if span.is_empty() {
        return;
    }
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

/// Checks what one key holds; what is sound comes back in JSON form.
fn one_value(key: &Key, path: &str, value: &Spanned<DeValue<'_>>, finds: &mut Finds<'_>) -> Option<Value> {
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
        (Shape::Fillers, DeValue::Array(_)) => fillers(path, value, finds),
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
    if !value.span().is_empty() {
        finds.add(&value.span(), path, said);
    }
    None
}

fn whole(path: &str, value: &Spanned<DeValue<'_>>, lowest: u32, highest: u32, finds: &mut Finds<'_>) -> Option<u32> {
    let number = integer(value.get_ref()).and_then(|n| u32::try_from(n).ok());
    if let Some(n) = number.filter(|n| (lowest..=highest).contains(n)) {
        return Some(n);
    }
    if !value.span().is_empty() {
        let written = value.get_ref().as_integer().map(|i| quoted(&i.to_string())).unwrap_or_default();
        finds.add(&value.span(), path, format!("`{path}` is {written}; it must lie from {lowest} to {highest}."));
    }
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

/// The list of fillers: known names, each once, each with exactly one amount.
fn fillers(path: &str, value: &Spanned<DeValue<'_>>, finds: &mut Finds<'_>) -> Option<Value> {
    let items = value.get_ref().as_array()?;
    if items.is_empty() {
        finds.add(&value.span(), path, format!("`{path}` is empty; name at least one filler."));
        return None;
    }
    let mut seen = Vec::new();
    let mut sound = Vec::new();
    for (i, item) in items.iter().enumerate() {
        let path = format!("{path}[{i}]");
        match item.get_ref() {
            DeValue::Table(inside) => {
                sound.extend(one_filler(&path, inside, &item.span(), &mut seen, finds));
            }
            other => wrong_kind(&path, &item.span(), other, "a table { name = ..., ... }", finds),
        }
    }
    (sound.len() == items.len()).then(|| json!(sound))
}

fn one_filler(
    path: &str,
    inside: &DeTable<'_>,
    span: &Range<usize>,
    seen: &mut Vec<Filler>,
    finds: &mut Finds<'_>,
) -> Option<Plain> {
    let mut plain = Plain::new();
    for (key_name, value) in inside {
        let under = format!("{path}.{}", quoted(key_name.get_ref()));
        match FILLER.key(key_name.get_ref()) {
            Some(key) => {
                let sound = one_value(key, &under, value, finds);
                plain.extend(sound.map(|sound| (key.name.to_owned(), sound)));
            }
            None => {
                let near = nearest(key_name.get_ref(), FILLER.keys.iter().map(|k| k.name));
                let said = format!("`{}` is not a key known of a filler.", quoted(key_name.get_ref()));
                finds.add_near(&key_name.span(), &under, said, near);
            }
        }
    }
    for key in FILLER.keys.iter().filter(|k| k.need == Need::Required && entry(inside, k.name).is_none()) {
        let said = format!("`{}` is missing: say {}, one of {}.", key.name, key.note, listed(&filler_names()));
        finds.missing(span, &format!("{path}.{}", key.name), key.name, said);
    }
    amounts(path, inside, span, finds);
    filler_name(path, inside, seen, finds);
    (plain.len() == inside.len()).then_some(plain)
}

/// Exactly one of the two amounts must be there.
fn amounts(path: &str, inside: &DeTable<'_>, span: &Range<usize>, finds: &mut Finds<'_>) {
    let ways: Vec<&Key> = FILLER.keys.iter().filter(|k| k.need == Need::Unknown).collect();
    let given: Vec<_> = ways.iter().filter_map(|key| Some((key.name, entry(inside, key.name)?.span()))).collect();
    let names = ways.iter().map(|k| format!("`{}` ({})", k.name, k.note)).collect::<Vec<_>>().join(" or ");
    match given.as_slice() {
        [] => {
            let first = ways.first().map_or("", |k| k.name);
            finds.missing(span, path, first, format!("This filler has no amount; give {names}."));
        }
        [_one] => {}
        [_, (name, second), ..] => {
            let said = format!("This filler has two amounts; keep either {names}, not both.");
            finds.add(second, &format!("{path}.{name}"), said);
        }
    }
}

fn filler_names() -> Vec<&'static str> {
    Filler::ALL.into_iter().map(Filler::name).collect()
}

fn filler_name(path: &str, inside: &DeTable<'_>, seen: &mut Vec<Filler>, finds: &mut Finds<'_>) {
    let Some(value) = entry(inside, "name") else { return };
    let DeValue::String(text) = value.get_ref() else { return };
    let under = format!("{path}.name");
    match Filler::named(text) {
        Some(filler) if seen.contains(&filler) => {
            let said = format!("\"{}\" is in the list twice; put its amounts together in one line.", filler.name());
            finds.add(&value.span(), &under, said);
        }
        Some(filler) => seen.push(filler),
        // An empty name or one with control characters has been told of.
        None if text.trim().is_empty() || text.chars().any(char::is_control) => {}
        None => {
            let all = Filler::ALL.iter().flat_map(|f| f.names().iter().copied());
            let said = format!("No filler is called \"{}\"; known are {}.", quoted(text), listed(&filler_names()));
            finds.add_near(&value.span(), &under, said, nearest(text, all));
        }
    }
}

/// Checks the figures that must stand in order, as far as they are sound.
fn orders(plain: &Plain, spans: &Spans, finds: &mut Finds<'_>) {
    for order in &ORDERS {
        let (Some(lower), Some(higher)) = (standing(plain, spans, order.lower), standing(plain, spans, order.higher))
        else {
            continue;
        };
        if lower < higher || (order.may_be_equal && lower == higher) {
            continue;
        }
        let span_of = |(table, key, _): Figure| spans.get(&(table.name, key));
        let (figure, span) = match (span_of(order.lower), span_of(order.higher)) {
            (Some(span), _) => (order.lower, span),
            (None, Some(span)) => (order.higher, span),
            (None, None) => continue,
        };
        let bound = if order.may_be_equal { "not be above" } else { "be below" };
        let (low, high) = (shown(order.lower), shown(order.higher));
        let said = format!("`{low}` ({lower}) must {bound} `{high}` ({higher}): {}.", order.why);
        finds.add(span, &shown(figure), said);
    }
}

fn shown((table, key, at): Figure) -> String {
    at.map_or_else(|| path(table, key), |i| format!("{}[{i}]", path(table, key)))
}

/// The figure that stands in the file, or its usual one if the file says nothing; none if what it says is unsound.
fn standing(plain: &Plain, spans: &Spans, (table, key, at): Figure) -> Option<f64> {
    let usual = table.key(key)?.usual();
    let value = match plain.get(table.name).and_then(|inside| inside.get(key)) {
        Some(value) => value,
        None if spans.contains_key(&(table.name, key)) => return None,
        None => &usual,
    };
    at.map_or(value.as_f64(), |i| value.get(i)?.as_f64())
}
