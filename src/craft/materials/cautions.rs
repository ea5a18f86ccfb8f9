//! Cautions: what can hurt the maker or the panel. A recipe names some by key; stages and fillers bring their own.
//!
//! Absent on purpose: verdicts. A caution is said once and forbids nothing; it is not medical advice.

use super::{Filler, Status};

/// A thing to beware of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Caution {
    /// Zinc white under oil paint.
    ZincWithOil,
    /// Much titanium white in the filler.
    TitaniumPowdery,
    /// Hot water and glue.
    HotWater,
    /// Spirit near a hot plate.
    SpiritVapour,
    /// Dust of scraping and sanding.
    Dust,
    /// Blades and scrapers.
    Blade,
    /// Plaster that still sets.
    SettingPlaster,
    /// A shellac that hazes.
    ShellacHaze,
    /// An overheated pot.
    Overheating,
    /// Glue that has gone off.
    SpoiledGlue,
    /// Zinc in the drain.
    ZincWater,
    /// Coats that grow stronger.
    StrongOverWeak,
}

impl Caution {
    /// Every caution.
    pub const ALL: [Caution; 12] = [
        Caution::ZincWithOil,
        Caution::TitaniumPowdery,
        Caution::HotWater,
        Caution::SpiritVapour,
        Caution::Dust,
        Caution::Blade,
        Caution::SettingPlaster,
        Caution::ShellacHaze,
        Caution::Overheating,
        Caution::SpoiledGlue,
        Caution::ZincWater,
        Caution::StrongOverWeak,
    ];

    /// The key a recipe names it by.
    pub const fn key(self) -> &'static str {
        match self {
            Caution::ZincWithOil => "zinc-with-oil",
            Caution::TitaniumPowdery => "titanium-powdery",
            Caution::HotWater => "hot-water",
            Caution::SpiritVapour => "spirit-vapour",
            Caution::Dust => "dust",
            Caution::Blade => "blade",
            Caution::SettingPlaster => "setting-plaster",
            Caution::ShellacHaze => "shellac-haze",
            Caution::Overheating => "overheating",
            Caution::SpoiledGlue => "spoiled-glue",
            Caution::ZincWater => "zinc-water",
            Caution::StrongOverWeak => "strong-over-weak",
        }
    }

    /// The caution of that key.
    pub fn named(key: &str) -> Option<Caution> {
        Caution::ALL.into_iter().find(|c| c.key() == key)
    }

    /// What is to be said, in a sentence or two.
    pub const fn said(self) -> &'static str {
        match self {
            Caution::ZincWithOil => {
                "Zinc oxide forms soaps with oil: the paint above grows brittle and may come away. Seal it, or choose another white under oil."
            }
            Caution::TitaniumPowdery => {
                "Titanium white is there for opacity alone: a tenth of the filler is usual, a quarter the upper end; more makes a powdery ground."
            }
            Caution::HotWater => {
                "Water of 60 C scalds in about five seconds, and glue clings. Stand the bath firm, handle inward, no cable across; never let it boil dry."
            }
            Caution::SpiritVapour => {
                "Spirit gives a vapour that burns from about 13 C, which is below room temperature: no hot plate or flame in the room while you seal; air it; lay rags flat outside."
            }
            Caution::Dust => {
                "Scraping and sanding make fine dust; chalk, pumice and natural gypsum may hold quartz. Wear a dust mask (FFP2 or better), wipe wet, do not sweep."
            }
            Caution::Blade => {
                "A burred blade cuts: both hands on it, never toward the other hand, sheathed when it is down."
            }
            Caution::SettingPlaster => {
                "Plaster of Paris sets hot and hard: never around skin, never down a drain; only fully slaked plaster goes into fine gesso."
            }
            Caution::ShellacHaze => {
                "Shellac laid in damp or cold air, or on a surface near its dew point, turns hazy; shellac older than about a year may never harden: try a drop on glass."
            }
            Caution::Overheating => {
                "Glue kept at 60 C or above loses strength steadily, and a hot pot makes bubbles: re-warm only until it turns liquid."
            }
            Caution::SpoiledGlue => {
                "Glue that smells foul, is mouldy, or stays liquid when cool is spoiled: throw it away. Do not sniff mould close to."
            }
            Caution::ZincWater => {
                "Zinc harms water life: let washings settle, put the sludge in the bin, nothing with zinc down the drain."
            }
            Caution::StrongOverWeak => {
                "A coat stronger in glue than the one below it may curl, peel and lift what lies under it: from the wood outwards equal or weaker."
            }
        }
    }

    /// Where it comes from, and how far that may be trusted.
    pub const fn source(self) -> (&'static str, Status) {
        match self {
            Caution::ZincWithOil => {
                ("conservation studies of oil paint with zinc white; museum study over 28 years", Status::Read)
            }
            Caution::TitaniumPowdery => {
                ("tempera painters' pages; R. Kay 1983: the usual nine tenths whiting", Status::Read)
            }
            Caution::HotWater => ("consumer-safety tables", Status::Memory),
            Caution::SpiritVapour => {
                ("NIOSH Pocket Guide npgd0262: flash point 12.8 C, lower limit 3.3 %", Status::Read)
            }
            Caution::Dust => ("NIOSH Pocket Guide; OSHA 29 CFR 1910.1053 for quartz", Status::Read),
            Caution::Blade => ("common practice, no source", Status::Practice),
            Caution::SettingPlaster => ("common practice, no source", Status::Practice),
            Caution::ShellacHaze => ("craft pages, which disagree from 50 % to 90 % RH", Status::Read),
            Caution::Overheating => (
                "Rivers and Umney, Conservation of Furniture, 2003, p. 648; a gelatin maker's technical page",
                Status::Read,
            ),
            Caution::SpoiledGlue => ("D. V. Thompson, The Practice of Tempera Painting, 1936", Status::Read),
            Caution::ZincWater => ("common practice, no source", Status::Practice),
            Caution::StrongOverWeak => ("Rivers and Umney, Conservation of Furniture, 2003", Status::Read),
        }
    }

    /// What the fillers of a gesso call for when they are worked dry, and under this paint if it is oil.
    pub fn of_fillers(fillers: impl IntoIterator<Item = Filler>, under_oil: bool) -> Vec<Caution> {
        let zinc = fillers.into_iter().any(|f| f == Filler::ZincWhite);
        let mut all = vec![Caution::Dust];
        if zinc {
            all.push(Caution::ZincWater);
            if under_oil {
                all.insert(0, Caution::ZincWithOil);
            }
        }
        all
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_caution_is_found_by_its_key_and_says_where_it_is_from() {
        for caution in Caution::ALL {
            assert_eq!(Caution::named(caution.key()), Some(caution));
            assert!(caution.said().ends_with('.') && !caution.source().0.is_empty());
        }
        assert_eq!(Caution::named("zinc"), None);
    }

    #[test]
    fn zinc_brings_its_own() {
        let keys = |fillers: &[Filler], oil| -> Vec<&str> {
            Caution::of_fillers(fillers.iter().copied(), oil).into_iter().map(Caution::key).collect()
        };
        assert_eq!(keys(&[Filler::Gypsum, Filler::ZincWhite], true), ["zinc-with-oil", "dust", "zinc-water"]);
        assert_eq!(keys(&[Filler::Gypsum, Filler::ZincWhite], false), ["dust", "zinc-water"]);
        assert_eq!(keys(&[Filler::Chalk], true), ["dust"]);
    }
}
