//! The small tests of a ground, the harmless ones first, and the pencils of one of them.

use crate::units::written_words;
use strum::{VariantArray, VariantNames};

/// A test of a ground. They stand in the order in which a board is tried: what leaves least behind comes first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, VariantArray, VariantNames)]
#[strum(serialize_all = "lowercase")]
pub enum GroundTest {
    /// Minutes of scraping until the face is even: told of the work itself, which it leaves as it is.
    Scrape,
    /// A drop of water: seconds until its gloss is gone.
    Drop,
    /// A dry dark cloth.
    Rub,
    /// A damp one.
    #[strum(serialize = "damp-rub")]
    DampRub,
    /// Powder that comes off on tape.
    Powder,
    /// The thumbnail.
    Nail,
    /// The hardest pencil that does not cut.
    Pencil,
    /// A cross is cut, and tape is pulled off it.
    Tape,
    /// A strip is bent until the ground cracks.
    Bend,
}
written_words!(GroundTest);

/// What a test is measured in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TestScale {
    /// Grades from 0.
    Grade {
        /// The last.
        most: u8,
    },
    /// Pencils, in steps above 6B.
    Pencil,
    /// Seconds.
    Seconds,
    /// Minutes.
    Minutes,
    /// Millimetres.
    Millimetres,
}

/// So many places of a board are tried at most.
pub const PLACES_MAX: usize = 3;

/// No longer is waited for a drop, s; scraped, min; and no strip is pressed deeper, mm: beyond reason (assumed).
const SECONDS_MAX: f64 = 1e6;
const MINUTES_MAX: f64 = 600.0;
const DEPTH_MAX_MM: f64 = 100.0;

impl GroundTest {
    /// What it is measured in.
    pub const fn scale(self) -> TestScale {
        match self {
            GroundTest::Scrape => TestScale::Minutes,
            GroundTest::Drop => TestScale::Seconds,
            GroundTest::Rub | GroundTest::DampRub | GroundTest::Nail => TestScale::Grade { most: 3 },
            GroundTest::Powder | GroundTest::Tape => TestScale::Grade { most: 5 },
            GroundTest::Pencil => TestScale::Pencil,
            GroundTest::Bend => TestScale::Millimetres,
        }
    }

    /// At how many places it is tried: the fewest and the most.
    pub const fn places(self) -> (usize, usize) {
        match self {
            GroundTest::Drop => (PLACES_MAX, PLACES_MAX),
            GroundTest::Powder | GroundTest::Tape | GroundTest::Pencil => (1, PLACES_MAX),
            GroundTest::Scrape | GroundTest::Rub | GroundTest::DampRub | GroundTest::Nail | GroundTest::Bend => (1, 1),
        }
    }

    /// What it is called in a sentence.
    pub const fn noun(self) -> &'static str {
        match self {
            GroundTest::Scrape => "scraping",
            GroundTest::Drop => "a drop of water",
            GroundTest::Rub => "the cloth",
            GroundTest::DampRub => "the damp cloth",
            GroundTest::Powder => "tape for powder",
            GroundTest::Nail => "the nail",
            GroundTest::Pencil => "the pencil",
            GroundTest::Tape => "a cut cross with tape",
            GroundTest::Bend => "bending",
        }
    }

    /// How its readings are written, places parted by commas.
    pub const fn form(self) -> &'static str {
        match self {
            GroundTest::Scrape => "minutes from 0 to 600: 12",
            GroundTest::Drop => "three times in seconds: 40,45,38",
            GroundTest::Rub | GroundTest::DampRub | GroundTest::Nail => "a grade from 0 to 3",
            GroundTest::Powder | GroundTest::Tape => "one to three grades from 0 to 5: 1,0,2",
            GroundTest::Pencil => "one to three pencils from 6B to 9H: HB,F,F",
            GroundTest::Bend => "millimetres above 0 and at most 100: 5.5",
        }
    }

    /// Whether a panel that is to be painted is spared it. The nail goes over a corner that will be hidden, and scraping is
    /// part of the work.
    pub const fn spoils_a_panel(self) -> bool {
        match self {
            GroundTest::Scrape | GroundTest::Nail => false,
            GroundTest::Drop
            | GroundTest::Rub
            | GroundTest::DampRub
            | GroundTest::Powder
            | GroundTest::Pencil
            | GroundTest::Tape
            | GroundTest::Bend => true,
        }
    }

    /// Whether it can have come to those readings; none at all is a test that was not made.
    pub fn allows(self, readings: &[f64]) -> bool {
        let (fewest, most) = self.places();
        let within = |reading: &f64| match self.scale() {
            TestScale::Grade { most } => (0.0..=f64::from(most)).contains(reading),
            TestScale::Pencil => (0.0..=f64::from(PencilGrade::H9.steps())).contains(reading),
            TestScale::Seconds => (0.0..=SECONDS_MAX).contains(reading),
            TestScale::Minutes => (0.0..=MINUTES_MAX).contains(reading),
            TestScale::Millimetres => *reading > 0.0 && *reading <= DEPTH_MAX_MM,
        };
        readings.is_empty() || ((fewest..=most).contains(&readings.len()) && readings.iter().all(within))
    }
}

/// The pencils of one box, the softest first. The scale is one of order: a step is not the same everywhere on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, VariantArray, VariantNames)]
#[allow(missing_docs, reason = "the names say it")]
pub enum PencilGrade {
    #[strum(serialize = "6B")]
    B6,
    #[strum(serialize = "5B")]
    B5,
    #[strum(serialize = "4B")]
    B4,
    #[strum(serialize = "3B")]
    B3,
    #[strum(serialize = "2B")]
    B2,
    #[strum(serialize = "B")]
    B1,
    #[strum(serialize = "HB")]
    Hb,
    #[strum(serialize = "F")]
    F,
    #[strum(serialize = "H")]
    H1,
    #[strum(serialize = "2H")]
    H2,
    #[strum(serialize = "3H")]
    H3,
    #[strum(serialize = "4H")]
    H4,
    #[strum(serialize = "5H")]
    H5,
    #[strum(serialize = "6H")]
    H6,
    #[strum(serialize = "7H")]
    H7,
    #[strum(serialize = "8H")]
    H8,
    #[strum(serialize = "9H")]
    H9,
}
written_words!(PencilGrade);

impl PencilGrade {
    /// Steps above 6B.
    pub const fn steps(self) -> u8 {
        self as u8
    }
    /// As it stands on the pencil, in capitals or small letters.
    pub fn parse(text: &str) -> Option<PencilGrade> {
        PencilGrade::from_name(&text.to_ascii_uppercase())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pencils_are_in_their_order() {
        assert!(PencilGrade::ALL.is_sorted());
        let between = |a, b| PencilGrade::parse(b).unwrap().steps() - PencilGrade::parse(a).unwrap().steps();
        assert_eq!((between("6b", "9H"), between("B", "hb"), between("HB", "H"), between("f", "2H")), (16, 1, 2, 2));
        for wrong in ["", "0H", "7B", "10H", "1H", "H2", "BH"] {
            assert_eq!(PencilGrade::parse(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn readings_are_within_their_scale() {
        let check =
            |test: GroundTest, readings: &[f64], is| assert_eq!(test.allows(readings), is, "{test:?} {readings:?}");
        for test in GroundTest::ALL {
            check(test, &[], true);
            check(test, &[f64::NAN], false);
            check(test, &[1.0; 4], false);
        }
        check(GroundTest::Drop, &[1.0, 2.0, 3.0], true);
        check(GroundTest::Drop, &[1.0, 2.0], false);
        check(GroundTest::Rub, &[3.0], true);
        check(GroundTest::Rub, &[4.0], false);
        check(GroundTest::Rub, &[1.0, 1.0], false);
        check(GroundTest::Tape, &[0.0, 5.0], true);
        check(GroundTest::Tape, &[6.0], false);
        check(GroundTest::Pencil, &[0.0, 16.0], true);
        check(GroundTest::Pencil, &[17.0], false);
        check(GroundTest::Bend, &[0.0], false);
        check(GroundTest::Bend, &[100.0], true);
    }
}
