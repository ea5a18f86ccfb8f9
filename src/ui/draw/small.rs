//! The bench in a small window: the soonest call first, down to a single cell.

use super::pen::{Pen, below, bottom, left, right_of, top};
use super::{board, digits, letters, parts, section};
use crate::app::scene::{RackLine, Scene};
use crate::ui::theme::Ink;
use ratatui::layout::Rect;

/// Draws it.
pub(super) fn draw(pen: &mut Pen<'_>, area: Rect, scene: &Scene) {
    match area.height {
        0 => {}
        1 => one_line(pen, area, scene),
        2..5 => few_lines(pen, area, scene),
        5..11 => low(pen, area, scene),
        11.. => card(pen, area, scene),
    }
}

/// The act is turned inside out once it is overdue.
const fn act_ink(scene: &Scene) -> Ink {
    if scene.urgency.is_over() { Ink::Loud } else { Ink::Strong }
}

fn time_words(scene: &Scene) -> String {
    scene.digits.map(|d| digits::text(&d).0).unwrap_or_default()
}

/// The panel elsewhere on the rack that calls while this one does not.
fn elsewhere(scene: &Scene) -> Option<&RackLine> {
    scene.rack.iter().find(|line| line.over).filter(|_| !scene.urgency.is_over())
}

fn one_line(pen: &mut Pen<'_>, area: Rect, scene: &Scene) {
    let ink = act_ink(scene);
    let words = parts::joined(
        &[&time_words(scene), &parts::act_words(&scene.act), parts::way_sign(scene.act.direction).trim()],
        " ",
    );
    pen.words(area, &words, ink);
}

fn few_lines(pen: &mut Pen<'_>, area: Rect, scene: &Scene) {
    pen.words(top(area, 1), &parts::act_words(&scene.act), act_ink(scene));
    let time = time_words(scene);
    let ink = act_ink(scene);
    let second = below(area, 1);
    let used = pen.words(second, &time, ink);
    let gap = if used > 0 { used + 1 } else { 0 };
    pen.words(top(right_of(second, gap), 1), &parts::way_words(&scene.act), Ink::Read);
    last_words(pen, below(area, 2), scene);
}

/// Whatever must not be missed, then when it is due.
fn last_words(pen: &mut Pen<'_>, area: Rect, scene: &Scene) {
    let mut rest = area;
    let notice = scene.notice.as_ref().map(|n| &n.text);
    for words in scene.question.iter().chain(notice) {
        rest = below(rest, pen.lines(rest, words, Ink::Loud));
    }
    if let (Some(line), false) = (elsewhere(scene), rest.is_empty()) {
        parts::rack_line(pen, top(rest, 1), line);
        rest = below(rest, 1);
    }
    pen.words(rest, &scene.due, Ink::Read);
}

/// Act, direction, and digits three rows high.
fn low(pen: &mut Pen<'_>, area: Rect, scene: &Scene) {
    let used =
        pen.words(top(left(area, area.width.saturating_sub(2)), 1), &parts::act_words(&scene.act), act_ink(scene));
    parts::strokes(pen, top(right_of(area, used + 1), 1), &scene.act);
    let second = top(below(area, 1), 1);
    match (parts::urgent(scene), elsewhere(scene)) {
        (Some(words), _) => {
            pen.words(second, words, Ink::Loud);
        }
        (None, Some(line)) => parts::rack_line(pen, second, line),
        (None, None) => {
            pen.words(second, &parts::way_words(&scene.act), Ink::Read);
        }
    }
    let rest = below(area, 2);
    let time = time_words(scene);
    let fits = letters::fitting(&time, rest.width, rest.height, 2, pen.ascii());
    let used = match fits {
        Some(scale) if !time.is_empty() => {
            letters::set(pen, rest.x, rest.y, &time, scale);
            letters::rows(scale)
        }
        Some(_) | None => {
            let ink = act_ink(scene);
            u16::from(pen.words(rest, &time, ink) > 0)
        }
    };
    pen.lines(below(rest, used), &parts::joined(&[&scene.due, &scene.meaning], "; "), Ink::Read);
}

/// Everything that fits in a narrow or a low window: act, direction, digits, pot, one row of section.
fn card(pen: &mut Pen<'_>, area: Rect, scene: &Scene) {
    pen.words(top(area, 1), &parts::act_words(&scene.act).to_uppercase(), act_ink(scene));
    let mut rest = below(area, 1);
    let way = pen.words(rest, &parts::way_words(&scene.act), Ink::Read);
    if way > 0 {
        parts::strokes(pen, top(right_of(rest, way + 1), 1), &scene.act);
        rest = below(rest, 1);
    }
    if scene.urgency.is_over() {
        parts::bar(pen, rest, scene);
        rest = below(rest, 1);
    }
    section::draw(pen, bottom(rest, 1), &scene.section);
    rest = top(rest, rest.height.saturating_sub(1));
    let hangs = scene.urgency.is_over();
    let need = scene.digits.and_then(|d| digits::Cut::fitting(digits::text(&d).1, area.width, digits::LEAST));
    let spare =
        need.map_or(0, |cut| area.width.saturating_sub(scene.digits.map_or(0, |d| cut.width(digits::text(&d).1)) + 5));
    let room = if scene.digits.is_none() { area.width } else { spare };
    let tall = rest.height.min(digits::LEAST);
    if room >= 6 {
        let frame = board::frame(scene.head.size_mm, left(top(rest, tall), room));
        board::draw(pen, frame, &scene.act);
        rest = Rect { x: rest.x + frame.width + 1, width: rest.width.saturating_sub(frame.width + 1), ..rest };
    }
    let used = parts::digits(pen, top(rest, digits::LEAST + u16::from(hangs)), scene, hangs);
    let under = Rect { x: area.x, width: area.width, ..below(rest, if room >= 6 { used.max(tall) } else { used }) };
    let words = under.height.min(if scene.pots.is_empty() { under.height } else { under.height.saturating_sub(1) });
    let before = top(under, words.max(1));
    let used = if scene.question.is_some() || elsewhere(scene).is_some() {
        last_words(pen, before, scene);
        before.height
    } else {
        parts::under_digits(pen, before, scene, &scene.act.how)
    };
    parts::pots(pen, below(under, used), &scene.pots);
}
