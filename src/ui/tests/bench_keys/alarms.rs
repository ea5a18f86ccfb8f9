//! Calls: three patterns, each rung once until somebody quiets it or its minutes are over, in one window only.

use crate::app::model::Effect;
use crate::bench::Bench;
use crate::config::QuietHours;
use crate::record::shelf::Shelf;
use crate::ui::tests::desk::{Window, at_ten, opening, record, record_open};
use crate::units::Span;
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::{PanelCall, StageKind};
use crate::work::panel::phase::PanelPhase;

fn waiting(root: &std::path::Path) -> Window {
    let mut w = Window::over(root, &["Wren"]);
    w.upto(StageKind::Coat, 2);
    w
}

fn alerts(w: &Window) -> Vec<String> {
    w.facts("wren").into_iter().filter(|f| f.starts_with('(')).collect()
}

/// The seconds at which it sounded, over the next `n`.
fn strokes(w: &mut Window, n: i64) -> Vec<i64> {
    let mut at = Vec::new();
    for second in 0..n {
        let before = w.sounds();
        w.seconds(1);
        if w.sounds() > before {
            at.push(second);
        }
    }
    at
}

#[test]
fn each_call_has_its_pattern_and_they_are_repeated() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = waiting(dir.path());
    // A coat's wait is fifteen minutes; looking begins after twelve.
    w.seconds(12 * 60 - 1);
    assert_eq!(w.asked, [], "nothing yet");
    assert_eq!(strokes(&mut w, 31), [0, 15, 30]);
    assert!(w.shows("look whether the gloss is gone - any key quiets"), "{}", w.screen(160, 48));
    w.tap("x");
    assert!(w.shows("quiet now - press d when the gloss is gone"), "{}", w.screen(160, 48));
    w.seconds(3 * 60 - 32);
    assert_eq!(strokes(&mut w, 33), [1, 2, 3, 16, 17, 18, 31, 32]);
    assert_eq!(alerts(&w), ["(look for dull)", "(due)"]);
}

#[test]
fn the_first_key_of_any_kind_only_quiets() {
    let keys = "Space Enter PageDown s d u w g k e r o a G + Tab BackTab Left Right Up t f ? q Esc x z m";
    for key in keys.split(' ') {
        let dir = tempfile::tempdir().unwrap();
        let mut w = waiting(dir.path());
        w.wait_out();
        w.seconds(5);
        assert!(w.view.is_ringing());
        let (before, view) = (w.made(), w.view.overlay.clone());
        w.asked.clear();
        w.tap(key);
        assert!(!w.view.is_ringing() && w.made() == before && w.view.overlay == view && w.asked.is_empty(), "{key}");
        assert!(w.shows("quiet now - press when it is on"), "{key}\n{}", w.screen(160, 48));
        w.seconds(60);
        assert_eq!((w.sounds(), w.view.is_ringing()), (0, false), "{key}: quiet stays quiet");
    }
}

#[test]
fn a_resting_finger_neither_quiets_nor_records() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = waiting(dir.path());
    w.wait_out();
    let before = w.made();
    w.now.set(w.now.get().earlier_by(Span::from_s(5)));
    for _ in 0..400 {
        w.pass(Span::from_ms(30));
        w.tap("Space");
    }
    assert!(w.view.is_ringing(), "it was down before the call came");
    assert_eq!(w.made(), before, "{:?}", w.facts("wren"));
    // And the key that quiets, if it is held on, does nothing more.
    w.tap("x");
    let dir = tempfile::tempdir().unwrap();
    let mut w = waiting(dir.path());
    w.wait_out();
    w.seconds(2);
    let before = w.made();
    for _ in 0..200 {
        w.pass(Span::from_ms(30));
        w.tap("Space");
    }
    assert!(!w.view.is_ringing());
    assert_eq!(w.made(), before);
    w.press("Space");
    assert_eq!(w.made(), before + 1, "let go and pressed again, it records");
}

#[test]
fn an_alarm_rings_some_minutes_and_no_longer() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = waiting(dir.path());
    w.wait_out();
    w.seconds(178);
    assert!(w.view.is_ringing());
    w.seconds(10);
    assert!(!w.view.is_ringing());
    let sounds = w.sounds();
    w.seconds(600);
    assert_eq!(w.sounds(), sounds);
    assert_eq!((alerts(&w), w.tellings()), (vec!["(due)".to_owned()], 1));
}

#[test]
fn an_alarm_in_a_form_is_seen_quieted_and_spoils_nothing() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = waiting(dir.path());
    for (keys, typed) in [("w", "grit"), ("+", ""), ("t", ""), ("?", ""), ("r", "")] {
        w.upto(StageKind::Coat, 2);
        w.press(keys);
        w.types(typed);
        let over = w.view.overlay.clone();
        w.wait_out();
        w.seconds(3);
        if !w.view.is_ringing() {
            continue;
        }
        if keys != "?" {
            assert!(w.shows("any key quiets"), "{keys}\n{}", w.screen(160, 48));
        }
        w.press("Enter");
        assert_eq!(w.view.overlay, over, "{keys}");
        assert!(!w.view.is_ringing());
        w.press("Esc");
        w.record(PanelAct::Undo { seen: None });
        w.record(PanelAct::done_as_planned());
    }
}

#[test]
fn opened_again_after_the_deadline_it_rings_once_and_after_that_never() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = waiting(dir.path());
    w.seconds(60);
    let now = std::rc::Rc::clone(&w.now);
    drop(w);
    now.set(now.get().earlier_by(-Span::from_h(1.0)));
    let mut w = Window::open(dir.path(), &now, None);
    w.seconds(5);
    assert_eq!((alerts(&w), w.tellings(), w.view.is_ringing()), (vec!["(due)".to_owned()], 1, true));
    assert_eq!(w.sounds(), 3);
    drop(w);
    let mut w = Window::open(dir.path(), &now, None);
    w.seconds(60);
    assert_eq!((alerts(&w).len(), w.tellings(), w.sounds()), (1, 0, 0), "it has been told");
}

#[test]
fn of_two_windows_one_rings_and_in_both_the_first_key_only_quiets() {
    // Whether the other window's line is read before this one looks at the clock.
    for reads_first in [false, true] {
        let dir = tempfile::tempdir().unwrap();
        let mut a = waiting(dir.path());
        let mut b = Window::open(dir.path(), &a.now, None);
        a.wait_out();
        a.tick();
        if reads_first {
            b.read_on();
        }
        b.tick();
        for _ in 0..30 {
            a.now.set(a.now.get().earlier_by(-Span::from_s(1)));
            b.tick();
            b.read_on();
        }
        assert_eq!((a.tellings(), b.tellings(), b.sounds()), (1, 0, 0));
        assert_eq!(alerts(&a), ["(due)"]);
        // Who hears the bell may reach for either.
        let before = b.made();
        assert!(b.shows("it rings in another window"), "{}", b.screen(160, 48));
        b.tap("Space");
        assert_eq!(b.made(), before);
        assert!(a.view.is_ringing() && !b.view.is_ringing());
        // What is recorded in one quiets the other.
        b.press("Space");
        assert_eq!(b.made(), before + 1);
        a.read_on();
        a.tick();
        assert!(!a.view.is_ringing());
    }
}

#[test]
fn two_panels_that_call_together_are_both_named_and_one_key_quiets_both() {
    let dir = tempfile::tempdir().unwrap();
    let now = at_ten();
    record_open(dir.path(), "Wren", "gypsum-zinc", &now);
    record_open(dir.path(), "Robin", "gypsum-zinc", &now);
    let mut w = Window::open(dir.path(), &now, None);
    for _ in 0..8 {
        let due = |w: &mut Window| {
            w.wait_out();
            for id in ["wren", "robin"] {
                record(dir.path(), id, PanelAct::done_as_planned(), &w.now);
            }
            w.read_on();
        };
        due(&mut w);
    }
    w.wait_out();
    w.seconds(3);
    assert!(w.shows("Wren: it is time") && w.shows("Robin: it is time"), "{}", w.screen(160, 48));
    w.tap("x");
    assert!(!w.view.is_ringing());
    assert_eq!(w.tellings(), 2);
}

#[test]
fn long_waits_end_silently_at_night_and_call_when_it_is_over() {
    // The cure is 24 hours, so it ends at the time of day at which the last size was laid.
    let dir = tempfile::tempdir().unwrap();
    let now = at_ten();
    now.set(now.get().earlier_by(-Span::from_h(13.0)));
    record_open(dir.path(), "Wren", "gypsum-zinc", &now);
    let mut w = Window::open(dir.path(), &now, Some(QuietHours::DEFAULT));
    w.upto(StageKind::Stipple, 1);
    w.wait_out();
    w.seconds(30);
    assert_eq!((w.tellings(), alerts(&w).len()), (0, 0), "half past eleven at night");
    for _ in 0..7 {
        w.pass(Span::from_h(1.0));
    }
    assert_eq!(w.tellings(), 0, "half past six");
    w.pass(Span::from_h(0.5));
    assert_eq!((w.tellings(), alerts(&w)), (1, vec!["(due)".to_owned()]), "seven");
    // A wait of minutes calls at any hour: somebody is at work.
    w.tap("x");
    w.pass(Span::from_h(16.0));
    w.upto(StageKind::Coat, 1);
    w.wait_out();
    w.seconds(2);
    assert_eq!(w.tellings(), 2);
}

#[test]
fn a_rehearsals_clock_leaves_as_much_time_for_fingers_as_any() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = waiting(dir.path());
    w.view = w.view.clone().with_pace(60.0);
    w.pass(Span::from_s(60));
    w.tap("Space");
    // Half a second of the world is half a minute here, and a finger that rests rests still.
    w.pass(Span::from_s(30));
    w.tap("Space");
    assert!(w.view.confirmation.is_some());
    w.pass(Span::from_s(8 * 60));
    assert!(w.view.confirmation.is_some(), "eight seconds of the world");
    assert!(w.asked.iter().all(|r| !matches!(r, Effect::SendAlert(text) if text.call == PanelCall::Due)));
}

#[test]
fn the_last_wait_calls_too() {
    // A recipe whose last act is followed by a wait and nothing else: the seal dries, and then it is ready to paint on.
    let dir = tempfile::tempdir().unwrap();
    let now = at_ten();
    let mut opening = opening("Wren", "gypsum-zinc");
    std::sync::Arc::make_mut(&mut opening.recipe).sand = None;
    Bench::new(Shelf::open(dir.path())).open_panels(&opening, &|| now.get()).unwrap();
    let mut w = Window::open(dir.path(), &now, None);
    for _ in 0..60 {
        if w.story().panel().stage_at_hand().is_some() {
            w.done();
        }
    }
    assert_eq!(w.view.panel_status(now.get()).map(|s| s.phase), Some(PanelPhase::Waiting));
    w.wait_out();
    w.seconds(3);
    assert_eq!(w.tellings(), 1);
}

#[test]
fn the_pot_is_told_before_a_coat_by_the_recipes_minutes() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = waiting(dir.path());
    // Fifteen minutes of wait from the coat laid at some time; three to melt, two for the bowl.
    let laid = crate::text::format_hhmm(w.now.get().wall, &chrono::Utc);
    assert!(w.shows("into the bath at") && w.shows("thin the bowl at"), "laid {laid}\n{}", w.screen(160, 48));
    w.pass(Span::from_min(10.0));
    assert!(w.shows("into the bath now") && w.shows("thin the bowl at"), "{}", w.screen(160, 48));
    w.pass(Span::from_min(3.0));
    assert!(!w.shows("into the bath") && w.shows("thin the bowl now"), "{}", w.screen(160, 48));
}

/// What was asked to be spoken, over the next so many seconds, and in which.
fn spoken(w: &mut Window, seconds: i64) -> Vec<(i64, String)> {
    let mut told = Vec::new();
    for second in 0..seconds {
        let before = w.asked.len();
        w.seconds(1);
        told.extend(w.asked[before..].iter().filter_map(|asked| match asked {
            Effect::Speak(sentence) => Some((second, sentence.clone())),
            _ => None,
        }));
    }
    told
}

#[test]
fn a_call_is_spoken_with_each_pattern_of_the_bell_and_says_how_late_it_is() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = waiting(dir.path());
    w.seconds(12 * 60 - 1);
    let look = |second| (second, "Wren: is the gloss gone?".to_owned());
    assert_eq!(spoken(&mut w, 20), [look(0), look(15)]);
    w.tap("x");
    assert_eq!(spoken(&mut w, 60), [], "quieted");
    w.seconds(3 * 60 - 81);
    let told = spoken(&mut w, 70);
    let act = "Wren: lay coat 2 of 6, vertical, the long way.";
    assert_eq!(told.first(), Some(&(1, act.to_owned())));
    assert_eq!(told.last(), Some(&(61, format!("{act} 1 minute late."))));
    assert_eq!(told.len(), 5);
    // What is told to a command is the same.
    let text = w.asked.iter().rev().find_map(|asked| match asked {
        Effect::SendAlert(text) => Some(text.sentence()),
        _ => None,
    });
    assert_eq!(text.as_deref(), Some(act));
}
