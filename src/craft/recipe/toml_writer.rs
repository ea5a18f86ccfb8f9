//! A recipe as the text of a file, which reads back to the same recipe.

use super::Recipe;
use super::schema::{FILLER, RecipeKey, TABLES, TOP_LEVEL, Table, ValueType};
use serde_json::Value;

/// The column at which notes begin, as in the recipes shipped.
const NOTE_COLUMN: usize = 35;

impl Recipe {
    /// The recipe as the text of a recipe file: every key it holds, each with a note. It reads back to an equal recipe
    /// if this one keeps to the ranges of `schema`.
    pub fn to_toml(&self) -> String {
        let plain = serde_json::to_value(self).expect("a recipe holds words, numbers and lists, and JSON has them all");
        let mut text = String::new();
        write_keys(&mut text, &TOP_LEVEL, &plain);
        for table in TABLES {
            if let Some(inside) = plain.get(table.name) {
                text.push('\n');
                write_line(&mut text, &format!("[{}]", table.name), table.note);
                write_keys(&mut text, table, inside);
            }
        }
        text
    }
}

fn write_keys(text: &mut String, table: &Table, plain: &Value) {
    for key in table.keys {
        if let Some(value) = plain.get(key.name).filter(|value| !value.is_null()) {
            write_key(text, key, value);
        }
    }
}

fn write_key(text: &mut String, key: &RecipeKey, value: &Value) {
    match (key.value_type, value) {
        (ValueType::Fillers, Value::Array(parts)) => {
            write_line(text, &format!("{} = [", key.name), key.note);
            for part in parts {
                text.push_str(&format!("  {},\n", format_toml_value(part)));
            }
            text.push_str("]\n");
        }
        (_, value) => write_line(text, &format!("{} = {}", key.name, format_toml_value(value)), key.note),
    }
}

fn write_line(text: &mut String, message: &str, note: &str) {
    text.push_str(&match message.chars().count() < NOTE_COLUMN {
        true => format!("{message:NOTE_COLUMN$}# {note}\n"),
        false => format!("{message}  # {note}\n"),
    });
}

/// A value as TOML writes it on one line.
fn format_toml_value(value: &Value) -> String {
    match value {
        Value::Null => String::new(),
        Value::Bool(flag) => flag.to_string(),
        Value::Number(number) => number.to_string(),
        Value::String(words) => format_toml_string(words),
        Value::Array(items) => format!("[{}]", items.iter().map(format_toml_value).collect::<Vec<_>>().join(", ")),
        Value::Object(pairs) => {
            // The only tables inside a value are fillers.
            let inside: Vec<String> = FILLER
                .keys
                .iter()
                .filter_map(|key| Some(format!("{} = {}", key.name, format_toml_value(pairs.get(key.name)?))))
                .collect();
            format!("{{ {} }}", inside.join(", "))
        }
    }
}

/// Text between quotation marks on one line, with what TOML does not allow there escaped.
fn format_toml_string(words: &str) -> String {
    let mut text = String::from("\"");
    for c in words.chars() {
        match c {
            '"' => text.push_str("\\\""),
            '\\' => text.push_str("\\\\"),
            c if c.is_control() => text.push_str(&format!("\\u{:04X}", u32::from(c))),
            c => text.push(c),
        }
    }
    text.push('"');
    text
}
