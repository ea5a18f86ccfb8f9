//! One step of a batch being made: what to do, how to tell that it is right, how much for the panels on the rack.
//!
//! Absent on purpose: drawing, which step comes next.

use super::pots::problem;
use super::sheets::key;
use super::{Telling, weekday};
use crate::app::page::{Lead, MakingView, Paragraph};
use crate::app::scene::{Digits, Reads};
use crate::app::view::{Making, View};
use crate::bench::Told;
use crate::craft::materials::Filler;
use crate::craft::materials::fillers::BulkDensities;
use crate::craft::quantities::mix::{Mix, MixAsk, mix};
use crate::craft::recipe::Recipe;
use crate::text::when;
use crate::units::{Size, Span};
use crate::work::advice::making::{Step, led};
use chrono::TimeZone;
use std::fmt::Display;

/// The step at hand.
pub fn making_view<Z: TimeZone<Offset: Display>>(view: &View, making: &Making, at: &Telling<'_, Z>) -> MakingView {
    let step = making.step;
    let recipe = view.making_recipe(making);
    let timed = view.making_timed(making, at.now);
    let digits = timed.map(|t| {
        let (reads, up) = match (t.counts_up, t.span > Span::ZERO) {
            (true, _) => (Reads::Worked, false),
            (false, true) => (Reads::Left, true),
            (false, false) => (Reads::Over, false),
        };
        let ms = t.span.abs().ms() + if up { 999 } else { 0 };
        Digits { seconds: ms.max(0) as u64 / 1000, reads, gone: None }
    });
    let due = timed.map_or_else(String::new, |t| {
        let stamp = when(t.at, at.now.wall, at.zone);
        match (step, t.counts_up, t.span > Span::ZERO) {
            (_, true, _) => format!("in the bath since {stamp}"),
            (Step::Melt, false, true) => format!("the glue soaks until {stamp}"),
            (Step::Melt, false, false) => format!("soaked since {stamp}"),
            (_, false, true) => format!("until {stamp}"),
            (_, false, false) => format!("done since {stamp}"),
        }
    });
    let mut paragraphs = Vec::new();
    if let Some(recipe) = &recipe {
        let said = led(step, recipe);
        let told = |lead, tip: &crate::work::advice::Tip| Paragraph {
            lead,
            text: tip.text.to_string(),
            source: tip.source.to_owned(),
        };
        paragraphs.extend(figures(view, step, recipe));
        paragraphs.extend(said.how.iter().map(|tip| told(Lead::Plain, tip)));
        paragraphs.extend(said.sign.iter().map(|tip| told(Lead::Sign, tip)));
        paragraphs.extend(said.cautions.iter().map(|c| Paragraph {
            lead: Lead::Caution,
            text: c.text.to_owned(),
            source: c.source.to_owned(),
        }));
    }
    MakingView {
        title: recipe.map_or_else(String::new, |r| format!("A batch by {}", r.name)),
        clock: weekday(at.now.wall, at.zone),
        act: step.act().to_owned(),
        of: format!("step {} of {}", step.number(), Step::ALL.len()),
        digits,
        due,
        paragraphs,
        problem: problem(view, at.now),
        keys: vec![key("Space", step.done()), key("Up Down", "step"), key("u", "take back"), key("Esc", "the pots")],
    }
}

/// How much, at the steps that weigh or measure: a panel's share and the sum.
fn figures(view: &View, step: Step, recipe: &Recipe) -> Vec<Paragraph> {
    if !matches!(step, Step::Weigh | Step::Powders | Step::Pour | Step::Ready) {
        return Vec::new();
    }
    let panels = panels(view, recipe);
    if panels.is_empty() {
        return vec![Paragraph::new(
            Lead::Figure,
            format!("no unfinished panel here has the recipe {}; sottile mix reckons for any size", recipe.name),
        )];
    }
    let bulk = bulk(&view.around().loose_g_per_ml);
    let reckon = |size, panels| mix(&MixAsk { recipe, size, panels, faces: None, scoop: None, bulk: &bulk }).ok();
    let each: Vec<(String, Mix)> =
        panels.iter().filter_map(|(label, size)| Some((label.clone(), reckon(*size, 1)?))).collect();
    let mut lines: Vec<String> = each
        .iter()
        .take(EACH_MAX)
        .flat_map(|(label, mix)| amounts(step, label, std::slice::from_ref(mix), 0.0))
        .collect();
    if each.len() > EACH_MAX {
        lines.push(format!("and {} more panels", each.len() - EACH_MAX));
    }
    if each.len() > 1 {
        let mixes: Vec<Mix> = each.into_iter().map(|(_, mix)| mix).collect();
        // Cloth, sieve and bowl keep their share once, not once a panel.
        let spared = recipe.gesso.loss_ml * (mixes.len() - 1) as f64;
        lines.extend(amounts(step, "IN SUM", &mixes, spared));
    }
    lines.into_iter().map(|line| Paragraph::new(Lead::Figure, line)).collect()
}

/// So many panels have a line of their own.
const EACH_MAX: usize = 3;

/// The unfinished panels of that recipe, with their sizes.
fn panels(view: &View, recipe: &Recipe) -> Vec<(String, Size)> {
    let story = |t: &Told| t.story.clone();
    let fits = view.told().iter().filter_map(story).filter(|s| {
        let open = s.panel().at_hand().is_some() && s.panel().given_up().is_none();
        open && s.panel().opened().recipe.name == recipe.name
    });
    fits.map(|s| (s.panel().opened().label.clone(), s.panel().opened().size)).collect()
}

fn bulk(loose: &[(Filler, f64)]) -> BulkDensities {
    let mut bulk = BulkDensities::default();
    for (filler, g_per_ml) in loose {
        // A weight out of all range was refused when the settings were read.
        let _ = bulk.weigh(*filler, *g_per_ml);
    }
    bulk
}

/// The amounts of that step for those panels together, less the gesso that is kept back only once.
fn amounts(step: Step, label: &str, mixes: &[Mix], spared_ml: f64) -> Vec<String> {
    let sum = |of: fn(&Mix) -> f64| mixes.iter().map(of).sum::<f64>();
    let whole = sum(|m| m.gesso.volume_ml);
    let share = if whole > 0.0 { (whole - spared_ml) / whole } else { 1.0 };
    let gesso = |of: fn(&Mix) -> f64| sum(of) * share;
    match step {
        Step::Weigh => {
            let (wood_glue, wood_water) = (sum(|m| m.size_for_wood.glue_g), sum(|m| m.size_for_wood.water_g));
            let (glue, water) = (gesso(|m| m.gesso.glue_g), gesso(|m| m.gesso.water_g));
            vec![format!(
                "{label}: for the wood {wood_glue:.1} g glue in {wood_water:.0} ml water, for the gesso {glue:.1} g in {water:.0} ml"
            )]
        }
        Step::Powders => {
            let fillers = mixes.first().map_or(&[][..], |m| &m.gesso.fillers);
            let each = fillers.iter().enumerate().map(|(i, filler)| {
                let of = |get: fn(&crate::craft::quantities::mix::FillerMix) -> f64| {
                    mixes.iter().filter_map(|m| m.gesso.fillers.get(i)).map(get).sum::<f64>() * share
                };
                format!("{} {:.0} g ({:.0} ml loose)", filler.filler.name(), of(|f| f.mass_g), of(|f| f.bulk_ml))
            });
            vec![format!("{label}: {}", each.collect::<Vec<_>>().join(", "))]
        }
        Step::Pour => vec![format!("{label}: {:.0} ml of size for the gesso", gesso(|m| m.gesso.size_ml))],
        Step::Ready => {
            let thin = gesso(|m| m.gesso.thinning_ml);
            let thin = if thin >= 0.5 { format!(", {thin:.0} ml of water given at the end") } else { String::new() };
            vec![format!("{label}: {:.0} ml of gesso{thin}", gesso(|m| m.gesso.volume_ml))]
        }
        Step::LayOut
        | Step::Packet
        | Step::Soak
        | Step::Melt
        | Step::Look
        | Step::Lift
        | Step::Try
        | Step::Sift
        | Step::Sink
        | Step::Combine
        | Step::Strain => Vec::new(),
    }
}
