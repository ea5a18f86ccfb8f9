//! What `trial show --json` prints.

use super::TrialReview;
use super::standing::{BoardProgress, BoardStanding};
use crate::work::pot::event::PotOpened;
use crate::work::story::jar_letter;
use crate::work::trial::amounts::TrialAmounts;
use crate::work::trial::event::TrialOpened;
use crate::work::trial::factor::{Factor, FactorUnit};
use crate::work::trial::power::PowerPoint;
use serde::Serialize;
use serde_json::{Map, Value, json};

/// A trial as scripts are told it.
#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct TrialJson {
    format: u32,
    id: String,
    name: String,
    ask: Option<&'static str>,
    opened_at: String,
    seed: u64,
    varied: Vec<FactorJson>,
    pots: Vec<JarJson>,
    boards: Vec<BoardJson>,
    /// The least chance any of what is varied can ever show, the greatest of them.
    least_p: f64,
    power: Vec<PowerJson>,
    glue_g: f64,
    stock_g_per_l_water: f64,
    hands_on_h: f64,
    answer: TrialAnswerJson,
    effects: Vec<EffectJson>,
    departures: Vec<String>,
}

#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct FactorJson {
    key: &'static str,
    levels: Vec<Value>,
    /// `pot` or `board`.
    of: &'static str,
    least_p: f64,
    blind: bool,
}

#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct JarJson {
    id: Option<String>,
    pot: String,
    levels: Map<String, Value>,
    size_ml: f64,
    stock_g: f64,
    water_g: f64,
}

#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct BoardJson {
    id: Option<String>,
    label: String,
    run: u32,
    pot: String,
    strip: Option<u32>,
    levels: Map<String, Value>,
    /// `missing`, `laying`, `given up` or `finished`.
    progress: &'static str,
    /// By figure; none that was not looked at.
    outcomes: Map<String, Value>,
}

#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct PowerJson {
    key: &'static str,
    difference: f64,
    power: f64,
}

#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct TrialAnswerJson {
    kind: &'static str,
    fields: Vec<&'static str>,
    message: String,
}

#[derive(Debug, Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct EffectJson {
    key: &'static str,
    outcome: &'static str,
    effect: f64,
    /// Null where these numbers give no interval.
    low: Option<f64>,
    high: Option<f64>,
    p_value: f64,
    p_least: f64,
    exact: bool,
    /// It is the figure the answer rests on.
    answers: bool,
    message: String,
}

/// What is told besides the trial and its review.
#[derive(Debug, Clone, Copy)]
pub struct TrialJsonParts<'a> {
    /// Stock and jars.
    pub amounts: &'a TrialAmounts,
    /// What each factor could show, in the order of the factors.
    pub power: &'a [Vec<PowerPoint>],
    /// When it was drawn, RFC 3339.
    pub opened_at: &'a str,
    /// Its pots.
    pub jars: &'a [PotOpened],
}

fn level_json(factor: &Factor, level: f64) -> Value {
    if factor.key.words().is_some() { Value::String(factor.key.format_level(level)) } else { json!(level) }
}

fn levels_json(trial: &TrialOpened, unit: FactorUnit, numbers: &[usize]) -> Map<String, Value> {
    trial.levels_of(unit, numbers).map(|(f, level)| (f.key.name().to_owned(), level_json(f, level))).collect()
}

fn find_jar(jars: &[PotOpened], jar: u32) -> Option<String> {
    jars.iter().find(|p| p.trial.as_ref().is_some_and(|t| t.jar == jar)).map(|p| p.id.to_string())
}

fn letter(jar: u32) -> String {
    jar_letter(jar).map_or_else(String::new, String::from)
}

impl TrialJson {
    /// The format all JSON of the program has.
    const FORMAT: u32 = 1;

    /// A trial and what came of it.
    pub fn new(trial: &TrialOpened, review: &TrialReview, parts: TrialJsonParts<'_>) -> TrialJson {
        let least = trial.design.least_p();
        let jar = |(amounts, numbers): (&crate::work::trial::amounts::JarAmounts, &Vec<usize>)| JarJson {
            id: find_jar(parts.jars, amounts.jar),
            pot: letter(amounts.jar),
            levels: levels_json(trial, FactorUnit::Pot, numbers),
            size_ml: amounts.size.volume_ml,
            stock_g: amounts.stock_g,
            water_g: amounts.water_g,
        };
        let points = trial.design.factors.iter().zip(parts.power).flat_map(|(f, points)| {
            points.iter().map(|p| PowerJson { key: f.key.name(), difference: p.difference, power: p.power })
        });
        TrialJson {
            format: Self::FORMAT,
            id: trial.id.to_string(),
            name: trial.label.clone(),
            ask: trial.question.map(|q| q.name()),
            opened_at: parts.opened_at.to_owned(),
            seed: trial.seed,
            varied: trial.design.factors.iter().zip(&least).map(|(f, (_, p))| factor_json(f, *p)).collect(),
            pots: parts.amounts.jars.iter().zip(&trial.lots.jars).map(jar).collect(),
            boards: review.boards.iter().map(|b| board_json(trial, review, b)).collect(),
            least_p: least.iter().map(|(_, p)| *p).fold(0.0, f64::max),
            power: points.collect(),
            glue_g: parts.amounts.stock.glue_g,
            stock_g_per_l_water: parts.amounts.stock_g_per_l,
            hands_on_h: parts.amounts.hands_h,
            answer: TrialAnswerJson {
                kind: review.answer.kind.name(),
                fields: review.answer.fields.clone(),
                message: review.answer.message.clone(),
            },
            effects: review.effects.iter().map(effect_json).collect(),
            departures: review.departures.clone(),
        }
    }
}

fn factor_json(factor: &Factor, least_p: f64) -> FactorJson {
    FactorJson {
        key: factor.key.name(),
        levels: factor.levels.iter().map(|level| level_json(factor, *level)).collect(),
        of: factor.key.unit().name(),
        least_p,
        blind: factor.key.shows_itself().is_none(),
    }
}

fn board_json(trial: &TrialOpened, review: &TrialReview, board: &BoardStanding) -> BoardJson {
    let lot = trial.lots.boards.get(board.run.saturating_sub(1) as usize);
    let mut levels = Map::new();
    if let Some(lot) = lot {
        let jar = trial.lots.jars.get(lot.jar.saturating_sub(1) as usize).map_or(&[][..], Vec::as_slice);
        levels.extend(levels_json(trial, FactorUnit::Pot, jar));
        levels.extend(levels_json(trial, FactorUnit::Board, &lot.levels));
    }
    let outcome = |(metric, by_run): (&super::metric::TrialMetric, &std::collections::BTreeMap<u32, f64>)| {
        Some((metric.name().to_owned(), json!(by_run.get(&board.run)?)))
    };
    BoardJson {
        id: board.id.as_ref().map(ToString::to_string),
        label: board.label.clone(),
        run: board.run,
        pot: letter(board.jar),
        strip: lot.and_then(|l| l.strip),
        levels,
        progress: match board.progress {
            BoardProgress::Missing => "missing",
            BoardProgress::Laying => "laying",
            BoardProgress::GivenUp => "given up",
            BoardProgress::Finished => "finished",
        },
        outcomes: review.outcomes.iter().filter_map(outcome).collect(),
    }
}

fn effect_json(told: &super::ToldEffect) -> EffectJson {
    let effect = &told.effect;
    EffectJson {
        key: effect.key.name(),
        outcome: told.metric.name(),
        effect: effect.effect,
        low: Some(effect.interval.0).filter(|x| x.is_finite()),
        high: Some(effect.interval.1).filter(|x| x.is_finite()),
        p_value: effect.p_value,
        p_least: effect.least_p,
        exact: effect.is_exact,
        answers: told.is_answer,
        message: told.message.clone(),
    }
}
