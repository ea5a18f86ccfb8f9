//! A story: what a journal holds about one panel, fact by fact.

use super::parts;
use super::pen::{Pen, below, bottom, left, right_of, top};
use crate::app::sheets::{StoryLine, StoryView};
use crate::ui::theme::{Ink, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// Draws the story over the whole of a bare buffer.
pub fn story(view: &StoryView, theme: &Theme, buf: &mut Buffer) {
    let area = buf.area;
    on(view, theme, buf, area);
}

/// Draws the story into `area` of a buffer.
pub(super) fn on(view: &StoryView, theme: &Theme, buf: &mut Buffer, area: Rect) {
    let area = area.intersection(buf.area);
    let mut pen = Pen::new(buf, area, theme);
    let counted = format!("{} facts", view.facts.len());
    let used = pen.words_right(top(area, 1), &counted, Ink::Read);
    pen.words(left(top(area, 1), area.width.saturating_sub(used + 2)), &view.title, Ink::Strong);
    let mut rest = below(area, if area.height > 10 { 2 } else { 1 });
    parts::keys(&mut pen, bottom(rest, 1), &view.keys);
    rest = top(rest, rest.height.saturating_sub(1));
    let offset = view.offset.min(view.facts.len().saturating_sub(1));
    let when = view.facts.iter().map(|f| pen.width(&f.when)).max().unwrap_or(0).min(rest.width / 3);
    if offset > 0 && !rest.is_empty() {
        pen.words(top(rest, 1), &format!("↑ {offset} before"), Ink::Read);
        rest = below(rest, 1);
    }
    for (i, fact) in view.facts.iter().enumerate().skip(offset) {
        let left_over = view.facts.len() - i;
        if rest.height <= 1 && left_over > 1 {
            pen.words(rest, &format!("↓ {left_over} more"), Ink::Read);
            return;
        }
        rest = below(rest, one(&mut pen, rest, when, fact));
    }
}

fn one(pen: &mut Pen<'_>, area: Rect, when: u16, fact: &StoryLine) -> u16 {
    if area.is_empty() {
        return 0;
    }
    pen.words(left(top(area, 1), when), &fact.when, Ink::Read);
    let what = if fact.undone { format!("taken back: {}", fact.what) } else { fact.what.clone() };
    let rest = right_of(area, when + 2);
    let ink = if fact.undone { Ink::Read } else { Ink::Strong };
    let used = pen.words(top(rest, 1), &what, ink);
    let mut beside = right_of(rest, used + 2);
    for words in [&fact.off, &fact.why] {
        if !words.is_empty() {
            let used = pen.words(top(beside, 1), words, Ink::Read);
            beside = right_of(beside, used + 2);
        }
    }
    1
}
