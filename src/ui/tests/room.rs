//! What the air of the room and the panels before teach, as the bench says it and as a coat moved in time takes it.

use super::desk::{Window, at_ten, record, record_open};
use crate::app::bench_view_model::BenchViewModel;
use crate::app::view_model::{self, ViewContext};
use crate::bench::{Bench, StudioKnowledge};
use crate::record::shelf::Shelf;
use crate::text::UnitSystem;
use crate::units::{Humidity, Moment, Span, Temperature};
use crate::work::air::AirReading;
use crate::work::learn::OwnDullTime;
use crate::work::panel::act::PanelAct;
use crate::work::panel::adjusted_wait::DryingEstimate;
use crate::work::panel::event::StageKind;
use std::cell::Cell;
use std::path::Path;
use std::rc::Rc;

/// The bench's picture of the panel so long after now, with what stands beside it.
fn picture(root: &Path, now: &Rc<Cell<Moment>>, later: Span) -> BenchViewModel {
    let mut window = Window::open(root, now, None);
    window.view.studio = StudioKnowledge::load(&Shelf::open(root));
    let now = now.get().earlier_by(-later);
    view_model::build_bench_view_model(
        &window.view,
        &ViewContext { now, zone: &chrono::Utc, units: UnitSystem::Metric },
    )
    .unwrap()
}

/// Does something so many minutes ago.
fn ago(now: &Rc<Cell<Moment>>, min: f64, what: impl FnOnce(&Rc<Cell<Moment>>)) {
    what(&Rc::new(Cell::new(now.get().earlier_by(Span::from_min(min)))));
}

fn air(root: &Path, now: &Rc<Cell<Moment>>, min: f64, rh: f64) {
    ago(now, min, |then| {
        let reading = AirReading { at: then.get().wall, temp: Temperature::from_c(20.0), rh: Humidity::from_pct(rh) };
        Bench::new(Shelf::open(root)).record_air(&[reading], &|| then.get()).unwrap();
    });
}

fn mark(root: &Path, now: &Rc<Cell<Moment>>, min: f64, id: &str, act: PanelAct) {
    ago(now, min, |then| record(root, id, act, then));
}

/// The minutes before now at which the act of that number was done: a quarter of an hour apart, and the gesso begins a good
/// day after the last size coat.
fn since(act: u32) -> f64 {
    f64::from(99 * 60 - act * 15 - if act < 5 { 0 } else { 30 * 60 })
}

/// A panel opened 100 h ago with so many acts done.
fn begun(root: &Path, now: &Rc<Cell<Moment>>, label: &str, acts: u32) {
    ago(now, 100.0 * 60.0, |then| record_open(root, label, "gypsum-zinc", then));
    for act in 0..acts {
        mark(root, now, since(act), label, PanelAct::done_as_planned());
    }
}

#[test]
fn the_bench_says_what_the_air_did_to_the_wait_and_to_sealing() {
    let (dir, now) = (tempfile::tempdir().unwrap(), at_ten());
    begun(dir.path(), &now, "wren", 5);
    air(dir.path(), &now, 10.0, 65.0);
    mark(dir.path(), &now, 4.0, "wren", PanelAct::done_as_planned());
    let scene = picture(dir.path(), &now, Span::ZERO);
    assert_eq!(scene.explanation, "Wait 22.2 min (20 C 65 %): the recipe's 15 x 1.43 to 1.48.");
    assert!(scene.air.starts_with("20 C 65%"), "{}", scene.air);
    // Finished with the ground: stipple, six coats, scraping, cloth, check, and the rest is over.
    let dir = tempfile::tempdir().unwrap();
    begun(dir.path(), &now, "robin", 15);
    air(dir.path(), &now, 0.0, 90.0);
    // Cautions take turns, every twenty seconds another.
    let scenes: Vec<BenchViewModel> = (0..6).map(|turn| picture(dir.path(), &now, Span::from_s(20 * turn))).collect();
    assert_eq!(scenes[0].act.kind, StageKind::Seal, "{:?}", scenes[0].act);
    let dew = "90 %, dew point 18 C: damp, a seal may haze; 85 % at most.";
    assert!(
        scenes.iter().any(|scene| scene.caution == dew),
        "{:?}",
        scenes.iter().map(|s| &s.caution).collect::<Vec<_>>()
    );
}

#[test]
fn what_earlier_panels_teach_is_read_from_the_newest() {
    let (dir, now) = (tempfile::tempdir().unwrap(), at_ten());
    air(dir.path(), &now, 69.0 * 60.0, 50.0);
    for label in ["wren", "robin", "tit"] {
        begun(dir.path(), &now, label, 6);
        mark(dir.path(), &now, since(5) - 13.0, label, PanelAct::Dull);
    }
    let learned = StudioKnowledge::load(&Shelf::open(dir.path())).learned;
    let room = DryingEstimate::Factor(1.0);
    let minutes = match learned.own_dull_time(StageKind::Stipple, Span::from_min(15.0), room) {
        OwnDullTime::Foretold { when, marks: 3 } => when.best,
        other => panic!("{other:?}"),
    };
    assert!((minutes - 13.0).abs() < 0.2, "{minutes}");
}

#[test]
fn a_coat_moved_to_another_time_takes_the_air_of_that_time() {
    let (dir, now) = (tempfile::tempdir().unwrap(), at_ten());
    begun(dir.path(), &now, "wren", 5);
    air(dir.path(), &now, 10.0, 65.0);
    mark(dir.path(), &now, 4.0, "wren", PanelAct::done_as_planned());
    let mut bench = Bench::new(Shelf::open(dir.path()));
    bench.load_rack(now.get()).unwrap();
    let told = bench.snapshots().remove(0);
    let last = told.story.unwrap().last_standing_entry().unwrap().seq;
    let moved = |bench: &mut Bench, seq, min: f64| {
        let at = now.get().wall - Span::from_min(min);
        let story = bench.retime(&told.id, seq, at, &|| now.get()).unwrap().story.unwrap();
        let wait = story.panel().current_wait().unwrap().wait;
        (story.last_standing_entry().unwrap().seq, wait.span.minutes().round(), wait.origin.name())
    };
    let (seq, minutes, from) = moved(&mut bench, last, 12.0);
    assert_eq!((minutes, from), (15.0, "recipe"), "before the air was read");
    let (_, minutes, from) = moved(&mut bench, seq, 6.0);
    assert_eq!((minutes, from), (22.0, "recipe x air"));
}
