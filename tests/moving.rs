//! Records that move, from a shell: packs, another laptop's shelf, a reader without this program; schemas and settings.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod common;

use common::Shop;
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::Command;

/// A shop with invented stories, and one panel on which something was taken back and put right.
fn studio() -> Shop {
    let shop = Shop::new();
    let data = shop.data().display().to_string();
    shop.done(&["demo", "--into", &data, "--panels", "4"]);
    shop.panel("Quetzal");
    for act in [&["done"][..], &["note", "draughty"], &["undo"], &["note", "windy"]] {
        shop.done(&[&["mark", "quetzal"], act].concat());
    }
    shop.done(&["correct", "quetzal", "--label", "Quetzal II"]);
    shop
}

#[test]
fn a_shelf_is_packed_checked_and_brought_to_another_laptop() {
    let (home, away) = (studio(), Shop::new());
    away.panel("Quetzal");
    let pack = home.dir().join("shelf.tar").display().to_string();
    home.done(&["pack", "-o", &pack]);
    assert_eq!(home.run(&["pack", "-o", &pack]).code, Some(1), "it is there already");
    let bytes = fs::read(&pack).unwrap();
    home.done(&["pack", "-o", &pack, "--force"]);
    assert_eq!(fs::read(&pack).unwrap(), bytes, "the same shelf, the same bytes");
    assert!(home.done(&["verify", &pack]).contains("files as they were packed"));

    let dry = away.run(&["bring", &pack, "--dry-run"]);
    assert_eq!(dry.code, Some(0), "{dry:?}");
    assert!(away.run(&["show", "quetzal-2"]).code == Some(1), "nothing is written yet");
    let told = away.done(&["bring", &pack]);
    assert_eq!(told, dry.out);
    assert!(told.contains("5 panels new here"), "{told}");
    assert!(told.contains("quetzal: another panel is called so here; the one brought is quetzal-2"), "{told}");
    assert_eq!(away.show("quetzal-2")["label"], "Quetzal II");
    assert_eq!(away.show("quetzal")["label"], "Quetzal");
    assert_eq!(away.run(&["verify"]).code, Some(0));
    assert!(away.done(&["bring", &pack]).contains("5 panels here already"));

    // A data directory as it lies; itself is refused.
    let third = Shop::new();
    third.done(&["bring", &home.data().display().to_string()]);
    assert_eq!(third.show("quetzal")["label"], "Quetzal II");
    let own = third.run(&["bring", &third.data().display().to_string()]);
    assert_eq!((own.code, own.sentence()), (Some(1), "that is this shelf itself"));
    assert_eq!(third.run(&["bring", "/nowhere"]).code, Some(1));
}

#[test]
fn a_pack_that_was_changed_or_cut_off_is_refused_and_nothing_is_taken() {
    let (home, away) = (studio(), Shop::new());
    let pack = home.dir().join("shelf.tar");
    let name = pack.display().to_string();
    home.done(&["pack", "-o", &name]);
    let whole = fs::read(&pack).unwrap();
    let at = whole.windows(5).position(|w| w == b"windy").unwrap();
    let mut changed = whole.clone();
    changed[at] = b'W';
    for (bytes, says) in [(&changed[..], "not what was packed"), (&whole[..whole.len() / 1024 * 512], "cut off")] {
        fs::write(&pack, bytes).unwrap();
        for args in [&["bring", &name][..], &["verify", &name]] {
            let ran = away.run(args);
            assert_ne!(ran.code, Some(0), "{args:?}");
            assert!(ran.err.contains(says) || ran.err.contains("cannot be read"), "{args:?}: {}", ran.err);
        }
        assert!(!away.data().join("panels").exists());
    }
    fs::write(&pack, changed).unwrap();
    assert_eq!(away.run(&["verify", &name]).code, Some(3));
}

/// The program that other tools take apart with, where it is at hand.
#[test]
fn the_sums_are_those_that_sha256sum_reads() {
    let home = studio();
    home.done(&["pack", "-o", "shelf.tar"]);
    let untar = Command::new("tar").args(["xf", "shelf.tar"]).current_dir(home.dir()).status();
    if !untar.is_ok_and(|status| status.success()) {
        return eprintln!("no tar at hand; nothing is tried");
    }
    let top = home.dir().join("sottile-shelf");
    assert!(fs::read_to_string(top.join("README.txt")).unwrap().contains("HOW A STORY IS WRITTEN"));
    match Command::new("sha256sum").args(["--quiet", "-c", "SHA256SUMS"]).current_dir(&top).output() {
        Ok(checked) => assert!(checked.status.success(), "{checked:?}"),
        Err(_) => eprintln!("no sha256sum at hand"),
    }
    // A directory taken apart by hand is brought like any other.
    let away = Shop::new();
    assert!(away.done(&["bring", &top.display().to_string()]).contains("5 panels new here"));
}

/// Whether a fact stands, as the program tells it.
fn stands(fact: &Value) -> bool {
    fact["undone"] == false && fact["fact"] != "undone"
}

#[test]
fn thirty_lines_of_python_read_a_shelf() {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("assets/read_shelf.py");
    assert!(fs::read_to_string(&script).unwrap().lines().count() <= 30);
    let home = studio();
    let read = |dir: &Path| Command::new("python3").arg(&script).arg(dir).output();
    let Ok(ran) = read(&home.data()) else { return eprintln!("no Python at hand; nothing is tried") };
    assert!(ran.status.success(), "{ran:?}");
    let out = String::from_utf8(ran.stdout).unwrap();
    let read_facts: Vec<Vec<&str>> = out.lines().map(|line| line.splitn(4, ' ').collect()).collect();
    let listed = home.json(&["panels", "--json"]);
    for panel in listed["panels"].as_array().unwrap() {
        let id = panel["id"].as_str().unwrap();
        let shown = home.show(id);
        let facts = shown["facts"].as_array().unwrap().iter().filter(|fact| stands(fact));
        let told: Vec<&str> = facts.map(|fact| fact["fact"].as_str().unwrap()).collect();
        let theirs: Vec<&str> = read_facts.iter().filter(|f| f[0] == id).map(|f| f[2]).collect();
        assert_eq!(theirs, told, "{id}");
    }
    assert!(out.contains("windy") && !out.contains("draughty"), "{out}");
    // Damage is told, and nothing is made of it.
    let path = home.journal("quetzal");
    let text = fs::read_to_string(&path).unwrap().replace("windy", "Windy");
    fs::write(&path, text).unwrap();
    let ran = read(&home.data()).unwrap();
    assert!(!ran.status.success() && String::from_utf8_lossy(&ran.stderr).contains("is damaged"));
}

#[test]
fn schemas_are_printed_as_they_are_published() {
    let shop = Shop::new();
    let names: BTreeSet<String> = shop.done(&["schema"]).lines().map(str::to_owned).collect();
    let published = fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("assets/schema")).unwrap();
    let stem = |entry: fs::DirEntry| entry.path().file_stem().unwrap().to_str().unwrap().to_owned();
    assert_eq!(names, published.map(|entry| stem(entry.unwrap())).collect());
    for name in &names {
        let schema: Value = serde_json::from_str(&shop.done(&["schema", name])).unwrap();
        assert!(schema["properties"].is_object() || schema["$defs"].is_object(), "{name}");
    }
    let ran = shop.run(&["schema", "compared"]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.sentence().contains("did you mean compare?"), "{}", ran.err);
}

#[test]
fn one_setting_is_changed_and_comments_stay() {
    let shop = Shop::new();
    let file = shop.dir().join("settings/mine.toml");
    let config = file.display().to_string();
    let set = |key: &str, value: &str| shop.run(&["--config", &config, "config", "set", key, value]);
    fs::create_dir_all(file.parent().unwrap()).unwrap();
    fs::write(&file, shop.done(&["config", "show", "--default"])).unwrap();
    assert_eq!(set("units", "imperial").code, Some(0));
    assert_eq!(set("alarm.bell", "false").code, Some(0));
    let text = fs::read_to_string(&file).unwrap();
    assert!(text.contains("units = \"imperial\"") && text.contains("# The bell of the terminal."), "{text}");
    let shown = shop.done(&["--config", &config, "config", "show"]);
    assert!(shown.contains("units = \"imperial\"") && shown.contains("alarm.bell = false"), "{shown}");
    let ran = set("unit", "metric");
    assert_eq!(ran.code, Some(2));
    assert!(ran.sentence().contains("did you mean units?"), "{}", ran.err);
    assert_eq!(set("units", "cubits").code, Some(1));
    assert_eq!(fs::read_to_string(&file).unwrap(), text, "what is refused changes nothing");
}
