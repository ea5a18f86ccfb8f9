//! How much a square metre takes: what is published, and what the maker's own pots say.

use super::mix::{Mix, MixInputs, compute_mix};
use crate::craft::materials::fillers::BulkDensities;
use crate::craft::physics::OutOfRange;
use crate::craft::recipe::Recipe;

/// Filler on a square metre of one coat, g: the least and the most that are published. A forum answer of 2017 quoting a
/// handbook: 136.43 ml of chalk or gypsum, lying as light as either may (0.65 g/ml, from memory); a paint maker's sheet,
/// waste included: 427.2 g (both READ).
pub const PUBLISHED_FILLER_G_PER_M2: (f64, f64) = (136.43 * 0.65, 427.2);
/// Where those come from.
pub const CONSUMPTION_SOURCE: &str = "a forum answer quoting a handbook, 2017; a paint maker's sheet";
/// Of size and seal nobody publishes a figure: so many times as little and as much (assumed).
const UNPUBLISHED_FACTOR: f64 = 2.0;
/// The most that a recipe may say to a square metre and coat, ml.
const MAX_ML_PER_M2: f64 = 5000.0;

/// Gesso to a square metre and coat by the maker's own weighings, ml.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OwnConsumption {
    /// All that was used over all that was covered.
    pub best: f64,
    /// The least between two weighings.
    pub low: f64,
    /// The most.
    pub high: f64,
    /// On how many coats it rests.
    pub coats: usize,
}

impl OwnConsumption {
    /// From spans between two weighings: ml used, m2 covered with them, coats.
    pub fn from_spans(spans: &[(f64, f64, usize)]) -> Option<OwnConsumption> {
        let spans: Vec<_> = spans.iter().filter(|(ml, m2, _)| *m2 > 0.0 && (ml / m2) < MAX_ML_PER_M2).collect();
        let (used, covered) = spans.iter().fold((0.0, 0.0), |(a, b), (ml, m2, _)| (a + ml, b + m2));
        let each = || spans.iter().map(|(ml, m2, _)| ml / m2);
        (covered > 0.0).then(|| OwnConsumption {
            best: used / covered,
            low: each().fold(f64::INFINITY, f64::min),
            high: each().fold(0.0, f64::max),
            coats: spans.iter().map(|(_, _, coats)| coats).sum(),
        })
    }
}

/// A job at the least, at the recipe's (or the maker's own), and at the most that is used.
#[derive(Debug, Clone, PartialEq)]
pub struct MixRange {
    /// The least.
    pub low: Mix,
    /// What to make.
    pub best: Mix,
    /// The most.
    pub high: Mix,
}

/// What a job takes, with the range in which it lies.
///
/// # Errors
/// As [`compute_mix`].
pub fn compute_mix_range(inputs: &MixInputs<'_>, own: Option<OwnConsumption>) -> Result<MixRange, OutOfRange> {
    let recipe = inputs.recipe;
    let plain = compute_mix(inputs)?;
    let with_waste = 1.0 + recipe.gesso.waste_pct / 100.0;
    let [low, best, high] = match own {
        // What was weighed holds what was wasted.
        Some(own) => [own.low, own.best, own.high].map(|ml| ml / with_waste),
        None => {
            let ours = recipe.gesso.ml_per_m2;
            let filler_g: f64 = plain.gesso.fillers.iter().map(|f| f.mass_g).sum();
            let per_m2 = filler_g / plain.gesso.volume_ml * ours * with_waste;
            let (least, most) = PUBLISHED_FILLER_G_PER_M2;
            let factor = |published: f64| if per_m2 > 0.0 { published / per_m2 } else { 1.0 };
            [ours * factor(least).min(1.0), ours, ours * factor(most).max(1.0)]
        }
    };
    let at = |gesso_ml: f64, others: f64| {
        let mut scaled = recipe.clone();
        scaled.gesso.ml_per_m2 = gesso_ml.min(MAX_ML_PER_M2);
        scaled.size.ml_per_m2 = (scaled.size.ml_per_m2 * others).min(MAX_ML_PER_M2);
        scaled.seal.ml_per_m2 = (scaled.seal.ml_per_m2 * others).min(MAX_ML_PER_M2);
        compute_mix(&MixInputs { recipe: &scaled, ..*inputs })
    };
    Ok(MixRange {
        low: at(low, 1.0 / UNPUBLISHED_FACTOR)?,
        best: if own.is_some() { at(best, 1.0)? } else { plain },
        high: at(high, UNPUBLISHED_FACTOR)?,
    })
}

/// What a millilitre of a recipe's gesso weighs, wet, g.
///
/// # Errors
/// A figure of the recipe outside its range.
pub fn gesso_g_per_ml(recipe: &Recipe, bulk: &BulkDensities) -> Result<f64, OutOfRange> {
    super::mix::wet_gesso_g_per_ml(recipe, bulk)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::craft::recipe::shipped;
    use crate::units::{Length, Size, Volume};

    fn inputs(recipe: &Recipe) -> MixInputs<'_> {
        let size = Size { width: Length::from_mm(300.0), height: Length::from_mm(400.0), thickness: None };
        let scoop = Some(Volume::from_ml(30.0));
        MixInputs { recipe, size, panels: 1, faces: None, scoop, bulk: &BulkDensities::TABLE }
    }

    #[test]
    fn a_job_lies_between_what_is_published() {
        let recipe = shipped::find_shipped_recipe("gypsum-zinc").unwrap();
        let MixRange { low, best, high } = compute_mix_range(&inputs(&recipe), None).unwrap();
        // 135 g of filler in 144.28668 ml of gesso, 120 ml * 1.15 of it on a square metre: 129.117 g. By consumption.csv
        // 88.680 and 427.2 g: 0.68682 and 3.30862 times; 7 coats of 0.12 m2 take 115.92 ml, and 15 are lost each time.
        for (gesso, ml) in [(&low, 115.92 * 0.686_82 + 15.0), (&best, 130.92), (&high, 115.92 * 3.308_62 + 15.0)] {
            assert!((gesso.gesso.volume_ml / ml - 1.0).abs() < 1e-4, "{} {ml}", gesso.gesso.volume_ml);
        }
        assert!((low.size_for_wood.glue_g * 2.0 / best.size_for_wood.glue_g - 1.0).abs() < 1e-9);
        assert!((high.seal.unwrap().solution_ml / best.seal.unwrap().solution_ml - 2.0).abs() < 1e-9);
        assert_eq!(best, compute_mix(&inputs(&recipe)).unwrap());
        // It is a matter of millilitres alone: the ground is one.
        assert!((low.ground.glue_per_100g_filler_g / high.ground.glue_per_100g_filler_g - 1.0).abs() < 1e-9);
    }

    #[test]
    fn the_makers_own_takes_the_place_of_what_is_published() {
        let recipe = shipped::find_shipped_recipe("gypsum-zinc").unwrap();
        // 30 ml on 0.2 m2 in two coats, 10 ml on 0.05 m2 in one: 160 ml a square metre, 150 to 200.
        let own = OwnConsumption::from_spans(&[(30.0, 0.2, 2), (10.0, 0.05, 1), (1.0, 0.0, 1)]).unwrap();
        assert!((own.best - 160.0).abs() < 1e-9 && (own.low, own.high, own.coats) == (150.0, 200.0, 3), "{own:?}");
        let range = compute_mix_range(&inputs(&recipe), Some(own)).unwrap();
        // 7 * 0.12 * 160 + 15: no waste is added, for it was weighed with the rest.
        assert!((range.best.gesso.volume_ml - 149.4).abs() < 1e-6, "{}", range.best.gesso.volume_ml);
        assert!((range.low.gesso.volume_ml - 141.0).abs() < 1e-6 && (range.high.gesso.volume_ml - 183.0).abs() < 1e-6);
        assert_eq!(OwnConsumption::from_spans(&[]), None);
    }
}
