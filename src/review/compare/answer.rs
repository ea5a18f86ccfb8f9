//! The one sentence on top: what goes with the fault, or why nobody can know.
//!
//! Named is only what is clear among all told columns together. A dividing value lies half way between the means of both
//! sides; it is never searched for.

use super::super::column::CauseUnit;
use super::asked::{Answer, AnswerKind};
use super::causes::{AskedColumn, Inquiry, all_levels, format_count_of_units, shelves_of_100};
use super::sides::{Crossing, Split};
use crate::stats::shuffle::{Level, ShuffledField, shuffle_fields};
use crate::stats::split_mix::SplitMix64;
use crate::text::{format_count, format_number};

/// Clear by all told columns together.
const CLEAR: f64 = 0.05;
/// Clear by itself, so that it is worth a hint.
const HINT: f64 = 0.01;

/// The answer of an inquiry.
pub(super) fn answer_inquiry(inquiry: &Inquiry<'_>) -> Answer {
    let (with, without) = inquiry.counts();
    let words = inquiry.asked.words();
    if with == 0 || without == 0 {
        return answer_one_sided(inquiry, with, without);
    }
    let told: Vec<&AskedColumn> = inquiry.columns.iter().filter(|c| c.cause.told.is_some()).collect();
    let clear: Vec<&AskedColumn> = told.iter().copied().filter(|c| c.p_family() <= CLEAR).collect();
    // What another clear column brings about by itself is told under that.
    let is_brought = |c: &&AskedColumn| clear.iter().any(|other| c.cause.by_product_of.contains(&other.column.name));
    if let Some(top) = clear.iter().copied().find(|c| !is_brought(c)).or(clear.first().copied()) {
        return answer_cause(inquiry, top, &told);
    }
    if let Some(answer) = answer_one_pot(inquiry) {
        return answer;
    }
    let chances = || told.iter().filter_map(|c| c.chance);
    let least = chances().map(|c| c.p_least).fold(1.0, f64::min);
    if chances().next().is_none() {
        let alike = format!(
            "Cannot say. As far as was recorded, the {} and the {} panels were made alike.",
            words.with, words.without
        );
        return Answer::new(AnswerKind::Cannot, Vec::new(), &[alike]);
    }
    if least > CLEAR {
        let few = format!(
            "Cannot say. With {} in {}, of which {with} {}, even the clearest difference turns up by chance on {}.",
            format_count(inquiry.panels.len(), "panel"),
            format_count(inquiry.units.count(CauseUnit::GessoPot), "pot"),
            words.verb,
            shelves_of_100(least)
        );
        return Answer::new(AnswerKind::Cannot, Vec::new(), &[few, suggest_looks(inquiry)]);
    }
    match told.iter().min_by(|a, b| a.p_value().total_cmp(&b.p_value())) {
        Some(nearest) if nearest.p_value() <= HINT => answer_hint(inquiry, nearest),
        _ => answer_nothing(inquiry),
    }
}

fn answer_one_sided(inquiry: &Inquiry<'_>, with: usize, without: usize) -> Answer {
    let words = inquiry.asked.words();
    let looked = format_count(with + without, "panel");
    match (with, without) {
        (0, 0) => {
            let none =
                format!("Cannot say. No panel has been looked at for {}.", words.noun.trim_start_matches("the "));
            Answer::new(AnswerKind::Cannot, Vec::new(), &[none])
        }
        (0, _) => {
            let none = format!("Nothing to explain: of {looked} looked at, none {}.", words.verb);
            Answer::new(AnswerKind::Nothing, Vec::new(), &[none, suggest_looks(inquiry)])
        }
        _ => {
            let all = format!(
                "Cannot say. All {looked} looked at {}: without one that did not there is nothing to hold them against.",
                words.verb
            );
            Answer::new(AnswerKind::Cannot, Vec::new(), &[all])
        }
    }
}

/// "With 12 things compared, chance alone shows one as clear on 2 shelves of 100."
fn say_chance(inquiry: &Inquiry<'_>, p_family: f64) -> String {
    let things = format_count(inquiry.told_count, "thing");
    format!("With {things} compared, chance alone shows one as clear on {}.", shelves_of_100(p_family))
}

/// The trial that would settle it: the designs that come with the program, of sixteen and of twelve boards.
fn suggest_trial(unit: CauseUnit) -> &'static str {
    match unit {
        CauseUnit::GessoPot => "Sixteen small boards from eight jars would settle it.",
        CauseUnit::Panel => "Twelve small boards from two jars would settle it.",
        CauseUnit::SizePot => "Eight small boards from two pots of size would begin to settle it.",
        CauseUnit::Lot => "Small boards from two jars of one recipe, one of each lot, would begin to settle it.",
        CauseUnit::Day => "Two more pots would begin to settle it: one on such a day, one on another.",
    }
}

/// "stronger glue", "glue of lot R-23".
fn name_column(c: &AskedColumn) -> String {
    let Some(words) = c.cause.told else { return c.column.cause_label() };
    match c.kind() {
        Some(kind) => format!("{} {kind}", words.more),
        None if c.chance.is_some_and(|c| c.distance < 0.0) => words.less.to_owned(),
        None => words.more.to_owned(),
    }
}

/// Two figures to as many places as tell them apart.
fn format_pair(c: &AskedColumn, a: f64, b: f64) -> (String, String) {
    let places = (c.column.places()..6).find(|p| format_number(a, *p) != format_number(b, *p));
    let places = places.unwrap_or(c.column.places());
    (format_number(a, places), format_number(b, places))
}

/// "had stronger glue: 10.7 against 8.3 g to 100 g of filler".
fn say_sides(inquiry: &Inquiry<'_>, c: &AskedColumn) -> String {
    let name = name_column(c);
    let Some((a, b)) = inquiry.side_means(c) else { return format!("had {name}") };
    if c.kind().is_some() {
        let often = if a >= b { "more often" } else { "less often" };
        return format!(
            "{often} had {name}: {}, against {}",
            inquiry.count_kind(c, true),
            inquiry.count_kind(c, false)
        );
    }
    let unit = c.cause.told.map_or_else(|| c.column.cause_unit(), |words| words.unit);
    let (a, b) = format_pair(c, a, b);
    format!("had {name}: {a} against {b}{unit}")
}

/// "All 6 pots above 9.5 g cracked, 1 of the 8 below."
fn say_split(inquiry: &Inquiry<'_>, c: &AskedColumn) -> String {
    let Some(split) = Split::new(inquiry, c) else { return String::new() };
    let (with, of) = split.high;
    let (low_with, low_of) = split.low;
    let (above, below) = match (c.kind(), split.is_turned) {
        (Some(_), false) => (" of it".to_owned(), "others"),
        (Some(_), true) => (" without it".to_owned(), "others"),
        (None, turned) => {
            let unit = c.column.cause_unit();
            let bound = format!("{}{unit}", format_number(split.bound, c.column.places().max(1)));
            let (first, second) = if turned { ("below", "above") } else { ("above", "below") };
            (format!(" {first} {bound}"), second)
        }
    };
    let units = |n: usize| format_count_of_units(c.unit, n);
    let verb = inquiry.asked.words().verb;
    let first = match (with, of) {
        (1, 1) => format!("The only {}{above} {verb}", units(1).trim_start_matches("1 ")),
        (with, of) if with == of => format!("All {}{above} {verb}", units(of)),
        (with, of) => format!("{with} of the {}{above} {verb}", units(of)),
    };
    let low = if low_with == 0 { "none".to_owned() } else { low_with.to_string() };
    format!("{first}, {low} of the {low_of} {below}.")
}

fn answer_cause(inquiry: &Inquiry<'_>, top: &AskedColumn, told: &[&AskedColumn]) -> Answer {
    let is_brought = |c: &AskedColumn| c.cause.by_product_of.contains(&top.column.name);
    let is_near = |c: &AskedColumn| c.p_family() <= CLEAR || c.p_value() <= HINT;
    let others = told.iter().copied().filter(|c| c.column.name != top.column.name && is_near(c) && !is_brought(c));
    let company: Vec<(&AskedColumn, Crossing)> = others
        .clone()
        .filter_map(|c| Some((c, Crossing::new(inquiry, top, c)?)))
        .filter(|(_, crossing)| crossing.go_together())
        .collect();
    let brought = inquiry.columns.iter().find(|c| is_brought(c) && c.p_value() <= CLEAR);
    let by_product = brought.map_or_else(String::new, |c| say_by_product(inquiry, top, c));
    if let Some((first, crossing)) = company.first() {
        return answer_together(inquiry, top, first, crossing, &by_product);
    }
    let main = format!("{} {}.", inquiry.asked.words().subject, say_sides(inquiry, top));
    let mut fields = vec![top.column.name];
    // What is clear too, and parts from the first, is a second cause.
    let second = others.filter(|c| c.p_family() <= CLEAR).collect::<Vec<_>>();
    fields.extend(second.iter().map(|c| c.column.name));
    let also = second.first().map_or_else(String::new, |c| {
        format!("Apart from that, they {} ({}).", say_sides(inquiry, c), shelves_of_100(c.p_family()))
    });
    let chance = say_chance(inquiry, top.p_family());
    let trial = suggest_trial(top.unit).to_owned();
    Answer::new(AnswerKind::One, fields, &[main, say_split(inquiry, top), chance, by_product, also, trial])
}

fn say_by_product(inquiry: &Inquiry<'_>, top: &AskedColumn, c: &AskedColumn) -> String {
    let label = c.column.cause_label();
    let unit = c.column.cause_unit();
    let Some((a, b)) = inquiry.side_means(c) else { return String::new() };
    let (a, b) = format_pair(c, a, b);
    format!(
        "They differ in {label} too, {a} against {b}{unit}; {} does that by itself, so it is not counted as a second cause.",
        name_column(top)
    )
}

fn answer_together(
    inquiry: &Inquiry<'_>,
    top: &AskedColumn,
    other: &AskedColumn,
    crossing: &Crossing,
    by_product: &str,
) -> Answer {
    let (x, y) = (name_column(top), name_column(other));
    let units = |n: usize| format_count_of_units(crossing.unit, n);
    let main = format!(
        "{} and {y} go with {}, and with each other: {} of your {} with {x} had {y}.",
        capitalize(&x),
        inquiry.asked.words().noun,
        crossing.both.1,
        units(crossing.both.1 + crossing.first_only.1)
    );
    let part = format!(
        "The records cannot part them. Two more {} would begin to: one with {x} alone, one with {y} alone.",
        match crossing.unit {
            CauseUnit::Panel => "panels",
            CauseUnit::GessoPot | CauseUnit::SizePot | CauseUnit::Lot | CauseUnit::Day => "pots",
        }
    );
    let told = |(with, of): (usize, usize)| format!("{with} of {}", units(of));
    let verb = inquiry.asked.words().verb;
    let mut answer = Answer::new(
        AnswerKind::Together,
        vec![top.column.name, other.column.name],
        &[main, say_chance(inquiry, top.p_family()), part, by_product.to_owned()],
    );
    answer.crossing = Some(format!(
        "{}: with both {}; with {x} alone {}; with {y} alone {}; with neither {}.",
        capitalize(verb),
        told(crossing.both),
        told(crossing.first_only),
        told(crossing.second_only),
        told(crossing.neither)
    ));
    answer
}

fn answer_hint(inquiry: &Inquiry<'_>, nearest: &AskedColumn) -> Answer {
    let verb = inquiry.asked.words().verb;
    let units = |n: usize| format_count_of_units(nearest.unit, n);
    let place = Split::new(inquiry, nearest).map_or_else(String::new, |split| {
        let with = split.high.0 + split.low.0;
        let without = split.high.1 + split.low.1 - with;
        let high_without = split.high.1 - split.high.0;
        let none = |n: usize| if n == 0 { "none".to_owned() } else { n.to_string() };
        format!(
            ", in {} of the {} that {verb} and {} of the {without} that did not",
            none(split.high.0),
            units(with),
            none(high_without)
        )
    });
    let name = match (nearest.kind(), nearest.chance) {
        (Some(_), Some(c)) if c.distance < 0.0 => format!("not {}", name_column(nearest)),
        _ => name_column(nearest),
    };
    let nearest_is = format!("Nothing is certain. Nearest: {name}{place}.");
    let chance = format!(
        "Among {} compared, one as striking turns up by chance on {}.",
        format_count(inquiry.told_count, "thing"),
        shelves_of_100(nearest.p_family())
    );
    let trial = suggest_trial(nearest.unit).to_owned();
    Answer::new(AnswerKind::Hint, vec![nearest.column.name], &[nearest_is, chance, trial])
}

/// All that have it came from one pot: what of that pot is unlike all others.
fn answer_one_pot(inquiry: &Inquiry<'_>) -> Option<Answer> {
    let with: Vec<usize> = (0..inquiry.panels.len()).filter(|i| inquiry.panels[*i].has_fault).collect();
    let pot = *inquiry.units.gesso_pot_of.get(*with.first()?)?;
    if with.iter().any(|i| inquiry.units.gesso_pot_of[*i] != pot) || inquiry.units.count(CauseUnit::GessoPot) < 2 {
        return None;
    }
    let words = inquiry.asked.words();
    let event = match with.len() {
        1 => format!("Cannot say. A single panel {}.", words.verb),
        n => format!("Cannot say. All {n} {} panels came from one pot: that is one event, not {n}.", words.with),
    };
    let apart: Vec<String> = inquiry.columns.iter().filter_map(|c| say_apart(inquiry, c, pot)).take(3).collect();
    let only = match apart.len() {
        0 => String::new(),
        _ => format!("Only its panels had {}.", apart.join(", ")),
    };
    let lot = with.first().and_then(|i| inquiry.panels[*i].row.pots.glue_lot.as_deref());
    let others = inquiry.panels.iter().map(|p| p.row).chain(inquiry.unseen.iter().copied());
    let is_other = |row: &&super::super::panel_row::PanelRow| {
        row.pots.glue_lot.as_deref() == lot && !with.iter().any(|i| inquiry.panels[*i].row.story.id == row.story.id)
    };
    let same_lot = others.filter(is_other).count();
    let all = inquiry.panels.len() + inquiry.unseen.len();
    let look = match (lot, same_lot) {
        (Some(_), n) if n > 0 && n + with.len() < all => {
            format!("Look at the other {} of that lot.", format_count(n, "panel"))
        }
        _ => String::new(),
    };
    Some(Answer::new(AnswerKind::Cannot, Vec::new(), &[event, only, look]))
}

/// In what one pot lies beyond all others: "a hotter pot (64 against at most 50 C)".
fn say_apart(inquiry: &Inquiry<'_>, c: &AskedColumn, pot: usize) -> Option<String> {
    let words = c.cause.told?;
    for (i, row) in c.rows.iter().enumerate() {
        let means = inquiry.units.means(CauseUnit::GessoPot, row);
        let here = means.get(pot).copied().flatten()?;
        let others: Vec<f64> = means.iter().enumerate().filter(|(u, _)| *u != pot).filter_map(|(_, v)| *v).collect();
        let (low, high) = (others.iter().copied().reduce(f64::min)?, others.iter().copied().reduce(f64::max)?);
        match c.kinds.get(i) {
            Some(kind) if here == 1.0 && high == 0.0 => return Some(format!("{} {kind}", words.more)),
            Some(_) => {}
            None if here > high + 1e-6 => {
                let (here, high) = format_pair(c, here, high);
                return Some(format!("{} ({here} against at most {high}{})", words.more, words.unit));
            }
            None if here < low - 1e-6 => {
                let (here, low) = format_pair(c, here, low);
                return Some(format!("{} ({here} against at least {low}{})", words.less, words.unit));
            }
            None => {}
        }
    }
    None
}

fn answer_nothing(inquiry: &Inquiry<'_>) -> Answer {
    let pots = format_count(inquiry.units.count(CauseUnit::GessoPot), "pot");
    let things = format_count(inquiry.told_count, "thing");
    let nothing = format!("Nothing stands out among {things} in {pots}.");
    let missed = count_missed(inquiry).map_or_else(String::new, |tenths| {
        let shelves = match tenths {
            0 => "fewer than 1 such shelf".to_owned(),
            1 => "1 such shelf".to_owned(),
            n => format!("{n} such shelves"),
        };
        let verb = inquiry.asked.words().verb;
        format!("Even a cause by which, of 20 panels, 17 instead of 1 {verb} is missed on {shelves} of 10.")
    });
    Answer::new(AnswerKind::Nothing, Vec::new(), &[nothing, missed, suggest_looks(inquiry)])
}

/// So many shelves are played through, with the pots, panels and columns of this one, each by so many draws.
const PLAYED_SHELVES: u32 = 60;
const PLAYED_DRAWS: usize = 400;

/// On how many of ten shelves like this one a cause would not be named; nothing of very many panels.
///
/// In turn each told column is the cause, with its own figures in a new order: of the panels above its middle 17 in 20 get
/// the fault, of the others 1. So a cause is as hard to see as these columns make it, with all their scatter.
fn count_missed(inquiry: &Inquiry<'_>) -> Option<u32> {
    if inquiry.panels.len() > 200 {
        return None;
    }
    let levels = all_levels(&inquiry.units);
    let columns: Vec<&AskedColumn> =
        inquiry.columns.iter().filter(|c| c.cause.told.is_some() && c.chance.is_some()).collect();
    let told: Vec<ShuffledField> = columns.iter().map(|c| c.to_field(&inquiry.units)).collect();
    let mut stream = SplitMix64::new(20);
    let mut missed = 0;
    for played in 0..PLAYED_SHELVES {
        let number = played as usize % told.len().max(1);
        let (column, field) = columns.get(number).copied().zip(told.get(number))?;
        let mut fields = told.clone();
        let level = levels.get(field.level)?;
        let order = draw_order(level, &mut stream);
        let shuffled = |row: &Vec<Option<f64>>| order.iter().map(|from| row.get(*from).copied().flatten()).collect();
        let values: Vec<Vec<Option<f64>>> = field.values.iter().map(shuffled).collect();
        let has_cause = units_above_middle(values.get(column.chance.map_or(0, |c| c.row))?);
        let faults: Vec<f64> = level
            .unit_of
            .iter()
            .map(|unit| has_cause.get(*unit).is_some_and(|has| *has))
            .map(|has| f64::from(u8::from(stream.next_below(20) < if has { 17 } else { 1 })))
            .collect();
        let mean = faults.iter().sum::<f64>() / faults.len() as f64;
        let scores: Vec<f64> = faults.iter().map(|f| f - mean).collect();
        *fields.get_mut(number)? = ShuffledField { values, ..field.clone() };
        let result = shuffle_fields(&scores, &levels, &fields, PLAYED_DRAWS, u64::from(played));
        let chance = result.fields.get(number).copied().flatten().and_then(|c| c.p_family);
        missed += u32::from(chance.is_none_or(|p| p > CLEAR));
    }
    Some((f64::from(missed * 10) / f64::from(PLAYED_SHELVES)).round() as u32)
}

/// An order of a level's units: from which unit each gets its value.
fn draw_order(level: &Level, stream: &mut SplitMix64) -> Vec<usize> {
    let units = level.blocks.iter().flatten().max().map_or(0, |most| most + 1);
    let mut order: Vec<usize> = (0..units).collect();
    for block in &level.blocks {
        for last in (1..block.len()).rev() {
            order.swap(block[last], block[stream.next_below(last + 1)]);
        }
    }
    order
}

/// Which units have more than the middle one, where they know.
fn units_above_middle(values: &[Option<f64>]) -> Vec<bool> {
    let mut rising: Vec<f64> = values.iter().flatten().copied().collect();
    rising.sort_by(f64::total_cmp);
    let middle = rising.len() / 2;
    let (below, above) = (rising.get(middle.saturating_sub(1)), rising.get(middle));
    let bound = below.zip(above).map_or(0.0, |(a, b)| f64::midpoint(*a, *b));
    values.iter().map(|v| v.is_some_and(|v| v > bound)).collect()
}

/// Which panels to look at first.
fn suggest_looks(inquiry: &Inquiry<'_>) -> String {
    let begin = |n: usize, since: &str| match n {
        1 => format!("1 panel has not been looked at{since}: begin there."),
        n => format!("{n} panels have not been looked at{since}: begin there."),
    };
    if !inquiry.unseen.is_empty() {
        return begin(inquiry.unseen.len(), "");
    }
    let last = |p: &&super::asked_fault::LookedAtPanel<'_>| p.row.story.outcome.age_days.unwrap_or(0.0);
    let oldest = inquiry.panels.iter().map(|p| last(&p)).fold(0.0, f64::max);
    let young = inquiry.panels.iter().filter(|p| !p.has_fault && last(p).floor() <= 7.0).count();
    if oldest > 14.0 && young > 0 { begin(young, " since day 7") } else { String::new() }
}

fn capitalize(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}
