//! The two-sided permutation test of two groups, and the means and ranks it needs.
//!
//! A permutation test asks in how many of all ways to deal the values out to two groups of these sizes the groups would
//! lie at least as far apart as they do (Fisher 1935; Pitman 1937). It assumes nothing of how values are spread, and it
//! is exact where every way is gone through. Where there are too many, samples are drawn from a seed, so that the same
//! groups always give the same p.

use super::split_mix::SplitMix64;

/// With fewer on a side than this nothing is tested: three and three can at best come to p = 0.1.
pub const MIN_GROUP_SIZE: usize = 3;

/// Up to this many ways to deal the values out, every one is gone through.
pub const MAX_EXACT_COMBINATIONS: u64 = 200_000;

/// Beyond that, so many are drawn.
pub const SAMPLE_COUNT: u32 = 20_000;

/// By what two groups are held against each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TestStatistic {
    /// The difference of their means.
    MeanDifference,
    /// The difference of their mean ranks, ties sharing theirs: the exact rank-sum test. For grades.
    MeanRankDifference,
}

/// The outcome of a permutation test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PermutationResult {
    /// The share of ways that lie at least as far apart, 0 to 1.
    pub p_value: f64,
    /// Whether every way was gone through.
    pub is_exact: bool,
}

/// The mean; nothing of no values.
pub fn mean(values: &[f64]) -> Option<f64> {
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
}

/// The ranks of values, from 1; equal values share the mean of theirs.
pub fn ranks(values: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
    let mut ranks = vec![0.0; values.len()];
    let mut from = 0;
    while let Some(first) = order.get(from) {
        let alike = order[from..].iter().take_while(|i| values[**i] == values[*first]).count().max(1);
        for i in &order[from..from + alike] {
            ranks[*i] = from as f64 + (alike as f64 + 1.0) / 2.0;
        }
        from += alike;
    }
    ranks
}

/// In how many ways `k` of `n` can be chosen; the largest number there is, where it is more.
fn count_combinations(n: usize, k: usize) -> u64 {
    let k = k.min(n - k) as u64;
    let all = (0..k).try_fold(1_u128, |ways, i| {
        let ways = ways * u128::from(n as u64 - i) / u128::from(i + 1);
        (ways <= u128::from(u64::MAX)).then_some(ways)
    });
    all.map_or(u64::MAX, |ways| ways as u64)
}

/// The two-sided permutation test of two groups; nothing where a side is empty or holds what is no number. `seed` matters
/// only where ways are drawn; then the observed way counts among them, so that p is never 0 (Phipson and Smyth 2010).
pub fn permutation_test(a: &[f64], b: &[f64], by: TestStatistic, seed: u64) -> Option<PermutationResult> {
    if a.is_empty() || b.is_empty() || a.iter().chain(b).any(|v| !v.is_finite()) {
        return None;
    }
    let mut values: Vec<f64> = a.iter().chain(b).copied().collect();
    if by == TestStatistic::MeanRankDifference {
        values = ranks(&values);
    }
    let chosen = a.len();
    let apart = GroupDistance { total_sum: values.iter().sum() };
    let seen = apart.distance(&values, &mut |i| i < chosen);
    // Sums in another order differ in their last bits; a way that ties with the seen one must count.
    let enough = seen - 1e-9 * (1.0 + values.iter().fold(0.0_f64, |m, v| m.max(v.abs())));
    if count_combinations(values.len(), chosen) <= MAX_EXACT_COMBINATIONS {
        let (mut all, mut far) = (0_u64, 0_u64);
        for_each_combination(values.len(), chosen, &mut |is_in: &[bool]| {
            all += 1;
            far += u64::from(apart.distance(&values, &mut |i| is_in[i]) >= enough);
        });
        return Some(PermutationResult { p_value: far as f64 / all as f64, is_exact: true });
    }
    let far = 1 + apart.count_far_samples(&mut values, chosen, enough, seed);
    Some(PermutationResult { p_value: f64::from(far) / f64::from(SAMPLE_COUNT + 1), is_exact: false })
}

/// How far apart the means of two groups lie.
struct GroupDistance {
    total_sum: f64,
}

impl GroupDistance {
    /// `is_in` tells whether the value of that place is in the first group.
    fn distance(&self, values: &[f64], is_in: &mut dyn FnMut(usize) -> bool) -> f64 {
        let (mut sum, mut n) = (0.0, 0.0);
        for (i, value) in values.iter().enumerate() {
            if is_in(i) {
                sum += value;
                n += 1.0;
            }
        }
        self.distance_from_sum(sum, n, values.len())
    }

    /// Where the values of one group, `n` of `all`, come to `sum`.
    fn distance_from_sum(&self, sum: f64, n: f64, all: usize) -> f64 {
        (sum / n - (self.total_sum - sum) / (all as f64 - n)).abs()
    }

    /// Of [`SAMPLE_COUNT`] ways drawn, in how many the groups lie `enough` apart. `values` are left in another order.
    ///
    /// It is the smaller group that is dealt: which of the two is named first makes no difference to how far apart they
    /// lie, and what the other holds follows from the total.
    fn count_far_samples(&self, values: &mut [f64], chosen: usize, enough: f64, seed: u64) -> u32 {
        let (all, few) = (values.len(), chosen.min(values.len() - chosen));
        let mut stream = SplitMix64::new(seed);
        let mut far = 0;
        for _ in 0..SAMPLE_COUNT {
            let mut sum = 0.0;
            for i in 0..few {
                values.swap(i, i + stream.next_below(all - i));
                sum += values[i];
            }
            far += u32::from(self.distance_from_sum(sum, few as f64, all) >= enough);
        }
        far
    }
}

/// Goes through every choice of `k` of `n`, each as who is in.
fn for_each_combination(n: usize, k: usize, see: &mut dyn FnMut(&[bool])) {
    let mut chosen: Vec<usize> = (0..k).collect();
    let mut is_in = vec![false; n];
    loop {
        is_in.fill(false);
        for i in &chosen {
            is_in[*i] = true;
        }
        see(&is_in);
        // The last one that can still move on does, and those behind it follow close.
        let Some(at) = (0..k).rev().find(|at| chosen[*at] < n - k + at) else { return };
        chosen[at] += 1;
        for behind in at + 1..k {
            chosen[behind] = chosen[behind - 1] + 1;
        }
    }
}

#[cfg(test)]
mod tests;
