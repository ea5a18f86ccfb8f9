//! One step of a batch being made, readable from where the bath stands: the act in large letters, the time under it.

use super::page::paragraphs;
use super::pen::{Pen, below, bottom, left, right_of, top};
use super::{digits, letters, parts};
use crate::app::page::MakingView;
use crate::app::scene::{Digits, Reads};
use crate::ui::theme::{Ink, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// Draws the step over the whole of a bare buffer.
pub fn making(view: &MakingView, theme: &Theme, buf: &mut Buffer) {
    let area = buf.area;
    on(view, theme, buf, area);
}

/// Draws the step into `area` of a buffer.
pub(super) fn on(view: &MakingView, theme: &Theme, buf: &mut Buffer, area: Rect) {
    let area = area.intersection(buf.area);
    let mut pen = Pen::new(buf, area, theme);
    let margin = u16::from(area.width > 30);
    let area = left(right_of(area, margin), area.width.saturating_sub(margin * 2));
    head(&mut pen, top(area, 1), view);
    let mut rest = below(area, if area.height >= 20 { 2 } else { 1 });
    parts::keys(&mut pen, bottom(rest, 1), &view.keys);
    rest = top(rest, rest.height.saturating_sub(1));
    if !view.problem.is_empty() {
        let rows = pen.height(&view.problem, rest.width).min(rest.height / 3).max(1);
        pen.lines(bottom(rest, rows), &view.problem, Ink::Loud);
        rest = top(rest, rest.height.saturating_sub(rows));
    }
    let used = act(&mut pen, top(rest, rest.height / 2), view);
    rest = below(rest, used + u16::from(rest.height > 12));
    if let Some(shown) = &view.digits {
        let used = time(&mut pen, top(rest, rest.height / 2), shown);
        rest = below(rest, used);
        rest = below(rest, pen.lines(top(rest, 1), &view.due, Ink::Read));
        rest = below(rest, u16::from(rest.height > 8));
    }
    paragraphs(&mut pen, rest, &view.paragraphs);
}

fn head(pen: &mut Pen<'_>, area: Rect, view: &MakingView) {
    let clock = pen.words_right(area, &view.clock, Ink::Strong);
    let rest = left(area, area.width.saturating_sub(clock + 2));
    let used = pen.words(rest, &view.of, Ink::Strong);
    pen.words(right_of(rest, used + 3), &view.title, Ink::Read);
}

/// The act as large as it goes; tells how many rows it took.
fn act(pen: &mut Pen<'_>, area: Rect, view: &MakingView) -> u16 {
    let words = view.act.to_uppercase();
    let most = if area.height >= 14 { 3 } else { 2 };
    match letters::setting(&words, area.width, area.height, area.height, most, pen.ascii()) {
        Some(set) => {
            let mut y = area.y;
            for line in &set.lines {
                letters::set(pen, area.x, y, line, set.scale);
                y += letters::rows(set.scale) + set.gap();
            }
            set.rows()
        }
        None => {
            pen.words(top(area, 1), &words, Ink::Strong);
            1
        }
    }
}

/// The time in large digits; one that is over is turned inside out. Tells how many rows it took.
fn time(pen: &mut Pen<'_>, area: Rect, shown: &Digits) -> u16 {
    let (text, _) = digits::text(shown);
    match letters::fitting(&text, area.width, area.height, 4, pen.ascii()) {
        Some(scale) => {
            letters::set(pen, area.x, area.y, &text, scale);
            letters::rows(scale)
        }
        None => {
            let ink = if shown.reads == Reads::Over { Ink::Loud } else { Ink::Strong };
            pen.words(top(area, 1), &text, ink);
            1
        }
    }
}
