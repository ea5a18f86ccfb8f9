//! The map of a check: the panel in its areas, each none, some or much; the round before beside it.

use super::canvas::{Canvas, skip_columns, skip_rows, take_columns, take_last_rows, take_rows};
use super::{bench_parts, panel_outline};
use crate::app::overlay_view_models::MapViewModel;
use crate::ui::theme::{Ink, Theme};
use crate::work::panel::event::Roughness;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// Draws the map over the whole of a bare buffer.
pub fn render_map(view: &MapViewModel, theme: &Theme, buf: &mut Buffer) {
    let area = buf.area;
    render_map_in(view, theme, buf, area);
}

/// Draws the map into `area` of a buffer.
pub(super) fn render_map_in(view: &MapViewModel, theme: &Theme, buf: &mut Buffer, area: Rect) {
    let area = area.intersection(buf.area);
    let mut canvas = Canvas::new(buf, area, theme);
    canvas.draw_text(take_rows(area, 1), &view.title, Ink::Strong);
    let rest = skip_rows(area, if area.height > 12 { 2 } else { 1 });
    if area.width >= WIDE_COLUMNS && area.height >= WIDE_ROWS {
        let side = (area.width / 3).clamp(30, 60);
        let maps = take_columns(rest, area.width.saturating_sub(side + 2));
        render_maps(&mut canvas, maps, view);
        render_side(&mut canvas, skip_columns(rest, area.width - side), view);
    } else {
        render_narrow(&mut canvas, rest, view);
    }
}

/// From so many columns and rows on the words stand beside the map, which has the whole height.
const WIDE_COLUMNS: u16 = 72;
const WIDE_ROWS: u16 = 16;

/// The maps, this round's first.
fn render_maps(canvas: &mut Canvas<'_>, area: Rect, view: &MapViewModel) {
    match &view.previous_areas {
        Some(before) if area.width >= 40 => {
            let half = area.width / 2;
            render_grid(canvas, take_columns(area, half.saturating_sub(1)), "this round", &view.areas, true, view);
            render_grid(canvas, skip_columns(area, half + 1), "the round before", before, false, view);
        }
        Some(_) | None => render_grid(canvas, area, "", &view.areas, true, view),
    }
}

/// What is marked, what is to be done, and every key on a line of its own.
fn render_side(canvas: &mut Canvas<'_>, area: Rect, view: &MapViewModel) {
    canvas.draw_text(take_rows(area, 1), &format_tally(&view.areas), Ink::Strong);
    canvas.draw_text(take_rows(skip_rows(area, 1), 1), &format!("here: {}", low_at_cursor(view)), Ink::Strong);
    let keys = (view.keys.len() as u16).min(area.height.saturating_sub(4));
    let words = skip_rows(take_rows(area, area.height.saturating_sub(keys + 1)), 3);
    canvas.draw_wrapped(words, &view.hint, Ink::Text);
    let list = take_last_rows(area, keys);
    let wide = view.keys.iter().map(|k| canvas.text_width(k.key())).max().unwrap_or(0).min(area.width / 2);
    for (i, key) in view.keys.iter().enumerate().take(usize::from(keys)) {
        let row = take_rows(skip_rows(list, i as u16), 1);
        canvas.draw_text(take_columns(row, wide), key.key(), Ink::Strong);
        canvas.draw_text(skip_columns(row, wide + 2), key.description(), Ink::Text);
    }
}

/// In a small window the words stand below the map.
fn render_narrow(canvas: &mut Canvas<'_>, area: Rect, view: &MapViewModel) {
    let mut rest = area;
    if area.height >= 4 {
        bench_parts::render_key_hints(canvas, take_last_rows(rest, 1), &view.keys);
        rest = take_rows(rest, rest.height - 1);
    }
    if area.height >= 7 {
        let rows = canvas.wrapped_height(&view.hint, rest.width).min(2);
        canvas.draw_wrapped(take_last_rows(rest, rows), &view.hint, Ink::Text);
        rest = take_rows(rest, rest.height.saturating_sub(rows));
        let tally = format!("{}   here: {}", format_tally(&view.areas), low_at_cursor(view));
        canvas.draw_text(take_last_rows(rest, 1), &tally, Ink::Strong);
        rest = take_rows(rest, rest.height.saturating_sub(1));
    }
    render_maps(canvas, rest, view);
}

const fn low_name(low: Roughness) -> &'static str {
    match low {
        Roughness::None => "none",
        Roughness::Some => "some",
        Roughness::Much => "much",
    }
}

fn low_at_cursor(view: &MapViewModel) -> &'static str {
    let (row, column) = view.cursor;
    view.areas.get(row).and_then(|r| r.get(column)).map_or("", |low| low_name(*low))
}

fn format_tally(map: &[Vec<Roughness>]) -> String {
    let count = |low: Roughness| map.iter().flatten().filter(|l| **l == low).count();
    match (count(Roughness::Some), count(Roughness::Much)) {
        (0, 0) => "no area is grey".to_owned(),
        (some, much) => format!("{some} some, {much} much"),
    }
}

/// One map. `is_edited` is the one being filled in: it has the cursor, and the digits that go to its areas.
fn render_grid(
    canvas: &mut Canvas<'_>,
    area: Rect,
    name: &str,
    map: &[Vec<Roughness>],
    is_edited: bool,
    view: &MapViewModel,
) {
    let named = u16::from(!name.is_empty());
    canvas.draw_text(take_rows(area, named), name, Ink::Text);
    let at = panel_outline::fit_frame(view.size_mm, skip_rows(area, named));
    panel_outline::render_edges(canvas, at);
    let inside = Rect {
        x: at.x.saturating_add(1),
        y: at.y.saturating_add(1),
        width: at.width.saturating_sub(2),
        height: at.height.saturating_sub(2),
    };
    for (i, row) in map.iter().enumerate() {
        for (j, low) in row.iter().enumerate() {
            let cell = panel_outline::area_of_map(inside, (i, map.len()), (j, row.len()));
            render_area(canvas, cell, *low, is_edited && view.cursor == (i, j));
            let digit = view.digits.iter().find(|(_, area)| is_edited && *area == (i, j));
            if let Some((digit, _)) = digit.filter(|_| cell.width >= 3 && cell.height >= 2) {
                canvas.draw_char(cell.x, cell.y, char::from(b'0' + digit.min(&9)), Ink::Strong);
            }
        }
    }
}

fn render_area(canvas: &mut Canvas<'_>, cell: Rect, low: Roughness, on: bool) {
    let gap = u16::from(cell.width > 3);
    let body = Rect { width: cell.width.saturating_sub(gap), ..cell };
    match low {
        Roughness::None => {
            if cell.width > 2 {
                canvas.draw_char(cell.x + body.width / 2, cell.y + cell.height.saturating_sub(1) / 2, '·', Ink::Text);
            }
        }
        Roughness::Some => canvas.fill(body, '░', Ink::Text),
        Roughness::Much => canvas.fill(body, '▓', Ink::Text),
    }
    if !on && low != Roughness::None && body.width >= 8 && body.height >= 3 {
        let middle = take_rows(skip_rows(body, (body.height - 1) / 2), 1);
        canvas.draw_text(
            take_columns(skip_columns(middle, (body.width - 6) / 2), 6),
            &format!(" {} ", low_name(low)),
            Ink::Text,
        );
    }
    if on && !cell.is_empty() {
        let middle = take_rows(skip_rows(body, body.height.saturating_sub(1) / 2), 1);
        if body.width >= 6 {
            canvas.draw_text(
                take_columns(skip_columns(middle, (body.width - 6) / 2), 6),
                &format!(" {} ", low_name(low)),
                Ink::Alert,
            );
        } else {
            canvas.draw_text(middle, &low_name(low)[..1], Ink::Alert);
        }
    }
}
