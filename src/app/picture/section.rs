//! The panel cut open: every layer laid and to come, from the wood outwards.

use super::Telling;
use crate::app::scene::{Layer, LayerState};
use crate::text::{Units, early_late, length, when};
use crate::work::advice::words;
use crate::work::panel::event::{Face, Kind, Stage};
use crate::work::panel::fold::{Became, Panel, Step};
use crate::work::panel::story::Story;
use chrono::TimeZone;
use std::fmt::Display;

/// The wood in the middle.
pub(super) fn wood(panel: &Panel, units: Units) -> String {
    let opened = panel.opened();
    let support = words::support(opened.support);
    opened.size.thickness.map_or_else(|| support.to_owned(), |t| format!("{support} {}", length(t, units)))
}

/// The layers of the front.
pub(super) fn front<Z: TimeZone<Offset: Display>>(story: &Story, at: &Telling<'_, Z>) -> Vec<Layer> {
    layers(story, Face::Front, at)
}

/// The layers of the back.
pub(super) fn back<Z: TimeZone<Offset: Display>>(story: &Story, at: &Telling<'_, Z>) -> Vec<Layer> {
    layers(story, Face::Back, at)
}

fn layers<Z: TimeZone<Offset: Display>>(story: &Story, face: Face, at: &Telling<'_, Z>) -> Vec<Layer> {
    let panel = story.panel();
    let hand = panel.at_hand();
    let mut layers = Vec::new();
    for (step, stage) in panel.steps().iter().zip(panel.stages()) {
        let leaves_a_layer = matches!(stage.kind, Kind::Size | Kind::Cloth | Kind::Stipple | Kind::Coat | Kind::Seal);
        if stage.face != Some(face) || !leaves_a_layer {
            continue;
        }
        for (laid, flaw) in &step.failed {
            let when = when(laid.done.wall, at.now.wall, at.zone);
            let stage = Stage { direction: laid.fact.direction, ..stage };
            layers.push(layer(stage, LayerState::Repeated, when, format!("done again, {}", flaw.name())));
        }
        layers.push(one(story, step, stage, hand, at));
    }
    layers
}

fn one<Z: TimeZone<Offset: Display>>(
    story: &Story,
    step: &Step,
    stage: Stage,
    hand: Option<Stage>,
    at: &Telling<'_, Z>,
) -> Layer {
    match &step.became {
        Became::Done(laid) => {
            let when = when(laid.done.wall, at.now.wall, at.zone);
            layer(stage, LayerState::Laid, when, off(story, step))
        }
        Became::Skipped(_) => layer(stage, LayerState::Skipped, String::new(), "left out".to_owned()),
        Became::Coming | Became::Begun(_) if hand.is_some_and(|h| h.same_place(&stage)) => {
            layer(stage, LayerState::Next, String::new(), String::new())
        }
        Became::Coming | Became::Begun(_) => layer(stage, LayerState::Coming, String::new(), String::new()),
    }
}

/// How the coat stood to the wait before it, whether that was judged at its start or when it was done.
fn off(story: &Story, step: &Step) -> String {
    let Some(laid) = step.laid() else { return String::new() };
    let panel = story.panel();
    let judged = panel.judgements_of(step.place, laid.seq);
    let early = judged.iter().find_map(|j| j.early).map(|s| early_late(-s));
    let late = judged.iter().find_map(|j| j.late).map(early_late);
    let gap = judged.iter().any(|j| j.gap.is_some()).then(|| "long gap".to_owned());
    early.or(gap).or(late).unwrap_or_default()
}

fn layer(stage: Stage, state: LayerState, when: String, off: String) -> Layer {
    Layer { kind: stage.kind, number: stage.number, direction: stage.direction, state, when, off }
}
