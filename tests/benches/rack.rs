//! A full studio: how long the bench takes to open, and a frame to draw, with one board or sixty on the rack and none or two
//! thousand finished panels, with their pots, on the shelf.
//!
//! `cargo bench --bench rack`; nothing here judges. What matters are rows of one table beside each other: a rack of sixty
//! on a shelf of two thousand opens as fast as one board alone (`first_frame`, within a tenth), and a frame at 250 x 80 takes
//! less than a millisecond (`frame`). The rest says where the time goes. SOTTILE_SHELF=5000 tries another shelf. The
//! shelves are made anew each time in the temporary directory, on whose disk `first_frame` depends.

#![allow(clippy::unwrap_used, reason = "a bench that cannot go on has nothing to tell")]

#[path = "../common/first_frame.rs"]
mod first_frame;
#[path = "../common/renamed.rs"]
mod renamed;

use divan::{Bencher, black_box};
use first_frame::run_until;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use renamed::renamed;
use sottile::inside::{
    Air, Bench, ColorScheme, Drawer, Id, Length, Model, ModelSettings, Moment, Paint, PanelAct, PanelOpening,
    PlanHabits, PotAct, PotKind, PotOpening, RecordRequest, Reply, Shelf, Size, Span, Stamp, Support, Theme,
    UnitSystem, ViewContext, render, shipped, view_model,
};
use std::collections::BTreeMap;
use std::fmt;
use std::process::Command;
use std::sync::{Arc, LazyLock};
use std::time::SystemTime;
use tempfile::TempDir;

fn main() {
    divan::main();
}

/// So many boards on the rack, and a shelf of finished ones or none.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Studio {
    boards: u16,
    is_full: bool,
}

impl fmt::Debug for Studio {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} of {}", self.boards, if self.is_full { shelf_size() } else { 0 })
    }
}

const STUDIOS: [Studio; 4] = [
    Studio { boards: 1, is_full: false },
    Studio { boards: 60, is_full: false },
    Studio { boards: 1, is_full: true },
    Studio { boards: 60, is_full: true },
];

fn shelf_size() -> usize {
    std::env::var("SOTTILE_SHELF").ok().and_then(|n| n.parse().ok()).unwrap_or(2000)
}

/// The most panels `demo` invents.
const DEMO_MAX: usize = 200;

/// The time all of it is looked at: when the bench was started.
static NOW: LazyLock<Moment> = LazyLock::new(|| {
    let since = SystemTime::now().duration_since(SystemTime::UNIX_EPOCH).unwrap();
    Moment::from_wall(Stamp::from_ms(i64::try_from(since.as_millis()).unwrap()))
});

static PLACES: LazyLock<BTreeMap<Studio, TempDir>> =
    LazyLock::new(|| STUDIOS.into_iter().map(|studio| (studio, build_studio(studio))).collect());

fn shelf(studio: Studio) -> Shelf {
    Shelf::open(PLACES[&studio].path())
}

fn minutes_ago(min: f64) -> Moment {
    Moment::from_wall(NOW.wall - Span::from_min(min))
}

/// The shelf; then a size and a gesso made of it, and boards with four coats of that gesso, the last a few minutes ago.
fn build_studio(studio: Studio) -> TempDir {
    let dir = TempDir::new().unwrap();
    if studio.is_full {
        fill_shelf(&Shelf::open(dir.path()));
    }
    let mut bench = Bench::new(Shelf::open(dir.path()));
    let recipe = Arc::new(shipped::find_shipped_recipe("gypsum-titanium").unwrap());
    let begin = minutes_ago(3.0 * 24.0 * 60.0);
    let mut parent = None;
    for (label, kind) in [("glue", PotKind::Size), ("gesso", PotKind::Gesso)] {
        let opening = PotOpening {
            filler_lot: None,
            label: label.to_owned(),
            kind,
            parent: parent.take(),
            recipe: Arc::clone(&recipe),
            size_ml: None,
            lot: None,
            at: None,
            for_group: None,
        };
        let id = bench.open_pot(&opening, &|| begin).unwrap().id;
        bench.record_pot(&id, &PotAct::Melt, None, &|| minutes_ago(95.0)).unwrap();
        bench.record_pot(&id, &PotAct::OutOfBath, None, &|| minutes_ago(92.0)).unwrap();
        parent = Some(id);
    }
    let gesso = parent;
    let opening = PanelOpening {
        sheet: None,
        label: "Wren".to_owned(),
        size: Size { width: Length::from_mm(300.0), height: Length::from_mm(400.0), thickness: None },
        support: Support::BirchPlywood,
        grain: None,
        paint: Paint::Oil,
        recipe,
        count: studio.boards,
        witness: false,
        at: None,
    };
    let opened = bench.open_panels(&opening, &|| begin).unwrap();
    for (place, board) in opened.iter().enumerate() {
        let mut record = |act, min: f64| {
            bench.record(&board.id, &RecordRequest::from_act(act), &|| minutes_ago(min)).unwrap();
        };
        for n in 0..5 {
            record(PanelAct::done_as_planned(), 2.9 * 24.0 * 60.0 - f64::from(n) * 60.0);
        }
        for n in 0..4 {
            let done = PanelAct::Done { direction: None, pot: gesso.clone(), map: None, by: None };
            record(done, 75.0 - f64::from(n) * 20.0 - place as f64 / 5.0);
        }
    }
    dir
}

/// What `demo` invents, and as many copies of it under other ids as are wanted.
fn fill_shelf(shelf: &Shelf) {
    let invented = shelf_size().min(DEMO_MAX);
    let mut demo = Command::new(env!("CARGO_BIN_EXE_sottile"));
    demo.args(["demo", "--seed", "1", "--panels"]).arg(invented.to_string()).arg("--into").arg(shelf.root());
    assert!(demo.output().unwrap().status.success());
    for drawer in [Drawer::Panels, Drawer::Pots] {
        for id in shelf.ids(drawer).unwrap() {
            let lines = std::fs::read_to_string(shelf.story_path(drawer, &id)).unwrap();
            for n in 1..shelf_size() / invented {
                let copy = format!("{id}-copy-{n}");
                let path = shelf.story_path(drawer, &Id::new(&copy).unwrap());
                std::fs::write(path, renamed(&lines, id.as_str(), &copy)).unwrap();
            }
        }
    }
}

/// The whole first frame stands on the terminal: the end of the first synchronized update.
#[divan::bench(args = STUDIOS, sample_count = 60, sample_size = 1)]
fn first_frame_in_a_terminal(bencher: Bencher, studio: Studio) {
    let dir = PLACES[&studio].path();
    bencher.bench(|| run_until(dir, env!("CARGO_BIN_EXE_sottile"), b"\x1b[?2026l"));
}

/// What of that is reading the rack.
#[divan::bench(args = STUDIOS)]
fn load_rack(bencher: Bencher, studio: Studio) {
    bencher.bench(|| {
        let mut bench = Bench::new(shelf(studio));
        bench.load_rack(*NOW).unwrap();
        bench
    });
}

/// What comes after the first frame: the pots.
#[divan::bench(args = STUDIOS)]
fn load_pots(bencher: Bencher, studio: Studio) {
    bencher
        .with_inputs(|| {
            let mut bench = Bench::new(shelf(studio));
            bench.load_rack(*NOW).unwrap();
            bench
        })
        .bench_refs(|bench| bench.load_rack_pots(*NOW).unwrap());
}

/// The bench with everything read.
fn open_model(studio: Studio) -> Model {
    let mut bench = Bench::new(shelf(studio));
    bench.load_rack(*NOW).unwrap();
    let settings = ModelSettings {
        night: None,
        ring_for: Span::from_min(2.0),
        recipes: Vec::new(),
        shelf_ids: Vec::new(),
        keymap: Arc::default(),
        hands: 1,
        units: UnitSystem::Metric,
        habits: PlanHabits::default(),
    };
    let mut model = Model::new(bench.snapshots(), settings);
    let pots = bench.load_rack_pots(*NOW).unwrap();
    model.handle_reply(Reply::PotsLoaded(pots, Arc::new(Air::default())), *NOW);
    model
}

/// A second of it at 250 x 80: what is looked at, and what is seen of it, drawn whole.
#[divan::bench(args = STUDIOS)]
fn frame(bencher: Bencher, studio: Studio) {
    let model = open_model(studio);
    let at = ViewContext { now: *NOW, zone: &chrono::Utc, units: UnitSystem::Metric };
    let theme = Theme { color_scheme: ColorScheme::Terminal, ascii: false };
    let mut buffer = Buffer::empty(Rect::new(0, 0, 250, 80));
    bencher.bench_local(|| {
        let scene = view_model::build_bench_view_model(black_box(&model), &at).unwrap();
        buffer.reset();
        render::render_bench(&scene, &theme, &mut buffer);
    });
}

/// What of that is working out what is looked at.
#[divan::bench(args = STUDIOS)]
fn view_model_of_a_frame(bencher: Bencher, studio: Studio) {
    let model = open_model(studio);
    let at = ViewContext { now: *NOW, zone: &chrono::Utc, units: UnitSystem::Metric };
    bencher.bench(|| view_model::build_bench_view_model(black_box(&model), &at).unwrap());
}

#[divan::bench(args = STUDIOS)]
fn tick(bencher: Bencher, studio: Studio) {
    let mut model = open_model(studio);
    model.tick(*NOW, None);
    bencher.bench_local(|| model.tick(*NOW, None));
}
