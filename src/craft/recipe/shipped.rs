//! The recipes that come with the program: data in `assets/recipes`, every figure there with its source.

use super::{Recipe, parser};

/// One recipe that comes with the program.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ShippedRecipe {
    /// What it is asked for by.
    pub name: &'static str,
    /// The text of its file.
    pub text: &'static str,
}

macro_rules! shipped {
    ($($name:literal),* $(,)?) => {
        &[$(ShippedRecipe {
            name: $name,
            text: include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/assets/recipes/", $name, ".toml")),
        }),*]
    };
}

/// The recipe whose figures stand for every default of a recipe file.
#[cfg(test)]
const FULL_RECIPE_NAME: &str = "gypsum-zinc";

/// The name of the recipe taken where none is asked for: not one that the program warns of.
pub const DEFAULT_RECIPE_NAME: &str = "gypsum-titanium";

/// Every recipe shipped; the one taken by default comes first.
pub fn shipped_recipes() -> &'static [ShippedRecipe] {
    shipped!["gypsum-titanium", "gypsum-zinc", "whiting-tempera", "balanced-ply", "chalk-gilding"]
}

/// The shipped recipe of that name.
pub fn find_shipped_recipe(name: &str) -> Option<Recipe> {
    let shipped = shipped_recipes().iter().find(|s| s.name == name)?;
    parser::parse_recipe(shipped.text).recipe
}

#[cfg(test)]
mod tests {
    use super::super::schema::{KeyPresence, TABLES};
    use super::super::{FillerAmount, Paint, SealMaterial};
    use super::*;
    use crate::craft::materials::Filler;

    #[test]
    fn each_reads_without_a_problem_and_bears_the_name_of_its_file() {
        assert_eq!(shipped_recipes()[0].name, DEFAULT_RECIPE_NAME);
        for shipped in shipped_recipes() {
            let reading = parser::parse_recipe(shipped.text);
            assert_eq!(reading.diagnostics, [], "{}", shipped.name);
            assert_eq!(reading.recipe.unwrap().name, shipped.name);
        }
        assert_eq!(find_shipped_recipe("gypsum"), None);
    }

    #[test]
    fn the_full_recipe_stands_for_every_default() {
        let plain: serde_json::Value = serde_json::to_value(find_shipped_recipe(FULL_RECIPE_NAME).unwrap()).unwrap();
        for table in TABLES {
            for key in table.keys.iter().filter(|k| k.presence == KeyPresence::Defaulted) {
                if let Some(inside) = plain.get(table.name)
                    && key.name != "loss_ml"
                {
                    assert_eq!(inside.get(key.name), Some(&key.default_value()), "[{}] {}", table.name, key.name);
                }
            }
        }
    }

    #[test]
    fn each_keeps_the_promise_of_its_name() {
        let zinc = find_shipped_recipe("gypsum-zinc").unwrap();
        assert_eq!(zinc.gesso.fillers[1].filler, Filler::ZincWhite);
        assert_eq!(zinc.cautions, ["zinc-with-oil"]);

        let titanium = find_shipped_recipe("gypsum-titanium").unwrap();
        let grams: Vec<f64> = titanium
            .gesso
            .fillers
            .iter()
            .map(|part| match part.amount {
                FillerAmount::Grams(g) => g,
                FillerAmount::LooseMl(_) => 0.0,
            })
            .collect();
        assert_eq!(titanium.gesso.fillers[1].filler, Filler::TitaniumWhite);
        assert_eq!(grams[1] / (grams[0] + grams[1]), 0.1);

        let tempera = find_shipped_recipe("whiting-tempera").unwrap();
        assert_eq!((tempera.suits, tempera.seal.with), (vec![Paint::Tempera], SealMaterial::None));

        let ply = find_shipped_recipe("balanced-ply").unwrap();
        assert!(ply.cloth.is_some());
        assert_eq!(ply.coats.front, ply.coats.back);

        let gilding = find_shipped_recipe("chalk-gilding").unwrap();
        assert_eq!((gilding.suits, gilding.seal.with), (vec![Paint::Gilding], SealMaterial::None));
        assert_eq!(gilding.scrape, None);
    }

    /// Whether a line of a recipe sets a figure: a number stands after the equals sign, or in a filler's line.
    fn sets_a_figure(line: &str) -> bool {
        let message = line.split('#').next().unwrap_or_default();
        message.split_once('=').is_some_and(|(_, v)| v.chars().any(|c| c.is_ascii_digit()))
            && !message.starts_with("format")
    }

    #[test]
    fn every_figure_bears_its_source() {
        for shipped in shipped_recipes().iter().filter(|s| s.name != FULL_RECIPE_NAME) {
            let mut above = "";
            for line in shipped.text.lines() {
                let in_minutes = above.starts_with("[minutes]");
                let in_list = line.starts_with("  {");
                if sets_a_figure(line) && !line.starts_with("title") && !line.starts_with("source") {
                    assert!(line.contains('#') || in_list || in_minutes, "{}: {line}", shipped.name);
                }
                if line.starts_with('[') {
                    above = line;
                }
            }
        }
    }
}
