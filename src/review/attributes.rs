//! What was done on panels, in words: in what they differ before anything is measured, and in what they do not.

use super::column::{Column, WorkDescription};
use super::columns::work_columns;
use super::panel_row::PanelRow;
use crate::text::sanitize;

/// At most this many panels are named; the others are counted.
const MAX_LABELS: usize = 5;

/// Labels in a row: "Wren, Robin and 12 more".
pub fn join_labels<'a>(labels: impl Iterator<Item = &'a str>) -> String {
    let labels: Vec<&str> = labels.collect();
    let more = labels.len().saturating_sub(MAX_LABELS);
    let named: Vec<String> = labels.iter().take(MAX_LABELS).map(|l| sanitize(l)).collect();
    match more {
        0 => named.join(", "),
        more => format!("{} and {more} more", named.join(", ")),
    }
}

/// Where what was done on those panels differs: each a sentence that names what was done and on which panels, the
/// commonest first. More than six kinds of one thing are counted instead.
pub fn describe_differences(panels: &[PanelRow]) -> Vec<String> {
    work_columns().into_iter().filter_map(|(column, work)| describe_difference(column, work, panels)).collect()
}

/// What was alike on all of them, in one sentence; nothing of fewer than two.
pub fn describe_similarities(panels: &[PanelRow]) -> Option<String> {
    let first = panels.first().filter(|_| panels.len() > 1)?;
    let described = work_columns().into_iter().map(|(column, work)| (column, work, column.describe(work, first)));
    let same = described.filter(|(column, work, text)| panels.iter().all(|row| column.describe(work, row) == *text));
    let same: Vec<String> = same.map(|(_, work, text)| format!("{} {text}", work.name)).collect();
    (!same.is_empty()).then(|| format!("The same on all: {}.", same.join("; ")))
}

fn describe_difference(column: &Column, work: &WorkDescription, panels: &[PanelRow]) -> Option<String> {
    let mut kinds: Vec<(String, Vec<&str>)> = Vec::new();
    let mut places = std::collections::HashMap::new();
    for row in panels {
        let text = column.describe(work, row);
        let at = *places.entry(text.clone()).or_insert_with(|| {
            kinds.push((text, Vec::new()));
            kinds.len() - 1
        });
        if let Some((_, labels)) = kinds.get_mut(at) {
            labels.push(&row.story.label);
        }
    }
    if kinds.len() < 2 {
        return None;
    }
    kinds.sort_by_key(|(_, labels)| std::cmp::Reverse(labels.len()));
    let named = kinds.iter().take(6).map(|(text, labels)| format!("{text} ({})", join_labels(labels.iter().copied())));
    let named = named.collect::<Vec<_>>().join("; ");
    let more = match kinds.len().saturating_sub(6) {
        0 => String::new(),
        1 => "; 1 other".to_owned(),
        more => format!("; {more} others"),
    };
    Some(format!("{}: {named}{more}", work.name))
}
