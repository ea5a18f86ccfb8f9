//! Panels that have something in common, and how many of them came to what.
//!
//! Absent on purpose: two groups held against each other (`sides`).

use super::super::By;
use super::super::facts::Facts;
use super::super::ways::pots;
use crate::units::Id;
use std::collections::{BTreeMap, HashSet};

/// Panels that have something in common.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
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

/// What came of a panel, in a word.
pub fn outcome(f: &Facts) -> &'static str {
    let cracked = f.outcome.verdicts.iter().any(|v| v.cracked);
    match (f.outcome.inspected, f.outcome.sound) {
        (true, _) if cracked => "cracked",
        (true, Some(true)) => "sound",
        (true, Some(false)) => "lifting or mould",
        (true, None) => "not looked over for cracks",
        (false, _) => "not inspected",
    }
}

/// The driest air while coats went on, by tens of per cent.
pub fn driest(f: &Facts) -> String {
    f.air.rh_min_pct.map_or_else(
        || "air not recorded".to_owned(),
        |rh| {
            let low = (rh / 10.0).floor().clamp(0.0, 9.0) * 10.0;
            format!("at its driest {low:.0} to {:.0} %", low + 10.0)
        },
    )
}

pub(super) fn value(by: By, f: &Facts) -> String {
    match by {
        By::Recipe => f.recipe.clone(),
        By::Pot => pots(f),
        By::Support => f.support.to_owned(),
        By::Air => driest(f),
        By::Outcome => outcome(f).to_owned(),
    }
}

pub(super) fn distinct_pots<'a>(panels: impl Iterator<Item = &'a Facts>) -> usize {
    panels.flat_map(|f| &f.pots).map(Id::as_str).collect::<HashSet<_>>().len()
}

pub(super) fn groups(by: By, panels: &[Facts]) -> Vec<Group> {
    let mut members: BTreeMap<String, Vec<&Facts>> = BTreeMap::new();
    for facts in panels {
        members.entry(value(by, facts)).or_default().push(facts);
    }
    let group = |(value, of): (String, Vec<&Facts>)| {
        let are = |what: &str| of.iter().filter(|f| outcome(f) == what).count();
        Group {
            value,
            panels: of.len(),
            pots: distinct_pots(of.iter().copied()),
            sound: are("sound"),
            cracked: are("cracked"),
            not_inspected: are("not inspected"),
            given_up: of.iter().filter(|f| f.given_up.is_some()).count(),
        }
    };
    members.into_iter().map(group).collect()
}
