//! The studio: which panels it prepares, in which rows, and what befalls each.
//!
//! A row is what one person lays side by side: one recipe, a few boards.

use super::rng::Rng;
use crate::craft::materials::Support;
use crate::craft::recipe::{Paint, Recipe, shipped};
use crate::units::{Length, Size};
use std::sync::Arc;

/// The birds the panels are for; after the last it begins again with a number.
const BIRDS: [&str; 24] = [
    "Wren",
    "Robin",
    "Blackbird",
    "Goldfinch",
    "Dunnock",
    "Blue Tit",
    "Song Thrush",
    "Starling",
    "Greenfinch",
    "Nuthatch",
    "Chaffinch",
    "Great Tit",
    "Long-tailed Tit",
    "Bullfinch",
    "Coal Tit",
    "Treecreeper",
    "Blackcap",
    "House Sparrow",
    "Collared Dove",
    "Jackdaw",
    "Magpie",
    "Siskin",
    "Pied Wagtail",
    "Fieldfare",
];

/// What befalls a panel. In every dozen panels each comes once.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Fate {
    /// Nothing of note.
    Plain,
    /// A press too many, taken back.
    TakenBack,
    /// A coat recorded minutes after it was laid, and a dull mark given after the coat above it.
    Late,
    /// A coat done again.
    Repeated,
    /// Given up before the last coat.
    GivenUp,
    /// Grain still shows: one coat more.
    Extra,
    /// One coat laid in the direction of the one below.
    Turned,
    /// The rest ended by the maker.
    RestEnded,
    /// Weighed before and after.
    Weighed,
    /// The maker is called away between two coats.
    CalledAway,
    /// Coats laid too early.
    Hasty,
    /// Coats laid late, and many rounds of scraping.
    Slow,
    /// More than an hour between two coats; only on shelves with a cause planted.
    Gapped,
}

const FATES: [Fate; 12] = [
    Fate::Plain,
    Fate::TakenBack,
    Fate::Late,
    Fate::Repeated,
    Fate::GivenUp,
    Fate::Extra,
    Fate::Turned,
    Fate::RestEnded,
    Fate::Weighed,
    Fate::CalledAway,
    Fate::Hasty,
    Fate::Slow,
];

/// The rows of a dozen panels: recipe, paint, and the boards that suit it.
const ROWS: [(&str, Paint, usize, &[Support]); 5] = [
    ("gypsum-zinc", Paint::Oil, 3, &[Support::BirchPlywood]),
    ("whiting-tempera", Paint::Tempera, 3, &[Support::BirchPlywood, Support::PoplarPlywood]),
    ("balanced-ply", Paint::Oil, 2, &[Support::PoplarPlywood]),
    ("gypsum-titanium", Paint::Oil, 2, &[Support::BirchPlywood, Support::Hardboard]),
    ("chalk-gilding", Paint::Gilding, 2, &[Support::Lime, Support::OakWhite]),
];

/// Boards: width, height, thickness, millimetres.
const BOARDS: [(f64, f64, f64); 6] = [
    (300.0, 400.0, 12.0),
    (240.0, 300.0, 9.0),
    (400.0, 300.0, 12.0),
    (200.0, 200.0, 9.0),
    (180.0, 240.0, 6.0),
    (350.0, 500.0, 15.0),
];

/// One panel before anything was done to it.
#[derive(Debug, Clone)]
pub(super) struct PlannedPanel {
    /// What it is called.
    pub(super) label: String,
    /// The board.
    pub(super) size: Size,
    /// What it is made of.
    pub(super) support: Support,
    /// What befalls it.
    pub(super) fate: Fate,
    /// Whether anybody looks at it afterwards.
    pub(super) is_inspected: bool,
}

/// Panels laid side by side.
#[derive(Debug, Clone)]
pub(super) struct StudioRow {
    /// Their plan.
    pub(super) recipe: Arc<Recipe>,
    /// What will be painted on them.
    pub(super) paint: Paint,
    /// The panels.
    pub(super) panels: Vec<PlannedPanel>,
}

/// The rows of that many panels.
pub(super) fn plan_rows(seed: u64, panels: usize) -> Vec<StudioRow> {
    let mut chance = Rng::new(seed, "studio");
    let mut bare = plan_panels(panels, &mut chance).into_iter();
    let mut rows = Vec::new();
    for (recipe, paint, many, supports) in ROWS.iter().cycle() {
        let mut panels: Vec<PlannedPanel> = bare.by_ref().take(*many).collect();
        // A recipe that does not come with the program has no row; all five do, which a test holds.
        let Some(recipe) = shipped::find_shipped_recipe(recipe).filter(|_| !panels.is_empty()) else { break };
        for panel in &mut panels {
            panel.support = *chance.pick(supports).expect("every row has supports");
        }
        rows.push(StudioRow { recipe: Arc::new(recipe), paint: *paint, panels });
    }
    rows
}

fn plan_panels(panels: usize, chance: &mut Rng) -> Vec<PlannedPanel> {
    let mut fates = FATES;
    let mut unseen = 0;
    (0..panels)
        .map(|i| {
            if i % FATES.len() == 0 {
                chance.shuffle(&mut fates);
                // One panel of a dozen is never looked at; the one that was given up makes two.
                let may: Vec<usize> =
                    (0..12).filter(|i| !matches!(fates[*i], Fate::CalledAway | Fate::GivenUp)).collect();
                unseen = *chance.pick(&may).expect("most fates leave a panel to be looked at");
            }
            let fate = fates[i % FATES.len()];
            let (width, height, thickness) = *chance.pick(&BOARDS).expect("there are boards");
            let size = Size {
                width: Length::from_mm(width),
                height: Length::from_mm(height),
                thickness: Some(Length::from_mm(thickness)),
            };
            PlannedPanel {
                label: panel_label(i),
                size,
                support: Support::BirchPlywood,
                fate,
                is_inspected: i % FATES.len() != unseen,
            }
        })
        .collect()
}

pub(super) fn panel_label(i: usize) -> String {
    let bird = BIRDS[i % BIRDS.len()];
    match i / BIRDS.len() {
        0 => bird.to_owned(),
        again => format!("{bird} {}", again + 1),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_panel_has_a_row_and_every_dozen_every_fate() {
        for (seed, panels) in [(1, 12), (2, 24), (3, 1), (4, 61)] {
            let all: Vec<PlannedPanel> = plan_rows(seed, panels).into_iter().flat_map(|r| r.panels).collect();
            assert_eq!(all.len(), panels, "seed {seed}");
            let labels: BTreeSet<&str> = all.iter().map(|p| p.label.as_str()).collect();
            assert_eq!(labels.len(), panels, "seed {seed}");
            for dozen in all.chunks_exact(12) {
                assert!(FATES.iter().all(|f| dozen.iter().any(|p| p.fate == *f)), "seed {seed}");
            }
        }
    }
}
