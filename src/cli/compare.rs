//! `compare`, `report`, `card`, `export`, and reading the stories they are about.
//!
//! Stories are read one at a time on every core; of each only its row is kept, unless a page or an export tells all of it.

use super::args::{Card, Compare, Export, Report};
use super::failure::{Fault, Kind};
use super::{Here, out, panel};
use crate::bench::believed_now;
use crate::record::journal::line::payload;
use crate::record::shelf::{Drawer, Shelf};
use crate::review::By;
use crate::review::compare::{Comparison, LeftOut, compare};
use crate::review::csv::{Guard, table};
use crate::review::facts::{Facts, Nothing, facts};
use crate::review::html::{self, Detail};
use crate::review::json::{CompareJson, ExportJson, ExportedJson};
use crate::review::{card as cards, lines, section, words};
use crate::text::{clean, date, hhmm, rfc3339};
use crate::units::{Id, Moment, Stamp};
use crate::work::advice::inspections::growth;
use crate::work::panel::event::Event;
use crate::work::panel::story::Story;
use anyhow::Result;
use chrono::Local;
use rayon::prelude::*;
use std::collections::BTreeSet;
use std::io::{IsTerminal, Write};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::Duration;

/// A report tells of at most so many panels one by one.
const ONE_BY_ONE: usize = 200;

/// Sets panels side by side.
pub(super) fn run(here: &Here, asked: &Compare) -> Result<()> {
    let read = read(here, &asked.panels, &|_, facts| facts)?;
    let damaged = !read.left_out.is_empty();
    let compared = compare(read.kept, asked.by, read.left_out);
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
    let read = read(here, &asked.panels, &|story, facts| (facts.clone(), detail(story, facts)))?;
    let damaged = !read.left_out.is_empty();
    let (rows, details): (Vec<Facts>, Vec<Detail>) = read.kept.into_iter().unzip();
    let compared = compare(rows, By::Outcome, read.left_out);
    // One by one in the order of the table.
    let mut details = details;
    let place: std::collections::HashMap<&Id, usize> =
        compared.panels.iter().enumerate().map(|(i, f)| (&f.id, i)).collect();
    details.sort_by_key(|d| place.get(&d.facts.id).copied());
    details.truncate(ONE_BY_ONE);
    out::file(&asked.output, &html::page(&compared, &details, &day), asked.force)?;
    say_left_out(&compared.left_out);
    ended(damaged)
}

/// Writes the card of one panel.
pub(super) fn card(here: &Here, asked: &Card) -> Result<()> {
    let made = read(here, std::slice::from_ref(&asked.panel), &|story, facts| detail(story, facts))?;
    let Some(detail) = made.kept.first() else {
        let said = made.left_out.first().map_or_else(String::new, |l| format!("{}: {}", l.path, l.said));
        return Err(Fault::damaged(said).into());
    };
    let page =
        asked.output.extension().is_some_and(|e| e.eq_ignore_ascii_case("html") || e.eq_ignore_ascii_case("htm"));
    let text = if page { html::card(&detail.card, detail) } else { detail.card.to_string() };
    out::file(&asked.output, &text, asked.force)?;
    ended(!made.left_out.is_empty())
}

/// Writes the facts for other tools.
pub(super) fn export(here: &Here, asked: &Export) -> Result<()> {
    let (text, left_out) = if asked.form == "csv" {
        let read = read(here, &asked.panels, &|_, facts| facts)?;
        (table(&read.kept, &clock, guard(asked.raw)), read.left_out)
    } else {
        let told = |story: &Story, facts: Facts| ExportedJson::of(story, &facts, &clock, &|e: &Event| payload(e));
        let read = read(here, &asked.panels, &told)?;
        let mut text = serde_json::to_string_pretty(&ExportJson::of(read.kept, &read.left_out))?;
        text.push('\n');
        (text, read.left_out)
    };
    out::file(&asked.output, &text, asked.force)?;
    say_left_out(&left_out);
    ended(!left_out.is_empty())
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

fn detail(story: &Story, facts: Facts) -> Detail {
    let time = |at: Stamp| hhmm(at, &Local);
    Detail {
        line: lines::line(story),
        section: section::section(story),
        card: cards::card(story, &facts, &day, &time),
        growth: growth(story),
        facts,
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

/// What was made of the stories that could be read, and those that could not.
struct Read<T> {
    kept: Vec<T>,
    left_out: Vec<LeftOut>,
}

/// Reads the stories asked for, or all; `make` makes of each what is kept. A damaged one is left out and named.
fn read<T: Send>(here: &Here, asked: &[String], make: &(dyn Fn(&Story, Facts) -> T + Sync)) -> Result<Read<T>> {
    let shelf = here.shelf();
    let bench = here.bench();
    let mut ids = Vec::new();
    let mut taken = BTreeSet::new();
    for name in asked {
        let id = panel::find(&bench, name)?;
        if taken.insert(id.clone()) {
            ids.push(id);
        }
    }
    if asked.is_empty() {
        ids = shelf.panel_ids().map_err(Fault::from)?;
    }
    let now = here.clock.now();
    let done = AtomicUsize::new(0);
    let over = AtomicBool::new(false);
    let made: Vec<Result<T, LeftOut>> = std::thread::scope(|scope| {
        let teller = scope.spawn(|| tell_progress(&done, ids.len(), &over));
        let made = ids
            .par_iter()
            .map(|id| {
                let made = one(&shelf, id, now, make);
                done.fetch_add(1, Ordering::Relaxed);
                made
            })
            .collect();
        over.store(true, Ordering::Relaxed);
        teller.thread().unpark();
        made
    });
    let mut read = Read { kept: Vec::new(), left_out: Vec::new() };
    for one in made {
        match one {
            Ok(kept) => read.kept.push(kept),
            Err(out) => read.left_out.push(out),
        }
    }
    Ok(read)
}

fn one<T>(shelf: &Shelf, id: &Id, now: Moment, make: &dyn Fn(&Story, Facts) -> T) -> Result<T, LeftOut> {
    let path = shelf.file(Drawer::Panels, id).display().to_string();
    let out = |said: String| LeftOut { path: path.clone(), said };
    let (journal, entries) = shelf.open_panel(id).map_err(|e| out(e.to_string()))?;
    if let Some(damage) = journal.damage().filter(|d| d.kind.blocks()) {
        return Err(out(damage.to_string()));
    }
    let story = Story::fold(entries).map_err(|e| out(e.to_string()))?;
    let facts = facts(&story, &Nothing, believed_now(&story, now));
    Ok(make(&story, facts))
}

/// Says on stderr how far the reading has come, once it has taken a second and somebody is there to see it.
fn tell_progress(done: &AtomicUsize, all: usize, over: &AtomicBool) {
    if !std::io::stderr().is_terminal() {
        return;
    }
    std::thread::park_timeout(Duration::from_secs(1));
    let mut told = false;
    while !over.load(Ordering::Relaxed) {
        let _ = write!(std::io::stderr(), "\r{} of {all} stories read", done.load(Ordering::Relaxed));
        told = true;
        std::thread::park_timeout(Duration::from_millis(250));
    }
    if told {
        let _ = write!(std::io::stderr(), "\r{:40}\r", "");
    }
}
