//! Limits of what may be breathed at work. Cautions, not medical advice: a home bench has no one to measure its dust.
//!
//! Absent on purpose: how much dust a scraping makes (nobody has measured it here).

use super::{Filler, Status};

/// One limit of one substance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limit {
    /// The substance.
    pub substance: &'static str,
    /// Whose limit, and of which dust.
    pub limit: &'static str,
    /// The figure, mg/m3 save where the unit says otherwise, averaged over a working day.
    pub value: f64,
    /// Its unit.
    pub unit: &'static str,
    /// Where it comes from.
    pub source: &'static str,
    /// How far it may be trusted.
    pub status: Status,
}

const POCKET: &str = "NIOSH Pocket Guide to Chemical Hazards (DHHS 2005-149)";
const CIB63: &str = "NIOSH Current Intelligence Bulletin 63, DHHS 2011-160 (2011)";

const fn limit(
    substance: &'static str,
    limit: &'static str,
    value: f64,
    status: Status,
    source: &'static str,
) -> Limit {
    Limit { substance, limit, value, unit: "mg/m3", source, status }
}

/// Every limit known.
pub const LIMITS: [Limit; 26] = [
    limit("zinc oxide dust", "NIOSH REL", 5.0, Status::Read, POCKET),
    limit("zinc oxide dust", "OSHA PEL total", 15.0, Status::Read, POCKET),
    limit("zinc oxide dust", "OSHA PEL respirable", 5.0, Status::Read, POCKET),
    limit("zinc oxide fume", "NIOSH REL", 5.0, Status::Read, POCKET),
    limit("zinc oxide", "IDLH", 500.0, Status::Read, POCKET),
    limit("titanium dioxide fine", "NIOSH REL", 2.4, Status::Read, CIB63),
    limit("titanium dioxide ultrafine", "NIOSH REL", 0.3, Status::Read, CIB63),
    limit("titanium dioxide", "OSHA PEL total", 15.0, Status::Read, "29 CFR 1910.1000 Z-1, as quoted by NIOSH"),
    limit("calcium sulfate / gypsum", "NIOSH REL total", 10.0, Status::Read, POCKET),
    limit("calcium sulfate / gypsum", "NIOSH REL respirable", 5.0, Status::Read, POCKET),
    limit("calcium sulfate / gypsum", "OSHA PEL total", 15.0, Status::Read, POCKET),
    limit("calcium sulfate / gypsum", "OSHA PEL respirable", 5.0, Status::Read, POCKET),
    limit("calcium carbonate", "NIOSH REL total", 10.0, Status::Read, POCKET),
    limit("calcium carbonate", "NIOSH REL respirable", 5.0, Status::Read, POCKET),
    limit("calcium carbonate", "OSHA PEL total", 15.0, Status::Read, POCKET),
    limit("calcium carbonate", "OSHA PEL respirable", 5.0, Status::Read, POCKET),
    limit("respirable crystalline silica", "NIOSH REL", 0.05, Status::Read, "a page citing NIOSH 1974"),
    limit("respirable crystalline silica", "OSHA PEL", 0.05, Status::Read, "29 CFR 1910.1053, as quoted"),
    limit("respirable crystalline silica", "OSHA action level", 0.025, Status::Read, "29 CFR 1910.1053, as quoted"),
    limit("ethanol", "NIOSH REL", 1900.0, Status::Read, POCKET),
    limit("ethanol", "OSHA PEL", 1900.0, Status::Read, POCKET),
    limit("kaolin", "NIOSH REL", 10.0, Status::Memory, "from memory"),
    limit("kaolin", "OSHA PEL", 15.0, Status::Memory, "from memory"),
    limit("barium sulfate", "NIOSH REL", 10.0, Status::Memory, "from memory"),
    limit("barium sulfate", "OSHA PEL", 15.0, Status::Memory, "from memory"),
    limit(
        "particulates not otherwise regulated",
        "OSHA PEL",
        15.0,
        Status::Memory,
        "29 CFR 1910.1000 Z-1, from memory",
    ),
];

/// The limits for the dust of a filler.
pub fn limits_of(filler: Filler) -> impl Iterator<Item = Limit> {
    let beginning = match filler {
        Filler::Gypsum => "calcium sulfate",
        Filler::Chalk | Filler::PrecipitatedChalk | Filler::MarbleDust => "calcium carbonate",
        Filler::ZincWhite => "zinc oxide dust",
        Filler::TitaniumWhite => "titanium dioxide",
        Filler::Kaolin => "kaolin",
        Filler::Barytes => "barium sulfate",
    };
    LIMITS.into_iter().filter(move |limit| limit.substance.starts_with(beginning))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_filler_has_a_limit() {
        for filler in Filler::ALL {
            assert!(limits_of(filler).count() >= 2, "{filler:?}");
        }
        assert!(limits_of(Filler::TitaniumWhite).any(|l| l.value == 2.4));
    }
}
