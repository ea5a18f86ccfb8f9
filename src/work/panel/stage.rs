//! The stages a recipe makes, in the order of the work, and how a stage is named to a person.

use super::event::{Face, Stage, StageKind};
use super::stage_kind::{FaceMention, StageCount};
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
    /// The stage as a person would say it, without its direction: "coat 4 of 6", "glue size 1 of 2 on the back", "the cure".
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let row = self.kind.row();
        f.write_str(row.noun)?;
        if row.count == StageCount::Single {
            return Ok(());
        }
        if let Some(number) = self.number {
            write!(f, " {number}")?;
        }
        if let Some(of) = self.total {
            write!(f, " of {of}")?;
        }
        match (row.face_mention, self.face) {
            (FaceMention::Always, Some(face)) => write!(f, " on the {}", face.name()),
            (FaceMention::Back, Some(Face::Back)) => f.write_str(" on the back"),
            (FaceMention::Always | FaceMention::Back | FaceMention::Never, _) => Ok(()),
        }
    }
}
