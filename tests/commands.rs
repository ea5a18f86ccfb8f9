//! The contract with scripts, held on the real program: what goes to stdout and stderr, exit codes, the fields of every
//! JSON object, how panels and times are named.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod common;

use common::Shop;
use serde_json::Value;
use std::io::Write;
use std::process::Stdio;

/// The keys of an object, sorted.
fn keys(value: &Value) -> Vec<&str> {
    let mut keys: Vec<&str> = value.as_object().unwrap().keys().map(String::as_str).collect();
    keys.sort_unstable();
    keys
}

/// Every one of these fields is there, `null` or not.
fn has_all(value: &Value, fields: &str) {
    let keys = keys(value);
    for field in fields.split_whitespace() {
        assert!(keys.contains(&field), "{field} is left out: {value:#}");
    }
}

const SHOW: &str = "format id label recipe paint size support grain opened_at finished abandoned damaged phase stage next \
                    since due_at left_s wait_min wait_from coats facts";
const FACT: &str = "seq at written_at fact undone early_min late_min gap";
const STAGE: &str = "kind face number of direction";
const LISTED: &str = "id label recipe phase stage next due_at left_s finished abandoned damaged";

/// One panel walked through every stage of its recipe and some detours: when, and what was marked.
const STORY: &[(&str, &[&str])] = &[
    ("2026-03-02T09:05:00Z", &["done"]),
    ("2026-03-02T09:10:00Z", &["done"]),
    ("2026-03-02T09:14:00Z", &["done"]),
    ("2026-03-02T09:50:00Z", &["done"]),
    ("2026-03-02T09:54:00Z", &["done"]),
    ("2026-03-02T10:00:00Z", &["weigh", "1012g"]),
    ("2026-03-03T10:00:00Z", &["done"]),
    ("2026-03-03T10:12:00Z", &["dull"]),
    ("2026-03-03T10:16:00Z", &["start"]),
    ("2026-03-03T10:19:00Z", &["done"]),
    ("2026-03-03T10:30:00Z", &["done"]),
    ("2026-03-03T10:31:00Z", &["repeat", "--why", "lumpy"]),
    ("2026-03-03T10:50:00Z", &["done", "--direction", "horizontal"]),
    ("2026-03-03T10:51:00Z", &["away"]),
    ("2026-03-03T12:20:00Z", &["back"]),
    ("2026-03-03T12:21:00Z", &["done"]),
    ("2026-03-03T12:40:00Z", &["note", "brushed out thinner"]),
    ("2026-03-03T12:41:00Z", &["done"]),
    ("2026-03-03T13:00:00Z", &["done"]),
    ("2026-03-03T13:20:00Z", &["done"]),
    ("2026-03-03T13:21:00Z", &["undo"]),
    ("2026-03-03T13:22:00Z", &["done"]),
    ("2026-03-03T13:30:00Z", &["extra"]),
    ("2026-03-03T13:40:00Z", &["done"]),
    ("2026-03-03T15:00:00Z", &["start"]),
    ("2026-03-03T15:40:00Z", &["done"]),
    ("2026-03-03T15:50:00Z", &["done"]),
    ("2026-03-03T16:00:00Z", &["done", "--map", "000/012/000"]),
    ("2026-03-03T16:30:00Z", &["done"]),
    ("2026-03-03T16:40:00Z", &["done"]),
    ("2026-03-04T17:00:00Z", &["done"]),
    ("2026-03-04T18:30:00Z", &["done"]),
];

/// The story told up to the end.
fn told(shop: &Shop) -> String {
    let id = shop.panel("Wren");
    for (at, act) in STORY {
        let args: Vec<&str> = ["mark", &id].iter().chain(*act).copied().chain(["--at", at]).collect();
        shop.done(&args);
    }
    id
}

/// A text without what depends on the day the test runs: how much later a fact was written.
fn timeless(text: &str) -> String {
    let line = |line: &str| match line.find("  [written ") {
        Some(from) => {
            let to = from + line[from..].find(']').unwrap() + 1;
            format!("{}{}", &line[..from], &line[to..])
        }
        None => line.to_owned(),
    };
    text.lines().map(|l| line(l) + "\n").collect()
}

#[test]
fn a_whole_story_is_told() {
    let shop = Shop::new();
    let id = told(&shop);
    let text = timeless(&shop.done(&["show", &id, "--at", "2026-03-04T19:00:00Z"]));
    insta::assert_snapshot!("whole_story", text);
    let story = shop.json(&["show", &id, "--at", "2026-03-04T19:00:00Z", "--json"]);
    assert_eq!((&story["phase"], &story["finished"]), (&"finished".into(), &true.into()), "{story:#}");
    assert_eq!((&story["stage"], &story["next"]), (&Value::Null, &Value::Null));
    assert_eq!(story["coats"]["front"], 7, "{story:#}");
    shop.sound();
}

/// A lost act shifts what follows; the words after mending say how to put it in again, and that mends the story.
#[test]
fn an_act_lost_to_damage_is_put_in_again_at_its_time() {
    let shop = Shop::new();
    let id = told(&shop);
    let phase = |shop: &Shop| shop.show(&id)["phase"].as_str().unwrap().to_owned();
    assert_eq!(phase(&shop), "finished");
    let text = std::fs::read_to_string(shop.journal(&id)).unwrap();
    let lines: Vec<&str> = text.lines().collect();
    let lost = lines.iter().position(|l| l.contains(r#""fact":"done""#) && l.contains(r#""kind":"stipple""#)).unwrap();
    let at = serde_json::from_str::<Value>(lines[lost]).unwrap()["at"].as_str().unwrap().to_owned();
    let broken: String = lines
        .iter()
        .enumerate()
        .map(|(i, l)| if i == lost { l.replace("done", "gone") } else { (*l).into() } + "\n")
        .collect();
    std::fs::write(shop.journal(&id), broken).unwrap();
    let mended = shop.run(&["verify", "--mend"]);
    assert!(mended.err.contains("1 lost") && mended.err.contains("mark wren done --at TIME"), "{}", mended.err);
    assert_ne!(phase(&shop), "finished");
    shop.done(&["mark", &id, "done", "--at", &at]);
    assert_eq!(phase(&shop), "finished");
    shop.sound();
}

#[test]
fn show_leaves_no_field_out_at_any_time_of_a_story() {
    let shop = Shop::new();
    let id = told(&shop);
    let moments = STORY.iter().map(|(at, _)| *at).chain(["2026-03-02T09:00:30Z"]);
    for at in moments {
        let story = shop.json(&["show", &id, "--at", at, "--json"]);
        has_all(&story, SHOW);
        assert_eq!(story["format"], 1);
        has_all(&story["size"], "width_mm height_mm thickness_mm");
        has_all(&story["coats"], "front back");
        for stage in [&story["stage"], &story["next"]].into_iter().filter(|s| !s.is_null()) {
            has_all(stage, STAGE);
        }
        for fact in story["facts"].as_array().unwrap() {
            has_all(fact, FACT);
        }
        let last = story["facts"].as_array().unwrap().last().unwrap()["at"].as_str().unwrap().to_owned();
        assert!(last[..19] <= at[..19], "{last} lies after {at}");
    }
    has_all(&shop.show(&id)["facts"][5], &format!("{FACT} stage direction pot map wait_min wait_from"));
}

#[test]
fn show_stands_as_of_the_time_asked() {
    let shop = Shop::new();
    let id = told(&shop);
    let check = |at: &str, phase: &str, stage: &str, next: &str, left_s: Option<f64>| {
        let story = shop.json(&["show", &id, "--at", at, "--json"]);
        let named = |s: &Value| s["kind"].as_str().unwrap_or("-").to_owned();
        assert_eq!(
            (story["phase"].as_str().unwrap(), named(&story["stage"]), named(&story["next"]), story["left_s"].as_f64()),
            (phase, stage.to_owned(), next.to_owned(), left_s),
            "{at}: {story:#}"
        );
    };
    check("2026-03-02T09:02:00Z", "ready", "prepare", "size", None);
    check("2026-03-02T09:12:00Z", "ready", "size", "size", None);
    check("2026-03-02T09:24:00Z", "waiting", "size", "size", Some(1200.0));
    check("2026-03-02T09:49:00Z", "ready", "size", "size", Some(-300.0));
    check("2026-03-02T11:54:00Z", "waiting", "cure", "stipple", Some(22.0 * 3600.0));
    check("2026-03-03T10:17:00Z", "working", "coat", "coat", None);
    check("2026-03-04T19:00:00Z", "finished", "-", "-", None);
}

#[test]
fn early_late_and_long_gaps_stand_in_the_fact() {
    let shop = Shop::new();
    let id = told(&shop);
    let facts = shop.show(&id)["facts"].as_array().unwrap().clone();
    let at = |time: &str| facts.iter().find(|f| f["at"].as_str().unwrap().starts_with(time)).unwrap().clone();
    assert_eq!(at("2026-03-02T09:50")["late_min"], 6.0, "{:#}", at("2026-03-02T09:50"));
    assert_eq!(at("2026-03-03T10:30")["early_min"], 4.0, "{:#}", at("2026-03-03T10:30"));
    assert!(at("2026-03-03T12:21")["gap"].is_string(), "{:#}", at("2026-03-03T12:21"));
    assert_eq!(at("2026-03-03T13:20")["undone"], true);
    assert_eq!(at("2026-03-03T13:22")["undone"], false);
}

#[test]
fn the_answer_to_a_mark_says_how_it_stood_to_the_wait() {
    let shop = Shop::new();
    let size = ["--size", "300x400x12mm", "--recipe", "gypsum-titanium"];
    shop.done(&[&["new", "Wren", "--at", "-3h"][..], &size].concat());
    let mark = |at: &str| shop.done(&["mark", "wren", "done", "--at", at]);
    assert_eq!(mark("-170m"), "Wren: ready for glue size 1 of 2 on the front\n");
    mark("-169m");
    mark("-168m");
    let said = mark("-160m");
    assert!(said.starts_with("Wren: glue size 2 laid on the front (22 min early); ready for glue size 2"), "{said}");
}

#[test]
fn a_pot_goes_by_the_recipe_of_the_panels_on_the_rack() {
    let shop = Shop::new();
    let recipe = |pot: &str| shop.done(&["pot", "show", pot]).contains("balanced-ply");
    shop.done(&["new", "Wren", "--size", "300x400x12mm", "--recipe", "balanced-ply"]);
    let ran = shop.run(&["pot", "new", "Size", "--kind", "size"]);
    assert!(ran.err.contains("by balanced-ply") && recipe("size"), "{}", ran.err);
    shop.done(&["pot", "new", "Other", "--kind", "gesso", "--recipe", "whiting-tempera"]);
    assert!(!recipe("other"));
    // Where the panels differ nothing is taken from them.
    shop.done(&["new", "Robin", "--size", "300x400x12mm", "--recipe", "whiting-tempera"]);
    shop.done(&["pot", "new", "Third", "--kind", "size"]);
    assert!(!recipe("third"));
}

#[test]
fn what_was_measured_is_taken_with_its_unit_or_without_and_told_back() {
    let shop = Shop::new();
    let id = shop.panel("Wren");
    let radius = "radius 5.63 m";
    for (bow, span) in [("2", "300"), ("2mm", "30cm"), ("0.2cm", "300mm")] {
        let said = shop.done(&["inspect", &id, "--bow", bow, "--span", span]);
        assert!(said.contains(radius) && said.contains("0.667 %"), "{bow} {span}: {said}");
    }
    for (options, says) in
        [(&["--bow", "two", "--span", "300"][..], "write millimetres"), (&["--nail", "hard"], "write a grade from 0")]
    {
        let ran = shop.run(&[&["inspect", &id], options].concat());
        assert!(ran.code == Some(2) && ran.err.contains(says), "{}", ran.err);
    }
}

#[test]
fn an_inspection_put_in_late_is_the_one_that_is_told_back() {
    let shop = Shop::new();
    let id = told(&shop);
    shop.done(&["inspect", &id, "--pinholes", "9", "--at", "2026-03-20T12:00:00Z"]);
    let said = shop.done(&["inspect", &id, "--pinholes", "4", "--at", "2026-03-12T12:00:00Z"]);
    let first = said.lines().next().unwrap();
    assert!(first.contains('4') && !first.contains('9'), "{said}");
}

#[test]
fn a_pot_as_of_a_time_knows_no_coat_laid_since() {
    let shop = Shop::new();
    shop.done(&["pot", "new", "Size", "--kind", "size", "--at", "-3h"]);
    let id = shop.short_panel("Wren", "-2h");
    shop.done(&["mark", &id, "done", "--pot", "size"]);
    assert!(
        shop.done(&["pot", "show", "size"]).contains("Wren") || shop.done(&["pot", "show", "size"]).contains("wren")
    );
    let before = shop.done(&["pot", "show", "size", "--at", "-30m"]);
    assert!(!before.to_lowercase().contains("wren"), "{before}");
}

#[test]
fn panels_new_and_mark_answer_scripts() {
    let shop = Shop::new();
    let none = shop.json(&["panels", "--json"]);
    assert_eq!((&none["format"], none["panels"].as_array().map(Vec::len)), (&1.into(), Some(0)));
    let ids = shop.done(&[
        "new",
        "Wren",
        "--size",
        "12x16x1/2in",
        "--count",
        "3",
        "--recipe",
        "whiting-tempera",
        "--paint",
        "tempera",
    ]);
    assert_eq!(ids, "wren-1\nwren-2\nwren-3\n");
    let listed = shop.json(&["panels", "--json"]);
    assert_eq!(listed["panels"].as_array().unwrap().len(), 3);
    for panel in listed["panels"].as_array().unwrap() {
        has_all(panel, LISTED);
        has_all(&panel["stage"], STAGE);
    }
    assert_eq!(shop.show("wren-2")["size"]["thickness_mm"], 12.7);
    let after = shop.json(&["mark", "wren-2", "done", "--json"]);
    let mut shown = shop.show("wren-2");
    // What the second one was asked a moment later is all that may differ.
    shown["left_s"] = after["left_s"].clone();
    assert_eq!(after, shown);
    assert_eq!(shop.json(&["mark", "wren-1", "abandon", "--why", "dropped", "--json"])["abandoned"], true);
    let words = shop.done(&["panels"]);
    assert!(words.contains("wren-1") && words.contains("Wren 3"), "{words}");
}

#[test]
fn the_usual_choices_of_a_new_panel_are_those_of_the_contract() {
    let shop = Shop::new();
    let ran = shop.run(&["new", "Wren", "--size", "400x300mm"]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(0), "wren\n"));
    assert!(!ran.err.to_lowercase().contains("zinc"), "what is taken by default is not warned of: {}", ran.err);
    let zinc = shop.run(&["new", "Robin", "--size", "400x300mm", "--recipe", "gypsum-zinc"]);
    assert!(
        zinc.err.contains("caution") && zinc.err.to_lowercase().contains("zinc"),
        "words go to stderr: {}",
        zinc.err
    );
    let story = shop.show("wren");
    let is = |field: &str| story[field].as_str().unwrap().to_owned();
    assert_eq!(
        (is("support"), is("recipe"), is("paint"), is("grain")),
        ("birch-plywood".into(), "gypsum-titanium".into(), "oil".into(), "width".into())
    );
    assert_eq!(story["size"]["thickness_mm"], Value::Null);
}

#[test]
fn a_panel_is_found_by_id_label_or_beginning() {
    let shop = Shop::new();
    for label in ["Great tit", "Great tit 2", "Grey wagtail", "Robin"] {
        shop.panel(label);
    }
    let check = |asked: &str, id: &str| assert_eq!(shop.show(asked)["id"], id, "{asked}");
    check("great-tit", "great-tit");
    check("Great tit", "great-tit");
    check("great-tit-2", "great-tit-2");
    check("rob", "robin");
    check("Grey", "grey-wagtail");
    let many = shop.run(&["show", "gre"]);
    assert_eq!((many.code, many.out.as_str()), (Some(1), ""));
    for id in ["great-tit", "great-tit-2", "grey-wagtail"] {
        assert!(many.sentence().contains(id), "{}", many.err);
    }
    assert!(!many.err.contains("robin"), "{}", many.err);
    let none = shop.run(&["mark", "jay", "done"]);
    assert_eq!(none.code, Some(1));
    assert!(none.sentence().contains("jay"), "{}", none.err);
}

#[test]
fn times_are_taken_in_every_form() {
    let shop = Shop::new();
    let id = shop.panel("Wren");
    let at = |time: &str| {
        let story = shop.json(&["mark", &id, "note", "a word", "--at", time, "--json"]);
        let facts = story["facts"].as_array().unwrap();
        let newest = facts.iter().max_by_key(|f| f["seq"].as_u64()).unwrap();
        newest["at"].as_str().unwrap().to_owned()
    };
    assert_eq!(at("2026-03-29T13:40:00+01:00"), "2026-03-29T12:40:00+00:00");
    assert_eq!(at("2026-03-29T12:40:00.250Z"), "2026-03-29T12:40:00.250+00:00");
    assert!(at("00:00").ends_with("T00:00:00+00:00"));
    let minutes = |time: &str| chrono::DateTime::parse_from_rfc3339(&at(time)).unwrap().timestamp() / 60;
    let (now, back) = (minutes("-0m"), minutes("-1h30m"));
    assert!((89..=91).contains(&(now - back)), "{now} {back}");
    let wrong = shop.run(&["mark", &id, "done", "--at", "half past two"]);
    assert_eq!(wrong.code, Some(2));
    assert!(wrong.sentence().contains("13:40"), "{}", wrong.err);
    let ahead = shop.run(&["mark", &id, "done", "--at", "2199-01-01T00:00:00Z"]);
    assert_eq!(ahead.code, Some(1));
    assert!(ahead.sentence().contains("ahead"), "{}", ahead.err);
    shop.sound();
}

#[test]
fn a_fact_recorded_late_takes_its_place() {
    let shop = Shop::new();
    let id = shop.panel("Wren");
    for at in ["09:05", "09:10", "09:50", "09:54", "09:58"] {
        shop.done(&["mark", &id, "done", "--at", &format!("2026-03-02T{at}:00Z")]);
    }
    // The back was forgotten the first time: what was taken for it is now the front's second coat, and all move on by one.
    shop.done(&["mark", &id, "done", "--at", "2026-03-02T09:14:00Z"]);
    let story = shop.show(&id);
    let stages: Vec<String> = story["facts"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|f| f["fact"] == "done")
        .map(|f| format!("{} {} {}", f["stage"]["kind"], f["stage"]["face"], f["stage"]["number"]).replace('"', ""))
        .collect();
    let expected =
        ["prepare both null", "size front 1", "size back 1", "size front 2", "size back 2", "stipple front 1"];
    assert_eq!(stages, expected, "{story:#}");
    let at = |i: usize| story["facts"][i]["at"].as_str().unwrap().to_owned();
    assert!((1..6).all(|i| at(i - 1) <= at(i)), "told in the order they happened");
    assert_eq!(story["facts"][3]["seq"], 7, "written last");
}

#[test]
fn data_goes_to_stdout_and_words_to_stderr() {
    let shop = Shop::new();
    shop.panel("Wren");
    let recipe = shop.short_recipe();
    let recipe = recipe.to_str().unwrap();
    let lists: [&[&str]; 11] = [
        &["panels"],
        &["panels", "--json"],
        &["show", "wren"],
        &["show", "wren", "--json"],
        &["verify"],
        &["verify", "--json"],
        &["recipe", "list"],
        &["recipe", "show", "gypsum-zinc"],
        &["recipe", "check", recipe],
        &["config", "show"],
        &["paths"],
    ];
    for args in lists {
        let ran = shop.run(args);
        assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""), "{args:?}");
        assert!(ran.out.ends_with('\n') && !ran.out.contains('\x1b'), "{args:?}: {}", ran.out);
    }
    let failing: [(&[&str], i32); 8] = [
        (&["show", "jay"], 1),
        (&["recipe", "show", "jay"], 1),
        (&["new", "Jay", "--size", "300x400"], 2),
        (&["new", "Jay"], 2),
        (&["mark", "wren", "sing"], 2),
        (&["mark", "wren", "repeat", "--why", "bored"], 2),
        (&["frobnicate", "--json"], 2),
        (&["new", "Jay", "--size", "30x40cm", "--count", "0"], 2),
    ];
    for (args, code) in failing {
        let ran = shop.run(args);
        assert_eq!((ran.code, ran.out.as_str()), (Some(code), ""), "{args:?}: {ran:?}");
        assert!(!ran.err.is_empty(), "{args:?} says nothing");
    }
    assert_eq!(shop.json(&["panels", "--json"])["panels"].as_array().unwrap().len(), 1, "nothing came of any of it");
}

#[test]
fn every_command_has_help() {
    let shop = Shop::new();
    let commands = ["", "bench", "new", "mark", "panels", "show", "verify", "recipe", "config", "paths", "completions"];
    let acts = ["start", "done", "dull", "note", "weigh", "extra", "repeat", "skip", "away", "back", "undo", "abandon"];
    let recipe = ["list", "show", "check"].map(|c| vec!["recipe", c]);
    let all = commands.iter().map(|c| c.split_whitespace().collect::<Vec<_>>());
    let all = all.chain(acts.iter().map(|act| vec!["mark", "wren", act])).chain(recipe).chain([vec!["config", "show"]]);
    for command in all {
        for help in ["-h", "--help"] {
            let args: Vec<&str> = command.iter().copied().chain([help]).collect();
            let ran = shop.run(&args);
            assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""), "{args:?}");
            assert!(ran.out.contains("Usage: sottile"), "{args:?}: {}", ran.out);
        }
    }
    assert!(shop.done(&["--version"]).starts_with("sottile "));
    assert!(!shop.data().exists(), "asking for help makes nothing");
}

#[test]
fn a_closed_pipe_is_quiet() {
    let shop = Shop::new();
    told(&shop);
    for args in
        [&["show", "wren"][..], &["show", "wren", "--json"], &["recipe", "list"], &["panels", "--json"], &["--help"]]
    {
        let mut child = shop.command(args).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
        drop(child.stdout.take());
        let ran = child.wait_with_output().unwrap();
        assert_eq!((ran.status.code(), String::from_utf8_lossy(&ran.stderr).as_ref()), (Some(0), ""), "{args:?}");
    }
}

#[test]
fn options_stand_before_or_after_the_command_and_win_over_the_environment() {
    let shop = Shop::new();
    let other = shop.dir().join("other");
    let other = other.to_str().unwrap();
    shop.done(&["--data", other, "new", "Wren", "--size", "300x400mm"]);
    shop.done(&["new", "Robin", "--size", "300x400mm", "--data", other]);
    assert_eq!(shop.json(&["panels", "--json", "--data", other])["panels"].as_array().unwrap().len(), 2);
    assert_eq!(shop.json(&["panels", "--json"])["panels"].as_array().unwrap().len(), 0);
    let paths = shop.json(&["paths", "--json"]);
    has_all(&paths, "format data config recipes");
    assert_eq!(paths["data"].as_str().unwrap(), shop.data().to_str().unwrap());
    assert_eq!(shop.json(&["paths", "--json", "--data", other])["data"].as_str().unwrap(), other);
    let imperial = shop.done(&["show", "wren", "--data", other, "--units", "imperial"]);
    assert!(imperial.contains("in ") && !imperial.contains("mm"), "{imperial}");
    assert_eq!(
        shop.json(&["show", "wren", "--data", other, "--units", "imperial", "--json"])["size"]["width_mm"],
        300.0
    );
}

#[test]
fn settings_tell_where_they_come_from() {
    let shop = Shop::new();
    let file = shop.dir().join("set.toml");
    std::fs::write(&file, "units = \"imperial\"\n").unwrap();
    let file = file.to_str().unwrap();
    let settings = |args: &[&str]| {
        let all: Vec<&str> = ["config", "show", "--json", "--config", file].iter().chain(args).copied().collect();
        let json = shop.json(&all);
        assert_eq!(json["format"], 1);
        let rows = json["settings"].as_array().unwrap().clone();
        move |key: &str| rows.iter().find(|r| r["key"] == key).unwrap_or_else(|| panic!("{key}: {rows:?}")).clone()
    };
    let from_file = settings(&[])("units");
    has_all(&from_file, "key value from");
    assert!(from_file["from"].as_str().unwrap().contains("set.toml, line 1"), "{from_file}");
    assert_eq!(settings(&["--units", "metric"])("units")["from"], "option");
    assert_eq!(settings(&[])("data")["from"], "environment, SOTTILE_DATA");
    assert_eq!(settings(&[])("ascii")["from"], "default");
}

#[test]
fn verify_tells_scripts_of_every_file() {
    let shop = Shop::new();
    for label in ["Wren", "Robin"] {
        shop.panel(label);
    }
    let told = shop.json(&["verify", "--json"]);
    assert_eq!((&told["format"], told["files"].as_array().unwrap().len()), (&1.into(), 2));
    for file in told["files"].as_array().unwrap() {
        assert_eq!(keys(file), ["lines", "ok", "path", "problems"]);
        assert_eq!((&file["ok"], &file["lines"]), (&true.into(), &2.into()), "the opening and its copy");
    }
    let one = shop.journal("wren");
    let mut bytes = std::fs::read(&one).unwrap();
    bytes.truncate(bytes.len() - 3);
    std::fs::write(&one, bytes).unwrap();
    let told = shop.json(&["verify", one.to_str().unwrap(), "--json"]);
    has_all(&told["files"][0]["problems"][0], "line byte kind message");
}

#[test]
fn recipes_are_listed_shown_and_checked() {
    let shop = Shop::new();
    let list = shop.json(&["recipe", "list", "--json"]);
    assert_eq!(list["format"], 1);
    let names: Vec<&str> = list["recipes"].as_array().unwrap().iter().map(|r| r["name"].as_str().unwrap()).collect();
    for shipped in ["gypsum-zinc", "gypsum-titanium", "whiting-tempera", "balanced-ply", "chalk-gilding"] {
        assert!(names.contains(&shipped), "{names:?}");
        let text = shop.done(&["recipe", "show", shipped]);
        let mut check = shop.command(&["recipe", "check", "-", "--json"]);
        let mut check = check.stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().unwrap();
        check.stdin.take().unwrap().write_all(text.as_bytes()).unwrap();
        let checked = check.wait_with_output().unwrap();
        assert_eq!(checked.status.code(), Some(0), "{shipped}");
        let checked: Value = serde_json::from_slice(&checked.stdout).unwrap();
        assert_eq!((&checked["format"], checked["problems"].as_array().map(Vec::len)), (&1.into(), Some(0)));
    }
    let broken = shop.dir().join("broken.toml");
    std::fs::write(&broken, "format = 1\nname = \"mine\"\ntitle = \"Mine\"\nsuits = [\"oil\"]\n[coats]\nfrnt = 6\n")
        .unwrap();
    let told = shop.json(&["recipe", "check", broken.to_str().unwrap(), "--json"]);
    let problems = told["problems"].as_array().unwrap();
    assert!(problems.len() >= 3, "every problem at once: {told:#}");
    for problem in problems {
        has_all(problem, "line column key message nearest");
    }
    let misspelt = problems.iter().find(|p| p["key"].as_str().is_some_and(|k| k.contains("frnt"))).unwrap();
    assert_eq!((&misspelt["line"], &misspelt["column"]), (&6.into(), &1.into()), "{misspelt:#}");
    assert!(misspelt["nearest"].as_str().unwrap().contains("front"), "{misspelt:#}");
    assert_eq!(shop.run(&["recipe", "check", broken.to_str().unwrap()]).code, Some(1));
}

#[test]
fn a_recipe_of_the_makers_own_lies_beside_the_settings() {
    let shop = Shop::new();
    let recipes = shop.dir().join("recipes");
    std::fs::create_dir(&recipes).unwrap();
    std::fs::copy(shop.short_recipe(), recipes.join("short.toml")).unwrap();
    let config = shop.dir().join("set.toml");
    let config = config.to_str().unwrap();
    std::fs::write(config, "").unwrap();
    shop.done(&["new", "Wren", "--size", "300x400mm", "--recipe", "short", "--config", config]);
    assert_eq!(shop.show("wren")["recipe"], "short");
    assert!(shop.done(&["recipe", "list", "--config", config]).contains("One coat of everything"));
}
