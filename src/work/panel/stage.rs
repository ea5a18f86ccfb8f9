//! The stages a recipe makes, in the order of the work, and how a stage is named to a person.
//!
//! Absent on purpose: what became of a stage (`fold`).

use super::event::{Face, Kind, Stage};
use crate::craft::recipe::{Faces, Recipe, SealWith};
use std::fmt;

/// One place in the plan: a kind, a face, and its number within both, counted from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Place {
    /// What is to be done.
    pub kind: Kind,
    /// On which face, where that means something.
    pub face: Option<Face>,
    /// Which one.
    pub number: u32,
}

impl Place {
    /// A place of that kind, face and number.
    pub const fn new(kind: Kind, face: Option<Face>, number: u32) -> Place {
        Place { kind, face, number }
    }
}

impl Kind {
    /// Whether a person counts it: "coat 3 of 6", "scraping round 2".
    pub const fn counted(self) -> bool {
        match self {
            Kind::Size | Kind::Stipple | Kind::Coat | Kind::Scrape | Kind::Check | Kind::Seal => true,
            Kind::Prepare | Kind::Cloth | Kind::Cure | Kind::Dry | Kind::Polish | Kind::Rest | Kind::Sand => false,
        }
    }

    /// Whether its number is a round, of which nobody knows how many there will be.
    pub const fn round(self) -> bool {
        matches!(self, Kind::Scrape | Kind::Check)
    }
}

/// The plan of a panel: every place of its recipe in the order of the work. The first round of scraping and checking
/// stands in it; further rounds come from what the checks show.
pub fn plan(recipe: &Recipe) -> Vec<Place> {
    let mut places = vec![Place::new(Kind::Prepare, Some(Face::Both), 1)];
    let sized: &[Face] = match recipe.size.faces {
        Faces::Front => &[Face::Front],
        Faces::Both => &[Face::Front, Face::Back],
    };
    for number in 1..=recipe.size.coats_per_face {
        places.extend(sized.iter().map(|face| Place::new(Kind::Size, Some(*face), number)));
    }
    if recipe.cloth.is_some() {
        places.push(Place::new(Kind::Cloth, Some(Face::Front), 1));
    }
    let cured = match recipe.size.faces {
        Faces::Front => Face::Front,
        Faces::Both => Face::Both,
    };
    places.push(Place::new(Kind::Cure, Some(cured), 1));
    places.extend((1..=recipe.stipple.coats).map(|n| Place::new(Kind::Stipple, Some(Face::Front), n)));
    places.extend((1..=recipe.coats.front).map(|n| Place::new(Kind::Coat, Some(Face::Front), n)));
    places.extend((1..=recipe.coats.back).map(|n| Place::new(Kind::Coat, Some(Face::Back), n)));
    places.push(Place::new(Kind::Dry, None, 1));
    places.extend(finish(recipe));
    places
}

/// What comes after the ground is laid.
fn finish(recipe: &Recipe) -> Vec<Place> {
    let front = |kind| Place::new(kind, Some(Face::Front), 1);
    let mut places = Vec::new();
    if recipe.scrape.is_some() {
        places.push(front(Kind::Scrape));
    }
    places.push(front(Kind::Polish));
    if recipe.check.is_some() {
        places.push(front(Kind::Check));
    }
    places.push(Place::new(Kind::Rest, None, 1));
    if recipe.seal.with != SealWith::None {
        places.extend((1..=recipe.seal.coats).map(|n| Place::new(Kind::Seal, Some(Face::Front), n)));
    }
    if recipe.sand.is_some() {
        places.push(front(Kind::Sand));
    }
    places
}

impl fmt::Display for Stage {
    /// The stage as a person would say it, without its direction: "coat 4 of 6", "size 1 of 2 on the back", "the cure".
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = match self.kind {
            Kind::Prepare => return f.write_str("preparing the board"),
            Kind::Cloth => return f.write_str("laying the cloth"),
            Kind::Cure => return f.write_str("the cure"),
            Kind::Dry => return f.write_str("the drying"),
            Kind::Polish => return f.write_str("the damp cloth"),
            Kind::Rest => return f.write_str("the rest"),
            Kind::Sand => return f.write_str("the last fine pass"),
            Kind::Scrape => "scraping round",
            Kind::Check => "check",
            Kind::Size => "size",
            Kind::Stipple => "stipple",
            Kind::Coat => "coat",
            Kind::Seal => "seal",
        };
        f.write_str(word)?;
        if let Some(number) = self.number {
            write!(f, " {number}")?;
        }
        if let Some(of) = self.of {
            write!(f, " of {of}")?;
        }
        match (self.kind, self.face) {
            (Kind::Size, Some(face)) => write!(f, " on the {}", face.name()),
            (Kind::Coat, Some(Face::Back)) => f.write_str(" on the back"),
            (_, _) => Ok(()),
        }
    }
}
