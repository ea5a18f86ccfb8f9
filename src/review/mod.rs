//! What is learned afterwards: the facts of one story, many held against each other, and the pages and tables told of it.
//!
//! From the ground up: `facts` one story as one flat row; `around` its pots and the air; `lines` its time
//! line and its maps, for small multiples; `ways` what was done, in words; `compare` many rows against each other;
//! `causes` what of a panel's record the craft connects with a fault; `section` the layers in micrometres; `side` a panel beside others; `again` a
//! recipe of what was done; then one file for each form: `json`, `export`, `csv`, `words`, `card`, `html`.
//!
//! Two rules hold throughout: what was not looked at is not called sound, and panels from one pot are one observation of
//! that pot. Absent on purpose: files, clocks, terminal.

pub mod attributes;
pub mod card;
pub mod compare;
pub mod compared_panels;
pub mod comparison_text;
pub mod cross_section;
pub mod csv;
pub mod export;
pub mod html;
pub mod json;
pub mod panel_row;
pub mod panel_timeline;
pub mod possible_causes;
pub mod pots_and_air;
pub mod recipe_from_story;

/// What panels are grouped by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum GroupBy {
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

impl GroupBy {
    /// Every grouping, in the order they are told.
    pub const ALL: [GroupBy; 5] = [GroupBy::Recipe, GroupBy::Pot, GroupBy::Support, GroupBy::Air, GroupBy::Outcome];
    /// The word for it.
    pub const fn name(self) -> &'static str {
        match self {
            GroupBy::Recipe => "recipe",
            GroupBy::Pot => "pot",
            GroupBy::Support => "support",
            GroupBy::Air => "air",
            GroupBy::Outcome => "outcome",
        }
    }
    /// The grouping of that name.
    pub fn from_name(name: &str) -> Option<GroupBy> {
        GroupBy::ALL.into_iter().find(|by| by.name() == name)
    }
}

#[cfg(test)]
mod planted_tests;
#[cfg(test)]
#[path = "samples_tests.rs"]
pub(crate) mod samples;
#[cfg(test)]
mod tests;
