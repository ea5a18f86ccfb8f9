//! What was done on a panel, in words: the ways in which panels can differ before anything is measured.
//!
//! Absent on purpose: figures that want a median (`compare`), what any of it means.

use super::panel_row::PanelRow;
use crate::text::{format_number, sanitize};

/// One way in which panels can differ.
#[derive(Debug, Clone, Copy)]
pub struct PanelAttribute {
    /// What it is called: "recipe", "coats on the back".
    pub name: &'static str,
    /// How it was on a panel, in words that fit behind the name.
    pub describe: fn(&PanelRow) -> String,
}

/// Every way, the weightiest first.
pub const ATTRIBUTES: [PanelAttribute; 17] = [
    PanelAttribute { name: "recipe", describe: |f| sanitize(&f.story.recipe) },
    PanelAttribute { name: "pot", describe: format_pots },
    PanelAttribute { name: "board", describe: |f| f.story.support.replace('-', " ") },
    PanelAttribute {
        name: "linen",
        describe: |f| if f.story.cloth { "laid over the board" } else { "none" }.to_owned(),
    },
    PanelAttribute { name: "size", describe: |f| format_faces(f.story.size_coats) },
    PanelAttribute { name: "stipple", describe: |f| format_count(f.story.stipples, "tapped coat") },
    PanelAttribute { name: "coats", describe: |f| format_faces((f.story.coats_front, f.story.coats_back)) },
    PanelAttribute { name: "laid early", describe: |f| format_count(f.story.early_coats, "coat") },
    PanelAttribute { name: "long gaps", describe: |f| format_count(f.story.long_gaps, "coat on a bone-dry one") },
    PanelAttribute {
        name: "direction",
        describe: |f| {
            if f.story.same_direction == 0 {
                "each across the last".to_owned()
            } else {
                format!("{} the same way as the one below", format_count(f.story.same_direction, "coat"))
            }
        },
    },
    PanelAttribute { name: "done again", describe: |f| format_count(f.story.repeated_acts, "act") },
    PanelAttribute { name: "left out", describe: |f| format_count(f.story.skipped_acts, "act") },
    PanelAttribute { name: "scraping", describe: |f| format_count(f.story.scrape_rounds, "round") },
    PanelAttribute { name: "seal", describe: |f| f.story.sealed.to_owned() },
    PanelAttribute { name: "paint", describe: |f| f.story.paint.to_owned() },
    PanelAttribute { name: "size of the board", describe: format_board_size },
    PanelAttribute { name: "given up", describe: |f| if f.story.given_up.is_some() { "yes" } else { "no" }.to_owned() },
];

fn format_count(n: u32, of: &str) -> String {
    let (one, rest) = of.split_once(' ').map_or((of, String::new()), |(one, rest)| (one, format!(" {rest}")));
    match n {
        0 => "none".to_owned(),
        1 => format!("1 {of}"),
        // "tapped coat" takes its s at the end, "coat on a dry one" at the front.
        n if one == "coat" => format!("{n} coats{rest}"),
        n => format!("{n} {of}s"),
    }
}

fn format_faces((front, back): (u32, u32)) -> String {
    let on = |n: u32| if n == 0 { "none".to_owned() } else { n.to_string() };
    format!("{} on the front, {} on the back", on(front), on(back))
}

fn format_board_size(f: &PanelRow) -> String {
    let (width, height, thickness) = f.story.size_mm;
    let thick = thickness.map_or_else(|| ", thickness not known".to_owned(), |t| format!(" x {}", format_number(t, 1)));
    format!("{} x {}{thick} mm", format_number(width, 1), format_number(height, 1))
}

/// The pots of a panel as one name.
pub fn format_pots(f: &PanelRow) -> String {
    match f.story.pot_ids.as_slice() {
        [] => "not recorded".to_owned(),
        pots => pots.iter().map(|p| p.as_str()).collect::<Vec<_>>().join(" + "),
    }
}

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

/// The ways in which those panels differ: each a sentence that names what was done and on which panels, the commonest
/// first. More than six kinds of one thing are counted instead.
pub fn describe_differences(panels: &[PanelRow]) -> Vec<String> {
    ATTRIBUTES.iter().filter_map(|way| describe_attribute(way, panels)).collect()
}

/// What was alike on all of them, in one sentence; nothing of fewer than two.
pub fn describe_similarities(panels: &[PanelRow]) -> Option<String> {
    let first = panels.first().filter(|_| panels.len() > 1)?;
    let same = ATTRIBUTES.iter().map(|way| (way, (way.describe)(first)));
    let same = same.filter(|(way, said)| panels.iter().all(|f| (way.describe)(f) == *said));
    let same: Vec<String> = same.map(|(way, said)| format!("{} {said}", way.name)).collect();
    (!same.is_empty()).then(|| format!("The same on all: {}.", same.join("; ")))
}

fn describe_attribute(way: &PanelAttribute, panels: &[PanelRow]) -> Option<String> {
    let mut kinds: Vec<(String, Vec<&str>)> = Vec::new();
    let mut places = std::collections::HashMap::new();
    for facts in panels {
        let said = (way.describe)(facts);
        let at = *places.entry(said.clone()).or_insert_with(|| {
            kinds.push((said, Vec::new()));
            kinds.len() - 1
        });
        if let Some((_, labels)) = kinds.get_mut(at) {
            labels.push(&facts.story.label);
        }
    }
    if kinds.len() < 2 {
        return None;
    }
    kinds.sort_by_key(|(_, labels)| std::cmp::Reverse(labels.len()));
    let more = kinds.len().saturating_sub(6);
    let told: Vec<String> = kinds
        .iter()
        .take(6)
        .map(|(said, labels)| format!("{said} ({})", join_labels(labels.iter().copied())))
        .collect();
    let more = match more {
        0 => String::new(),
        1 => "; 1 other".to_owned(),
        more => format!("; {more} others"),
    };
    Some(format!("{}: {}{more}", way.name, told.join("; ")))
}
