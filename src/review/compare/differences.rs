//! Where two groups differ, field by field, and how often chance alone would set them as far apart; without two groups,
//! from the lowest to the highest.
//!
//! Fields have nothing to do with each other, so they are gone through on every core. Which panels are on which side
//! is for `two_groups`, which are one observation for `observation_units`.

use super::super::attributes::join_labels;
use super::super::column::{CauseUnit, Column, ComparedAs, ComparedColumn};
use super::super::columns::compared_columns;
use super::super::panel_row::PanelRow;
use super::groups::count_distinct_pots;
use super::observation_units::ObservationUnits;
use super::sentences::{format_median_range, format_p_value};
use super::two_groups::{TwoGroups, had_cracked_by, split_by_outcome};
use crate::stats::median;
use crate::stats::permutation::{self, MIN_GROUP_SIZE, SAMPLE_COUNT, permutation_test};
use crate::text::format_number;
use rayon::prelude::*;
use std::collections::BTreeMap;

/// A figure or a word.
#[derive(Debug, Clone, PartialEq)]
pub enum GroupValue {
    /// A median.
    Number(f64),
    /// Words, with how many panels each.
    Words(String),
    /// Nobody knows.
    Unknown,
}

/// One field in which two groups differ.
#[derive(Debug, Clone, PartialEq)]
pub struct Difference {
    /// Its name, as in the table.
    pub field: &'static str,
    /// The first group.
    pub value_a: GroupValue,
    /// The second group.
    pub value_b: GroupValue,
    /// How often chance alone would set them as far apart; nothing where that cannot be said.
    pub p_value: Option<f64>,
    /// From how many pots the first group's values come.
    pub pots_a: usize,
    /// From how many pots the second group's values come.
    pub pots_b: usize,
    /// All of it in a sentence.
    pub text: String,
    /// Where it was asked what goes with a fault: over what, and how clearly.
    pub test: Option<CauseTest>,
}

/// How a column was held against a fault.
#[derive(Debug, Clone, PartialEq)]
pub struct CauseTest {
    /// What changed places.
    pub unit: CauseUnit,
    /// The difference of the means of panels with and without the fault; of words, of the share that has the word.
    pub effect: Option<f64>,
    /// Its interval at 95 of 100, by the spread over all orders.
    pub low: Option<f64>,
    /// The upper end.
    pub high: Option<f64>,
    /// How often chance alone shows any told column as clear; of told ones only.
    pub p_family: Option<f64>,
    /// The least chance these numbers can give.
    pub p_least: Option<f64>,
    /// Every order was gone through.
    pub is_exact: bool,
    /// It is of the told family.
    pub is_told: bool,
    /// What it is called in a narrow table, with its unit or its word.
    pub label: String,
    /// The first side in few words.
    pub short_a: String,
    /// The second.
    pub short_b: String,
    /// Of how many units.
    pub over: String,
    /// The columns it goes together with, so that the records cannot part them.
    pub goes_with: Vec<&'static str>,
}

pub(super) fn find_differences(sides: &TwoGroups<'_>, units: &ObservationUnits) -> Vec<Difference> {
    let words = compared_columns().filter(|(column, _)| !column.is_number());
    let words = words.filter_map(|(column, compared)| word_difference(column, compared, sides));
    let numbers: Vec<_> = compared_columns().filter(|(column, _)| column.is_number()).collect();
    let figures = numbers.par_iter().filter_map(|(column, compared)| match compared.as_what {
        ComparedAs::Cause => figure_difference(column, compared, &|row| column.number(row), sides, units),
        // Results are what outcome groups are made of, so they are compared only where something else made them.
        ComparedAs::Result if sides.day.is_none() => {
            figure_difference(column, compared, &|row| column.number(row), sides, units)
        }
        ComparedAs::Result | ComparedAs::ResultAtEqualAge => None,
    });
    let mut figures: Vec<Difference> = figures.collect();
    let at_equal_age = numbers.iter().filter(|(_, compared)| compared.as_what == ComparedAs::ResultAtEqualAge);
    figures.extend(at_equal_age.filter_map(|(column, compared)| crack_difference(column, compared, sides, units)));
    figures.sort_by(|x, y| x.p_value.unwrap_or(2.0).total_cmp(&y.p_value.unwrap_or(2.0)));
    words.chain(figures).collect()
}

fn word_difference(column: &Column, compared: &ComparedColumn, sides: &TwoGroups<'_>) -> Option<Difference> {
    let tally = |side: &[&PanelRow]| {
        let mut counts: BTreeMap<String, usize> = BTreeMap::new();
        for word in side.iter().filter_map(|row| column.words(row)) {
            *counts.entry(word).or_default() += 1;
        }
        counts
    };
    let (a, b) = (tally(&sides.a), tally(&sides.b));
    if a.keys().eq(b.keys()) && a.len() == 1 {
        return None;
    }
    let told = |of: &BTreeMap<String, usize>| {
        let more = of.len().saturating_sub(6);
        let named: Vec<String> = of.iter().take(6).map(|(word, n)| format!("{word} {n}")).collect();
        match more {
            0 => named.join(", "),
            1 => format!("{} and 1 other", named.join(", ")),
            _ => format!("{} and {more} others", named.join(", ")),
        }
    };
    let (a, b) = (told(&a), told(&b));
    if a == b {
        return None;
    }
    Some(Difference {
        field: column.name,
        text: format!("{}: {a} among those {}; {b} among those {}", compared.label, sides.labels.0, sides.labels.1),
        value_a: GroupValue::Words(a),
        value_b: GroupValue::Words(b),
        p_value: None,
        pots_a: count_distinct_pots(sides.a.iter().copied()),
        pots_b: count_distinct_pots(sides.b.iter().copied()),
        test: None,
    })
}

/// How many of each side had cracked, at the age at which most is known.
fn crack_difference(
    column: &Column,
    compared: &ComparedColumn,
    sides: &TwoGroups<'_>,
    units: &ObservationUnits,
) -> Option<Difference> {
    if sides.day.is_some() {
        return None;
    }
    let panels: Vec<&PanelRow> = sides.a.iter().chain(&sides.b).copied().collect();
    let day = split_by_outcome(&panels)?.day?;
    let cracked = move |row: &PanelRow| had_cracked_by(row, day).map(|c| f64::from(u8::from(c)));
    figure_difference(column, compared, &cracked, sides, units)
}

fn figure_difference(
    column: &Column,
    compared: &ComparedColumn,
    of: &dyn Fn(&PanelRow) -> Option<f64>,
    sides: &TwoGroups<'_>,
    units: &ObservationUnits,
) -> Option<Difference> {
    let having = |side: &[&PanelRow]| side.iter().filter_map(|row| of(row)).collect::<Vec<f64>>();
    let (a, b) = (having(&sides.a), having(&sides.b));
    let (mut all_a, mut all_b) = (a.clone(), b.clone());
    all_a.sort_by(f64::total_cmp);
    all_b.sort_by(f64::total_cmp);
    let like = |of: fn(&[f64]) -> Option<f64>| of(&all_a) == of(&all_b);
    // What is known of one side only is no difference.
    if a.is_empty() || b.is_empty() {
        return None;
    }
    if like(|v| v.first().copied()) && like(|v| v.last().copied()) && like(median) && like(permutation::mean) {
        return None;
    }
    let of_units = |from: usize, side: &[&PanelRow]| units.unit_means(from, side, of);
    let (ua, ub) = (of_units(0, &sides.a), of_units(sides.a.len(), &sides.b));
    let enough = ua.len() >= MIN_GROUP_SIZE && ub.len() >= MIN_GROUP_SIZE;
    let tested =
        if enough { permutation_test(&ua, &ub, compared.statistic, seed_from_name(column.name)) } else { None };
    let with = |side: &[&PanelRow]| count_distinct_pots(side.iter().copied().filter(|row| of(row).is_some()));
    let what = if units.has_shared_pots { "pots" } else { "panels" };
    let chance = match tested {
        Some(t) => {
            let manner = match t.is_exact {
                true => "every way to deal them out".to_owned(),
                false => format!("{SAMPLE_COUNT} ways drawn"),
            };
            format!("chance {}, over {} against {} {what}, {manner}", format_p_value(t.p_value), ua.len(), ub.len())
        }
        None => format!("too few to say ({} against {} {what})", ua.len(), ub.len()),
    };
    let number = |v: Option<f64>| v.map_or(GroupValue::Unknown, GroupValue::Number);
    Some(Difference {
        field: column.name,
        text: format!(
            "{}: {} against {}; {chance}",
            compared.label,
            format_median_range(&all_a, compared.unit),
            format_median_range(&all_b, compared.unit)
        ),
        value_a: number(median(&a)),
        value_b: number(median(&b)),
        p_value: tested.map(|t| t.p_value),
        pots_a: with(&sides.a),
        pots_b: with(&sides.b),
        test: None,
    })
}

/// The same field is always drawn from the same seed.
fn seed_from_name(name: &str) -> u64 {
    name.bytes().fold(0xcbf2_9ce4_8422_2325, |h, b| (h ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3))
}

/// Without two groups: each field in which the panels differ, from the lowest to the highest.
pub(super) fn find_ranges(panels: &[PanelRow]) -> Vec<Difference> {
    let of = |(column, compared): (&'static Column, &'static ComparedColumn)| {
        let known: Vec<(f64, &PanelRow)> = panels.iter().filter_map(|row| Some((column.number(row)?, row))).collect();
        let by_figure = |x: &&(f64, &PanelRow), y: &&(f64, &PanelRow)| x.0.total_cmp(&y.0);
        let ((a, low), (b, high)) = (*known.iter().min_by(by_figure)?, *known.iter().max_by(by_figure)?);
        let named = |row: &PanelRow| join_labels(std::iter::once(row.story.label.as_str()));
        let unit = compared.unit;
        (a != b).then(|| Difference {
            field: column.name,
            text: format!(
                "{}: from {}{unit} ({}) to {}{unit} ({})",
                compared.label,
                format_number(a, 2),
                named(low),
                format_number(b, 2),
                named(high)
            ),
            value_a: GroupValue::Number(a),
            value_b: GroupValue::Number(b),
            p_value: None,
            pots_a: count_distinct_pots(std::iter::once(low)),
            pots_b: count_distinct_pots(std::iter::once(high)),
            test: None,
        })
    };
    let one_figure = |(column, compared): &(&Column, &ComparedColumn)| match compared.as_what {
        ComparedAs::Cause | ComparedAs::Result => column.is_number(),
        ComparedAs::ResultAtEqualAge => false,
    };
    compared_columns().filter(one_figure).filter_map(of).collect()
}

/// The more is tested, the more will look remarkable by chance.
pub(super) fn multiple_testing_remark(differs: &[Difference]) -> Option<String> {
    let tested = differs.iter().filter(|d| d.p_value.is_some()).count();
    (tested > 1).then(|| {
        format!(
            "{tested} things were tested: of so many, {} would come to a chance of 0.05 or less by luck alone.",
            format_number(tested as f64 * 0.05, 1)
        )
    })
}
