//! Boards opened together, their witness and their pot, on the real program; and one more coat on a face of its own.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod common;

use common::Shop;
use serde_json::{Value, json};

const AT: [&str; 2] = ["--at", "2026-03-02T09:00:00Z"];

/// Opens boards and gives their ids.
fn open(shop: &Shop, label: &str, options: &[&str]) -> Vec<String> {
    let args = [&["new", label, "--size", "300x400x12mm"], options, &AT].concat();
    shop.done(&args).lines().map(str::to_owned).collect()
}

#[test]
fn boards_of_one_group_name_the_first_of_them_everywhere() {
    let shop = Shop::new();
    assert_eq!(open(&shop, "Robin", &[]), ["robin"]);
    assert_eq!(open(&shop, "Wren", &["--count", "2", "--witness"]), ["wren-1", "wren-2", "wren-witness"]);
    assert_eq!(open(&shop, "Serin", &["--witness"]), ["serin", "serin-witness"]);
    for (id, group, witness) in [
        ("robin", Value::Null, false),
        ("wren-1", json!("wren-1"), false),
        ("wren-2", json!("wren-1"), false),
        ("wren-witness", json!("wren-1"), true),
        ("serin-witness", json!("serin"), true),
    ] {
        let shown = shop.show(id);
        assert_eq!((&shown["group"], &shown["witness"]), (&group, &json!(witness)), "{id}");
        assert_eq!((&shown["facts"][0]["group"], &shown["facts"][0]["witness"]), (&group, &json!(witness)), "{id}");
    }
    let size = &shop.show("wren-witness")["size"];
    assert_eq!(*size, json!({ "width_mm": 100.0, "height_mm": 100.0, "thickness_mm": 12.0 }));
    let csv = shop.done(&["export", "--as", "csv", "-o", "-"]);
    let mut rows = csv.lines().map(|line| line.split(',').collect::<Vec<_>>());
    let head = rows.next().unwrap();
    let at = |name| head.iter().position(|column| *column == name).unwrap();
    let told: Vec<_> = rows.map(|row| format!("{} {}", row[at("id")], row[at("group")])).collect();
    for row in ["robin ", "wren-2 wren-1", "wren-witness wren-1"] {
        assert!(told.iter().any(|told| told == row), "{row:?} in {told:?}");
    }
    // The nail goes over a corner that will be hidden.
    shop.done(&["inspect", "robin", "--nail", "1"]);
    shop.sound();
}

#[test]
fn a_pot_is_opened_for_a_group_or_a_panel() {
    let shop = Shop::new();
    open(&shop, "Wren", &["--count", "2"]);
    open(&shop, "Wrenlike", &[]);
    open(&shop, "Robin", &["--count", "2"]);
    let pot = |label: &str, query: &str| shop.run(&["pot", "new", label, "--kind", "gesso", "--for", query]);
    for (label, query, group) in [
        ("A", "wren-2", "wren-1"),
        ("B", "Wrenlike", "wrenlike"),
        ("C", "Robin", "robin-1"),
        ("D", "robin-1", "robin-1"),
    ] {
        assert_eq!(pot(label, query).code, Some(0), "{query}");
        assert_eq!(shop.json(&["pot", "show", label, "--json"])["for"], group, "{query}");
    }
    let ambiguous = pot("E", "wren");
    assert_eq!(ambiguous.code, Some(1));
    assert!(ambiguous.sentence().contains("could be more than one panel"), "{ambiguous:?}");
    assert_eq!(pot("E", "nobody").code, Some(1));
    // A coat of the group comes from its pot, though several are in use.
    for panel in ["wren-2", "robin-1"] {
        for minute in 10..16 {
            shop.done(&["mark", panel, "done", "--at", &format!("2026-03-02T09:{minute}:00Z")]);
        }
    }
    let stipple_pot = |panel: &str| {
        let shown = shop.show(panel);
        let done = shown["facts"].as_array().unwrap().iter().rfind(|fact| fact["fact"] == "done").unwrap().clone();
        (done["stage"]["kind"].clone(), done["pot"].clone())
    };
    // Robin has two pots of its own group, the newer of which it comes from.
    assert_eq!(stipple_pot("robin-1"), (json!("stipple"), Value::Null), "those pots were opened after that coat");
    shop.done(&["mark", "wren-2", "done"]);
    shop.done(&["mark", "robin-1", "done"]);
    assert_eq!(stipple_pot("wren-2"), (json!("coat"), json!("a")));
    assert_eq!(stipple_pot("robin-1"), (json!("coat"), json!("d")));
    shop.done(&["mark", "robin-2", "done"]);
    shop.sound();
}

#[test]
fn one_more_coat_lies_on_the_face_asked_for() {
    let shop = Shop::new();
    let recipe = shop.dir().join("both.toml");
    let text = std::fs::read_to_string(shop.short_recipe()).unwrap().replace("[coats]\n", "[coats]\nback = 1\n");
    std::fs::write(&recipe, text).unwrap();
    let args = ["new", "Wren", "--size", "300x400x12mm", "--recipe", recipe.to_str().unwrap()];
    shop.done(&[&args[..], &AT].concat());
    let mut minute = 10;
    while shop.show("wren")["stage"]["kind"] != "scrape" && shop.show("wren")["next"]["kind"] != "scrape" {
        shop.done(&["mark", "wren", "done", "--at", &format!("2026-03-0{}T09:{minute}:00Z", 2 + minute / 50)]);
        minute += 1;
        assert!(minute < 60, "it never comes to scraping: {}", shop.show("wren"));
    }
    let shown = shop.json(&["mark", "wren", "extra", "--face", "front", "--json"]);
    assert_eq!(
        (&shown["stage"]["kind"], &shown["stage"]["face"], &shown["stage"]["number"]),
        (&json!("coat"), &json!("front"), &json!(3))
    );
    let last = shown["facts"].as_array().unwrap().last().unwrap().clone();
    assert_eq!((&last["fact"], &last["face"]), (&json!("extra"), &json!("front")));
    let line = std::fs::read_to_string(shop.journal("wren")).unwrap();
    assert!(line.lines().last().unwrap().starts_with("{\"v\":2,"), "an older program would lay it on the back");
    shop.done(&["mark", "wren", "extra"]);
    let journal = std::fs::read_to_string(shop.journal("wren")).unwrap();
    let last = journal.lines().last().unwrap();
    assert!(last.starts_with("{\"v\":1,") && last.contains("\"face\":null"), "{last}");
    assert_eq!(shop.run(&["mark", "wren", "extra", "--face", "both"]).code, Some(2));
    shop.sound();
}
