//! The designs that come ready, each for a question many makers have.
//!
//! Sizes and levels are those for which the chance of finding an effect was computed: see `power`.

use super::design::TrialDesign;
use super::factor::{Factor, FactorKey};
use crate::units::{Length, Size, written_words};
use strum::{VariantArray, VariantNames};

/// A ready question.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, VariantArray, VariantNames)]
#[strum(serialize_all = "lowercase")]
pub enum TrialQuestion {
    /// How strong the glue, and how long between coats.
    Strength,
    /// How long between coats.
    Wait,
    /// How many coats.
    Coats,
    /// Gesso on one face or on both.
    Faces,
    /// Cloth or none.
    Cloth,
}
written_words!(TrialQuestion);

impl TrialQuestion {
    /// Its design.
    pub fn design(self) -> TrialDesign {
        let factor = |key, levels: &[f64]| Factor { key, levels: levels.to_vec() };
        let (factors, jars, boards, strips) = match self {
            TrialQuestion::Strength => {
                (vec![factor(FactorKey::Glue, &[60.0, 80.0]), factor(FactorKey::Wait, &[12.0, 25.0])], 8, 16, None)
            }
            TrialQuestion::Wait => (vec![factor(FactorKey::Wait, &[12.0, 25.0])], 2, 12, None),
            TrialQuestion::Coats => (vec![factor(FactorKey::Coats, &[4.0, 6.0, 8.0])], 2, 12, None),
            TrialQuestion::Faces => (vec![factor(FactorKey::Faces, &[0.0, 1.0])], 1, 10, None),
            TrialQuestion::Cloth => (vec![factor(FactorKey::Cloth, &[0.0, 1.0])], 1, 24, Some(12)),
        };
        TrialDesign { factors, jars, boards, strips }
    }

    /// The board it is made for: bow and cracks want a strip, a hardness a small square.
    pub const fn board(self) -> Size {
        let (width, height, thickness) = match self {
            TrialQuestion::Strength | TrialQuestion::Wait | TrialQuestion::Coats => (100.0, 100.0, 6.0),
            TrialQuestion::Faces => (400.0, 50.0, 3.0),
            TrialQuestion::Cloth => (200.0, 100.0, 6.0),
        };
        Size {
            width: Length::from_mm(width),
            height: Length::from_mm(height),
            thickness: Some(Length::from_mm(thickness)),
        }
    }
}
