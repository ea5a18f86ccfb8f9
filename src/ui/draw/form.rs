//! A form: what is asked, what stands there, and what is wrong with it.

use super::parts;
use super::pen::{Pen, below, bottom, left, right_of, top};
use crate::app::sheets::{FormField, FormView};
use crate::text;
use crate::ui::theme::{Ink, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// Draws the form over the whole of a bare buffer.
pub fn form(view: &FormView, theme: &Theme, buf: &mut Buffer) {
    let area = buf.area;
    on(view, theme, buf, area);
}

/// Draws the form into `area` of a buffer.
pub(super) fn on(view: &FormView, theme: &Theme, buf: &mut Buffer, area: Rect) {
    let area = area.intersection(buf.area);
    let mut pen = Pen::new(buf, area, theme);
    let margin = u16::from(area.width > 30) * 2;
    let area = left(right_of(area, margin), area.width.saturating_sub(margin * 2));
    pen.words(top(area, 1), &view.title, Ink::Strong);
    let mut rest = below(area, if area.height > view.fields.len() as u16 + 6 { 2 } else { 1 });
    parts::keys(&mut pen, bottom(rest, 1), &view.keys);
    rest = top(rest, rest.height.saturating_sub(1));
    if !view.problem.is_empty() {
        let rows = pen.height(&view.problem, rest.width).min(rest.height / 3);
        pen.lines(bottom(rest, rows), &view.problem, Ink::Loud);
        rest = top(rest, rest.height.saturating_sub(rows));
    }
    let wide = view.fields.iter().map(|f| pen.width(&f.label)).max().unwrap_or(0).min(rest.width * 2 / 5);
    for (i, field) in from(view, rest.height).iter() {
        let used = one(&mut pen, rest, wide, field, *i == view.focus);
        rest = below(rest, used);
    }
}

/// The fields from the first that lets the one in focus, with its help, stay in so many rows.
fn from(view: &FormView, rows: u16) -> Vec<(usize, &FormField)> {
    let spare = usize::from(rows).saturating_sub(2).max(1);
    let first = (view.focus + 1).saturating_sub(spare);
    view.fields.iter().enumerate().skip(first).collect()
}

fn one(pen: &mut Pen<'_>, area: Rect, wide: u16, field: &FormField, focus: bool) -> u16 {
    let row = top(area, 1);
    pen.put(row.x, row.y, if focus && !row.is_empty() { '→' } else { ' ' }, Ink::Strong);
    let row = right_of(row, 2);
    pen.words(left(row, wide), &field.label, if focus { Ink::Strong } else { Ink::Read });
    let value = right_of(row, wide + 2);
    if focus {
        typed(pen, value, &field.value, field.cursor)
    } else {
        _ = pen.words(value, &field.value, Ink::Read)
    }
    let mut used = 1;
    let under = |used| below(right_of(area, wide + 4), used);
    if !field.problem.is_empty() {
        used += pen.lines(top(under(used), 2), &format!("! {}", field.problem), Ink::Strong);
    }
    if focus && !field.help.is_empty() {
        used += pen.lines(top(under(used), 2), &field.help, Ink::Read);
    }
    used
}

/// The value with the place of the next character turned inside out; its end stays in sight.
pub(super) fn typed(pen: &mut Pen<'_>, area: Rect, value: &str, cursor: usize) {
    let before: String = value.chars().take(cursor).collect();
    let under: String = value.chars().skip(cursor).take(1).collect();
    let after: String = value.chars().skip(cursor + 1).collect();
    let before = text::clean(&before);
    let room = area.width.saturating_sub(2);
    let mut shown = before.as_str();
    while pen.width(shown) > room {
        let mut rest = shown.chars();
        rest.next();
        shown = rest.as_str();
    }
    let used = pen.words(area, shown, Ink::Strong);
    let under = if under.is_empty() { " " } else { under.as_str() };
    let cursor = pen.words(left(right_of(area, used), 2), under, Ink::Loud);
    pen.words(right_of(area, used + cursor), &after, Ink::Strong);
}
