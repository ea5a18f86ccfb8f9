//! Many panels held against each other, honestly.
//!
//! What was done differently comes first, in words. Then groups, with how many panels and how many pots stand behind
//! each. Then two groups against each other: medians and ranges, and how often chance alone would set them as far apart.
//! Panels that share a pot are one observation of it, so chance is reckoned over pots; cracked and sound panels are held
//! against each other at the same age; what was not looked at is not sound; given-up panels stay in the count; and where
//! the groups share no pot, nothing is said of a cause.
//!
//! Here is what a comparison holds, and the order it is made in. `groups` who has something in common, `sides` which two
//! groups are held against each other and when, `units` which panels are one observation, `fields` what is looked at,
//! `differs` where the sides differ, `said` the sentences. None of it takes more than a few passes over the rows, since
//! ten thousand of them are compared as well as ten. Absent on purpose: reading stories, printing.

mod differs;
mod fields;
mod groups;
mod said;
mod sides;
mod units;

pub use fields::FIELDS;
pub use groups::{Group, driest, outcome};
pub use said::p_text;

use super::By;
use super::facts::Facts;
use crate::units::Id;
use std::collections::HashMap;

/// A story that could not be taken into a comparison.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftOut {
    /// Its file.
    pub path: String,
    /// Why.
    pub said: String,
}

/// Two groups held against each other.
#[derive(Debug, Clone, PartialEq)]
pub struct Between {
    /// What the first are: "cracked by day 28".
    pub a: String,
    /// What the second are.
    pub b: String,
    /// The day both are looked at, where they are told apart by what came of them.
    pub day: Option<f64>,
    /// How many panels are in each.
    pub panels: (usize, usize),
    /// From how many pots each, as far as recorded.
    pub pots: (usize, usize),
    /// Panels whose state on that day nobody looked at.
    pub not_known: usize,
    /// Chance is reckoned over pots.
    pub over_pots: bool,
    /// Why no cause can be told, if so.
    pub no_cause: Option<String>,
}

/// A figure or a word.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A median.
    Number(f64),
    /// Words, with how many panels each.
    Words(String),
    /// Nobody knows.
    Unknown,
}

/// One field in which two groups differ.
#[derive(Debug, Clone, PartialEq)]
pub struct Differs {
    /// Its name, as in the table.
    pub field: &'static str,
    /// The first group.
    pub a: Value,
    /// The second group.
    pub b: Value,
    /// How often chance alone would set them as far apart; nothing where that cannot be said.
    pub p_value: Option<f64>,
    /// From how many pots the first group's values come.
    pub pots_a: usize,
    /// From how many pots the second group's values come.
    pub pots_b: usize,
    /// All of it in a sentence.
    pub said: String,
}

/// Panels side by side.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// What they are grouped by.
    pub by: By,
    /// A row for each, those of one group together, then by the time they were opened.
    pub panels: Vec<Facts>,
    /// What was done differently, in words.
    pub differently: Vec<String>,
    /// What was alike.
    pub alike: Option<String>,
    /// The groups.
    pub groups: Vec<Group>,
    /// The two groups held against each other, if there are two.
    pub between: Option<Between>,
    /// Where they differ.
    pub differs: Vec<Differs>,
    /// What is to be borne in mind in reading it.
    pub remarks: Vec<String>,
    /// Stories that could not be taken in.
    pub left_out: Vec<LeftOut>,
    /// Which panels are on the first side, which on the second.
    sides: HashMap<Id, bool>,
}

impl Comparison {
    /// Whether a panel is on the first side of what is held against each other; nothing if it is on neither.
    pub fn side(&self, f: &Facts) -> Option<bool> {
        self.sides.get(&f.id).copied()
    }
}

/// Holds panels against each other.
pub fn compare(mut panels: Vec<Facts>, by: By, left_out: Vec<LeftOut>) -> Comparison {
    panels.sort_by_cached_key(|f| (groups::value(by, f), f.opened_at, f.id.clone()));
    let rows: Vec<&Facts> = panels.iter().collect();
    let groups = groups::groups(by, &panels);
    let sides = sides::sides(by, &rows, &groups);
    let (between, differs) = match &sides {
        Some(sides) => {
            let units = units::Units::of(sides);
            (Some(sides.between(&units)), differs::differs(sides, &units))
        }
        None => (None, differs::spread(&panels)),
    };
    let mut remarks = said::remarks(&panels, &left_out);
    remarks.extend(said::by_chance(&differs));
    let on = |side: &[&Facts], first: bool| side.iter().map(|f| (f.id.clone(), first)).collect::<Vec<_>>();
    let members =
        sides.as_ref().map_or_else(HashMap::new, |s| on(&s.a, true).into_iter().chain(on(&s.b, false)).collect());
    Comparison {
        by,
        differently: super::ways::differently(&panels),
        alike: super::ways::alike(&panels),
        groups,
        between,
        differs,
        remarks,
        left_out,
        sides: members,
        panels,
    }
}
