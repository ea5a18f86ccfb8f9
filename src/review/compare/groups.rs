//! Panels that have something in common, and how many of them came to what.

use super::super::GroupBy;
use super::super::panel_row::PanelRow;
use super::super::row_text::{OutcomeClass, format_pots};
use crate::units::{Id, NameKey};
use std::collections::{BTreeMap, HashSet};

/// Panels that have something in common.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelGroup {
    /// What they have in common.
    pub value: String,
    /// How many they are, given-up ones too.
    pub panels: usize,
    /// From how many pots, as far as that was recorded.
    pub pots: usize,
    /// Those looked over and sound.
    pub sound: usize,
    /// Those on which a crack was seen.
    pub cracked: usize,
    /// Those never looked over.
    pub not_inspected: usize,
    /// Those given up.
    pub given_up: usize,
}

/// The driest air while coats went on, by tens of per cent.
pub fn driest_air_range(row: &PanelRow) -> String {
    row.air.rh_min_pct.map_or_else(
        || "air not recorded".to_owned(),
        |rh| {
            let low = (rh / 10.0).floor().clamp(0.0, 9.0) * 10.0;
            format!("at its driest {low:.0} to {:.0} %", low + 10.0)
        },
    )
}

pub(super) fn group_value(by: GroupBy, row: &PanelRow) -> String {
    match by {
        GroupBy::Recipe => row.story.recipe.clone(),
        GroupBy::Pot => format_pots(row),
        GroupBy::Support => row.story.support.name().to_owned(),
        GroupBy::Air => driest_air_range(row),
        GroupBy::Outcome => OutcomeClass::from_row(row).name().to_owned(),
    }
}

pub(super) fn count_distinct_pots<'a>(panels: impl Iterator<Item = &'a PanelRow>) -> usize {
    panels.flat_map(|f| &f.story.pot_ids).map(Id::as_str).collect::<HashSet<_>>().len()
}

pub(super) fn group_panels(by: GroupBy, panels: &[PanelRow]) -> Vec<PanelGroup> {
    let mut members: BTreeMap<NameKey<String>, Vec<&PanelRow>> = BTreeMap::new();
    for row in panels {
        members.entry(NameKey(group_value(by, row))).or_default().push(row);
    }
    let group = |(NameKey(value), of): (NameKey<String>, Vec<&PanelRow>)| {
        let count = |class| of.iter().filter(|row| OutcomeClass::from_row(row) == class).count();
        PanelGroup {
            value,
            panels: of.len(),
            pots: count_distinct_pots(of.iter().copied()),
            sound: count(OutcomeClass::Sound),
            cracked: count(OutcomeClass::Cracked),
            not_inspected: count(OutcomeClass::NotInspected),
            given_up: of.iter().filter(|row| row.story.given_up.is_some()).count(),
        }
    };
    members.into_iter().map(group).collect()
}
