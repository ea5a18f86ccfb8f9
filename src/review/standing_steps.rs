//! The acts that stand on a panel: done, and neither taken back nor done again since.

use crate::units::Moment;
use crate::work::panel::state::{LaidCoat, Panel, PlanStep};

/// Every standing act with its place, in the order of the work.
pub fn standing_steps(panel: &Panel) -> impl Iterator<Item = (&PlanStep, &LaidCoat)> {
    panel.steps().iter().filter_map(|s| Some((s, s.laid_coat()?)))
}

/// The last standing act.
pub fn last_act_moment(panel: &Panel) -> Option<Moment> {
    standing_steps(panel).map(|(_, l)| l.done_at).max_by_key(|m| m.wall)
}
