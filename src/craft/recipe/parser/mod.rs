//! A recipe file's text, read: the recipe it holds, or every problem in it at once.
//!
//! `keys` tells what may stand in a file. The steps: `broken` takes out the lines that are no TOML at all, `check`
//! holds the rest against the keys with `values`, `fillers` and `orders`, and `finds` gathers what is wrong.
//!
//! Absent on purpose: opening files (`cli` hands the text in), showing problems, mending them.

mod check;
mod diagnostics;
mod fillers;
mod order_rules;
mod syntax_errors;
mod values;

#[cfg(test)]
mod tests;

use super::Recipe;
use diagnostics::Diagnostics;
use serde::Serialize;
use toml::de::DeTable;

/// What came of reading a recipe's text.
#[derive(Debug, Clone, PartialEq)]
pub struct ParsedRecipe {
    /// The recipe, if there is no problem at all.
    pub recipe: Option<Recipe>,
    /// Every problem found, from the top of the file down.
    pub diagnostics: Vec<Diagnostic>,
}

/// One thing wrong in a recipe file. In JSON its fields are as named here, `null` where there is none.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Diagnostic {
    /// The line, counted from 1.
    pub line: usize,
    /// The column, in characters, counted from 1.
    pub column: usize,
    /// The key it is about, as a dotted path; places in a list count from 0: `gesso.fillers[0].name`.
    pub key: Option<String>,
    /// What is wrong and what would be right, in one sentence.
    pub said: String,
    /// The known word nearest to the one that stands there, if one is near.
    pub nearest: Option<String>,
}

impl std::fmt::Display for Diagnostic {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "line {}, column {}: {}", self.line, self.column, self.said)?;
        match &self.nearest {
            Some(nearest) => write!(f, " Did you mean `{nearest}`?"),
            None => Ok(()),
        }
    }
}

/// Reads a recipe's text. Never fails: what is wrong is in [`Reading::problems`].
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
            let said = format!("This recipe cannot be taken in: {error}.");
            ParsedRecipe {
                recipe: None,
                diagnostics: vec![Diagnostic { line: 1, column: 1, key: None, said, nearest: None }],
            }
        }
    }
}
