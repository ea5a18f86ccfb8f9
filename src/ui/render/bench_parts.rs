//! The parts of the bench, each drawn into a rectangle of its own; `bench`, `distance_layout` and `small_layout` say where.

use super::canvas::{Canvas, DigitsRegion, skip_columns, skip_rows, take_columns, take_rows};
use super::{digits, letters};
use crate::app::bench_view_model::{ActViewModel, BenchViewModel, RecentFactViewModel, TimerViewModel, Urgency};
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
    let clock = canvas.draw_text_right(area, &bench.clock, Ink::Strong);
    render_header_words(canvas, take_columns(area, area.width.saturating_sub(clock).saturating_sub(2)), bench);
}

/// Which panel this is.
pub(super) fn render_header_words(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) {
    let (head, mut rest) = (&bench.header, take_rows(area, 1));
    let about = join_nonempty(&[&head.size, &head.support, &head.recipe], "   ");
    let label =
        take_columns(rest, rest.width.saturating_sub(canvas.text_width(&about).saturating_add(3)).max(rest.width / 2));
    let used = canvas.draw_text(label, &head.label, Ink::Strong);
    rest = skip_columns(rest, used.saturating_add(3));
    for part in [&head.size, &head.support, &head.recipe] {
        if canvas.text_width(part) > rest.width {
            return;
        }
        let used = canvas.draw_text(rest, part, Ink::Text);
        rest = skip_columns(rest, if used > 0 { used + 3 } else { 0 });
    }
}

/// The face of the act: "on the front".
pub(super) fn face_phrase(act: &ActViewModel) -> &'static str {
    match act.face {
        Some(Face::Front) => "on the front",
        Some(Face::Back) => "on the back",
        Some(Face::Both) => "on both faces",
        None => "",
    }
}

/// Whether what is asked stands inside out: it is due, or it must not be done unasked.
pub(super) fn is_reversed(bench: &BenchViewModel) -> bool {
    bench.urgency.is_overdue() || bench.block_card.as_ref().is_some_and(|card| card.is_warning)
}

/// The line under the headline: how much of the wait is gone; full, thick and from edge to edge once it is over, and its
/// lower half broken while the alarm rings.
pub(super) fn render_bar(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) {
    let area = take_rows(area, 1);
    canvas.live_regions.bar = Some(area);
    let gone = bench.timer.and_then(|d| d.progress).filter(|g| g.is_finite()).map_or(0.0, |g| g.clamp(0.0, 1.0));
    let part = take_columns(area, (f64::from(area.width) * gone).round() as u16);
    match bench.urgency {
        // Half a row, so that letters inside out do not touch what is below.
        Urgency::Idle | Urgency::Counting | Urgency::Soon if is_reversed(bench) => canvas.fill(area, '▀', Ink::Strong),
        Urgency::Idle => {}
        Urgency::Counting => canvas.fill(part, '▔', Ink::Text),
        Urgency::Soon => canvas.fill(part, '▀', Ink::Soon),
        Urgency::Overdue => canvas.fill(area, '█', Ink::Overdue),
        Urgency::Ringing => {
            for x in area.left()..area.right() {
                canvas.draw_char(x, area.y, if x % 6 < 4 { '█' } else { '▀' }, Ink::Overdue);
            }
        }
    }
}

/// The large digits in the upper part of `area`; tells how many rows they took.
pub(super) fn render_digits(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) -> u16 {
    let Some(shown) = bench.timer else { return 0 };
    let rows = render_timer_digits(canvas, area, bench, shown);
    canvas.live_regions.digits = Some(DigitsRegion { area, rows });
    rows
}

fn render_timer_digits(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel, shown: TimerViewModel) -> u16 {
    let (text, form) = digits::format_timer(&shown);
    let form = if form.len() >= text.len() { form } else { text.as_str() };
    let cut = digits::DigitSize::largest_fitting(form, area.width, area.height)
        .or_else(|| digits::DigitSize::largest_fitting(&text, area.width, area.height));
    let Some(cut) = cut else { return render_small_digits(canvas, area, bench, &text) };
    let hatch = Hatch::from_kind(bench.act.kind, bench.act.direction);
    let hatch = if bench.urgency.is_overdue() { Hatch::Solid } else { hatch };
    digits::draw_digits(canvas, area.x, area.y, &text, cut, hatch);
    cut.rows
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

/// Words that belong to the digits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct DigitWords<'a> {
    /// Whether it is told when it is due.
    pub has_due: bool,
    /// The manner of the act, where it is not told beside it.
    pub manner: &'a str,
}

/// What stands under the digits: the question first, then the fact just pressed, what is to be known, when it is due, what
/// lateness means.
fn list_digit_words(bench: &BenchViewModel, words: DigitWords<'_>) -> Vec<(String, Ink)> {
    let asked = find_question(bench).map(|question| (format!(" {question} "), Ink::Alert));
    let pressed = bench.recent_fact.as_ref().map(|fact| (format_recent_fact(fact), Ink::Strong));
    let due = if words.has_due { bench.due.as_str() } else { "" };
    let said =
        [(&*bench.remark, Ink::Strong), (due, Ink::Text), (&bench.explanation, Ink::Strong), (words.manner, Ink::Text)];
    let said = said.into_iter().filter(|(words, _)| !words.is_empty()).map(|(words, ink)| (words.to_owned(), ink));
    asked.into_iter().chain(pressed).chain(said).collect()
}

/// What a second press would answer, unless a card asks it already.
pub(super) fn find_question(bench: &BenchViewModel) -> Option<&str> {
    let is_on_card = |question: &&str| bench.block_card.as_ref().is_some_and(|card| card.explanation == *question);
    bench.confirmation.as_deref().filter(|question| !is_on_card(question))
}

fn format_recent_fact(fact: &RecentFactViewModel) -> String {
    let what = join_nonempty(&[&fact.name, &fact.what], " ");
    format!("{what}  ← {} →  {}", fact.at, fact.ago)
}

/// Writes what belongs to the digits; tells how many rows it took.
pub(super) fn render_digit_words(
    canvas: &mut Canvas<'_>,
    area: Rect,
    bench: &BenchViewModel,
    words: DigitWords<'_>,
) -> u16 {
    list_digit_words(bench, words).iter().fold(0, |used, (text, ink)| {
        let rest = skip_rows(area, used);
        // What fits keeps its spaces.
        let fits = canvas.text_width(text) <= rest.width && !rest.is_empty();
        used + if fits {
            u16::from(canvas.draw_text(rest, text, *ink) > 0)
        } else {
            canvas.draw_wrapped(rest, text, *ink)
        }
    })
}

/// The rows that [`render_digit_words`] would take.
pub(super) fn count_digit_words_rows(
    canvas: &Canvas<'_>,
    columns: u16,
    bench: &BenchViewModel,
    words: DigitWords<'_>,
) -> u16 {
    list_digit_words(bench, words).iter().map(|(text, _)| canvas.wrapped_height(text, columns)).sum()
}

/// The direction in words; tells how many rows it took.
pub(super) fn render_direction(canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) -> u16 {
    let Some(direction) = bench.act.direction else { return 0 };
    let used = canvas.draw_text(take_rows(area, 1), &direction.name().to_uppercase(), Ink::Strong);
    let along = if bench.act.orientation.is_empty() { String::new() } else { format!(", {}", bench.act.orientation) };
    if canvas.text_width(&along) <= area.width.saturating_sub(used) {
        canvas.draw_text(take_rows(skip_columns(area, used), 1), &along, Ink::Text);
    }
    1
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

/// What must be said in any window: an open question, a fault, what quiets the alarm.
pub(super) fn find_urgent_text(bench: &BenchViewModel) -> Option<&str> {
    let loud = bench.status_line.as_ref().filter(|n| n.urgent).map(|n| n.text.as_str());
    let ringing = Some(bench.explanation.as_str()).filter(|m| bench.urgency == Urgency::Ringing && !m.is_empty());
    let remark = Some(bench.remark.as_str()).filter(|r| !r.is_empty());
    find_question(bench).or(loud).or(ringing).or(remark)
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
