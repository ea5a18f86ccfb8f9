//! Panels side by side: words first, then a few rows for each panel, its coats on one scale of time and its powder maps.

use super::parts;
use super::pen::{Pen, below, bottom, left, right_of, top};
use crate::app::compare::{CompareRow, CompareSheet};
use crate::text::lasting;
use crate::ui::hatch::Hatch;
use crate::ui::theme::{Ink, Theme};
use crate::units::Span;
use crate::work::panel::event::Low;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// Rows for one panel: its front, its back, what was out of time.
const ROWS: u16 = 3;

/// Draws the comparison over the whole of a bare buffer.
pub fn compare(view: &CompareSheet, theme: &Theme, buf: &mut Buffer) {
    let area = buf.area;
    on(view, theme, buf, area);
}

/// Draws the comparison into `area` of a buffer.
pub(super) fn on(view: &CompareSheet, theme: &Theme, buf: &mut Buffer, area: Rect) {
    let area = area.intersection(buf.area);
    let mut pen = Pen::new(buf, area, theme);
    pen.words(top(area, 1), &view.title, Ink::Strong);
    let mut rest = below(area, if area.height > 20 { 2 } else { 1 });
    if area.height > 3 {
        parts::keys(&mut pen, bottom(rest, 1), &view.keys);
        rest = top(rest, rest.height.saturating_sub(1));
    }
    match &view.text {
        Some((lines, offset)) => text(&mut pen, rest, lines, *offset),
        None => pictures(&mut pen, rest, view),
    }
}

fn text(pen: &mut Pen<'_>, area: Rect, lines: &[String], offset: usize) {
    let mut rest = area;
    for (i, line) in lines.iter().enumerate().skip(offset.min(lines.len())) {
        if rest.is_empty() {
            return;
        }
        let left_over = lines.len() - i;
        if rest.height == 1 && left_over > 1 {
            pen.words(rest, &format!("↓ {left_over} more lines"), Ink::Read);
            return;
        }
        let indent = u16::try_from(line.len() - line.trim_start().len()).unwrap_or(0);
        let ink = if indent == 0 { Ink::Strong } else { Ink::Read };
        let used =
            pen.lines(right_of(top(rest, rest.height - u16::from(left_over > 1)), indent), line.trim_start(), ink);
        rest = below(rest, used.max(1));
    }
}

fn pictures(pen: &mut Pen<'_>, area: Rect, view: &CompareSheet) {
    // The words come first and all of them are a key away; what is taken in at a glance needs the room.
    let for_rows = ROWS * u16::try_from(view.rows.len()).unwrap_or(u16::MAX).min(40) + 2;
    let most = area.height.saturating_sub(for_rows).max((area.height / 4).max(5).min(area.height));
    let used = words(pen, top(area, most), view);
    let rest = below(area, used + u16::from(area.height > 24));
    let sides = Sides::of(view, rest.width);
    scale(pen, top(rest, 1), view, sides);
    rows(pen, below(rest, 1), view, sides);
}

/// What was done differently; what finds no room is counted.
fn words(pen: &mut Pen<'_>, area: Rect, view: &CompareSheet) -> u16 {
    let mut rest = area;
    for (i, said) in view.words.iter().enumerate() {
        let more = view.words.len() - i;
        if rest.height <= 1 && more > 1 {
            pen.words(rest, &format!("↓ {more} more; w tells all"), Ink::Read);
            return area.height;
        }
        let lines = pen.lines(top(rest, rest.height - u16::from(more > 1)), said, Ink::Read);
        if let Some((name, _)) = said.split_once(": ").filter(|(name, _)| name.len() < 24 && lines > 0) {
            pen.words(top(rest, 1), &format!("{name}:"), Ink::Strong);
        }
        rest = below(rest, lines);
    }
    area.height - rest.height
}

/// Where names end, the line runs, and maps begin.
#[derive(Clone, Copy)]
struct Sides {
    name: u16,
    line: u16,
    maps: u16,
}

impl Sides {
    fn of(view: &CompareSheet, width: u16) -> Sides {
        let name = (width / 4).clamp(8, 30).min(width);
        let wide = |row: &CompareRow| row.maps.iter().map(|m| m.first().map_or(0, Vec::len) + 1).sum::<usize>();
        let maps = view.rows.iter().map(wide).max().unwrap_or(0);
        let maps = u16::try_from(maps).unwrap_or(u16::MAX).min(width / 4);
        Sides { name, line: width.saturating_sub(name + maps + 2), maps }
    }
    fn line(self, area: Rect) -> Rect {
        left(right_of(area, self.name + 1), self.line)
    }
    fn maps(self, area: Rect) -> Rect {
        right_of(area, area.width.saturating_sub(self.maps))
    }
}

fn scale(pen: &mut Pen<'_>, area: Rect, view: &CompareSheet, sides: Sides) {
    let line = sides.line(area);
    pen.words(line, "coats from the first on", Ink::Read);
    pen.words_right(line, &lasting(Span::from_min(view.scale_min)), Ink::Read);
    if view.rows.iter().any(|row| !row.maps.is_empty()) {
        pen.words(sides.maps(area), "powder", Ink::Read);
    }
}

fn rows(pen: &mut Pen<'_>, area: Rect, view: &CompareSheet, sides: Sides) {
    let gap = u16::from(area.height >= (ROWS + 1).saturating_mul(u16::try_from(view.rows.len()).unwrap_or(u16::MAX)));
    let fit = usize::from((area.height / (ROWS + gap)).max(1));
    let first = view.at.saturating_sub(fit.saturating_sub(1));
    let mut rest = area;
    for (i, row) in view.rows.iter().enumerate().skip(first) {
        if rest.height < ROWS.min(area.height) {
            pen.words_right(bottom(area, 1), &format!("↓ {} more", view.rows.len() - i), Ink::Read);
            return;
        }
        one(pen, top(rest, ROWS), row, sides);
        rest = below(rest, ROWS + gap);
    }
}

fn one(pen: &mut Pen<'_>, area: Rect, row: &CompareRow, sides: Sides) {
    let name = left(area, sides.name);
    let sign = match (row.on, row.chosen) {
        (true, true) => "▶✓ ",
        (true, false) => "▶  ",
        (false, true) => " ✓ ",
        (false, false) => "   ",
    };
    let sign = if pen.ascii() { sign.replace('▶', ">").replace('✓', "*") } else { sign.to_owned() };
    pen.words(top(name, 1), &format!("{sign}{}", row.label), if row.on { Ink::Loud } else { Ink::Strong });
    pen.words(right_of(top(below(name, 1), 1), 3), &row.outcome, Ink::Read);
    pen.words(right_of(below(name, 2), 3), &row.what, Ink::Read);
    coats(pen, sides.line(area), row);
    maps(pen, sides.maps(area), row);
}

fn coats(pen: &mut Pen<'_>, line: Rect, row: &CompareRow) {
    if line.width < 4 || line.is_empty() {
        return;
    }
    for x in line.left()..line.right() {
        pen.put(x, line.y, '─', Ink::Coming);
    }
    for coat in &row.coats {
        let x = line.x + (coat.share.clamp(0.0, 1.0) * f64::from(line.width - 1)).round() as u16;
        let y = line.y + u16::from(coat.back);
        let hatch = Hatch::of(coat.kind, coat.direction);
        if y < line.bottom() {
            pen.put(x, y, hatch.bold(), Ink::Laid);
        }
        let below = line.y + 2;
        if (coat.early || coat.gap) && below < line.bottom() {
            pen.put(x, below, if coat.gap { 'g' } else { 'e' }, Ink::Over);
        }
    }
    if let Some(later) = &row.later {
        pen.words_right(top(below(line, 1), 1), &format!("→ {later}"), Ink::Read);
    }
    let legend = match (row.coats.iter().any(|c| c.early), row.coats.iter().any(|c| c.gap)) {
        (true, true) => "e early, g bone dry below",
        (true, false) => "e early",
        (false, true) => "g bone dry below",
        (false, false) => "",
    };
    let taken = row.coats.iter().filter(|c| c.early || c.gap).map(|c| c.share).fold(0.0, f64::max);
    let free = f64::from(line.width) * (1.0 - taken);
    if free > f64::from(pen.width(legend)) + 3.0 {
        pen.words_right(top(below(line, 2), 1), legend, Ink::Read);
    }
}

/// Each round beside the one before, a sign for each area; a finer map than there are rows is drawn by its worst areas.
fn maps(pen: &mut Pen<'_>, area: Rect, row: &CompareRow) {
    let mut x = area.x;
    for map in &row.maps {
        let columns = u16::try_from(map.first().map_or(0, Vec::len)).unwrap_or(u16::MAX);
        if x.saturating_add(columns) > area.right() {
            return;
        }
        let high = u16::try_from(map.len()).unwrap_or(u16::MAX).min(area.height);
        for y in 0..high {
            let from = map.len() * usize::from(y) / usize::from(high.max(1));
            let to = map.len() * usize::from(y + 1) / usize::from(high.max(1));
            for c in 0..columns {
                let worst = map[from..to].iter().filter_map(|r| r.get(usize::from(c))).max().copied();
                let sign = match worst.unwrap_or(Low::None) {
                    Low::None => '·',
                    Low::Some => '░',
                    Low::Much => '▓',
                };
                pen.put(x + c, area.y + y, sign, Ink::Read);
            }
        }
        x = x.saturating_add(columns + 1);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::action::Action;
    use crate::app::compare::{Compare, Step};
    use crate::review::samples::{look, made, seen};
    use crate::review::side::{One, Side};
    use crate::ui::theme::Look;
    use std::sync::Arc;
    use unicode_width::UnicodeWidthStr;

    /// Six panels: three waited too little and cracked, one was never looked at.
    fn panels() -> Compare {
        panels_of(6)
    }

    /// The same, where there are so many panels on the shelf.
    fn panels_of(of: usize) -> Compare {
        let names = ["Wren", "Robin", "Dunnock", "Siskin", "Goldcrest", "Nuthatch"];
        let one = |(i, name): (usize, &&str)| {
            let hasty = i % 2 == 0;
            let (story, end) = made(name, if hasty { 8.0 } else { 16.0 });
            let story = match (i, hasty) {
                (5, _) => story,
                (_, true) => look(&story, seen(&["field:2:across"]), end + 28.0 * 1440.0),
                (_, false) => look(&story, seen(&[]), end + 28.0 * 1440.0),
            };
            let mut facts = crate::review::facts::facts(&story, &[], crate::review::samples::at(1e6));
            facts.id = crate::units::Id::new(&name.to_lowercase()).unwrap();
            let again = Arc::new(crate::review::again::again(&story));
            One { facts, line: crate::review::lines::line(&story), again }
        };
        Compare::new(Side { ones: names.iter().enumerate().map(one).collect(), of, ..Side::default() })
    }

    fn drawn(view: &CompareSheet, ascii: bool, width: u16, height: u16) -> String {
        let area = Rect::new(0, 0, width, height);
        let mut buf = Buffer::empty(area);
        on(view, &Theme { look: Look::Terminal, ascii }, &mut buf, area);
        let row = |y: u16| (0..width).map(|x| buf[(x, y)].symbol()).collect::<String>().trim_end().to_owned() + "\n";
        (0..height).map(row).collect()
    }

    #[test]
    fn panels_stand_side_by_side_at_every_size() {
        let mut view = panels();
        view.update(&Action::Down);
        view.update(&Action::Type(' '));
        for (width, height) in [(80, 24), (120, 40), (200, 60)] {
            insta::assert_snapshot!(format!("compare-{width}x{height}"), drawn(&view.sheet(), false, width, height));
        }
        let ascii = drawn(&view.sheet(), true, 80, 24);
        assert!(ascii.is_ascii(), "{ascii}");
        view.update(&Action::Type('w'));
        insta::assert_snapshot!("compare-words", drawn(&view.sheet(), false, 80, 24));
    }

    #[test]
    fn words_come_before_the_first_figure_and_nothing_leaves_its_place() {
        let view = panels();
        let page = drawn(&view.sheet(), false, 120, 40);
        assert!(page.find("laid early").unwrap() < page.find("Wren\n").or(page.find("Wren ")).unwrap());
        for width in [1, 2, 5, 8, 13, 20, 33, 50, 81] {
            for height in [1, 2, 3, 4, 5, 7, 11, 19, 30] {
                for line in drawn(&view.sheet(), false, width, height).lines() {
                    assert!(line.width() <= usize::from(width));
                }
            }
        }
        assert!(drawn(&Compare::new(Side::default()).sheet(), false, 80, 24).contains("0 panels"));
    }

    #[test]
    fn a_view_that_does_not_hold_all_says_so_first() {
        for (of, says) in [(6, false), (6000, true)] {
            for (width, height) in [(80, 24), (200, 60)] {
                let page = drawn(&panels_of(of).sheet(), false, width, height);
                assert_eq!(page.contains("Only the 6 opened last, of 6000"), says, "{page}");
            }
        }
    }

    #[test]
    fn keys_choose_group_and_lead_on() {
        let mut view = panels();
        assert_eq!(view.sheet().rows.len(), 6);
        view.update(&Action::Type('c'));
        assert_eq!(view.sheet().rows.len(), 6, "with fewer than two chosen, all stay");
        for key in [Action::Type(' '), Action::Down, Action::Down, Action::Type(' '), Action::Type('c')] {
            assert_eq!(view.update(&key), Step::Stay);
        }
        assert_eq!(view.sheet().rows.len(), 2);
        view.update(&Action::Type('c'));
        view.update(&Action::Type('p'));
        assert!(view.sheet().title.ends_with("by pot"));
        view.update(&Action::End);
        view.update(&Action::Down);
        assert!(view.sheet().rows[5].on);
        let Step::Again(recipe) = view.update(&Action::Accept) else { panic!("a recipe was asked for") };
        assert!(recipe.name.contains("-like-"));
        view.update(&Action::Type('w'));
        assert_eq!(view.update(&Action::Leave), Step::Stay);
        assert_eq!(view.update(&Action::Leave), Step::Close);
    }
}
