//! Lines that are not TOML: each is told once, taken out, and the rest is read, so that one slip hides nothing below.
//!
//! A bracket that is never closed would swallow the file to its end; here it ends where the next key or header begins.
//! Absent on purpose: mending the maker's file.

use super::finds::Finds;
use crate::craft::recipe::keys::FILLER;
use std::ops::Range;
use toml::de::{DeTable, Error};

/// The most broken lines that are told of; a bound on work, assumed.
const ROUNDS: usize = 100;

/// Tells every broken line, and gives back the text without them, every other byte still in its place; nothing if there
/// are more than [`ROUNDS`] of them, since then it is hardly a recipe.
pub(super) fn without_broken_lines(text: &str, finds: &mut Finds<'_>) -> Option<String> {
    let mut lines = Lines::new(text);
    for _ in 0..ROUNDS {
        let readable = lines.text();
        let (_, errors) = DeTable::parse_recoverable(&readable);
        // The topmost: what comes after it may only come of it.
        let new = errors.iter().filter_map(|e| Some((e, lines.new_at(e)?)));
        let Some((error, line)) = new.min_by_key(|(e, _)| place_of(e)) else {
            return Some(readable);
        };
        let at = place_of(error);
        let (said_at, message, out) = lines.judge(line, at, error.message());
        finds.syntax(said_at, &message);
        lines.broken.push(line);
        for i in out {
            finds.broken(i);
            lines.take_out(i);
        }
    }
    None
}

fn place_of(error: &Error) -> usize {
    error.span().map_or(0, |span| span.start)
}

/// The lines of a text, counted from 0, some of them taken out.
struct Lines<'t> {
    /// Where each begins, in bytes, what it says, and whether it is taken out.
    all: Vec<(usize, &'t str, bool)>,
    broken: Vec<usize>,
}

impl<'t> Lines<'t> {
    fn new(text: &'t str) -> Self {
        let mut at = 0;
        let all = text.split_inclusive('\n').map(|line| {
            at += line.len();
            (at - line.len(), line, false)
        });
        Lines { all: all.collect(), broken: Vec::new() }
    }

    /// The text with blanks for the lines taken out.
    fn text(&self) -> String {
        let mut text = String::new();
        for (_, line, out) in &self.all {
            if *out {
                let end = line.trim_end_matches(['\r', '\n']).len();
                text.extend(std::iter::repeat_n(' ', end));
                text.push_str(if line.ends_with('\n') { &line[end..] } else { "" });
            } else {
                text.push_str(line);
            }
        }
        text
    }

    fn take_out(&mut self, i: usize) {
        if let Some((.., out)) = self.all.get_mut(i) {
            *out = true;
        }
    }

    fn says(&self, i: usize) -> &'t str {
        self.all.get(i).map_or("", |(_, line, _)| line)
    }

    /// The line an error stands on, if it has not been told of.
    fn new_at(&self, error: &Error) -> Option<usize> {
        let at = place_of(error);
        let line = self.all.partition_point(|(begin, ..)| *begin <= at).saturating_sub(1);
        (!self.broken.contains(&line)).then_some(line)
    }

    /// Whether a line begins a key or a table, rather than going on with a list.
    fn begins(&self, i: usize) -> bool {
        let line = self.says(i);
        let key = line.split('=').next().unwrap_or_default();
        let indented = line.starts_with([' ', '\t']);
        let named = line.contains('=') && !key.trim().is_empty() && key.trim().chars().all(is_of_a_key);
        line.starts_with('[') || (named && !(indented && FILLER.key(key.trim()).is_some()))
    }

    /// From a line up to the next that begins something.
    fn statement(&self, from: usize) -> Range<usize> {
        let end = (from + 1..self.all.len()).find(|i| self.begins(*i)).unwrap_or(self.all.len());
        from..end
    }

    /// Where an error is told, in what words, and the lines to take out for it.
    fn judge(&self, line: usize, at: usize, message: &str) -> (usize, String, Range<usize>) {
        let as_said = || (at, message.lines().collect::<Vec<_>>().join("; "));
        let bracket = ["array", "inline table", "key-value pairs"].iter().any(|word| message.contains(word));
        if !bracket {
            let (at, message) = as_said();
            return (at, message, self.alone(line));
        }
        let before = |i: usize| (0..i).rev().find(|i| self.begins(*i));
        // An error no further in than the equals sign of a new key belongs to what was never closed above it.
        let runs_over = self.begins(line)
            && self.says(line).get(..at.saturating_sub(self.start(line))).is_none_or(|s| !s.contains('='));
        match before(line) {
            Some(first) if runs_over => {
                let opening = self.says(first).find(['[', '{']).unwrap_or(0);
                let message = "what is opened here is not closed, expected `]` or `}`".to_owned();
                (self.start(first) + opening, message, self.statement(first))
            }
            above => {
                let (at, message) = as_said();
                let first = if self.begins(line) { line } else { above.unwrap_or(line) };
                (at, message, self.statement(first))
            }
        }
    }

    fn start(&self, i: usize) -> usize {
        self.all.get(i).map_or(0, |(begin, ..)| *begin)
    }

    /// What goes with a broken line that is in no list. A header left open stays, since the parser makes out which
    /// was meant; one that lacks its beginning takes its keys with it, which would else seem to stand in the table above.
    fn alone(&self, line: usize) -> Range<usize> {
        let says = self.says(line);
        let said = says.split('#').next().unwrap_or_default().trim();
        if said.starts_with('[') {
            line..line
        } else if said.ends_with(']') && !said.contains('=') {
            let end = (line + 1..self.all.len()).find(|i| self.says(*i).starts_with('[')).unwrap_or(self.all.len());
            line..end
        } else {
            line..line + 1
        }
    }
}

fn is_of_a_key(c: char) -> bool {
    c.is_ascii_alphanumeric() || matches!(c, '_' | '-' | '.')
}
