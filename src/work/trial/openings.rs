//! What is said of the jars and boards of a trial when they are opened.

use super::amounts::TrialAmounts;
use super::event::TrialOpened;
use crate::craft::recipe::{Paint, Recipe};
use crate::units::{Id, Volume};
use crate::work::panel::event::{Grain, PanelOpened};
use crate::work::pot::event::{PotKind, PotOpened};
use crate::work::story::{TrialRun, jar_letter};
use std::sync::Arc;

/// So little water to the stock is none, g: the stock itself is the size for the wood.
const NO_WATER_G: f64 = 0.5;

/// One vessel of a trial.
#[derive(Debug, Clone, PartialEq)]
pub struct JarOpening {
    /// What it is called.
    pub label: String,
    kind: PotKind,
    recipe: Recipe,
    size_ml: Volume,
    /// 0 for size.
    jar: u32,
}

/// The vessels of a trial in the order in which they are opened: the stock, the size for the wood where it is thinned, the
/// jars.
pub fn jar_openings(trial: &TrialOpened, amounts: &TrialAmounts) -> Vec<JarOpening> {
    let mut stock_recipe = (*trial.recipe).clone();
    stock_recipe.size.glue_g_per_l_water = amounts.stock_g_per_l;
    let size = |word: &str, recipe: Recipe, ml: f64| JarOpening {
        label: format!("{} {word}", trial.label),
        kind: PotKind::Size,
        recipe,
        size_ml: Volume::from_ml(ml),
        jar: 0,
    };
    let mut openings = vec![size("stock", stock_recipe, amounts.stock.volume_ml)];
    if amounts.wood_water_g > NO_WATER_G {
        openings.push(size("wood", (*trial.recipe).clone(), amounts.wood.volume_ml));
    }
    openings.extend(amounts.jars.iter().map(|jar| JarOpening {
        label: format!("{} {}", trial.label, jar_letter(jar.jar).unwrap_or('?')),
        kind: PotKind::Gesso,
        recipe: trial.jar_recipe(jar.jar),
        size_ml: Volume::from_ml(jar.size.volume_ml),
        jar: jar.jar,
    }));
    openings
}

impl JarOpening {
    /// The opening itself, poured from that stock.
    pub fn into_opened(self, trial: &TrialOpened, id: Id, stock: Option<Id>) -> PotOpened {
        PotOpened {
            filler_lot: None,
            id,
            label: self.label,
            kind: self.kind,
            parent: stock,
            recipe: Arc::new(self.recipe),
            size_ml: Some(self.size_ml),
            lot: None,
            for_group: None,
            trial: Some(TrialRun { trial: trial.id.clone(), run: self.jar, jar: self.jar }),
        }
    }
}

/// The opening of the board of that run, with its own recipe.
pub fn board_opened(trial: &TrialOpened, run: u32, id: Id) -> PanelOpened {
    let recipe = trial.board_recipe(run);
    let jar = trial.lots.boards.get(run.saturating_sub(1) as usize).map_or(0, |b| b.jar);
    PanelOpened {
        sheet: None,
        id,
        label: trial.board_label(run),
        size: trial.size,
        support: trial.support,
        grain: if trial.size.width.mm() > trial.size.height.mm() { Grain::Width } else { Grain::Height },
        paint: recipe.suits.first().copied().unwrap_or(Paint::Oil),
        recipe: Arc::new(recipe),
        group: None,
        is_witness: false,
        trial: Some(TrialRun { trial: trial.id.clone(), run, jar }),
    }
}
