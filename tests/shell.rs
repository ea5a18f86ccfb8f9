//! What a shell relies on: where output goes and what is left of it, several panels at once, and that nothing of what a
//! file or a label holds acts on a terminal.

#![cfg(unix)]
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod common;

use common::screen::Screen;
use common::{Ran, Shop};
use rustix::process::Signal;
use std::fs;
use std::os::unix::fs::FileTypeExt;
use std::process::{Command, Stdio};

/// What acts on a terminal or hides in it, each with a word behind it.
const HOSTILE: [&str; 5] = ["\u{1b}]0;title", "\u{7}bell", "\u{9b}31m", "\u{202e}desrever", "\u{200b}zero"];

fn with_stdout(shop: &Shop, args: &[&str], to: fs::File) -> Ran {
    let running = shop.command(args).stdout(to).stderr(Stdio::piped()).spawn().unwrap();
    running.wait_with_output().unwrap().into()
}

fn pipe(shop: &Shop) -> String {
    let path = shop.dir().join("pipe");
    assert!(Command::new("mkfifo").arg(&path).status().unwrap().success());
    path.to_str().unwrap().to_owned()
}

#[test]
fn what_is_no_file_is_written_through_and_stays() {
    let shop = Shop::new();
    shop.panel("Wren");
    let fifo = pipe(&shop);
    for force in [&[][..], &["--force"]] {
        let from = fifo.clone();
        let read = std::thread::spawn(move || fs::read_to_string(from).unwrap());
        let ran = shop.run(&[&["export", "--as", "csv", "-o", &fifo], force].concat());
        if !fs::symlink_metadata(&fifo).unwrap().file_type().is_fifo() || ran.code != Some(0) {
            panic!("{force:?}: {ran:?}");
        }
        assert!(read.join().unwrap().contains("Wren"), "{force:?}");
    }
    assert_eq!(shop.run(&["card", "wren", "-o", "/dev/null"]).code, Some(0));
    assert!(shop.done(&["card", "wren", "-o", "/dev/stdout"]).starts_with("Wren"));
}

#[test]
fn a_link_is_followed_and_stays_a_link() {
    let shop = Shop::new();
    shop.panel("Wren");
    let (link, target) = (shop.dir().join("link.txt"), shop.dir().join("there.txt"));
    fs::write(&target, "before").unwrap();
    std::os::unix::fs::symlink(&target, &link).unwrap();
    let to = link.to_str().unwrap();
    assert_eq!(shop.run(&["card", "wren", "-o", to]).code, Some(1));
    shop.done(&["card", "wren", "-o", to, "--force"]);
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    assert!(fs::read_to_string(&target).unwrap().starts_with("Wren"));
    fs::remove_file(&target).unwrap();
    let ran = shop.run(&["card", "wren", "-o", to, "--force"]);
    assert!(ran.code == Some(1) && ran.sentence().contains("link"), "{ran:?}");
}

#[test]
fn recorded_and_not_told_is_recorded() {
    let shop = Shop::new();
    let id = shop.panel("Wren");
    let cases: [&[&str]; 5] = [
        &["mark", &id, "start"],
        &["mark", &id, "done", "--json"],
        &["new", "Robin", "--size", "300x400mm", "--recipe", "gypsum-titanium"],
        &["pot", "new", "gesso", "--kind", "gesso"],
        &["air", "20C", "50%"],
    ];
    for args in cases {
        let ran = with_stdout(&shop, args, fs::OpenOptions::new().write(true).open("/dev/full").unwrap());
        assert_eq!(ran.code, Some(0), "{args:?}: {ran:?}");
        assert!(ran.err.contains("recorded") && ran.err.contains("stdout"), "{args:?}: {ran:?}");
    }
    assert_eq!(shop.facts(&id), ["opened", "started", "done"]);
}

#[test]
fn nothing_acts_on_a_terminal() {
    for hostile in HOSTILE {
        let shop = Shop::new();
        let id = shop.panel(&format!("Wren{hostile}"));
        let recipe = shop.dir().join("own.toml");
        let text = fs::read_to_string(shop.short_recipe()).unwrap();
        fs::write(&recipe, format!("{text}\n# {hostile}\n")).unwrap();
        let (recipe, option) = (recipe.to_str().unwrap(), format!("--{hostile}"));
        let cases: [&[&str]; 18] = [
            &["show", hostile],
            &["show", &id],
            &["show", &id, "--json"],
            &["new", "Robin", "--size", hostile],
            &["new", "Robin", "--size", "300x400mm", "--paint", hostile],
            &["new", "Robin", "--size", "300x400mm", "--recipe", hostile],
            &["mark", &id, hostile],
            &["inspect", &id, "--crack", hostile],
            &[&option],
            &["--data", hostile, "paths"],
            &["verify", hostile],
            &["recipe", "show", recipe],
            &["recipe", "check", hostile],
            &["compare", "--csv"],
            &["export", "--as", "csv", "-o", "-"],
            &["export", "--as", "json", "-o", "/dev/stdout"],
            &["card", &id, "-o", hostile],
            &["report", "-o", "-"],
        ];
        for args in cases {
            let mut screen = Screen::with(&shop, (200, 50), args);
            screen.end();
            assert!(!screen.raw().contains(hostile), "{args:?}: {:?}", screen.raw());
            let first = hostile.chars().next().unwrap();
            assert!(first == '\u{1b}' || !screen.raw().contains(first), "{args:?}: {:?}", screen.raw());
        }
        // A file and a pipe get what was typed.
        assert!(shop.done(&["export", "--as", "csv", "-o", "-"]).contains(hostile), "{hostile:?}");
        assert!(shop.done(&["compare", "--csv"]).contains(hostile), "{hostile:?}");
    }
}

#[test]
fn manual_pages_can_be_written_again() {
    let shop = Shop::new();
    shop.done(&["man", "-o", "man"]);
    shop.done(&["man", "-o", "man"]);
    let page = shop.dir().join("man/sottile-show.1");
    fs::write(&page, "half a").unwrap();
    let ran = shop.run(&["man", "-o", "man"]);
    assert!(ran.code == Some(1) && ran.sentence().contains("sottile-show.1"), "{ran:?}");
    shop.done(&["man", "-o", "man", "--force"]);
    assert!(fs::read_to_string(&page).unwrap().contains(".SH"));
    let left: Vec<_> = fs::read_dir(shop.dir().join("man")).unwrap().map(|e| e.unwrap().file_name()).collect();
    assert!(left.iter().all(|name| name.to_str().unwrap().starts_with("sottile")), "{left:?}");
}

/// Takes the end of a journal's second line away, and leaves lines behind it.
fn damage(shop: &Shop, id: &str) {
    let journal = shop.journal(id);
    let text = fs::read_to_string(&journal).unwrap();
    fs::write(&journal, text.replacen("\"fact\":\"started\"", "\"fact\":\"storted\"", 1)).unwrap();
}

fn begun(shop: &Shop, labels: &[&str]) {
    for label in labels {
        let id = shop.panel(label);
        shop.done(&["mark", &id, "start"]);
        shop.done(&["mark", &id, "done"]);
    }
}

#[test]
fn a_page_that_misses_a_panel_takes_the_place_of_none_unless_forced() {
    let shop = Shop::new();
    begun(&shop, &["Wren", "Robin"]);
    shop.done(&["report", "-o", "page.html"]);
    let whole = fs::read(shop.dir().join("page.html")).unwrap();
    damage(&shop, "robin");
    assert_eq!(shop.run(&["report", "-o", "page.html"]).code, Some(1));
    assert_eq!(fs::read(shop.dir().join("page.html")).unwrap(), whole);
    let ran = shop.run(&["report", "-o", "page.html", "--force"]);
    assert!(ran.code == Some(3) && ran.err.contains("page.html was written over, and misses 1 panel"), "{ran:?}");
}

#[test]
fn several_panels_are_marked_and_each_that_fails_is_told() {
    let shop = Shop::new();
    for label in ["Wren", "Robin", "Jay"] {
        shop.panel(label);
    }
    shop.done(&["mark", "wren", "robin", "start"]);
    let ran = shop.run(&["mark", "wren", "jay", "nobody", "done"]);
    assert_eq!((ran.code, ran.out.lines().count()), (Some(1), 2), "{ran:?}");
    assert_eq!(ran.err.lines().count(), 2, "{ran:?}");
    assert!(ran.err.contains("nobody") && ran.err.contains("recorded on wren and jay, not on nobody"), "{ran:?}");
    let json = shop.json(&["mark", "robin", "jay", "nobody", "note", "a word", "--json"]);
    assert_eq!((json["format"].as_u64(), json["panels"].as_array().unwrap().len()), (Some(1), 2));
    assert_eq!((json["panels"][1]["id"].as_str(), json["failed"][0]["panel"].as_str()), (Some("jay"), Some("nobody")));
    assert!(json["failed"][0]["message"].as_str().unwrap().contains("nobody"));
    let undone = shop.done(&["mark", "robin", "wren", "undo"]);
    let lines: Vec<_> = undone.lines().collect();
    assert!(lines[0].contains("note: a word taken back") && lines[1].contains("taken back"), "{undone}");
    let unknown = shop.run(&["mark", "wren", "robin", "dome"]);
    assert!(unknown.code == Some(2) && unknown.sentence().contains("`done`"), "{unknown:?}");
    shop.done(&["inspect", "wren", "robin", "--pinholes", "2"]);
    assert!(shop.facts("robin").contains(&"inspected".to_owned()));
}

#[test]
fn a_panel_called_like_an_act_is_named() {
    let shop = Shop::new();
    let id = shop.panel("Back");
    assert_ne!(id, "back");
    shop.done(&["mark", "--panel", "Back", "start"]);
    assert_eq!(shop.facts(&id), ["opened", "started"]);
}

#[test]
fn leaving_tells_of_each_panel_it_could_not_be_written_to() {
    let shop = Shop::new();
    for label in ["Wren", "Robin", "Jay"] {
        let id = shop.short_panel(label, "2026-03-02T09:00:00Z");
        for act in ["prepare", "size", "stipple", "coat"] {
            let at = match act {
                "prepare" => "2026-03-02T10:00:00Z",
                "size" => "2026-03-02T11:00:00Z",
                "stipple" => "2026-03-03T11:00:00Z",
                _ => "2026-03-03T12:00:00Z",
            };
            shop.done(&["mark", &id, "start", "--at", at]);
            shop.done(&["mark", &id, "done", "--at", at]);
        }
    }
    damage(&shop, "robin");
    let ran = shop.run(&["mark", "wren", "away"]);
    assert_eq!((ran.code, ran.out.lines().count()), (Some(3), 1), "{ran:?}");
    assert!(ran.err.contains("robin") && ran.err.contains("recorded on wren and jay, not on robin"), "{ran:?}");
    assert_eq!(shop.facts("jay").last().map(String::as_str), Some("away"));
}

#[test]
fn a_stop_from_outside_gives_the_terminal_back_until_it_goes_on() {
    let shop = Shop::new();
    shop.panel("Wren");
    let mut screen = Screen::bench(&shop);
    screen.shows("Wren").signal(Signal::TSTP).sent("\u{1b}[?1049l", 1);
    // What goes on before it has stopped stops for good.
    let stat = format!("/proc/{}/stat", screen.pid().as_raw_nonzero());
    let deadline = std::time::Instant::now() + common::PATIENCE;
    while fs::read_to_string(&stat).is_ok_and(|stat| !stat.contains(") T ")) {
        assert!(std::time::Instant::now() < deadline, "it does not stop");
        std::thread::yield_now();
    }
    screen.signal(Signal::CONT).sent("\u{1b}[?1049h", 2).shows("Wren");
    assert_eq!(screen.leave(), 0);
}
