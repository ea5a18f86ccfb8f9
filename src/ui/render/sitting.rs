//! The sitting: what is asked, a row for each board with what was said last time beside the answer, and what is to be
//! known of the board under the cursor.

use super::bench_parts;
use super::canvas::{Canvas, skip_columns, skip_rows, take_columns, take_last_rows, take_rows};
use super::form::render_text_input;
use crate::app::sitting::{SittingRow, SittingRowStatus, SittingViewModel};
use crate::ui::theme::{Ink, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// Draws the sitting over the whole of a bare buffer.
pub fn render_sitting(view: &SittingViewModel, theme: &Theme, buf: &mut Buffer) {
    let area = buf.area;
    render_sitting_in(view, theme, buf, area);
}

/// What stands where an answer is missing.
const NOT_LOOKED_AT: &str = "not looked at";

/// Draws the sitting into `area` of a buffer.
pub(super) fn render_sitting_in(view: &SittingViewModel, theme: &Theme, buf: &mut Buffer, area: Rect) {
    let area = area.intersection(buf.area);
    let mut canvas = Canvas::new(buf, area, theme);
    if area.width < 50 || area.height < 12 {
        return render_small(&mut canvas, area, view);
    }
    let area = Rect { x: area.x + 1, width: area.width - 2, ..area };
    canvas.draw_text(take_rows(area, 1), &view.title, Ink::Strong);
    render_questions(&mut canvas, take_rows(skip_rows(area, 1), 1), view);
    let mut rest = skip_rows(area, if area.height >= 20 { 3 } else { 2 });
    rest = skip_rows(rest, canvas.draw_wrapped(take_rows(rest, 2), &view.prompt, Ink::Strong));
    rest = skip_rows(rest, canvas.draw_wrapped(take_rows(rest, 5.min(rest.height / 3)), &view.help, Ink::Text));
    rest = skip_rows(rest, u16::from(area.height >= 20));
    bench_parts::render_key_hints(&mut canvas, take_last_rows(rest, 1), &view.keys);
    rest = take_rows(rest, rest.height.saturating_sub(1));
    rest = render_alert(&mut canvas, rest, view);
    let tall: u16 = view.board_notes.iter().map(|line| canvas.wrapped_height(line, rest.width).min(3)).sum();
    let tall = tall.min(rest.height / 2);
    let for_rows = rest.height.saturating_sub(tall + u16::from(tall > 0 && rest.height > tall + 6));
    let used = render_rows(&mut canvas, take_rows(rest, for_rows), view);
    rest = skip_rows(rest, if used < for_rows { used + 1 } else { rest.height.saturating_sub(tall) });
    rest = render_board_notes(&mut canvas, rest, view);
    render_test_map(&mut canvas, rest, view);
}

/// Every question by its word, the one asked turned inside out; from where it stays in sight.
fn render_questions(canvas: &mut Canvas<'_>, area: Rect, view: &SittingViewModel) {
    let wide = |q: &String| canvas.text_width(q) + 2;
    let mut first = 0;
    let upto = |first: usize| view.questions.iter().take(view.question_index + 1).skip(first).map(wide).sum::<u16>();
    while first < view.question_index && upto(first) > area.width {
        first += 1;
    }
    let mut rest = area;
    for (i, name) in view.questions.iter().enumerate().skip(first) {
        let ink = if i == view.question_index { Ink::Alert } else { Ink::Text };
        let used = canvas.draw_text(rest, &format!(" {name} "), ink);
        rest = skip_columns(rest, used);
    }
}

/// What is wrong, along the lower edge; gives back what is left above it.
fn render_alert(canvas: &mut Canvas<'_>, area: Rect, view: &SittingViewModel) -> Rect {
    if view.alert.is_empty() {
        return area;
    }
    let rows = canvas.wrapped_height(&view.alert, area.width).min(area.height / 3).max(1);
    canvas.draw_wrapped(take_last_rows(area, rows), &view.alert, Ink::Alert);
    take_rows(area, area.height.saturating_sub(rows))
}

/// What is to be known of the board under the cursor, below the rows; gives back what is left.
fn render_board_notes(canvas: &mut Canvas<'_>, area: Rect, view: &SittingViewModel) -> Rect {
    let mut rest = area;
    for line in &view.board_notes {
        rest = skip_rows(rest, canvas.draw_wrapped(take_rows(rest, 3), line, Ink::Text));
    }
    rest
}

/// The map of the board below that, where all of it has room.
fn render_test_map(canvas: &mut Canvas<'_>, area: Rect, view: &SittingViewModel) {
    let widest = view.test_map.iter().map(|line| canvas.text_width(line)).max().unwrap_or(0);
    if usize::from(area.height) < view.test_map.len() || area.width < widest {
        return;
    }
    for (line, y) in view.test_map.iter().zip(0..) {
        canvas.draw_text(take_rows(skip_rows(area, y), 1), line, Ink::Text);
    }
}

/// Where the columns stand.
#[derive(Clone, Copy)]
struct SittingColumns {
    label: u16,
    look: u16,
    before: u16,
}

impl SittingColumns {
    fn from_rows(canvas: &Canvas<'_>, view: &SittingViewModel, width: u16) -> SittingColumns {
        let widest =
            |of: &dyn Fn(&SittingRow) -> &str| view.rows.iter().map(|r| canvas.text_width(of(r))).max().unwrap_or(0);
        let label = widest(&|r| &r.label).max(5).min(width / 4);
        let look = widest(&|r| &r.look).max(4).min(width / 6);
        let left = width.saturating_sub(label + look + 8);
        SittingColumns { label, look, before: widest(&|r| &r.previous_answer).max(9).min(left / 2) }
    }
    fn look(self, row: Rect) -> Rect {
        take_columns(skip_columns(row, 2 + self.label + 2), self.look)
    }
    fn before(self, row: Rect) -> Rect {
        take_columns(skip_columns(row, 2 + self.label + 2 + self.look + 2), self.before)
    }
    fn answer(self, row: Rect) -> Rect {
        skip_columns(row, 2 + self.label + 2 + self.look + 2 + self.before + 2)
    }
}

/// A row for each board around the cursor; tells how many rows they took.
fn render_rows(canvas: &mut Canvas<'_>, area: Rect, view: &SittingViewModel) -> u16 {
    if view.rows.is_empty() {
        return canvas.draw_wrapped(area, "A panel comes here once it is finished.", Ink::Text);
    }
    let columns = SittingColumns::from_rows(canvas, view, area.width);
    let head = take_rows(area, 1);
    canvas.draw_text(take_columns(skip_columns(head, 2), columns.label), "panel", Ink::Text);
    canvas.draw_text(columns.look(head), "look", Ink::Text);
    canvas.draw_text(columns.before(head), "last time", Ink::Text);
    canvas.draw_text(columns.answer(head), "now", Ink::Text);
    let area = skip_rows(area, 1);
    let fit = usize::from(area.height.max(1));
    let first = (view.cursor + 1).saturating_sub(fit);
    for (i, row) in view.rows.iter().enumerate().skip(first).take(fit) {
        let here = take_rows(skip_rows(area, (i - first) as u16), 1);
        let more = view.rows.len() - i;
        if i + 1 == first + fit && more > 1 && !row.is_current {
            canvas.draw_text(here, &format!("↓ {more} more"), Ink::Text);
            break;
        }
        render_row(canvas, here, row, view, columns);
    }
    1 + (view.rows.len() - first).min(fit) as u16
}

fn render_row(canvas: &mut Canvas<'_>, here: Rect, row: &SittingRow, view: &SittingViewModel, columns: SittingColumns) {
    let ink = if row.is_current { Ink::Strong } else { Ink::Text };
    if row.is_current {
        canvas.draw_char(here.x, here.y, '→', Ink::Strong);
    }
    canvas.draw_text(take_columns(skip_columns(here, 2), columns.label), &row.label, ink);
    canvas.draw_text(columns.look(here), &row.look, ink);
    canvas.draw_text(columns.before(here), &row.previous_answer, Ink::Text);
    let mut now = columns.answer(here);
    let word = row.status.name();
    let sign = if row.status == SittingRowStatus::Failed { Ink::Alert } else { Ink::Text };
    let for_word = canvas.draw_text_right(now, word, sign);
    now = take_columns(now, now.width.saturating_sub(for_word + u16::from(for_word > 0) * 2));
    match (&view.text_field, row.is_current, row.answer.is_empty()) {
        (Some(field), true, _) => render_text_input(canvas, now, &field.value, field.cursor),
        (_, _, true) => _ = canvas.draw_text(now, NOT_LOOKED_AT, if row.is_current { Ink::Alert } else { Ink::Text }),
        (_, _, false) => {
            let shown = if row.is_current { clip_start(canvas, &row.answer, now.width) } else { row.answer.clone() };
            let used = canvas.draw_text(now, &shown, if row.is_current { Ink::Alert } else { Ink::Strong });
            canvas.draw_text(skip_columns(now, used + 2), &row.trend, Ink::Strong);
        }
    }
}

/// As much of the end of an answer as fits: what is being typed is there.
fn clip_start(canvas: &Canvas<'_>, words: &str, columns: u16) -> String {
    if canvas.text_width(words) <= columns {
        return words.to_owned();
    }
    let mark = if canvas.is_ascii() { "..." } else { "…" };
    let room = columns.saturating_sub(canvas.text_width(mark));
    let starts = words.char_indices().map(|(i, _)| i);
    let end = starts.filter_map(|i| words.get(i..)).find(|end| canvas.text_width(end) <= room);
    format!("{mark}{}", end.unwrap_or_default())
}

/// One board in a few lines: what went wrong or what is asked, whose board, the answer, last time.
fn render_small(canvas: &mut Canvas<'_>, area: Rect, view: &SittingViewModel) {
    let question = view.questions.get(view.question_index).map_or("", String::as_str);
    let head = if view.alert.is_empty() { format!("{question}? {}", view.help) } else { view.alert.clone() };
    let ink = if view.alert.is_empty() { Ink::Strong } else { Ink::Alert };
    let for_head = if area.height > 5 || !view.alert.is_empty() { area.height.saturating_sub(3).max(1) } else { 1 };
    let mut rest = skip_rows(area, canvas.draw_wrapped(take_rows(area, for_head), &head, ink));
    let Some(row) = view.rows.get(view.cursor) else {
        canvas.draw_wrapped(rest, &view.title, Ink::Text);
        return;
    };
    canvas.draw_text(
        take_rows(rest, 1),
        &bench_parts::join_nonempty(&[&row.label, row.status.name()], "  "),
        Ink::Strong,
    );
    rest = skip_rows(rest, 1);
    let now = if row.answer.is_empty() { NOT_LOOKED_AT } else { &row.answer };
    let fits = canvas.text_width(now) + 2 + canvas.text_width(&row.trend) <= rest.width;
    let (now, does) = (clip_start(canvas, now, rest.width), if fits { &*row.trend } else { "" });
    match &view.text_field {
        Some(field) => render_text_input(canvas, take_rows(rest, 1), &field.value, field.cursor),
        None => _ = canvas.draw_text(take_rows(rest, 1), &bench_parts::join_nonempty(&[&now, does], "  "), Ink::Alert),
    }
    rest = skip_rows(rest, 1);
    canvas.draw_text(take_rows(rest, 1), &row.previous_answer, Ink::Text);
    rest = skip_rows(rest, 1);
    if rest.height > 0 {
        bench_parts::render_key_hints(canvas, take_last_rows(rest, 1), &view.keys);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::key::Key;
    use crate::app::keymap::Keymap;
    use crate::app::message::Message;
    use crate::app::sitting::{InspectionQuestion, SittingModel};
    use crate::bench::FinishedPanel;
    use crate::ui::theme::ColorScheme;
    use crate::units::{Id, Length, Size, Span, Stamp};
    use crate::work::panel::inspection::{Bow, Crack, Inspection};
    use crate::work::story::TrialRun;
    use unicode_width::UnicodeWidthStr;

    fn day(n: f64) -> Stamp {
        Stamp::from_ms(1_800_000_000_000) + Span::from_h(n * 24.0)
    }

    /// Three boards: a crack that grew, one that was never looked at, one with words about it.
    fn boards() -> SittingModel {
        let cracked = |text: &str| Inspection { cracks: vec![Crack::parse(text).unwrap()], ..Inspection::default() };
        let bow = Bow { sag: Length::from_mm(1.0), span: Length::from_mm(300.0) };
        let panel = |label: &str, finished: f64, looks| FinishedPanel {
            is_here: true,
            id: Id::new(&label.to_lowercase().replace(' ', "-")).unwrap(),
            label: label.to_owned(),
            is_witness: label == "Goldcrest",
            trial: None,
            seen_anyway: Vec::new(),
            size: Size { width: Length::from_mm(400.0), height: Length::from_mm(300.0), thickness: None },
            longer_side_mm: 400.0,
            finished_at: day(finished),
            inspections: looks,
        };
        let wren = vec![(day(3.0), cracked("edge:1:along")), (day(14.0), cracked("edge:2:along"))];
        let note = Inspection { note: Some("a dull patch".into()), bow: Some(bow), ..Inspection::default() };
        let panels = vec![
            panel("Wren", 0.0, wren),
            panel("Great Tit", 1.0, vec![]),
            panel("Goldcrest", -60.0, vec![(day(20.0), note)]),
        ];
        SittingModel::new(panels, 0, day(29.5))
    }

    fn drawn(sitting: &SittingModel, ascii: bool, width: u16, height: u16) -> String {
        let area = Rect::new(0, 0, width, height);
        let mut buf = Buffer::empty(area);
        render_sitting_in(
            &sitting.build_view_model(&Keymap::default(), day(29.5), crate::text::UnitSystem::Metric),
            &Theme { color_scheme: ColorScheme::Terminal, ascii },
            &mut buf,
            area,
        );
        let row = |y: u16| (0..width).map(|x| buf[(x, y)].symbol()).collect::<String>().trim_end().to_owned() + "\n";
        (0..height).map(row).collect()
    }

    #[test]
    fn the_sitting_stands_at_every_size() {
        let mut sitting = boards();
        let keymap = Keymap::default();
        for c in "3ea1f".chars() {
            let press = keymap.decode(Key::Char(c), false, sitting.input_mode());
            sitting.update(&press.message, &keymap);
        }
        for (width, height) in [(80, 24), (120, 40), (200, 60), (40, 12), (20, 5)] {
            insta::assert_snapshot!(format!("sitting-{width}x{height}"), drawn(&sitting, false, width, height));
        }
        let ascii = drawn(&sitting, true, 80, 24);
        assert!(ascii.is_ascii() && ascii.contains("not looked at"), "{ascii}");
        sitting.update(&Message::RecordSitting, &keymap);
        insta::assert_snapshot!("sitting-refused-80x24", drawn(&sitting, false, 80, 24));
        (0..17).for_each(|_| _ = sitting.update(&Message::NextPanel, &keymap));
        sitting.update(&Message::Paste("a line".into()), &keymap);
        insta::assert_snapshot!("sitting-note-80x24", drawn(&sitting, false, 80, 24));
    }

    /// A board of a trial at the pencil test: where it goes is drawn, and nothing of before is told.
    #[test]
    fn the_board_of_a_trial_is_drawn_with_its_places() {
        let run = |run| TrialRun { trial: Id::new("strength").unwrap(), run, jar: 1 };
        let before = Inspection { sound: true, ..Inspection::default() };
        let panel = |label: &str, n| FinishedPanel {
            is_here: true,
            id: Id::new(&label.to_lowercase()).unwrap(),
            label: label.to_owned(),
            is_witness: true,
            trial: Some(run(n)),
            seen_anyway: vec!["cloth is seen and felt"],
            size: Size { width: Length::from_mm(100.0), height: Length::from_mm(100.0), thickness: None },
            longer_side_mm: 100.0,
            finished_at: day(0.1 * f64::from(10 - n)),
            inspections: vec![(day(1.0), before.clone())],
        };
        let panels = vec![panel("T9", 9), panel("T7", 7), panel("T8", 8)];
        let mut sitting = SittingModel::new(panels, 0, day(9.0));
        (0..10).for_each(|_| _ = sitting.update(&Message::NextPanel, &Keymap::default()));
        insta::assert_snapshot!("sitting-trial-100x40", drawn(&sitting, false, 100, 40));
    }

    #[test]
    fn nothing_leaves_its_place() {
        let mut sitting = boards();
        for _ in InspectionQuestion::ALL {
            for width in [1, 2, 5, 8, 13, 20, 33, 49, 50, 81] {
                for height in [1, 2, 3, 4, 5, 7, 11, 12, 19, 30] {
                    for line in drawn(&sitting, false, width, height).lines() {
                        assert!(line.width() <= usize::from(width));
                    }
                }
            }
            sitting.update(&Message::NextPanel, &Keymap::default());
        }
    }
}
