//! The report: one page that stands by itself, on a screen or on A4, in light and dark, read or heard.
//!
//! No script, nothing from outside, and a content security policy that forbids both. Every picture is drawn in place and
//! told in words beside it. The same panels give the same bytes: no time of writing is in it. Whatever a maker typed is
//! cleaned and then escaped. Absent on purpose: files, clocks.

mod plots;
mod style;

use super::around::Course;
use super::card::Card;
use super::compare::{Comparison, Group, Value, outcome, p_text};
use super::facts::Facts;
use super::lines::Line;
use super::section::Section;
use super::ways::pots;
use crate::text::{clean, round_to};
use crate::units::Stamp;
use crate::work::advice::inspections::Growth;
use maud::{DOCTYPE, Markup, PreEscaped, html};

/// What is told of one panel beside its row.
#[derive(Debug, Clone, PartialEq)]
pub struct Detail {
    /// Its row.
    pub facts: Facts,
    /// Its time line and maps.
    pub line: Line,
    /// Its layers.
    pub section: Section,
    /// Its record.
    pub card: Card,
    /// Its faults over several looks.
    pub growth: Vec<Growth>,
}

/// What browsers are told before anything else: nothing is fetched, nothing is run.
pub const POLICY: &str =
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'";

/// What is told beside the panels.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Beside {
    /// Their pots.
    pub pots: Vec<Course>,
    /// The air while coats went on: when, C, per cent.
    pub air: Vec<(Stamp, f64, f64)>,
}

/// The page of a comparison and of its panels one by one; `day` prints a date.
pub fn page(c: &Comparison, details: &[Detail], beside: &Beside, day: &dyn Fn(Stamp) -> String) -> String {
    let title = title(c);
    document(
        &title,
        html! {
            header { h1 { (title) } p.quiet { (count(c.panels.len(), "panel")) "; made by sottile " (env!("CARGO_PKG_VERSION")) } }
            main {
                (differently(c))
                (groups(c))
                (between(c))
                (lines_of(details))
                (table(c))
                (pots_and_air(beside, day))
                (remarks(c))
                @for detail in details { (one(detail, day)) }
                @if details.len() < c.panels.len() {
                    p { "Only the first " (details.len()) " panels are told of one by one; name the others to have them." }
                }
            }
        },
    )
}

/// The page of one panel's card.
pub fn card(detail: &Detail) -> String {
    let card = &detail.card;
    document(
        &card.title,
        html! {
            main.card {
                h1 { (card.title) }
                (plots::section(&detail.section, plots::section_scale(std::iter::once(&detail.section)), &card.title))
                (parts(card))
            }
        },
    )
}

fn document(title: &str, body: Markup) -> String {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (title) }
                style { (PreEscaped(style::CSS)) }
            }
            body { (plots::hatches()) (body) }
        }
    }
    .into_string()
}

fn title(c: &Comparison) -> String {
    match c.panels.as_slice() {
        [] => "No panels".to_owned(),
        [one] => clean(&one.label),
        panels if panels.len() <= 4 => panels.iter().map(|f| clean(&f.label)).collect::<Vec<_>>().join(", "),
        panels => format!("{} panels", panels.len()),
    }
}

fn count(n: usize, of: &str) -> String {
    if n == 1 { format!("1 {of}") } else { format!("{n} {of}s") }
}

fn differently(c: &Comparison) -> Markup {
    html! {
        @if c.panels.len() > 1 {
            section {
                h2 { "What was done differently" }
                @if c.differently.is_empty() { p { "Nothing that is recorded." } }
                ul { @for said in &c.differently { li { (said) } } }
                @if let Some(alike) = &c.alike { p.quiet { (alike) } }
            }
        }
    }
}

fn groups(c: &Comparison) -> Markup {
    html! {
        section {
            h2 { "By " (c.by.name()) }
            div.wide { table {
                caption { "How many panels, from how many pots, and what came of them. What was never looked at is neither sound nor cracked." }
                thead { tr {
                    th scope="col" { (c.by.name()) }
                    @for name in ["panels", "pots", "sound", "cracked", "not inspected", "given up"] { th.n scope="col" { (name) } }
                } }
                tbody { @for g in &c.groups { (group(g)) } }
            } }
        }
    }
}

fn group(g: &Group) -> Markup {
    html! { tr {
        th scope="row" { (clean(&g.value)) }
        @for n in [g.panels, g.pots, g.sound, g.cracked, g.not_inspected, g.given_up] { td.n { (n) } }
    } }
}

fn value(v: &Value) -> String {
    match v {
        Value::Number(n) => round_to(*n, 2),
        Value::Words(words) => clean(words),
        Value::Unknown => "not known".to_owned(),
    }
}

fn between(c: &Comparison) -> Markup {
    html! {
        @if !c.differs.is_empty() {
            section {
                @match &c.between {
                    Some(b) => {
                        h2 { (clean(&b.a)) " against " (clean(&b.b)) }
                        p { (count(b.panels.0, "panel")) " from " (count(b.pots.0, "pot")) " against " (count(b.panels.1, "panel")) " from " (count(b.pots.1, "pot")) "." }
                        @if b.not_known > 0 { p { (count(b.not_known, "panel")) " nobody looked at at that age." } }
                        @if let Some(said) = &b.no_cause { p.loud { (clean(said)) } }
                    }
                    None => h2 { "From the lowest to the highest" }
                }
                div.wide { table {
                    caption { "Medians of each side, and p: how often chance alone would set the sides at least as far apart." }
                    thead { tr { th scope="col" { "what" } th.n scope="col" { "first" } th.n scope="col" { "second" } th.n scope="col" { "p" } } }
                    tbody { @for d in &c.differs { tr {
                        th scope="row" { (clean(&d.said)) }
                        td.n { (value(&d.a)) }
                        td.n { (value(&d.b)) }
                        td.n.p { @match d.p_value { Some(p) => (p_text(p)), None => "too few" } }
                    } } }
                } }
                (plots::dots(c))
            }
        }
    }
}

fn lines_of(details: &[Detail]) -> Markup {
    let longest = details.iter().map(|d| d.line.lasted_min()).fold(0.0, f64::max);
    html! {
        @if details.iter().any(|d| !d.line.coats.is_empty()) {
            section {
                h2 { "Coats and waits, all to one scale" }
                @for d in details { (plots::time_line(&d.line, longest)) }
                p.quiet { "Each stroke is a coat, from the first gesso coat on, dotted where it was tapped in, with a bar on top where it was brushed along the width; a point below says early, a ring that the coat below was bone dry. A notch in the line is an hour." }
            }
        }
    }
}

/// What stands in place of a figure nobody recorded.
const NOT_RECORDED: &str = "–";

fn figure(v: Option<f64>, decimals: usize) -> String {
    v.map_or_else(|| NOT_RECORDED.to_owned(), |v| round_to(v, decimals))
}

type Column = (&'static str, fn(&Facts) -> String);

const COLUMNS: [Column; 17] = [
    ("recipe", |f| clean(&f.recipe)),
    ("pots", |f| clean(&pots(f))),
    ("board", |f| f.support.replace('-', " ")),
    ("coats front", |f| f.coats_front.to_string()),
    ("back", |f| f.coats_back.to_string()),
    ("wait, median min", |f| figure(f.wait_median_min, 1)),
    ("shortest", |f| figure(f.wait_min_min, 1)),
    ("longest", |f| figure(f.wait_max_min, 1)),
    ("dull after min", |f| figure(f.dull_median_min, 1)),
    ("early", |f| f.early_coats.to_string()),
    ("bone-dry gaps", |f| f.long_gaps.to_string()),
    ("pot max C", |f| figure(f.pot_max_c, 0)),
    ("water lost %", |f| figure(f.water_lost_pct, 0)),
    ("glue g/100 g", |f| figure(f.glue_per_100g_filler_g, 1)),
    ("air %", |f| {
        f.air
            .rh_min_pct
            .zip(f.air.rh_max_pct)
            .map_or_else(|| NOT_RECORDED.to_owned(), |(l, h)| format!("{l:.0} to {h:.0}"))
    }),
    ("looked at, days old", |f| figure(f.outcome.age_days, 0)),
    ("outcome", |f| if f.given_up.is_some() { format!("{}, given up", outcome(f)) } else { outcome(f).to_owned() }),
];

/// A page has a row for at most so many panels; a browser can still be scrolled through that.
const ROWS: usize = 1000;

/// Every panel a row. What nobody recorded of any of them takes no column.
fn table(c: &Comparison) -> Markup {
    let known = |of: fn(&Facts) -> String| c.panels.iter().any(|f| of(f) != NOT_RECORDED);
    let (columns, missing): (Vec<Column>, Vec<Column>) = COLUMNS.into_iter().partition(|(_, of)| known(*of));
    let missing: Vec<&str> = missing.iter().map(|(name, _)| *name).collect();
    html! {
        @if c.panels.len() > 1 {
            section {
                h2 { "Side by side" }
                div.wide { table.small {
                    caption {
                        "A dash is what nobody recorded."
                        @if !missing.is_empty() { " Recorded of none: " (missing.join(", ")) "." }
                    }
                    thead { tr { th scope="col" { "panel" } @for (name, _) in &columns { th scope="col" { (name) } } } }
                    tbody { @for f in c.panels.iter().take(ROWS) { tr {
                        th scope="row" { (clean(&f.label)) }
                        @for (_, of) in &columns { td { (of(f)) } }
                    } } }
                } }
                @if c.panels.len() > ROWS {
                    p { "And " (c.panels.len() - ROWS) " more, which are in every count above; " code { "sottile export --as csv" } " has a row for each." }
                }
            }
        }
    }
}

fn pots_and_air(beside: &Beside, day: &dyn Fn(Stamp) -> String) -> Markup {
    html! {
        @if beside.pots.iter().any(|p| !p.temps_c.is_empty() || !p.water_g.is_empty()) {
            section {
                h2 { "Pots" }
                @for pot in &beside.pots { (plots::pot(pot)) }
            }
        }
        @if beside.air.len() > 1 {
            section { h2 { "The air while coats went on" } (plots::air(&beside.air, day)) }
        }
    }
}

fn remarks(c: &Comparison) -> Markup {
    html! {
        @if !c.remarks.is_empty() || !c.left_out.is_empty() {
            section {
                h2 { "To be borne in mind" }
                ul {
                    @for said in &c.remarks { li { (clean(said)) } }
                    @for out in &c.left_out { li { "Left out: " (clean(&out.path)) ": " (clean(&out.said)) } }
                }
            }
        }
    }
}

fn parts(card: &Card) -> Markup {
    html! {
        div.parts { @for (heading, lines) in &card.parts { div {
            h3 { (heading) }
            ul { @for line in lines { li { (line) } } }
        } } }
    }
}

fn one(d: &Detail, day: &dyn Fn(Stamp) -> String) -> Markup {
    let label = clean(&d.facts.label);
    html! {
        section.panel {
            h2 { (label) }
            (plots::section(&d.section, plots::section_scale(std::iter::once(&d.section)), &label))
            (plots::maps(&d.line))
            (parts(&d.card))
            @if !d.growth.is_empty() {
                h3 { "Faults over time" }
                ul { @for g in &d.growth { li {
                    (g.fault) ", " (g.does()) ": "
                    @for (i, (at, much)) in g.seen.iter().enumerate() {
                        @if i > 0 { ", " } (round_to(*much, 2)) @if !g.unit.is_empty() { " " (g.unit) } " on " (day(*at))
                    }
                } } }
            }
            @if !d.facts.causes.is_empty() {
                h3 { "To look at" }
                p.quiet { "What the craft connects with the faults seen. None of it is a verdict." }
                ul { @for p in &d.facts.causes { li { (p.fault) ": " (p.recorded.said(&d.facts)) " " span.quiet { "(" (p.source) ")" } } } }
            }
        }
    }
}
