//! Every key, laid over whatever is shown.

use super::canvas::{Canvas, skip_columns, skip_rows, take_columns, take_last_rows, take_rows};
use crate::app::overlay_view_models::KeysViewModel;
use crate::text::format_count;
use crate::ui::theme::{Ink, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// Draws every key over the whole of a bare buffer.
pub fn render_keys(sheet: &KeysViewModel, theme: &Theme, buf: &mut Buffer) {
    let area = buf.area;
    render_keys_in(sheet, theme, buf, area);
}

/// The narrowest column that a key's words are read in.
const MIN_COLUMN_WIDTH: u16 = 36;

enum KeysLine<'a> {
    Heading(&'a str),
    /// A key, and a line of what it does; either may be empty.
    Key(&'a str, String),
    Gap,
}

/// Draws every key into `area` of a buffer.
pub(super) fn render_keys_in(sheet: &KeysViewModel, theme: &Theme, buf: &mut Buffer, area: Rect) {
    let area = area.intersection(buf.area);
    let mut canvas = Canvas::new(buf, area, theme);
    let room = Rect { x: area.x + u16::from(area.width > 20), ..area };
    let room = take_columns(room, area.width.saturating_sub(1).max(1));
    let (across, lines) = lay_out_columns(&canvas, sheet, room);
    let each = room.width / across;
    let rows = usize::from(room.height.saturating_sub(u16::from(is_overflowing(&lines, across, room.height))).max(1));
    let shown = lines.iter().skip(sheet.offset).take(rows * usize::from(across));
    for (i, line) in shown.enumerate() {
        let (column, row) = ((i / rows) as u16, (i % rows) as u16);
        let here =
            take_rows(skip_rows(take_columns(skip_columns(room, column * each), each.saturating_sub(2)), row), 1);
        match line {
            KeysLine::Heading(words) => _ = canvas.draw_text(here, &words.to_uppercase(), Ink::Strong),
            KeysLine::Key(key, does) => {
                canvas.draw_text(here, key, Ink::Strong);
                canvas.draw_text(skip_columns(here, key_column_width(&canvas, sheet, each) + 2), does, Ink::Text);
            }
            KeysLine::Gap => {}
        }
    }
    let hidden = lines.len().saturating_sub(sheet.offset + rows * usize::from(across));
    if hidden > 0 {
        canvas.draw_text(take_last_rows(room, 1), &format!("↓ {} more", format_count(hidden, "line")), Ink::Strong);
    }
}

fn is_overflowing(lines: &[KeysLine<'_>], across: u16, height: u16) -> bool {
    lines.len() > usize::from(across) * usize::from(height)
}

/// As few columns as show everything, of a readable width, and what stands in them from top to bottom.
fn lay_out_columns<'a>(canvas: &Canvas<'_>, sheet: &'a KeysViewModel, room: Rect) -> (u16, Vec<KeysLine<'a>>) {
    let most = (room.width / MIN_COLUMN_WIDTH).max(1);
    let mut across = 1;
    loop {
        let lines = break_into_lines(canvas, sheet, room.width / across);
        if across == most || !is_overflowing(&lines, across, room.height) {
            return (across, lines);
        }
        across += 1;
    }
}

/// The columns the keys take of one that is `each` wide; a longer key stands on a line of its own.
fn key_column_width(canvas: &Canvas<'_>, sheet: &KeysViewModel, each: u16) -> u16 {
    let widest = sheet.groups.iter().flat_map(|(_, k)| k).map(|k| canvas.text_width(k.key())).max().unwrap_or(0);
    widest.min(each / 3)
}

/// Every line of a column that is `each` wide.
fn break_into_lines<'a>(canvas: &Canvas<'_>, sheet: &'a KeysViewModel, each: u16) -> Vec<KeysLine<'a>> {
    let keys = key_column_width(canvas, sheet, each);
    let columns = each.saturating_sub(keys + 4).max(1);
    let mut lines = Vec::new();
    for (heading, hints) in &sheet.groups {
        if !lines.is_empty() {
            lines.push(KeysLine::Gap);
        }
        lines.push(KeysLine::Heading(heading));
        for hint in hints {
            let mut key = hint.key();
            if canvas.text_width(key) > keys {
                lines.push(KeysLine::Key(key, String::new()));
                key = "";
            }
            for does in canvas.wrap_text(hint.description(), columns) {
                lines.push(KeysLine::Key(key, does));
                key = "";
            }
        }
    }
    lines
}
