//! What to weigh for a trial, how finely, and when each board is begun.
//!
//! One strong stock of size is soaked once and thinned by weight into each jar, so that no jar differs from another by how
//! its own glue was weighed or soaked.

use super::event::{TrialOpened, bare_ground};
use super::factor::{FactorKey, FactorUnit};
use crate::craft::materials::Filler;
use crate::craft::materials::fillers::BulkDensities;
use crate::craft::physics::OutOfRange;
use crate::craft::physics::film::WATER_G_PER_L;
use crate::craft::quantities::mix::{MixInputs, compute_mix};
use crate::craft::quantities::{SizeMix, compute_size_mix};
use crate::units::{Length, Size, Span};
use crate::work::panel::stage::build_plan;

/// The least size in a jar, ml: less cools and dries while it is used (assumed).
const JAR_ML_MIN: f64 = 100.0;
/// What is soaked beyond what is poured out, for what the vessel keeps (assumed).
const STOCK_SPARE: f64 = 1.1;
/// Handling a small board at an act, minutes: it takes no less however small it is (assumed).
const ACT_MIN: f64 = 1.5;
/// Making and straining a jar, minutes (assumed).
const JAR_MIN: f64 = 15.0;
/// Looking a board over with its tests, minutes (assumed).
const LOOK_MIN: f64 = 5.0;

/// What goes into one jar.
#[derive(Debug, Clone, PartialEq)]
pub struct JarAmounts {
    /// Which jar, from 1.
    pub jar: u32,
    /// The size in it.
    pub size: SizeMix,
    /// Grams of glue to a litre of water in that size.
    pub glue_g_per_l: f64,
    /// Of the stock, g.
    pub stock_g: f64,
    /// Of water to the stock, g.
    pub water_g: f64,
    /// Powders, g.
    pub fillers: Vec<(Filler, f64)>,
    /// Water given at the end, ml.
    pub thinning_ml: f64,
}

/// What a whole trial takes.
#[derive(Debug, Clone, PartialEq)]
pub struct TrialAmounts {
    /// The stock, all of it.
    pub stock: SizeMix,
    /// Its strength, grams of glue to a litre of water.
    pub stock_g_per_l: f64,
    /// The size for the wood, and how much of the stock goes into it, g.
    pub wood: SizeMix,
    /// Of the stock into the size for the wood, g.
    pub wood_stock_g: f64,
    /// Of water to that, g.
    pub wood_water_g: f64,
    /// Jar by jar.
    pub jars: Vec<JarAmounts>,
    /// What hands have to do, hours.
    pub hands_h: f64,
}

/// Two strengths a scale cannot part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScaleTooCoarse {
    /// The weaker, g to a litre.
    pub low: f64,
    /// The stronger.
    pub high: f64,
    /// What may be off, as a part of the strength.
    pub error: f64,
    /// The glue that is weighed for all, g.
    pub glue_g: f64,
    /// The step of the scale, g.
    pub step_g: f64,
}

impl std::fmt::Display for ScaleTooCoarse {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(
            f,
            "{} and {} g/l cannot be parted: with {:.0} g of glue on a scale of {} g each may be off by {:.0} %; take a finer scale, levels further apart or more boards",
            self.low,
            self.high,
            self.glue_g,
            self.step_g,
            100.0 * self.error
        )
    }
}

/// Of the stock, and of water to it, for so much of a weaker size, g.
fn thin_stock(size: SizeMix, stock_g_per_l: f64) -> (f64, f64) {
    let stock_g = size.glue_g * (WATER_G_PER_L + stock_g_per_l) / stock_g_per_l;
    (stock_g, (size.glue_g + size.water_g - stock_g).max(0.0))
}

/// What a trial takes.
///
/// # Errors
/// A figure of recipe or board outside its range.
pub fn compute_trial_amounts(trial: &TrialOpened, bulk: &BulkDensities) -> Result<TrialAmounts, OutOfRange> {
    let runs = || (1..).zip(&trial.lots.boards);
    let strongest = (1..=trial.design.jars).map(|jar| trial.jar_recipe(jar).gesso.glue_g_per_l_water);
    let stock_g_per_l = strongest.fold(trial.recipe.size.glue_g_per_l_water, f64::max);
    let of_board = |run: u32| {
        let recipe = trial.board_recipe(run);
        compute_mix(&MixInputs { recipe: &recipe, size: trial.size, panels: 1, faces: None, scoop: None, bulk })
    };
    let mut jars = Vec::new();
    for jar in 1..=trial.design.jars {
        let recipe = trial.jar_recipe(jar);
        let loss = recipe.gesso.loss_ml;
        let mut needed = 0.0;
        for (run, _) in runs().filter(|(_, board): &(u32, _)| board.jar == jar) {
            // What sieve and bowl keep is kept once a jar.
            let gesso = of_board(run)?.gesso;
            needed += gesso.size_ml * (1.0 - loss / gesso.volume_ml.max(loss + 1.0));
        }
        let alone = MixInputs { recipe: &recipe, size: unit_board(), panels: 1, faces: None, scoop: None, bulk };
        let one = compute_mix(&alone)?.gesso;
        let size_ml = (needed + loss * one.size_ml / one.volume_ml).max(JAR_ML_MIN).ceil();
        let size = compute_size_mix(size_ml, recipe.gesso.glue_g_per_l_water)?;
        let (stock_g, water_g) = thin_stock(size, stock_g_per_l);
        let scale = size_ml / one.size_ml;
        jars.push(JarAmounts {
            jar,
            size,
            glue_g_per_l: recipe.gesso.glue_g_per_l_water,
            stock_g,
            water_g,
            fillers: one.fillers.iter().map(|f| (f.filler, f.mass_g * scale)).collect(),
            thinning_ml: one.thinning_ml * scale,
        });
    }
    let mut wood_ml = 0.0;
    for (run, _) in runs() {
        wood_ml += of_board(run)?.size_for_wood.volume_ml;
    }
    let wood = compute_size_mix(wood_ml.max(JAR_ML_MIN).ceil(), trial.recipe.size.glue_g_per_l_water)?;
    let (wood_stock_g, wood_water_g) = thin_stock(wood, stock_g_per_l);
    let poured_g = wood_stock_g + jars.iter().map(|j| j.stock_g).sum::<f64>();
    let glue_g = poured_g * STOCK_SPARE * stock_g_per_l / (WATER_G_PER_L + stock_g_per_l);
    let per_litre = compute_size_mix(1000.0, stock_g_per_l)?;
    let stock = compute_size_mix(1000.0 * glue_g / per_litre.glue_g.max(1e-9), stock_g_per_l)?;
    Ok(TrialAmounts { stock, stock_g_per_l, wood, wood_stock_g, wood_water_g, jars, hands_h: hands_on_h(trial) })
}

/// A board on which amounts are only compared with each other.
fn unit_board() -> Size {
    Size { width: Length::from_mm(300.0), height: Length::from_mm(300.0), thickness: None }
}

/// What hands have to do, hours: every act on every board, the jars, and a look.
fn hands_on_h(trial: &TrialOpened) -> f64 {
    let acts = |run: u32| build_plan(&trial.board_recipe(run)).iter().filter(|s| !s.kind.ends_by_itself()).count();
    let boards = (1..=trial.lots.boards.len() as u32).map(|run| acts(run) as f64 * ACT_MIN + LOOK_MIN).sum::<f64>();
    (boards + f64::from(trial.design.jars) * JAR_MIN) / 60.0
}

impl TrialAmounts {
    /// Whether that scale parts every two strengths of glue that are compared.
    ///
    /// # Errors
    /// The two it cannot.
    pub fn check_scale(&self, trial: &TrialOpened) -> Result<(), ScaleTooCoarse> {
        let step_g = trial.balance.g();
        let Some(factor) = trial.design.factors.iter().find(|f| f.key == FactorKey::Glue) else { return Ok(()) };
        // Half a step off at each weighing, and all to one side.
        let error_of = |jar: &JarAmounts| {
            let weighed = if jar.water_g > 0.0 { jar.stock_g + jar.water_g } else { jar.stock_g };
            step_g / 2.0 * (1.0 / self.stock.glue_g + 1.0 / jar.stock_g + 1.0 / weighed)
        };
        let error = self.jars.iter().map(error_of).fold(0.0, f64::max);
        match factor.levels.windows(2).find(|two| two[0] * (1.0 + error) >= two[1] * (1.0 - error)) {
            None => Ok(()),
            Some(two) => Err(ScaleTooCoarse { low: two[0], high: two[1], error, glue_g: self.stock.glue_g, step_g }),
        }
    }
}

/// How long after the first board each one's first coat of gesso is laid, by run: boards with long waits begin earlier, so
/// that the middle of all is laid at the same age of the pot.
pub fn compute_start_delays(trial: &TrialOpened) -> Vec<Span> {
    let half = |run: u32| {
        let recipe = trial.board_recipe(run);
        let coats = recipe.stipple.coats + recipe.coats.front;
        let waits = f64::from(recipe.stipple.coats.min(coats.saturating_sub(1))) * recipe.stipple.wait_min
            + f64::from(recipe.coats.front.saturating_sub(1)) * recipe.coats.wait_min;
        waits / 2.0
    };
    let halves: Vec<f64> = (1..=trial.lots.boards.len() as u32).map(half).collect();
    let longest = halves.iter().copied().fold(0.0, f64::max);
    halves.into_iter().map(|half| Span::from_min(longest - half)).collect()
}

/// The words for what is given to whole jars and what to boards, each with its levels.
pub fn say_units(trial: &TrialOpened) -> Vec<String> {
    let of = |unit: FactorUnit| -> Vec<String> {
        let factors = trial.design.factors.iter().filter(|f| f.key.unit() == unit);
        factors.map(|f| f.key.name().to_owned()).collect()
    };
    let (pot, board) = (of(FactorUnit::Pot), of(FactorUnit::Board));
    let mut said = Vec::new();
    if !pot.is_empty() {
        said.push(format!(
            "{} is given to whole pots: a pot counts once, however many boards are laid from it.",
            pot.join(" and ")
        ));
    }
    if !board.is_empty() {
        let within = if trial.design.strips.is_some() { "strip" } else { "pot" };
        said.push(format!("{} is given to boards, within every {within}.", board.join(" and ")));
    }
    said
}

/// What the boards are not given.
pub fn leaves_seal_out(trial: &TrialOpened) -> bool {
    bare_ground(&trial.recipe) != *trial.recipe
}
