//! A story that a newer version of the program wrote, on the real program: shown as far as it goes, told of, and nothing is
//! recorded there; it is never called damaged, and a line that is broken still is.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod common;

use common::{Ran, Shop};
use sottile::inside::{append_crc, verify_crc};
use std::fs;
use std::path::Path;

const TIMES: &str = r#""at":"2026-03-02T09:30:00.000Z","written_at":"2026-03-02T09:30:00.000Z","offset_min":0"#;

/// Puts a line with those members behind the last of that journal, checks and chain right.
fn append_line(journal: &Path, version: u32, members: &str) {
    let mut bytes = fs::read(journal).unwrap();
    let mut lines = bytes.strip_suffix(b"\n").unwrap().split(|b| *b == b'\n');
    let (count, last) = (lines.clone().count(), lines.next_back().unwrap());
    let (_, prev) = verify_crc(last).unwrap();
    let body = format!(r#"{{"v":{version},"seq":{count},"prev":"{prev:08x}",{TIMES},{members}"#);
    bytes.extend(append_crc(body.into_bytes()));
    bytes.push(b'\n');
    fs::write(journal, bytes).unwrap();
}

/// Makes the first line of that journal its only one, with `from` replaced by `to`.
fn change_opening(journal: &Path, from: &str, to: &str) {
    let bytes = fs::read(journal).unwrap();
    let (body, _) = verify_crc(bytes.split(|b| *b == b'\n').next().unwrap()).unwrap();
    let text = std::str::from_utf8(body).unwrap();
    assert!(text.contains(from), "{from} in {text}");
    let line = append_crc(text.replacen(from, to, 1).into_bytes());
    fs::write(journal, [line, b"\n".to_vec()].concat()).unwrap();
}

fn has_newer_words(ran: &Ran, code: i32) {
    assert_eq!(ran.code, Some(code), "{ran:?}");
    assert!(ran.err.contains("a newer version of the program wrote this"), "{ran:?}");
    assert!(!ran.err.contains("damaged") && !ran.out.contains("DAMAGED"), "{ran:?}");
}

#[test]
fn unknown_words_are_shown_as_far_as_they_go_and_nothing_is_recorded_behind_them() {
    for (version, members) in [
        (1, r#""fact":"done","stage":{"kind":"acclimatise"}"#),
        (1, r#""fact":"started","stage":{"kind":"coat","face":"edge"}"#),
        (1, r#""fact":"done","direction":"slant""#),
        (1, r#""fact":"repeated","why":"ugly""#),
        (1, r#""fact":"alert","call":"look for cracks","of":0"#),
        (1, r#""fact":"done","wait_min":20.0,"wait_from":"neighbour""#),
        (3, r#""fact":"thick","um":180"#),
    ] {
        let shop = Shop::new();
        let wren = shop.panel("Wren");
        append_line(&shop.journal(&wren), version, members);
        let before = fs::read(shop.journal(&wren)).unwrap();

        let shown = shop.run(&["show", &wren]);
        has_newer_words(&shown, 0);
        assert!(
            shown.out.contains("Wren") && shown.out.contains("something this version does not know"),
            "{members}: {shown:?}"
        );
        let json = shop.run(&["show", &wren, "--json"]);
        has_newer_words(&json, 0);
        let json: serde_json::Value = serde_json::from_str(&json.out).unwrap();
        assert_eq!(json["damaged"]["line"], 3, "{members}");

        let listed = shop.run(&["panels"]);
        assert_eq!(listed.code, Some(0), "{listed:?}");
        assert!(listed.out.contains("NEWER VERSION, see verify"), "{members}: {listed:?}");

        let verified = shop.run(&["verify", "--json"]);
        assert_eq!(verified.code, Some(1), "{members}: {verified:?}");
        let report: serde_json::Value = serde_json::from_str(&verified.out).unwrap();
        let problems = report["files"][0]["problems"].as_array().unwrap();
        assert_eq!(problems.len(), 1, "{members}: {problems:?}");
        assert_eq!((&problems[0]["kind"], &problems[0]["line"]), (&"newer".into(), &3.into()), "{members}");

        for act in [&["mark", &wren, "done"][..], &["mark", &wren, "note", "dry"], &["mark", &wren, "undo"]] {
            let ran = shop.run(act);
            assert_eq!(ran.code, Some(1), "{members}: {act:?}: {ran:?}");
        }
        has_newer_words(&shop.run(&["mark", &wren, "note", "dry"]), 1);
        assert_eq!(shop.run(&["verify", "--mend"]).code, Some(1));
        assert_eq!(fs::read(shop.journal(&wren)).unwrap(), before, "{members}");
    }
}

#[test]
fn an_opening_with_a_word_that_is_not_known_is_told_of() {
    let shop = Shop::new();
    let wren = shop.panel("Wren");
    change_opening(&shop.journal(&wren), r#""support":"birch-plywood""#, r#""support":"slate""#);
    let shown = shop.run(&["show", &wren]);
    has_newer_words(&shown, 0);
    assert!(shown.err.contains("\"slate\""), "{shown:?}");
    let json = shop.json(&["show", &wren, "--json"]);
    assert_eq!((&json["id"], &json["damaged"]["line"]), (&wren.clone().into(), &1.into()));
    assert!(shop.done(&["panels"]).contains("NEWER VERSION: this one cannot read its opening"));
    has_newer_words(&shop.run(&["mark", &wren, "note", "dry"]), 1);
    assert_eq!(shop.run(&["verify"]).code, Some(1));
}

#[test]
fn a_pot_of_a_kind_that_is_not_known_is_told_of() {
    let shop = Shop::new();
    let made = shop.done(&["pot", "new", "Jar", "--kind", "size"]);
    let jar = made.trim();
    let journal = shop.data().join("pots").join(format!("{jar}.jsonl"));
    change_opening(&journal, r#""kind":"size""#, r#""kind":"varnish""#);
    has_newer_words(&shop.run(&["pot", "show", jar]), 0);
    has_newer_words(&shop.run(&["pot", "mark", jar, "note", "thin"]), 1);
    let listed = shop.run(&["pots"]);
    assert_eq!(listed.code, Some(0), "{listed:?}");
    assert!(listed.out.contains("NEWER VERSION"), "{listed:?}");
    assert_eq!(shop.run(&["verify"]).code, Some(1));
}

#[test]
fn a_missing_member_or_one_of_another_type_stays_damage() {
    for members in [r#""fact":"done","stage":{"face":"front"}"#, r#""fact":"repeated","why":3"#] {
        let shop = Shop::new();
        let wren = shop.panel("Wren");
        append_line(&shop.journal(&wren), 1, members);
        let shown = shop.run(&["show", &wren]);
        assert_eq!(shown.code, Some(3), "{members}: {shown:?}");
        assert!(shown.err.contains("is damaged"), "{shown:?}");
        assert_eq!(shop.run(&["verify"]).code, Some(3), "{members}");
        assert_eq!(shop.run(&["mark", &wren, "note", "dry"]).code, Some(3), "{members}");
    }
}

#[test]
fn a_comparison_leaves_a_newer_story_out_and_says_why() {
    let shop = Shop::new();
    let wren = shop.panel("Wren");
    append_line(&shop.journal(&wren), 1, r#""fact":"repeated","why":"ugly""#);
    let ran = shop.run(&["compare"]);
    assert_eq!(ran.code, Some(1), "{ran:?}");
    assert!(ran.out.contains("left out") && ran.out.contains("a newer version"), "{ran:?}");
}
