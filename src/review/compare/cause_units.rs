//! Which panels share a pot of gesso, a pot of size, a day, and over which of these a column is compared.

use super::super::column::CauseUnit;
use super::asked_fault::LookedAtPanel;
use crate::stats::shuffle::Level;
use crate::units::{Span, Stamp};
use std::collections::HashMap;

/// A trifle of how panels differ, as a share of the sum of squares (assumed).
const TRIFLE: f64 = 0.02;

/// Coats begun less than this apart belong to one session: a night is longer (assumed).
const NIGHT: Span = Span::from_s(6 * 3600);

/// The units of the panels looked at.
#[derive(Debug)]
pub(super) struct CauseUnits {
    pub(super) gesso_pot_of: Vec<usize>,
    pub(super) size_pot_of: Vec<usize>,
    pub(super) day_of: Vec<usize>,
    panel_of: Vec<usize>,
    /// Pots of gesso that were not recorded, and are taken to be one for each day.
    pub(super) assumed_pots: usize,
}

/// Numbers names in the order in which they come.
fn number<K: std::hash::Hash + Eq>(keys: impl Iterator<Item = K>) -> Vec<usize> {
    let mut numbers = HashMap::new();
    keys.map(|key| {
        let next = numbers.len();
        *numbers.entry(key).or_insert(next)
    })
    .collect()
}

impl CauseUnits {
    pub(super) fn new(panels: &[LookedAtPanel<'_>]) -> CauseUnits {
        let day_of = number_sessions(panels);
        // A panel belongs to the pot of most of its front coats; without one to that of its day; without that to itself.
        let pot = |(i, p): (usize, &LookedAtPanel<'_>)| match (&p.row.story.front_pot, p.row.story.coating_period) {
            (Some(pot), _) => (Some(pot.as_str().to_owned()), None),
            (None, Some(_)) => (None, Some((true, day_of.get(i).copied()))),
            (None, None) => (None, Some((false, Some(i)))),
        };
        let keys: Vec<_> = panels.iter().enumerate().map(pot).collect();
        let assumed = keys.iter().filter(|(pot, _)| pot.is_none()).collect::<std::collections::HashSet<_>>().len();
        let gesso_pot_of = number(keys.iter());
        let size = |(i, p): (usize, &LookedAtPanel<'_>)| match &p.row.story.size_pot {
            Some(pot) => (Some(pot.as_str().to_owned()), 0),
            None => (None, gesso_pot_of.get(i).copied().unwrap_or(i)),
        };
        CauseUnits {
            size_pot_of: number(panels.iter().enumerate().map(size)),
            panel_of: (0..panels.len()).collect(),
            gesso_pot_of,
            day_of,
            assumed_pots: assumed,
        }
    }

    /// The unit of each panel.
    pub(super) fn unit_of(&self, unit: CauseUnit) -> &[usize] {
        match unit {
            CauseUnit::Panel => &self.panel_of,
            CauseUnit::GessoPot | CauseUnit::Lot => &self.gesso_pot_of,
            CauseUnit::SizePot => &self.size_pot_of,
            CauseUnit::Day => &self.day_of,
        }
    }

    /// How many units there are.
    pub(super) fn count(&self, unit: CauseUnit) -> usize {
        self.unit_of(unit).iter().max().map_or(0, |most| most + 1)
    }

    /// What changes places there: all units with each other, panels within their pot.
    pub(super) fn level(&self, unit: CauseUnit) -> Level {
        let blocks = match unit {
            CauseUnit::Panel => {
                let mut blocks = vec![Vec::new(); self.count(CauseUnit::GessoPot)];
                for (i, pot) in self.gesso_pot_of.iter().enumerate() {
                    blocks[*pot].push(i);
                }
                blocks
            }
            CauseUnit::GessoPot | CauseUnit::SizePot | CauseUnit::Lot | CauseUnit::Day => {
                vec![(0..self.count(unit)).collect()]
            }
        };
        Level { unit_of: self.unit_of(unit).to_vec(), blocks }
    }

    /// The mean of each unit, of what is known.
    pub(super) fn means(&self, unit: CauseUnit, values: &[Option<f64>]) -> Vec<Option<f64>> {
        let mut sums = vec![(0.0, 0.0); self.count(unit)];
        for (u, value) in self.unit_of(unit).iter().zip(values) {
            if let Some(value) = value {
                sums[*u].0 += value;
                sums[*u].1 += 1.0;
            }
        }
        sums.into_iter().map(|(sum, n)| (n > 0.0).then_some(sum / n)).collect()
    }

    /// Over what a column is compared whose usual unit is this: what is equal on all panels of each pot over pots, what is
    /// equal in all pots of each day over days.
    pub(super) fn choose(&self, usual: CauseUnit, rows: &[Vec<Option<f64>>]) -> CauseUnit {
        let equal_in = |unit| rows.iter().all(|values| self.is_equal_in(unit, values));
        let shared = |fine, coarse| self.count(coarse) < self.count(fine);
        match usual {
            CauseUnit::SizePot | CauseUnit::Day => usual,
            CauseUnit::Panel if !equal_in(CauseUnit::GessoPot) => CauseUnit::Panel,
            CauseUnit::Panel | CauseUnit::GessoPot | CauseUnit::Lot
                if shared(CauseUnit::GessoPot, CauseUnit::Day) && equal_in(CauseUnit::Day) =>
            {
                CauseUnit::Day
            }
            CauseUnit::Lot => CauseUnit::Lot,
            CauseUnit::Panel | CauseUnit::GessoPot => CauseUnit::GessoPot,
        }
    }

    /// Whether all but a trifle of how panels differ lies between units: two boards of a pot cure some minutes apart.
    fn is_equal_in(&self, unit: CauseUnit, values: &[Option<f64>]) -> bool {
        let known: Vec<f64> = values.iter().flatten().copied().collect();
        let mean = known.iter().sum::<f64>() / known.len().max(1) as f64;
        let means = self.means(unit, values);
        let within = self.unit_of(unit).iter().zip(values).filter_map(|(u, v)| Some((*v)? - means[*u]?));
        let within: f64 = within.map(|d| d * d).sum();
        let all: f64 = known.iter().map(|v| (v - mean) * (v - mean)).sum();
        within <= TRIFLE * all
    }
}

/// Sessions by the first gesso coat: a new one begins after a night without any.
fn number_sessions(panels: &[LookedAtPanel<'_>]) -> Vec<usize> {
    let begun = |p: &LookedAtPanel<'_>| p.row.story.coating_period.map_or(p.row.story.opened_at, |(first, _)| first);
    let mut order: Vec<(Stamp, usize)> = panels.iter().enumerate().map(|(i, p)| (begun(p), i)).collect();
    order.sort();
    let mut day_of = vec![0; panels.len()];
    let (mut day, mut last) = (0, order.first().map(|(at, _)| *at));
    for (at, i) in order {
        day += usize::from(last.is_some_and(|last| at - last >= NIGHT));
        last = Some(at);
        day_of[i] = day;
    }
    day_of
}
