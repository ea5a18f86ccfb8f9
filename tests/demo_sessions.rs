//! The stories in `demo-sessions/` are those the program makes today, and sound.
//!
//! After a change that is meant to alter what is committed, make it anew from the top of the project:
//! `rm -r demo-sessions/panels demo-sessions/pots demo-sessions/trials; cargo run -- demo --into demo-sessions --seed 7 --force`
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use assert_cmd::Command;
use serde_json::Value;
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

const SEED: &str = "7";
const ANEW: &str = "to make them anew: rm -r demo-sessions/panels demo-sessions/pots demo-sessions/trials; cargo run -- demo --into demo-sessions --seed 7 --force";

fn committed() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-sessions")
}

fn sottile() -> Command {
    let mut command = Command::cargo_bin("sottile").unwrap();
    command.env_remove("SOTTILE_DATA").env_remove("SOTTILE_CONFIG");
    command
}

/// Every journal below `dir`, by its path there.
fn journals(dir: &Path) -> BTreeMap<String, String> {
    let mut found = BTreeMap::from([("air.jsonl".to_owned(), fs::read_to_string(dir.join("air.jsonl")).unwrap())]);
    for drawer in ["panels", "pots", "trials"] {
        // A shelf of few panels has no trial.
        for file in fs::read_dir(dir.join(drawer)).into_iter().flatten().map(|f| f.unwrap().path()) {
            let name = file.file_name().unwrap().to_str().unwrap().to_owned();
            found.insert(format!("{drawer}/{name}"), fs::read_to_string(&file).unwrap());
        }
    }
    found
}

/// A copy of what is committed, so that looking at it leaves no lock beside it.
fn copy() -> tempfile::TempDir {
    let data = tempfile::tempdir().unwrap();
    for drawer in ["panels", "pots", "trials"] {
        fs::create_dir(data.path().join(drawer)).unwrap();
    }
    for (name, text) in journals(&committed()) {
        fs::write(data.path().join(name), text).unwrap();
    }
    data
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
    sottile().args(["demo", "--into", into, "--seed", SEED]).assert().success();
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
    let data = copy();
    let data = data.path().to_str().unwrap();
    let told = sottile().args(["--data", data, "verify", "--json"]).assert().success();
    let told: Value = serde_json::from_slice(&told.get_output().stdout).unwrap();
    let files = told["files"].as_array().unwrap();
    assert_eq!(files.len(), journals(&committed()).len());
    assert!(files.iter().all(|f| f["ok"] == true && f["problems"] == Value::Array(Vec::new())), "{told}");
}

#[test]
fn nothing_but_stories_lies_there() {
    let mut there: Vec<_> =
        fs::read_dir(committed()).unwrap().map(|f| f.unwrap().file_name().into_string().unwrap()).collect();
    // Whoever looks at them on the bench leaves these two, which are not committed.
    there.retain(|name| name != "lock" && name != "rack.json");
    there.sort();
    assert_eq!(there, [".gitignore", "README.md", "air.jsonl", "panels", "pots", "trials"]);
}

#[test]
fn panels_that_are_there_are_not_written_over() {
    let data = tempfile::tempdir().unwrap();
    let into = data.path().to_str().unwrap();
    sottile().args(["demo", "--into", into, "--panels", "1"]).assert().success().stdout("wren\n");
    let before = journals(data.path());
    let refused = sottile().args(["demo", "--into", into, "--panels", "1", "--seed", "9"]).assert().code(1);
    assert!(String::from_utf8_lossy(&refused.get_output().stderr).contains("already has panels, pots or readings"));
    assert_eq!(journals(data.path()), before);
    sottile().args(["demo", "--into", into, "--panels", "1", "--seed", "9", "--force"]).assert().success();
    assert_ne!(journals(data.path()), before);
}

/// What the README beside them says can be read off them.
#[test]
fn what_is_said_of_them_is_so() {
    let data = copy();
    let told = |more: &[&str]| -> Value {
        let args = [&["--data", data.path().to_str().unwrap(), "compare", "--json"], more].concat();
        serde_json::from_slice(&sottile().args(args).assert().success().get_output().stdout).unwrap()
    };
    let by_pot = told(&["--by", "pot"]);
    for group in by_pot["groups"].as_array().unwrap() {
        let value = group["value"].as_str().unwrap();
        let cracked = if value.ends_with(" gesso-1") { 2 } else { 0 };
        assert_eq!(group["cracked"], cracked, "{value}");
    }
    let panel = |label: &str| {
        let panels = by_pot["panels"].as_array().unwrap();
        panels.iter().find(|p| p["label"] == label).unwrap().clone()
    };
    let over = |label: &str, field: &str, bound: f64| panel(label)[field].as_f64().unwrap() > bound;
    for (label, hot, sound) in [("Wren", true, false), ("Robin", true, false), ("Blackbird", false, true)] {
        assert_eq!(panel(label)["outcome"]["sound"], sound, "{label}");
        assert_eq!(panel(label)["long_gaps"], 1, "{label}");
        assert_eq!(over(label, "pot_max_c", 60.0), hot, "{label}");
        assert_eq!(over(label, "water_lost_pct", 10.0), hot, "{label}");
    }
    for label in ["Starling", "Blue Tit"] {
        assert_eq!(panel(label)["outcome"]["inspected"], false, "{label}");
    }
    // One pot is one event, and it says so; what it had alone is told beside.
    let told = told(&[]);
    assert_eq!(told["answer"]["kind"], "cannot");
    assert!(told["answer"]["message"].as_str().unwrap().contains("came from one pot: that is one event"), "{told}");
    let hottest = told["differs"].as_array().unwrap().iter().find(|d| d["field"] == "pot_max_c").unwrap();
    assert!(hottest["p_family"].as_f64().unwrap() > 0.05, "{hottest}");
}

/// Grouped by the air, each panel stands with those laid in air as dry, and none is left out.
#[test]
fn panels_are_grouped_by_the_driest_air() {
    let data = copy();
    let output = sottile().arg("--data").arg(data.path()).args(["compare", "--by", "air", "--json"]).output().unwrap();
    let told: Value = serde_json::from_slice(&output.stdout).unwrap();
    let groups = told["groups"].as_array().unwrap();
    let named: Vec<&str> = groups.iter().map(|g| g["value"].as_str().unwrap()).collect();
    let of =
        |rh: f64| format!("at its driest {} to {} %", (rh / 10.0).floor() * 10.0, (rh / 10.0).floor() * 10.0 + 10.0);
    for panel in told["panels"].as_array().unwrap() {
        let rh = panel["air_rh_min_pct"].as_f64().unwrap();
        assert!(named.contains(&of(rh).as_str()), "{} {rh}: {named:?}", panel["label"]);
    }
    let count: u64 = groups.iter().map(|g| g["panels"].as_u64().unwrap()).sum();
    assert_eq!((count, groups.len() > 1), (12, true), "{named:?}");
}
