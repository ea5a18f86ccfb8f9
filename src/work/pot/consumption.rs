//! How much gesso a square metre takes under the maker's own brush: what a pot weighed before and after coats.
//!
//! Water that left the pot meanwhile counts as used, and so does what stayed in brush and bowl.

use super::event::PotKind;
use super::fold::MassRecord;
use super::usage::PotUsage;
use crate::craft::quantities::consumption::{OwnConsumption, gesso_g_per_ml};
use crate::units::{Id, Stamp};
use crate::work::panel::event::Face;
use crate::work::panel::state::Panel;

/// One coat laid from a pot, and what it covered.
struct CoatArea<'a> {
    pot: &'a Id,
    at: Stamp,
    m2: f64,
}

/// What those panels' coats took from the pots they name, to a square metre and coat. None until a pot of gesso was weighed
/// before coats and after them, with no water given between.
pub fn own_consumption<'a>(
    usage: &PotUsage<'_>,
    panels: impl IntoIterator<Item = &'a Panel>,
) -> Option<OwnConsumption> {
    let coats: Vec<CoatArea<'_>> = panels.into_iter().flat_map(panel_coats).collect();
    let mut spans = Vec::new();
    for pot in usage.lineage().pots().filter(|pot| pot.opened().kind == PotKind::Gesso) {
        let id = &pot.opened().id;
        let Ok(density) = gesso_g_per_ml(pot.recipe(), usage.bulk()) else { continue };
        for pair in pot.mass_records().windows(2) {
            let [(from, MassRecord::Weighed(before)), (to, MassRecord::Weighed(after))] = pair else { continue };
            let is_between = |at: Stamp| from.wall < at && at <= to.wall;
            let here: Vec<f64> =
                coats.iter().filter(|coat| coat.pot == id && is_between(coat.at)).map(|coat| coat.m2).collect();
            // Poured off, or a coat done again: not all that left the pot lies on a board.
            let uses = usage.use_times(id).iter().filter(|at| is_between(**at)).count();
            let used_g = before.g() - after.g();
            if used_g > 0.0 && !here.is_empty() && uses == here.len() {
                spans.push((used_g / density, here.iter().sum(), here.len()));
            }
        }
    }
    OwnConsumption::from_spans(&spans)
}

/// The coats of gesso of a panel that name a pot. Edges go with the front.
fn panel_coats(panel: &Panel) -> impl Iterator<Item = CoatArea<'_>> {
    let size = panel.opened().size;
    let (width, height) = (size.width.mm(), size.height.mm());
    let edges = size.thickness.map_or(0.0, |t| 2.0 * (width + height) * t.mm());
    panel.steps().iter().filter(|step| step.slot.kind.is_gesso()).filter_map(move |step| {
        let laid = step.laid_coat()?;
        let edges = if step.slot.face == Some(Face::Back) { 0.0 } else { edges };
        Some(CoatArea { pot: laid.event.pot.as_ref()?, at: laid.done_at.wall, m2: (width * height + edges) / 1e6 })
    })
}
