//! What moves on the bench every second, the digits and the bar, painted over a picture that is otherwise kept.
//!
//! A whole picture is cheap for an eye and dear for a processor that was asleep; most seconds change two places of it.
//! Absent on purpose: any layout of its own; the places are those the whole picture was painted at.

use super::{bench, parts, pen::Pen, pen::top};
use crate::app::scene::Scene;
use crate::ui::theme::Theme;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// The places of a picture that move.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Moving {
    /// Where the bar is.
    pub bar: Option<Rect>,
    /// Where the digits are; none in a layout that writes the time as words.
    pub digits: Option<Digits>,
}

/// The place of the digits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Digits {
    /// What they were given.
    pub area: Rect,
    /// Whether the bar lies directly above.
    pub hangs: bool,
    /// The rows they took of it.
    pub rows: u16,
}

/// The bench as it was painted last.
#[derive(Debug, Default)]
pub struct Painted {
    last: Option<Last>,
}

#[derive(Debug)]
struct Last {
    scene: Scene,
    theme: Theme,
    moving: Moving,
}

impl Painted {
    /// Paints the scene on a buffer nothing was drawn on yet.
    pub fn paint(&mut self, scene: Scene, theme: &Theme, buf: &mut Buffer) {
        let area = buf.area;
        let moving = bench::on(&scene, theme, buf, area);
        self.last = Some(Last { scene, theme: *theme, moving });
    }

    /// Something else was painted since.
    pub fn forget(&mut self) {
        self.last = None;
    }

    /// What of the picture painted last is different in this scene, each part in its place; none where more than the second
    /// differs, so that the whole has to be painted.
    pub fn moved(&mut self, scene: &Scene, theme: &Theme) -> Vec<Buffer> {
        let parts = self.last.as_mut().filter(|last| last.theme == *theme).and_then(|last| last.moved(scene));
        parts.unwrap_or_default()
    }
}

impl Last {
    fn moved(&mut self, scene: &Scene) -> Option<Vec<Buffer>> {
        let digits = self.moving.digits?;
        self.scene.digits = scene.digits;
        if self.scene != *scene {
            return None;
        }
        let mut parts = Vec::new();
        if let Some(bar) = self.moving.bar {
            let mut buf = Buffer::empty(bar);
            parts::bar(&mut Pen::new(&mut buf, bar, &self.theme), bar, scene);
            parts.push(buf);
        }
        let mut buf = Buffer::empty(top(digits.area, digits.rows));
        let area = buf.area;
        let rows = parts::digits(&mut Pen::new(&mut buf, area, &self.theme), digits.area, scene, digits.hangs);
        parts.push(buf);
        (rows == digits.rows).then_some(parts)
    }
}
