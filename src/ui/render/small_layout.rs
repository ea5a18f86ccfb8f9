//! The bench in a small window: the soonest call first, down to a single cell. The board's name goes before all but the time.

use super::alphabet::{LetterSize, Stretch};
use super::bench_parts::{self, DigitWords, is_reversed, join_nonempty};
use super::canvas::{Canvas, inside_margins, skip_columns, skip_rows, take_columns, take_last_rows, take_rows};
use super::headline::{self, Headline, HeadlineLimits};
use super::letters::draw_letters_from;
use super::{bands, digits, letters, panel_outline, rack_lines};
use crate::app::bench_view_model::{BandViewModel, BenchViewModel, RackLine};
use crate::ui::theme::Ink;
use ratatui::layout::Rect;

/// Rows of the smallest block letters with half a row above them.
const LETTER_ROWS: u16 = 3;

/// Draws it.
pub(super) fn render_small_layout(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) {
    match area.height {
        0 => {}
        1 => render_one_line(canvas, area, bench),
        2..5 => render_few_lines(canvas, area, bench),
        5..11 => render_low(canvas, area, bench),
        11.. => render_card(canvas, area, bench),
    }
}

/// The act is turned inside out once it is overdue.
fn act_ink(bench: &BenchViewModel) -> Ink {
    if is_reversed(bench) { Ink::Alert } else { Ink::Strong }
}

fn format_time(bench: &BenchViewModel) -> String {
    bench.timer.map(|d| digits::format_timer(&d).0).unwrap_or_default()
}

/// The panel elsewhere on the rack that calls while this one does not.
fn find_overdue_elsewhere(bench: &BenchViewModel) -> Option<&RackLine> {
    bench.rack.iter().find(|line| line.overdue).filter(|_| !bench.urgency.is_overdue())
}

/// Board and act in words, as much as fits; a question in their place.
fn fit_headline_words(canvas: &Canvas<'_>, bench: &BenchViewModel, columns: u16) -> String {
    let whole = match &bench.block_card {
        Some(card) => card.lines.join(" "),
        None => join_nonempty(&[&bench.block_name, &bench_parts::format_act(&bench.act)], " "),
    };
    let brief = join_nonempty(&[&bench.block_name, &bench.act.block], " ");
    if canvas.text_width(&whole) > columns && bench.block_card.is_none() && !bench.act.block.is_empty() {
        brief
    } else {
        whole
    }
}

fn render_one_line(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) {
    let act = bench_parts::format_act(&bench.act);
    let sign = bench_parts::direction_sign(bench.act.direction).trim();
    let words = join_nonempty(&[&bench.block_name, &format_time(bench), &act, sign], " ");
    canvas.draw_text(area, &words, act_ink(bench));
}

/// Board and act on one line, inside out over the whole width once they are due.
fn render_headline_words(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) -> u16 {
    let line = take_rows(area, 1);
    let ink = act_ink(bench);
    if is_reversed(bench) {
        canvas.fill(line, ' ', ink);
    }
    let words = fit_headline_words(canvas, bench, line.width);
    canvas.draw_text(line, &words, ink)
}

fn render_few_lines(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) {
    render_headline_words(canvas, area, bench);
    let second = skip_rows(area, 1);
    let used = canvas.draw_text(second, &format_time(bench), act_ink(bench));
    let gap = if used > 0 { used + 1 } else { 0 };
    render_direction_words(canvas, take_rows(skip_columns(second, gap), 1), bench);
    render_alerts(canvas, skip_rows(area, 2), bench);
}

/// Whatever must not be missed, then when it is due.
fn render_alerts(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) {
    let mut rest = area;
    let card = bench.block_card.as_ref().map(|card| &card.explanation);
    let notice = bench.status_line.as_ref().map(|n| n.text.as_str());
    for words in card.map(String::as_str).into_iter().chain(bench_parts::find_question(bench)).chain(notice) {
        rest = skip_rows(rest, canvas.draw_wrapped(rest, words, Ink::Alert));
    }
    rest = skip_rows(rest, render_calls(canvas, rest, bench));
    canvas.draw_text(rest, &bench.due, Ink::Text);
}

/// What calls beside the panel shown.
fn list_calls(bench: &BenchViewModel) -> Vec<&BandViewModel> {
    bands::list_bands(bench).into_iter().filter(|band| band.is_calling).collect()
}

/// What calls elsewhere, a line each; tells how many rows it took.
fn render_calls(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) -> u16 {
    let mut used = 0;
    for band in list_calls(bench) {
        let line = take_rows(skip_rows(area, used), 1);
        canvas.fill(line, ' ', Ink::Alert);
        let words = join_nonempty(&[&band.text, &band.explanation], "  ");
        let words = if canvas.text_width(&words) <= line.width { &words } else { &band.text };
        canvas.draw_text(line, words, Ink::Alert);
        used += line.height;
    }
    let rest = skip_rows(area, used);
    if let (Some(line), 0, false) = (find_overdue_elsewhere(bench), used, rest.is_empty()) {
        rack_lines::render_rack_line(canvas, take_rows(rest, 1), line);
        used += 1;
    }
    used
}

/// The headline as it goes in a small window.
fn plan_headline(canvas: &Canvas<'_>, bench: &BenchViewModel, columns: u16, rows: u16) -> Headline {
    let limits = HeadlineLimits { columns, rows, rows_enlarged: 0, most: 1, stretch: Stretch::None, is_brief: true };
    Headline::plan(canvas, bench, limits)
}

/// Board, act, direction, and digits three rows high.
fn render_low(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) {
    let inner = inside_margins(area);
    let top = plan_headline(canvas, bench, inner.width, area.height.saturating_sub(LETTER_ROWS + 1));
    let rest = if top.size.is_some() {
        top.render(canvas, area, bench);
        let rest = skip_rows(area, top.rows());
        Rect { x: inner.x, width: inner.width, ..rest }
    } else {
        let used = render_headline_words(canvas, area, bench);
        if !is_reversed(bench) {
            bench_parts::render_strokes(canvas, take_rows(skip_columns(area, used + 1), 1), &bench.act);
        }
        render_second_line(canvas, take_rows(skip_rows(area, 1), 1), bench);
        skip_rows(area, 2)
    };
    let used = render_low_time(canvas, rest, bench);
    let under = skip_rows(rest, used);
    if top.size.is_some() {
        let direction = used == 0
            || headline::fit_direction(canvas, bench, beside_time(canvas, rest, bench), 1, Stretch::None).is_none();
        let under =
            if direction { skip_rows(under, bench_parts::render_direction(canvas, under, bench)) } else { under };
        render_alerts(canvas, under, bench);
    } else {
        canvas.draw_wrapped(under, &join_nonempty(&[&bench.due, &bench.explanation], "; "), Ink::Text);
    }
}

fn render_second_line(canvas: &mut Canvas<'_>, line: Rect, bench: &BenchViewModel) {
    if let Some(words) = bench_parts::find_urgent_text(bench) {
        canvas.draw_text(line, words, Ink::Alert);
    } else if render_calls(canvas, line, bench) == 0 {
        render_direction_words(canvas, line, bench);
    }
}

/// The direction, and what it is by the panel's shape where that fits.
fn render_direction_words(canvas: &mut Canvas<'_>, line: Rect, bench: &BenchViewModel) {
    let words = bench_parts::format_direction(&bench.act);
    let brief = bench.act.direction.map_or("", |direction| direction.name());
    canvas.draw_text(line, if canvas.text_width(&words) <= line.width { &words } else { brief }, Ink::Text);
}

/// Columns and rows beside the time.
fn beside_time(canvas: &Canvas<'_>, area: Rect, bench: &BenchViewModel) -> (u16, u16) {
    let time = format_time(bench);
    let size = fit_low_time(canvas, area, bench, &time);
    let wide = size.and_then(|size| size.width(&time)).unwrap_or(area.width);
    (area.width.saturating_sub(wide.saturating_add(4)), LETTER_ROWS.min(area.height))
}

/// The letters of the time, with rows left under them for what calls.
fn fit_low_time(canvas: &Canvas<'_>, area: Rect, bench: &BenchViewModel, time: &str) -> Option<LetterSize> {
    let calls = list_calls(bench).len() + usize::from(find_overdue_elsewhere(bench).is_some());
    let under = u16::try_from(calls).unwrap_or(u16::MAX).saturating_add(1);
    let rows = area.height.saturating_sub(under).max(LETTER_ROWS.min(area.height));
    LetterSize::largest_fitting(time, area.width, rows, 2, Stretch::None, canvas.is_ascii())
}

/// The time in letters, and beside it the direction if it fits; tells how many rows it took.
fn render_low_time(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) -> u16 {
    let time = format_time(bench);
    let Some(size) = fit_low_time(canvas, area, bench, &time).filter(|_| !time.is_empty()) else {
        let ink = act_ink(bench);
        return u16::from(canvas.draw_text(area, &time, ink) > 0);
    };
    draw_letters_from(canvas, (area.x, area.y), 0, &time, size, Ink::Strong);
    let (columns, rows) = beside_time(canvas, area, bench);
    if let Some(direction) = headline::fit_direction(canvas, bench, (columns, rows), 1, Stretch::None) {
        let beside = skip_columns(area, size.width(&time).unwrap_or(0) + 4);
        headline::render_direction_large(canvas, beside, bench, direction);
    }
    size.rows()
}

/// Everything that fits in a narrow or a low window: board, act, direction, digits, what calls, when it is due.
fn render_card(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) {
    let inner = inside_margins(area);
    let for_calls = u16::try_from(list_calls(bench).len()).unwrap_or(u16::MAX).min(area.height / 4);
    let least = digits::MIN_ROWS.saturating_add(for_calls) + u16::from(bench.act.direction.is_some());
    let top = plan_headline(canvas, bench, inner.width, area.height.saturating_sub(least));
    let mut told = !bench.block_name.is_empty();
    let mut rest = skip_rows(area, top.rows());
    if top.size.is_some() {
        top.render(canvas, area, bench);
        told = false;
    } else if told && area.height > digits::MIN_ROWS + LETTER_ROWS {
        let used = render_name_beside(canvas, area, bench);
        rest = skip_rows(area, used);
    } else {
        told = false;
        render_headline_words(canvas, area, bench);
        bench_parts::render_bar(canvas, skip_rows(area, 1), bench);
        rest = skip_rows(area, 2);
    }
    rest = Rect { x: inner.x, width: inner.width, ..rest };
    let calls = take_last_rows(rest, for_calls);
    render_calls(canvas, Rect { x: area.x, width: area.width, ..calls }, bench);
    rest = take_rows(rest, rest.height - calls.height);
    if !told {
        rest = skip_rows(rest, bench_parts::render_direction(canvas, rest, bench));
    }
    rest = skip_rows(rest, render_card_digits(canvas, rest, bench));
    if bench.block_card.is_some() && top.size.is_none() || bench.confirmation.is_some() || bench.status_line.is_some() {
        return render_alerts(canvas, rest, bench);
    }
    let words = DigitWords { has_due: true, manner: &bench.act.how };
    let used = bench_parts::render_digit_words(canvas, rest, bench, words);
    rack_lines::render_pots(canvas, skip_rows(rest, used), &bench.pots);
}

/// The digits, and the panel beside them if there is room; tells how many rows they took.
fn render_card_digits(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) -> u16 {
    let tall = area.height.min(digits::MIN_ROWS);
    let Some(shown) = bench.timer else {
        let frame = panel_outline::fit_frame(bench.header.size_mm, take_rows(area, area.height / 2));
        panel_outline::render_panel_outline(canvas, frame, &bench.act);
        return frame.height;
    };
    let (_, form) = digits::format_timer(&shown);
    let wide = digits::DigitSize::largest_fitting(form, area.width, tall).map_or(area.width, |cut| cut.width(form));
    let room = area.width.saturating_sub(wide + 2);
    if room < 6 {
        return bench_parts::render_digits(canvas, take_rows(area, tall), bench);
    }
    let frame = panel_outline::fit_frame(bench.header.size_mm, take_columns(take_rows(area, tall), room));
    panel_outline::render_panel_outline(canvas, frame, &bench.act);
    bench_parts::render_digits(canvas, skip_columns(take_rows(area, tall), frame.width + 1), bench).max(tall)
}

/// The board in block letters, and beside it act and direction in words; tells how many rows they took.
fn render_name_beside(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) -> u16 {
    let bar = take_rows(area, if canvas.is_ascii() { 5 } else { LETTER_ROWS });
    let ink = act_ink(bench);
    if is_reversed(bench) {
        canvas.fill(bar, ' ', ink);
    }
    let inner = inside_margins(bar);
    let name = &bench.block_name;
    let size = LetterSize::largest_fitting(name, inner.width, bar.height, 1, Stretch::None, canvas.is_ascii());
    let used = match size {
        Some(size) => {
            draw_letters_from(canvas, (inner.x, inner.y), u16::from(!canvas.is_ascii()), name, size, ink);
            letters::width_at_scale(name, size.columns).unwrap_or(0)
        }
        None => canvas.draw_text(take_rows(inner, 1), name, ink),
    };
    let way = bench.act.direction.map_or("", |d| d.name()).to_uppercase();
    let act = bench.block_card.as_ref().map_or_else(|| bench.act.block.clone(), |card| card.lines.join(" "));
    let beside = skip_columns(inner, used + 2);
    let rows = canvas.draw_wrapped(take_rows(beside, 2), &act, ink);
    canvas.draw_text(skip_rows(beside, rows), &way, ink);
    bench_parts::render_bar(canvas, skip_rows(area, bar.height), bench);
    bar.height + 1
}
