//! What stands beside the panel shown: the pots, and a line for each other panel.

use super::bench_parts::direction_sign;
use super::canvas::{Canvas, skip_columns, skip_rows, take_columns, take_rows};
use crate::app::bench_view_model::{PotLines, RackLine};
use crate::ui::theme::Ink;
use ratatui::layout::Rect;

/// The pots, each under its label, which gives way to what is said; tells how many rows they took.
pub(super) fn render_pots(canvas: &mut Canvas<'_>, area: Rect, pots: &[PotLines]) -> u16 {
    let mut used = 0;
    for pot in pots {
        for (i, line) in pot.lines.iter().enumerate() {
            let here = skip_rows(area, used);
            let is_urgent = pot.is_action_needed && i == 0;
            let mark = if is_urgent { 2 } else { 1 };
            let label = if i == 0 { find_label_columns(canvas, here.width, &pot.label, line, mark + 1) } else { 0 };
            let start =
                if label == 0 { 0 } else { canvas.draw_text(take_columns(here, label), &pot.label, Ink::Strong) + 1 };
            let words = skip_columns(here, if start == 0 && !is_urgent { 0 } else { start + mark });
            let rows = canvas.wrapped_height(line, words.width);
            if rows > here.height {
                return used;
            }
            if is_urgent {
                canvas.draw_char(here.x.saturating_add(start), here.y, '→', Ink::Overdue);
            }
            used += canvas.draw_wrapped(words, line, if is_urgent { Ink::Strong } else { Ink::Text });
        }
    }
    used
}

/// The columns that a label may take before a line that is to stand whole; none where fewer than four are left for it.
fn find_label_columns(canvas: &Canvas<'_>, columns: u16, label: &str, line: &str, gap: u16) -> u16 {
    let left = columns.saturating_sub(canvas.text_width(line).saturating_add(gap));
    let wants = canvas.text_width(label);
    if left >= wants.min(4) { wants.min(left) } else { 0 }
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
    // The label gives way to the act. Where not even four columns are left for it, it is what tells one from the other.
    let label = rest.width.saturating_sub(act);
    let has_act = label >= 4;
    let used = canvas.draw_text(if has_act { take_columns(rest, label) } else { rest }, &line.label, Ink::Text);
    if has_act {
        canvas.draw_text(skip_columns(rest, used.saturating_add(2)), &line.act, Ink::Text);
    }
}
