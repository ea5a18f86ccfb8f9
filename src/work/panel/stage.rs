//! The stages a recipe makes, in the order of the work, and how a stage is named to a person.
//!
//! Absent on purpose: what became of a stage (`fold`).

use super::event::{Face, Stage, StageKind};
use crate::craft::recipe::{Faces, Recipe, SealMaterial};
use std::fmt;

/// One place in the plan: a kind, a face, and its number within both, counted from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StageSlot {
    /// What is to be done.
    pub kind: StageKind,
    /// On which face, where that means something.
    pub face: Option<Face>,
    /// Which one.
    pub number: u32,
}

impl StageSlot {
    /// A place of that kind, face and number.
    pub const fn new(kind: StageKind, face: Option<Face>, number: u32) -> StageSlot {
        StageSlot { kind, face, number }
    }
}

impl StageKind {
    /// Whether a person counts it: "coat 3 of 6", "scraping round 2".
    pub const fn is_counted(self) -> bool {
        match self {
            StageKind::Size
            | StageKind::Stipple
            | StageKind::Coat
            | StageKind::Scrape
            | StageKind::Check
            | StageKind::Seal => true,
            StageKind::Prepare
            | StageKind::Cloth
            | StageKind::Cure
            | StageKind::Dry
            | StageKind::Polish
            | StageKind::Rest
            | StageKind::Sand => false,
        }
    }

    /// Whether its number is a round, of which nobody knows how many there will be.
    pub const fn is_round(self) -> bool {
        matches!(self, StageKind::Scrape | StageKind::Check)
    }
}

/// The plan of a panel: every place of its recipe in the order of the work. The first round of scraping and checking
/// stands in it; further rounds come from what the checks show.
pub fn build_plan(recipe: &Recipe) -> Vec<StageSlot> {
    let mut places = vec![StageSlot::new(StageKind::Prepare, Some(Face::Both), 1)];
    let sized: &[Face] = match recipe.size.faces {
        Faces::Front => &[Face::Front],
        Faces::Both => &[Face::Front, Face::Back],
    };
    for number in 1..=recipe.size.coats_per_face {
        places.extend(sized.iter().map(|face| StageSlot::new(StageKind::Size, Some(*face), number)));
    }
    if recipe.cloth.is_some() {
        places.push(StageSlot::new(StageKind::Cloth, Some(Face::Front), 1));
    }
    let cured = match recipe.size.faces {
        Faces::Front => Face::Front,
        Faces::Both => Face::Both,
    };
    places.push(StageSlot::new(StageKind::Cure, Some(cured), 1));
    places.extend((1..=recipe.stipple.coats).map(|n| StageSlot::new(StageKind::Stipple, Some(Face::Front), n)));
    places.extend((1..=recipe.coats.front).map(|n| StageSlot::new(StageKind::Coat, Some(Face::Front), n)));
    places.extend((1..=recipe.coats.back).map(|n| StageSlot::new(StageKind::Coat, Some(Face::Back), n)));
    places.push(StageSlot::new(StageKind::Dry, None, 1));
    places.extend(build_finish(recipe));
    places
}

/// What comes after the ground is laid.
fn build_finish(recipe: &Recipe) -> Vec<StageSlot> {
    let front = |kind| StageSlot::new(kind, Some(Face::Front), 1);
    let mut places = Vec::new();
    if recipe.scrape.is_some() {
        places.push(front(StageKind::Scrape));
    }
    places.push(front(StageKind::Polish));
    if recipe.check.is_some() {
        places.push(front(StageKind::Check));
    }
    places.push(StageSlot::new(StageKind::Rest, None, 1));
    if recipe.seal.with != SealMaterial::None {
        places.extend((1..=recipe.seal.coats).map(|n| StageSlot::new(StageKind::Seal, Some(Face::Front), n)));
    }
    if recipe.sand.is_some() {
        places.push(front(StageKind::Sand));
    }
    places
}

impl fmt::Display for Stage {
    /// The stage as a person would say it, without its direction: "coat 4 of 6", "size 1 of 2 on the back", "the cure".
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = match self.kind {
            StageKind::Prepare => return f.write_str("preparing the board"),
            StageKind::Cloth => return f.write_str("laying the cloth"),
            StageKind::Cure => return f.write_str("the cure"),
            StageKind::Dry => return f.write_str("the drying"),
            StageKind::Polish => return f.write_str("the damp cloth"),
            StageKind::Rest => return f.write_str("the rest"),
            StageKind::Sand => return f.write_str("the last fine pass"),
            StageKind::Scrape => "scraping round",
            StageKind::Check => "check",
            StageKind::Size => "size",
            StageKind::Stipple => "stipple",
            StageKind::Coat => "coat",
            StageKind::Seal => "seal",
        };
        f.write_str(word)?;
        if let Some(number) = self.number {
            write!(f, " {number}")?;
        }
        if let Some(of) = self.total {
            write!(f, " of {of}")?;
        }
        match (self.kind, self.face) {
            (StageKind::Size, Some(face)) => write!(f, " on the {}", face.name()),
            (StageKind::Coat, Some(Face::Back)) => f.write_str(" on the back"),
            (_, _) => Ok(()),
        }
    }
}
