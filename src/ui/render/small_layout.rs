//! The bench in a small window: the soonest call first, down to a single cell.

use super::canvas::{Canvas, skip_columns, skip_rows, take_columns, take_last_rows, take_rows};
use super::{bench_parts, cross_section, digits, letters, panel_outline};
use crate::app::bench_view_model::{BenchViewModel, RackLine};
use crate::ui::theme::Ink;
use ratatui::layout::Rect;

/// Draws it.
pub(super) fn render_small_layout(pen: &mut Canvas<'_>, area: Rect, scene: &BenchViewModel) {
    match area.height {
        0 => {}
        1 => render_one_line(pen, area, scene),
        2..5 => render_few_lines(pen, area, scene),
        5..11 => render_low(pen, area, scene),
        11.. => render_card(pen, area, scene),
    }
}

/// The act is turned inside out once it is overdue.
const fn act_ink(scene: &BenchViewModel) -> Ink {
    if scene.urgency.is_overdue() { Ink::Alert } else { Ink::Strong }
}

fn format_time(scene: &BenchViewModel) -> String {
    scene.timer.map(|d| digits::format_timer(&d).0).unwrap_or_default()
}

/// The panel elsewhere on the rack that calls while this one does not.
fn find_overdue_elsewhere(scene: &BenchViewModel) -> Option<&RackLine> {
    scene.rack.iter().find(|line| line.overdue).filter(|_| !scene.urgency.is_overdue())
}

fn render_one_line(pen: &mut Canvas<'_>, area: Rect, scene: &BenchViewModel) {
    let ink = act_ink(scene);
    let words = bench_parts::join_nonempty(
        &[
            &format_time(scene),
            &bench_parts::format_act(&scene.act),
            bench_parts::direction_sign(scene.act.direction).trim(),
        ],
        " ",
    );
    pen.draw_text(area, &words, ink);
}

fn render_few_lines(pen: &mut Canvas<'_>, area: Rect, scene: &BenchViewModel) {
    pen.draw_text(take_rows(area, 1), &bench_parts::format_act(&scene.act), act_ink(scene));
    let time = format_time(scene);
    let ink = act_ink(scene);
    let second = skip_rows(area, 1);
    let used = pen.draw_text(second, &time, ink);
    let gap = if used > 0 { used + 1 } else { 0 };
    pen.draw_text(take_rows(skip_columns(second, gap), 1), &bench_parts::format_direction(&scene.act), Ink::Text);
    render_alerts(pen, skip_rows(area, 2), scene);
}

/// Whatever must not be missed, then when it is due.
fn render_alerts(pen: &mut Canvas<'_>, area: Rect, scene: &BenchViewModel) {
    let mut rest = area;
    let notice = scene.status_line.as_ref().map(|n| &n.text);
    for words in scene.confirmation.iter().chain(notice) {
        rest = skip_rows(rest, pen.draw_wrapped(rest, words, Ink::Alert));
    }
    if let (Some(line), false) = (find_overdue_elsewhere(scene), rest.is_empty()) {
        bench_parts::render_rack_line(pen, take_rows(rest, 1), line);
        rest = skip_rows(rest, 1);
    }
    pen.draw_text(rest, &scene.due, Ink::Text);
}

/// Act, direction, and digits three rows high.
fn render_low(pen: &mut Canvas<'_>, area: Rect, scene: &BenchViewModel) {
    let used = pen.draw_text(
        take_rows(take_columns(area, area.width.saturating_sub(2)), 1),
        &bench_parts::format_act(&scene.act),
        act_ink(scene),
    );
    bench_parts::render_strokes(pen, take_rows(skip_columns(area, used + 1), 1), &scene.act);
    let second = take_rows(skip_rows(area, 1), 1);
    match (bench_parts::find_urgent_text(scene), find_overdue_elsewhere(scene)) {
        (Some(words), _) => {
            pen.draw_text(second, words, Ink::Alert);
        }
        (None, Some(line)) => bench_parts::render_rack_line(pen, second, line),
        (None, None) => {
            pen.draw_text(second, &bench_parts::format_direction(&scene.act), Ink::Text);
        }
    }
    let rest = skip_rows(area, 2);
    let time = format_time(scene);
    let fits = letters::largest_fitting_scale(&time, rest.width, rest.height, 2, pen.is_ascii());
    let used = match fits {
        Some(scale) if !time.is_empty() => {
            letters::draw_letters(pen, rest.x, rest.y, &time, scale);
            letters::rows_at_scale(scale)
        }
        Some(_) | None => {
            let ink = act_ink(scene);
            u16::from(pen.draw_text(rest, &time, ink) > 0)
        }
    };
    pen.draw_wrapped(
        skip_rows(rest, used),
        &bench_parts::join_nonempty(&[&scene.due, &scene.explanation], "; "),
        Ink::Text,
    );
}

/// Everything that fits in a narrow or a low window: act, direction, digits, pot, one row of section.
fn render_card(pen: &mut Canvas<'_>, area: Rect, scene: &BenchViewModel) {
    pen.draw_text(take_rows(area, 1), &bench_parts::format_act(&scene.act).to_uppercase(), act_ink(scene));
    let mut rest = skip_rows(area, 1);
    let way = pen.draw_text(rest, &bench_parts::format_direction(&scene.act), Ink::Text);
    if way > 0 {
        bench_parts::render_strokes(pen, take_rows(skip_columns(rest, way + 1), 1), &scene.act);
        rest = skip_rows(rest, 1);
    }
    if scene.urgency.is_overdue() {
        bench_parts::render_bar(pen, rest, scene);
        rest = skip_rows(rest, 1);
    }
    cross_section::render_cross_section(pen, take_last_rows(rest, 1), &scene.cross_section);
    rest = take_rows(rest, rest.height.saturating_sub(1));
    let hangs = scene.urgency.is_overdue();
    let need = scene
        .timer
        .and_then(|d| digits::DigitSize::largest_fitting(digits::format_timer(&d).1, area.width, digits::MIN_ROWS));
    let spare = need.map_or(0, |cut| {
        area.width.saturating_sub(scene.timer.map_or(0, |d| cut.width(digits::format_timer(&d).1)) + 5)
    });
    let room = if scene.timer.is_none() { area.width } else { spare };
    let tall = rest.height.min(digits::MIN_ROWS);
    if room >= 6 {
        let frame = panel_outline::fit_frame(scene.header.size_mm, take_columns(take_rows(rest, tall), room));
        panel_outline::render_panel_outline(pen, frame, &scene.act);
        rest = Rect { x: rest.x + frame.width + 1, width: rest.width.saturating_sub(frame.width + 1), ..rest };
    }
    let used = bench_parts::render_digits(pen, take_rows(rest, digits::MIN_ROWS + u16::from(hangs)), scene, hangs);
    let under = Rect { x: area.x, width: area.width, ..skip_rows(rest, if room >= 6 { used.max(tall) } else { used }) };
    let words = under.height.min(if scene.pots.is_empty() { under.height } else { under.height.saturating_sub(1) });
    let before = take_rows(under, words.max(1));
    let used = if scene.confirmation.is_some() || find_overdue_elsewhere(scene).is_some() {
        render_alerts(pen, before, scene);
        before.height
    } else {
        bench_parts::render_under_digits(pen, before, scene, &scene.act.how)
    };
    bench_parts::render_pots(pen, skip_rows(under, used), &scene.pots);
}
