//! What happened over time: the coats of a panel, its powder maps, its pots, the air; each on a scale with figures.

use super::axis::{Axis, format_px};
use crate::craft::recipe::Direction;
use crate::review::panel_timeline::{PanelTimeline, TimelineCoat};
use crate::review::pots_and_air::PotTimeline;
use crate::text::{format_count, format_duration, format_number, format_times, sanitize};
use crate::units::{Span, Stamp};
use crate::work::panel::event::{CheckMap, Face, Roughness, StageKind};
use maud::{Markup, html};

const TIMELINE_WIDTH_PX: f64 = 640.0;
const TIMELINE_LEFT_PX: f64 = 6.0;

/// The scale of minutes that all panels share, in hours.
fn hours_axis(longest_min: f64) -> Axis {
    Axis::over(0.0, longest_min.max(1.0) / 60.0, TIMELINE_LEFT_PX, TIMELINE_LEFT_PX + TIMELINE_WIDTH_PX)
}

/// The coats of a panel on a scale of hours that all panels share.
pub fn timeline_figure(line: &PanelTimeline, longest_min: f64) -> Markup {
    let axis = hours_axis(longest_min);
    let at = |m: &TimelineCoat| axis.px(m.minute / 60.0);
    let message = timeline_text(line);
    html! {
        figure.line {
            svg viewBox="0 0 660 58" width="660" height="58" role="img" aria-label=(message) {
                (axis.horizontal(38.0, " h"))
                @for m in &line.coats {
                    @let x = at(m);
                    @let class = if m.kind == StageKind::Stipple { "st" } else { "co" };
                    @let is_back = m.face == Some(Face::Back);
                    @let (top, reach) = if is_back { (30, "30V38") } else { (12, "12V28") };
                    path class=(class) d=(format!("M{} {reach}", format_px(x))) {}
                    @if m.direction == Some(Direction::Horizontal) {
                        path.co d=(format!("M{} {top}h6", format_px(x - 3.0))) {}
                    }
                    @if m.early { circle.in cx=(format_px(x)) cy="33" r="2" {} }
                    @if m.after_long_gap { circle.co cx=(format_px(x)) cy="6" r="3" {} }
                }
            }
            figcaption { (message) }
        }
    }
}

fn timeline_text(line: &PanelTimeline) -> String {
    let label = sanitize(&line.label);
    if line.coats.is_empty() {
        return format!("{label}: no gesso yet.");
    }
    let front = line.coats.iter().filter(|m| m.face != Some(Face::Back)).count();
    let back = line.coats.len() - front;
    let early = line.coats.iter().filter(|m| m.early).count();
    let gaps = line.coats.iter().filter(|m| m.after_long_gap).count();
    let part = |n: usize, words: &str| if n == 0 { String::new() } else { format!(", {n} {words}") };
    format!(
        "{label}: {front} on the front{}{}{}, in {}.",
        part(back, "on the back"),
        part(early, "early"),
        part(gaps, "on a bone-dry coat"),
        format_duration(Span::from_min(line.duration_min()))
    )
}

/// The powder maps of a panel, round by round.
pub fn check_map_figures(line: &PanelTimeline) -> Markup {
    html! {
        @if !line.checks.is_empty() {
            h3 { "Under the dark powder" }
            @for (i, map) in line.checks.iter().enumerate() { (check_map_figure(i + 1, map.as_ref(), line)) }
        }
    }
}

fn check_map_figure(round: usize, map: Option<&CheckMap>, line: &PanelTimeline) -> Markup {
    let (columns, rows) = match map {
        Some(map) => (map.rows()[0].len(), map.rows().len()),
        None => {
            let (columns, rows) = line.areas.expect("a check was done, so the recipe has one");
            (columns as usize, rows as usize)
        }
    };
    let (width, height) = line.size_mm;
    let wide = 84.0_f64;
    let high = (wide * height / width.max(1.0)).clamp(24.0, 168.0);
    let (cw, ch) = (wide / columns.max(1) as f64, high / rows.max(1) as f64);
    let low = |r: usize, c: usize| map.and_then(|m| m.rows().get(r)?.get(c).copied()).unwrap_or(Roughness::None);
    let message = format!(
        "Round {round}: {}",
        map.map_or_else(|| "clear".to_owned(), crate::work::advice::fact_text::format_check_map)
    );
    html! {
        figure.row {
            svg viewBox=(format!("0 0 {} {}", format_px(wide + 2.0), format_px(high + 2.0))) width=(format_px(wide + 2.0)) height=(format_px(high + 2.0)) role="img" aria-label=(message) {
                @for r in 0..rows { @for c in 0..columns {
                    rect class=(["g0", "g1", "g2"][low(r, c) as usize]) x=(format_px(1.0 + c as f64 * cw)) y=(format_px(1.0 + r as f64 * ch)) width=(format_px(cw)) height=(format_px(ch)) {}
                } }
            }
            figcaption { (message) }
        }
    }
}

/// The left and right end of a course, and its floor and top.
const COURSE_PX: (f64, f64, f64, f64) = (48.0, 640.0, 96.0, 10.0);

fn course_axis(low: f64, high: f64) -> Axis {
    Axis::over(low, high, COURSE_PX.2, COURSE_PX.3)
}

fn svg_path(points: impl Iterator<Item = (f64, f64)>) -> String {
    let step = |(i, (x, y)): (usize, (f64, f64))| {
        format!("{}{} {}", if i == 0 { "M" } else { "L" }, format_px(x), format_px(y))
    };
    points.enumerate().map(step).collect()
}

fn min_max(values: impl Iterator<Item = f64> + Clone) -> (f64, f64) {
    (values.clone().fold(f64::INFINITY, f64::min), values.fold(f64::NEG_INFINITY, f64::max))
}

/// How hot a pot was read and when water was given back to it; in words where it was read but once, nothing where never.
pub fn pot_figure(course: &PotTimeline) -> Markup {
    if course.temps_c.is_empty() {
        return html! {};
    }
    let times = || course.temps_c.iter().chain(&course.water_g).map(|(at, _)| *at);
    let (Some(from), Some(to)) = (times().min(), times().max()) else { return html! {} };
    let message = pot_text(course, from, to);
    if course.temps_c.len() == 1 {
        return html! { p { (message) } };
    }
    let (low, high) = min_max(course.temps_c.iter().map(|(_, c)| *c));
    let heat = course_axis(low.min(20.0), high.max(course.overheat_c));
    let hours = Axis::over(0.0, (to - from).hours(), COURSE_PX.0, COURSE_PX.1);
    let x = |at: Stamp| hours.px((at - from).hours());
    let points = || course.temps_c.iter().map(|(at, c)| (x(*at), heat.px(*c)));
    html! {
        figure {
            svg viewBox="0 0 660 118" width="660" height="118" role="img" aria-label=(message) {
                (heat.vertical(COURSE_PX.0, COURSE_PX.1, " C"))
                (hours.horizontal(COURSE_PX.2, " h"))
                path.st d=(format!("M{} {}H{}", format_px(COURSE_PX.0), format_px(heat.px(course.overheat_c)), format_px(COURSE_PX.1))) {}
                path.co d=(svg_path(points())) {}
                @for (x, y) in points() { circle.in cx=(format_px(x)) cy=(format_px(y)) r="2.5" {} }
                @for (at, _) in &course.water_g { path.mkl d=(format!("M{} {}v-12", format_px(x(*at)), format_px(COURSE_PX.2))) {} }
            }
            figcaption { (message) " The broken line is where it counts as overheated" @if !course.water_g.is_empty() { "; a stroke on the floor is water" } "." }
        }
    }
}

fn pot_text(course: &PotTimeline, from: Stamp, to: Stamp) -> String {
    let (low, high) = min_max(course.temps_c.iter().map(|(_, c)| *c));
    let given: f64 = course.water_g.iter().map(|(_, g)| *g).sum();
    let over = if high >= course.overheat_c {
        format!("; overheated, {} C or more", format_number(course.overheat_c, 0))
    } else {
        String::new()
    };
    let water = match course.water_g.len() {
        0 => "no water given back".to_owned(),
        n => format!("{} g of water given back in {}", format_number(given, 0), format_count(n, "time")),
    };
    format!(
        "{}: read {}, {} to {} C{over}; {water}; over {}.",
        sanitize(&course.label),
        format_times(course.temps_c.len()),
        format_number(low, 0),
        format_number(high, 0),
        format_duration(to - from)
    )
}

/// A gap of the readings longer than this is a gap in the line, since a reading holds no longer.
const AIR_GAP_H: f64 = 6.0;

/// The air while coats went on: humidity above, temperature below it, on one scale of days.
pub fn air_figure(readings: &[(Stamp, f64, f64)], day: &dyn Fn(Stamp) -> String) -> Markup {
    let (Some(first), Some(last)) = (readings.first(), readings.last()) else { return html! {} };
    let (cold, warm) = min_max(readings.iter().map(|r| r.1));
    let (dry, damp) = min_max(readings.iter().map(|r| r.2));
    let message = format!(
        "From {} to {}: {} to {} C, humidity {} to {} %, in {}.",
        day(first.0),
        day(last.0),
        format_number(cold, 1),
        format_number(warm, 1),
        format_number(dry, 0),
        format_number(damp, 0),
        format_count(readings.len(), "reading")
    );
    let humidity = Axis::over(dry, damp, 76.0, 10.0);
    let heat = Axis::over(cold, warm, 166.0, 100.0);
    let days = Axis::over(0.0, (last.0 - first.0).hours() / 24.0, COURSE_PX.0, COURSE_PX.1);
    let line = |axis: &Axis, of: fn(&(Stamp, f64, f64)) -> f64| {
        let mut path = String::new();
        let mut before: Option<Stamp> = None;
        for r in readings {
            let joined = before.replace(r.0).is_some_and(|at| (r.0 - at).hours() <= AIR_GAP_H);
            let x = days.px((r.0 - first.0).hours() / 24.0);
            // A reading alone is a short stroke, else it could not be seen.
            let step = if joined { "L" } else { "M" };
            path += &format!("{step}{} {}", format_px(x), format_px(axis.px(of(r))));
            if !joined {
                path += "h3";
            }
        }
        path
    };
    html! {
        figure {
            svg viewBox="0 0 660 190" width="660" height="190" role="img" aria-label=(message) {
                (humidity.vertical(COURSE_PX.0, COURSE_PX.1, " %"))
                (heat.vertical(COURSE_PX.0, COURSE_PX.1, " C"))
                (days.horizontal(168.0, " days"))
                path.co d=(line(&humidity, |r| r.2)) {}
                path.st d=(line(&heat, |r| r.1)) {}
            }
            figcaption { (message) " Above, whole line: humidity. Below, broken line: temperature. The days count from the first reading." }
        }
    }
}
