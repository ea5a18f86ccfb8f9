//! The stories in `demo-sessions/` are those the program makes today, and sound.
//!
//! After a change that is meant to alter them, make them anew from the top of the project:
//! `cargo run -- demo --into demo-sessions --seed 1 --force`
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use assert_cmd::Command;
use serde_json::Value;
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

const ANEW: &str = "to make them anew: cargo run -- demo --into demo-sessions --seed 1 --force";

fn committed() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-sessions")
}

fn sottile() -> Command {
    let mut command = Command::cargo_bin("sottile").unwrap();
    command.env_remove("SOTTILE_DATA").env_remove("SOTTILE_CONFIG");
    command
}

fn journals(dir: &Path) -> BTreeMap<String, String> {
    let files = fs::read_dir(dir.join("panels")).unwrap().map(|f| f.unwrap().path());
    files.map(|p| (p.file_name().unwrap().to_str().unwrap().to_owned(), fs::read_to_string(&p).unwrap())).collect()
}

/// The lines of a journal without what hangs on the version of the program: the first line tells it, and its check is
/// part of every line after it.
fn but_for_the_version(text: &str) -> Vec<Value> {
    let without = |line: &str| {
        let mut value: Value = serde_json::from_str(line).unwrap();
        for member in ["program", "prev", "crc"] {
            value.as_object_mut().unwrap().remove(member);
        }
        value
    };
    text.lines().map(without).collect()
}

#[test]
fn they_are_what_the_program_makes() {
    let fresh = tempfile::tempdir().unwrap();
    let into = fresh.path().to_str().unwrap();
    sottile().args(["demo", "--into", into, "--seed", "1"]).assert().success();
    let (fresh, committed) = (journals(fresh.path()), journals(&committed()));
    assert_eq!(fresh.keys().collect::<Vec<_>>(), committed.keys().collect::<Vec<_>>(), "{ANEW}");
    for (name, made) in &fresh {
        let kept = &committed[name];
        let same_version = kept.contains(&format!("\"program\":\"{}\"", env!("CARGO_PKG_VERSION")));
        if same_version {
            assert!(made == kept, "{name} differs; {ANEW}");
        } else {
            assert_eq!(but_for_the_version(made), but_for_the_version(kept), "{name}; {ANEW}");
        }
    }
}

#[test]
fn they_are_sound() {
    // A copy, so that looking at them leaves no lock beside what is committed.
    let data = tempfile::tempdir().unwrap();
    fs::create_dir(data.path().join("panels")).unwrap();
    for (name, text) in journals(&committed()) {
        fs::write(data.path().join("panels").join(name), text).unwrap();
    }
    let data = data.path().to_str().unwrap();
    let told = sottile().args(["--data", data, "verify", "--json"]).assert().success();
    let told: Value = serde_json::from_slice(&told.get_output().stdout).unwrap();
    let files = told["files"].as_array().unwrap();
    assert_eq!(files.len(), 12);
    assert!(files.iter().all(|f| f["ok"] == true && f["problems"] == Value::Array(Vec::new())), "{told}");
}

#[test]
fn nothing_but_stories_lies_there() {
    let mut there: Vec<_> =
        fs::read_dir(committed()).unwrap().map(|f| f.unwrap().file_name().into_string().unwrap()).collect();
    // Whoever looks at them on the bench leaves these two, which are not committed.
    there.retain(|name| name != "lock" && name != "rack.json");
    there.sort();
    assert_eq!(there, [".gitignore", "README.md", "panels"]);
}

#[test]
fn panels_that_are_there_are_not_written_over() {
    let data = tempfile::tempdir().unwrap();
    let into = data.path().to_str().unwrap();
    sottile().args(["demo", "--into", into, "--panels", "1"]).assert().success().stdout("wren\n");
    let before = journals(data.path());
    let refused = sottile().args(["demo", "--into", into, "--panels", "1", "--seed", "9"]).assert().code(1);
    assert!(String::from_utf8_lossy(&refused.get_output().stderr).contains("already has panels"));
    assert_eq!(journals(data.path()), before);
    sottile().args(["demo", "--into", into, "--panels", "1", "--seed", "9", "--force"]).assert().success();
    assert_ne!(journals(data.path()), before);
}
