//! The panel cut open: wood in the middle, every layer a band hatched by its direction, what is to come in outline.
//!
//! It is the progress bar of the work. Where there are more layers than rows, the oldest and the farthest are folded
//! into one band that shows them side by side.

use super::canvas::{Canvas, skip_columns, skip_rows, take_columns, take_rows};
use crate::app::bench_view_model::{CrossSectionViewModel, LayerState, LayerViewModel};
use crate::ui::hatch::Hatch;
use crate::ui::theme::Ink;
use crate::work::panel::event::StageKind;
use ratatui::layout::Rect;

/// One band of the picture: a layer, or several folded, from the wood outwards.
type LayerBand<'a> = &'a [LayerViewModel];

/// The rows that show every layer once, the wood included.
pub(super) fn count_wanted_rows(section: &CrossSectionViewModel) -> u16 {
    let n = section.front.len() + section.back.len() + 1;
    u16::try_from(n).unwrap_or(u16::MAX)
}

/// Draws the section into `area`.
pub(super) fn render_cross_section(canvas: &mut Canvas<'_>, area: Rect, section: &CrossSectionViewModel) {
    let rows = usize::from(area.height);
    if rows == 0 || area.width < 4 {
        return;
    }
    let (n_front, n_back) = (section.front.len(), section.back.len());
    let spare = rows.saturating_sub(1);
    if spare == 0 {
        return render_strip(canvas, area, section);
    }
    let (for_front, for_back) = split_rows(n_front, n_back, spare);
    let front = fold_layers(&section.front, for_front);
    let back = fold_layers(&section.back, for_back);
    let bands = front.len() + back.len();
    let thick = if bands == 0 { 1 } else { (rows * 9 / 10 / (bands + 1)).clamp(1, 3) } as u16;
    let wood = (area.height.saturating_sub(thick * bands as u16)).clamp(1, (thick * 2).max(2));
    let columns = CrossSectionColumns::from_area(area, n_back > 0);
    let mut rest = area;
    for (i, band) in front.iter().rev().enumerate() {
        let name = if i == 0 && n_back > 0 { "front" } else { "" };
        render_band(canvas, take_rows(rest, thick), &columns, band, name);
        rest = skip_rows(rest, thick);
    }
    render_wood(canvas, take_rows(rest, wood), &columns, &section.wood);
    rest = skip_rows(rest, wood);
    for (i, band) in back.iter().enumerate() {
        let name = if i + 1 == back.len() { "back" } else { "" };
        render_band(canvas, take_rows(rest, thick), &columns, band, name);
        rest = skip_rows(rest, thick);
    }
}

/// Splits `rows` between the faces by their layers; a face with layers gets at least one.
fn split_rows(front: usize, back: usize, rows: usize) -> (usize, usize) {
    if front + back <= rows {
        return (front, back);
    }
    if back == 0 {
        return (rows, 0);
    }
    if front == 0 {
        return (0, rows);
    }
    if rows < 2 {
        return (rows, 0);
    }
    let for_front = (rows * front / (front + back)).clamp(1, rows - 1);
    (for_front, rows - for_front)
}

/// At most `rows` bands that keep the layer called for and its neighbours apart.
fn fold_layers(layers: &[LayerViewModel], rows: usize) -> Vec<LayerBand<'_>> {
    if layers.len() <= rows {
        return layers.chunks(1).collect();
    }
    if rows <= 1 {
        return if rows == 0 { Vec::new() } else { vec![layers] };
    }
    let lies = |l: &LayerViewModel| matches!(l.state, LayerState::Laid | LayerState::Repeated | LayerState::Skipped);
    let focus =
        layers.iter().position(|l| l.state == LayerState::Next).or_else(|| layers.iter().rposition(lies)).unwrap_or(0);
    if rows == 2 {
        let (inner, outer) = layers.split_at(focus.clamp(1, layers.len() - 1));
        return vec![inner, outer];
    }
    let window = rows - 2;
    let start = focus.saturating_sub(window * 2 / 3).min(layers.len() - window);
    let (start, end) = match start {
        0 => (0, rows - 1),
        s if s + window >= layers.len() => (layers.len() - (rows - 1), layers.len()),
        s => (s, s + window),
    };
    let mut bands = Vec::new();
    if start > 0 {
        bands.push(&layers[..start]);
    }
    bands.extend(layers[start..end].chunks(1));
    if end < layers.len() {
        bands.push(&layers[end..]);
    }
    bands
}

/// Where the numbers, the bands and the words stand.
struct CrossSectionColumns {
    number: u16,
    band: u16,
}

impl CrossSectionColumns {
    fn from_area(area: Rect, two_faces: bool) -> CrossSectionColumns {
        let number = match (area.width, two_faces) {
            (0..20, _) => 0,
            (20..36, _) | (_, false) => 3,
            (36.., true) => 9,
        };
        let words = match area.width {
            0..30 => 0,
            30..44 => 14,
            w => (w * 2 / 5).clamp(20, 30),
        };
        CrossSectionColumns { number, band: area.width.saturating_sub(number + words) }
    }

    fn split_area(&self, area: Rect) -> (Rect, Rect, Rect) {
        let rest = skip_columns(area, self.number);
        let words = skip_columns(skip_columns(rest, self.band), 1);
        (take_columns(area, self.number.saturating_sub(1)), take_columns(rest, self.band), words)
    }
}

fn render_band(canvas: &mut Canvas<'_>, area: Rect, columns: &CrossSectionColumns, band: LayerBand<'_>, face: &str) {
    let (number, picture, words) = columns.split_area(area);
    let middle = |r: Rect| skip_rows(r, r.height.saturating_sub(1) / 2);
    if columns.number > 5 {
        canvas.draw_text(middle(number), face, Ink::Text);
    }
    let ink = if band.iter().any(|l| l.state == LayerState::Next) { Ink::Strong } else { Ink::Text };
    canvas.draw_text_right(middle(number), &format_band_number(band), ink);
    match band {
        [layer] => fill_layer(canvas, picture, layer),
        layers => render_slices(canvas, picture, layers),
    }
    canvas.draw_text(middle(words), &format_band_caption(band), ink);
}

fn format_band_number(band: LayerBand<'_>) -> String {
    match band {
        [layer] => match (layer.kind, layer.number) {
            (StageKind::Coat, Some(n)) => n.to_string(),
            (_, _) => String::new(),
        },
        _ => String::new(),
    }
}

/// The words beside a band.
fn format_band_caption(band: LayerBand<'_>) -> String {
    let [layer] = band else { return format_folded_caption(band) };
    let mut words: Vec<&str> = Vec::new();
    match layer.state {
        LayerState::Next => words.push("← next"),
        LayerState::Skipped => words.push("left out"),
        LayerState::Repeated => words.push("again"),
        LayerState::Laid | LayerState::Coming => {}
    }
    if layer.kind != StageKind::Coat {
        words.push(layer.kind.name());
    }
    words.extend([layer.caption.as_str(), layer.deviation.as_str()].into_iter().filter(|w| !w.is_empty()));
    words.join(" ")
}

/// The words beside folded layers: "coats 1-9 13:28".
fn format_folded_caption(band: LayerBand<'_>) -> String {
    let coats = band.iter().filter(|l| l.kind == StageKind::Coat);
    let numbers: Vec<u32> = coats.filter_map(|l| l.number).collect();
    let next = band.first().is_some_and(|l| l.state == LayerState::Next);
    match (numbers.iter().min(), numbers.iter().max()) {
        (Some(a), Some(b)) if next && a != b => format!("← next {a}, then to {b}"),
        (Some(a), Some(b)) if a != b => format!("coats {a}-{b}"),
        (Some(a), Some(_)) => format!("coat {a} and {} more", band.len() - 1),
        _ => format!("{} layers", band.len()),
    }
}

fn fill_layer(canvas: &mut Canvas<'_>, area: Rect, layer: &LayerViewModel) {
    let hatch = Hatch::from_kind(layer.kind, layer.direction);
    for y in area.top()..area.bottom() {
        for (i, x) in (area.left()..area.right()).enumerate() {
            let i = i as u16;
            let edge = i == 0 || i + 1 == area.width;
            match layer.state {
                LayerState::Laid | LayerState::Repeated => canvas.draw_char(x, y, hatch.band(i), Ink::Laid),
                LayerState::Next if edge => canvas.draw_char(x, y, '█', Ink::Stroke),
                LayerState::Next => canvas.draw_char(x, y, hatch.thin(i), Ink::Stroke),
                LayerState::Coming if edge => canvas.draw_char(x, y, '┆', Ink::Coming),
                LayerState::Coming => {}
                LayerState::Skipped => canvas.draw_char(x, y, if i.is_multiple_of(4) { '╌' } else { ' ' }, Ink::Coming),
            }
        }
    }
}

/// Several layers in one band, side by side: the innermost at the left.
fn render_slices(canvas: &mut Canvas<'_>, area: Rect, layers: &[LayerViewModel]) {
    let n = layers.len() as u32;
    let mark = |i: u32| u16::try_from(u32::from(area.width) * i / n.max(1)).unwrap_or(u16::MAX);
    for (i, layer) in layers.iter().enumerate() {
        let (from, to) = (mark(i as u32), mark(i as u32 + 1));
        let room = take_columns(skip_columns(area, from), to.saturating_sub(from));
        match (layer.state, room.width) {
            (LayerState::Coming, w) if w < 3 => canvas.fill(take_columns(room, 1), '┆', Ink::Coming),
            (_, w) if w > 2 => fill_layer(canvas, take_columns(room, w - 1), layer),
            (_, _) => fill_layer(canvas, room, layer),
        }
    }
}

/// Everything in one row.
fn render_strip(canvas: &mut Canvas<'_>, area: Rect, section: &CrossSectionViewModel) {
    let both = !section.back.is_empty();
    let half = if both { area.width / 2 } else { area.width };
    render_slices(canvas, take_columns(area, half.saturating_sub(u16::from(both))), &section.front);
    if both {
        render_slices(canvas, skip_columns(area, half), &section.back);
    }
}

fn render_wood(canvas: &mut Canvas<'_>, area: Rect, columns: &CrossSectionColumns, name: &str) {
    let (_, picture, words) = columns.split_area(area);
    canvas.fill(picture, '▒', Ink::Wood);
    canvas.draw_text(skip_rows(words, words.height.saturating_sub(1) / 2), name, Ink::Text);
}

#[cfg(test)]
mod tests {
    use super::super::samples::coats;
    use super::*;

    #[test]
    fn folding_loses_no_layer_and_keeps_the_next_in_sight() {
        for of in 0..=24 {
            for laid in 0..=of {
                for rows in 1..=26 {
                    let layers = coats(laid, of);
                    let bands = fold_layers(&layers, rows);
                    assert!(bands.len() <= rows.max(layers.len().min(1)), "{laid} of {of} in {rows}");
                    assert_eq!(bands.concat(), layers, "{laid} of {of} in {rows}");
                    let alone = bands.iter().any(|b| b.len() == 1 && b[0].state == LayerState::Next);
                    assert!(alone || laid == of || rows < 3, "{laid} of {of} in {rows}");
                }
            }
        }
    }

    #[test]
    fn a_face_with_layers_gets_a_row() {
        for front in 0..=26 {
            for back in 0..=26 {
                for rows in 2..=30 {
                    let (a, b) = split_rows(front, back, rows);
                    assert!(a + b <= rows.max(front + back) && a <= rows && b <= rows);
                    assert_eq!((a > 0, b > 0), (front > 0, back > 0), "{front} and {back} in {rows}");
                }
            }
        }
    }
}
