//! What the report tells of a trial: its lots as jars with their boards, what came of each, the effects.

use super::html::{DrawnEffect, PanelPhoto, TrialBoardCell, TrialJarCell, TrialPage};
use super::trial::TrialReview;
use super::trial::metric::TrialMetric;
use super::trial::standing::{BoardProgress, BoardStanding};
use crate::text::format_number;
use crate::units::Id;
use crate::work::panel::ground_test::PencilGrade;
use crate::work::story::jar_letter;
use crate::work::trial::amounts::say_units;
use crate::work::trial::event::TrialOpened;
use crate::work::trial::factor::{Factor, FactorUnit};
use std::collections::BTreeMap;

/// The page of a trial; `photos` are those of its boards, by what they are filed under.
pub fn build_trial_page(trial: &TrialOpened, review: &TrialReview, photos: &BTreeMap<&Id, &[PanelPhoto]>) -> TrialPage {
    let metric = shown_metric(review);
    let kinds = trial.design.combinations(FactorUnit::Board);
    let shows = trial.design.factors.iter().filter_map(|f| f.key.shows_itself());
    let not_blind = shows.map(|why| format!("Not looked at quite blind: {why}."));
    let mut design = say_units(trial);
    design.push(format!("Drawn by lot, with seed {}.", trial.seed));
    design.extend(metric.map(|m| format!("Below the number of a board stands what it came to: {}.", m.name())));
    TrialPage {
        label: trial.label.clone(),
        answer: review.answer.message.clone(),
        design,
        jars: collect_jars(trial, review, metric),
        kinds: kinds.iter().map(|numbers| say_levels(trial, FactorUnit::Board, numbers)).collect(),
        size: trial.size,
        effects: trial.design.factors.iter().flat_map(|factor| draw_effects(factor, review)).collect(),
        remarks: not_blind.chain(review.departures.iter().cloned()).collect(),
        photos: collect_photos(review, photos),
    }
}

/// What a factor did; a figure in which no board differs is left out.
fn draw_effects<'a>(factor: &'a Factor, review: &'a TrialReview) -> impl Iterator<Item = DrawnEffect> + 'a {
    let told = review.effects.iter().filter(|told| told.effect.key == factor.key);
    let differs = told.filter(|told| {
        // Sums of equal figures differ by a rounding.
        let (low, high) = told.effect.interval;
        [told.effect.effect, low, high].iter().any(|change| change.abs() > 1e-9)
    });
    let level =
        |level: Option<&f64>| level.map_or_else(String::new, |l| factor.key.format_level(*l)) + factor.key.suffix();
    let levels = format!("from {} to {}", level(factor.levels.first()), level(factor.levels.last()));
    differs.map(move |told| DrawnEffect {
        label: format!("{}: {}", factor.key.noun(), told.metric.name()),
        effect: told.effect.effect,
        interval: told.effect.interval,
        unit: format!(" {}", told.metric.unit()),
        levels: levels.clone(),
        chance: told.effect.p_value,
    })
}

/// The figure that is written on the boards: the one the trial is answered by, else any that was looked at.
fn shown_metric(review: &TrialReview) -> Option<TrialMetric> {
    let answering = review.effects.iter().find(|told| told.is_answer).map(|told| told.metric);
    answering.or_else(|| review.outcomes.keys().next().copied())
}

/// Jars, or strips, by their levels and then by their numbers, each with its boards.
fn collect_jars(trial: &TrialOpened, review: &TrialReview, metric: Option<TrialMetric>) -> Vec<TrialJarCell> {
    let is_strips = trial.design.strips.is_some();
    let mut groups: BTreeMap<(Vec<usize>, u32), Vec<TrialBoardCell>> = BTreeMap::new();
    for (lot, standing) in trial.lots.boards.iter().zip(&review.boards) {
        let number = lot.strip.unwrap_or(lot.jar);
        let levels = trial.lots.jars.get(lot.jar.saturating_sub(1) as usize).cloned().unwrap_or_default();
        groups.entry((levels, number)).or_default().push(board_cell(trial, review, metric, &lot.levels, standing));
    }
    let title = |(levels, number): &(Vec<usize>, u32)| {
        let name = match jar_letter(*number).filter(|_| !is_strips) {
            Some(letter) => format!("Pot {letter}"),
            None => format!("Strip {number}"),
        };
        let levels = say_levels(trial, FactorUnit::Pot, levels);
        if levels.is_empty() { name } else { format!("{name}, {levels}") }
    };
    groups.into_iter().map(|(key, boards)| TrialJarCell { title: title(&key), boards }).collect()
}

fn board_cell(
    trial: &TrialOpened,
    review: &TrialReview,
    metric: Option<TrialMetric>,
    levels: &[usize],
    standing: &BoardStanding,
) -> TrialBoardCell {
    let figure = |m: TrialMetric| review.outcomes.get(&m)?.get(&standing.run).copied();
    let kind = trial.design.combinations(FactorUnit::Board).iter().position(|numbers| numbers == levels);
    let remark = match standing.progress {
        BoardProgress::Missing => "not there",
        BoardProgress::Laying => "at work",
        BoardProgress::GivenUp => "given up",
        BoardProgress::Finished => "not seen",
    };
    TrialBoardCell {
        label: standing.label.clone(),
        levels: say_levels(trial, FactorUnit::Board, levels),
        kind: kind.unwrap_or(0),
        outcome: metric.and_then(|m| Some(say_figure(m, figure(m)?))).unwrap_or_default(),
        remark: remark.to_owned(),
        is_cracked: figure(TrialMetric::Cracks).is_some_and(|cracked| cracked > 0.0),
    }
}

/// "60 g/l, 12 min".
fn say_levels(trial: &TrialOpened, unit: FactorUnit, numbers: &[usize]) -> String {
    let of_word = |factor: &Factor| factor.key.words().is_some();
    let one = |(factor, level): (&Factor, f64)| {
        let written = factor.key.format_level(level);
        if of_word(factor) { format!("{} {written}", factor.key.name()) } else { written + factor.key.suffix() }
    };
    trial.levels_of(unit, numbers).map(one).collect::<Vec<_>>().join(", ")
}

/// A figure as it is written on a board; a pencil by its name, or by both names where it lies between two.
fn say_figure(metric: TrialMetric, figure: f64) -> String {
    match metric {
        TrialMetric::Pencil => say_pencil(figure),
        TrialMetric::Cracks => if figure > 0.0 { "cracked" } else { "no crack" }.to_owned(),
        TrialMetric::Bend | TrialMetric::Bow => format!("{} mm", format_number(figure, 2)),
        TrialMetric::Drop => format!("{} s", format_number(figure, 1)),
        TrialMetric::Scrape => format!("{} min", format_number(figure, 1)),
        TrialMetric::Tape | TrialMetric::Rub | TrialMetric::DampRub | TrialMetric::Powder | TrialMetric::Nail => {
            format_number(figure, 1)
        }
    }
}

/// Of three readings one that is a step off is told.
const BETWEEN: f64 = 1.0 / 6.0;

fn say_pencil(steps: f64) -> String {
    let name =
        |steps: f64| PencilGrade::ALL.into_iter().find(|p| f64::from(p.steps()) == steps).map_or("", |p| p.name());
    if (steps - steps.round()).abs() <= BETWEEN {
        name(steps.round()).to_owned()
    } else {
        format!("{} to {}", name(steps.floor()), name(steps.ceil()))
    }
}

/// The last photograph of each board, in the order drawn.
fn collect_photos(review: &TrialReview, photos: &BTreeMap<&Id, &[PanelPhoto]>) -> Vec<PanelPhoto> {
    let of_board = |standing: &BoardStanding| {
        let last = photos.get(standing.id.as_ref()?)?.last()?;
        Some(PanelPhoto { seen: format!("{}: {}", standing.label, last.seen), ..last.clone() })
    };
    review.boards.iter().filter_map(of_board).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mean_of_pencils_is_told_by_their_names() {
        for (steps, says) in [(6.0, "HB"), (6.1, "HB"), (6.5, "HB to F"), (6.333, "HB to F"), (6.9, "F"), (0.0, "6B")] {
            assert_eq!(say_pencil(steps), says, "{steps}");
        }
    }
}
