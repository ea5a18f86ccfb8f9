//! The bench: which part stands where, for every size of window.
//!
//! The order of sizes is the order of need from three metres: act, direction, time, pot, section.

use super::moving::Moving;
use super::pen::{Pen, below, bottom, left, right_of, top};
use super::{board, digits, far, letters, parts, section, small};
use crate::app::scene::Scene;
use crate::ui::theme::{Ink, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// Draws the bench over the whole of a bare buffer.
pub fn bench(scene: &Scene, theme: &Theme, buf: &mut Buffer) {
    let area = buf.area;
    on(scene, theme, buf, area);
}

/// Draws the bench into `area` of a buffer nothing was drawn on yet; tells what of it moves every second.
pub(super) fn on(scene: &Scene, theme: &Theme, buf: &mut Buffer, area: Rect) -> Moving {
    let area = area.intersection(buf.area);
    let mut pen = Pen::on_bare(buf, area, theme);
    let area = above_lead(&mut pen, area, scene);
    match (area.width, area.height) {
        (0, _) | (_, 0) => {}
        (0..36, _) | (_, 0..16) => small::draw(&mut pen, area, scene),
        (_, _) if scene.far => far::draw(&mut pen, area, scene),
        (36..64, 24..) => tall(&mut pen, area, scene),
        (36..64, _) => small::draw(&mut pen, area, scene),
        (_, _) => desk(&mut pen, area, scene),
    }
    pen.moving
}

/// Says the sentence a newcomer is led by along the lower edge, inside out; tells what is left above it.
fn above_lead(pen: &mut Pen<'_>, area: Rect, scene: &Scene) -> Rect {
    if scene.lead.is_empty() {
        return area;
    }
    let inside = |band: Rect| Rect { x: band.x.saturating_add(1), width: band.width.saturating_sub(2), ..band };
    let rows = pen.height(&scene.lead, inside(area).width).min(area.height / 3);
    let band = bottom(area, rows);
    pen.fill(band, ' ', Ink::Loud);
    pen.lines(inside(band), &scene.lead, Ink::Loud);
    top(area, area.height.saturating_sub(rows))
}

/// The largest letters the act may take in a window of so many rows.
fn act_scale(rows: u16) -> u16 {
    match rows {
        0..34 => 1,
        34..52 => 2,
        52..80 => 3,
        _ => 4,
    }
}

/// Panel at the left, digits and section at the right, on a wide window the rack beside them.
fn desk(pen: &mut Pen<'_>, area: Rect, scene: &Scene) {
    let area = Rect { x: area.x + 1, width: area.width.saturating_sub(2), ..area };
    parts::head(pen, area, scene);
    let mut rest = below(area, if area.height >= 28 { 2 } else { 1 });
    let for_act = if area.height < 20 { 2 } else { rest.height / 3 };
    let (act, how) = parts::act(pen, top(rest, for_act), scene, act_scale(area.height));
    rest = below(rest, act);
    parts::bar(pen, Rect { x: area.x - 1, width: area.width + 2, ..top(rest, 1) }, scene);
    rest = below(rest, 1);
    let beside = area.width >= 140 && area.height >= 30;
    let foot = foot(pen, rest, scene, beside);
    rest = top(rest, rest.height.saturating_sub(foot));
    let wide = (rest.width * 35 / 100).clamp(29, 90).min(rest.width / 2);
    panel(pen, left(rest, wide), scene, !beside);
    time_and_section(pen, right_of(rest, wide + 3), scene, &how, beside);
}

/// Digits, what stands under them, and the section with what is left.
fn time_and_section(pen: &mut Pen<'_>, area: Rect, scene: &Scene, how: &str, beside: bool) {
    let hangs = scene.urgency.is_over();
    let area = below(area, u16::from(!hangs && area.height >= 22));
    let words = parts::under_digits_rows(pen, area.width, scene, how);
    let for_section = section::rows_wanted(&scene.section).max(area.height / 3).min(area.height * 45 / 100);
    let for_digits = area.height.saturating_sub(words + for_section).max(digits::LEAST + 1);
    let used = parts::digits(pen, top(area, for_digits), scene, hangs && area.height < 22);
    let mut rest = below(area, used);
    rest = below(rest, parts::under_digits(pen, rest, scene, how));
    let gap = u16::from(rest.height > section::rows_wanted(&scene.section));
    rest = below(rest, gap);
    if beside {
        let wide = (area.width / 3).clamp(30, 44);
        side(pen, right_of(rest, rest.width.saturating_sub(wide)), scene);
        rest = left(rest, rest.width.saturating_sub(wide + 3));
    }
    section::draw(pen, rest, &scene.section);
}

/// The direction in words, the panel, and under it the pots unless they stand elsewhere.
fn panel(pen: &mut Pen<'_>, area: Rect, scene: &Scene, with_pots: bool) {
    let area = below(area, u16::from(area.height >= 20));
    let way = parts::way(pen, area, scene, area.height >= 20);
    let rest = below(area, way);
    let pots = if with_pots { parts::pots_rows(&scene.pots).min(rest.height / 3) } else { 0 };
    let room = top(rest, rest.height.saturating_sub(pots));
    let frame = board::frame(scene.head.size_mm, room);
    let centred = Rect { x: room.x + (room.width - frame.width) / 2, ..frame };
    board::draw(pen, centred, &scene.act);
    if pots > 0 {
        parts::pots(pen, bottom(rest, rest.height.saturating_sub(frame.height)), &scene.pots);
    }
}

/// Words and keys along the lower edge; tells how many rows they took.
fn foot(pen: &mut Pen<'_>, area: Rect, scene: &Scene, beside: bool) -> u16 {
    parts::keys(pen, bottom(area, 1), &scene.keys);
    let columns = area.width;
    let tall = area.height >= 26;
    let said = [scene.notice.as_ref().map_or("", |n| n.text.as_str()), &scene.caution, &scene.tip];
    let wanted: u16 = said.iter().map(|w| pen.height(w, columns)).sum();
    let says = if beside { u16::from(scene.notice.is_some()) } else { wanted.min(if tall { 4 } else { 1 }) };
    let rack = if beside { 0 } else { (scene.rack.len() as u16).min(if tall { area.height / 8 } else { 1 }) };
    let info = u16::from(!(beside || scene.air.is_empty() && scene.then.is_empty() && scene.looks.is_empty()));
    let own = looks_row(pen, columns, scene).filter(|_| info > 0 && tall);
    let first = said.into_iter().find(|w| !w.is_empty()).unwrap_or("");
    let shared = !tall && rack > 0 && says > 0 && pen.width(first) < columns / 2;
    let rows = 1 + says + rack + info + u16::from(own.is_some()) - u16::from(shared);
    let mut rest = bottom(area, rows);
    if info > 0 {
        info_line(pen, top(rest, 1), scene, own.is_none());
        rest = below(rest, 1);
    }
    if let Some(looks) = own {
        pen.words(top(rest, 1), looks, Ink::Read);
        rest = below(rest, 1);
    }
    if shared {
        parts::rack(pen, left(top(rest, 1), columns / 2), &scene.rack);
        rest = right_of(rest, columns.saturating_sub(pen.width(first)));
    } else {
        parts::rack(pen, top(rest, rack), &scene.rack);
        rest = below(rest, rack);
    }
    parts::says(pen, top(rest, says), scene);
    rows + u16::from(tall)
}

/// The looks that are due, where they are not told at length between what comes next and the air.
fn looks_row<'a>(pen: &Pen<'_>, columns: u16, scene: &'a Scene) -> Option<&'a str> {
    let looks = scene.looks.first()?;
    let air = if scene.air.is_empty() { 0 } else { pen.width(&scene.air) + 6 };
    (pen.width(&scene.then) + 2 + pen.width(looks) + air > columns).then_some(looks)
}

/// What comes next, the looks that are due where they stand here, and the air.
fn info_line(pen: &mut Pen<'_>, area: Rect, scene: &Scene, looks: bool) {
    let used = pen.words(area, &scene.then, Ink::Read);
    let rest = right_of(area, if used > 0 { used + 2 } else { 0 });
    let air = if scene.air.is_empty() { String::new() } else { format!("air {}", scene.air) };
    let for_air = pen.words_right(rest, &air, Ink::Read);
    let between = left(rest, rest.width.saturating_sub(if for_air > 0 { for_air + 2 } else { 0 }));
    if let Some(looks) = scene.looks.iter().find(|words| looks && pen.width(words) <= between.width) {
        pen.words(between, looks, Ink::Read);
    }
}

/// What stands beside the section on a wide window.
fn side(pen: &mut Pen<'_>, area: Rect, scene: &Scene) {
    let mut rest = area;
    let used = parts::pots(pen, top(rest, rest.height / 3), &scene.pots);
    rest = below(rest, used + u16::from(used > 0));
    if !scene.rack.is_empty() {
        let used = parts::rack(pen, top(rest, rest.height / 2), &scene.rack);
        rest = below(rest, used + 1);
    }
    let air = if scene.air.is_empty() { String::new() } else { format!("air {}", scene.air) };
    let looks = scene.looks.first().cloned().unwrap_or_default();
    for words in [&scene.then, &air, &looks] {
        rest = below(rest, if words.is_empty() { 0 } else { pen.lines(rest, words, Ink::Read) });
    }
    for (words, ink) in [(&scene.caution, Ink::Strong), (&scene.tip, Ink::Read)] {
        if !words.is_empty() {
            rest = below(rest, 1);
            rest = below(rest, pen.lines(rest, words, ink));
        }
    }
}

/// Everything one below the other.
fn tall(pen: &mut Pen<'_>, area: Rect, scene: &Scene) {
    parts::head(pen, area, scene);
    let mut rest = below(area, 1);
    let (act, how) = parts::act(pen, top(rest, 2 * letters::rows(1)), scene, 2);
    rest = below(rest, act);
    parts::bar(pen, rest, scene);
    rest = below(rest, 1);
    let foot = foot(pen, rest, scene, false);
    rest = top(rest, rest.height.saturating_sub(foot));
    rest = below(rest, parts::digits(pen, top(rest, (rest.height / 3).max(digits::LEAST + 1)), scene, true));
    rest = below(rest, parts::under_digits(pen, top(rest, 5), scene, &how));
    rest = below(rest, u16::from(rest.height >= 24));
    rest = below(rest, parts::way(pen, rest, scene, rest.height >= 24));
    let wanted = section::rows_wanted(&scene.section).min(rest.height * 2 / 5);
    let pots = parts::pots_rows(&scene.pots).min(rest.height / 4);
    let room = top(rest, rest.height.saturating_sub(wanted + pots + 1));
    let frame = board::frame(scene.head.size_mm, room);
    board::draw(pen, Rect { x: room.x + (room.width - frame.width) / 2, ..frame }, &scene.act);
    rest = below(rest, frame.height);
    rest = below(rest, parts::pots(pen, top(rest, pots), &scene.pots));
    section::draw(pen, bottom(rest, rest.height.saturating_sub(1)), &scene.section);
}
