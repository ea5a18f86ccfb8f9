//! A shelf of many stories, in a terminal: how far the reading has come is told, it can be stopped at any moment without
//! anything left behind, and a damaged story among many costs nothing but itself.
//!
//! A file that holds nothing but a hole of a terabyte stands among the stories where a slow disk is wanted: whoever reads
//! it is busy for as long as the test likes.

#![cfg(unix)]
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod common;

use common::screen::Screen;
use common::{Shop, program};
use portable_pty::CommandBuilder;
use rustix::process::Signal;
use std::collections::BTreeSet;
use std::io::Write;
use std::path::Path;
use std::process::Stdio;

/// What a key with Ctrl sends.
const CTRL_C: &str = "\x03";

/// A shelf with those stories, and one that is never done being read, whose id comes last.
fn with_a_slow_one(labels: &[&str]) -> Shop {
    let shop = Shop::new();
    for label in labels {
        shop.panel(label);
    }
    slow_one_in(&shop);
    shop
}

fn slow_one_in(shop: &Shop) {
    endless(&shop.journal("zz-slow"));
    std::fs::create_dir(shop.dir().join("out")).unwrap();
}

/// A story nobody gets to the end of.
fn endless(path: &Path) {
    std::fs::File::create(path).unwrap().set_len(1 << 40).unwrap();
}

/// Lets whoever reads it come to its end: it found nothing that could be a story.
fn let_go(path: &Path) {
    std::fs::OpenOptions::new().write(true).open(path).unwrap().set_len(1).unwrap();
}

/// What lies in the directory of the output.
fn left(shop: &Shop) -> BTreeSet<String> {
    let names = std::fs::read_dir(shop.dir().join("out")).unwrap();
    names.map(|f| f.unwrap().file_name().into_string().unwrap()).collect()
}

/// What the last line of the terminal was written over with: blanks, and the cursor at its beginning.
fn wiped(screen: &Screen, told: &str) {
    let raw = screen.raw();
    let after = &raw[raw.rfind(told).unwrap_or_else(|| panic!("never told: {raw:?}"))..];
    let wipe = format!("\r{}\r", " ".repeat(told.len()));
    assert!(after.ends_with(&wipe), "the line still stands: {after:?}");
}

/// Whether a line typed into the terminal comes back as it does in any other: nothing was changed for good.
fn sound_terminal(shop: &Shop, args: &[&str]) {
    let command: Vec<String> = args.iter().map(|a| format!("'{a}'")).collect();
    let mut shell = CommandBuilder::new("sh");
    let line = format!(
        "stty -a > before; trap : INT; '{}' {}; stty -a > after; echo ended $?",
        program().display(),
        command.join(" ")
    );
    shell.args(["-c", &line]);
    let mut screen = Screen::of(shop, (80, 24), shell);
    screen.shows("1 of 2 stories read").keys(CTRL_C).shows("ended 0");
    let modes = |name: &str| std::fs::read_to_string(shop.dir().join(name)).unwrap();
    assert_eq!(modes("before"), modes("after"));
    screen.end();
}

#[test]
fn how_far_it_has_come_is_told_and_a_signal_leaves_nothing() {
    let told = "2 of 3 stories read";
    let shop = with_a_slow_one(&["Wren", "Robin"]);
    for args in [
        &["compare"][..],
        &["compare", "--json"],
        &["report", "-o", "out/page.html"],
        &["export", "--as", "csv", "-o", "out/rows.csv"],
        &["export", "--as", "json", "-o", "out/all.json"],
    ] {
        let mut screen = Screen::with(&shop, (80, 24), args);
        // What Ctrl-C sends. The key itself also lets the terminal throw away what is on its way out, the wiping with it.
        screen.shows(told).signal(Signal::INT);
        assert_eq!(screen.end(), 130, "{args:?}: {}", screen.raw());
        assert_eq!(left(&shop), BTreeSet::new(), "{args:?}");
        wiped(&screen, told);
    }
    for (signal, code) in [(Signal::TERM, 143), (Signal::HUP, 129)] {
        let mut screen = Screen::with(&shop, (80, 24), &["compare"]);
        screen.shows(told).signal(signal);
        assert_eq!(screen.end(), code);
        wiped(&screen, told);
    }
}

#[test]
fn the_terminal_is_as_it_was() {
    sound_terminal(&with_a_slow_one(&["Wren"]), &["export", "--as", "json", "-o", "out/all.json"]);
}

#[test]
fn stopped_while_it_writes_no_half_file_is_left() {
    let shop = with_a_slow_one(&["Wren", "Robin"]);
    std::fs::write(shop.dir().join("out/all.json"), "mine").unwrap();
    let args = ["export", "--as", "json", "-o", "out/all.json", "--force"];
    let mut screen = Screen::with(&shop, (80, 24), &args);
    screen.shows("2 of 3 stories read");
    // Read once already; the second time nobody gets past it.
    std::fs::remove_file(shop.journal("wren")).unwrap();
    endless(&shop.journal("wren"));
    let_go(&shop.journal("zz-slow"));
    screen.shows("of 2 stories written");
    let begun = left(&shop);
    assert_eq!(begun.len(), 2, "it is being written: {begun:?}");
    screen.keys(CTRL_C);
    assert_eq!(screen.end(), 130);
    assert_eq!(left(&shop), BTreeSet::from(["all.json".to_owned()]));
    assert_eq!(std::fs::read_to_string(shop.dir().join("out/all.json")).unwrap(), "mine");
}

#[test]
fn once_it_is_read_the_line_is_gone_and_the_words_follow() {
    let shop = with_a_slow_one(&["Wren", "Robin"]);
    let mut screen = Screen::with(&shop, (100, 40), &["compare"]);
    screen.shows("2 of 3 stories read");
    let_go(&shop.journal("zz-slow"));
    screen.shows("compare --all").shows("left out: ").shows("zz-slow.jsonl").lacks("stories read");
    assert_eq!(screen.end(), 3);
}

/// Nobody is there to see how far it has come: nothing of it goes into a log.
#[test]
fn without_a_terminal_nothing_is_told_on_the_way() {
    let shop = with_a_slow_one(&["Wren"]);
    let child = shop.command(&["compare"]).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    let_go(&shop.journal("zz-slow"));
    let ended = child.wait_with_output().unwrap();
    assert_eq!((ended.status.code(), String::from_utf8(ended.stderr).unwrap().as_str()), (Some(3), ""));
}

/// Started by `nohup`, it is not ended by the terminal going.
#[test]
fn a_signal_it_was_started_to_ignore_is_ignored() {
    let shop = with_a_slow_one(&["Wren"]);
    let mut shell = CommandBuilder::new("sh");
    shell.args(["-c", &format!("trap '' HUP; exec '{}' compare", program().display())]);
    let mut screen = Screen::of(&shop, (80, 24), shell);
    screen.shows("1 of 2 stories read").signal(Signal::HUP);
    let_go(&shop.journal("zz-slow"));
    screen.shows("compare --all");
    assert_eq!(screen.end(), 3);
}

#[test]
fn a_reader_that_goes_away_is_no_failure() {
    let shop = with_a_slow_one(&["Wren", "Robin"]);
    for (args, left_out) in [
        (&["export", "--as", "json", "-o", "-"][..], 1),
        (&["export", "--as", "csv", "-o", "-"], 1),
        (&["report", "-o", "-"], 1),
        (&["compare", "--json"], 0),
        (&["compare"], 0),
    ] {
        let mut child = shop.command(args).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
        // Before a word is written, nobody reads any more.
        drop(child.stdout.take());
        let_go(&shop.journal("zz-slow"));
        let ended = child.wait_with_output().unwrap();
        let said = String::from_utf8(ended.stderr).unwrap();
        assert_eq!((ended.status.code(), said.lines().count()), (Some(3), left_out), "{args:?}: {said}");
        assert!(said.lines().all(|line| line.contains("left out: ")), "{args:?}: {said}");
    }
}

#[test]
fn a_damaged_story_among_many_is_named_left_out_and_counted() {
    let shop = Shop::new();
    let of: Vec<String> = (0..300).map(|n| format!("wren-{n}")).collect();
    let first = shop.panel("wren 0");
    let lines = std::fs::read_to_string(shop.journal(&first)).unwrap();
    for id in &of[1..] {
        std::fs::write(shop.journal(id), story_as(&lines, &first, id)).unwrap();
    }
    let broken = &shop.journal(&of[123]);
    let mut bytes = std::fs::read(broken).unwrap();
    bytes[200] ^= 1;
    std::fs::write(broken, bytes).unwrap();
    let told = shop.run(&["compare"]);
    assert_eq!(told.code, Some(3), "{told:?}");
    for said in ["299 panels", "1 story could not be read", "sottile compare --all", "left out: ", "wren-123.jsonl"] {
        assert!(told.out.contains(said), "no {said:?} in {}", told.out);
    }
    let few = told.out.lines().count();
    assert!(few < 120, "{few} lines are more than a person takes in");
    let json = shop.json(&["compare", "--json"]);
    assert_eq!((json["panels"].as_array().unwrap().len(), json["left_out"].as_array().unwrap().len()), (299, 1));
    // What is written of them is complete, and says what is not in it.
    for (form, name) in [("csv", "rows.csv"), ("json", "all.json")] {
        let ran = shop.run(&["export", "--as", form, "-o", name]);
        assert_eq!(ran.code, Some(3));
        assert!(ran.sentence().contains("wren-123.jsonl"), "{ran:?}");
    }
    let all: serde_json::Value = serde_json::from_slice(&std::fs::read(shop.dir().join("all.json")).unwrap()).unwrap();
    let ids: BTreeSet<&str> =
        all["panels"].as_array().unwrap().iter().map(|p| p["panel"]["id"].as_str().unwrap()).collect();
    assert_eq!(ids.len(), 299);
    assert!(!ids.contains("wren-123") && all["left_out"].as_array().unwrap().len() == 1);
    assert_eq!(std::fs::read_to_string(shop.dir().join("rows.csv")).unwrap().lines().count(), 300);
    // A whole page too.
    assert_eq!(shop.run(&["report", "-o", "page.html"]).code, Some(3));
    let page = std::fs::read_to_string(shop.dir().join("page.html")).unwrap();
    assert!(page.contains("Only the first 200 panels are told of one by one") && page.ends_with("</html>"));
}

/// What comparing and exporting hold at their most is less than the stories themselves take on disk, however many there
/// are. Linux tells it of a process that waits.
#[test]
#[cfg(target_os = "linux")]
fn memory_is_for_the_rows_and_not_for_the_stories() {
    const STORIES: usize = 900;
    let shop = Shop::new();
    shop.panel("Wren");
    for n in 0..20 {
        shop.done(&["mark", "wren", "note", &format!("{n} {}", "by the \"window\" ".repeat(150))]);
    }
    let lines = std::fs::read_to_string(shop.journal("wren")).unwrap();
    for n in 1..STORIES {
        std::fs::write(shop.journal(&format!("wren-{n:03}")), story_as(&lines, "wren", &format!("wren-{n:03}")))
            .unwrap();
    }
    slow_one_in(&shop);
    let on_disk_kb = lines.len() * STORIES / 1024;
    let held_kb = |screen: &Screen| {
        let status = std::fs::read_to_string(format!("/proc/{}/status", screen.pid().as_raw_nonzero())).unwrap();
        let most = status.lines().find_map(|l| l.strip_prefix("VmHWM:")).unwrap();
        most.trim().trim_end_matches(" kB").parse::<usize>().unwrap()
    };
    let read = format!("{STORIES} of {} stories read", STORIES + 1);

    let mut screen = Screen::with(&shop, (80, 24), &["compare"]);
    screen.shows(&read);
    let comparing = held_kb(&screen);
    assert!(comparing < on_disk_kb, "{comparing} kB held of {on_disk_kb} kB");
    screen.kill();

    let mut screen = Screen::with(&shop, (80, 24), &["export", "--as", "json", "-o", "out/all.json"]);
    screen.shows(&read);
    // The last but one is read already; the second time it is waited for.
    let last = shop.journal(&format!("wren-{:03}", STORIES - 1));
    std::fs::remove_file(&last).unwrap();
    endless(&last);
    let_go(&shop.journal("zz-slow"));
    screen.shows(&format!("{} of {STORIES} stories written", STORIES - 1));
    let exporting = held_kb(&screen);
    assert!(exporting < on_disk_kb, "{exporting} kB held of {on_disk_kb} kB");
}

/// The bytes of `,"crc":"xxxxxxxx"}`, with which every line ends.
const SEAL: usize = 18;

/// A line with the check over its bytes, and that check.
fn sealed(body: &str) -> (String, String) {
    let crc = format!("{:08x}", crc32fast::hash(body.as_bytes()));
    (format!("{body},\"crc\":\"{crc}\"}}\n"), crc)
}

/// A line without its check.
fn body(line: &str) -> &str {
    let line = line.trim_end();
    &line[..line.len() - SEAL]
}

/// The story under another id, every line hung on anew.
fn story_as(lines: &str, id: &str, other: &str) -> String {
    let mut lines = lines.lines();
    let (mut story, mut prev) = opening_as(lines.next().unwrap(), id, other);
    for line in lines {
        let (head, rest) = body(line).split_once("\"prev\":\"").unwrap();
        let (line, crc) = sealed(&format!("{head}\"prev\":\"{prev}{}", &rest[prev.len()..]));
        story.push_str(&line);
        prev = crc;
    }
    story
}

/// The opening under another id, with its check.
fn opening_as(line: &str, id: &str, other: &str) -> (String, String) {
    sealed(&body(line).replace(&format!("\"id\":\"{id}\""), &format!("\"id\":\"{other}\"")))
}

/// While one core waits for a story, another reads on. A machine with one core has nothing to show here.
#[test]
fn both_cores_read() {
    if std::thread::available_parallelism().unwrap().get() < 2 {
        let _ = writeln!(std::io::stderr(), "one core only: whether both read is not tried");
        return;
    }
    let shop = Shop::new();
    shop.panel("Wren");
    // It comes first, and is never done.
    endless(&shop.journal("aa-slow"));
    let mut screen = Screen::with(&shop, (80, 24), &["compare"]);
    screen.shows("1 of 2 stories read").keys(CTRL_C);
    assert_eq!(screen.end(), 130);
}
