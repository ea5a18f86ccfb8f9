//! Two sides held against each other: a row of dots for each, on one scale with figures.

use super::answer::answer_fields;
use super::axis::{Axis, Dot, format_px, place_dots};
use crate::review::column::{Column, ComparedAs, ComparedColumn, Read};
use crate::review::columns::compared_columns;
use crate::review::compare::Comparison;
use crate::review::panel_row::PanelRow;
use crate::text::{format_count, sanitize};
use crate::units::Id;
use maud::{Markup, html};
use std::collections::BTreeMap;

/// Further plots of the fields in which the sides differ, beside the one at the top.
const MORE_PLOTS: usize = 3;

/// What one dot stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DotUnit {
    /// A pot: the mean of its panels on that side.
    Pot,
    /// A panel.
    Panel,
}

/// The fields told in figures in which the sides differ, in the order of the comparison. What is compared at equal age is
/// another thing for each comparison, and has no one figure to draw.
fn drawn_fields(c: &Comparison) -> impl Iterator<Item = (&'static Column, &'static ComparedColumn)> {
    let column = |name: &str| {
        compared_columns().find(|(column, compared)| {
            column.name == name && column.is_number() && compared.as_what != ComparedAs::ResultAtEqualAge
        })
    };
    let fields: Vec<_> = answer_fields(c).into_iter().filter_map(column).collect();
    fields.into_iter()
}

/// The one picture that shows the answer: each pot a dot, the sides one above the other, the field across.
pub fn answer_plot(c: &Comparison) -> Option<Markup> {
    drawn_fields(c).find_map(|(column, compared)| sides_figure(c, column, compared, DotUnit::Pot))
}

/// The fields behind the first, a dot for each panel.
pub fn further_plots(c: &Comparison) -> Markup {
    let is_first = |field: &(&Column, &ComparedColumn)| sides_figure(c, field.0, field.1, DotUnit::Pot).is_none();
    let figures = drawn_fields(c).skip_while(is_first).skip(1);
    let figures: Vec<Markup> = figures
        .filter_map(|(column, compared)| sides_figure(c, column, compared, DotUnit::Panel))
        .take(MORE_PLOTS)
        .collect();
    html! { @for figure in figures { (figure) } }
}

/// The values of one side, each with how many panels it stands for.
fn side_values(c: &Comparison, column: &Column, first: bool, unit: DotUnit) -> Vec<(f64, usize)> {
    let mut values: BTreeMap<&str, Vec<f64>> = BTreeMap::new();
    for row in c.panels.iter().filter(|row| c.is_in_first_group(row) == Some(first)) {
        let key = match unit {
            DotUnit::Pot => main_pot(row).unwrap_or(&row.story.id),
            DotUnit::Panel => &row.story.id,
        };
        if let Some(value) = column.number(row).filter(|v| v.is_finite()) {
            values.entry(key.as_str()).or_default().push(value);
        }
    }
    values.into_values().map(|of| (of.iter().sum::<f64>() / of.len() as f64, of.len())).collect()
}

/// The pot of gesso most of its coats came from; of several the first.
fn main_pot(row: &PanelRow) -> Option<&Id> {
    let mut counts: BTreeMap<&Id, usize> = BTreeMap::new();
    for used in row.story.pot_uses.iter().filter(|used| used.gesso) {
        *counts.entry(&used.pot).or_default() += 1;
    }
    counts.into_iter().rev().max_by_key(|(_, n)| *n).map(|(pot, _)| pot)
}

const LEFT_PX: f64 = 20.0;
const RIGHT_PX: f64 = 640.0;
const ROW_LABEL_PX: f64 = 18.0;

/// Both sides on one scale; nothing where all values are equal, or a side has none.
fn sides_figure(c: &Comparison, column: &Column, compared: &ComparedColumn, unit: DotUnit) -> Option<Markup> {
    let b = c.contrast.as_ref()?;
    let sides = [true, false].map(|first| side_values(c, column, first, unit));
    let all = || sides.iter().flatten().map(|(value, _)| *value);
    let (low, high) = (all().fold(f64::INFINITY, f64::min), all().fold(f64::NEG_INFINITY, f64::max));
    // Values a rounding apart are equal.
    if sides.iter().any(Vec::is_empty) || high - low <= 1e-9 * high.abs().max(low.abs()) {
        return None;
    }
    let axis = match column.read {
        Read::Count(_) | Read::CountIfKnown(_) | Read::Grade(_) | Read::Flag(_) | Read::FlagIfKnown(_) => {
            Axis::over_counts(low, high, LEFT_PX, RIGHT_PX)
        }
        Read::Figure(_) | Read::Text(_) | Read::Word(_) | Read::Ids(_) | Read::Phrase(_) | Read::Time(_) => {
            Axis::over(low, high, LEFT_PX, RIGHT_PX)
        }
    };
    let dot = |(value, n): &(f64, usize)| Dot { value: *value, radius_px: (3.5 * (*n as f64).sqrt()).min(9.0) };
    let rows = sides.each_ref().map(|values| place_dots(&values.iter().map(dot).collect::<Vec<_>>(), &axis));
    let names = [sanitize(&b.name_a), sanitize(&b.name_b)];
    let mut floor = 0.0;
    let floors = rows.each_ref().map(|row| {
        floor += ROW_LABEL_PX + row.height_px;
        floor
    });
    let high = floor + 36.0;
    let what = match unit {
        DotUnit::Pot => {
            "A dot is a pot, the larger the more panels; a panel whose pot nobody recorded stands for itself"
        }
        DotUnit::Panel => "A dot is a panel",
    };
    let label = capitalize(compared.label);
    let count = |values: &[(f64, usize)]| format_count(values.iter().map(|(_, n)| n).sum::<usize>(), "panel");
    let message = format!("{label}: {} {}, {} {}.", count(&sides[0]), names[0], count(&sides[1]), names[1]);
    Some(html! {
        figure {
            svg viewBox=(format!("0 0 660 {}", format_px(high))) width="660" height=(format_px(high)) role="img" aria-label=(message) {
                @for (i, row) in rows.iter().enumerate() {
                    text x=(format_px(LEFT_PX)) y=(format_px(floors[i] - row.height_px - 5.0)) { (names[i]) }
                    @for (x, up, r) in &row.dots {
                        @let y = floors[i] - up;
                        @if i == 0 { rect.in x=(format_px(x - r)) y=(format_px(y - r)) width=(format_px(2.0 * r)) height=(format_px(2.0 * r)) {} }
                        @else { circle.mk cx=(format_px(*x)) cy=(format_px(y)) r=(format_px(*r)) {} }
                    }
                    @for (x, n) in &row.more { text x=(format_px(*x)) y=(format_px(floors[i] - row.height_px - 5.0)) text-anchor="middle" { "+" (n) } }
                }
                (axis.horizontal(floor + 6.0, compared.unit))
            }
            figcaption { (message) " " (what) "; squares are the first, circles the second." }
        }
    })
}

/// With a capital at its beginning.
pub fn capitalize(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
