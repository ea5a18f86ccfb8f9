//! The bench in a window of at least 64 columns: the headline, the direction, under them the panel at the left and the
//! digits and the section at the right; on a wide window the rack beside them.

use super::alphabet::{LetterSize, Stretch};
use super::bench_parts::{DigitWords, count_digit_words_rows, render_digit_words};
use super::bench_plan::{BenchPart, BenchPlan};
use super::canvas::{Canvas, inside_margins, skip_columns, skip_rows, take_columns, take_last_rows, take_rows};
use super::footer::Footer;
use super::headline::{self, Headline, HeadlineLimits};
use super::{bench_parts, cross_section, digits, panel_outline, rack_lines, round_lines};
use crate::app::bench_view_model::BenchViewModel;
use crate::ui::theme::Ink;
use ratatui::layout::Rect;

/// The fewest rows of a section that is drawn beside its words.
const SECTION_ROWS_MIN: u16 = 3;

/// How many half rows a dot may have in a window of so many rows: of the headline, and of what is less than it.
pub(super) fn max_dots(rows: u16) -> (u16, u16) {
    ((rows / 15).max(1), (rows / 20).max(1))
}

/// Which board or boards, along the upper edge of `area`; tells how many rows it took.
pub(super) fn render_top(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) -> u16 {
    let roomy = area.height >= 28;
    if bench.places.is_empty() {
        bench_parts::render_header(canvas, area, bench);
        return 1 + u16::from(roomy);
    }
    round_lines::render_places(canvas, area, bench);
    if !roomy {
        return 1;
    }
    bench_parts::render_header_words(canvas, skip_rows(area, 1), bench);
    3
}

/// Draws it.
pub(super) fn render_wide_layout(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) {
    let inner = inside_margins(area);
    let (most, most_less) = max_dots(area.height);
    let is_beside = area.width >= 140 && area.height >= 30;
    let footer = Footer { bench, width: area.width, most: most_less, is_tall: area.height >= 26, is_beside };
    let mut rest = skip_rows(area, render_top(canvas, inner, bench));
    let asked = DigitWords { has_due: false, manner: "" };
    let for_digits = if bench.timer.is_some() { digits::MIN_ROWS } else { u16::from(bench.act.direction.is_some()) };
    let least = footer.least_rows(canvas) + for_digits + count_digit_words_rows(canvas, inner.width, bench, asked);
    let rows = rest.height.saturating_sub(least);
    let limits = HeadlineLimits {
        columns: inner.width,
        rows,
        rows_enlarged: rows.min(area.height / 3),
        most,
        stretch: Stretch::None,
        is_brief: false,
    };
    let top = Headline::plan(canvas, bench, limits);
    let manner = top.render(canvas, rest, bench);
    rest = skip_rows(rest, top.rows());
    let large = headline::fit_direction(canvas, bench, (inner.width, rest.height / 3), most_less, Stretch::None);
    let body = WideBody { bench, manner: &manner, columns: inner.width, window_rows: area.height, is_beside };
    let is_roomy = area.height >= 28;
    let needs = list_needs(canvas, &footer, &body, large);
    let plan = BenchPlan::choose(rest.height, least, &needs);
    let foot = footer.count_rows(canvas, &plan).min(rest.height);
    footer.render(canvas, take_last_rows(rest, foot), &plan);
    let mut rest = Rect { x: inner.x, width: inner.width, ..take_rows(rest, rest.height - foot) };
    let large = large.filter(|_| plan.shows(BenchPart::Direction));
    if let Some(size) = large {
        rest = skip_rows(rest, headline::render_direction_large(canvas, rest, bench, size));
        rest = skip_rows(rest, u16::from(is_roomy && plan.left > 1));
    }
    body.render(canvas, rest, &plan, large.is_some());
}

fn list_needs(
    canvas: &Canvas<'_>,
    footer: &Footer<'_>,
    body: &WideBody<'_>,
    direction: Option<LetterSize>,
) -> Vec<(BenchPart, u16)> {
    let bench = body.bench;
    let order = [
        BenchPart::CallingBands,
        BenchPart::Direction,
        BenchPart::Due,
        BenchPart::WaitingBand,
        BenchPart::Manner,
        BenchPart::Section,
        BenchPart::Info,
        BenchPart::Tip,
        BenchPart::Rack,
    ];
    let need = |part: BenchPart| match part {
        BenchPart::Direction => direction.map_or(0, LetterSize::rows),
        BenchPart::Due => canvas.wrapped_height(&bench.due, body.columns),
        BenchPart::Manner => canvas.wrapped_height(body.manner, body.columns),
        BenchPart::Section => body.count_section_rows(canvas),
        BenchPart::CallingBands | BenchPart::WaitingBand | BenchPart::Info | BenchPart::Tip | BenchPart::Rack => {
            footer.count_needs(canvas, part)
        }
    };
    order.into_iter().map(|part| (part, need(part))).collect()
}

/// What stands between headline and footer.
struct WideBody<'a> {
    bench: &'a BenchViewModel,
    /// How the act is done, where there was no room beside it.
    manner: &'a str,
    columns: u16,
    /// Rows of the window.
    window_rows: u16,
    is_beside: bool,
}

impl WideBody<'_> {
    /// Columns of the panel.
    fn left_columns(&self) -> u16 {
        (self.columns * 35 / 100).clamp(29, 90).min(self.columns / 2)
    }

    fn right_columns(&self) -> u16 {
        self.columns.saturating_sub(self.left_columns() + 3)
    }

    /// The rows for a section, with what the words take more where they stand above it.
    fn count_section_rows(&self, canvas: &Canvas<'_>) -> u16 {
        let words = DigitWords { has_due: true, manner: self.manner };
        let more = count_digit_words_rows(canvas, self.right_columns(), self.bench, words)
            .saturating_sub(count_digit_words_rows(canvas, self.columns, self.bench, words));
        SECTION_ROWS_MIN + more
    }

    fn render(&self, canvas: &mut Canvas<'_>, area: Rect, plan: &BenchPlan, has_direction: bool) {
        let bench = self.bench;
        let manner = if plan.shows(BenchPart::Manner) { self.manner } else { "" };
        let words = DigitWords { has_due: plan.shows(BenchPart::Due), manner };
        // The direction in block letters comes before the section.
        let beside = self.fit_direction_beside(canvas).filter(|_| !has_direction);
        if plan.shows(BenchPart::Section) && beside.is_none() {
            self.render_panel(canvas, take_columns(area, self.left_columns()), has_direction);
            let right = skip_columns(area, self.left_columns() + 3);
            return self.render_time_and_section(canvas, right, words);
        }
        let for_words = count_digit_words_rows(canvas, area.width, bench, words).min(area.height);
        render_digit_words(canvas, take_last_rows(area, for_words), bench, words);
        let above = take_rows(area, area.height - for_words);
        let Some(size) = beside else {
            self.render_panel(canvas, take_columns(above, self.left_columns()), has_direction);
            bench_parts::render_digits(canvas, skip_columns(above, self.left_columns() + 3), bench);
            return;
        };
        let left = self.columns_beside_digits();
        let used = headline::render_direction_large(canvas, take_columns(above, left), bench, size);
        self.render_panel(canvas, take_columns(skip_rows(above, used + 1), left), true);
        bench_parts::render_digits(canvas, skip_columns(above, left + 2), bench);
    }

    /// Columns beside the smallest large digits.
    fn columns_beside_digits(&self) -> u16 {
        let form = self.bench.timer.map_or("", |shown| digits::format_timer(&shown).1);
        let size = digits::DigitSize::largest_fitting(form, self.right_columns(), digits::MIN_ROWS);
        self.columns.saturating_sub(size.map_or(self.right_columns(), |size| size.width(form)) + 2)
    }

    /// The direction in block letters beside the digits, where it has no rows of its own.
    fn fit_direction_beside(&self, canvas: &Canvas<'_>) -> Option<LetterSize> {
        self.bench.timer?;
        headline::fit_direction(canvas, self.bench, (self.columns_beside_digits(), digits::MIN_ROWS), 1, Stretch::None)
    }

    /// Digits, what belongs to them, and the section with what is left.
    fn render_time_and_section(&self, canvas: &mut Canvas<'_>, area: Rect, words: DigitWords<'_>) {
        let bench = self.bench;
        let section = &bench.cross_section;
        let wanted = cross_section::count_wanted_rows(section);
        let for_words = count_digit_words_rows(canvas, area.width, bench, words);
        let for_section = wanted.max(area.height / 3).min(area.height * 45 / 100);
        let room = area.height.saturating_sub(for_words);
        let least = digits::MIN_ROWS + self.window_rows.saturating_sub(24) / 4;
        let for_digits = room.saturating_sub(for_section).max(least).min(room);
        let used = bench_parts::render_digits(canvas, take_rows(area, for_digits), bench);
        let mut rest = skip_rows(area, used);
        rest = skip_rows(rest, render_digit_words(canvas, rest, bench, words));
        rest = skip_rows(rest, u16::from(rest.height > wanted));
        if self.is_beside {
            let wide = (area.width / 3).clamp(30, 44);
            render_sidebar(canvas, skip_columns(rest, rest.width.saturating_sub(wide)), bench);
            rest = take_columns(rest, rest.width.saturating_sub(wide + 3));
        }
        cross_section::render_cross_section(canvas, rest, section);
    }

    /// The panel, over it the direction in words unless it stands larger, and under it the pots unless they stand elsewhere.
    fn render_panel(&self, canvas: &mut Canvas<'_>, area: Rect, has_direction: bool) {
        let bench = self.bench;
        let used = if has_direction { 0 } else { bench_parts::render_direction(canvas, area, bench) };
        let rest = skip_rows(area, used);
        let wants = rack_lines::count_pots_rows(&bench.pots).min(rest.height / 3);
        let pots = if self.is_beside { 0 } else { wants };
        let room = take_rows(rest, rest.height.saturating_sub(pots));
        let frame = panel_outline::fit_frame(bench.header.size_mm, room);
        let centred = Rect { x: room.x + (room.width - frame.width) / 2, ..frame };
        panel_outline::render_panel_outline(canvas, centred, &bench.act);
        if pots > 0 {
            let under = take_last_rows(rest, rest.height.saturating_sub(frame.height));
            rack_lines::render_pots(canvas, under, &bench.pots);
        }
    }
}

/// What stands beside the section on a wide window.
fn render_sidebar(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) {
    let mut rest = area;
    let used = rack_lines::render_pots(canvas, take_rows(rest, rest.height / 3), &bench.pots);
    rest = skip_rows(rest, used + u16::from(used > 0));
    if !bench.rack.is_empty() {
        let used = rack_lines::render_rack(canvas, take_rows(rest, rest.height / 2), &bench.rack);
        rest = skip_rows(rest, used + 1);
    }
    let air = if bench.air.is_empty() { String::new() } else { format!("air {}", bench.air) };
    let looks = bench.inspections_due.first().cloned().unwrap_or_default();
    for words in [&bench.next_act, &air, &looks] {
        rest = skip_rows(rest, if words.is_empty() { 0 } else { canvas.draw_wrapped(rest, words, Ink::Text) });
    }
    if !bench.tip.is_empty() {
        rest = skip_rows(rest, 1);
        if canvas.wrapped_height(&bench.tip, rest.width) <= rest.height {
            canvas.draw_wrapped(rest, &bench.tip, Ink::Text);
        }
    }
}
