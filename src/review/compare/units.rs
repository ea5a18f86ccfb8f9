//! Which panels are one observation.
//!
//! Absent on purpose: what is observed (`fields`).

use super::super::facts::Facts;
use super::sides::Sides;
use std::collections::{HashMap, HashSet};

/// Which observation a panel belongs to: panels that share a pot, directly or through others, are one. A pot with panels
/// on both sides counts once on each; as the two are alike, that makes p larger rather than smaller.
pub(super) struct Units {
    /// The unit of each panel of a, then of b.
    of: Vec<usize>,
    /// Fewer units than panels.
    pub(super) shared: bool,
    /// Units with panels on both sides.
    pub(super) both: usize,
}

impl Units {
    pub(super) fn of(sides: &Sides<'_>) -> Units {
        let panels: Vec<&Facts> = sides.a.iter().chain(&sides.b).copied().collect();
        let mut root: Vec<usize> = (0..panels.len()).collect();
        let mut first: HashMap<&str, usize> = HashMap::new();
        for (i, f) in panels.iter().enumerate() {
            for pot in &f.pots {
                let j = *first.entry(pot.as_str()).or_insert(i);
                let (a, b) = (top(&mut root, i), top(&mut root, j));
                let (low, high) = (a.min(b), a.max(b));
                if let Some(place) = root.get_mut(high) {
                    *place = low;
                }
            }
        }
        let of: Vec<usize> = (0..panels.len()).map(|i| top(&mut root, i)).collect();
        let (a, b) = of.split_at(sides.a.len());
        let (in_a, in_b): (HashSet<_>, HashSet<_>) = (a.iter().collect(), b.iter().collect());
        Units { shared: of.iter().collect::<HashSet<_>>().len() < of.len(), both: in_a.intersection(&in_b).count(), of }
    }

    /// One value for each unit of one side: the mean of its panels'.
    pub(super) fn values(&self, from: usize, side: &[&Facts], of: &dyn Fn(&Facts) -> Option<f64>) -> Vec<f64> {
        let mut sums = vec![(0.0, 0.0); self.of.len()];
        for (f, unit) in side.iter().zip(self.of.iter().skip(from)) {
            if let Some((value, (sum, n))) = of(f).zip(sums.get_mut(*unit)) {
                *sum += value;
                *n += 1.0;
            }
        }
        sums.iter().filter(|(_, n)| *n > 0.0).map(|(sum, n)| sum / n).collect()
    }
}

pub(super) fn top(root: &mut [usize], mut i: usize) -> usize {
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
