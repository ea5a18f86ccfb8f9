//! What is learned afterwards: the facts of one story, many held against each other, and the pages and tables told of it.
//!
//! From the ground up: `stats` quantiles, ranks, the permutation test; `facts` one story as one flat row; `around` its pots and the air; `lines` its time
//! line and its maps, for small multiples; `ways` what was done, in words; `compare` many rows against each other;
//! `causes` what of a panel's record the craft connects with a fault; `section` the layers in micrometres; `side` a panel beside others; `again` a
//! recipe of what was done; then one file for each form: `json`, `export`, `csv`, `words`, `card`, `html`.
//!
//! Two rules hold throughout: what was not looked at is not called sound, and panels from one pot are one observation of
//! that pot. Absent on purpose: files, clocks, terminal.

pub mod again;
pub mod around;
pub mod card;
pub mod causes;
pub mod compare;
pub mod csv;
pub mod export;
pub mod facts;
pub mod html;
pub mod json;
pub mod lines;
pub mod section;
pub mod side;
pub mod stats;
pub mod ways;
pub mod words;

/// What panels are grouped by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum By {
    /// Their recipe.
    Recipe,
    /// The pots their coats came from.
    Pot,
    /// What the board is made of.
    Support,
    /// How dry the air was at its driest while coats went on.
    Air,
    /// What came of them: cracked, sound, not inspected.
    Outcome,
}

impl By {
    /// Every grouping, in the order they are told.
    pub const ALL: [By; 5] = [By::Recipe, By::Pot, By::Support, By::Air, By::Outcome];
    /// The word for it.
    pub const fn name(self) -> &'static str {
        match self {
            By::Recipe => "recipe",
            By::Pot => "pot",
            By::Support => "support",
            By::Air => "air",
            By::Outcome => "outcome",
        }
    }
    /// The grouping of that name.
    pub fn named(name: &str) -> Option<By> {
        By::ALL.into_iter().find(|by| by.name() == name)
    }
}

#[cfg(test)]
mod planted_tests;
#[cfg(test)]
#[path = "samples_tests.rs"]
pub(crate) mod samples;
#[cfg(test)]
mod tests;
