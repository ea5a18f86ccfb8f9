//! What a trial answers, in a painter's words.

use super::metric::TrialMetric;
use crate::text::{format_number, format_number_word};
use crate::work::trial::effects::TrialEffect;
use crate::work::trial::event::TrialOpened;
use crate::work::trial::factor::{Factor, FactorKey, FactorUnit};

/// How often, in words: "3 of 100".
pub fn say_share(chance: f64) -> String {
    let (share, of) = if chance < 0.0095 { (chance * 1000.0, 1000) } else { (chance * 100.0, 100) };
    format!("{} of {of}", share.round().max(1.0))
}

/// What raising that factor is called.
const fn more_of(key: FactorKey) -> &'static str {
    match key {
        FactorKey::Glue => "Stronger glue",
        FactorKey::Thinning => "More water in the gesso",
        FactorKey::Wait => "A longer wait",
        FactorKey::Coats => "More coats",
        FactorKey::First => "A first coat along the height",
        FactorKey::Faces => "Gesso on both faces",
        FactorKey::Cloth => "Cloth",
    }
}

/// What is spoken of where nothing is found.
const fn name_of(key: FactorKey) -> &'static str {
    match key {
        FactorKey::Glue => "The glue",
        FactorKey::Thinning => "The thinning",
        FactorKey::Wait => "The wait",
        FactorKey::Coats => "The number of coats",
        FactorKey::First => "The direction of the first coat",
        FactorKey::Faces => "Gesso on the back",
        FactorKey::Cloth => "The cloth",
    }
}

/// From which level to which: "from 60 to 80 g/l"; nothing of words.
fn levels_of(factor: &Factor) -> String {
    let (Some(low), Some(high), None) = (factor.levels.first(), factor.levels.last(), factor.key.words()) else {
        return String::new();
    };
    format!(" from {low} to {high}{}", factor.key.suffix())
}

/// A figure of that metric: "two pencil grades", "1.2 mm".
fn amount(metric: TrialMetric, value: f64) -> String {
    let value = value.abs();
    match metric {
        TrialMetric::Cracks => format!("{} of 100 boards", format_number(value * 100.0, 0)),
        TrialMetric::Pencil => {
            let near = (value - value.round()).abs() < 0.15 && value > 0.85;
            let figure = if near { format_number_word(value.round() as usize) } else { format_number(value, 1) };
            let unit = if figure == "one" { "pencil grade" } else { metric.unit() };
            format!("{figure} {unit}")
        }
        TrialMetric::Bow | TrialMetric::Bend => format!("{} mm", format_number(value, 2)),
        TrialMetric::Drop
        | TrialMetric::Tape
        | TrialMetric::Rub
        | TrialMetric::DampRub
        | TrialMetric::Powder
        | TrialMetric::Nail
        | TrialMetric::Scrape => format!("{} {}", format_number(value, 1), metric.unit()),
    }
}

/// The nine-in-ten interval of a found effect, turned so that it reads in the direction told.
fn interval(metric: TrialMetric, effect: &TrialEffect) -> String {
    let (low, high) = effect.interval;
    let told = if effect.effect < 0.0 { (-high, -low) } else { (low, high) };
    format_interval(metric, told)
}

fn format_interval(metric: TrialMetric, (low, high): (f64, f64)) -> String {
    if metric == TrialMetric::Cracks || !low.is_finite() || !high.is_finite() {
        return String::new();
    }
    let places = if matches!(metric, TrialMetric::Bow | TrialMetric::Bend) { 2 } else { 1 };
    format!(" (9 in 10: {} to {})", format_number(low, places), format_number(high, places))
}

/// The sentence of an effect that is found, or nearly.
pub fn say_found(factor: &Factor, metric: TrialMetric, effect: &TrialEffect) -> String {
    let (more, less) = metric.verbs();
    let verb = if effect.effect >= 0.0 { more } else { less };
    let drawn = if effect.is_exact { "" } else { " about" };
    format!(
        "{} {verb}: {}{}{}. Drawing the lots anew does as much in{drawn} {}.",
        more_of(factor.key),
        amount(metric, effect.effect),
        levels_of(factor),
        interval(metric, effect),
        say_share(effect.p_value)
    )
}

/// The sentence where nothing is found.
pub fn say_not_found(trial: &TrialOpened, factor: &Factor, metric: TrialMetric, effect: &TrialEffect) -> String {
    let units = match factor.key.unit() {
        FactorUnit::Pot => format!("{} pots", format_number_word(effect.units)),
        FactorUnit::Board => format!("{} boards", format_number_word(effect.units)),
    };
    let all = trial.design.boards as usize == effect.units;
    let units = if all || factor.key.unit() == FactorUnit::Pot { units } else { format!("the {units} looked at") };
    // No direction is told before it, so it stands as from the first level to the last.
    let interval = format_interval(metric, effect.interval);
    format!("{} made no difference that {units} could show{}{interval}.", name_of(factor.key), levels_of(factor))
}
