//! The sentences of a comparison: what stands behind its two groups, how a figure and a p are read, and what is to be
//! borne in mind.
//!
//! Absent on purpose: the table and the page they stand on (`words`, `html`).

use super::super::facts::Facts;
use super::groups::distinct_pots;
use super::sides::Sides;
use super::units::Units;
use super::{Between, Differs, LeftOut};
use crate::figures::median;
use crate::text::round_to;

impl Sides<'_> {
    pub(super) fn between(&self, units: &Units) -> Between {
        let pots = (distinct_pots(self.a.iter().copied()), distinct_pots(self.b.iter().copied()));
        let recorded = pots.0 > 0 && pots.1 > 0;
        let no_cause = match (recorded, units.both) {
            (true, 0) => Some(format!(
                "No pot served both: every panel {} came from other pots than those {}. Whatever came with the pot cannot be told from whatever else differed, so a cause cannot be told.",
                self.names.0, self.names.1
            )),
            (false, _) => {
                Some("The pots were not recorded on both sides, so a cause cannot be told from the pot.".to_owned())
            }
            (true, _) => None,
        };
        Between {
            a: self.names.0.clone(),
            b: self.names.1.clone(),
            day: self.day,
            panels: (self.a.len(), self.b.len()),
            pots,
            not_known: self.not_known,
            over_pots: units.shared,
            no_cause,
        }
    }
}

/// A p-value as it is read: three places, never "0".
pub fn p_text(p: f64) -> String {
    if p < 0.001 { "less than 0.001".to_owned() } else { round_to(p, 3) }
}

/// Values in rising order as their median and range: "15 min (12 to 31)".
pub(super) fn span(rising: &[f64], unit: &str) -> String {
    match (median(rising), rising.first(), rising.last()) {
        (Some(middle), Some(low), Some(high)) if low != high => {
            format!("{}{unit} ({} to {})", round_to(middle, 2), round_to(*low, 2), round_to(*high, 2))
        }
        (Some(middle), ..) => format!("{}{unit}", round_to(middle, 2)),
        (None, ..) => "not known".to_owned(),
    }
}

pub(super) fn remarks(panels: &[Facts], left_out: &[LeftOut]) -> Vec<String> {
    let count = |is: &dyn Fn(&Facts) -> bool| panels.iter().filter(|f| is(f)).count();
    let are = |n: usize| if n == 1 { "1 panel was".to_owned() } else { format!("{n} panels were") };
    let mut said = Vec::new();
    match count(&|f| !f.outcome.inspected) {
        0 => {}
        n => said.push(format!("{} never inspected, and counted neither as sound nor as cracked.", are(n))),
    }
    match count(&|f| f.given_up.is_some()) {
        0 => {}
        1 => said.push("1 panel was given up, and stays in the count.".to_owned()),
        n => said.push(format!("{n} panels were given up, and stay in the count.")),
    }
    match left_out.len() {
        0 => {}
        1 => said.push("1 story could not be read, and is left out.".to_owned()),
        n => said.push(format!("{n} stories could not be read, and are left out.")),
    }
    let ages: Vec<f64> = panels.iter().filter_map(|f| f.outcome.age_days).collect();
    let (young, old) = (ages.iter().copied().reduce(f64::min), ages.iter().copied().reduce(f64::max));
    if let (Some(young), Some(old)) = (young, old)
        && old - young > 1.0
    {
        said.push(format!(
            "They were last looked at when {} to {} days old; what is younger has had less time to crack.",
            round_to(young, 0),
            round_to(old, 0)
        ));
    }
    said
}

/// The more is tested, the more will look remarkable by chance.
pub(super) fn by_chance(differs: &[Differs]) -> Option<String> {
    let tested = differs.iter().filter(|d| d.p_value.is_some()).count();
    (tested > 1).then(|| {
        format!(
            "{tested} things were tested: of so many, {} would come to p = 0.05 or less by chance alone.",
            round_to(tested as f64 * 0.05, 1)
        )
    })
}
