//! The sitting: what is asked, a row for each board with what was said last time beside the answer, and what is to be
//! known of the board under the cursor.

use super::form::typed;
use super::parts;
use super::pen::{Pen, below, bottom, left, right_of, top};
use crate::app::sitting::{Sign, SittingRow, SittingSheet};
use crate::ui::theme::{Ink, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// Draws the sitting over the whole of a bare buffer.
pub fn sitting(view: &SittingSheet, theme: &Theme, buf: &mut Buffer) {
    let area = buf.area;
    on(view, theme, buf, area);
}

/// What stands where an answer is missing.
const NOT_LOOKED_AT: &str = "not looked at";

/// Draws the sitting into `area` of a buffer.
pub(super) fn on(view: &SittingSheet, theme: &Theme, buf: &mut Buffer, area: Rect) {
    let area = area.intersection(buf.area);
    let mut pen = Pen::new(buf, area, theme);
    if area.width < 50 || area.height < 12 {
        return small(&mut pen, area, view);
    }
    let area = Rect { x: area.x + 1, width: area.width - 2, ..area };
    pen.words(top(area, 1), &view.title, Ink::Strong);
    questions(&mut pen, top(below(area, 1), 1), view);
    let mut rest = below(area, if area.height >= 20 { 3 } else { 2 });
    rest = below(rest, pen.lines(top(rest, 2), &view.asks, Ink::Strong));
    rest = below(rest, pen.lines(top(rest, 3), &view.help, Ink::Read));
    rest = below(rest, u16::from(area.height >= 20));
    parts::keys(&mut pen, bottom(rest, 1), &view.keys);
    rest = top(rest, rest.height.saturating_sub(1));
    rest = problem(&mut pen, rest, view);
    let tall: u16 = view.about.iter().map(|line| pen.height(line, rest.width).min(3)).sum();
    let tall = tall.min(rest.height / 2);
    let for_rows = rest.height.saturating_sub(tall + u16::from(tall > 0 && rest.height > tall + 6));
    let used = rows(&mut pen, top(rest, for_rows), view);
    rest = below(rest, if used < for_rows { used + 1 } else { rest.height.saturating_sub(tall) });
    about(&mut pen, rest, view);
}

/// Every question by its word, the one asked turned inside out; from where it stays in sight.
fn questions(pen: &mut Pen<'_>, area: Rect, view: &SittingSheet) {
    let wide = |q: &String| pen.width(q) + 2;
    let mut first = 0;
    let upto = |first: usize| view.questions.iter().take(view.question + 1).skip(first).map(wide).sum::<u16>();
    while first < view.question && upto(first) > area.width {
        first += 1;
    }
    let mut rest = area;
    for (i, name) in view.questions.iter().enumerate().skip(first) {
        let ink = if i == view.question { Ink::Loud } else { Ink::Read };
        let used = pen.words(rest, &format!(" {name} "), ink);
        rest = right_of(rest, used);
    }
}

/// What is wrong, along the lower edge; gives back what is left above it.
fn problem(pen: &mut Pen<'_>, area: Rect, view: &SittingSheet) -> Rect {
    if view.problem.is_empty() {
        return area;
    }
    let rows = pen.height(&view.problem, area.width).min(area.height / 3).max(1);
    pen.lines(bottom(area, rows), &view.problem, Ink::Loud);
    top(area, area.height.saturating_sub(rows))
}

/// What is to be known of the board under the cursor, below the rows.
fn about(pen: &mut Pen<'_>, area: Rect, view: &SittingSheet) {
    let mut rest = area;
    for line in &view.about {
        rest = below(rest, pen.lines(top(rest, 3), line, Ink::Read));
    }
}

/// Where the columns stand.
#[derive(Clone, Copy)]
struct Columns {
    label: u16,
    look: u16,
    before: u16,
}

impl Columns {
    fn of(pen: &Pen<'_>, view: &SittingSheet, width: u16) -> Columns {
        let widest = |of: &dyn Fn(&SittingRow) -> &str| view.rows.iter().map(|r| pen.width(of(r))).max().unwrap_or(0);
        let label = widest(&|r| &r.label).max(5).min(width / 4);
        let look = widest(&|r| &r.look).max(4).min(width / 6);
        let left = width.saturating_sub(label + look + 8);
        Columns { label, look, before: widest(&|r| &r.before).max(9).min(left / 2) }
    }
    fn look(self, row: Rect) -> Rect {
        left(right_of(row, 2 + self.label + 2), self.look)
    }
    fn before(self, row: Rect) -> Rect {
        left(right_of(row, 2 + self.label + 2 + self.look + 2), self.before)
    }
    fn now(self, row: Rect) -> Rect {
        right_of(row, 2 + self.label + 2 + self.look + 2 + self.before + 2)
    }
}

/// A row for each board around the cursor; tells how many rows they took.
fn rows(pen: &mut Pen<'_>, area: Rect, view: &SittingSheet) -> u16 {
    if view.rows.is_empty() {
        return pen.lines(area, "A panel comes here once it is finished.", Ink::Read);
    }
    let columns = Columns::of(pen, view, area.width);
    let head = top(area, 1);
    pen.words(left(right_of(head, 2), columns.label), "panel", Ink::Read);
    pen.words(columns.look(head), "look", Ink::Read);
    pen.words(columns.before(head), "last time", Ink::Read);
    pen.words(columns.now(head), "now", Ink::Read);
    let area = below(area, 1);
    let fit = usize::from(area.height.max(1));
    let first = (view.at + 1).saturating_sub(fit);
    for (i, row) in view.rows.iter().enumerate().skip(first).take(fit) {
        let here = top(below(area, (i - first) as u16), 1);
        let more = view.rows.len() - i;
        if i + 1 == first + fit && more > 1 && !row.on {
            pen.words(here, &format!("↓ {more} more"), Ink::Read);
            break;
        }
        one(pen, here, row, view, columns);
    }
    1 + (view.rows.len() - first).min(fit) as u16
}

fn one(pen: &mut Pen<'_>, here: Rect, row: &SittingRow, view: &SittingSheet, columns: Columns) {
    let ink = if row.on { Ink::Strong } else { Ink::Read };
    if row.on {
        pen.put(here.x, here.y, '→', Ink::Strong);
    }
    pen.words(left(right_of(here, 2), columns.label), &row.label, ink);
    pen.words(columns.look(here), &row.look, ink);
    pen.words(columns.before(here), &row.before, Ink::Read);
    let mut now = columns.now(here);
    let word = row.sign.word();
    let sign = if row.sign == Sign::Not { Ink::Loud } else { Ink::Read };
    let for_word = pen.words_right(now, word, sign);
    now = left(now, now.width.saturating_sub(for_word + u16::from(for_word > 0) * 2));
    match (&view.field, row.on, row.now.is_empty()) {
        (Some(field), true, _) => typed(pen, now, &field.value, field.cursor),
        (_, _, true) => _ = pen.words(now, NOT_LOOKED_AT, if row.on { Ink::Loud } else { Ink::Read }),
        (_, _, false) => {
            let shown = if row.on { end_of(pen, &row.now, now.width) } else { row.now.clone() };
            let used = pen.words(now, &shown, if row.on { Ink::Loud } else { Ink::Strong });
            pen.words(right_of(now, used + 2), &row.does, Ink::Strong);
        }
    }
}

/// As much of the end of an answer as fits: what is being typed is there.
fn end_of(pen: &Pen<'_>, words: &str, columns: u16) -> String {
    if pen.width(words) <= columns {
        return words.to_owned();
    }
    let mark = if pen.ascii() { "..." } else { "…" };
    let room = columns.saturating_sub(pen.width(mark));
    let starts = words.char_indices().map(|(i, _)| i);
    let end = starts.filter_map(|i| words.get(i..)).find(|end| pen.width(end) <= room);
    format!("{mark}{}", end.unwrap_or_default())
}

/// One board in a few lines: what went wrong or what is asked, whose board, the answer, last time.
fn small(pen: &mut Pen<'_>, area: Rect, view: &SittingSheet) {
    let question = view.questions.get(view.question).map_or("", String::as_str);
    let head = if view.problem.is_empty() { format!("{question}? {}", view.help) } else { view.problem.clone() };
    let ink = if view.problem.is_empty() { Ink::Strong } else { Ink::Loud };
    let for_head = if area.height > 5 || !view.problem.is_empty() { area.height.saturating_sub(3).max(1) } else { 1 };
    let mut rest = below(area, pen.lines(top(area, for_head), &head, ink));
    let Some(row) = view.rows.get(view.at) else {
        pen.lines(rest, &view.title, Ink::Read);
        return;
    };
    pen.words(top(rest, 1), &parts::joined(&[&row.label, row.sign.word()], "  "), Ink::Strong);
    rest = below(rest, 1);
    let now = if row.now.is_empty() { NOT_LOOKED_AT } else { &row.now };
    let fits = pen.width(now) + 2 + pen.width(&row.does) <= rest.width;
    let (now, does) = (end_of(pen, now, rest.width), if fits { &*row.does } else { "" });
    match &view.field {
        Some(field) => typed(pen, top(rest, 1), &field.value, field.cursor),
        None => _ = pen.words(top(rest, 1), &parts::joined(&[&now, does], "  "), Ink::Loud),
    }
    rest = below(rest, 1);
    pen.words(top(rest, 1), &row.before, Ink::Read);
    rest = below(rest, 1);
    if rest.height > 0 {
        parts::keys(pen, bottom(rest, 1), &view.keys);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::action::Action;
    use crate::app::sitting::Sitting;
    use crate::bench::Finished;
    use crate::ui::theme::Look;
    use crate::units::{Id, Length, Span, Stamp};
    use crate::work::panel::inspection::{Bow, Crack, Inspection};
    use unicode_width::UnicodeWidthStr;

    fn day(n: f64) -> Stamp {
        Stamp::from_ms(1_800_000_000_000) + Span::from_h(n * 24.0)
    }

    /// Three boards: a crack that grew, one that was never looked at, one with words about it.
    fn boards() -> Sitting {
        let cracked = |text: &str| Inspection { cracks: vec![Crack::parse(text).unwrap()], ..Inspection::default() };
        let bow = Bow { sag: Length::from_mm(1.0), span: Length::from_mm(300.0) };
        let panel = |label: &str, finished: f64, looks| Finished {
            id: Id::new(&label.to_lowercase().replace(' ', "-")).unwrap(),
            label: label.to_owned(),
            long_mm: 400.0,
            finished: day(finished),
            looks,
        };
        let wren = vec![(day(3.0), cracked("edge:1:along")), (day(14.0), cracked("edge:2:along"))];
        let note = Inspection { note: Some("a dull patch".into()), bow: Some(bow), ..Inspection::default() };
        let panels = vec![
            panel("Wren", 0.0, wren),
            panel("Great Tit", 1.0, vec![]),
            panel("Goldcrest", -60.0, vec![(day(20.0), note)]),
        ];
        Sitting::new(panels, 0, day(29.5))
    }

    fn drawn(sitting: &Sitting, ascii: bool, width: u16, height: u16) -> String {
        let area = Rect::new(0, 0, width, height);
        let mut buf = Buffer::empty(area);
        on(&sitting.sheet(day(29.5)), &Theme { look: Look::Terminal, ascii }, &mut buf, area);
        let row = |y: u16| (0..width).map(|x| buf[(x, y)].symbol()).collect::<String>().trim_end().to_owned() + "\n";
        (0..height).map(row).collect()
    }

    #[test]
    fn the_sitting_stands_at_every_size() {
        let mut sitting = boards();
        "3ea1f".chars().for_each(|c| _ = sitting.update(&Action::Type(c)));
        for (width, height) in [(80, 24), (120, 40), (200, 60), (40, 12), (20, 5)] {
            insta::assert_snapshot!(format!("sitting-{width}x{height}"), drawn(&sitting, false, width, height));
        }
        let ascii = drawn(&sitting, true, 80, 24);
        assert!(ascii.is_ascii() && ascii.contains("not looked at"), "{ascii}");
        sitting.update(&Action::Keep);
        insta::assert_snapshot!("sitting-refused-80x24", drawn(&sitting, false, 80, 24));
        (0..10).for_each(|_| _ = sitting.update(&Action::NextPanel));
        sitting.update(&Action::Paste("a line".into()));
        insta::assert_snapshot!("sitting-note-80x24", drawn(&sitting, false, 80, 24));
    }

    #[test]
    fn nothing_leaves_its_place() {
        let mut sitting = boards();
        for _ in 0..11 {
            for width in [1, 2, 5, 8, 13, 20, 33, 49, 50, 81] {
                for height in [1, 2, 3, 4, 5, 7, 11, 12, 19, 30] {
                    for line in drawn(&sitting, false, width, height).lines() {
                        assert!(line.width() <= usize::from(width));
                    }
                }
            }
            sitting.update(&Action::NextPanel);
        }
    }
}
