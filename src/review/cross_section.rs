//! A panel cut open: its layers in micrometres, from the wood outwards, front and back.
//!
//! A coat's thickness follows from the recipe's millilitres to a square metre: 1 ml to a square metre is 1 um, exactly,
//! while the coat is wet. How much of that stays when it has dried is the estimate of `craft::quantities`, before any
//! scraping. Size and shellac soak in: they are drawn, and given no thickness.
//! Absent on purpose: drawing.

use super::standing_steps::standing_steps;
use crate::craft::materials::fillers::BulkDensities;
use crate::craft::quantities::mix::compute_recipe_ground;
use crate::craft::recipe::Direction;
use crate::work::panel::event::{Face, StageKind};
use crate::work::panel::story::PanelStory;

/// One layer.
#[derive(Debug, Clone, PartialEq)]
pub struct CrossSectionLayer {
    /// What it is.
    pub kind: StageKind,
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
pub struct CrossSection {
    /// The board, mm.
    pub wood_mm: Option<f64>,
    /// Layers on the front, the one on the wood first.
    pub front: Vec<CrossSectionLayer>,
    /// Layers on the back, the one on the wood first.
    pub back: Vec<CrossSectionLayer>,
}

impl CrossSection {
    /// The wet thickness of one face's layers together, um.
    pub fn total_wet_um(layers: &[CrossSectionLayer]) -> f64 {
        layers.iter().filter_map(|l| l.wet_um).sum()
    }
    /// The dry thickness of one face's layers together, um; nothing where it cannot be estimated.
    pub fn total_dry_um(layers: &[CrossSectionLayer]) -> Option<f64> {
        layers.iter().filter(|l| l.wet_um.is_some()).map(|l| l.dry_um).sum()
    }
}

/// The section of a story; loose powders weigh what `bulk` says.
pub fn cross_section_from_story(story: &PanelStory, bulk: &BulkDensities) -> CrossSection {
    let panel = story.panel();
    let gesso = &panel.recipe().gesso;
    let dry = compute_recipe_ground(panel.recipe(), bulk).ok().map(|g| g.dry_um_per_coat);
    let on = |face: Face| {
        let here = standing_steps(panel).filter(|(s, _)| s.slot.face == Some(face) && s.slot.kind.is_layer());
        here.map(|(step, coat)| CrossSectionLayer {
            dry_um: dry.filter(|_| step.slot.kind.is_gesso()),
            kind: step.slot.kind,
            number: step.slot.number,
            direction: coat.event.direction,
            wet_um: step.slot.kind.is_gesso().then_some(gesso.ml_per_m2),
        })
        .collect()
    };
    CrossSection {
        wood_mm: panel.opened().size.thickness.map(|t| t.mm()),
        front: on(Face::Front),
        back: on(Face::Back),
    }
}
