//! The report: one page that stands by itself, on a screen or on A4, in light and dark, read or heard.
//!
//! No script, nothing from outside, and a content security policy that forbids both. Every picture is drawn in place and
//! told in words beside it. The same panels give the same bytes: no time of writing is in it. Whatever a maker typed is
//! cleaned and then escaped.

mod answer;
mod axis;
mod courses;
mod handout;
mod photos;
mod plots;
mod sections;
mod style;
mod trial;

pub use handout::handout_page;
pub use photos::{PanelPhoto, shrink_photo};
pub use trial::{DrawnEffect, TrialBoardCell, TrialJarCell, TrialPage};

use super::card::PanelCard;
use super::columns::page_columns;
use super::compare::{Comparison, GroupValue, PanelGroup, format_p_value};
use super::cross_section::CrossSection;
use super::label::PanelLabel;
use super::panel_row::PanelRow;
use super::panel_timeline::PanelTimeline;
use super::possible_causes::possible_causes;
use super::pots_and_air::PotTimeline;
use super::row_text::{OutcomeClass, format_outcome};
use crate::text::{format_count, format_number, format_number_word, sanitize};
use crate::units::Stamp;
use crate::work::advice::inspections::FaultGrowth;
use maud::{DOCTYPE, Markup, PreEscaped, html};

/// What is told of one panel beside its row.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelDetail {
    /// Its row.
    pub row: PanelRow,
    /// Its time line and maps.
    pub timeline: PanelTimeline,
    /// Its layers.
    pub section: CrossSection,
    /// Its record.
    pub card: PanelCard,
    /// Its faults over several looks.
    pub growth: Vec<FaultGrowth>,
    /// Its photographs in the order of time.
    pub photos: Vec<PanelPhoto>,
}

/// What browsers are told before anything else: nothing is fetched, nothing is run.
pub const CONTENT_SECURITY_POLICY: &str =
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'";

/// What is told beside the panels.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ReportSurroundings {
    /// Their pots.
    pub pots: Vec<PotTimeline>,
    /// The air while coats went on: when, C, per cent.
    pub air: Vec<(Stamp, f64, f64)>,
    /// The trials any of them belongs to.
    pub trials: Vec<TrialPage>,
    /// The days the panels are of, in words: "14 October 2024 to 4 March 2025".
    pub period: Option<String>,
}

/// The page of a comparison and of its panels one by one; `day` prints a date. What hangs on the wall comes first, two pages
/// of a dozen panels when printed; the details come after.
pub fn comparison_page(
    c: &Comparison,
    details: &[PanelDetail],
    beside: &ReportSurroundings,
    day: &dyn Fn(Stamp) -> String,
) -> String {
    let title = comparison_title(c, beside.period.as_deref());
    html_document(
        &title,
        html! {
            header {
                h1 { (title) }
                p.quiet { (outcome_counts(c)) "; made by sottile " (env!("CARGO_PKG_VERSION")) }
            }
            main {
                (answer_section(c))
                (groups_section(c))
                (thumbnails_section(details))
                div.details {
                    (work_differences_section(c))
                    (differences_section(c))
                    (timelines_section(details))
                    (table_section(c))
                    (pots_and_air_section(beside, day))
                    (remarks_section(c))
                }
                @for trial in &beside.trials { (trial::trial_section(trial, day)) }
                @for detail in details { (panel_section(detail, day)) }
                @if details.len() < c.panels.len() {
                    p { "Only the first " (details.len()) " panels are told of one by one; name the others to have them." }
                }
            }
        },
    )
}

/// The page of one panel's card.
pub fn card_page(detail: &PanelDetail) -> String {
    let card = &detail.card;
    html_document(
        &card.title,
        html! {
            main.card {
                h1 { (card.title) }
                (large_section(detail, &card.title))
                (card_parts(card))
            }
        },
    )
}

/// The label of one panel, a page of 60 x 90 mm.
pub fn label_page(label: &PanelLabel, section: &CrossSection) -> String {
    let scale = sections::section_scale(std::iter::once(section), sections::THUMBNAIL_ROOM_PX);
    html_document(
        &label.label,
        html! {
            style { (PreEscaped(style::LABEL_CSS)) }
            main.label {
                div.head {
                    (photos::arrow_up(54.0))
                    div { h1 { (label.label) } p { (label.id) } p { (label.period) } }
                }
                (sections::section_strip(section, scale, &label.label))
                ul { @for line in &label.lines { li { (line) } } }
            }
        },
    )
}

fn large_section(detail: &PanelDetail, label: &str) -> Markup {
    let scale = sections::section_scale(std::iter::once(&detail.section), 220.0);
    sections::section_figure(&detail.section, scale, label)
}

fn html_document(title: &str, body: Markup) -> String {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(CONTENT_SECURITY_POLICY);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (title) }
                style { (PreEscaped(style::CSS)) }
            }
            body { (sections::hatch_patterns()) (body) }
        }
    }
    .into_string()
}

fn comparison_title(c: &Comparison, period: Option<&str>) -> String {
    let names = match c.panels.as_slice() {
        [] => return "No panels".to_owned(),
        panels if panels.len() <= 4 => {
            panels.iter().map(|row| sanitize(&row.story.label)).collect::<Vec<_>>().join(", ")
        }
        panels => {
            let number = format_number_word(panels.len());
            let (first, rest) = number.split_at(1);
            format!("{}{rest} panels", first.to_uppercase())
        }
    };
    period.map_or_else(|| names.clone(), |period| format!("{names}, {period}"))
}

/// How many came out how, the most first.
fn outcome_counts(c: &Comparison) -> String {
    let mut counts: Vec<(&str, usize)> = Vec::new();
    for name in c.panels.iter().map(|row| OutcomeClass::from_row(row).name()) {
        match counts.iter_mut().find(|(of, _)| *of == name) {
            Some((_, n)) => *n += 1,
            None => counts.push((name, 1)),
        }
    }
    counts.sort_by_key(|(_, n)| std::cmp::Reverse(*n));
    let told: Vec<String> = counts.into_iter().map(|(name, n)| format!("{n} {name}")).collect();
    format!("{}: {}", format_count(c.panels.len(), "panel"), told.join(", "))
}

fn answer_section(c: &Comparison) -> Markup {
    html! {
        @if let Some(sentence) = answer::answer_sentence(c) {
            section.answer {
                h2 { "Why did it crack?" }
                p.lede { (sentence) }
                @if let Some(plot) = plots::answer_plot(c) { (plot) }
            }
        }
    }
}

fn thumbnails_section(details: &[PanelDetail]) -> Markup {
    let scale = sections::section_scale(details.iter().map(|d| &d.section), sections::THUMBNAIL_ROOM_PX);
    html! {
        @if details.len() > 1 {
            section.wall {
                h2 { "The panels, cut open" }
                div.thumbs { @for d in details {
                    @let label = sanitize(&d.row.story.label);
                    a href=(format!("#{}", panel_anchor(d))) {
                        (sections::section_thumbnail(&d.section, scale, &label, OutcomeClass::from_row(&d.row), &format_outcome(&d.row)))
                    }
                } }
                p.quiet { "Front above, back below, all to one scale; the board is drawn thin. A line through the ground is a crack that was seen." }
            }
        }
    }
}

fn panel_anchor(d: &PanelDetail) -> String {
    format!("panel-{}", d.row.story.id)
}

fn work_differences_section(c: &Comparison) -> Markup {
    html! {
        @if c.panels.len() > 1 {
            section {
                h2 { "What was done differently" }
                @if c.work_differences.is_empty() { p { "Nothing that is recorded." } }
                ul { @for message in &c.work_differences { li { (message) } } }
                @if let Some(alike) = &c.work_similarities { p.quiet { (alike) } }
            }
        }
    }
}

fn groups_section(c: &Comparison) -> Markup {
    html! {
        section {
            h2 { "By " (c.group_by.name()) }
            div.wide { table {
                caption { "How many panels, from how many pots, and what came of them. What was never looked at is neither sound nor cracked." }
                thead { tr {
                    th scope="col" { (c.group_by.name()) }
                    @for name in ["panels", "pots", "sound", "cracked", "not inspected", "given up"] { th.n scope="col" { (name) } }
                } }
                tbody { @for g in &c.groups { (group_row(g)) } }
            } }
        }
    }
}

fn group_row(g: &PanelGroup) -> Markup {
    html! { tr {
        th scope="row" { (sanitize(&g.value)) }
        @for n in [g.panels, g.pots, g.sound, g.cracked, g.not_inspected, g.given_up] { td.n { (n) } }
    } }
}

fn format_value(v: &GroupValue) -> String {
    match v {
        GroupValue::Number(n) => format_number(*n, 2),
        GroupValue::Words(words) => sanitize(words),
        GroupValue::Unknown => "not known".to_owned(),
    }
}

fn differences_section(c: &Comparison) -> Markup {
    html! {
        @if !c.differences.is_empty() {
            section {
                @match &c.contrast {
                    Some(b) => {
                        h2 { (sanitize(&b.name_a)) " against " (sanitize(&b.name_b)) }
                        p { (format_count(b.panel_counts.0, "panel")) " from " (format_count(b.pot_counts.0, "pot")) " against " (format_count(b.panel_counts.1, "panel")) " from " (format_count(b.pot_counts.1, "pot")) "." }
                        @if b.unknown_count > 0 { p { (format_count(b.unknown_count, "panel")) " nobody looked at at that age." } }
                        @if let Some(message) = &b.no_cause_reason { p.loud { (sanitize(message)) } }
                    }
                    None => h2 { "From the lowest to the highest" }
                }
                div.wide { table {
                    caption { "Medians of each side, and how often chance alone would set the sides at least as far apart." }
                    thead { tr { th scope="col" { "what" } th.n scope="col" { "first" } th.n scope="col" { "second" } th.n scope="col" { "chance" } } }
                    tbody { @for d in &c.differences { tr {
                        th scope="row" { (sanitize(&d.text)) }
                        td.n { (format_value(&d.value_a)) }
                        td.n { (format_value(&d.value_b)) }
                        td.n.p { @match d.p_value { Some(p) => (format_p_value(p)), None => "too few" } }
                    } } }
                } }
                (plots::further_plots(c))
            }
        }
    }
}

fn timelines_section(details: &[PanelDetail]) -> Markup {
    let longest = details.iter().map(|d| d.timeline.duration_min()).fold(0.0, f64::max);
    html! {
        @if details.iter().any(|d| !d.timeline.coats.is_empty()) {
            section {
                h2 { "Coats and waits, all to one scale" }
                @for d in details { @if !d.timeline.coats.is_empty() { (courses::timeline_figure(&d.timeline, longest)) } }
                p.quiet { "Each stroke is a coat, from the first gesso coat on, dotted where it was tapped in, with a bar on top where it was brushed along the width; a point below says early, a ring that the coat below was bone dry." }
            }
        }
    }
}

/// What stands in place of what nobody recorded.
const NOT_RECORDED: &str = "–";

/// A page has a row for at most so many panels; a browser can still be scrolled through that.
const MAX_ROWS: usize = 1000;

/// Every panel a row. What nobody recorded of any of them takes no column.
fn table_section(c: &Comparison) -> Markup {
    let (columns, missing): (Vec<_>, Vec<_>) =
        page_columns().partition(|(_, column)| c.panels.iter().any(|f| column.display(f).is_some()));
    let missing: Vec<&str> = missing.iter().map(|(heading, _)| *heading).collect();
    html! {
        @if c.panels.len() > 1 {
            section {
                h2 { "Side by side" }
                div.wide { table.small {
                    caption {
                        "A dash is what nobody recorded."
                        @if !missing.is_empty() { " Recorded of none: " (missing.join(", ")) "." }
                    }
                    thead { tr { @for (heading, _) in &columns { th scope="col" { (heading) } } } }
                    tbody { @for f in c.panels.iter().take(MAX_ROWS) { tr {
                        @for (i, (_, column)) in columns.iter().enumerate() {
                            @let cell = column.display(f).unwrap_or_else(|| NOT_RECORDED.to_owned());
                            @if i == 0 { th scope="row" { (cell) } } @else { td { (cell) } }
                        }
                    } } }
                } }
                @if c.panels.len() > MAX_ROWS {
                    p { "And " (c.panels.len() - MAX_ROWS) " more, which are in every count above; " code { "sottile export --as csv" } " has a row for each." }
                }
            }
        }
    }
}

fn pots_and_air_section(beside: &ReportSurroundings, day: &dyn Fn(Stamp) -> String) -> Markup {
    html! {
        @if beside.pots.iter().any(|p| !p.temps_c.is_empty()) {
            section {
                h2 { "Pots" }
                @for pot in &beside.pots { (courses::pot_figure(pot)) }
            }
        }
        @if beside.air.len() > 1 {
            section { h2 { "The air while coats went on" } (courses::air_figure(&beside.air, day)) }
        }
    }
}

fn remarks_section(c: &Comparison) -> Markup {
    html! {
        @if !c.remarks.is_empty() || !c.unreadable_stories.is_empty() {
            section {
                h2 { "To be borne in mind" }
                ul {
                    @for message in &c.remarks { li { (sanitize(message)) } }
                    @for out in &c.unreadable_stories { li { "Left out: " (sanitize(&out.path)) ": " (sanitize(&out.message)) } }
                }
            }
        }
    }
}

fn card_parts(card: &PanelCard) -> Markup {
    html! {
        div.parts { @for (heading, lines) in &card.parts { div {
            h3 { (heading) }
            ul { @for line in lines { li { (line) } } }
        } } }
    }
}

fn panel_section(d: &PanelDetail, day: &dyn Fn(Stamp) -> String) -> Markup {
    let label = sanitize(&d.row.story.label);
    let causes = possible_causes(&d.row);
    html! {
        section.panel id=(panel_anchor(d)) {
            h2 { (label) }
            (large_section(d, &label))
            (photos::photo_figures(&d.photos, day))
            (courses::check_map_figures(&d.timeline))
            (card_parts(&d.card))
            @if !d.growth.is_empty() {
                h3 { "Faults over time" }
                ul { @for g in &d.growth { li {
                    (g.fault) ", " (g.trend()) ": "
                    @for (i, (at, much)) in g.measurements.iter().enumerate() {
                        @if i > 0 { ", " } (format_number(*much, 2)) @if !g.unit.is_empty() { " " (g.unit) } " on " (day(*at))
                    }
                } } }
            }
            @if !causes.is_empty() {
                h3 { "To look at" }
                p.quiet { "What the craft connects with the faults seen. None of it is a verdict." }
                ul { @for p in &causes { li { (p.fault.name()) ": " (p.risk_factor.describe(&d.row)) " " span.quiet { "(" (p.source) ")" } } } }
            }
        }
    }
}
