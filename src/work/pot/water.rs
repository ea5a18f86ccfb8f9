//! What is in the pot: water leaves, glue stays. From the recipe, the weighings and the water given back: how much water
//! was lost, and how strong the glue has become.
//!
//! A weighing against the one before it tells of water only while nothing was taken out between them (derived);
//! where a coat was laid between them the difference is what was used, and the mixture in the pot stays what it was.
//! When something was taken out is handed in (`usage`).

use super::event::PotKind;
use super::fold::{MassRecord, Pot};
use crate::craft::materials::fillers::BulkDensities;
use crate::craft::physics::film::{GLUE_G_PER_ML, WATER_G_PER_L};
use crate::craft::recipe::FillerAmount;
use crate::units::Stamp;
use std::fmt;

/// What is known from outside the pot's own story.
#[derive(Clone, Copy)]
pub struct WaterInputs<'a> {
    /// When coats were laid from it.
    pub use_times: &'a [Stamp],
    /// How much stronger than its recipe the size was that it was poured from, 1 for as strong.
    pub parent_strength_factor: f64,
    /// What powders weigh, loosely filled.
    pub bulk: &'a BulkDensities,
}

impl Default for WaterInputs<'_> {
    fn default() -> Self {
        WaterInputs { use_times: &[], parent_strength_factor: 1.0, bulk: &BulkDensities::TABLE }
    }
}

/// What the strength rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StrengthOrigin {
    /// The recipe alone; nothing was weighed and no water given.
    Recipe,
    /// The recipe and water given back, without weighings: what left the pot is not known.
    WaterGiven,
    /// The recipe, that many weighings, and the water given back.
    Weighed {
        /// How many weighings.
        weighings: usize,
    },
    /// Nothing, since a journal is damaged.
    Unknown,
}

impl fmt::Display for StrengthOrigin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            StrengthOrigin::Recipe => f.write_str("the recipe alone; nothing was weighed"),
            StrengthOrigin::WaterGiven => {
                f.write_str("the recipe and the water given back; nothing was weighed, so what left is not known")
            }
            StrengthOrigin::Weighed { weighings } => {
                write!(f, "the recipe, {weighings} weighings and the water given back")
            }
            StrengthOrigin::Unknown => {
                f.write_str("nothing: its file, or that of a pot up its line, cannot be relied on")
            }
        }
    }
}

/// The water of a pot as of a time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PotWater {
    /// Water lost and not given back, g; negative where more was given than lost. None before two weighings.
    pub lost_g: Option<f64>,
    /// The same as a share of the water that belongs to the glue still in the pot, per cent.
    pub lost_pct: Option<f64>,
    /// Grams of dry glue to a litre of the water there is.
    pub glue_g_per_l_water: Option<f64>,
    /// The strength against the recipe's, 1 for as strong.
    pub strength_factor: Option<f64>,
    /// Grams of dry glue to 100 g of dry filler; gesso only. Water does not change it.
    pub glue_per_100g_filler_g: Option<f64>,
    /// Water given back in all, g.
    pub given_g: f64,
    /// What the strength rests on.
    pub strength_origin: StrengthOrigin,
}

impl PotWater {
    /// What is known where a journal up the line is damaged.
    pub const UNKNOWN: PotWater = PotWater {
        lost_g: None,
        lost_pct: None,
        glue_g_per_l_water: None,
        strength_factor: None,
        glue_per_100g_filler_g: None,
        given_g: 0.0,
        strength_origin: StrengthOrigin::Unknown,
    };
}

/// Glue, water and powder in the pot, g.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Mixture {
    glue_g: f64,
    water_g: f64,
    filler_g: f64,
}

impl Mixture {
    fn strength(self) -> f64 {
        self.glue_g / (self.water_g / WATER_G_PER_L)
    }
    /// The same mixture with `used_g` taken out; unchanged where more was taken than there was.
    fn take_out(self, used_g: f64) -> Mixture {
        let left = 1.0 - used_g / (self.glue_g + self.water_g + self.filler_g);
        if left > 0.0 {
            Mixture { glue_g: self.glue_g * left, water_g: self.water_g * left, filler_g: self.filler_g * left }
        } else {
            self
        }
    }
    /// The same mixture with less water; none where it has not that much.
    fn lose_water(self, lost_g: f64) -> Option<Mixture> {
        let water_g = self.water_g - lost_g;
        (water_g > 0.0).then_some(Mixture { water_g, ..self })
    }
}

/// Dry glue in a millilitre of size, g: a litre of water takes up the glue's own volume.
fn glue_g_per_ml_size(strength: f64) -> f64 {
    strength / (1000.0 + strength / GLUE_G_PER_ML)
}

impl Pot {
    /// The strength it was made with, g of dry glue to a litre of water: its recipe's, times what the size it was
    /// poured from had lost.
    pub fn initial_strength(&self, known: &WaterInputs<'_>) -> f64 {
        let planned = match self.opened.kind {
            PotKind::Size => self.recipe().size.glue_g_per_l_water,
            PotKind::Gesso => self.recipe().gesso.glue_g_per_l_water,
        };
        planned * known.parent_strength_factor
    }

    /// Dry filler to a millilitre of size, g; none of it in a pot of size.
    fn filler_g_per_ml_size(&self, known: &WaterInputs<'_>) -> f64 {
        let each = |part: &crate::craft::recipe::FillerPart| match part.amount {
            FillerAmount::Grams(g) => g,
            FillerAmount::LooseMl(ml) => ml * known.bulk.bulk_g_per_ml(part.filler).value,
        };
        match self.opened.kind {
            PotKind::Size => 0.0,
            PotKind::Gesso => self.recipe().gesso.fillers.iter().map(each).sum::<f64>() / 100.0,
        }
    }

    fn initial_mixture(&self, known: &WaterInputs<'_>) -> Option<Mixture> {
        let ml = self.opened.size_ml?.ml();
        let strength = self.initial_strength(known);
        let glue_g = ml * glue_g_per_ml_size(strength);
        let filler_g = self.filler_g_per_ml_size(known) * ml;
        (strength > 0.0 && ml > 0.0).then(|| Mixture { glue_g, water_g: glue_g / strength * WATER_G_PER_L, filler_g })
    }

    /// What its glue, water and powder weighed when it was made, g; none where nobody said how much size there was.
    pub(super) fn made_mass_g(&self, known: &WaterInputs<'_>) -> Option<f64> {
        self.initial_mixture(known).map(|mix| mix.glue_g + mix.water_g + mix.filler_g)
    }

    /// The water of the pot as of that time.
    pub fn water_at(&self, at: Stamp, known: &WaterInputs<'_>) -> PotWater {
        let made = self.initial_strength(known);
        let tally = MassTally::from_pot(self, at, known);
        let from = match (tally.weighings, tally.given_g > 0.0) {
            (2.., _) => StrengthOrigin::Weighed { weighings: tally.weighings },
            (0 | 1, true) => StrengthOrigin::WaterGiven,
            (0 | 1, false) => StrengthOrigin::Recipe,
        };
        let strength = match from {
            StrengthOrigin::Recipe => Some(made),
            StrengthOrigin::Unknown => None,
            StrengthOrigin::WaterGiven | StrengthOrigin::Weighed { .. } => tally.mixture.map(Mixture::strength),
        };
        let weighed = tally.weighings >= 2;
        let filler_g = self.filler_g_per_ml_size(known);
        PotWater {
            lost_g: weighed.then_some(tally.evaporated_g - tally.given_g),
            lost_pct: strength.filter(|s| weighed && *s > 0.0).map(|s| 100.0 * (1.0 - made / s)),
            glue_g_per_l_water: strength,
            strength_factor: strength.filter(|_| made > 0.0).map(|s| s / made),
            glue_per_100g_filler_g: (filler_g > 0.0).then(|| 100.0 * glue_g_per_ml_size(made) / filler_g),
            given_g: tally.given_g,
            strength_origin: from,
        }
    }
}

/// What the scales and the jug add up to.
struct MassTally {
    mixture: Option<Mixture>,
    weighings: usize,
    evaporated_g: f64,
    given_g: f64,
}

impl MassTally {
    fn from_pot(pot: &Pot, at: Stamp, known: &WaterInputs<'_>) -> MassTally {
        let mut tally =
            MassTally { mixture: pot.initial_mixture(known), weighings: 0, evaporated_g: 0.0, given_g: 0.0 };
        // The last weighing and the water given since.
        let mut last: Option<(Stamp, f64)> = None;
        for (m, scales) in pot.mass_records.iter().filter(|(m, _)| m.wall <= at) {
            match scales {
                MassRecord::Water(mass) => {
                    tally.given_g += mass.g();
                    tally.mixture = tally.mixture.and_then(|mix| mix.lose_water(-mass.g()));
                    last = last.map(|(since, g)| (since, g + mass.g()));
                }
                MassRecord::Weighed(mass) => {
                    if let Some((since, g)) = last {
                        let used = known.use_times.iter().any(|u| since < *u && *u <= m.wall);
                        tally.apply_loss(g - mass.g(), used);
                    }
                    tally.weighings += 1;
                    last = Some((m.wall, mass.g()));
                }
            }
        }
        tally
    }

    /// One interval between two weighings.
    fn apply_loss(&mut self, by_g: f64, used: bool) {
        if used {
            self.mixture = self.mixture.map(|mix| mix.take_out(by_g));
        } else {
            self.evaporated_g += by_g;
            self.mixture = self.mixture.and_then(|mix| mix.lose_water(by_g));
        }
    }
}
