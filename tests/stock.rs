//! The cupboard as a maker and a script meet it, and what a plan says of it.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod common;

use common::Shop;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::fs;

/// What is left of each thing, by its name.
fn left(shop: &Shop) -> BTreeMap<String, f64> {
    let stock = shop.json(&["stock", "list", "--json"]);
    let items = stock["items"].as_array().unwrap().clone();
    items
        .into_iter()
        .map(|item| (item["name"].as_str().unwrap().to_owned(), item["amount"].as_f64().unwrap()))
        .collect()
}

fn set(shop: &Shop, what: &[&str]) {
    shop.done(&[&["stock", "set"][..], what, &["--at", "2026-03-01T08:00:00Z"]].concat());
}

#[test]
fn a_batch_made_takes_its_amounts_off_and_nothing_is_written_twice() {
    let shop = Shop::new();
    assert_eq!(left(&shop), BTreeMap::new());
    set(&shop, &["glue", "1kg", "--lot", "B-12", "--opened", "2026-02-01", "--price", "24 EUR"]);
    set(&shop, &["gypsum", "2kg"]);
    set(&shop, &["zinc white", "1kg"]);
    let journal = fs::read(shop.data().join("stock.jsonl")).unwrap();
    let opened =
        shop.run(&["pot", "new", "Size", "--kind", "size", "--recipe", "gypsum-zinc", "--at", "2026-03-02T08:00:00Z"]);
    assert!(opened.err.contains("B-12"), "the lot is offered: {opened:?}");
    let mark = |pot: &str, words: &[&str], at: &str| {
        shop.done(&[&["pot", "mark", pot][..], words, &["--at", at]].concat());
    };
    mark("size", &["melt"], "2026-03-02T09:00:00Z");
    mark("size", &["made", "--glue", "71g", "--water", "1000g"], "2026-03-02T09:30:00Z");
    let gesso = ["pot", "new", "Gesso", "--kind", "gesso", "--from", "size", "--size-ml", "500"];
    shop.done(&[&gesso[..], &["--at", "2026-03-02T10:00:00Z"]].concat());
    mark("gesso", &["melt"], "2026-03-02T10:00:00Z");
    mark("gesso", &["made", "--filler", "gypsum=400g"], "2026-03-02T10:30:00Z");
    // 1000 - 71; 2000 - 400; of zinc the recipe's 100 ml of 0.55 g/ml to 100 ml of size: 275 g.
    let now = left(&shop);
    assert_eq!(
        now,
        BTreeMap::from([("glue".into(), 929.0), ("gypsum dihydrate".into(), 1600.0), ("zinc white".into(), 725.0)])
    );
    assert_eq!(fs::read(shop.data().join("stock.jsonl")).unwrap(), journal, "what pots take is written nowhere");
    // What was made is taken back, and lies in the cupboard again.
    shop.done(&["pot", "mark", "gesso", "undo"]);
    assert_eq!(left(&shop)["gypsum dihydrate"], 2000.0);
    shop.done(&["stock", "use", "glue", "29g"]);
    assert_eq!(left(&shop)["glue"], 900.0);
    shop.done(&["stock", "undo"]);
    assert_eq!(left(&shop)["glue"], 929.0);
    shop.sound();
    let verified = shop.done(&["verify"]);
    assert!(verified.contains("stock.jsonl: sound"), "{verified}");
}

#[test]
fn what_cannot_be_is_refused_in_one_sentence() {
    let shop = Shop::new();
    set(&shop, &["glue", "1kg", "--lot", "B-12"]);
    let before = fs::read(shop.data().join("stock.jsonl")).unwrap();
    for (args, code, says) in [
        (&["stock", "use", "spirit", "10ml"][..], 1, "stock set spirit AMOUNT"),
        (&["stock", "use", "glue", "10g", "--lot", "C"], 1, "known are B-12"),
        (&["stock", "set", "glue", "10ml"], 2, "unit"),
        (&["stock", "set", "glue", "10g", "--opened", "2999-01-01"], 2, "still to come"),
        (&["stock", "set", "glue", "10g", "--at", "2999-01-01T00:00:00Z"], 1, "ahead"),
        (&["stock", "set", "glu", "10g"], 2, "`glue` is the nearest"),
        (&["stock", "set", "boards", "1.5"], 2, "pieces"),
        (&["stock", "set", "glue", "10g", "--opened", "yesterday"], 2, "2026-03-14"),
    ] {
        let ran = shop.run(args);
        assert!(ran.code == Some(code) && ran.err.contains(says), "{args:?}: {ran:?}");
    }
    assert_eq!(fs::read(shop.data().join("stock.jsonl")).unwrap(), before);
    let empty = Shop::new();
    assert!(empty.run(&["stock", "undo"]).sentence().contains("nothing is recorded"));
}

#[test]
fn its_journal_is_kept_as_the_others_are() {
    let shop = Shop::new();
    set(&shop, &["glue", "1kg"]);
    set(&shop, &["spirit", "1l"]);
    let path = shop.data().join("stock.jsonl");
    let whole = fs::read(&path).unwrap();
    // A write that was broken off is written over by the next fact.
    fs::write(&path, &whole[..whole.len() - 20]).unwrap();
    assert_eq!(shop.run(&["verify"]).code, Some(1));
    assert_eq!(left(&shop).len(), 1);
    set(&shop, &["spirit", "1l"]);
    assert_eq!(left(&shop).len(), 2);
    shop.sound();
    // A flipped bit is damage: nothing is told of it as if it were sound, nothing is written to it, mending keeps a copy.
    let mut bad = whole.clone();
    bad[whole.len() * 3 / 4] ^= 1;
    fs::write(&path, &bad).unwrap();
    assert_eq!(shop.run(&["stock", "list"]).code, Some(3));
    assert_eq!(shop.run(&["stock", "set", "glue", "1g"]).code, Some(3));
    assert_eq!(fs::read(&path).unwrap(), bad);
    shop.run(&["verify", "--mend"]);
    assert_eq!(shop.run(&["stock", "list"]).code, Some(0));
    // A pot is opened, and a plan made, whatever is wrong with the cupboard.
    fs::write(&path, &bad).unwrap();
    shop.done(&["pot", "new", "Size", "--kind", "size"]);
    let plan = shop.run(&["plan", "--new", "1 of 300x400x12mm gypsum-zinc", "--shopping"]);
    assert!(plan.code == Some(0) && plan.err.contains("the cupboard is left out"), "{plan:?}");
}

#[test]
fn a_plan_says_what_will_be_short_and_when() {
    let shop = Shop::new();
    set(&shop, &["glue", "1kg"]);
    set(&shop, &["zinc white", "100g"]);
    set(&shop, &["boards 400x300mm", "3"]);
    set(&shop, &["boards", "1"]);
    let args = ["plan", "--new", "5 of 300x400x12mm gypsum-zinc", "--hours", "09:00-18:00", "--days", "mon-sun"];
    assert_eq!(shop.json(&[&args[..], &["--json"]].concat())["shopping"], Value::Null);
    let plan = shop.json(&[&args[..], &["--shopping", "--json"]].concat());
    let lines: BTreeMap<String, Value> = plan["shopping"]
        .as_array()
        .unwrap()
        .iter()
        .map(|l| (l["name"].as_str().unwrap().to_owned(), l.clone()))
        .collect();
    let of = |name: &str| &lines[name];
    assert_eq!(
        (&of("glue")["there"], &of("glue")["short"], &of("glue")["short_at"]),
        (&json!(1000.0), &json!(0.0), &Value::Null)
    );
    let zinc = of("zinc white");
    let short = zinc["needed"].as_f64().unwrap() - 100.0;
    assert!(short > 0.0 && (zinc["short"].as_f64().unwrap() - short).abs() < 1e-9, "{zinc}");
    // It is short when a pot of gesso is made, not before.
    let made =
        plan["acts"].as_array().unwrap().iter().filter(|act| act["act"] == "make gesso").map(|act| &act["start"]);
    assert!(made.into_iter().any(|start| *start == zinc["short_at"]), "{zinc}");
    assert_eq!((&of("spirit")["there"], &of("shellac")["there"]), (&Value::Null, &Value::Null));
    let boards = of("boards 300x400x12mm");
    assert_eq!((&boards["needed"], &boards["there"], &boards["short"]), (&json!(5.0), &json!(4.0), &json!(1.0)));
    let text = shop.done(&[&args[..], &["--shopping"]].concat());
    assert!(text.contains("short of") && text.lines().all(|line| line.chars().count() <= 80), "{text}");
}

#[test]
fn spare_boards_come_from_the_makers_own_losses() {
    let shop = Shop::new();
    let args = ["plan", "--new", "5 of 300x400x12mm gypsum-zinc", "--hours", "09:00-18:00", "--spare"];
    let none = shop.run(&args);
    assert!(none.code == Some(0) && none.err.contains("no panel has ended yet"), "{none:?}");
    for n in 0..12 {
        let id = shop.short_panel(&format!("Old {n}"), "2026-03-02T08:00:00Z");
        if n == 0 {
            shop.done(&["mark", &id, "abandon", "--why", "split"]);
            continue;
        }
        let lines = "prepare 09:00\nsize 09:10\nstipple 11:00\ncoat 11:10\ncoat 11:20\nscrape 12:00\npolish 12:10\ncheck 12:20\nseal 14:00\nsand 15:00\n";
        fs::write(shop.dir().join("old.txt"), format!("date 2026-03-02\n{lines}")).unwrap();
        shop.done(&["enter", &id, "old.txt"]);
    }
    // One of twelve: 5 x 12 / 11 is 5.5.
    let ran = shop.run(&args);
    assert!(
        ran.code == Some(0) && ran.err.contains("1 of your last 12 were given up, which are few: make 6 for 5"),
        "{ran:?}"
    );
    assert!(ran.out.contains("6 panels ready"), "{}", ran.out);
    assert_eq!(shop.run(&["plan", "--spare"]).code, Some(2));
}
