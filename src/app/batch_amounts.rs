//! What a batch takes for the unfinished boards of its recipe, in sum.

use crate::bench::Snapshot;
use crate::craft::materials::PotKind;
use crate::craft::materials::fillers::BulkDensities;
use crate::craft::physics::film::{GLUE_G_PER_ML, WATER_G_PER_ML};
use crate::craft::quantities::consumption::{OwnConsumption, compute_mix_range};
use crate::craft::quantities::mix::{Mix, MixInputs};
use crate::craft::recipe::Recipe;
use crate::units::Size;

/// What a batch takes for the unfinished boards of its recipe, in sum.
pub(super) struct BatchAmounts {
    /// The boards, as the maker calls them.
    pub labels: Vec<String>,
    /// What each takes.
    pub mixes: Vec<Mix>,
    /// Cloth, sieve and bowl keep their share once, and not once a board: this much of the sum is made.
    pub gesso_share: f64,
    /// What the maker's own pots say a square metre takes, where the amounts rest on it.
    pub own: Option<OwnConsumption>,
}

impl BatchAmounts {
    /// None where no unfinished board here has that recipe.
    pub(super) fn compute(
        snapshots: &[Snapshot],
        bulk: &BulkDensities,
        own: Option<OwnConsumption>,
        recipe: &Recipe,
    ) -> Option<BatchAmounts> {
        let job = |size| MixInputs { recipe, size, panels: 1, faces: None, scoop: None, bulk };
        let reckon = |size| compute_mix_range(&job(size), own).ok().map(|range| range.best);
        let boards = find_unfinished_panels(snapshots, recipe);
        let (labels, mixes): (Vec<String>, Vec<Mix>) =
            boards.into_iter().filter_map(|(label, size)| Some((label, reckon(size)?))).unzip();
        let whole: f64 = mixes.iter().map(|m| m.gesso.volume_ml).sum();
        let spared = recipe.gesso.loss_ml * mixes.len().saturating_sub(1) as f64;
        let gesso_share = if whole > 0.0 { (whole - spared) / whole } else { 1.0 };
        (!mixes.is_empty()).then_some(BatchAmounts { labels, mixes, gesso_share, own })
    }

    pub(super) fn sum(&self, of: impl Fn(&Mix) -> f64) -> f64 {
        self.mixes.iter().map(of).sum()
    }

    /// The sum over the gesso of every board, what is kept back counted once.
    pub(super) fn gesso_sum(&self, of: impl Fn(&Mix) -> f64) -> f64 {
        self.sum(of) * self.gesso_share
    }

    /// All dry glue, for the wood and for the gesso, g.
    pub(super) fn glue_g(&self) -> f64 {
        self.sum(|m| m.size_for_wood.glue_g) + self.gesso_sum(|m| m.gesso.glue_g)
    }

    /// The water it soaks in, ml to be measured.
    pub(super) fn water_ml(&self) -> f64 {
        self.sum(|m| m.size_for_wood.water_g) + self.gesso_sum(|m| m.gesso.water_g)
    }

    /// How much size that makes, or goes into the gesso, ml.
    pub(super) fn size_ml(&self, kind: PotKind) -> f64 {
        match kind {
            PotKind::Size => self.glue_g() / GLUE_G_PER_ML + self.water_ml() / WATER_G_PER_ML,
            PotKind::Gesso => self.gesso_sum(|m| m.gesso.size_ml),
        }
    }
}

/// The unfinished panels of that recipe, with their sizes.
fn find_unfinished_panels(snapshots: &[Snapshot], recipe: &Recipe) -> Vec<(String, Size)> {
    let fits = snapshots.iter().filter_map(|t| t.story.clone()).filter(|s| {
        let open = s.panel().stage_at_hand().is_some() && s.panel().abandon_reason().is_none();
        open && s.panel().opened().recipe.name == recipe.name
    });
    fits.map(|s| (s.panel().opened().label.clone(), s.panel().opened().size)).collect()
}
