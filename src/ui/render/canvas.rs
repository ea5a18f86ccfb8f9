//! The one way onto the screen: every sign and word passes here, is cleaned, clipped and, where asked, made ASCII.

use super::alphabet::LetterSize;
use crate::text;
use crate::ui::theme::{self, Ink, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;

/// The places of a picture that move.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct LiveRegions {
    /// Where the bar is.
    pub bar: Option<Rect>,
    /// Where the digits are; none in a layout that writes the time as words.
    pub digits: Option<DigitsRegion>,
    /// Where the boards stand in their places.
    pub places: Option<Rect>,
    /// Where what comes is told.
    pub queue: Option<Rect>,
    /// Where the bands are.
    pub bands: Vec<BandRegion>,
}

/// The place of a band.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct BandRegion {
    /// Where it is.
    pub area: Rect,
    /// Which of the bands.
    pub index: usize,
    /// How it was drawn.
    pub style: BandStyle,
}

/// How a band is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct BandStyle {
    /// Block letters of this size; none: one line of words.
    pub size: Option<LetterSize>,
    /// Whether half a row stands under the letters, so that they do not touch what is below.
    pub is_padded: bool,
}

/// The place of the digits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct DigitsRegion {
    /// What they were given.
    pub area: Rect,
    /// The rows they took of it.
    pub rows: u16,
}

/// Writes into a buffer and never outside it.
pub(super) struct Canvas<'a> {
    buf: &'a mut Buffer,
    theme: &'a Theme,
    /// What was drawn that moves every second.
    pub live_regions: LiveRegions,
}

impl<'a> Canvas<'a> {
    /// A pen over a buffer nothing was drawn on yet: the ground is laid in `area` only where it differs from a bare one.
    pub fn new_on_blank(buf: &'a mut Buffer, area: Rect, theme: &'a Theme) -> Self {
        if theme.ground() == Style::new() {
            Canvas { buf, theme, live_regions: LiveRegions::default() }
        } else {
            Canvas::new(buf, area, theme)
        }
    }

    /// A pen over `buf`, with the ground laid in `area`.
    pub fn new(buf: &'a mut Buffer, area: Rect, theme: &'a Theme) -> Self {
        let area = area.intersection(buf.area);
        for y in area.top()..area.bottom() {
            for x in area.left()..area.right() {
                if let Some(cell) = buf.cell_mut((x, y)) {
                    cell.reset();
                    cell.set_style(theme.ground());
                }
            }
        }
        Canvas { buf, theme, live_regions: LiveRegions::default() }
    }

    /// Whether only ASCII may be written.
    pub fn is_ascii(&self) -> bool {
        self.theme.ascii
    }

    /// One sign of ours.
    pub fn draw_char(&mut self, x: u16, y: u16, sign: char, ink: Ink) {
        let sign = if self.theme.ascii { theme::to_ascii(sign) } else { sign };
        if let Some(cell) = self.buf.cell_mut((x, y)) {
            cell.set_char(sign);
            cell.set_style(self.theme.style(ink));
        }
    }

    /// One sign over and over.
    pub fn fill(&mut self, area: Rect, sign: char, ink: Ink) {
        for y in area.top()..area.bottom() {
            for x in area.left()..area.right() {
                self.draw_char(x, y, sign, ink);
            }
        }
    }

    /// Words on the first line of `area`, cut to fit; tells how many columns they took.
    pub fn draw_text(&mut self, area: Rect, words: &str, ink: Ink) -> u16 {
        if area.is_empty() {
            return 0;
        }
        let cut = if self.theme.ascii { text::truncate_to_width_ascii } else { text::truncate_to_width };
        let shown = cut(&self.clean_text(words), usize::from(area.width));
        let (end, _) = self.buf.set_stringn(area.x, area.y, shown, usize::from(area.width), self.theme.style(ink));
        end.saturating_sub(area.x)
    }

    /// Words against the right end of the first line of `area`; tells how many columns they took.
    pub fn draw_text_right(&mut self, area: Rect, words: &str, ink: Ink) -> u16 {
        let wide = self.text_width(words).min(area.width);
        self.draw_text(Rect { x: area.right().saturating_sub(wide), width: wide, ..area }, words, ink)
    }

    /// Words broken over the lines of `area`; tells how many lines they took.
    pub fn draw_wrapped(&mut self, area: Rect, words: &str, ink: Ink) -> u16 {
        let broken = self.wrap_text(words, area.width);
        let mut used = 0;
        for (i, line) in broken.iter().enumerate() {
            if used >= area.height {
                break;
            }
            let last = used + 1 == area.height && i + 1 < broken.len();
            let here = Rect { y: area.y.saturating_add(used), height: 1, ..area };
            let whole = broken.get(i..).map(|rest| rest.join(" "));
            self.draw_text(here, if last { whole.as_deref().unwrap_or(line) } else { line }, ink);
            used += 1;
        }
        used
    }

    /// The columns that words take when nothing is cut.
    pub fn text_width(&self, words: &str) -> u16 {
        u16::try_from(text::display_width(&self.clean_text(words))).unwrap_or(u16::MAX)
    }

    /// The lines that words take when broken to `columns`.
    pub fn wrapped_height(&self, words: &str, columns: u16) -> u16 {
        u16::try_from(self.wrap_text(words, columns).len()).unwrap_or(u16::MAX)
    }

    /// Words broken into lines of at most `columns`.
    pub fn wrap_text(&self, words: &str, columns: u16) -> Vec<String> {
        text::wrap_words(&self.clean_text(words), usize::from(columns))
    }

    fn clean_text(&self, words: &str) -> String {
        let cleaned = text::sanitize(words);
        if !self.theme.ascii || cleaned.is_ascii() {
            return cleaned;
        }
        let ours: String =
            cleaned.chars().map(|c| if theme::to_ascii(c) == '?' { c } else { theme::to_ascii(c) }).collect();
        deunicode::deunicode(&ours).chars().map(|c| if c.is_ascii_graphic() { c } else { ' ' }).collect()
    }
}

/// `area` without its first `rows` rows.
pub(super) fn skip_rows(area: Rect, rows: u16) -> Rect {
    let rows = rows.min(area.height);
    Rect { y: area.y.saturating_add(rows), height: area.height - rows, ..area }
}

/// `area` without its first `columns` columns.
pub(super) fn skip_columns(area: Rect, columns: u16) -> Rect {
    let columns = columns.min(area.width);
    Rect { x: area.x.saturating_add(columns), width: area.width - columns, ..area }
}

/// The first `rows` rows of `area`.
pub(super) fn take_rows(area: Rect, rows: u16) -> Rect {
    Rect { height: rows.min(area.height), ..area }
}

/// The first `columns` columns of `area`.
pub(super) fn take_columns(area: Rect, columns: u16) -> Rect {
    Rect { width: columns.min(area.width), ..area }
}

/// The last `rows` rows of `area`.
pub(super) fn take_last_rows(area: Rect, rows: u16) -> Rect {
    skip_rows(area, area.height.saturating_sub(rows))
}

/// The columns at either side that no letter stands in.
pub(super) const MARGIN: u16 = 1;

/// `area` without its margins; in a narrow window there are none.
pub(super) fn inside_margins(area: Rect) -> Rect {
    let margin = if area.width > 30 { MARGIN } else { 0 };
    take_columns(skip_columns(area, margin), area.width.saturating_sub(margin * 2))
}
