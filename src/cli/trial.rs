//! `trial new`, `trials`.

use super::args_trial::TrialNewArgs;
use super::context::CliContext;
use super::error::{CliError, ExitKind};
use super::story::require_label;
use super::trial_plan::{say_amounts, say_power, say_too_small};
use super::{output, recipe};
use crate::bench::{KeptTrial, TrialError, load_trials};
use crate::text::{format_count, format_when, parse_mass, parse_size, sanitize};
use crate::units::{Id, Size};
use crate::work::trial::amounts::compute_trial_amounts;
use crate::work::trial::design::{CHANCE_TOLD, TrialDesign};
use crate::work::trial::event::{TrialOpened, bare_ground};
use crate::work::trial::factor::{Factor, recipe_with_level};
use crate::work::trial::lots::draw_lots;
use anyhow::Result;
use chrono::Local;
use serde::Serialize;
use std::sync::Arc;

impl From<TrialError> for CliError {
    fn from(error: TrialError) -> Self {
        match error {
            TrialError::Record(error) => error.into(),
            TrialError::Exists { .. } | TrialError::OutOfRange(_) | TrialError::Halfway { .. } => {
                CliError::failed(error)
            }
        }
    }
}

/// Says what a trial can tell, draws its lots, and opens its pots and boards.
pub(super) fn open_trial(context: &CliContext, new: &TrialNewArgs) -> Result<()> {
    let asked = trial_from_args(context, new)?;
    let bulk = context.settings.bulk_densities();
    let amounts = compute_trial_amounts(&asked, &bulk).map_err(CliError::failed)?;
    amounts.check_scale(&asked).map_err(CliError::failed)?;
    let said = say_power(&asked).into_iter().chain(say_amounts(&asked, &amounts));
    said.for_each(|line| output::print_message(&line));
    let is_weak = asked.design.least_p().iter().any(|(_, least)| *least > CHANCE_TOLD);
    if new.only {
        return Ok(());
    }
    if is_weak && !new.anyway {
        return Err(CliError::failed(say_too_small(&asked)).into());
    }
    let at = context.parse_at(new.at.as_ref())?;
    let kept = context.bench().open_trial(&asked, &bulk, at, &|| context.clock.now()).map_err(CliError::from)?;
    let labels = (kept.trial.board_label(1), kept.trial.board_label(kept.trial.design.boards));
    output::print_message(&format!(
        "The lots are drawn. Write {} to {} on the backs of the boards; `sottile trial show {}` says what goes into each pot.",
        labels.0, labels.1, kept.trial.id
    ));
    output::allow_untold(output::print_text(&format!("{}\n", kept.trial.id)))
}

/// The trial as asked for, its lots drawn and nothing kept.
fn trial_from_args(context: &CliContext, new: &TrialNewArgs) -> Result<TrialOpened> {
    let label = require_label(&new.label, "a trial needs a name; name it after what it asks, say strength")?;
    let ready = new.ask.map(|question| question.design());
    let factors = new.vary.iter().map(|text| Factor::parse(text)).collect::<Result<Vec<_>, _>>();
    let factors = factors.map_err(|fault| CliError::usage(format!("--vary: {fault}")))?;
    let missing =
        |what: &str| CliError::usage(format!("how many {what}? Give --{what} N, or ask a ready question with --ask"));
    let count = |asked: Option<u32>, of: fn(&TrialDesign) -> u32, what: &str| {
        asked.or(ready.as_ref().map(of)).ok_or_else(|| missing(what))
    };
    let factors =
        if factors.is_empty() { ready.as_ref().map_or_else(Vec::new, |r| r.factors.clone()) } else { factors };
    let (jars, boards) = (count(new.pots, |r| r.jars, "pots")?, count(new.boards, |r| r.boards, "boards")?);
    // Of a ready question made larger the strips grow with it.
    let strips = ready.as_ref().and_then(|r| Some(r.strips? * boards / r.boards.max(1)));
    let design = TrialDesign { factors, jars, boards, strips };
    design.check().map_err(CliError::usage)?;
    let recipe = recipe::find_recipe(context, &new.recipe)?;
    for factor in &design.factors {
        for level in &factor.levels {
            recipe_with_level(&bare_ground(&recipe), factor.key, *level)
                .map_err(|fault| CliError::usage(format!("--vary: {fault}")))?;
        }
    }
    let balance = parse_mass(&new.balance).map_err(|e| CliError::usage(format!("--balance: {e}")))?;
    let seed = new.seed.map_or_else(|| context.clock.now().wall.ms().unsigned_abs(), u64::from);
    Ok(TrialOpened {
        id: Id::new("new").ok_or_else(|| CliError::failed("no id can be made"))?,
        label,
        question: new.ask,
        lots: draw_lots(&design, seed),
        design,
        size: board_size(new)?,
        support: new.support,
        recipe: Arc::new(recipe),
        balance,
        seed,
        first_number: 1,
    })
}

fn board_size(new: &TrialNewArgs) -> Result<Size, CliError> {
    match (&new.size, new.ask) {
        (Some(text), _) => parse_size(text).map_err(|e| CliError::usage(format!("--size: {e}"))),
        (None, Some(question)) => Ok(question.board()),
        (None, None) => Err(CliError::usage("how large are the boards? Give --size, as in --size 100x100x6mm")),
    }
}

#[derive(Serialize)]
struct TrialsJson {
    format: u32,
    trials: Vec<TrialListItemJson>,
}

#[derive(Serialize)]
struct TrialListItemJson {
    id: String,
    label: String,
    opened_at: String,
    varied: Vec<&'static str>,
    pots: u32,
    boards: u32,
    first: String,
    last: String,
}

impl From<&KeptTrial> for TrialListItemJson {
    fn from(kept: &KeptTrial) -> Self {
        let trial = &kept.trial;
        TrialListItemJson {
            id: trial.id.to_string(),
            label: trial.label.clone(),
            opened_at: super::json::format_local_rfc3339(kept.opened_at.wall),
            varied: trial.design.factors.iter().map(|f| f.key.name()).collect(),
            pots: trial.design.jars,
            boards: trial.design.boards,
            first: trial.board_label(1),
            last: trial.board_label(trial.design.boards),
        }
    }
}

/// Tells every trial.
pub(super) fn list_trials(context: &CliContext, json: bool) -> Result<()> {
    let now = context.clock.now().wall;
    let (mut kept, mut worst) = (Vec::new(), None);
    for trial in load_trials(&context.shelf()).map_err(CliError::from)? {
        match trial {
            Ok(trial) => kept.push(trial),
            Err(error) => {
                let error = CliError::from(error);
                output::print_message(&format!("sottile: {}", sanitize(&error.message)));
                worst = worst.max(Some(error.kind));
            }
        }
    }
    if json {
        let trials = kept.iter().map(TrialListItemJson::from).collect();
        output::print_json(&TrialsJson { format: super::json::FORMAT_VERSION, trials })?;
    } else {
        let line = |t: &KeptTrial| {
            let varied: Vec<&str> = t.trial.design.factors.iter().map(|f| f.key.name()).collect();
            format!(
                "{}  {}  {} over {} and {}, {} to {}, drawn {}\n",
                t.trial.id,
                sanitize(&t.trial.label),
                varied.join(" and "),
                format_count(t.trial.design.jars, "pot"),
                format_count(t.trial.design.boards, "board"),
                t.trial.board_label(1),
                t.trial.board_label(t.trial.design.boards),
                format_when(t.opened_at.wall, now, &Local)
            )
        };
        let text: String = kept.iter().map(line).collect();
        let none = "no trials yet: `sottile trial new NAME --ask strength` draws one\n".to_owned();
        output::print_text(if text.is_empty() { &none } else { &text })?;
    }
    worst.map_or(Ok(()), |kind: ExitKind| Err(CliError::already_reported(kind).into()))
}
