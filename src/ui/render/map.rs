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
    let mut rest = skip_rows(area, if area.height > 12 { 2 } else { 1 });
    if area.height >= 5 {
        bench_parts::render_key_hints(&mut canvas, take_last_rows(rest, 1), &view.keys);
        rest = take_rows(rest, rest.height - 1);
    }
    if area.height >= 8 {
        let rows = canvas.wrapped_height(&view.hint, rest.width).min(2);
        canvas.draw_wrapped(take_last_rows(rest, rows), &view.hint, Ink::Text);
        rest = take_rows(rest, rest.height.saturating_sub(rows));
        canvas.draw_text(
            take_last_rows(rest, 1),
            &format!("{}   here: {}", format_tally(&view.areas), low_at_cursor(view)),
            Ink::Strong,
        );
        rest = take_rows(rest, rest.height.saturating_sub(1));
    }
    match &view.previous_areas {
        Some(before) if area.width >= 40 => {
            let half = rest.width * 3 / 5;
            render_grid(
                &mut canvas,
                take_columns(rest, half.saturating_sub(2)),
                "this round",
                &view.areas,
                Some(view.cursor),
                view,
            );
            render_grid(&mut canvas, skip_columns(rest, half), "the round before", before, None, view);
        }
        Some(_) | None => render_grid(&mut canvas, rest, "", &view.areas, Some(view.cursor), view),
    }
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

fn render_grid(
    canvas: &mut Canvas<'_>,
    area: Rect,
    name: &str,
    map: &[Vec<Roughness>],
    cursor: Option<(usize, usize)>,
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
        let (y, y_end) = part_bounds(inside.height, i, map.len());
        for (j, low) in row.iter().enumerate() {
            let (x, x_end) = part_bounds(inside.width, j, row.len());
            let cell = Rect { x: inside.x + x, y: inside.y + y, width: x_end - x, height: y_end - y };
            render_area(canvas, cell, *low, cursor == Some((i, j)));
        }
    }
}

/// From where to where the `i`th of `n` equal parts of `whole` reaches.
fn part_bounds(whole: u16, i: usize, n: usize) -> (u16, u16) {
    let mark = |i: usize| u16::try_from(usize::from(whole) * i / n.max(1)).unwrap_or(u16::MAX);
    (mark(i), mark(i + 1))
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
