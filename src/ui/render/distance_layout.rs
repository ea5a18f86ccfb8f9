//! The bench for eyes across the room: act, panel, digits, and one line for each other panel.

use super::canvas::{Canvas, skip_columns, skip_rows, take_columns, take_last_rows, take_rows};
use super::{bench_parts, digits, letters, panel_outline};
use crate::app::bench_view_model::{BenchViewModel, RackLine};
use crate::ui::theme::Ink;
use ratatui::layout::Rect;

/// Draws it.
pub(super) fn render_distance_layout(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) {
    let (act, _) = bench_parts::render_act(canvas, take_rows(area, (area.height / 4).max(3)), bench, 8);
    let mut rest = skip_rows(area, act);
    bench_parts::render_bar(canvas, rest, bench);
    rest = skip_rows(rest, 1);
    let last = render_urgent_text(canvas, take_last_rows(rest, 1), bench);
    rest = take_rows(rest, rest.height.saturating_sub(last));
    let rack = render_large_rack(canvas, rest, &bench.rack);
    rest = take_rows(rest, rest.height.saturating_sub(rack));
    let wide = if bench.timer.is_some() { rest.width * 3 / 10 } else { rest.width };
    let frame = panel_outline::fit_frame(bench.header.size_mm, take_columns(rest, wide));
    panel_outline::render_panel_outline(canvas, frame, &bench.act);
    let at = skip_columns(rest, frame.width.max(wide / 2) + 2);
    let used = bench_parts::render_digits(canvas, at, bench, true);
    if used < digits::MIN_ROWS {
        bench_parts::render_under_digits(canvas, skip_rows(at, used), bench, "");
    }
}

/// What wants an answer, or went wrong, is never left out; tells how many rows it took.
fn render_urgent_text(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) -> u16 {
    match bench_parts::find_urgent_text(bench) {
        Some(words) => {
            canvas.draw_text(area, words, Ink::Alert);
            1
        }
        None => 0,
    }
}

/// The other panels at the lower edge of `area`, in large letters if that takes no more than a quarter.
fn render_large_rack(canvas: &mut Canvas<'_>, area: Rect, rack: &[RackLine]) -> u16 {
    let n = u16::try_from(rack.len()).unwrap_or(u16::MAX);
    let each = letters::rows_at_scale(1) + 1;
    let large = n.saturating_mul(each) <= area.height / 4;
    if !large || canvas.is_ascii() {
        let rows = n.min(area.height / 4);
        bench_parts::render_rack(canvas, take_last_rows(area, rows), rack);
        return rows;
    }
    let mut rest = take_last_rows(area, n * each);
    for line in rack {
        let text = format!("{} {}", line.time, line.act).to_uppercase();
        let words = bench_parts::join_nonempty(&[&line.label, line.direction.map_or("", |d| d.name())], ", ");
        let here = skip_rows(take_rows(rest, each), 1);
        match letters::largest_fitting_scale(&text, here.width * 3 / 4, here.height, 1, false) {
            Some(scale) => {
                letters::draw_letters(canvas, here.x, here.y, &text, scale);
                let wide = letters::width_at_scale(&text, scale).unwrap_or(0);
                canvas.draw_wrapped(skip_rows(skip_columns(here, wide + 3), 1), &words, Ink::Text);
            }
            None => bench_parts::render_rack_line(canvas, take_rows(here, 1), line),
        }
        rest = skip_rows(rest, each);
    }
    n * each
}
