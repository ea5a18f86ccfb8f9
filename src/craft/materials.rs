//! Supports and fillers: the names a maker may write, and what is known of each. Every figure carries its source, how
//! far it may be trusted, and a range where there is one.

pub mod exposure_limits;
pub mod fillers;
pub mod supports;

use crate::units::{all_variants, written_words};
use strum::{VariantArray, VariantNames};

/// How far a figure may be trusted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Confidence {
    /// It was read in the source.
    ReadInSource,
    /// It follows by arithmetic from figures that were read.
    Derived,
    /// It is known but was not found again.
    FromMemory,
    /// It is borrowed or guessed.
    Assumed,
    /// It is what people do.
    CommonPractice,
}

impl Confidence {
    /// The words for it.
    pub const fn description(self) -> &'static str {
        match self {
            Confidence::ReadInSource => "read in the source",
            Confidence::Derived => "derived from figures read in the source",
            Confidence::FromMemory => "from memory",
            Confidence::Assumed => "assumed",
            Confidence::CommonPractice => "common practice, no source",
        }
    }
}

/// A figure: the value used, the range it is given in, and where it comes from. Its unit is in the name that gives it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReferenceValue {
    /// The value used.
    pub value: f64,
    /// The lowest that is given anywhere.
    pub lo: f64,
    /// The highest that is given anywhere.
    pub hi: f64,
    /// Where it comes from.
    pub source: &'static str,
    /// How far it may be trusted.
    pub confidence: Confidence,
}

impl ReferenceValue {
    /// A figure without a range.
    const fn exact(value: f64, status: Confidence, source: &'static str) -> ReferenceValue {
        ReferenceValue { value, lo: value, hi: value, source, confidence: status }
    }
    /// A figure with the range it is given in.
    const fn with_range(value: f64, lo: f64, hi: f64, status: Confidence, source: &'static str) -> ReferenceValue {
        ReferenceValue { value, lo, hi, source, confidence: status }
    }
}

/// What the board is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, VariantArray, VariantNames)]
#[strum(serialize_all = "kebab-case")]
pub enum Support {
    /// Birch plywood.
    BirchPlywood,
    /// Poplar plywood.
    PoplarPlywood,
    /// Medium-density fibreboard.
    Mdf,
    /// Hardboard.
    Hardboard,
    /// White oak.
    OakWhite,
    /// Red oak.
    OakRed,
    /// Yellow-poplar.
    YellowPoplar,
    /// Lime, linden, basswood.
    Lime,
    /// Birch.
    Birch,
    /// Beech.
    Beech,
    /// Sugar maple.
    MapleSugar,
    /// Black walnut.
    WalnutBlack,
    /// Black cherry.
    CherryBlack,
    /// White pine.
    PineWhite,
    /// Mahogany.
    Mahogany,
    /// Anything else.
    Other,
}
written_words!(Support);

/// What a pot holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, VariantArray, VariantNames)]
#[strum(serialize_all = "lowercase")]
pub enum PotKind {
    /// Glue and water.
    Size,
    /// Glue, water and white powders.
    Gesso,
}
written_words!(PotKind);

/// A white powder that goes into the gesso.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, VariantArray)]
pub enum Filler {
    /// Calcium sulphate dihydrate.
    Gypsum,
    /// Chalk, whiting.
    Chalk,
    /// Precipitated chalk.
    PrecipitatedChalk,
    /// Marble dust.
    MarbleDust,
    /// Zinc white, zinc oxide.
    ZincWhite,
    /// Titanium white.
    TitaniumWhite,
    /// Kaolin.
    Kaolin,
    /// Barytes.
    Barytes,
}
all_variants!(Filler);

impl Filler {
    /// The names it may be written by; the first is its own.
    pub const fn names(self) -> &'static [&'static str] {
        match self {
            Filler::Gypsum => &["gypsum dihydrate", "gypsum"],
            Filler::Chalk => &["chalk", "whiting", "calcium carbonate"],
            Filler::PrecipitatedChalk => &["precipitated chalk"],
            Filler::MarbleDust => &["marble dust"],
            Filler::ZincWhite => &["zinc white", "zinc oxide"],
            Filler::TitaniumWhite => &["titanium white"],
            Filler::Kaolin => &["kaolin"],
            Filler::Barytes => &["barytes"],
        }
    }

    /// Its own name.
    pub const fn name(self) -> &'static str {
        self.names()[0]
    }

    /// The filler of that name or alias.
    pub fn from_name(name: &str) -> Option<Filler> {
        Filler::ALL.into_iter().find(|f| f.names().contains(&name))
    }
}
