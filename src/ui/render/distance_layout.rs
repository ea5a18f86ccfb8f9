//! The bench for eyes across the room: board, act, direction and digits fill the window; what calls breaks in as a band.

use super::alphabet::{LetterSize, Stretch};
use super::bands::{count_band_rows, fit_band, list_bands, render_live_band};
use super::canvas::{
    BandStyle, Canvas, inside_margins, skip_columns, skip_rows, take_columns, take_last_rows, take_rows,
};
use super::headline::{self, Headline, HeadlineLimits};
use super::{bench_parts, digits, panel_outline, round_lines};
use crate::app::bench_view_model::BenchViewModel;
use crate::ui::theme::Ink;
use ratatui::layout::Rect;

/// The columns of a panel that is worth drawing beside the digits.
const PANEL_COLUMNS_MIN: u16 = 14;

/// Everything in one size, as far as each goes in the width.
struct DistancePlan {
    headline: Headline,
    direction: Option<LetterSize>,
    bands: Vec<BandStyle>,
    /// Rows of what stands under the digits.
    low_rows: u16,
}

/// How much of what stands in block letters gives way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum DistanceStep {
    /// Everything is large.
    Nothing,
    /// The bands stand in words.
    Bands,
    /// The direction does as well.
    Direction,
}

/// Draws it; tells whether the window was large enough for it.
pub(super) fn render_distance_layout(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) -> bool {
    let largest = (1..=area.height / 5 + 1).rev().map(|most| (most, DistanceStep::Nothing));
    let mut steps = largest.chain([(1, DistanceStep::Bands), (1, DistanceStep::Direction)]);
    let Some(plan) = steps.find_map(|(most, step)| DistancePlan::fit(canvas, area, bench, most, step)) else {
        return false;
    };
    let low = take_last_rows(area, plan.low_rows);
    plan.headline.render(canvas, area, bench);
    let inner = inside_margins(area);
    let mut rest = take_rows(inner, area.height.saturating_sub(plan.low_rows));
    rest = skip_rows(rest, plan.headline.rows());
    render_low(canvas, low, bench, &plan.bands);
    if let Some(size) = plan.direction {
        let above = rest.height.saturating_sub(size.rows() + digits::MIN_ROWS);
        rest = skip_rows(rest, above.min(1));
        rest = skip_rows(rest, headline::render_direction_large(canvas, rest, bench, size));
        rest = skip_rows(rest, above.saturating_sub(1).min(1));
    } else {
        rest = skip_rows(rest, bench_parts::render_direction(canvas, rest, bench));
    }
    render_digits_and_panel(canvas, rest, bench);
    true
}

impl DistancePlan {
    /// The plan with dots of so many half rows; none where it has not the rows.
    fn fit(
        canvas: &Canvas<'_>,
        area: Rect,
        bench: &BenchViewModel,
        most: u16,
        step: DistanceStep,
    ) -> Option<DistancePlan> {
        let plan = DistancePlan::with_dots(canvas, area, bench, most, step);
        let direction = plan.direction.map_or(u16::from(bench.act.direction.is_some()), LetterSize::rows);
        let least = count_digit_rows(bench, most);
        let rows = plan.headline.rows() + direction + least + plan.low_rows;
        // In ASCII the smallest letters have dots of two half rows.
        let is_as_large = plan.headline.size.is_some_and(|size| size.half_rows >= most);
        (rows <= area.height && is_as_large).then_some(plan)
    }

    fn with_dots(
        canvas: &Canvas<'_>,
        area: Rect,
        bench: &BenchViewModel,
        most: u16,
        step: DistanceStep,
    ) -> DistancePlan {
        let inner = inside_margins(area);
        let for_bands = most.div_ceil(2);
        let style = |band| BandStyle {
            size: fit_band(canvas, band, area.width, for_bands),
            is_padded: band.is_calling && !canvas.is_ascii(),
        };
        let calling = list_bands(bench);
        let bands: Vec<BandStyle> = calling
            .iter()
            .map(|band| if band.is_calling && step == DistanceStep::Nothing { style(band) } else { WORDS })
            .collect();
        let band_rows: u16 =
            calling.iter().zip(&bands).map(|(band, style)| count_band_rows(canvas, band, area.width, *style)).sum();
        let asked = bench_parts::find_urgent_text(bench).map_or(0, |words| canvas.wrapped_height(words, inner.width));
        let low_rows = band_rows + asked + u16::from(!bench.queue.is_empty());
        let direction = headline::fit_direction(canvas, bench, (inner.width, area.height), most, Stretch::Twice)
            .filter(|_| step != DistanceStep::Direction);
        let least = count_digit_rows(bench, most);
        let rows = area.height.saturating_sub(low_rows + direction.map_or(0, LetterSize::rows) + least);
        let limits = HeadlineLimits {
            columns: inner.width,
            rows,
            rows_enlarged: rows,
            most,
            stretch: Stretch::Twice,
            is_brief: true,
        };
        DistancePlan { headline: Headline::plan(canvas, bench, limits), direction, bands, low_rows }
    }
}

/// The fewest rows of the digits: seven, and a quarter more than letters with dots of so many half rows.
fn count_digit_rows(bench: &BenchViewModel, most: u16) -> u16 {
    let letters = LetterSize::square(most).rows();
    if bench.timer.is_some() { digits::MIN_ROWS.max(letters + letters / 4) } else { 0 }
}

/// What wants an answer or went wrong, what comes, and the bands.
fn render_low(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel, bands: &[BandStyle]) {
    let mut rest = inside_margins(area);
    if let Some(words) = bench_parts::find_urgent_text(bench) {
        rest = skip_rows(rest, canvas.draw_wrapped(rest, words, Ink::Alert));
    }
    if !bench.queue.is_empty() {
        round_lines::render_queue(canvas, rest, bench);
        rest = skip_rows(rest, 1);
    }
    for (i, style) in bands.iter().enumerate() {
        let at = Rect { x: area.x, width: area.width, ..rest };
        rest = skip_rows(rest, render_live_band(canvas, at, bench, i, *style));
    }
}

/// The digits as high as the rows are; the panel at their left if that leaves room for one.
fn render_digits_and_panel(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) {
    let Some(shown) = bench.timer else {
        let frame = panel_outline::fit_frame(bench.header.size_mm, area);
        panel_outline::render_panel_outline(canvas, frame, &bench.act);
        return;
    };
    let (_, form) = digits::format_timer(&shown);
    let wide =
        digits::DigitSize::largest_fitting(form, area.width, area.height).map_or(area.width, |cut| cut.width(form));
    let left = area.width.saturating_sub(wide + 3);
    if left < PANEL_COLUMNS_MIN {
        bench_parts::render_digits(canvas, area, bench);
        return;
    }
    let frame = panel_outline::fit_frame(bench.header.size_mm, take_columns(area, left));
    panel_outline::render_panel_outline(canvas, frame, &bench.act);
    bench_parts::render_digits(canvas, skip_columns(area, left + 3), bench);
}

/// A band in words.
const WORDS: BandStyle = BandStyle { size: None, is_padded: false };
