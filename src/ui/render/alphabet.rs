//! The letters that are read across the room: our own alphabet of five dots height, and the sizes it is set in.

/// Dots from the baseline of the highest sign to its top.
pub(super) const GLYPH_DOT_ROWS: u16 = 5;

/// The dots of a sign, rows from the top; none for a sign the alphabet lacks.
pub(super) fn glyph_dots(sign: char) -> Option<[&'static str; GLYPH_DOT_ROWS as usize]> {
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

/// The size of a dot of the letters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct LetterSize {
    /// Columns of a dot.
    pub columns: u16,
    /// Half rows of a dot.
    pub half_rows: u16,
}

impl LetterSize {
    /// A dot as wide as it is high, a cell being twice as high as wide.
    pub const fn square(scale: u16) -> LetterSize {
        LetterSize { columns: scale, half_rows: scale }
    }

    /// Half rows of a letter.
    pub const fn letter_half_rows(self) -> u16 {
        GLYPH_DOT_ROWS * self.half_rows
    }

    /// The rows a letter takes that begins with a row.
    pub const fn rows(self) -> u16 {
        self.letter_half_rows().div_ceil(2)
    }

    /// The columns that `text` takes; none if it holds a sign the alphabet lacks.
    pub fn width(self, text: &str) -> Option<u16> {
        width_at_scale(text, self.columns)
    }

    /// Every size up to `most` half rows a dot, the largest first. Letters may be drawn out to `stretch` times their height;
    /// in ASCII always to twice, as no dot is lower than a row there.
    pub fn descending(most: u16, stretch: Stretch, ascii: bool) -> Vec<LetterSize> {
        let least = if ascii { 2 } else { 1 };
        let heights = (least..=most.max(least)).rev().filter(|h| !ascii || h % 2 == 0);
        let narrowest = |h: u16| match stretch {
            _ if ascii => h.div_ceil(2),
            Stretch::None => h,
            Stretch::Twice => h.div_ceil(2),
        };
        heights
            .flat_map(|h| (narrowest(h)..=h).rev().map(move |columns| LetterSize { columns, half_rows: h }))
            .collect()
    }

    /// The largest size at which `text` fits so many columns and rows.
    pub fn largest_fitting(
        text: &str,
        columns: u16,
        rows: u16,
        most: u16,
        stretch: Stretch,
        ascii: bool,
    ) -> Option<LetterSize> {
        let fits = |size: &LetterSize| size.rows() <= rows && size.width(text).is_some_and(|wide| wide <= columns);
        LetterSize::descending(most, stretch, ascii).into_iter().find(fits)
    }
}

/// How far letters may be drawn out in height.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stretch {
    /// As they are.
    None,
    /// To twice their height: narrow, and still larger both ways than the next smaller size.
    Twice,
}

/// The rows that letters of this scale take.
pub(super) const fn rows_at_scale(scale: u16) -> u16 {
    LetterSize::square(scale).rows()
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

/// Whether a dot of a sign is set.
pub(super) fn is_lit(dots: &[&str], column: u16, row: u16) -> bool {
    dots.get(usize::from(row)).and_then(|r| r.as_bytes().get(usize::from(column))) == Some(&b'#')
}
