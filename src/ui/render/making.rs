//! One step of a batch being made, readable from where the bath stands: the act in large letters, the time under it.

use super::canvas::{Canvas, skip_columns, skip_rows, take_columns, take_last_rows, take_rows};
use super::page::render_paragraphs;
use super::{bench_parts, digits, letters};
use crate::app::bench_view_model::{TimerKind, TimerViewModel};
use crate::app::page_view_model::MakingViewModel;
use crate::ui::theme::{Ink, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// Draws the step over the whole of a bare buffer.
pub fn render_making(view: &MakingViewModel, theme: &Theme, buf: &mut Buffer) {
    let area = buf.area;
    render_making_in(view, theme, buf, area);
}

/// Draws the step into `area` of a buffer.
pub(super) fn render_making_in(view: &MakingViewModel, theme: &Theme, buf: &mut Buffer, area: Rect) {
    let area = area.intersection(buf.area);
    let mut canvas = Canvas::new(buf, area, theme);
    let margin = u16::from(area.width > 30);
    let area = take_columns(skip_columns(area, margin), area.width.saturating_sub(margin * 2));
    render_head(&mut canvas, take_rows(area, 1), view);
    let mut rest = skip_rows(area, if area.height >= 20 { 2 } else { 1 });
    bench_parts::render_key_hints(&mut canvas, take_last_rows(rest, 1), &view.keys);
    rest = take_rows(rest, rest.height.saturating_sub(1));
    if !view.alert.is_empty() {
        let rows = canvas.wrapped_height(&view.alert, rest.width).min(rest.height / 3).max(1);
        canvas.draw_wrapped(take_last_rows(rest, rows), &view.alert, Ink::Alert);
        rest = take_rows(rest, rest.height.saturating_sub(rows));
    }
    let used = render_act(&mut canvas, take_rows(rest, rest.height / 2), view);
    rest = skip_rows(rest, used + u16::from(rest.height > 12));
    if let Some(shown) = &view.timer {
        let used = render_timer(&mut canvas, take_rows(rest, rest.height / 2), shown);
        rest = skip_rows(rest, used);
        rest = skip_rows(rest, canvas.draw_wrapped(take_rows(rest, 1), &view.timer_note, Ink::Text));
        rest = skip_rows(rest, u16::from(rest.height > 8));
    }
    render_paragraphs(&mut canvas, rest, &view.paragraphs);
}

fn render_head(canvas: &mut Canvas<'_>, area: Rect, view: &MakingViewModel) {
    let clock = canvas.draw_text_right(area, &view.clock, Ink::Strong);
    let rest = take_columns(area, area.width.saturating_sub(clock + 2));
    let used = canvas.draw_text(rest, &view.step_position, Ink::Strong);
    canvas.draw_text(skip_columns(rest, used + 3), &view.title, Ink::Text);
}

/// The act as large as it goes; tells how many rows it took.
fn render_act(canvas: &mut Canvas<'_>, area: Rect, view: &MakingViewModel) -> u16 {
    let words = view.act.to_uppercase();
    let most = if area.height >= 14 { 3 } else { 2 };
    match letters::lay_out(&words, area.width, area.height, area.height, most, canvas.is_ascii()) {
        Some(set) => {
            let mut y = area.y;
            for line in &set.lines {
                letters::draw_letters(canvas, area.x, y, line, set.scale);
                y += letters::rows_at_scale(set.scale) + set.gap();
            }
            set.rows()
        }
        None => {
            canvas.draw_text(take_rows(area, 1), &words, Ink::Strong);
            1
        }
    }
}

/// The time in large digits; one that is over is turned inside out. Tells how many rows it took.
fn render_timer(canvas: &mut Canvas<'_>, area: Rect, shown: &TimerViewModel) -> u16 {
    let (text, _) = digits::format_timer(shown);
    match letters::largest_fitting_scale(&text, area.width, area.height, 4, canvas.is_ascii()) {
        Some(scale) => {
            letters::draw_letters(canvas, area.x, area.y, &text, scale);
            letters::rows_at_scale(scale)
        }
        None => {
            let ink = if shown.kind == TimerKind::Overdue { Ink::Alert } else { Ink::Strong };
            canvas.draw_text(take_rows(area, 1), &text, ink);
            1
        }
    }
}
