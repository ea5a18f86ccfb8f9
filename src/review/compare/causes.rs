//! Every recorded fact asked whether it goes with a fault: each over its own units, all shuffled together.

use super::super::column::{CauseColumn, CauseUnit, Column, Value};
use super::super::columns::cause_columns;
use super::super::panel_row::PanelRow;
use super::asked_fault::{AskedFault, LookedAtPanel, score_panels};
use super::cause_units::CauseUnits;
use super::differences::{CauseTest, Difference, GroupValue};
use super::two_groups::GroupContrast;
use crate::stats::shuffle::{FieldChance, Level, ShuffleResult, ShuffledField, shuffle_fields};
use crate::text::{format_count, format_number};
use std::collections::{BTreeMap, BTreeSet, HashSet};

/// So many orders are drawn of a shelf a person can have; of a very large one fewer, as more would say no more.
pub const DRAWS: usize = 20_000;

/// The same shelf is always drawn from the same seed.
const SEED: u64 = 0x005E_ED0F_5E1F;

/// Of words with more kinds than this none is one.
const MAX_KINDS: usize = 24;

const LEVELS: [CauseUnit; 5] =
    [CauseUnit::Panel, CauseUnit::GessoPot, CauseUnit::SizePot, CauseUnit::Lot, CauseUnit::Day];

/// One column asked.
#[derive(Debug)]
pub(super) struct AskedColumn {
    pub(super) column: &'static Column,
    pub(super) cause: &'static CauseColumn,
    /// Its words, one for each row of values; none of figures.
    pub(super) kinds: Vec<String>,
    /// By kind, then by panel.
    pub(super) rows: Vec<Vec<Option<f64>>>,
    /// Over what it is compared.
    pub(super) unit: CauseUnit,
    pub(super) chance: Option<FieldChance>,
}

impl AskedColumn {
    /// The values in which it lies farthest.
    pub(super) fn values(&self) -> &[Option<f64>] {
        let row = self.chance.map_or(0, |c| c.row);
        self.rows.get(row).map_or(&[], Vec::as_slice)
    }

    /// The word it lies farthest in.
    pub(super) fn kind(&self) -> Option<&str> {
        self.kinds.get(self.chance.map_or(0, |c| c.row)).map(String::as_str)
    }

    /// It as it is shuffled.
    pub(super) fn to_field(&self, units: &CauseUnits) -> ShuffledField {
        ShuffledField {
            level: level_number(self.unit),
            values: self.rows.iter().map(|row| units.means(self.unit, row)).collect(),
            is_told: self.cause.told.is_some(),
        }
    }

    pub(super) fn p_value(&self) -> f64 {
        self.chance.map_or(1.0, |c| c.p_value)
    }

    pub(super) fn p_family(&self) -> f64 {
        self.chance.and_then(|c| c.p_family).unwrap_or(1.0)
    }
}

/// A fault asked about on a shelf.
#[derive(Debug)]
pub(super) struct Inquiry<'a> {
    pub(super) asked: AskedFault,
    pub(super) panels: Vec<LookedAtPanel<'a>>,
    pub(super) units: CauseUnits,
    /// The clearest first.
    pub(super) columns: Vec<AskedColumn>,
    /// How many told columns could be compared.
    pub(super) told_count: usize,
    pub(super) draws: usize,
    pub(super) is_exact: bool,
    pub(super) unseen: Vec<&'a PanelRow>,
}

impl<'a> Inquiry<'a> {
    pub(super) fn new(asked: AskedFault, rows: &[&'a PanelRow], draws: usize) -> Inquiry<'a> {
        let panels = score_panels(asked, rows);
        let looked: HashSet<&str> = panels.iter().map(|p| p.row.story.id.as_str()).collect();
        let unseen = rows.iter().copied().filter(|row| !looked.contains(row.story.id.as_str())).collect();
        let units = CauseUnits::new(&panels);
        let mut columns: Vec<AskedColumn> =
            cause_columns().filter_map(|(column, cause)| read_column(column, cause, &panels, &units)).collect();
        let result = shuffle(&mut columns, &panels, &units, draws);
        let told_count = columns.iter().filter(|c| c.cause.told.is_some() && c.chance.is_some()).count();
        columns.sort_by(|a, b| {
            let far = |c: &AskedColumn| c.chance.map_or(0.0, |c| -c.distance.abs());
            let key = |c: &AskedColumn| if c.cause.told.is_some() { c.p_family() } else { f64::from(u8::MAX) };
            key(a).total_cmp(&key(b)).then(a.p_value().total_cmp(&b.p_value())).then(far(a).total_cmp(&far(b)))
        });
        Inquiry { asked, panels, units, columns, told_count, draws: result.draws, is_exact: result.is_exact, unseen }
    }

    /// The panels that have the fault, and those that have not.
    pub(super) fn counts(&self) -> (usize, usize) {
        let with = self.panels.iter().filter(|p| p.has_fault).count();
        (with, self.panels.len() - with)
    }

    /// The means of both sides, each panel with the mean of its unit: that is what changes places.
    pub(super) fn side_means(&self, asked: &AskedColumn) -> Option<(f64, f64)> {
        let of_units = self.units.means(asked.unit, asked.values());
        let of_panels =
            self.panels.iter().zip(self.units.unit_of(asked.unit)).map(|(p, u)| (p.has_fault, of_units[*u]));
        let mean = |has: bool| {
            let side: Vec<f64> = of_panels.clone().filter(|(p, _)| *p == has).filter_map(|(_, v)| v).collect();
            (!side.is_empty()).then(|| side.iter().sum::<f64>() / side.len() as f64)
        };
        mean(true).zip(mean(false))
    }

    /// How many units with a panel on each side know the values.
    fn unit_counts(&self, unit: CauseUnit, values: &[Option<f64>]) -> (usize, usize) {
        let count = |has: bool| {
            let on = self.panels.iter().zip(self.units.unit_of(unit)).zip(values);
            let on = on.filter(|((p, _), value)| p.has_fault == has && value.is_some()).map(|((_, u), _)| *u);
            on.collect::<HashSet<_>>().len()
        };
        (count(true), count(false))
    }

    /// Panels within pots of more than one.
    pub(super) fn strata(&self) -> usize {
        self.units.level(CauseUnit::Panel).blocks.iter().filter(|b| b.len() > 1).count()
    }

    /// All of it as fields of a comparison.
    pub(super) fn differences(&self) -> Vec<Difference> {
        self.columns.iter().filter_map(|c| self.difference(c)).collect()
    }

    /// Whether there are panels with the fault and without.
    pub(super) fn is_two_sided(&self) -> bool {
        let (with, without) = self.counts();
        with > 0 && without > 0
    }

    /// The two sides held against each other.
    pub(super) fn contrast(&self) -> GroupContrast {
        let words = self.asked.words();
        let pots = |has: bool| {
            let on = self.panels.iter().filter(|p| p.has_fault == has).flat_map(|p| &p.row.story.pot_ids);
            on.collect::<HashSet<_>>().len()
        };
        GroupContrast {
            name_a: words.with.to_owned(),
            name_b: words.without.to_owned(),
            day: None,
            panel_counts: self.counts(),
            pot_counts: (pots(true), pots(false)),
            unknown_count: self.unseen.len(),
            tests_pots: self.units.count(CauseUnit::GessoPot) < self.panels.len(),
            no_cause_reason: None,
        }
    }

    /// What is assumed of panels without a pot.
    pub(super) fn assumed_pots_remark(&self) -> Option<String> {
        match self.units.assumed_pots {
            0 => None,
            1 => Some("Panels without a recorded pot are taken to be from one.".to_owned()),
            n => Some(format!("Panels without a recorded pot are taken to be from one for each day, {n} in all.")),
        }
    }

    fn difference(&self, asked: &AskedColumn) -> Option<Difference> {
        let values = asked.values();
        let (mean_a, mean_b) = self.side_means(asked)?;
        let (units_a, units_b) = self.unit_counts(asked.unit, values);
        let (value_a, value_b) = match asked.kinds.is_empty() {
            true => (GroupValue::Number(mean_a), GroupValue::Number(mean_b)),
            false => (GroupValue::Words(self.tally(asked, true)), GroupValue::Words(self.tally(asked, false))),
        };
        let unit = asked.column.cause_unit();
        let told = |v: &GroupValue| match v {
            GroupValue::Number(n) => format!("{}{unit}", format_number(*n, 2)),
            GroupValue::Words(w) => w.clone(),
            GroupValue::Unknown => "not known".to_owned(),
        };
        let over = format_count_of_units(asked.unit, self.units.count(asked.unit));
        let chance = match asked.chance {
            None => "cannot say, there is nothing to hold it against".to_owned(),
            Some(c) => {
                let least = match c.p_least > 0.05 {
                    true => format!("; so few can come to no less than {}", shelves_of_100(c.p_least)),
                    false => String::new(),
                };
                format!("by itself as clear by chance on {}, over {over}{least}", shelves_of_100(c.p_value))
            }
        };
        let effect = mean_a - mean_b;
        let half = asked.chance.map(|c| 1.96 * (effect / c.distance).abs()).filter(|h| h.is_finite());
        Some(Difference {
            field: asked.column.name,
            text: format!("{}: {} against {}; {chance}", asked.column.cause_label(), told(&value_a), told(&value_b)),
            value_a,
            value_b,
            p_value: asked.chance.map(|c| c.p_value),
            pots_a: units_a,
            pots_b: units_b,
            test: Some(CauseTest {
                unit: asked.unit,
                effect: Some(effect),
                low: half.map(|h| effect - h),
                high: half.map(|h| effect + h),
                p_family: asked.chance.and_then(|c| c.p_family),
                p_least: asked.chance.map(|c| c.p_least),
                is_exact: asked.chance.is_some_and(|c| c.is_exact),
                is_told: asked.cause.told.is_some(),
                label: match asked.kind() {
                    Some(kind) => format!("{} {kind}", asked.cause.told.map_or(asked.column.name, |words| words.more)),
                    None if unit.trim().is_empty() => asked.column.cause_label(),
                    None => format!("{}, {}", asked.column.cause_label(), unit.trim()),
                },
                short_a: self.short_side(asked, true),
                short_b: self.short_side(asked, false),
                over,
                goes_with: Vec::new(),
            }),
        })
    }

    /// Its mean on one side; of a word how many have it.
    fn short_side(&self, asked: &AskedColumn, has: bool) -> String {
        match (asked.kind(), self.side_means(asked)) {
            (Some(_), _) => self.count_kind(asked, has),
            (None, Some((a, b))) => {
                let places = (asked.column.places()..6).find(|p| format_number(a, *p) != format_number(b, *p));
                format_number(if has { a } else { b }, places.unwrap_or(asked.column.places()))
            }
            (None, None) => String::new(),
        }
    }

    /// Of how many panels of one side how many have the word: "10 of 11".
    pub(super) fn count_kind(&self, asked: &AskedColumn, has: bool) -> String {
        let known = self.panels.iter().zip(asked.values()).filter(|(p, v)| p.has_fault == has && v.is_some());
        let all = known.clone().count();
        format!("{} of {all}", known.filter(|(_, v)| **v == Some(1.0)).count())
    }

    fn tally(&self, asked: &AskedColumn, has: bool) -> String {
        let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
        for (kind, values) in asked.kinds.iter().zip(&asked.rows) {
            let on = self.panels.iter().zip(values).filter(|(p, v)| p.has_fault == has && **v == Some(1.0)).count();
            counts.insert(kind, on);
        }
        let mut named: Vec<(&str, usize)> = counts.into_iter().filter(|(_, n)| *n > 0).collect();
        named.sort_by_key(|(_, n)| std::cmp::Reverse(*n));
        named.iter().take(6).map(|(kind, n)| format!("{kind} {n}")).collect::<Vec<_>>().join(", ")
    }
}

/// "on 2 shelves of 100": a chance as a painter reads it.
pub(super) fn shelves_of_100(p: f64) -> String {
    match (p * 100.0).round() as u32 {
        0 => "fewer than 1 shelf of 100".to_owned(),
        1 => "1 shelf of 100".to_owned(),
        n => format!("{n} shelves of 100"),
    }
}

/// "12 pots".
pub(super) fn format_count_of_units(unit: CauseUnit, n: usize) -> String {
    match unit {
        CauseUnit::Panel => format_count(n, "panel"),
        CauseUnit::GessoPot | CauseUnit::Lot => format_count(n, "pot"),
        CauseUnit::SizePot => format!("{} of size", format_count(n, "pot")),
        CauseUnit::Day => format_count(n, "day"),
    }
}

/// What a column says of the panels; nothing where it is the same on all, or known of one side only.
fn read_column(
    column: &'static Column,
    cause: &'static CauseColumn,
    panels: &[LookedAtPanel<'_>],
    units: &CauseUnits,
) -> Option<AskedColumn> {
    let (kinds, rows) = if column.is_number() {
        let values: Vec<Option<f64>> = panels.iter().map(|p| column.number(p.row)).collect();
        let known: Vec<f64> = values.iter().flatten().copied().collect();
        let (low, high) = (known.iter().copied().reduce(f64::min)?, known.iter().copied().reduce(f64::max)?);
        // What lies a rounding apart is the same.
        if high - low <= 1e-6 * (1.0 + high.abs()) {
            return None;
        }
        (Vec::new(), vec![values])
    } else {
        let words: Vec<Option<String>> = panels
            .iter()
            .map(|p| match column.value(p.row) {
                Value::Unknown => None,
                Value::Text(_) | Value::Word(_) | Value::Ids(_) | Value::Phrase(_) => column.display(p.row),
                Value::Figure(_) | Value::Count(_) | Value::Flag(_) | Value::Time(_) => None,
            })
            .collect();
        let kinds: Vec<String> = words.iter().flatten().cloned().collect::<BTreeSet<_>>().into_iter().collect();
        if !(2..=MAX_KINDS).contains(&kinds.len()) {
            return None;
        }
        let is = |kind: &String| {
            words.iter().map(|w| w.as_ref().map(|w| f64::from(u8::from(w == kind)))).collect::<Vec<_>>()
        };
        let rows = kinds.iter().map(is).collect();
        (kinds, rows)
    };
    let known = |has: bool| panels.iter().zip(rows.first()?).find(|(p, v)| p.has_fault == has && v.is_some()).map(drop);
    known(true).and(known(false))?;
    let unit = units.choose(cause.unit, &rows);
    Some(AskedColumn { column, cause, kinds, rows, unit, chance: None })
}

/// Every level, in the order of their numbers.
pub(super) fn all_levels(units: &CauseUnits) -> Vec<Level> {
    LEVELS.iter().map(|unit| units.level(*unit)).collect()
}

/// The number of a level.
pub(super) fn level_number(unit: CauseUnit) -> usize {
    LEVELS.iter().position(|u| *u == unit).unwrap_or(0)
}

fn shuffle(
    columns: &mut [AskedColumn],
    panels: &[LookedAtPanel<'_>],
    units: &CauseUnits,
    draws: usize,
) -> ShuffleResult {
    let scores: Vec<f64> = panels.iter().map(|p| p.score).collect();
    let levels = all_levels(units);
    let fields: Vec<ShuffledField> = columns.iter().map(|c| c.to_field(units)).collect();
    // Work grows with panels and rows of values; ten thousand panels take as long as a few hundred do.
    let rows: usize = fields.iter().map(|f| f.values.len()).sum();
    let at_most = (200_000_000 / (rows.max(1) * panels.len().max(1))).clamp(500, DRAWS);
    let result = shuffle_fields(&scores, &levels, &fields, draws.min(at_most), SEED);
    for (column, chance) in columns.iter_mut().zip(&result.fields) {
        column.chance = *chance;
    }
    result
}
