//! What holds of every key: none records where a thumb lands by mistake, none means two things, none is without words;
//! and nothing in the source names a key past the table.

use super::*;
use proc_macro2::{TokenStream, TokenTree};
use std::collections::{BTreeSet, HashMap};
use std::path::{Path, PathBuf};
use std::str::FromStr;

/// The keys on either side of Space's upper edge, with Shift too.
const BESIDE_SPACE: &str = "cvbnm,.CVBNM;:<>";

/// Every place where a key that records lies beside Space, or means two things, or nothing that can be read.
fn faults(keymap: &Keymap) -> Vec<String> {
    let mut faults = Vec::new();
    let mut bound: HashMap<(InputMode, Key), &Message> = HashMap::new();
    for row in keymap.rows() {
        if row.words.is_empty() {
            faults.push(format!("{:?} has no words", row.message));
        }
        for key in row.bound_keys() {
            if row.records && matches!(key, Key::Char(c) if BESIDE_SPACE.contains(*c)) {
                faults.push(format!("{key} records, and lies beside Space"));
            }
            for mode in row.modes {
                if let Some(other) = bound.insert((*mode, *key), &row.message) {
                    faults.push(format!("{key} means {other:?} and {:?} in {mode:?}", row.message));
                }
            }
        }
    }
    faults
}

#[test]
fn no_key_records_beside_space_or_means_two_things_or_is_without_words() {
    assert_eq!(faults(&Keymap::default()), Vec::<String>::new());
}

#[test]
fn a_key_bound_amiss_is_found() {
    let check = |change: fn(&mut KeyRow), fault: &str| {
        let mut keymap = Keymap::default();
        let dull = keymap.rows.iter_mut().find(|row| row.message == Message::RecordDull).unwrap();
        change(dull);
        assert_eq!(faults(&keymap), [fault]);
    };
    check(|row| row.keys = Keys::Bound(&[Key::Char('n')]), "n records, and lies beside Space");
    check(|row| row.keys = Keys::Bound(&[Key::Char('e')]), "e means RecordDull and Extra in Bench");
    check(|row| row.words = "", "RecordDull has no words");
}

#[test]
fn every_mode_can_be_left_and_every_screen_finds_the_keys_it_names() {
    let keymap = Keymap::default();
    for mode in InputMode::ALL {
        assert_ne!(keymap.label(&Message::Leave, mode), UNBOUND, "{mode:?}");
    }
    assert_eq!(keymap.label(&Message::ClearMap, InputMode::Bench), UNBOUND);
}

#[test]
fn a_key_is_decoded_where_it_is_pressed() {
    let check = |key, mode, message: Message, records| {
        let press = Keymap::default().decode(key, false, mode);
        assert_eq!((press.message, press.records, press.key), (message, records, Some(key)), "{key} in {mode:?}");
    };
    check(Key::Char('u'), InputMode::Bench, Message::Undo, true);
    check(Key::Char('u'), InputMode::Line, Message::TypeChar('u'), false);
    check(Key::Char('u'), InputMode::SittingText, Message::TypeChar('u'), false);
    check(Key::Char('z'), InputMode::Bench, Message::Other, false);
    check(Key::Char('5'), InputMode::Map, Message::SelectArea(5), false);
    check(Key::Char('5'), InputMode::Sitting, Message::TypeChar('5'), false);
    check(Key::Ctrl('c'), InputMode::Line, Message::Leave, true);
    check(Key::Ctrl('s'), InputMode::Bench, Message::Other, false);
    check(Key::Unknown, InputMode::Line, Message::Other, false);
}

#[test]
fn keys_side_by_side_are_named_as_they_are_read() {
    let check = |keys: &[Key], said: &str| assert_eq!(join_names(keys, Key::short_name), said);
    let [up, down, left, right] = Key::ARROWS;
    check(&[up, down], "Up Down");
    check(&[up, down, left, right, Key::Tab], "arrows Tab");
    check(&['1', '2', '3', '9'].map(Key::Char), "1-3 9");
    check(&['1', '2', 'o', 'p'].map(Key::Char), "1 2 o p");
    check(&[Key::Char(' '), Key::Char(' '), Key::Delete, Key::Ctrl('s')], "Space Del Ctrl-S");
}

/// The list of keys as README has it.
fn readme_table(keymap: &Keymap) -> String {
    let line = |hint: &KeyHint| format!("| `{}` | {} |\n", hint.key(), hint.description());
    let group = |group: KeyGroup| {
        let lines: String = keymap.group_hints(group).iter().map(line).collect();
        format!("| **{}** | |\n{lines}", group.heading())
    };
    format!("| key | what it does |\n|---|---|\n{}", KeyGroup::ALL.map(group).concat())
}

#[test]
fn readme_tells_the_keys_of_the_table() {
    const BEGIN: &str = "<!-- keys: written by `SOTTILE_BLESS=1 cargo test --lib readme` -->\n";
    const END: &str = "<!-- end of keys -->\n";
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    let readme = std::fs::read_to_string(&path).unwrap();
    let (before, rest) = readme.split_once(BEGIN).expect("README has a place for the keys");
    let (is, after) = rest.split_once(END).expect("README's keys end");
    let meant = readme_table(&Keymap::default());
    if std::env::var_os("SOTTILE_BLESS").is_some() {
        std::fs::write(&path, format!("{before}{BEGIN}{meant}{END}{after}")).unwrap();
    } else {
        assert_eq!(is, meant, "with SOTTILE_BLESS=1 this test writes the table");
    }
}

/// Texts in which a letter that is also a key stands for something else, by a part of them: a product, what a terminal is
/// sent, marks of a drawing.
const NO_KEYS: [&str; 4] = ["width x height", "\u{1b}]99;", "e early", "g bone dry"];

/// What a text says of a key by its name, or by a letter that stands alone and is no unit after a number.
fn key_named_in(text: &str, letters: &BTreeSet<char>) -> Option<String> {
    let names = [Key::Enter, Key::Esc, Key::Char(' '), Key::Tab, Key::BackTab, Key::PageUp, Key::PageDown, Key::F(2)];
    let names = names.map(|key| key.to_string());
    // What is put in is no word of the text: it stands there as a number.
    let pieces =
        text.split('}').map(|piece| piece.split_once('{').map_or(piece.to_owned(), |(words, _)| format!("{words}0")));
    let text = pieces.collect::<String>();
    let words = text.split(|c: char| !(c.is_alphanumeric() || "+?'-".contains(c))).filter(|word| !word.is_empty());
    let words: Vec<&str> = words.collect();
    let is_letter = |word: &str, before: &str| {
        let mut chars = word.chars();
        let (Some(letter), None) = (chars.next(), chars.next()) else { return false };
        // "a" is a word as well.
        letters.contains(&letter) && letter != 'a' && !before.ends_with(|c: char| c.is_numeric())
    };
    let is_sentence = words.iter().any(|word| word.len() > 2);
    let before = std::iter::once("").chain(words.iter().copied());
    let named = before
        .zip(&words)
        .find(|(before, word)| names.iter().any(|n| n == *word) || is_sentence && is_letter(word, before));
    named.map(|(_, word)| (*word).to_owned())
}

/// The text literals of a file outside its tests and its documentation.
fn literals(tokens: TokenStream) -> Vec<String> {
    let mut found = Vec::new();
    let mut after_doc = false;
    let mut in_tests = false;
    for tree in tokens {
        match tree {
            TokenTree::Group(group) if group.to_string().replace(' ', "").starts_with("[cfg(test)]") => in_tests = true,
            TokenTree::Group(group) if in_tests && group.delimiter() == proc_macro2::Delimiter::Brace => {
                in_tests = false;
            }
            TokenTree::Group(group) => found.extend(literals(group.stream())),
            TokenTree::Punct(mark) if mark.as_char() == ';' => in_tests = false,
            TokenTree::Ident(word) if word == "doc" => after_doc = true,
            TokenTree::Punct(_) => continue,
            TokenTree::Literal(literal) if !in_tests && !after_doc => {
                found.extend(syn::parse_str::<syn::LitStr>(&literal.to_string()).map(|text| text.value()));
            }
            TokenTree::Ident(_) | TokenTree::Literal(_) => after_doc = false,
        }
    }
    found
}

fn source_files(dir: &Path) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(dir).unwrap().map(|entry| entry.unwrap().path());
    entries.flat_map(|path| if path.is_dir() { source_files(&path) } else { vec![path] }).collect()
}

#[test]
fn no_text_names_a_key_past_the_table() {
    let keymap = Keymap::default();
    let keys = keymap.rows().iter().flat_map(|row| row.bound_keys());
    let letters = keys.filter_map(|key| if let Key::Char(c) = key { Some(*c) } else { None });
    // "A" is a word as well.
    let letters: BTreeSet<char> = letters.filter(|c| c.is_alphabetic() && *c != 'A').collect();
    let check = |text: &str, named: Option<&str>| assert_eq!(key_named_in(text, &letters).as_deref(), named, "{text}");
    check("press d when the gloss is gone", Some("d"));
    check("no pot is recorded; P opens one", Some("P"));
    check("Tab shows {}, {}", Some("Tab"));
    check("a word or two", None);
    check("{:.0} g of {what} in {} h", None);
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut found = Vec::new();
    let mut read = 0;
    // Where texts are shown over the bench; a shell has no keys.
    for part in ["app", "ui", "bench", "work/advice"] {
        for path in source_files(&src.join(part)) {
            let name = path.strip_prefix(&src).unwrap().display().to_string();
            let is_test = name.contains("tests") || name.contains("samples") || !name.ends_with(".rs");
            // The table itself, and the names of authors.
            if is_test || name.starts_with("app/key") || name == "work/advice/source.rs" {
                continue;
            }
            let texts = literals(TokenStream::from_str(&std::fs::read_to_string(&path).unwrap()).unwrap());
            read += texts.len();
            let texts = texts.into_iter().filter(|text| !NO_KEYS.iter().any(|part| text.contains(part)));
            found.extend(
                texts.filter_map(|text| Some(format!("{name}: {} in {text:?}", key_named_in(&text, &letters)?))),
            );
        }
    }
    assert!(read > 500, "only {read} texts were read");
    assert_eq!(found, Vec::<String>::new());
}
