//! What comparing a large shelf costs, held against what it cannot cost less than: reading the same bytes, and a flat
//! parse of every line of them.
//!
//! `SOTTILE_STORIES=10000 cargo bench --bench compare` for the size of shelf that is meant to be bearable. Machines differ;
//! the three numbers beside each other tell. `SOTTILE_SHELF=DIR` keeps the shelf, for
//! `/usr/bin/time -v target/release/sottile --data DIR panels`, or `compare`.
//!
//! Measured on two cores, 10,000 stories of 200 facts (2 million lines), ten panels to a pot, release build: reading 0.04 s,
//! flat parse 0.33 s, all of it 1.11 s, which is 3.3 times the flat parse; at most 65 to 68 MB held. What is meant is 2.5
//! times and 64 MB, so there is work left: two thirds of reading a line is making its members (`BorrowedObject::parse`).
//! `panels` over 10,000 stories of 14 KB: 0.7 s of processor time on both cores together, 12 MB.

#![allow(clippy::unwrap_used, missing_docs, reason = "a bench may fail by panicking, and is no library")]

#[path = "../common/renamed.rs"]
mod renamed;

use divan::Bencher;
use rayon::prelude::*;
use renamed::{renamed, rewritten};
use serde::Deserialize;
use sottile::inside::{
    Bench, BulkDensities, Drawer, GroupBy, Id, Length, Moment, Paint, PanelAct, PanelOpening, PotAct, PotKind,
    PotOpening, RecordRequest, Shelf, Size, Span, Stamp, StoryReader, Support, compare_panels, shipped,
};
use std::borrow::Cow;
use std::path::PathBuf;
use std::sync::{Arc, LazyLock};

fn main() {
    divan::main();
    // The most this process ever held; the two benches that do less hold less.
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    if let Some(peak) = status.lines().find(|line| line.starts_with("VmHWM")) {
        println!("{peak}");
    }
}

/// Facts in one story, about.
const FACTS: usize = 200;
/// Panels whose coats came from one pot.
const PANELS_PER_POT: usize = 10;

fn stories() -> usize {
    std::env::var("SOTTILE_STORIES").ok().and_then(|n| n.parse().ok()).unwrap_or(500)
}

struct Full {
    _dir: Option<tempfile::TempDir>,
    shelf: Shelf,
    ids: Vec<Id>,
    files: Vec<PathBuf>,
}

fn at(min: f64) -> Moment {
    Moment::from_wall(Stamp::from_ms(1_700_000_000_000) + Span::from_min(min))
}

/// A pot of gesso, melted and read four times.
fn open_pot(bench: &mut Bench) -> Id {
    let opening = PotOpening {
        filler_lot: None,
        label: "gesso-0".to_owned(),
        kind: PotKind::Gesso,
        parent: None,
        recipe: Arc::new(shipped::find_shipped_recipe("gypsum-zinc").unwrap()),
        size_ml: None,
        lot: Some("A".to_owned()),
        at: Some(at(0.0).wall),
        for_group: None,
    };
    let id = bench.open_pot(&opening, &|| at(0.0)).unwrap().id;
    for n in 0..4 {
        let acts = [PotAct::Melt, PotAct::Liquid, PotAct::OutOfBath, PotAct::Gelled];
        for (step, act) in acts.into_iter().enumerate() {
            let min = 1.0 + f64::from(n) * 400.0 + step as f64 * 10.0;
            bench.record_pot(&id, &act, None, &|| at(min)).unwrap();
        }
    }
    id
}

/// One story is played through the bench; the others are copies of its lines under other names, hung on anew, each ten
/// with a pot of their own.
static FULL: LazyLock<Full> = LazyLock::new(|| {
    // A shelf that is to be looked at afterwards lies where it is told to.
    let kept = std::env::var_os("SOTTILE_SHELF").map(PathBuf::from);
    let dir = kept.is_none().then(|| tempfile::tempdir().unwrap());
    let root = kept.unwrap_or_else(|| dir.as_ref().unwrap().path().to_owned());
    let shelf = Shelf::open(root);
    let mut bench = Bench::new(shelf.clone());
    let size = Size { width: Length::from_mm(300.0), height: Length::from_mm(400.0), thickness: None };
    let opening = PanelOpening {
        sheet: None,
        label: "Wren".to_owned(),
        size,
        support: Support::BirchPlywood,
        grain: None,
        paint: Paint::Oil,
        recipe: Arc::new(shipped::find_shipped_recipe("gypsum-zinc").unwrap()),
        count: 1,
        at: Some(at(0.0).wall),
        witness: false,
    };
    let pot = open_pot(&mut bench);
    let id = bench.open_panels(&opening, &|| at(0.0)).unwrap()[0].id.clone();
    for n in 0..FACTS {
        let min = 1.0 + n as f64 * 20.0;
        let act = if n % 8 == 0 {
            PanelAct::Done { direction: None, pot: Some(pot.clone()), map: None, by: None }
        } else {
            PanelAct::Note(format!("\"coat\" {n} by the window"))
        };
        let ask = RecordRequest { act, at: Some(at(min).wall), expected_stage: None };
        // Once everything is done, what is left are notes.
        let _ = bench.record(&id, &ask, &|| at(min));
    }
    let lines = std::fs::read_to_string(shelf.story_path(Drawer::Panels, &id)).unwrap();
    let pot_lines = std::fs::read_to_string(shelf.story_path(Drawer::Pots, &pot)).unwrap();
    let from_pot = format!("\"pot\":\"{pot}\"");
    for n in 1..stories() {
        let new_pot = format!("gesso-{}", n / PANELS_PER_POT);
        if n % PANELS_PER_POT == 0 {
            let path = shelf.drawer_path(Drawer::Pots).join(format!("{new_pot}.jsonl"));
            std::fs::write(path, renamed(&pot_lines, pot.as_str(), &new_pot)).unwrap();
        }
        let to_pot = format!("\"pot\":\"{new_pot}\"");
        let copy =
            rewritten(&renamed(&lines, "wren", &format!("wren-{n}")), &|_, body| body.replace(&from_pot, &to_pot));
        std::fs::write(shelf.drawer_path(Drawer::Panels).join(format!("wren-{n}.jsonl")), copy).unwrap();
    }
    let ids = shelf.panel_ids().unwrap();
    let files = ids.iter().map(|id| shelf.story_path(Drawer::Panels, id)).collect();
    Full { _dir: dir, shelf, ids, files }
});

/// The bytes alone.
#[divan::bench(sample_count = 5)]
fn read_the_bytes(bencher: Bencher<'_, '_>) {
    let full = &*FULL;
    bencher.bench(|| full.files.par_iter().map(|f| std::fs::read(f).unwrap().len()).sum::<usize>());
}

/// A line as flat as it can be read.
#[derive(Deserialize)]
struct Flat<'a> {
    seq: u64,
    #[serde(borrow)]
    fact: Cow<'a, str>,
    #[serde(borrow)]
    at: Cow<'a, str>,
    #[serde(borrow, default)]
    text: Option<Cow<'a, str>>,
    #[serde(borrow, default)]
    pot: Option<Cow<'a, str>>,
}

/// A flat parse of every line.
#[divan::bench(sample_count = 5)]
fn parse_the_lines(bencher: Bencher<'_, '_>) {
    let full = &*FULL;
    let one = |file: &PathBuf| {
        let text = std::fs::read_to_string(file).unwrap();
        let flat = text.lines().map(|line| serde_json::from_str::<Flat<'_>>(line).unwrap());
        flat.map(|f| {
            f.seq as usize + f.fact.len() + f.at.len() + f.text.map_or(0, |t| t.len()) + f.pot.map_or(0, |p| p.len())
        })
        .sum::<usize>()
    };
    bencher.bench(|| full.files.par_iter().map(one).sum::<usize>());
}

/// All of it: checks, folds, rows, comparison.
#[divan::bench(sample_count = 5)]
fn compare_the_shelf(bencher: Bencher<'_, '_>) {
    let full = &*FULL;
    bencher.bench(|| {
        let shelved =
            StoryReader { shelf: &full.shelf, bulk: &BulkDensities::TABLE, now: at(1e6), on_story_read: &|| {} };
        let rows = shelved.read_rows(&full.ids, true).unwrap();
        assert_eq!((rows.rows.len(), rows.unreadable_stories.len()), (full.ids.len(), 0));
        compare_panels(rows.rows, GroupBy::Outcome, rows.unreadable_stories).panels.len()
    });
}
