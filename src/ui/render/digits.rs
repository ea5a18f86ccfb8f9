//! The large digits: our own figures, of any height from seven rows up, built from the hatching of the coat they
//! announce. Over time they are solid, behind a large plus.

use super::canvas::Canvas;
use crate::app::bench_view_model::{TimerKind, TimerViewModel};
use crate::ui::hatch::Hatch;
use crate::ui::theme::Ink;

/// The least height of a large figure, rows.
pub(super) const MIN_ROWS: u16 = 7;

/// The text of the digits and the widest text of its form, by which their size is chosen so that it does not jump.
///
/// Under an hour minutes and seconds, `4:12`; from an hour on `1h05`, so that no hour is taken for a minute; from two
/// days on `3d04`. Over time whole hours and days, `+13 h`: nobody is late by the minute by then.
pub(super) fn format_timer(digits: &TimerViewModel) -> (String, &'static str) {
    let (s, min, h) = (digits.seconds % 60, digits.seconds / 60, digits.seconds / 3600);
    match (digits.kind, h) {
        (TimerKind::Overdue, 0) => (format!("+{min}:{s:02}"), "+00:00"),
        (TimerKind::Overdue, 1..48) => (format!("+{h} h"), "+00 h"),
        (TimerKind::Overdue, 48..) => (format!("+{} d", (h / 24).min(999)), "+00 d"),
        (TimerKind::Remaining | TimerKind::Elapsed, 0) => (format!("{min}:{s:02}"), "00:00"),
        (TimerKind::Remaining | TimerKind::Elapsed, 1..48) => (format!("{h}h{:02}", min % 60), "00h00"),
        (TimerKind::Remaining | TimerKind::Elapsed, 48..) => (format!("{}d{:02}", (h / 24).min(999), h % 24), "00d00"),
    }
}

/// The size of a figure in cells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct DigitSize {
    /// From top to bottom.
    pub rows: u16,
    glyph_width: u16,
    /// Thickness of a stroke, rows; twice as many columns.
    stroke_rows: u16,
}

impl DigitSize {
    /// The largest cut at which `form` fits.
    pub fn largest_fitting(form: &str, columns: u16, rows: u16) -> Option<DigitSize> {
        (MIN_ROWS..=rows).rev().find_map(|rows| {
            let thick = ((rows + 3) / 7).max(1);
            let best = (rows * 4 + 3) / 7;
            let least = (thick * 3).max(rows * 3 / 7);
            (least..=best)
                .rev()
                .map(|w| DigitSize { rows, glyph_width: w * 2, stroke_rows: thick })
                .find(|c| c.width(form) <= columns)
        })
    }

    /// The columns that `text` takes.
    pub fn width(&self, text: &str) -> u16 {
        let signs = text.chars().map(|c| self.advance(c)).fold(0, u16::saturating_add);
        signs.saturating_sub(self.gap())
    }

    const fn gap(&self) -> u16 {
        self.stroke_rows * 2
    }

    fn advance(&self, sign: char) -> u16 {
        let wide = match sign {
            ':' => self.stroke_rows * 2,
            '+' => self.stroke_rows * 8,
            ' ' => 0,
            _ => self.glyph_width,
        };
        wide.saturating_add(self.gap())
    }
}

/// Draws `text` with its top left corner at `x`, `y`, hatched.
pub(super) fn draw_digits(canvas: &mut Canvas<'_>, x: u16, y: u16, text: &str, cut: DigitSize, hatch: Hatch) {
    for_each_cell(text, cut, |column, row, lit| {
        if lit {
            canvas.draw_char(x.saturating_add(column), y.saturating_add(row), hatch.bold(), Ink::Text);
        }
    });
}

fn for_each_cell(text: &str, cut: DigitSize, mut cell: impl FnMut(u16, u16, bool)) {
    let mut from: u16 = 0;
    for sign in text.chars() {
        let step = cut.advance(sign);
        let wide = step.saturating_sub(cut.gap());
        for row in 0..cut.rows {
            for column in 0..wide {
                cell(from.saturating_add(column), row, is_lit(sign, column, row, wide, cut));
            }
        }
        from = from.saturating_add(step);
    }
}

/// The seven strokes of a figure: top, upper right, lower right, bottom, lower left, upper left, middle.
const fn glyph_strokes(sign: char) -> [bool; 7] {
    let on: &[u8] = match sign {
        '0' => b"abcdef",
        '2' => b"abged",
        '3' => b"abgcd",
        '4' => b"fgbc",
        '5' => b"afgcd",
        '6' => b"afgedc",
        '8' => b"abcdefg",
        '9' => b"abcdfg",
        'd' => b"bcdeg",
        'h' => b"fegc",
        _ => b"",
    };
    let mut out = [false; 7];
    let mut i = 0;
    while i < on.len() {
        out[(on[i] - b'a') as usize] = true;
        i += 1;
    }
    out
}

/// Which corners of a figure are rounded: top left, top right, bottom left, bottom right.
const fn rounded_corners(sign: char) -> [bool; 4] {
    match sign {
        '0' | '8' => [true; 4],
        '2' => [true, true, false, false],
        '3' => [true, true, true, true],
        '5' => [false, false, true, true],
        '6' => [true, true, true, true],
        '9' => [true, true, true, true],
        'd' => [false, false, true, true],
        _ => [false; 4],
    }
}

fn is_lit(sign: char, column: u16, row: u16, wide: u16, cut: DigitSize) -> bool {
    let (t, rows) = (cut.stroke_rows, cut.rows);
    let middle = (rows - t) / 2;
    let up = row < middle + t;
    let down = row >= middle;
    match sign {
        ':' => {
            let third = rows / 3;
            (row + t > third && row <= third) || (row >= rows - 1 - third && row < rows - 1 - third + t)
        }
        '+' => {
            let stem = column >= t * 3 && column < t * 5;
            let bar = row >= middle && row < middle + t;
            bar || (stem && row + 2 * t >= middle && row < middle + 3 * t)
        }
        '1' => {
            let stem = (wide.saturating_sub(t * 2)) / 2;
            let flag = row >= t && row < 2 * t && column + t * 2 >= stem && column < stem;
            flag || (column >= stem && column < stem + t * 2)
        }
        '7' => {
            let lean = row.saturating_sub(t).saturating_mul(wide / 2) / rows.saturating_sub(t).max(1);
            let from = wide.saturating_sub(t * 2).saturating_sub(lean);
            row < t || (column >= from && column < from + t * 2)
        }
        _ => {
            let [a, b, c, d, e, f, g] = glyph_strokes(sign);
            let (near, far) = (column < t * 2, column + t * 2 >= wide);
            let on = (a && row < t)
                || (d && row + t >= rows)
                || (g && row >= middle && row < middle + t)
                || (near && ((f && up) || (e && down)))
                || (far && ((b && up) || (c && down)));
            on && !is_cut_corner(sign, column, row, wide, cut)
        }
    }
}

fn is_cut_corner(sign: char, column: u16, row: u16, wide: u16, cut: DigitSize) -> bool {
    let (t, last_row, last) = (cut.stroke_rows, cut.rows - 1, wide.saturating_sub(1));
    let cut_at = |from_side: u16, from_end: u16| from_end < t && from_side + 2 * from_end + 1 < 2 * t;
    let [tl, tr, bl, br] = rounded_corners(sign);
    (tl && cut_at(column, row))
        || (tr && cut_at(last - column, row))
        || (bl && cut_at(column, last_row - row))
        || (br && cut_at(last - column, last_row - row))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(seconds: u64, reads: TimerKind, wants: &str) {
        assert_eq!(format_timer(&TimerViewModel { seconds, kind: reads, progress: None }).0, wants);
    }

    #[test]
    fn an_hour_is_never_taken_for_a_minute() {
        for (seconds, reads, wants) in [
            (0, TimerKind::Remaining, "0:00"),
            (252, TimerKind::Remaining, "4:12"),
            (3599, TimerKind::Remaining, "59:59"),
            (3600, TimerKind::Remaining, "1h00"),
            (427, TimerKind::Overdue, "+7:07"),
            (64, TimerKind::Elapsed, "1:04"),
            (47 * 3600 + 59 * 60, TimerKind::Remaining, "47h59"),
            (48 * 3600, TimerKind::Remaining, "2d00"),
            (13 * 3600 + 1500, TimerKind::Overdue, "+13 h"),
            (3 * 86_400 + 4 * 3600, TimerKind::Overdue, "+3 d"),
            (u64::MAX, TimerKind::Overdue, "+999 d"),
        ] {
            check(seconds, reads, wants);
        }
    }

    fn shape(sign: char, cut: DigitSize) -> Vec<bool> {
        let mut cells = Vec::new();
        for_each_cell(&sign.to_string(), cut, |_, _, lit| cells.push(lit));
        cells
    }

    #[test]
    fn no_figure_looks_like_another_at_any_size() {
        for rows in MIN_ROWS..=40 {
            for columns in [34, 42, 60, 90, 150] {
                let Some(cut) = DigitSize::largest_fitting("00:00", columns, rows) else { continue };
                assert!(cut.width("00:00") <= columns);
                let figures: Vec<char> = "0123456789".chars().collect();
                for (i, a) in figures.iter().enumerate() {
                    for b in &figures[i + 1..] {
                        let (one, other) = (shape(*a, cut), shape(*b, cut));
                        let differ = one.iter().zip(&other).filter(|(x, y)| x != y).count();
                        assert!(
                            differ >= usize::from(cut.stroke_rows * 2),
                            "{a} and {b} in {cut:?} differ in {differ} cells"
                        );
                    }
                }
            }
        }
    }
}
