//! A panel cut open: its layers in micrometres, from the wood outwards, front and back.
//!
//! A coat's thickness follows from the recipe's millilitres to a square metre: 1 ml to a square metre is 1 um, exactly,
//! while the coat is wet. How much of that stays when it has dried is the estimate of `craft::quantities`, before any
//! scraping. Size and shellac soak in: they are drawn, and given no thickness.
//! Absent on purpose: drawing.

use super::around::ground;
use super::facts::{gesso as gesso_kind, laid};
use crate::craft::materials::Filler;
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
    /// Once dry, um: an estimate, and before any scraping; nothing where it cannot be made.
    pub dry_um: Option<f64>,
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
    /// The dry thickness of one face's layers together, um; nothing where it cannot be estimated.
    pub fn dry_um(layers: &[Layer]) -> Option<f64> {
        layers.iter().filter(|l| l.wet_um.is_some()).map(|l| l.dry_um).sum()
    }
}

/// The section of a story; loose powders weigh `loose_g_per_ml`, or what the table says.
pub fn section(story: &Story, loose_g_per_ml: &[(Filler, f64)]) -> Section {
    let panel = story.panel();
    let gesso = &panel.recipe().gesso;
    let dry = ground(panel.recipe(), loose_g_per_ml).map(|g| g.dry_um_per_coat);
    let on = |face: Face| {
        let here = laid(panel).filter(|(s, _)| s.place.face == Some(face) && layer(s.place.kind));
        here.map(|(step, coat)| Layer {
            dry_um: dry.filter(|_| gesso_kind(step.place.kind)),
            kind: step.place.kind,
            number: step.place.number,
            direction: coat.fact.direction,
            wet_um: gesso_kind(step.place.kind).then_some(gesso.ml_per_m2),
        })
        .collect()
    };
    Section { wood_mm: panel.opened().size.thickness.map(|t| t.mm()), front: on(Face::Front), back: on(Face::Back) }
}

const fn layer(kind: Kind) -> bool {
    matches!(kind, Kind::Size | Kind::Cloth | Kind::Stipple | Kind::Coat | Kind::Seal)
}
