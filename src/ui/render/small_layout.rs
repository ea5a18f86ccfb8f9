//! The bench in a small window: the soonest call first, down to a single cell.

use super::canvas::{Canvas, skip_columns, skip_rows, take_columns, take_last_rows, take_rows};
use super::{bench_parts, cross_section, digits, letters, panel_outline};
use crate::app::bench_view_model::{BenchViewModel, RackLine};
use crate::ui::theme::Ink;
use ratatui::layout::Rect;

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
const fn act_ink(bench: &BenchViewModel) -> Ink {
    if bench.urgency.is_overdue() { Ink::Alert } else { Ink::Strong }
}

fn format_time(bench: &BenchViewModel) -> String {
    bench.timer.map(|d| digits::format_timer(&d).0).unwrap_or_default()
}

/// The panel elsewhere on the rack that calls while this one does not.
fn find_overdue_elsewhere(bench: &BenchViewModel) -> Option<&RackLine> {
    bench.rack.iter().find(|line| line.overdue).filter(|_| !bench.urgency.is_overdue())
}

fn render_one_line(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) {
    let ink = act_ink(bench);
    let words = bench_parts::join_nonempty(
        &[
            &format_time(bench),
            &bench_parts::format_act(&bench.act),
            bench_parts::direction_sign(bench.act.direction).trim(),
        ],
        " ",
    );
    canvas.draw_text(area, &words, ink);
}

fn render_few_lines(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) {
    canvas.draw_text(take_rows(area, 1), &bench_parts::format_act(&bench.act), act_ink(bench));
    let time = format_time(bench);
    let ink = act_ink(bench);
    let second = skip_rows(area, 1);
    let used = canvas.draw_text(second, &time, ink);
    let gap = if used > 0 { used + 1 } else { 0 };
    canvas.draw_text(take_rows(skip_columns(second, gap), 1), &bench_parts::format_direction(&bench.act), Ink::Text);
    render_alerts(canvas, skip_rows(area, 2), bench);
}

/// Whatever must not be missed, then when it is due.
fn render_alerts(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) {
    let mut rest = area;
    let notice = bench.status_line.as_ref().map(|n| &n.text);
    for words in bench.confirmation.iter().chain(notice) {
        rest = skip_rows(rest, canvas.draw_wrapped(rest, words, Ink::Alert));
    }
    if let (Some(line), false) = (find_overdue_elsewhere(bench), rest.is_empty()) {
        bench_parts::render_rack_line(canvas, take_rows(rest, 1), line);
        rest = skip_rows(rest, 1);
    }
    canvas.draw_text(rest, &bench.due, Ink::Text);
}

/// Act, direction, and digits three rows high.
fn render_low(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) {
    let used = canvas.draw_text(
        take_rows(take_columns(area, area.width.saturating_sub(2)), 1),
        &bench_parts::format_act(&bench.act),
        act_ink(bench),
    );
    bench_parts::render_strokes(canvas, take_rows(skip_columns(area, used + 1), 1), &bench.act);
    let second = take_rows(skip_rows(area, 1), 1);
    match (bench_parts::find_urgent_text(bench), find_overdue_elsewhere(bench)) {
        (Some(words), _) => {
            canvas.draw_text(second, words, Ink::Alert);
        }
        (None, Some(line)) => bench_parts::render_rack_line(canvas, second, line),
        (None, None) => {
            canvas.draw_text(second, &bench_parts::format_direction(&bench.act), Ink::Text);
        }
    }
    let rest = skip_rows(area, 2);
    let time = format_time(bench);
    let fits = letters::largest_fitting_scale(&time, rest.width, rest.height, 2, canvas.is_ascii());
    let used = match fits {
        Some(scale) if !time.is_empty() => {
            letters::draw_letters(canvas, rest.x, rest.y, &time, scale);
            letters::rows_at_scale(scale)
        }
        Some(_) | None => {
            let ink = act_ink(bench);
            u16::from(canvas.draw_text(rest, &time, ink) > 0)
        }
    };
    canvas.draw_wrapped(
        skip_rows(rest, used),
        &bench_parts::join_nonempty(&[&bench.due, &bench.explanation], "; "),
        Ink::Text,
    );
}

/// Everything that fits in a narrow or a low window: act, direction, digits, pot, one row of section.
fn render_card(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) {
    canvas.draw_text(take_rows(area, 1), &bench_parts::format_act(&bench.act).to_uppercase(), act_ink(bench));
    let mut rest = skip_rows(area, 1);
    let way = canvas.draw_text(rest, &bench_parts::format_direction(&bench.act), Ink::Text);
    if way > 0 {
        bench_parts::render_strokes(canvas, take_rows(skip_columns(rest, way + 1), 1), &bench.act);
        rest = skip_rows(rest, 1);
    }
    if bench.urgency.is_overdue() {
        bench_parts::render_bar(canvas, rest, bench);
        rest = skip_rows(rest, 1);
    }
    cross_section::render_cross_section(canvas, take_last_rows(rest, 1), &bench.cross_section);
    rest = take_rows(rest, rest.height.saturating_sub(1));
    let hangs = bench.urgency.is_overdue();
    let need = bench
        .timer
        .and_then(|d| digits::DigitSize::largest_fitting(digits::format_timer(&d).1, area.width, digits::MIN_ROWS));
    let spare = need.map_or(0, |cut| {
        area.width.saturating_sub(bench.timer.map_or(0, |d| cut.width(digits::format_timer(&d).1)) + 5)
    });
    let room = if bench.timer.is_none() { area.width } else { spare };
    let tall = rest.height.min(digits::MIN_ROWS);
    if room >= 6 {
        let frame = panel_outline::fit_frame(bench.header.size_mm, take_columns(take_rows(rest, tall), room));
        panel_outline::render_panel_outline(canvas, frame, &bench.act);
        rest = Rect { x: rest.x + frame.width + 1, width: rest.width.saturating_sub(frame.width + 1), ..rest };
    }
    let used = bench_parts::render_digits(canvas, take_rows(rest, digits::MIN_ROWS + u16::from(hangs)), bench, hangs);
    let under = Rect { x: area.x, width: area.width, ..skip_rows(rest, if room >= 6 { used.max(tall) } else { used }) };
    let words = under.height.min(if bench.pots.is_empty() { under.height } else { under.height.saturating_sub(1) });
    let before = take_rows(under, words.max(1));
    let used = if bench.confirmation.is_some() || find_overdue_elsewhere(bench).is_some() {
        render_alerts(canvas, before, bench);
        before.height
    } else {
        bench_parts::render_under_digits(canvas, before, bench, &bench.act.how)
    };
    bench_parts::render_pots(canvas, skip_rows(under, used), &bench.pots);
}
