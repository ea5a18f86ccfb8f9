//! A trial tested as it was drawn: the lots are drawn anew within their blocks, all ways where they can be counted, and it
//! is counted how often the effect comes out at least as large (Fisher's randomisation test).
//!
//! The effect is the slope over the levels, each unit against its own block: of two levels half a unit of level apart from
//! each other it is the difference of their means, of three the trend.

use super::split_mix::SplitMix64;

/// Up to so many ways each is gone through.
const MAX_EXACT_WAYS: f64 = 50_000.0;
/// Otherwise so many are drawn.
pub const REDRAWS: usize = 20_000;

/// The part of the ways a nine-in-ten interval leaves out.
const LEFT_OUT: f64 = 0.1;

/// The lots of one factor: the level of each unit, and the blocks within which levels were drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Lots {
    /// By unit; evenly spaced steps count as the level's number.
    pub levels: Vec<f64>,
    /// The numbers of the units of each block.
    pub blocks: Vec<Vec<usize>>,
}

/// What drawing the lots anew says of one outcome.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RedrawResult {
    /// The change for one step of level.
    pub slope: f64,
    /// The share of ways that set it at least as far from nothing.
    pub p_value: f64,
    /// Every slope the same test does not refuse at 1 in 10; infinite where these numbers cannot refuse any.
    pub interval: (f64, f64),
    /// All ways were gone through.
    pub is_exact: bool,
    /// How many ways were looked at.
    pub ways: usize,
}

/// The lots and all their ways, ready for many outcomes.
#[derive(Debug, Clone)]
pub struct RedrawTest {
    units: usize,
    /// Row by row the levels less their block's mean, over the sum of squares; the first row is as it was drawn.
    weights: Vec<f64>,
    /// How far each way resembles the one drawn, -1 to 1.
    likeness: Vec<f64>,
    is_exact: bool,
}

impl Lots {
    /// In how many ways, not counting those that come to the same, the lots could have fallen.
    pub fn count_ways(&self) -> f64 {
        self.blocks.iter().map(|block| count_arrangements(&self.block_levels(block))).product()
    }

    /// The least chance such a draw can show: of lots that read the same turned round, two ways lie farthest.
    pub fn least_p(&self) -> f64 {
        let turned = |block: &Vec<usize>| {
            let rising = self.block_levels(block);
            let middle = rising.first().zip(rising.last()).map_or(0.0, |(a, b)| a + b);
            rising.iter().zip(rising.iter().rev()).all(|(a, b)| (a + b - middle).abs() < 1e-9)
        };
        let farthest = if self.blocks.iter().all(turned) { 2.0 } else { 1.0 };
        (farthest / self.count_ways()).min(1.0)
    }

    fn block_levels(&self, block: &[usize]) -> Vec<f64> {
        let mut levels: Vec<f64> = block.iter().filter_map(|u| self.levels.get(*u).copied()).collect();
        levels.sort_by(f64::total_cmp);
        levels
    }

    /// The levels less the mean of their block.
    fn centre(&self, levels: &[f64]) -> Vec<f64> {
        let mut centred = vec![0.0; levels.len()];
        for block in &self.blocks {
            let mean = block.iter().map(|u| levels[*u]).sum::<f64>() / block.len().max(1) as f64;
            block.iter().for_each(|u| centred[*u] = levels[*u] - mean);
        }
        centred
    }
}

/// (n)! over the factorials of how often each level stands there.
fn count_arrangements(rising: &[f64]) -> f64 {
    let ln_factorial = |n: usize| (2..=n).map(|k| (k as f64).ln()).sum::<f64>();
    let runs = rising.chunk_by(|a, b| a.total_cmp(b).is_eq()).map(|run| ln_factorial(run.len())).sum::<f64>();
    (ln_factorial(rising.len()) - runs).exp().round()
}

/// Every different order of those levels, which rise.
fn arrangements(rising: &[f64]) -> Vec<Vec<f64>> {
    let mut all = vec![rising.to_vec()];
    let mut current = rising.to_vec();
    // The next order by the dictionary (Narayana's rule).
    while let Some(at) = (1..current.len()).rev().find(|i| current[i - 1] < current[*i]) {
        let Some(other) = (at..current.len()).rev().find(|i| current[*i] > current[at - 1]) else { break };
        current.swap(at - 1, other);
        current[at..].reverse();
        all.push(current.clone());
    }
    all
}

impl RedrawTest {
    /// The test of those lots; `draws` ways from `seed` where there are too many to go through. Nothing where no block holds
    /// two levels.
    pub fn new(lots: &Lots, draws: usize, seed: u64) -> Option<RedrawTest> {
        let drawn = lots.centre(&lots.levels);
        let squares: f64 = drawn.iter().map(|c| c * c).sum();
        if squares < 1e-12 {
            return None;
        }
        let is_exact = lots.count_ways() <= MAX_EXACT_WAYS;
        let mut weights = drawn.clone();
        if is_exact {
            let orders: Vec<Vec<Vec<f64>>> = lots.blocks.iter().map(|b| arrangements(&lots.block_levels(b))).collect();
            visit_all(lots, &orders, &mut |levels| {
                let way = lots.centre(levels);
                if way.iter().zip(&drawn).any(|(a, b)| (a - b).abs() > 1e-12) {
                    weights.extend(way);
                }
            });
        } else {
            let mut stream = SplitMix64::new(seed);
            let mut levels = lots.levels.clone();
            for _ in 0..draws {
                shuffle_within(&mut levels, &lots.blocks, &mut stream);
                weights.extend(lots.centre(&levels));
            }
        }
        weights.iter_mut().for_each(|w| *w /= squares);
        let units = lots.levels.len();
        let likeness = weights.chunks(units).map(|way| way.iter().zip(&drawn).map(|(a, b)| a * b).sum()).collect();
        Some(RedrawTest { units, weights, likeness, is_exact })
    }

    /// What the test says of an outcome by unit.
    pub fn test(&self, outcome: &[f64]) -> RedrawResult {
        let slopes = self.slopes(outcome);
        let seen = slopes.first().copied().unwrap_or_default();
        let ways = slopes.len();
        let (mut low, mut high): (Vec<f64>, Vec<f64>) = slopes
            .iter()
            .zip(&self.likeness)
            .map(|(slope, likeness)| counted_shifts(*slope - seen * likeness, *likeness))
            .unzip();
        // As many ways as this may be refused; the shift at which one more would be is the end.
        let kept = (LEFT_OUT * ways as f64 + 1e-9).floor() as usize;
        low.sort_by(f64::total_cmp);
        high.sort_by(|a, b| b.total_cmp(a));
        let end = |ends: &[f64]| seen + ends.get(kept).copied().unwrap_or_default();
        RedrawResult {
            slope: seen,
            p_value: self.share_at_least(&slopes, seen),
            interval: (end(&low), end(&high)),
            is_exact: self.is_exact,
            ways,
        }
    }

    /// The chance alone, without the interval.
    pub fn p_value(&self, outcome: &[f64]) -> f64 {
        let slopes = self.slopes(outcome);
        self.share_at_least(&slopes, slopes.first().copied().unwrap_or_default())
    }

    fn slopes(&self, outcome: &[f64]) -> Vec<f64> {
        self.weights.chunks(self.units).map(|way| way.iter().zip(outcome).map(|(w, y)| w * y).sum()).collect()
    }

    /// What is seen counts among the ways, drawn or gone through (Phipson and Smyth 2010).
    fn share_at_least(&self, slopes: &[f64], seen: f64) -> f64 {
        // Sums in another order differ in their last bits; a way that ties must count.
        let bound = seen.abs() - 1e-9 * (1.0 + seen.abs());
        slopes.iter().filter(|slope| slope.abs() >= bound).count() as f64 / slopes.len().max(1) as f64
    }
}

/// By how much the shift may lie below and above what is seen for a way still to lie as far: the roots of
/// (a - r e)^2 = e^2, with r the likeness of the way and a its slope less r times what is seen.
fn counted_shifts(a: f64, r: f64) -> (f64, f64) {
    let tiny = 1e-9;
    let root = |over: f64| {
        if over > tiny {
            a / over
        } else if a.abs() <= tiny {
            f64::INFINITY
        } else {
            f64::INFINITY * a.signum()
        }
    };
    if a.abs() <= tiny && (1.0 - r.abs()) <= tiny {
        return (f64::NEG_INFINITY, f64::INFINITY);
    }
    let (one, other) = (root(1.0 + r), -root(1.0 - r));
    (one.min(other).min(0.0), one.max(other).max(0.0))
}

/// Puts the levels of each block into another order.
pub fn shuffle_within<T>(levels: &mut [T], blocks: &[Vec<usize>], stream: &mut SplitMix64) {
    for block in blocks {
        for last in (1..block.len()).rev() {
            levels.swap(block[last], block[stream.next_below(last + 1)]);
        }
    }
}

/// Every combination of one order of each block.
fn visit_all(lots: &Lots, orders: &[Vec<Vec<f64>>], take: &mut dyn FnMut(&[f64])) {
    let mut at = vec![0; orders.len()];
    let mut levels = lots.levels.clone();
    loop {
        for (block, (order, number)) in lots.blocks.iter().zip(orders.iter().zip(&at)) {
            block.iter().zip(&order[*number]).for_each(|(unit, level)| levels[*unit] = *level);
        }
        take(&levels);
        let Some(next) = (0..at.len()).find(|b| at[*b] + 1 < orders[*b].len()) else { return };
        at[next] += 1;
        at[..next].fill(0);
    }
}

#[cfg(test)]
#[path = "redraw_tests.rs"]
mod tests;
