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

enum Line<'a> {
    Heading(&'a str),
    Key(&'a str, &'a str),
    Gap,
}

/// Draws every key into `area` of a buffer.
pub(super) fn on(sheet: &KeysSheet, theme: &Theme, buf: &mut Buffer, area: Rect) {
    let area = area.intersection(buf.area);
    let mut pen = Pen::new(buf, area, theme);
    let mut lines = Vec::new();
    for (heading, keys) in &sheet.groups {
        if !lines.is_empty() {
            lines.push(Line::Gap);
        }
        lines.push(Line::Heading(heading));
        lines.extend(keys.iter().map(|k| Line::Key(&k.key, &k.does)));
    }
    let wide = sheet.groups.iter().flat_map(|(_, k)| k).map(|k| pen.width(&k.key)).max().unwrap_or(0);
    let wide = wide.min(area.width / 3);
    let room = Rect { x: area.x + u16::from(area.width > 20), ..area };
    let room = top(left(room, area.width.saturating_sub(1).max(1)), area.height);
    let across = columns(room, lines.len());
    let each = room.width / across;
    let rows = usize::from(room.height.saturating_sub(u16::from(lines.len() > usize::from(room.height))).max(1));
    let shown = lines.iter().skip(sheet.offset).take(rows * usize::from(across));
    for (i, line) in shown.enumerate() {
        let (column, row) = ((i / rows) as u16, (i % rows) as u16);
        let here = top(below(left(right_of(room, column * each), each.saturating_sub(2)), row), 1);
        match line {
            Line::Heading(words) => _ = pen.words(here, &words.to_uppercase(), Ink::Strong),
            Line::Key(key, does) => {
                pen.words(left(here, wide), key, Ink::Strong);
                pen.words(right_of(here, wide + 2), does, Ink::Read);
            }
            Line::Gap => {}
        }
    }
    let hidden = lines.len().saturating_sub(sheet.offset + rows * usize::from(across));
    if hidden > 0 {
        pen.words(bottom(room, 1), &format!("{hidden} more lines below ↓"), Ink::Strong);
    }
}

/// As few columns as show everything, of a readable width.
fn columns(room: Rect, lines: usize) -> u16 {
    let most = (room.width / 38).max(1);
    (1..=most).find(|n| lines <= usize::from(*n) * usize::from(room.height)).unwrap_or(most)
}
