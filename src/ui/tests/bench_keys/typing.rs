//! What is typed and pasted, and labels nobody should choose: nothing breaks, nothing is recorded by accident.

use crate::bench::Bench;
use crate::record::shelf::Shelf;
use crate::ui::tests::desk::{Window, at_ten, opening};
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::{PanelEvent, StageKind};
use crate::work::story::CommonEvent;
use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use proptest::prelude::*;

#[test]
fn pasted_text_records_and_accepts_nothing() {
    // Keys before it, as many facts as there are then.
    let check = |keys: &str| {
        let dir = tempfile::tempdir().unwrap();
        let mut w = Window::over(dir.path(), &["Wren"]);
        w.upto(StageKind::Check, 1);
        if !keys.is_empty() {
            w.press(keys);
        }
        let before = w.made();
        let over = std::mem::discriminant(&w.view.overlay);
        for text in [" \n \n", "suede\r\n\r\nw1w\n", "q\u{1b}[13~\u{1b}", "\u{202e}yes\n", &"G\n".repeat(9000)] {
            w.paste(text);
            assert_eq!(w.made(), before, "{keys}");
            assert_eq!(std::mem::discriminant(&w.view.overlay), over, "{keys}");
            assert!(w.asked.is_empty(), "{keys}");
        }
        w.screen(80, 24);
    };
    for keys in ["", "w", "g", "k", "G", "r", "t", "?", "+", "Space"] {
        check(keys);
    }
}

#[test]
fn a_pasted_note_is_one_line_and_kept_by_enter() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::over(dir.path(), &["Wren"]);
    w.press("w");
    w.types("<>");
    w.press("Left");
    w.paste("two\nlines\u{1b}[31m");
    w.types("!");
    w.press("Enter");
    let Some(PanelEvent::Common(CommonEvent::Noted { text })) =
        w.story().last_standing_entry().map(|e| e.event.clone())
    else {
        panic!()
    };
    assert_eq!(text, "<two lines [31m!>");
}

#[test]
fn lines_that_cannot_be_kept_say_why_and_stay() {
    // Key, what is typed, what is said.
    let check = |key: &str, typed: &str, said: &str| {
        let dir = tempfile::tempdir().unwrap();
        let mut w = Window::over(dir.path(), &["Wren"]);
        w.press(key);
        w.types(typed);
        w.press("Enter");
        assert!(w.shows(said), "{key} {typed}\n{}", w.screen(160, 48));
        assert_eq!(w.made(), 1);
        w.press("Esc");
        assert_eq!(w.made(), 1);
    };
    check("w", "   ", "it needs a word or two");
    check("k", "", "it needs a word or two");
    check("g", "heavy", "heavy");
    check("g", "812", "unit");
}

/// Labels nobody should choose.
fn labels() -> Vec<String> {
    vec![
        "W".repeat(200),
        "鷦鷯".repeat(100),
        "e\u{301}\u{302}\u{303}\u{304}\u{305}\u{306}\u{307}".repeat(28),
        "\u{1b}[2J\u{1b}]0;owned\u{7}\u{9b}31m\r\n\t\0".to_owned(),
        "\u{202e}nerW\u{2066}\u{200b}\u{feff}".to_owned(),
        "👩‍🎨🏽".repeat(30),
        "-".to_owned(),
    ]
}

#[test]
fn no_label_breaks_a_screen_of_any_size() {
    for label in labels() {
        let dir = tempfile::tempdir().unwrap();
        let now = at_ten();
        Bench::new(Shelf::open(dir.path())).open_panels(&opening(&label, "gypsum-zinc"), &|| now.get()).unwrap();
        let mut w = Window::open(dir.path(), &now, None);
        w.upto(StageKind::Coat, 3);
        w.record(PanelAct::Note(label.clone()));
        for keys in ["x", "u", "w Enter", "r", "Esc t", "Esc ?", "Esc +", "Esc Space"] {
            w.press(keys);
            for (width, height) in [(1, 1), (2, 3), (7, 2), (20, 5), (40, 12), (80, 24), (200, 60), (300, 4), (3, 90)] {
                let screen = w.screen(width, height);
                let bad =
                    screen.chars().find(|c| (c.is_control() && *c != '\n') || "\u{202e}\u{2066}\u{200b}".contains(*c));
                assert_eq!(bad, None, "{keys} at {width}x{height}");
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    /// Any keys at any pace at any size: nothing breaks, and the journal folds to what the screen stands on.
    #[test]
    fn any_keys_at_any_size_leave_the_screen_on_what_is_on_disk(
        presses in prop::collection::vec((0usize..KEYS.len(), 0i64..2_000_000, 1u16..210, 1u16..70), 1..60)
    ) {
        let dir = tempfile::tempdir().unwrap();
        let mut w = Window::over(dir.path(), &["Wren", "Robin"]);
        for (key, ms, width, height) in presses {
            w.pass(crate::units::Span::from_ms(ms / 20));
            w.tap(KEYS[key]);
            w.screen(width, height);
        }
        for told in w.view.snapshots() {
            let known: Vec<_> = told.story.as_ref().unwrap().entries().iter().map(|e| e.seq).collect();
            prop_assert_eq!(known.len(), w.facts(told.id.as_str()).len());
        }
    }
}

const KEYS: &[&str] = &[
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
    "f",
    "?",
    "Esc",
    "PageUp",
    "Home",
    "End",
    "Backspace",
    "1",
    "5",
    "9",
    "x",
    "8",
    "0",
];

#[test]
fn what_is_typed_takes_the_place_of_what_was_suggested() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::open(dir.path(), &at_ten(), None);
    w.types("Ash");
    w.press("Down");
    w.key(KeyEvent::new(KeyCode::Char('u'), KeyModifiers::CONTROL));
    w.types("30x40");
    w.press("Down");
    w.types("3");
    w.press("Enter");
    // What is wrong with a size is said in full, also where there is little room beside the field.
    let narrow = w.screen(80, 24);
    assert!(narrow.contains("width first") && narrow.contains("Ash"), "{narrow}");
    w.types("cm");
    w.press("Enter");
    let labels: Vec<String> =
        w.view.snapshots().iter().map(|t| t.story.as_ref().unwrap().panel().opened().label.clone()).collect();
    assert_eq!(labels, ["Ash 1", "Ash 2", "Ash 3"]);
}

#[test]
fn a_suggestion_that_is_moved_in_is_kept() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::open(dir.path(), &at_ten(), None);
    w.press("End");
    w.types("s");
    assert!(w.shows("Wrens"), "{}", w.screen(80, 24));
}

#[test]
fn a_digit_goes_to_the_area_in_which_it_stands() {
    use crate::app::model::area_of_digit;
    for (digit, area) in [(7, (0, 0)), (8, (0, 1)), (9, (0, 2)), (4, (1, 0)), (5, (1, 1)), (1, (2, 0)), (3, (2, 2))] {
        assert_eq!(area_of_digit(digit, 3, 3), area, "{digit}");
    }
    assert_eq!((area_of_digit(7, 1, 1), area_of_digit(3, 1, 1)), ((0, 0), (0, 0)));
}
