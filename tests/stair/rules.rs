//! The order of the rooms and the words of each: what breaks it in one file.

use crate::file::Reading;
use crate::house::{Place, WORDS, may, rule};
use crate::paths::{Path, from_root};
use crate::words::Token;
use std::fmt;

/// A place that breaks a rule.
#[derive(Debug, PartialEq, Eq)]
pub struct Finding {
    pub file: String,
    pub line: usize,
    pub word: String,
    pub rule: String,
}

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "src/{}:{}: `{}`: {}", self.file, self.line, self.word, self.rule)
    }
}

/// Every finding in one file, given by its path below `src/`.
pub fn findings(file: &str, reading: &Reading) -> Vec<Finding> {
    let module = &reading.scopes[0].module;
    let Some(own) = Place::of(module).or((file == "lib.rs").then_some(Place::FOOT)) else {
        let rule = "this file has no room in the table of tests/stair/house.rs".to_owned();
        return vec![Finding { file: file.to_owned(), line: 1, word: file.to_owned(), rule }];
    };
    let used: Vec<(Path, usize)> =
        reading.uses.iter().filter_map(|u| Some((from_root(&u.module, &u.path)?, u.line))).collect();
    let order = used.iter().filter_map(|(path, line)| Some((*line, path.join("::"), out_of_order(own, path)?)));
    let words = WORDS.iter().filter(|(charge, ..)| !may(module, *charge)).flat_map(|(charge, words, what, instead)| {
        let said = words.iter().flat_map(|word| said(reading, &used, word).into_iter().map(|line| (line, *word)));
        said.map(|(line, word)| (line, word.to_owned(), rule(*charge, what, instead))).collect::<Vec<_>>()
    });
    let finding = |(line, word, rule)| Finding { file: file.to_owned(), line, word, rule };
    let mut found: Vec<Finding> = order.chain(words).map(finding).collect();
    found.sort_by_key(|f| f.line);
    found
}

/// The rule that a path from the root of the crate breaks, said at a place.
fn out_of_order(own: Place, path: &[String]) -> Option<String> {
    match Place::of(path) {
        Some(at) if at.level > own.level => Some(format!("{} stands below {} on the stair", at.name(), own.name())),
        // `main` calls the library by its face, which is no room.
        None if !path.is_empty() && own != Place::FOOT && own.name() != "main" => {
            Some("no such room in the table of tests/stair/house.rs".to_owned())
        }
        Some(_) | None => None,
    }
}

/// The lines on which a word of the table is said.
fn said(reading: &Reading, used: &[(Path, usize)], word: &str) -> Vec<usize> {
    if let Some(room) = word.strip_prefix("crate :: ") {
        return used
            .iter()
            .filter(|(path, _)| path.first().is_some_and(|r| r == room))
            .map(|(_, line)| *line)
            .collect();
    }
    let words: Vec<&str> = word.split(' ').collect();
    let tokens = &reading.tokens;
    let begins = |at: usize| words.iter().enumerate().all(|(i, w)| tokens.get(at + i).is_some_and(|t| t.text == *w));
    let excused = |at: usize| word == ". expect (" && gives_a_reason(&tokens[at + words.len()..]);
    (0..tokens.len()).filter(|at| begins(*at) && !excused(*at)).map(|at| tokens[at].line).collect()
}

/// Whether an `expect` is handed a text and nothing else.
fn gives_a_reason(tokens: &[Token]) -> bool {
    let text = |at: usize| tokens.get(at).map_or("", |t| t.text.as_str());
    let closed = text(1) == ")" || (text(1) == "," && text(2) == ")");
    closed && syn::parse_str::<syn::LitStr>(text(0)).is_ok_and(|reason| !reason.value().trim().is_empty())
}
