//! A clock that cannot be believed: it runs on, it is asked about, and it does not fill the journals.

use crate::app::model::{Effect, Overlay};
use crate::bench::Bench;
use crate::record::shelf::Shelf;
use crate::ui::tests::desk::{Window, at_ten, record_open};
use crate::units::{BootMark, Humidity, Moment, Span, Temperature};
use crate::work::air::AirReading;
use crate::work::panel::event::StageKind;
use std::cell::Cell;
use std::path::Path;
use std::rc::Rc;

const DAY: i64 = 86_400;

/// A panel in a coat's wait, and the clocks of another boot at which it is looked at again.
fn after_reboot(root: &Path, later: Span) -> (Window, Rc<Cell<Moment>>) {
    let mut w = Window::over(root, &["Wren"]);
    w.upto(StageKind::Coat, 2);
    let last = w.now.get();
    let now = Moment { wall: last.wall + later, boot: Some(BootMark { boot_id: 8, ms: 40_000 }), ..last };
    let now = Rc::new(Cell::new(now));
    (Window::open(root, &now, None), now)
}

#[test]
fn a_countdown_runs_on_and_calls_though_the_clock_is_behind() {
    let dir = tempfile::tempdir().unwrap();
    let (mut w, now) = after_reboot(dir.path(), Span::from_s(-3600));
    w.tick();
    assert!(w.shows("the clock is behind the records"), "{}", w.screen(160, 48));
    let left = |w: &Window| w.view.panel_status(now.get()).unwrap().time_left.unwrap();
    let before = left(&w);
    w.seconds(60);
    assert_eq!((before - left(&w)).ms(), 60_000);
    w.seconds(15 * 60);
    assert!(w.sounds() > 0, "the call of the coat's wait");
    assert_eq!(w.asked.iter().filter(|e| matches!(e, Effect::RunClockFrom(..))).count(), 1, "anchored once");
    // What is recorded then keeps what the wall clock said.
    w.tap("x");
    w.press("Space");
    let last = w.story().entries().last().cloned().unwrap();
    assert!(last.raw_wall.is_some_and(|raw| raw < last.written.wall), "{last:?}");
}

#[test]
fn a_clock_far_off_is_asked_about_once_and_never_refuses() {
    for (later, asks) in [(-2 * DAY, true), (31 * DAY, true), (-3600, false), (29 * DAY, false)] {
        let dir = tempfile::tempdir().unwrap();
        let (mut w, _) = after_reboot(dir.path(), Span::from_s(later));
        w.tick();
        assert_eq!(matches!(w.view.overlay, Overlay::Clock(_)), asks, "{later} s later");
        if asks {
            assert!(w.shows("Is the clock right?"), "{}", w.screen(160, 48));
            w.press("x Enter");
            w.seconds(2);
            assert_eq!(w.view.overlay, Overlay::None, "asked once a start");
        }
        let before = w.made();
        w.press("Space Space");
        assert!(w.made() > before, "{}", w.screen(160, 48));
    }
}

#[test]
fn whoever_says_that_the_clock_is_wrong_goes_on_from_the_newest_entry() {
    let dir = tempfile::tempdir().unwrap();
    let (mut w, now) = after_reboot(dir.path(), Span::from_s(400 * DAY));
    let newest = w.story().entries().last().unwrap().written.wall;
    w.tick();
    w.press("x Down Enter");
    assert!(now.get().wall - newest < Span::from_s(60), "{:?}", now.get());
}

#[test]
fn a_finished_panel_asks_nothing() {
    let dir = tempfile::tempdir().unwrap();
    let now = at_ten();
    record_open(dir.path(), "Wren", "gypsum-zinc", &now);
    let mut w = Window::open(dir.path(), &now, None);
    w.record(crate::work::panel::act::PanelAct::Abandon("split".to_owned()));
    now.set(Moment { wall: now.get().wall - Span::from_s(90 * DAY), ..now.get() });
    let mut w = Window::of(dir.path(), &["wren"], &now);
    w.tick();
    assert_eq!(w.view.overlay, Overlay::None);
}

#[test]
fn a_logger_whose_clock_is_a_minute_ahead_moves_nothing() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::over(dir.path(), &["Wren"]);
    let at = w.now.get().wall + Span::from_s(60);
    let reading = AirReading::new(at, Temperature::from_c(20.0), Humidity::from_pct(50.0)).unwrap();
    let clock = w.now.clone();
    assert!(Bench::new(Shelf::open(dir.path())).record_air(&[reading], &|| clock.get()).is_ok());
    w.read_on();
    w.tick();
    assert!(!w.asked.iter().any(|e| matches!(e, Effect::RunClockFrom(..))), "{:?}", w.asked);
}

#[test]
fn a_clock_that_flaps_is_written_down_once_a_minute() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::over(dir.path(), &["Wren"]);
    w.tick();
    for second in 0..180 {
        let now = w.now.get();
        let jump = Span::from_s(if second % 2 == 0 { 30 } else { -20 });
        w.now.set(Moment { wall: now.wall + jump, ..now });
        w.pass(Span::from_s(1));
    }
    let written = w.facts("wren").iter().filter(|f| *f == "clock_stepped").count();
    assert!((2..=4).contains(&written), "{written} in three minutes");
}
