//! Pots and air whose journals are damaged, or cannot be read: told wherever their figures would be used, and nowhere
//! in the way of what needs none of them.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod common;

use common::{Ran, Shop};
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};

/// A data directory with the stored panel, its pots and its air.
fn shop() -> Shop {
    let shop = Shop::new();
    let stored = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/journal-v1");
    for file in ["panels/greenfinch", "pots/gesso-2", "pots/size-1", "air"] {
        let to = shop.data().join(format!("{file}.jsonl"));
        fs::create_dir_all(to.parent().unwrap()).unwrap();
        fs::copy(stored.join(to.file_name().unwrap()), to).unwrap();
    }
    shop
}

/// Changes one bit in a line of a file, from 1.
fn flip_bit(path: &Path, line: usize) {
    let mut bytes = fs::read(path).unwrap();
    let start = bytes.split_inclusive(|b| *b == b'\n').take(line - 1).map(<[u8]>::len).sum::<usize>();
    bytes[start + 40] ^= 1;
    fs::write(path, bytes).unwrap();
}

/// Puts a directory where the file was: it is there, and cannot be read.
fn make_unreadable(path: &Path) {
    fs::remove_file(path).unwrap();
    fs::create_dir(path).unwrap();
}

fn pot(shop: &Shop, id: &str) -> PathBuf {
    shop.data().join(format!("pots/{id}.jsonl"))
}

fn parse(ran: &Ran) -> Value {
    serde_json::from_str(&ran.out).unwrap_or_else(|e| panic!("{e}: {ran:?}"))
}

/// The files `left_out` names.
fn left_out(json: &Value) -> Vec<String> {
    let all = json["left_out"].as_array().unwrap();
    all.iter().map(|l| l["path"].as_str().unwrap().rsplit('/').next().unwrap().to_owned()).collect()
}

#[test]
fn figures_of_a_damaged_pot_or_air_are_left_out_and_named() {
    type Spoil = fn(&Shop);
    let cases: [(&str, Spoil, &str, &[&str]); 5] = [
        (
            "a flipped bit",
            |s| flip_bit(&pot(s, "gesso-2"), 5),
            "gesso-2.jsonl",
            &["pot_max_c", "melts", "glue_per_100g_filler_g"],
        ),
        ("no opening", |s| flip_bit(&pot(s, "gesso-2"), 1), "gesso-2.jsonl", &["pot_max_c", "melts"]),
        ("unreadable", |s| make_unreadable(&pot(s, "gesso-2")), "gesso-2.jsonl", &["pot_max_c", "melts"]),
        ("a pot up the line", |s| flip_bit(&pot(s, "size-1"), 3), "size-1.jsonl", &["water_lost_pct"]),
        ("the air", |s| flip_bit(&s.data().join("air.jsonl"), 2), "air.jsonl", &["air_rh_min_pct"]),
    ];
    let find = |json: &Value, name: &str| {
        let row = &json["panels"][0];
        let row = if row["panel"].is_object() { row["panel"].clone() } else { row.clone() };
        row.get(name).cloned().unwrap_or_else(|| panic!("no {name} in {row:#}"))
    };
    let sound = shop().json(&["compare", "--json"]);
    assert!(!find(&sound, "pot_max_c").is_null() && !find(&sound, "air_rh_min_pct").is_null(), "{sound:#}");
    for (what, spoil, file, missing) in cases {
        let shop = shop();
        spoil(&shop);
        let compared = shop.run(&["compare", "--json"]);
        let exported = shop.run(&["export", "--as", "json", "-o", "-"]);
        for ran in [&compared, &exported] {
            assert_eq!((ran.code, left_out(&parse(ran))), (Some(3), vec![file.to_owned()]), "{what}: {ran:?}");
            for name in missing {
                assert!(find(&parse(ran), name).is_null(), "{what}: {name}: {}", ran.out);
            }
        }
        let report = shop.run(&["report", "-o", "report.html"]);
        assert_eq!(report.code, Some(3), "{what}: {report:?}");
        assert!(report.err.contains(file), "{what}: {report:?}");
        assert!(fs::read_to_string(shop.dir().join("report.html")).unwrap().contains(file), "{what}");
        let words = shop.run(&["compare"]);
        assert!(words.code == Some(3) && words.out.contains(file), "{what}: {words:?}");
    }
}

#[test]
fn a_pot_that_cannot_be_relied_on_is_named_wherever_pots_are_told() {
    for spoil in [|path: &Path| flip_bit(path, 5), |path: &Path| flip_bit(path, 1), make_unreadable] {
        let shop = shop();
        spoil(&pot(&shop, "gesso-2"));
        let list = shop.run(&["pots", "--json"]);
        let list_json = parse(&list);
        let named: Vec<&Value> =
            list_json["pots"].as_array().unwrap().iter().filter(|p| p["id"] == "gesso-2").collect();
        assert_eq!((list.code, named.len()), (Some(3), 1), "{list:?}");
        assert!(!named[0]["damaged"].is_null(), "{list:?}");
        let words = shop.run(&["pots"]);
        assert!(words.code == Some(3) && words.out.contains("gesso-2") && words.out.contains("DAMAGED"), "{words:?}");
        let story = shop.run(&["show", "greenfinch"]);
        assert!(story.code == Some(3) && story.err.contains("gesso-2"), "{story:?}");
        assert!(story.out.contains("cannot be relied on") && !story.out.contains("no pot \"gesso-2\""), "{story:?}");
    }
}

#[test]
fn unreadable_air_is_told_where_it_is_asked_and_stops_nothing_else() {
    for spoil in [|path: &Path| flip_bit(path, 2), make_unreadable] {
        let shop = shop();
        spoil(&shop.data().join("air.jsonl"));
        shop.done(&["show", "greenfinch"]);
        shop.done(&["pots"]);
        let forecast = shop.run(&["pot", "show", "gesso-2"]);
        assert!(forecast.code == Some(3) && forecast.err.contains("the air"), "{forecast:?}");
        assert!(forecast.out.contains("63 C, OVERHEATED"), "what needs no air is told: {forecast:?}");
        let panel = shop.panel("Wren");
        shop.done(&["mark", &panel, "skip", "--why", "done before"]);
        shop.done(&["mark", &panel, "note", "no air is asked"]);
        let compared = shop.run(&["compare", "--json"]);
        assert_eq!((compared.code, left_out(&parse(&compared))), (Some(3), vec!["air.jsonl".to_owned()]));
        let without_coats = shop.run(&["compare", &panel, "--json"]);
        assert_eq!((without_coats.code, left_out(&parse(&without_coats))), (Some(0), vec![]));
    }
}
