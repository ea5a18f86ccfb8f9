//! The draw: which jar has which gesso, which board comes from which jar, and how it is laid.

use super::design::TrialDesign;
use super::factor::FactorUnit;
use crate::stats::redraw::shuffle_within;
use crate::stats::split_mix::SplitMix64;

/// A board as it was drawn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BoardLot {
    /// Its jar, from 1.
    pub jar: u32,
    /// The strip it was cut from, from 1, where boards are drawn within strips.
    pub strip: Option<u32>,
    /// The level numbers of what belongs to a board, by factor.
    pub levels: Vec<usize>,
}

/// A whole draw.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DrawnLots {
    /// The level numbers of what belongs to a jar, by jar and factor.
    pub jars: Vec<Vec<usize>>,
    /// The boards in the order of their numbers.
    pub boards: Vec<BoardLot>,
}

/// Draws the lots of a design: the same seed gives the same lots everywhere.
pub fn draw_lots(design: &TrialDesign, seed: u64) -> DrawnLots {
    let mut stream = SplitMix64::new(seed);
    let deal = |n: usize, of: &[Vec<usize>]| of[n % of.len()].clone();
    let pot_kinds = design.combinations(FactorUnit::Pot);
    let mut jars: Vec<Vec<usize>> = (0..design.jars as usize).map(|n| deal(n, &pot_kinds)).collect();
    let all_jars: Vec<usize> = (0..jars.len()).collect();
    shuffle_within(&mut jars, &[all_jars], &mut stream);

    // What a board has is dealt in turn through all jars or strips, so that all come out as even as they can, and then
    // drawn within each.
    let ways = design.combinations(FactorUnit::Board);
    let jar_of = |sizes: Vec<u32>| -> Vec<u32> {
        (1..).zip(sizes).flat_map(|(jar, size): (u32, u32)| vec![jar; size as usize]).collect()
    };
    let jar_numbers = jar_of(design.boards_by_jar());
    let strips = design.strips.map(|strips| jar_of(TrialDesign { jars: strips, ..design.clone() }.boards_by_jar()));
    let blocks_of = strips.as_ref().unwrap_or(&jar_numbers);
    let block_count = blocks_of.iter().max().map_or(0, |n| *n);
    let blocks: Vec<Vec<usize>> =
        (1..=block_count).map(|b| (0..blocks_of.len()).filter(|i| blocks_of[*i] == b).collect()).collect();
    let mut levels: Vec<Vec<usize>> = (0..jar_numbers.len()).map(|n| deal(n, &ways)).collect();
    shuffle_within(&mut levels, &blocks, &mut stream);

    let mut boards: Vec<BoardLot> = levels
        .into_iter()
        .enumerate()
        .map(|(n, levels)| BoardLot { jar: jar_numbers[n], strip: strips.as_ref().map(|s| s[n]), levels })
        .collect();
    // The numbers on the boards tell nothing of their jar.
    let all_boards: Vec<usize> = (0..boards.len()).collect();
    shuffle_within(&mut boards, &[all_boards], &mut stream);
    DrawnLots { jars, boards }
}
