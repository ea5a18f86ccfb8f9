//! One step of a batch being made, readable from where the bath stands: the act in large letters, the time under it.

use super::canvas::{Canvas, skip_columns, skip_rows, take_columns, take_last_rows, take_rows};
use super::page::{count_paragraph_rows, render_paragraphs};
use super::{bench_parts, digits, letters};
use crate::app::bench_view_model::{TimerKind, TimerViewModel};
use crate::app::page_view_model::{AmountViewModel, MakingViewModel};
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
    let words = count_paragraph_rows(&canvas, &view.paragraphs, rest.width).min(rest.height * 2 / 3);
    let used = render_amounts(&mut canvas, take_rows(rest, rest.height.saturating_sub(words)), &view.amounts);
    rest = skip_rows(rest, used);
    render_paragraphs(&mut canvas, rest, &view.paragraphs, 0);
}

/// How much, as large as it goes: one below the other with its name beside it, else side by side, else in plain words.
/// Tells how many rows it took.
fn render_amounts(canvas: &mut Canvas<'_>, area: Rect, amounts: &[AmountViewModel]) -> u16 {
    let Ok(count) = u16::try_from(amounts.len()) else { return 0 };
    if count == 0 || area.is_empty() {
        return 0;
    }
    let each = (area.height + 1) / count;
    let words = amounts.iter().map(|a| canvas.text_width(&a.of)).max().unwrap_or(0).saturating_add(2);
    let beside = area.width.saturating_sub(words);
    let stacked = fitting_scale(amounts, beside, each.saturating_sub(1), canvas.is_ascii());
    let column = area.width / count;
    let in_row = fitting_scale(amounts, column.saturating_sub(2), area.height.saturating_sub(2), canvas.is_ascii());
    match (stacked, in_row) {
        (Some(scale), in_row) if in_row.is_none_or(|other| scale >= other) => {
            let tall = letters::rows_at_scale(scale) + 1;
            for (i, amount) in (0..count).zip(amounts) {
                let row = skip_rows(area, i * tall);
                letters::draw_letters(canvas, row.x, row.y, &amount.amount, scale);
                let used = letters::width_at_scale(&amount.amount, scale).unwrap_or(0);
                let name = skip_columns(skip_rows(row, tall.saturating_sub(2)), used + 2);
                canvas.draw_text(name, &amount.of, Ink::Strong);
            }
            count * tall
        }
        (_, Some(scale)) => {
            for (i, amount) in (0..count).zip(amounts) {
                let here = skip_columns(area, i * column);
                letters::draw_letters(canvas, here.x, here.y, &amount.amount, scale);
                let under = skip_rows(take_columns(here, column.saturating_sub(2)), letters::rows_at_scale(scale));
                canvas.draw_text(under, &amount.of, Ink::Strong);
            }
            letters::rows_at_scale(scale) + 2
        }
        (_, None) => {
            for (i, amount) in (0..count).zip(amounts) {
                let row = take_rows(skip_rows(area, i), 1);
                canvas.draw_text(row, &format!("{} {}", amount.amount, amount.of), Ink::Strong);
            }
            count.min(area.height)
        }
    }
}

/// The largest scale at which every amount fits.
fn fitting_scale(amounts: &[AmountViewModel], columns: u16, rows: u16, ascii: bool) -> Option<u16> {
    let fits = |a: &AmountViewModel| letters::largest_fitting_scale(&a.amount, columns, rows, 3, ascii);
    amounts.iter().map(fits).min().flatten()
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
