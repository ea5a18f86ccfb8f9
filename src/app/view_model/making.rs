//! One step of a batch being made: what to do, how to tell that it is right, how much for the panels on the rack.

use super::context::ViewContext;
use super::status_line::format_alert;
use crate::app::batch_amounts::BatchAmounts;
use crate::app::bench_view_model::{TimerKind, TimerViewModel};
use crate::app::message::{InputMode, Message, PotCommand};
use crate::app::model::{MakingModel, Model};
use crate::app::page_view_model::{AmountViewModel, MakingViewModel, Paragraph, ParagraphKind};
use crate::craft::quantities::mix::Mix;
use crate::craft::recipe::Recipe;
use crate::text::{format_count, format_weekday_hhmm, format_when};
use crate::units::Span;
use crate::work::advice::making::{MakingStep, making_advice};
use crate::work::pot::event::PotKind;
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
    let soaks = step == MakingStep::Melt && timed.is_some_and(|t| !t.counts_up && t.span > Span::ZERO);
    let mut paragraphs = Vec::new();
    let mut amounts = Vec::new();
    if let Some(recipe) = &recipe {
        let batch = model.batch_amounts(recipe);
        match &batch {
            Some(batch) => {
                amounts = batch.amounts_at_step(step);
                if !amounts.is_empty() {
                    paragraphs.push(Paragraph::new(ParagraphKind::Figure, batch.explain(step)));
                }
            }
            None => paragraphs.extend(describe_missing_boards(step, recipe)),
        }
        paragraphs.extend(describe_balance(model, making, batch.as_ref()));
        if soaks {
            paragraphs.push(Paragraph::new(ParagraphKind::Plain, describe_soak_time(model)));
        }
        paragraphs.extend(build_advice_paragraphs(step, recipe, making.shows_sources));
    }
    let key = |messages: &[Message], words| model.keymap().hint_as(InputMode::Pots, messages, words);
    MakingViewModel {
        title: recipe.map_or_else(String::new, |r| format!("A batch by {}", r.name)),
        clock: format_weekday_hhmm(at.now.wall, at.zone),
        act: if soaks { "let it soak".to_owned() } else { step.label().to_owned() },
        step_position: format!("step {} of {}", step.number(), MakingStep::ALL.len()),
        timer: digits,
        timer_note: due,
        amounts,
        paragraphs,
        alert: format_alert(model, at.now),
        keys: [
            Some(key(&[Message::RecordDone], step.done_label())),
            step.weighed_kind().map(|_| key(&[Message::Pot(PotCommand::EnterWeight)], "weighed")),
            Some(key(&[Message::Up, Message::Down], "step")),
            Some(key(&[Message::Pot(PotCommand::Undo)], "take back")),
            Some(key(&[Message::ShowAdvice], if making.shows_sources { "without sources" } else { "where from" })),
            Some(key(&[Message::Leave], "the pots")),
        ]
        .into_iter()
        .flatten()
        .collect(),
    }
}

/// How the step is done, what to look for and what can hurt; each with its source where that is asked for.
fn build_advice_paragraphs(step: MakingStep, recipe: &Recipe, shows_sources: bool) -> Vec<Paragraph> {
    let said = making_advice(step, recipe);
    let told = |kind, text: &str, source: &str| Paragraph {
        kind,
        text: text.to_owned(),
        source: if shows_sources { source.to_owned() } else { String::new() },
    };
    let tips = said.tips.iter().map(|tip| told(ParagraphKind::Plain, &tip.text, tip.source));
    let sign = said.sign.iter().map(|tip| told(ParagraphKind::Sign, &tip.text, tip.source));
    let cautions = said.cautions.iter().map(|c| told(ParagraphKind::Caution, c.text, c.source));
    tips.chain(sign).chain(cautions).collect()
}

/// Where something was weighed or a batch is made: what was asked for or noted, and how to say that the balance said
/// otherwise.
fn describe_balance(model: &Model, making: &MakingModel, batch: Option<&BatchAmounts>) -> Option<Paragraph> {
    let step = making.step;
    let kind = step.weighed_kind()?;
    // Between those it may be given as well, but there is other work.
    if !(step.makes_pot() || matches!(step, MakingStep::Soak | MakingStep::Sift)) {
        return None;
    }
    let (weighed_at, pot) = match kind {
        PotKind::Size => (MakingStep::Weigh, making.size.as_ref()),
        PotKind::Gesso => (MakingStep::Powders, making.gesso.as_ref()),
    };
    let asked = batch.map(|b| b.amounts_at_step(weighed_at)).unwrap_or_default();
    let asked: Vec<String> = asked.iter().map(|a| format!("{} {}", a.amount, a.of)).collect();
    let asked = match model.noted_balance(pot) {
        Some(parts) => format!("Weighed: {}. ", parts.to_line()),
        // They stand there in large letters, and the key below.
        None if step == MakingStep::Soak => return None,
        None if asked.is_empty() => String::new(),
        None => format!("Asked for: {}. ", asked.join(", ")),
    };
    let key = model.keymap().label(&Message::Pot(PotCommand::EnterWeight), InputMode::Pots);
    let text = format!("{asked}If the balance said otherwise: {key} takes it.");
    Some(Paragraph::new(ParagraphKind::Figure, text))
}

/// What may be done while the glue soaks.
fn describe_soak_time(model: &Model) -> String {
    let key = |message, mode| model.keymap().label(&message, mode);
    let (back, leave) = (key(Message::Leave, InputMode::Pots), key(Message::Leave, InputMode::Bench));
    let (pots, lead) =
        (key(Message::ShowPots, InputMode::Bench), key(Message::Pot(PotCommand::StartMaking), InputMode::Pots));
    format!("Nothing to do until then: {back} goes back, {leave} leaves; {pots}, then {lead} comes back here.")
}

impl BatchAmounts {
    /// What is weighed or measured at that step.
    fn amounts_at_step(&self, step: MakingStep) -> Vec<AmountViewModel> {
        let amount = |amount: String, of: &str| AmountViewModel { amount, of: of.to_owned() };
        let gesso = |of: fn(&Mix) -> f64| self.gesso_sum(of);
        match step {
            MakingStep::Weigh | MakingStep::Soak => vec![
                amount(format_grams(self.glue_g()), "dry glue"),
                amount(format_millilitres(self.water_ml()), "cold water"),
            ],
            MakingStep::Powders => {
                let fillers = self.mixes.first().map_or(&[][..], |m| &m.gesso.fillers);
                let mass = |i: usize| self.sum(|m| m.gesso.fillers.get(i).map_or(0.0, |f| f.mass_g));
                let each = fillers.iter().enumerate();
                each.map(|(i, f)| amount(format_grams(mass(i) * self.gesso_share), f.filler.name())).collect()
            }
            MakingStep::Pour => {
                vec![amount(format_millilitres(gesso(|m| m.gesso.size_ml)), "glue size for the gesso")]
            }
            MakingStep::Ready => {
                let thin = gesso(|m| m.gesso.thinning_ml);
                let thin = (thin >= 0.5).then(|| amount(format_millilitres(thin), "water, given at the end"));
                let whole = amount(format_millilitres(gesso(|m| m.gesso.volume_ml)), "gesso in all");
                [whole].into_iter().chain(thin).collect()
            }
            MakingStep::SizeBoard => {
                vec![amount(format_millilitres(self.sum(|m| m.size_for_wood.volume_ml)), "glue size for the wood")]
            }
            MakingStep::LayOut
            | MakingStep::Packet
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

    /// For which boards, and how the sum comes about.
    fn explain(&self, step: MakingStep) -> String {
        let shown = self.labels.iter().take(MAX_LABELS).cloned().collect::<Vec<_>>().join(", ");
        let more = self.labels.len().saturating_sub(MAX_LABELS);
        let more = if more > 0 { format!(" and {more} more") } else { String::new() };
        let boards = format!("For {}: {shown}{more}.", format_count(self.labels.len(), "board"));
        if step == MakingStep::Weigh {
            let wood = self.sum(|m| m.size_for_wood.glue_g);
            let [wood, gesso] = [wood, self.glue_g() - wood].map(format_grams);
            let own = self.own.map_or_else(String::new, |own| {
                format!(" Gesso by your own pots: {:.0} ml to a square metre and coat.", own.best)
            });
            return format!("{boards} Of the glue {wood} go on the wood, {gesso} into the gesso.{own}");
        }
        if step == MakingStep::Powders {
            let fillers = self.mixes.first().map_or(&[][..], |m| &m.gesso.fillers);
            let loose = |i: usize| self.gesso_sum(|m| m.gesso.fillers.get(i).map_or(0.0, |f| f.bulk_ml));
            let each = fillers
                .iter()
                .enumerate()
                .map(|(i, f)| format!("{} about {}", f.filler.name(), format_millilitres(loose(i))));
            return format!("{boards} Loose in a cup: {}.", each.collect::<Vec<_>>().join(", "));
        }
        boards
    }
}

/// So many boards are named.
const MAX_LABELS: usize = 4;

/// Grams as they are weighed: to a tenth below a hundred.
fn format_grams(g: f64) -> String {
    if g < 99.95 { format!("{g:.1} g") } else { format!("{g:.0} g") }
}

fn format_millilitres(ml: f64) -> String {
    format!("{ml:.0} ml")
}

/// Said at a step that weighs or measures where no board tells how much.
fn describe_missing_boards(step: MakingStep, recipe: &Recipe) -> Option<Paragraph> {
    let weighs = matches!(step, MakingStep::Weigh | MakingStep::Powders | MakingStep::Pour | MakingStep::Ready);
    let said = format!(
        "no unfinished board here has the recipe {}; `sottile mix` tells the amounts for any size",
        recipe.name
    );
    weighs.then(|| Paragraph::new(ParagraphKind::Figure, said))
}
