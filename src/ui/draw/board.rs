//! The panel in its own proportions, with the strokes of the act running over it and the pencilled arrow at its top.

use super::pen::Pen;
use crate::app::scene::Act;
use crate::craft::recipe::Direction;
use crate::ui::theme::Ink;
use crate::work::panel::event::Kind;
use ratatui::layout::Rect;

/// The largest frame of the panel's proportions that fits, cells being half as wide as high; its inside is never
/// smaller than three columns by two rows, if that much fits.
pub(super) fn frame(size_mm: (f64, f64), most: Rect) -> Rect {
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
pub(super) fn draw(pen: &mut Pen<'_>, at: Rect, act: &Act) {
    if at.width < 3 || at.height < 3 {
        return;
    }
    edges(pen, at);
    let inside = Rect { x: at.x + 1, y: at.y + 1, width: at.width - 2, height: at.height - 2 };
    match (act.kind, act.direction) {
        (Kind::Stipple, _) => dots(pen, inside),
        (Kind::Cloth, _) => pen.fill(inside, '┼', Ink::Stroke),
        (Kind::Scrape | Kind::Sand, Some(way)) => strokes(pen, inside, way, ['─', '│']),
        (_, Some(way)) => strokes(pen, inside, way, ['▀', '▊']),
        (Kind::Size | Kind::Seal, None) => pen.fill(inside, '░', Ink::Stroke),
        (Kind::Check, None) => powder(pen, inside),
        (
            Kind::Prepare | Kind::Cure | Kind::Coat | Kind::Dry | Kind::Scrape | Kind::Polish | Kind::Rest | Kind::Sand,
            None,
        ) => {}
    }
}

pub(super) fn edges(pen: &mut Pen<'_>, at: Rect) {
    if at.is_empty() {
        return;
    }
    let (right, bottom) = (at.right() - 1, at.bottom() - 1);
    for x in at.x..=right {
        pen.put(x, at.y, '─', Ink::Read);
        pen.put(x, bottom, '─', Ink::Read);
    }
    for y in at.y..=bottom {
        pen.put(at.x, y, '│', Ink::Read);
        pen.put(right, y, '│', Ink::Read);
    }
    for (x, y, sign) in [(at.x, at.y, '┌'), (right, at.y, '┐'), (at.x, bottom, '└'), (right, bottom, '┘')] {
        pen.put(x, y, sign, Ink::Read);
    }
    let middle = at.x + at.width / 2;
    pen.put(middle, at.y, '▲', Ink::Strong);
}

/// Strokes a brush width apart, their ends uneven as a hand leaves them.
fn strokes(pen: &mut Pen<'_>, inside: Rect, way: Direction, [lying, standing]: [char; 2]) {
    let short = |i: u16, long: u16| if long >= 8 { [1, 0, 1, 0, 0][usize::from(i % 5)] } else { 0 };
    match way {
        Direction::Vertical => {
            let apart = if inside.width >= 7 { 3 } else { 2 };
            let spare = (inside.width.saturating_sub(1) % apart) / 2;
            for (i, x) in (inside.x + spare..inside.right()).step_by(usize::from(apart)).enumerate() {
                let i = i as u16;
                let (from, to) = (short(i, inside.height), short(i + 2, inside.height));
                for y in inside.y + from..inside.bottom() - to {
                    pen.put(x, y, standing, Ink::Stroke);
                }
            }
        }
        Direction::Horizontal => {
            for (i, y) in (inside.y..inside.bottom()).enumerate() {
                let i = i as u16;
                let (from, to) = (2 * short(i, inside.width / 2), 2 * short(i + 2, inside.width / 2));
                for x in inside.x + from..inside.right() - to {
                    pen.put(x, y, lying, Ink::Stroke);
                }
            }
        }
    }
}

fn dots(pen: &mut Pen<'_>, inside: Rect) {
    for (i, y) in (inside.y..inside.bottom()).enumerate() {
        for x in (inside.x + (i as u16 % 2)..inside.right()).step_by(2) {
            pen.put(x, y, if x.is_multiple_of(3) { '▝' } else { '▖' }, Ink::Stroke);
        }
    }
}

/// Dark powder lying in a few lows.
fn powder(pen: &mut Pen<'_>, inside: Rect) {
    for (i, y) in (inside.y..inside.bottom()).enumerate() {
        for (j, x) in (inside.x..inside.right()).enumerate() {
            if (i * 7 + j * 3) % 11 < 3 {
                pen.put(x, y, '░', Ink::Stroke);
            }
        }
    }
}
