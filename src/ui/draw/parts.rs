//! The parts of the bench, each drawn into a rectangle of its own; `bench`, `far` and `small` say where.

use super::pen::{Pen, below, left, right_of, top};
use super::{digits, letters, moving};
use crate::app::scene::{Act, Digits, KeyHint, PotLines, RackLine, Scene, Urgency};
use crate::craft::recipe::Direction;
use crate::ui::hatch::Hatch;
use crate::ui::theme::Ink;
use crate::work::panel::event::Face;
use ratatui::layout::Rect;

/// The act in one line: "lay coat 4 of 6".
pub(super) fn act_words(act: &Act) -> String {
    joined(&[&act.verb, &act.object, &act.of], " ")
}

/// The act as it is set in large letters.
pub(super) fn act_large(act: &Act) -> String {
    joined(&[&act.verb, &act.object], " ").to_uppercase()
}

/// The direction in words: "vertical, along the long side".
pub(super) fn way_words(act: &Act) -> String {
    let way = act.direction.map_or("", Direction::name);
    joined(&[way, &act.along], ", ")
}

/// The sign of a direction in one cell.
pub(super) const fn way_sign(direction: Option<Direction>) -> &'static str {
    match direction {
        Some(Direction::Horizontal) => "━",
        Some(Direction::Vertical) => "┃",
        None => " ",
    }
}

/// Parts that say something, joined.
pub(super) fn joined(parts: &[&str], by: &str) -> String {
    parts.iter().filter(|p| !p.is_empty()).copied().collect::<Vec<_>>().join(by)
}

/// Which panel this is, and the local time at the right.
pub(super) fn head(pen: &mut Pen<'_>, area: Rect, scene: &Scene) {
    let area = top(area, 1);
    let head = &scene.head;
    let clock = pen.words_right(area, &scene.clock, Ink::Strong);
    let mut rest = left(area, area.width.saturating_sub(clock).saturating_sub(2));
    let about = joined(&[&head.size, &head.support, &head.recipe], "   ");
    let label = left(rest, rest.width.saturating_sub(pen.width(&about).saturating_add(3)).max(rest.width / 2));
    let used = pen.words(label, &head.label, Ink::Strong);
    rest = right_of(rest, used.saturating_add(3));
    pen.words(rest, &about, Ink::Read);
}

/// The act, as large as it goes; tells how many rows it took, and what there was no room to say.
pub(super) fn act(pen: &mut Pen<'_>, area: Rect, scene: &Scene, most: u16) -> (u16, String) {
    let act = &scene.act;
    let two = (area.height * 3 / 4).max(2 * letters::rows(1));
    let set = letters::setting(&act_large(act), area.width, area.height, two, most, pen.ascii());
    let Some(set) = set else { return act_in_words(pen, area, act) };
    let mut y = area.y;
    for line in &set.lines {
        letters::set(pen, area.x, y, line, set.scale);
        y += letters::rows(set.scale) + set.gap();
    }
    let rows = set.rows();
    let beside = top(right_of(area, set.width().saturating_add(3)), rows);
    let of = joined(&[&act.of, face_words(act)], ", ");
    let first = if set.whole { of } else { act_words(act) };
    let need = pen.height(&first, beside.width);
    if beside.width < 12 || need > beside.height {
        let unsaid = if set.whole { "" } else { first.as_str() };
        return (rows, joined(&[unsaid, &act.how], ": "));
    }
    pen.lines(top(beside, need), &first, Ink::Strong);
    let rest = below(beside, need);
    if pen.height(&act.how, rest.width) > rest.height {
        return (rows, act.how.clone());
    }
    pen.lines(rest, &act.how, Ink::Read);
    (rows, String::new())
}

/// The act where large letters have no room.
fn act_in_words(pen: &mut Pen<'_>, area: Rect, act: &Act) -> (u16, String) {
    pen.words(top(area, 1), &act_words(act).to_uppercase(), Ink::Strong);
    let how = joined(&[face_words(act), &act.how], ", ");
    if area.height < 2 || pen.height(&how, area.width) != 1 {
        return (1, how);
    }
    pen.words(below(area, 1), &how, Ink::Read);
    (2, String::new())
}

fn face_words(act: &Act) -> &'static str {
    match act.face {
        Some(Face::Front) => "on the front",
        Some(Face::Back) => "on the back",
        Some(Face::Both) => "on both faces",
        None => "",
    }
}

/// The line under the act: how much of the wait is gone; full, thick and from edge to edge once it is over, and
/// broken while the alarm rings.
pub(super) fn bar(pen: &mut Pen<'_>, area: Rect, scene: &Scene) {
    let area = top(area, 1);
    pen.moving.bar = Some(area);
    let gone = scene.digits.and_then(|d| d.gone).filter(|g| g.is_finite()).map_or(0.0, |g| g.clamp(0.0, 1.0));
    let part = left(area, (f64::from(area.width) * gone).round() as u16);
    match scene.urgency {
        Urgency::Nothing => {}
        Urgency::Counting => pen.fill(part, '▔', Ink::Read),
        Urgency::Soon => pen.fill(part, '▀', Ink::Soon),
        Urgency::Over => pen.fill(area, '█', Ink::Over),
        Urgency::Ringing => {
            for x in (area.left()..area.right()).filter(|x| x % 6 < 4) {
                pen.put(x, area.y, '█', Ink::Over);
            }
        }
    }
}

/// The large digits in the upper part of `area`; tells how many rows they took. `hangs`: the full bar lies directly
/// above.
pub(super) fn digits(pen: &mut Pen<'_>, area: Rect, scene: &Scene, hangs: bool) -> u16 {
    let Some(shown) = scene.digits else { return 0 };
    let rows = these_digits(pen, area, scene, shown, hangs);
    pen.moving.digits = Some(moving::Digits { area, hangs, rows });
    rows
}

fn these_digits(pen: &mut Pen<'_>, area: Rect, scene: &Scene, shown: Digits, hangs: bool) -> u16 {
    let (text, form) = digits::text(&shown);
    let over = scene.urgency.is_over();
    let (rim_x, rim_top, rim_low) = if over { (2, u16::from(!hangs), 1) } else { (0, 0, 0) };
    let room = area.height.saturating_sub(rim_top + rim_low);
    let columns = area.width.saturating_sub(rim_x * 2);
    let form = if form.len() >= text.len() { form } else { text.as_str() };
    let cut = digits::Cut::fitting(form, columns, room).or_else(|| digits::Cut::fitting(&text, columns, room));
    let Some(cut) = cut else { return low_digits(pen, area, scene, &text) };
    let (x, y) = (area.x + rim_x, area.y + rim_top);
    if over {
        let wide = cut.width(&text) + rim_x * 2;
        let plate = Rect { x: area.x, y, width: wide, height: cut.rows };
        if rim_top > 0 {
            pen.fill(Rect { y: area.y, height: 1, ..plate }, '▄', Ink::Read);
        }
        digits::cut_out(pen, plate, (x, y), &text, cut);
        pen.fill(Rect { y: y + cut.rows, height: 1, ..plate }, '▀', Ink::Read);
    } else {
        let hatch = Hatch::of(scene.act.kind, scene.act.direction);
        digits::hatched(pen, x, y, &text, cut, hatch);
    }
    cut.rows + rim_top + rim_low
}

/// Digits where no large ones fit: three rows high, else in the line.
fn low_digits(pen: &mut Pen<'_>, area: Rect, scene: &Scene, text: &str) -> u16 {
    match letters::fitting(text, area.width, area.height, 2, pen.ascii()) {
        Some(scale) => {
            letters::set(pen, area.x, area.y, text, scale);
            letters::rows(scale)
        }
        None => {
            let over = scene.urgency.is_over();
            pen.words(top(area, 1), text, if over { Ink::Loud } else { Ink::Strong });
            1.min(area.height)
        }
    }
}

/// What stands under the digits: the question first, then the fact just pressed, when it is due, what lateness means.
///
/// `how`: the manner of the act as well, where it is not said beside the act.
pub(super) fn under_digits(pen: &mut Pen<'_>, area: Rect, scene: &Scene, how: &str) -> u16 {
    let mut used = 0;
    if let Some(question) = &scene.question {
        used += pen.lines(top(area, 2), &format!(" {question} "), Ink::Loud);
    }
    if let Some(pressed) = &scene.pressed {
        let words = format!("{}  ← {} →  {}", pressed.what, pressed.at, pressed.ago);
        used += pen.lines(top(below(area, used), 2), &words, Ink::Strong);
    }
    let remark = (&*scene.remark, Ink::Strong);
    for (words, ink) in [remark, (&*scene.due, Ink::Read), (&scene.meaning, Ink::Strong), (how, Ink::Read)] {
        if !words.is_empty() {
            used += pen.lines(top(below(area, used), 2), words, ink);
        }
    }
    used
}

/// The rows that [`under_digits`] would take.
pub(super) fn under_digits_rows(pen: &Pen<'_>, columns: u16, scene: &Scene, how: &str) -> u16 {
    let mut rows = 0;
    if let Some(question) = &scene.question {
        rows += pen.height(question, columns).min(2);
    }
    rows += u16::from(scene.pressed.is_some());
    for words in [&*scene.remark, &scene.due, &scene.meaning, how] {
        rows += pen.height(words, columns).min(2);
    }
    rows
}

/// The direction in words with a sample of its strokes, large where there is room; tells how many rows it took.
pub(super) fn way(pen: &mut Pen<'_>, area: Rect, scene: &Scene, large: bool) -> u16 {
    let Some(direction) = scene.act.direction else { return 0 };
    let name = direction.name().to_uppercase();
    let scale = letters::fitting(&name, area.width, area.height / 6, 2, pen.ascii());
    if let (true, Some(scale)) = (large, scale) {
        letters::set(pen, area.x, area.y, &name, scale);
        let rows = letters::rows(scale);
        pen.words(top(below(area, rows), 1), &scene.act.along, Ink::Read);
        return rows + u16::from(!scene.act.along.is_empty());
    }
    let used = pen.words(top(area, 1), &name, Ink::Strong);
    let along = if scene.act.along.is_empty() { String::new() } else { format!(", {}", scene.act.along) };
    pen.words(top(right_of(area, used), 1), &along, Ink::Read);
    1
}

/// The pots, each under its label; tells how many rows they took.
pub(super) fn pots(pen: &mut Pen<'_>, area: Rect, pots: &[PotLines]) -> u16 {
    let mut used = 0;
    for pot in pots {
        for (i, line) in pot.lines.iter().enumerate() {
            let here = below(area, used);
            if here.is_empty() {
                return used;
            }
            let ink = if pot.calls && i == 0 { Ink::Strong } else { Ink::Read };
            let name = if i == 0 { pen.words(left(here, here.width / 2), &pot.label, Ink::Strong) + 2 } else { 0 };
            if pot.calls && i == 0 {
                pen.put(here.x.saturating_add(name).saturating_sub(1), here.y, '→', Ink::Over);
            }
            used += pen.lines(top(right_of(here, name + u16::from(pot.calls && i == 0)), 1), line, ink);
        }
    }
    used
}

/// The rows that [`pots`] would take.
pub(super) fn pots_rows(pots: &[PotLines]) -> u16 {
    u16::try_from(pots.iter().map(|p| p.lines.len()).sum::<usize>()).unwrap_or(u16::MAX)
}

/// One line for each other panel; tells how many rows they took, the last saying how many are left out.
pub(super) fn rack(pen: &mut Pen<'_>, area: Rect, rack: &[RackLine]) -> u16 {
    let rows = usize::from(area.height);
    let shown = if rack.len() > rows { rows.saturating_sub(1) } else { rack.len() };
    for (i, line) in rack.iter().take(shown).enumerate() {
        rack_line(pen, top(below(area, i as u16), 1), line);
    }
    if let (1, [first, _, ..]) = (rows, rack) {
        let used = pen.words_right(area, &format!("+{} more", rack.len() - 1), Ink::Read);
        rack_line(pen, top(left(area, area.width.saturating_sub(used + 2)), 1), first);
    } else if rack.len() > shown && rows > 0 {
        let words = format!("and {} more", rack.len() - shown);
        pen.words(top(below(area, shown as u16), 1), &words, Ink::Read);
    }
    rows.min(rack.len()) as u16
}

/// Time, direction, label, act; over time the time is turned inside out.
pub(super) fn rack_line(pen: &mut Pen<'_>, area: Rect, line: &RackLine) {
    // Wide enough for "under way", where there is the room.
    let wide = if area.width < 40 { 6 } else { 9 };
    let time = left(area, wide);
    pen.words_right(time, &line.time, if line.over { Ink::Loud } else { Ink::Strong });
    pen.words(left(right_of(area, wide + 1), 1), way_sign(line.direction), Ink::Stroke);
    let rest = right_of(area, wide + 3);
    let act = pen.width(&line.act).saturating_add(2);
    let used = pen.words(left(rest, rest.width.saturating_sub(act).max(rest.width / 2)), &line.label, Ink::Read);
    pen.words(right_of(rest, used.saturating_add(2)), &line.act, Ink::Read);
}

/// Keys and what they do, as many as fit the line, the most needed first; the last, which tells of all others, always.
pub(super) fn keys(pen: &mut Pen<'_>, area: Rect, keys: &[KeyHint]) {
    let mut rest = top(area, 1);
    let Some((last, others)) = keys.split_last() else { return };
    let for_last = hint_width(pen, last).saturating_add(3);
    for hint in others {
        let need = hint_width(pen, hint);
        if need.saturating_add(for_last) > rest.width {
            break;
        }
        key(pen, rest, hint);
        rest = right_of(rest, need.saturating_add(3));
    }
    key(pen, rest, last);
}

fn hint_width(pen: &Pen<'_>, hint: &KeyHint) -> u16 {
    pen.width(&hint.key).saturating_add(1).saturating_add(pen.width(&hint.does))
}

fn key(pen: &mut Pen<'_>, area: Rect, hint: &KeyHint) {
    let used = pen.words(area, &hint.key, Ink::Strong);
    pen.words(right_of(area, used + 1), &hint.does, Ink::Read);
}

/// The word about the recording, else the caution and the tip; tells how many rows they took.
pub(super) fn says(pen: &mut Pen<'_>, area: Rect, scene: &Scene) -> u16 {
    let mut used = 0;
    if let Some(notice) = &scene.notice {
        let ink = if notice.loud { Ink::Loud } else { Ink::Strong };
        used += pen.lines(area, &notice.text, ink);
    }
    for (words, ink) in [(&scene.caution, Ink::Strong), (&scene.tip, Ink::Read)] {
        let rest = below(area, used);
        if !words.is_empty() && !rest.is_empty() {
            used += pen.lines(rest, words, ink);
        }
    }
    used
}

/// What must be said in any window: an open question, a fault, what quiets the alarm.
pub(super) fn urgent(scene: &Scene) -> Option<&str> {
    let loud = scene.notice.as_ref().filter(|n| n.loud).map(|n| n.text.as_str());
    let ringing = Some(scene.meaning.as_str()).filter(|m| scene.urgency == Urgency::Ringing && !m.is_empty());
    let remark = Some(scene.remark.as_str()).filter(|r| !r.is_empty());
    scene.question.as_deref().or(loud).or(ringing).or(remark)
}

/// Fills what is left of a line with the strokes of the act.
pub(super) fn strokes(pen: &mut Pen<'_>, area: Rect, act: &Act) {
    if act.direction.is_some() {
        let hatch = Hatch::of(act.kind, act.direction);
        for (i, x) in (area.left()..area.right()).enumerate() {
            pen.put(x, area.y, hatch.band(i as u16), Ink::Stroke);
        }
    }
}
