//! The sheet on which a pass that nobody recorded is put in: boards down, coats across, a time in each cell.

use crate::units::{Id, Moment, Span, Stamp};
use crate::work::panel::event::Stage;

/// A day.
const DAY: Span = Span::from_s(86_400);

/// The sheet while it is filled in.
#[derive(Debug, Clone, PartialEq)]
pub struct PassSheet {
    /// The boards, in their places.
    pub rows: Vec<SheetRow>,
    /// The row and the column of the cell the keys go to.
    pub cursor: (usize, usize),
    /// The figures typed so far of a time.
    pub typed: String,
    /// What is wrong with the whole; empty if nothing.
    pub error: String,
    /// Leaving was pressed once with times on the sheet.
    pub(super) is_left_once: bool,
    /// The cells asked to be recorded, in the order of the request.
    pub(super) asked: Vec<(usize, usize)>,
}

/// A board and its next coats.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetRow {
    /// Which board.
    pub id: Id,
    /// Its block name.
    pub name: String,
    /// Its coats, the next first.
    pub cells: Vec<SheetCell>,
}

/// One coat of a board.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetCell {
    /// Which.
    pub stage: Stage,
    /// When it was laid; none where it was not.
    pub at: Option<Stamp>,
    /// Why it was not recorded; empty if nothing is wrong.
    pub error: String,
    /// The wait before it.
    pub(super) wait: Span,
}

impl PassSheet {
    /// How many columns the widest row has.
    pub fn columns(&self) -> usize {
        self.rows.iter().map(|row| row.cells.len()).max().unwrap_or(0)
    }

    pub(super) fn cell(&mut self) -> Option<&mut SheetCell> {
        let (row, column) = self.cursor;
        self.rows.get_mut(row)?.cells.get_mut(column)
    }

    pub(super) fn has_times(&self) -> bool {
        self.rows.iter().flat_map(|row| &row.cells).any(|cell| cell.at.is_some())
    }

    pub(super) fn go(&mut self, rows: isize, columns: isize) {
        self.typed.clear();
        let row = self.cursor.0.saturating_add_signed(rows).min(self.rows.len().saturating_sub(1));
        let last = self.rows.get(row).map_or(0, |r| r.cells.len().saturating_sub(1));
        self.cursor = (row, self.cursor.1.saturating_add_signed(columns).min(last));
    }

    /// Steps the time of the cell. An empty one begins where the coat before it left off: its wait later, else now.
    pub(super) fn step(&mut self, minutes: f64, now: Stamp) {
        let (row, column) = self.cursor;
        let before = column.checked_sub(1).and_then(|before| self.rows.get(row)?.cells.get(before)?.at);
        self.typed.clear();
        let Some(cell) = self.cell() else { return };
        let first = before.map_or(now, |at| (at + cell.wait).min(now));
        cell.at = Some(cell.at.map_or(first, |at| (at + Span::from_min(minutes)).min(now)));
        cell.error.clear();
        self.error.clear();
    }

    /// A figure of a time; four make one, the last of that time that is over.
    pub(super) fn type_figure(&mut self, figure: char, now: Moment) {
        self.typed.push(figure);
        let figures: Vec<i64> = self.typed.chars().filter_map(|c| c.to_digit(10)).map(i64::from).collect();
        let [a, b, c, d] = figures[..] else { return };
        self.typed.clear();
        let (hours, minutes) = (a * 10 + b, c * 10 + d);
        if hours > 23 || minutes > 59 {
            self.error = format!("{hours:02}:{minutes:02} is no time of the day; type four figures, as in 1402");
            return;
        }
        let local = now.wall.ms() + i64::from(now.offset_min) * 60_000;
        let midnight = Stamp::from_ms(now.wall.ms() - local.rem_euclid(DAY.ms()));
        let at = midnight + Span::from_s((hours * 60 + minutes) * 60);
        if let Some(cell) = self.cell() {
            cell.at = Some(if at > now.wall { at - DAY } else { at });
            cell.error.clear();
        }
        self.error.clear();
    }
}
