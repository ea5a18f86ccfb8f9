//! What stands in a tidy table, and what is told of its columns.

use crate::units::Stamp;

/// What stands in one cell.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Nobody recorded it, or it cannot be.
    Unknown,
    /// Words or an id.
    Text(String),
    /// A figure.
    Figure(f64),
    /// How many, or a place in a story.
    Count(u64),
    /// Yes or no.
    Flag(bool),
    /// When.
    Time(Stamp),
}

/// How a column is read from a row, which is also its type.
#[derive(Debug)]
pub enum CellReader<R> {
    /// Words or an id.
    Text(fn(&R) -> Option<String>),
    /// A figure.
    Figure(fn(&R) -> Option<f64>),
    /// How many.
    Count(fn(&R) -> Option<u64>),
    /// Yes or no.
    Flag(fn(&R) -> Option<bool>),
    /// When.
    Time(fn(&R) -> Option<Stamp>),
}

/// One column of a tidy table.
#[derive(Debug)]
pub struct TidyColumn<R> {
    name: &'static str,
    meaning: &'static str,
    read: CellReader<R>,
    joins: Option<&'static str>,
}

impl<R> TidyColumn<R> {
    /// A column of that name and meaning.
    pub const fn new(name: &'static str, read: CellReader<R>, meaning: &'static str) -> TidyColumn<R> {
        TidyColumn { name, meaning, read, joins: None }
    }
    /// The same, holding the values of that column of another table.
    pub const fn joining(
        joins: &'static str,
        name: &'static str,
        read: CellReader<R>,
        meaning: &'static str,
    ) -> TidyColumn<R> {
        TidyColumn { name, meaning, read, joins: Some(joins) }
    }

    /// What stands in it.
    pub fn cell(&self, row: &R) -> Cell {
        match self.read {
            CellReader::Text(of) => of(row).map_or(Cell::Unknown, Cell::Text),
            CellReader::Figure(of) => of(row).map_or(Cell::Unknown, Cell::Figure),
            CellReader::Count(of) => of(row).map_or(Cell::Unknown, Cell::Count),
            CellReader::Flag(of) => of(row).map_or(Cell::Unknown, Cell::Flag),
            CellReader::Time(of) => of(row).map_or(Cell::Unknown, Cell::Time),
        }
    }
}

/// What is told of a column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ColumnMeaning {
    /// Its name.
    pub name: &'static str,
    /// `text`, `number`, `integer`, `boolean` or `time`.
    pub type_name: &'static str,
    /// Its unit, empty where it has none.
    pub unit: &'static str,
    /// What stands in it.
    pub meaning: String,
    /// The column of another table it holds the values of; empty where it holds none.
    pub joins: &'static str,
}

impl ColumnMeaning {
    /// A column whose unit its name tells.
    pub fn new(name: &'static str, type_name: &'static str, meaning: String, joins: &'static str) -> ColumnMeaning {
        ColumnMeaning { name, type_name, unit: unit_of(name, type_name), meaning, joins }
    }
}

/// What is told of those columns.
pub fn column_meanings<R>(columns: &[TidyColumn<R>]) -> Vec<ColumnMeaning> {
    let type_name = |read: &CellReader<R>| match read {
        CellReader::Text(_) => "text",
        CellReader::Figure(_) => "number",
        CellReader::Count(_) => "integer",
        CellReader::Flag(_) => "boolean",
        CellReader::Time(_) => "time",
    };
    let meaning =
        |c: &TidyColumn<R>| ColumnMeaning::new(c.name, type_name(&c.read), c.meaning.to_owned(), c.joins.unwrap_or(""));
    columns.iter().map(meaning).collect()
}

/// The cells of a row.
pub fn row_cells<R>(columns: &[TidyColumn<R>], row: &R) -> Vec<Cell> {
    columns.iter().map(|column| column.cell(row)).collect()
}

/// The unit at the end of a name.
fn unit_of(name: &str, type_name: &str) -> &'static str {
    if name == "glue_g_per_l_water" {
        return "g/l";
    }
    match (type_name, name.rsplit('_').next().unwrap_or_default()) {
        ("time", _) => "UTC",
        ("number", "min") => "min",
        ("number", "h") => "h",
        ("number", "s") => "s",
        ("number", "days") => "days",
        ("number", "c") => "C",
        ("number", "pct") => "%",
        ("number", "g") => "g",
        ("number", "ml") => "ml",
        ("number", "mm") => "mm",
        ("number", "um") => "um",
        ("number", "cm2") => "cm2",
        ("number", "brix") => "degree Brix",
        ("number", "m2") => "m2",
        ("number", "l") => "g/l",
        ("number", "mean") => "grades",
        _ => "",
    }
}
