//! A disk that is slow or full: what was pressed, typed or marked is never lost silently, and nothing is shown as done
//! before it is.

use crate::app::model::{Effect, Overlay, Reply};
use crate::bench::Bench;
use crate::craft::materials::Filler;
use crate::craft::materials::fillers::BulkDensities;
use crate::record::shelf::Shelf;
use crate::ui::saving_thread::EffectRunner;
use crate::ui::tests::desk::{Window, at_ten, record_open};
use crate::units::Span;
use crate::work::panel::event::StageKind;

#[test]
fn a_slow_disk_is_told_and_a_second_press_is_not_taken() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::over(dir.path(), &["Wren"]);
    w.slow = true;
    w.press("Space");
    assert!(!w.shows("saving"), "not within the first moment");
    assert!(w.view.recent_fact.is_none(), "nothing is shown as done before it is on disk");
    w.pass(Span::from_ms(1500));
    assert!(w.shows("saving"), "{}", w.screen(160, 48));
    w.tap("s");
    assert!(w.view.status_message.as_ref().is_some_and(|s| s.urgent && s.text.contains("press again")));
    w.catch_up();
    assert_eq!(w.facts("wren"), ["opened", "done"]);
    assert!(!w.shows("saving"), "{}", w.screen(160, 48));
    w.slow = false;
    w.press("s");
    assert_eq!(w.facts("wren"), ["opened", "done", "started"]);
    assert!(w.view.status_message.as_ref().is_none_or(|s| !s.urgent), "a press that went well mends the word");
}

#[test]
fn a_disk_that_is_nearly_full_is_told_until_the_next_press_went_well() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::over(dir.path(), &["Wren"]);
    let now = w.now.get();
    w.view.handle_reply(Reply::LowSpace(12), now);
    w.pass(Span::from_s(60));
    assert!(w.shows("only 12 MB are left on this disk"), "{}", w.screen(160, 48));
    w.press("Space");
    assert!(!w.shows("only 12 MB"), "{}", w.screen(160, 48));
}

#[test]
fn a_step_that_is_still_being_saved_is_not_shown_yet_and_the_next_press_waits_for_it() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::over(dir.path(), &["Wren"]);
    w.pass(Span::from_h(1.0));
    w.press("Space");
    w.slow = true;
    w.press("Left");
    assert!(!w.shows("1 min earlier"), "{}", w.screen(160, 48));
    w.press("Left");
    assert!(w.view.status_message.as_ref().unwrap().text.starts_with("still saving the press before"));
    w.catch_up();
    assert_eq!(w.facts("wren"), ["opened", "done", "done"]);
    assert!(w.shows("1 min earlier"), "{}", w.screen(160, 48));
    assert!(w.view.saving_since().is_none());
}

#[test]
fn leaving_while_something_is_saved_asks_once() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::over(dir.path(), &["Wren"]);
    w.slow = true;
    w.press("Space q");
    assert!(w.asked.is_empty() && w.shows("press again to leave all the same"), "{}", w.screen(160, 48));
    w.press("q");
    assert!(matches!(w.asked[..], [Effect::Quit]));
}

#[test]
fn a_full_disk_stops_no_countdown_and_the_press_can_be_repeated() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::over(dir.path(), &["Wren"]);
    w.upto(StageKind::Coat, 2);
    let done = |w: &Window| w.facts("wren").iter().filter(|f| *f == "done").count();
    let laid = done(&w);
    w.disk.full(true);
    w.press("Space Space");
    let left = |w: &Window| w.view.panel_status(w.now.get()).and_then(|s| s.time_left).unwrap();
    let said = w.view.status_message.clone().unwrap();
    assert!(said.urgent && w.shows(&said.text[..30]), "{}", w.screen(160, 48));
    let before = left(&w);
    w.seconds(60);
    assert_eq!(before - left(&w), Span::from_s(60));
    assert_eq!(w.view.status_message.as_ref().map(|s| &s.text), Some(&said.text), "the words stay");
    w.disk.full(false);
    w.press("Space Space");
    assert_eq!(done(&w), laid + 1);
    assert!(w.view.status_message.as_ref().is_none_or(|s| !s.urgent));
}

#[test]
fn what_was_typed_or_marked_stays_until_it_is_on_disk() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::over(dir.path(), &["Wren"]);
    w.disk.full(true);
    w.press("w");
    w.types("runs off at the left edge");
    w.press("Enter");
    assert!(
        w.shows("runs off at the left edge") && matches!(w.view.overlay, Overlay::Line(_)),
        "{}",
        w.screen(160, 48)
    );
    w.disk.full(false);
    w.press("Enter");
    assert_eq!(w.facts("wren"), ["opened", "noted"]);
    assert!(matches!(w.view.overlay, Overlay::None));

    w.upto(StageKind::Check, 1);
    w.press("Space 7 5");
    w.disk.full(true);
    w.press("Enter");
    assert!(
        matches!(&w.view.overlay, Overlay::Map(map) if map.areas[1][1] != crate::work::panel::event::Roughness::None)
    );
    w.disk.full(false);
    w.press("Enter");
    assert_eq!(w.story().panel().stage_at_hand().map(|s| s.kind), Some(StageKind::Scrape));

    w.press("+");
    w.disk.full(true);
    w.press("Enter Enter");
    assert!(matches!(&w.view.overlay, Overlay::Form(form) if !form.form.error.is_empty()));
    w.disk.full(false);
    w.press("Enter");
    assert_eq!(w.view.snapshots().len(), 2);
}

#[test]
fn a_call_rings_though_it_cannot_be_written_down() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::over(dir.path(), &["Wren"]);
    w.upto(StageKind::Coat, 2);
    w.disk.full(true);
    w.wait_out();
    w.seconds(60);
    assert_eq!((w.tellings(), w.view.is_ringing()), (1, true));
    // And on a disk that does not answer at all.
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::over(dir.path(), &["Wren"]);
    w.upto(StageKind::Coat, 2);
    w.slow = true;
    w.wait_out();
    w.seconds(3);
    assert_eq!((w.tellings(), w.view.is_ringing()), (1, true));
}

/// The thread that reads the shelf for the view is told what the maker's powders weigh.
#[test]
fn panels_side_by_side_are_reckoned_with_the_makers_own_cup() {
    let dir = tempfile::tempdir().unwrap();
    let now = at_ten();
    record_open(dir.path(), "Wren", "gypsum-zinc", &now);
    let glue = |zinc_white_g_per_ml: f64| {
        let mut bulk = BulkDensities::TABLE;
        bulk.set_weighed(Filler::ZincWhite, zinc_white_g_per_ml).unwrap();
        let clock = std::rc::Rc::clone(&now);
        let mut desk =
            EffectRunner::new(Bench::new(Shelf::open(dir.path())), move || clock.get()).with_bulk_densities(bulk);
        let answers = desk.run_effect(Effect::ReadComparison);
        let side =
            answers.into_iter().find_map(|kept| if let Reply::ComparisonRead(side) = kept { Some(side) } else { None });
        side.unwrap().panels[0].row.pots.glue_per_100g_filler_g.unwrap()
    };
    assert!(glue(0.4) > glue(0.8) * 1.1);
}

#[test]
fn a_fault_of_the_program_stops_the_recording_and_neither_countdown_nor_bell() {
    const SENTENCE: &str = "recording has stopped, by a fault of the program; leave the bench and start again";
    // The fault shows at a press, at what another window wrote, and where a call is to be written down.
    let press: fn(&mut Window) = |w| w.press("Space Space");
    for (place, meet) in [("a press", press), ("a look", Window::read_on), ("a call", |w| w.seconds(12 * 60))] {
        let dir = tempfile::tempdir().unwrap();
        let mut w = Window::over(dir.path(), &["Wren"]);
        w.upto(StageKind::Coat, 2);
        let facts = w.facts("wren");
        let left = |w: &Window| w.view.panel_status(w.now.get()).and_then(|s| s.time_left).unwrap();
        w.disk.panic();
        meet(&mut w);
        let before = left(&w);
        w.seconds(10);
        assert_eq!(before - left(&w), Span::from_s(10), "{place}: the countdown");
        assert_eq!(w.view.saving_since(), None, "{place}: nothing is waited for");
        w.press("x");
        assert!(w.shows(SENTENCE), "{place}\n{}", w.screen(160, 48));
        // More presses are refused in a sentence too, and none stays unanswered.
        w.press("w");
        w.types("grit");
        w.press("Enter");
        assert!(w.shows(SENTENCE) && matches!(w.view.overlay, Overlay::Line(_)), "{place}\n{}", w.screen(160, 48));
        w.press("Esc p Space Space u");
        assert_eq!(w.view.saving_since(), None, "{place}");
        w.asked.clear();
        w.wait_out();
        w.seconds(5);
        assert!(w.view.is_ringing() && w.sounds() > 0 && w.tellings() == 1, "{place}: the bell");
        w.press("x q");
        assert!(matches!(w.asked.last(), Some(Effect::Quit)), "{place}: it is left without a question");
        assert_eq!(w.facts("wren"), facts, "{place}");
    }
}
