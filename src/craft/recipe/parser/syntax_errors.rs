//! Lines that are not TOML: each is told once, taken out, and the rest is read, so that one slip hides nothing below.
//!
//! A bracket that is never closed would swallow the file to its end; here it ends where the next key or header begins.
//! The maker's file is never written to.

use super::diagnostics::Diagnostics;
use crate::craft::recipe::schema::FILLER;
use std::ops::Range;
use toml::de::{DeTable, Error};

/// The most broken lines that are told of; a bound on work, assumed.
const MAX_BROKEN_LINES: usize = 100;

/// Tells every broken line, and gives back the text without them, every other byte still in its place; nothing if there
/// are more than [`MAX_BROKEN_LINES`] of them, since then it is hardly a recipe.
pub(super) fn remove_broken_lines(text: &str, finds: &mut Diagnostics<'_>) -> Option<String> {
    let mut lines = SourceLines::new(text);
    for _ in 0..MAX_BROKEN_LINES {
        let readable = lines.remaining_text();
        let (_, errors) = DeTable::parse_recoverable(&readable);
        // The topmost: what comes after it may only come of it.
        let new = errors.iter().filter_map(|e| Some((e, lines.unreported_line(e)?)));
        let Some((error, line)) = new.min_by_key(|(e, _)| error_offset(e)) else {
            return Some(readable);
        };
        let at = error_offset(error);
        let (said_at, message, out) = lines.locate_error(line, at, error.message());
        finds.report_syntax_error(said_at, &message);
        lines.reported_lines.push(line);
        for i in out {
            finds.mark_line_broken(i);
            lines.remove_line(i);
        }
    }
    None
}

fn error_offset(error: &Error) -> usize {
    error.span().map_or(0, |span| span.start)
}

/// The lines of a text, counted from 0, some of them taken out.
struct SourceLines<'t> {
    /// Where each begins, in bytes, what it says, and whether it is taken out.
    lines: Vec<(usize, &'t str, bool)>,
    reported_lines: Vec<usize>,
}

impl<'t> SourceLines<'t> {
    fn new(text: &'t str) -> Self {
        let mut at = 0;
        let all = text.split_inclusive('\n').map(|line| {
            at += line.len();
            (at - line.len(), line, false)
        });
        SourceLines { lines: all.collect(), reported_lines: Vec::new() }
    }

    /// The text with blanks for the lines taken out.
    fn remaining_text(&self) -> String {
        let mut text = String::new();
        for (_, line, out) in &self.lines {
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

    fn remove_line(&mut self, i: usize) {
        if let Some((.., out)) = self.lines.get_mut(i) {
            *out = true;
        }
    }

    fn line_text(&self, i: usize) -> &'t str {
        self.lines.get(i).map_or("", |(_, line, _)| line)
    }

    /// The line an error stands on, if it has not been told of.
    fn unreported_line(&self, error: &Error) -> Option<usize> {
        let at = error_offset(error);
        let line = self.lines.partition_point(|(begin, ..)| *begin <= at).saturating_sub(1);
        (!self.reported_lines.contains(&line)).then_some(line)
    }

    /// Whether a line begins a key or a table, rather than going on with a list.
    fn is_statement_start(&self, i: usize) -> bool {
        let line = self.line_text(i);
        let key = line.split('=').next().unwrap_or_default();
        let indented = line.starts_with([' ', '\t']);
        let named = line.contains('=') && !key.trim().is_empty() && key.trim().chars().all(is_key_char);
        line.starts_with('[') || (named && !(indented && FILLER.find_key(key.trim()).is_some()))
    }

    /// From a line up to the next that begins something.
    fn statement_range(&self, from: usize) -> Range<usize> {
        let end = (from + 1..self.lines.len()).find(|i| self.is_statement_start(*i)).unwrap_or(self.lines.len());
        from..end
    }

    /// Where an error is told, in what words, and the lines to take out for it.
    fn locate_error(&self, line: usize, at: usize, message: &str) -> (usize, String, Range<usize>) {
        let as_said = || (at, message.lines().collect::<Vec<_>>().join("; "));
        let bracket = ["array", "inline table", "key-value pairs"].iter().any(|word| message.contains(word));
        if !bracket {
            let (at, message) = as_said();
            return (at, message, self.affected_lines(line));
        }
        let before = |i: usize| (0..i).rev().find(|i| self.is_statement_start(*i));
        // An error no further in than the equals sign of a new key belongs to what was never closed above it.
        let runs_over = self.is_statement_start(line)
            && self.line_text(line).get(..at.saturating_sub(self.line_start(line))).is_none_or(|s| !s.contains('='));
        match before(line) {
            Some(first) if runs_over => {
                let opening = self.line_text(first).find(['[', '{']).unwrap_or(0);
                let message = "what is opened here is not closed, expected `]` or `}`".to_owned();
                (self.line_start(first) + opening, message, self.statement_range(first))
            }
            above => {
                let (at, message) = as_said();
                let first = if self.is_statement_start(line) { line } else { above.unwrap_or(line) };
                (at, message, self.statement_range(first))
            }
        }
    }

    fn line_start(&self, i: usize) -> usize {
        self.lines.get(i).map_or(0, |(begin, ..)| *begin)
    }

    /// What goes with a broken line that is in no list. A header left open stays, since the parser makes out which
    /// was meant; one that lacks its beginning takes its keys with it, which would else seem to stand in the table above.
    fn affected_lines(&self, line: usize) -> Range<usize> {
        let says = self.line_text(line);
        let message = says.split('#').next().unwrap_or_default().trim();
        if message.starts_with('[') {
            line..line
        } else if message.ends_with(']') && !message.contains('=') {
            let end =
                (line + 1..self.lines.len()).find(|i| self.line_text(*i).starts_with('[')).unwrap_or(self.lines.len());
            line..end
        } else {
            line..line + 1
        }
    }
}

fn is_key_char(c: char) -> bool {
    c.is_ascii_alphanumeric() || matches!(c, '_' | '-' | '.')
}
