//! Every key in every phase: what is recorded, what is said, what lies over the bench then.

use crate::app::key::Key;
use crate::app::model::{Effect, Overlay};
use crate::ui::tests::desk::{self, Window, at_ten};
use crate::units::Span;
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::{CheckMap, StageKind};
use std::cell::Cell;
use std::fmt::Write;
use std::path::Path;
use std::rc::Rc;

/// Every key that means anything on the bench, those beside Space, and some that mean nothing.
const KEYS: [&str; 43] = [
    "Space",
    "Enter",
    "PageDown",
    "s",
    "d",
    "u",
    "w",
    "g",
    "k",
    "e",
    "r",
    "o",
    "a",
    "G",
    "+",
    "Tab",
    "BackTab",
    "Left",
    "Right",
    "Up",
    "Down",
    "t",
    "y",
    "l",
    "f",
    "?",
    "F1",
    "q",
    "Esc",
    "PageUp",
    "Home",
    "End",
    "Backspace",
    "Delete",
    "c",
    "v",
    "b",
    "n",
    "m",
    ",",
    ".",
    "x",
    "z",
];

const PHASES: [&str; 8] = ["ready", "working", "waiting", "by itself", "over", "check", "finished", "given up"];

fn in_phase(phase: &str, root: &Path) -> Window {
    let mut w = Window::over(root, &["Wren"]);
    match phase {
        "ready" => {}
        "working" => w.record(PanelAct::Start),
        "waiting" => {
            w.upto(StageKind::Coat, 2);
            w.pass(Span::from_s(60));
        }
        "by itself" => {
            w.upto(StageKind::Stipple, 1);
            w.pass(Span::from_s(60));
        }
        "over" => {
            w.upto(StageKind::Coat, 3);
            w.wait_out();
            w.pass(Span::from_s(120));
            w.tap("x");
            w.view.status_message = None;
        }
        "check" => w.upto(StageKind::Check, 1),
        "finished" => {
            for _ in 0..40 {
                if w.story().panel().stage_at_hand().is_some() {
                    w.done();
                }
            }
        }
        "given up" => {
            w.upto(StageKind::Coat, 2);
            w.record(PanelAct::Abandon("it fell".to_owned()));
        }
        other => panic!("{other}"),
    }
    w
}

fn over(w: &Window) -> String {
    match &w.view.overlay {
        Overlay::None => String::new(),
        Overlay::Keys(_) => "[keys]".to_owned(),
        Overlay::Story(_) => "[story]".to_owned(),
        Overlay::Line(line) => format!("[line: {}]", line.purpose.prompt()),
        Overlay::Flaws(_) => "[flaws]".to_owned(),
        Overlay::Map(_) => "[map]".to_owned(),
        Overlay::Pots(_) => "[pots]".to_owned(),
        Overlay::Form(_) => "[form]".to_owned(),
        Overlay::Comparison(_) => "[compare]".to_owned(),
        Overlay::Sitting(_) => "[sitting]".to_owned(),
        Overlay::Queue(_) => "[queue]".to_owned(),
        Overlay::Plan(_) => "[plan]".to_owned(),
        Overlay::PassSheet(_) => "[sheet]".to_owned(),
        Overlay::Clock(_) => "[clock]".to_owned(),
        Overlay::Shelf(_) => "[shelf]".to_owned(),
    }
}

/// What one press does: "done | coat 2 laid", "- | 14 min early - press again", "- | [map]".
fn outcome(w: &mut Window, key: &str) -> String {
    let before = w.facts("wren").len();
    w.tap(key);
    let facts = w.facts("wren")[before..].join(", ");
    let mut said = Vec::new();
    if let Some(question) = &w.view.confirmation {
        said.push(question.text.clone());
    }
    if let Some(word) = &w.view.status_message {
        said.push(word.text.clone());
    }
    for words in &said {
        let begins: String = words.chars().take(40).collect();
        for (width, height) in [(160, 48), (80, 24)] {
            let screen = w.screen(width, height);
            assert!(screen.contains(begins.trim_end()), "{key}: {words:?} is not on the screen\n{screen}");
        }
    }
    if let Some(pressed) = &w.view.recent_fact {
        said.push(format!("<{}>", pressed.stage));
    }
    said.push(over(w));
    if w.view.direction_turned {
        said.push("turned".to_owned());
    }
    if w.view.distance_mode {
        said.push("far".to_owned());
    }
    let leaves = w.asked.iter().any(|r| matches!(r, Effect::Quit));
    said.push(if leaves { "leaves".to_owned() } else { String::new() });
    said.retain(|s| !s.is_empty());
    format!("{} | {}", if facts.is_empty() { "-" } else { &facts }, said.join(" "))
}

/// The same place once more, so that each key finds it untouched.
fn copied(from: &Path) -> tempfile::TempDir {
    let to = tempfile::tempdir().unwrap();
    std::fs::create_dir(to.path().join("panels")).unwrap();
    std::fs::copy(from.join("panels/wren.jsonl"), to.path().join("panels/wren.jsonl")).unwrap();
    to
}

#[test]
fn every_key_in_every_phase() {
    let mut table = String::new();
    for phase in PHASES {
        let dir = tempfile::tempdir().unwrap();
        let now = in_phase(phase, dir.path()).now.get();
        writeln!(table, "{phase}").unwrap();
        let mut nothing = Vec::new();
        for key in KEYS {
            let dir = copied(dir.path());
            let mut w = Window::of(dir.path(), &["wren"], &Rc::new(Cell::new(now)));
            w.pass(Span::from_ms(1500));
            match outcome(&mut w, key).as_str() {
                "- | " => nothing.push(key),
                first => writeln!(table, "  {key:9} {first}").unwrap(),
            }
            if w.view.confirmation.is_some() {
                w.pass(Span::from_ms(1500));
                writeln!(table, "  {:9} {}", "  again", outcome(&mut w, key)).unwrap();
            }
        }
        writeln!(table, "  nothing: {}", nothing.join(" ")).unwrap();
    }
    insta::assert_snapshot!(table);
}

#[test]
fn with_no_panel_the_form_is_there_and_enter_alone_gets_going() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::open(dir.path(), &at_ten(), None);
    assert!(w.shows("A panel for the bench") && w.shows("Wren") && w.shows("300x400x12mm"));
    w.press("Enter");
    assert_eq!(w.facts("wren"), ["opened"]);
    assert_eq!(w.story().panel().recipe().name, "gypsum-titanium", "what is offered first is not warned of");
    assert!(w.shows("Wren: opened"), "{}", w.screen(160, 48));
}

/// Goes to the recipe and takes the one with zinc white.
fn choose_zinc(w: &mut Window) {
    for _ in 0..12 {
        if w.screen(160, 48).contains("< gypsum-zinc >") {
            return;
        }
        let at_recipe = w.screen(160, 48).lines().any(|l| l.contains('→') && l.contains("Recipe"));
        w.press(if at_recipe { "Right" } else { "Down" });
    }
    panic!("no recipe with zinc white: {}", w.screen(160, 48));
}

#[test]
fn t_takes_the_recipe_offered_instead_and_the_caution_comes_once() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::open(dir.path(), &at_ten(), None);
    choose_zinc(&mut w);
    w.press("Enter");
    assert!(w.shows("Enter keeps this recipe, t takes gypsum-titanium"), "{}", w.screen(160, 48));
    w.press("t");
    assert_eq!(w.story().panel().recipe().name, "gypsum-titanium");
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::open(dir.path(), &at_ten(), None);
    choose_zinc(&mut w);
    w.press("Enter x Esc Enter");
    assert_eq!(w.story().panel().recipe().name, "gypsum-zinc", "said once, then it is the maker's matter");
}

#[test]
fn the_form_leaves_only_from_an_empty_bench_and_offers_a_free_name() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::over(dir.path(), &["Wren"]);
    w.press("+");
    assert!(w.shows("Robin"), "{}", w.screen(160, 48));
    w.press("Esc");
    assert!(w.asked.is_empty() && matches!(w.view.overlay, Overlay::None));
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::open(dir.path(), &at_ten(), None);
    w.press("Esc");
    assert!(matches!(w.asked[..], [Effect::Quit]));
}

#[test]
fn the_form_offers_no_name_that_lies_on_the_shelf() {
    use crate::app::model::{Model, ModelSettings};
    let offers = |taken: &[&str]| {
        let shelved = taken.iter().map(|id| crate::units::Id::new(id).unwrap()).collect();
        let mut view = Model::new(Vec::new(), ModelSettings { shelf_ids: shelved, ..desk::manner(None) });
        let press = |view: &mut Model, key| {
            let press = view.decode_key(key, false);
            view.update(press, at_ten().get())
        };
        if !taken.is_empty() {
            assert!(matches!(view.overlay, Overlay::Shelf(_)), "a shelf of finished panels opens on the shelf");
            assert!(matches!(press(&mut view, Key::Enter)[..], [Effect::ReadFinishedPanels]));
            press(&mut view, Key::End);
            press(&mut view, Key::Enter);
        }
        let Overlay::Form(form) = &view.overlay else { panic!() };
        let name = form.form.fields[0].value().to_owned();
        if !taken.is_empty() {
            press(&mut view, Key::Esc);
            assert!(matches!(view.overlay, Overlay::Shelf(_)), "and Esc goes back to it");
        }
        name
    };
    assert_eq!(offers(&[]), "Wren");
    assert_eq!(offers(&["wren", "robin"]), "Blackbird");
    let all = ["wren", "robin", "blackbird", "dunnock", "goldfinch", "greenfinch", "chaffinch", "nuthatch", "starling"];
    let more = ["song-thrush", "blue-tit", "great-tit", "wren-2", "bullfinch", "coal-tit", "treecreeper", "siskin"];
    assert_eq!(offers(&[&all[..], &more].concat()), "Robin 2");
}

#[test]
fn a_field_that_cannot_be_read_is_told_beside_it() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::open(dir.path(), &at_ten(), None);
    w.press("Down End x Enter");
    assert!(matches!(w.view.overlay, Overlay::Form(_)) && w.view.snapshots().is_empty());
    let Overlay::Form(form) = &w.view.overlay else { panic!() };
    assert!(!form.form.fields[1].error.is_empty());
    w.press("Backspace Enter Enter");
    assert_eq!(w.view.snapshots().len(), 1);
}

#[test]
fn at_the_check_space_never_means_clear() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = in_phase("check", dir.path());
    let before = w.made();
    // However long the bar is leaned on: it opens the map and steps one area, and Enter on a map it did not fill asks.
    w.press("Space Space Space Space");
    assert_eq!(w.made(), before);
    w.press("Enter");
    assert!(w.shows("press w (white all over)"), "{}", w.screen(160, 48));
    assert_eq!(w.made(), before);
    w.press("w");
    assert_eq!(w.made(), before + 1);
    assert!(w.story().panel().stage_at_hand().is_some_and(|s| s.kind != StageKind::Scrape));
}

#[test]
fn what_is_marked_grey_is_given_up_only_on_a_second_press() {
    for (key, said) in [("w", "2 areas are marked grey; press w again to record"), ("Esc", "not recorded; press Esc")] {
        let dir = tempfile::tempdir().unwrap();
        let mut w = in_phase("check", dir.path());
        let before = w.made();
        w.press("Space 5 9");
        w.press(key);
        assert!(w.shows(said), "{}", w.screen(160, 48));
        // Another key in between takes the question away.
        w.press("Up");
        w.press(key);
        assert!(w.shows(said) && w.made() == before, "{key}");
        w.press(key);
        assert_eq!(
            (w.made() - before, matches!(w.view.overlay, Overlay::None)),
            (usize::from(key == "w"), true),
            "{key}"
        );
    }
}

#[test]
fn the_check_map_takes_arrows_and_the_number_pad_and_shows_the_round_before() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = in_phase("check", dir.path());
    // 7 lies above on the left, 3 below on the right; twice is much.
    w.press("Space 7 3 3 Up Left Space Enter");
    let maps = |w: &Window| -> Vec<String> {
        let story = w.story();
        let laid =
            story.panel().steps().iter().filter(|s| s.slot.kind == StageKind::Check).filter_map(|s| s.laid_coat());
        laid.filter_map(|l| l.event.map.as_ref().map(CheckMap::to_string)).collect()
    };
    assert_eq!(maps(&w), ["100/010/002"]);
    assert_eq!(w.story().panel().stage_at_hand().map(|s| (s.kind, s.number)), Some((StageKind::Scrape, Some(2))));
    w.upto(StageKind::Check, 2);
    w.press("Space");
    let Overlay::Map(map) = &w.view.overlay else { panic!("{}", w.screen(160, 48)) };
    assert_eq!(
        map.previous_areas.as_ref().map(|b| CheckMap::new(b.clone()).unwrap().to_string()),
        Some("100/010/002".into())
    );
    w.press("Esc");
    assert!(matches!(w.view.overlay, Overlay::None) && maps(&w).len() == 1);
}

#[test]
fn while_scraping_the_drawn_board_shows_where_the_last_check_was_low() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = in_phase("check", dir.path());
    assert!(!w.screen(160, 48).contains('▓'), "{}", w.screen(160, 48));
    w.press("Space 5 5 Enter");
    assert!(w.story().panel().stage_at_hand().is_some_and(|s| s.kind == StageKind::Scrape));
    assert!(w.screen(160, 48).contains('▓'), "{}", w.screen(160, 48));
    w.done();
    assert!(w.story().panel().stage_at_hand().is_some_and(|s| s.kind == StageKind::Check));
    assert!(!w.screen(160, 48).contains('▓'), "{}", w.screen(160, 48));
}
