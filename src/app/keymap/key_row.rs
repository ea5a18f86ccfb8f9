//! What one row of the keymap says.

use crate::app::key::Key;
use crate::app::message::{InputMode, Message};
use crate::units::all_variants;
use strum::VariantArray;

/// A message, the keys that send it, and where they do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeyRow {
    /// What a press asks for.
    pub message: Message,
    /// Where it can be asked for.
    pub modes: &'static [InputMode],
    /// By which keys; the first is the one that sentences name.
    pub keys: Keys,
    /// A press records something by itself, so it must not come from a finger that rests on the key.
    pub records: bool,
    /// What it does, in words. Neighbours with the same words stand in one line of the list of keys.
    pub words: &'static str,
    /// Where it stands in the list of keys.
    pub group: KeyGroup,
}

/// The keys of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Keys {
    /// These.
    Bound(&'static [Key]),
    /// Every character that is bound to nothing else is typed; the list of keys says it with these words.
    Typed(&'static str),
    /// Every key that is bound to nothing else.
    Any,
}

/// A heading of the list of keys.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, VariantArray)]
#[allow(missing_docs, reason = "the headings say it")]
pub enum KeyGroup {
    Recording,
    AfterPress,
    Check,
    Looking,
    Pot,
    Sitting,
    Alarm,
    Answers,
    PotList,
    Making,
    Comparison,
    Offer,
    Sheet,
    List,
    Typing,
    Alternative,
}
all_variants!(KeyGroup);

impl KeyGroup {
    /// The heading.
    pub const fn heading(self) -> &'static str {
        match self {
            KeyGroup::Recording => "Recording",
            KeyGroup::AfterPress => "Straight after a press",
            KeyGroup::Check => "The check",
            KeyGroup::Looking => "Looking",
            KeyGroup::Pot => "The pot",
            KeyGroup::Sitting => "The sitting over finished panels",
            KeyGroup::Alarm => "An alarm",
            KeyGroup::Answers => "Answers in the sitting",
            KeyGroup::PotList => "The list of pots",
            KeyGroup::Making => "A batch being made",
            KeyGroup::Comparison => "Panels side by side",
            KeyGroup::Offer => "Another recipe is offered",
            KeyGroup::Sheet => "Coats put in afterwards",
            KeyGroup::List => "Whatever is read or chosen from",
            KeyGroup::Typing => "Whatever is typed",
            KeyGroup::Alternative => "Also",
        }
    }

    /// Whether the bench's own list of keys has room for it; its screens name the others where they mean something.
    pub const fn is_on_sheet(self) -> bool {
        match self {
            KeyGroup::Recording
            | KeyGroup::AfterPress
            | KeyGroup::Check
            | KeyGroup::Looking
            | KeyGroup::Pot
            | KeyGroup::Sitting
            | KeyGroup::Alarm => true,
            KeyGroup::Answers
            | KeyGroup::PotList
            | KeyGroup::Making
            | KeyGroup::Comparison
            | KeyGroup::Offer
            | KeyGroup::Sheet
            | KeyGroup::List
            | KeyGroup::Typing
            | KeyGroup::Alternative => false,
        }
    }
}
