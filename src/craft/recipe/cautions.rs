//! The cautions a recipe may call for: a closed list, each with its sentence and where it comes from.
//!
//! Recipes name them by key, so that a sentence is written once and can be translated or mended without touching a
//! recipe. Where health is concerned the sentence points to the label and the rules of the place.

use crate::units::written_words;
use strum::{VariantArray, VariantNames};

/// One caution.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, VariantArray, VariantNames)]
#[strum(serialize_all = "kebab-case")]
pub enum RecipeCaution {
    /// Zinc white under oil paint.
    ///
    /// A museum study of oil paints over 28 years.
    ZincWithOil,
    /// Much titanium white.
    ///
    /// R. Kay 1983; a tempera painter's page, 2024.
    TitaniumShare,
    /// Linen and pinholes.
    ///
    /// A university forum of conservators, 2024.
    ClothPinholes,
    /// Plywood without cloth.
    ///
    /// A university forum of conservators, 2016 and 2024.
    VeneerChecks,
    /// Shellac near a hot plate.
    ///
    /// Flash point of ethanol 13-17 C, from memory.
    ShellacNearHeat,
    /// Shellac in damp air.
    ///
    /// Sources vary: a craft page says above 50 % humidity, a spray shop 80-90 %.
    ShellacInDampAir,
    /// Dust of scraping and sanding.
    ///
    /// Common practice, no source.
    FineDust,
    /// A strong ground.
    ///
    /// A university forum of conservators; S. Rivers & N. Umney 2003.
    StrongBinder,
    /// A lean ground.
    ///
    /// A university forum of conservators.
    LeanBinder,
    /// A second batch in one ground.
    ///
    /// Cennino Cennini, ch. 117; S. Rivers & N. Umney 2003.
    SecondBatch,
}
written_words!(RecipeCaution);

impl RecipeCaution {
    /// What is shown.
    pub const fn text(self) -> &'static str {
        match self {
            RecipeCaution::ZincWithOil => {
                "Zinc white forms soaps with oil: the paint above can turn brittle and come away in layers. \
                 Titanium white at a tenth of the filler whitens without it (recipe gypsum-titanium)."
            }
            RecipeCaution::TitaniumShare => {
                "Titanium white gives whiteness and no strength: keep it to about a tenth of the filler; with much more \
                 the ground turns powdery."
            }
            RecipeCaution::ClothPinholes => {
                "The weave of the linen breeds pinholes in the first coats: tap and rub the first coat until none shows, \
                 and close what shows while it is wet."
            }
            RecipeCaution::VeneerChecks => {
                "Face veneers of plywood open fine cracks along the grain that come through the ground, often years later; \
                 conservators advise linen over the whole face."
            }
            RecipeCaution::ShellacNearHeat => {
                "Spirit vapour catches fire: seal in another place than the pot and its heater, with no flame or spark, \
                 and with air moving. The label and the rules of your place come first."
            }
            RecipeCaution::ShellacInDampAir => {
                "Shellac laid in cold or damp air can dry to a white haze: wait for a drier day, or try a corner first."
            }
            RecipeCaution::FineDust => {
                "Scraping and sanding raise fine dust: wear a mask that fits, wipe it up wet, do not sweep. \
                 The labels of the powders and the rules of your place come first."
            }
            RecipeCaution::StrongBinder => {
                "This ground is rich in glue. Test boards at a tenth of glue have cracked: lay thin coats, give back the \
                 water the pot loses, and never lay a stronger coat on a weaker one."
            }
            RecipeCaution::LeanBinder => {
                "This ground is lean in glue: it is soft and thirsty. Powder on a dark cloth after ten rubs says that it is too lean."
            }
            RecipeCaution::SecondBatch => {
                "Make enough for the whole ground at once: two batches seldom have the same strength, and a stronger coat \
                 over a weaker one can lift it. If a second is needed, make it equal or a little weaker."
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_caution_says_something() {
        for caution in RecipeCaution::ALL {
            assert!(caution.text().ends_with('.') && !caution.text().contains("  "), "{}", caution.text());
        }
    }
}
