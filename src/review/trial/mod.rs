//! What came of a trial: which figure it is answered by, the effects of what was varied, where its boards stand, and the
//! answer in a painter's words.
//!
//! A board whose coats were laid otherwise than drawn is told and counted as drawn, since it is the draw that makes the
//! test true; one that was given up or not looked at is told and left out.

pub mod json;
pub mod metric;
pub mod sentences;
pub mod standing;

#[cfg(test)]
mod tests;

use super::compare::{Answer, AnswerKind};
use crate::text::format_count;
use crate::units::Moment;
use crate::work::advice::inspections::story_inspections;
use crate::work::panel::story::PanelStory;
use crate::work::pot::event::PotOpened;
use crate::work::trial::design::{CHANCE_OF_INTERVAL, CHANCE_TOLD};
use crate::work::trial::effects::{TrialEffect, compute_effect};
use crate::work::trial::event::TrialOpened;
use crate::work::trial::factor::Factor;
use metric::TrialMetric;
use sentences::{say_found, say_not_found};
use standing::{BoardProgress, BoardStanding, stand_board};
use std::collections::BTreeMap;

/// What one factor did to one figure, with the sentence for it.
#[derive(Debug, Clone, PartialEq)]
pub struct ToldEffect {
    /// The figure.
    pub metric: TrialMetric,
    /// The effect.
    pub effect: TrialEffect,
    /// It, in a painter's words.
    pub message: String,
    /// It is the one the factor is answered by.
    pub is_answer: bool,
}

/// What came of a trial.
#[derive(Debug, Clone, PartialEq)]
pub struct TrialReview {
    /// The answer.
    pub answer: Answer,
    /// Every effect that could be reckoned, those that answer first.
    pub effects: Vec<ToldEffect>,
    /// The boards in the order drawn.
    pub boards: Vec<BoardStanding>,
    /// The figures of each board by its run, for every figure that was looked at.
    pub outcomes: BTreeMap<TrialMetric, BTreeMap<u32, f64>>,
    /// What was laid otherwise than drawn, and which boards are left out, a sentence each.
    pub departures: Vec<String>,
}

/// Reviews a trial: `boards` are the stories of its boards by their run, `jars` its pots.
pub fn review_trial(
    trial: &TrialOpened,
    boards: &BTreeMap<u32, PanelStory>,
    jars: &[PotOpened],
    now: Moment,
) -> TrialReview {
    let standings: Vec<BoardStanding> =
        (1..=trial.design.boards).map(|run| stand_board(trial, run, boards.get(&run), jars, now)).collect();
    let outcomes = collect_outcomes(boards);
    let mut effects: Vec<ToldEffect> = Vec::new();
    for factor in &trial.design.factors {
        let answered_by = TrialMetric::preferred(factor.key).into_iter().find(|m| outcomes.contains_key(m));
        for (metric, by_run) in &outcomes {
            let Some(effect) = compute_effect(trial, factor, by_run) else { continue };
            let message = say_effect(trial, factor, *metric, &effect);
            effects.push(ToldEffect { metric: *metric, effect, message, is_answer: answered_by == Some(*metric) });
        }
    }
    effects.sort_by_key(|told| !told.is_answer);
    let answer = answer_trial(trial, &effects, &outcomes);
    let departures = tell_departures(&standings, &outcomes);
    TrialReview { answer, effects, boards: standings, outcomes, departures }
}

fn say_effect(trial: &TrialOpened, factor: &Factor, metric: TrialMetric, effect: &TrialEffect) -> String {
    if effect.p_value <= CHANCE_TOLD {
        say_found(factor, metric, effect)
    } else {
        say_not_found(trial, factor, metric, effect)
    }
}

/// Each board's figure: of cracks the worst of all looks, else what the last look that tells it says.
fn collect_outcomes(boards: &BTreeMap<u32, PanelStory>) -> BTreeMap<TrialMetric, BTreeMap<u32, f64>> {
    let mut outcomes: BTreeMap<TrialMetric, BTreeMap<u32, f64>> = BTreeMap::new();
    for (run, story) in boards {
        let looks = story_inspections(story);
        for metric in TrialMetric::ALL {
            let mut read = looks.iter().filter_map(|(_, seen)| metric.read(seen));
            let figure = if metric == TrialMetric::Cracks { read.reduce(f64::max) } else { read.next_back() };
            if let Some(figure) = figure {
                outcomes.entry(metric).or_default().insert(*run, figure);
            }
        }
    }
    outcomes
}

fn answer_trial(
    trial: &TrialOpened,
    effects: &[ToldEffect],
    outcomes: &BTreeMap<TrialMetric, BTreeMap<u32, f64>>,
) -> Answer {
    let answering: Vec<&ToldEffect> = effects.iter().filter(|told| told.is_answer).collect();
    let looked = outcomes.values().map(BTreeMap::len).max().unwrap_or(0);
    if answering.is_empty() {
        let said =
            format!("Not answered yet: {looked} of {} are looked at.", format_count(trial.design.boards, "board"));
        return Answer::new(AnswerKind::Cannot, Vec::new(), &[said]);
    }
    let found = |chance: f64| answering.iter().filter(move |told| told.effect.p_value <= chance);
    let fields: Vec<&'static str> = found(CHANCE_TOLD).map(|told| told.effect.key.name()).collect();
    let can_tell = answering.iter().any(|told| told.effect.least_p <= CHANCE_TOLD);
    let kind = match fields.len() {
        0 if !can_tell => AnswerKind::Cannot,
        0 if found(CHANCE_OF_INTERVAL).next().is_some() => AnswerKind::Hint,
        0 => AnswerKind::Nothing,
        _ => AnswerKind::One,
    };
    let mut sentences: Vec<String> = answering.iter().map(|told| told.message.clone()).collect();
    if kind == AnswerKind::Cannot {
        sentences.insert(0, "So few boards can settle nothing.".to_owned());
    }
    if looked < trial.design.boards as usize {
        sentences.push(format!("It rests on {looked} of {}.", format_count(trial.design.boards, "board")));
    }
    Answer::new(kind, fields, &sentences)
}

fn tell_departures(boards: &[BoardStanding], outcomes: &BTreeMap<TrialMetric, BTreeMap<u32, f64>>) -> Vec<String> {
    let looked = |run: u32| outcomes.values().any(|by_run| by_run.contains_key(&run));
    let labels = |of: &dyn Fn(&BoardStanding) -> bool| -> Vec<&str> {
        boards.iter().filter(|b| of(b)).map(|b| b.label.as_str()).collect()
    };
    let mut told: Vec<String> = boards.iter().flat_map(|b| b.departures.iter().cloned()).collect();
    let given_up = labels(&|b| b.progress == BoardProgress::GivenUp && !looked(b.run));
    let missing = labels(&|b| b.progress == BoardProgress::Missing);
    let unseen = labels(&|b| b.progress == BoardProgress::Finished && !looked(b.run));
    for (which, why) in [(given_up, "given up"), (missing, "not there"), (unseen, "not looked at")] {
        if !which.is_empty() {
            told.push(format!("Left out: {} ({why}).", which.join(", ")));
        }
    }
    told
}
