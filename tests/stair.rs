//! The stair: reads `src/` and holds the order of the house. Each room uses only rooms above it, no files use each other
//! in a circle, and some words may be said only in some rooms. The tables stand in `stair/house.rs`: a new room is given
//! its place in `ROOMS`; a file without one is a finding.
//!
//! Test code (`#[cfg(test)]`, `tests.rs`, `*_tests.rs`, `tests/`) is not held to it.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

#[path = "stair/circles.rs"]
mod circles;
#[path = "stair/file.rs"]
mod file;
#[path = "stair/house.rs"]
mod house;
#[path = "stair/names.rs"]
mod names;
#[path = "stair/paths.rs"]
mod paths;
#[path = "stair/planted.rs"]
mod planted;
#[path = "stair/planted_circles.rs"]
mod planted_circles;
#[path = "stair/rules.rs"]
mod rules;
#[path = "stair/words.rs"]
mod words;

use circles::Arrows;
use file::Reading;
use rayon::iter::Either;
use rayon::prelude::*;
use rules::Finding;
use std::collections::HashSet;
use std::path::{Path, PathBuf};

/// The files that are held to the rules.
struct House {
    files: Vec<Read>,
    /// Files that are not Rust.
    broken: Vec<Finding>,
}

/// A file that was read.
struct Read {
    /// Its path below `src/`.
    name: String,
    reading: Reading,
}

impl House {
    /// Reads files given by their path below `src/` and their text.
    fn of(files: &[(String, String)]) -> House {
        let held: Vec<&(String, String)> = files.iter().filter(|(name, _)| !is_test_file(name)).collect();
        let read = |(name, text): &&(String, String)| match file::read(module_of(name), text) {
            Ok(reading) => Either::Left(Read { name: name.clone(), reading }),
            Err((line, rule)) => Either::Right(Finding { file: name.clone(), line, word: name.clone(), rule }),
        };
        let (mut files, broken): (Vec<Read>, Vec<Finding>) = held.par_iter().partition_map(read);
        let for_tests: HashSet<Vec<String>> =
            files.iter_mut().flat_map(|f| std::mem::take(&mut f.reading.for_tests)).collect();
        files.retain(|f| !for_tests.contains(&f.reading.scopes[0].module));
        House { files, broken }
    }

    /// The files below `src/` of this crate.
    fn here() -> House {
        let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
        let name = |path: &Path| path.strip_prefix(&src).unwrap().to_str().unwrap().replace('\\', "/");
        let files = files_below(&src).unwrap();
        House::of(&files.iter().map(|f| (name(f), std::fs::read_to_string(f).unwrap())).collect::<Vec<_>>())
    }

    /// What is not Rust, breaks the order of the rooms or says a word in the wrong one.
    fn findings(self) -> Vec<Finding> {
        let found = self.files.iter().flat_map(|f| rules::findings(&f.name, &f.reading));
        found.chain(self.broken).collect()
    }
}

fn is_test_file(file: &str) -> bool {
    let mut parts = file.rsplit('/');
    let last = parts.next().unwrap_or_default();
    last == "tests.rs" || last.ends_with("_tests.rs") || parts.any(|dir| dir == "tests")
}

/// `work/panel/event.rs` is the module work, panel, event; a `mod.rs` is its directory.
fn module_of(file: &str) -> Vec<String> {
    let mut parts: Vec<String> = file.trim_end_matches(".rs").split('/').map(str::to_owned).collect();
    if parts.last().is_some_and(|p| p == "mod") || parts == ["lib"] {
        parts.pop();
    }
    parts
}

/// Every Rust file below `dir`, in order.
fn files_below(dir: &Path) -> std::io::Result<Vec<PathBuf>> {
    let mut files = Vec::new();
    for entry in std::fs::read_dir(dir)? {
        let path = entry?.path();
        if path.is_dir() {
            files.extend(files_below(&path)?);
        } else if path.extension().is_some_and(|e| e == "rs") {
            files.push(path);
        }
    }
    files.sort();
    Ok(files)
}

#[test]
fn the_house_stands() {
    let house = House::here();
    let (files, tokens) = (house.files.len(), house.files.iter().map(|f| f.reading.tokens.len()).sum::<usize>());
    let circles = Arrows::of(&house.files).findings();
    let told: Vec<String> = house.findings().iter().map(Finding::to_string).chain(circles).collect();
    assert!(told.is_empty(), "\n{}\n", told.join("\n"));
    assert!(files >= 5 && tokens > 1000, "only {files} files with {tokens} words were read");
}
