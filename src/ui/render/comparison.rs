//! Panels side by side: words first, then a few rows for each panel, its coats on one scale of time and its powder maps.

use super::bench_parts;
use super::canvas::{Canvas, skip_columns, skip_rows, take_columns, take_last_rows, take_rows};
use crate::app::comparison_model::{ComparisonRow, ComparisonViewModel};
use crate::text::format_duration;
use crate::ui::hatch::Hatch;
use crate::ui::theme::{Ink, Theme};
use crate::units::Span;
use crate::work::panel::event::Roughness;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// Rows for one panel: its front, its back, what was out of time.
const ROWS: u16 = 3;

/// Draws the comparison over the whole of a bare buffer.
pub fn render_comparison(view: &ComparisonViewModel, theme: &Theme, buf: &mut Buffer) {
    let area = buf.area;
    render_comparison_in(view, theme, buf, area);
}

/// Draws the comparison into `area` of a buffer.
pub(super) fn render_comparison_in(view: &ComparisonViewModel, theme: &Theme, buf: &mut Buffer, area: Rect) {
    let area = area.intersection(buf.area);
    let mut canvas = Canvas::new(buf, area, theme);
    canvas.draw_text(take_rows(area, 1), &view.title, Ink::Strong);
    let mut rest = skip_rows(area, if area.height > 20 { 2 } else { 1 });
    if area.height > 3 {
        bench_parts::render_key_hints(&mut canvas, take_last_rows(rest, 1), &view.keys);
        rest = take_rows(rest, rest.height.saturating_sub(1));
    }
    match &view.full_text {
        Some((lines, offset)) => render_full_text(&mut canvas, rest, lines, *offset),
        None => render_pictures(&mut canvas, rest, view),
    }
}

fn render_full_text(canvas: &mut Canvas<'_>, area: Rect, lines: &[String], offset: usize) {
    let mut rest = area;
    for (i, line) in lines.iter().enumerate().skip(offset.min(lines.len())) {
        if rest.is_empty() {
            return;
        }
        let left_over = lines.len() - i;
        if rest.height == 1 && left_over > 1 {
            canvas.draw_text(rest, &format!("↓ {left_over} more"), Ink::Text);
            return;
        }
        let indent = u16::try_from(line.len() - line.trim_start().len()).unwrap_or(0);
        let ink = if indent == 0 { Ink::Strong } else { Ink::Text };
        let used = canvas.draw_wrapped(
            skip_columns(take_rows(rest, rest.height - u16::from(left_over > 1)), indent),
            line.trim_start(),
            ink,
        );
        rest = skip_rows(rest, used.max(1));
    }
}

fn render_pictures(canvas: &mut Canvas<'_>, area: Rect, view: &ComparisonViewModel) {
    // The words come first and all of them are a key away; what is taken in at a glance needs the room.
    let for_rows = ROWS * u16::try_from(view.rows.len()).unwrap_or(u16::MAX).min(40) + 2;
    let most = area.height.saturating_sub(for_rows).max((area.height / 4).max(5).min(area.height));
    let used = render_findings(canvas, take_rows(area, most), view);
    let rest = skip_rows(area, used + u16::from(area.height > 24));
    let sides = ComparisonColumns::from_rows(view, rest.width);
    render_scale(canvas, take_rows(rest, 1), view, sides);
    render_rows(canvas, skip_rows(rest, 1), view, sides);
}

/// What was done differently; what finds no room is counted.
fn render_findings(canvas: &mut Canvas<'_>, area: Rect, view: &ComparisonViewModel) -> u16 {
    let mut rest = area;
    for (i, message) in view.findings.iter().enumerate() {
        let more = view.findings.len() - i;
        if rest.height <= 1 && more > 1 {
            canvas.draw_text(rest, &format!("↓ {more} more; {} tells all", view.full_text_key), Ink::Text);
            return area.height;
        }
        let lines = canvas.draw_wrapped(take_rows(rest, rest.height - u16::from(more > 1)), message, Ink::Text);
        if let Some((name, _)) = message.split_once(": ").filter(|(name, _)| name.len() < 24 && lines > 0) {
            canvas.draw_text(take_rows(rest, 1), &format!("{name}:"), Ink::Strong);
        }
        rest = skip_rows(rest, lines);
    }
    area.height - rest.height
}

/// Where names end, the line runs, and maps begin.
#[derive(Clone, Copy)]
struct ComparisonColumns {
    name: u16,
    line: u16,
    maps: u16,
}

impl ComparisonColumns {
    fn from_rows(view: &ComparisonViewModel, width: u16) -> ComparisonColumns {
        let name = (width / 4).clamp(8, 30).min(width);
        let wide = |row: &ComparisonRow| row.maps.iter().map(|m| m.first().map_or(0, Vec::len) + 1).sum::<usize>();
        let maps = view.rows.iter().map(wide).max().unwrap_or(0);
        let maps = u16::try_from(maps).unwrap_or(u16::MAX).min(width / 4);
        ComparisonColumns { name, line: width.saturating_sub(name + maps + 2), maps }
    }
    fn line(self, area: Rect) -> Rect {
        take_columns(skip_columns(area, self.name + 1), self.line)
    }
    fn maps(self, area: Rect) -> Rect {
        skip_columns(area, area.width.saturating_sub(self.maps))
    }
}

fn render_scale(canvas: &mut Canvas<'_>, area: Rect, view: &ComparisonViewModel, sides: ComparisonColumns) {
    let line = sides.line(area);
    canvas.draw_text(line, "coats from the first on", Ink::Text);
    canvas.draw_text_right(line, &format_duration(Span::from_min(view.scale_min)), Ink::Text);
    if view.rows.iter().any(|row| !row.maps.is_empty()) {
        canvas.draw_text(sides.maps(area), "powder", Ink::Text);
    }
}

fn render_rows(canvas: &mut Canvas<'_>, area: Rect, view: &ComparisonViewModel, sides: ComparisonColumns) {
    let gap = u16::from(area.height >= (ROWS + 1).saturating_mul(u16::try_from(view.rows.len()).unwrap_or(u16::MAX)));
    let fit = usize::from((area.height / (ROWS + gap)).max(1));
    let first = view.cursor.saturating_sub(fit.saturating_sub(1));
    let mut rest = area;
    for (i, row) in view.rows.iter().enumerate().skip(first) {
        if rest.height < ROWS.min(area.height) {
            canvas.draw_text_right(take_last_rows(area, 1), &format!("↓ {} more", view.rows.len() - i), Ink::Text);
            return;
        }
        render_row(canvas, take_rows(rest, ROWS), row, sides);
        rest = skip_rows(rest, ROWS + gap);
    }
}

fn render_row(canvas: &mut Canvas<'_>, area: Rect, row: &ComparisonRow, sides: ComparisonColumns) {
    let name = take_columns(area, sides.name);
    let sign = match (row.is_current, row.chosen) {
        (true, true) => "▶✓ ",
        (true, false) => "▶  ",
        (false, true) => " ✓ ",
        (false, false) => "   ",
    };
    let sign = if canvas.is_ascii() { sign.replace('▶', ">").replace('✓', "*") } else { sign.to_owned() };
    canvas.draw_text(
        take_rows(name, 1),
        &format!("{sign}{}", row.label),
        if row.is_current { Ink::Alert } else { Ink::Strong },
    );
    canvas.draw_text(skip_columns(take_rows(skip_rows(name, 1), 1), 3), &row.outcome, Ink::Text);
    canvas.draw_text(skip_columns(skip_rows(name, 2), 3), &row.detail, Ink::Text);
    render_coats(canvas, sides.line(area), row);
    render_powder_maps(canvas, sides.maps(area), row);
}

fn render_coats(canvas: &mut Canvas<'_>, line: Rect, row: &ComparisonRow) {
    if line.width < 4 || line.is_empty() {
        return;
    }
    for x in line.left()..line.right() {
        canvas.draw_char(x, line.y, '─', Ink::Coming);
    }
    for coat in &row.coats {
        let x = line.x + (coat.position.clamp(0.0, 1.0) * f64::from(line.width - 1)).round() as u16;
        let y = line.y + u16::from(coat.back);
        let hatch = Hatch::from_kind(coat.kind, coat.direction);
        if y < line.bottom() {
            canvas.draw_char(x, y, hatch.bold(), Ink::Laid);
        }
        let below = line.y + 2;
        if (coat.early || coat.is_on_dry_coat) && below < line.bottom() {
            canvas.draw_char(x, below, if coat.is_on_dry_coat { 'g' } else { 'e' }, Ink::Overdue);
        }
    }
    if let Some(later) = &row.off_scale_duration {
        canvas.draw_text_right(take_rows(skip_rows(line, 1), 1), &format!("→ {later}"), Ink::Text);
    }
    let legend = match (row.coats.iter().any(|c| c.early), row.coats.iter().any(|c| c.is_on_dry_coat)) {
        (true, true) => "e early, g bone dry below",
        (true, false) => "e early",
        (false, true) => "g bone dry below",
        (false, false) => "",
    };
    let taken = row.coats.iter().filter(|c| c.early || c.is_on_dry_coat).map(|c| c.position).fold(0.0, f64::max);
    let free = f64::from(line.width) * (1.0 - taken);
    if free > f64::from(canvas.text_width(legend)) + 3.0 {
        canvas.draw_text_right(take_rows(skip_rows(line, 2), 1), legend, Ink::Text);
    }
}

/// Each round beside the one before, a sign for each area; a finer map than there are rows is drawn by its worst areas.
fn render_powder_maps(canvas: &mut Canvas<'_>, area: Rect, row: &ComparisonRow) {
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
                let sign = match worst.unwrap_or(Roughness::None) {
                    Roughness::None => '·',
                    Roughness::Some => '░',
                    Roughness::Much => '▓',
                };
                canvas.draw_char(x + c, area.y + y, sign, Ink::Text);
            }
        }
        x = x.saturating_add(columns + 1);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::comparison_model::{ComparisonModel, ComparisonOutcome};
    use crate::app::keymap::Keymap;
    use crate::app::message::Message;
    use crate::review::GroupBy;
    use crate::review::compared_panels::{ComparedPanel, ComparedPanels};
    use crate::review::samples::{look, made, seen};
    use crate::ui::theme::ColorScheme;
    use std::sync::Arc;
    use unicode_width::UnicodeWidthStr;

    /// Six panels: three waited too little and cracked, one was never looked at.
    fn panels() -> ComparisonModel {
        panels_of(6)
    }

    /// The same, where there are so many panels on the shelf.
    fn panels_of(of: usize) -> ComparisonModel {
        let names = ["Wren", "Robin", "Dunnock", "Siskin", "Goldcrest", "Nuthatch"];
        let one = |(i, name): (usize, &&str)| {
            let hasty = i % 2 == 0;
            let (story, end) = made(name, if hasty { 8.0 } else { 16.0 });
            let story = match (i, hasty) {
                (5, _) => story,
                (_, true) => look(&story, seen(&["field:2:across"]), end + 28.0 * 1440.0),
                (_, false) => look(&story, seen(&[]), end + 28.0 * 1440.0),
            };
            let mut facts = crate::review::samples::row_alone(&story, 1e6);
            facts.story.id = crate::units::Id::new(&name.to_lowercase()).unwrap();
            let again = Arc::new(crate::review::recipe_from_story::recipe_from_story(&story));
            ComparedPanel {
                row: facts,
                timeline: crate::review::panel_timeline::timeline_from_story(&story),
                recipe_as_done: again,
            }
        };
        ComparisonModel::new(ComparedPanels {
            panels: names.iter().enumerate().map(one).collect(),
            shelf_total: of,
            considered: names.len(),
            ..ComparedPanels::default()
        })
    }

    fn drawn(view: &ComparisonViewModel, ascii: bool, width: u16, height: u16) -> String {
        let area = Rect::new(0, 0, width, height);
        let mut buf = Buffer::empty(area);
        render_comparison_in(view, &Theme { color_scheme: ColorScheme::Terminal, ascii }, &mut buf, area);
        let row = |y: u16| (0..width).map(|x| buf[(x, y)].symbol()).collect::<String>().trim_end().to_owned() + "\n";
        (0..height).map(row).collect()
    }

    #[test]
    fn panels_stand_side_by_side_at_every_size() {
        let mut view = panels();
        view.update(&Message::Down);
        view.update(&Message::ToggleChosen);
        for (width, height) in [(80, 24), (120, 40), (200, 60)] {
            insta::assert_snapshot!(
                format!("compare-{width}x{height}"),
                drawn(&view.build_view_model(&Keymap::default()), false, width, height)
            );
        }
        let ascii = drawn(&view.build_view_model(&Keymap::default()), true, 80, 24);
        assert!(ascii.is_ascii(), "{ascii}");
        view.update(&Message::ToggleFullText);
        insta::assert_snapshot!("compare-words", drawn(&view.build_view_model(&Keymap::default()), false, 80, 24));
    }

    #[test]
    fn words_come_before_the_first_figure_and_nothing_leaves_its_place() {
        let view = panels();
        let page = drawn(&view.build_view_model(&Keymap::default()), false, 120, 40);
        assert!(page.find("laid early").unwrap() < page.find("Wren\n").or(page.find("Wren ")).unwrap());
        for width in [1, 2, 5, 8, 13, 20, 33, 50, 81] {
            for height in [1, 2, 3, 4, 5, 7, 11, 19, 30] {
                for line in drawn(&view.build_view_model(&Keymap::default()), false, width, height).lines() {
                    assert!(line.width() <= usize::from(width));
                }
            }
        }
        assert!(
            drawn(&ComparisonModel::new(ComparedPanels::default()).build_view_model(&Keymap::default()), false, 80, 24)
                .contains("0 panels")
        );
    }

    #[test]
    fn a_view_that_does_not_hold_all_says_so_first() {
        for (of, says) in [(6, false), (6000, true)] {
            for (width, height) in [(80, 24), (200, 60)] {
                let page = drawn(&panels_of(of).build_view_model(&Keymap::default()), false, width, height);
                assert_eq!(page.contains("Only the 6 opened last, of 6000"), says, "{page}");
            }
        }
    }

    #[test]
    fn keys_choose_group_and_lead_on() {
        let mut view = panels();
        assert_eq!(view.build_view_model(&Keymap::default()).rows.len(), 6);
        view.update(&Message::ToggleOnlyChosen);
        assert_eq!(view.build_view_model(&Keymap::default()).rows.len(), 6, "with fewer than two chosen, all stay");
        for key in
            [Message::ToggleChosen, Message::Down, Message::Down, Message::ToggleChosen, Message::ToggleOnlyChosen]
        {
            assert_eq!(view.update(&key), ComparisonOutcome::Stay);
        }
        assert_eq!(view.build_view_model(&Keymap::default()).rows.len(), 2);
        view.update(&Message::ToggleOnlyChosen);
        view.update(&Message::SetGrouping(GroupBy::Pot));
        assert!(view.build_view_model(&Keymap::default()).title.ends_with("by pot"));
        view.update(&Message::AskNextFault);
        assert!(view.build_view_model(&Keymap::default()).title.ends_with("by bow"));
        assert!(view.build_view_model(&Keymap::default()).findings[0].contains("No panel has been looked at for bow"));
        view.update(&Message::SetGrouping(GroupBy::Pot));
        view.update(&Message::End);
        view.update(&Message::Down);
        assert!(view.build_view_model(&Keymap::default()).rows[5].is_current);
        let ComparisonOutcome::ReuseRecipe(recipe) = view.update(&Message::Accept) else {
            panic!("a recipe was asked for")
        };
        assert!(recipe.name.contains("-like-"));
        view.update(&Message::ToggleFullText);
        assert_eq!(view.update(&Message::Leave), ComparisonOutcome::Stay);
        assert_eq!(view.update(&Message::Leave), ComparisonOutcome::Close);
    }
}
