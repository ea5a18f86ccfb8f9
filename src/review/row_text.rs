//! Words made of several facts of a row, as several outputs use them.

use super::column::join_ids;
use super::panel_row::PanelRow;
use crate::text::{format_count, format_number};
use std::collections::BTreeSet;

/// What came of a panel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OutcomeClass {
    /// A crack was seen, whenever that was.
    Cracked,
    /// Nothing was wrong.
    Sound,
    /// Something was wrong, but no crack.
    LiftingOrMould,
    /// It was inspected, but not so that cracks would have been seen.
    NotJudged,
    /// Nobody looked.
    NotInspected,
}

impl OutcomeClass {
    /// What came of that panel.
    pub fn from_row(row: &PanelRow) -> OutcomeClass {
        let cracked = row.story.outcome.verdicts.iter().any(|v| v.cracked);
        match (row.story.outcome.inspected, row.story.outcome.sound) {
            (true, _) if cracked => OutcomeClass::Cracked,
            (true, Some(true)) => OutcomeClass::Sound,
            (true, Some(false)) => OutcomeClass::LiftingOrMould,
            (true, None) => OutcomeClass::NotJudged,
            (false, _) => OutcomeClass::NotInspected,
        }
    }
    /// The words for it.
    pub const fn name(self) -> &'static str {
        match self {
            OutcomeClass::Cracked => "cracked",
            OutcomeClass::Sound => "sound",
            OutcomeClass::LiftingOrMould => "lifting or mould",
            OutcomeClass::NotJudged => "not looked over for cracks",
            OutcomeClass::NotInspected => "not inspected",
        }
    }
}

/// What came of a panel, and whether it was given up.
pub fn format_outcome(row: &PanelRow) -> String {
    let given_up = if row.story.given_up.is_some() { ", given up" } else { "" };
    format!("{}{given_up}", OutcomeClass::from_row(row).name())
}

/// The pots of a panel as one name.
pub fn format_pots(row: &PanelRow) -> String {
    join_ids(&row.story.pot_ids)
}

/// How many pots of gesso it had.
pub fn count_gesso_pots(row: &PanelRow) -> u32 {
    row.story.pot_uses.iter().filter(|u| u.gesso).map(|u| &u.pot).collect::<BTreeSet<_>>().len() as u32
}

/// So many of a thing, or none.
pub fn format_count_or_none(n: u32, of: &str) -> String {
    match (n, of.strip_prefix("coat ")) {
        (0, _) => "none".to_owned(),
        // "tapped coat" takes its s at the end, "coat on a bone-dry one" at the front.
        (n, Some(rest)) => format!("{} {rest}", format_count(n, "coat")),
        (n, None) => format_count(n, of),
    }
}

/// So many on each face.
pub fn format_faces((front, back): (u32, u32)) -> String {
    let on = |n: u32| if n == 0 { "none".to_owned() } else { n.to_string() };
    format!("{} on the front, {} on the back", on(front), on(back))
}

/// Width, height and thickness.
pub fn format_board_size(row: &PanelRow) -> String {
    let (width, height, thickness) = row.story.size_mm;
    let thick = thickness.map_or_else(|| ", thickness not known".to_owned(), |t| format!(" x {}", format_number(t, 1)));
    format!("{} x {}{thick} mm", format_number(width, 1), format_number(height, 1))
}
