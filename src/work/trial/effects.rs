//! The effect of what was varied: tested by drawing the lots anew as they were drawn, over the boards of which something is
//! known.

use super::event::TrialOpened;
use super::factor::{Factor, FactorKey, FactorUnit};
use crate::stats::redraw::{Lots, REDRAWS, RedrawTest};
use std::collections::BTreeMap;

/// Rounds in which the effects of jars and of what lies within them are taken off each other; of a few missing boards a
/// handful is enough.
const BALANCE_ROUNDS: usize = 60;

/// What one factor did to one outcome.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrialEffect {
    /// What was varied.
    pub key: FactorKey,
    /// The change from the lowest level to the highest.
    pub effect: f64,
    /// Every such change that the same test does not refuse at 1 in 10; infinite where these numbers refuse none.
    pub interval: (f64, f64),
    /// How often lots drawn anew set it as far.
    pub p_value: f64,
    /// The least that chance could have been with these boards.
    pub least_p: f64,
    /// Every way of drawing was gone through.
    pub is_exact: bool,
    /// How many ways were looked at.
    pub ways: usize,
    /// Jars or boards compared.
    pub units: usize,
}

/// What a factor did, from the outcome of each board by its run; nothing where the boards looked at leave nothing to compare.
///
/// A jar counts as the mean of its boards, with what lies within jars taken off where boards are missing.
pub fn compute_effect(trial: &TrialOpened, factor: &Factor, outcomes: &BTreeMap<u32, f64>) -> Option<TrialEffect> {
    let (lots, values) = match factor.key.unit() {
        FactorUnit::Pot => pot_lots(trial, factor, outcomes),
        FactorUnit::Board => board_lots(trial, factor, outcomes),
    };
    let result = RedrawTest::new(&lots, REDRAWS, trial.seed)?.test(&values);
    let top = factor.levels.len().saturating_sub(1) as f64;
    Some(TrialEffect {
        key: factor.key,
        effect: result.slope * top,
        interval: (result.interval.0 * top, result.interval.1 * top),
        p_value: result.p_value,
        least_p: lots.least_p(),
        is_exact: result.is_exact,
        ways: result.ways,
        units: values.len(),
    })
}

fn board_lots(trial: &TrialOpened, factor: &Factor, outcomes: &BTreeMap<u32, f64>) -> (Lots, Vec<f64>) {
    let numbers = trial.level_numbers(factor);
    let known: Vec<(usize, f64)> =
        outcomes.iter().filter_map(|(run, y)| Some((run.checked_sub(1)? as usize, *y))).collect();
    let known: Vec<(usize, f64)> = known.into_iter().filter(|(n, _)| *n < numbers.len()).collect();
    let place = |board: &usize| known.iter().position(|(n, _)| n == board);
    let blocks = trial.board_blocks().iter().map(|block| block.iter().filter_map(place).collect()).collect();
    let levels = known.iter().map(|(n, _)| numbers[*n] as f64).collect();
    (Lots { levels, blocks }, known.into_iter().map(|(_, y)| y).collect())
}

fn pot_lots(trial: &TrialOpened, factor: &Factor, outcomes: &BTreeMap<u32, f64>) -> (Lots, Vec<f64>) {
    let numbers = trial.level_numbers(factor);
    let means = jar_means(trial, outcomes);
    let known: Vec<(usize, f64)> = means.into_iter().enumerate().filter_map(|(jar, mean)| Some((jar, mean?))).collect();
    let levels: Vec<f64> = known.iter().map(|(jar, _)| numbers.get(*jar).map_or(0.0, |n| *n as f64)).collect();
    let lots = Lots { blocks: vec![(0..levels.len()).collect()], levels };
    (lots, known.into_iter().map(|(_, mean)| mean).collect())
}

/// The mean of each jar's boards, what lies within jars taken off; nothing of a jar of which no board is known.
///
/// Jars and kinds of board are fitted in turn until neither moves (backfitting of an additive model, textbook): where no
/// board is missing these are the plain means.
fn jar_means(trial: &TrialOpened, outcomes: &BTreeMap<u32, f64>) -> Vec<Option<f64>> {
    let boards = || (1..).zip(&trial.lots.boards).filter_map(|(run, b): (u32, _)| Some((b, *outcomes.get(&run)?)));
    let mut of_kind: BTreeMap<&[usize], f64> = BTreeMap::new();
    let mut means = vec![None; trial.lots.jars.len()];
    for _ in 0..BALANCE_ROUNDS {
        for (jar, mean) in (1..).zip(means.iter_mut()) {
            let rest =
                boards().filter(|(b, _)| b.jar == jar).map(|(b, y)| y - of_kind.get(&b.levels[..]).unwrap_or(&0.0));
            *mean = mean_of(rest);
        }
        let mut kinds: BTreeMap<&[usize], Vec<f64>> = BTreeMap::new();
        for (board, y) in boards() {
            let jar = means.get(board.jar.saturating_sub(1) as usize).copied().flatten().unwrap_or(0.0);
            kinds.entry(&board.levels).or_default().push(y - jar);
        }
        of_kind = kinds.into_iter().filter_map(|(kind, rest)| Some((kind, mean_of(rest.into_iter())?))).collect();
        // Every kind of board counts alike, so that what is left on the jars is the mean of all kinds.
        let middle = mean_of(of_kind.values().copied()).unwrap_or(0.0);
        of_kind.values_mut().for_each(|effect| *effect -= middle);
    }
    means
}

fn mean_of(values: impl Iterator<Item = f64>) -> Option<f64> {
    let (count, sum) = values.fold((0_u32, 0.0), |(count, sum), y| (count + 1, sum + y));
    (count > 0).then(|| sum / f64::from(count))
}
