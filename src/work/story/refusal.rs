//! Why a fact has no place in a story, and which words are taken in: the same of panels and pots.

use crate::units::{Span, Stamp};
use std::fmt;

/// A fact may lie this far ahead of the clock; clocks of two machines differ (common practice, no source).
pub const AHEAD_MAX: Span = Span::from_s(120);

/// The most characters kept of what a maker types.
pub const TEXT_CHARS_MAX: usize = 4000;

/// Why a fact has no place in a story. `R` is why a fact of that story can be refused at all.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs, reason = "the fields are what the sentence names")]
pub enum OrderRefusal<R> {
    /// The first fact of a story is not its opening.
    NotOpened,
    /// Before the opening of a panel or a pot, as `of` says.
    BeforeOpening { of: &'static str },
    /// Too far ahead of the clock.
    TooFarAhead { by: Span },
    /// A later fact would become impossible.
    StoryBreaks { at: Stamp, fact: String, cause: Box<R> },
    /// Nothing can be taken back.
    NothingToTakeBack,
    /// A take-back that does not name the last standing fact.
    NotTheLastFact { seq: u64 },
    /// The last fact is not the one the maker saw.
    LastFactChanged,
}

impl<R: fmt::Display> fmt::Display for OrderRefusal<R> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            OrderRefusal::NotOpened => f.write_str("the story does not begin with its opening"),
            OrderRefusal::BeforeOpening { of } => {
                write!(f, "that lies before the {of} was opened; give a later time")
            }
            OrderRefusal::TooFarAhead { by } => {
                write!(f, "that lies {:.0} min ahead; it can be recorded once it has happened", by.minutes())
            }
            OrderRefusal::StoryBreaks { fact, cause, .. } => {
                write!(f, "then a later entry ({fact}) could not be true: {cause}")
            }
            OrderRefusal::NothingToTakeBack => f.write_str("nothing is left to take back; the opening stays"),
            OrderRefusal::NotTheLastFact { seq } => write!(f, "entry {seq} is not the last one standing"),
            OrderRefusal::LastFactChanged => {
                f.write_str("something else was recorded since; look again before taking back")
            }
        }
    }
}

impl<R> OrderRefusal<R> {
    /// Refuses a time too far ahead of the clock.
    ///
    /// # Errors
    /// [`OrderRefusal::TooFarAhead`].
    pub fn check_not_ahead(at: Stamp, clock: Stamp) -> Result<(), OrderRefusal<R>> {
        let by = at - clock;
        if by > AHEAD_MAX { Err(OrderRefusal::TooFarAhead { by }) } else { Ok(()) }
    }
}

/// Why words are not taken in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TextRefusal {
    /// Words are missing.
    Empty,
    /// More words than fit in a line.
    TooLong,
}

impl fmt::Display for TextRefusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            TextRefusal::Empty => f.write_str("it needs a word or two"),
            TextRefusal::TooLong => write!(f, "that is too long; at most {TEXT_CHARS_MAX} characters are kept"),
        }
    }
}

/// The maker's words, trimmed; none and too many are refused.
///
/// # Errors
/// Which of the two it is.
pub fn validate_text(text: &str) -> Result<String, TextRefusal> {
    let text = text.trim();
    if text.is_empty() {
        return Err(TextRefusal::Empty);
    }
    if text.chars().count() > TEXT_CHARS_MAX {
        return Err(TextRefusal::TooLong);
    }
    Ok(text.to_owned())
}
