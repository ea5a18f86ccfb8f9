//! The table of a comparison as CSV: RFC 4180, a header row, UTF-8, `.` in figures, times in RFC 3339, an empty cell for
//! what is not known.
//!
//! A spreadsheet takes a text that begins with `=`, `+`, `-`, `@`, a tab or a line break for a formula and may run it
//! (CWE-1236). Such a text gets an apostrophe in front, unless it is asked for raw; figures stay as they are.

use super::column::Value;
use super::columns::csv_columns;
use super::json::FormatTime;
use super::panel_row::PanelRow;
use crate::units::Id;

/// Whether texts that look like formulas are defused.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FormulaGuard {
    /// They get an apostrophe in front.
    Defuse,
    /// They stay as they are.
    Raw,
}

/// The names of the columns, in their order.
pub fn header() -> Vec<&'static str> {
    csv_columns().map(|column| column.name).collect()
}

/// The table of those panels.
pub fn format_csv(panels: &[PanelRow], clock: FormatTime<'_>, guard: FormulaGuard) -> String {
    let mut writer = ::csv::WriterBuilder::new().terminator(::csv::Terminator::CRLF).from_writer(Vec::new());
    let cells = |f| csv_columns().map(move |column| format_cell(column.value(f), clock, guard)).collect();
    let head: Vec<String> = header().into_iter().map(str::to_owned).collect();
    for row in std::iter::once(head).chain(panels.iter().map(cells)) {
        // Writing into memory fails only for rows of unequal length, and these are all of one.
        let _ = writer.write_record(&row);
    }
    writer.into_inner().map(|bytes| String::from_utf8_lossy(&bytes).into_owned()).unwrap_or_default()
}

fn format_cell(value: Value<'_>, clock: FormatTime<'_>, guard: FormulaGuard) -> String {
    let text = match value {
        Value::Text(text) => text.to_owned(),
        Value::Word(word) => word.to_owned(),
        Value::Ids(ids) => ids.iter().map(Id::as_str).collect::<Vec<_>>().join(" "),
        Value::Phrase(phrase) => phrase,
        Value::Time(at) => clock(at),
        Value::Figure(figure) if figure.is_finite() => return figure.to_string(),
        Value::Count(count) => return count.to_string(),
        Value::Flag(flag) => return flag.to_string(),
        Value::Figure(_) | Value::Unknown => return String::new(),
    };
    match guard {
        FormulaGuard::Defuse => defuse_formula(&text),
        FormulaGuard::Raw => text,
    }
}

/// A text that no spreadsheet takes for a formula. Blanks before the sign are skipped by some, so they are by the guard.
pub fn defuse_formula(text: &str) -> String {
    let first = text.trim_start_matches([' ', '\u{a0}', '\u{feff}']).chars().next();
    let acts = matches!(first, Some('=' | '+' | '-' | '@' | '\t' | '\r' | '\n' | '\0' | '＝' | '＋' | '－' | '＠'));
    if acts { format!("'{text}") } else { text.to_owned() }
}
