//! The white powders in figures: their own density, the oil they take up, how they lie loose in a cup.

use super::{Confidence, Filler, ReferenceValue};
use crate::craft::physics::{OutOfRange, check_range};

impl Filler {
    /// Its density without the air between its grains, g/ml.
    pub const fn density_g_per_ml(self) -> ReferenceValue {
        match self {
            Filler::Gypsum => ReferenceValue::with_range(
                2.32,
                2.31,
                2.36,
                Confidence::ReadInSource,
                "NIOSH Pocket Guide npgd0308; SSHADE 2.31; Gardner 1911 2.3",
            ),
            Filler::Chalk => ReferenceValue::with_range(
                2.71,
                2.70,
                2.74,
                Confidence::ReadInSource,
                "Gettens and Stout 1942 2.70; calcite 2.71; Gardner 1911 2.74",
            ),
            Filler::PrecipitatedChalk => ReferenceValue::with_range(
                2.70,
                2.5,
                2.93,
                Confidence::ReadInSource,
                "Gardner 1911 2.5; aragonite 2.93 from memory; the middle chosen",
            ),
            Filler::MarbleDust => ReferenceValue::with_range(
                2.71,
                2.70,
                2.86,
                Confidence::ReadInSource,
                "calcite 2.71, Gettens and Stout 1942; dolomite 2.86 from memory",
            ),
            Filler::ZincWhite => ReferenceValue::with_range(
                5.61,
                5.56,
                5.65,
                Confidence::ReadInSource,
                "NIOSH Pocket Guide npgd0675; Gettens and Stout 1942 5.65",
            ),
            Filler::TitaniumWhite => ReferenceValue::with_range(
                4.23,
                4.2,
                4.26,
                Confidence::FromMemory,
                "rutile: from memory, between Gettens and Stout 1942 4.2 and NIOSH 4.26, both read",
            ),
            Filler::Kaolin => {
                ReferenceValue::with_range(2.60, 2.58, 2.63, Confidence::ReadInSource, "Gettens and Stout 1942")
            }
            Filler::Barytes => {
                ReferenceValue::with_range(4.45, 4.4, 4.5, Confidence::ReadInSource, "Gettens and Stout 1942")
            }
        }
    }

    /// Grams of linseed oil that 100 g of it take up (ASTM D281, or what was found instead).
    pub const fn oil_absorption_g_per_100g(self) -> ReferenceValue {
        const LIST: &str = "list of ASTM D281 values on a paint page; the middle chosen";
        match self {
            Filler::Gypsum => ReferenceValue::exact(
                28.2,
                Confidence::Derived,
                "Gardner, Paint Technology and Tests, 1911: 22 % of the paste, 22/78 x 100; no D281 value found",
            ),
            Filler::Chalk => ReferenceValue::with_range(17.0, 16.0, 18.0, Confidence::ReadInSource, LIST),
            Filler::PrecipitatedChalk => ReferenceValue::with_range(
                17.0,
                16.0,
                18.0,
                Confidence::Assumed,
                "that of calcium carbonate; finer powders take more",
            ),
            Filler::MarbleDust => ReferenceValue::with_range(
                17.0,
                16.0,
                18.0,
                Confidence::Assumed,
                "that of calcium carbonate; coarser powders take less",
            ),
            Filler::ZincWhite => ReferenceValue::with_range(18.5, 17.0, 20.0, Confidence::ReadInSource, LIST),
            Filler::TitaniumWhite => ReferenceValue::with_range(
                20.0,
                11.0,
                20.0,
                Confidence::ReadInSource,
                "coated rutile in a published example of critical volume; uncoated 11",
            ),
            Filler::Kaolin => ReferenceValue::with_range(
                30.0,
                30.0,
                38.9,
                Confidence::ReadInSource,
                "list of ASTM D281 values; Gardner 1911 38.9",
            ),
            Filler::Barytes => ReferenceValue::with_range(15.0, 9.9, 20.0, Confidence::ReadInSource, LIST),
        }
    }

    /// What a millilitre of it weighs, loosely filled, g/ml.
    pub const fn bulk_g_per_ml(self) -> ReferenceValue {
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
        ReferenceValue::with_range(value, lo, hi, Confidence::Assumed, GUESS)
    }
}

/// What a millilitre of dry glue granules weighs, loosely filled, g/ml.
pub const GLUE_BULK_G_PER_ML: ReferenceValue = ReferenceValue::with_range(
    0.68,
    0.60,
    0.75,
    Confidence::CommonPractice,
    "common practice, no source: weigh a cup of your own",
);

/// What a loosely filled white powder can weigh, g/ml; assumed, wide.
pub const BULK_RANGE_G_PER_ML: (f64, f64) = (0.05, 5.0);

/// Loose weights of fillers: those in the table, save where the maker has weighed a cup.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct BulkDensities {
    /// The cups of the maker, g/ml, each at the place of its filler in [`Filler::ALL`].
    weighed_g_per_ml: [Option<f64>; Filler::ALL.len()],
    /// The maker's cup of dry glue, g/ml.
    weighed_glue_g_per_ml: Option<f64>,
}

impl BulkDensities {
    /// The table alone.
    pub const TABLE: BulkDensities =
        BulkDensities { weighed_g_per_ml: [None; Filler::ALL.len()], weighed_glue_g_per_ml: None };

    /// Takes the maker's own weighing of dry glue, g/ml.
    ///
    /// # Errors
    /// A weight outside `BULK_RANGE_G_PER_ML`.
    pub fn set_glue_weighed(&mut self, g_per_ml: f64) -> Result<(), OutOfRange> {
        let (lo, hi) = BULK_RANGE_G_PER_ML;
        self.weighed_glue_g_per_ml = Some(check_range("loose weight", g_per_ml, lo, hi, "g/ml")?);
        Ok(())
    }

    /// What a millilitre of dry glue weighs, loosely filled, g/ml: the maker's own, else the common one.
    pub fn glue_bulk_g_per_ml(&self) -> ReferenceValue {
        self.weighed_glue_g_per_ml
            .map_or(GLUE_BULK_G_PER_ML, |own| ReferenceValue::exact(own, Confidence::ReadInSource, "your own cup"))
    }

    /// Takes the maker's own weighing of a filler, g/ml; the last one given stands.
    ///
    /// # Errors
    /// A weight outside `BULK_RANGE_G_PER_ML`.
    pub fn set_weighed(&mut self, filler: Filler, g_per_ml: f64) -> Result<(), OutOfRange> {
        let (lo, hi) = BULK_RANGE_G_PER_ML;
        self.weighed_g_per_ml[filler as usize] =
            Some(check_range("loose weight of a filler", g_per_ml, lo, hi, "g/ml")?);
        Ok(())
    }

    /// Whether the maker has weighed a cup of it.
    pub const fn is_weighed(&self, filler: Filler) -> bool {
        self.weighed_g_per_ml[filler as usize].is_some()
    }

    /// What a millilitre of it weighs, loosely filled, g/ml: a weighed cup has no range.
    pub const fn bulk_g_per_ml(&self, filler: Filler) -> ReferenceValue {
        match self.weighed_g_per_ml[filler as usize] {
            Some(g_per_ml) => ReferenceValue::exact(g_per_ml, Confidence::ReadInSource, "a cup weighed by the maker"),
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
            for figure in [filler.density_g_per_ml(), filler.oil_absorption_g_per_100g(), filler.bulk_g_per_ml()] {
                assert!(figure.lo <= figure.value && figure.value <= figure.hi, "{filler:?} {figure:?}");
                assert!(!figure.source.is_empty());
            }
            assert!(filler.bulk_g_per_ml().hi < filler.density_g_per_ml().value, "{filler:?}");
        }
    }

    #[test]
    fn a_weighed_cup_stands_in_for_the_table() {
        for (place, filler) in Filler::ALL.into_iter().enumerate() {
            assert_eq!(filler as usize, place, "each cup has a place of its own");
        }
        let mut bulk = BulkDensities::TABLE;
        assert_eq!(bulk.bulk_g_per_ml(Filler::Chalk), Filler::Chalk.bulk_g_per_ml());
        bulk.set_weighed(Filler::Chalk, 0.9).unwrap();
        bulk.set_weighed(Filler::Chalk, 0.95).unwrap();
        let cup = bulk.bulk_g_per_ml(Filler::Chalk);
        assert_eq!((cup.value, cup.lo, cup.hi), (0.95, 0.95, 0.95));
        assert!(bulk.is_weighed(Filler::Chalk) && !bulk.is_weighed(Filler::Gypsum));
        for bad in [f64::NAN, 0.0, 9.0] {
            assert!(bulk.set_weighed(Filler::Gypsum, bad).is_err());
        }
    }
}
