//! The maker's own recipe files, and which of them have a name that is another's.
//!
//! A name belongs to the file that is called so, else to the recipe shipped under it. A file that gives its recipe the
//! name of another is told of and not chosen: panels made by either could not be told apart afterwards. Absent on
//! purpose: finding a recipe by what was asked (`recipe`).

use crate::config::Settings;
use crate::craft::recipe::file::read;
use crate::craft::recipe::{Recipe, shipped};
use crate::text::{Trouble, clean};
use crate::units::Id;
use std::path::{Path, PathBuf};

/// One of the maker's own recipe files.
#[derive(Debug)]
pub(super) struct Own {
    /// What its file is called, without `.toml`.
    pub file: String,
    /// Where it lies.
    pub path: PathBuf,
    /// What stands in it, or why it cannot be read.
    pub text: Result<String, Trouble>,
    /// The recipe in it; none where it has a problem.
    pub recipe: Option<Recipe>,
    /// Whose name it has, and what to try, in a sentence; none where its name is its own.
    pub clash: Option<String>,
}

impl Own {
    /// Every one, by the names of the files.
    pub fn all(settings: &Settings) -> Vec<Own> {
        let texts = settings.user_recipe_texts().into_iter();
        let mut all: Vec<Own> = texts
            .map(|(file, path, text)| {
                let text = text.map_err(|e| Trouble::of(&e));
                let reading = text.as_ref().ok().map(|text| read(text));
                let recipe = reading.filter(|r| r.problems.is_empty()).and_then(|r| r.recipe);
                Own { file, path, text, recipe, clash: None }
            })
            .collect();
        let clashes: Vec<Option<String>> = (0..all.len()).map(|at| clash(&all, at)).collect();
        for (own, clash) in all.iter_mut().zip(clashes) {
            own.clash = clash;
        }
        all
    }

    /// The name of its recipe, where that is its own.
    pub fn name(&self) -> Option<&str> {
        let recipe = self.recipe.as_ref().filter(|_| self.clash.is_none())?;
        Some(&recipe.name)
    }

    /// Whether it is the file at that path.
    pub fn lies_at(&self, path: &Path) -> bool {
        path.canonicalize().is_ok_and(|path| self.path.canonicalize().is_ok_and(|own| own == path))
    }
}

/// The sentence on the name of the file at that place, if it is another's.
fn clash(all: &[Own], at: usize) -> Option<String> {
    let own = all.get(at)?;
    let name = own.recipe.as_ref().map(|r| &r.name).filter(|name| **name != own.file)?;
    let has_it = |(place, other): (usize, &Own)| {
        let same = other.file == *name || other.recipe.as_ref().is_some_and(|r| r.name == *name);
        (place != at && same).then(|| other.path.display().to_string())
    };
    let shipped =
        || shipped::all().iter().any(|s| s.name == *name).then(|| format!("the {name} that comes with the program"));
    let other = all.iter().enumerate().find_map(has_it).or_else(shipped)?;
    let better = Id::new(&own.file).map_or_else(|| "another name".to_owned(), |file| format!("name = \"{file}\""));
    Some(format!(
        "{} calls its recipe \"{}\", and so does {other}; write {better} in it",
        own.path.display(),
        clean(name)
    ))
}
