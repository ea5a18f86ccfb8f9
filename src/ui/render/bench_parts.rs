//! The parts of the bench, each drawn into a rectangle of its own; `bench`, `distance_layout` and `small_layout` say where.

use super::canvas::{Canvas, DigitsRegion, skip_columns, skip_rows, take_columns, take_rows};
use super::{digits, letters};
use crate::app::bench_view_model::{ActViewModel, BenchViewModel, PotLines, RackLine, TimerViewModel, Urgency};
use crate::app::keymap::KeyHint;
use crate::craft::recipe::Direction;
use crate::ui::hatch::Hatch;
use crate::ui::theme::Ink;
use crate::work::panel::event::Face;
use ratatui::layout::Rect;

/// The act in one line: "lay coat 4 of 6".
pub(super) fn format_act(act: &ActViewModel) -> String {
    join_nonempty(&[&act.verb, &act.object, &act.total], " ")
}

/// The act as it is set in large letters.
pub(super) fn format_act_large(act: &ActViewModel) -> String {
    join_nonempty(&[&act.verb, &act.object], " ").to_uppercase()
}

/// The direction in words: "vertical, the long way".
pub(super) fn format_direction(act: &ActViewModel) -> String {
    let way = act.direction.map_or("", Direction::name);
    join_nonempty(&[way, &act.orientation], ", ")
}

/// The sign of a direction in one cell.
pub(super) const fn direction_sign(direction: Option<Direction>) -> &'static str {
    match direction {
        Some(Direction::Horizontal) => "━",
        Some(Direction::Vertical) => "┃",
        None => " ",
    }
}

/// Parts that say something, joined.
pub(super) fn join_nonempty(parts: &[&str], by: &str) -> String {
    parts.iter().filter(|p| !p.is_empty()).copied().collect::<Vec<_>>().join(by)
}

/// Which panel this is, and the local time at the right.
pub(super) fn render_header(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) {
    let area = take_rows(area, 1);
    let head = &bench.header;
    let clock = canvas.draw_text_right(area, &bench.clock, Ink::Strong);
    let mut rest = take_columns(area, area.width.saturating_sub(clock).saturating_sub(2));
    let about = join_nonempty(&[&head.size, &head.support, &head.recipe], "   ");
    let label =
        take_columns(rest, rest.width.saturating_sub(canvas.text_width(&about).saturating_add(3)).max(rest.width / 2));
    let used = canvas.draw_text(label, &head.label, Ink::Strong);
    rest = skip_columns(rest, used.saturating_add(3));
    canvas.draw_text(rest, &about, Ink::Text);
}

/// The act, as large as it goes; tells how many rows it took, and what there was no room to say.
pub(super) fn render_act(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel, most: u16) -> (u16, String) {
    let act = &bench.act;
    let two = (area.height * 3 / 4).max(2 * letters::rows_at_scale(1));
    let set = letters::lay_out(&format_act_large(act), area.width, area.height, two, most, canvas.is_ascii());
    let Some(set) = set else { return render_act_small(canvas, area, act) };
    let mut y = area.y;
    for line in &set.lines {
        letters::draw_letters(canvas, area.x, y, line, set.scale);
        y += letters::rows_at_scale(set.scale) + set.gap();
    }
    let rows = set.rows();
    let beside = take_rows(skip_columns(area, set.width().saturating_add(3)), rows);
    let of = join_nonempty(&[&act.total, face_phrase(act)], ", ");
    let first = if set.whole { of } else { format_act(act) };
    let need = canvas.wrapped_height(&first, beside.width);
    if beside.width < 12 || need > beside.height {
        let unsaid = if set.whole { "" } else { first.as_str() };
        return (rows, join_nonempty(&[unsaid, &act.how], ": "));
    }
    canvas.draw_wrapped(take_rows(beside, need), &first, Ink::Strong);
    let rest = skip_rows(beside, need);
    if canvas.wrapped_height(&act.how, rest.width) > rest.height {
        return (rows, act.how.clone());
    }
    canvas.draw_wrapped(rest, &act.how, Ink::Text);
    (rows, String::new())
}

/// The act where large letters have no room.
fn render_act_small(canvas: &mut Canvas<'_>, area: Rect, act: &ActViewModel) -> (u16, String) {
    canvas.draw_text(take_rows(area, 1), &format_act(act).to_uppercase(), Ink::Strong);
    let manner = join_nonempty(&[face_phrase(act), &act.how], ", ");
    if area.height < 2 || canvas.wrapped_height(&manner, area.width) != 1 {
        return (1, manner);
    }
    canvas.draw_text(skip_rows(area, 1), &manner, Ink::Text);
    (2, String::new())
}

fn face_phrase(act: &ActViewModel) -> &'static str {
    match act.face {
        Some(Face::Front) => "on the front",
        Some(Face::Back) => "on the back",
        Some(Face::Both) => "on both faces",
        None => "",
    }
}

/// The line under the act: how much of the wait is gone; full, thick and from edge to edge once it is over, and
/// broken while the alarm rings.
pub(super) fn render_bar(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) {
    let area = take_rows(area, 1);
    canvas.live_regions.bar = Some(area);
    let gone = bench.timer.and_then(|d| d.progress).filter(|g| g.is_finite()).map_or(0.0, |g| g.clamp(0.0, 1.0));
    let part = take_columns(area, (f64::from(area.width) * gone).round() as u16);
    match bench.urgency {
        Urgency::Idle => {}
        Urgency::Counting => canvas.fill(part, '▔', Ink::Text),
        Urgency::Soon => canvas.fill(part, '▀', Ink::Soon),
        Urgency::Overdue => canvas.fill(area, '█', Ink::Overdue),
        Urgency::Ringing => {
            for x in (area.left()..area.right()).filter(|x| x % 6 < 4) {
                canvas.draw_char(x, area.y, '█', Ink::Overdue);
            }
        }
    }
}

/// The large digits in the upper part of `area`; tells how many rows they took. `hangs`: the full bar lies directly
/// above.
pub(super) fn render_digits(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel, hangs: bool) -> u16 {
    let Some(shown) = bench.timer else { return 0 };
    let rows = render_timer_digits(canvas, area, bench, shown, hangs);
    canvas.live_regions.digits = Some(DigitsRegion { area, is_under_bar: hangs, rows });
    rows
}

fn render_timer_digits(
    canvas: &mut Canvas<'_>,
    area: Rect,
    bench: &BenchViewModel,
    shown: TimerViewModel,
    hangs: bool,
) -> u16 {
    let (text, form) = digits::format_timer(&shown);
    let over = bench.urgency.is_overdue();
    let (rim_x, rim_top, rim_low) = if over { (2, u16::from(!hangs), 1) } else { (0, 0, 0) };
    let room = area.height.saturating_sub(rim_top + rim_low);
    let columns = area.width.saturating_sub(rim_x * 2);
    let form = if form.len() >= text.len() { form } else { text.as_str() };
    let cut = digits::DigitSize::largest_fitting(form, columns, room)
        .or_else(|| digits::DigitSize::largest_fitting(&text, columns, room));
    let Some(cut) = cut else { return render_small_digits(canvas, area, bench, &text) };
    let (x, y) = (area.x + rim_x, area.y + rim_top);
    if over {
        let wide = cut.width(&text) + rim_x * 2;
        let plate = Rect { x: area.x, y, width: wide, height: cut.rows };
        if rim_top > 0 {
            canvas.fill(Rect { y: area.y, height: 1, ..plate }, '▄', Ink::Text);
        }
        digits::draw_cut_out(canvas, plate, (x, y), &text, cut);
        canvas.fill(Rect { y: y + cut.rows, height: 1, ..plate }, '▀', Ink::Text);
    } else {
        let hatch = Hatch::from_kind(bench.act.kind, bench.act.direction);
        digits::draw_hatched(canvas, x, y, &text, cut, hatch);
    }
    cut.rows + rim_top + rim_low
}

/// Digits where no large ones fit: three rows high, else in the line.
fn render_small_digits(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel, text: &str) -> u16 {
    match letters::largest_fitting_scale(text, area.width, area.height, 2, canvas.is_ascii()) {
        Some(scale) => {
            letters::draw_letters(canvas, area.x, area.y, text, scale);
            letters::rows_at_scale(scale)
        }
        None => {
            let over = bench.urgency.is_overdue();
            canvas.draw_text(take_rows(area, 1), text, if over { Ink::Alert } else { Ink::Strong });
            1.min(area.height)
        }
    }
}

/// What stands under the digits: the question first, then the fact just pressed, when it is due, what lateness means.
///
/// `how`: the manner of the act as well, where it is not said beside the act.
pub(super) fn render_under_digits(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel, manner: &str) -> u16 {
    let mut used = 0;
    if let Some(question) = &bench.confirmation {
        used += canvas.draw_wrapped(take_rows(area, 2), &format!(" {question} "), Ink::Alert);
    }
    if let Some(pressed) = &bench.recent_fact {
        let words = format!("{}  ← {} →  {}", pressed.what, pressed.at, pressed.ago);
        used += canvas.draw_wrapped(take_rows(skip_rows(area, used), 2), &words, Ink::Strong);
    }
    let remark = (&*bench.remark, Ink::Strong);
    for (words, ink) in [remark, (&*bench.due, Ink::Text), (&bench.explanation, Ink::Strong), (manner, Ink::Text)] {
        if !words.is_empty() {
            used += canvas.draw_wrapped(take_rows(skip_rows(area, used), 2), words, ink);
        }
    }
    used
}

/// The rows that [`render_under_digits`] would take.
pub(super) fn count_under_digits_rows(canvas: &Canvas<'_>, columns: u16, bench: &BenchViewModel, manner: &str) -> u16 {
    let mut rows = 0;
    if let Some(question) = &bench.confirmation {
        rows += canvas.wrapped_height(question, columns).min(2);
    }
    rows += u16::from(bench.recent_fact.is_some());
    for words in [&*bench.remark, &bench.due, &bench.explanation, manner] {
        rows += canvas.wrapped_height(words, columns).min(2);
    }
    rows
}

/// The direction in words with a sample of its strokes, large where there is room; tells how many rows it took.
pub(super) fn render_direction(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel, large: bool) -> u16 {
    let Some(direction) = bench.act.direction else { return 0 };
    let name = direction.name().to_uppercase();
    let scale = letters::largest_fitting_scale(&name, area.width, area.height / 6, 2, canvas.is_ascii());
    if let (true, Some(scale)) = (large, scale) {
        letters::draw_letters(canvas, area.x, area.y, &name, scale);
        let rows = letters::rows_at_scale(scale);
        canvas.draw_text(take_rows(skip_rows(area, rows), 1), &bench.act.orientation, Ink::Text);
        return rows + u16::from(!bench.act.orientation.is_empty());
    }
    let used = canvas.draw_text(take_rows(area, 1), &name, Ink::Strong);
    let along = if bench.act.orientation.is_empty() { String::new() } else { format!(", {}", bench.act.orientation) };
    canvas.draw_text(take_rows(skip_columns(area, used), 1), &along, Ink::Text);
    1
}

/// The pots, each under its label; tells how many rows they took.
pub(super) fn render_pots(canvas: &mut Canvas<'_>, area: Rect, pots: &[PotLines]) -> u16 {
    let mut used = 0;
    for pot in pots {
        for (i, line) in pot.lines.iter().enumerate() {
            let here = skip_rows(area, used);
            if here.is_empty() {
                return used;
            }
            let ink = if pot.is_action_needed && i == 0 { Ink::Strong } else { Ink::Text };
            let name = if i == 0 {
                canvas.draw_text(take_columns(here, here.width / 2), &pot.label, Ink::Strong) + 2
            } else {
                0
            };
            if pot.is_action_needed && i == 0 {
                canvas.draw_char(here.x.saturating_add(name).saturating_sub(1), here.y, '→', Ink::Overdue);
            }
            used += canvas.draw_wrapped(
                take_rows(skip_columns(here, name + u16::from(pot.is_action_needed && i == 0)), 1),
                line,
                ink,
            );
        }
    }
    used
}

/// The rows that [`render_pots`] would take.
pub(super) fn count_pots_rows(pots: &[PotLines]) -> u16 {
    u16::try_from(pots.iter().map(|p| p.lines.len()).sum::<usize>()).unwrap_or(u16::MAX)
}

/// One line for each other panel; tells how many rows they took, the last saying how many are left out.
pub(super) fn render_rack(canvas: &mut Canvas<'_>, area: Rect, rack: &[RackLine]) -> u16 {
    let rows = usize::from(area.height);
    let shown = if rack.len() > rows { rows.saturating_sub(1) } else { rack.len() };
    for (i, line) in rack.iter().take(shown).enumerate() {
        render_rack_line(canvas, take_rows(skip_rows(area, i as u16), 1), line);
    }
    if let (1, [first, _, ..]) = (rows, rack) {
        let used = canvas.draw_text_right(area, &format!("+{} more", rack.len() - 1), Ink::Text);
        render_rack_line(canvas, take_rows(take_columns(area, area.width.saturating_sub(used + 2)), 1), first);
    } else if rack.len() > shown && rows > 0 {
        let words = format!("and {} more", rack.len() - shown);
        canvas.draw_text(take_rows(skip_rows(area, shown as u16), 1), &words, Ink::Text);
    }
    rows.min(rack.len()) as u16
}

/// Time, direction, label, act; over time the time is turned inside out.
pub(super) fn render_rack_line(canvas: &mut Canvas<'_>, area: Rect, line: &RackLine) {
    // Wide enough for "under way", where there is the room.
    let wide = if area.width < 40 { 6 } else { 9 };
    let time = take_columns(area, wide);
    canvas.draw_text_right(time, &line.time, if line.overdue { Ink::Alert } else { Ink::Strong });
    canvas.draw_text(take_columns(skip_columns(area, wide + 1), 1), direction_sign(line.direction), Ink::Stroke);
    let rest = skip_columns(area, wide + 3);
    let act = canvas.text_width(&line.act).saturating_add(2);
    let used = canvas.draw_text(
        take_columns(rest, rest.width.saturating_sub(act).max(rest.width / 2)),
        &line.label,
        Ink::Text,
    );
    canvas.draw_text(skip_columns(rest, used.saturating_add(2)), &line.act, Ink::Text);
}

/// Keys and what they do, as many as fit the line, the most needed first; the last, which tells of all others, always.
pub(super) fn render_key_hints(canvas: &mut Canvas<'_>, area: Rect, keys: &[KeyHint]) {
    let mut rest = take_rows(area, 1);
    let Some((last, others)) = keys.split_last() else { return };
    let for_last = hint_width(canvas, last).saturating_add(3);
    for hint in others {
        let need = hint_width(canvas, hint);
        if need.saturating_add(for_last) > rest.width {
            break;
        }
        render_key_hint(canvas, rest, hint);
        rest = skip_columns(rest, need.saturating_add(3));
    }
    render_key_hint(canvas, rest, last);
}

fn hint_width(canvas: &Canvas<'_>, hint: &KeyHint) -> u16 {
    canvas.text_width(hint.key()).saturating_add(1).saturating_add(canvas.text_width(hint.description()))
}

fn render_key_hint(canvas: &mut Canvas<'_>, area: Rect, hint: &KeyHint) {
    let used = canvas.draw_text(area, hint.key(), Ink::Strong);
    canvas.draw_text(skip_columns(area, used + 1), hint.description(), Ink::Text);
}

/// The word about the recording, else the caution and the tip; tells how many rows they took.
pub(super) fn render_messages(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) -> u16 {
    let mut used = 0;
    if let Some(notice) = &bench.status_line {
        let ink = if notice.urgent { Ink::Alert } else { Ink::Strong };
        used += canvas.draw_wrapped(area, &notice.text, ink);
    }
    for (words, ink) in [(&bench.caution, Ink::Strong), (&bench.tip, Ink::Text)] {
        let rest = skip_rows(area, used);
        if !words.is_empty() && !rest.is_empty() {
            used += canvas.draw_wrapped(rest, words, ink);
        }
    }
    used
}

/// What must be said in any window: an open question, a fault, what quiets the alarm.
pub(super) fn find_urgent_text(bench: &BenchViewModel) -> Option<&str> {
    let loud = bench.status_line.as_ref().filter(|n| n.urgent).map(|n| n.text.as_str());
    let ringing = Some(bench.explanation.as_str()).filter(|m| bench.urgency == Urgency::Ringing && !m.is_empty());
    let remark = Some(bench.remark.as_str()).filter(|r| !r.is_empty());
    bench.confirmation.as_deref().or(loud).or(ringing).or(remark)
}

/// Fills what is left of a line with the strokes of the act.
pub(super) fn render_strokes(canvas: &mut Canvas<'_>, area: Rect, act: &ActViewModel) {
    if act.direction.is_some() {
        let hatch = Hatch::from_kind(act.kind, act.direction);
        for (i, x) in (area.left()..area.right()).enumerate() {
            canvas.draw_char(x, area.y, hatch.band(i as u16), Ink::Stroke);
        }
    }
}
