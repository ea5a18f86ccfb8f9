//! Which way the wood runs.

use crate::craft::recipe::Direction;
use crate::units::written_words;
use strum::{VariantArray, VariantNames};

/// Which way the grain of the face runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, VariantArray, VariantNames)]
#[strum(serialize_all = "lowercase")]
pub enum Grain {
    /// Along the width.
    Width,
    /// Along the height.
    Height,
}
written_words!(Grain);

impl Grain {
    /// The side of the board along which it runs.
    pub const fn direction(self) -> Direction {
        match self {
            Grain::Width => Direction::Horizontal,
            Grain::Height => Direction::Vertical,
        }
    }
}
