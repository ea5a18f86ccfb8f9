//! Pages to be read and chosen from, and one step of the making, as plain data.

use super::bench_view_model::TimerViewModel;
use super::keymap::KeyHint;

/// What a paragraph is; it is told by its word as well as by its look.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ParagraphKind {
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

impl ParagraphKind {
    /// The word before it.
    pub const fn prefix(self) -> &'static str {
        match self {
            ParagraphKind::Plain | ParagraphKind::Wanted | ParagraphKind::Figure => "",
            ParagraphKind::Caution => "careful: ",
            ParagraphKind::Sign => "look for: ",
        }
    }
}

/// A few words and where they come from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Paragraph {
    /// What it is.
    pub kind: ParagraphKind,
    /// The words.
    pub text: String,
    /// Where they come from; empty where they need no source.
    pub source: String,
}

impl Paragraph {
    /// Words that need no source.
    pub fn new(lead: ParagraphKind, text: impl Into<String>) -> Paragraph {
        Paragraph { kind: lead, text: text.into(), source: String::new() }
    }
}

/// A page: perhaps a choice, and what is to be read of it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PageViewModel {
    /// What stands above it.
    pub title: String,
    /// What can be chosen, each in a line: its name, and how it stands.
    pub choices: Vec<(String, String)>,
    /// The place of the cursor among them.
    pub cursor: usize,
    /// What is to be read.
    pub paragraphs: Vec<Paragraph>,
    /// How many lines of it are scrolled away at the top.
    pub offset: usize,
    /// A question, or what went wrong; empty if nothing.
    pub alert: String,
    /// Keys in groups of a line each, the most needed first; the last always tells how to leave.
    pub keys: Vec<KeyHint>,
}

/// So much of something: "10.9 g" "glue".
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AmountViewModel {
    /// How much, with its unit.
    pub amount: String,
    /// Of what.
    pub of: String,
}

/// One step of a batch being made.
#[derive(Debug, Clone, PartialEq)]
pub struct MakingViewModel {
    /// What is made, and by which recipe.
    pub title: String,
    /// The local time, as it is to be read.
    pub clock: String,
    /// What to do, to be set large.
    pub act: String,
    /// "step 4 of 15".
    pub step_position: String,
    /// What the step is timed by.
    pub timer: Option<TimerViewModel>,
    /// What stands under the digits.
    pub timer_note: String,
    /// How much, to be set large: the sums of all boards.
    pub amounts: Vec<AmountViewModel>,
    /// How, what to look for, what can hurt.
    pub paragraphs: Vec<Paragraph>,
    /// A question, or a word about the recording; empty if nothing.
    pub alert: String,
    /// The keys worth naming.
    pub keys: Vec<KeyHint>,
}
