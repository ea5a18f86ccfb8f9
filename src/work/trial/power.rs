//! What a design could show: how often a difference of a given size would be found, simulated with the very test that will
//! be used.
//!
//! Of what is graded (a pencil) a jar differs from its like by half a grade, a board by half, a reading by 0.6 (assumed),
//! and each board is read three times. Of bow and of cracks the figures are assumed as well.

use super::design::{CHANCE_TOLD, TrialDesign};
use super::factor::{Factor, FactorKey, FactorUnit};
use crate::stats::redraw::RedrawTest;
use crate::stats::split_mix::SplitMix64;

/// Ways drawn anew where they are too many to go through.
const POWER_REDRAWS: usize = 4000;
/// What is told as the chance of finding it.
pub const POWER_TOLD: f64 = 0.9;

/// How much jars, boards and readings differ that were made alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrialSpread {
    /// Standard deviation of a jar.
    pub jar: f64,
    /// Of a board of it.
    pub board: f64,
    /// Of one reading.
    pub reading: f64,
    /// Readings of each board.
    pub readings: u32,
    /// What a reading is told in: whole grades; nothing where it is a figure.
    pub grade: Option<f64>,
}

impl TrialSpread {
    /// A pencil's grades (assumed).
    pub const PENCIL: TrialSpread = TrialSpread { jar: 0.5, board: 0.5, reading: 0.6, readings: 3, grade: Some(1.0) };
    /// The bow of a strip, mm (assumed; with it five strips against five find 0.3 mm in 62 of 100).
    pub const BOW: TrialSpread = TrialSpread { jar: 0.0, board: 0.18, reading: 0.0, readings: 1, grade: None };
}

/// What is looked at to answer a question.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PowerModel {
    /// A figure that differs so much.
    Figure(TrialSpread),
    /// Cracked or not: the chance of a crack on the first level.
    Cracked(f64),
}

impl PowerModel {
    /// That by which a factor is answered, if nothing else is said, with the word of its unit.
    pub const fn of(key: FactorKey) -> (PowerModel, &'static str) {
        match key {
            FactorKey::Glue | FactorKey::Thinning | FactorKey::Wait | FactorKey::Coats | FactorKey::First => {
                (PowerModel::Figure(TrialSpread::PENCIL), "pencil grades")
            }
            FactorKey::Faces => (PowerModel::Figure(TrialSpread::BOW), "mm of bow"),
            FactorKey::Cloth => (PowerModel::Cracked(0.05), "of the boards cracked"),
        }
    }

    /// The difference of one step on the grid that is tried.
    const fn step(self) -> f64 {
        match self {
            PowerModel::Figure(spread) => {
                if spread.jar > 0.0 || spread.reading > 0.0 {
                    0.25
                } else {
                    0.05
                }
            }
            PowerModel::Cracked(_) => 0.05,
        }
    }
}

/// How often differences would be found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PowerPoint {
    /// Between the lowest and the highest level.
    pub difference: f64,
    /// The part of trials in which it is found at 1 in 20.
    pub power: f64,
}

/// A factor's test with a source of outcomes; made once for many differences.
#[derive(Debug)]
pub struct PowerSimulation {
    test: RedrawTest,
    /// The level by unit, in parts of the whole range.
    shares: Vec<f64>,
    unit: FactorUnit,
    /// The boards of each jar where jars are compared.
    boards_by_jar: Vec<u32>,
    model: PowerModel,
}

impl PowerSimulation {
    /// The simulation of one factor of a design; nothing where its lots cannot be told apart.
    pub fn new(design: &TrialDesign, factor: &Factor, model: PowerModel) -> Option<PowerSimulation> {
        let lots = design.lots(factor);
        let top = factor.levels.len().saturating_sub(1).max(1) as f64;
        Some(PowerSimulation {
            test: RedrawTest::new(&lots, POWER_REDRAWS, 1)?,
            shares: lots.levels.iter().map(|level| level / top).collect(),
            unit: factor.key.unit(),
            boards_by_jar: design.boards_by_jar(),
            model,
        })
    }

    /// The chance each of so many invented trials shows, where the levels lie that far apart; the same invented boards for
    /// every difference.
    pub fn chances(&self, difference: f64, trials: usize, seed: u64) -> Vec<f64> {
        let mut normal = NormalStream::new(seed);
        (0..trials).map(|_| self.test.p_value(&self.invent(difference, &mut normal))).collect()
    }

    /// The part of so many invented trials that find such a difference at that chance.
    pub fn power(&self, difference: f64, chance: f64, trials: usize, seed: u64) -> f64 {
        let found = self.chances(difference, trials, seed).iter().filter(|p| **p <= chance + 1e-9).count();
        found as f64 / trials.max(1) as f64
    }

    /// The smallest difference on the grid that is found nine times in ten, with those tried beside it, rising.
    pub fn search(&self, trials: usize, seed: u64) -> Vec<PowerPoint> {
        let steps = match self.model {
            PowerModel::Cracked(usual) => ((1.0 - usual) / self.model.step()).floor() as u32,
            PowerModel::Figure(_) => 32,
        };
        let mut points: Vec<PowerPoint> = Vec::new();
        let (mut short, mut enough) = (0, steps + 1);
        while short + 1 < enough {
            let n = if points.is_empty() && steps > 8 { 8 } else { (short + enough) / 2 };
            let difference = self.model.step() * f64::from(n);
            let power = self.power(difference, CHANCE_TOLD, trials, seed);
            points.push(PowerPoint { difference, power });
            if power >= POWER_TOLD { enough = n } else { short = n }
        }
        points.sort_by(|a, b| a.difference.total_cmp(&b.difference));
        points
    }

    /// Outcomes by unit of one invented trial.
    fn invent(&self, difference: f64, normal: &mut NormalStream) -> Vec<f64> {
        let spread = match self.model {
            PowerModel::Cracked(usual) => {
                let cracked = |share: &f64| f64::from(u8::from(normal.uniform() < usual + difference * share));
                return self.shares.iter().map(cracked).collect();
            }
            PowerModel::Figure(spread) => spread,
        };
        // Where between two grades the usual board lies is not known.
        let usual = normal.uniform();
        let board = |middle: f64, normal: &mut NormalStream| {
            let middle = middle + spread.board * normal.next();
            let read = |_| {
                let reading = middle + spread.reading * normal.next();
                spread.grade.map_or(reading, |grade| (reading / grade).round() * grade)
            };
            (0..spread.readings).map(read).sum::<f64>() / f64::from(spread.readings.max(1))
        };
        let invented = self.shares.iter().enumerate().map(|(n, share)| {
            let middle = usual + difference * share;
            match self.unit {
                FactorUnit::Board => board(middle, normal),
                FactorUnit::Pot => {
                    let boards = self.boards_by_jar.get(n).copied().unwrap_or(1).max(1);
                    let jar = middle + spread.jar * normal.next();
                    (0..boards).map(|_| board(jar, normal)).sum::<f64>() / f64::from(boards)
                }
            }
        });
        invented.collect()
    }
}

/// Normal numbers from a seed, by the polar method (Marsaglia and Bray 1964).
#[derive(Debug)]
struct NormalStream {
    stream: SplitMix64,
    spare: Option<f64>,
}

impl NormalStream {
    fn new(seed: u64) -> NormalStream {
        NormalStream { stream: SplitMix64::new(seed), spare: None }
    }

    /// Between 0 and 1, never 1.
    fn uniform(&mut self) -> f64 {
        (self.stream.next_u64() >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn next(&mut self) -> f64 {
        if let Some(spare) = self.spare.take() {
            return spare;
        }
        loop {
            let (x, y) = (2.0 * self.uniform() - 1.0, 2.0 * self.uniform() - 1.0);
            let square = x * x + y * y;
            if square > 0.0 && square < 1.0 {
                let scale = (-2.0 * square.ln() / square).sqrt();
                self.spare = Some(y * scale);
                return x * scale;
            }
        }
    }
}
