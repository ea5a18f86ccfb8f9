//! The pictures of the report, drawn in place as SVG, each with its words.
//!
//! Figures are printed with one decimal, so that the same panels give the same bytes. Absent on purpose: colours (`style`).

use crate::craft::recipe::Direction;
use crate::review::around::Course;
use crate::review::compare::{Comparison, FIELDS};
use crate::review::lines::{Line, Mark};
use crate::review::section::{Layer, Section};
use crate::text::{clean, lasting, round_to};
use crate::units::{Span, Stamp};
use crate::work::panel::event::{CheckMap, Face, Kind, Low};
use maud::{Markup, html};
use std::collections::BTreeSet;

/// A length of a drawing.
fn at(v: f64) -> String {
    format!("{v:.1}")
}

/// The textures of the layers, once for the whole page.
pub fn hatches() -> Markup {
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

const fn hatch(layer: &Layer) -> &'static str {
    match (layer.kind, layer.direction) {
        (Kind::Stipple, _) => "url(#hatch-d)",
        (_, Some(Direction::Horizontal)) => "url(#hatch-h)",
        (_, Some(Direction::Vertical)) => "url(#hatch-v)",
        (_, None) => "url(#hatch-w)",
    }
}

/// Pixels to a micrometre, so that the thickest section fits; the same for all that are to be compared.
pub fn section_scale<'a>(sections: impl Iterator<Item = &'a Section>) -> f64 {
    let thick = |layers: &[Layer]| layers.iter().filter_map(|l| l.dry_um.or(l.wet_um)).sum::<f64>();
    let thickest = sections.map(|s| thick(&s.front) + thick(&s.back)).fold(1.0, f64::max);
    (220.0 / thickest).min(0.5)
}

const WOOD: f64 = 26.0;
const SOAKED: f64 = 4.0;
const WIDE: f64 = 320.0;

/// A panel cut open: layers to scale in micrometres, the board shortened.
pub fn section(s: &Section, px_per_um: f64, label: &str) -> Markup {
    let thick = |l: &Layer| l.dry_um.or(l.wet_um).map_or(SOAKED, |um| (um * px_per_um).max(2.0));
    let front: f64 = s.front.iter().map(thick).sum();
    let back: f64 = s.back.iter().map(thick).sum();
    let high = front + back + WOOD + 44.0;
    let said = section_said(s, label);
    let bar_um = bar(px_per_um);
    let mut y = 16.0;
    let mut bands: Vec<(f64, f64, &Layer)> = Vec::new();
    for layer in s.front.iter().rev() {
        bands.push((y, thick(layer), layer));
        y += thick(layer);
    }
    let wood = y;
    y += WOOD;
    for layer in &s.back {
        bands.push((y, thick(layer), layer));
        y += thick(layer);
    }
    html! {
        figure.cut {
            svg viewBox=(format!("0 0 460 {}", at(high))) width="460" height=(at(high)) role="img" aria-label=(said) {
                text x="0" y="11" { "front" }
                @for (y, h, layer) in &bands {
                    rect.fl x="0" y=(at(*y)) width=(at(WIDE)) height=(at(*h)) {}
                    rect x="0" y=(at(*y)) width=(at(WIDE)) height=(at(*h)) fill=(hatch(layer)) {}
                    @if *h >= 11.0 { text x=(at(WIDE + 8.0)) y=(at(y + h / 2.0 + 4.0)) { (name(layer)) } }
                }
                rect.wd x="0" y=(at(wood)) width=(at(WIDE)) height=(at(WOOD)) {}
                text x=(at(WIDE + 8.0)) y=(at(wood + WOOD / 2.0 + 4.0)) { "board" @if let Some(mm) = s.wood_mm { " " (round_to(mm, 1)) " mm" } }
                text x="0" y=(at(y + 14.0)) { "back" }
                path.co d=(format!("M{} {}H{}", at(WIDE - bar_um * px_per_um), at(y + 10.0), at(WIDE))) {}
                text x=(at(WIDE + 8.0)) y=(at(y + 14.0)) { (round_to(bar_um, 0)) " µm" }
            }
            figcaption { (said) }
        }
    }
}

/// A round length of at most 100 pixels.
fn bar(px_per_um: f64) -> f64 {
    [1000.0, 500.0, 200.0, 100.0, 50.0, 20.0].into_iter().find(|um| um * px_per_um <= 100.0).unwrap_or(10.0)
}

fn name(layer: &Layer) -> String {
    let um = match (layer.dry_um, layer.wet_um) {
        (Some(um), _) => format!(", about {} µm", round_to(um, 0)),
        (None, Some(um)) => format!(", {} µm wet", round_to(um, 0)),
        (None, None) => String::new(),
    };
    let number =
        if matches!(layer.kind, Kind::Coat | Kind::Size) { format!(" {}", layer.number) } else { String::new() };
    format!("{}{number}{um}", layer.kind.name())
}

fn section_said(s: &Section, label: &str) -> String {
    let face = |name: &str, layers: &[Layer]| {
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
        match (Section::dry_um(layers).filter(|um| *um > 0.0), Section::wet_um(layers)) {
            (Some(um), wet) => {
                format!("{name} about {} µm dry, {} µm as laid ({each})", round_to(um, 0), round_to(wet, 0))
            }
            (None, wet) if wet > 0.0 => format!("{name} {} µm as laid, wet ({each})", round_to(wet, 0)),
            (None, _) => format!("{name} {each}"),
        }
    };
    format!(
        "{label} cut open, from the wood outwards: {}; {}. Coats to scale, before scraping, the dry thickness an estimate; size and seal soak in; the board is drawn shortened.",
        face("front", &s.front),
        face("back", &s.back)
    )
}

const LINE: f64 = 640.0;

/// The coats of a panel on a scale of minutes that all panels share.
pub fn time_line(line: &Line, longest_min: f64) -> Markup {
    let scale = LINE / longest_min.max(1.0);
    let x = |m: &Mark| at(4.0 + m.min * scale);
    let said = line_said(line);
    html! {
        figure.line {
            svg viewBox="0 0 660 40" width="660" height="40" role="img" aria-label=(said) {
                path.ax d="M4 30H644" {}
                @for hour in 1..=(longest_min / 60.0).min(LINE / 4.0) as u32 {
                    path.ax d=(format!("M{} 27V33", at(4.0 + f64::from(hour) * 60.0 * scale))) {}
                }
                @for m in &line.coats {
                    @let class = if m.kind == Kind::Stipple { "st" } else { "co" };
                    @let reach = if m.face == Some(Face::Back) { "30V38" } else { "10V30" };
                    path class=(class) d=(format!("M{} {reach}", x(m))) {}
                    @if m.direction == Some(Direction::Horizontal) {
                        @let end = if m.face == Some(Face::Back) { 38 } else { 10 };
                        path.co d=(format!("M{} {end}h6", at(4.0 + m.min * scale - 3.0))) {}
                    }
                    @if m.early { circle.in cx=(x(m)) cy="35" r="2" {} }
                    @if m.gap { circle.co cx=(x(m)) cy="6" r="3" {} }
                }
            }
            figcaption { (said) }
        }
    }
}

fn line_said(line: &Line) -> String {
    let label = clean(&line.label);
    if line.coats.is_empty() {
        return format!("{label}: no gesso yet.");
    }
    let front = line.coats.iter().filter(|m| m.face != Some(Face::Back)).count();
    let back = line.coats.len() - front;
    let early = line.coats.iter().filter(|m| m.early).count();
    let gaps = line.coats.iter().filter(|m| m.gap).count();
    let part = |n: usize, words: &str| if n == 0 { String::new() } else { format!(", {n} {words}") };
    format!(
        "{label}: {front} on the front{}{}{}, in {}.",
        part(back, "on the back"),
        part(early, "early"),
        part(gaps, "on a bone-dry coat"),
        lasting(Span::from_min(line.lasted_min()))
    )
}

/// The powder maps of a panel, round by round.
pub fn maps(line: &Line) -> Markup {
    html! {
        @if !line.checks.is_empty() {
            h3 { "Under the dark powder" }
            @for (i, map) in line.checks.iter().enumerate() { (one_map(i + 1, map.as_ref(), line)) }
        }
    }
}

fn one_map(round: usize, map: Option<&CheckMap>, line: &Line) -> Markup {
    let (columns, rows) = line.areas.unwrap_or((3, 3));
    let (columns, rows) =
        map.map_or((columns as usize, rows as usize), |m| (m.rows().first().map_or(1, Vec::len), m.rows().len()));
    let (width, height) = line.size_mm;
    let wide = 84.0_f64;
    let high = (wide * height / width.max(1.0)).clamp(24.0, 168.0);
    let (cw, ch) = (wide / columns.max(1) as f64, high / rows.max(1) as f64);
    let low = |r: usize, c: usize| map.and_then(|m| m.rows().get(r)?.get(c).copied()).unwrap_or(Low::None);
    let said = format!("Round {round}: {}", map.map_or_else(|| "clear".to_owned(), crate::work::advice::told::showed));
    html! {
        figure.row {
            svg viewBox=(format!("0 0 {} {}", at(wide + 2.0), at(high + 2.0))) width=(at(wide + 2.0)) height=(at(high + 2.0)) role="img" aria-label=(said) {
                @for r in 0..rows { @for c in 0..columns {
                    rect class=(["g0", "g1", "g2"][low(r, c) as usize]) x=(at(1.0 + c as f64 * cw)) y=(at(1.0 + r as f64 * ch)) width=(at(cw)) height=(at(ch)) {}
                } }
            }
            figcaption { (said) }
        }
    }
}

/// The fields in which two groups lie furthest apart, a mark for each panel.
pub fn dots(c: &Comparison) -> Markup {
    let Some(b) = &c.between else { return html! {} };
    let tested = c.differs.iter().filter(|d| d.p_value.is_some()).take(4);
    let plots: Vec<_> = tested.filter_map(|d| FIELDS.iter().find(|f| f.name == d.field).map(|f| (d, f))).collect();
    html! {
        @for (d, field) in plots {
            @let values: Vec<(bool, f64)> = c.panels.iter().filter_map(|f| Some((c.side(f)?, field.value(f)?))).collect();
            @let low = values.iter().map(|v| v.1).fold(f64::INFINITY, f64::min);
            @let high = values.iter().map(|v| v.1).fold(f64::NEG_INFINITY, f64::max);
            @if high > low {
                // Marks on one place are one to the eye, so they are drawn once.
                @let marks: BTreeSet<(bool, i64)> = values.iter().map(|(first, v)| (*first, ((v - low) / (high - low) * 1240.0).round() as i64)).collect();
                figure {
                    svg viewBox="0 0 660 70" width="660" height="70" role="img" aria-label=(clean(&d.said)) {
                        path.ax d="M20 50H640" {}
                        @for (first, half) in &marks {
                            @let x = 20.0 + *half as f64 / 2.0;
                            @if *first { rect.in x=(at(x - 3.0)) y="14" width="6" height="6" {} }
                            @else { circle.mk cx=(at(x)) cy="36" r="3.5" {} }
                        }
                        text x="20" y="65" { (round_to(low, 2)) (field.unit) }
                        text x="640" y="65" text-anchor="end" { (round_to(high, 2)) (field.unit) }
                    }
                    figcaption { (field.called) ": squares " (clean(&b.a)) ", circles " (clean(&b.b)) "." }
                }
            }
        }
    }
}

/// A series on an axis of time, in a box of 620 by 60: (x, y) of each value.
fn placed(values: &[(Stamp, f64)], from: Stamp, to: Stamp, low: f64, high: f64) -> Vec<(f64, f64)> {
    let long = (to - from).hours().max(1e-6);
    let deep = (high - low).max(1e-6);
    let point = |(at, v): &(Stamp, f64)| (20.0 + (*at - from).hours() / long * 620.0, 70.0 - (v - low) / deep * 60.0);
    values.iter().filter(|(_, v)| v.is_finite()).map(point).collect()
}

fn path(points: &[(f64, f64)]) -> String {
    let step = |(i, (x, y)): (usize, &(f64, f64))| format!("{}{} {}", if i == 0 { "M" } else { "L" }, at(*x), at(*y));
    points.iter().enumerate().map(step).collect()
}

fn bounds(values: impl Iterator<Item = f64> + Clone) -> (f64, f64) {
    (values.clone().fold(f64::INFINITY, f64::min), values.fold(f64::NEG_INFINITY, f64::max))
}

/// How hot a pot was read and when water was given back to it.
pub fn pot(course: &Course) -> Markup {
    let times = || course.temps_c.iter().chain(&course.water_g).map(|(at, _)| *at);
    let (Some(from), Some(to)) = (times().min(), times().max()) else { return html! {} };
    let (low, high) = bounds(course.temps_c.iter().map(|(_, c)| *c));
    let given: f64 = course.water_g.iter().map(|(_, g)| *g).sum();
    let label = clean(&course.label);
    let read = match course.temps_c.len() {
        0 => "never read with a thermometer".to_owned(),
        n => format!("read {n} times, {} to {} C", round_to(low, 0), round_to(high, 0)),
    };
    let over = if high >= course.overheat_c {
        format!("; overheated, {} C or more", round_to(course.overheat_c, 0))
    } else {
        String::new()
    };
    let water = match course.water_g.len() {
        0 => "no water given back".to_owned(),
        n => format!("{} g of water given back in {n} times", round_to(given, 0)),
    };
    let said = format!("{label}: {read}{over}; {water}; over {}.", lasting(to - from));
    let (floor, top) = (low.min(20.0), high.max(course.overheat_c + 2.0));
    let points = placed(&course.temps_c, from, to, floor, top);
    let limit = placed(&[(from, course.overheat_c)], from, to, floor, top);
    let drops = placed(&course.water_g.iter().map(|(at, _)| (*at, floor)).collect::<Vec<_>>(), from, to, floor, top);
    html! {
        figure {
            svg viewBox="0 0 660 84" width="660" height="84" role="img" aria-label=(said) {
                path.ax d="M20 70H640" {}
                @for (_, y) in &limit { path.st d=(format!("M20 {}H640", at(*y))) {} }
                path.co d=(path(&points)) {}
                @for (x, y) in &points { circle.in cx=(at(*x)) cy=(at(*y)) r="2.5" {} }
                @for (x, _) in &drops { path.co d=(format!("M{} 72V82", at(*x))) {} }
            }
            figcaption { (said) " The broken line is where it counts as overheated; a stroke below is water." }
        }
    }
}

/// The air while coats went on.
pub fn air(readings: &[(Stamp, f64, f64)], day: &dyn Fn(Stamp) -> String) -> Markup {
    let (Some(first), Some(last)) = (readings.first(), readings.last()) else { return html! {} };
    let (cold, warm) = bounds(readings.iter().map(|r| r.1));
    let (dry, damp) = bounds(readings.iter().map(|r| r.2));
    let said = format!(
        "From {} to {}: {} to {} C, humidity {} to {} %, in {} readings.",
        day(first.0),
        day(last.0),
        round_to(cold, 1),
        round_to(warm, 1),
        round_to(dry, 0),
        round_to(damp, 0),
        readings.len()
    );
    let humid: Vec<(Stamp, f64)> = readings.iter().map(|r| (r.0, r.2)).collect();
    let heat: Vec<(Stamp, f64)> = readings.iter().map(|r| (r.0, r.1)).collect();
    html! {
        figure {
            svg viewBox="0 0 660 84" width="660" height="84" role="img" aria-label=(said) {
                path.ax d="M20 70H640" {}
                path.co d=(path(&placed(&humid, first.0, last.0, 0.0, 100.0))) {}
                path.st d=(path(&placed(&heat, first.0, last.0, 0.0, 40.0))) {}
            }
            figcaption { (said) " Whole line: humidity, 0 to 100 %; broken line: temperature, 0 to 40 C." }
        }
    }
}
