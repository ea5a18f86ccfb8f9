//! The drawers of the shelf, ids made from labels, and things found by either.
//!
//! A label is the maker's and never becomes a path: an id is made of `[a-z0-9-]` alone, so it cannot leave its
//! directory, hide, look like an option or clash with another by case.

use crate::text::find_nearest_word;
use crate::units::Id;
use std::collections::BTreeSet;
use std::fmt;

/// A part of the shelf that holds many stories of one kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Drawer {
    /// The panels.
    Panels,
    /// The pots.
    Pots,
    /// The trials.
    Trials,
}

impl Drawer {
    /// The name of its directory.
    pub const fn dir_name(self) -> &'static str {
        match self {
            Drawer::Panels => "panels",
            Drawer::Pots => "pots",
            Drawer::Trials => "trials",
        }
    }
    /// What one of its things is called.
    pub const fn noun(self) -> &'static str {
        match self {
            Drawer::Panels => "panel",
            Drawer::Pots => "pot",
            Drawer::Trials => "trial",
        }
    }
}

/// Names that some systems keep for devices, whatever the ending.
const RESERVED: [&str; 4] = ["con", "prn", "aux", "nul"];

/// The words of what can be marked on a panel, and of what may come to be: on a command line they end its panels.
pub const ACT_WORDS: [&str; 19] = [
    "start", "done", "dull", "note", "weigh", "thick", "extra", "repeat", "skip", "away", "back", "undo", "abandon",
    "painted", "sold", "given", "broken", "returned", "help",
];

/// A free id for `label`: lower-case letters, digits and hyphens, other scripts told in Latin letters, at most
/// [`Id::MAX_LEN`] long; `-2`, `-3` ... at the end where it is taken; the drawer's word where nothing of the label remains.
pub fn free_id(label: &str, drawer: Drawer, taken: &BTreeSet<Id>) -> Id {
    let base = slugify(label, drawer.noun());
    let mut n = 1;
    loop {
        let text = if n == 1 { base.clone() } else { append_number(&base, n) };
        match Id::new(&text) {
            Some(id) if !taken.contains(&id) => return id,
            Some(_) | None => n += 1,
        }
    }
}

fn append_number(base: &str, n: u32) -> String {
    let end = format!("-{n}");
    let room = Id::MAX_LEN - end.len();
    format!("{}{end}", truncate_id(base, room))
}

/// At most `room` characters, not ending in a hyphen; `base` is ASCII.
fn truncate_id(base: &str, room: usize) -> &str {
    base.get(..room).unwrap_or(base).trim_end_matches('-')
}

/// The label in letters, digits and single hyphens.
fn slugify(label: &str, word: &str) -> String {
    let mut text = String::new();
    for c in deunicode::deunicode_with_tofu(label, "-").chars() {
        if c.is_ascii_alphanumeric() {
            text.push(c.to_ascii_lowercase());
        } else if !text.is_empty() && !text.ends_with('-') {
            text.push('-');
        }
        if text.len() > Id::MAX_LEN {
            break;
        }
    }
    let text = truncate_id(&text, Id::MAX_LEN).to_owned();
    match text.as_str() {
        "" => word.to_owned(),
        name if is_reserved(name) => format!("{word}-{name}"),
        _ => text,
    }
}

fn is_reserved(name: &str) -> bool {
    let port = name.strip_prefix("com").or_else(|| name.strip_prefix("lpt"));
    RESERVED.contains(&name)
        || ACT_WORDS.contains(&name)
        || port.is_some_and(|n| n.len() == 1 && n.bytes().all(|b| b.is_ascii_digit()))
}

/// One thing on the shelf.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ListedStory {
    /// What it is filed under.
    pub id: Id,
    /// What the maker calls it; empty where that cannot be read.
    pub label: String,
}

/// Why a thing was not found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LookupError {
    /// Nothing is called so.
    Unknown {
        /// What kind of thing was looked for.
        noun: String,
        /// What was asked for.
        query: String,
        /// The one with the name most like it, if any is.
        nearest: Option<Id>,
    },
    /// Several are.
    Ambiguous {
        /// What kind of thing was looked for.
        noun: String,
        /// What was asked for.
        query: String,
        /// Those it could be.
        candidates: Vec<ListedStory>,
    },
}

impl fmt::Display for LookupError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            LookupError::Unknown { noun: word, query: asked, nearest } => {
                write!(f, "no {word} is called \"{asked}\", nor begins so; ")?;
                if let Some(nearest) = nearest {
                    write!(f, "did you mean {nearest}? ")?;
                }
                write!(f, "`sottile {word}s` lists them")
            }
            LookupError::Ambiguous { noun: word, query: asked, candidates } => {
                write!(f, "\"{asked}\" could be more than one {word}: ")?;
                for (i, filed) in candidates.iter().enumerate() {
                    let comma = if i == 0 { "" } else { ", " };
                    write!(f, "{comma}{} ({})", filed.id, filed.label)?;
                }
                f.write_str("; give the id")
            }
        }
    }
}

/// Finds by id, else by exact label, else by an unambiguous beginning of either; for beginnings capitals do not count.
/// `word` says what kind of thing it is, for the message.
///
/// # Errors
/// [`LookupError`], with those it could be.
pub fn look_up(filed: &[ListedStory], word: &str, asked: &str) -> Result<Id, LookupError> {
    let small = asked.to_lowercase();
    let begins = |listed: &&ListedStory| {
        listed.id.as_str().starts_with(&small) || listed.label.to_lowercase().starts_with(&small)
    };
    let by_id: Vec<&ListedStory> = filed.iter().filter(|listed| listed.id.as_str() == asked).collect();
    let by_label: Vec<&ListedStory> =
        filed.iter().filter(|listed| !asked.is_empty() && listed.label == asked).collect();
    let by_beginning: Vec<&ListedStory> = filed.iter().filter(|_| !asked.is_empty()).filter(begins).collect();
    let (word, asked) = (word.to_owned(), asked.to_owned());
    match [by_id, by_label, by_beginning].into_iter().find(|found| !found.is_empty()) {
        None => Err(LookupError::Unknown { noun: word, nearest: find_nearest_story(filed, &asked), query: asked }),
        Some(found) => match found.as_slice() {
            [one] => Ok(one.id.clone()),
            many => Err(LookupError::Ambiguous {
                noun: word,
                query: asked,
                candidates: many.iter().map(|listed| (*listed).clone()).collect(),
            }),
        },
    }
}

/// The thing whose id or label is most like what was asked for, if any is like it.
fn find_nearest_story(filed: &[ListedStory], query: &str) -> Option<Id> {
    let names = filed.iter().flat_map(|listed| [listed.id.as_str(), listed.label.as_str()]);
    let nearest = find_nearest_word(query, names)?;
    filed.iter().find(|listed| listed.id.as_str() == nearest || listed.label == nearest).map(|listed| listed.id.clone())
}
