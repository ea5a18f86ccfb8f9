//! Sheets that lie over the bench.

use super::*;

/// A list of keys.
pub fn keys_sheet() -> KeysViewModel {
    KeysViewModel {
        groups: vec![
            (
                "While coats go on".into(),
                vec![
                    key("Space Enter PageDown", "record the act at hand as done"),
                    key("s", "start it"),
                    key("d", "the gloss is gone"),
                    key("← →", "step the time just recorded"),
                    key("u", "take the last fact back"),
                ],
            ),
            ("The pot".into(), vec![key("p", "into the bath"), key("o", "out of the bath"), key("g", "gelled")]),
            (
                "Looking".into(),
                vec![key("Tab", "another panel"), key("f", "far"), key("t", "the story"), key("q", "leave")],
            ),
        ],
        offset: 0,
    }
}

/// A check's map.
pub fn map_view() -> MapViewModel {
    use Roughness::{Much, None, Some};
    MapViewModel {
        title: "Wren: check, round 2".into(),
        size_mm: (300.0, 400.0),
        areas: vec![vec![None, None, Some], vec![None, Much, None], vec![Some, None, None]],
        previous_areas: Option::Some(vec![vec![Some, Much, Much], vec![None, Much, Some], vec![Some, Some, None]]),
        cursor: (1, 1),
        digits: (1..=9).map(|d| (d, (2 - usize::from(d - 1) / 3, usize::from(d - 1) % 3))).collect(),
        hint: "Where does grey stay after wiping? Any left means another light round.".into(),
        keys: vec![
            key("Space", "none, some, much"),
            key("w", "white all over"),
            key("Enter", "record"),
            key("arrows 1-9", "area"),
            key("Esc", "not yet"),
        ],
    }
}

/// A form.
pub fn form_view() -> FormViewModel {
    let field = |label: &str, value: &str, help: &str, problem: &str| FormField {
        label: label.into(),
        value: value.into(),
        cursor: value.chars().count(),
        help: help.into(),
        error: problem.into(),
    };
    FormViewModel {
        title: "A panel".into(),
        fields: vec![
            field("Label", "Wren", "what you will call it", ""),
            field("Size", "300x400", "width x height x thickness, with the arrow up", "a size needs a unit: 300x400mm"),
            field("Support", "birch-plywood", "", ""),
            field("Recipe", "gypsum-zinc", "", ""),
            field("Paint", "oil", "", ""),
        ],
        aside: Some(FormAside {
            size_mm: Some((300.0, 400.0)),
            lines: vec![
                "300 x 400 x 12 mm".into(),
                "at least 3 days, mostly waiting".into(),
                "gesso: 1 tapped in, 6 coats".into(),
            ],
        }),
        focus: 1,
        alert: "Not opened yet: the size has no unit.".into(),
        keys: vec![key("Enter", "open it"), key("Tab", "next field"), key("Esc", "leave")],
    }
}

/// A story of `n` facts.
pub fn story_view(n: usize, offset: usize) -> StoryViewModel {
    let facts = (0..n)
        .map(|i| StoryLine {
            when: format!("Tue 13:{:02}", i % 60),
            what: format!("coat {} laid, {}", i + 1, if i % 2 == 0 { "horizontal" } else { "vertical" }),
            deviation: if i == 2 { "2 min early".into() } else { String::new() },
            why: if i == 4 { "it was dull by then".into() } else { String::new() },
            undone: i == 5,
        })
        .collect();
    StoryViewModel { title: "Wren".into(), facts, offset, keys: vec![key("↑ ↓", "read on"), key("Esc", "leave")] }
}
