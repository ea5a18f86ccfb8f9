//! What moves on the bench every second, the digits and the bar, painted over a picture that is otherwise kept.
//!
//! A whole picture is cheap for an eye and dear for a processor that was asleep; most seconds change two places of it.
//! Absent on purpose: any layout of its own; the places are those the whole picture was painted at.

use super::{bench, bench_parts, canvas::Canvas, canvas::take_rows};
use crate::app::bench_view_model::BenchViewModel;
use crate::ui::theme::Theme;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// The places of a picture that move.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct LiveRegions {
    /// Where the bar is.
    pub bar: Option<Rect>,
    /// Where the digits are; none in a layout that writes the time as words.
    pub digits: Option<DigitsRegion>,
}

/// The place of the digits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct DigitsRegion {
    /// What they were given.
    pub area: Rect,
    /// Whether the bar lies directly above.
    pub is_under_bar: bool,
    /// The rows they took of it.
    pub rows: u16,
}

/// The bench as it was painted last.
#[derive(Debug, Default)]
pub struct RenderCache {
    last_render: Option<LastRender>,
}

#[derive(Debug)]
struct LastRender {
    view_model: BenchViewModel,
    theme: Theme,
    live_regions: LiveRegions,
}

impl RenderCache {
    /// Paints the scene on a buffer nothing was drawn on yet.
    pub fn render(&mut self, scene: BenchViewModel, theme: &Theme, buf: &mut Buffer) {
        let area = buf.area;
        let moving = bench::render_bench_in(&scene, theme, buf, area);
        self.last_render = Some(LastRender { view_model: scene, theme: *theme, live_regions: moving });
    }

    /// Something else was painted since.
    pub fn invalidate(&mut self) {
        self.last_render = None;
    }

    /// What of the picture painted last is different in this scene, each part in its place; none where more than the second
    /// differs, so that the whole has to be painted.
    pub fn render_changes(&mut self, scene: &BenchViewModel, theme: &Theme) -> Vec<Buffer> {
        let parts =
            self.last_render.as_mut().filter(|last| last.theme == *theme).and_then(|last| last.render_changes(scene));
        parts.unwrap_or_default()
    }
}

impl LastRender {
    fn render_changes(&mut self, scene: &BenchViewModel) -> Option<Vec<Buffer>> {
        let digits = self.live_regions.digits?;
        self.view_model.timer = scene.timer;
        if self.view_model != *scene {
            return None;
        }
        let mut parts = Vec::new();
        if let Some(bar) = self.live_regions.bar {
            let mut buf = Buffer::empty(bar);
            bench_parts::render_bar(&mut Canvas::new(&mut buf, bar, &self.theme), bar, scene);
            parts.push(buf);
        }
        let mut buf = Buffer::empty(take_rows(digits.area, digits.rows));
        let area = buf.area;
        let rows = bench_parts::render_digits(
            &mut Canvas::new(&mut buf, area, &self.theme),
            digits.area,
            scene,
            digits.is_under_bar,
        );
        parts.push(buf);
        (rows == digits.rows).then_some(parts)
    }
}
