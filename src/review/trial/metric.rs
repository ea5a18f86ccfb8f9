//! What a trial is answered by: one figure of each board, and the words for it.

use crate::units::written_words;
use crate::work::panel::ground_test::GroundTest;
use crate::work::panel::inspection::Inspection;
use crate::work::trial::factor::FactorKey;
use strum::{VariantArray, VariantNames};

/// A figure of a board.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, VariantArray, VariantNames)]
#[strum(serialize_all = "lowercase")]
pub enum TrialMetric {
    /// The hardest pencil that does not cut.
    Pencil,
    /// How far a strip bends until it cracks.
    Bend,
    /// How far the board has bowed.
    Bow,
    /// Cracked or not.
    Cracks,
    /// How long a drop keeps its gloss.
    Drop,
    /// What holds under tape.
    Tape,
    /// What the dry cloth takes.
    Rub,
    /// What the damp cloth takes.
    #[strum(serialize = "damp rub")]
    DampRub,
    /// Powder on tape.
    Powder,
    /// The nail.
    Nail,
    /// How long it took to scrape.
    Scrape,
}
written_words!(TrialMetric);

impl TrialMetric {
    /// Those a factor is answered by, the first that was looked at.
    pub fn preferred(key: FactorKey) -> Vec<TrialMetric> {
        let first = match key {
            FactorKey::Glue | FactorKey::Thinning | FactorKey::Wait | FactorKey::Coats | FactorKey::First => {
                TrialMetric::Pencil
            }
            FactorKey::Faces => TrialMetric::Bow,
            FactorKey::Cloth => TrialMetric::Cracks,
        };
        [first].into_iter().chain(TrialMetric::ALL.into_iter().filter(|m| *m != first)).collect()
    }

    /// The figure of one look, where it tells one.
    pub fn read(self, seen: &Inspection) -> Option<f64> {
        match self {
            TrialMetric::Bow => seen.bow.map(|b| b.sag.mm().abs()),
            TrialMetric::Cracks => seen.has_crack_finding().then(|| f64::from(u8::from(seen.is_cracked()))),
            TrialMetric::Pencil => seen.mean_reading(GroundTest::Pencil),
            TrialMetric::Bend => seen.mean_reading(GroundTest::Bend),
            TrialMetric::Drop => seen.mean_reading(GroundTest::Drop),
            TrialMetric::Tape => seen.mean_reading(GroundTest::Tape),
            TrialMetric::Rub => seen.mean_reading(GroundTest::Rub),
            TrialMetric::DampRub => seen.mean_reading(GroundTest::DampRub),
            TrialMetric::Powder => seen.mean_reading(GroundTest::Powder),
            TrialMetric::Nail => seen.mean_reading(GroundTest::Nail),
            TrialMetric::Scrape => seen.mean_reading(GroundTest::Scrape),
        }
    }

    /// What more of it and less of it is, behind what brought it about.
    pub const fn verbs(self) -> (&'static str, &'static str) {
        match self {
            TrialMetric::Pencil => ("made it harder", "made it softer"),
            TrialMetric::Bend => ("let it bend further before it cracked", "made it crack at less of a bend"),
            TrialMetric::Bow => ("bowed the boards more", "bowed the boards less"),
            TrialMetric::Cracks => ("brought more cracks", "brought fewer cracks"),
            TrialMetric::Drop => ("made it take up a drop more slowly", "made it take up a drop faster"),
            TrialMetric::Tape => ("made it hold better under tape", "made it hold worse under tape"),
            TrialMetric::Rub => ("made it smear more", "made it smear less"),
            TrialMetric::DampRub => ("made it smear more when damp", "made it smear less when damp"),
            TrialMetric::Powder => ("made it powder more", "made it powder less"),
            TrialMetric::Nail => ("made the nail go deeper", "made the nail go less deep"),
            TrialMetric::Scrape => ("took longer to scrape", "took less long to scrape"),
        }
    }

    /// The unit behind a figure that is not one.
    pub const fn unit(self) -> &'static str {
        match self {
            TrialMetric::Pencil => "pencil grades",
            TrialMetric::Bend | TrialMetric::Bow => "mm",
            TrialMetric::Cracks => "of the boards",
            TrialMetric::Drop => "s",
            TrialMetric::Scrape => "min",
            TrialMetric::Tape | TrialMetric::Rub | TrialMetric::DampRub | TrialMetric::Powder | TrialMetric::Nail => {
                "grades"
            }
        }
    }
}
