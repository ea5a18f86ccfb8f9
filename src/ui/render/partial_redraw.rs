//! What moves on the bench every second, the digits and the bar, painted over a picture that is otherwise kept.
//!
//! A whole picture is cheap for an eye and dear for a processor that was asleep; most seconds change two places of it. It
//! has no layout of its own: the places are those the whole picture was painted at.

use super::canvas::{Canvas, LiveRegions, take_rows};
use super::{bench, bench_parts};
use crate::app::bench_view_model::BenchViewModel;
use crate::ui::theme::Theme;
use ratatui::buffer::Buffer;

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
    pub fn render_changes(&mut self, bench: &BenchViewModel, theme: &Theme) -> Vec<Buffer> {
        let parts =
            self.last_render.as_mut().filter(|last| last.theme == *theme).and_then(|last| last.render_changes(bench));
        parts.unwrap_or_default()
    }
}

impl LastRender {
    fn render_changes(&mut self, bench: &BenchViewModel) -> Option<Vec<Buffer>> {
        let digits = self.live_regions.digits?;
        self.view_model.timer = bench.timer;
        if self.view_model != *bench {
            return None;
        }
        let mut parts = Vec::new();
        if let Some(bar) = self.live_regions.bar {
            let mut buf = Buffer::empty(bar);
            bench_parts::render_bar(&mut Canvas::new(&mut buf, bar, &self.theme), bar, bench);
            parts.push(buf);
        }
        let mut buf = Buffer::empty(take_rows(digits.area, digits.rows));
        let area = buf.area;
        let rows = bench_parts::render_digits(
            &mut Canvas::new(&mut buf, area, &self.theme),
            digits.area,
            bench,
            digits.is_under_bar,
        );
        parts.push(buf);
        (rows == digits.rows).then_some(parts)
    }
}
