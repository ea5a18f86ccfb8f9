//! What is in the pot: water leaves, glue stays. From the recipe, the weighings and the water given back: how much water
//! was lost, and how strong the glue has become.
//!
//! A weighing against the one before it tells of water only while nothing was taken out between them (derived);
//! where a coat was laid between them the difference is what was used, and the mixture in the pot stays what it was.
//! When something was taken out is handed in (`usage`).

use super::event::PotKind;
use super::fold::{MassRecord, Pot};
use super::refraction::{BrixCalibration, BrixStrength};
use crate::craft::materials::fillers::BulkDensities;
use crate::craft::physics::film::{GLUE_G_PER_ML, WATER_G_PER_L};
use crate::craft::recipe::{FillerAmount, FillerPart, Gesso};
use crate::units::{Stamp, written_words};
use std::fmt;
use strum::{VariantArray, VariantNames};

/// What is known from outside the pot's own story.
#[derive(Clone, Copy)]
pub struct WaterInputs<'a> {
    /// When coats were laid from it.
    pub use_times: &'a [Stamp],
    /// How much stronger than its recipe the size was that it was poured from, 1 for as strong.
    pub parent_strength_factor: f64,
    /// On what that rests.
    pub parent_source: StrengthSource,
    /// What the maker's own readings make of a degree of the refractometer.
    pub calibration: Option<BrixCalibration>,
    /// What powders weigh, loosely filled.
    pub bulk: &'a BulkDensities,
}

impl Default for WaterInputs<'_> {
    fn default() -> Self {
        WaterInputs {
            use_times: &[],
            parent_strength_factor: 1.0,
            parent_source: StrengthSource::Recipe,
            calibration: None,
            bulk: &BulkDensities::TABLE,
        }
    }
}

/// Where the strength a pot was made with comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, VariantArray, VariantNames)]
#[strum(serialize_all = "lowercase")]
pub enum StrengthSource {
    /// Glue and water were weighed; of a pot poured from another, that one's.
    Weighed,
    /// A refractometer, by the maker's own readings.
    Brix,
    /// The recipe.
    Recipe,
}
written_words!(StrengthSource);

/// What the water in a pot was reckoned from.
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

/// The water of a pot as of a time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PotWater {
    /// Water lost and not given back, g; negative where more was given than lost. None before two weighings.
    pub lost_g: Option<f64>,
    /// The same as a share of the water that belongs to the glue still in the pot, per cent.
    pub lost_pct: Option<f64>,
    /// Grams of dry glue to a litre of the water there is.
    pub glue_g_per_l_water: Option<f64>,
    /// The strength against what it was made with, 1 for as strong.
    pub strength_factor: Option<f64>,
    /// The strength against its recipe's, 1 for as strong.
    pub recipe_factor: Option<f64>,
    /// Where the strength comes from.
    pub strength_source: StrengthSource,
    /// The standard deviation of a strength that a refractometer tells, g to a litre.
    pub strength_sd: Option<f64>,
    /// Grams of dry glue to 100 g of dry filler; gesso only. Water does not change it.
    pub glue_per_100g_filler_g: Option<f64>,
    /// Whether its powders were weighed.
    pub is_filler_weighed: bool,
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
        recipe_factor: None,
        strength_source: StrengthSource::Recipe,
        strength_sd: None,
        glue_per_100g_filler_g: None,
        is_filler_weighed: false,
        given_g: 0.0,
        strength_origin: StrengthOrigin::Unknown,
    };

    /// What the strength rests on, as words that can follow "from".
    pub fn basis(&self) -> String {
        let made = match self.strength_source {
            StrengthSource::Weighed => "the glue and water that were weighed",
            StrengthSource::Brix => "the refractometer and your own readings of known size",
            StrengthSource::Recipe => "the recipe",
        };
        let alone = self.strength_source == StrengthSource::Recipe;
        match self.strength_origin {
            StrengthOrigin::Recipe if alone => "the recipe alone; nothing was weighed".to_owned(),
            StrengthOrigin::Recipe => made.to_owned(),
            StrengthOrigin::WaterGiven if alone => {
                "the recipe and the water given back; nothing was weighed, so what left is not known".to_owned()
            }
            StrengthOrigin::WaterGiven => {
                format!("{made}, and the water given back; the pot was not weighed, so what left is not known")
            }
            StrengthOrigin::Weighed { weighings } => format!("{made}, {weighings} weighings and the water given back"),
            StrengthOrigin::Unknown => {
                "nothing: its file, or that of a pot up its line, cannot be relied on".to_owned()
            }
        }
    }
}

impl StrengthSource {
    /// How a record says it behind a figure.
    pub const fn card_words(self) -> &'static str {
        match self {
            StrengthSource::Weighed => "as weighed",
            StrengthSource::Brix => "by refractometer",
            StrengthSource::Recipe => "by the recipe",
        }
    }
}

impl fmt::Display for StrengthSource {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
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
    /// The strength of its recipe, g of dry glue to a litre of water.
    pub fn planned_strength(&self) -> f64 {
        match self.opened.kind {
            PotKind::Size => self.recipe().size.glue_g_per_l_water,
            PotKind::Gesso => self.recipe().gesso.glue_g_per_l_water,
        }
    }

    /// The strength it was made with, g of dry glue to a litre of water: as weighed, else its recipe's times what the size
    /// it was poured from is against its own recipe; and which.
    pub fn initial_strength(&self, known: &WaterInputs<'_>) -> (f64, StrengthSource) {
        let planned = (self.planned_strength() * known.parent_strength_factor, known.parent_source);
        let weighed = self.weighed.strength().or_else(|| self.half_weighed_strength(planned.0));
        weighed.map_or(planned, |strength| (strength, StrengthSource::Weighed))
    }

    /// Where one of glue and water was weighed, and it is known how much size was asked for: the other is as planned.
    /// Of what was poured from another pot neither tells of the whole.
    fn half_weighed_strength(&self, planned: f64) -> Option<f64> {
        let ml = self.opened.size_ml.filter(|_| self.opened.parent.is_none())?.ml();
        let asked_glue_g = ml * glue_g_per_ml_size(planned);
        match (self.weighed.glue, self.weighed.water) {
            (Some(glue), None) => Some(planned * glue.g() / asked_glue_g),
            (None, Some(water)) => Some(asked_glue_g / (water.g() / WATER_G_PER_L)),
            (None, None) | (Some(_), Some(_)) => None,
        }
    }

    /// How much size is in it, ml: as weighed, else as was said when it was opened.
    fn made_size_ml(&self) -> Option<f64> {
        self.weighed.size_ml().or(self.opened.size_ml.map(|ml| ml.ml())).filter(|ml| *ml > 0.0)
    }

    /// Its gesso as it was made, with what was weighed in the place of what was asked for: the strength, and the powders
    /// where it is known to how much size they went.
    pub fn gesso_as_made(&self, known: &WaterInputs<'_>) -> Gesso {
        let mut gesso = self.recipe().gesso.clone();
        if self.opened.kind == PotKind::Size {
            return gesso;
        }
        gesso.glue_g_per_l_water = self.initial_strength(known).0;
        let Some(ml) = self.made_size_ml().filter(|_| !self.weighed.fillers.is_empty()) else { return gesso };
        for (filler, mass) in &self.weighed.fillers {
            let amount = FillerAmount::Grams(mass.g() * 100.0 / ml);
            match gesso.fillers.iter_mut().find(|part| part.filler == *filler) {
                Some(part) => part.amount = amount,
                None => gesso.fillers.push(FillerPart { filler: *filler, amount }),
            }
        }
        gesso
    }

    /// Whether its powders were weighed, and count.
    fn is_filler_weighed(&self) -> bool {
        !self.weighed.fillers.is_empty() && self.made_size_ml().is_some()
    }

    /// Dry filler to a millilitre of size, g; none of it in a pot of size.
    fn filler_g_per_ml_size(&self, known: &WaterInputs<'_>) -> f64 {
        let each = |part: &FillerPart| match part.amount {
            FillerAmount::Grams(g) => g,
            FillerAmount::LooseMl(ml) => ml * known.bulk.bulk_g_per_ml(part.filler).value,
        };
        match self.opened.kind {
            PotKind::Size => 0.0,
            PotKind::Gesso => self.gesso_as_made(known).fillers.iter().map(each).sum::<f64>() / 100.0,
        }
    }

    fn initial_mixture(&self, known: &WaterInputs<'_>) -> Option<Mixture> {
        let ml = self.made_size_ml()?;
        let strength = self.initial_strength(known).0;
        let glue_g = ml * glue_g_per_ml_size(strength);
        let filler_g = self.filler_g_per_ml_size(known) * ml;
        (strength > 0.0).then(|| Mixture { glue_g, water_g: glue_g / strength * WATER_G_PER_L, filler_g })
    }

    /// The last refractometer reading by then that tells a strength; of no use where glue and water were weighed.
    pub(super) fn last_brix(&self, at: Stamp, known: &WaterInputs<'_>) -> Option<(Stamp, BrixStrength)> {
        let calibration = known.calibration.filter(|_| self.weighed.strength().is_none())?;
        let (m, brix) = self.brix_readings.iter().rfind(|(m, _)| m.wall <= at)?;
        Some((m.wall, calibration.strength(*brix)?))
    }

    /// What its glue, water and powder weighed when it was made, g; none where nobody said how much size there was.
    pub(super) fn made_mass_g(&self, known: &WaterInputs<'_>) -> Option<f64> {
        self.initial_mixture(known).map(|mix| mix.glue_g + mix.water_g + mix.filler_g)
    }

    /// The water of the pot as of that time.
    pub fn water_at(&self, at: Stamp, known: &WaterInputs<'_>) -> PotWater {
        let (made, made_source) = self.initial_strength(known);
        let brix = self.last_brix(at, known);
        let tally = MassTally::from_pot(self, at, known, brix);
        let from = match (tally.weighings, tally.given_g > 0.0) {
            (2.., _) => StrengthOrigin::Weighed { weighings: tally.weighings },
            (0 | 1, true) => StrengthOrigin::WaterGiven,
            (0 | 1, false) => StrengthOrigin::Recipe,
        };
        let by_masses = match from {
            StrengthOrigin::Recipe => Some(made),
            StrengthOrigin::Unknown => None,
            StrengthOrigin::WaterGiven | StrengthOrigin::Weighed { .. } => tally.mixture.map(Mixture::strength),
        };
        let strength = match brix {
            Some((_, read)) => Some(tally.read_mixture.map_or(read.strength, Mixture::strength)),
            None => by_masses,
        };
        let weighed = tally.weighings >= 2;
        let filler_g = self.filler_g_per_ml_size(known);
        let against = |base: f64| strength.filter(|_| base > 0.0).map(|s| s / base);
        PotWater {
            lost_g: weighed.then_some(tally.evaporated_g - tally.given_g),
            lost_pct: by_masses.filter(|s| weighed && *s > 0.0).map(|s| 100.0 * (1.0 - made / s)),
            glue_g_per_l_water: strength,
            strength_factor: against(made),
            recipe_factor: against(self.planned_strength()),
            strength_source: if brix.is_some() { StrengthSource::Brix } else { made_source },
            strength_sd: brix.map(|(_, read)| read.sd),
            glue_per_100g_filler_g: (filler_g > 0.0).then(|| 100.0 * glue_g_per_ml_size(made) / filler_g),
            is_filler_weighed: self.is_filler_weighed(),
            given_g: tally.given_g,
            strength_origin: from,
        }
    }
}

/// What the scales and the jug add up to.
struct MassTally {
    mixture: Option<Mixture>,
    /// The same, set to what the refractometer said when it was read.
    read_mixture: Option<Mixture>,
    weighings: usize,
    evaporated_g: f64,
    given_g: f64,
}

impl MassTally {
    fn from_pot(pot: &Pot, at: Stamp, known: &WaterInputs<'_>, brix: Option<(Stamp, BrixStrength)>) -> MassTally {
        let mixture = pot.initial_mixture(known);
        let mut tally = MassTally { mixture, read_mixture: None, weighings: 0, evaporated_g: 0.0, given_g: 0.0 };
        // Until it is read it is not known to be other than as made.
        let mut unread = brix;
        // The last weighing and the water given since.
        let mut last: Option<(Stamp, f64)> = None;
        for (m, scales) in pot.mass_records.iter().filter(|(m, _)| m.wall <= at) {
            if let Some((_, read)) = unread.take_if(|(when, _)| *when <= m.wall) {
                tally.set_strength(read.strength);
            }
            match scales {
                MassRecord::Water(mass) => {
                    tally.given_g += mass.g();
                    tally.change(|mix| mix.lose_water(-mass.g()));
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
        if let Some((_, read)) = unread {
            tally.set_strength(read.strength);
        }
        tally
    }

    fn set_strength(&mut self, strength: f64) {
        self.read_mixture = self.mixture.map(|mix| Mixture { water_g: mix.glue_g / strength * WATER_G_PER_L, ..mix });
    }

    fn change(&mut self, to: impl Fn(Mixture) -> Option<Mixture>) {
        self.mixture = self.mixture.and_then(&to);
        self.read_mixture = self.read_mixture.and_then(&to);
    }

    /// One interval between two weighings.
    fn apply_loss(&mut self, by_g: f64, used: bool) {
        if used {
            self.change(|mix| Some(mix.take_out(by_g)));
        } else {
            self.evaporated_g += by_g;
            self.change(|mix| mix.lose_water(by_g));
        }
    }
}
