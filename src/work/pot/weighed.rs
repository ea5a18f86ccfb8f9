//! What was really weighed into a pot, where the maker said so.

use crate::craft::materials::Filler;
use crate::craft::physics::film::{GLUE_G_PER_ML, WATER_G_PER_L, WATER_G_PER_ML};
use crate::text::{format_number, parse_mass, quote_word};
use crate::units::Mass;

/// What the balance said when a pot was made; each part may be missing, and then the recipe's figure stands.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WeighedParts {
    /// Dry glue.
    pub glue: Option<Mass>,
    /// The water it was dissolved in.
    pub water: Option<Mass>,
    /// Powders, each once.
    pub fillers: Vec<(Filler, Mass)>,
}

/// How a note begins that says what the balance said before the pot was made.
pub const BALANCE_NOTE: &str = "balance: ";

impl WeighedParts {
    /// Nothing was weighed, or nothing was said of it.
    pub const NONE: WeighedParts = WeighedParts { glue: None, water: None, fillers: Vec::new() };

    /// Whether nothing was weighed.
    pub fn is_empty(&self) -> bool {
        self.glue.is_none() && self.water.is_none() && self.fillers.is_empty()
    }

    /// Dry glue to a litre of water, g, where both were weighed.
    pub fn strength(&self) -> Option<f64> {
        let (glue, water) = (self.glue?.g(), self.water?.g());
        Some(glue / (water / WATER_G_PER_L))
    }

    /// What glue and water make together, ml, where both were weighed.
    pub fn size_ml(&self) -> Option<f64> {
        Some(self.water?.g() / WATER_G_PER_ML + self.glue?.g() / GLUE_G_PER_ML)
    }

    /// As a maker writes it: "71 g glue, 1000 g water".
    pub fn to_line(&self) -> String {
        let part = |(name, mass): (&str, Mass)| format!("{} g {name}", format_number(mass.g(), 2));
        self.masses().map(part).collect::<Vec<_>>().join(", ")
    }

    /// What of that powder was weighed.
    pub fn filler(&self, filler: Filler) -> Option<Mass> {
        self.fillers.iter().find(|(f, _)| *f == filler).map(|(_, mass)| *mass)
    }

    /// Every mass, with what it is of.
    pub fn masses(&self) -> impl Iterator<Item = (&'static str, Mass)> {
        let glue = self.glue.map(|mass| ("glue", mass));
        let water = self.water.map(|mass| ("water", mass));
        glue.into_iter().chain(water).chain(self.fillers.iter().map(|(filler, mass)| (filler.name(), *mass)))
    }

    /// Adds a powder, as a maker names it.
    ///
    /// # Errors
    /// A sentence: a name that is no powder's, or one that was given already.
    pub fn add_filler(&mut self, name: &str, mass: Mass) -> Result<(), String> {
        let filler = Filler::from_name(&name.trim().to_lowercase()).ok_or_else(|| {
            let names = Filler::ALL.map(Filler::name).join(", ");
            format!("{} is no filler known here; known are {names}", quote_word(name))
        })?;
        if self.filler(filler).is_some() {
            return Err(format!("{} is given twice; give its whole mass once", filler.name()));
        }
        self.fillers.push((filler, mass));
        Ok(())
    }

    /// Reads a line: masses and names in either order, parted by commas: "71g glue, 1000g water, zinc white 310g".
    ///
    /// # Errors
    /// A sentence on what cannot be read.
    pub fn parse(text: &str) -> Result<WeighedParts, String> {
        let mut parts = WeighedParts::NONE;
        for part in text.split(',').map(str::trim).filter(|part| !part.is_empty()) {
            let (name, mass) = split_name_and_mass(part).ok_or_else(|| {
                format!("{} has no mass and name; write a mass with its unit and a name: 71g glue", quote_word(part))
            })?;
            let mass = parse_mass(mass).map_err(|e| e.to_string())?;
            let place = match name.trim().trim_end_matches(['=', ':']).trim().to_lowercase().as_str() {
                "glue" => &mut parts.glue,
                "water" => &mut parts.water,
                filler => {
                    parts.add_filler(filler, mass)?;
                    continue;
                }
            };
            if place.replace(mass).is_some() {
                return Err("a mass is given twice; give each once".to_owned());
            }
        }
        Ok(parts)
    }
}

/// A mass with its unit in front of a name, or behind it.
fn split_name_and_mass(part: &str) -> Option<(&str, &str)> {
    let digit = part.find(|c: char| c.is_ascii_digit())?;
    if digit > 0 {
        let (name, mass) = part.split_at(digit);
        return Some((name, mass));
    }
    let unit = part.find(char::is_alphabetic)?;
    let end = unit + part.get(unit..)?.find(|c: char| !c.is_alphabetic())?;
    let (mass, name) = part.split_at(end);
    Some((name, mass))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_off_the_balance_is_read_and_what_is_wrong_is_told() {
        let read = |text: &str| WeighedParts::parse(text);
        let all = read("71 g glue, 1kg water, gypsum=448 g, Zinc white: 310g").unwrap();
        assert_eq!(read("glue 71g, water 1000g, 448g gypsum, 310g zinc white"), Ok(all.clone()));
        assert_eq!((all.glue, all.water), (Some(Mass::from_g(71.0)), Some(Mass::from_g(1000.0))));
        assert_eq!(all.filler(Filler::ZincWhite), Some(Mass::from_g(310.0)));
        assert_eq!(all.masses().count(), 4);
        // 71 g to 1000/998.2 l; 1000/0.9982 + 71/1.35 ml.
        assert!((all.strength().unwrap() - 70.8722).abs() < 1e-4, "{all:?}");
        assert!((all.size_ml().unwrap() - 1054.396).abs() < 1e-3, "{all:?}");
        assert!(read(" ").unwrap().is_empty() && read("glue 71g").unwrap().strength().is_none());
        for (text, says) in [
            ("glue", "no mass"),
            ("glue 71", "unit"),
            ("glue 71ml", "unit"),
            ("71g", "no mass and name"),
            ("71 glue", "unit"),
            ("flour 20g", "no filler"),
            ("glue 71g, glue 72g", "twice"),
            ("chalk 71g, whiting 72g", "twice"),
        ] {
            let told = read(text).unwrap_err();
            assert!(told.contains(says), "{text}: {told}");
        }
    }
}
