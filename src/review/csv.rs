//! The table of a comparison as CSV: RFC 4180, a header row, UTF-8, `.` in figures, times in RFC 3339, an empty cell for
//! what is not known.
//!
//! A spreadsheet takes a text that begins with `=`, `+`, `-`, `@`, a tab or a line break for a formula and may run it
//! (CWE-1236). Such a text gets an apostrophe in front, unless it is asked for raw; figures stay as they are. Absent on
//! purpose: writing it anywhere.

use super::panel_row::PanelRow;
use crate::units::{Id, Stamp};

/// Whether texts that look like formulas are defused.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FormulaGuard {
    /// They get an apostrophe in front.
    Defuse,
    /// They stay as they are.
    Raw,
}

/// A cell.
enum CsvCell {
    Text(String),
    Figure(Option<f64>),
    Count(Option<u64>),
    Flag(Option<bool>),
}

/// A column: its name and what stands in it.
type CsvColumn = (&'static str, fn(&PanelRow, &dyn Fn(Stamp) -> String) -> CsvCell);

const fn count_cell(n: u32) -> CsvCell {
    CsvCell::Count(Some(n as u64))
}

const COLUMNS: [CsvColumn; 39] = [
    ("id", |f, _| CsvCell::Text(f.story.id.to_string())),
    ("label", |f, _| CsvCell::Text(f.story.label.clone())),
    ("recipe", |f, _| CsvCell::Text(f.story.recipe.clone())),
    ("pots", |f, _| CsvCell::Text(f.story.pot_ids.iter().map(Id::as_str).collect::<Vec<_>>().join(" "))),
    ("support", |f, _| CsvCell::Text(f.story.support.to_owned())),
    ("paint", |f, _| CsvCell::Text(f.story.paint.to_owned())),
    ("width_mm", |f, _| CsvCell::Figure(Some(f.story.size_mm.0))),
    ("height_mm", |f, _| CsvCell::Figure(Some(f.story.size_mm.1))),
    ("thickness_mm", |f, _| CsvCell::Figure(f.story.size_mm.2)),
    ("opened_at", |f, clock| CsvCell::Text(clock(f.story.opened_at))),
    ("finished", |f, _| CsvCell::Flag(Some(f.story.finished))),
    ("abandoned", |f, _| CsvCell::Flag(Some(f.story.given_up.is_some()))),
    ("coats_front", |f, _| count_cell(f.story.coats_front)),
    ("coats_back", |f, _| count_cell(f.story.coats_back)),
    ("wait_median_min", |f, _| CsvCell::Figure(f.story.wait_median_min)),
    ("wait_min_min", |f, _| CsvCell::Figure(f.story.wait_min_min)),
    ("wait_max_min", |f, _| CsvCell::Figure(f.story.wait_max_min)),
    ("dull_median_min", |f, _| CsvCell::Figure(f.story.dull_median_min)),
    ("early_coats", |f, _| count_cell(f.story.early_coats)),
    ("late_coats", |f, _| count_cell(f.story.late_coats)),
    ("long_gaps", |f, _| count_cell(f.story.long_gaps)),
    ("melts", |f, _| CsvCell::Count(f.pots.melts.map(u64::from))),
    ("pot_max_c", |f, _| CsvCell::Figure(f.pots.max_c)),
    ("water_lost_pct", |f, _| CsvCell::Figure(f.pots.water_lost_pct)),
    ("glue_per_100g_filler_g", |f, _| CsvCell::Figure(f.pots.glue_per_100g_filler_g)),
    ("pvc_pct", |f, _| CsvCell::Figure(f.pots.pvc_pct)),
    ("air_temp_mean_c", |f, _| CsvCell::Figure(f.air.temp_mean_c)),
    ("air_rh_min_pct", |f, _| CsvCell::Figure(f.air.rh_min_pct)),
    ("air_rh_max_pct", |f, _| CsvCell::Figure(f.air.rh_max_pct)),
    ("scrape_rounds", |f, _| count_cell(f.story.scrape_rounds)),
    ("check_rounds", |f, _| count_cell(f.story.check_rounds)),
    ("hands_on_min", |f, _| CsvCell::Figure(f.story.hands_on_min)),
    ("elapsed_h", |f, _| CsvCell::Figure(f.story.elapsed_h)),
    ("inspected", |f, _| CsvCell::Flag(Some(f.story.outcome.inspected))),
    ("age_days", |f, _| CsvCell::Figure(f.story.outcome.age_days)),
    ("cracks", |f, _| CsvCell::Count(f.story.outcome.cracks.map(u64::from))),
    ("pinholes", |f, _| CsvCell::Count(f.story.outcome.pinholes.map(u64::from))),
    ("bow_mm", |f, _| CsvCell::Figure(f.story.outcome.bow_mm)),
    ("sound", |f, _| CsvCell::Flag(f.story.outcome.sound)),
];

/// The names of the columns, in their order.
pub fn header() -> [&'static str; COLUMNS.len()] {
    COLUMNS.map(|(name, _)| name)
}

/// The table of those panels.
pub fn format_csv(panels: &[PanelRow], clock: &dyn Fn(Stamp) -> String, guard: FormulaGuard) -> String {
    let mut writer = ::csv::WriterBuilder::new().terminator(::csv::Terminator::CRLF).from_writer(Vec::new());
    let rows = std::iter::once(header().map(str::to_owned).to_vec())
        .chain(panels.iter().map(|f| COLUMNS.iter().map(|(_, of)| format_cell(of(f, clock), guard)).collect()));
    for row in rows {
        // Writing into memory fails only for rows of unequal length, and these are all of one.
        let _ = writer.write_record(&row);
    }
    writer.into_inner().map(|bytes| String::from_utf8_lossy(&bytes).into_owned()).unwrap_or_default()
}

fn format_cell(cell: CsvCell, guard: FormulaGuard) -> String {
    match cell {
        CsvCell::Text(text) => match guard {
            FormulaGuard::Defuse => defuse_formula(&text),
            FormulaGuard::Raw => text,
        },
        CsvCell::Figure(value) => value.filter(|v| v.is_finite()).map_or_else(String::new, |v| v.to_string()),
        CsvCell::Count(value) => value.map_or_else(String::new, |v| v.to_string()),
        CsvCell::Flag(value) => value.map_or_else(String::new, |v| v.to_string()),
    }
}

/// A text that no spreadsheet takes for a formula. Blanks before the sign are skipped by some, so they are by the guard.
pub fn defuse_formula(text: &str) -> String {
    let first = text.trim_start_matches([' ', '\u{a0}', '\u{feff}']).chars().next();
    let acts = matches!(first, Some('=' | '+' | '-' | '@' | '\t' | '\r' | '\n' | '\0' | '＝' | '＋' | '－' | '＠'));
    if acts { format!("'{text}") } else { text.to_owned() }
}
