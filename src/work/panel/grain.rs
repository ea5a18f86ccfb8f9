//! Which way the wood runs.

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
