//! Panels cut open: the large picture of one, and the small ones of all beside each other.

use super::axis::format_px;
use crate::craft::recipe::Direction;
use crate::review::cross_section::{CrossSection, CrossSectionLayer};
use crate::review::row_text::OutcomeClass;
use crate::text::format_number;
use crate::work::panel::stage_kind::StageTexture;
use maud::{Markup, html};

/// The textures of the layers, once for the whole page.
pub fn hatch_patterns() -> Markup {
    html! {
        svg.hatch aria-hidden="true" focusable="false" {
            defs {
                pattern id="hatch-h" width="6" height="4" patternUnits="userSpaceOnUse" { path.hh d="M0 2H6" {} }
                pattern id="hatch-v" width="4" height="6" patternUnits="userSpaceOnUse" { path.hh d="M2 0V6" {} }
                pattern id="hatch-d" width="6" height="6" patternUnits="userSpaceOnUse" { circle.in cx="2" cy="2" r="1" {} circle.in cx="5" cy="5" r="1" {} }
                pattern id="hatch-w" width="6" height="6" patternUnits="userSpaceOnUse" { path.hh d="M0 6L6 0" {} }
                // Over and under: what linen shows from its side.
                pattern id="hatch-l" width="12" height="8" patternUnits="userSpaceOnUse" { path.hh d="M0 4C3 0 3 0 6 4S9 8 12 4" {} circle.in cx="3" cy="5.5" r="1.4" {} circle.in cx="9" cy="2.5" r="1.4" {} }
            }
        }
    }
}

const fn hatch_fill(layer: &CrossSectionLayer) -> &'static str {
    match (layer.kind.row().texture, layer.direction) {
        (StageTexture::Dots, _) => "url(#hatch-d)",
        (StageTexture::Weave, _) => "url(#hatch-l)",
        (_, Some(Direction::Horizontal)) => "url(#hatch-h)",
        (_, Some(Direction::Vertical)) => "url(#hatch-v)",
        (_, None) => "url(#hatch-w)",
    }
}

const WOOD_PX: f64 = 26.0;
const SOAKED_LAYER_PX: f64 = 4.0;
/// Linen has a thickness nobody recorded; it is drawn so that its weave is seen.
const LINEN_PX: f64 = 8.0;
const SECTION_WIDTH_PX: f64 = 320.0;

fn layer_height(layer: &CrossSectionLayer, px_per_um: f64) -> f64 {
    match (layer.dry_um.or(layer.wet_um), layer.kind.row().texture) {
        (Some(um), _) => (um * px_per_um).max(2.0),
        (None, StageTexture::Weave) => LINEN_PX,
        (None, _) => SOAKED_LAYER_PX,
    }
}

/// Pixels to a micrometre, so that the thickest section fits `room_px`; the same for all that are to be compared.
pub fn section_scale<'a>(sections: impl Iterator<Item = &'a CrossSection>, room_px: f64) -> f64 {
    let thick = |layers: &[CrossSectionLayer]| layers.iter().filter_map(|l| l.dry_um.or(l.wet_um)).sum::<f64>();
    let thickest = sections.map(|s| thick(&s.front) + thick(&s.back)).fold(1.0, f64::max);
    (room_px / thickest).min(0.5)
}

/// The layers from the top down, each with its place and height, and where the wood begins.
fn stack(s: &CrossSection, px_per_um: f64, from: f64, wood_px: f64) -> (Vec<(f64, f64, &CrossSectionLayer)>, f64, f64) {
    let mut y = from;
    let mut bands = Vec::new();
    for layer in s.front.iter().rev() {
        bands.push((y, layer_height(layer, px_per_um), layer));
        y += layer_height(layer, px_per_um);
    }
    let wood = y;
    y += wood_px;
    for layer in &s.back {
        bands.push((y, layer_height(layer, px_per_um), layer));
        y += layer_height(layer, px_per_um);
    }
    (bands, wood, y)
}

fn bands_drawn(bands: &[(f64, f64, &CrossSectionLayer)], wide: f64) -> Markup {
    html! {
        @for (y, h, layer) in bands {
            rect.fl x="0" y=(format_px(*y)) width=(format_px(wide)) height=(format_px(*h)) {}
            rect x="0" y=(format_px(*y)) width=(format_px(wide)) height=(format_px(*h)) fill=(hatch_fill(layer)) {}
        }
    }
}

/// A panel cut open: layers to scale in micrometres, the board shortened.
pub fn section_figure(s: &CrossSection, px_per_um: f64, label: &str) -> Markup {
    let (bands, wood, bottom) = stack(s, px_per_um, 16.0, WOOD_PX);
    let high = bottom + 28.0;
    let message = section_text(s, label);
    let bar_um = scale_bar_um(px_per_um);
    let beside = format_px(SECTION_WIDTH_PX + 8.0);
    html! {
        figure.cut {
            svg viewBox=(format!("0 0 460 {}", format_px(high))) width="460" height=(format_px(high)) role="img" aria-label=(message) {
                text x="0" y="11" { "front" }
                (bands_drawn(&bands, SECTION_WIDTH_PX))
                @for (y, h, layer) in &bands {
                    @if *h >= 11.0 || layer.kind.row().texture == StageTexture::Weave { text x=(beside) y=(format_px(y + h / 2.0 + 4.0)) { (layer_label(layer)) } }
                }
                rect.wd x="0" y=(format_px(wood)) width=(format_px(SECTION_WIDTH_PX)) height=(format_px(WOOD_PX)) {}
                text x=(beside) y=(format_px(wood + WOOD_PX / 2.0 + 4.0)) { "board" @if let Some(mm) = s.wood_mm { " " (format_number(mm, 1)) " mm" } }
                text x="0" y=(format_px(bottom + 14.0)) { "back" }
                path.co d=(format!("M{} {}H{}", format_px(SECTION_WIDTH_PX - bar_um * px_per_um), format_px(bottom + 10.0), format_px(SECTION_WIDTH_PX))) {}
                text x=(beside) y=(format_px(bottom + 14.0)) { (format_number(bar_um, 0)) " µm" }
            }
            figcaption { (message) }
        }
    }
}

/// The room for the layers of a small picture.
pub const THUMBNAIL_ROOM_PX: f64 = 56.0;
const THUMBNAIL_WIDTH_PX: f64 = 150.0;

/// A panel cut open, small, with what came of it; a crack is drawn where one was seen.
pub fn section_thumbnail(s: &CrossSection, px_per_um: f64, label: &str, outcome: OutcomeClass, words: &str) -> Markup {
    let (bands, wood, bottom) = stack(s, px_per_um, 1.0, 12.0);
    let message = format!("{label} cut open: {words}");
    html! {
        figure.thumb {
            svg viewBox=(format!("0 0 {} {}", format_px(THUMBNAIL_WIDTH_PX), format_px(bottom + 1.0))) width=(format_px(THUMBNAIL_WIDTH_PX)) height=(format_px(bottom + 1.0)) role="img" aria-label=(message) {
                (bands_drawn(&bands, THUMBNAIL_WIDTH_PX))
                rect.wd x="0" y=(format_px(wood)) width=(format_px(THUMBNAIL_WIDTH_PX)) height="12.0" {}
                @if outcome == OutcomeClass::Cracked && wood > 2.0 { path.ck d=(crack_path(wood)) {} }
            }
            figcaption { b { (label) } br; (words) }
        }
    }
}

/// A panel cut open, as wide as a label.
pub fn section_strip(s: &CrossSection, px_per_um: f64, label: &str) -> Markup {
    let (bands, wood, bottom) = stack(s, px_per_um, 1.0, 12.0);
    html! {
        svg viewBox=(format!("0 0 {} {}", format_px(THUMBNAIL_WIDTH_PX), format_px(bottom + 1.0))) width=(format_px(THUMBNAIL_WIDTH_PX)) height=(format_px(bottom + 1.0)) role="img" aria-label=(format!("{label} cut open, front above")) {
            (bands_drawn(&bands, THUMBNAIL_WIDTH_PX))
            rect.wd x="0" y=(format_px(wood)) width=(format_px(THUMBNAIL_WIDTH_PX)) height="12.0" {}
        }
    }
}

/// From the top of the ground down to the wood.
fn crack_path(wood: f64) -> String {
    let third = (wood - 1.0) / 3.0;
    format!("M74 1l4 {0}l-6 {0}l3 {0}", format_px(third))
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
    let name = if layer.kind.row().texture == StageTexture::Weave { "linen" } else { layer.kind.name() };
    format!("{name}{number}{um}")
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
