//! `compare`, `report`, `card`, `export`, and reading the stories they are about.
//!
//! A page or an export that tells all of a story reads it once more. Absent on purpose: how a shelf is read (`bench`).

use super::args::{Card, Compare, Export, Report};
use super::failure::{Fault, Kind};
use super::progress::{Progress, shown};
use super::{Here, out, panel, pot};
use crate::bench::{Rows, Shelved};
use crate::craft::materials::Filler;
use crate::record::journal::line::payload;
use crate::record::shelf::Shelf;
use crate::review::By;
use crate::review::around::{Around, Course};
use crate::review::compare::{Comparison, LeftOut, compare};
use crate::review::csv::{Guard, table};
use crate::review::export::{self, ExportedJson};
use crate::review::facts::Facts;
use crate::review::html::{self, Beside, Detail};
use crate::review::json::CompareJson;
use crate::review::{card as cards, lines, section, words};
use crate::text::{clean, date, hhmm, rfc3339};
use crate::units::{Id, Stamp};
use crate::work::advice::inspections::growth;
use crate::work::panel::event::Event;
use crate::work::panel::story::Story;
use anyhow::Result;
use chrono::Local;
use std::collections::BTreeSet;
use std::io::Write;
use std::path::Path;

/// A report tells of at most so many panels one by one, and of so many pots.
const ONE_BY_ONE: usize = 200;

/// Sets panels side by side.
pub(super) fn run(here: &Here, asked: &Compare) -> Result<()> {
    let compared = shown(|progress| {
        let rows = rows(here, progress, &asked.panels)?;
        progress.doing("comparing", 0);
        Ok(compare(rows.kept, asked.by, rows.left_out))
    })?;
    if asked.json {
        out::json(&CompareJson::of(&compared, &clock))?;
    } else if asked.csv {
        out::text(&table(&compared.panels, &clock, guard(asked.raw)))?;
        say_left_out(&compared.left_out);
    } else {
        out::text(&words::told(&compared))?;
        out::text(&like_the_good_one(&compared))?;
    }
    ended(&compared.left_out)
}

/// Where a sound panel stands among others, another like it may be wanted.
fn like_the_good_one(c: &Comparison) -> String {
    let sound = c.panels.iter().filter(|f| f.outcome.sound == Some(true));
    let oldest = sound.max_by(|a, b| a.outcome.age_days.unwrap_or(0.0).total_cmp(&b.outcome.age_days.unwrap_or(0.0)));
    oldest.map_or_else(String::new, |f| format!("Another like {}: sottile recipe from {}\n", clean(&f.label), f.id))
}

/// Writes the report.
pub(super) fn report(here: &Here, asked: &Report) -> Result<()> {
    out::free(&asked.output, asked.force)?;
    let left_out = shown(|progress| {
        let rows = rows(here, progress, &asked.panels)?;
        progress.doing("comparing", 0);
        let compared = compare(rows.kept, By::Outcome, rows.left_out);
        let one_by_one = compared.panels.get(..ONE_BY_ONE).unwrap_or(&compared.panels);
        let details = details(here, progress, one_by_one)?;
        let beside = beside(&rows.around, &compared.panels);
        progress.doing(unless_shown(&asked.output, "writing"), 0);
        out::file(&asked.output, &html::page(&compared, &details, &beside, &day), asked.force)?;
        Ok(compared.left_out)
    })?;
    say_left_out(&left_out);
    ended(&left_out)
}

/// The pots and the air of the panels.
fn beside(around: &Around, panels: &[Facts]) -> Beside {
    let pots: BTreeSet<&Id> = panels.iter().flat_map(|f| &f.pots).collect();
    let pots: Vec<Course> = pots.into_iter().filter_map(|id| around.course(id)).take(ONE_BY_ONE).collect();
    let spans: Vec<(Stamp, Stamp)> = panels.iter().filter_map(|f| f.coats_span).collect();
    let span = spans.iter().map(|s| s.0).min().zip(spans.iter().map(|s| s.1).max());
    Beside { pots, air: span.map_or_else(Vec::new, |(from, to)| around.airs(from, to)) }
}

/// Writes the card of one panel.
pub(super) fn card(here: &Here, asked: &Card) -> Result<()> {
    out::free(&asked.output, asked.force)?;
    shown(|progress| {
        let rows = rows(here, progress, std::slice::from_ref(&asked.panel))?;
        let details = details(here, progress, &rows.kept)?;
        let Some(detail) = details.first() else {
            let said = rows.left_out.first().map_or_else(String::new, |l| format!("{}: {}", l.path, l.said));
            return Err(Fault::damaged(clean(&said)).into());
        };
        let is_page = |e: &std::ffi::OsStr| e.eq_ignore_ascii_case("html") || e.eq_ignore_ascii_case("htm");
        let page = asked.output.extension().is_some_and(is_page);
        let text = if page { html::card(detail) } else { detail.card.to_string() };
        out::file(&asked.output, &text, asked.force)
    })
}

/// Writes the facts for other tools.
pub(super) fn export(here: &Here, asked: &Export) -> Result<()> {
    out::free(&asked.output, asked.force)?;
    let left_out = shown(|progress| {
        let rows = rows(here, progress, &asked.panels)?;
        if asked.form == "csv" {
            out::file(&asked.output, &table(&rows.kept, &clock, guard(asked.raw)), asked.force)?;
        } else {
            out::pieces(&asked.output, asked.force, &mut |to| {
                let doing = unless_shown(&asked.output, "written");
                stories(here, progress, doing, &rows, to)
            })?;
        }
        Ok(rows.left_out)
    })?;
    say_left_out(&left_out);
    ended(&left_out)
}

/// That word, but nothing where what is written goes to the screen itself.
fn unless_shown<'w>(path: &Path, doing: &'w str) -> &'w str {
    if path.as_os_str() == "-" { "" } else { doing }
}

/// Writes every story as JSON, a piece for each, so that no more than a few are ever held.
fn stories(here: &Here, progress: &Progress, doing: &str, rows: &Rows, to: &mut dyn Write) -> Result<()> {
    to.write_all(export::head().as_bytes())?;
    let piece = |story: &Story, facts: &Facts| ExportedJson::of(story, facts, &clock, &|e: &Event| payload(e)).piece();
    let mut comma = "";
    again(here, progress, doing, &rows.kept, &piece, &mut |piece| {
        write!(to, "{comma}{}", piece?)?;
        comma = ",";
        Ok(())
    })?;
    to.write_all(export::foot(rows.kept.is_empty(), &rows.left_out)?.as_bytes())?;
    Ok(())
}

fn clock(at: Stamp) -> String {
    rfc3339(at, &Local)
}

fn day(at: Stamp) -> String {
    date(at, &Local)
}

const fn guard(raw: bool) -> Guard {
    if raw { Guard::Raw } else { Guard::On }
}

fn detail(story: &Story, facts: &Facts, loose: &[(Filler, f64)]) -> Detail {
    let time = |at: Stamp| hhmm(at, &Local);
    let cut = section::section(story, loose);
    Detail {
        line: lines::line(story),
        card: cards::card(story, facts, &cut, &day, &time),
        section: cut,
        growth: growth(story),
        facts: facts.clone(),
    }
}

fn say_left_out(left_out: &[LeftOut]) {
    for l in left_out {
        out::say(&format!("sottile: left out: {}: {}", clean(&l.path), clean(&l.said)));
    }
}

fn ended(left_out: &[LeftOut]) -> Result<()> {
    if left_out.is_empty() { Ok(()) } else { Err(Fault::told(Kind::Damaged).into()) }
}

/// Reads the stories asked for, or all, and says how far it has come. A damaged one is left out and named.
fn rows(here: &Here, progress: &Progress, asked: &[String]) -> Result<Rows> {
    let shelf = here.shelf();
    let ids = ids(here, &shelf, asked)?;
    let loose = pot::loose(here);
    progress.doing("read", ids.len());
    let shelved = Shelved { shelf: &shelf, loose_g_per_ml: &loose, now: here.clock.now(), read: &|| progress.one() };
    Ok(shelved.rows(&ids, asked.is_empty()).map_err(Fault::from)?)
}

/// Reads the stories of those rows once more, and hands over in their order what is made of each.
fn again<T: Send>(
    here: &Here,
    progress: &Progress,
    doing: &str,
    rows: &[Facts],
    make: &(dyn Fn(&Story, &Facts) -> T + Sync),
    take: &mut dyn FnMut(T) -> Result<()>,
) -> Result<()> {
    let shelf = here.shelf();
    progress.doing(doing, rows.len());
    let shelved = Shelved { shelf: &shelf, loose_g_per_ml: &[], now: here.clock.now(), read: &|| progress.one() };
    shelved.again(rows, make, &mut |made| take(made).map_err(Broken::Off)).map_err(|broken| match broken {
        Broken::Gone(l) => Fault::damaged(format!("{}: {}", clean(&l.path), clean(&l.said))).into(),
        Broken::Off(why) => why,
    })
}

/// Why a second reading broke off.
enum Broken {
    /// A story can no longer be read.
    Gone(LeftOut),
    /// What was made could not be taken.
    Off(anyhow::Error),
}

impl From<LeftOut> for Broken {
    fn from(left_out: LeftOut) -> Broken {
        Broken::Gone(left_out)
    }
}

/// What a page tells of those panels one by one.
fn details(here: &Here, progress: &Progress, rows: &[Facts]) -> Result<Vec<Detail>> {
    let loose = pot::loose(here);
    let mut details = Vec::with_capacity(rows.len());
    again(here, progress, "told", rows, &|story, facts| detail(story, facts, &loose), &mut |detail| {
        details.push(detail);
        Ok(())
    })?;
    Ok(details)
}

fn ids(here: &Here, shelf: &Shelf, asked: &[String]) -> Result<Vec<Id>> {
    if asked.is_empty() {
        return Ok(shelf.panel_ids().map_err(Fault::from)?);
    }
    let bench = here.bench();
    let mut taken = BTreeSet::new();
    let mut ids = Vec::new();
    for name in asked {
        let id = panel::find(&bench, name)?;
        if taken.insert(id.clone()) {
            ids.push(id);
        }
    }
    Ok(ids)
}
