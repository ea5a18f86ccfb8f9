//! Large letters, set in half blocks and made larger as the window grows. ASCII has no half blocks; there a dot is a whole
//! cell high.

use super::alphabet::{LetterSize, glyph_dots, is_lit};
pub(super) use super::alphabet::{rows_at_scale, width_at_scale};
use super::canvas::Canvas;
use crate::ui::theme::Ink;

/// The largest scale up to `most` at which `text` fits; none if it fits at no scale. Half rows are beyond ASCII, so
/// there the scale is at least 2.
pub(super) fn largest_fitting_scale(text: &str, columns: u16, lines: u16, most: u16, ascii: bool) -> Option<u16> {
    let least = if ascii { 2 } else { 1 };
    (least..=most).rev().find(|s| rows_at_scale(*s) <= lines && width_at_scale(text, *s).is_some_and(|w| w <= columns))
}

/// Words as they are set in large letters.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct LetterLayout {
    /// One line or two.
    pub lines: Vec<String>,
    /// How large.
    pub scale: u16,
    /// Whether every word is set.
    pub whole: bool,
}

impl LetterLayout {
    /// The rows it takes: even dots leave no half row between two lines, so they get a whole one.
    pub fn rows(&self) -> u16 {
        let n = self.lines.len() as u16;
        n * rows_at_scale(self.scale) + (n - 1) * self.gap()
    }
    /// Rows between two lines.
    pub fn gap(&self) -> u16 {
        (self.scale + 1) % 2
    }
}

/// How `text` is set as large as it goes: whole in one line or, in no more than `two` rows, in two; else without what
/// follows a comma, an "and" or a "with". None if not even that fits.
pub(super) fn lay_out(text: &str, columns: u16, lines: u16, two: u16, most: u16, ascii: bool) -> Option<LetterLayout> {
    let least = if ascii { 2 } else { 1 };
    let fits = |s: &LetterLayout| {
        let room = if s.lines.len() > 1 { lines.min(two) } else { lines };
        s.rows() <= room && s.lines.iter().all(|l| width_at_scale(l, s.scale).is_some_and(|w| w <= columns))
    };
    let shorter = [", ", " AND ", " WITH "].into_iter().filter_map(|at| Some(text.split_once(at)?.0));
    let mut texts = vec![text];
    texts.extend(shorter);
    texts.iter().find_map(|part| {
        (least..=most).rev().find_map(|scale| {
            let whole = *part == text;
            let one = LetterLayout { lines: vec![(*part).to_owned()], scale, whole };
            let halves = || Some(LetterLayout { lines: split_in_half(part)?, scale, whole });
            Some(one).filter(fits).or_else(|| halves().filter(fits))
        })
    })
}

/// `text` broken at the space that makes the longer half shortest.
pub(super) fn split_in_half(text: &str) -> Option<Vec<String>> {
    let breaks = text.match_indices(' ').map(|(i, _)| (&text[..i], &text[i + 1..]));
    let (a, b) = breaks.min_by_key(|(a, b)| width_at_scale(a, 1).max(width_at_scale(b, 1)))?;
    Some(vec![a.to_owned(), b.to_owned()])
}

/// Sets `text` with its top left corner at `x`, `y`.
pub(super) fn draw_letters(canvas: &mut Canvas<'_>, x: u16, y: u16, text: &str, scale: u16) {
    draw_letters_from(canvas, (x, y), 0, text, LetterSize::square(scale), Ink::Strong);
}

/// Sets `text` with its left edge at `at`, its top so many half rows below it.
pub(super) fn draw_letters_from(
    canvas: &mut Canvas<'_>,
    at: (u16, u16),
    half_rows: u16,
    text: &str,
    size: LetterSize,
    ink: Ink,
) {
    let mut from = at.0;
    for sign in text.chars() {
        let Some(dots) = glyph_dots(sign) else { continue };
        let wide = u16::try_from(dots[0].len()).unwrap_or(0).saturating_mul(size.columns);
        for row in half_rows / 2..(half_rows + size.letter_half_rows()).div_ceil(2) {
            for column in 0..wide {
                let lit = |half: u16| {
                    half >= half_rows && is_lit(&dots, column / size.columns, (half - half_rows) / size.half_rows)
                };
                let sign = match (lit(row * 2), lit(row * 2 + 1)) {
                    (true, true) => '█',
                    (true, false) if canvas.is_ascii() => '█',
                    (false, true) if canvas.is_ascii() => continue,
                    (true, false) => '▀',
                    (false, true) => '▄',
                    (false, false) => continue,
                };
                canvas.draw_char(from.saturating_add(column), at.1.saturating_add(row), sign, ink);
            }
        }
        from = from.saturating_add(wide).saturating_add(size.columns);
    }
}
