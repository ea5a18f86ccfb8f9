//! Resting fingers, second presses, wrong keys, the time after a press, and which panel a press belongs to.

use crate::app::model::Overlay;
use crate::craft::recipe::Direction;
use crate::ui::tests::desk::{Window, at_ten, record, record_open};
use crate::units::Span;
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::{PanelCall, PanelEvent, StageKind};
use crate::work::story::{CommonEvent, StoryEvent};

fn waiting(root: &std::path::Path) -> Window {
    let mut w = Window::over(root, &["Wren"]);
    w.upto(StageKind::Coat, 2);
    w.pass(Span::from_s(60));
    w
}

#[test]
fn a_held_key_records_once_for_as_long_as_it_is_held() {
    // Key, what it records at the first press; the stream of a held key is 30 ms apart.
    let check = |key: &str, records: usize| {
        let dir = tempfile::tempdir().unwrap();
        let mut w = Window::over(dir.path(), &["Wren"]);
        let before = w.made();
        for _ in 0..400 {
            w.pass(Span::from_ms(30));
            w.tap(key);
        }
        assert_eq!(w.made() - before, records, "{key}: {:?}", w.facts("wren"));
        // Where the terminal tells a held key from presses, however long the first repeat takes.
        for _ in 0..50 {
            w.pass(Span::from_ms(1100));
            w.repeat(key);
        }
        assert_eq!(w.made() - before, records, "{key}, repeats");
    };
    check("Space", 1);
    check("Enter", 1);
    check("PageDown", 1);
    check("s", 1);
    check("u", 0);
    check("a", 0);
    check("e", 0);
    check("d", 0);
}

#[test]
fn a_key_held_through_a_view_records_nothing_behind_it() {
    // Enter opens the panel; the finger stays on it, and the board is not prepared by that.
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::open(dir.path(), &at_ten(), None);
    w.press("Enter");
    for _ in 0..100 {
        w.pass(Span::from_ms(30));
        w.tap("Enter");
    }
    assert_eq!(w.facts("wren"), ["opened"]);
    // Enter keeps a note.
    w.press("w");
    w.types("hot");
    w.press("Enter");
    w.pass(Span::from_ms(30));
    w.tap("Enter");
    assert_eq!(w.facts("wren"), ["opened", "noted"]);
    // Space opens the map of a check, and marks nothing while it stays down.
    w.upto(StageKind::Check, 1);
    w.press("Space");
    for _ in 0..31 {
        w.pass(Span::from_ms(30));
        w.tap("Space");
    }
    let Overlay::Map(map) = &w.view.overlay else { panic!() };
    assert!(map.areas.iter().flatten().all(|low| *low == crate::work::panel::event::Roughness::None));
    // Escape leaves the map, and not the bench behind it.
    w.press("Esc");
    w.pass(Span::from_ms(30));
    w.tap("Esc");
    assert!(w.asked.is_empty());
}

#[test]
fn the_second_press_must_come_after_a_second_and_within_twenty() {
    // Milliseconds between the presses, whether it is recorded.
    let check = |ms: i64, records: bool| {
        let dir = tempfile::tempdir().unwrap();
        let mut w = waiting(dir.path());
        let before = w.made();
        w.press("Space");
        assert!(w.shows("min early - press again to record it all the same"), "{}", w.screen(160, 48));
        w.pass(Span::from_ms(ms));
        w.tap("Space");
        assert_eq!(w.made() - before, usize::from(records), "{ms} ms");
        assert_eq!(w.view.confirmation.is_some(), !records, "{ms} ms");
    };
    check(0, false);
    check(999, false);
    check(1000, true);
    check(20_000, true);
    check(20_001, false);
    check(600_000, false);
}

#[test]
fn another_key_takes_the_question_away() {
    for key in ["s", "d", "Tab", "f", "x", "Left", "Up", "w", "?"] {
        let dir = tempfile::tempdir().unwrap();
        let mut w = waiting(dir.path());
        w.press("Space");
        w.press(key);
        if key != "s" {
            assert!(w.view.confirmation.is_none(), "{key}");
        }
        if w.view.overlay != Overlay::None {
            w.press("Esc");
        }
        let before = w.facts("wren").iter().filter(|f| *f == "done").count();
        w.press("Space");
        let after = w.facts("wren").iter().filter(|f| *f == "done").count();
        // After "dull" the wait is over, and Space records.
        assert_eq!(after - before, usize::from(key == "d"), "{key}");
    }
}

#[test]
fn arrows_step_the_time_of_what_was_just_recorded() {
    // Keys after the press, minutes earlier that it stands at the end.
    let check = |keys: &str, min: f64| {
        let dir = tempfile::tempdir().unwrap();
        let mut w = Window::over(dir.path(), &["Wren"]);
        w.pass(Span::from_h(1.0));
        let at = w.now.get().wall;
        w.tap("Space");
        assert!(w.shows("just now"), "{}", w.screen(160, 48));
        w.press(keys);
        let last = w.story().last_standing_entry().map(|e| (e.at, e.event.name().to_owned()));
        assert_eq!(last, Some((at - Span::from_min(min), "done".to_owned())), "{keys}");
    };
    check("x", 0.0);
    check("Left x", 1.0);
    check("Left Left Left Right f", 2.0);
    check("Right Left x", 1.0);
    check("Left Right x", 0.0);
    check("Left Left Tab", 2.0);
}

#[test]
fn each_step_of_a_time_is_on_disk_at_once_as_one_line() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::over(dir.path(), &["Wren"]);
    w.pass(Span::from_h(1.0));
    let at = w.now.get().wall;
    w.tap("Space");
    for step in 1..=5u8 {
        w.seconds(7);
        w.tap("Left");
        assert!(w.shows(&format!("{step} min earlier")), "each step gives the time anew: {}", w.screen(160, 48));
        assert_eq!(w.facts("wren").len(), 2 + usize::from(step), "each is one line");
        let stands = w.story().last_standing_entry().map(|e| e.at);
        assert_eq!(stands, Some(at - Span::from_min(f64::from(step))), "what is shown is on disk");
    }
    assert_eq!(w.facts("wren"), ["opened", "done", "done", "done", "done", "done", "done"]);
    w.seconds(9);
    w.tap("Left");
    assert_eq!(w.facts("wren").len(), 7, "after some seconds it is no longer stepped");
}

#[test]
fn the_key_after_a_step_is_obeyed_too() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::over(dir.path(), &["Wren"]);
    w.pass(Span::from_h(1.0));
    w.press("Space Left s");
    assert_eq!(w.facts("wren"), ["opened", "done", "done", "started"]);
    // What is taken back is the moved fact; the one it stands in the place of does not come up again.
    w.press("Space Left u");
    assert_eq!(w.facts("wren")[4..], ["done".to_owned(), "done".to_owned(), "undone".to_owned()]);
    assert_eq!(w.story().last_standing_entry().map(|e| e.event.name().to_owned()), Some("started".to_owned()));
}

#[test]
fn a_disk_that_fills_between_two_steps_leaves_the_coat_where_it_is_shown() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::over(dir.path(), &["Wren"]);
    w.pass(Span::from_h(1.0));
    w.press("Space");
    let at = w.story().last_standing_entry().unwrap().at;
    w.press("Left");
    w.disk.full(true);
    w.press("Left");
    assert!(w.shows("it does not stand 2 min earlier"), "{}", w.screen(160, 48));
    assert!(w.shows("1 min earlier"), "{}", w.screen(160, 48));
    w.disk.full(false);
    assert_eq!(w.facts("wren"), ["opened", "done", "done"]);
    assert_eq!(w.story().last_standing_entry().map(|e| e.at), Some(at - Span::from_min(1.0)));
}

#[test]
fn a_time_is_not_stepped_over_what_somebody_recorded_since() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::over(dir.path(), &["Wren"]);
    w.pass(Span::from_h(1.0));
    w.press("Space");
    record(dir.path(), "wren", PanelAct::Note("by phone".to_owned()), &w.now);
    w.press("Left");
    assert_eq!(w.facts("wren"), ["opened", "done", "noted"]);
    assert!(w.shows("it does not stand 1 min earlier"), "{}", w.screen(160, 48));
    assert!(w.story().entries().len() == 3, "and what was recorded since is known");
}

#[test]
fn the_other_direction_goes_into_the_fact_and_holds_for_one_coat() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = waiting(dir.path());
    w.wait_out();
    w.tick();
    w.press("x o");
    assert!(!w.view.direction_turned && w.shows("the coat below is horizontal as well"), "it is asked first");
    w.press("o Space");
    let direction = |w: &Window| {
        let story = w.story();
        let Some(PanelEvent::Done(done)) = story.last_standing_entry().map(|e| e.event.clone()) else { panic!() };
        done.direction
    };
    // The first coat is horizontal, so the second would be vertical.
    assert_eq!(direction(&w), Some(Direction::Horizontal));
    assert!(!w.view.direction_turned);
    w.wait_out();
    w.tick();
    w.press("x Space");
    assert_eq!(direction(&w), Some(Direction::Vertical));
}

#[test]
fn a_direction_turned_for_one_coat_is_not_kept_for_another_that_somebody_else_moved_to() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = waiting(dir.path());
    w.press("o o");
    assert!(w.view.direction_turned);
    record(dir.path(), "wren", PanelAct::done_as_planned(), &w.now);
    w.read_on();
    assert!(!w.view.direction_turned);
}

#[test]
fn undo_names_the_panel_and_takes_back_only_what_was_seen() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::over(dir.path(), &["Robin", "Wren"]);
    w.press("Space");
    assert_eq!(w.view.shown_panel().unwrap().id.as_str(), "wren", "the next board");
    w.press("u");
    assert!(w.shows("Robin: taken back"), "the last press, whichever board is shown: {}", w.screen(160, 48));
    w.press("u");
    assert!(w.shows("Wren: nothing is left to take back"), "{}", w.screen(160, 48));
    // Another window recorded in between: what it recorded is not taken back unseen.
    w.press("Space");
    let id = "wren";
    record(dir.path(), id, PanelAct::Note("mine".to_owned()), &w.now);
    let before = w.facts(id);
    w.press("u");
    assert_eq!(w.facts(id), before);
    assert!(w.shows("something else was recorded since"), "{}", w.screen(160, 48));
    w.read_on();
    w.press("u");
    assert_eq!(w.facts(id).len(), before.len(), "it is named first");
    assert!(w.shows("Wren: note: mine - u again takes it back"), "{}", w.screen(160, 48));
    w.press("u");
    assert_eq!(w.facts(id).last().map(String::as_str), Some("undone"));
}

#[test]
fn a_press_meant_for_a_stage_that_is_past_records_nothing() {
    // Keys, with the act that another window slipped in before the last of them.
    let check = |keys: &str, text: &str, last: &str| {
        let dir = tempfile::tempdir().unwrap();
        let mut w = Window::over(dir.path(), &["Wren"]);
        w.press(keys);
        w.types(text);
        record(dir.path(), "wren", PanelAct::done_as_planned(), &w.now);
        w.press(last);
        assert_eq!(w.facts("wren"), ["opened", "done"], "{keys} {last}");
        assert!(w.shows("by another window"), "{keys} {last}\n{}", w.screen(160, 48));
        assert_eq!(w.story().entries().len(), 2, "what the other window recorded is known now");
    };
    check("x", "", "Space");
    check("x", "", "s");
    check("k", "no size", "Enter");
}

#[test]
fn the_panel_shown_changes_only_by_a_press() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::over(dir.path(), &["Wren", "Robin", "Siskin"]);
    let shown = |w: &Window| w.view.shown_panel().unwrap().id.to_string();
    let first = shown(&w);
    for id in ["siskin", "robin", "wren"] {
        record(dir.path(), id, PanelAct::done_as_planned(), &w.now);
        w.read_on();
        w.seconds(3);
        assert_eq!(shown(&w), first);
    }
    let mut seen = vec![first.clone()];
    for _ in 0..2 {
        w.press("Tab");
        seen.push(shown(&w));
    }
    w.press("Tab");
    assert_eq!(shown(&w), first, "round the rack");
    seen.sort();
    assert_eq!(seen, ["robin", "siskin", "wren"]);
    w.press("BackTab Tab");
    assert_eq!(shown(&w), first);
    // A panel finished or given up stays where it is while it is looked at.
    let id = shown(&w);
    record(dir.path(), &id, PanelAct::Abandon("warped".to_owned()), &w.now);
    w.read_on();
    assert_eq!(shown(&w), first);
}

#[test]
fn news_takes_an_open_question_away_and_says_so_but_a_call_does_not() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = waiting(dir.path());
    w.press("Space");
    assert!(w.view.confirmation.is_some());
    let other = |event: CommonEvent<PanelCall>, w: &Window| {
        let mut bench = crate::bench::Bench::new(crate::record::shelf::Shelf::open(dir.path()));
        bench.record_notice(&crate::units::Id::new("wren").unwrap(), event, &|| w.now.get()).unwrap();
    };
    other(CommonEvent::Slept { span: Span::from_s(60) }, &w);
    w.read_on();
    assert!(w.view.confirmation.is_some(), "what a program noticed is not a press");
    record(dir.path(), "wren", PanelAct::Dull, &w.now);
    w.read_on();
    assert!(w.view.confirmation.is_none());
    assert!(w.shows("another window: coat 1 of 6 gone dull"), "{}", w.screen(160, 48));
}

#[test]
fn a_panel_that_cannot_be_told_of_leaving_is_named() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::over(dir.path(), &["Wren", "Robin"]);
    w.upto(StageKind::Coat, 1);
    // The one on the screen is Robin; of a damaged one nobody knows whether it is being laid.
    let wren = dir.path().join("panels/wren.jsonl");
    let mut bytes = std::fs::read(&wren).unwrap();
    let within = bytes.len() - 30;
    bytes[within] ^= 1;
    std::fs::write(&wren, bytes).unwrap();
    let mut w = Window::open(dir.path(), &w.now, None);
    w.press("x a");
    assert!(w.shows("not on wren: "), "{}", w.screen(160, 48));
    assert_eq!(w.facts("robin").last().map(String::as_str), Some("away"));
}

#[test]
fn away_and_back_are_the_makers_on_every_panel_being_laid() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::over(dir.path(), &["Wren", "Robin", "Siskin"]);
    let away = |w: &Window| -> Vec<String> {
        let stories = w.view.snapshots().iter().filter_map(|t| t.story.as_ref());
        let away = stories.filter(|s| s.panel().status(w.now.get()).away_since.is_some());
        away.map(|s| s.panel().opened().label.clone()).collect()
    };
    // Two of three are between stipple and last coat, and the one shown at the end is not.
    for _ in 0..2 {
        w.upto(StageKind::Coat, 2);
        w.press("Tab");
    }
    w.tick();
    w.press("x a");
    assert_eq!(away(&w).len(), 2, "{}", w.screen(160, 48));
    assert!(w.shows("away from the bench"), "{}", w.screen(160, 48));
    w.press("a");
    assert!(away(&w).is_empty());
    assert!(w.shows("back at the bench"), "{}", w.screen(160, 48));
}

#[test]
fn giving_up_asks_twice_and_repeat_asks_why() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = waiting(dir.path());
    let before = w.made();
    w.press("G");
    w.types("it fell");
    w.press("Enter");
    assert!(w.shows("press Enter again if you mean it"), "{}", w.screen(160, 48));
    w.press("!");
    w.press("Enter");
    assert_eq!(w.made(), before, "after another key it asks again");
    w.press("Enter");
    assert_eq!(w.story().panel().abandon_reason(), Some("it fell!"));
    w.press("u");
    assert_eq!(w.story().panel().abandon_reason(), None);
    w.press("r Down Down Enter");
    let last = w.story().last_standing_entry().map(|e| e.event.clone());
    assert_eq!(last, Some(PanelEvent::Repeated { why: crate::work::panel::event::Flaw::Thin }));
    assert!(w.shows("Wren: coat 1 of 6 to be done again"), "{}", w.screen(160, 48));
}

#[test]
fn a_new_panel_is_shown_and_the_others_stay() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::over(dir.path(), &["Wren"]);
    record_open(dir.path(), "Robin", "gypsum-zinc", &w.now);
    w.press("+ Enter");
    assert_eq!(w.view.story().unwrap().panel().opened().label, "Robin", "the name is free on this bench");
    assert_eq!(w.view.shown_panel().unwrap().id.as_str(), "robin-2");
}
