//! The page of a trial: its lots as a drawn grid, what came of each board, where the tests went, the effects with their
//! intervals.

use super::axis::{Axis, format_px};
use super::photos::{PanelPhoto, photo_figures};
use super::plots::capitalize;
use crate::text::{format_count, format_number, sanitize};
use crate::units::{Size, Stamp};
use crate::work::advice::test_map::{PlaceShape, TestPlace, map_legend, place_tests, test_number};
use maud::{Markup, html};

/// A board of the grid.
#[derive(Debug, Clone, PartialEq)]
pub struct TrialBoardCell {
    /// What is written on it: "T7".
    pub label: String,
    /// What it was given: "12 min".
    pub levels: String,
    /// How dark it is drawn, from 0: the number of its kind among the boards.
    pub kind: usize,
    /// What came of it, in a few words; empty while nobody looked.
    pub outcome: String,
    /// What stands there while nobody looked: "at work".
    pub remark: String,
    /// It cracked.
    pub is_cracked: bool,
}

/// A jar, or a strip, with its boards.
#[derive(Debug, Clone, PartialEq)]
pub struct TrialJarCell {
    /// "Pot A, 60 g/l".
    pub title: String,
    /// Its boards by their numbers.
    pub boards: Vec<TrialBoardCell>,
}

/// An effect with what else is possible.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnEffect {
    /// "glue, pencil".
    pub label: String,
    /// The change from the lowest level to the highest.
    pub effect: f64,
    /// Nine in ten; infinite where nothing is refused.
    pub interval: (f64, f64),
    /// The unit of both: "grades".
    pub unit: String,
    /// The levels it goes from and to: "from 60 g/l to 80 g/l".
    pub levels: String,
    /// How often lots drawn anew set it as far, of 1.
    pub chance: f64,
}

/// What is told of a trial.
#[derive(Debug, Clone, PartialEq)]
pub struct TrialPage {
    /// What the maker calls it.
    pub label: String,
    /// The answer, or what is still to come.
    pub answer: String,
    /// How it was drawn, a sentence each.
    pub design: Vec<String>,
    /// Jars or strips in the order of their levels.
    pub jars: Vec<TrialJarCell>,
    /// The kinds of boards, by their number.
    pub kinds: Vec<String>,
    /// The board.
    pub size: Size,
    /// The effects, those that answer first.
    pub effects: Vec<DrawnEffect>,
    /// What was laid otherwise, what is left out, what could not be blind.
    pub remarks: Vec<String>,
    /// The last photograph of each board.
    pub photos: Vec<PanelPhoto>,
}

/// A cell of the grid, px.
const CELL_WIDTH_PX: f64 = 84.0;
const CELL_HEIGHT_PX: f64 = 44.0;
/// Room between jars, and above the boards for the name of the jar.
const GAP_PX: f64 = 10.0;
const TITLE_PX: f64 = 32.0;
/// The page is so wide.
const PAGE_PX: f64 = 744.0;
/// A jar has so many boards below each other; more stand beside them.
const BOARDS_HIGH: usize = 4;

/// The part of a report that is about a trial.
pub fn trial_section(page: &TrialPage, day: &dyn Fn(Stamp) -> String) -> Markup {
    html! {
        section.panel {
            h2 { "Trial: " (sanitize(&page.label)) }
            p.lede { (sanitize(&page.answer)) }
            ul { @for line in &page.design { li { (capitalize(&sanitize(line))) } } }
            (grid_figure(page))
            @if !page.effects.is_empty() {
                h3 { "What it did" }
                p.quiet { "The point is what was found, the line what else the same test does not refuse." }
                @for effect in &page.effects { (effect_figure(effect)) }
            }
            h3 { "Where each test goes" }
            (test_map_figure(page.size))
            @if !page.remarks.is_empty() {
                h3 { "To be borne in mind" }
                ul { @for line in &page.remarks { li { (sanitize(line)) } } }
            }
            (photo_figures(&page.photos, day))
        }
    }
}

/// Where a jar is drawn: its upper left corner, and how many boards it has beside each other.
struct JarPlace {
    x: f64,
    y: f64,
    columns: usize,
}

/// Every jar from left to right, in as many rows as the page asks for; and the height of it all.
fn place_jars(jars: &[TrialJarCell]) -> (Vec<JarPlace>, f64) {
    let (mut x, mut y, mut row_height) = (0.0, 0.0, 0.0_f64);
    let mut places = Vec::new();
    for jar in jars {
        let columns = jar.boards.len().div_ceil(BOARDS_HIGH).max(1);
        let rows = jar.boards.len().min(BOARDS_HIGH);
        let width = columns as f64 * CELL_WIDTH_PX;
        if x > 0.0 && x + width > PAGE_PX {
            (x, y, row_height) = (0.0, y + row_height + GAP_PX, 0.0);
        }
        places.push(JarPlace { x, y, columns });
        x += width + GAP_PX;
        row_height = row_height.max(TITLE_PX + rows as f64 * CELL_HEIGHT_PX);
    }
    (places, y + row_height)
}

fn grid_figure(page: &TrialPage) -> Markup {
    let (places, height) = place_jars(&page.jars);
    let boards: usize = page.jars.iter().map(|jar| jar.boards.len()).sum();
    let told: Vec<String> = page
        .jars
        .iter()
        .map(|jar| {
            let boards = jar.boards.iter().map(|b| format!("{} {}", b.label, b.levels));
            format!("{}: {}", jar.title, boards.collect::<Vec<_>>().join(", "))
        })
        .collect();
    html! {
        figure {
            svg viewBox=(format!("0 0 {} {}", format_px(PAGE_PX), format_px(height + 2.0))) width=(format_px(PAGE_PX)) height=(format_px(height + 2.0)) role="img" aria-label=(sanitize(&told.join("; "))) {
                @for (jar, place) in page.jars.iter().zip(&places) { (jar_drawing(jar, place)) }
            }
            figcaption {
                "Each column is a jar with its boards, as the lots fell: " (format_count(boards, "board")) "."
                @if page.kinds.len() > 1 {
                    " The bars at the left of a board: "
                    @for (n, kind) in page.kinds.iter().enumerate() { @if n > 0 { ", " } (n + 1) " for " (sanitize(kind)) }
                    "."
                }
                " A loud frame: it cracked."
            }
        }
    }
}

fn jar_drawing(jar: &TrialJarCell, place: &JarPlace) -> Markup {
    let (name, level) = jar.title.split_once(", ").unwrap_or((&jar.title, ""));
    let rows = jar.boards.len().div_ceil(place.columns).max(1);
    html! {
        text x=(format_px(place.x + 2.0)) y=(format_px(place.y + 12.0)) font-weight="bold" { (sanitize(name)) }
        text x=(format_px(place.x + 2.0)) y=(format_px(place.y + 26.0)) { (sanitize(level)) }
        @for (n, board) in jar.boards.iter().enumerate() {
            @let x = place.x + (n / rows) as f64 * CELL_WIDTH_PX;
            @let y = place.y + TITLE_PX + (n % rows) as f64 * CELL_HEIGHT_PX;
            (board_drawing(board, x, y))
        }
    }
}

fn board_drawing(board: &TrialBoardCell, x: f64, y: f64) -> Markup {
    let words = if board.outcome.is_empty() { &board.remark } else { &board.outcome };
    html! {
        rect.fl x=(format_px(x + 1.0)) y=(format_px(y + 1.0)) width=(format_px(CELL_WIDTH_PX - 4.0)) height=(format_px(CELL_HEIGHT_PX - 4.0)) {}
        @if board.is_cracked {
            rect.ck x=(format_px(x + 1.0)) y=(format_px(y + 1.0)) width=(format_px(CELL_WIDTH_PX - 4.0)) height=(format_px(CELL_HEIGHT_PX - 4.0)) {}
        }
        @for bar in 0..=board.kind {
            rect.mk x=(format_px(x + 4.0 + 5.0 * bar as f64)) y=(format_px(y + 5.0)) width="3" height=(format_px(CELL_HEIGHT_PX - 12.0)) {}
        }
        @let from = x + 9.0 + 5.0 * (board.kind + 1) as f64;
        text x=(format_px(from)) y=(format_px(y + 15.0)) font-weight="bold" { (sanitize(&board.label)) }
        @if !board.levels.is_empty() { text x=(format_px(from + 28.0)) y=(format_px(y + 15.0)) { (clip(&sanitize(&board.levels), 7)) } }
        text x=(format_px(from)) y=(format_px(y + 32.0)) { (clip(&sanitize(words), 10)) }
    }
}

/// As much as fits; the table of panels has the whole.
fn clip(words: &str, most: usize) -> String {
    if words.chars().count() <= most {
        return words.to_owned();
    }
    words.chars().take(most.saturating_sub(1)).chain(['…']).collect()
}

/// An effect on a scale of its own with nought on it, and what else is possible as a line.
fn effect_figure(effect: &DrawnEffect) -> Markup {
    let (low, high) = effect.interval;
    let ends = [low, high, effect.effect, 0.0].into_iter().filter(|v| v.is_finite());
    let (least, most) = ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| (a.min(v), b.max(v)));
    let axis = Axis::over(least, most, 20.0, 620.0);
    let ends = axis.ticks();
    let within = |v: f64, otherwise: Option<&(f64, String)>| {
        axis.px(if v.is_finite() { v } else { otherwise.map_or(0.0, |tick| tick.0) })
    };
    let (from, to) = (within(low, ends.first()), within(high, ends.last()));
    let range = if low.is_finite() && high.is_finite() {
        format!("9 in 10: {} to {}", format_number(low, 2), format_number(high, 2))
    } else {
        "no bound can be told".to_owned()
    };
    html! {
        figure {
            svg viewBox="0 0 660 62" width="660" height="62" role="img" aria-label=(format!("{}: {} {}, {range}", sanitize(&effect.label), format_number(effect.effect, 2), effect.unit)) {
                text x="20" y="12" { (sanitize(&effect.label)) }
                path.gr d=(format!("M{} 16V38", format_px(axis.px(0.0)))) {}
                path.mkl d=(format!("M{} 27H{}", format_px(from), format_px(to))) {}
                circle.in cx=(format_px(axis.px(effect.effect))) cy="27" r="5" {}
                (axis.horizontal(40.0, &effect.unit))
            }
            figcaption { (capitalize(&effect.levels)) ": " (format_number(effect.effect, 2)) (sanitize(&effect.unit)) " (" (range) "); drawing the lots anew does as much in " (format_number((effect.chance * 100.0).max(1.0), 0)) " of 100." }
        }
    }
}

/// The board from above, each test at its place.
pub fn test_map_figure(size: Size) -> Markup {
    let (width, height) = (size.width.mm(), size.height.mm());
    let scale = (440.0 / width).min(260.0 / height);
    let places = place_tests(size);
    let legend = map_legend(size).join(", ");
    html! {
        figure {
            svg viewBox=(format!("0 0 {} {}", format_px(width * scale + 2.0), format_px(height * scale + 2.0))) width=(format_px(width * scale + 2.0)) height=(format_px(height * scale + 2.0)) role="img" aria-label=(format!("A board from above: {legend}")) {
                rect.wd x="1" y="1" width=(format_px(width * scale)) height=(format_px(height * scale)) {}
                rect.fl x="4" y="4" width=(format_px(width * scale - 6.0)) height=(format_px(height * scale - 6.0)) {}
                @for place in &places { (place_drawing(place, scale)) }
            }
            figcaption { (legend) ". In this order; pencil and cross at 45 degrees to the grain." }
        }
    }
}

fn place_drawing(place: &TestPlace, scale: f64) -> Markup {
    let px = |mm: f64| format_px(mm * scale);
    let (x, y) = (place.x_mm * scale, place.y_mm * scale);
    // No mark is longer than its place is high, so that a slant is 45 degrees.
    let half = place.width_mm.min(place.height_mm) * scale * 0.45;
    let slant = |turn: f64| {
        format!(
            "M{} {}L{} {}",
            format_px(x - half),
            format_px(y + half * turn),
            format_px(x + half),
            format_px(y - half * turn)
        )
    };
    html! {
        @match place.shape {
            PlaceShape::Spot => circle.st cx=(format_px(x)) cy=(format_px(y)) r=(format_px(half)) fill="none" {},
            PlaceShape::Stroke | PlaceShape::Tape | PlaceShape::Span => rect.st x=(px(place.x_mm - place.width_mm / 2.0)) y=(format_px(y - half)) width=(px(place.width_mm)) height=(format_px(2.0 * half)) fill="none" {},
            PlaceShape::Slant => path.co d=(slant(1.0)) {},
            PlaceShape::Cross => path.co d=(format!("{}{}", slant(1.0), slant(-1.0))) {},
        }
        text x=(format_px(x - (place.width_mm / 2.0) * scale + 2.0)) y=(format_px(y + 4.0)) { (test_number(place.test)) }
    }
}
