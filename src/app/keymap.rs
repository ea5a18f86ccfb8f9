//! The one table of keys: what decodes a press, what the list of keys and every hint and sentence that names a key come
//! from. `default_rows` are the rows, `key_row` what one says.

mod default_rows;
mod key_row;

pub use key_row::{KeyGroup, KeyRow, Keys};

use super::key::Key;
use super::message::{InputMode, KeyPress, Message};
use default_rows::DEFAULT_ROWS;

/// Which key means what, and where.
#[derive(Debug, Clone, PartialEq)]
pub struct Keymap {
    rows: Vec<KeyRow>,
}

impl Default for Keymap {
    fn default() -> Keymap {
        Keymap { rows: DEFAULT_ROWS.to_vec() }
    }
}

/// A key and what it does. Only a keymap makes one, so none can name a key that is bound to something else.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeyHint {
    key: String,
    description: String,
}

impl KeyHint {
    /// The key: "Space".
    pub fn key(&self) -> &str {
        &self.key
    }
    /// What it does now: "laid".
    pub fn description(&self) -> &str {
        &self.description
    }
    /// One made up for a drawing.
    #[cfg(test)]
    pub fn sample(key: &str, description: &str) -> KeyHint {
        KeyHint { key: key.to_owned(), description: description.to_owned() }
    }
}

impl Keymap {
    /// What a press of that key asks for there. A key bound to nothing is still a press: it may quiet an alarm.
    pub fn decode(&self, key: Key, held: bool, mode: InputMode) -> KeyPress {
        let bound = self.rows_of(mode).find(|row| row.bound_keys().contains(&key));
        let is_typed = || self.rows_of(mode).any(|row| matches!(row.keys, Keys::Typed(_)));
        let (message, records) = match (bound, key) {
            (Some(row), _) => (row.message.clone(), row.records),
            (None, Key::Char(c)) if is_typed() => (Message::TypeChar(c), false),
            (None, _) => (Message::Other, false),
        };
        KeyPress { message, key: Some(key), held, records }
    }

    /// The name of the key that sends that message there.
    pub fn label(&self, message: &Message, mode: InputMode) -> String {
        self.first_key(message, mode).map_or_else(|| UNBOUND.to_owned(), Key::short_name)
    }

    /// That key, and what it does in the words of the table.
    pub fn hint(&self, mode: InputMode, message: &Message) -> KeyHint {
        let row = self.rows_of(mode).find(|row| row.message == *message);
        KeyHint { key: self.label(message, mode), description: row.map_or("", |row| row.words).to_owned() }
    }

    /// The keys that send those messages there, and what they do in words of the screen's own.
    pub fn hint_as(&self, mode: InputMode, messages: &[Message], words: &str) -> KeyHint {
        let keys: Vec<Key> = messages.iter().filter_map(|message| self.first_key(message, mode)).collect();
        let key = if keys.is_empty() { UNBOUND.to_owned() } else { join_names(&keys, Key::short_name) };
        KeyHint { key, description: words.to_owned() }
    }

    /// The hint of a screen that any key closes.
    pub fn any_key_hint(&self, words: &str) -> KeyHint {
        KeyHint { key: ANY_KEY.to_owned(), description: words.to_owned() }
    }

    /// Every line of a group of the list of keys.
    pub fn group_hints(&self, group: KeyGroup) -> Vec<KeyHint> {
        let rows: Vec<&KeyRow> = self.rows.iter().filter(|row| row.group == group).collect();
        rows.chunk_by(|a, b| a.words == b.words).filter_map(hint_of_line).collect()
    }

    /// The hints of a screen that names all of a group.
    pub fn screen_hints(&self, mode: InputMode, group: KeyGroup) -> Vec<KeyHint> {
        let rows = self.rows_of(mode).filter(|row| row.group == group);
        rows.map(|row| self.hint(mode, &row.message)).collect()
    }

    /// Every row, in order.
    pub fn rows(&self) -> &[KeyRow] {
        &self.rows
    }

    fn rows_of(&self, mode: InputMode) -> impl Iterator<Item = &KeyRow> {
        self.rows.iter().filter(move |row| row.modes.contains(&mode))
    }

    fn first_key(&self, message: &Message, mode: InputMode) -> Option<Key> {
        let mut rows = self.rows_of(mode).filter(|row| row.message == *message);
        rows.find_map(|row| row.bound_keys().first().copied())
    }
}

impl KeyRow {
    /// The keys that are named; none where it is any that are left.
    pub fn bound_keys(&self) -> &'static [Key] {
        match self.keys {
            Keys::Bound(keys) => keys,
            Keys::Typed(_) | Keys::Any => &[],
        }
    }
}

/// What stands for a key where a message has none.
const UNBOUND: &str = "no key";
const ANY_KEY: &str = "any key";

/// Rows with the same words as one line.
fn hint_of_line(rows: &[&KeyRow]) -> Option<KeyHint> {
    let first = rows.first()?;
    let key = match first.keys {
        Keys::Typed(name) => name.to_owned(),
        Keys::Any => ANY_KEY.to_owned(),
        Keys::Bound(_) => {
            let keys: Vec<Key> = rows.iter().flat_map(|row| row.bound_keys()).copied().collect();
            join_names(&keys, |key| key.to_string())
        }
    };
    Some(KeyHint { key, description: first.words.to_owned() })
}

/// Names side by side, each once; the four arrows and a run of figures in a word.
fn join_names(keys: &[Key], name: fn(Key) -> String) -> String {
    let mut once: Vec<Key> = Vec::new();
    for key in keys {
        if !once.contains(key) {
            once.push(*key);
        }
    }
    let mut rest = once.as_slice();
    let mut names = Vec::new();
    while let [first, others @ ..] = rest {
        let figures = count_figures(rest);
        rest = if rest.starts_with(&Key::ARROWS) {
            names.push("arrows".to_owned());
            &rest[Key::ARROWS.len()..]
        } else if figures > 2 {
            names.push(format!("{}-{}", name(*first), name(rest[figures - 1])));
            &rest[figures..]
        } else {
            names.push(name(*first));
            others
        };
    }
    names.join(" ")
}

/// How many figures it begins with, each one more than the one before.
fn count_figures(keys: &[Key]) -> usize {
    let Some(Key::Char(first @ '0'..='9')) = keys.first() else { return 0 };
    keys.iter().zip(*first..='9').take_while(|(key, figure)| **key == Key::Char(*figure)).count()
}

#[cfg(test)]
mod tests;
