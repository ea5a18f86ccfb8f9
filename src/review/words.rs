//! A comparison told in words for a person at a shell: what was done differently first, then counts, then figures.
//!
//! Absent on purpose: drawing, colours, files.

use super::compare::{Comparison, outcome};
use super::facts::Facts;
use super::ways::pots;
use crate::text::{clean, fit, round_to, width};

/// The whole of it. Every word a maker typed is made safe to show.
pub fn told(c: &Comparison) -> String {
    if c.panels.is_empty() {
        let left_out = left_out(c);
        return format!("no panels to compare\n{left_out}");
    }
    let mut text = String::new();
    text += &differently(c);
    text += &groups(c);
    text += &between(c);
    text += &table(&c.panels);
    text += &look_at(&c.panels);
    for remark in &c.remarks {
        text += &format!("{remark}\n");
    }
    text + &left_out(c)
}

fn differently(c: &Comparison) -> String {
    let mut text = String::new();
    if c.panels.len() > 1 {
        text += if c.differently.is_empty() {
            "Nothing was done differently that is recorded.\n"
        } else {
            "Done differently\n"
        };
    }
    text.extend(c.differently.iter().map(|said| format!("  {said}\n")));
    text.extend(c.alike.iter().map(|said| format!("{said}\n")));
    text + "\n"
}

fn panels(n: usize) -> String {
    if n == 1 { "1 panel".to_owned() } else { format!("{n} panels") }
}

fn from_pots(n: usize) -> String {
    match n {
        0 => "pots not recorded".to_owned(),
        1 => "from 1 pot".to_owned(),
        n => format!("from {n} pots"),
    }
}

/// More groups than this are counted: nobody takes in two thousand pots.
const GROUPS: usize = 24;

fn groups(c: &Comparison) -> String {
    let mut text = format!("By {}\n", c.by.name());
    for g in c.groups.iter().take(GROUPS) {
        let mut counts = vec![format!("{} sound", g.sound), format!("{} cracked", g.cracked)];
        counts.push(format!("{} not inspected", g.not_inspected));
        if g.given_up > 0 {
            counts.push(format!("{} given up", g.given_up));
        }
        let counts = counts.join(", ");
        text += &format!("  {}: {} {}: {counts}\n", clean(&g.value), panels(g.panels), from_pots(g.pots));
    }
    match c.groups.len().saturating_sub(GROUPS) {
        0 => text + "\n",
        more => text + &format!("  and {more} more groups; `--json` tells all\n\n"),
    }
}

fn between(c: &Comparison) -> String {
    let mut text = String::new();
    if let Some(b) = &c.between {
        text += &format!(
            "{} ({} {}) against {} ({} {})\n",
            capital(&clean(&b.a)),
            panels(b.panels.0),
            from_pots(b.pots.0),
            clean(&b.b),
            panels(b.panels.1),
            from_pots(b.pots.1)
        );
        if b.not_known > 0 {
            text += &format!("  {}: nobody looked at that age; left out of this\n", panels(b.not_known));
        }
        text.extend(b.no_cause.iter().map(|said| format!("  {}\n", clean(said))));
    } else if !c.differs.is_empty() {
        text += "From the lowest to the highest\n";
    }
    text.extend(c.differs.iter().map(|d| format!("  {}\n", clean(&d.said))));
    if text.is_empty() { text } else { text + "\n" }
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

fn figure(value: Option<f64>, decimals: usize) -> String {
    value.map_or_else(|| "-".to_owned(), |v| round_to(v, decimals))
}

/// The columns a person compares by; every column there is stands in `--csv`.
type Column = (&'static str, fn(&Facts) -> String);

const COLUMNS: [Column; 12] = [
    ("panel", |f| fit(&clean(&f.label), 18)),
    ("recipe", |f| fit(&clean(&f.recipe), 18)),
    ("pots", |f| fit(&clean(&pots(f)), 18)),
    ("coats", |f| format!("{}+{}", f.coats_front, f.coats_back)),
    ("wait", |f| figure(f.wait_median_min, 1)),
    ("longest", |f| figure(f.wait_max_min, 1)),
    ("early", |f| f.early_coats.to_string()),
    ("gaps", |f| f.long_gaps.to_string()),
    ("pot C", |f| figure(f.pot_max_c, 0)),
    ("lost %", |f| figure(f.water_lost_pct, 0)),
    ("days", |f| figure(f.outcome.age_days, 0)),
    ("outcome", |f| if f.given_up.is_some() { format!("{}, given up", outcome(f)) } else { outcome(f).to_owned() }),
];

/// More rows than this are for `--csv` and `--json`.
const ROWS: usize = 60;

fn table(facts: &[Facts]) -> String {
    let rows: Vec<Vec<String>> = std::iter::once(COLUMNS.map(|(name, _)| name.to_owned()).to_vec())
        .chain(facts.iter().take(ROWS).map(|f| COLUMNS.iter().map(|(_, of)| of(f)).collect()))
        .collect();
    let widths: Vec<usize> =
        (0..COLUMNS.len()).map(|i| rows.iter().filter_map(|r| r.get(i)).map(|c| width(c)).max().unwrap_or(0)).collect();
    let mut text = String::new();
    for row in &rows {
        let cell = |(cell, wide): (&String, &usize)| format!("{cell}{}", " ".repeat(wide - width(cell)));
        let line: Vec<String> = row.iter().zip(&widths).map(cell).collect();
        text += line.join("  ").trim_end();
        text.push('\n');
    }
    match facts.len().saturating_sub(ROWS) {
        0 => text + "\n",
        more => text + &format!("and {more} more; `--csv` tells all\n\n"),
    }
}

/// What to look at, for at most this many panels.
const LOOKED_AT: usize = 12;

fn look_at(facts: &[Facts]) -> String {
    let with: Vec<&Facts> = facts.iter().filter(|f| !f.causes.is_empty()).collect();
    if with.is_empty() {
        return String::new();
    }
    let mut text = "To look at: what the craft connects with the faults seen. None of it is a verdict.\n".to_owned();
    for f in with.iter().take(LOOKED_AT) {
        text += &format!("  {}\n", clean(&f.label));
        for p in &f.causes {
            text += &format!("    {}: {} ({})\n", p.fault, p.recorded.said(f), p.source);
        }
    }
    match with.len().saturating_sub(LOOKED_AT) {
        0 => text + "\n",
        more => text + &format!("  and {more} more\n\n"),
    }
}

/// Damaged stories are named as far as rows are.
fn left_out(c: &Comparison) -> String {
    let named = c.left_out.iter().take(ROWS);
    let text: String = named.map(|l| format!("left out: {}: {}\n", clean(&l.path), clean(&l.said))).collect();
    match c.left_out.len().saturating_sub(ROWS) {
        0 => text,
        more => text + &format!("left out: and {more} more; `--json` names all\n"),
    }
}
