//! `compare`, `report`, `card`, `export`, and reading the stories they are about.
//!
//! Stories are read one at a time on every core; of each only its row is kept. A page or an export that tells all of a
//! story reads it once more.

use super::args::{Card, Compare, Export, Report};
use super::failure::{Fault, Kind};
use super::{Here, out, panel, pot};
use crate::bench::believed_now;
use crate::craft::materials::Filler;
use crate::record::journal::line::payload;
use crate::record::shelf::{Drawer, Shelf};
use crate::review::By;
use crate::review::around::{Around, Course};
use crate::review::compare::{Comparison, LeftOut, compare};
use crate::review::csv::{Guard, table};
use crate::review::facts::{Facts, Use, facts, uses};
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
use rayon::prelude::*;
use std::collections::{BTreeSet, HashMap};
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
    let details = again(here, &one_by_one, &|story, facts| detail(story, facts, &rows.loose))?;
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
    let details = again(here, &rows.kept, &|story, facts| detail(story, facts, &rows.loose))?;
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

/// The rows of the stories that could be read, those that could not, and what was around them.
struct Rows {
    kept: Vec<Facts>,
    left_out: Vec<LeftOut>,
    around: Around,
    loose: Vec<(Filler, f64)>,
}

/// Reads the stories asked for, or all. A damaged one is left out and named.
fn rows(here: &Here, asked: &[String]) -> Result<Rows> {
    let shelf = here.shelf();
    let ids = ids(here, &shelf, asked)?;
    let now = here.clock.now();
    let loose = pot::loose(&here.settings);
    let made = each(&ids, |id| {
        let story = story(&shelf, id)?;
        Ok(facts(&story, &loose, believed_now(&story, now)))
    });
    let (mut kept, mut left_out) = (Vec::new(), Vec::new());
    for one in made {
        match one {
            Ok(facts) => kept.push(facts),
            Err(out) => left_out.push(out),
        }
    }
    let mut around = around(here, loose.clone())?;
    around.used(kept.iter().flat_map(|f| f.uses.iter().cloned()));
    if !asked.is_empty() && around.wants_every_use(&kept) {
        around.used(other_uses(&shelf, &ids)?);
    }
    around.settle();
    kept.par_iter_mut().for_each(|f| around.fill(f));
    Ok(Rows { kept, left_out, around, loose })
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

/// The pots and the air. One pot that cannot be read costs its columns, and is told of by `pots`.
fn around(here: &Here, loose: Vec<(Filler, f64)>) -> Result<Around> {
    let mut bench = here.bench();
    let pots = bench.bring_pots().map_err(Fault::from)?;
    let air = bench.air().map_err(Fault::from)?;
    let pots = pots.into_iter().filter_map(|t| t.story).map(|s| (*s).clone()).collect();
    Ok(Around::new(pots, air, loose))
}

/// What panels not asked for took from the pots: a pot's water depends on it.
fn other_uses(shelf: &Shelf, asked: &[Id]) -> Result<Vec<Use>> {
    let asked: BTreeSet<&Id> = asked.iter().collect();
    let others: Vec<Id> =
        shelf.panel_ids().map_err(Fault::from)?.into_iter().filter(|id| !asked.contains(id)).collect();
    let made = each(&others, |id| Ok::<_, LeftOut>(uses(story(shelf, id)?.panel())));
    Ok(made.into_iter().filter_map(Result::ok).flatten().collect())
}

/// Reads the stories of those rows once more, and makes of each what is wanted; in their order.
fn again<T: Send>(here: &Here, rows: &[Facts], make: &(dyn Fn(&Story, &Facts) -> T + Sync)) -> Result<Vec<T>> {
    let shelf = here.shelf();
    let of: HashMap<&Id, &Facts> = rows.iter().map(|f| (&f.id, f)).collect();
    let ids: Vec<Id> = rows.iter().map(|f| f.id.clone()).collect();
    let made = each(&ids, |id| {
        let story = story(&shelf, id)?;
        Ok(of.get(id).map(|facts| make(&story, facts)))
    });
    let failed = |l: LeftOut| Fault::damaged(format!("{}: {}", clean(&l.path), clean(&l.said)));
    let made: Result<Vec<Option<T>>, LeftOut> = made.into_iter().collect();
    Ok(made.map_err(failed)?.into_iter().flatten().collect())
}

fn story(shelf: &Shelf, id: &Id) -> Result<Story, LeftOut> {
    let out = |said: String| LeftOut { path: shelf.file(Drawer::Panels, id).display().to_string(), said };
    let (journal, entries) = shelf.open_panel(id).map_err(|e| out(e.to_string()))?;
    if let Some(damage) = journal.damage().filter(|d| d.kind.blocks()) {
        return Err(out(damage.to_string()));
    }
    Story::fold(entries).map_err(|e| out(e.to_string()))
}

/// Does that for each on every core, and says how far it has come once it has taken a second.
fn each<T: Send>(ids: &[Id], make: impl Fn(&Id) -> Result<T, LeftOut> + Sync) -> Vec<Result<T, LeftOut>> {
    let done = AtomicUsize::new(0);
    let over = AtomicBool::new(false);
    std::thread::scope(|scope| {
        let teller = scope.spawn(|| tell_progress(&done, ids.len(), &over));
        let one = |id: &Id| {
            let made = make(id);
            done.fetch_add(1, Ordering::Relaxed);
            made
        };
        let made = ids.par_iter().map(one).collect();
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
