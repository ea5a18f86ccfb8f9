//! Tidy tables as CSV and as JSON, a batch of rows at a time, so that a long table is never held.
//!
//! The CSV is that of RFC 4180, with the guard against formulas of `csv`; the JSON is a list of objects, one a line.

use super::cell::{Cell, ColumnMeaning};
use crate::review::csv::{FormulaGuard, defuse_formula};
use crate::text::format_utc;
use serde::{Serialize, Serializer};

/// In which form a table is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TableForm {
    /// Comma-separated values.
    Csv(FormulaGuard),
    /// A list of objects.
    Json,
}

/// Makes the text of a table piece by piece: the head, batches of rows in their order, the foot.
#[derive(Debug)]
pub struct TableWriter {
    names: Vec<&'static str>,
    form: TableForm,
    is_empty: bool,
}

impl TableWriter {
    /// A table of those columns.
    pub fn new(columns: &[ColumnMeaning], form: TableForm) -> TableWriter {
        TableWriter { names: columns.iter().map(|c| c.name).collect(), form, is_empty: true }
    }

    /// What stands before the rows.
    pub fn head(&self) -> String {
        match self.form {
            TableForm::Csv(_) => csv_lines(std::iter::once(self.names.iter().map(|name| (*name).to_owned()).collect())),
            TableForm::Json => "[".to_owned(),
        }
    }

    /// Some rows.
    pub fn rows(&mut self, rows: &[Vec<Cell>]) -> String {
        match self.form {
            TableForm::Csv(guard) => {
                csv_lines(rows.iter().map(|cells| cells.iter().map(|cell| csv_cell(cell, guard)).collect()))
            }
            TableForm::Json => {
                let mut text = String::new();
                for cells in rows {
                    text.push_str(if self.is_empty { "\n" } else { ",\n" });
                    self.is_empty = false;
                    let row = JsonRow { names: &self.names, cells };
                    text += &serde_json::to_string(&row).expect("names are text and every figure is one");
                }
                text
            }
        }
    }

    /// What stands behind them.
    pub fn foot(&self) -> String {
        match self.form {
            TableForm::Csv(_) => String::new(),
            TableForm::Json => "\n]\n".to_owned(),
        }
    }
}

fn csv_lines(rows: impl Iterator<Item = Vec<String>>) -> String {
    let mut writer = ::csv::WriterBuilder::new().terminator(::csv::Terminator::CRLF).from_writer(Vec::new());
    for row in rows {
        writer.write_record(&row).expect("rows have the cells of one list of columns, and memory takes them");
    }
    let bytes = writer.into_inner().expect("memory takes what is left to write");
    String::from_utf8(bytes).expect("every cell is text")
}

fn csv_cell(cell: &Cell, guard: FormulaGuard) -> String {
    match cell {
        Cell::Text(text) => match guard {
            FormulaGuard::Defuse => defuse_formula(text),
            FormulaGuard::Raw => text.clone(),
        },
        Cell::Figure(figure) => clean_figure(*figure).map_or_else(String::new, |figure| figure.to_string()),
        Cell::Count(count) => count.to_string(),
        Cell::Flag(flag) => flag.to_string(),
        Cell::Time(at) => format_utc(*at),
        Cell::Unknown => String::new(),
    }
}

/// To four places: no figure here is good to as many, and what lies beyond is the dust of binary fractions.
fn clean_figure(figure: f64) -> Option<f64> {
    let clean = (figure * 1e4).round() / 1e4;
    // Nought has no sign.
    clean.is_finite().then_some(clean + 0.0)
}

struct JsonRow<'a> {
    names: &'a [&'static str],
    cells: &'a [Cell],
}

impl Serialize for JsonRow<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_map(self.names.iter().zip(self.cells))
    }
}

impl Serialize for Cell {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        match self {
            Cell::Text(text) => to.serialize_str(text),
            Cell::Figure(figure) => clean_figure(*figure).serialize(to),
            Cell::Count(count) => to.serialize_u64(*count),
            Cell::Flag(flag) => to.serialize_bool(*flag),
            Cell::Time(at) => to.serialize_str(&format_utc(*at)),
            Cell::Unknown => to.serialize_none(),
        }
    }
}

/// What every column of those tables means, as a table of its own.
pub fn format_column_meanings(tables: &[(&'static str, Vec<ColumnMeaning>)], form: TableForm) -> String {
    let text = |text: &str| if text.is_empty() { Cell::Unknown } else { Cell::Text(text.to_owned()) };
    let head = ["table", "column", "type", "unit", "joins", "meaning"];
    let head = head.map(|name| ColumnMeaning::new(name, "text", String::new(), ""));
    let mut writer = TableWriter::new(&head, form);
    let mut rows = Vec::new();
    for (table, columns) in tables {
        rows.extend(columns.iter().map(|c| {
            vec![text(table), text(c.name), text(c.type_name), text(c.unit), text(c.joins), text(&c.meaning)]
        }));
    }
    let body = writer.rows(&rows);
    writer.head() + &body + &writer.foot()
}
