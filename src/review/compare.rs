//! Many panels held against each other, honestly.
//!
//! What was done differently comes first, in words. Then groups, with how many panels and how many pots stand behind
//! each. Then two groups against each other: medians and ranges, and how often chance alone would set them as far apart.
//! Panels that share a pot are one observation of it, so chance is reckoned over pots; cracked and sound panels are held
//! against each other at the same age; what was not looked at is not sound; given-up panels stay in the count; and where
//! the groups share no pot, nothing is said of a cause. Absent on purpose: reading stories, printing.

use super::By;
use super::facts::Facts;
use super::stats::{self, FEWEST, median, permutation};
use super::ways::{names, pots};
use crate::text::round_to;
use crate::units::Id;
use crate::work::advice::inspections::{DAYS, EARLY_BY};
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// A story that could not be taken into a comparison.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftOut {
    /// Its file.
    pub path: String,
    /// Why.
    pub said: String,
}

/// Panels that have something in common.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// What they have in common.
    pub value: String,
    /// How many they are, given-up ones too.
    pub panels: usize,
    /// From how many pots, as far as that was recorded.
    pub pots: usize,
    /// Those looked over and sound.
    pub sound: usize,
    /// Those on which a crack was seen.
    pub cracked: usize,
    /// Those never looked over.
    pub not_inspected: usize,
    /// Those given up.
    pub given_up: usize,
}

/// What came of a panel, in a word.
pub fn outcome(f: &Facts) -> &'static str {
    let cracked = f.outcome.verdicts.iter().any(|v| v.cracked);
    match (f.outcome.inspected, f.outcome.sound) {
        (true, _) if cracked => "cracked",
        (true, Some(true)) => "sound",
        (true, Some(false)) => "lifting or mould",
        (true, None) => "not looked over for cracks",
        (false, _) => "not inspected",
    }
}

fn value(by: By, f: &Facts) -> String {
    match by {
        By::Recipe => f.recipe.clone(),
        By::Pot => pots(f),
        By::Support => f.support.to_owned(),
        By::Outcome => outcome(f).to_owned(),
    }
}

/// Two groups held against each other.
#[derive(Debug, Clone, PartialEq)]
pub struct Between {
    /// What the first are: "cracked by day 28".
    pub a: String,
    /// What the second are.
    pub b: String,
    /// The day both are looked at, where they are told apart by what came of them.
    pub day: Option<f64>,
    /// How many panels are in each.
    pub panels: (usize, usize),
    /// From how many pots each, as far as recorded.
    pub pots: (usize, usize),
    /// Panels whose state on that day nobody looked at.
    pub not_known: usize,
    /// Chance is reckoned over pots.
    pub over_pots: bool,
    /// Why no cause can be told, if so.
    pub no_cause: Option<String>,
}

/// A figure or a word.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A median.
    Number(f64),
    /// Words, with how many panels each.
    Words(String),
    /// Nobody knows.
    Unknown,
}

/// One field in which two groups differ.
#[derive(Debug, Clone, PartialEq)]
pub struct Differs {
    /// Its name, as in the table.
    pub field: &'static str,
    /// The first group.
    pub a: Value,
    /// The second group.
    pub b: Value,
    /// How often chance alone would set them as far apart; nothing where that cannot be said.
    pub p_value: Option<f64>,
    /// From how many pots the first group's values come.
    pub pots_a: usize,
    /// From how many pots the second group's values come.
    pub pots_b: usize,
    /// All of it in a sentence.
    pub said: String,
}

/// Panels side by side.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// What they are grouped by.
    pub by: By,
    /// A row for each, those of one group together, then by the time they were opened.
    pub panels: Vec<Facts>,
    /// What was done differently, in words.
    pub differently: Vec<String>,
    /// What was alike.
    pub alike: Option<String>,
    /// The groups.
    pub groups: Vec<Group>,
    /// The two groups held against each other, if there are two.
    pub between: Option<Between>,
    /// Where they differ.
    pub differs: Vec<Differs>,
    /// What is to be borne in mind in reading it.
    pub remarks: Vec<String>,
    /// Stories that could not be taken in.
    pub left_out: Vec<LeftOut>,
    /// Which panels are on the first side, which on the second.
    sides: HashMap<Id, bool>,
}

impl Comparison {
    /// Whether a panel is on the first side of what is held against each other; nothing if it is on neither.
    pub fn side(&self, f: &Facts) -> Option<bool> {
        self.sides.get(&f.id).copied()
    }
}

impl Field {
    /// The figure of a panel.
    pub fn value(&self, f: &Facts) -> Option<f64> {
        (self.of)(f)
    }
}

/// Holds panels against each other.
pub fn compare(mut panels: Vec<Facts>, by: By, left_out: Vec<LeftOut>) -> Comparison {
    panels.sort_by_cached_key(|f| (value(by, f), f.opened_at, f.id.clone()));
    let groups = groups(by, &panels);
    let sides = sides(by, &panels, &groups);
    let (between, differs) = match &sides {
        Some(sides) => {
            let units = Units::of(sides);
            (Some(sides.between(&units)), differs(sides, &units))
        }
        None => (None, spread(&panels)),
    };
    let mut remarks = remarks(&panels, &left_out);
    remarks.extend(by_chance(&differs));
    let on = |side: &[&Facts], first: bool| side.iter().map(|f| (f.id.clone(), first)).collect::<Vec<_>>();
    let members =
        sides.as_ref().map_or_else(HashMap::new, |s| on(&s.a, true).into_iter().chain(on(&s.b, false)).collect());
    Comparison {
        by,
        differently: super::ways::differently(&panels),
        alike: super::ways::alike(&panels),
        groups,
        between,
        differs,
        remarks,
        left_out,
        sides: members,
        panels,
    }
}

fn distinct_pots<'a>(panels: impl Iterator<Item = &'a Facts>) -> usize {
    panels.flat_map(|f| &f.pots).collect::<BTreeSet<_>>().len()
}

fn groups(by: By, panels: &[Facts]) -> Vec<Group> {
    let mut members: BTreeMap<String, Vec<&Facts>> = BTreeMap::new();
    for facts in panels {
        members.entry(value(by, facts)).or_default().push(facts);
    }
    let group = |(value, of): (String, Vec<&Facts>)| {
        let are = |what: &str| of.iter().filter(|f| outcome(f) == what).count();
        Group {
            value,
            panels: of.len(),
            pots: distinct_pots(of.iter().copied()),
            sound: are("sound"),
            cracked: are("cracked"),
            not_inspected: are("not inspected"),
            given_up: of.iter().filter(|f| f.given_up.is_some()).count(),
        }
    };
    members.into_iter().map(group).collect()
}

/// The panels of two groups.
struct Sides<'a> {
    names: (String, String),
    day: Option<f64>,
    a: Vec<&'a Facts>,
    b: Vec<&'a Facts>,
    not_known: usize,
}

fn sides<'a>(by: By, panels: &'a [Facts], groups: &[Group]) -> Option<Sides<'a>> {
    let two = |names: (String, String), is_a: &dyn Fn(&Facts) -> bool| {
        let (a, b) = panels.iter().partition(|f| is_a(f));
        Sides { names, day: None, a, b, not_known: 0 }
    };
    if let (By::Recipe | By::Pot | By::Support, [a, b]) = (by, groups) {
        let named = |g: &Group| format!("{} {}", by.name(), g.value);
        return Some(two((named(a), named(b)), &|f| value(by, f) == a.value));
    }
    by_outcome(panels).or_else(|| match panels {
        [a, b] => Some(two((a.label.clone(), b.label.clone()), &|f| f.id == a.id)),
        _ => None,
    })
}

/// Whether a panel is known to have cracked by that day, or to have been sound on it.
fn cracked_by(f: &Facts, day: f64) -> Option<bool> {
    let looks = &f.outcome.verdicts;
    let faulty = looks.iter().any(|v| !v.sound && v.age_days <= day);
    if looks.iter().any(|v| v.cracked && v.age_days <= day) {
        return Some(true);
    }
    let sound = looks.iter().any(|v| v.sound && v.age_days >= day * (1.0 - EARLY_BY));
    (sound && !faulty).then_some(false)
}

/// Cracked against sound panels on the day on which most is known; the later of two such days.
fn by_outcome(panels: &[Facts]) -> Option<Sides<'_>> {
    let youngest = panels.iter().flat_map(|f| &f.outcome.verdicts).filter(|v| v.sound && v.age_days >= 0.0);
    let youngest = youngest.map(|v| v.age_days).reduce(f64::min);
    let days = youngest.into_iter().chain(DAYS.into_iter().map(f64::from));
    let known = |day: f64| {
        let (mut cracked, mut sound) = (0, 0);
        for f in panels {
            match cracked_by(f, day) {
                Some(true) => cracked += 1,
                Some(false) => sound += 1,
                None => {}
            }
        }
        (cracked > 0 && sound > 0).then_some(cracked + sound)
    };
    let (_, day) =
        days.filter_map(|day| Some((known(day)?, day))).max_by(|x, y| x.0.cmp(&y.0).then(x.1.total_cmp(&y.1)))?;
    let are = |what: bool| panels.iter().filter(|f| cracked_by(f, day) == Some(what)).collect::<Vec<_>>();
    let (a, b) = (are(true), are(false));
    let told = round_to(day, 1);
    Some(Sides {
        names: (format!("cracked by day {told}"), format!("sound on day {told}")),
        day: Some(day),
        not_known: panels.len() - a.len() - b.len(),
        a,
        b,
    })
}

/// Which observation a panel belongs to: panels that share a pot, directly or through others, are one. A pot with panels
/// on both sides counts once on each; as the two are alike, that makes p larger rather than smaller.
struct Units {
    /// The unit of each panel of a, then of b.
    of: Vec<usize>,
    shared: bool,
    /// Units with panels on both sides.
    both: usize,
}

impl Units {
    fn of(sides: &Sides<'_>) -> Units {
        let panels: Vec<&Facts> = sides.a.iter().chain(&sides.b).copied().collect();
        let mut root: Vec<usize> = (0..panels.len()).collect();
        let mut first: HashMap<&str, usize> = HashMap::new();
        for (i, f) in panels.iter().enumerate() {
            for pot in &f.pots {
                let j = *first.entry(pot.as_str()).or_insert(i);
                let (a, b) = (top(&mut root, i), top(&mut root, j));
                let (low, high) = (a.min(b), a.max(b));
                if let Some(place) = root.get_mut(high) {
                    *place = low;
                }
            }
        }
        let of: Vec<usize> = (0..panels.len()).map(|i| top(&mut root, i)).collect();
        let (a, b) = of.split_at(sides.a.len());
        let (in_a, in_b): (BTreeSet<_>, BTreeSet<_>) = (a.iter().collect(), b.iter().collect());
        Units {
            shared: of.iter().collect::<BTreeSet<_>>().len() < of.len(),
            both: in_a.intersection(&in_b).count(),
            of,
        }
    }

    /// One value for each unit of one side: the mean of its panels'.
    fn values(&self, from: usize, side: &[&Facts], of: &dyn Fn(&Facts) -> Option<f64>) -> Vec<f64> {
        let mut sums: BTreeMap<usize, (f64, f64)> = BTreeMap::new();
        for (f, unit) in side.iter().zip(self.of.iter().skip(from)) {
            if let Some(value) = of(f) {
                let (sum, n) = sums.entry(*unit).or_default();
                *sum += value;
                *n += 1.0;
            }
        }
        sums.values().map(|(sum, n)| sum / n).collect()
    }
}

fn top(root: &mut [usize], mut i: usize) -> usize {
    while let Some(above) = root.get(i).copied().filter(|above| *above != i) {
        // Each step halves the way for the next.
        let higher = root.get(above).copied().unwrap_or(above);
        if let Some(place) = root.get_mut(i) {
            *place = higher;
        }
        i = higher;
    }
    i
}

impl Sides<'_> {
    fn between(&self, units: &Units) -> Between {
        let pots = (distinct_pots(self.a.iter().copied()), distinct_pots(self.b.iter().copied()));
        let recorded = pots.0 > 0 && pots.1 > 0;
        let no_cause = match (recorded, units.both) {
            (true, 0) => Some(format!(
                "No pot served both: every panel {} came from other pots than those {}. Whatever came with the pot cannot be told from whatever else differed, so a cause cannot be told.",
                self.names.0, self.names.1
            )),
            (false, _) => {
                Some("The pots were not recorded on both sides, so a cause cannot be told from the pot.".to_owned())
            }
            (true, _) => None,
        };
        Between {
            a: self.names.0.clone(),
            b: self.names.1.clone(),
            day: self.day,
            panels: (self.a.len(), self.b.len()),
            pots,
            not_known: self.not_known,
            over_pots: units.shared,
            no_cause,
        }
    }
}

/// A field that has figures.
pub struct Field {
    /// Its name, as in the table.
    pub name: &'static str,
    /// What it is called in a sentence.
    pub called: &'static str,
    /// Its unit, as it follows a figure.
    pub unit: &'static str,
    /// It is something that came of the panel, not something done.
    pub result: bool,
    by: stats::By,
    of: fn(&Facts) -> Option<f64>,
}

const fn field(name: &'static str, called: &'static str, unit: &'static str, of: fn(&Facts) -> Option<f64>) -> Field {
    Field { name, called, unit, result: false, by: stats::By::Means, of }
}

/// Every field that is held against another, in the order of the table.
pub const FIELDS: [Field; 23] = [
    field("coats_front", "coats on the front", "", |f| Some(f64::from(f.coats_front))),
    field("coats_back", "coats on the back", "", |f| Some(f64::from(f.coats_back))),
    field("wait_median_min", "minutes between coats", " min", |f| f.wait_median_min),
    field("wait_min_min", "the shortest of them", " min", |f| f.wait_min_min),
    field("wait_max_min", "the longest of them", " min", |f| f.wait_max_min),
    field("dull_median_min", "minutes until dull", " min", |f| f.dull_median_min),
    field("early_coats", "coats laid early", "", |f| Some(f64::from(f.early_coats))),
    field("late_coats", "coats laid late", "", |f| Some(f64::from(f.late_coats))),
    field("long_gaps", "coats on a bone-dry one", "", |f| Some(f64::from(f.long_gaps))),
    field("melts", "melts of the pot", "", |f| f.melts.map(f64::from)),
    field("pot_max_c", "the pot at its hottest", " C", |f| f.pot_max_c),
    field("water_lost_pct", "water lost from the pot", " %", |f| f.water_lost_pct),
    field("glue_per_100g_filler_g", "glue to 100 g of filler", " g", |f| f.glue_per_100g_filler_g),
    field("pvc_pct", "filler by volume", " %", |f| f.pvc_pct),
    field("air_temp_mean_c", "the room", " C", |f| f.air.temp_mean_c),
    field("air_rh_min_pct", "the driest air", " %", |f| f.air.rh_min_pct),
    field("air_rh_max_pct", "the dampest air", " %", |f| f.air.rh_max_pct),
    field("cloth", "linen laid (1 yes, 0 no)", "", |f| Some(f64::from(u8::from(f.cloth)))),
    field("done_again", "acts done again", "", |f| Some(f64::from(f.done_again))),
    field("scrape_rounds", "rounds of scraping", "", |f| Some(f64::from(f.scrape_rounds))),
    field("check_rounds", "checks", "", |f| Some(f64::from(f.check_rounds))),
    field("elapsed_h", "hours from opening to the last act", " h", |f| f.elapsed_h),
    // A few panels have very many: ranks keep them from carrying the whole mean.
    Field {
        result: true,
        by: stats::By::Ranks,
        ..field("pinholes", "pinholes", "", |f| f.outcome.pinholes.map(f64::from))
    },
];

/// A field of words: its name in the table, and the word of a panel.
type WordField = (&'static str, fn(&Facts) -> String);

/// Fields of words that are held against each other.
const WORD_FIELDS: [WordField; 5] = [
    ("recipe", |f| f.recipe.clone()),
    ("pots", pots),
    ("support", |f| f.support.to_owned()),
    ("paint", |f| f.paint.to_owned()),
    ("seal", |f| f.sealed.to_owned()),
];

fn differs(sides: &Sides<'_>, units: &Units) -> Vec<Differs> {
    let words = WORD_FIELDS.iter().filter_map(|(name, of)| words_differ(name, *of, sides));
    // Results are what outcome groups are made of, so they are held against each other only where something else made them.
    let fields = FIELDS.iter().filter(|f| !f.result || sides.day.is_none());
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
        if more == 0 { named.join(", ") } else { format!("{} and {more} others", named.join(", ")) }
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
    let panels: Vec<Facts> = sides.a.iter().chain(&sides.b).map(|f| (*f).clone()).collect();
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

/// A p-value as it is read: three places, never "0".
pub fn p_text(p: f64) -> String {
    if p < 0.001 { "less than 0.001".to_owned() } else { round_to(p, 3) }
}

/// Values in rising order as their median and range: "15 min (12 to 31)".
fn span(rising: &[f64], unit: &str) -> String {
    match (stats::quantile(rising, 0.5), rising.first(), rising.last()) {
        (Some(middle), Some(low), Some(high)) if low != high => {
            format!("{}{unit} ({} to {})", round_to(middle, 2), round_to(*low, 2), round_to(*high, 2))
        }
        (Some(middle), ..) => format!("{}{unit}", round_to(middle, 2)),
        (None, ..) => "not known".to_owned(),
    }
}

/// The same field is always drawn from the same seed.
fn seed(name: &str) -> u64 {
    name.bytes().fold(0xcbf2_9ce4_8422_2325, |h, b| (h ^ u64::from(b)).wrapping_mul(0x0100_0000_01b3))
}

/// Without two groups: each field in which the panels differ, from the lowest to the highest.
fn spread(panels: &[Facts]) -> Vec<Differs> {
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

fn remarks(panels: &[Facts], left_out: &[LeftOut]) -> Vec<String> {
    let count = |is: &dyn Fn(&Facts) -> bool| panels.iter().filter(|f| is(f)).count();
    let are = |n: usize| if n == 1 { "1 panel was".to_owned() } else { format!("{n} panels were") };
    let mut said = Vec::new();
    match count(&|f| !f.outcome.inspected) {
        0 => {}
        n => said.push(format!("{} never inspected, and counted neither as sound nor as cracked.", are(n))),
    }
    match count(&|f| f.given_up.is_some()) {
        0 => {}
        n => said.push(format!("{} given up, and stay in the count.", are(n))),
    }
    match left_out.len() {
        0 => {}
        1 => said.push("1 story could not be read, and is left out.".to_owned()),
        n => said.push(format!("{n} stories could not be read, and are left out.")),
    }
    let ages: Vec<f64> = panels.iter().filter_map(|f| f.outcome.age_days).collect();
    let (young, old) = (ages.iter().copied().reduce(f64::min), ages.iter().copied().reduce(f64::max));
    if let (Some(young), Some(old)) = (young, old)
        && old - young > 1.0
    {
        said.push(format!(
            "They were last looked at when {} to {} days old; what is younger has had less time to crack.",
            round_to(young, 0),
            round_to(old, 0)
        ));
    }
    said
}

/// The more is tested, the more will look remarkable by chance.
fn by_chance(differs: &[Differs]) -> Option<String> {
    let tested = differs.iter().filter(|d| d.p_value.is_some()).count();
    (tested > 1).then(|| {
        format!(
            "{tested} things were tested: of so many, {} would come to p = 0.05 or less by chance alone.",
            round_to(tested as f64 * 0.05, 1)
        )
    })
}
