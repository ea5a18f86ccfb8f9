//! Tidy tables for other tools: one row an observation, one table a kind of observation, joined by ids.
//!
//! Names carry their unit last. Times are in UTC, in one form with its offset (`2026-03-01T09:00:00.000+00:00`), so that a
//! column is one type for pandas and DuckDB also where a summer lies in it. Figures are told to four places, which is more
//! than any of them is good to and less than the dust of binary fractions. Rows come in the order of their keys, then of
//! time. `cell` is what stands in a table, `writer` how it is written, the other files are the tables.

mod cell;
mod coats;
mod looks;
mod panels;
mod pots;
mod writer;

pub use cell::{Cell, ColumnMeaning};
pub use coats::coat_rows;
pub use looks::look_rows;
pub use panels::panel_cells;
pub use pots::{air_row, pot_fact_rows, pot_row};
pub use writer::{TableForm, TableWriter, format_column_meanings};

use crate::units::written_words;
use strum::{VariantArray, VariantNames};

/// The tables.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, VariantArray, VariantNames)]
#[strum(serialize_all = "kebab-case")]
pub enum TidyTable {
    /// A row for each panel.
    Panels,
    /// A row for each wet coat laid, attempts done again too.
    Coats,
    /// A row for each look.
    Looks,
    /// A row for each pot.
    Pots,
    /// A row for each thing recorded of a pot.
    PotFacts,
    /// A row for each reading of the air.
    Air,
}
written_words!(TidyTable);

impl TidyTable {
    /// What its columns mean, in their order.
    pub fn columns(self) -> Vec<ColumnMeaning> {
        match self {
            TidyTable::Panels => panels::panel_columns(),
            TidyTable::Coats => cell::column_meanings(coats::COATS),
            TidyTable::Looks => cell::column_meanings(looks::LOOKS),
            TidyTable::Pots => cell::column_meanings(pots::POTS),
            TidyTable::PotFacts => cell::column_meanings(pots::POT_FACTS),
            TidyTable::Air => cell::column_meanings(pots::AIR),
        }
    }
}

#[cfg(test)]
mod tests;
