//! What a path leads to: the module in whose file the thing stands, through imports, globs and what is handed on.

use crate::file::{How, Scope, Use};
use crate::paths::{Path, below};
use std::collections::HashMap;

/// Further than any import is handed on; imports that lead to themselves end here.
const FAR: usize = 24;

/// Every module of the crate.
#[derive(Debug, Default)]
pub struct Names<'r> {
    scopes: HashMap<&'r [String], &'r Scope>,
    /// The modules that have a file of their own.
    files: HashMap<&'r [String], usize>,
}

/// The end of a path.
#[derive(Debug, Clone, PartialEq, Eq)]
enum End {
    Module(Path),
    /// Something in that module.
    Item(Path),
}

/// A method called on a value leads nowhere: only paths are followed.
impl<'r> Names<'r> {
    /// Takes up a file, by its number, with the modules in it.
    pub fn add(&mut self, file: usize, scopes: &'r [Scope]) {
        self.files.insert(&scopes[0].module, file);
        self.scopes.extend(scopes.iter().map(|scope| (scope.module.as_slice(), scope)));
    }

    /// The file that a path needs. None for its own, for what is not of this crate, for a module that is named and no
    /// more, and for what a parent hands on from its children.
    pub fn needed(&self, used: &Use) -> Option<usize> {
        // What is imported may be a module and a function of that name: then its uses tell which.
        let value = used.how == How::Said;
        let module = match self.follow(&used.module, &used.path, value, 0)? {
            End::Item(module) => module,
            End::Module(module) if used.how == How::Glob && !used.module.starts_with(&module) => module,
            End::Module(_) => return None,
        };
        let (own, _) = self.file_of(&used.module)?;
        let (other, file) = self.file_of(&module)?;
        let from_child = used.handed_on && other.starts_with(own);
        (own != other && !from_child).then_some(file)
    }

    /// The file a module stands in, and the module that file is.
    fn file_of(&self, module: &[String]) -> Option<(&'r [String], usize)> {
        let mut outwards = (0..=module.len()).rev().map(|len| &module[..len]);
        outwards.find_map(|m| self.files.get_key_value(m)).map(|(module, file)| (*module, *file))
    }

    /// The end of a path said in a module; where the last name is a module's and something else's too, `value` chooses
    /// the latter.
    fn follow(&self, from: &[String], path: &[String], value: bool, far: usize) -> Option<End> {
        let (first, rest) = path.split_first()?;
        let begin = match first.as_str() {
            "crate" => End::Module(Path::new()),
            "self" => End::Module(from.to_vec()),
            "super" => End::Module(from.split_last()?.1.to_vec()),
            name => self.look_up(from, name, value && rest.is_empty(), far)?,
        };
        let mut end = begin;
        for (at, name) in rest.iter().enumerate() {
            let End::Module(module) = end else { return Some(end) };
            end = match name.as_str() {
                "super" => End::Module(module.split_last()?.1.to_vec()),
                // A name that is not found is of a macro's making.
                name => {
                    let value = value && at + 1 == rest.len();
                    self.look_up(&module, name, value, far).unwrap_or(End::Item(module))
                }
            };
        }
        Some(end)
    }

    /// A name in a module.
    fn look_up(&self, module: &[String], name: &str, value: bool, far: usize) -> Option<End> {
        let child = || Some(below(module, name)).filter(|m| self.scopes.contains_key(m.as_slice())).map(End::Module);
        if !value && let Some(child) = child() {
            return Some(child);
        }
        let Some(scope) = self.scopes.get(module).filter(|_| far < FAR) else { return child() };
        if scope.defines.contains(name) {
            return Some(End::Item(module.to_vec()));
        }
        let import = scope.imports.get(name).and_then(|path| self.follow(module, path, value, far + 1));
        import.or_else(child).or_else(|| {
            let mut opened = scope.globs.iter().filter_map(|path| self.follow(module, path, false, far + 1));
            opened.find_map(|end| match end {
                End::Module(other) if other != module => self.look_up(&other, name, value, far + 1),
                End::Module(_) | End::Item(_) => None,
            })
        })
    }
}
