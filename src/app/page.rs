//! Pages to be read and chosen from, and one step of the making, as plain data.
//!
//! Absent on purpose: what a key changes in them, clocks, zones, terminal.

use super::scene::{Digits, KeyHint};

/// What a paragraph is; it is told by its word as well as by its look.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Lead {
    /// Plain words.
    Plain,
    /// What is wanted now.
    Wanted,
    /// What can hurt.
    Caution,
    /// What to look for.
    Sign,
    /// Amounts.
    Figure,
}

impl Lead {
    /// The word before it.
    pub const fn word(self) -> &'static str {
        match self {
            Lead::Plain | Lead::Wanted | Lead::Figure => "",
            Lead::Caution => "careful: ",
            Lead::Sign => "look for: ",
        }
    }
}

/// A few words and where they come from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Paragraph {
    /// What it is.
    pub lead: Lead,
    /// The words.
    pub text: String,
    /// Where they come from; empty where they need no source.
    pub source: String,
}

impl Paragraph {
    /// Words that need no source.
    pub fn new(lead: Lead, text: impl Into<String>) -> Paragraph {
        Paragraph { lead, text: text.into(), source: String::new() }
    }
}

/// A page: perhaps a choice, and what is to be read of it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Page {
    /// What stands above it.
    pub title: String,
    /// What can be chosen, each in a line: its name, and how it stands.
    pub choices: Vec<(String, String)>,
    /// The place of the cursor among them.
    pub at: usize,
    /// What is to be read.
    pub paragraphs: Vec<Paragraph>,
    /// A question, or what went wrong; empty if nothing.
    pub problem: String,
    /// Keys in groups of a line each, the most needed first; the last always tells how to leave.
    pub keys: Vec<KeyHint>,
}

/// One step of a batch being made.
#[derive(Debug, Clone, PartialEq)]
pub struct MakingView {
    /// What is made, and by which recipe.
    pub title: String,
    /// The local time, as it is to be read.
    pub clock: String,
    /// What to do, to be set large.
    pub act: String,
    /// "step 4 of 15".
    pub of: String,
    /// What the step is timed by.
    pub digits: Option<Digits>,
    /// What stands under the digits.
    pub due: String,
    /// How, what to look for, what can hurt, how much.
    pub paragraphs: Vec<Paragraph>,
    /// A question, or a word about the recording; empty if nothing.
    pub problem: String,
    /// The keys worth naming.
    pub keys: Vec<KeyHint>,
}
