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
pub fn render_bench(scene: &BenchViewModel, theme: &Theme, buf: &mut Buffer) {
    let area = buf.area;
    render_bench_in(scene, theme, buf, area);
}

/// Draws the bench into `area` of a buffer nothing was drawn on yet; tells what of it moves every second.
pub(super) fn render_bench_in(scene: &BenchViewModel, theme: &Theme, buf: &mut Buffer, area: Rect) -> LiveRegions {
    let area = area.intersection(buf.area);
    let mut pen = Canvas::new_on_blank(buf, area, theme);
    let area = render_guidance(&mut pen, area, scene);
    match (area.width, area.height) {
        (0, _) | (_, 0) => {}
        (0..36, _) | (_, 0..16) => small_layout::render_small_layout(&mut pen, area, scene),
        (_, _) if scene.distance_mode => distance_layout::render_distance_layout(&mut pen, area, scene),
        (36..64, 24..) => render_tall(&mut pen, area, scene),
        (36..64, _) => small_layout::render_small_layout(&mut pen, area, scene),
        (_, _) => render_wide(&mut pen, area, scene),
    }
    pen.live_regions
}

/// Says the sentence a newcomer is led by along the lower edge, inside out; tells what is left above it.
fn render_guidance(pen: &mut Canvas<'_>, area: Rect, scene: &BenchViewModel) -> Rect {
    if scene.guidance.is_empty() {
        return area;
    }
    let inside = |band: Rect| Rect { x: band.x.saturating_add(1), width: band.width.saturating_sub(2), ..band };
    let rows = pen.wrapped_height(&scene.guidance, inside(area).width).min(area.height / 3);
    let band = take_last_rows(area, rows);
    pen.fill(band, ' ', Ink::Alert);
    pen.draw_wrapped(inside(band), &scene.guidance, Ink::Alert);
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
fn render_wide(pen: &mut Canvas<'_>, area: Rect, scene: &BenchViewModel) {
    let area = Rect { x: area.x + 1, width: area.width.saturating_sub(2), ..area };
    bench_parts::render_header(pen, area, scene);
    let mut rest = skip_rows(area, if area.height >= 28 { 2 } else { 1 });
    let for_act = if area.height < 20 { 2 } else { rest.height / 3 };
    let (act, how) = bench_parts::render_act(pen, take_rows(rest, for_act), scene, max_act_scale(area.height));
    rest = skip_rows(rest, act);
    bench_parts::render_bar(pen, Rect { x: area.x - 1, width: area.width + 2, ..take_rows(rest, 1) }, scene);
    rest = skip_rows(rest, 1);
    let beside = area.width >= 140 && area.height >= 30;
    let foot = render_footer(pen, rest, scene, beside);
    rest = take_rows(rest, rest.height.saturating_sub(foot));
    let wide = (rest.width * 35 / 100).clamp(29, 90).min(rest.width / 2);
    render_panel(pen, take_columns(rest, wide), scene, !beside);
    render_time_and_section(pen, skip_columns(rest, wide + 3), scene, &how, beside);
}

/// Digits, what stands under them, and the section with what is left.
fn render_time_and_section(pen: &mut Canvas<'_>, area: Rect, scene: &BenchViewModel, how: &str, beside: bool) {
    let hangs = scene.urgency.is_overdue();
    let area = skip_rows(area, u16::from(!hangs && area.height >= 22));
    let words = bench_parts::count_under_digits_rows(pen, area.width, scene, how);
    let for_section =
        cross_section::count_wanted_rows(&scene.cross_section).max(area.height / 3).min(area.height * 45 / 100);
    let for_digits = area.height.saturating_sub(words + for_section).max(digits::MIN_ROWS + 1);
    let used = bench_parts::render_digits(pen, take_rows(area, for_digits), scene, hangs && area.height < 22);
    let mut rest = skip_rows(area, used);
    rest = skip_rows(rest, bench_parts::render_under_digits(pen, rest, scene, how));
    let gap = u16::from(rest.height > cross_section::count_wanted_rows(&scene.cross_section));
    rest = skip_rows(rest, gap);
    if beside {
        let wide = (area.width / 3).clamp(30, 44);
        render_sidebar(pen, skip_columns(rest, rest.width.saturating_sub(wide)), scene);
        rest = take_columns(rest, rest.width.saturating_sub(wide + 3));
    }
    cross_section::render_cross_section(pen, rest, &scene.cross_section);
}

/// The direction in words, the panel, and under it the pots unless they stand elsewhere.
fn render_panel(pen: &mut Canvas<'_>, area: Rect, scene: &BenchViewModel, with_pots: bool) {
    let area = skip_rows(area, u16::from(area.height >= 20));
    let way = bench_parts::render_direction(pen, area, scene, area.height >= 20);
    let rest = skip_rows(area, way);
    let pots = if with_pots { bench_parts::count_pots_rows(&scene.pots).min(rest.height / 3) } else { 0 };
    let room = take_rows(rest, rest.height.saturating_sub(pots));
    let frame = panel_outline::fit_frame(scene.header.size_mm, room);
    let centred = Rect { x: room.x + (room.width - frame.width) / 2, ..frame };
    panel_outline::render_panel_outline(pen, centred, &scene.act);
    if pots > 0 {
        bench_parts::render_pots(pen, take_last_rows(rest, rest.height.saturating_sub(frame.height)), &scene.pots);
    }
}

/// Words and keys along the lower edge; tells how many rows they took.
fn render_footer(pen: &mut Canvas<'_>, area: Rect, scene: &BenchViewModel, beside: bool) -> u16 {
    bench_parts::render_key_hints(pen, take_last_rows(area, 1), &scene.keys);
    let columns = area.width;
    let tall = area.height >= 26;
    let said = [scene.status_line.as_ref().map_or("", |n| n.text.as_str()), &scene.caution, &scene.tip];
    let wanted: u16 = said.iter().map(|w| pen.wrapped_height(w, columns)).sum();
    let says = if beside { u16::from(scene.status_line.is_some()) } else { wanted.min(if tall { 4 } else { 1 }) };
    let rack = if beside { 0 } else { (scene.rack.len() as u16).min(if tall { area.height / 8 } else { 1 }) };
    let info =
        u16::from(!(beside || scene.air.is_empty() && scene.next_act.is_empty() && scene.inspections_due.is_empty()));
    let own = find_inspections_row(pen, columns, scene).filter(|_| info > 0 && tall);
    let first = said.into_iter().find(|w| !w.is_empty()).unwrap_or("");
    let shared = !tall && rack > 0 && says > 0 && pen.text_width(first) < columns / 2;
    let rows = 1 + says + rack + info + u16::from(own.is_some()) - u16::from(shared);
    let mut rest = take_last_rows(area, rows);
    if info > 0 {
        render_info_line(pen, take_rows(rest, 1), scene, own.is_none());
        rest = skip_rows(rest, 1);
    }
    if let Some(looks) = own {
        pen.draw_text(take_rows(rest, 1), looks, Ink::Text);
        rest = skip_rows(rest, 1);
    }
    if shared {
        bench_parts::render_rack(pen, take_columns(take_rows(rest, 1), columns / 2), &scene.rack);
        rest = skip_columns(rest, columns.saturating_sub(pen.text_width(first)));
    } else {
        bench_parts::render_rack(pen, take_rows(rest, rack), &scene.rack);
        rest = skip_rows(rest, rack);
    }
    bench_parts::render_messages(pen, take_rows(rest, says), scene);
    rows + u16::from(tall)
}

/// The looks that are due, where they are not told at length between what comes next and the air.
fn find_inspections_row<'a>(pen: &Canvas<'_>, columns: u16, scene: &'a BenchViewModel) -> Option<&'a str> {
    let looks = scene.inspections_due.first()?;
    let air = if scene.air.is_empty() { 0 } else { pen.text_width(&scene.air) + 6 };
    (pen.text_width(&scene.next_act) + 2 + pen.text_width(looks) + air > columns).then_some(looks)
}

/// What comes next, the looks that are due where they stand here, and the air.
fn render_info_line(pen: &mut Canvas<'_>, area: Rect, scene: &BenchViewModel, looks: bool) {
    let used = pen.draw_text(area, &scene.next_act, Ink::Text);
    let rest = skip_columns(area, if used > 0 { used + 2 } else { 0 });
    let air = if scene.air.is_empty() { String::new() } else { format!("air {}", scene.air) };
    let for_air = pen.draw_text_right(rest, &air, Ink::Text);
    let between = take_columns(rest, rest.width.saturating_sub(if for_air > 0 { for_air + 2 } else { 0 }));
    if let Some(looks) = scene.inspections_due.iter().find(|words| looks && pen.text_width(words) <= between.width) {
        pen.draw_text(between, looks, Ink::Text);
    }
}

/// What stands beside the section on a wide window.
fn render_sidebar(pen: &mut Canvas<'_>, area: Rect, scene: &BenchViewModel) {
    let mut rest = area;
    let used = bench_parts::render_pots(pen, take_rows(rest, rest.height / 3), &scene.pots);
    rest = skip_rows(rest, used + u16::from(used > 0));
    if !scene.rack.is_empty() {
        let used = bench_parts::render_rack(pen, take_rows(rest, rest.height / 2), &scene.rack);
        rest = skip_rows(rest, used + 1);
    }
    let air = if scene.air.is_empty() { String::new() } else { format!("air {}", scene.air) };
    let looks = scene.inspections_due.first().cloned().unwrap_or_default();
    for words in [&scene.next_act, &air, &looks] {
        rest = skip_rows(rest, if words.is_empty() { 0 } else { pen.draw_wrapped(rest, words, Ink::Text) });
    }
    for (words, ink) in [(&scene.caution, Ink::Strong), (&scene.tip, Ink::Text)] {
        if !words.is_empty() {
            rest = skip_rows(rest, 1);
            rest = skip_rows(rest, pen.draw_wrapped(rest, words, ink));
        }
    }
}

/// Everything one below the other.
fn render_tall(pen: &mut Canvas<'_>, area: Rect, scene: &BenchViewModel) {
    bench_parts::render_header(pen, area, scene);
    let mut rest = skip_rows(area, 1);
    let (act, how) = bench_parts::render_act(pen, take_rows(rest, 2 * letters::rows_at_scale(1)), scene, 2);
    rest = skip_rows(rest, act);
    bench_parts::render_bar(pen, rest, scene);
    rest = skip_rows(rest, 1);
    let foot = render_footer(pen, rest, scene, false);
    rest = take_rows(rest, rest.height.saturating_sub(foot));
    rest = skip_rows(
        rest,
        bench_parts::render_digits(pen, take_rows(rest, (rest.height / 3).max(digits::MIN_ROWS + 1)), scene, true),
    );
    rest = skip_rows(rest, bench_parts::render_under_digits(pen, take_rows(rest, 5), scene, &how));
    rest = skip_rows(rest, u16::from(rest.height >= 24));
    rest = skip_rows(rest, bench_parts::render_direction(pen, rest, scene, rest.height >= 24));
    let wanted = cross_section::count_wanted_rows(&scene.cross_section).min(rest.height * 2 / 5);
    let pots = bench_parts::count_pots_rows(&scene.pots).min(rest.height / 4);
    let room = take_rows(rest, rest.height.saturating_sub(wanted + pots + 1));
    let frame = panel_outline::fit_frame(scene.header.size_mm, room);
    panel_outline::render_panel_outline(pen, Rect { x: room.x + (room.width - frame.width) / 2, ..frame }, &scene.act);
    rest = skip_rows(rest, frame.height);
    rest = skip_rows(rest, bench_parts::render_pots(pen, take_rows(rest, pots), &scene.pots));
    cross_section::render_cross_section(pen, take_last_rows(rest, rest.height.saturating_sub(1)), &scene.cross_section);
}
