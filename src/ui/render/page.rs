//! A page: perhaps a choice above, what is to be read below, every key at the lower edge.

use super::bench_parts;
use super::canvas::{Canvas, skip_columns, skip_rows, take_columns, take_last_rows, take_rows};
use crate::app::keymap::KeyHint;
use crate::app::page_view_model::{PageViewModel, Paragraph, ParagraphKind};
use crate::ui::theme::{Ink, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// Draws the page over the whole of a bare buffer.
pub fn render_page(view: &PageViewModel, theme: &Theme, buf: &mut Buffer) {
    let area = buf.area;
    render_page_in(view, theme, buf, area);
}

/// Draws the page into `area` of a buffer.
pub(super) fn render_page_in(view: &PageViewModel, theme: &Theme, buf: &mut Buffer, area: Rect) {
    let area = area.intersection(buf.area);
    let mut canvas = Canvas::new(buf, area, theme);
    let margin = u16::from(area.width > 30) * 2;
    let area = take_columns(skip_columns(area, margin), area.width.saturating_sub(margin * 2));
    canvas.draw_text(take_rows(area, 1), &view.title, Ink::Strong);
    let mut rest = skip_rows(area, if area.height > 12 { 2 } else { 1 });
    let rows = count_key_rows(&canvas, &view.keys, rest.width).min(rest.height / 3).max(1);
    render_all_keys(&mut canvas, take_last_rows(rest, rows), &view.keys);
    rest = take_rows(rest, rest.height.saturating_sub(rows));
    if !view.alert.is_empty() {
        let rows = canvas.wrapped_height(&view.alert, rest.width).min(rest.height / 3).max(1);
        canvas.draw_wrapped(take_last_rows(rest, rows), &view.alert, Ink::Alert);
        rest = take_rows(rest, rest.height.saturating_sub(rows));
    }
    let used = render_choices(
        &mut canvas,
        take_rows(rest, if view.paragraphs.is_empty() { rest.height } else { rest.height / 2 }),
        view,
    );
    rest = skip_rows(rest, used + u16::from(used > 0 && rest.height > 10));
    render_paragraphs(&mut canvas, rest, &view.paragraphs, view.offset);
}

/// The choices around the cursor; tells how many rows they took.
fn render_choices(canvas: &mut Canvas<'_>, area: Rect, view: &PageViewModel) -> u16 {
    let rows = usize::from(area.height);
    let first = (view.cursor + 1).saturating_sub(rows);
    let wide = view.choices.iter().map(|(name, _)| canvas.text_width(name)).max().unwrap_or(0).min(area.width / 3);
    for (i, (name, stands)) in view.choices.iter().enumerate().skip(first).take(rows) {
        let row = take_rows(skip_rows(area, (i - first) as u16), 1);
        let under = i == view.cursor;
        canvas.draw_char(row.x, row.y, if under { '→' } else { ' ' }, Ink::Strong);
        let ink = if under { Ink::Strong } else { Ink::Text };
        canvas.draw_text(take_columns(skip_columns(row, 2), wide), name, ink);
        canvas.draw_text(skip_columns(row, wide + 4), stands, ink);
    }
    view.choices.len().saturating_sub(first).min(rows) as u16
}

/// Paragraphs one below the other, each with its source, from the line `offset` on; an arrow says that there is more above
/// or below. Tells how many rows they took.
pub(super) fn render_paragraphs(canvas: &mut Canvas<'_>, area: Rect, list: &[Paragraph], offset: usize) -> u16 {
    if area.is_empty() {
        return 0;
    }
    let lines: Vec<(String, Ink)> =
        list.iter().flat_map(|paragraph| wrap_paragraph(canvas, paragraph, area.width)).collect();
    let rows = usize::from(area.height);
    let offset = offset.min(lines.len().saturating_sub(rows));
    let hidden_below = lines.len().saturating_sub(offset + rows);
    let last = area.height - 1;
    for (row, (line, ink)) in (0..area.height).zip(lines.iter().skip(offset)) {
        let here = take_rows(skip_rows(area, row), 1);
        match (row, offset > 0, hidden_below > 0) {
            (0, true, _) => _ = canvas.draw_text(here, &format!("↑ {} above", offset + 1), Ink::Text),
            (row, _, true) if row == last => {
                canvas.draw_text(here, &format!("↓ {} below", hidden_below + 1), Ink::Text);
            }
            (_, _, _) => _ = canvas.draw_text(here, line, *ink),
        }
    }
    lines.len().min(rows) as u16
}

/// The rows all paragraphs take.
pub(super) fn count_paragraph_rows(canvas: &Canvas<'_>, list: &[Paragraph], columns: u16) -> u16 {
    let rows: usize = list.iter().map(|paragraph| wrap_paragraph(canvas, paragraph, columns).len()).sum();
    u16::try_from(rows).unwrap_or(u16::MAX)
}

/// The lines of a paragraph, its source in brackets at the end.
fn wrap_paragraph(canvas: &Canvas<'_>, paragraph: &Paragraph, columns: u16) -> Vec<(String, Ink)> {
    let ink = match paragraph.kind {
        ParagraphKind::Plain => Ink::Text,
        ParagraphKind::Wanted | ParagraphKind::Caution | ParagraphKind::Sign | ParagraphKind::Figure => Ink::Strong,
    };
    let source = if paragraph.source.is_empty() { String::new() } else { format!(" [{}]", paragraph.source) };
    let words = format!("{}{}{source}", paragraph.kind.prefix(), paragraph.text);
    canvas.wrap_text(&words, columns).into_iter().map(|line| (line, ink)).collect()
}

/// The rows all keys take.
fn count_key_rows(canvas: &Canvas<'_>, keys: &[KeyHint], columns: u16) -> u16 {
    let mut rows = 1;
    let mut used = 0;
    for key in keys {
        let need = canvas.text_width(key.key()) + canvas.text_width(key.description()) + 3;
        if used > 0 && used + need > columns {
            rows += 1;
            used = 0;
        }
        used += need;
    }
    rows
}

/// Every key, line after line; where there is too little room the most needed and the last.
fn render_all_keys(canvas: &mut Canvas<'_>, area: Rect, keys: &[KeyHint]) {
    if count_key_rows(canvas, keys, area.width) > area.height {
        return bench_parts::render_key_hints(canvas, area, keys);
    }
    let (mut row, mut used) = (0, 0);
    for key in keys {
        let need = canvas.text_width(key.key()) + canvas.text_width(key.description()) + 3;
        if used > 0 && used + need > area.width {
            row += 1;
            used = 0;
        }
        let here = skip_columns(take_rows(skip_rows(area, row), 1), used);
        let wide = canvas.draw_text(here, key.key(), Ink::Strong);
        canvas.draw_text(skip_columns(here, wide + 1), key.description(), Ink::Text);
        used += need;
    }
}
