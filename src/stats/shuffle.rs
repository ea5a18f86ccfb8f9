//! Many fields of one shelf shuffled together, each over the units it belongs to, and how often chance alone shows one as
//! clear as what is seen.
//!
//! What came of each observation stays where it is; what was done to it changes places. A level is what may change places:
//! pots with pots, days with days, boards with boards of their pot. One draw is one order for every level, the levels
//! independent of each other, all fields of a level together. A field's distance is the sum of scores times values, divided
//! by its own spread over all orders; the greatest of all told fields in each draw gives the family-wise chance (Westfall
//! and Young 1993, single-step max-T).

use super::split_mix::SplitMix64;
use rayon::prelude::*;

/// Up to so many orders each is gone through.
const MAX_EXACT_ORDERS: f64 = 40_320.0;

/// Draws of one piece of work; each has a stream of its own, so that the figures are the same on any number of cores.
const DRAWS_PER_PIECE: usize = 500;

/// What may change places.
#[derive(Debug, Clone, PartialEq)]
pub struct Level {
    /// The unit of each observation.
    pub unit_of: Vec<usize>,
    /// Units that may change places, in blocks: within each, any with any.
    pub blocks: Vec<Vec<usize>>,
}

/// A field: its values by unit of its level, nothing where it is not known. Of a field of words there is one row of values
/// (1 or 0) for each word.
#[derive(Debug, Clone, PartialEq)]
pub struct ShuffledField {
    /// The number of its level.
    pub level: usize,
    /// By word, then by unit.
    pub values: Vec<Vec<Option<f64>>>,
    /// It is of the family fixed beforehand.
    pub is_told: bool,
}

/// What shuffling says of one field.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FieldChance {
    /// Which of its rows of values lies farthest.
    pub row: usize,
    /// Its distance in spreads; above 0 where high values go with high scores.
    pub distance: f64,
    /// How often chance alone sets this field as far.
    pub p_value: f64,
    /// How often chance alone sets any of the told fields as far; only of those.
    pub p_family: Option<f64>,
    /// The least chance these numbers can give.
    pub p_least: f64,
    /// Every order was gone through for its own chance.
    pub is_exact: bool,
}

/// What shuffling says of all.
#[derive(Debug, Clone, PartialEq)]
pub struct ShuffleResult {
    /// By field; nothing where its level leaves nothing to shuffle, or it has one value throughout.
    pub fields: Vec<Option<FieldChance>>,
    /// How many orders were gone through or drawn.
    pub draws: usize,
    /// Every order of all levels was gone through.
    pub is_exact: bool,
    /// The distance one of the told fields reaches by chance alone once in twenty.
    pub critical_distance: f64,
}

/// A row of values ready to be shuffled: centred within blocks, divided by its spread.
struct Row {
    field: usize,
    level: usize,
    scaled: Vec<f64>,
    seen: f64,
}

/// Shuffles the fields of a shelf. `scores` are by observation; `draws` orders are drawn from `seed`, where all cannot be
/// gone through.
pub fn shuffle_fields(
    scores: &[f64],
    levels: &[Level],
    fields: &[ShuffledField],
    draws: usize,
    seed: u64,
) -> ShuffleResult {
    let sums: Vec<Vec<f64>> = levels.iter().map(|level| sum_scores(level, scores)).collect();
    let mut rows = Vec::new();
    for (number, field) in fields.iter().enumerate() {
        for values in &field.values {
            rows.push(scale_row(number, field.level, values, &levels[field.level], &sums[field.level]));
        }
    }
    let shuffled = Shuffled { levels, sums: &sums, rows: &rows, fields };
    let used: Vec<usize> = (0..levels.len()).filter(|l| rows.iter().flatten().any(|row| row.level == *l)).collect();
    let orders: f64 = used.iter().map(|l| count_orders(&levels[*l])).product();
    let is_exact = orders <= draws as f64;
    let tally = if is_exact { shuffled.go_through(&used) } else { shuffled.draw(&used, draws, seed) };
    let own_exact: Vec<Option<Tally>> = (0..levels.len())
        .map(|l| {
            let few = !is_exact && used.contains(&l) && count_orders(&levels[l]) <= MAX_EXACT_ORDERS;
            few.then(|| shuffled.go_through(&[l]))
        })
        .collect();
    let of_field = |number: usize| {
        let far = shuffled.farthest(number)?;
        let level = fields[number].level;
        let (own, exact) = match &own_exact[level] {
            Some(own) => (own, true),
            None => (&tally, is_exact),
        };
        Some(FieldChance {
            row: far.0,
            distance: far.1,
            p_value: own.share(own.own[number]),
            p_family: fields[number].is_told.then(|| tally.share(tally.family[number])),
            p_least: fields[number]
                .values
                .iter()
                .map(|values| least_p(values, &levels[level], &sums[level]))
                .fold(1.0, f64::min),
            is_exact: exact,
        })
    };
    let mut greatest = tally.greatest.clone();
    greatest.sort_by(f64::total_cmp);
    ShuffleResult {
        fields: (0..fields.len()).map(of_field).collect(),
        draws: tally.orders,
        is_exact,
        critical_distance: greatest.get(greatest.len() * 19 / 20).copied().unwrap_or(f64::INFINITY),
    }
}

/// The distance of one row of values in spreads, as [`shuffle_fields`] has it; nothing where it cannot be shuffled.
pub fn field_distance(scores: &[f64], level: &Level, values: &[Option<f64>]) -> Option<f64> {
    scale_row(0, 0, values, level, &sum_scores(level, scores)).map(|row| row.seen)
}

fn sum_scores(level: &Level, scores: &[f64]) -> Vec<f64> {
    let units = level.blocks.iter().flatten().max().map_or(0, |most| most + 1);
    let mut sums = vec![0.0; units];
    for (unit, score) in level.unit_of.iter().zip(scores) {
        sums[*unit] += score;
    }
    sums
}

/// The values with each block's mean taken off, over the spread of their sum over all orders; what is not known is the mean.
fn scale_row(field: usize, level_number: usize, values: &[Option<f64>], level: &Level, sums: &[f64]) -> Option<Row> {
    let mut scaled = vec![0.0; sums.len()];
    let mut variance = 0.0;
    for block in &level.blocks {
        let known: Vec<f64> = block.iter().filter_map(|u| values[*u]).collect();
        let n = block.len() as f64;
        if known.is_empty() || block.len() < 2 {
            continue;
        }
        let (mean, mean_sum) =
            (known.iter().sum::<f64>() / known.len() as f64, block.iter().map(|u| sums[*u]).sum::<f64>() / n);
        let (mut of_values, mut of_sums) = (0.0, 0.0);
        for u in block {
            scaled[*u] = values[*u].map_or(0.0, |v| snap(v - mean));
            of_values += scaled[*u] * scaled[*u];
            of_sums += (sums[*u] - mean_sum) * (sums[*u] - mean_sum);
        }
        variance += of_values * of_sums / (n - 1.0);
    }
    if variance <= 1e-18 {
        return None;
    }
    scaled.iter_mut().for_each(|v| *v /= variance.sqrt());
    let seen = scaled.iter().zip(sums).map(|(v, s)| v * s).sum();
    Some(Row { field, level: level_number, scaled, seen })
}

/// Differences in the last places of a sum are none.
fn snap(value: f64) -> f64 {
    if value.abs() < 1e-9 { 0.0 } else { value }
}

fn ln_factorial(n: usize) -> f64 {
    (2..=n).map(|k| (k as f64).ln()).sum()
}

fn count_orders(level: &Level) -> f64 {
    level.blocks.iter().map(|b| ln_factorial(b.len())).sum::<f64>().exp()
}

/// The least chance the values of that row can have among these scores: the share of orders that set them farthest apart.
/// In each block those are the orders that pair the highest with the highest; the other way round lies as far where the
/// greatest sum is as great as the least.
fn least_p(values: &[Option<f64>], level: &Level, sums: &[f64]) -> f64 {
    let (mut ln_share, mut high, mut low) = (0.0, 0.0, 0.0);
    for block in level.blocks.iter().filter(|b| b.len() > 1) {
        let known: Vec<f64> = block.iter().filter_map(|u| values[*u]).collect();
        let mean = known.iter().sum::<f64>() / known.len().max(1) as f64;
        let mut of_values: Vec<f64> = block.iter().map(|u| values[*u].map_or(0.0, |v| snap(v - mean))).collect();
        let mut of_sums: Vec<f64> = block.iter().map(|u| sums[*u]).collect();
        of_values.sort_by(f64::total_cmp);
        of_sums.sort_by(f64::total_cmp);
        high += of_values.iter().zip(&of_sums).map(|(v, s)| v * s).sum::<f64>();
        low += of_values.iter().zip(of_sums.iter().rev()).map(|(v, s)| v * s).sum::<f64>();
        let pairs: Vec<(f64, f64)> = of_values.iter().copied().zip(of_sums.iter().copied()).collect();
        ln_share += ln_runs(&pairs, |a, b| same(a.0, b.0)) + ln_runs(&pairs, |a, b| same(a.1, b.1))
            - ln_runs(&pairs, |a, b| same(a.0, b.0) && same(a.1, b.1))
            - ln_factorial(block.len());
    }
    let both = (high + low).abs() < 1e-9 * (1.0 + high.abs());
    (ln_share.exp() * if both { 2.0 } else { 1.0 }).min(1.0)
}

/// How often what.
#[derive(Debug, Clone)]
struct Tally {
    /// By field, how often it lay as far by itself.
    own: Vec<usize>,
    /// By field, how often any told one lay as far.
    family: Vec<usize>,
    /// The greatest distance of a told one in each order.
    greatest: Vec<f64>,
    orders: usize,
    /// What is seen counts among the orders drawn, so that nothing is impossible (Phipson and Smyth 2010).
    was_drawn: bool,
}

impl Tally {
    fn new(fields: usize, was_drawn: bool) -> Tally {
        Tally { own: vec![0; fields], family: vec![0; fields], greatest: Vec::new(), orders: 0, was_drawn }
    }

    fn share(&self, far: usize) -> f64 {
        let more = usize::from(self.was_drawn);
        (far + more) as f64 / (self.orders + more) as f64
    }

    fn plus(mut self, other: Tally) -> Tally {
        self.own.iter_mut().zip(other.own).for_each(|(a, b)| *a += b);
        self.family.iter_mut().zip(other.family).for_each(|(a, b)| *a += b);
        self.greatest.extend(other.greatest);
        self.orders += other.orders;
        self
    }
}

struct Shuffled<'a> {
    levels: &'a [Level],
    sums: &'a [Vec<f64>],
    rows: &'a [Option<Row>],
    fields: &'a [ShuffledField],
}

impl Shuffled<'_> {
    /// Which row of a field lies farthest, counted within the field, and how far.
    fn farthest(&self, field: usize) -> Option<(usize, f64)> {
        let first = self.fields[..field].iter().map(|f| f.values.len()).sum::<usize>();
        let own = self.rows[first..first + self.fields[field].values.len()].iter().enumerate();
        let far = own.filter_map(|(i, row)| Some((i, row.as_ref()?.seen)));
        // Of two words one is the other turned round: the one that goes with high scores is told.
        let key = |d: f64| d.abs() + if d > 0.0 { 1e-9 } else { 0.0 };
        far.max_by(|a, b| key(a.1).total_cmp(&key(b.1)).then(b.0.cmp(&a.0)))
    }

    /// Takes one order in: `sums` are the scores by level, as they lie in that order.
    fn count(&self, sums: &[Vec<f64>], seen: &[f64], tally: &mut Tally) {
        let mut far = vec![0.0_f64; self.fields.len()];
        for row in self.rows.iter().flatten() {
            let distance: f64 = row.scaled.iter().zip(&sums[row.level]).map(|(v, s)| v * s).sum();
            far[row.field] = far[row.field].max(distance.abs());
        }
        let told = far.iter().zip(self.fields).filter(|(_, f)| f.is_told).map(|(d, _)| *d).fold(0.0, f64::max);
        for (i, (distance, seen)) in far.iter().zip(seen).enumerate() {
            // Sums in another order differ in their last bits; an order that ties with what is seen must count.
            tally.own[i] += usize::from(*distance >= seen - 1e-9);
            tally.family[i] += usize::from(told >= seen - 1e-9);
        }
        tally.greatest.push(told);
        tally.orders += 1;
    }

    fn seen(&self) -> Vec<f64> {
        (0..self.fields.len()).map(|f| self.farthest(f).map_or(f64::INFINITY, |(_, d)| d.abs())).collect()
    }

    /// Draws orders. It is the scores that change places: the same as if the values did, all fields of a level at once.
    fn draw(&self, used: &[usize], draws: usize, seed: u64) -> Tally {
        let seen = self.seen();
        let pieces = draws.div_ceil(DRAWS_PER_PIECE);
        let piece = |number: usize| {
            let mut stream = SplitMix64::new(seed ^ (number as u64 + 1).wrapping_mul(0xD6E8_FEB8_6659_FD93));
            let mut sums = self.sums.to_vec();
            let mut tally = Tally::new(self.fields.len(), true);
            for _ in 0..DRAWS_PER_PIECE.min(draws - number * DRAWS_PER_PIECE) {
                for level in used {
                    for block in &self.levels[*level].blocks {
                        for last in (1..block.len()).rev() {
                            sums[*level].swap(block[last], block[stream.next_below(last + 1)]);
                        }
                    }
                }
                self.count(&sums, &seen, &mut tally);
            }
            tally
        };
        let drawn: Vec<Tally> = (0..pieces).into_par_iter().map(piece).collect();
        drawn.into_iter().fold(Tally::new(self.fields.len(), true), Tally::plus)
    }

    /// Goes through every order of those levels; the others stay as they are.
    fn go_through(&self, levels: &[usize]) -> Tally {
        let seen = self.seen();
        let mut tally = Tally::new(self.fields.len(), false);
        let blocks: Vec<(usize, &[usize])> = levels
            .iter()
            .flat_map(|l| self.levels[*l].blocks.iter().filter(|b| b.len() > 1).map(|b| (*l, b.as_slice())))
            .collect();
        let mut sums = self.sums.to_vec();
        self.visit(&blocks, 0, &mut sums, &seen, &mut tally);
        tally
    }

    /// Every order of the block at hand from that place on, and of all after it.
    fn visit(
        &self,
        blocks: &[(usize, &[usize])],
        from: usize,
        sums: &mut Vec<Vec<f64>>,
        seen: &[f64],
        tally: &mut Tally,
    ) {
        let Some(((level, block), later)) = blocks.split_first() else { return self.count(sums, seen, tally) };
        if from + 1 >= block.len() {
            return self.visit(later, 0, sums, seen, tally);
        }
        for other in from..block.len() {
            sums[*level].swap(block[from], block[other]);
            self.visit(blocks, from + 1, sums, seen, tally);
            sums[*level].swap(block[from], block[other]);
        }
    }
}

/// Whether two figures are one but for rounding.
fn same(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9
}

/// The logarithm of in how many ways neighbours that are alike can change places.
fn ln_runs(pairs: &[(f64, f64)], alike: impl Fn(&(f64, f64), &(f64, f64)) -> bool) -> f64 {
    pairs.chunk_by(|a, b| alike(a, b)).map(|run| ln_factorial(run.len())).sum()
}

#[cfg(test)]
#[path = "shuffle_tests.rs"]
mod tests;
