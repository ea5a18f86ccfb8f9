//! Words that belong to the program and not to the bench stand on no screen.

use super::desk::Window;
use crate::craft::recipe::shipped;
use crate::units::Span;
use crate::work::advice::making::{MakingStep, making_advice};
use crate::work::advice::recipe_words::describe_recipe;
use crate::work::advice::stages::stage_tips;
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::StageKind;

/// What no maker has to know. Each is looked for as whole words, in any case.
const UNWANTED: [&str; 11] =
    ["journal", "journals", "fact", "facts", "folded", "torn", "time constant", "pvc", "vpd", "emc", "wet bulb"];

/// The words of a text, without signs and in small letters, with a space around each.
fn plain_words(text: &str) -> String {
    let letters: String =
        text.chars().map(|c| if c.is_alphanumeric() { c.to_ascii_lowercase() } else { ' ' }).collect();
    format!(" {} ", letters.split_whitespace().collect::<Vec<_>>().join(" "))
}

#[track_caller]
fn check(about: &str, text: &str) {
    let words = plain_words(text);
    for unwanted in UNWANTED {
        assert!(!words.contains(&format!(" {unwanted} ")), "\"{unwanted}\" stands on {about}:\n{text}");
    }
    assert!(
        !words.contains(" 1 panels ") && !words.contains(" 1 boards ") && !words.contains(" 1 coats "),
        "{about}:\n{text}"
    );
    assert!(!text.contains("p = "), "a p stands on {about}:\n{text}");
}

#[track_caller]
fn check_window(about: &str, w: &Window) {
    for (width, height) in [(80, 24), (160, 48), (40, 12)] {
        check(about, &w.screen(width, height));
    }
}

#[test]
fn the_test_finds_what_it_looks_for() {
    for text in ["take the last fact back", "the Journal of wren", "PVC 90 %", "the recipe's time constant", "p = 0.03"]
    {
        assert!(std::panic::catch_unwind(|| check("a text", text)).is_err(), "{text}");
    }
    check("a text", "an artefact, S. Rivers 2003, p. 648");
}

#[test]
fn no_screen_says_what_only_the_program_needs() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::over(dir.path(), &["Wren", "Robin"]);
    let overlays = ["?", "t", "i", "P", "w", "+", "r", "k", "h", "g", "v", "W"];
    let look = |w: &mut Window, about: &str| {
        check_window(about, w);
        for key in overlays {
            w.press(key);
            check_window(&format!("{about}, key {key}"), w);
            w.press("PageDown");
            check_window(&format!("{about}, key {key}, further down"), w);
            w.press("Esc");
        }
    };
    look(&mut w, "prepare");
    w.press("P f");
    for step in 0..MakingStep::ALL.len() {
        check_window(&format!("the making, step {step}"), &w);
        w.press("i");
        check_window(&format!("the making with sources, step {step}"), &w);
        w.press("i Down");
    }
    w.press("Esc Esc");
    w.upto(StageKind::Coat, 2);
    look(&mut w, "a wait");
    w.pass(Span::from_h(3.0));
    w.press("x");
    look(&mut w, "a long gap");
    w.upto(StageKind::Check, 1);
    w.press("Space");
    check_window("the map", &w);
    w.press("Esc Esc");
    w.record(PanelAct::Abandon("it fell".to_owned()));
    look(&mut w, "given up");
    w.press("u u u u u u u");
    check_window("take-backs", &w);
}

#[test]
fn no_advice_says_what_only_the_program_needs() {
    for shipped in shipped::shipped_recipes() {
        let recipe = shipped::find_shipped_recipe(shipped.name).unwrap();
        check(shipped.name, &describe_recipe(&recipe).join("\n"));
        for step in MakingStep::ALL {
            let said = making_advice(step, &recipe);
            let tips = said.tips.iter().chain(&said.sign).map(|tip| format!("{tip} {}\n", tip.source));
            let cautions = said.cautions.iter().map(|c| format!("{c} {}\n", c.source));
            check(shipped.name, &tips.chain(cautions).collect::<String>());
        }
    }
    let dir = tempfile::tempdir().unwrap();
    let w = Window::over(dir.path(), &["Wren"]);
    let panel = w.story();
    for stage in panel.panel().stages() {
        let said: String =
            stage_tips(&stage, panel.panel().opened(), None).iter().map(|t| format!("{t} {}\n", t.source)).collect();
        check(&stage.to_string(), &said);
    }
}
