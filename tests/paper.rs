//! `sheet`, `enter` and `wait` as a maker and a script meet them: printed, filled in, taken in, and broken off in between.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod common;

use common::Shop;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Stdio;

/// Fills in a sheet: each day the next one, each row three minutes after the one before, the columns a minute apart.
fn fill_in(sheet: &str) -> String {
    let (mut day, mut minute) = (9, 0);
    let mut filled = String::new();
    for line in sheet.lines() {
        if line.starts_with("date ") {
            day += 2;
            minute = 8 * 60;
            filled += &format!("date 2026-03-{day:02}\n");
            continue;
        }
        let mut line = line.to_owned();
        if !line.starts_with('#') {
            let mut column = 0;
            while line.contains("__:__") {
                let at = minute + column;
                line = line.replacen("__:__", &format!("{:02}:{:02}", at / 60, at % 60), 1);
                column += 1;
            }
            minute += 17;
        }
        filled += &(line + "\n");
    }
    filled
}

/// Every file of a directory, with its bytes, but for the lock and the list that may be deleted.
fn bytes_below(dir: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut all = BTreeMap::new();
    for entry in fs::read_dir(dir).into_iter().flatten() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            all.extend(bytes_below(&path));
        } else if path.extension().is_some_and(|e| e == "jsonl") {
            all.insert(path.display().to_string(), fs::read(&path).unwrap());
        }
    }
    all
}

/// What stands in a story: fact, time and stage.
fn told(shop: &Shop, panel: &str) -> Vec<(String, String, Value)> {
    let facts = shop.show(panel)["facts"].as_array().unwrap().clone();
    let standing = facts.into_iter().filter(|fact| fact["undone"] == false);
    standing
        .map(|f| (f["fact"].as_str().unwrap().to_owned(), f["at"].as_str().unwrap().to_owned(), f["stage"].clone()))
        .collect()
}

fn shop_of(panels: &[&str]) -> Shop {
    let shop = Shop::new();
    for panel in panels {
        shop.panel(panel);
    }
    shop
}

fn write(shop: &Shop, name: &str, text: &str) -> String {
    fs::write(shop.dir().join(name), text).unwrap();
    name.to_owned()
}

#[test]
fn a_sheet_is_printed_filled_in_and_taken_in() {
    let shop = shop_of(&["Wren", "Lark", "Finch"]);
    let sheet = shop.done(&["sheet", "--day", "2026-03-11"]);
    assert!(sheet.lines().all(|line| line.chars().count() <= 80), "{sheet}");
    assert!(sheet.contains("date 2026-03-11") && sheet.contains("GESSO:"), "{sheet}");
    let file = write(&shop, "sheet.txt", &fill_in(&sheet));
    let before = bytes_below(&shop.data());
    let tried = shop.done(&["enter", &file, "--check"]);
    assert!(tried.contains("would be recorded"), "{tried}");
    assert_eq!(bytes_below(&shop.data()), before, "--check wrote something");
    shop.done(&["enter", &file]);
    for panel in ["wren", "lark", "finch"] {
        let story = shop.show(panel);
        assert_eq!(story["finished"], true, "{story}");
        let strokes = story["facts"].as_array().unwrap().iter().filter(|f| f["stage"]["kind"] == "coat");
        let strokes: Vec<_> = strokes.map(|f| f["direction"].as_str().unwrap().to_owned()).collect();
        assert!(strokes.windows(2).all(|two| two[0] != two[1]) && strokes.len() > 4, "{strokes:?}");
    }
    // The same by `mark`, act for act.
    let other = shop_of(&["Wren"]);
    for (fact, at, _) in told(&shop, "wren").iter().skip(1) {
        other.done(&["mark", "wren", fact, "--at", at]);
    }
    assert_eq!(told(&other, "wren"), told(&shop, "wren"));
    shop.sound();
    // Given again it doubles nothing.
    let after = bytes_below(&shop.data());
    let again = shop.json(&["enter", &file, "--json"]);
    assert_eq!((&again["written"], &again["problems"]), (&json!(0), &json!([])));
    assert_eq!(bytes_below(&shop.data()), after);
}

#[test]
fn a_write_broken_off_anywhere_is_completed() {
    let shop = shop_of(&["Wren", "Lark"]);
    let opened = bytes_below(&shop.data());
    let file = write(&shop, "sheet.txt", &fill_in(&shop.done(&["sheet"])));
    shop.done(&["enter", &file]);
    let whole = [told(&shop, "wren"), told(&shop, "lark")];
    let journals = bytes_below(&shop.data());
    for keep in [0, 1, 5, 9] {
        for torn in [false, true] {
            for (path, bytes) in &journals {
                // As far as the machine came: so many lines behind the opening, and perhaps a part of the next.
                let lines: Vec<&[u8]> = bytes.split_inclusive(|b| *b == b'\n').collect();
                let from = opened[path].iter().filter(|b| **b == b'\n').count() + keep;
                let mut left = lines[..from].concat();
                if torn {
                    left.extend(&lines[from][..lines[from].len() / 2]);
                }
                fs::write(path, left).unwrap();
            }
            let ran = shop.run(&["enter", &file]);
            assert_eq!(ran.code, Some(0), "{ran:?}");
            assert_eq!([told(&shop, "wren"), told(&shop, "lark")], whole, "{keep} lines, torn {torn}");
        }
    }
    shop.sound();
}

#[test]
fn every_problem_is_told_with_its_line_and_nothing_is_written() {
    let shop = shop_of(&["Wren", "Lark"]);
    let before = bytes_below(&shop.data());
    let text = "\
# times from the pad
date 2026-03-03
wren prepare 9:10
wren size 1 front 9:20
wren sice 9:30
wren coat 2 10:00
lark done 25:00
lark coat 12 11:00
swift done 11:00
lark prepare -4m
lark away 12:00
lark cure 12:00
lark note \"no end 12:00
lark done
date 2026-13-45
lark prepare 2099-01-01 10:00
lark done --direction sideways 10:00
";
    let file = write(&shop, "typed.txt", text);
    let ran = shop.run(&["enter", &file]);
    assert_eq!(ran.code, Some(1), "{ran:?}");
    let lines: Vec<usize> = ran
        .err
        .lines()
        .filter_map(|line| line.strip_prefix("sottile: line ")?.split(':').next()?.parse().ok())
        .collect();
    assert_eq!(lines, [5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17], "{}", ran.err);
    assert!(ran.err.contains("nothing is recorded"), "{}", ran.err);
    assert_eq!(bytes_below(&shop.data()), before);
    let json = shop.json(&["enter", &file, "--json"]);
    let told: Vec<u64> = json["problems"].as_array().unwrap().iter().map(|p| p["line"].as_u64().unwrap()).collect();
    assert_eq!(told.len(), 13);
    assert_eq!(bytes_below(&shop.data()), before);
}

#[test]
fn lines_of_one_panel_need_not_name_it() {
    let shop = shop_of(&["Wren"]);
    let file = write(&shop, "typed.txt", "2026\n");
    assert_eq!(shop.run(&["enter", "wren", &file]).code, Some(1));
    let text = "prepare 2026-03-02T10:00:00Z\ndone 2026-03-02 10:10\nnote \"a # in it\" 2026-03-02 10:11\n";
    let file = write(&shop, "typed.txt", text);
    shop.done(&["enter", "wren", &file]);
    assert_eq!(shop.facts("wren"), ["opened", "done", "done", "noted"]);
    let story = shop.show("wren");
    assert_eq!(story["facts"].as_array().unwrap().last().unwrap()["text"], "a # in it");
    // What is taken back since is no more known, and may be entered again.
    shop.done(&["mark", "wren", "undo"]);
    assert_eq!(shop.json(&["enter", "wren", &file, "--json"])["written"], 1);
    let nobody = shop.run(&["enter", "nobody", &file]);
    assert!(nobody.code == Some(1) && nobody.sentence().contains("nobody"), "{nobody:?}");
    // A sheet names its own panels.
    let sheet = write(&shop, "sheet.txt", &fill_in(&shop.done(&["sheet"])));
    let ran = shop.run(&["enter", "wren", &sheet]);
    assert!(ran.code == Some(1) && ran.err.contains("names its own panels"), "{ran:?}");
}

#[test]
fn a_check_that_shows_lows_and_an_extra_coat_go_on_in_the_same_file() {
    let shop = Shop::new();
    shop.short_panel("Wren", "2026-03-02T08:00:00Z");
    let text = "\
date 2026-03-02
wren prepare 09:00
wren size 09:10
wren stipple 11:00
wren coat 11:05
wren coat 2 11:10
wren extra 11:12
wren coat 3 11:15
wren scrape 12:00
wren polish 12:10
wren done --map 00/20 12:20
wren scrape 12:30
wren check 2 12:50
";
    let file = write(&shop, "typed.txt", text);
    let ran = shop.run(&["enter", &file]);
    assert_eq!(ran.code, Some(0), "{ran:?}");
    let story = shop.show("wren");
    assert_eq!((story["coats"]["front"].as_u64(), story["phase"].as_str()), (Some(3), Some("ready")), "{story}");
    assert_eq!(shop.json(&["enter", &file, "--json"])["known"], 12);
}

#[test]
fn rows_that_go_back_in_time_are_asked_about() {
    let shop = shop_of(&["Wren"]);
    let sheet = fill_in(&shop.done(&["sheet"]));
    // The second day was not written over.
    let mut days = sheet.lines().filter(|line| line.starts_with("date "));
    let (first, second) = (days.next().unwrap(), days.next().unwrap());
    let file = write(&shop, "sheet.txt", &sheet.replace(second, first));
    let ran = shop.run(&["enter", &file]);
    assert!(ran.code == Some(1) && ran.err.contains("was it on another day?"), "{ran:?}");
    let file = write(&shop, "sheet.txt", &sheet.replace(second, "date ____-__-__"));
    let ran = shop.run(&["enter", &file]);
    assert!(ran.code == Some(1) && ran.err.contains("has no day"), "{ran:?}");
    assert_eq!(shop.facts("wren"), ["opened"]);
}

#[test]
fn a_page_stands_by_itself_and_a_side_holds_four_panels() {
    let shop = shop_of(&["Wren", "Lark", "Finch", "<Robin>", "Swift"]);
    shop.done(&["sheet", "-o", "sheet.html"]);
    let page = fs::read_to_string(shop.dir().join("sheet.html")).unwrap();
    assert_eq!(page.matches("<section>").count(), 2);
    assert!(page.contains("&lt;Robin&gt;") && !page.contains("<Robin>") && page.contains("default-src 'none'"));
    assert!(
        page.matches("aria-label=\"horizontal\"").count() > 5 && page.matches("aria-label=\"vertical\"").count() > 5
    );
    assert!(!shop.run(&["sheet", "-o", "sheet.html"]).err.is_empty(), "a file is written over");
    assert_eq!(shop.done(&["sheet", "--html"]), page);
    let text = shop.done(&["sheet"]);
    assert!(text.contains("\nE = wren") && text.matches("\ntimes ").count() == 2, "{text}");
    shop.done(&["mark", "wren", "abandon", "--why", "split"]);
    let ran = shop.run(&["sheet", "wren"]);
    assert!(ran.code == Some(1) && ran.err.contains("asks for nothing"), "{ran:?}");
}

#[test]
fn wait_ends_when_the_act_is_due() {
    let shop = Shop::new();
    shop.short_panel("Wren", "2026-03-02T08:00:00Z");
    let nothing = shop.run(&["wait", "wren"]);
    assert!(nothing.code == Some(1) && nothing.sentence().contains("nothing is due on Wren"), "{nothing:?}");
    for (act, at) in [("done", "2026-03-02T09:00:00Z"), ("done", "2026-03-02T09:10:00Z")] {
        shop.done(&["mark", "wren", act, "--at", at]);
    }
    // The cure has been over for long.
    let due = shop.json(&["wait", "wren", "--json"]);
    assert_eq!((&due["format"], &due["panel"], &due["act"]["kind"]), (&json!(1), &json!("wren"), &json!("stipple")));
    assert_eq!(due["due_at"], shop.show("wren")["due_at"]);
    // A wait of a minute, of which a second is left.
    shop.done(&["mark", "wren", "done", "--at", "-59s"]);
    let told = shop.done(&["wait", "wren"]);
    assert!(told.starts_with("Wren: coat 1 of 2") && shop.show("wren")["phase"] == "ready", "{told}");
}

/// Until the program has begun to watch what others write.
#[cfg(target_os = "linux")]
fn until_watching(id: u32) {
    let dir = format!("/proc/{id}/fdinfo");
    let watches = || {
        let files = fs::read_dir(&dir).into_iter().flatten();
        files.flatten().any(|file| fs::read_to_string(file.path()).is_ok_and(|text| text.contains("inotify wd")))
    };
    let deadline = std::time::Instant::now() + common::PATIENCE;
    while !watches() {
        assert!(std::time::Instant::now() < deadline, "nothing is watched");
        std::thread::yield_now();
    }
}

#[cfg(target_os = "linux")]
#[test]
fn wait_notices_what_another_records() {
    let shop = Shop::new();
    shop.short_panel("Wren", "2026-03-02T08:00:00Z");
    shop.done(&["mark", "wren", "done", "--at", "2026-03-02T09:00:00Z"]);
    shop.done(&["mark", "wren", "done", "--at", "2026-03-02T09:10:00Z"]);
    shop.done(&["mark", "wren", "done"]);
    let mut waiting = shop.command(&["wait", "wren", "--json"]);
    let waiting = waiting.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    let id = waiting.id();
    until_watching(id);
    // A minute is left, and the gloss is gone at once.
    shop.done(&["mark", "wren", "dull"]);
    let (ends, ended) = std::sync::mpsc::channel();
    std::thread::spawn(move || ends.send(waiting.wait_with_output()));
    let ended = ended.recv_timeout(common::PATIENCE).expect("it still waits").unwrap();
    let said: Value = serde_json::from_slice(&ended.stdout).unwrap_or_else(|e| panic!("{e}: {ended:?}"));
    assert_eq!((ended.status.code(), &said["act"]["kind"]), (Some(0), &json!("coat")));
}
