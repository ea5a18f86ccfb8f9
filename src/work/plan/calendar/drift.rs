//! How far a board is from its plan.

use super::kept::{ActName, KeptAct, KeptPlan};
use crate::units::{Span, Stamp};
use crate::work::panel::event::{Face, StageKind};
use crate::work::panel::state::{LaidCoat, Panel};

/// The act of that board as it was done, where it was.
pub fn find_done<'p>(panel: &'p Panel, act: &KeptAct) -> Option<&'p LaidCoat> {
    let ActName::Board { panel: id, kind, face, number } = &act.name else { return None };
    let is_it = |k: StageKind, f: Option<Face>, n: Option<u32>| (k, f, n) == (*kind, *face, *number);
    let stages = panel.steps().iter().zip(panel.stages());
    let mut found = stages.filter(|(_, stage)| is_it(stage.kind, stage.face, stage.number));
    found.find_map(|(step, _)| step.laid_coat()).filter(|_| panel.opened().id == *id)
}

/// Whether that act of that board was done.
pub fn is_done(panel: &Panel, act: &KeptAct) -> bool {
    find_done(panel, act).is_some()
}

/// By how much the board is behind its plan, or, below zero, before it: by the act that should have begun by now and is not
/// done, else by the last one done. None where nothing tells.
pub fn find_drift(panel: &Panel, plan: &KeptPlan, now: Stamp) -> Option<Span> {
    let id = &panel.opened().id;
    let open = plan.acts_of(id).find(|act| act.end < now && !is_done(panel, act));
    let late = open.map(|act| now - act.end);
    let done = plan.acts_of(id).filter_map(|act| Some((find_done(panel, act)?.done_at.wall, act.end)));
    let last = done.max_by_key(|(done_at, _)| *done_at).map(|(done_at, planned)| done_at - planned);
    late.or(last)
}
