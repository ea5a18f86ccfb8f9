//! Files that use each other in a circle.

use crate::Read;
use crate::file::Use;
use crate::names::Names;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

/// What each file needs of which, by their numbers: every use behind an arrow.
pub struct Arrows<'r> {
    files: &'r [Read],
    arrows: BTreeMap<(usize, usize), Vec<&'r Use>>,
}

impl<'r> Arrows<'r> {
    /// Follows every path of every file.
    pub fn of(files: &'r [Read]) -> Arrows<'r> {
        let mut names = Names::default();
        for (number, file) in files.iter().enumerate() {
            names.add(number, &file.reading.scopes);
        }
        let mut arrows: BTreeMap<(usize, usize), Vec<&Use>> = BTreeMap::new();
        for (from, file) in files.iter().enumerate() {
            for used in &file.reading.uses {
                if let Some(to) = names.needed(used) {
                    arrows.entry((from, to)).or_default().push(used);
                }
            }
        }
        Arrows { files, arrows }
    }

    /// Every circle, told.
    pub fn findings(&self) -> Vec<String> {
        self.circles().values().map(|circle| self.told(circle)).collect()
    }

    /// Files each of which needs, over some way, every other; by their modules.
    pub fn circles(&self) -> BTreeMap<BTreeSet<String>, BTreeSet<usize>> {
        let reach: Vec<BTreeSet<usize>> = (0..self.files.len()).map(|file| self.reached(file)).collect();
        let circle = |(file, reached): (usize, &BTreeSet<usize>)| {
            let back = |other: &usize| reach[*other].contains(&file);
            let circle: BTreeSet<usize> = reached.iter().copied().filter(back).collect();
            (circle.iter().map(|f| self.module(*f)).collect::<BTreeSet<_>>(), circle)
        };
        reach.iter().enumerate().map(circle).filter(|(_, circle)| !circle.is_empty()).collect()
    }

    fn reached(&self, from: usize) -> BTreeSet<usize> {
        let mut reached = BTreeSet::new();
        let mut open = vec![from];
        while let Some(at) = open.pop() {
            let next = self.arrows.range((at, 0)..(at + 1, 0)).map(|((_, to), _)| *to);
            open.extend(next.filter(|to| reached.insert(*to)));
        }
        reached
    }

    fn module(&self, file: usize) -> String {
        self.files[file].reading.scopes[0].module.join("/")
    }

    /// A circle as its files, with a use behind each arrow.
    fn told(&self, circle: &BTreeSet<usize>) -> String {
        let modules: BTreeSet<String> = circle.iter().map(|f| self.module(*f)).collect();
        let modules = modules.into_iter().collect::<Vec<_>>().join(", ");
        let mut told = format!("a circle of {} files: {modules}\n", circle.len());
        for ((from, to), uses) in &self.arrows {
            if circle.contains(from) && circle.contains(to) {
                let (from, to, used) = (&self.files[*from].name, &self.files[*to].name, uses[0]);
                let more = if uses.len() > 1 { format!(", and {} more", uses.len() - 1) } else { String::new() };
                let _ = writeln!(told, "  src/{from}:{} uses {to}: `{}`{more}", used.line, used.path.join("::"));
            }
        }
        told
    }
}
