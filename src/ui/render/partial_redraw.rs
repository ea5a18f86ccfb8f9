//! What moves on the bench every second, the digits, the bar and the times of a round, painted over a picture that is
//! otherwise kept.
//!
//! A whole picture is cheap for an eye and dear for a processor that was asleep; most seconds change a few places of it. It
//! has no layout of its own: the places are those the whole picture was painted at.

use super::canvas::{Canvas, LiveRegions, take_rows};
use super::digits::format_timer;
use super::{bands, bench, bench_parts, round_lines};
use crate::app::bench_view_model::BenchViewModel;
use crate::ui::theme::Theme;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

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
        let old = self.view_model.clone();
        self.take_times_over(bench);
        // The room of the digits follows from their form.
        let form = |of: &BenchViewModel| of.timer.map(|shown| format_timer(&shown).1);
        if self.view_model != *bench || form(&old) != form(bench) {
            return None;
        }
        let mut parts = Vec::new();
        if let Some(bar) = self.live_regions.bar {
            parts.push(self.render_part(bar, |canvas| bench_parts::render_bar(canvas, bar, bench)));
        }
        let mut rows = 0;
        let at = take_rows(digits.area, digits.rows);
        parts.push(self.render_part(at, |canvas| rows = bench_parts::render_digits(canvas, digits.area, bench)));
        if old.places != bench.places {
            let at = self.live_regions.places?;
            parts.push(self.render_part(at, |canvas| round_lines::render_places(canvas, at, bench)));
        }
        if old.queue != bench.queue {
            let at = self.live_regions.queue?;
            parts.push(self.render_part(at, |canvas| round_lines::render_queue(canvas, at, bench)));
        }
        let (before, now) = (bands::list_bands(&old), bands::list_bands(bench));
        for (i, (old, band)) in before.into_iter().zip(now).enumerate().filter(|(_, (old, band))| old != band) {
            let region = self.live_regions.bands.iter().find(|region| region.index == i)?;
            let mut fits = false;
            parts.push(self.render_part(region.area, |canvas| {
                let fitted =
                    region.style.size.and_then(|size| bands::fit_band(canvas, band, region.area.width, size.half_rows));
                fits = fitted == region.style.size
                    && bands::count_band_rows(canvas, band, region.area.width, region.style) == region.area.height;
                bands::render_band(canvas, region.area, band, region.style);
            }));
            if !fits || old.is_calling != band.is_calling {
                return None;
            }
        }
        (rows == digits.rows).then_some(parts)
    }

    /// Takes over every time that moves, so that what is left to compare is what stays from one second to the next.
    fn take_times_over(&mut self, bench: &BenchViewModel) {
        self.view_model.timer = bench.timer;
        for (old, new) in self.view_model.places.iter_mut().zip(&bench.places) {
            old.time.clone_from(&new.time);
        }
        for (old, new) in self.view_model.queue.iter_mut().zip(&bench.queue) {
            old.time.clone_from(&new.time);
        }
        let bands =
            [(&mut self.view_model.call_band, &bench.call_band), (&mut self.view_model.pot_band, &bench.pot_band)];
        for (old, new) in bands {
            if let (Some(old), Some(new)) = (old, new) {
                old.text.clone_from(&new.text);
            }
        }
    }

    fn render_part(&self, area: Rect, draw: impl FnOnce(&mut Canvas<'_>)) -> Buffer {
        let mut buf = Buffer::empty(area);
        draw(&mut Canvas::new(&mut buf, area, &self.theme));
        buf
    }
}
