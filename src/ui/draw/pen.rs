//! The one way onto the screen: every sign and word passes here, is cleaned, clipped and, where asked, made ASCII.

use super::moving::Moving;
use crate::text;
use crate::ui::theme::{self, Ink, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;

/// Writes into a buffer and never outside it.
pub(super) struct Pen<'a> {
    buf: &'a mut Buffer,
    theme: &'a Theme,
    /// What was drawn that moves every second.
    pub moving: Moving,
}

impl<'a> Pen<'a> {
    /// A pen over a buffer nothing was drawn on yet: the ground is laid in `area` only where it differs from a bare one.
    pub fn on_bare(buf: &'a mut Buffer, area: Rect, theme: &'a Theme) -> Self {
        if theme.ground() == Style::new() {
            Pen { buf, theme, moving: Moving::default() }
        } else {
            Pen::new(buf, area, theme)
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
        Pen { buf, theme, moving: Moving::default() }
    }

    /// Whether only ASCII may be written.
    pub fn ascii(&self) -> bool {
        self.theme.ascii
    }

    /// One sign of ours.
    pub fn put(&mut self, x: u16, y: u16, sign: char, ink: Ink) {
        let sign = if self.theme.ascii { theme::ascii(sign) } else { sign };
        if let Some(cell) = self.buf.cell_mut((x, y)) {
            cell.set_char(sign);
            cell.set_style(self.theme.style(ink));
        }
    }

    /// One sign over and over.
    pub fn fill(&mut self, area: Rect, sign: char, ink: Ink) {
        for y in area.top()..area.bottom() {
            for x in area.left()..area.right() {
                self.put(x, y, sign, ink);
            }
        }
    }

    /// Words on the first line of `area`, cut to fit; tells how many columns they took.
    pub fn words(&mut self, area: Rect, words: &str, ink: Ink) -> u16 {
        if area.is_empty() {
            return 0;
        }
        let cut = if self.theme.ascii { text::fit_ascii } else { text::fit };
        let shown = cut(&self.plain(words), usize::from(area.width));
        let (end, _) = self.buf.set_stringn(area.x, area.y, shown, usize::from(area.width), self.theme.style(ink));
        end.saturating_sub(area.x)
    }

    /// Words against the right end of the first line of `area`; tells how many columns they took.
    pub fn words_right(&mut self, area: Rect, words: &str, ink: Ink) -> u16 {
        let wide = self.width(words).min(area.width);
        self.words(Rect { x: area.right().saturating_sub(wide), width: wide, ..area }, words, ink)
    }

    /// Words broken over the lines of `area`; tells how many lines they took.
    pub fn lines(&mut self, area: Rect, words: &str, ink: Ink) -> u16 {
        let broken = self.broken(words, area.width);
        let mut used = 0;
        for (i, line) in broken.iter().enumerate() {
            if used >= area.height {
                break;
            }
            let last = used + 1 == area.height && i + 1 < broken.len();
            let here = Rect { y: area.y.saturating_add(used), height: 1, ..area };
            let whole = broken.get(i..).map(|rest| rest.join(" "));
            self.words(here, if last { whole.as_deref().unwrap_or(line) } else { line }, ink);
            used += 1;
        }
        used
    }

    /// The columns that words take when nothing is cut.
    pub fn width(&self, words: &str) -> u16 {
        u16::try_from(text::width(&self.plain(words))).unwrap_or(u16::MAX)
    }

    /// The lines that words take when broken to `columns`.
    pub fn height(&self, words: &str, columns: u16) -> u16 {
        u16::try_from(self.broken(words, columns).len()).unwrap_or(u16::MAX)
    }

    /// Words broken into lines of at most `columns`.
    pub fn broken(&self, words: &str, columns: u16) -> Vec<String> {
        wrap(&self.plain(words), usize::from(columns))
    }

    fn plain(&self, words: &str) -> String {
        let cleaned = text::clean(words);
        if !self.theme.ascii || cleaned.is_ascii() {
            return cleaned;
        }
        let ours: String = cleaned.chars().map(|c| if theme::ascii(c) == '?' { c } else { theme::ascii(c) }).collect();
        deunicode::deunicode(&ours).chars().map(|c| if c.is_ascii_graphic() { c } else { ' ' }).collect()
    }
}

/// `words` broken at spaces into lines of at most `columns`; a longer word stands alone and is cut when written.
fn wrap(words: &str, columns: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut used = 0;
    for word in words.split_whitespace() {
        let wide = text::width(word);
        match lines.last_mut() {
            Some(line) if used + 1 + wide <= columns => {
                line.push(' ');
                line.push_str(word);
                used += 1 + wide;
            }
            Some(_) | None => {
                lines.push(word.to_owned());
                used = wide;
            }
        }
    }
    lines
}

/// `area` without its first `rows` rows.
pub(super) fn below(area: Rect, rows: u16) -> Rect {
    let rows = rows.min(area.height);
    Rect { y: area.y.saturating_add(rows), height: area.height - rows, ..area }
}

/// `area` without its first `columns` columns.
pub(super) fn right_of(area: Rect, columns: u16) -> Rect {
    let columns = columns.min(area.width);
    Rect { x: area.x.saturating_add(columns), width: area.width - columns, ..area }
}

/// The first `rows` rows of `area`.
pub(super) fn top(area: Rect, rows: u16) -> Rect {
    Rect { height: rows.min(area.height), ..area }
}

/// The first `columns` columns of `area`.
pub(super) fn left(area: Rect, columns: u16) -> Rect {
    Rect { width: columns.min(area.width), ..area }
}

/// The last `rows` rows of `area`.
pub(super) fn bottom(area: Rect, rows: u16) -> Rect {
    below(area, area.height.saturating_sub(rows))
}
