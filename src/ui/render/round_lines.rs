//! The lines of a round: the boards in their places, what comes in order, and when it ends. Each gives way only between its
//! parts.

use super::canvas::{Canvas, skip_columns, take_columns, take_rows};
use crate::app::bench_view_model::{BenchViewModel, PlaceViewModel, QueueItem};
use crate::ui::theme::Ink;
use ratatui::layout::Rect;

/// Columns between two places.
const PLACES_GAP: u16 = 3;

/// The boards in their places and the time at the right. Where not all fit, those about the one shown, and how many are left
/// out at either side.
pub(super) fn render_places(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) {
    let area = take_rows(area, 1);
    canvas.live_regions.places = Some(area);
    let for_clock = if area.width >= 40 { canvas.draw_text_right(area, &bench.clock, Ink::Strong) + 2 } else { 0 };
    let area = take_columns(area, area.width.saturating_sub(for_clock));
    let texts: Vec<String> = bench.places.iter().map(format_place).collect();
    let shown = bench.places.iter().position(|place| place.is_shown).unwrap_or(0);
    let (first, last) = find_places_window(canvas, &texts, shown, area.width);
    let mut rest = area;
    if first > 0 {
        let used = canvas.draw_text(rest, &format_left_out(first, true), Ink::Text);
        rest = skip_columns(rest, used + PLACES_GAP);
    }
    for (place, text) in bench.places.iter().zip(&texts).take(last + 1).skip(first) {
        let ink = match (place.is_due, place.is_shown) {
            (true, _) => Ink::Alert,
            (false, true) => Ink::Strong,
            (false, false) => Ink::Text,
        };
        let used = canvas.draw_text(rest, text, ink);
        rest = skip_columns(rest, used + PLACES_GAP);
    }
    if last + 1 < texts.len() {
        canvas.draw_text(rest, &format_left_out(texts.len() - last - 1, false), Ink::Text);
    }
}

fn format_place(place: &PlaceViewModel) -> String {
    let name = if place.is_shown { format!("[{}]", place.name) } else { place.name.clone() };
    super::bench_parts::join_nonempty(&[&name, &place.time], " ")
}

fn format_left_out(places: usize, is_left: bool) -> String {
    if is_left { format!("← {places}") } else { format!("{places} →") }
}

/// The first and the last place that stand on the line, the shown one among them.
fn find_places_window(canvas: &Canvas<'_>, texts: &[String], shown: usize, columns: u16) -> (usize, usize) {
    let wide: Vec<u16> = texts.iter().map(|text| canvas.text_width(text).saturating_add(PLACES_GAP)).collect();
    let count = texts.len();
    let fits = |first: usize, last: usize| {
        let places: u16 = wide.iter().take(last + 1).skip(first).fold(0, |sum, w| sum.saturating_add(*w));
        let mark = |left_out: usize| match left_out {
            0 => 0,
            n => canvas.text_width(&format_left_out(n, true)) + PLACES_GAP,
        };
        let marks = mark(first) + mark(count.saturating_sub(last + 1));
        places.saturating_add(marks).saturating_sub(PLACES_GAP) <= columns
    };
    let (mut first, mut last) = (shown, shown);
    loop {
        let right = last + 1 < count && fits(first, last + 1);
        last += usize::from(right);
        let left = first > 0 && fits(first - 1, last);
        first -= usize::from(left);
        if !right && !left {
            return (first, last);
        }
    }
}

/// What comes, in order, as many as fit, and how many more.
pub(super) fn render_queue(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) {
    let area = take_rows(area, 1);
    canvas.live_regions.queue = Some(area);
    let count = bench.queue.len();
    let used = canvas.draw_text(area, "then: ", Ink::Text);
    let mut rest = skip_columns(area, used);
    for (i, item) in bench.queue.iter().enumerate() {
        let text = format_queue_item(item);
        let is_last = i + 1 == count;
        let more = if is_last { 0 } else { canvas.text_width(&format_more(count - i - 1)) + 2 };
        if canvas.text_width(&text).saturating_add(more) > rest.width {
            canvas.draw_text(rest, &format_more(count - i), Ink::Text);
            return;
        }
        let used = canvas.draw_text(rest, &text, if item.is_now { Ink::Strong } else { Ink::Text });
        rest = skip_columns(rest, used);
        if !is_last {
            rest = skip_columns(rest, canvas.draw_text(rest, ", ", Ink::Text));
        }
    }
}

fn format_more(count: usize) -> String {
    format!("… {count} more")
}

fn format_queue_item(item: &QueueItem) -> String {
    let name = if item.is_now { item.name.to_uppercase() } else { item.name.clone() };
    let what = if item.is_pot { item.what.as_str() } else { "" };
    super::bench_parts::join_nonempty(&[&name, what, &item.time], " ")
}
