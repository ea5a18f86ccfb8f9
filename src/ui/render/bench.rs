//! The bench: which part stands where, for every size of window.
//!
//! The order of sizes is the order of need from three metres: which board, act, direction, time, pot, section.

use super::canvas::{Canvas, LiveRegions, take_last_rows, take_rows};
use super::{distance_layout, small_layout, tall_layout, wide_layout};
use crate::app::bench_view_model::BenchViewModel;
use crate::ui::theme::{Ink, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// Draws the bench over the whole of a bare buffer.
pub fn render_bench(bench: &BenchViewModel, theme: &Theme, buf: &mut Buffer) {
    let area = buf.area;
    render_bench_in(bench, theme, buf, area);
}

/// Draws the bench into `area` of a buffer nothing was drawn on yet; tells what of it moves every second.
pub(super) fn render_bench_in(bench: &BenchViewModel, theme: &Theme, buf: &mut Buffer, area: Rect) -> LiveRegions {
    let area = area.intersection(buf.area);
    let mut canvas = Canvas::new_on_blank(buf, area, theme);
    let area = render_guidance(&mut canvas, area, bench);
    match (area.width, area.height) {
        (0, _) | (_, 0) => {}
        (0..36, _) | (_, 0..16) => small_layout::render_small_layout(&mut canvas, area, bench),
        (_, _) if bench.distance_mode && distance_layout::render_distance_layout(&mut canvas, area, bench) => {}
        (36..64, 24..) => tall_layout::render_tall_layout(&mut canvas, area, bench),
        (36..64, _) => small_layout::render_small_layout(&mut canvas, area, bench),
        (_, _) => wide_layout::render_wide_layout(&mut canvas, area, bench),
    }
    canvas.live_regions
}

/// Says the sentence a newcomer is led by along the lower edge, inside out; tells what is left above it.
fn render_guidance(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) -> Rect {
    if bench.guidance.is_empty() {
        return area;
    }
    let inside = |band: Rect| Rect { x: band.x.saturating_add(1), width: band.width.saturating_sub(2), ..band };
    let rows = canvas.wrapped_height(&bench.guidance, inside(area).width).min(area.height / 3);
    let band = take_last_rows(area, rows);
    canvas.fill(band, ' ', Ink::Alert);
    canvas.draw_wrapped(inside(band), &bench.guidance, Ink::Alert);
    take_rows(area, area.height.saturating_sub(rows))
}
