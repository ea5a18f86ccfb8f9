//! What was asked of a shelf, and the answer.

use super::asked_fault::AskedFault;
use crate::units::written_words;
use strum::{VariantArray, VariantNames};

/// What kind of answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, VariantArray, VariantNames)]
#[strum(serialize_all = "lowercase")]
pub enum AnswerKind {
    /// One cause, with what it brings about by itself.
    One,
    /// Nothing is certain; something is nearest.
    Hint,
    /// Several that go with the fault and with each other.
    Together,
    /// Nothing stands out.
    Nothing,
    /// These records cannot say.
    Cannot,
}
written_words!(AnswerKind);

/// The answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// Its kind.
    pub kind: AnswerKind,
    /// The columns it names, the first first.
    pub fields: Vec<&'static str>,
    /// It, in a painter's words.
    pub message: String,
    /// Of those that go together, how often they did.
    pub crossing: Option<String>,
}

impl Answer {
    /// An answer of those sentences; empty ones are left out.
    pub fn new(kind: AnswerKind, fields: Vec<&'static str>, sentences: &[String]) -> Answer {
        let said: Vec<&str> = sentences.iter().map(String::as_str).filter(|s| !s.is_empty()).collect();
        Answer { kind, fields, message: said.join(" "), crossing: None }
    }
}

/// What was asked of the panels, and over how much the answer rests.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// The fault.
    pub fault: AskedFault,
    /// The answer.
    pub answer: Answer,
    /// Pots of size among the panels looked at.
    pub size_pots: usize,
    /// Pots of gesso among them.
    pub gesso_pots: usize,
    /// Of those, pots nobody recorded: what was laid on one day without a pot is taken to be from one.
    pub assumed_pots: usize,
    /// Panels looked at.
    pub panels: usize,
    /// Told columns that could be held against the fault.
    pub told_count: usize,
    /// Orders gone through or drawn.
    pub draws: usize,
    /// The standard error of the first chance, where orders were drawn; else 0.
    pub p_error: f64,
    /// Pots within which panels changed places.
    pub strata: usize,
}
