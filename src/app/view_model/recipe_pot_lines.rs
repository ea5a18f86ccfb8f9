//! The pot before a coat, where nothing is known of it but the recipe's minutes: when to melt it again and thin the bowl.
//!
//! Absent on purpose: what a pot's own marks say (its forecast).

use super::ViewContext;
use crate::app::bench_view_model::PotLines;
use crate::text::format_when;
use crate::units::{Span, Stamp};
use crate::work::panel::phase::{PanelPhase, PanelStatus};
use crate::work::panel::story::PanelStory;
use chrono::TimeZone;
use std::fmt::Display;

/// The lines of the pot during a wait before gesso; none at any other time.
pub(super) fn build_recipe_pot_lines<Z: TimeZone<Offset: Display>>(
    story: &PanelStory,
    standing: &PanelStatus,
    at: &ViewContext<'_, Z>,
) -> Vec<PotLines> {
    let gesso = standing.next_stage.is_some_and(|s| s.kind.is_gesso());
    let (PanelPhase::Waiting, true, Some(due)) = (standing.phase, gesso, standing.due_at) else { return Vec::new() };
    let recipe = &story.panel().recipe().gesso;
    let bowl_at = due - Span::from_min(recipe.bowl_min);
    let bath_at = bowl_at - Span::from_min(recipe.melt_min);
    let now = at.now.wall;
    let told = |what: &str, then: Stamp| {
        if then <= now { format!("{what} now") } else { format!("{what} at {}", format_when(then, now, at.zone)) }
    };
    let bath = (now < bowl_at).then(|| told("into the bath", bath_at));
    let lines = bath.into_iter().chain([told("thin the bowl", bowl_at)]).collect();
    vec![PotLines { label: "Gesso".to_owned(), lines, is_action_needed: bath_at <= now }]
}
