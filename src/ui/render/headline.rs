//! Which board and what to do with it, in block letters along the upper edge; what is asked stands in their place.
//!
//! A wait stands plain. What is due, or must not be done unasked, stands inside out in a bar over the whole width, so that
//! the two are told apart without reading.

use super::alphabet::{LetterSize, Stretch};
use super::bench_parts::{self, is_reversed, join_nonempty};
use super::canvas::{Canvas, inside_margins, skip_columns, skip_rows, take_last_rows, take_rows};
use super::letters::{draw_letters_from, split_in_half};
use crate::app::bench_view_model::BenchViewModel;
use crate::ui::theme::Ink;
use ratatui::layout::Rect;

/// The room and the sizes a headline may take.
#[derive(Debug, Clone, Copy)]
pub(super) struct HeadlineLimits {
    /// Columns between the margins.
    pub columns: u16,
    /// Rows where only the smallest letters are taken.
    pub rows: u16,
    /// Rows where larger ones are.
    pub rows_enlarged: u16,
    /// Half rows of a dot.
    pub most: u16,
    /// How far letters are drawn out.
    pub stretch: Stretch,
    /// The act in its few capitals, or in whole words where there is no name before it.
    pub is_brief: bool,
}

/// The headline as it is to be drawn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Headline {
    lines: Vec<String>,
    /// None: in capitals of the size of all text.
    pub size: Option<LetterSize>,
    /// What there were no rows for in block letters; it stands under them in capitals.
    tail: String,
    /// Whether the letters tell the whole act.
    is_whole: bool,
    /// Rows of the bar that holds the letters, without the line under it.
    letter_rows: u16,
    explanation_rows: u16,
}

/// The act in block letters.
pub(super) fn format_block_act(bench: &BenchViewModel, is_brief: bool) -> String {
    let is_brief = is_brief || !bench.block_name.is_empty();
    if is_brief && !bench.act.block.is_empty() {
        bench.act.block.to_uppercase()
    } else {
        bench_parts::format_act_large(&bench.act)
    }
}

/// A way to break the headline into lines.
struct LineBreak {
    lines: Vec<String>,
    /// Dots of the widest line; none if a sign is not in the alphabet.
    dots: Option<u16>,
    tail: String,
    /// Whether it tells the whole act.
    is_whole: bool,
}

impl LineBreak {
    fn new(lines: Vec<String>, is_whole: bool) -> LineBreak {
        let widths: Option<Vec<u16>> = lines.iter().map(|line| LetterSize::square(1).width(line)).collect();
        LineBreak { dots: widths.and_then(|widths| widths.into_iter().max()), lines, tail: String::new(), is_whole }
    }

    /// The first of two lines in block letters, the other under it in capitals.
    fn with_tail(lines: &[String]) -> Option<LineBreak> {
        let [first, second] = lines else { return None };
        Some(LineBreak { tail: second.clone(), ..LineBreak::new(vec![first.clone()], true) })
    }
}

/// The ways to break the headline into lines, the best first; then those that are taken only where none of these goes.
fn list_breaks(bench: &BenchViewModel, is_brief: bool) -> [Vec<LineBreak>; 2] {
    let whole = |lines: Vec<String>| LineBreak::new(lines, true);
    if let Some(card) = &bench.block_card {
        let split = match card.lines.as_slice() {
            [only] => split_in_half(only),
            lines => Some(vec![lines.join("  ")]),
        };
        let breaks = std::iter::once(card.lines.clone()).chain(split).map(whole).collect();
        return [breaks, LineBreak::with_tail(&card.lines).into_iter().collect()];
    }
    let act = format_block_act(bench, is_brief);
    if !bench.block_name.is_empty() {
        let two = vec![bench.block_name.clone(), act];
        let last = LineBreak::with_tail(&two).into_iter().collect();
        return [vec![whole(vec![two.join(" ")]), whole(two)], last];
    }
    let halves = |text: &str, is_whole| split_in_half(text).map(|lines| LineBreak::new(lines, is_whole));
    let shorter = [", ", " AND ", " WITH "].into_iter().filter_map(|at| Some(act.split_once(at)?.0));
    let shorter = shorter
        .flat_map(|text| std::iter::once(LineBreak::new(vec![text.to_owned()], false)).chain(halves(text, false)));
    let last = shorter.collect();
    // In few capitals where that makes the letters larger.
    let brief = Some(format_block_act(bench, true)).filter(|brief| *brief != act).map(|brief| whole(vec![brief]));
    [std::iter::once(whole(vec![act.clone()])).chain(halves(&act, true)).chain(brief).collect(), last]
}

/// Half rows between two lines.
const fn gap(size: LetterSize, ascii: bool) -> u16 {
    if ascii { 2 } else { size.half_rows }
}

/// Rows of so many lines with half a row above them.
fn count_letter_rows(lines: &[String], size: LetterSize, ascii: bool) -> u16 {
    let n = u16::try_from(lines.len()).unwrap_or(u16::MAX);
    let letters = n.saturating_mul(size.letter_half_rows() + gap(size, ascii)).saturating_sub(gap(size, ascii));
    (letters + u16::from(!ascii)).div_ceil(2)
}

impl Headline {
    /// The headline in the largest letters that keep to `limits`.
    pub fn plan(canvas: &Canvas<'_>, bench: &BenchViewModel, limits: HeadlineLimits) -> Headline {
        let ascii = canvas.is_ascii();
        let explained = bench.block_card.as_ref().map_or("", |card| card.explanation.as_str());
        let explanation_rows = if explained.is_empty() { 0 } else { canvas.wrapped_height(explained, limits.columns) };
        let sizes = LetterSize::descending(limits.most, limits.stretch, ascii);
        let lowest = sizes.last().map_or(1, |size| size.half_rows);
        let count_rows =
            |set: &LineBreak, size| count_letter_rows(&set.lines, size, ascii) + u16::from(!set.tail.is_empty());
        let fits = |set: &LineBreak, size: LetterSize| {
            let room = if size.half_rows == lowest { limits.rows } else { limits.rows_enlarged };
            let rows = count_rows(set, size).saturating_add(1 + explanation_rows);
            rows <= room && set.dots.is_some_and(|dots| dots.saturating_mul(size.columns) <= limits.columns)
        };
        // Of one height the fewest lines, then the widest letters.
        for breaks in list_breaks(bench, limits.is_brief) {
            for of_a_height in sizes.chunk_by(|a, b| a.half_rows == b.half_rows) {
                let found = breaks.iter().find_map(|set| {
                    let size = of_a_height.iter().find(|size| fits(set, **size))?;
                    Some((set, *size))
                });
                if let Some((set, size)) = found {
                    return Headline {
                        lines: set.lines.clone(),
                        size: Some(size),
                        tail: set.tail.clone(),
                        is_whole: set.is_whole,
                        letter_rows: count_rows(set, size),
                        explanation_rows,
                    };
                }
            }
        }
        let words = format_headline_words(bench);
        let letter_rows = canvas.wrapped_height(&words, limits.columns).min(limits.rows).max(1);
        let (lines, tail) = (vec![words], String::new());
        Headline { lines, size: None, tail, is_whole: true, letter_rows, explanation_rows }
    }

    /// The rows it takes.
    pub fn rows(&self) -> u16 {
        self.letter_rows + 1 + self.explanation_rows
    }

    /// Draws it along the upper edge of `area`, which is the whole width; tells what of the act there was no room to say.
    pub fn render(&self, canvas: &mut Canvas<'_>, area: Rect, bench: &BenchViewModel) -> String {
        let bar = take_rows(area, self.letter_rows);
        let reversed = is_reversed(bench);
        if reversed {
            canvas.fill(bar, ' ', Ink::Alert);
        }
        let inner = inside_margins(bar);
        let ink = if reversed { Ink::Alert } else { Ink::Strong };
        let unsaid = match self.size {
            Some(size) => {
                self.draw_lines(canvas, inner, size, ink);
                self.render_beside(canvas, inner, size, bench, reversed)
            }
            None => {
                canvas.draw_wrapped(inner, &self.lines.join(" "), ink);
                join_nonempty(&[bench_parts::face_phrase(&bench.act), &bench.act.how], ", ")
            }
        };
        bench_parts::render_bar(canvas, skip_rows(area, self.letter_rows), bench);
        if let Some(card) = &bench.block_card {
            let under = take_rows(skip_rows(area, self.letter_rows + 1), self.explanation_rows);
            let under = Rect { x: inner.x, width: inner.width, ..under };
            canvas.draw_wrapped(under, &card.explanation, Ink::Strong);
            return String::new();
        }
        unsaid
    }

    fn draw_lines(&self, canvas: &mut Canvas<'_>, area: Rect, size: LetterSize, ink: Ink) {
        let mut from = u16::from(!canvas.is_ascii());
        for line in &self.lines {
            draw_letters_from(canvas, (area.x, area.y), from, line, size, ink);
            from += size.letter_half_rows() + gap(size, canvas.is_ascii());
        }
        canvas.draw_text(take_last_rows(area, 1), &self.tail, ink);
    }

    /// Of how many, on which face and how, beside the letters; tells what there was no room to say.
    fn render_beside(
        &self,
        canvas: &mut Canvas<'_>,
        area: Rect,
        size: LetterSize,
        bench: &BenchViewModel,
        reversed: bool,
    ) -> String {
        if bench.block_card.is_some() {
            return String::new();
        }
        let act = &bench.act;
        let wide = self.lines.iter().filter_map(|line| size.width(line)).max().unwrap_or(0);
        let letters = take_rows(area, area.height.saturating_sub(u16::from(!self.tail.is_empty())));
        let beside = skip_columns(letters, wide.saturating_add(3));
        let (strong, plain) = if reversed { (Ink::Alert, Ink::Alert) } else { (Ink::Strong, Ink::Text) };
        let told = join_nonempty(&[&self.lines.join(" "), &self.tail], " ");
        let tells_object = self.is_whole && told.ends_with(&act.object.to_uppercase());
        let of = join_nonempty(&[&act.total, bench_parts::face_phrase(act)], ", ");
        let whole = join_nonempty(&[&bench_parts::format_act(act), bench_parts::face_phrase(act)], ", ");
        let first = if tells_object { of } else { whole };
        let need = canvas.wrapped_height(&first, beside.width);
        if beside.width < 12 || need > beside.height {
            let unsaid = if tells_object { "" } else { first.as_str() };
            return join_nonempty(&[unsaid, &act.how], ": ");
        }
        let how = canvas.wrapped_height(&act.how, beside.width);
        let room = beside.height.saturating_sub(need);
        let both = if how <= room { need + how } else { need };
        let beside = skip_rows(beside, (beside.height - both) / 2);
        canvas.draw_wrapped(take_rows(beside, need), &first, strong);
        if how > room {
            return act.how.clone();
        }
        canvas.draw_wrapped(take_rows(skip_rows(beside, need), how), &act.how, plain);
        String::new()
    }
}

/// The headline in capitals of the size of all text.
pub(super) fn format_headline_words(bench: &BenchViewModel) -> String {
    match &bench.block_card {
        Some(card) => card.lines.join(" "),
        None => join_nonempty(&[&bench.block_name, &bench_parts::format_act(&bench.act).to_uppercase()], " "),
    }
}

/// The largest letters for the direction in so many columns and rows.
pub(super) fn fit_direction(
    canvas: &Canvas<'_>,
    bench: &BenchViewModel,
    (columns, rows): (u16, u16),
    most: u16,
    stretch: Stretch,
) -> Option<LetterSize> {
    let name = bench.act.direction?.name().to_uppercase();
    LetterSize::largest_fitting(&name, columns, rows, most, stretch, canvas.is_ascii())
}

/// The direction in block letters and beside them what it is by the panel's shape; tells how many rows it took.
pub(super) fn render_direction_large(
    canvas: &mut Canvas<'_>,
    area: Rect,
    bench: &BenchViewModel,
    size: LetterSize,
) -> u16 {
    let Some(direction) = bench.act.direction else { return 0 };
    let name = direction.name().to_uppercase();
    draw_letters_from(canvas, (area.x, area.y), 0, &name, size, Ink::Strong);
    let wide = size.width(&name).unwrap_or(0);
    let words = skip_columns(take_rows(area, size.rows()), wide.saturating_add(3));
    let need = canvas.wrapped_height(&bench.act.orientation, words.width);
    if need <= words.height && words.width >= 12 {
        canvas.draw_wrapped(skip_rows(words, (words.height - need) / 2), &bench.act.orientation, Ink::Text);
    }
    size.rows()
}
