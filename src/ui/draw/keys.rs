//! Every key, laid over whatever is shown.

use super::pen::{Pen, below, bottom, left, right_of, top};
use crate::app::sheets::KeysSheet;
use crate::ui::theme::{Ink, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// Draws every key over the whole of a bare buffer.
pub fn keys(sheet: &KeysSheet, theme: &Theme, buf: &mut Buffer) {
    let area = buf.area;
    on(sheet, theme, buf, area);
}

/// The narrowest column that a key's words are read in.
const READABLE: u16 = 36;

enum Line<'a> {
    Heading(&'a str),
    /// A key, and a line of what it does; either may be empty.
    Key(&'a str, String),
    Gap,
}

/// Draws every key into `area` of a buffer.
pub(super) fn on(sheet: &KeysSheet, theme: &Theme, buf: &mut Buffer, area: Rect) {
    let area = area.intersection(buf.area);
    let mut pen = Pen::new(buf, area, theme);
    let room = Rect { x: area.x + u16::from(area.width > 20), ..area };
    let room = left(room, area.width.saturating_sub(1).max(1));
    let (across, lines) = laid_out(&pen, sheet, room);
    let each = room.width / across;
    let rows = usize::from(room.height.saturating_sub(u16::from(hides(&lines, across, room.height))).max(1));
    let shown = lines.iter().skip(sheet.offset).take(rows * usize::from(across));
    for (i, line) in shown.enumerate() {
        let (column, row) = ((i / rows) as u16, (i % rows) as u16);
        let here = top(below(left(right_of(room, column * each), each.saturating_sub(2)), row), 1);
        match line {
            Line::Heading(words) => _ = pen.words(here, &words.to_uppercase(), Ink::Strong),
            Line::Key(key, does) => {
                pen.words(here, key, Ink::Strong);
                pen.words(right_of(here, key_columns(&pen, sheet, each) + 2), does, Ink::Read);
            }
            Line::Gap => {}
        }
    }
    let hidden = lines.len().saturating_sub(sheet.offset + rows * usize::from(across));
    if hidden > 0 {
        pen.words(bottom(room, 1), &format!("{hidden} more lines below ↓"), Ink::Strong);
    }
}

fn hides(lines: &[Line<'_>], across: u16, height: u16) -> bool {
    lines.len() > usize::from(across) * usize::from(height)
}

/// As few columns as show everything, of a readable width, and what stands in them from top to bottom.
fn laid_out<'a>(pen: &Pen<'_>, sheet: &'a KeysSheet, room: Rect) -> (u16, Vec<Line<'a>>) {
    let most = (room.width / READABLE).max(1);
    let mut across = 1;
    loop {
        let lines = broken(pen, sheet, room.width / across);
        if across == most || !hides(&lines, across, room.height) {
            return (across, lines);
        }
        across += 1;
    }
}

/// The columns the keys take of one that is `each` wide; a longer key stands on a line of its own.
fn key_columns(pen: &Pen<'_>, sheet: &KeysSheet, each: u16) -> u16 {
    let widest = sheet.groups.iter().flat_map(|(_, k)| k).map(|k| pen.width(&k.key)).max().unwrap_or(0);
    widest.min(each / 3)
}

/// Every line of a column that is `each` wide.
fn broken<'a>(pen: &Pen<'_>, sheet: &'a KeysSheet, each: u16) -> Vec<Line<'a>> {
    let keys = key_columns(pen, sheet, each);
    let columns = each.saturating_sub(keys + 4).max(1);
    let mut lines = Vec::new();
    for (heading, hints) in &sheet.groups {
        if !lines.is_empty() {
            lines.push(Line::Gap);
        }
        lines.push(Line::Heading(heading));
        for hint in hints {
            let mut key = hint.key.as_str();
            if pen.width(key) > keys {
                lines.push(Line::Key(key, String::new()));
                key = "";
            }
            for does in pen.broken(&hint.does, columns) {
                lines.push(Line::Key(key, does));
                key = "";
            }
        }
    }
    lines
}
