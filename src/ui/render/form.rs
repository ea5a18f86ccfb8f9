//! A form: what is asked, what stands there, and what is wrong with it.

use super::canvas::{Canvas, skip_columns, skip_rows, take_columns, take_last_rows, take_rows};
use super::{bench_parts, panel_outline};
use crate::app::overlay_view_models::{FormAside, FormField, FormViewModel};
use crate::text;
use crate::ui::theme::{Ink, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// Draws the form over the whole of a bare buffer.
pub fn render_form(view: &FormViewModel, theme: &Theme, buf: &mut Buffer) {
    let area = buf.area;
    render_form_in(view, theme, buf, area);
}

/// Draws the form into `area` of a buffer.
pub(super) fn render_form_in(view: &FormViewModel, theme: &Theme, buf: &mut Buffer, area: Rect) {
    let area = area.intersection(buf.area);
    let mut canvas = Canvas::new(buf, area, theme);
    let margin = u16::from(area.width > 30) * 2;
    let area = take_columns(skip_columns(area, margin), area.width.saturating_sub(margin * 2));
    canvas.draw_text(take_rows(area, 1), &view.title, Ink::Strong);
    let mut rest = skip_rows(area, if area.height > view.fields.len() as u16 + 6 { 2 } else { 1 });
    bench_parts::render_key_hints(&mut canvas, take_last_rows(rest, 1), &view.keys);
    rest = take_rows(rest, rest.height.saturating_sub(1));
    if !view.alert.is_empty() {
        let rows = canvas.wrapped_height(&view.alert, rest.width).min(rest.height / 3);
        canvas.draw_wrapped(take_last_rows(rest, rows), &view.alert, Ink::Alert);
        rest = take_rows(rest, rest.height.saturating_sub(rows));
    }
    if let Some(aside) =
        view.aside.as_ref().filter(|_| area.width >= ASIDE_FROM_COLUMNS && rest.height >= ASIDE_FROM_ROWS)
    {
        let columns = (area.width * 2 / 5).min(ASIDE_COLUMNS_MAX);
        render_aside(&mut canvas, skip_columns(rest, rest.width - columns), aside);
        rest = take_columns(rest, rest.width - columns - 2);
    }
    let wide = view.fields.iter().map(|f| canvas.text_width(&f.label)).max().unwrap_or(0).min(rest.width * 2 / 5);
    for (i, field) in visible_fields(view, rest.height).iter() {
        let used = render_field(&mut canvas, rest, wide, field, *i == view.focus);
        rest = skip_rows(rest, used);
    }
}

/// From so many columns and rows on the board is drawn beside the fields.
const ASIDE_FROM_COLUMNS: u16 = 72;
const ASIDE_FROM_ROWS: u16 = 14;
/// The board and the recipe's words need no more.
const ASIDE_COLUMNS_MAX: u16 = 44;

/// The board in its proportions, and below it what is planned for it.
fn render_aside(canvas: &mut Canvas<'_>, area: Rect, aside: &FormAside) {
    let words: u16 = aside.lines.iter().map(|line| canvas.wrapped_height(line, area.width)).sum();
    let words = words.min(area.height);
    let board = take_rows(area, area.height - words);
    let mut used = 0;
    if let Some(size_mm) = aside.size_mm.filter(|_| board.height >= 4) {
        let at = panel_outline::fit_frame(size_mm, board);
        panel_outline::render_edges(canvas, at);
        used = at.height;
    }
    let mut rest = skip_rows(area, used);
    for (i, line) in aside.lines.iter().enumerate() {
        let ink = if i == 0 { Ink::Strong } else { Ink::Text };
        let rows = canvas.draw_wrapped(rest, line, ink);
        rest = skip_rows(rest, rows);
    }
}

/// The fields from the first that lets the one in focus, with its help, stay in so many rows.
fn visible_fields(view: &FormViewModel, rows: u16) -> Vec<(usize, &FormField)> {
    let spare = usize::from(rows).saturating_sub(2).max(1);
    let first = (view.focus + 1).saturating_sub(spare);
    view.fields.iter().enumerate().skip(first).collect()
}

fn render_field(canvas: &mut Canvas<'_>, area: Rect, wide: u16, field: &FormField, focus: bool) -> u16 {
    let row = take_rows(area, 1);
    canvas.draw_char(row.x, row.y, if focus && !row.is_empty() { '→' } else { ' ' }, Ink::Strong);
    let row = skip_columns(row, 2);
    canvas.draw_text(take_columns(row, wide), &field.label, if focus { Ink::Strong } else { Ink::Text });
    let value = skip_columns(row, wide + 2);
    if focus {
        render_text_input(canvas, value, &field.value, field.cursor)
    } else {
        _ = canvas.draw_text(value, &field.value, Ink::Text)
    }
    let mut used = 1;
    let under = |used| skip_rows(skip_columns(area, wide + 4), used);
    if !field.error.is_empty() {
        // What is wrong is said in full, from the left edge where it is long.
        let words = format!("! {}", field.error);
        let fits = canvas.wrapped_height(&words, area.width.saturating_sub(wide + 4)) <= 2;
        let place = if fits { under(used) } else { skip_rows(skip_columns(area, 2), used) };
        used += canvas.draw_wrapped(place, &words, Ink::Strong);
    }
    if focus && !field.help.is_empty() {
        used += canvas.draw_wrapped(take_rows(under(used), 2), &field.help, Ink::Text);
    }
    used
}

/// The value with the place of the next character turned inside out; its end stays in sight.
pub(super) fn render_text_input(canvas: &mut Canvas<'_>, area: Rect, value: &str, cursor: usize) {
    let before: String = value.chars().take(cursor).collect();
    let under: String = value.chars().skip(cursor).take(1).collect();
    let after: String = value.chars().skip(cursor + 1).collect();
    let before = text::sanitize(&before);
    let room = area.width.saturating_sub(2);
    let mut shown = before.as_str();
    while canvas.text_width(shown) > room {
        let mut rest = shown.chars();
        rest.next();
        shown = rest.as_str();
    }
    let used = canvas.draw_text(area, shown, Ink::Strong);
    let under = if under.is_empty() { " " } else { under.as_str() };
    let cursor = canvas.draw_text(take_columns(skip_columns(area, used), 2), under, Ink::Alert);
    canvas.draw_text(skip_columns(area, used + cursor), &after, Ink::Strong);
}
