//! Where two groups differ, field by field, and how often chance alone would set them as far apart; without two groups,
//! from the lowest to the highest.
//!
//! Fields have nothing to do with each other, so they are gone through on every core. Absent on purpose: which panels
//! are on which side (`sides`), which are one observation (`units`).

use super::super::facts::Facts;
use super::super::stats::{self, FEWEST, permutation};
use super::super::ways::names;
use super::fields::{FIELDS, Field, WORD_FIELDS, field};
use super::groups::distinct_pots;
use super::said::{p_text, span};
use super::sides::{Sides, by_outcome, cracked_by};
use super::units::Units;
use super::{Differs, Value};
use crate::figures::median;
use crate::text::round_to;
use rayon::prelude::*;
use std::collections::BTreeMap;

pub(super) fn differs(sides: &Sides<'_>, units: &Units) -> Vec<Differs> {
    let words = WORD_FIELDS.iter().filter_map(|(name, of)| words_differ(name, *of, sides));
    // Results are what outcome groups are made of, so they are held against each other only where something else made them.
    let fields = FIELDS.par_iter().filter(|f| !f.result || sides.day.is_none());
    let mut figures: Vec<Differs> = fields.filter_map(|field| figures_differ(field, &field.of, sides, units)).collect();
    figures.extend(cracks_differ(sides, units));
    figures.sort_by(|x, y| x.p_value.unwrap_or(2.0).total_cmp(&y.p_value.unwrap_or(2.0)));
    words.chain(figures).collect()
}

fn words_differ(name: &'static str, of: fn(&Facts) -> String, sides: &Sides<'_>) -> Option<Differs> {
    let tally = |side: &[&Facts]| {
        let mut counts: BTreeMap<String, usize> = BTreeMap::new();
        for f in side {
            *counts.entry(of(f)).or_default() += 1;
        }
        counts
    };
    let (a, b) = (tally(&sides.a), tally(&sides.b));
    if a.keys().eq(b.keys()) && a.len() == 1 {
        return None;
    }
    let told = |of: &BTreeMap<String, usize>| {
        let more = of.len().saturating_sub(6);
        let named: Vec<String> = of.iter().take(6).map(|(word, n)| format!("{word} {n}")).collect();
        match more {
            0 => named.join(", "),
            1 => format!("{} and 1 other", named.join(", ")),
            _ => format!("{} and {more} others", named.join(", ")),
        }
    };
    let (a, b) = (told(&a), told(&b));
    if a == b {
        return None;
    }
    Some(Differs {
        field: name,
        said: format!("{name}: {a} among those {}; {b} among those {}", sides.names.0, sides.names.1),
        a: Value::Words(a),
        b: Value::Words(b),
        p_value: None,
        pots_a: distinct_pots(sides.a.iter().copied()),
        pots_b: distinct_pots(sides.b.iter().copied()),
    })
}

/// How many of each side had cracked, at the age at which most is known.
fn cracks_differ(sides: &Sides<'_>, units: &Units) -> Option<Differs> {
    if sides.day.is_some() {
        return None;
    }
    let panels: Vec<&Facts> = sides.a.iter().chain(&sides.b).copied().collect();
    let day = by_outcome(&panels)?.day?;
    let cracked = move |f: &Facts| cracked_by(f, day).map(|c| f64::from(u8::from(c)));
    let field = field("cracks", "cracked at equal age (1 yes, 0 no)", "", |_| None);
    figures_differ(&field, &cracked, sides, units)
}

fn figures_differ(
    field: &Field,
    of: &dyn Fn(&Facts) -> Option<f64>,
    sides: &Sides<'_>,
    units: &Units,
) -> Option<Differs> {
    let having = |side: &[&Facts]| side.iter().filter_map(|f| of(f)).collect::<Vec<f64>>();
    let (a, b) = (having(&sides.a), having(&sides.b));
    let (mut all_a, mut all_b) = (a.clone(), b.clone());
    all_a.sort_by(f64::total_cmp);
    all_b.sort_by(f64::total_cmp);
    let like = |of: fn(&[f64]) -> Option<f64>| of(&all_a) == of(&all_b);
    // What is known of one side only is no difference.
    if a.is_empty() || b.is_empty() {
        return None;
    }
    if like(|v| v.first().copied()) && like(|v| v.last().copied()) && like(median) && like(stats::mean) {
        return None;
    }
    let of_units = |from: usize, side: &[&Facts]| units.values(from, side, of);
    let (ua, ub) = (of_units(0, &sides.a), of_units(sides.a.len(), &sides.b));
    let enough = ua.len() >= FEWEST && ub.len() >= FEWEST;
    let tested = if enough { permutation(&ua, &ub, field.by, seed(field.name)) } else { None };
    let with = |side: &[&Facts]| distinct_pots(side.iter().copied().filter(|f| of(f).is_some()));
    let what = if units.shared { "pots" } else { "panels" };
    let chance = match tested {
        Some(t) => {
            let how = if t.exact { "every way to deal them out" } else { "20000 ways drawn" };
            format!("p = {}, over {} against {} {what}, {how}", p_text(t.p), ua.len(), ub.len())
        }
        None => format!("too few to say ({} against {} {what})", ua.len(), ub.len()),
    };
    let number = |v: Option<f64>| v.map_or(Value::Unknown, Value::Number);
    Some(Differs {
        field: field.name,
        said: format!("{}: {} against {}; {chance}", field.called, span(&all_a, field.unit), span(&all_b, field.unit)),
        a: number(median(&a)),
        b: number(median(&b)),
        p_value: tested.map(|t| t.p),
        pots_a: with(&sides.a),
        pots_b: with(&sides.b),
    })
}

/// The same field is always drawn from the same seed.
fn seed(name: &str) -> u64 {
    name.bytes().fold(0xcbf2_9ce4_8422_2325, |h, b| (h ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3))
}

/// Without two groups: each field in which the panels differ, from the lowest to the highest.
pub(super) fn spread(panels: &[Facts]) -> Vec<Differs> {
    let of = |field: &'static Field| {
        let lowest = |x: &&Facts, y: &&Facts| (field.of)(x).unwrap_or(0.0).total_cmp(&(field.of)(y).unwrap_or(0.0));
        let having: Vec<&Facts> = panels.iter().filter(|f| (field.of)(f).is_some()).collect();
        let (low, high) = (*having.iter().min_by(|x, y| lowest(x, y))?, *having.iter().max_by(|x, y| lowest(x, y))?);
        let (a, b) = ((field.of)(low)?, (field.of)(high)?);
        let named = |f: &Facts| names(std::iter::once(f.label.as_str()));
        (a != b).then(|| Differs {
            field: field.name,
            said: format!(
                "{}: from {}{} ({}) to {}{} ({})",
                field.called,
                round_to(a, 2),
                field.unit,
                named(low),
                round_to(b, 2),
                field.unit,
                named(high)
            ),
            a: Value::Number(a),
            b: Value::Number(b),
            p_value: None,
            pots_a: distinct_pots(std::iter::once(low)),
            pots_b: distinct_pots(std::iter::once(high)),
        })
    };
    FIELDS.iter().filter_map(of).collect()
}
