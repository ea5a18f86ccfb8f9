//! What is wrong in a recipe file: where each problem stands, the known word nearest to it, and what a broken line would
//! make untrue.

use serde::Serialize;
use std::ops::Range;

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
    pub message: String,
    /// The known word nearest to the one that stands there, if one is near.
    pub nearest: Option<String>,
}

impl std::fmt::Display for Diagnostic {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "line {}, column {}: {}", self.line, self.column, self.message)?;
        match &self.nearest {
            Some(nearest) => write!(f, " Did you mean `{nearest}`?"),
            None => Ok(()),
        }
    }
}

/// The problems found so far in one text.
pub(super) struct Diagnostics<'t> {
    text: &'t str,
    /// Byte places where lines begin.
    line_starts: Vec<usize>,
    /// Lines that are no TOML: what was made of them is not judged further.
    broken_lines: Vec<usize>,
    found: Vec<Diagnostic>,
}

impl<'t> Diagnostics<'t> {
    pub(super) fn new(text: &'t str) -> Self {
        let lines = std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1)).collect();
        Diagnostics { text, line_starts: lines, broken_lines: Vec::new(), found: Vec::new() }
    }

    /// The line and column of a byte place, both from 1, the column in characters.
    fn line_and_column(&self, at: usize) -> (usize, usize) {
        let at = at.min(self.text.len());
        let line = self.line_starts.partition_point(|begin| *begin <= at).max(1);
        let begin = self.line_starts.get(line - 1).copied().unwrap_or(0);
        let column = self.text.get(begin..at).map_or(0, |before| before.chars().count());
        (line, column + 1)
    }

    /// A byte place where the text is no TOML.
    pub(super) fn report_syntax_error(&mut self, at: usize, message: &str) {
        let (line, column) = self.line_and_column(at);
        self.broken_lines.push(line);
        let message = format!("This is not TOML as a recipe needs it: {}.", message.trim_end_matches('.'));
        self.found.push(Diagnostic { line, column, key: None, message, nearest: None });
    }

    /// A line, counted from 0, that is not judged further.
    pub(super) fn mark_line_broken(&mut self, line: usize) {
        self.broken_lines.push(line + 1);
    }

    /// A problem with what stands at `span`.
    pub(super) fn report(&mut self, span: &Range<usize>, key: &str, message: String) {
        self.report_with_nearest(span, key, message, None);
    }

    /// A problem with a word that stands at `span`, and the known word nearest to it.
    pub(super) fn report_with_nearest(
        &mut self,
        span: &Range<usize>,
        key: &str,
        message: String,
        nearest: Option<&str>,
    ) {
        let (line, column) = self.line_and_column(span.start);
        let (last, _) = self.line_and_column(span.end.saturating_sub(1).max(span.start));
        if self.broken_lines.iter().any(|broken| (line..=last).contains(broken)) {
            return;
        }
        let nearest = nearest.map(str::to_owned);
        self.found.push(Diagnostic { line, column, key: Some(key.to_owned()), message, nearest });
    }

    /// A key or table that is not there. Where a line is broken it may only have gone unseen, so that then it is
    /// told only if its name stands nowhere in the text.
    pub(super) fn report_missing(&mut self, span: &Range<usize>, key: &str, name: &str, message: String) {
        if self.broken_lines.is_empty() || !self.text.contains(name) {
            let (line, column) = self.line_and_column(span.start);
            self.found.push(Diagnostic { line, column, key: Some(key.to_owned()), message, nearest: None });
        }
    }

    /// Every problem, from the top down.
    pub(super) fn into_sorted(mut self) -> Vec<Diagnostic> {
        self.found.sort_by(|a, b| (a.line, a.column, &a.key).cmp(&(b.line, b.column, &b.key)));
        self.found.dedup();
        self.found
    }
}

/// A word of the file as it is repeated in a sentence: nothing invisible in it, and not too long.
pub(super) fn escape_word(word: &str) -> String {
    const LONGEST: usize = 40;
    let mut shown: String = word.chars().take(LONGEST).flat_map(char::escape_debug).collect();
    if word.chars().nth(LONGEST).is_some() {
        shown.push_str("...");
    }
    shown
}
