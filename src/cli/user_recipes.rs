//! The maker's own recipe files, and which of them have a name that is another's.
//!
//! A name belongs to the file that is called so, else to the recipe shipped under it. A file that gives its recipe the
//! name of another is told of and not chosen: panels made by either could not be told apart afterwards.

use crate::config::Settings;
use crate::craft::recipe::parser::parse_recipe;
use crate::craft::recipe::{Recipe, shipped};
use crate::text::{FileError, sanitize};
use crate::units::Id;
use std::path::{Path, PathBuf};

/// One of the maker's own recipe files.
#[derive(Debug)]
pub(super) struct UserRecipe {
    /// What its file is called, without `.toml`.
    pub file_stem: String,
    /// Where it lies.
    pub path: PathBuf,
    /// What stands in it, or why it cannot be read.
    pub text: Result<String, FileError>,
    /// The recipe in it; none where it has a problem.
    pub recipe: Option<Recipe>,
    /// Whose name it has, and what to try, in a sentence; none where its name is its own.
    pub name_clash: Option<String>,
}

impl UserRecipe {
    /// Every one, by the names of the files.
    pub fn load_all(settings: &Settings) -> Vec<UserRecipe> {
        let texts = settings.read_user_recipes().into_iter();
        let mut all: Vec<UserRecipe> = texts
            .map(|(file, path, text)| {
                let text = text.map_err(|e| FileError::from_io_error(&e));
                let reading = text.as_ref().ok().map(|text| parse_recipe(text));
                let recipe = reading.filter(|r| r.diagnostics.is_empty()).and_then(|r| r.recipe);
                UserRecipe { file_stem: file, path, text, recipe, name_clash: None }
            })
            .collect();
        let clashes: Vec<Option<String>> = (0..all.len()).map(|at| find_name_clash(&all, at)).collect();
        for (own, clash) in all.iter_mut().zip(clashes) {
            own.name_clash = clash;
        }
        all
    }

    /// The name of its recipe, where that is its own.
    pub fn name(&self) -> Option<&str> {
        let recipe = self.recipe.as_ref().filter(|_| self.name_clash.is_none())?;
        Some(&recipe.name)
    }

    /// Whether it is the file at that path.
    pub fn is_at(&self, path: &Path) -> bool {
        path.canonicalize().is_ok_and(|path| self.path.canonicalize().is_ok_and(|own| own == path))
    }
}

/// The sentence on the name of the file at that place, if it is another's.
fn find_name_clash(all: &[UserRecipe], at: usize) -> Option<String> {
    let own = all.get(at)?;
    let name = own.recipe.as_ref().map(|r| &r.name).filter(|name| **name != own.file_stem)?;
    let has_it = |(place, other): (usize, &UserRecipe)| {
        let same = other.file_stem == *name || other.recipe.as_ref().is_some_and(|r| r.name == *name);
        (place != at && same).then(|| other.path.display().to_string())
    };
    let shipped = || {
        shipped::shipped_recipes()
            .iter()
            .any(|s| s.name == *name)
            .then(|| format!("the {name} that comes with the program"))
    };
    let other = all.iter().enumerate().find_map(has_it).or_else(shipped)?;
    let better = Id::new(&own.file_stem).map_or_else(|| "another name".to_owned(), |file| format!("name = \"{file}\""));
    Some(format!(
        "{} calls its recipe \"{}\", and so does {other}; write {better} in it",
        own.path.display(),
        sanitize(name)
    ))
}
