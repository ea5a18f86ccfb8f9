//! What boards still take of glue, powders, shellac and spirit: the recipe's amounts, by the share of acts still to come.

use crate::craft::materials::fillers::BulkDensities;
use crate::craft::materials::{Filler, PotKind};
use crate::craft::physics::OutOfRange;
use crate::craft::quantities::mix::{MixInputs, compute_mix};
use crate::work::panel::event::{PanelOpened, StageKind};
use crate::work::panel::stage::build_plan;

/// What boards still take.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BoardNeeds {
    /// Dry glue for the size, g.
    pub size_glue_g: f64,
    /// Its water, g.
    pub size_water_g: f64,
    /// Dry glue for the gesso, g.
    pub gesso_glue_g: f64,
    /// Its water, g.
    pub gesso_water_g: f64,
    /// The powders, g, each once.
    pub fillers: Vec<(Filler, f64)>,
    /// Dry glue for a seal of thin glue, g.
    pub seal_glue_g: f64,
    /// Shellac, g; nothing where the recipe does not say how strong.
    pub resin_g: f64,
    /// Spirit, ml.
    pub spirit_ml: f64,
}

impl BoardNeeds {
    /// Dry glue for all of it, g.
    pub fn glue_g(&self) -> f64 {
        self.size_glue_g + self.gesso_glue_g + self.seal_glue_g
    }

    /// Adds what another board takes.
    pub fn add(&mut self, other: &BoardNeeds) {
        self.size_glue_g += other.size_glue_g;
        self.size_water_g += other.size_water_g;
        self.gesso_glue_g += other.gesso_glue_g;
        self.gesso_water_g += other.gesso_water_g;
        self.seal_glue_g += other.seal_glue_g;
        self.resin_g += other.resin_g;
        self.spirit_ml += other.spirit_ml;
        for (filler, mass) in &other.fillers {
            match self.fillers.iter_mut().find(|(own, _)| own == filler) {
                Some((_, sum)) => *sum += mass,
                None => self.fillers.push((*filler, *mass)),
            }
        }
    }
}

/// What one board takes for the acts of those kinds that are still to come, one for each.
///
/// # Errors
/// A size or a figure of the recipe outside its range.
pub fn compute_board_needs(
    opened: &PanelOpened,
    open: &[StageKind],
    bulk: &BulkDensities,
) -> Result<BoardNeeds, OutOfRange> {
    let inputs = MixInputs { recipe: &opened.recipe, size: opened.size, panels: 1, faces: None, scoop: None, bulk };
    let mix = compute_mix(&inputs)?;
    let places = build_plan(&opened.recipe);
    let share = |belongs: &dyn Fn(StageKind) -> bool| {
        let all = places.iter().filter(|place| belongs(place.kind)).count().max(1);
        open.iter().filter(|kind| belongs(**kind)).count() as f64 / all as f64
    };
    let size = share(&|kind| kind.row().pot == Some(PotKind::Size));
    let gesso = share(&|kind| kind.row().pot == Some(PotKind::Gesso));
    let seal = share(&|kind| kind == StageKind::Seal);
    let sealed = mix.seal.as_ref();
    Ok(BoardNeeds {
        size_glue_g: mix.size_for_wood.glue_g * size,
        size_water_g: mix.size_for_wood.water_g * size,
        gesso_glue_g: mix.gesso.glue_g * gesso,
        gesso_water_g: mix.gesso.water_g * gesso,
        fillers: mix.gesso.fillers.iter().map(|part| (part.filler, part.mass_g * gesso)).collect(),
        seal_glue_g: sealed.and_then(|mix| mix.glue).map_or(0.0, |glue| glue.glue_g * seal),
        resin_g: sealed.and_then(|mix| mix.resin_g).map_or(0.0, |resin| resin * seal),
        spirit_ml: sealed.and_then(|mix| mix.spirit_ml).map_or(0.0, |spirit| spirit * seal),
    })
}
