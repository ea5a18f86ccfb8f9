//! What should be said now: how an act is called, what makes it come out right, what can hurt, what lateness means, and
//! which calls a wait has.
//!
//! From the ground up: `source` where a line comes from; `board_water` what a cure leaves and what weighings say; `words` how acts and times are said; `fact_text` a story in
//! sentences; `stages` the tips of each stage; `offers` what a wait is good for; `cautions` where work can hurt;
//! `lateness` what early and late mean; `neighbours` what else on the bench makes an act dangerous; `making` how a batch is made; `waits` what the air and the maker's own marks
//! say of a wait, and of sealing; `tables` how coarse a paper is and what of a dust may be breathed; `ground_tests` how
//! a ground is tried out and `test_map` where on a board; `inspections` looking a finished panel over; `recipe_words` what a recipe means; `rehearsal` the lines a newcomer is led by; `wait_calls` when to ring, and when not.
//!
//! Lines are short enough to be read at a glance (70 characters) and advise; nothing here forbids. Words that a maker
//! typed pass through as they are; whoever draws them cleans them.

pub mod board_water;
pub mod cautions;
pub mod fact_text;
pub mod ground_tests;
pub mod inspections;
pub mod lateness;
pub mod making;
pub mod neighbours;
pub mod offers;
pub mod plan_notes;
pub mod recipe_words;
pub mod rehearsal;
pub mod source;
pub mod stages;
pub mod tables;
pub mod test_map;
pub mod wait_calls;
pub mod waits;
pub mod words;

#[cfg(test)]
mod tests;
#[cfg(test)]
mod waits_tests;

use std::borrow::Cow;
use std::fmt;

/// The most characters of a tip, an offer or a caution.
#[cfg(test)]
const LINE_MAX: usize = 70;

/// One line of advice and where it comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tip {
    /// The line, at most 70 characters.
    pub text: Cow<'static, str>,
    /// Where it comes from, in words.
    pub source: &'static str,
}

impl Tip {
    /// A line of that text and source.
    pub fn new(text: impl Into<Cow<'static, str>>, source: &'static str) -> Tip {
        Tip { text: text.into(), source }
    }
}

impl fmt::Display for Tip {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

/// One caution and where it comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CautionLine {
    /// The line, at most 70 characters.
    pub text: &'static str,
    /// Where it comes from, in words.
    pub source: &'static str,
}

impl fmt::Display for CautionLine {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.text)
    }
}
