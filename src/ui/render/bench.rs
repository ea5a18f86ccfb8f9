//! The bench: which part stands where, for every size of window.
//!
//! The order of sizes is the order of need from three metres: act, direction, time, pot, section.

use super::canvas::{Canvas, LiveRegions, skip_columns, skip_rows, take_columns, take_last_rows, take_rows};
use super::{bench_parts, cross_section, digits, distance_layout, letters, panel_outline, small_layout};
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
        (_, _) if bench.distance_mode => distance_layout::render_distance_layout(&mut canvas, area, bench),
        (36..64, 24..) => render_tall(&mut canvas, area, bench),
        (36..64, _) => small_layout::render_small_layout(&mut canvas, area, bench),
        (_, _) => render_wide(&mut canvas, area, bench),
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

/// The largest letters the act may take in a window of so many rows.
fn max_act_scale(rows: u16) -> u16 {
    match rows {
        0..34 => 1,
        34..52 => 2,
        52..80 => 3,
        _ => 4,
    }
}

/// Panel at the left, digits and section at the right, on a wide window the rack beside them.
fn render_wide(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) {
    let area = Rect { x: area.x + 1, width: area.width.saturating_sub(2), ..area };
    bench_parts::render_header(canvas, area, bench);
    let mut rest = skip_rows(area, if area.height >= 28 { 2 } else { 1 });
    let for_act = if area.height < 20 { 2 } else { rest.height / 3 };
    let (act, manner) = bench_parts::render_act(canvas, take_rows(rest, for_act), bench, max_act_scale(area.height));
    rest = skip_rows(rest, act);
    bench_parts::render_bar(canvas, Rect { x: area.x - 1, width: area.width + 2, ..take_rows(rest, 1) }, bench);
    rest = skip_rows(rest, 1);
    let beside = area.width >= 140 && area.height >= 30;
    let foot = render_footer(canvas, rest, bench, beside);
    rest = take_rows(rest, rest.height.saturating_sub(foot));
    let wide = (rest.width * 35 / 100).clamp(29, 90).min(rest.width / 2);
    render_panel(canvas, take_columns(rest, wide), bench, !beside);
    render_time_and_section(canvas, skip_columns(rest, wide + 3), bench, &manner, beside);
}

/// Digits, what stands under them, and the section with what is left.
fn render_time_and_section(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel, manner: &str, beside: bool) {
    let hangs = bench.urgency.is_overdue();
    let area = skip_rows(area, u16::from(!hangs && area.height >= 22));
    let words = bench_parts::count_under_digits_rows(canvas, area.width, bench, manner);
    let for_section =
        cross_section::count_wanted_rows(&bench.cross_section).max(area.height / 3).min(area.height * 45 / 100);
    let for_digits = area.height.saturating_sub(words + for_section).max(digits::MIN_ROWS + 1);
    let used = bench_parts::render_digits(canvas, take_rows(area, for_digits), bench, hangs && area.height < 22);
    let mut rest = skip_rows(area, used);
    rest = skip_rows(rest, bench_parts::render_under_digits(canvas, rest, bench, manner));
    let gap = u16::from(rest.height > cross_section::count_wanted_rows(&bench.cross_section));
    rest = skip_rows(rest, gap);
    if beside {
        let wide = (area.width / 3).clamp(30, 44);
        render_sidebar(canvas, skip_columns(rest, rest.width.saturating_sub(wide)), bench);
        rest = take_columns(rest, rest.width.saturating_sub(wide + 3));
    }
    cross_section::render_cross_section(canvas, rest, &bench.cross_section);
}

/// The direction in words, the panel, and under it the pots unless they stand elsewhere.
fn render_panel(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel, with_pots: bool) {
    let area = skip_rows(area, u16::from(area.height >= 20));
    let way = bench_parts::render_direction(canvas, area, bench, area.height >= 20);
    let rest = skip_rows(area, way);
    let pots = if with_pots { bench_parts::count_pots_rows(&bench.pots).min(rest.height / 3) } else { 0 };
    let room = take_rows(rest, rest.height.saturating_sub(pots));
    let frame = panel_outline::fit_frame(bench.header.size_mm, room);
    let centred = Rect { x: room.x + (room.width - frame.width) / 2, ..frame };
    panel_outline::render_panel_outline(canvas, centred, &bench.act);
    if pots > 0 {
        bench_parts::render_pots(canvas, take_last_rows(rest, rest.height.saturating_sub(frame.height)), &bench.pots);
    }
}

/// Words and keys along the lower edge; tells how many rows they took.
fn render_footer(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel, beside: bool) -> u16 {
    bench_parts::render_key_hints(canvas, take_last_rows(area, 1), &bench.keys);
    let columns = area.width;
    let tall = area.height >= 26;
    let said = [bench.status_line.as_ref().map_or("", |n| n.text.as_str()), &bench.caution, &bench.tip];
    let wanted: u16 = said.iter().map(|w| canvas.wrapped_height(w, columns)).sum();
    let says = if beside { u16::from(bench.status_line.is_some()) } else { wanted.min(if tall { 4 } else { 1 }) };
    let rack = if beside { 0 } else { (bench.rack.len() as u16).min(if tall { area.height / 8 } else { 1 }) };
    let info =
        u16::from(!(beside || bench.air.is_empty() && bench.next_act.is_empty() && bench.inspections_due.is_empty()));
    let own = find_inspections_row(canvas, columns, bench).filter(|_| info > 0 && tall);
    let first = said.into_iter().find(|w| !w.is_empty()).unwrap_or("");
    let shared = !tall && rack > 0 && says > 0 && canvas.text_width(first) < columns / 2;
    let rows = 1 + says + rack + info + u16::from(own.is_some()) - u16::from(shared);
    let mut rest = take_last_rows(area, rows);
    if info > 0 {
        render_info_line(canvas, take_rows(rest, 1), bench, own.is_none());
        rest = skip_rows(rest, 1);
    }
    if let Some(looks) = own {
        canvas.draw_text(take_rows(rest, 1), looks, Ink::Text);
        rest = skip_rows(rest, 1);
    }
    if shared {
        bench_parts::render_rack(canvas, take_columns(take_rows(rest, 1), columns / 2), &bench.rack);
        rest = skip_columns(rest, columns.saturating_sub(canvas.text_width(first)));
    } else {
        bench_parts::render_rack(canvas, take_rows(rest, rack), &bench.rack);
        rest = skip_rows(rest, rack);
    }
    bench_parts::render_messages(canvas, take_rows(rest, says), bench);
    rows + u16::from(tall)
}

/// The looks that are due, where they are not told at length between what comes next and the air.
fn find_inspections_row<'a>(canvas: &Canvas<'_>, columns: u16, bench: &'a BenchViewModel) -> Option<&'a str> {
    let looks = bench.inspections_due.first()?;
    let air = if bench.air.is_empty() { 0 } else { canvas.text_width(&bench.air) + 6 };
    (canvas.text_width(&bench.next_act) + 2 + canvas.text_width(looks) + air > columns).then_some(looks)
}

/// What comes next, the looks that are due where they stand here, and the air.
fn render_info_line(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel, looks: bool) {
    let used = canvas.draw_text(area, &bench.next_act, Ink::Text);
    let rest = skip_columns(area, if used > 0 { used + 2 } else { 0 });
    let air = if bench.air.is_empty() { String::new() } else { format!("air {}", bench.air) };
    let for_air = canvas.draw_text_right(rest, &air, Ink::Text);
    let between = take_columns(rest, rest.width.saturating_sub(if for_air > 0 { for_air + 2 } else { 0 }));
    if let Some(looks) = bench.inspections_due.iter().find(|words| looks && canvas.text_width(words) <= between.width) {
        canvas.draw_text(between, looks, Ink::Text);
    }
}

/// What stands beside the section on a wide window.
fn render_sidebar(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) {
    let mut rest = area;
    let used = bench_parts::render_pots(canvas, take_rows(rest, rest.height / 3), &bench.pots);
    rest = skip_rows(rest, used + u16::from(used > 0));
    if !bench.rack.is_empty() {
        let used = bench_parts::render_rack(canvas, take_rows(rest, rest.height / 2), &bench.rack);
        rest = skip_rows(rest, used + 1);
    }
    let air = if bench.air.is_empty() { String::new() } else { format!("air {}", bench.air) };
    let looks = bench.inspections_due.first().cloned().unwrap_or_default();
    for words in [&bench.next_act, &air, &looks] {
        rest = skip_rows(rest, if words.is_empty() { 0 } else { canvas.draw_wrapped(rest, words, Ink::Text) });
    }
    for (words, ink) in [(&bench.caution, Ink::Strong), (&bench.tip, Ink::Text)] {
        if !words.is_empty() {
            rest = skip_rows(rest, 1);
            rest = skip_rows(rest, canvas.draw_wrapped(rest, words, ink));
        }
    }
}

/// Everything one below the other.
fn render_tall(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) {
    bench_parts::render_header(canvas, area, bench);
    let mut rest = skip_rows(area, 1);
    let (act, manner) = bench_parts::render_act(canvas, take_rows(rest, 2 * letters::rows_at_scale(1)), bench, 2);
    rest = skip_rows(rest, act);
    bench_parts::render_bar(canvas, rest, bench);
    rest = skip_rows(rest, 1);
    let foot = render_footer(canvas, rest, bench, false);
    rest = take_rows(rest, rest.height.saturating_sub(foot));
    rest = skip_rows(
        rest,
        bench_parts::render_digits(canvas, take_rows(rest, (rest.height / 3).max(digits::MIN_ROWS + 1)), bench, true),
    );
    rest = skip_rows(rest, bench_parts::render_under_digits(canvas, take_rows(rest, 5), bench, &manner));
    rest = skip_rows(rest, u16::from(rest.height >= 24));
    rest = skip_rows(rest, bench_parts::render_direction(canvas, rest, bench, rest.height >= 24));
    let wanted = cross_section::count_wanted_rows(&bench.cross_section).min(rest.height * 2 / 5);
    let pots = bench_parts::count_pots_rows(&bench.pots).min(rest.height / 4);
    let room = take_rows(rest, rest.height.saturating_sub(wanted + pots + 1));
    let frame = panel_outline::fit_frame(bench.header.size_mm, room);
    panel_outline::render_panel_outline(
        canvas,
        Rect { x: room.x + (room.width - frame.width) / 2, ..frame },
        &bench.act,
    );
    rest = skip_rows(rest, frame.height);
    rest = skip_rows(rest, bench_parts::render_pots(canvas, take_rows(rest, pots), &bench.pots));
    cross_section::render_cross_section(
        canvas,
        take_last_rows(rest, rest.height.saturating_sub(1)),
        &bench.cross_section,
    );
}
