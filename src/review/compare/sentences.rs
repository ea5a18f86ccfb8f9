//! The sentences of a comparison: what stands behind its two groups, how a figure and a p are read, and what is to be
//! borne in mind.

use super::super::panel_row::PanelRow;
use super::groups::count_distinct_pots;
use super::observation_units::ObservationUnits;
use super::two_groups::{GroupContrast, TwoGroups};
use crate::stats::median;
use crate::text::{format_count, format_number};

impl TwoGroups<'_> {
    pub(super) fn contrast(&self, units: &ObservationUnits) -> GroupContrast {
        let pots = (count_distinct_pots(self.a.iter().copied()), count_distinct_pots(self.b.iter().copied()));
        let recorded = pots.0 > 0 && pots.1 > 0;
        let no_cause = match (recorded, units.both_groups_count) {
            (true, 0) => Some(format!(
                "No pot served both: every panel {} came from other pots than those {}. Whatever came with the pot cannot be told from whatever else differed, so a cause cannot be told.",
                self.labels.0, self.labels.1
            )),
            (false, _) => {
                Some("The pots were not recorded on both sides, so a cause cannot be told from the pot.".to_owned())
            }
            (true, _) => None,
        };
        GroupContrast {
            name_a: self.labels.0.clone(),
            name_b: self.labels.1.clone(),
            day: self.day,
            panel_counts: (self.a.len(), self.b.len()),
            pot_counts: pots,
            unknown_count: self.unknown_count,
            tests_pots: units.has_shared_pots,
            no_cause_reason: no_cause,
        }
    }
}

/// A p-value as it is read: three places, never "0".
pub fn format_p_value(p: f64) -> String {
    if p < 0.001 { "less than 0.001".to_owned() } else { format_number(p, 3) }
}

/// Values in rising order as their median and range: "15 min (12 to 31)".
pub(super) fn format_median_range(rising: &[f64], unit: &str) -> String {
    match (median(rising), rising.first(), rising.last()) {
        (Some(middle), Some(low), Some(high)) if low != high => {
            format!("{}{unit} ({} to {})", format_number(middle, 2), format_number(*low, 2), format_number(*high, 2))
        }
        (Some(middle), ..) => format!("{}{unit}", format_number(middle, 2)),
        (None, ..) => "not known".to_owned(),
    }
}

pub(super) fn comparison_remarks(panels: &[PanelRow], left_out_count: usize) -> Vec<String> {
    let count = |is: &dyn Fn(&PanelRow) -> bool| panels.iter().filter(|row| is(row)).count();
    let are = |n: usize| format!("{} {}", format_count(n, "panel"), if n == 1 { "was" } else { "were" });
    let mut messages = Vec::new();
    match count(&|row| !row.story.outcome.inspected) {
        0 => {}
        n => messages.push(format!("{} never inspected, and counted neither as sound nor as cracked.", are(n))),
    }
    match count(&|row| row.story.given_up.is_some()) {
        0 => {}
        1 => messages.push("1 panel was given up, and stays in the count.".to_owned()),
        n => messages.push(format!("{n} panels were given up, and stay in the count.")),
    }
    match left_out_count {
        0 => {}
        1 => messages.push("1 story could not be read, and is left out.".to_owned()),
        n => messages.push(format!("{n} stories could not be read, and are left out.")),
    }
    let ages: Vec<f64> = panels.iter().filter_map(|row| row.story.outcome.age_days).collect();
    let (young, old) = (ages.iter().copied().reduce(f64::min), ages.iter().copied().reduce(f64::max));
    if let (Some(young), Some(old)) = (young, old)
        && old - young > 1.0
    {
        messages.push(format!(
            "They were last looked at when {} to {} days old; what is younger has had less time to crack.",
            format_number(young, 0),
            format_number(old, 0)
        ));
    }
    messages
}
