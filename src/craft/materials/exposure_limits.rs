//! Limits of what may be breathed at work. Cautions, not medical advice: a home bench has no one to measure its dust.
//!
//! How much dust a scraping makes, nobody has measured.

use super::{Confidence, Filler};

/// One limit of one substance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExposureLimit {
    /// The substance.
    pub substance: &'static str,
    /// Whose limit, and of which dust.
    pub name: &'static str,
    /// The figure, mg/m3 save where the unit says otherwise, averaged over a working day.
    pub value: f64,
    /// Its unit.
    pub unit: &'static str,
    /// Where it comes from.
    pub source: &'static str,
    /// How far it may be trusted.
    pub confidence: Confidence,
}

const POCKET_GUIDE: &str = "NIOSH Pocket Guide to Chemical Hazards (DHHS 2005-149)";
const NIOSH_CIB_63: &str = "NIOSH Current Intelligence Bulletin 63, DHHS 2011-160 (2011)";

const fn mg_per_m3_limit(
    substance: &'static str,
    limit: &'static str,
    value: f64,
    status: Confidence,
    source: &'static str,
) -> ExposureLimit {
    ExposureLimit { substance, name: limit, value, unit: "mg/m3", source, confidence: status }
}

/// Every limit known.
pub const EXPOSURE_LIMITS: [ExposureLimit; 26] = [
    mg_per_m3_limit("zinc oxide dust", "NIOSH REL", 5.0, Confidence::ReadInSource, POCKET_GUIDE),
    mg_per_m3_limit("zinc oxide dust", "OSHA PEL total", 15.0, Confidence::ReadInSource, POCKET_GUIDE),
    mg_per_m3_limit("zinc oxide dust", "OSHA PEL respirable", 5.0, Confidence::ReadInSource, POCKET_GUIDE),
    mg_per_m3_limit("zinc oxide fume", "NIOSH REL", 5.0, Confidence::ReadInSource, POCKET_GUIDE),
    mg_per_m3_limit("zinc oxide", "IDLH", 500.0, Confidence::ReadInSource, POCKET_GUIDE),
    mg_per_m3_limit("titanium dioxide fine", "NIOSH REL", 2.4, Confidence::ReadInSource, NIOSH_CIB_63),
    mg_per_m3_limit("titanium dioxide ultrafine", "NIOSH REL", 0.3, Confidence::ReadInSource, NIOSH_CIB_63),
    mg_per_m3_limit(
        "titanium dioxide",
        "OSHA PEL total",
        15.0,
        Confidence::ReadInSource,
        "29 CFR 1910.1000 Z-1, as quoted by NIOSH",
    ),
    mg_per_m3_limit("calcium sulfate / gypsum", "NIOSH REL total", 10.0, Confidence::ReadInSource, POCKET_GUIDE),
    mg_per_m3_limit("calcium sulfate / gypsum", "NIOSH REL respirable", 5.0, Confidence::ReadInSource, POCKET_GUIDE),
    mg_per_m3_limit("calcium sulfate / gypsum", "OSHA PEL total", 15.0, Confidence::ReadInSource, POCKET_GUIDE),
    mg_per_m3_limit("calcium sulfate / gypsum", "OSHA PEL respirable", 5.0, Confidence::ReadInSource, POCKET_GUIDE),
    mg_per_m3_limit("calcium carbonate", "NIOSH REL total", 10.0, Confidence::ReadInSource, POCKET_GUIDE),
    mg_per_m3_limit("calcium carbonate", "NIOSH REL respirable", 5.0, Confidence::ReadInSource, POCKET_GUIDE),
    mg_per_m3_limit("calcium carbonate", "OSHA PEL total", 15.0, Confidence::ReadInSource, POCKET_GUIDE),
    mg_per_m3_limit("calcium carbonate", "OSHA PEL respirable", 5.0, Confidence::ReadInSource, POCKET_GUIDE),
    mg_per_m3_limit(
        "respirable crystalline silica",
        "NIOSH REL",
        0.05,
        Confidence::ReadInSource,
        "a page citing NIOSH 1974",
    ),
    mg_per_m3_limit(
        "respirable crystalline silica",
        "OSHA PEL",
        0.05,
        Confidence::ReadInSource,
        "29 CFR 1910.1053, as quoted",
    ),
    mg_per_m3_limit(
        "respirable crystalline silica",
        "OSHA action level",
        0.025,
        Confidence::ReadInSource,
        "29 CFR 1910.1053, as quoted",
    ),
    mg_per_m3_limit("ethanol", "NIOSH REL", 1900.0, Confidence::ReadInSource, POCKET_GUIDE),
    mg_per_m3_limit("ethanol", "OSHA PEL", 1900.0, Confidence::ReadInSource, POCKET_GUIDE),
    mg_per_m3_limit("kaolin", "NIOSH REL", 10.0, Confidence::FromMemory, "from memory"),
    mg_per_m3_limit("kaolin", "OSHA PEL", 15.0, Confidence::FromMemory, "from memory"),
    mg_per_m3_limit("barium sulfate", "NIOSH REL", 10.0, Confidence::FromMemory, "from memory"),
    mg_per_m3_limit("barium sulfate", "OSHA PEL", 15.0, Confidence::FromMemory, "from memory"),
    mg_per_m3_limit(
        "particulates not otherwise regulated",
        "OSHA PEL",
        15.0,
        Confidence::FromMemory,
        "29 CFR 1910.1000 Z-1, from memory",
    ),
];

/// The limits for the dust of a filler.
pub fn exposure_limits_for(filler: Filler) -> impl Iterator<Item = ExposureLimit> {
    let beginning = match filler {
        Filler::Gypsum => "calcium sulfate",
        Filler::Chalk | Filler::PrecipitatedChalk | Filler::MarbleDust => "calcium carbonate",
        Filler::ZincWhite => "zinc oxide dust",
        Filler::TitaniumWhite => "titanium dioxide",
        Filler::Kaolin => "kaolin",
        Filler::Barytes => "barium sulfate",
    };
    EXPOSURE_LIMITS.into_iter().filter(move |limit| limit.substance.starts_with(beginning))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_filler_has_a_limit() {
        for filler in Filler::ALL {
            assert!(exposure_limits_for(filler).count() >= 2, "{filler:?}");
        }
        assert!(exposure_limits_for(Filler::TitaniumWhite).any(|l| l.value == 2.4));
    }
}
