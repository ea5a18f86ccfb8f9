//! A recipe file's text, read: the recipe it holds, or every problem in it at once.
//!
//! `schema` tells what may stand in a file. The steps: `syntax_errors` takes out the lines that are no TOML at all,
//! `check` holds the rest against the schema with `values` and `fillers`, and `diagnostics` gathers what
//! is wrong.

mod check;
mod diagnostics;
mod fillers;
mod syntax_errors;
mod values;

#[cfg(test)]
mod tests;

pub use diagnostics::Diagnostic;

use super::Recipe;
use diagnostics::Diagnostics;
use toml::de::DeTable;

/// What came of reading a recipe's text.
#[derive(Debug, Clone, PartialEq)]
pub struct ParsedRecipe {
    /// The recipe, if there is no problem at all.
    pub recipe: Option<Recipe>,
    /// Every problem found, from the top of the file down.
    pub diagnostics: Vec<Diagnostic>,
}

/// Reads a recipe's text. Never fails: what is wrong is in [`ParsedRecipe::diagnostics`].
pub fn parse_recipe(text: &str) -> ParsedRecipe {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut finds = Diagnostics::new(text);
    let plain = syntax_errors::remove_broken_lines(text, &mut finds).map(|readable| {
        let (root, _) = DeTable::parse_recoverable(&readable);
        check::check_document(root.get_ref(), &mut finds)
    });
    let problems = finds.into_sorted();
    if !problems.is_empty() {
        return ParsedRecipe { recipe: None, diagnostics: problems };
    }
    match serde_json::from_value::<Recipe>(plain.unwrap_or_default()) {
        Ok(recipe) => ParsedRecipe { recipe: Some(recipe), diagnostics: problems },
        // Only if the key table and the recipe's fields disagree; said rather than hidden.
        Err(error) => {
            let message = format!("This recipe cannot be taken in: {error}.");
            ParsedRecipe {
                recipe: None,
                diagnostics: vec![Diagnostic { line: 1, column: 1, key: None, message, nearest: None }],
            }
        }
    }
}
