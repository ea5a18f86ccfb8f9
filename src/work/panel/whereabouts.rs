//! Where a panel is once it is finished: painted on, gone from the studio, broken, back again.

use crate::units::{Moment, written_words};
use strum::{VariantArray, VariantNames};

/// What became of a panel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, VariantArray, VariantNames)]
#[strum(serialize_all = "lowercase")]
pub enum Whereabouts {
    /// It is painted, and still in the studio.
    Painted,
    /// It was sold.
    Sold,
    /// It was given away.
    Given,
    /// It is broken, and there is nothing more to look at.
    Broken,
    /// It came back.
    Returned,
}
written_words!(Whereabouts);

/// Who can look a panel over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Beholder {
    /// The maker.
    Maker,
    /// Whoever has it now.
    Owner,
    /// Nobody.
    Nobody,
}

impl Whereabouts {
    /// Who can look it over.
    pub const fn beholder(self) -> Beholder {
        match self {
            Whereabouts::Painted | Whereabouts::Returned => Beholder::Maker,
            Whereabouts::Sold | Whereabouts::Given => Beholder::Owner,
            Whereabouts::Broken => Beholder::Nobody,
        }
    }

    /// In words, without capital and full stop.
    pub const fn words(self) -> &'static str {
        match self {
            Whereabouts::Painted => "painted",
            Whereabouts::Sold => "sold",
            Whereabouts::Given => "given away",
            Whereabouts::Broken => "broken",
            Whereabouts::Returned => "back in the studio",
        }
    }
}

/// Where a panel is, and since when.
#[derive(Debug, Clone, PartialEq)]
pub struct Placement {
    /// What became of it.
    pub whereabouts: Whereabouts,
    /// To whom it went, in the maker's words.
    pub to: Option<String>,
    /// Since when.
    pub since: Moment,
}
