//! The white powders in figures: their own density, the oil they take up, how they lie loose in a cup.
//!
//! Absent on purpose: volumes of a mix (`physics::film`, `quantities::mix`).

use super::{Figure, Filler, Status};
use crate::craft::physics::{OutOfRange, within};

impl Filler {
    /// Its density without the air between its grains, g/ml.
    pub const fn density_g_per_ml(self) -> Figure {
        match self {
            Filler::Gypsum => {
                Figure::of(2.32, 2.31, 2.36, Status::Read, "NIOSH Pocket Guide npgd0308; SSHADE 2.31; Gardner 1911 2.3")
            }
            Filler::Chalk => Figure::of(
                2.71,
                2.70,
                2.74,
                Status::Read,
                "Gettens and Stout 1942 2.70; calcite 2.71; Gardner 1911 2.74",
            ),
            Filler::PrecipitatedChalk => Figure::of(
                2.70,
                2.5,
                2.93,
                Status::Read,
                "Gardner 1911 2.5; aragonite 2.93 from memory; the middle chosen",
            ),
            Filler::MarbleDust => Figure::of(
                2.71,
                2.70,
                2.86,
                Status::Read,
                "calcite 2.71, Gettens and Stout 1942; dolomite 2.86 from memory",
            ),
            Filler::ZincWhite => {
                Figure::of(5.61, 5.56, 5.65, Status::Read, "NIOSH Pocket Guide npgd0675; Gettens and Stout 1942 5.65")
            }
            Filler::TitaniumWhite => Figure::of(
                4.23,
                4.2,
                4.26,
                Status::Memory,
                "rutile: from memory, between Gettens and Stout 1942 4.2 and NIOSH 4.26, both read",
            ),
            Filler::Kaolin => Figure::of(2.60, 2.58, 2.63, Status::Read, "Gettens and Stout 1942"),
            Filler::Barytes => Figure::of(4.45, 4.4, 4.5, Status::Read, "Gettens and Stout 1942"),
        }
    }

    /// Grams of linseed oil that 100 g of it take up (ASTM D281, or what was found instead).
    pub const fn oil_g_per_100g(self) -> Figure {
        const LIST: &str = "list of ASTM D281 values on a paint page; the middle chosen";
        match self {
            Filler::Gypsum => Figure::one(
                28.2,
                Status::Derived,
                "Gardner, Paint Technology and Tests, 1911: 22 % of the paste, 22/78 x 100; no D281 value found",
            ),
            Filler::Chalk => Figure::of(17.0, 16.0, 18.0, Status::Read, LIST),
            Filler::PrecipitatedChalk => {
                Figure::of(17.0, 16.0, 18.0, Status::Assumed, "that of calcium carbonate; finer powders take more")
            }
            Filler::MarbleDust => {
                Figure::of(17.0, 16.0, 18.0, Status::Assumed, "that of calcium carbonate; coarser powders take less")
            }
            Filler::ZincWhite => Figure::of(18.5, 17.0, 20.0, Status::Read, LIST),
            Filler::TitaniumWhite => Figure::of(
                20.0,
                11.0,
                20.0,
                Status::Read,
                "coated rutile in a published example of critical volume; uncoated 11",
            ),
            Filler::Kaolin => Figure::of(30.0, 30.0, 38.9, Status::Read, "list of ASTM D281 values; Gardner 1911 38.9"),
            Filler::Barytes => Figure::of(15.0, 9.9, 20.0, Status::Read, LIST),
        }
    }

    /// What a millilitre of it weighs, loosely filled, g/ml.
    pub const fn bulk_g_per_ml(self) -> Figure {
        const GUESS: &str = "from memory; nobody states it: weigh a cup of your own";
        let (value, lo, hi) = match self {
            Filler::Gypsum => (0.80, 0.65, 0.95),
            Filler::Chalk => (0.85, 0.70, 1.10),
            Filler::PrecipitatedChalk => (0.45, 0.30, 0.60),
            Filler::MarbleDust => (1.25, 1.00, 1.50),
            Filler::ZincWhite => (0.55, 0.40, 0.80),
            Filler::TitaniumWhite => (0.75, 0.60, 0.90),
            Filler::Kaolin => (0.45, 0.30, 0.60),
            Filler::Barytes => (1.80, 1.40, 2.20),
        };
        Figure::of(value, lo, hi, Status::Assumed, GUESS)
    }
}

/// What a millilitre of dry glue granules weighs, loosely filled, g/ml.
pub const GLUE_BULK_G_PER_ML: Figure =
    Figure::of(0.68, 0.60, 0.75, Status::Practice, "common practice, no source: weigh a cup of your own");

/// Loose weights of fillers: those in the table, save where the maker has weighed a cup.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct BulkDensities {
    weighed: Vec<(Filler, f64)>,
}

impl BulkDensities {
    /// The table alone.
    pub const fn table() -> Self {
        BulkDensities { weighed: Vec::new() }
    }

    /// Takes the maker's own weighing of a filler, g/ml; the last one given stands. Between 0.05 and 5 g/ml.
    pub fn weigh(&mut self, filler: Filler, g_per_ml: f64) -> Result<(), OutOfRange> {
        let g_per_ml = within("loose weight of a filler", g_per_ml, 0.05, 5.0, "g/ml")?;
        self.weighed.retain(|(other, _)| *other != filler);
        self.weighed.push((filler, g_per_ml));
        Ok(())
    }

    /// Whether the maker has weighed a cup of it.
    pub fn is_weighed(&self, filler: Filler) -> bool {
        self.weighed.iter().any(|(other, _)| *other == filler)
    }

    /// What a millilitre of it weighs, loosely filled, g/ml: a weighed cup has no range.
    pub fn of(&self, filler: Filler) -> Figure {
        match self.weighed.iter().find(|(other, _)| *other == filler) {
            Some(&(_, g_per_ml)) => Figure::one(g_per_ml, Status::Read, "a cup weighed by the maker"),
            None => filler.bulk_g_per_ml(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_figure_lies_in_its_own_range_and_says_where_it_is_from() {
        for filler in Filler::ALL {
            for figure in [filler.density_g_per_ml(), filler.oil_g_per_100g(), filler.bulk_g_per_ml()] {
                assert!(figure.lo <= figure.value && figure.value <= figure.hi, "{filler:?} {figure:?}");
                assert!(!figure.source.is_empty());
            }
            assert!(filler.bulk_g_per_ml().hi < filler.density_g_per_ml().value, "{filler:?}");
        }
    }

    #[test]
    fn a_weighed_cup_stands_in_for_the_table() {
        let mut bulk = BulkDensities::table();
        assert_eq!(bulk.of(Filler::Chalk), Filler::Chalk.bulk_g_per_ml());
        bulk.weigh(Filler::Chalk, 0.9).unwrap();
        bulk.weigh(Filler::Chalk, 0.95).unwrap();
        let cup = bulk.of(Filler::Chalk);
        assert_eq!((cup.value, cup.lo, cup.hi), (0.95, 0.95, 0.95));
        assert!(bulk.is_weighed(Filler::Chalk) && !bulk.is_weighed(Filler::Gypsum));
        for bad in [f64::NAN, 0.0, 9.0] {
            assert!(bulk.weigh(Filler::Gypsum, bad).is_err());
        }
    }
}
