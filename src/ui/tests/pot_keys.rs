//! Press keys, read the screen: the pots beside the bench, their calls, the making, the air, what a gap means.

mod making;

use super::desk::{Window, at_ten, record_open};
use crate::app::model::{Overlay, PotsOverlay};
use crate::app::view_model::{self, ViewContext};
use crate::bench::{Bench, PotOpening};
use crate::config::QuietHours;
use crate::craft::recipe::shipped;
use crate::record::shelf::Shelf;
use crate::text::UnitSystem;
use crate::units::{Id, Mass, Moment, Span, Stamp};
use crate::work::panel::event::{PanelEvent, StageKind};
use crate::work::pot;
use crate::work::pot::act::PotAct;
use crate::work::story::{CommonEvent, StoryCall, StoryEvent};
use std::cell::Cell;
use std::path::Path;
use std::rc::Rc;
use std::sync::Arc;

fn open_pot(root: &Path, label: &str, kind: pot::event::PotKind, parent: Option<&str>, now: &Rc<Cell<Moment>>) {
    let opening = PotOpening {
        filler_lot: None,
        label: label.to_owned(),
        kind,
        parent: parent.and_then(Id::new),
        recipe: Arc::new(shipped::find_shipped_recipe("gypsum-zinc").unwrap()),
        size_ml: None,
        lot: Some("B 12".to_owned()),
        at: None,
        for_group: None,
    };
    Bench::new(Shelf::open(root)).open_pot(&opening, &|| now.get()).unwrap();
}

fn mark(root: &Path, id: &str, act: PotAct, at: Stamp, now: &Rc<Cell<Moment>>) {
    let mut bench = Bench::new(Shelf::open(root));
    bench.record_pot(&Id::new(id).unwrap(), &act, Some(at), &|| now.get()).unwrap();
}

/// The facts on disk of that pot by their words, in the order written; calls in brackets.
fn facts(root: &Path, id: &str) -> Vec<String> {
    let told = Bench::new(Shelf::open(root)).load_pot(&Id::new(id).unwrap()).unwrap();
    let word = |event: &pot::event::PotEvent| match event {
        pot::event::PotEvent::Common(CommonEvent::Alert { call, .. }) => format!("({})", call.name()),
        event => event.name().to_owned(),
    };
    told.story.unwrap().entries().iter().map(|e| word(&e.event)).collect()
}

/// A window on Wren waiting for coat 2, with a pot of size and a liquid gesso poured from it just now.
fn with_gesso(root: &Path) -> Window {
    let now = at_ten();
    record_open(root, "Wren", "gypsum-zinc", &now);
    let mut w = Window::open(root, &now, None);
    w.upto(StageKind::Coat, 1);
    open_pot(root, "size", pot::event::PotKind::Size, None, &now);
    open_pot(root, "gesso", pot::event::PotKind::Gesso, Some("size"), &now);
    mark(root, "gesso", PotAct::made_as_asked(), now.get().wall, &now);
    w.done();
    Window::open(root, &now, None)
}

fn shows(w: &Window, words: &str) {
    assert!(w.shows(words), "no \"{words}\" in\n{}", w.screen(160, 48));
}

/// What stands beside the act in words, before it is broken into lines.
fn told(w: &Window) -> String {
    let at = ViewContext { now: w.now.get(), zone: &chrono::Utc, units: UnitSystem::Metric };
    let scene = view_model::build_bench_view_model(&w.view, &at).unwrap();
    let pots: Vec<String> = scene.pots.iter().map(|p| format!("{}: {}", p.label, p.lines.join("; "))).collect();
    [scene.remark, scene.air, pots.join("\n")].join("\n")
}

fn tells(w: &Window, words: &str) {
    assert!(told(w).contains(words), "no \"{words}\" in\n{}", told(w));
}

fn keeps_back(w: &Window, words: &str) {
    assert!(!told(w).contains(words), "\"{words}\" in\n{}", told(w));
}

fn hides(w: &Window, words: &str) {
    assert!(!w.shows(words), "\"{words}\" in\n{}", w.screen(160, 48));
}

#[test]
fn one_key_puts_the_pot_into_the_bath_and_takes_it_out_and_u_takes_that_back_alone() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = with_gesso(dir.path());
    shows(&w, "liquid since");
    shows(&w, "p pot in");
    let laid = w.facts("wren");
    w.press("p");
    shows(&w, "in the bath 0:0");
    shows(&w, "p pot out");
    w.seconds(30);
    w.press("p");
    assert_eq!(facts(dir.path(), "gesso"), ["opened", "made", "melt", "out"]);
    shows(&w, "gesso: out of the bath");
    w.press("u");
    assert_eq!(facts(dir.path(), "gesso"), ["opened", "made", "melt", "out", "undone"]);
    shows(&w, "gesso: taken back: out of the bath");
    assert_eq!(w.facts("wren"), laid, "the coat still lies");
    w.press("u");
    assert_eq!(w.facts("wren"), laid, "the board's own last fact is named first");
    w.press("u");
    assert_eq!(w.facts("wren").last().map(String::as_str), Some("undone"), "and now the panel's is meant");
}

#[test]
fn a_resting_finger_moves_no_pot() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = with_gesso(dir.path());
    w.press("p");
    for _ in 0..50 {
        w.pass(Span::from_ms(40));
        w.tap("p");
        w.repeat("p");
    }
    assert_eq!(facts(dir.path(), "gesso"), ["opened", "made", "melt"]);
}

#[test]
fn no_key_beside_space_records_anything_of_a_pot() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = with_gesso(dir.path());
    let (before, laid) = (facts(dir.path(), "gesso"), w.facts("wren"));
    for place in ["", "P", "P f"] {
        if !place.is_empty() {
            w.press(place);
        }
        for key in "c v b n m , . / C V B N M".split(' ') {
            w.press(key);
        }
        if !place.is_empty() {
            w.press("Esc Esc");
            w.asked.clear();
        }
        assert_eq!((facts(dir.path(), "gesso"), w.facts("wren")), (before.clone(), laid.clone()), "{place}");
    }
}

#[test]
fn every_mark_of_the_sheet_is_recorded() {
    let check = |keys: &[&str], typed: &str, word: &str| {
        let dir = tempfile::tempdir().unwrap();
        let mut w = with_gesso(dir.path());
        w.press("P");
        for key in keys {
            w.press(key);
        }
        if !typed.is_empty() {
            w.types(typed);
            w.press("Enter");
        }
        assert_eq!(facts(dir.path(), "gesso").last().map(String::as_str), Some(word), "{keys:?}");
        assert!(matches!(w.view.overlay, Overlay::Pots(PotsOverlay::List { .. })), "{keys:?}: back on the sheet");
    };
    check(&["p"], "", "melt");
    check(&["l"], "", "liquid");
    check(&["j"], "", "gelled");
    check(&["s"], "", "strained");
    check(&["t"], "48C", "temp");
    check(&["a"], "12g", "water");
    check(&["g"], "812g", "weighed");
    check(&["w"], "runs well", "noted");
    check(&["u"], "", "undone");
    check(&["z", "z"], "", "emptied");
    check(&["D"], "smells", "discarded");
    // Used up asks first.
    check(&["s", "z"], "", "strained");
}

#[test]
fn what_cannot_be_is_said_in_a_sentence_and_what_is_doubtful_is_asked() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = with_gesso(dir.path());
    w.press("P t");
    w.types("140C");
    w.press("Enter");
    shows(&w, "does not get hotter than 100 C");
    assert_eq!(facts(dir.path(), "gesso"), ["opened", "made"]);
    w.press("Esc Down l");
    assert_eq!(facts(dir.path(), "size"), ["opened", "liquid"]);
    shows(&w, "never in the bath: was that left out?");
    w.press("r r");
    shows(&w, "marked made already");
}

#[test]
fn a_pot_is_opened_from_a_form_and_is_then_in_use() {
    let dir = tempfile::tempdir().unwrap();
    let now = at_ten();
    record_open(dir.path(), "Wren", "gypsum-zinc", &now);
    let mut w = Window::open(dir.path(), &now, None);
    w.press("P + Enter");
    assert_eq!(facts(dir.path(), "size"), ["opened"]);
    shows(&w, "IN USE");
    // The next is gesso, and poured from that size.
    w.press("+ Down Down Down Down");
    w.types("lots");
    w.press("Enter");
    shows(&w, "!");
    for _ in 0..4 {
        w.press("Backspace");
    }
    w.types("400ml");
    w.press("Enter");
    let told = Bench::new(Shelf::open(dir.path())).load_pot(&Id::new("gesso").unwrap()).unwrap().story.unwrap();
    let opened = told.pot().opened();
    assert_eq!(opened.parent.as_ref().map(Id::as_str), Some("size"));
    assert_eq!(opened.size_ml.map(|v| v.ml()), Some(400.0));
}

#[test]
fn a_coat_names_its_pot_and_another_batch_is_called_out_before_it_and_stands_in_the_story() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = with_gesso(dir.path());
    let now = Rc::clone(&w.now);
    open_pot(dir.path(), "gesso b", pot::event::PotKind::Gesso, Some("size"), &now);
    let mut w2 = Window::open(dir.path(), &now, None);
    keeps_back(&w2, "two batches");
    // The newer pot stands first; it is chosen for what comes.
    w2.press("P Up Up Enter");
    tells(&w2, "two batches on one ground may part");
    w2.press("i");
    shows(&w2, "Cennino Cennini, ch. 117");
    w2.press("Esc");
    w2.wait_out();
    w2.press("x Space");
    shows(&w2, "is not marked as made");
    w2.press("Space");
    let pots: Vec<String> = w2
        .story()
        .panel()
        .steps()
        .iter()
        .filter_map(|s| s.laid_coat())
        .filter_map(|l| l.event.pot.as_ref().map(ToString::to_string))
        .collect();
    assert_eq!(pots, ["gesso", "gesso-b"]);
    w2.press("t");
    shows(&w2, "two batches on one ground may part");
    w.press("q");
}

#[test]
fn a_pot_that_lost_water_is_called_out_as_stronger() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = with_gesso(dir.path());
    let now = Rc::clone(&w.now);
    let opening = PotOpening {
        filler_lot: None,
        label: "weighed".to_owned(),
        kind: pot::event::PotKind::Gesso,
        parent: Id::new("size"),
        recipe: Arc::new(shipped::find_shipped_recipe("gypsum-zinc").unwrap()),
        size_ml: Some(crate::units::Volume::from_ml(400.0)),
        lot: None,
        at: None,
        for_group: None,
    };
    Bench::new(Shelf::open(dir.path())).open_pot(&opening, &|| now.get()).unwrap();
    w = Window::open(dir.path(), &now, None);
    w.press("P Up Up Enter");
    w.wait_out();
    w.press("x Space Space");
    keeps_back(&w, "stronger than the coat below");
    // What it loses while nothing is taken from it is water.
    mark(dir.path(), "weighed", PotAct::Weigh(Mass::from_g(900.0)), now.get().wall, &now);
    w.seconds(60);
    mark(dir.path(), "weighed", PotAct::Weigh(Mass::from_g(840.0)), now.get().wall, &now);
    w = Window::open(dir.path(), &now, None);
    w.press("P Up Up Enter");
    tells(&w, "stronger than the coat below");
}

#[test]
fn the_call_for_the_bath_comes_in_time_for_the_coat_and_a_dull_mark_moves_it_forward() {
    let pot_calls = |w: &Window| w.facts("wren").iter().filter(|f| *f == "(see to the pot)").count();
    let dir = tempfile::tempdir().unwrap();
    let mut w = with_gesso(dir.path());
    w.press("P j Esc");
    // Fifteen minutes; two for the bowl and three in the bath before that.
    let left = |w: &Window| w.view.panel_status(w.now.get()).and_then(|s| s.time_left).unwrap();
    while left(&w) > Span::from_min(5.0) + Span::from_s(1) {
        w.seconds(1);
        assert_eq!((pot_calls(&w), w.view.is_ringing()), (0, false), "{:?}", left(&w));
    }
    shows(&w, "into the bath at");
    w.seconds(4);
    assert_eq!((pot_calls(&w), w.view.is_ringing()), (1, true));
    shows(&w, "Wren: see to the pot");
    shows(&w, "into the bath now");
    w.tap("x");
    w.press("p");
    shows(&w, "in the bath");

    let dir = tempfile::tempdir().unwrap();
    let mut w = with_gesso(dir.path());
    w.press("P j Esc");
    w.seconds(120);
    assert_eq!(pot_calls(&w), 0);
    w.press("d");
    w.seconds(3);
    assert_eq!((pot_calls(&w), w.view.is_ringing()), (1, true), "{}", w.screen(160, 48));
}

#[test]
fn a_pot_in_the_bath_is_called_for_every_minute_until_it_is_out_in_every_window() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = with_gesso(dir.path());
    w.press("p");
    w.seconds(175);
    assert!(!w.view.is_ringing());
    w.seconds(10);
    assert!(w.view.is_ringing());
    shows(&w, "gesso: out of the bath");
    let now = Rc::clone(&w.now);
    let mut late = Window::open(dir.path(), &now, None);
    late.seconds(2);
    assert!(late.view.is_ringing(), "opened only after it went in");
    for _ in 0..4 {
        w.tap("x");
        assert!(!w.view.is_ringing());
        w.seconds(61);
        assert!(w.view.is_ringing(), "{}", w.screen(160, 48));
        shows(&w, "out of the bath now");
    }
    w.tap("x");
    w.press("p");
    w.view.status_message = None;
    w.seconds(200);
    hides(&w, "gesso: out of the bath");
    let calls = facts(dir.path(), "gesso").into_iter().filter(|f| f == "(out of the bath)").count();
    assert_eq!(calls, 1, "written once, however often it rings");
}

#[test]
fn a_soak_that_ends_at_night_is_called_for_once_in_the_morning() {
    let dir = tempfile::tempdir().unwrap();
    let now = at_ten();
    now.set(now.get().earlier_by(Span::from_h(-11.0)));
    record_open(dir.path(), "Wren", "gypsum-zinc", &now);
    open_pot(dir.path(), "size", pot::event::PotKind::Size, None, &now);
    mark(dir.path(), "size", PotAct::Soak, now.get().wall, &now);
    let mut w = Window::open(dir.path(), &now, QuietHours::parse("22:00-08:00"));
    tells(&w, "soak until Wed 06:00");
    w.pass(Span::from_h(10.0));
    assert!(!w.view.is_ringing(), "at seven all are asleep");
    tells(&w, "soaked since 06:00: melt it");
    w.pass(Span::from_h(1.2));
    assert!(w.view.is_ringing());
    shows(&w, "size: soaked, melt it gently");
    w.tap("x");
    w.seconds(300);
    assert!(!w.view.is_ringing(), "once");
    let mut again = Window::open(dir.path(), &now, None);
    again.seconds(3);
    assert!(!again.view.is_ringing(), "and in no other window");
}

#[test]
fn the_air_is_typed_in_a_line_and_holds_until_the_next() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = with_gesso(dir.path());
    w.press("h");
    w.types("20C");
    w.press("Enter");
    shows(&w, "it needs both");
    w.types(" 130%");
    w.press("Enter");
    shows(&w, "130");
    for _ in 0..4 {
        w.press("Backspace");
    }
    w.types("50%");
    w.press("Enter");
    let at = Bench::new(Shelf::open(dir.path())).load_air().readings().to_vec();
    assert_eq!(at.len(), 1);
    shows(&w, "air 20 C 50% since");
}

#[test]
fn whoever_comes_back_is_told_what_the_gap_means_until_it_is_put_away() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = with_gesso(dir.path());
    w.press("a");
    w.now.set(w.now.get().earlier_by(Span::from_min(-95.0)));
    w.press("x a");
    tells(&w, "which spoils nothing: into a cold bath");
    w.press("i");
    shows(&w, "bone dry and the next coat");
    shows(&w, "[the Slade School's");
    w.press("Esc");
    keeps_back(&w, "which spoils nothing");

    // Nothing was marked at all: the gap is told at the first key.
    let dir = tempfile::tempdir().unwrap();
    let mut w = with_gesso(dir.path());
    w.now.set(w.now.get().earlier_by(Span::from_h(-9.0)));
    w.press("x x");
    keeps_back(&w, "bone dry and the next coat");
    let mut w = Window::open(dir.path(), &Rc::clone(&w.now), None);
    tells(&w, "(i: ");
    w.press("i");
    shows(&w, "bone dry and the next coat bonds less well");
}

#[test]
fn a_full_disk_keeps_the_pot_where_it_was_and_the_press_can_be_repeated() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = with_gesso(dir.path());
    w.disk.full(true);
    w.press("p");
    assert!(w.view.status_message.as_ref().is_some_and(|s| s.urgent), "{}", w.screen(160, 48));
    hides(&w, "in the bath 0");
    w.press("P t");
    w.types("45C");
    w.press("Enter");
    shows(&w, "45C");
    w.disk.full(false);
    w.press("Enter Esc p");
    assert_eq!(facts(dir.path(), "gesso"), ["opened", "made", "temp", "melt"]);
}

#[test]
fn another_window_sees_the_pot_the_air_and_a_new_pot() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = with_gesso(dir.path());
    let now = Rc::clone(&w.now);
    let mut other = Window::open(dir.path(), &now, None);
    other.press("p h");
    other.types("19C 61%");
    other.press("Enter");
    open_pot(dir.path(), "reserve", pot::event::PotKind::Gesso, Some("size"), &now);
    w.read_on();
    shows(&w, "in the bath");
    shows(&w, "air 19 C 61%");
    w.press("P");
    shows(&w, "reserve");
}

#[test]
fn pictures() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = with_gesso(dir.path());
    let both = |name: &str, w: &Window| {
        for (width, height) in [(80, 24), (120, 40)] {
            insta::assert_snapshot!(format!("{name}-{width}x{height}"), w.screen(width, height));
        }
    };
    w.seconds(60);
    both("liquid", &w);
    w.press("P");
    both("pots", &w);
    w.press("Esc p");
    w.seconds(100);
    both("in_the_bath", &w);
    w.press("p P j + Esc Esc");
    w.seconds(20);
    both("gelled", &w);
    w.press("P End f");
    both("making", &w);
    w.press("Space Space");
    both("soaking", &w);
}

/// The events of a panel that name a pot.
#[test]
fn a_coat_laid_without_any_pot_names_none() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::over(dir.path(), &["Wren"]);
    w.upto(StageKind::Coat, 2);
    w.press("p");
    shows(&w, "no pot is recorded; P opens one");
    w.wait_out();
    w.press("x Space");
    assert_eq!(w.story().panel().count_coats(crate::work::panel::event::Face::Front), 2);
    let named = |e: &PanelEvent| matches!(e, PanelEvent::Done(done) if done.pot.is_some());
    assert!(!w.story().entries().iter().any(|e| named(&e.event)));
}

/// A pot whose journal is damaged, or cannot be read, stands as that beside the bench and on the page of the pots: not as
/// it stood where the damage begins. So does the air.
#[test]
fn a_damaged_pot_and_damaged_air_are_told_on_the_bench() {
    type Spoil = fn(&Path);
    let flip: Spoil = |path| {
        let mut bytes = std::fs::read(path).unwrap();
        let at = bytes.len() - 40;
        bytes[at] ^= 1;
        std::fs::write(path, bytes).unwrap();
    };
    let block: Spoil = |path| {
        std::fs::remove_file(path).unwrap();
        std::fs::create_dir(path).unwrap();
    };
    for spoil in [flip, block] {
        let dir = tempfile::tempdir().unwrap();
        let now = with_gesso(dir.path()).now.clone();
        mark(dir.path(), "gesso", PotAct::Melt, now.get().wall, &now);
        spoil(&dir.path().join("pots/gesso.jsonl"));
        std::fs::write(dir.path().join("air.jsonl"), "{}\n").unwrap();
        let mut w = Window::open(dir.path(), &now, None);
        for (width, height) in [(80, 24), (120, 40)] {
            let screen = w.screen(width, height);
            assert!(screen.contains("damaged, see verify"), "{screen}");
            assert!(!screen.contains("liquid since"), "{screen}");
        }
        assert!(w.screen(120, 40).contains("air: damaged"), "{}", w.screen(120, 40));
        w.press("P");
        let screen = w.screen(120, 40);
        assert!(screen.contains("gesso") && screen.contains("damaged, see verify"), "{screen}");
    }
}
