//! The list of fillers in a file, held against the key table and the fillers known.

use super::diagnostics::{Diagnostics, escape_word};
use super::values::{JsonTable, check_value, find_value, quote_list, report_wrong_type};
use crate::craft::materials::Filler;
use crate::craft::recipe::schema::{FILLER, KeyPresence, RecipeKey};
use crate::text::find_nearest_word;
use serde_json::{Value, json};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// The list of fillers: known names, each once, each with exactly one amount.
pub(super) fn check_fillers(path: &str, value: &Spanned<DeValue<'_>>, finds: &mut Diagnostics<'_>) -> Option<Value> {
    let items = value.get_ref().as_array()?;
    if items.is_empty() {
        finds.report(&value.span(), path, format!("`{path}` is empty; name at least one filler."));
        return None;
    }
    let mut seen = Vec::new();
    let mut sound = Vec::new();
    for (i, item) in items.iter().enumerate() {
        let path = format!("{path}[{i}]");
        match item.get_ref() {
            DeValue::Table(inside) => {
                sound.extend(check_filler(&path, inside, &item.span(), &mut seen, finds));
            }
            other => report_wrong_type(&path, &item.span(), other, "a table { name = ..., ... }", finds),
        }
    }
    (sound.len() == items.len()).then(|| json!(sound))
}

fn check_filler(
    path: &str,
    inside: &DeTable<'_>,
    span: &Range<usize>,
    seen: &mut Vec<Filler>,
    finds: &mut Diagnostics<'_>,
) -> Option<JsonTable> {
    let mut plain = JsonTable::new();
    for (key_name, value) in inside {
        let under = format!("{path}.{}", escape_word(key_name.get_ref()));
        match FILLER.find_key(key_name.get_ref()) {
            Some(key) => {
                let sound = check_value(key, &under, value, finds);
                plain.extend(sound.map(|sound| (key.name.to_owned(), sound)));
            }
            None => {
                let near = find_nearest_word(key_name.get_ref(), FILLER.keys.iter().map(|k| k.name));
                let message = format!("`{}` is not a key known of a filler.", escape_word(key_name.get_ref()));
                finds.report_with_nearest(&key_name.span(), &under, message, near);
            }
        }
    }
    for key in
        FILLER.keys.iter().filter(|k| k.presence == KeyPresence::Required && find_value(inside, k.name).is_none())
    {
        let message = format!("`{}` is missing: say {}, one of {}.", key.name, key.note, quote_list(&filler_names()));
        finds.report_missing(span, &format!("{path}.{}", key.name), key.name, message);
    }
    check_amounts(path, inside, span, finds);
    check_filler_name(path, inside, seen, finds);
    (plain.len() == inside.len()).then_some(plain)
}

/// Exactly one of the two amounts must be there.
fn check_amounts(path: &str, inside: &DeTable<'_>, span: &Range<usize>, finds: &mut Diagnostics<'_>) {
    let ways: Vec<&RecipeKey> = FILLER.keys.iter().filter(|k| k.presence == KeyPresence::Optional).collect();
    let given: Vec<_> = ways.iter().filter_map(|key| Some((key.name, find_value(inside, key.name)?.span()))).collect();
    let names = ways.iter().map(|k| format!("`{}` ({})", k.name, k.note)).collect::<Vec<_>>().join(" or ");
    match given.as_slice() {
        [] => {
            let first = ways.first().map_or("", |k| k.name);
            finds.report_missing(span, path, first, format!("This filler has no amount; give {names}."));
        }
        [_one] => {}
        [_, (name, second), ..] => {
            let message = format!("This filler has two amounts; keep either {names}, not both.");
            finds.report(second, &format!("{path}.{name}"), message);
        }
    }
}

fn filler_names() -> Vec<&'static str> {
    Filler::ALL.into_iter().map(Filler::name).collect()
}

fn check_filler_name(path: &str, inside: &DeTable<'_>, seen: &mut Vec<Filler>, finds: &mut Diagnostics<'_>) {
    let Some(value) = find_value(inside, "name") else { return };
    let DeValue::String(text) = value.get_ref() else { return };
    let under = format!("{path}.name");
    match Filler::from_name(text) {
        Some(filler) if seen.contains(&filler) => {
            let message = format!("\"{}\" is in the list twice; put its amounts together in one line.", filler.name());
            finds.report(&value.span(), &under, message);
        }
        Some(filler) => seen.push(filler),
        // An empty name or one with control characters has been told of.
        None if text.trim().is_empty() || text.chars().any(char::is_control) => {}
        None => {
            let all = Filler::ALL.iter().flat_map(|f| f.names().iter().copied());
            let message =
                format!("No filler is called \"{}\"; known are {}.", escape_word(text), quote_list(&filler_names()));
            finds.report_with_nearest(&value.span(), &under, message, find_nearest_word(text, all));
        }
    }
}
