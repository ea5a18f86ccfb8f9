//! What was done on a panel, in words: the ways in which panels can differ before anything is measured.
//!
//! Absent on purpose: figures that want a median (`compare`), what any of it means.

use super::facts::Facts;
use crate::text::{clean, round_to};

/// One way in which panels can differ.
#[derive(Debug, Clone, Copy)]
pub struct Way {
    /// What it is called: "recipe", "coats on the back".
    pub name: &'static str,
    /// How it was on a panel, in words that fit behind the name.
    pub said: fn(&Facts) -> String,
}

/// Every way, the weightiest first.
pub const WAYS: [Way; 17] = [
    Way { name: "recipe", said: |f| clean(&f.recipe) },
    Way { name: "pot", said: pots },
    Way { name: "board", said: |f| f.support.replace('-', " ") },
    Way { name: "linen", said: |f| if f.cloth { "laid over the board" } else { "none" }.to_owned() },
    Way { name: "size", said: |f| faces(f.size_coats) },
    Way { name: "stipple", said: |f| count(f.stipples, "tapped coat") },
    Way { name: "coats", said: |f| faces((f.coats_front, f.coats_back)) },
    Way { name: "laid early", said: |f| count(f.early_coats, "coat") },
    Way { name: "long gaps", said: |f| count(f.long_gaps, "coat on a bone-dry one") },
    Way {
        name: "direction",
        said: |f| {
            if f.same_direction == 0 {
                "each across the last".to_owned()
            } else {
                format!("{} the same way as the one below", count(f.same_direction, "coat"))
            }
        },
    },
    Way { name: "done again", said: |f| count(f.done_again, "act") },
    Way { name: "left out", said: |f| count(f.left_out, "act") },
    Way { name: "scraping", said: |f| count(f.scrape_rounds, "round") },
    Way { name: "seal", said: |f| f.sealed.to_owned() },
    Way { name: "paint", said: |f| f.paint.to_owned() },
    Way { name: "size of the board", said: size },
    Way { name: "given up", said: |f| if f.given_up.is_some() { "yes" } else { "no" }.to_owned() },
];

fn count(n: u32, of: &str) -> String {
    let (one, rest) = of.split_once(' ').map_or((of, String::new()), |(one, rest)| (one, format!(" {rest}")));
    match n {
        0 => "none".to_owned(),
        1 => format!("1 {of}"),
        // "tapped coat" takes its s at the end, "coat on a dry one" at the front.
        n if one == "coat" => format!("{n} coats{rest}"),
        n => format!("{n} {of}s"),
    }
}

fn faces((front, back): (u32, u32)) -> String {
    let on = |n: u32| if n == 0 { "none".to_owned() } else { n.to_string() };
    format!("{} on the front, {} on the back", on(front), on(back))
}

fn size(f: &Facts) -> String {
    let (width, height, thickness) = f.size_mm;
    let thick = thickness.map_or_else(|| ", thickness not known".to_owned(), |t| format!(" x {}", round_to(t, 1)));
    format!("{} x {}{thick} mm", round_to(width, 1), round_to(height, 1))
}

/// The pots of a panel as one name.
pub fn pots(f: &Facts) -> String {
    match f.pots.as_slice() {
        [] => "not recorded".to_owned(),
        pots => pots.iter().map(|p| p.as_str()).collect::<Vec<_>>().join(" + "),
    }
}

/// At most this many panels are named; the others are counted.
const NAMED: usize = 5;

/// Labels in a row: "Wren, Robin and 12 more".
pub fn names<'a>(labels: impl Iterator<Item = &'a str>) -> String {
    let labels: Vec<&str> = labels.collect();
    let more = labels.len().saturating_sub(NAMED);
    let named: Vec<String> = labels.iter().take(NAMED).map(|l| clean(l)).collect();
    match more {
        0 => named.join(", "),
        more => format!("{} and {more} more", named.join(", ")),
    }
}

/// The ways in which those panels differ: each a sentence that names what was done and on which panels, the commonest
/// first. More than six kinds of one thing are counted instead.
pub fn differently(panels: &[Facts]) -> Vec<String> {
    WAYS.iter().filter_map(|way| one(way, panels)).collect()
}

/// What was alike on all of them, in one sentence; nothing of fewer than two.
pub fn alike(panels: &[Facts]) -> Option<String> {
    let first = panels.first().filter(|_| panels.len() > 1)?;
    let same = WAYS.iter().map(|way| (way, (way.said)(first)));
    let same = same.filter(|(way, said)| panels.iter().all(|f| (way.said)(f) == *said));
    let same: Vec<String> = same.map(|(way, said)| format!("{} {said}", way.name)).collect();
    (!same.is_empty()).then(|| format!("The same on all: {}.", same.join("; ")))
}

fn one(way: &Way, panels: &[Facts]) -> Option<String> {
    let mut kinds: Vec<(String, Vec<&str>)> = Vec::new();
    let mut places = std::collections::HashMap::new();
    for facts in panels {
        let said = (way.said)(facts);
        let at = *places.entry(said.clone()).or_insert_with(|| {
            kinds.push((said, Vec::new()));
            kinds.len() - 1
        });
        if let Some((_, labels)) = kinds.get_mut(at) {
            labels.push(&facts.label);
        }
    }
    if kinds.len() < 2 {
        return None;
    }
    kinds.sort_by_key(|(_, labels)| std::cmp::Reverse(labels.len()));
    let more = kinds.len().saturating_sub(6);
    let told: Vec<String> =
        kinds.iter().take(6).map(|(said, labels)| format!("{said} ({})", names(labels.iter().copied()))).collect();
    let more = match more {
        0 => String::new(),
        1 => "; 1 other".to_owned(),
        more => format!("; {more} others"),
    };
    Some(format!("{}: {}{more}", way.name, told.join("; ")))
}
