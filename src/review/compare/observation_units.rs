//! Which panels are one observation.

use super::super::panel_row::PanelRow;
use super::two_groups::TwoGroups;
use std::collections::{HashMap, HashSet};

/// Which observation a panel belongs to: panels that share a pot, directly or through others, are one. A pot with panels
/// on both sides counts once on each; as the two are alike, that makes p larger rather than smaller.
pub(super) struct ObservationUnits {
    /// The unit of each panel of a, then of b.
    unit_of_panel: Vec<usize>,
    /// Fewer units than panels.
    pub(super) has_shared_pots: bool,
    /// Units with panels on both sides.
    pub(super) both_groups_count: usize,
}

impl ObservationUnits {
    pub(super) fn from_groups(sides: &TwoGroups<'_>) -> ObservationUnits {
        let panels: Vec<&PanelRow> = sides.a.iter().chain(&sides.b).copied().collect();
        let mut root: Vec<usize> = (0..panels.len()).collect();
        let mut first: HashMap<&str, usize> = HashMap::new();
        for (i, row) in panels.iter().enumerate() {
            for pot in &row.story.pot_ids {
                let j = *first.entry(pot.as_str()).or_insert(i);
                let (a, b) = (find_root(&mut root, i), find_root(&mut root, j));
                let (low, high) = (a.min(b), a.max(b));
                if let Some(place) = root.get_mut(high) {
                    *place = low;
                }
            }
        }
        let of: Vec<usize> = (0..panels.len()).map(|i| find_root(&mut root, i)).collect();
        let (a, b) = of.split_at(sides.a.len());
        let (in_a, in_b): (HashSet<_>, HashSet<_>) = (a.iter().collect(), b.iter().collect());
        ObservationUnits {
            has_shared_pots: of.iter().collect::<HashSet<_>>().len() < of.len(),
            both_groups_count: in_a.intersection(&in_b).count(),
            unit_of_panel: of,
        }
    }

    /// One value for each unit of one side: the mean of its panels'.
    pub(super) fn unit_means(
        &self,
        from: usize,
        side: &[&PanelRow],
        of: &dyn Fn(&PanelRow) -> Option<f64>,
    ) -> Vec<f64> {
        let mut sums = vec![(0.0, 0.0); self.unit_of_panel.len()];
        for (row, unit) in side.iter().zip(self.unit_of_panel.iter().skip(from)) {
            if let Some((value, (sum, n))) = of(row).zip(sums.get_mut(*unit)) {
                *sum += value;
                *n += 1.0;
            }
        }
        sums.iter().filter(|(_, n)| *n > 0.0).map(|(sum, n)| sum / n).collect()
    }
}

pub(super) fn find_root(root: &mut [usize], mut i: usize) -> usize {
    while let Some(above) = root.get(i).copied().filter(|above| *above != i) {
        // Each step halves the way for the next.
        let higher = root.get(above).copied().unwrap_or(above);
        if let Some(place) = root.get_mut(i) {
            *place = higher;
        }
        i = higher;
    }
    i
}
