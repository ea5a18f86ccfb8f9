//! Reads what stands in block letters on a picture, for the tests: at which size, if at all.

use super::alphabet::{LetterSize, Stretch};
use super::bench;
use super::canvas::Canvas;
use super::digits::format_timer;
use super::letters::draw_letters_from;
use crate::app::bench_view_model::BenchViewModel;
use crate::ui::theme::{ColorScheme, Ink, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// How high signs are, rows; none where a part does not stand in large signs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SignHeights {
    /// The board.
    pub name: Option<f64>,
    /// The act.
    pub act: Option<f64>,
    /// The direction.
    pub direction: Option<f64>,
    /// The digits.
    pub digits: Option<f64>,
    /// What the pot calls for.
    pub pot: Option<f64>,
}

/// How high the signs of a scene are in a window so large.
pub fn measure_signs(scene: &BenchViewModel, width: u16, height: u16) -> SignHeights {
    let theme = Theme { color_scheme: ColorScheme::Terminal, ascii: false };
    let area = Rect::new(0, 0, width, height);
    let mut buf = Buffer::empty(area);
    let regions = bench::render_bench_in(scene, &theme, &mut buf, area);
    let rows = |text: &str| find_letters(&buf, text, false).map(count_legible_rows);
    let time = scene.timer.map(|shown| format_timer(&shown).0).unwrap_or_default();
    SignHeights {
        name: rows(&scene.block_name),
        act: rows(&scene.act.block),
        direction: scene.act.direction.and_then(|direction| rows(&direction.name().to_uppercase())),
        digits: regions.digits.map(|digits| f64::from(digits.rows)).or_else(|| rows(&time)),
        pot: scene.pot_band.as_ref().and_then(|band| rows(&band.text)),
    }
}

/// The height by which letters are read: no more than twice their width of four dots, as narrow ones are read less far than
/// they are high (from memory).
fn count_legible_rows(size: LetterSize) -> f64 {
    let high = f64::from(size.letter_half_rows()) / 2.0;
    high.min(2.0 * f64::from(size.columns) * 4.0 / 2.0)
}

/// The largest size at which `text` stands in block letters.
pub(super) fn find_letters(buf: &Buffer, text: &str, ascii: bool) -> Option<LetterSize> {
    let sizes = LetterSize::descending(buf.area.height / 5 + 2, Stretch::Twice, ascii);
    let picture = read_rows(buf);
    let starts = if ascii { 0..1 } else { 0..2 };
    sizes.into_iter().find(|size| starts.clone().any(|half| stands_somewhere(&picture, text, *size, half, ascii)))
}

/// The signs of a picture, row by row.
fn read_rows(buf: &Buffer) -> Vec<Vec<char>> {
    let sign = |x, y| buf[(x, y)].symbol().chars().next().unwrap_or(' ');
    (0..buf.area.height).map(|y| (0..buf.area.width).map(|x| sign(x, y)).collect()).collect()
}

fn stands_somewhere(picture: &[Vec<char>], text: &str, size: LetterSize, half_row: u16, ascii: bool) -> bool {
    let Some(width) = size.width(text).filter(|wide| *wide > 0) else { return false };
    let height = (size.letter_half_rows() + half_row).div_ceil(2);
    if picture.len() < usize::from(height) || picture.first().is_none_or(|row| row.len() < usize::from(width)) {
        return false;
    }
    let theme = Theme { color_scheme: ColorScheme::Terminal, ascii };
    let area = Rect::new(0, 0, width, height);
    let mut pattern = Buffer::empty(area);
    draw_letters_from(&mut Canvas::new(&mut pattern, area, &theme), (0, 0), half_row, text, size, Ink::Strong);
    let pattern = read_rows(&pattern);
    picture.windows(usize::from(height)).any(|rows| {
        let last = rows.first().map_or(0, Vec::len).saturating_sub(usize::from(width) - 1);
        (0..last).any(|x| rows.iter().zip(&pattern).all(|(row, wants)| row[x..].starts_with(wants)))
    })
}
