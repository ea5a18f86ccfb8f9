//! The pictures of the report, drawn in place as SVG, each with its words.
//!
//! Figures are printed with one decimal, so that the same panels give the same bytes.

use crate::craft::recipe::Direction;
use crate::review::column::ComparedAs;
use crate::review::columns::compared_columns;
use crate::review::compare::Comparison;
use crate::review::cross_section::{CrossSection, CrossSectionLayer};
use crate::review::panel_timeline::{PanelTimeline, TimelineCoat};
use crate::review::pots_and_air::PotTimeline;
use crate::text::{format_count, format_duration, format_number, format_times, sanitize};
use crate::units::{Span, Stamp};
use crate::work::panel::event::{CheckMap, Face, Roughness, StageKind};
use crate::work::panel::stage_kind::StageTexture;
use maud::{Markup, html};
use std::collections::BTreeSet;

/// A length of a drawing.
fn format_px(v: f64) -> String {
    format!("{v:.1}")
}

/// The textures of the layers, once for the whole page.
pub fn hatch_patterns() -> Markup {
    html! {
        svg.hatch aria-hidden="true" focusable="false" {
            defs {
                pattern id="hatch-h" width="6" height="4" patternUnits="userSpaceOnUse" { path.hh d="M0 2H6" {} }
                pattern id="hatch-v" width="4" height="6" patternUnits="userSpaceOnUse" { path.hh d="M2 0V6" {} }
                pattern id="hatch-d" width="6" height="6" patternUnits="userSpaceOnUse" { circle.in cx="2" cy="2" r="1" {} circle.in cx="5" cy="5" r="1" {} }
                pattern id="hatch-w" width="6" height="6" patternUnits="userSpaceOnUse" { path.hh d="M0 6L6 0" {} }
            }
        }
    }
}

const fn hatch_fill(layer: &CrossSectionLayer) -> &'static str {
    match (layer.kind.row().texture, layer.direction) {
        (StageTexture::Dots, _) => "url(#hatch-d)",
        (_, Some(Direction::Horizontal)) => "url(#hatch-h)",
        (_, Some(Direction::Vertical)) => "url(#hatch-v)",
        (_, None) => "url(#hatch-w)",
    }
}

/// Pixels to a micrometre, so that the thickest section fits; the same for all that are to be compared.
pub fn section_scale<'a>(sections: impl Iterator<Item = &'a CrossSection>) -> f64 {
    let thick = |layers: &[CrossSectionLayer]| layers.iter().filter_map(|l| l.dry_um.or(l.wet_um)).sum::<f64>();
    let thickest = sections.map(|s| thick(&s.front) + thick(&s.back)).fold(1.0, f64::max);
    (220.0 / thickest).min(0.5)
}

const WOOD_PX: f64 = 26.0;
const SOAKED_LAYER_PX: f64 = 4.0;
const SECTION_WIDTH_PX: f64 = 320.0;

/// A panel cut open: layers to scale in micrometres, the board shortened.
pub fn section_figure(s: &CrossSection, px_per_um: f64, label: &str) -> Markup {
    let thick = |l: &CrossSectionLayer| l.dry_um.or(l.wet_um).map_or(SOAKED_LAYER_PX, |um| (um * px_per_um).max(2.0));
    let front: f64 = s.front.iter().map(thick).sum();
    let back: f64 = s.back.iter().map(thick).sum();
    let high = front + back + WOOD_PX + 44.0;
    let message = section_text(s, label);
    let bar_um = scale_bar_um(px_per_um);
    let mut y = 16.0;
    let mut bands: Vec<(f64, f64, &CrossSectionLayer)> = Vec::new();
    for layer in s.front.iter().rev() {
        bands.push((y, thick(layer), layer));
        y += thick(layer);
    }
    let wood = y;
    y += WOOD_PX;
    for layer in &s.back {
        bands.push((y, thick(layer), layer));
        y += thick(layer);
    }
    html! {
        figure.cut {
            svg viewBox=(format!("0 0 460 {}", format_px(high))) width="460" height=(format_px(high)) role="img" aria-label=(message) {
                text x="0" y="11" { "front" }
                @for (y, h, layer) in &bands {
                    rect.fl x="0" y=(format_px(*y)) width=(format_px(SECTION_WIDTH_PX)) height=(format_px(*h)) {}
                    rect x="0" y=(format_px(*y)) width=(format_px(SECTION_WIDTH_PX)) height=(format_px(*h)) fill=(hatch_fill(layer)) {}
                    @if *h >= 11.0 { text x=(format_px(SECTION_WIDTH_PX + 8.0)) y=(format_px(y + h / 2.0 + 4.0)) { (layer_label(layer)) } }
                }
                rect.wd x="0" y=(format_px(wood)) width=(format_px(SECTION_WIDTH_PX)) height=(format_px(WOOD_PX)) {}
                text x=(format_px(SECTION_WIDTH_PX + 8.0)) y=(format_px(wood + WOOD_PX / 2.0 + 4.0)) { "board" @if let Some(mm) = s.wood_mm { " " (format_number(mm, 1)) " mm" } }
                text x="0" y=(format_px(y + 14.0)) { "back" }
                path.co d=(format!("M{} {}H{}", format_px(SECTION_WIDTH_PX - bar_um * px_per_um), format_px(y + 10.0), format_px(SECTION_WIDTH_PX))) {}
                text x=(format_px(SECTION_WIDTH_PX + 8.0)) y=(format_px(y + 14.0)) { (format_number(bar_um, 0)) " µm" }
            }
            figcaption { (message) }
        }
    }
}

/// A round length of at most 100 pixels.
fn scale_bar_um(px_per_um: f64) -> f64 {
    [1000.0, 500.0, 200.0, 100.0, 50.0, 20.0].into_iter().find(|um| um * px_per_um <= 100.0).unwrap_or(10.0)
}

fn layer_label(layer: &CrossSectionLayer) -> String {
    let um = match (layer.dry_um, layer.wet_um) {
        (Some(um), _) => format!(", about {} µm", format_number(um, 0)),
        (None, Some(um)) => format!(", {} µm wet", format_number(um, 0)),
        (None, None) => String::new(),
    };
    let number = if layer.kind.row().brief_number { format!(" {}", layer.number) } else { String::new() };
    format!("{}{number}{um}", layer.kind.name())
}

fn section_text(s: &CrossSection, label: &str) -> String {
    let face = |name: &str, layers: &[CrossSectionLayer]| {
        if layers.is_empty() {
            return format!("{name} bare");
        }
        let each: Vec<String> = layers
            .iter()
            .map(|l| {
                l.direction.map_or_else(|| l.kind.name().to_owned(), |d| format!("{} {}", l.kind.name(), d.name()))
            })
            .collect();
        let each = each.join(", ");
        match (CrossSection::total_dry_um(layers).filter(|um| *um > 0.0), CrossSection::total_wet_um(layers)) {
            (Some(um), wet) => {
                format!("{name} about {} µm dry, {} µm as laid ({each})", format_number(um, 0), format_number(wet, 0))
            }
            (None, wet) if wet > 0.0 => format!("{name} {} µm as laid, wet ({each})", format_number(wet, 0)),
            (None, _) => format!("{name} {each}"),
        }
    };
    format!(
        "{label} cut open, from the wood outwards: {}; {}. Coats to scale, before scraping, the dry thickness an estimate; size and seal soak in; the board is drawn shortened.",
        face("front", &s.front),
        face("back", &s.back)
    )
}

const TIMELINE_WIDTH_PX: f64 = 640.0;

/// The coats of a panel on a scale of minutes that all panels share.
pub fn timeline_figure(line: &PanelTimeline, longest_min: f64) -> Markup {
    let scale = TIMELINE_WIDTH_PX / longest_min.max(1.0);
    let x = |m: &TimelineCoat| format_px(4.0 + m.minute * scale);
    let message = timeline_text(line);
    html! {
        figure.line {
            svg viewBox="0 0 660 40" width="660" height="40" role="img" aria-label=(message) {
                path.ax d="M4 30H644" {}
                @for hour in 1..=(longest_min / 60.0).min(TIMELINE_WIDTH_PX / 4.0) as u32 {
                    path.ax d=(format!("M{} 27V33", format_px(4.0 + f64::from(hour) * 60.0 * scale))) {}
                }
                @for m in &line.coats {
                    @let class = if m.kind == StageKind::Stipple { "st" } else { "co" };
                    @let reach = if m.face == Some(Face::Back) { "30V38" } else { "10V30" };
                    path class=(class) d=(format!("M{} {reach}", x(m))) {}
                    @if m.direction == Some(Direction::Horizontal) {
                        @let end = if m.face == Some(Face::Back) { 38 } else { 10 };
                        path.co d=(format!("M{} {end}h6", format_px(4.0 + m.minute * scale - 3.0))) {}
                    }
                    @if m.early { circle.in cx=(x(m)) cy="35" r="2" {} }
                    @if m.after_long_gap { circle.co cx=(x(m)) cy="6" r="3" {} }
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

/// The fields in which two groups lie furthest apart, a mark for each panel.
pub fn dot_plots(c: &Comparison) -> Markup {
    let Some(b) = &c.contrast else { return html! {} };
    let tested = c.differences.iter().filter(|d| d.p_value.is_some()).take(4);
    // What is compared at equal age is another thing for each comparison, and has no one figure to draw.
    let drawn = || compared_columns().filter(|(_, compared)| compared.as_what != ComparedAs::ResultAtEqualAge);
    let plots: Vec<_> = tested
        .filter_map(|d| drawn().find(|(c, _)| c.name == d.field).map(|(column, compared)| (d, column, compared)))
        .collect();
    html! {
        @for (d, column, compared) in plots {
            @let values: Vec<(bool, f64)> = c.panels.iter().filter_map(|row| Some((c.is_in_first_group(row)?, column.number(row)?))).collect();
            @let low = values.iter().map(|v| v.1).fold(f64::INFINITY, f64::min);
            @let high = values.iter().map(|v| v.1).fold(f64::NEG_INFINITY, f64::max);
            @if high > low {
                // Marks on one place are one to the eye, so they are drawn once.
                @let marks: BTreeSet<(bool, i64)> = values.iter().map(|(first, v)| (*first, ((v - low) / (high - low) * 1240.0).round() as i64)).collect();
                figure {
                    svg viewBox="0 0 660 70" width="660" height="70" role="img" aria-label=(sanitize(&d.text)) {
                        path.ax d="M20 50H640" {}
                        @for (first, half) in &marks {
                            @let x = 20.0 + *half as f64 / 2.0;
                            @if *first { rect.in x=(format_px(x - 3.0)) y="14" width="6" height="6" {} }
                            @else { circle.mk cx=(format_px(x)) cy="36" r="3.5" {} }
                        }
                        text x="20" y="65" { (format_number(low, 2)) (compared.unit) }
                        text x="640" y="65" text-anchor="end" { (format_number(high, 2)) (compared.unit) }
                    }
                    figcaption { (compared.label) ": squares " (sanitize(&b.name_a)) ", circles " (sanitize(&b.name_b)) "." }
                }
            }
        }
    }
}

/// A series on an axis of time, in a box of 620 by 60: (x, y) of each value.
fn scale_points(values: &[(Stamp, f64)], from: Stamp, to: Stamp, low: f64, high: f64) -> Vec<(f64, f64)> {
    let long = (to - from).hours().max(1e-6);
    let deep = (high - low).max(1e-6);
    let point = |(at, v): &(Stamp, f64)| (20.0 + (*at - from).hours() / long * 620.0, 70.0 - (v - low) / deep * 60.0);
    values.iter().filter(|(_, v)| v.is_finite()).map(point).collect()
}

fn svg_path(points: &[(f64, f64)]) -> String {
    let step = |(i, (x, y)): (usize, &(f64, f64))| {
        format!("{}{} {}", if i == 0 { "M" } else { "L" }, format_px(*x), format_px(*y))
    };
    points.iter().enumerate().map(step).collect()
}

fn min_max(values: impl Iterator<Item = f64> + Clone) -> (f64, f64) {
    (values.clone().fold(f64::INFINITY, f64::min), values.fold(f64::NEG_INFINITY, f64::max))
}

/// How hot a pot was read and when water was given back to it.
pub fn pot_figure(course: &PotTimeline) -> Markup {
    let times = || course.temps_c.iter().chain(&course.water_g).map(|(at, _)| *at);
    let (Some(from), Some(to)) = (times().min(), times().max()) else { return html! {} };
    let (low, high) = min_max(course.temps_c.iter().map(|(_, c)| *c));
    let given: f64 = course.water_g.iter().map(|(_, g)| *g).sum();
    let label = sanitize(&course.label);
    let read = match course.temps_c.len() {
        0 => "never read with a thermometer".to_owned(),
        n => format!("read {}, {} to {} C", format_times(n), format_number(low, 0), format_number(high, 0)),
    };
    let over = if high >= course.overheat_c {
        format!("; overheated, {} C or more", format_number(course.overheat_c, 0))
    } else {
        String::new()
    };
    let water = match course.water_g.len() {
        0 => "no water given back".to_owned(),
        n => format!("{} g of water given back in {}", format_number(given, 0), format_count(n, "time")),
    };
    let message = format!("{label}: {read}{over}; {water}; over {}.", format_duration(to - from));
    let (floor, top) = (low.min(20.0), high.max(course.overheat_c + 2.0));
    let points = scale_points(&course.temps_c, from, to, floor, top);
    let limit = scale_points(&[(from, course.overheat_c)], from, to, floor, top);
    let drops =
        scale_points(&course.water_g.iter().map(|(at, _)| (*at, floor)).collect::<Vec<_>>(), from, to, floor, top);
    html! {
        figure {
            svg viewBox="0 0 660 84" width="660" height="84" role="img" aria-label=(message) {
                path.ax d="M20 70H640" {}
                @for (_, y) in &limit { path.st d=(format!("M20 {}H640", format_px(*y))) {} }
                path.co d=(svg_path(&points)) {}
                @for (x, y) in &points { circle.in cx=(format_px(*x)) cy=(format_px(*y)) r="2.5" {} }
                @for (x, _) in &drops { path.co d=(format!("M{} 72V82", format_px(*x))) {} }
            }
            figcaption { (message) " The broken line is where it counts as overheated; a stroke below is water." }
        }
    }
}

/// The air while coats went on.
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
    let humid: Vec<(Stamp, f64)> = readings.iter().map(|r| (r.0, r.2)).collect();
    let heat: Vec<(Stamp, f64)> = readings.iter().map(|r| (r.0, r.1)).collect();
    html! {
        figure {
            svg viewBox="0 0 660 84" width="660" height="84" role="img" aria-label=(message) {
                path.ax d="M20 70H640" {}
                path.co d=(svg_path(&scale_points(&humid, first.0, last.0, 0.0, 100.0))) {}
                path.st d=(svg_path(&scale_points(&heat, first.0, last.0, 0.0, 40.0))) {}
            }
            figcaption { (message) " Whole line: humidity, 0 to 100 %; broken line: temperature, 0 to 40 C." }
        }
    }
}
