//! A panel cut open: its layers in micrometres, from the wood outwards, front and back.
//!
//! A coat's thickness follows from the recipe's millilitres to a square metre: 1 ml to a square metre is 1 um, exactly,
//! while the coat is wet. How much of that stays when it has dried is an estimate of `craft::physics`; without one the
//! wet thickness is told, and said to be that. Size and shellac soak in: they are drawn, and given no thickness.
//! Absent on purpose: drawing.

use super::facts::laid;
use crate::craft::recipe::Direction;
use crate::work::panel::event::{Face, Kind};
use crate::work::panel::story::Story;

/// One layer.
#[derive(Debug, Clone, PartialEq)]
pub struct Layer {
    /// What it is.
    pub kind: Kind,
    /// Its number among its like.
    pub number: u32,
    /// The direction it was laid in.
    pub direction: Option<Direction>,
    /// As it was laid, wet, um; nothing for what soaks in.
    pub wet_um: Option<f64>,
}

/// A panel cut open.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// The board, mm.
    pub wood_mm: Option<f64>,
    /// Layers on the front, the one on the wood first.
    pub front: Vec<Layer>,
    /// Layers on the back, the one on the wood first.
    pub back: Vec<Layer>,
}

impl Section {
    /// The wet thickness of one face's layers together, um.
    pub fn wet_um(layers: &[Layer]) -> f64 {
        layers.iter().filter_map(|l| l.wet_um).sum()
    }
}

/// The section of a story.
pub fn section(story: &Story) -> Section {
    let panel = story.panel();
    let gesso = &panel.recipe().gesso;
    let on = |face: Face| {
        let here = laid(panel).filter(|(s, _)| s.place.face == Some(face) && layer(s.place.kind));
        here.map(|(step, coat)| Layer {
            kind: step.place.kind,
            number: step.place.number,
            direction: coat.fact.direction,
            wet_um: matches!(step.place.kind, Kind::Stipple | Kind::Coat).then_some(gesso.ml_per_m2),
        })
        .collect()
    };
    Section { wood_mm: panel.opened().size.thickness.map(|t| t.mm()), front: on(Face::Front), back: on(Face::Back) }
}

const fn layer(kind: Kind) -> bool {
    matches!(kind, Kind::Size | Kind::Cloth | Kind::Stipple | Kind::Coat | Kind::Seal)
}
