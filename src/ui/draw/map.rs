//! The map of a check: the panel in its areas, each none, some or much; the round before beside it.

use super::pen::{Pen, below, bottom, left, right_of, top};
use super::{board, parts};
use crate::app::sheets::MapView;
use crate::ui::theme::{Ink, Theme};
use crate::work::panel::event::Low;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// Draws the map over the whole of a bare buffer.
pub fn map(view: &MapView, theme: &Theme, buf: &mut Buffer) {
    let area = buf.area;
    on(view, theme, buf, area);
}

/// Draws the map into `area` of a buffer.
pub(super) fn on(view: &MapView, theme: &Theme, buf: &mut Buffer, area: Rect) {
    let area = area.intersection(buf.area);
    let mut pen = Pen::new(buf, area, theme);
    pen.words(top(area, 1), &view.title, Ink::Strong);
    let mut rest = below(area, if area.height > 12 { 2 } else { 1 });
    if area.height >= 5 {
        parts::keys(&mut pen, bottom(rest, 1), &view.keys);
        rest = top(rest, rest.height - 1);
    }
    if area.height >= 8 {
        let rows = pen.height(&view.hint, rest.width).min(2);
        pen.lines(bottom(rest, rows), &view.hint, Ink::Read);
        rest = top(rest, rest.height.saturating_sub(rows));
        pen.words(bottom(rest, 1), &format!("{}   here: {}", tally(&view.now), here(view)), Ink::Strong);
        rest = top(rest, rest.height.saturating_sub(1));
    }
    match &view.before {
        Some(before) if area.width >= 40 => {
            let half = rest.width * 3 / 5;
            grid(&mut pen, left(rest, half.saturating_sub(2)), "this round", &view.now, Some(view.cursor), view);
            grid(&mut pen, right_of(rest, half), "the round before", before, None, view);
        }
        Some(_) | None => grid(&mut pen, rest, "", &view.now, Some(view.cursor), view),
    }
}

const fn word(low: Low) -> &'static str {
    match low {
        Low::None => "none",
        Low::Some => "some",
        Low::Much => "much",
    }
}

fn here(view: &MapView) -> &'static str {
    let (row, column) = view.cursor;
    view.now.get(row).and_then(|r| r.get(column)).map_or("", |low| word(*low))
}

fn tally(map: &[Vec<Low>]) -> String {
    let count = |low: Low| map.iter().flatten().filter(|l| **l == low).count();
    match (count(Low::Some), count(Low::Much)) {
        (0, 0) => "no area is grey".to_owned(),
        (some, much) => format!("{some} some, {much} much"),
    }
}

fn grid(pen: &mut Pen<'_>, area: Rect, name: &str, map: &[Vec<Low>], cursor: Option<(usize, usize)>, view: &MapView) {
    let named = u16::from(!name.is_empty());
    pen.words(top(area, named), name, Ink::Read);
    let at = board::frame(view.size_mm, below(area, named));
    board::edges(pen, at);
    let inside = Rect {
        x: at.x.saturating_add(1),
        y: at.y.saturating_add(1),
        width: at.width.saturating_sub(2),
        height: at.height.saturating_sub(2),
    };
    for (i, row) in map.iter().enumerate() {
        let (y, y_end) = share(inside.height, i, map.len());
        for (j, low) in row.iter().enumerate() {
            let (x, x_end) = share(inside.width, j, row.len());
            let cell = Rect { x: inside.x + x, y: inside.y + y, width: x_end - x, height: y_end - y };
            area_of(pen, cell, *low, cursor == Some((i, j)));
        }
    }
}

/// From where to where the `i`th of `n` equal parts of `whole` reaches.
fn share(whole: u16, i: usize, n: usize) -> (u16, u16) {
    let mark = |i: usize| u16::try_from(usize::from(whole) * i / n.max(1)).unwrap_or(u16::MAX);
    (mark(i), mark(i + 1))
}

fn area_of(pen: &mut Pen<'_>, cell: Rect, low: Low, on: bool) {
    let gap = u16::from(cell.width > 3);
    let body = Rect { width: cell.width.saturating_sub(gap), ..cell };
    match low {
        Low::None => {
            if cell.width > 2 {
                pen.put(cell.x + body.width / 2, cell.y + cell.height.saturating_sub(1) / 2, '·', Ink::Read);
            }
        }
        Low::Some => pen.fill(body, '░', Ink::Read),
        Low::Much => pen.fill(body, '▓', Ink::Read),
    }
    if !on && low != Low::None && body.width >= 8 && body.height >= 3 {
        let middle = top(below(body, (body.height - 1) / 2), 1);
        pen.words(left(right_of(middle, (body.width - 6) / 2), 6), &format!(" {} ", word(low)), Ink::Read);
    }
    if on && !cell.is_empty() {
        let middle = top(below(body, body.height.saturating_sub(1) / 2), 1);
        if body.width >= 6 {
            pen.words(left(right_of(middle, (body.width - 6) / 2), 6), &format!(" {} ", word(low)), Ink::Loud);
        } else {
            pen.words(middle, &word(low)[..1], Ink::Loud);
        }
    }
}
