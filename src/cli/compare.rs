//! `compare`, `report`, `card`, `export`, and reading the stories they are about.
//!
//! A page or an export that tells all of a story reads it once more. Absent on purpose: how a shelf is read (`bench`).

use super::args::{Card, Compare, Export, Report};
use super::failure::{Fault, Kind};
use super::{Here, out, panel, pot};
use crate::bench::{Rows, Shelved};
use crate::craft::materials::Filler;
use crate::record::journal::line::payload;
use crate::record::shelf::Shelf;
use crate::review::By;
use crate::review::around::{Around, Course};
use crate::review::compare::{Comparison, LeftOut, compare};
use crate::review::csv::{Guard, table};
use crate::review::facts::Facts;
use crate::review::html::{self, Beside, Detail};
use crate::review::json::{CompareJson, ExportJson, ExportedJson};
use crate::review::{card as cards, lines, section, words};
use crate::text::{clean, date, hhmm, rfc3339};
use crate::units::{Id, Stamp};
use crate::work::advice::inspections::growth;
use crate::work::panel::event::Event;
use crate::work::panel::story::Story;
use anyhow::Result;
use chrono::Local;
use std::collections::BTreeSet;
use std::io::{IsTerminal, Write};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::Duration;

/// A report tells of at most so many panels one by one, and of so many pots.
const ONE_BY_ONE: usize = 200;

/// Sets panels side by side.
pub(super) fn run(here: &Here, asked: &Compare) -> Result<()> {
    let rows = rows(here, &asked.panels)?;
    let damaged = !rows.left_out.is_empty();
    let compared = compare(rows.kept, asked.by, rows.left_out);
    if asked.json {
        out::json(&CompareJson::of(&compared, &clock))?;
    } else if asked.csv {
        out::text(&table(&compared.panels, &clock, guard(asked.raw)))?;
        say_left_out(&compared.left_out);
    } else {
        out::text(&words::told(&compared))?;
        out::text(&like_the_good_one(&compared))?;
    }
    ended(damaged)
}

/// Where a sound panel stands among others, another like it may be wanted.
fn like_the_good_one(c: &Comparison) -> String {
    let sound = c.panels.iter().filter(|f| f.outcome.sound == Some(true));
    let oldest = sound.max_by(|a, b| a.outcome.age_days.unwrap_or(0.0).total_cmp(&b.outcome.age_days.unwrap_or(0.0)));
    oldest.map_or_else(String::new, |f| format!("Another like {}: sottile recipe from {}\n", clean(&f.label), f.id))
}

/// Writes the report.
pub(super) fn report(here: &Here, asked: &Report) -> Result<()> {
    let rows = rows(here, &asked.panels)?;
    let damaged = !rows.left_out.is_empty();
    let compared = compare(rows.kept, By::Outcome, rows.left_out);
    let one_by_one: Vec<Facts> = compared.panels.iter().take(ONE_BY_ONE).cloned().collect();
    let loose = pot::loose(here);
    let details = again(here, &one_by_one, &|story, facts| detail(story, facts, &loose))?;
    let beside = beside(&rows.around, &compared.panels);
    out::file(&asked.output, &html::page(&compared, &details, &beside, &day), asked.force)?;
    say_left_out(&compared.left_out);
    ended(damaged)
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
    let rows = rows(here, std::slice::from_ref(&asked.panel))?;
    let loose = pot::loose(here);
    let details = again(here, &rows.kept, &|story, facts| detail(story, facts, &loose))?;
    let Some(detail) = details.first() else {
        let said = rows.left_out.first().map_or_else(String::new, |l| format!("{}: {}", l.path, l.said));
        return Err(Fault::damaged(clean(&said)).into());
    };
    let is_page = |e: &std::ffi::OsStr| e.eq_ignore_ascii_case("html") || e.eq_ignore_ascii_case("htm");
    let page = asked.output.extension().is_some_and(is_page);
    let text = if page { html::card(detail) } else { detail.card.to_string() };
    out::file(&asked.output, &text, asked.force)
}

/// Writes the facts for other tools.
pub(super) fn export(here: &Here, asked: &Export) -> Result<()> {
    let rows = rows(here, &asked.panels)?;
    let text = if asked.form == "csv" {
        table(&rows.kept, &clock, guard(asked.raw))
    } else {
        let told = |story: &Story, facts: &Facts| ExportedJson::of(story, facts, &clock, &|e: &Event| payload(e));
        let told = again(here, &rows.kept, &told)?;
        serde_json::to_string_pretty(&ExportJson::of(told, &rows.left_out))? + "\n"
    };
    out::file(&asked.output, &text, asked.force)?;
    say_left_out(&rows.left_out);
    ended(!rows.left_out.is_empty())
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

fn ended(damaged: bool) -> Result<()> {
    if damaged { Err(Fault::told(Kind::Damaged).into()) } else { Ok(()) }
}

/// Reads the stories asked for, or all, and says how far it has come. A damaged one is left out and named.
fn rows(here: &Here, asked: &[String]) -> Result<Rows> {
    let shelf = here.shelf();
    let ids = ids(here, &shelf, asked)?;
    let loose = pot::loose(here);
    with_progress(ids.len(), |read| {
        let shelved = Shelved { shelf: &shelf, loose_g_per_ml: &loose, now: here.clock.now(), read };
        Ok(shelved.rows(&ids, asked.is_empty()).map_err(Fault::from)?)
    })
}

/// Reads the stories of those rows once more, and makes of each what is wanted.
fn again<T: Send>(here: &Here, rows: &[Facts], make: &(dyn Fn(&Story, &Facts) -> T + Sync)) -> Result<Vec<T>> {
    let shelf = here.shelf();
    with_progress(rows.len(), |read| {
        let shelved = Shelved { shelf: &shelf, loose_g_per_ml: &[], now: here.clock.now(), read };
        let gone = |l: LeftOut| Fault::damaged(format!("{}: {}", clean(&l.path), clean(&l.said)));
        Ok(shelved.again(rows, make).map_err(gone)?)
    })
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

/// Does that, and says how far it has come once it has taken a second.
fn with_progress<T>(all: usize, does: impl FnOnce(&(dyn Fn() + Sync)) -> Result<T>) -> Result<T> {
    let done = AtomicUsize::new(0);
    let over = AtomicBool::new(false);
    std::thread::scope(|scope| {
        let teller = scope.spawn(|| tell_progress(&done, all, &over));
        let made = does(&|| {
            done.fetch_add(1, Ordering::Relaxed);
        });
        over.store(true, Ordering::Relaxed);
        teller.thread().unpark();
        made
    })
}

/// Says on stderr how far the reading has come, once it has taken a second and somebody is there to see it.
fn tell_progress(done: &AtomicUsize, all: usize, over: &AtomicBool) {
    if !std::io::stderr().is_terminal() {
        return;
    }
    std::thread::park_timeout(Duration::from_secs(1));
    let mut told = false;
    while !over.load(Ordering::Relaxed) {
        // Where nobody can be told, nothing is lost.
        let _ = write!(std::io::stderr(), "\r{} of {all} stories read", done.load(Ordering::Relaxed));
        told = true;
        std::thread::park_timeout(Duration::from_millis(250));
    }
    if told {
        let _ = write!(std::io::stderr(), "\r{:40}\r", "");
    }
}
