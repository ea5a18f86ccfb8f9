//! The line that stays in sight under whatever lies over the bench.

use super::canvas::{Canvas, take_last_rows};
use crate::ui::theme::{Ink, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// In a lower window the line would take too much of what lies over the bench.
const ROWS_MIN: u16 = 8;

/// Draws what lies over the bench, and below it the soonest call; `is_now`: its time has come.
pub fn render_over_call(call: &str, is_now: bool, theme: &Theme, buf: &mut Buffer, overlay: impl FnOnce(&mut Buffer)) {
    if call.is_empty() || buf.area.height < ROWS_MIN {
        return overlay(buf);
    }
    let area = buf.area;
    let mut above = Buffer::empty(Rect { height: area.height - 1, ..area });
    overlay(&mut above);
    for y in above.area.top()..above.area.bottom() {
        for x in area.left()..area.right() {
            buf[(x, y)] = above[(x, y)].clone();
        }
    }
    let line = take_last_rows(area, 1);
    let mut canvas = Canvas::new(buf, line, theme);
    let margin = u16::from(area.width > 30) * 2;
    let inside = Rect { x: line.x + margin, width: line.width.saturating_sub(margin), ..line };
    canvas.draw_text(inside, call, if is_now { Ink::Alert } else { Ink::Strong });
}
