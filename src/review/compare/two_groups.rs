//! The two groups that are held against each other, and the age at which they are.

use super::super::GroupBy;
use super::super::panel_row::PanelRow;
use super::groups::{PanelGroup, group_value};
use crate::text::format_number;
use crate::work::advice::inspections::{EARLY_SHARE, INSPECTION_DAYS};

/// Two groups held against each other.
#[derive(Debug, Clone, PartialEq)]
pub struct GroupContrast {
    /// What the first are: "cracked by day 28".
    pub name_a: String,
    /// What the second are.
    pub name_b: String,
    /// The day both are looked at, where they are told apart by what came of them.
    pub day: Option<f64>,
    /// How many panels are in each.
    pub panel_counts: (usize, usize),
    /// From how many pots each, as far as recorded.
    pub pot_counts: (usize, usize),
    /// Panels whose state on that day nobody looked at.
    pub unknown_count: usize,
    /// Chance is reckoned over pots.
    pub tests_pots: bool,
    /// Why no cause can be told, if so.
    pub no_cause_reason: Option<String>,
}

/// The panels of two groups.
pub(super) struct TwoGroups<'a> {
    /// What they are called.
    pub(super) labels: (String, String),
    /// The day both are looked at.
    pub(super) day: Option<f64>,
    pub(super) a: Vec<&'a PanelRow>,
    pub(super) b: Vec<&'a PanelRow>,
    /// Panels whose state on that day nobody looked at.
    pub(super) unknown_count: usize,
}

pub(super) fn select_groups<'a>(by: GroupBy, panels: &[&'a PanelRow], groups: &[PanelGroup]) -> Option<TwoGroups<'a>> {
    let two = |names: (String, String), is_a: &dyn Fn(&PanelRow) -> bool| {
        let (a, b) = panels.iter().partition(|row| is_a(row));
        TwoGroups { labels: names, day: None, a, b, unknown_count: 0 }
    };
    if let (GroupBy::Recipe | GroupBy::Pot | GroupBy::Support | GroupBy::Air, [a, b]) = (by, groups) {
        let named = |g: &PanelGroup| format!("{} {}", by.name(), g.value);
        return Some(two((named(a), named(b)), &|row| group_value(by, row) == a.value));
    }
    split_by_outcome(panels).or_else(|| match panels {
        [a, b] => Some(two((a.story.label.clone(), b.story.label.clone()), &|row| row.story.id == a.story.id)),
        _ => None,
    })
}

/// Whether a panel is known to have cracked by the end of that day, or to have been sound on it.
pub(super) fn had_cracked_by(row: &PanelRow, day: f64) -> Option<bool> {
    let looks = &row.story.outcome.verdicts;
    let by = |age_days: f64| age_days.floor() <= day;
    let faulty = looks.iter().any(|v| !v.sound && by(v.age_days));
    if looks.iter().any(|v| v.cracked && by(v.age_days)) {
        return Some(true);
    }
    let sound = looks.iter().any(|v| v.sound && v.age_days >= day * (1.0 - EARLY_SHARE));
    (sound && !faulty).then_some(false)
}

/// Cracked against sound panels on the day on which the smaller side is largest, then on which most is known; the later of
/// two such days.
pub(super) fn split_by_outcome<'a>(panels: &[&'a PanelRow]) -> Option<TwoGroups<'a>> {
    let youngest = panels.iter().flat_map(|row| &row.story.outcome.verdicts).filter(|v| v.sound && v.age_days >= 0.0);
    let youngest = youngest.map(|v| v.age_days).reduce(f64::min);
    let days = youngest.into_iter().chain(INSPECTION_DAYS.into_iter().map(f64::from));
    let known = |day: f64| {
        let (mut cracked, mut sound) = (0, 0);
        for row in panels {
            match had_cracked_by(row, day) {
                Some(true) => cracked += 1,
                Some(false) => sound += 1,
                None => {}
            }
        }
        (cracked > 0 && sound > 0).then_some((cracked.min(sound), cracked + sound))
    };
    let (_, day) =
        days.filter_map(|day| Some((known(day)?, day))).max_by(|x, y| x.0.cmp(&y.0).then(x.1.total_cmp(&y.1)))?;
    let are =
        |what: bool| panels.iter().copied().filter(|row| had_cracked_by(row, day) == Some(what)).collect::<Vec<_>>();
    let (a, b) = (are(true), are(false));
    let told = format_number(day, 1);
    Some(TwoGroups {
        labels: (format!("cracked by day {told}"), format!("sound on day {told}")),
        day: Some(day),
        unknown_count: panels.len() - a.len() - b.len(),
        a,
        b,
    })
}
