//! How much of a pot is left: from the coats that name it, what was poured from it, and the scales.
//!
//! A coat takes what the recipe says of its area; a weighing corrects what was reckoned since the one before. What the
//! vessel weighs is not known: the contents are what the recipe makes of the pot's size, and never more than the scales
//! showed.

use super::event::PotKind;
use super::fold::{MassRecord, Pot};
use super::water::WaterInputs;
use crate::craft::materials::fillers::BulkDensities;
use crate::craft::quantities::consumption::OwnConsumption;
use crate::craft::recipe::FillerAmount;
use crate::units::{Stamp, Volume};

/// No share is believed to be smaller: a pot is put away before, and the vessel holds heat too (assumed).
const LEAST_SHARE: f64 = 0.1;

/// Something taken out of a pot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PotUse {
    /// When.
    pub at: Stamp,
    /// How much of what stands in the pot.
    pub volume: Volume,
}

impl Pot {
    /// What a coat over so much takes out of the pot: by the maker's own weighings of gesso, else by its recipe; the water
    /// that thins the bowl is not in the pot.
    pub fn coat_volume(&self, area_m2: f64, own: Option<OwnConsumption>) -> Volume {
        let (size, gesso) = (&self.recipe().size, &self.recipe().gesso);
        Volume::from_ml(match self.opened.kind {
            PotKind::Size => size.ml_per_m2 * area_m2,
            PotKind::Gesso => {
                own.map_or(gesso.ml_per_m2, |own| own.best) * area_m2 / (1.0 + gesso.thinning_pct / 100.0)
            }
        })
    }

    /// How much it held when it was made; none where nobody said how much size there was.
    fn made_volume_ml(&self, known: &WaterInputs<'_>) -> Option<f64> {
        let per_ml_size = |part: &crate::craft::recipe::FillerPart| {
            let grams = match part.amount {
                FillerAmount::Grams(g) => g,
                FillerAmount::LooseMl(ml) => ml * known.bulk.bulk_g_per_ml(part.filler).value,
            };
            grams / 100.0 / part.filler.density_g_per_ml().value
        };
        let powder = match self.opened.kind {
            PotKind::Size => 0.0,
            PotKind::Gesso => self.recipe().gesso.fillers.iter().map(per_ml_size).sum(),
        };
        self.opened.size_ml.map(|size| size.ml() * (1.0 + powder)).filter(|ml| *ml > 0.0)
    }

    /// What it held when it was made, ml and g; none where nobody said how much size there was.
    pub fn made_amounts(&self, bulk: &BulkDensities) -> Option<(f64, f64)> {
        let known = WaterInputs { bulk, ..WaterInputs::default() };
        self.made_volume_ml(&known).zip(self.made_mass_g(&known))
    }

    /// The share of what it held when it was made that is in it as of then, 1 for all of it. Uses stand by time.
    pub fn share_left(&self, at: Stamp, uses: &[PotUse], known: &WaterInputs<'_>) -> f64 {
        let (volume_ml, made_g) = (self.made_volume_ml(known), self.made_mass_g(known));
        let taken = |from: Option<Stamp>, until: Stamp| {
            let since = uses.iter().filter(|u| from.is_none_or(|from| from < u.at) && u.at <= until);
            volume_ml.map_or(0.0, |all| since.map(|u| u.volume.ml()).sum::<f64>() / all)
        };
        let mut share = 1.0;
        let mut last: Option<Stamp> = None;
        let mut scales: Option<(f64, f64)> = None;
        for (m, record) in self.mass_records.iter().filter(|(m, _)| m.wall <= at) {
            let reckoned: f64 = share - taken(last, m.wall);
            share = match (record, scales) {
                (MassRecord::Water(water), Some((made_g, _))) => reckoned + water.g() / made_g,
                (MassRecord::Water(water), None) => reckoned + made_g.map_or(0.0, |made_g| water.g() / made_g),
                // Against the weighing before, with the water given since: `scales` keeps what a full pot would show.
                (MassRecord::Weighed(mass), Some((made_g, full_g))) => 1.0 - (full_g - mass.g()) / made_g,
                (MassRecord::Weighed(_), None) => reckoned,
            };
            share = share.max(LEAST_SHARE);
            if let (MassRecord::Weighed(mass), None) = (record, scales) {
                let made_g = made_g.map_or(mass.g() / share, |made_g| made_g.min(mass.g() / share));
                scales = Some((made_g, mass.g() + (1.0 - share) * made_g));
            }
            last = Some(m.wall);
        }
        (share - taken(last, at)).max(LEAST_SHARE)
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::*;
    use super::*;

    /// 500 ml of size with 80 g of gypsum (2.32 g/ml) to 100 ml: 672.4 ml, of which a tenth is taken three times.
    #[test]
    fn coats_and_weighings_tell_what_is_left() {
        let known = WaterInputs::default();
        let uses: Vec<PotUse> =
            [10.0, 20.0, 30.0].map(|min| PotUse { at: at(min), volume: Volume::from_ml(67.241) }).to_vec();
        let left =
            |rows: &[&str], min: f64, uses: &[PotUse]| play(gesso(), rows).pot().share_left(at(min), uses, &known);
        let made_g = gesso().pot().made_mass_g(&known).unwrap();
        let weighed = |min: f64, share: f64| format!("{min} weigh {}", 300.0 + made_g * share);
        let half = [weighed(1.0, 1.0), weighed(25.0, 0.5)];
        let half = half.each_ref().map(String::as_str);
        for (rows, min, uses, share) in [
            (&[][..], 5.0, &uses[..], 1.0),
            (&[][..], 25.0, &uses[..], 0.8),
            (&[][..], 40.0, &[][..], 1.0),
            // The scales correct what was reckoned, and coats count on from there; the vessel weighs 300 g.
            (&half[..], 25.0, &uses[..], 0.5),
            (&half[..], 40.0, &uses[..], 0.4),
            (&half[..], 40.0, &[][..], 0.5),
            // Lighter than the contents could be: then it holds no more than the scales show.
            (&["1 weigh 400", "25 weigh 200"][..], 30.0, &[][..], 0.5),
            (&["1 weigh 400", "20 water 40", "25 weigh 240"][..], 30.0, &[][..], 0.6),
        ] {
            let got = left(rows, min, uses);
            assert!((got - share).abs() < 1e-3, "{rows:?} at {min}: {got} and not {share}");
        }
    }
}
