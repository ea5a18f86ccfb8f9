//! A page: perhaps a choice above, what is to be read below, every key at the lower edge.

use super::parts;
use super::pen::{Pen, below, bottom, left, right_of, top};
use crate::app::page::{Lead, Page, Paragraph};
use crate::app::scene::KeyHint;
use crate::ui::theme::{Ink, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// Draws the page over the whole of a bare buffer.
pub fn page(view: &Page, theme: &Theme, buf: &mut Buffer) {
    let area = buf.area;
    on(view, theme, buf, area);
}

/// Draws the page into `area` of a buffer.
pub(super) fn on(view: &Page, theme: &Theme, buf: &mut Buffer, area: Rect) {
    let area = area.intersection(buf.area);
    let mut pen = Pen::new(buf, area, theme);
    let margin = u16::from(area.width > 30) * 2;
    let area = left(right_of(area, margin), area.width.saturating_sub(margin * 2));
    pen.words(top(area, 1), &view.title, Ink::Strong);
    let mut rest = below(area, if area.height > 12 { 2 } else { 1 });
    let rows = keys_rows(&pen, &view.keys, rest.width).min(rest.height / 3).max(1);
    keys(&mut pen, bottom(rest, rows), &view.keys);
    rest = top(rest, rest.height.saturating_sub(rows));
    if !view.problem.is_empty() {
        let rows = pen.height(&view.problem, rest.width).min(rest.height / 3).max(1);
        pen.lines(bottom(rest, rows), &view.problem, Ink::Loud);
        rest = top(rest, rest.height.saturating_sub(rows));
    }
    let used = choices(&mut pen, top(rest, rest.height / 2), view);
    rest = below(rest, used + u16::from(used > 0 && rest.height > 10));
    paragraphs(&mut pen, rest, &view.paragraphs);
}

/// The choices around the cursor; tells how many rows they took.
fn choices(pen: &mut Pen<'_>, area: Rect, view: &Page) -> u16 {
    let rows = usize::from(area.height);
    let first = (view.at + 1).saturating_sub(rows);
    let wide = view.choices.iter().map(|(name, _)| pen.width(name)).max().unwrap_or(0).min(area.width / 3);
    for (i, (name, stands)) in view.choices.iter().enumerate().skip(first).take(rows) {
        let row = top(below(area, (i - first) as u16), 1);
        let under = i == view.at;
        pen.put(row.x, row.y, if under { '→' } else { ' ' }, Ink::Strong);
        let ink = if under { Ink::Strong } else { Ink::Read };
        pen.words(left(right_of(row, 2), wide), name, ink);
        pen.words(right_of(row, wide + 4), stands, ink);
    }
    view.choices.len().saturating_sub(first).min(rows) as u16
}

/// Paragraphs one below the other, each with its source while there is room; tells how many rows they took.
pub(super) fn paragraphs(pen: &mut Pen<'_>, area: Rect, list: &[Paragraph]) -> u16 {
    let words = |p: &Paragraph, source: bool| match (source, p.source.is_empty()) {
        (true, false) => format!("{}{} [{}]", p.lead.word(), p.text, p.source),
        (_, _) => format!("{}{}", p.lead.word(), p.text),
    };
    let tall = |source| list.iter().map(|p| pen.height(&words(p, source), area.width)).sum::<u16>();
    let sources = tall(true) <= area.height;
    let mut used = 0;
    for paragraph in list {
        let ink = match paragraph.lead {
            Lead::Plain => Ink::Read,
            Lead::Wanted | Lead::Caution | Lead::Sign | Lead::Figure => Ink::Strong,
        };
        let here = below(area, used);
        if here.is_empty() {
            break;
        }
        used += pen.lines(here, &words(paragraph, sources), ink);
    }
    used
}

/// The rows all keys take.
fn keys_rows(pen: &Pen<'_>, keys: &[KeyHint], columns: u16) -> u16 {
    let mut rows = 1;
    let mut used = 0;
    for key in keys {
        let need = pen.width(&key.key) + pen.width(&key.does) + 3;
        if used > 0 && used + need > columns {
            rows += 1;
            used = 0;
        }
        used += need;
    }
    rows
}

/// Every key, line after line; where there is too little room the most needed and the last.
fn keys(pen: &mut Pen<'_>, area: Rect, keys: &[KeyHint]) {
    if keys_rows(pen, keys, area.width) > area.height {
        return parts::keys(pen, area, keys);
    }
    let (mut row, mut used) = (0, 0);
    for key in keys {
        let need = pen.width(&key.key) + pen.width(&key.does) + 3;
        if used > 0 && used + need > area.width {
            row += 1;
            used = 0;
        }
        let here = right_of(top(below(area, row), 1), used);
        let wide = pen.words(here, &key.key, Ink::Strong);
        pen.words(right_of(here, wide + 1), &key.does, Ink::Read);
        used += need;
    }
}
