//! Large letters for the act: our own alphabet of five dots height, set in half blocks and doubled as the window
//! grows.

use super::canvas::Canvas;
use crate::ui::theme::Ink;

/// Dots from the baseline of the highest sign to its top.
const GLYPH_DOT_ROWS: u16 = 5;

/// The dots of a sign, rows from the top; none for a sign the alphabet lacks.
fn glyph_dots(sign: char) -> Option<[&'static str; GLYPH_DOT_ROWS as usize]> {
    Some(match sign.to_ascii_uppercase() {
        'A' => [" ## ", "#  #", "####", "#  #", "#  #"],
        'B' => ["### ", "#  #", "### ", "#  #", "### "],
        'C' => [" ###", "#   ", "#   ", "#   ", " ###"],
        'D' => ["### ", "#  #", "#  #", "#  #", "### "],
        'E' => ["###", "#  ", "## ", "#  ", "###"],
        'F' => ["###", "#  ", "## ", "#  ", "#  "],
        'G' => [" ###", "#   ", "# ##", "#  #", " ###"],
        'H' => ["#  #", "#  #", "####", "#  #", "#  #"],
        'I' => ["#", "#", "#", "#", "#"],
        'J' => ["  #", "  #", "  #", "# #", " # "],
        'K' => ["#  #", "# # ", "##  ", "# # ", "#  #"],
        'L' => ["#  ", "#  ", "#  ", "#  ", "###"],
        'M' => ["#   #", "## ##", "# # #", "#   #", "#   #"],
        'N' => ["#  #", "## #", "# ##", "#  #", "#  #"],
        'O' => [" ## ", "#  #", "#  #", "#  #", " ## "],
        'P' => ["### ", "#  #", "### ", "#   ", "#   "],
        'Q' => [" ## ", "#  #", "#  #", "# # ", " # #"],
        'R' => ["### ", "#  #", "### ", "# # ", "#  #"],
        'S' => [" ###", "#   ", " ## ", "   #", "### "],
        'T' => ["###", " # ", " # ", " # ", " # "],
        'U' => ["#  #", "#  #", "#  #", "#  #", " ## "],
        'V' => ["# #", "# #", "# #", "# #", " # "],
        'W' => ["#   #", "#   #", "# # #", "## ##", "#   #"],
        'X' => ["# #", "# #", " # ", "# #", "# #"],
        'Y' => ["# #", "# #", " # ", " # ", " # "],
        'Z' => ["####", "  # ", " #  ", "#   ", "####"],
        '0' => [" ## ", "#  #", "#  #", "#  #", " ## "],
        '1' => [" # ", "## ", " # ", " # ", "###"],
        '2' => ["### ", "   #", " ## ", "#   ", "####"],
        '3' => ["### ", "   #", " ## ", "   #", "### "],
        '4' => ["#  #", "#  #", "####", "   #", "   #"],
        '5' => ["####", "#   ", "### ", "   #", "### "],
        '6' => [" ## ", "#   ", "### ", "#  #", " ## "],
        '7' => ["####", "   #", "  # ", " #  ", " #  "],
        '8' => [" ## ", "#  #", " ## ", "#  #", " ## "],
        '9' => [" ## ", "#  #", " ###", "   #", " ## "],
        ':' => [" ", "#", " ", "#", " "],
        '+' => ["   ", " # ", "###", " # ", "   "],
        '-' => ["   ", "   ", "###", "   ", "   "],
        '/' => ["  #", "  #", " # ", "#  ", "#  "],
        '.' => [" ", " ", " ", " ", "#"],
        ',' => ["  ", "  ", "  ", " #", "# "],
        '?' => ["## ", "  #", " # ", "   ", " # "],
        ' ' => ["  ", "  ", "  ", "  ", "  "],
        _ => return None,
    })
}

/// The rows that letters of this scale take.
pub(super) const fn rows_at_scale(scale: u16) -> u16 {
    (GLYPH_DOT_ROWS * scale).div_ceil(2)
}

/// The columns that `text` takes at this scale; none if it holds a sign the alphabet lacks.
pub(super) fn width_at_scale(text: &str, scale: u16) -> Option<u16> {
    let mut dots_wide: u16 = 0;
    for sign in text.chars() {
        let first = glyph_dots(sign)?[0].len();
        dots_wide = dots_wide.saturating_add(u16::try_from(first).ok()?).saturating_add(1);
    }
    Some(dots_wide.saturating_sub(1).saturating_mul(scale))
}

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
    /// The columns it takes.
    pub fn width(&self) -> u16 {
        self.lines.iter().filter_map(|l| width_at_scale(l, self.scale)).max().unwrap_or(0)
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
fn split_in_half(text: &str) -> Option<Vec<String>> {
    let breaks = text.match_indices(' ').map(|(i, _)| (&text[..i], &text[i + 1..]));
    let (a, b) = breaks.min_by_key(|(a, b)| width_at_scale(a, 1).max(width_at_scale(b, 1)))?;
    Some(vec![a.to_owned(), b.to_owned()])
}

/// Sets `text` with its top left corner at `x`, `y`.
pub(super) fn draw_letters(canvas: &mut Canvas<'_>, x: u16, y: u16, text: &str, scale: u16) {
    let mut from = x;
    for sign in text.chars() {
        let Some(dots) = glyph_dots(sign) else { continue };
        let wide = u16::try_from(dots[0].len()).unwrap_or(0).saturating_mul(scale);
        for row in 0..rows_at_scale(scale) {
            for column in 0..wide {
                let lit = |half: u16| is_lit(&dots, column / scale, half / scale);
                let sign = match (lit(row * 2), lit(row * 2 + 1)) {
                    (true, true) => '█',
                    (true, false) if canvas.is_ascii() => '█',
                    (false, true) if canvas.is_ascii() => ' ',
                    (true, false) => '▀',
                    (false, true) => '▄',
                    (false, false) => ' ',
                };
                if sign != ' ' {
                    canvas.draw_char(from.saturating_add(column), y.saturating_add(row), sign, Ink::Strong);
                }
            }
        }
        from = from.saturating_add(wide).saturating_add(scale);
    }
}

fn is_lit(dots: &[&str], column: u16, row: u16) -> bool {
    dots.get(usize::from(row)).and_then(|r| r.as_bytes().get(usize::from(column))) == Some(&b'#')
}
