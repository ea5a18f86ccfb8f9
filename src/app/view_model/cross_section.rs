//! The panel cut open: every layer laid and to come, from the wood outwards.

use super::context::ViewContext;
use crate::app::bench_view_model::{LayerState, LayerViewModel};
use crate::text::{UnitSystem, format_lateness, format_length, format_when};
use crate::work::advice::words;
use crate::work::panel::event::{Face, Stage};
use crate::work::panel::state::{Panel, PlanStep, StepState};
use crate::work::panel::story::PanelStory;
use chrono::TimeZone;
use std::fmt::Display;

/// The wood in the middle.
pub(super) fn format_wood(panel: &Panel, units: UnitSystem) -> String {
    let opened = panel.opened();
    let support = words::support_text(opened.support);
    opened.size.thickness.map_or_else(|| support.to_owned(), |t| format!("{support} {}", format_length(t, units)))
}

/// The layers of the front.
pub(super) fn build_front_layers<Z: TimeZone<Offset: Display>>(
    story: &PanelStory,
    at: &ViewContext<'_, Z>,
) -> Vec<LayerViewModel> {
    build_layers(story, Face::Front, at)
}

/// The layers of the back.
pub(super) fn build_back_layers<Z: TimeZone<Offset: Display>>(
    story: &PanelStory,
    at: &ViewContext<'_, Z>,
) -> Vec<LayerViewModel> {
    build_layers(story, Face::Back, at)
}

fn build_layers<Z: TimeZone<Offset: Display>>(
    story: &PanelStory,
    face: Face,
    at: &ViewContext<'_, Z>,
) -> Vec<LayerViewModel> {
    let panel = story.panel();
    let hand = panel.stage_at_hand();
    let mut layers = Vec::new();
    for (step, stage) in panel.steps().iter().zip(panel.stages()) {
        if stage.face != Some(face) || !stage.kind.is_layer() {
            continue;
        }
        for (laid, flaw) in &step.failed_attempts {
            let when = format_when(laid.done_at.wall, at.now.wall, at.zone);
            let stage = Stage { direction: laid.event.direction, ..stage };
            layers.push(build_layer(stage, LayerState::Repeated, when, format!("done again, {}", flaw.name())));
        }
        layers.push(build_step_layer(story, step, stage, hand, at));
    }
    layers
}

fn build_step_layer<Z: TimeZone<Offset: Display>>(
    story: &PanelStory,
    step: &PlanStep,
    stage: Stage,
    hand: Option<Stage>,
    at: &ViewContext<'_, Z>,
) -> LayerViewModel {
    match &step.state {
        StepState::Done(laid) => {
            let when = format_when(laid.done_at.wall, at.now.wall, at.zone);
            build_layer(stage, LayerState::Laid, when, describe_deviation(story, step))
        }
        StepState::Skipped(_) => build_layer(stage, LayerState::Skipped, String::new(), "left out".to_owned()),
        StepState::Pending | StepState::Begun(_) if hand.is_some_and(|h| h.is_same_slot(&stage)) => {
            build_layer(stage, LayerState::Next, String::new(), String::new())
        }
        StepState::Pending | StepState::Begun(_) => {
            build_layer(stage, LayerState::Coming, String::new(), String::new())
        }
    }
}

/// How the coat stood to the wait before it, whether that was judged at its start or when it was done.
fn describe_deviation(story: &PanelStory, step: &PlanStep) -> String {
    let Some(laid) = step.laid_coat() else { return String::new() };
    let panel = story.panel();
    let judged = panel.step_judgements(step.slot, laid.seq);
    let early = judged.iter().find_map(|j| j.early_by).map(|s| format_lateness(-s));
    let gap = judged.iter().any(|j| j.long_gap.is_some()).then(|| "long gap".to_owned());
    early.or(gap).unwrap_or_default()
}

fn build_layer(stage: Stage, state: LayerState, when: String, off: String) -> LayerViewModel {
    LayerViewModel {
        kind: stage.kind,
        number: stage.number,
        direction: stage.direction,
        state,
        caption: when,
        deviation: off,
    }
}
