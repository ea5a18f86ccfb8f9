//! What is kept of a trial: its design and its lots, in one fact. A trial is not changed once it is drawn.

use super::design::TrialDesign;
use super::factor::{Factor, FactorUnit, recipe_with_level};
use super::lots::DrawnLots;
use super::questions::TrialQuestion;
use crate::craft::materials::Support;
use crate::craft::recipe::{Recipe, Seal, SealMaterial};
use crate::stats::redraw::Lots;
use crate::units::{Id, Mass, Size};
use std::sync::Arc;

/// A trial as it was drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct TrialOpened {
    /// What it is filed under.
    pub id: Id,
    /// What the maker calls it.
    pub label: String,
    /// The ready question it answers, if it is one.
    pub question: Option<TrialQuestion>,
    /// What is varied, over how many jars and boards.
    pub design: TrialDesign,
    /// The board.
    pub size: Size,
    /// What it is made of.
    pub support: Support,
    /// The recipe whose keys are varied.
    pub recipe: Arc<Recipe>,
    /// The step of the scale the jars are weighed on.
    pub balance: Mass,
    /// What the lots were drawn from.
    pub seed: u64,
    /// The lots.
    pub lots: DrawnLots,
    /// The number on the first board: boards are numbered through all trials.
    pub first_number: u32,
}

/// What can happen to a trial.
#[derive(Debug, Clone, PartialEq)]
pub enum TrialEvent {
    /// It was drawn.
    Opened(Box<TrialOpened>),
    /// A fact of a newer version; kept, without effect.
    Unknown {
        /// The word of its kind.
        name: String,
    },
}

impl TrialEvent {
    /// The word written in journals.
    pub fn name(&self) -> &str {
        match self {
            TrialEvent::Opened(_) => "opened",
            TrialEvent::Unknown { name } => name,
        }
    }
}

impl TrialOpened {
    /// What is written on the board of that run.
    pub fn board_label(&self, run: u32) -> String {
        format!("T{}", self.first_number + run.saturating_sub(1))
    }

    /// Each factor that belongs to such a unit, with the level it has there.
    pub fn levels_of<'a>(&'a self, unit: FactorUnit, numbers: &'a [usize]) -> impl Iterator<Item = (&'a Factor, f64)> {
        let factors = self.design.factors.iter().filter(move |f| f.key.unit() == unit);
        factors.zip(numbers).filter_map(|(factor, n)| Some((factor, *factor.levels.get(*n)?)))
    }

    /// The recipe of a jar, without what belongs to its boards; as it was where a level can no longer be had.
    pub fn jar_recipe(&self, jar: u32) -> Recipe {
        let numbers = self.lots.jars.get(jar.saturating_sub(1) as usize).map_or(&[][..], Vec::as_slice);
        let base = bare_ground(&self.recipe);
        self.levels_of(FactorUnit::Pot, numbers)
            .fold(base, |recipe, (factor, level)| recipe_with_level(&recipe, factor.key, level).unwrap_or(recipe))
    }

    /// The recipe of the board of that run.
    pub fn board_recipe(&self, run: u32) -> Recipe {
        let Some(board) = self.lots.boards.get(run.saturating_sub(1) as usize) else {
            return bare_ground(&self.recipe);
        };
        self.levels_of(FactorUnit::Board, &board.levels).fold(self.jar_recipe(board.jar), |recipe, (factor, level)| {
            recipe_with_level(&recipe, factor.key, level).unwrap_or(recipe)
        })
    }

    /// The level numbers of a factor: by jar, or by board, as its unit is.
    pub fn level_numbers(&self, factor: &Factor) -> Vec<usize> {
        let unit = factor.key.unit();
        let place = self.design.factors.iter().filter(|f| f.key.unit() == unit).position(|f| f.key == factor.key);
        let number = |levels: &Vec<usize>| place.and_then(|at| levels.get(at)).copied().unwrap_or(0);
        match unit {
            FactorUnit::Pot => self.lots.jars.iter().map(number).collect(),
            FactorUnit::Board => self.lots.boards.iter().map(|b| number(&b.levels)).collect(),
        }
    }

    /// The level number of a factor that the board of that run has, whether by itself or by its jar.
    pub fn level_of_board(&self, factor: &Factor, run: u32) -> Option<usize> {
        let at = run.checked_sub(1)? as usize;
        let board = self.lots.boards.get(at)?;
        let numbers = self.level_numbers(factor);
        match factor.key.unit() {
            FactorUnit::Pot => numbers.get(board.jar.checked_sub(1)? as usize).copied(),
            FactorUnit::Board => numbers.get(at).copied(),
        }
    }

    /// The lots of one factor, all of it as it was drawn.
    pub fn drawn_lots(&self, factor: &Factor) -> Lots {
        let levels: Vec<f64> = self.level_numbers(factor).into_iter().map(|n| n as f64).collect();
        let blocks = match factor.key.unit() {
            FactorUnit::Pot => vec![(0..levels.len()).collect()],
            FactorUnit::Board => self.board_blocks(),
        };
        Lots { levels, blocks }
    }

    /// The boards, counted from 0, of each strip or jar.
    pub fn board_blocks(&self) -> Vec<Vec<usize>> {
        let block = |n: usize| self.lots.boards[n].strip.unwrap_or(self.lots.boards[n].jar);
        let count = (0..self.lots.boards.len()).map(block).max().unwrap_or(0);
        (1..=count).map(|b| (0..self.lots.boards.len()).filter(|n| block(*n) == b).collect()).collect()
    }
}

/// The recipe without seal and last sanding: the tests are of the ground itself.
pub fn bare_ground(recipe: &Recipe) -> Recipe {
    let seal =
        Seal { with: SealMaterial::None, resin_g_per_l_spirit: None, glue_g_per_l_water: None, ..recipe.seal.clone() };
    Recipe { seal, sand: None, ..recipe.clone() }
}
