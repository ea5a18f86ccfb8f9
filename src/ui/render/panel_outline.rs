//! The panel in its own proportions, with the strokes of the act running over it and the pencilled arrow at its top.

use super::canvas::Canvas;
use crate::app::bench_view_model::ActViewModel;
use crate::craft::recipe::Direction;
use crate::ui::theme::Ink;
use crate::work::panel::event::Roughness;
use crate::work::panel::stage_kind::StageTexture;
use ratatui::layout::Rect;

/// The largest frame of the panel's proportions that fits, cells being half as wide as high; its inside is never
/// smaller than three columns by two rows, if that much fits.
pub(super) fn fit_frame(size_mm: (f64, f64), most: Rect) -> Rect {
    let (columns, rows) = (most.width.saturating_sub(2), most.height.saturating_sub(2));
    let ratio = size_mm.0 / size_mm.1;
    let ratio = if ratio.is_finite() && ratio > 0.0 { ratio } else { 1.0 };
    let by_height = f64::from(rows) * 2.0 * ratio;
    let (inside_w, inside_h) = if by_height <= f64::from(columns) {
        (by_height, f64::from(rows))
    } else {
        (f64::from(columns), f64::from(columns) / 2.0 / ratio)
    };
    let whole = |x: f64, least: u16, most: u16| (x.round() as u16).max(least).min(most);
    Rect {
        x: most.x,
        y: most.y,
        width: whole(inside_w, 3, columns).saturating_add(2).min(most.width),
        height: whole(inside_h, 2, rows).saturating_add(2).min(most.height),
    }
}

/// Draws the panel into `at`, its frame's own rectangle.
pub(super) fn render_panel_outline(canvas: &mut Canvas<'_>, at: Rect, act: &ActViewModel) {
    if at.width < 3 || at.height < 3 {
        return;
    }
    render_edges(canvas, at);
    let inside = Rect { x: at.x + 1, y: at.y + 1, width: at.width - 2, height: at.height - 2 };
    match (act.kind.row().texture, act.direction) {
        (StageTexture::Dots, _) => render_dots(canvas, inside),
        (StageTexture::Weave, _) => canvas.fill(inside, '┼', Ink::Stroke),
        (StageTexture::Scratches, Some(way)) => render_strokes(canvas, inside, way, ['─', '│']),
        (StageTexture::Strokes | StageTexture::Wash | StageTexture::Powder | StageTexture::Plain, Some(way)) => {
            render_strokes(canvas, inside, way, ['▀', '▊'])
        }
        (StageTexture::Wash, None) => canvas.fill(inside, '░', Ink::Stroke),
        (StageTexture::Powder, None) => render_powder(canvas, inside),
        (StageTexture::Strokes | StageTexture::Scratches | StageTexture::Plain, None) => {}
    }
    if let Some(lows) = &act.lows {
        render_lows(canvas, inside, lows);
    }
}

/// The lows of the last check over the strokes, each where it lies on the board.
fn render_lows(canvas: &mut Canvas<'_>, inside: Rect, lows: &[Vec<Roughness>]) {
    for (i, row) in lows.iter().enumerate() {
        for (j, low) in row.iter().enumerate() {
            let cell = area_of_map(inside, (i, lows.len()), (j, row.len()));
            match low {
                Roughness::None => {}
                Roughness::Some => canvas.fill(cell, '░', Ink::Text),
                Roughness::Much => canvas.fill(cell, '▓', Ink::Text),
            }
        }
    }
}

/// The cells of one area: which of how many rows, which of how many columns.
pub(super) fn area_of_map(inside: Rect, row: (usize, usize), column: (usize, usize)) -> Rect {
    let bounds = |whole: u16, (i, n): (usize, usize)| {
        let mark = |i: usize| u16::try_from(usize::from(whole) * i / n.max(1)).unwrap_or(u16::MAX);
        (mark(i), mark(i + 1))
    };
    let ((x, x_end), (y, y_end)) = (bounds(inside.width, column), bounds(inside.height, row));
    Rect { x: inside.x + x, y: inside.y + y, width: x_end - x, height: y_end - y }
}

pub(super) fn render_edges(canvas: &mut Canvas<'_>, at: Rect) {
    if at.is_empty() {
        return;
    }
    let (right, bottom) = (at.right() - 1, at.bottom() - 1);
    for x in at.x..=right {
        canvas.draw_char(x, at.y, '─', Ink::Text);
        canvas.draw_char(x, bottom, '─', Ink::Text);
    }
    for y in at.y..=bottom {
        canvas.draw_char(at.x, y, '│', Ink::Text);
        canvas.draw_char(right, y, '│', Ink::Text);
    }
    for (x, y, sign) in [(at.x, at.y, '┌'), (right, at.y, '┐'), (at.x, bottom, '└'), (right, bottom, '┘')] {
        canvas.draw_char(x, y, sign, Ink::Text);
    }
    let middle = at.x + at.width / 2;
    canvas.draw_char(middle, at.y, '▲', Ink::Strong);
}

/// Strokes a brush width apart, their ends uneven as a hand leaves them.
fn render_strokes(canvas: &mut Canvas<'_>, inside: Rect, way: Direction, [lying, standing]: [char; 2]) {
    let short = |i: u16, long: u16| if long >= 8 { [1, 0, 1, 0, 0][usize::from(i % 5)] } else { 0 };
    match way {
        Direction::Vertical => {
            let apart = if inside.width >= 7 { 3 } else { 2 };
            let spare = (inside.width.saturating_sub(1) % apart) / 2;
            for (i, x) in (inside.x + spare..inside.right()).step_by(usize::from(apart)).enumerate() {
                let i = i as u16;
                let (from, to) = (short(i, inside.height), short(i + 2, inside.height));
                for y in inside.y + from..inside.bottom() - to {
                    canvas.draw_char(x, y, standing, Ink::Stroke);
                }
            }
        }
        Direction::Horizontal => {
            for (i, y) in (inside.y..inside.bottom()).enumerate() {
                let i = i as u16;
                let (from, to) = (2 * short(i, inside.width / 2), 2 * short(i + 2, inside.width / 2));
                for x in inside.x + from..inside.right() - to {
                    canvas.draw_char(x, y, lying, Ink::Stroke);
                }
            }
        }
    }
}

fn render_dots(canvas: &mut Canvas<'_>, inside: Rect) {
    for (i, y) in (inside.y..inside.bottom()).enumerate() {
        for x in (inside.x + (i as u16 % 2)..inside.right()).step_by(2) {
            canvas.draw_char(x, y, if x.is_multiple_of(3) { '▝' } else { '▖' }, Ink::Stroke);
        }
    }
}

/// Dark powder lying in a few lows.
fn render_powder(canvas: &mut Canvas<'_>, inside: Rect) {
    for (i, y) in (inside.y..inside.bottom()).enumerate() {
        for (j, x) in (inside.x..inside.right()).enumerate() {
            if (i * 7 + j * 3) % 11 < 3 {
                canvas.draw_char(x, y, '░', Ink::Stroke);
            }
        }
    }
}
