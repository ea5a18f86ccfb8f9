//! The bench for eyes across the room: act, panel, digits, and one line for each other panel.

use super::pen::{Pen, below, bottom, left, right_of, top};
use super::{board, digits, letters, parts};
use crate::app::scene::{RackLine, Scene};
use crate::ui::theme::Ink;
use ratatui::layout::Rect;

/// Draws it.
pub(super) fn draw(pen: &mut Pen<'_>, area: Rect, scene: &Scene) {
    let (act, _) = parts::act(pen, top(area, (area.height / 4).max(3)), scene, 8);
    let mut rest = below(area, act);
    parts::bar(pen, rest, scene);
    rest = below(rest, 1);
    let last = question(pen, bottom(rest, 1), scene);
    rest = top(rest, rest.height.saturating_sub(last));
    let rack = rack(pen, rest, &scene.rack);
    rest = top(rest, rest.height.saturating_sub(rack));
    let wide = if scene.digits.is_some() { rest.width * 3 / 10 } else { rest.width };
    let frame = board::frame(scene.head.size_mm, left(rest, wide));
    board::draw(pen, frame, &scene.act);
    let at = right_of(rest, frame.width.max(wide / 2) + 2);
    let used = parts::digits(pen, at, scene, true);
    if used < digits::LEAST {
        parts::under_digits(pen, below(at, used), scene, "");
    }
}

/// What wants an answer, or went wrong, is never left out; tells how many rows it took.
fn question(pen: &mut Pen<'_>, area: Rect, scene: &Scene) -> u16 {
    match parts::urgent(scene) {
        Some(words) => {
            pen.words(area, words, Ink::Loud);
            1
        }
        None => 0,
    }
}

/// The other panels at the lower edge of `area`, in large letters if that takes no more than a quarter.
fn rack(pen: &mut Pen<'_>, area: Rect, rack: &[RackLine]) -> u16 {
    let n = u16::try_from(rack.len()).unwrap_or(u16::MAX);
    let each = letters::rows(1) + 1;
    let large = n.saturating_mul(each) <= area.height / 4;
    if !large || pen.ascii() {
        let rows = n.min(area.height / 4);
        parts::rack(pen, bottom(area, rows), rack);
        return rows;
    }
    let mut rest = bottom(area, n * each);
    for line in rack {
        let text = format!("{} {}", line.time, line.act).to_uppercase();
        let words = parts::joined(&[&line.label, line.direction.map_or("", |d| d.name())], ", ");
        let here = below(top(rest, each), 1);
        match letters::fitting(&text, here.width * 3 / 4, here.height, 1, false) {
            Some(scale) => {
                letters::set(pen, here.x, here.y, &text, scale);
                let wide = letters::width(&text, scale).unwrap_or(0);
                pen.lines(below(right_of(here, wide + 3), 1), &words, Ink::Read);
            }
            None => parts::rack_line(pen, top(here, 1), line),
        }
        rest = below(rest, each);
    }
    n * each
}
