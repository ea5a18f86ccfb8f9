//! The bench in a real terminal: keys go in, the screen is read, the process is ended in every way there is.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod common;

use common::screen::Screen;
use common::{Shop, has};
use portable_pty::CommandBuilder;
use rustix::process::Signal;
use std::time::Instant;

/// What a terminal is sent when the program gives it back: the normal screen, and the cursor shown.
const NORMAL_SCREEN: &str = "\x1b[?1049l";
const CURSOR: &str = "\x1b[?25h";
const FULL_SCREEN: &str = "\x1b[?1049h";

/// A panel ready for its stipple, with nothing that rings: opened, prepared and sized hours ago, the cure ended by a word.
fn sized(shop: &Shop) -> String {
    let id = shop.short_panel("Wren", "-5h");
    for at in ["-5h", "-4h"] {
        shop.done(&["mark", &id, "done", "--at", at]);
    }
    shop.done(&["mark", &id, "skip", "--why", "warm room", "--at", "-3h55m"]);
    id
}

/// Where a panel stands, in three words.
fn stands(shop: &Shop, id: &str) -> String {
    let story = shop.show(id);
    let of = |stage: &str, field: &str| story[stage][field].to_string().replace('"', "");
    format!("{} {} {}", story["phase"].as_str().unwrap(), of("stage", "kind"), of("stage", "number"))
}

/// Waits until a panel stands so on disk; the screen may be waited for first.
fn stands_so(shop: &Shop, id: &str, expected: &str) {
    assert_eq!(stands(shop, id), expected);
}

/// The terminal was taken once more than it was given back, or as often.
fn given_back(screen: &Screen, what: &str) {
    let raw = screen.raw();
    let after =
        raw.rfind(FULL_SCREEN).map(|at| &raw[at..]).unwrap_or_else(|| panic!("{what}: never full screen: {raw:?}"));
    assert!(after.contains(NORMAL_SCREEN) && after.contains(CURSOR), "{what}: not given back: {after:?}");
    let pasted = after.rfind("\x1b[?2004l");
    assert!(pasted.is_some(), "{what}: pasting stays bracketed: {after:?}");
}

#[test]
fn enter_alone_opens_a_first_panel() {
    let shop = Shop::new();
    let mut screen = Screen::bench(&shop);
    screen.shows("A panel for the bench").shows("Wren").keys("\r");
    screen.lacks("A panel for the bench").shows("Pencil the name").shows("then glue size 1 of 2 on the front");
    assert_eq!(shop.show("wren")["recipe"], "gypsum-titanium");
    assert_eq!(screen.leave(), 0);
    shop.sound();
}

#[test]
fn the_form_says_what_is_wrong_and_keeps_what_was_typed() {
    let shop = Shop::new();
    let mut screen = Screen::bench(&shop);
    screen.shows("A panel for the bench").keys("\t");
    for _ in 0.."300x400x12mm".len() {
        screen.keys("\x7f");
    }
    screen.keys("300x400").shows("300x400").keys("\r").shows("unit is missing").shows("300x400");
    assert!(!shop.data().join("panels").exists(), "nothing was opened");
    screen.keys("mm").lacks("unit is missing");
    // Zinc white under oil, chosen: the caution comes once, with another recipe to be had instead.
    for _ in 0..3 {
        screen.keys("\t");
    }
    screen.keys("\x1b[C").shows("< gypsum-zinc >").press("\r").shows("Enter keep it").keys("t");
    screen.shows("gypsum-titanium").shows("then glue size 1");
    assert_eq!(shop.show("wren")["recipe"], "gypsum-titanium");
}

#[test]
fn a_panel_goes_from_new_to_finished_by_keys() {
    let shop = Shop::new();
    let recipe = shop.short_recipe();
    shop.done(&["new", "Wren", "--size", "300x400x12mm", "--recipe", recipe.to_str().unwrap()]);
    let mut screen = Screen::bench(&shop);
    screen.shows("Pencil the name").keys(" ").shows("board prepared");
    // Begun and done are two keys, so the second is heard at once.
    screen.keys("s").shows("since ").keys(" ").shows("then stipple 1");
    // The cure is ended by a word.
    screen.keys("k").shows("Left out, because").keys("warm room\r").lacks("Left out").lacks("until ");
    screen.keys("s").shows("since ").keys(" ").shows("gone dull");
    // A coat laid in the wait is early: asked once more. Gone dull, it no longer is.
    screen.press(" ").shows("press again").press(" ").shows("coat 1 laid");
    screen.keys("d").lacks("d gone dull").press(" ").shows("coat 2 laid");
    screen.press(" ").shows("press again").press(" ").shows("scraped");
    screen.keys("s").shows("since ").keys(" ").shows("polished");
    // At the check, Space never means clear: it opens the map, and there Space darkens an area.
    screen.press(" ").shows("map");
    stands_so(&shop, "wren", "ready check 1");
    screen.keys("w").lacks("map").shows("next seal");
    screen.keys("k").shows("Left out, because").keys("dry enough\r").lacks("Left out");
    screen.press(" ").shows("seal laid");
    screen.press(" ").shows("press again").press(" ").shows("e one more");
    stands_so(&shop, "wren", "finished null null");
    assert_eq!(screen.leave(), 0);
    shop.sound();
}

#[test]
fn a_resting_finger_records_once() {
    let shop = Shop::new();
    let id = sized(&shop);
    let mut screen = Screen::bench(&shop);
    screen.shows("then coat 1").keys(" ").keys("  ").keys(" ").shows("gone dull").keys(" ");
    // A key of another kind is heard at once, and shows that all before it were taken.
    screen.keys("w").shows("A note").keys("one tap\r").lacks("A note");
    assert_eq!(shop.facts(&id), ["opened", "done", "done", "skipped", "done", "noted"]);
    // The finger rested through the question too.
    assert!(!screen.text().contains("press again"), "{}", screen.text());
}

#[test]
fn early_is_asked_once_more_and_taken_then() {
    let shop = Shop::new();
    let id = sized(&shop);
    let mut screen = Screen::bench(&shop);
    screen.shows("then coat 1").keys(" ").shows("gone dull").press(" ").shows("1 min early").shows("press again");
    assert_eq!(stands(&shop, &id), "waiting stipple 1");
    // Another key is no yes.
    screen.keys("f").lacks("press again").keys("f").press(" ").shows("press again").press(" ").shows("coat 1 laid");
    assert_eq!(stands(&shop, &id), "waiting coat 1");
    let story = shop.show(&id);
    assert!(story["facts"][5]["early_min"].as_f64().unwrap() > 0.5, "{story:#}");
}

#[test]
fn what_fell_due_rings_once_and_the_first_key_only_quiets_it() {
    let shop = Shop::new();
    let id = shop.short_panel("Wren", "-5h");
    for at in ["-5h", "-4h"] {
        shop.done(&["mark", &id, "done", "--at", at]);
    }
    let mut screen = Screen::bench(&shop);
    screen.shows("then coat 1").sent("\x07", 1).keys(" ").shows("quiet now");
    assert_eq!(stands(&shop, &id), "ready stipple 1");
    screen.press(" ").shows("just now");
    assert_eq!(stands(&shop, &id), "waiting stipple 1");
    screen.keys("u").shows("taken back").kill();
    let raised = |shop: &Shop| shop.facts(&id).iter().filter(|f| *f == "alert").count();
    assert_eq!(raised(&shop), 1);
    // Opened again it does not ring: the first key records.
    let mut screen = Screen::bench(&shop);
    screen.shows("then coat 1").keys(" ").shows("just now");
    assert!(!screen.raw().contains('\x07'), "{:?}", screen.raw());
    assert_eq!(raised(&shop), 1);
}

#[test]
fn undo_names_what_it_takes_back() {
    let shop = Shop::new();
    let id = sized(&shop);
    let mut screen = Screen::bench(&shop);
    screen.shows("then coat 1").keys(" ").shows("gone dull").keys("u").shows("taken back").shows("then coat 1");
    assert_eq!(stands(&shop, &id), "ready stipple 1");
    assert_eq!(shop.facts(&id), ["opened", "done", "done", "skipped", "undone"]);
}

#[test]
fn straight_after_a_press_the_arrows_step_its_time() {
    let shop = Shop::new();
    let id = sized(&shop);
    let mut screen = Screen::bench(&shop);
    screen.shows("then coat 1").keys(" ").shows("just now").keys("\x1b[D").keys("\x1b[D").shows("2 min earlier");
    // Any other key settles it.
    screen.keys("x").lacks("2 min earlier").shows("was due");
    let story = shop.show(&id);
    let fact =
        story["facts"].as_array().unwrap().iter().find(|f| f["fact"] == "done" && f["stage"]["kind"] == "stipple");
    let at = |field: &str| chrono::DateTime::parse_from_rfc3339(fact.unwrap()[field].as_str().unwrap()).unwrap();
    let late = (at("written_at") - at("at")).num_seconds();
    assert!((119..=140).contains(&late), "{late} s: {story:#}");
}

#[test]
fn killed_on_the_way_it_stands_where_it_stood() {
    let shop = Shop::new();
    let id = sized(&shop);
    let mut screen = Screen::bench(&shop);
    screen.shows("then coat 1").keys("s").shows("since ");
    screen.kill();
    stands_so(&shop, &id, "working stipple 1");
    let mut screen = Screen::bench(&shop);
    screen.shows("since ").keys(" ").shows("gone dull").shows("just now");
    let due = shop.show(&id)["due_at"].clone();
    screen.kill();
    stands_so(&shop, &id, "waiting stipple 1");
    assert_eq!(shop.show(&id)["due_at"], due, "the deadline stays");
    let mut screen = Screen::bench(&shop);
    screen.shows("gone dull").shows("until ");
    shop.sound();
}

#[test]
fn without_a_terminal_it_says_so() {
    let shop = Shop::new();
    for args in [&[][..], &["bench"], &["wren"]] {
        let ran = shop.run(args);
        assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""), "{args:?}");
        assert!(ran.sentence().contains("terminal") && ran.sentence().contains("sottile panels"), "{}", ran.err);
    }
    assert!(!shop.data().exists());
}

#[test]
fn a_terminal_that_shows_no_full_screen_is_told_so() {
    let shop = Shop::new();
    for term in [Some("dumb"), Some(""), None] {
        let mut command = CommandBuilder::new(common::program());
        command.env_clear();
        for (name, value) in shop.surroundings() {
            command.env(name, value);
        }
        if let Some(term) = term {
            command.env("TERM", term);
        }
        command.cwd(shop.dir());
        let mut screen = Screen::started(command, (80, 24));
        assert_eq!(screen.end(), 2, "{term:?}");
        let raw = screen.raw();
        assert!(raw.contains("TERM") && raw.contains("sottile panels"), "{term:?}: {raw:?}");
        assert!(!raw.contains('\x1b'), "{term:?} is sent no sequences: {raw:?}");
    }
}

#[test]
fn a_small_window_shows_the_act_and_the_time() {
    let shop = Shop::new();
    let id = sized(&shop);
    let mut screen = Screen::with(&shop, (20, 5), &[]);
    screen.wait("the stipple", |text| text.contains("TAP IN")).keys(" ");
    screen.shows("Lay coat 1 of 2").shows("horizontal").wait("a countdown", |text| text.contains('█'));
    assert_eq!(stands(&shop, &id), "waiting stipple 1");
    assert_eq!(screen.leave(), 0);
}

#[test]
fn windows_of_every_size_are_survived() {
    let shop = Shop::new();
    let id = sized(&shop);
    let mut screen = Screen::bench(&shop);
    screen.shows("then coat 1").keys(" ").shows("gone dull");
    let sizes =
        [(1, 1), (2, 3), (3, 200), (400, 2), (20, 5), (500, 150), (0, 0), (79, 23), (200, 60), (7, 7), (80, 24)];
    let storm = |screen: &mut Screen, shows: &str| {
        screen.shows(shows);
        for (cols, rows) in sizes {
            screen.resize(cols, rows);
        }
        screen.shows(shows);
    };
    storm(&mut screen, "gone dull");
    for (key, shows) in [("?", "RECORDING"), ("t", "board prepared"), ("w", "A note"), ("+", "A panel for the bench")] {
        screen.keys(key);
        storm(&mut screen, shows);
        screen.keys("\x1b").shows("gone dull").shows("q leave");
    }
    assert_eq!(stands(&shop, &id), "waiting stipple 1");
    assert_eq!(screen.leave(), 0);
    given_back(&screen, "after a storm");
}

#[test]
fn what_lay_over_the_bench_leaves_nothing_behind() {
    let shop = Shop::new();
    let id = sized(&shop);
    shop.done(&["mark", &id, "done"]);
    let mut screen = Screen::bench(&shop);
    screen.shows("gone dull").shows("q leave");
    for (key, shows) in [("?", "RECORDING"), ("t", "board prepared"), ("P", "Esc bench")] {
        screen.keys(key).shows(shows).keys("\x1b").lacks(shows).shows("gone dull");
    }
    assert_eq!(screen.leave(), 0);
}

#[test]
fn signals_give_the_terminal_back() {
    let ways = [(Signal::TERM, 143), (Signal::HUP, 129), (Signal::INT, 130), (Signal::QUIT, 131)];
    for (signal, code) in ways {
        let shop = Shop::new();
        let id = sized(&shop);
        let mut screen = Screen::bench(&shop);
        screen.shows("then coat 1").keys(" ").shows("gone dull");
        screen.signal(signal);
        assert_eq!(screen.end(), code, "{signal:?}");
        given_back(&screen, &format!("{signal:?}"));
        stands_so(&shop, &id, "waiting stipple 1");
    }
}

#[test]
fn a_window_that_closes_ends_the_program() {
    let shop = Shop::new();
    let id = sized(&shop);
    let mut screen = Screen::bench(&shop);
    screen.shows("then coat 1").keys(" ").shows("gone dull");
    screen.close();
    screen.end();
    stands_so(&shop, &id, "waiting stipple 1");
}

#[test]
fn ctrl_z_gives_the_terminal_to_the_shell_and_fg_takes_it_again() {
    if !has("bash", "Ctrl-Z and fg") {
        return;
    }
    let shop = Shop::new();
    let id = sized(&shop);
    let mut bash = CommandBuilder::new("bash");
    bash.args(["--norc", "--noprofile", "-i"]);
    let mut screen = Screen::of(&shop, (80, 24), bash);
    let start = format!("PS1='ready> '; {}\r", common::program().display());
    screen.keys(&start).shows("then coat 1").keys("\x1a").shows("Stopped");
    given_back(&screen, "Ctrl-Z");
    screen.keys("fg\r").sent(FULL_SCREEN, 2).shows("then coat 1").keys(" ").shows("gone dull");
    stands_so(&shop, &id, "waiting stipple 1");
    screen.keys("q").shows("again to leave").press("q").shows("ready> ").keys("exit\r");
    screen.end();
    given_back(&screen, "the end");
}

#[test]
fn leaving_says_the_next_act_and_its_time() {
    let shop = Shop::new();
    let id = sized(&shop);
    shop.panel("Robin");
    shop.done(&["mark", &id, "done"]);
    let mut screen = Screen::bench(&shop);
    screen.shows("[Wre]");
    assert_eq!(screen.leave(), 0);
    given_back(&screen, "q");
    let raw = screen.raw();
    let after = &raw[raw.rfind(NORMAL_SCREEN).unwrap()..];
    let due = shop.show(&id)["due_at"].as_str().unwrap()[11..16].to_owned();
    assert!(after.contains(&format!("Wren: coat 1 of 2, horizontal at {due}")), "{after:?}");
    assert!(after.contains("Robin: preparing the board, now"), "{after:?}");
}

#[test]
fn ctrl_c_leaves_without_a_trace() {
    let shop = Shop::new();
    sized(&shop);
    let mut screen = Screen::bench(&shop);
    screen.shows("then coat 1").keys("\x03");
    assert_eq!(screen.end(), 0);
    given_back(&screen, "Ctrl-C");
}

#[test]
fn two_benches_and_a_script_mark_the_same_panel() {
    let shop = Shop::new();
    let id = sized(&shop);
    let mut one = Screen::bench(&shop);
    let mut other = Screen::bench(&shop);
    one.shows("then coat 1");
    other.shows("then coat 1");
    one.keys(" ").shows("gone dull");
    other.shows("another window:").shows("gone dull");
    shop.done(&["mark", &id, "note", "from a script"]);
    one.shows("another window: note");
    other.shows("another window: note");
    // What is taken back is the last fact, whoever recorded it.
    other.keys("u").shows("u again takes it back").press("u").shows("taken back: note");
    other.press("u").shows("u again takes it back").press("u").shows("taken back: first gesso");
    one.shows("then coat 1");
    shop.done(&["mark", &id, "done", "--at", "-3h"]);
    one.shows("was due");
    // Both ring; a key only quiets the window it is pressed in.
    other.shows("any key").keys("x").shows("quiet ").press(" ").shows("coat 1 laid");
    one.wait("coat 2", |text| text.contains("then the drying"));
    let facts = shop.show(&id)["facts"].as_array().unwrap().clone();
    let mut seqs: Vec<u64> = facts.iter().map(|f| f["seq"].as_u64().unwrap()).collect();
    seqs.sort_unstable();
    // The copy of the opening holds place 1, and is no fact.
    assert_eq!(seqs, std::iter::once(0).chain(2..=facts.len() as u64).collect::<Vec<_>>());
    stands_so(&shop, &id, "waiting coat 1");
    shop.sound();
}

#[test]
fn a_press_that_saw_an_older_stage_is_refused() {
    let shop = Shop::new();
    let id = sized(&shop);
    let mut windows = [Screen::bench(&shop), Screen::bench(&shop)];
    // While the lock is held neither can write, so both press before either knows of the other.
    let lock = std::fs::File::open(shop.data().join("lock")).unwrap();
    lock.lock().unwrap();
    for window in &mut windows {
        window.shows("then coat 1").keys(" ").shows("saving");
    }
    lock.unlock().unwrap();
    for window in &mut windows {
        window.lacks("saving").shows("then coat 2");
    }
    let is_told = |windows: &[Screen; 2]| windows.each_ref().map(|w| w.text().contains("by another window"));
    let until = Instant::now() + common::PATIENCE;
    while is_told(&windows) == [false, false] && Instant::now() < until {
        std::thread::yield_now();
    }
    let said = is_told(&windows);
    assert!(said == [true, false] || said == [false, true], "{said:?}: {} {}", windows[0].text(), windows[1].text());
    assert_eq!(shop.facts(&id), ["opened", "done", "done", "skipped", "done"]);
    shop.sound();
}

#[test]
fn a_bench_over_named_panels_shows_those() {
    let shop = Shop::new();
    for label in ["Wren", "Robin", "Jay"] {
        shop.panel(label);
    }
    let mut screen = Screen::with(&shop, (80, 24), &["robin", "jay"]);
    screen.shows("[Rob]").shows("Jay");
    assert_eq!(screen.leave(), 0);
    let raw = screen.raw();
    let after = &raw[raw.rfind(NORMAL_SCREEN).unwrap()..];
    assert!(after.contains("Robin: ") && after.contains("Jay: ") && !after.contains("Wren"), "{after:?}");
    assert_eq!(Screen::with(&shop, (80, 24), &["owl"]).end(), 1);
}

/// Finished a day and an hour ago, everything left out.
fn finished(shop: &Shop, label: &str) {
    let id = shop.short_panel(label, "-25h");
    while shop.show(&id)["phase"] != "finished" {
        shop.done(&["mark", &id, "skip", "--why", "not for this", "--at", "-25h"]);
    }
}

#[test]
fn a_look_that_is_due_comes_up_by_itself_and_a_sitting_records_it() {
    let shop = Shop::new();
    finished(&shop, "Wren");
    shop.short_panel("Robin", "-5h");
    let mut screen = Screen::bench(&shop);
    screen.shows("Inspection due: Wren (day 1): key l").press("l").shows("1 due, 1 finished panel");
    screen.press("0").shows("none").press("R").shows("recorded: no crack").press("\x1b").lacks("Inspection");
    assert!(shop.facts("wren").contains(&"inspected".to_owned()));
    assert_eq!(screen.leave(), 0);
    shop.sound();
    let mut screen = Screen::with(&shop, (80, 24), &["inspect"]);
    screen.shows("0 due, 1 finished panel").shows("day 1: none").press("q").shows("Robin").press("q");
    assert_eq!(screen.end(), 0);
}
