//! The bench in a narrow, high window: everything one below the other.

use super::alphabet::{LetterSize, Stretch};
use super::bench_parts::{DigitWords, count_digit_words_rows, render_digit_words};
use super::bench_plan::{BenchPart, BenchPlan};
use super::canvas::{Canvas, inside_margins, skip_rows, take_last_rows, take_rows};
use super::footer::Footer;
use super::headline::{self, Headline, HeadlineLimits};
use super::wide_layout::render_top;
use super::{bench_parts, cross_section, digits, panel_outline, rack_lines};
use crate::app::bench_view_model::BenchViewModel;
use ratatui::layout::Rect;

/// Draws it.
pub(super) fn render_tall_layout(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) {
    let inner = inside_margins(area);
    let footer = Footer { bench, width: area.width, most: 2, is_tall: area.height >= 26, is_beside: false };
    let mut rest = skip_rows(area, render_top(canvas, inner, bench));
    let asked = DigitWords { has_due: false, manner: "" };
    let for_digits =
        if bench.timer.is_some() { digits::MIN_ROWS } else { 0 } + u16::from(bench.act.direction.is_some());
    let least = footer.least_rows(canvas) + for_digits + count_digit_words_rows(canvas, inner.width, bench, asked);
    let rows = rest.height.saturating_sub(least);
    let rows_enlarged = rows.min(area.height / 3);
    let limits =
        HeadlineLimits { columns: inner.width, rows, rows_enlarged, most: 2, stretch: Stretch::None, is_brief: false };
    let top = Headline::plan(canvas, bench, limits);
    let manner = top.render(canvas, rest, bench);
    rest = skip_rows(rest, top.rows());
    let large = headline::fit_direction(canvas, bench, (inner.width, rest.height / 3), 2, Stretch::None);
    let section = cross_section::count_wanted_rows(&bench.cross_section);
    let need = |part: BenchPart| match part {
        BenchPart::Direction => large.map_or(0, LetterSize::rows).saturating_sub(1),
        BenchPart::Due => canvas.wrapped_height(&bench.due, inner.width),
        BenchPart::Manner => canvas.wrapped_height(&manner, inner.width),
        BenchPart::Section => section.min(rest.height / 4) + 1,
        BenchPart::CallingBands | BenchPart::WaitingBand | BenchPart::Info | BenchPart::Tip | BenchPart::Rack => {
            footer.count_needs(canvas, part)
        }
    };
    let order = [
        BenchPart::CallingBands,
        BenchPart::Direction,
        BenchPart::Due,
        BenchPart::WaitingBand,
        BenchPart::Manner,
        BenchPart::Info,
        BenchPart::Section,
        BenchPart::Tip,
        BenchPart::Rack,
    ];
    let needs: Vec<(BenchPart, u16)> = order.into_iter().map(|part| (part, need(part))).collect();
    let plan = BenchPlan::choose(rest.height, least, &needs);
    let foot = footer.count_rows(canvas, &plan).min(rest.height);
    footer.render(canvas, take_last_rows(rest, foot), &plan);
    let rest = Rect { x: inner.x, width: inner.width, ..take_rows(rest, rest.height - foot) };
    let words = DigitWords {
        has_due: plan.shows(BenchPart::Due),
        manner: if plan.shows(BenchPart::Manner) { &manner } else { "" },
    };
    render_body(canvas, rest, bench, words, large.filter(|_| plan.shows(BenchPart::Direction)));
}

/// Direction, digits, their words, the panel, the pots and the section.
fn render_body(
    canvas: &mut Canvas<'_>,
    area: Rect,
    bench: &BenchViewModel,
    words: DigitWords<'_>,
    direction: Option<LetterSize>,
) {
    let used = match direction {
        Some(size) => headline::render_direction_large(canvas, area, bench, size),
        None => bench_parts::render_direction(canvas, area, bench),
    };
    let mut rest = skip_rows(area, used);
    let for_words = count_digit_words_rows(canvas, rest.width, bench, words);
    let for_digits = (rest.height / 3).max(digits::MIN_ROWS).min(rest.height.saturating_sub(for_words));
    rest = skip_rows(rest, bench_parts::render_digits(canvas, take_rows(rest, for_digits), bench));
    rest = skip_rows(rest, render_digit_words(canvas, rest, bench, words));
    rest = skip_rows(rest, u16::from(rest.height >= 24));
    let wanted = cross_section::count_wanted_rows(&bench.cross_section).min(rest.height * 2 / 5);
    let pots = rack_lines::count_pots_rows(&bench.pots).min(rest.height / 4);
    let room = take_rows(rest, rest.height.saturating_sub(wanted + pots + 1));
    let frame = panel_outline::fit_frame(bench.header.size_mm, room);
    let centred = Rect { x: room.x + (room.width - frame.width) / 2, ..frame };
    panel_outline::render_panel_outline(canvas, centred, &bench.act);
    rest = skip_rows(rest, frame.height);
    rest = skip_rows(rest, rack_lines::render_pots(canvas, take_rows(rest, pots), &bench.pots));
    let section = take_last_rows(rest, rest.height.saturating_sub(1));
    cross_section::render_cross_section(canvas, section, &bench.cross_section);
}
