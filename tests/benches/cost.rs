//! What the things cost that happen often: folding a story, drawing a frame, keeping a fact, opening the bench.
//! Run with `cargo bench`. Nothing here judges; a figure is only worth something beside another from the same machine.

#![allow(clippy::unwrap_used, reason = "a bench that cannot go on has nothing to tell")]

#[path = "../common/first_frame.rs"]
mod first_frame;

use divan::{Bencher, black_box};
use first_frame::run_until;
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use sottile::inside::{
    Bench, ColorScheme, Model, ModelSettings, Moment, Paint, PanelAct, PanelOpening, PanelStory, PlanHabits,
    RecordRequest, Shelf, Snapshot, Span, Stamp, Support, Theme, UnitSystem, ViewContext, parse_size, render, shipped,
    view_model,
};
use std::sync::Arc;
use tempfile::TempDir;

fn main() {
    divan::main();
}

/// Monday, 2 March 2026, 09:00 UTC, and so many minutes.
fn minute(n: i64) -> Moment {
    Moment::from_wall(Stamp::from_ms((1_772_442_000 + n * 60) * 1000))
}

/// A panel with so many facts on a shelf of its own; the last coat was laid at the minute returned.
fn bench_with(facts: usize) -> (TempDir, Bench, Snapshot, i64) {
    let dir = TempDir::new().unwrap();
    let mut bench = Bench::new(Shelf::open(dir.path()));
    let opening = PanelOpening {
        sheet: None,
        label: "Wren".to_owned(),
        size: parse_size("300x400x12mm").unwrap(),
        support: Support::BirchPlywood,
        grain: None,
        paint: Paint::Oil,
        recipe: Arc::new(shipped::find_shipped_recipe("gypsum-titanium").unwrap()),
        count: 1,
        at: None,
        witness: false,
    };
    let mut told = bench.open_panels(&opening, &|| minute(0)).unwrap().remove(0);
    let mut n = 0;
    for i in 1..facts {
        n += 20;
        // Nine acts bring it to its second coat; notes between, so that the coat is the last.
        let act = if i + 9 < facts { PanelAct::Note(format!("note {i}")) } else { act(i + 10 - facts) };
        told = bench.record(&told.id, &RecordRequest::from_act(act), &|| minute(n)).unwrap().changed.remove(0);
    }
    (dir, bench, told, n)
}

fn act(i: usize) -> PanelAct {
    if i == 6 {
        PanelAct::Skip("measured".to_owned())
    } else {
        PanelAct::Done { direction: None, pot: None, map: None, by: None }
    }
}

#[divan::bench(args = [20, 200])]
fn fold_a_story(bencher: Bencher, facts: usize) {
    let (_dir, _, told, _) = bench_with(facts);
    let entries = told.story.unwrap().entries().to_vec();
    bencher.with_inputs(|| entries.clone()).bench_values(|entries| PanelStory::fold(black_box(entries)).unwrap());
}

#[divan::bench(args = [20, 200])]
fn read_a_journal(bencher: Bencher, facts: usize) {
    let (dir, _, told, _) = bench_with(facts);
    bencher.bench(|| Bench::new(Shelf::open(dir.path())).load(&told.id).unwrap());
}

#[divan::bench(args = [20, 200])]
fn keep_a_fact(bencher: Bencher, facts: usize) {
    let (_dir, mut bench, told, mut n) = bench_with(facts);
    bencher.bench_local(|| {
        n += 1;
        bench.record(&told.id, &RecordRequest::from_act(PanelAct::Note("a word".to_owned())), &|| minute(n)).unwrap()
    });
}

fn view_of(told: Snapshot) -> Model {
    Model::new(
        vec![told],
        ModelSettings {
            night: None,
            ring_for: Span::from_min(2.0),
            recipes: Vec::new(),
            shelf_ids: Vec::new(),
            keymap: Arc::default(),
            hands: 1,
            units: UnitSystem::Metric,
            habits: PlanHabits::default(),
        },
    )
}

/// One second of a coat's wait at 120 x 40: what is looked at, then what is seen of it.
#[divan::bench(args = [20, 200])]
fn make_the_scene(bencher: Bencher, facts: usize) {
    let (_dir, _, told, n) = bench_with(facts);
    let view = view_of(told);
    let at = ViewContext { now: minute(n + 5), zone: &chrono::Utc, units: UnitSystem::Metric };
    bencher.bench(|| view_model::build_bench_view_model(black_box(&view), &at).unwrap());
}

#[divan::bench(args = [20, 200])]
fn tick(bencher: Bencher, facts: usize) {
    let (_dir, _, told, n) = bench_with(facts);
    let mut view = view_of(told);
    view.tick(minute(n + 5), None);
    bencher.bench_local(|| view.tick(minute(n + 5), None));
}

#[divan::bench]
fn draw_a_frame(bencher: Bencher) {
    let (_dir, _, told, n) = bench_with(20);
    let view = view_of(told);
    let scenes: Vec<_> = (0..60)
        .map(|s| {
            let now = minute(n + 5).earlier_by(Span::from_s(-s));
            view_model::build_bench_view_model(
                &view,
                &ViewContext { now, zone: &chrono::Utc, units: UnitSystem::Metric },
            )
            .unwrap()
        })
        .collect();
    let theme = Theme { color_scheme: ColorScheme::Terminal, ascii: false };
    let mut terminal = Terminal::new(TestBackend::new(120, 40)).unwrap();
    let mut second = 0;
    bencher.bench_local(|| {
        second = (second + 1) % scenes.len();
        terminal.draw(|frame| render::render_bench(&scenes[second], &theme, frame.buffer_mut())).unwrap();
    });
}

/// The whole first frame stands on the terminal: the end of the first synchronized update.
#[divan::bench(sample_count = 100, sample_size = 1)]
fn first_frame(bencher: Bencher) {
    let (dir, _, _, _) = bench_with(20);
    bencher.bench(|| run_until(dir.path(), env!("CARGO_BIN_EXE_sottile"), b"\x1b[?2026l"));
}

/// The least any program takes, for comparing: from its start to its end.
#[divan::bench(sample_count = 100, sample_size = 1)]
fn first_frame_of_true(bencher: Bencher) {
    let dir = TempDir::new().unwrap();
    bencher.bench(|| run_until(dir.path(), "true", b""));
}
