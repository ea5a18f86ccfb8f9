//! The two groups that are held against each other, and the age at which they are.
//!
//! Absent on purpose: how far apart they lie (`differs`).

use super::super::By;
use super::super::facts::Facts;
use super::groups::{Group, value};
use crate::text::round_to;
use crate::work::advice::inspections::{DAYS, EARLY_BY};

/// The panels of two groups.
pub(super) struct Sides<'a> {
    /// What they are called.
    pub(super) names: (String, String),
    /// The day both are looked at.
    pub(super) day: Option<f64>,
    pub(super) a: Vec<&'a Facts>,
    pub(super) b: Vec<&'a Facts>,
    /// Panels whose state on that day nobody looked at.
    pub(super) not_known: usize,
}

pub(super) fn sides<'a>(by: By, panels: &[&'a Facts], groups: &[Group]) -> Option<Sides<'a>> {
    let two = |names: (String, String), is_a: &dyn Fn(&Facts) -> bool| {
        let (a, b) = panels.iter().partition(|f| is_a(f));
        Sides { names, day: None, a, b, not_known: 0 }
    };
    if let (By::Recipe | By::Pot | By::Support | By::Air, [a, b]) = (by, groups) {
        let named = |g: &Group| format!("{} {}", by.name(), g.value);
        return Some(two((named(a), named(b)), &|f| value(by, f) == a.value));
    }
    by_outcome(panels).or_else(|| match panels {
        [a, b] => Some(two((a.label.clone(), b.label.clone()), &|f| f.id == a.id)),
        _ => None,
    })
}

/// Whether a panel is known to have cracked by the end of that day, or to have been sound on it.
pub(super) fn cracked_by(f: &Facts, day: f64) -> Option<bool> {
    let looks = &f.outcome.verdicts;
    let by = |age_days: f64| age_days.floor() <= day;
    let faulty = looks.iter().any(|v| !v.sound && by(v.age_days));
    if looks.iter().any(|v| v.cracked && by(v.age_days)) {
        return Some(true);
    }
    let sound = looks.iter().any(|v| v.sound && v.age_days >= day * (1.0 - EARLY_BY));
    (sound && !faulty).then_some(false)
}

/// Cracked against sound panels on the day on which the smaller side is largest, then on which most is known; the later of
/// two such days.
pub(super) fn by_outcome<'a>(panels: &[&'a Facts]) -> Option<Sides<'a>> {
    let youngest = panels.iter().flat_map(|f| &f.outcome.verdicts).filter(|v| v.sound && v.age_days >= 0.0);
    let youngest = youngest.map(|v| v.age_days).reduce(f64::min);
    let days = youngest.into_iter().chain(DAYS.into_iter().map(f64::from));
    let known = |day: f64| {
        let (mut cracked, mut sound) = (0, 0);
        for f in panels {
            match cracked_by(f, day) {
                Some(true) => cracked += 1,
                Some(false) => sound += 1,
                None => {}
            }
        }
        (cracked > 0 && sound > 0).then_some((cracked.min(sound), cracked + sound))
    };
    let (_, day) =
        days.filter_map(|day| Some((known(day)?, day))).max_by(|x, y| x.0.cmp(&y.0).then(x.1.total_cmp(&y.1)))?;
    let are = |what: bool| panels.iter().copied().filter(|f| cracked_by(f, day) == Some(what)).collect::<Vec<_>>();
    let (a, b) = (are(true), are(false));
    let told = round_to(day, 1);
    Some(Sides {
        names: (format!("cracked by day {told}"), format!("sound on day {told}")),
        day: Some(day),
        not_known: panels.len() - a.len() - b.len(),
        a,
        b,
    })
}
