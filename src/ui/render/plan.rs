//! The plan: boards down, time across, beneath it when hands are busy. What lies on a board is hatched as on the board,
//! what is to come as its strokes, thin.

use super::bench_parts;
use super::canvas::{Canvas, skip_columns, skip_rows, take_columns, take_last_rows, take_rows};
use crate::app::plan_view_model::{PlanBarKind, PlanRow, PlanViewModel, TimePart};
use crate::ui::hatch::Hatch;
use crate::ui::theme::{Ink, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// Columns of a board's name, and of how far it is from the plan.
const NAME_COLUMNS: u16 = 10;
const DRIFT_COLUMNS: u16 = 17;
/// Narrower than this, no drift stands beside a board.
const WIDTH_FOR_DRIFT: u16 = 70;

/// Draws the plan over the whole of a bare buffer.
pub fn render_plan(view: &PlanViewModel, theme: &Theme, buf: &mut Buffer) {
    let area = buf.area;
    let mut canvas = Canvas::new(buf, area, theme);
    let margin = u16::from(area.width > 30) * 2;
    let area = take_columns(skip_columns(area, margin), area.width.saturating_sub(margin * 2));
    canvas.draw_text(take_rows(area, 1), &view.title, Ink::Strong);
    let mut rest = skip_rows(area, if area.height > 12 { 2 } else { 1 });
    bench_parts::render_key_hints(&mut canvas, take_last_rows(rest, 1), &view.keys);
    rest = take_rows(rest, rest.height.saturating_sub(1));
    if !view.alert.is_empty() {
        let rows = canvas.wrapped_height(&view.alert, rest.width).min(rest.height / 3).max(1);
        canvas.draw_wrapped(take_last_rows(rest, rows), &view.alert, Ink::Alert);
        rest = take_rows(rest, rest.height.saturating_sub(rows));
    }
    for note in view.notes.iter().rev() {
        let rows = canvas.wrapped_height(note, rest.width).min(rest.height / 3).max(1);
        canvas.draw_wrapped(take_last_rows(rest, rows), note, Ink::Text);
        rest = take_rows(rest, rest.height.saturating_sub(rows));
    }
    if view.ticks.is_empty() || rest.height < 4 {
        return;
    }
    rest = take_rows(rest, rest.height.saturating_sub(1));
    let has_drift = area.width >= WIDTH_FOR_DRIFT && view.rows.iter().any(|row| !row.drift.is_empty());
    let drift = if has_drift { DRIFT_COLUMNS } else { 0 };
    let across = take_columns(skip_columns(rest, NAME_COLUMNS), rest.width.saturating_sub(NAME_COLUMNS + drift));
    render_ticks(&mut canvas, take_rows(across, 1), &view.ticks);
    let boards = take_rows(skip_rows(rest, 1), rest.height.saturating_sub(3));
    let each = if view.rows.len() * 2 <= usize::from(boards.height) { 2 } else { 1 };
    for (i, row) in view.rows.iter().take(usize::from(boards.height / each)).enumerate() {
        let line = take_rows(skip_rows(boards, i as u16 * each), 1);
        canvas.draw_text(take_columns(line, NAME_COLUMNS - 1), &row.name, Ink::Strong);
        let strip = Rect { y: line.y, height: 1, ..across };
        render_bars(&mut canvas, strip, row);
        if has_drift {
            let ink = if row.is_late { Ink::Overdue } else { Ink::Text };
            canvas.draw_text_right(Rect { x: strip.right() + 1, width: drift - 1, ..line }, &row.drift, ink);
        }
    }
    let used = (view.rows.len() as u16 * each).min(boards.height);
    let hidden = view.rows.len().saturating_sub(usize::from(boards.height / each));
    let foot = skip_rows(rest, 1 + used);
    render_load(&mut canvas, foot, across, view);
    if hidden > 0 {
        canvas.draw_text(take_rows(skip_rows(foot, 1), 1), &format!("and {hidden} boards more"), Ink::Text);
    }
}

fn column(strip: Rect, part: f64) -> u16 {
    strip.x + (part.clamp(0.0, 1.0) * f64::from(strip.width)).floor() as u16
}

/// The columns of a part of the time; one at least.
fn columns(strip: Rect, (from, to): TimePart) -> std::ops::Range<u16> {
    let first = column(strip, from).min(strip.right().saturating_sub(1));
    first..column(strip, to).clamp(first + 1, strip.right().max(first + 1))
}

/// As many of the ticks as have room.
fn render_ticks(canvas: &mut Canvas<'_>, strip: Rect, ticks: &[(f64, String)]) {
    let mut free = strip.x;
    for (part, words) in ticks {
        let x = column(strip, *part);
        if x >= free && x + canvas.text_width(words) <= strip.right() {
            canvas.draw_text(Rect { x, width: strip.right() - x, ..strip }, words, Ink::Text);
            free = x + canvas.text_width(words) + 1;
        }
    }
}

fn render_bars(canvas: &mut Canvas<'_>, strip: Rect, row: &PlanRow) {
    for (part, PlanBarKind { kind, direction, is_done }) in &row.bars {
        let hatch = Hatch::from_kind(*kind, *direction);
        for x in columns(strip, *part) {
            let (sign, ink) = if *is_done { (hatch.bold(), Ink::Laid) } else { (bar_sign(hatch), Ink::Coming) };
            canvas.draw_char(x, strip.y, sign, ink);
        }
    }
}

/// A bar that is to come: its strokes, thin, and never nothing.
const fn bar_sign(hatch: Hatch) -> char {
    match hatch {
        Hatch::Horizontal => '─',
        Hatch::Vertical => '│',
        Hatch::Dots => '▖',
        Hatch::Wash => '░',
        Hatch::Weave => '┼',
        Hatch::Solid => '▁',
    }
}

/// When hands are busy: blocks along the time, or the hours of each day.
fn render_load(canvas: &mut Canvas<'_>, foot: Rect, across: Rect, view: &PlanViewModel) {
    let strip = Rect { y: foot.y, height: 1, ..across };
    let words = if view.day_minutes.is_empty() { "hands" } else { "hours" };
    canvas.draw_text(take_columns(take_rows(foot, 1), NAME_COLUMNS - 1), words, Ink::Text);
    for part in &view.load {
        for x in columns(strip, *part) {
            canvas.draw_char(x, strip.y, '█', Ink::Stroke);
        }
    }
    for (part, words) in &view.day_minutes {
        let x = column(strip, *part);
        canvas.draw_text(Rect { x, width: strip.right().saturating_sub(x), ..strip }, words, Ink::Text);
    }
    if let Some(now) = view.now.filter(|_| foot.height > 1) {
        let x = column(strip, now).min(strip.right().saturating_sub(4));
        canvas.draw_text(Rect { x, y: foot.y + 1, width: strip.right() - x, height: 1 }, "↑now", Ink::Strong);
    }
}
