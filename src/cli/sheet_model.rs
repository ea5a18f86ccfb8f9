//! What a bench sheet holds, however it is printed.

use crate::text::UnitSystem;
use crate::work::advice::CautionLine;
use crate::work::panel::state::Panel;
use crate::work::plan::bench_sheet::SheetRow;
use crate::work::plan::board_needs::BoardNeeds;
use chrono::NaiveDate;

/// The sheet of some panels.
pub(super) struct BenchSheet<'a> {
    pub(super) panels: Vec<&'a Panel>,
    pub(super) rows: Vec<SheetRow>,
    pub(super) pots: Vec<SheetPots<'a>>,
    pub(super) cautions: Vec<CautionLine>,
    pub(super) day: NaiveDate,
    pub(super) units: UnitSystem,
}

/// What the panels of one recipe still take from their pots.
pub(super) struct SheetPots<'a> {
    /// The first of them.
    pub(super) panel: &'a Panel,
    pub(super) needs: BoardNeeds,
}

/// The letter of a column.
pub(super) fn column_letter(column: usize) -> char {
    char::from(b'A' + u8::try_from(column % 26).unwrap_or(0))
}
