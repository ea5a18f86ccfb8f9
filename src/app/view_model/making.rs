//! One step of a batch being made: what to do, how to tell that it is right, how much for the panels on the rack.

use super::context::ViewContext;
use super::status_line::format_alert;
use crate::app::bench_view_model::{TimerKind, TimerViewModel};
use crate::app::message::{InputMode, Message, PotCommand};
use crate::app::model::{MakingModel, Model};
use crate::app::page_view_model::{MakingViewModel, Paragraph, ParagraphKind};
use crate::bench::Snapshot;
use crate::craft::quantities::mix::{Mix, MixInputs, compute_mix};
use crate::craft::recipe::Recipe;
use crate::text::{format_weekday_hhmm, format_when};
use crate::units::{Size, Span};
use crate::work::advice::making::{MakingStep, making_advice};
use chrono::TimeZone;
use std::fmt::Display;

/// The step at hand.
pub fn build_making_view_model<Z: TimeZone<Offset: Display>>(
    model: &Model,
    making: &MakingModel,
    at: &ViewContext<'_, Z>,
) -> MakingViewModel {
    let step = making.step;
    let recipe = model.making_recipe(making);
    let timed = model.making_timer(making, at.now);
    let digits = timed.map(|t| {
        let (reads, up) = match (t.counts_up, t.span > Span::ZERO) {
            (true, _) => (TimerKind::Elapsed, false),
            (false, true) => (TimerKind::Remaining, true),
            (false, false) => (TimerKind::Overdue, false),
        };
        let ms = t.span.abs().ms() + if up { 999 } else { 0 };
        TimerViewModel { seconds: ms.max(0) as u64 / 1000, kind: reads, progress: None }
    });
    let due = timed.map_or_else(String::new, |t| {
        let stamp = format_when(t.at, at.now.wall, at.zone);
        match (step, t.counts_up, t.span > Span::ZERO) {
            (_, true, _) => format!("in the bath since {stamp}"),
            (MakingStep::Melt, false, true) => format!("the glue soaks until {stamp}"),
            (MakingStep::Melt, false, false) => format!("soaked since {stamp}"),
            (_, false, true) => format!("until {stamp}"),
            (_, false, false) => format!("done since {stamp}"),
        }
    });
    let mut paragraphs = Vec::new();
    if let Some(recipe) = &recipe {
        let said = making_advice(step, recipe);
        let told = |lead, tip: &crate::work::advice::Tip| Paragraph {
            kind: lead,
            text: tip.text.to_string(),
            source: tip.source.to_owned(),
        };
        paragraphs.extend(build_amount_paragraphs(model, step, recipe));
        paragraphs.extend(said.tips.iter().map(|tip| told(ParagraphKind::Plain, tip)));
        paragraphs.extend(said.sign.iter().map(|tip| told(ParagraphKind::Sign, tip)));
        paragraphs.extend(said.cautions.iter().map(|c| Paragraph {
            kind: ParagraphKind::Caution,
            text: c.text.to_owned(),
            source: c.source.to_owned(),
        }));
    }
    let key = |messages: &[Message], words| model.keymap().hint_as(InputMode::Pots, messages, words);
    MakingViewModel {
        title: recipe.map_or_else(String::new, |r| format!("A batch by {}", r.name)),
        clock: format_weekday_hhmm(at.now.wall, at.zone),
        act: step.label().to_owned(),
        step_position: format!("step {} of {}", step.number(), MakingStep::ALL.len()),
        timer: digits,
        timer_note: due,
        paragraphs,
        alert: format_alert(model, at.now),
        keys: vec![
            key(&[Message::RecordDone], step.done_label()),
            key(&[Message::Up, Message::Down], "step"),
            key(&[Message::Pot(PotCommand::Undo)], "take back"),
            key(&[Message::Leave], "the pots"),
        ],
    }
}

/// How much, at the steps that weigh or measure: a panel's share and the sum.
fn build_amount_paragraphs(model: &Model, step: MakingStep, recipe: &Recipe) -> Vec<Paragraph> {
    if !matches!(step, MakingStep::Weigh | MakingStep::Powders | MakingStep::Pour | MakingStep::Ready) {
        return Vec::new();
    }
    let panels = find_unfinished_panels(model, recipe);
    if panels.is_empty() {
        return vec![Paragraph::new(
            ParagraphKind::Figure,
            format!("no unfinished panel here has the recipe {}; sottile mix reckons for any size", recipe.name),
        )];
    }
    let bulk = &model.pot_survey().bulk;
    let reckon = |size, panels| compute_mix(&MixInputs { recipe, size, panels, faces: None, scoop: None, bulk }).ok();
    let each: Vec<(String, Mix)> =
        panels.iter().filter_map(|(label, size)| Some((label.clone(), reckon(*size, 1)?))).collect();
    let mut lines: Vec<String> = each
        .iter()
        .take(MAX_PANEL_LINES)
        .flat_map(|(label, mix)| format_amounts(step, label, std::slice::from_ref(mix), 0.0))
        .collect();
    if each.len() > MAX_PANEL_LINES {
        lines.push(format!("and {} more panels", each.len() - MAX_PANEL_LINES));
    }
    if each.len() > 1 {
        let mixes: Vec<Mix> = each.into_iter().map(|(_, mix)| mix).collect();
        // Cloth, sieve and bowl keep their share once, not once a panel.
        let spared = recipe.gesso.loss_ml * (mixes.len() - 1) as f64;
        lines.extend(format_amounts(step, "IN SUM", &mixes, spared));
    }
    lines.into_iter().map(|line| Paragraph::new(ParagraphKind::Figure, line)).collect()
}

/// So many panels have a line of their own.
const MAX_PANEL_LINES: usize = 3;

/// The unfinished panels of that recipe, with their sizes.
fn find_unfinished_panels(model: &Model, recipe: &Recipe) -> Vec<(String, Size)> {
    let story = |t: &Snapshot| t.story.clone();
    let fits = model.snapshots().iter().filter_map(story).filter(|s| {
        let open = s.panel().stage_at_hand().is_some() && s.panel().abandon_reason().is_none();
        open && s.panel().opened().recipe.name == recipe.name
    });
    fits.map(|s| (s.panel().opened().label.clone(), s.panel().opened().size)).collect()
}

/// The amounts of that step for those panels together, less the gesso that is kept back only once.
fn format_amounts(step: MakingStep, label: &str, mixes: &[Mix], spared_ml: f64) -> Vec<String> {
    let sum = |of: fn(&Mix) -> f64| mixes.iter().map(of).sum::<f64>();
    let whole = sum(|m| m.gesso.volume_ml);
    let share = if whole > 0.0 { (whole - spared_ml) / whole } else { 1.0 };
    let gesso = |of: fn(&Mix) -> f64| sum(of) * share;
    match step {
        MakingStep::Weigh => {
            let (wood_glue, wood_water) = (sum(|m| m.size_for_wood.glue_g), sum(|m| m.size_for_wood.water_g));
            let (glue, water) = (gesso(|m| m.gesso.glue_g), gesso(|m| m.gesso.water_g));
            vec![format!(
                "{label}: for the wood {wood_glue:.1} g glue in {wood_water:.0} ml water, for the gesso {glue:.1} g in {water:.0} ml"
            )]
        }
        MakingStep::Powders => {
            let fillers = mixes.first().map_or(&[][..], |m| &m.gesso.fillers);
            let each = fillers.iter().enumerate().map(|(i, filler)| {
                let of = |get: fn(&crate::craft::quantities::mix::FillerMix) -> f64| {
                    mixes.iter().filter_map(|m| m.gesso.fillers.get(i)).map(get).sum::<f64>() * share
                };
                format!("{} {:.0} g ({:.0} ml loose)", filler.filler.name(), of(|f| f.mass_g), of(|f| f.bulk_ml))
            });
            vec![format!("{label}: {}", each.collect::<Vec<_>>().join(", "))]
        }
        MakingStep::Pour => vec![format!("{label}: {:.0} ml of size for the gesso", gesso(|m| m.gesso.size_ml))],
        MakingStep::Ready => {
            let thin = gesso(|m| m.gesso.thinning_ml);
            let thin = if thin >= 0.5 { format!(", {thin:.0} ml of water given at the end") } else { String::new() };
            vec![format!("{label}: {:.0} ml of gesso{thin}", gesso(|m| m.gesso.volume_ml))]
        }
        MakingStep::LayOut
        | MakingStep::Packet
        | MakingStep::Soak
        | MakingStep::Melt
        | MakingStep::Look
        | MakingStep::Lift
        | MakingStep::Try
        | MakingStep::Sift
        | MakingStep::Sink
        | MakingStep::Combine
        | MakingStep::Strain => Vec::new(),
    }
}
