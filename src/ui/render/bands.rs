//! The bands along the lower edge: another board that calls, and the pot. What calls stands inside out over the whole
//! width; what only counts stands plain.

use super::alphabet::{LetterSize, Stretch};
use super::bench_parts::join_nonempty;
use super::canvas::{BandRegion, BandStyle, Canvas, inside_margins, skip_columns, skip_rows, take_rows};
use super::letters::draw_letters_from;
use crate::app::bench_view_model::{BandViewModel, BenchViewModel};
use crate::ui::theme::Ink;
use ratatui::layout::Rect;

/// The bands there are, the pot's lowest.
pub(super) fn list_bands(bench: &BenchViewModel) -> Vec<&BandViewModel> {
    bench.call_band.iter().chain(&bench.pot_band).collect()
}

/// The size of a band's letters in a window so wide; none where they do not fit.
pub(super) fn fit_band(canvas: &Canvas<'_>, band: &BandViewModel, width: u16, most: u16) -> Option<LetterSize> {
    let columns = count_columns(width);
    LetterSize::largest_fitting(&band.text, columns, u16::MAX, most, Stretch::None, canvas.is_ascii())
}

/// The rows that a band takes in a window so wide.
pub(super) fn count_band_rows(canvas: &Canvas<'_>, band: &BandViewModel, width: u16, style: BandStyle) -> u16 {
    let columns = count_columns(width);
    match style.size {
        None if canvas.text_width(&format_band(band)) <= columns => 1,
        None => canvas.wrapped_height(&format_band(band), columns).max(2),
        Some(size) => {
            let letters = count_letter_rows(size, canvas.is_ascii());
            let is_beside = fits_beside(canvas, band, columns, size, letters);
            let under = if is_beside { 0 } else { canvas.wrapped_height(&band.explanation, columns) };
            letters + under + u16::from(style.is_padded && is_beside)
        }
    }
}

fn count_columns(width: u16) -> u16 {
    inside_margins(Rect { x: 0, y: 0, width, height: 1 }).width
}

fn format_band(band: &BandViewModel) -> String {
    join_nonempty(&[&band.text, &band.explanation], "  ")
}

/// Half a row above the letters, but in ASCII.
const fn count_letter_rows(size: LetterSize, ascii: bool) -> u16 {
    (size.letter_half_rows() + if ascii { 0 } else { 1 }).div_ceil(2)
}

fn fits_beside(canvas: &Canvas<'_>, band: &BandViewModel, columns: u16, size: LetterSize, rows: u16) -> bool {
    let beside = columns.saturating_sub(size.width(&band.text).unwrap_or(columns).saturating_add(3));
    band.explanation.is_empty() || beside >= 12 && canvas.wrapped_height(&band.explanation, beside) <= rows
}

/// Draws a band over the whole width of `area`; tells how many rows it took.
pub(super) fn render_band(canvas: &mut Canvas<'_>, area: Rect, band: &BandViewModel, style: BandStyle) -> u16 {
    let rows = count_band_rows(canvas, band, area.width, style).min(area.height);
    let area = take_rows(area, rows);
    let inner = inside_margins(area);
    let (strong, plain) = if band.is_calling { (Ink::Alert, Ink::Alert) } else { (Ink::Strong, Ink::Text) };
    if band.is_calling {
        canvas.fill(area, ' ', Ink::Alert);
    }
    let Some(size) = style.size else {
        if rows > 1 {
            canvas.draw_wrapped(inner, &format_band(band), strong);
        } else {
            let used = canvas.draw_text(inner, &band.text, strong);
            canvas.draw_text(skip_columns(inner, used + 2), &band.explanation, plain);
        }
        return rows;
    };
    let letters = count_letter_rows(size, canvas.is_ascii());
    draw_letters_from(canvas, (inner.x, inner.y), u16::from(!canvas.is_ascii()), &band.text, size, strong);
    if fits_beside(canvas, band, inner.width, size, letters) {
        let beside = skip_columns(take_rows(inner, letters), size.width(&band.text).unwrap_or(0).saturating_add(3));
        let need = canvas.wrapped_height(&band.explanation, beside.width);
        canvas.draw_wrapped(skip_rows(beside, letters.saturating_sub(need).div_ceil(2)), &band.explanation, plain);
        if style.is_padded {
            // The lower half of the row stays as the window is: the band ends there.
            let edge = skip_rows(area, letters);
            canvas.fill(edge, if band.is_calling { '▀' } else { ' ' }, Ink::Strong);
        }
    } else {
        canvas.draw_wrapped(skip_rows(inner, letters), &band.explanation, plain);
    }
    rows
}

/// Draws a band and keeps its place, as its time moves every second.
pub(super) fn render_live_band(
    canvas: &mut Canvas<'_>,
    area: Rect,
    bench: &BenchViewModel,
    index: usize,
    style: BandStyle,
) -> u16 {
    let Some(band) = list_bands(bench).get(index).copied() else { return 0 };
    let rows = render_band(canvas, area, band, style);
    canvas.live_regions.bands.push(BandRegion { area: take_rows(area, rows), index, style });
    rows
}
