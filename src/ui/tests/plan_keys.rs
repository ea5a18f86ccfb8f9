//! The plan on the bench: looked at, drifted from, planned anew with one key.

use super::desk::{Window, at_ten, record, record_open};
use crate::ui::theme::{ColorScheme, Theme};
use crate::units::Span;
use crate::work::panel::act::PanelAct;
use std::path::Path;

const THREE: [&str; 3] = ["Ash", "Bay", "Cob"];

/// Three boards, prepared and sized, the cure over since an hour: gesso is to be laid.
fn cured(root: &Path) -> Window {
    let now = at_ten();
    now.set(now.get().earlier_by(Span::from_h(26.0)));
    for label in THREE {
        record_open(root, label, "gypsum-zinc", &now);
    }
    for label in THREE {
        for _ in 0..5 {
            record(root, &label.to_lowercase(), PanelAct::done_as_planned(), &now);
        }
    }
    now.set(now.get().earlier_by(-Span::from_h(26.0)));
    let mut w = Window::open(root, &now, None);
    w.seconds(2);
    while w.view.is_ringing() {
        w.press("x");
    }
    w
}

#[test]
fn pictures() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = cured(dir.path());
    w.press("v");
    assert!(w.shows("no plan is kept; r plans every board"), "{}", w.screen(160, 48));
    // The gesso is put to soak tonight; tomorrow it is laid.
    w.press("r Right");
    let both = |name: &str, w: &Window| {
        for (width, height) in [(80, 24), (120, 40)] {
            insta::assert_snapshot!(format!("{name}-{width}x{height}"), w.screen(width, height));
        }
    };
    both("day", &w);
    w.press("w");
    both("weeks", &w);
    let plain = Theme { color_scheme: ColorScheme::Terminal, ascii: true };
    insta::assert_snapshot!("weeks-ascii", w.screen_as(80, 24, &plain));
    w.press("w");
    insta::assert_snapshot!("day-ascii", w.screen_as(80, 24, &plain));
    w.press("Esc");
    assert!(w.shows("stipple") || w.shows("Stipple"), "the bench again");
}

#[test]
fn a_slip_shows_and_one_key_plans_anew() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = cured(dir.path());
    w.press("v r");
    let first = w.view.kept_plan().unwrap().clone();
    assert!(dir.path().join("plan.jsonl").exists(), "the plan is on disk");
    // Planned again at once, nothing is different.
    w.press("r");
    assert!(w.shows("nothing moved in the plan that is kept"), "{}", w.screen(160, 48));
    assert_eq!(**w.view.kept_plan().unwrap(), *first);
    // A day goes by in which nobody laid anything.
    w.seconds(26 * 3600);
    while w.view.is_ringing() {
        w.press("x");
    }
    assert!(w.shows("late"), "{}", w.screen(160, 48));
    w.press("r");
    assert!(w.shows("moved"), "{}", w.screen(160, 48));
    let (kept, moved) = (w.view.kept_plan().unwrap(), |sequence: u32| sequence > 0);
    assert!(kept.acts.iter().any(|act| moved(act.sequence)));
    let is_late =
        |w: &Window| w.screen(160, 48).lines().any(|line| line.trim_end_matches(['"', ' ']).ends_with(" late"));
    assert!(!is_late(&w), "{}", w.screen(160, 48));
    // What is laid then is told beside the hour it was planned for.
    w.press("Esc");
    record(dir.path(), "ash", PanelAct::done_as_planned(), &w.now.clone());
    w.read_on();
    w.press("t");
    assert!(w.shows("planned Thu 12 Mar"), "{}", w.screen(160, 48));
    w.press("Esc v");
    // The boards stand in the order in which the bench leads through them.
    let queue: Vec<String> = w.view.queue(w.now.get()).into_iter().map(|entry| entry.label).collect();
    let screen = w.screen(120, 40);
    let rows: Vec<usize> =
        queue.iter().filter(|l| THREE.contains(&l.as_str())).map(|l| screen.find(&**l).unwrap()).collect();
    assert!(rows.is_sorted(), "{queue:?} {screen}");
}
