//! A story: what a journal holds about one panel, fact by fact.

use super::bench_parts;
use super::canvas::{Canvas, skip_columns, skip_rows, take_columns, take_last_rows, take_rows};
use crate::app::overlay_view_models::{StoryLine, StoryViewModel};
use crate::text::format_entries;
use crate::ui::theme::{Ink, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// Draws the story over the whole of a bare buffer.
pub fn render_story(view: &StoryViewModel, theme: &Theme, buf: &mut Buffer) {
    let area = buf.area;
    render_story_in(view, theme, buf, area);
}

/// Draws the story into `area` of a buffer.
pub(super) fn render_story_in(view: &StoryViewModel, theme: &Theme, buf: &mut Buffer, area: Rect) {
    let area = area.intersection(buf.area);
    let mut canvas = Canvas::new(buf, area, theme);
    let counted = format_entries(view.facts.len());
    let used = canvas.draw_text_right(take_rows(area, 1), &counted, Ink::Text);
    canvas.draw_text(take_columns(take_rows(area, 1), area.width.saturating_sub(used + 2)), &view.title, Ink::Strong);
    let mut rest = skip_rows(area, if area.height > 10 { 2 } else { 1 });
    bench_parts::render_key_hints(&mut canvas, take_last_rows(rest, 1), &view.keys);
    rest = take_rows(rest, rest.height.saturating_sub(1));
    let offset = view.offset.min(view.facts.len().saturating_sub(1));
    let when = view.facts.iter().map(|f| canvas.text_width(&f.when)).max().unwrap_or(0).min(rest.width / 3);
    if offset > 0 && !rest.is_empty() {
        canvas.draw_text(take_rows(rest, 1), &format!("↑ {offset} before"), Ink::Text);
        rest = skip_rows(rest, 1);
    }
    for (i, fact) in view.facts.iter().enumerate().skip(offset) {
        let left_over = view.facts.len() - i;
        if rest.height <= 1 && left_over > 1 {
            canvas.draw_text(rest, &format!("↓ {left_over} more"), Ink::Text);
            return;
        }
        rest = skip_rows(rest, render_fact(&mut canvas, rest, when, fact));
    }
}

fn render_fact(canvas: &mut Canvas<'_>, area: Rect, when: u16, fact: &StoryLine) -> u16 {
    if area.is_empty() {
        return 0;
    }
    canvas.draw_text(take_columns(take_rows(area, 1), when), &fact.when, Ink::Text);
    let what = if fact.undone { format!("taken back: {}", fact.what) } else { fact.what.clone() };
    let rest = skip_columns(area, when + 2);
    let ink = if fact.undone { Ink::Text } else { Ink::Strong };
    let used = canvas.draw_text(take_rows(rest, 1), &what, ink);
    let mut beside = skip_columns(rest, used + 2);
    for words in [&fact.deviation, &fact.why] {
        if !words.is_empty() {
            let used = canvas.draw_text(take_rows(beside, 1), words, Ink::Text);
            beside = skip_columns(beside, used + 2);
        }
    }
    1
}
