//! The sheet on which coats are put in afterwards: boards down, coats across.

use super::bench_parts;
use super::canvas::{Canvas, skip_columns, skip_rows, take_columns, take_last_rows, take_rows};
use crate::app::overlay_view_models::PassSheetViewModel;
use crate::ui::theme::{Ink, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// Columns of a cell: a coat above, its time below.
const CELL_COLUMNS: u16 = 12;

/// Draws the sheet over the whole of a bare buffer.
pub fn render_pass_sheet(view: &PassSheetViewModel, theme: &Theme, buf: &mut Buffer) {
    let area = buf.area;
    let mut canvas = Canvas::new(buf, area, theme);
    let margin = u16::from(area.width > 30) * 2;
    let area = take_columns(skip_columns(area, margin), area.width.saturating_sub(margin * 2));
    canvas.draw_text(take_rows(area, 1), &view.title, Ink::Strong);
    let mut rest = skip_rows(area, if area.height > 12 { 2 } else { 1 });
    bench_parts::render_key_hints(&mut canvas, take_last_rows(rest, 1), &view.keys);
    rest = take_rows(rest, rest.height.saturating_sub(1));
    if !view.alert.is_empty() {
        let rows = canvas.wrapped_height(&view.alert, rest.width).min(rest.height / 2).max(1);
        canvas.draw_wrapped(take_last_rows(rest, rows), &view.alert, Ink::Alert);
        rest = take_rows(rest, rest.height.saturating_sub(rows));
    }
    // A board takes two lines, and one between where there is room.
    let each = if view.rows.len() * 3 <= usize::from(rest.height) { 3 } else { 2 };
    let fitting = usize::from(rest.height / each).max(1);
    let first = (view.cursor.0 + 1).saturating_sub(fitting);
    for (i, row) in view.rows.iter().enumerate().skip(first).take(fitting) {
        let here = take_rows(skip_rows(rest, (i - first) as u16 * each), 2);
        canvas.draw_text(take_columns(here, 8), &row.name, Ink::Strong);
        render_cells(&mut canvas, skip_columns(here, 9), &row.cells, (i == view.cursor.0).then_some(view.cursor.1));
    }
}

/// The coats of one board, as many as fit around the cursor.
fn render_cells(canvas: &mut Canvas<'_>, area: Rect, cells: &[(String, String)], cursor: Option<usize>) {
    let fitting = usize::from(area.width / CELL_COLUMNS).max(1);
    let first = cursor.map_or(0, |at| (at + 1).saturating_sub(fitting));
    for (i, (coat, time)) in cells.iter().enumerate().skip(first).take(fitting) {
        let cell = take_columns(skip_columns(area, (i - first) as u16 * CELL_COLUMNS), CELL_COLUMNS - 1);
        canvas.draw_text(take_rows(cell, 1), coat, Ink::Text);
        let ink = if cursor == Some(i) { Ink::Alert } else { Ink::Strong };
        canvas.draw_text(take_rows(skip_rows(cell, 1), 1), &format!(" {time} "), ink);
    }
}
