//! What is to be said of a plan besides its acts: air too damp for shellac, water left in the boards, pots that stand there.

use super::board_water::cure_sentences;
use crate::craft::recipe::SealMaterial;
use crate::text::UnitSystem;
use crate::units::{Humidity, Stamp, Temperature};
use crate::work::panel::event::StageKind;
use crate::work::panel::state::Panel;
use crate::work::plan::calendar::planned::{BoardPlan, PlannedKind};
use crate::work::plan::calendar::planned_pot::PotStand;

/// Over this humidity shellac is said to dry to a haze, per cent (common practice, no source).
const SHELLAC_RH_MAX: f64 = 65.0;

/// Sentences without their full stop, the weightiest first. `panels` are the plan's boards in its order; `when` tells a
/// day and its time.
pub fn plan_notes(
    panels: &[&Panel],
    plan: &BoardPlan,
    air: Option<(Temperature, Humidity)>,
    when: &dyn Fn(Stamp) -> String,
    units: UnitSystem,
) -> Vec<String> {
    let mut notes = Vec::new();
    notes.extend(shellac_note(panels, plan, air, when));
    for pot in plan.pots.iter().filter_map(|pot| pot.at_hand.as_ref()) {
        let stands = match pot.stand {
            PotStand::Soaks { .. } => "soaks already",
            PotStand::Made { .. } => "stands there",
        };
        let label = crate::text::sanitize(&pot.label);
        notes.push(format!("the {} of {label} {stands} and is taken to be enough; it is used first", pot.kind.name()));
    }
    for panel in cured_in(panels, plan) {
        notes.extend(cure_sentences(panel, units).into_iter().map(|text| text.trim_end_matches('.').to_owned()));
    }
    notes
}

/// The day a shellac seal would be laid in air that is too damp for it.
fn shellac_note(
    panels: &[&Panel],
    plan: &BoardPlan,
    air: Option<(Temperature, Humidity)>,
    when: &dyn Fn(Stamp) -> String,
) -> Option<String> {
    let (_, rh) = air.filter(|(_, rh)| rh.pct() > SHELLAC_RH_MAX)?;
    let is_shellac = |board: usize| panels.get(board).is_some_and(|p| p.recipe().seal.with == SealMaterial::Shellac);
    let sealed = plan.acts.iter().find(|act| {
        matches!(act.kind, PlannedKind::Act(stage) if stage.kind == StageKind::Seal)
            && act.board.is_some_and(is_shellac)
    })?;
    Some(format!(
        "on {} shellac is to be laid, and air of {:.0} % is too damp for it: it dries to a haze; wait with the seal for a \
         dry day",
        when(sealed.start),
        rh.pct()
    ))
}

/// The boards that are still to be sized, one of each thickness, wood and cure.
fn cured_in<'a>(panels: &[&'a Panel], plan: &BoardPlan) -> Vec<&'a Panel> {
    let mut told: Vec<&Panel> = Vec::new();
    for (i, panel) in panels.iter().enumerate() {
        let sizes = plan.acts.iter().any(|act| {
            act.board == Some(i) && matches!(act.kind, PlannedKind::Act(stage) if stage.kind == StageKind::Size)
        });
        let alike = |other: &&Panel| {
            let (a, b) = (panel.opened(), other.opened());
            (a.support, a.size.thickness) == (b.support, b.size.thickness)
                && panel.recipe().size.cure_h == other.recipe().size.cure_h
        };
        if sizes && !told.iter().any(alike) {
            told.push(panel);
        }
    }
    told
}
