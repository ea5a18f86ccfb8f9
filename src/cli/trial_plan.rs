//! What is said of a trial before it is answered: what it can tell, what it takes, and how it is laid.

use crate::stats::redraw::Lots;
use crate::text::{format_number, format_number_word};
use crate::units::Span;
use crate::work::story::jar_letter;
use crate::work::trial::amounts::{TrialAmounts, compute_start_delays, leaves_seal_out, say_units};
use crate::work::trial::design::{CHANCE_OF_INTERVAL, CHANCE_TOLD, TrialDesign};
use crate::work::trial::event::TrialOpened;
use crate::work::trial::factor::{Factor, FactorUnit};
use crate::work::trial::power::{POWER_TOLD, PowerModel, PowerPoint, PowerSimulation};

/// Invented trials for each difference that is tried; more than are needed to tell nine in ten from eight.
const INVENTED_TRIALS: usize = 300;
/// What they are invented from: the same question is answered alike each time.
const INVENTED_SEED: u64 = 15;

/// A chance in words: "3 in 100", "1 in 10".
pub(super) fn say_chance(chance: f64) -> String {
    if chance < 0.005 {
        return format!("1 in {}", (1.0 / chance.max(1e-9)).round());
    }
    let hundredths = (chance * 100.0).round();
    if hundredths >= 10.0 && hundredths % 10.0 == 0.0 {
        format!("{} in 10", hundredths / 10.0)
    } else {
        format!("{hundredths} in 100")
    }
}

/// What each factor could show, with the differences that were tried.
pub(super) fn power_points(design: &TrialDesign, factor: &Factor) -> Vec<PowerPoint> {
    let (model, _) = PowerModel::of(factor.key);
    PowerSimulation::new(design, factor, model).map_or_else(Vec::new, |s| s.search(INVENTED_TRIALS, INVENTED_SEED))
}

/// What can be told, factor by factor.
pub(super) fn say_power(trial: &TrialOpened) -> Vec<String> {
    let mut said = say_units(trial);
    for factor in &trial.design.factors {
        let lots = trial.drawn_lots(factor);
        said.push(format!("{}: {}", factor.key.name(), say_least(&lots)));
        said.extend(say_difference(trial, factor));
        if let Some(why) = factor.key.shows_itself() {
            said.push(format!("{} cannot be looked at blind: {why}.", factor.key.name()));
        }
    }
    said
}

fn say_least(lots: &Lots) -> String {
    let least = lots.least_p();
    let mut said = format!(
        "its lots can fall in {} ways, so the least chance it can ever show is {}.",
        lots.count_ways(),
        say_chance(least)
    );
    if least > CHANCE_OF_INTERVAL + 1e-9 {
        said += " That is too much for a nine-in-ten interval too.";
    }
    if least > CHANCE_TOLD {
        said += " It can settle nothing.";
    }
    said
}

fn say_difference(trial: &TrialOpened, factor: &Factor) -> Option<String> {
    let (model, unit) = PowerModel::of(factor.key);
    let points = power_points(&trial.design, factor);
    let found = points.iter().find(|p| p.power >= POWER_TOLD);
    let made_alike = match (model, factor.key.unit()) {
        (PowerModel::Cracked(usual), _) => {
            format!("if {} of a hundred crack without it", format_number(usual * 100.0, 0))
        }
        (PowerModel::Figure(spread), FactorUnit::Pot) => {
            format!("if pots made alike differ by {}", say_spread(spread.jar, unit))
        }
        (PowerModel::Figure(spread), FactorUnit::Board) => {
            format!("if boards laid alike differ by {}", say_spread(spread.board, unit))
        }
    };
    Some(match found {
        Some(point) => format!(
            "A difference of {} {unit} would be found nine times in ten, {made_alike} (assumed).",
            format_number(point.difference, 2)
        ),
        None => {
            let last = points.last().filter(|p| p.power > 0.0)?;
            format!(
                "Even a difference of {} {unit} would be found {} times in ten only, {made_alike} (assumed).",
                format_number(last.difference, 2),
                format_number(last.power * 10.0, 0)
            )
        }
    })
}

fn say_spread(spread: f64, unit: &str) -> String {
    if (spread - 0.5).abs() < 1e-9 && unit.contains("grades") {
        "half a grade".to_owned()
    } else {
        format!("{} {unit}", format_number(spread, 2))
    }
}

/// Why a trial is not drawn, and the next size that would do.
pub(super) fn say_too_small(trial: &TrialOpened) -> String {
    let weak = trial.design.least_p().into_iter().filter(|(_, least)| *least > CHANCE_TOLD);
    let weak: Vec<String> =
        weak.map(|(key, least)| format!("{} never less than {}", key.name(), say_chance(least))).collect();
    let larger = trial.design.next_size().map_or_else(
        || "no larger one of this kind will do".to_owned(),
        |d| format!("--pots {} --boards {} would do", d.jars, d.boards),
    );
    format!(
        "not drawn, since chance alone shows {}, and that settles nothing; {larger} (--anyway draws it as it is)",
        weak.join(", ")
    )
}

/// Glue, filler and hours.
pub(super) fn say_amounts(trial: &TrialOpened, amounts: &TrialAmounts) -> Vec<String> {
    let filler: f64 = amounts.jars.iter().flat_map(|j| &j.fillers).map(|(_, g)| g).sum();
    let mut said = vec![format!(
        "It takes {} g of glue, {} g of filler, {} and about {} hours of hands.",
        amounts.stock.glue_g.ceil(),
        filler.ceil(),
        say_boards(trial.design.boards),
        amounts.hands_h.round()
    )];
    if leaves_seal_out(trial) {
        said.push("The boards are left without seal and last sanding: the tests are of the ground itself.".to_owned());
    }
    said
}

fn say_boards(boards: u32) -> String {
    if boards == 1 { "one board".to_owned() } else { format!("{} boards", format_number_word(boards as usize)) }
}

/// Grams as fine as the scale shows them.
fn on_scale(trial: &TrialOpened, g: f64) -> String {
    let decimals = if trial.balance.g() < 0.05 { 2 } else { usize::from(trial.balance.g() < 0.5) };
    format!("{} g", format_number(g, decimals))
}

/// The levels of a jar or board, as in "60 g/l" and "wait 25 min".
pub(super) fn say_levels(trial: &TrialOpened, unit: FactorUnit, numbers: &[usize]) -> String {
    let one = |(factor, level): (&Factor, f64)| {
        let text = factor.key.format_level(level);
        match factor.key.words() {
            Some(_) => format!("{} {text}", factor.key.name()),
            None => format!("{} {text}{}", factor.key.name(), factor.key.suffix().replace(" coats", "")),
        }
    };
    trial.levels_of(unit, numbers).map(one).collect::<Vec<_>>().join(", ")
}

/// How the trial is laid: stock, jars, boards, and who begins when.
pub(super) fn say_plan(trial: &TrialOpened, amounts: &TrialAmounts) -> Vec<String> {
    let grams = |g: f64| on_scale(trial, g);
    let mut said = vec![format!(
        "Stock: soak {} of glue in {} of water, {} g to a litre; one stock for all.",
        grams(amounts.stock.glue_g),
        grams(amounts.stock.water_g),
        format_number(amounts.stock_g_per_l, 1)
    )];
    if amounts.wood_water_g > 0.5 {
        said.push(format!(
            "Wood: {} of stock and {} of water.",
            grams(amounts.wood_stock_g),
            grams(amounts.wood_water_g)
        ));
    }
    for (jar, numbers) in amounts.jars.iter().zip(&trial.lots.jars) {
        let letter = jar_letter(jar.jar).unwrap_or('?');
        let levels = say_levels(trial, FactorUnit::Pot, numbers);
        let levels = if levels.is_empty() { String::new() } else { format!(" ({levels})") };
        let water = if jar.water_g > 0.05 { format!(", {} of water", grams(jar.water_g)) } else { String::new() };
        let fillers: Vec<String> = jar.fillers.iter().map(|(f, g)| format!("{} of {}", grams(*g), f.name())).collect();
        let thinning = if jar.thinning_ml > 0.5 {
            format!(", at the end {:.0} ml of water", jar.thinning_ml)
        } else {
            String::new()
        };
        let boards: Vec<String> = boards_of_jar(trial, jar.jar).collect();
        said.push(format!(
            "Pot {letter}{levels}: {} of stock{water}, {}{thinning}; for {}.",
            grams(jar.stock_g),
            fillers.join(", "),
            boards.join(", ")
        ));
    }
    said.extend(say_starts(trial));
    said
}

fn boards_of_jar(trial: &TrialOpened, jar: u32) -> impl Iterator<Item = String> {
    let of_jar = (1..).zip(&trial.lots.boards).filter(move |(_, b): &(u32, _)| b.jar == jar);
    of_jar.map(|(run, b)| {
        let levels = say_levels(trial, FactorUnit::Board, &b.levels);
        let levels = if levels.is_empty() { String::new() } else { format!(" ({levels})") };
        format!("{}{levels}", trial.board_label(run))
    })
}

/// Which boards begin how much later, where they do not all begin together.
fn say_starts(trial: &TrialOpened) -> Vec<String> {
    let delays = compute_start_delays(trial);
    let mut times: Vec<Span> = delays.clone();
    times.sort_by_key(|d| d.ms());
    times.dedup();
    if times.len() < 2 {
        return Vec::new();
    }
    let boards = |delay: &Span| -> String {
        let same = (1..).zip(&delays).filter(|(_, d): &(u32, &Span)| *d == delay);
        same.map(|(run, _)| trial.board_label(run)).collect::<Vec<_>>().join(", ")
    };
    let first = times.first().map(boards).unwrap_or_default();
    let later: Vec<String> = times
        .iter()
        .skip(1)
        .map(|delay| format!("{:.0} min later that of {}", delay.minutes(), boards(delay)))
        .collect();
    vec![format!(
        "Begin the gesso of {first} first, {}: so all are laid at the same mean age of the pot.",
        later.join(", ")
    )]
}
