//! The sitting over the finished panels: what each key answers, what is recorded and what never is, and what the bench
//! says of looks that are due.

use crate::app::model::{Effect, Overlay};
use crate::bench::{Bench, InspectionReminders, PanelOpening};
use crate::record::shelf::{Drawer, Shelf};
use crate::ui::tests::desk::{Window, at_ten, opening, record, record_open};
use crate::units::{Id, Moment, Span};
use crate::work::advice::inspections::{format_inspection, story_inspections};
use crate::work::panel::act::PanelAct;
use crate::work::panel::inspection::{Crack, Inspection};
use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use std::cell::Cell;
use std::path::Path;
use std::rc::Rc;
use std::time::{Duration, SystemTime};

/// Panels finished at ten, a panel on the rack, and as many days gone by.
fn finished(root: &Path, labels: &[&str], days: f64) -> Rc<Cell<Moment>> {
    let now = at_ten();
    record_open(root, "Siskin", "gypsum-zinc", &now);
    for label in labels {
        finish(root, label, &now);
    }
    now.set(now.get().earlier_by(-Span::from_h(days * 24.0)));
    now
}

fn finish(root: &Path, label: &str, now: &Rc<Cell<Moment>>) {
    record_open(root, label, "gypsum-zinc", now);
    leave_out_all(root, &Id::new(&label.to_lowercase()).unwrap(), now);
}

fn leave_out_all(root: &Path, id: &Id, now: &Rc<Cell<Moment>>) {
    let mut bench = Bench::new(Shelf::open(root));
    while bench.load(id).unwrap().story.unwrap().panel().stage_at_hand().is_some() {
        record(root, id.as_str(), PanelAct::Skip("not for this".to_owned()), now);
    }
}

fn window(root: &Path, labels: &[&str], days: f64) -> Window {
    let now = finished(root, labels, days);
    Window::open(root, &now, None)
}

/// A window over a finished witness, whose board is still on the rack.
fn witness_window(root: &Path, days: f64) -> Window {
    let now = at_ten();
    let opening = PanelOpening { witness: true, ..opening("Wren", "gypsum-zinc") };
    Bench::new(Shelf::open(root)).open_panels(&opening, &|| now.get()).unwrap();
    leave_out_all(root, &Id::new("wren-witness").unwrap(), &now);
    now.set(now.get().earlier_by(-Span::from_h(days * 24.0)));
    Window::open(root, &now, None)
}

/// The looks on disk, in words.
fn seen(root: &Path, id: &str) -> Vec<String> {
    let told_of = Bench::new(Shelf::open(root)).load(&Id::new(id).unwrap()).unwrap();
    let story = told_of.story.unwrap();
    story_inspections(&story)
        .iter()
        .map(|(_, seen)| format_inspection(seen, crate::text::UnitSystem::Metric).replacen("inspected: ", "", 1))
        .collect()
}

fn look(root: &Path, id: &str, crack: &str, now: &Rc<Cell<Moment>>) {
    let cracks = vec![Crack::parse(crack).unwrap()];
    record(root, id, PanelAct::Inspect(Box::new(Inspection { cracks, ..Inspection::default() })), now);
}

fn ctrl_s(w: &mut Window) {
    w.pass(Span::from_ms(1500));
    w.key(KeyEvent::new(KeyCode::Char('s'), KeyModifiers::CONTROL));
}

#[test]
fn a_photograph_that_is_not_there_is_told_and_nothing_is_recorded() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = window(dir.path(), &["Wren"], 7.0);
    w.press("l Tab Tab Tab Tab Tab Tab q R . j");
    ctrl_s(&mut w);
    assert_eq!(seen(dir.path(), "wren"), Vec::<String>::new());
    assert!(w.shows("qR.j"), "{}", w.screen(120, 40));
}

#[test]
fn each_key_answers_its_question_and_one_key_records() {
    // Keys, and the look they come to; empty where nothing was answered.
    let check_on = |panel: &str, keys: &str, says: &str| {
        let dir = tempfile::tempdir().unwrap();
        let mut w = match panel {
            "wren" => window(dir.path(), &["Wren"], 7.0),
            _ => witness_window(dir.path(), 7.0),
        };
        w.press("l");
        w.press(keys);
        assert_eq!(
            seen(dir.path(), panel),
            Vec::<String>::new(),
            "{keys}: nothing is recorded before the key that does"
        );
        ctrl_s(&mut w);
        let says: Vec<&str> = Some(says).filter(|s| !s.is_empty()).into_iter().collect();
        assert_eq!(seen(dir.path(), panel), says, "{keys}\n{}", w.screen(120, 40));
        assert_eq!(w.shows("recorded"), !says.is_empty(), "{keys}\n{}", w.screen(120, 40));
    };
    let check = |keys: &str, says: &str| check_on("wren", keys, says);
    let try_out = |keys: &str, says: &str| check_on("wren-witness", keys, says);
    let edge = "crack at an edge, along the grain, grade 2 of 4";
    check("0", "no crack");
    check("2 e a", edge);
    check("a 2 e", edge);
    check("0 2 e a", edge);
    check("3 e a 2 e a", edge);
    check("2 e a 1 f x", &format!("{edge}; crack in the field, across the grain, grade 1 of 4"));
    check("1 f x 2 e a", &format!("{edge}; crack in the field, across the grain, grade 1 of 4"));
    check("0 j a", "no crack over a joint, along the grain");
    check("j 0 a", "no crack over a joint, along the grain");
    check("2 e a 3 f Backspace", edge);
    check("2 e a Backspace", "");
    check("0 Delete", "");
    check("5 9 z", "");
    check("Tab 1 2", "12 pinholes");
    check("Tab e - 0", "0 pinholes");
    check("Right Right 0 . 5", "lifting by 0.5 mm");
    check("Tab Tab 0 , 5", "lifting by 0.5 mm");
    check("Tab Tab Tab 2 / 4 0 0", "bow 2 mm over 400 mm (0.5 % of the span, radius 10 m)");
    check("Tab Tab Tab 2 s s", "bow 2 mm over 400 mm (0.5 % of the span, radius 10 m)");
    check("Tab Tab Tab - 2 s", "bow -2 mm over 400 mm (-0.5 % of the span, radius 10 m)");
    check("Tab Tab Tab 0 s", "bow 0 mm over 400 mm (0 % of the span, flat)");
    try_out("Tab Tab Tab Tab 1 2", "scraped for 12 min");
    try_out("Tab Tab Tab Tab Tab 4 0 / 4 5 . 5 / 3 8", "drops dull after 40, 45.5 and 38 s");
    try_out("Tab Tab Tab Tab Tab Tab 0", "rub 0 of 3");
    try_out("Tab Tab Tab Tab Tab Tab Tab 4 2", "damp rub 2 of 3");
    try_out("Tab Tab Tab Tab Tab Tab Tab Tab 1 / 5 / 2", "powder on tape 1, 5 and 2 of 5");
    try_out("Tab Tab Tab Tab Tab Tab Tab Tab Tab 4 3", "nail 3 of 3");
    try_out("Tab Tab Tab Tab Tab Tab Tab Tab Tab Tab h b / f / 2 h z", "pencil HB, F and 2H");
    try_out("Tab Tab Tab Tab Tab Tab Tab Tab Tab Tab h b / f Backspace Backspace", "pencil HB");
    try_out("Tab Tab Tab Tab Tab Tab Tab Tab Tab Tab Tab 5", "tape off a cross 5 of 5");
    try_out("Tab Tab Tab Tab Tab Tab Tab Tab Tab Tab Tab Tab 5 , 5", "first crack bent by 5.5 mm");
    try_out("Tab Tab Tab Tab Tab Tab Tab Tab Tab Tab Tab Tab Tab 3", "after 3 cycles of damp and dry air");
    try_out("Tab Tab Tab Tab Tab Tab Tab Tab Tab Tab h b Delete", "");
    check("Tab Tab Tab Tab 0", "no mould");
    try_out("Tab Tab Tab Tab Tab Tab Tab Tab Tab Tab Tab Tab Tab Tab 1", "mould");
    // Of a panel meant to be painted, the small tests are passed over.
    check("Tab Tab Tab Tab 1", "mould");
    check("Tab Tab Tab Tab 1 Delete", "");
    check("Tab Tab Tab Tab Tab s", "sound");
    check("Tab Tab Tab Tab Tab y 1 0", "");
    check("Tab Tab Tab Tab Tab Tab Tab q u i t Left Left Backspace Home R", "note: Rqit");
    check("Tab Tab Tab Tab Tab Tab Tab Space Space", "");
}

#[test]
fn one_question_goes_over_all_boards_and_then_the_next_is_asked() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = window(dir.path(), &["Wren", "Robin"], 7.0);
    w.press("l 0 Enter 1 e x Enter 3 Space Space 0 Up BackTab Down");
    w.press("R");
    assert_eq!(seen(dir.path(), "robin"), ["no crack; 3 pinholes; lifting by 0 mm"]);
    let screen = w.screen(160, 48);
    let row = |l: &&str| l.contains("Robin") && l.contains(" 3 ") && l.contains("recorded");
    assert!(screen.lines().any(|l| row(&l)), "what was recorded stays in sight\n{screen}");
    assert_eq!(
        seen(dir.path(), "wren"),
        ["crack at an edge, across the grain, grade 1 of 4"],
        "what was skipped is not told"
    );
}

#[test]
fn no_key_records_by_accident() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = window(dir.path(), &["Wren", "Robin"], 7.0);
    w.press("l R R");
    assert!(w.shows("nothing was answered yet"), "{}", w.screen(120, 40));
    w.press("0");
    for key in
        "Space Enter PageDown PageUp Up Down Left Right Home End Tab BackTab u d r k g G p h w y t ? + c v b n m , . z"
            .split(' ')
    {
        w.press(key);
        w.tap(key);
        w.repeat(key);
    }
    w.paste("R\r\nR");
    assert!(matches!(w.view.overlay, Overlay::Sitting(_)));
    assert!(seen(dir.path(), "wren").is_empty() && seen(dir.path(), "robin").is_empty(), "{}", w.screen(120, 40));
    assert_eq!(w.facts("siskin"), ["opened"]);
}

#[test]
fn a_resting_finger_records_one_look() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = window(dir.path(), &["Wren"], 7.0);
    w.press("l 0 R");
    w.tap("R");
    w.repeat("R");
    assert_eq!(seen(dir.path(), "wren").len(), 1);
    assert!(!w.shows("nothing was answered"), "it was one press\n{}", w.screen(120, 40));
}

#[test]
fn what_cannot_be_true_is_told_on_its_board_and_the_answers_stay() {
    // Keys for Robin, whose name comes first, then what is said of it.
    let check = |keys: &str, said: &str| {
        let dir = tempfile::tempdir().unwrap();
        let mut w = window(dir.path(), &["Wren", "Robin"], 7.0);
        w.press("l Down Tab 3 BackTab Up");
        w.press(keys);
        w.press("R");
        assert_eq!(seen(dir.path(), "wren"), ["3 pinholes"], "{keys}: the others are recorded");
        assert!(seen(dir.path(), "robin").is_empty(), "{keys}");
        let screen = w.screen(160, 48);
        assert!(screen.contains("NOT recorded") && screen.contains(said), "{keys}\n{screen}");
        w.press("Esc");
        assert!(w.shows("the answers for 1 panel are not recorded"), "{keys}\n{}", w.screen(160, 48));
    };
    check("2 e", "a crack is not told whole: edge 2 along or across?");
    check("x", "edge, field or joint? grade? across");
    check("Tab Tab Tab 2", "a bow is a rise over a span");
    check("Tab Tab Tab 2 / 3", "at most half of it");
    check("Tab Tab 1 . . 2", "lifting: 1..2 is no number");
    check("Tab 9 9 9 9 9 9 9 9 9 9 9", "too large");
    check("1 f x Tab Tab Tab Tab Tab s", "is not sound");
    let dir = tempfile::tempdir().unwrap();
    let mut w = witness_window(dir.path(), 7.0);
    w.press("l Tab Tab Tab Tab Tab 4 0 / 3 R");
    let screen = w.screen(160, 48);
    assert!(screen.contains("NOT recorded") && screen.contains("three times in seconds: 40/45/38"), "{screen}");
}

#[test]
fn a_full_disk_leaves_the_answers_and_the_key_can_be_pressed_again() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = window(dir.path(), &["Wren", "Robin"], 7.0);
    w.press("l 0 Down 2 e a");
    w.disk.full(true);
    w.press("R");
    let screen = w.screen(160, 48);
    assert_eq!(screen.matches("NOT recorded").count(), 2, "{screen}");
    assert!(seen(dir.path(), "wren").is_empty() && screen.contains("edge 2 along"), "{screen}");
    w.disk.full(false);
    w.press("R");
    assert_eq!((seen(dir.path(), "robin").len(), seen(dir.path(), "wren").len()), (1, 1));
    assert!(!w.shows("NOT recorded"), "{}", w.screen(160, 48));
}

#[test]
fn nothing_is_shown_as_recorded_before_it_is_on_disk() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = window(dir.path(), &["Wren"], 7.0);
    w.press("l 0");
    w.slow = true;
    w.press("R");
    assert!(w.shows("saving") && !w.shows("recorded"), "{}", w.screen(120, 40));
    w.press("2");
    assert!(w.shows("still being saved"), "{}", w.screen(120, 40));
    w.press("Esc");
    assert!(w.shows("the answers for 1 panel are not recorded"), "{}", w.screen(120, 40));
    w.press("R");
    w.catch_up();
    assert!(w.shows("recorded"), "{}", w.screen(120, 40));
    assert_eq!(seen(dir.path(), "wren"), ["no crack"]);
    w.slow = false;
    w.press("Esc");
    assert!(matches!(w.view.overlay, Overlay::None), "what is on disk is not asked about");
}

#[test]
fn whoever_has_left_is_told_on_the_bench_that_a_look_failed() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = window(dir.path(), &["Wren"], 7.0);
    w.press("l 0");
    w.slow = true;
    w.press("R Esc Esc");
    assert!(matches!(w.view.overlay, Overlay::None));
    w.disk.full(true);
    w.catch_up();
    assert!(
        w.view.status_message.as_ref().is_some_and(|s| s.urgent && s.text.starts_with("wren: not recorded")),
        "{:?}",
        w.view.status_message
    );
}

#[test]
fn leaving_with_answers_asks_once() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = window(dir.path(), &["Wren"], 7.0);
    w.press("l Esc");
    assert!(matches!(w.view.overlay, Overlay::None), "nothing was answered");
    w.press("l 0 Esc");
    assert!(
        matches!(w.view.overlay, Overlay::Sitting(_)) && w.shows("Esc again forgets them"),
        "{}",
        w.screen(120, 40)
    );
    w.press("Down Esc");
    assert!(matches!(w.view.overlay, Overlay::Sitting(_)), "another key in between, and it asks anew");
    w.press("Esc");
    assert!(matches!(w.view.overlay, Overlay::None));
    assert!(w.asked.iter().all(|r| !matches!(r, Effect::Quit)) && seen(dir.path(), "wren").is_empty());
}

#[test]
fn a_look_is_taken_back_and_its_answers_are_there_again() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = window(dir.path(), &["Wren"], 7.0);
    w.press("l u");
    assert!(w.shows("nothing of this panel was recorded in this sitting"), "{}", w.screen(120, 40));
    w.press("2 e a R u");
    assert!(seen(dir.path(), "wren").is_empty());
    assert!(w.shows("edge 2 along") && !w.shows(" recorded"), "{}", w.screen(120, 40));
    w.press("R");
    assert_eq!(seen(dir.path(), "wren").len(), 1);
    look(dir.path(), "wren", "field:1:along", &w.now);
    w.press("u");
    assert_eq!(seen(dir.path(), "wren").len(), 2, "another fact stands since");
}

#[test]
fn the_due_come_first_and_can_be_had_alone() {
    let dir = tempfile::tempdir().unwrap();
    let now = finished(dir.path(), &["Wren", "Robin", "Dunnock"], 2.0);
    look(dir.path(), "dunnock", "edge:0:along", &now);
    finish(dir.path(), "Blackbird", &now);
    now.set(now.get().earlier_by(-Span::from_h(2.0)));
    let mut w = Window::open(dir.path(), &now, None);
    w.press("l");
    let order = |w: &Window| {
        let screen = w.screen(120, 40);
        let mut found: Vec<_> = ["Wren", "Robin", "Dunnock", "Blackbird"]
            .into_iter()
            .filter_map(|label| Some((screen.find(label)?, label)))
            .collect();
        found.sort();
        found.into_iter().map(|(_, label)| label).collect::<Vec<_>>()
    };
    assert_eq!(order(&w), ["Robin", "Wren", "Blackbird", "Dunnock"]);
    assert!(w.shows("2 due, 4 finished panels"), "{}", w.screen(120, 40));
    w.press("d");
    assert_eq!(order(&w), ["Robin", "Wren"]);
    w.press("d");
    assert_eq!(order(&w).len(), 4);
    let siskins = w.screen(120, 40).matches("Siskin").count();
    assert_eq!(siskins, 1, "what is not finished is not looked over; only the line below says when it is due");
}

#[test]
fn a_finished_panel_does_not_join_the_bench() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = window(dir.path(), &["Wren"], 7.0);
    w.press("l 0 R Esc");
    look(dir.path(), "wren", "edge:1:along", &w.now);
    w.read_on();
    assert_eq!(w.view.snapshots().len(), 1, "not when somebody else writes to it either");
    assert!(!w.shows("Wren  finished"), "{}", w.screen(160, 48));
    // One that was brought there is told of.
    let mut w = Window::of(dir.path(), &["siskin", "wren"], &w.now);
    w.press("l 1 e a R Esc Tab t");
    assert!(w.shows("grade 1 of 4"), "{}", w.screen(160, 48));
}

#[test]
fn the_look_before_the_growth_and_what_a_bow_comes_to_stand_beside_the_answer() {
    let dir = tempfile::tempdir().unwrap();
    let now = finished(dir.path(), &["Wren"], 3.0);
    look(dir.path(), "wren", "edge:1:along", &now);
    now.set(now.get().earlier_by(-Span::from_h(25.0 * 24.0)));
    let mut w = Window::open(dir.path(), &now, None);
    w.press("l");
    assert!(
        w.shows("day 28 due") && w.shows("day 3: edge 1 along") && w.shows("not looked at"),
        "{}",
        w.screen(120, 40)
    );
    assert!(!w.shows("growing"));
    w.press("2 e a");
    assert!(w.shows("crack at an edge, along the grain, growing: day 3 1, now 2"), "{}", w.screen(120, 40));
    w.press("Tab Tab Tab 2");
    assert!(!w.shows("radius"), "{}", w.screen(120, 40));
    w.press("s");
    assert!(w.shows("2/400 mm, 0.5 %, radius 10 m"), "{}", w.screen(120, 40));
    insta::assert_snapshot!(w.screen(80, 24));
}

#[test]
fn an_empty_shelf_and_every_size_of_window_are_borne() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = Window::over(dir.path(), &["Wren"]);
    w.press("l 2 e Tab R u d Enter");
    assert!(w.shows("no panel is finished yet"), "{}", w.screen(120, 40));
    let dir = tempfile::tempdir().unwrap();
    let mut w = window(dir.path(), &["Wren", "Robin"], 7.0);
    w.press("l 2 e a");
    for _ in 0..11 {
        for (width, height) in [(1, 1), (2, 3), (7, 2), (20, 5), (40, 12), (49, 30), (80, 11), (80, 24), (200, 60)] {
            w.screen(width, height);
        }
        assert!(w.screen(20, 5).contains("Robin"), "{}", w.screen(20, 5));
        w.press("Tab");
    }
    w.types("鷦鷯 \u{202e} a long note that goes on and on and on and on and on and on");
    w.screen(20, 5);
    w.screen(80, 24);
}

/// What the thread beside the screen reads.
fn reads(w: &mut Window, root: &Path) {
    let mut read = InspectionReminders::default();
    read.refresh(&Shelf::open(root), w.now.get());
    w.view.studio.reminders = read;
}

#[test]
fn the_bench_says_which_looks_are_due_until_they_are_recorded() {
    let dir = tempfile::tempdir().unwrap();
    let mut w = window(dir.path(), &["Wren", "Robin"], 0.9);
    assert!(!w.shows("nspection"), "nothing is said before anything was read");
    reads(&mut w, dir.path());
    assert!(!w.shows("nspection"), "{}", w.screen(160, 48));
    w.pass(Span::from_h(3.0));
    assert!(w.shows("Inspection due: Robin (day 1)"), "{}", w.screen(160, 48));
    assert!(w.screen(120, 40).contains("Inspection due: Robin (day 1), 1 more: key l"), "{}", w.screen(120, 40));
    assert!(w.screen(70, 24).contains("2 inspections due: key l"), "{}", w.screen(70, 24));
    assert_eq!((w.sounds(), w.tellings()), (0, 0), "it is silent");
    w.press("l 0 R Esc");
    assert!(w.screen(120, 40).contains("Inspection due: Wren (day 1): key l"), "{}", w.screen(120, 40));
    w.press("l 0 Down 0 R Esc");
    assert!(!w.shows("nspection due"), "{}", w.screen(160, 48));
}

#[test]
fn reminders_are_read_lightly() {
    let dir = tempfile::tempdir().unwrap();
    let now = finished(dir.path(), &["Wren", "Robin"], 3.0);
    let shelf = Shelf::open(dir.path());
    let file = |id: &str| shelf.story_path(Drawer::Panels, &Id::new(id).unwrap());
    let due = |looks: &InspectionReminders| {
        looks.due_panels(now.get().wall).iter().map(|(label, _)| (*label).to_owned()).collect::<Vec<_>>()
    };
    let mut looks = InspectionReminders::default();
    looks.refresh(&shelf, now.get());
    assert_eq!(due(&looks), ["Robin", "Wren"]);
    // As long as before: not opened again, whatever stands in it now.
    let bytes = std::fs::read(file("wren")).unwrap();
    std::fs::write(file("wren"), vec![b'x'; bytes.len()]).unwrap();
    looks.refresh(&shelf, now.get());
    assert_eq!(due(&looks), ["Robin", "Wren"]);
    std::fs::write(file("wren"), &bytes).unwrap();
    look(dir.path(), "wren", "edge:0:along", &now);
    looks.refresh(&shelf, now.get());
    assert_eq!(due(&looks), ["Robin"]);
    // A file that rested for longer than anybody is reminded is not opened at all.
    let long_ago =
        SystemTime::UNIX_EPOCH + Duration::from_millis(now.get().wall.ms() as u64) - Duration::from_secs(456 * 86_400);
    std::fs::File::options().write(true).open(file("robin")).unwrap().set_modified(long_ago).unwrap();
    let mut anew = InspectionReminders::default();
    anew.refresh(&shelf, now.get());
    assert_eq!(due(&anew), Vec::<String>::new());
}

#[test]
fn the_last_look_is_reminded_of_for_a_while_and_no_longer() {
    let check = |days: f64, says: &[(&str, u32)]| {
        let dir = tempfile::tempdir().unwrap();
        let now = finished(dir.path(), &["Wren"], days);
        let mut looks = InspectionReminders::default();
        // The file is as young as this test.
        looks.refresh(&Shelf::open(dir.path()), at_ten().get());
        assert_eq!(looks.due_panels(now.get().wall), says, "{days}");
    };
    check(0.5, &[]);
    check(1.0, &[("Wren", 1)]);
    check(100.0, &[("Wren", 90)]);
    check(454.0, &[("Wren", 365)]);
    check(456.0, &[]);
}

#[test]
fn on_an_empty_bench_the_form_leads_to_the_looks_that_are_due() {
    let dir = tempfile::tempdir().unwrap();
    let now = at_ten();
    finish(dir.path(), "Wren", &now);
    now.set(now.get().earlier_by(-Span::from_h(24.0)));
    let mut w = Window::open(dir.path(), &now, None);
    assert!(w.shows("A panel for the bench") && !w.shows("F2"), "{}", w.screen(80, 24));
    reads(&mut w, dir.path());
    assert!(w.screen(80, 24).contains("F2 1 to inspect"), "{}", w.screen(80, 24));
    let mut terminal = |code| w.key(KeyEvent::new(code, KeyModifiers::NONE));
    terminal(KeyCode::F(2));
    assert!(w.shows("1 due, 1 finished panel"), "{}", w.screen(80, 24));
    w.press("0 R Esc");
    assert_eq!(seen(dir.path(), "wren"), ["no crack"]);
    assert!(w.shows("A panel for the bench") && !w.shows("F2"), "{}", w.screen(80, 24));
}
