//! What is learned afterwards: the facts of one story, many held against each other, and the pages and tables told of it.
//!
//! From the ground up: `seen_fault` what a look can find; `outcome` what came of a panel; `story_facts` what one story
//! tells by itself; `pots_and_air` what was around it; `panel_row` both together as one row; `columns` everything known of
//! a row, in one list, and where it is shown; `attributes` what was done, in words; `compare` many rows against each other;
//! `possible_causes` what of a panel's record the craft connects with a fault; `panel_timeline` and `cross_section` what is
//! drawn of a story; `recipe_from_story` what was done as a recipe; then one file for each form: `json`, `export`, `csv`,
//! `tables`, `comparison_text`, `card`, `label`, `html`.
//!
//! Two rules hold throughout: what was not looked at is not called sound, and panels from one pot are one observation of
//! that pot.

pub mod attributes;
pub mod card;
pub mod column;
pub mod columns;
pub mod compare;
pub mod compared_panels;
pub mod comparison_text;
pub mod cross_section;
pub mod csv;
pub mod export;
pub mod html;
pub mod json;
pub mod label;
pub mod outcome;
pub mod panel_row;
pub mod panel_timeline;
pub mod possible_causes;
pub mod pots_and_air;
pub mod recipe_from_story;
pub mod row_text;
pub mod schemas;
pub mod seen_fault;
pub mod standing_steps;
pub mod story_facts;
pub mod tables;
pub mod trial;
pub mod trial_page;

use crate::units::written_words;
use strum::{VariantArray, VariantNames};

/// What panels are grouped by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, VariantArray, VariantNames)]
#[strum(serialize_all = "lowercase")]
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
written_words!(GroupBy);

#[cfg(test)]
mod causes_tests;
#[cfg(test)]
mod planted_tests;
#[cfg(test)]
#[path = "samples_tests.rs"]
pub(crate) mod samples;
#[cfg(test)]
mod tests;
