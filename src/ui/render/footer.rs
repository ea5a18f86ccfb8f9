//! What stands along the lower edge: words about the recording and cautions, when it ends, what comes, the bands, the keys.

use super::bands::{count_band_rows, fit_band, list_bands, render_live_band};
use super::bench_parts::render_key_hints;
use super::bench_plan::{BenchPart, BenchPlan};
use super::canvas::{BandStyle, Canvas, inside_margins, skip_columns, skip_rows, take_columns, take_rows};
use super::{rack_lines, round_lines};
use crate::app::bench_view_model::BenchViewModel;
use crate::ui::theme::Ink;
use ratatui::layout::Rect;
use std::borrow::Cow;

/// The lower edge of a window.
#[derive(Debug, Clone, Copy)]
pub(super) struct Footer<'a> {
    /// What is shown.
    pub bench: &'a BenchViewModel,
    /// The columns of the window.
    pub width: u16,
    /// Half rows of a dot of the bands' letters, at most.
    pub most: u16,
    /// Whether looks that are due may take a row of their own.
    pub is_tall: bool,
    /// Whether what gives way stands beside the section instead.
    pub is_beside: bool,
}

/// Words that never give way.
struct FooterMessage<'a> {
    words: Cow<'a, str>,
    ink: Ink,
    /// A word about the recording at the right of them.
    beside: &'a str,
}

impl Footer<'_> {
    fn columns(&self) -> u16 {
        inside_margins(Rect { x: 0, y: 0, width: self.width, height: 1 }).width
    }

    /// The words that never give way: what is wrong or of the recording, the caution, when it ends. A word about the
    /// recording stands beside another where it can, so that nothing moves while it comes and goes.
    fn list_messages(&self, canvas: &Canvas<'_>) -> Vec<FooterMessage<'_>> {
        let bench = self.bench;
        let end = self.format_session_end(canvas);
        let said = [(Cow::from(&bench.caution), Ink::Strong), (end, Ink::Text)];
        let said = said.into_iter().filter(|(words, _)| !words.is_empty());
        let mut messages: Vec<FooterMessage<'_>> =
            said.map(|(words, ink)| FooterMessage { words, ink, beside: "" }).collect();
        let Some(notice) = &bench.status_line else { return messages };
        let ink = if notice.urgent { Ink::Alert } else { Ink::Strong };
        let wide = canvas.text_width(&notice.text).saturating_add(3);
        let has_room = |message: &&mut FooterMessage<'_>| {
            canvas.text_width(&message.words).saturating_add(wide) <= self.columns() && !notice.urgent
        };
        match messages.iter_mut().find(has_room) {
            Some(message) => message.beside = &notice.text,
            None => messages.insert(0, FooterMessage { words: Cow::from(&notice.text), ink, beside: "" }),
        }
        messages
    }

    /// When it ends, and behind it what the hands can do where that fits the line.
    fn format_session_end(&self, canvas: &Canvas<'_>) -> Cow<'_, str> {
        let bench = self.bench;
        let both = format!("{}; {}", bench.session_end, bench.hands_advice);
        let fits = !bench.session_end.is_empty() && !bench.hands_advice.is_empty();
        if fits && canvas.text_width(&both) <= self.columns() { both.into() } else { Cow::from(&bench.session_end) }
    }

    /// The rows of what never gives way.
    pub fn least_rows(&self, canvas: &Canvas<'_>) -> u16 {
        let messages = self.list_messages(canvas);
        let messages: u16 = messages.iter().map(|said| canvas.wrapped_height(&said.words, self.columns())).sum();
        let bands = list_bands(self.bench);
        let bands: u16 = bands.iter().map(|band| count_band_rows(canvas, band, self.width, WORDS)).sum();
        messages + bands + u16::from(!self.bench.queue.is_empty()) + u16::from(!self.bench.keys.is_empty())
    }

    /// How each band is drawn: in block letters where `large` says so of its kind and they fit.
    fn style_bands(&self, canvas: &Canvas<'_>, large: impl Fn(bool) -> bool) -> Vec<BandStyle> {
        let bands = list_bands(self.bench);
        let style = |i: usize| {
            let band = bands.get(i)?;
            let size = fit_band(canvas, band, self.width, self.most).filter(|_| large(band.is_calling))?;
            // The half row above the letters of the next band is enough.
            let next_calls = bands.get(i + 1).is_some_and(|next| next.is_calling && large(true));
            Some(BandStyle { size: Some(size), is_padded: band.is_calling && !next_calls && !canvas.is_ascii() })
        };
        (0..bands.len()).map(|i| style(i).unwrap_or(WORDS)).collect()
    }

    fn count_more_band_rows(&self, canvas: &Canvas<'_>, is_calling: bool) -> u16 {
        let styles = self.style_bands(canvas, |calls| calls == is_calling);
        let bands = list_bands(self.bench);
        let rows = |styles: &[BandStyle]| -> u16 {
            bands.iter().zip(styles).map(|(band, style)| count_band_rows(canvas, band, self.width, *style)).sum()
        };
        rows(&styles).saturating_sub(rows(&vec![WORDS; bands.len()]))
    }

    /// The rows that each part of it would take besides.
    pub fn count_needs(&self, canvas: &Canvas<'_>, part: BenchPart) -> u16 {
        match part {
            BenchPart::CallingBands => self.count_more_band_rows(canvas, true),
            BenchPart::WaitingBand => self.count_more_band_rows(canvas, false),
            _ if self.is_beside => 0,
            BenchPart::Info => self.count_info_rows(canvas),
            BenchPart::Tip => canvas.wrapped_height(&self.bench.tip, self.columns()),
            BenchPart::Rack => u16::try_from(self.bench.rack.len()).unwrap_or(u16::MAX).min(4),
            BenchPart::Direction | BenchPart::Due | BenchPart::Manner | BenchPart::Section => 0,
        }
    }

    fn count_info_rows(&self, canvas: &Canvas<'_>) -> u16 {
        let bench = self.bench;
        let any = !(bench.air.is_empty() && bench.next_act.is_empty() && bench.inspections_due.is_empty());
        u16::from(any) + u16::from(self.find_inspections_row(canvas).is_some())
    }

    /// The looks that are due, where they are not told at length between what comes next and the air.
    fn find_inspections_row(&self, canvas: &Canvas<'_>) -> Option<&str> {
        let bench = self.bench;
        let looks = bench.inspections_due.first()?;
        let air = if bench.air.is_empty() { 0 } else { canvas.text_width(&bench.air) + 6 };
        let wide = canvas.text_width(&bench.next_act) + 2 + canvas.text_width(looks) + air;
        (self.is_tall && wide > self.columns()).then_some(looks)
    }

    /// The rows it takes with the parts of `plan`.
    pub fn count_rows(&self, canvas: &Canvas<'_>, plan: &BenchPlan) -> u16 {
        let parts = [BenchPart::CallingBands, BenchPart::WaitingBand, BenchPart::Info, BenchPart::Tip, BenchPart::Rack];
        let shown = parts.into_iter().filter(|part| plan.shows(*part));
        self.least_rows(canvas) + shown.map(|part| self.count_needs(canvas, part)).sum::<u16>()
    }

    /// Draws it into `area`, which is as wide as the window.
    pub fn render(&self, canvas: &mut Canvas<'_>, area: Rect, plan: &BenchPlan) {
        let bench = self.bench;
        let mut rest = inside_margins(area);
        let shows = |part| plan.shows(part) && !self.is_beside;
        if shows(BenchPart::Rack) {
            let rows = self.count_needs(canvas, BenchPart::Rack);
            rest = skip_rows(rest, rack_lines::render_rack(canvas, take_rows(rest, rows), &bench.rack));
        }
        if shows(BenchPart::Info) {
            rest = skip_rows(rest, self.render_info(canvas, rest));
        }
        if shows(BenchPart::Tip) {
            rest = skip_rows(rest, canvas.draw_wrapped(rest, &bench.tip, Ink::Text));
        }
        for said in self.list_messages(canvas) {
            canvas.draw_text_right(take_rows(rest, 1), said.beside, Ink::Strong);
            rest = skip_rows(rest, canvas.draw_wrapped(rest, &said.words, said.ink));
        }
        if !bench.queue.is_empty() {
            round_lines::render_queue(canvas, rest, bench);
            rest = skip_rows(rest, 1);
        }
        let large = |calls| plan.shows(if calls { BenchPart::CallingBands } else { BenchPart::WaitingBand });
        for (i, style) in self.style_bands(canvas, large).into_iter().enumerate() {
            let at = Rect { x: area.x, width: area.width, ..rest };
            rest = skip_rows(rest, render_live_band(canvas, at, bench, i, style));
        }
        render_key_hints(canvas, rest, &bench.keys);
    }

    /// What comes next, the looks that are due, and the air.
    fn render_info(&self, canvas: &mut Canvas<'_>, area: Rect) -> u16 {
        let bench = self.bench;
        let own = self.find_inspections_row(canvas);
        let line = take_rows(area, 1);
        let used = canvas.draw_text(line, &bench.next_act, Ink::Text);
        let rest = skip_columns(line, if used > 0 { used + 2 } else { 0 });
        let air = if bench.air.is_empty() { String::new() } else { format!("air {}", bench.air) };
        let for_air = canvas.draw_text_right(rest, &air, Ink::Text);
        let between = take_columns(rest, rest.width.saturating_sub(if for_air > 0 { for_air + 2 } else { 0 }));
        let mut looks = bench.inspections_due.iter();
        if let Some(words) = looks.find(|words| own.is_none() && canvas.text_width(words) <= between.width) {
            canvas.draw_text(between, words, Ink::Text);
        }
        if let Some(looks) = own {
            canvas.draw_text(skip_rows(area, 1), looks, Ink::Text);
        }
        1 + u16::from(own.is_some())
    }
}

/// A band in words.
const WORDS: BandStyle = BandStyle { size: None, is_padded: false };
