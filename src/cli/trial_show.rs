//! `trial show`.

use super::context::{CliContext, find_trial};
use super::error::CliError;
use super::json::format_local_rfc3339;
use super::output;
use super::trial_plan::{power_points, say_amounts, say_plan, say_power};
use crate::bench::{KeptTrial, load_trial, load_trial_boards};
use crate::craft::materials::fillers::BulkDensities;
use crate::record::shelf::{Drawer, Shelf};
use crate::review::trial::json::{TrialJson, TrialJsonParts};
use crate::review::trial::standing::BoardProgress;
use crate::review::trial::{TrialReview, review_trial};
use crate::text::sanitize;
use crate::units::{Entry, Moment};
use crate::work::pot::event::{PotEvent, PotOpened};
use crate::work::trial::amounts::compute_trial_amounts;
use anyhow::Result;
use std::collections::BTreeMap;

/// A trial read from the shelf, with what came of it.
pub(super) struct ReadTrial {
    pub(super) kept: KeptTrial,
    pub(super) review: TrialReview,
    jars: Vec<PotOpened>,
}

/// Reads a trial, its boards and its pots.
pub(super) fn read_trial(shelf: &Shelf, query: &str, now: Moment) -> Result<ReadTrial> {
    let id = find_trial(shelf, query)?;
    let kept = load_trial(shelf, &id).map_err(CliError::from)?;
    let boards: BTreeMap<_, _> = load_trial_boards(shelf, &id).map_err(CliError::from)?.into_iter().collect();
    let jars = load_jars(shelf, &kept)?;
    let review = review_trial(&kept.trial, &boards, &jars, now);
    Ok(ReadTrial { kept, review, jars })
}

fn load_jars(shelf: &Shelf, kept: &KeptTrial) -> Result<Vec<PotOpened>, CliError> {
    let mut jars = Vec::new();
    for id in shelf.ids(Drawer::Pots)? {
        let Ok((_, entries)) = shelf.open_story::<PotEvent>(Drawer::Pots, &id) else { continue };
        if let Some(Entry { event: PotEvent::Opened(opened), .. }) = entries.into_iter().next()
            && opened.trial.as_ref().is_some_and(|t| t.trial == kept.trial.id)
        {
            jars.push(*opened);
        }
    }
    Ok(jars)
}

/// Tells what a trial answers, or what is still to be laid.
pub(super) fn show_trial(context: &CliContext, query: &str, json: bool) -> Result<()> {
    let read = read_trial(&context.shelf(), query, context.clock.now())?;
    let bulk = context.settings.bulk_densities();
    if json {
        return print_trial_json(&read, &bulk);
    }
    let trial = &read.kept.trial;
    let amounts = compute_trial_amounts(trial, &bulk).map_err(CliError::failed)?;
    let mut lines = vec![format!("{}: {}", sanitize(&trial.label), read.review.answer.message)];
    lines.extend(
        read.review
            .effects
            .iter()
            .filter(|told| !told.is_answer)
            .map(|told| format!("Besides, by {}: {}", told.metric.name(), told.message)),
    );
    lines.extend(read.review.departures.iter().map(|d| sanitize(d)));
    let of = |progress: BoardProgress| -> Vec<&str> {
        read.review.boards.iter().filter(|b| b.progress == progress).map(|b| b.label.as_str()).collect()
    };
    let laying = of(BoardProgress::Laying);
    lines.push(String::new());
    lines.extend(say_power(trial));
    if laying.is_empty() {
        lines.push(format!("Drawn with seed {}.", trial.seed));
    } else {
        lines.extend(say_amounts(trial, &amounts));
        lines.push(String::new());
        lines.extend(say_plan(trial, &amounts));
        lines.push(format!("Still to be laid: {}.", laying.join(", ")));
    }
    output::print_text(&(lines.join("\n") + "\n"))
}

fn print_trial_json(read: &ReadTrial, bulk: &BulkDensities) -> Result<()> {
    let trial = &read.kept.trial;
    let amounts = compute_trial_amounts(trial, bulk).map_err(CliError::failed)?;
    let power: Vec<_> = trial.design.factors.iter().map(|f| power_points(&trial.design, f)).collect();
    let opened_at = format_local_rfc3339(read.kept.opened_at.wall);
    let parts = TrialJsonParts { amounts: &amounts, power: &power, opened_at: &opened_at, jars: &read.jars };
    output::print_json(&TrialJson::new(trial, &read.review, parts))
}
