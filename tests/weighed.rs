//! What balance, calliper and refractometer tell, from a shell: what is kept of it, what it changes, what is asked.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod common;

use common::Shop;
use serde_json::{Value, json};

/// A shop with a board of 300 x 400 x 12 mm, sized on both faces on the fourth of May at eight.
fn sized() -> Shop {
    let shop = Shop::new();
    shop.done(&["new", "Siskin", "--size", "300x400x12mm", "--recipe", "gypsum-zinc", "--at", "2026-05-04T07:00:00Z"]);
    for minute in [5, 20, 21, 52, 53] {
        shop.done(&["mark", "siskin", "done", "--at", &format!("2026-05-04T07:{minute:02}:00Z")]);
    }
    shop
}

/// 800 + 14 exp(-t/20 h), to a tenth of a gram: the case of `stats::approach`.
const WEIGHED: [(&str, &str); 7] = [
    ("04T08", "814g"),
    ("04T10", "812.7g"),
    ("04T12", "811.5g"),
    ("04T16", "809.4g"),
    ("05T08", "804.2g"),
    ("05T16", "802.8g"),
    ("06T08", "801.3g"),
];

#[test]
fn a_board_weighed_seven_times_is_dry_enough_and_the_model_alone_never_says_so() {
    let shop = sized();
    let early = shop.done(&["show", "siskin", "--at", "2026-05-04T09:00:00Z"]);
    for words in [
        "12 mm, air on both faces: after 24 h about a tenth to a half of the size's water (41 g) is still in the wood; \
         nobody has measured yours.",
        "Lying flat on the bench, one face closed, a tenth to three quarters: raise it on battens.",
    ] {
        assert!(early.contains(words), "{early}");
    }
    assert!(!early.contains("enough") && !early.contains("only one face"), "{early}");
    let mut told = String::new();
    for (i, (at, mass)) in WEIGHED.iter().enumerate() {
        let at = format!("2026-05-{at}:00:00Z");
        // A scale of a hundredth for the offcut: a step of it counts thirteen times on the board.
        let offcut = if i % 2 == 0 { "60.11g" } else { "60.12g" };
        let ran = shop.run(&["mark", "siskin", "weigh", mass, "--offcut", offcut, "--at", &at]);
        assert_eq!(ran.code, Some(0), "{ran:?}");
        told = ran.err;
    }
    assert!(told.contains("Dry enough: weighed 7 times, 1.2 g left to lose"), "{told}");
    let kept = shop.json(&["show", "siskin", "--json"]);
    let dry = &kept["dry_enough"];
    assert!((dry["left_g"].as_f64().unwrap() - 1.27).abs() < 0.15 && dry["weigh_again_at"].is_null(), "{dry}");
    assert!(dry["upper_g"].as_f64().unwrap() < 1.6, "{dry}");
    let before = shop.json(&["show", "siskin", "--json", "--at", "2026-05-05T09:00:00Z"])["dry_enough"].clone();
    assert!(before["weigh_again_at"].is_string() && before["upper_g"].as_f64().unwrap() > 1.6, "{before}");
    assert!(shop.json(&["show", "siskin", "--json", "--at", "2026-05-04T09:00:00Z"])["dry_enough"].is_null());
    assert!(shop.done(&["card", "siskin", "-o", "-"]).contains("Dry enough: weighed 7 times"));
    // A sized board stays due where the recipe has it, whatever it weighs.
    assert_eq!(kept["stage"]["kind"], "stipple");
}

#[test]
fn weighings_in_other_air_are_asked_about_unless_an_offcut_lies_beside() {
    let shop = sized();
    for (at, rh) in [("04T08", "45%"), ("05T08", "60%")] {
        shop.done(&["air", "20C", rh, "--at", &format!("2026-05-{at}:00:00Z")]);
    }
    let weigh = |at: &str, rest: &[&str]| {
        let at = format!("2026-05-{at}:00Z");
        shop.run(&[&["mark", "siskin", "weigh"], rest, &["--at", &at]].concat()).err
    };
    assert!(!weigh("04T08:10", &["814g"]).contains("damper"));
    assert!(weigh("05T08:10", &["806g"]).contains("the air is damper than at the weighing before, 60 against 45 %"));
    assert!(!weigh("05T08:20", &["805.9g", "--offcut", "60g"]).contains("damper"));
}

fn poured(shop: &Shop, id: &str, made: &[&str]) -> Value {
    shop.done(&["pot", "new", id, "--kind", "gesso", "--from", "size", "--recipe", "gypsum-zinc", "--size-ml", "400"]);
    shop.done(&[&["pot", "mark", id, "made"], made].concat());
    shop.json(&["pot", "show", id, "--json"])
}

#[test]
fn the_same_mix_with_what_was_weighed_and_without() {
    let shop = Shop::new();
    shop.done(&["pot", "new", "size", "--kind", "size", "--recipe", "gypsum-zinc"]);
    shop.done(&["pot", "mark", "size", "made", "--glue", "84g", "--water", "998.2g"]);
    let fillers = ["--filler", "gypsum=250g", "--filler", "zinc white=150g"];
    let plain = poured(&shop, "plain", &[]);
    let weighed = poured(&shop, "weighed", &fillers);
    assert_eq!(plain["weighed"], Value::Null);
    assert_eq!(
        weighed["weighed"],
        json!({"glue_g": null, "water_g": null, "fillers": [
            {"name": "gypsum dihydrate", "mass_g": 250.0}, {"name": "zinc white", "mass_g": 150.0}]})
    );
    assert_eq!((&plain["strength_from"], &weighed["strength_from"]), (&json!("weighed"), &json!("weighed")));
    let glue = |pot: &Value| pot["glue_per_100g_filler_g"].as_f64().unwrap();
    // 84/(1000 + 84/1.35) x 400 = 31.632 g of glue to 400 g of powder.
    assert!((glue(&weighed) - 7.908).abs() < 2e-3, "{}", glue(&weighed));
    // The recipe's: 100 ml of each powder at 0.80 and 0.60 g/ml to 100 ml of size.
    assert!(glue(&plain) < glue(&weighed), "{}", glue(&plain));
    // A panel coated from it: figures and recipe are the pot's.
    shop.done(&["new", "Wren", "--size", "300x400x12mm", "--recipe", "gypsum-titanium", "--at", "-5m"]);
    for _ in 0..7 {
        shop.run(&["mark", "wren", "skip", "--why", "a test"]);
    }
    shop.done(&["mark", "wren", "done", "--pot", "weighed"]);
    let recipe = shop.done(&["recipe", "from", "wren"]);
    for words in ["glue_g_per_l_water = 84.0", "g_per_100_ml_size = 62.5", "g_per_100_ml_size = 37.5", "as weighed"] {
        assert!(recipe.contains(words), "{words}: {recipe}");
    }
    let csv = shop.done(&["compare", "wren", "--csv"]);
    let cell = |name: &str| {
        let mut lines = csv.lines().map(|line| line.split(',').map(str::to_owned).collect::<Vec<_>>());
        let at = lines.next().unwrap().iter().position(|head| head == name).unwrap();
        lines.next().unwrap()[at].clone()
    };
    assert_eq!(cell("strength_from"), "weighed");
    assert!(cell("glue_per_100g_filler_g").starts_with("7.9"), "{csv}");
}

#[test]
fn a_reading_without_known_size_is_only_written_down_and_one_with_it_is_a_strength() {
    let shop = Shop::new();
    for id in ["first", "second"] {
        shop.done(&["pot", "new", id, "--kind", "size"]);
    }
    let read = |id: &str, brix: &str| shop.run(&["pot", "mark", id, "brix", brix]).err;
    assert!(read("first", "9").contains("written down; it tells a strength once"));
    assert_eq!(shop.json(&["pot", "show", "first", "--json"])["strength_from"], "recipe");
    shop.done(&["pot", "mark", "second", "made", "--glue", "70g", "--water", "998.2g"]);
    assert!(read("second", "8").contains("as weighed"));
    let first = shop.json(&["pot", "show", "first", "--json"]);
    assert_eq!(first["strength_from"], "brix");
    assert!((first["glue_g_per_l_water"].as_f64().unwrap() - 79.45).abs() < 0.01, "{first}");
    assert!(shop.done(&["pot", "show", "first"]).contains("give or take"));
    // One more reading is one more fact, which can be taken back.
    shop.done(&["pot", "mark", "first", "undo"]);
    assert_eq!(shop.json(&["pot", "show", "first", "--json"])["strength_from"], "recipe");
}

#[test]
fn what_makes_no_sense_is_told_in_one_sentence() {
    let shop = Shop::new();
    shop.done(&["new", "Wren", "--size", "300x400x12mm"]);
    shop.done(&["pot", "new", "size", "--kind", "size"]);
    shop.done(&["pot", "new", "gesso", "--kind", "gesso", "--from", "size"]);
    for (args, code, words) in [
        (&["mark", "wren", "thick", "12"][..], 2, "the unit is missing"),
        (&["mark", "wren", "thick", "12kg"], 2, "kg"),
        (&["mark", "wren", "weigh", "0g"], 1, "that is no weight"),
        (&["mark", "wren", "weigh", "812g", "--offcut", "20"], 2, "the unit is missing"),
        (&["pot", "mark", "size", "brix", "eight"], 2, "no reading of a refractometer"),
        (&["pot", "mark", "size", "brix", "-1"], 1, "no reading of a refractometer"),
        (&["pot", "mark", "gesso", "brix", "8"], 1, "a refractometer needs clear size"),
        (&["pot", "mark", "size", "made", "--filler", "chalk=20g"], 1, "a pot of size has no filler"),
        (&["pot", "mark", "gesso", "made", "--filler", "flour=20g"], 2, "is no filler known here"),
        (&["pot", "mark", "gesso", "made", "--filler", "chalk 20g"], 2, "NAME=MASS"),
        (&["pot", "mark", "gesso", "made", "--filler", "chalk=20"], 2, "the unit is missing"),
    ] {
        let ran = shop.run(args);
        assert_eq!((ran.code, ran.out.as_str()), (Some(code), ""), "{args:?}: {ran:?}");
        assert!(ran.sentence().contains(words), "{args:?}: {}", ran.err);
    }
    // Taken in, with a question.
    for (args, words) in [
        (&["pot", "mark", "size", "made", "--glue", "71g", "--water", "100g"][..], "are both masses right?"),
        (&["mark", "wren", "thick", "1.2mm"], "is the unit right?"),
    ] {
        let ran = shop.run(args);
        assert_eq!(ran.code, Some(0), "{args:?}: {ran:?}");
        assert!(ran.err.contains(words) || ran.out.contains(words), "{args:?}: {ran:?}");
    }
    shop.sound();
}

/// Masses are members of old words; a thickness and a reading, which can be taken back, are new words.
#[test]
fn an_older_program_is_told_of_new_words_and_goes_on_with_new_members() {
    let shop = Shop::new();
    shop.done(&["new", "Wren", "--size", "300x400x12mm"]);
    shop.done(&["pot", "new", "size", "--kind", "size"]);
    shop.done(&["mark", "wren", "weigh", "812g", "--offcut", "45g"]);
    shop.done(&["mark", "wren", "thick", "12mm"]);
    shop.done(&["pot", "mark", "size", "made", "--glue", "71g"]);
    shop.done(&["pot", "mark", "size", "brix", "8"]);
    for (journal, word, version) in [
        ("panels/wren.jsonl", "weighed", 1),
        ("panels/wren.jsonl", "thick", 2),
        ("pots/size.jsonl", "made", 1),
        ("pots/size.jsonl", "brix", 2),
    ] {
        let text = std::fs::read_to_string(shop.data().join(journal)).unwrap();
        let lines = text.lines().map(|line| serde_json::from_str::<Value>(line).unwrap());
        let line = lines.into_iter().find(|line| line["fact"] == word).unwrap();
        assert_eq!(line["v"], version, "{line}");
    }
}
