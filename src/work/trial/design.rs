//! The jars and boards of a trial before anything is drawn, and what is wrong with one.

use super::factor::{Factor, FactorKey, FactorUnit};
use crate::stats::redraw::Lots;

/// So many jars have a letter.
pub const JARS_MAX: u32 = 26;
/// So many boards one trial may have: more than fit on any bench (assumed).
pub const BOARDS_MAX: u32 = 200;
/// A chance above this settles nothing.
pub const CHANCE_TOLD: f64 = 0.05;
/// A nine-in-ten interval needs a least chance of no more than this.
pub const CHANCE_OF_INTERVAL: f64 = 0.1;

/// A trial to be drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct TrialDesign {
    /// What is varied.
    pub factors: Vec<Factor>,
    /// How many jars.
    pub jars: u32,
    /// How many boards.
    pub boards: u32,
    /// Boards are the parts of so many strips, and what belongs to a board is drawn within each strip; otherwise within
    /// each jar.
    pub strips: Option<u32>,
}

/// What is wrong with a design.
#[derive(Debug, Clone, PartialEq)]
pub enum DesignFault {
    /// Nothing is varied.
    NothingVaried,
    /// A key is named twice.
    KeyTwice(FactorKey),
    /// More jars than letters, or more boards than fit.
    TooLarge,
    /// Fewer boards than jars.
    EmptyJars,
    /// More combinations than can be given.
    TooManyCombinations {
        /// How many combinations.
        combinations: usize,
        /// To what they are given.
        unit: FactorUnit,
        /// How many there are of those: jars, or boards in the smallest jar.
        of: u32,
    },
}

impl std::fmt::Display for DesignFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            DesignFault::NothingVaried => f.write_str("nothing is varied; say what, as in --vary glue=60,80"),
            DesignFault::KeyTwice(key) => {
                write!(f, "{} is varied twice; give all its levels at once", key.name())
            }
            DesignFault::TooLarge => {
                write!(f, "a trial has at most {JARS_MAX} pots and {BOARDS_MAX} boards")
            }
            DesignFault::EmptyJars => f.write_str("there are fewer boards than pots; every pot needs a board at least"),
            DesignFault::TooManyCombinations { combinations, unit: FactorUnit::Pot, of } => {
                write!(
                    f,
                    "{combinations} kinds of gesso cannot be given to {of} pots; take {combinations} pots or more"
                )
            }
            DesignFault::TooManyCombinations { combinations, unit: FactorUnit::Board, of } => write!(
                f,
                "{combinations} ways of laying do not fit on the {of} boards of a pot; take {combinations} boards a pot or more"
            ),
        }
    }
}

impl TrialDesign {
    /// What is wrong with it, if anything is.
    ///
    /// # Errors
    /// The first `DesignFault`.
    pub fn check(&self) -> Result<(), DesignFault> {
        if self.factors.is_empty() {
            return Err(DesignFault::NothingVaried);
        }
        let twice = self.factors.iter().enumerate().find(|(i, f)| self.factors[..*i].iter().any(|g| g.key == f.key));
        if let Some((_, factor)) = twice {
            return Err(DesignFault::KeyTwice(factor.key));
        }
        if !(1..=JARS_MAX).contains(&self.jars) || self.boards > BOARDS_MAX {
            return Err(DesignFault::TooLarge);
        }
        if self.boards < self.jars {
            return Err(DesignFault::EmptyJars);
        }
        let smallest = self.boards / self.strips.unwrap_or(self.jars).max(1);
        for (unit, of) in [(FactorUnit::Pot, self.jars), (FactorUnit::Board, smallest)] {
            let combinations = self.combinations(unit).len();
            if combinations > of as usize {
                return Err(DesignFault::TooManyCombinations { combinations, unit, of });
            }
        }
        Ok(())
    }

    /// Every combination of levels that is given to such a unit, as level numbers by factor of that unit; one empty
    /// combination where nothing is.
    pub fn combinations(&self, unit: FactorUnit) -> Vec<Vec<usize>> {
        let mut all = vec![Vec::new()];
        for factor in self.factors.iter().filter(|f| f.key.unit() == unit) {
            let with = |before: &Vec<usize>| {
                (0..factor.levels.len()).map(|n| before.iter().copied().chain([n]).collect()).collect::<Vec<_>>()
            };
            all = all.iter().flat_map(with).collect();
        }
        all
    }

    /// How many boards each jar has; the first have one more where they do not come out even.
    pub fn boards_by_jar(&self) -> Vec<u32> {
        split_evenly(self.boards, self.jars)
    }

    /// The lots of one factor as any draw of this design has them.
    pub fn lots(&self, factor: &Factor) -> Lots {
        let place = self.factors.iter().filter(|f| f.key.unit() == factor.key.unit()).position(|f| f.key == factor.key);
        let combinations = self.combinations(factor.key.unit());
        let level = |n: usize| combinations[n % combinations.len()].get(place.unwrap_or(0)).map_or(0.0, |l| *l as f64);
        match factor.key.unit() {
            FactorUnit::Pot => {
                let jars = self.jars as usize;
                Lots { levels: (0..jars).map(level).collect(), blocks: vec![(0..jars).collect()] }
            }
            FactorUnit::Board => {
                let sizes = split_evenly(self.boards, self.strips.unwrap_or(self.jars));
                let mut next = 0;
                let blocks = sizes.iter().map(|size| {
                    let from = next;
                    next += *size as usize;
                    (from..next).collect()
                });
                let blocks = blocks.collect();
                Lots { levels: (0..self.boards as usize).map(level).collect(), blocks }
            }
        }
    }

    /// The least chance each factor can ever show.
    pub fn least_p(&self) -> Vec<(FactorKey, f64)> {
        self.factors.iter().map(|factor| (factor.key, self.lots(factor).least_p())).collect()
    }

    /// The smallest larger design of this kind that can tell every factor apart at 1 in 20; none where letters run out.
    pub fn next_size(&self) -> Option<TrialDesign> {
        let each = self.boards.div_ceil(self.jars);
        let steps = self.combinations(FactorUnit::Pot).len().max(1) as u32;
        let within = self.combinations(FactorUnit::Board).len().max(1) as u32;
        let mut jars = self.jars.div_ceil(steps) * steps;
        let mut boards_each = each.div_ceil(within) * within;
        loop {
            let strips = self.strips.map(|_| jars * boards_each / within);
            let design = TrialDesign { jars, boards: jars * boards_each, strips, ..self.clone() };
            if design.check().is_err() {
                return None;
            }
            let weak = design.least_p().into_iter().find(|(_, least)| *least > CHANCE_TOLD);
            match weak.map(|(key, _)| key.unit()) {
                None => return Some(design),
                Some(FactorUnit::Pot) => jars += steps,
                Some(FactorUnit::Board) => boards_each += within,
            }
        }
    }
}

/// So many things in so many parts, the first parts one larger where they do not come out even.
fn split_evenly(things: u32, parts: u32) -> Vec<u32> {
    let parts = parts.max(1);
    (0..parts).map(|n| things / parts + u32::from(n < things % parts)).collect()
}
