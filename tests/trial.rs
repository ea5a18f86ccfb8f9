//! A trial from the question to the answer, from a shell: drawn, laid by the clock that is handed in, looked at, answered.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod common;

use common::Shop;
use serde_json::Value;

/// A minute of the day the gesso is laid on.
fn minute(n: u32) -> String {
    format!("2026-05-06T{:02}:{:02}:00Z", 9 + n / 60, n % 60)
}

/// Eight jars of two strengths by two waits on sixteen boards, sized.
fn drawn() -> (Shop, Value) {
    let shop = Shop::new();
    let new = ["trial", "new", "Strength", "--ask", "strength", "--seed", "5", "--at", "2026-05-04T07:00:00Z"];
    assert_eq!(shop.done(&new), "strength\n");
    let trial = shop.json(&["trial", "show", "strength", "--json"]);
    let boards = ids(&trial, |_| true);
    for at in ["04T07:30", "04T17:00", "04T17:01", "04T17:40", "04T17:41"] {
        mark(&shop, &boards, &format!("2026-05-{at}:00Z"), &["done"]);
    }
    (shop, trial)
}

/// The ids of those boards.
fn ids(trial: &Value, of: impl Fn(&Value) -> bool) -> Vec<String> {
    let boards = trial["boards"].as_array().unwrap().iter().filter(|b| of(b));
    boards.map(|b| b["id"].as_str().unwrap().to_owned()).collect()
}

fn mark(shop: &Shop, boards: &[String], at: &str, act: &[&str]) {
    let boards = boards.iter().map(String::as_str);
    let words: Vec<&str> = ["mark"].into_iter().chain(boards).chain(act.iter().copied()).chain(["--at", at]).collect();
    shop.done(&words);
}

/// Stipple and six coats of those boards, so many minutes apart, the first after so many minutes.
fn lay(shop: &Shop, boards: &[String], first: u32, wait: u32) {
    for coat in 0..7 {
        mark(shop, boards, &minute(first + coat * wait), &["done"]);
    }
}

/// What three pencils say of a board of that strength: strong glue two grades and a bit harder, the wait nothing.
fn pencils(strong: bool, n: usize) -> &'static str {
    match (strong, n % 4) {
        (false, 0) => "HB,HB,F",
        (false, 1) => "F,HB,B",
        (false, 2) => "HB,F,F",
        (false, _) => "B,HB,HB",
        (true, 0) => "2H,2H,H",
        (true, 1) => "2H,3H,2H",
        (true, 2) => "H,2H,2H",
        (true, _) => "3H,2H,2H",
    }
}

#[test]
fn from_the_question_to_the_answer() {
    let (shop, trial) = drawn();
    let plan = shop.done(&["trial", "show", "strength"]);
    assert!(plan.contains("Not answered yet: 0 of 16 boards are looked at."), "{plan}");
    assert!(plan.contains("g of stock") && plan.contains("39 min later that of"), "{plan}");
    let [short, long] = [12.0, 25.0].map(|wait| ids(&trial, |b| b["levels"]["wait"] == wait));
    assert_eq!((short.len(), long.len()), (8, 8));
    // One board waits longer than it was drawn.
    lay(&shop, &short[1..], 39, 12);
    lay(&shop, &short[..1], 39, 20);
    lay(&shop, &long, 0, 25);
    let story = shop.json(&["show", &short[1], "--json"]);
    let jar = trial["boards"].as_array().unwrap().iter().find(|b| b["id"] == story["id"]).unwrap()["pot"].clone();
    let coats = story["facts"].as_array().unwrap().iter().filter(|f| f["fact"] == "done" && f["wait_min"] == 12.0);
    let from: Vec<&Value> = coats.map(|f| &f["pot"]).collect();
    assert!(
        from.len() >= 6
            && from.iter().all(|pot| **pot == format!("strength-{}", jar.as_str().unwrap().to_lowercase()).as_str()),
        "{from:?} {jar}"
    );
    let all = ids(&trial, |_| true);
    for hour in ["T14:00", "T14:10", "T14:20"] {
        mark(&shop, &all, &format!("2026-05-06{hour}:00Z"), &["done"]);
    }
    for (n, board) in trial["boards"].as_array().unwrap().iter().enumerate() {
        let pencil = pencils(board["levels"]["glue"] == 80.0, n);
        shop.done(&["inspect", board["id"].as_str().unwrap(), "--pencil", pencil, "--at", "2026-05-14T10:00:00Z"]);
    }
    let answered = shop.json(&["trial", "show", "strength", "--json"]);
    let answer = answered["answer"]["message"].as_str().unwrap();
    assert_eq!(answered["answer"]["kind"], "one", "{answer}");
    assert!(
        answer.starts_with("Stronger glue made it harder: ") && answer.contains("from 60 to 80 g/l (9 in 10: "),
        "{answer}"
    );
    assert!(answer.contains("Drawing the lots anew does as much in 3 of 100."), "{answer}");
    assert!(answer.contains("The wait made no difference that 16 boards could show"), "{answer}");
    let glue = answered["effects"].as_array().unwrap().iter().find(|e| e["key"] == "glue").unwrap().clone();
    assert!((glue["p_value"].as_f64().unwrap() - 2.0 / 70.0).abs() < 1e-12, "{glue}");
    assert!(glue["low"].as_f64().unwrap() > 0.0 && glue["high"].as_f64().unwrap() < 4.0, "{glue}");
    assert!(answered["boards"].as_array().unwrap().iter().all(|b| b["progress"] == "finished"));
    let departures = answered["departures"].as_array().unwrap();
    assert!(departures.len() == 1 && departures[0].as_str().unwrap().contains("waited 20 min"), "{departures:?}");
    assert_eq!(shop.run(&["verify"]).code, Some(0));
}

#[test]
fn a_board_given_up_is_left_out_and_told() {
    let (shop, trial) = drawn();
    let all = ids(&trial, |_| true);
    mark(&shop, &all[..1], &minute(0), &["abandon", "--why", "dropped"]);
    lay(&shop, &all[1..], 0, 25);
    for hour in ["T14:00", "T14:10", "T14:20"] {
        mark(&shop, &all[1..], &format!("2026-05-06{hour}:00Z"), &["done"]);
    }
    for (n, id) in all.iter().enumerate().skip(1) {
        shop.done(&["inspect", id, "--pencil", pencils(false, n), "--at", "2026-05-14T10:00:00Z"]);
    }
    let told = shop.done(&["trial", "show", "strength"]);
    assert!(told.contains("Left out: T1 (given up)."), "{told}");
    assert!(told.contains("It rests on 15 of 16 boards."), "{told}");
}

#[test]
fn numbers_go_on_and_what_cannot_be_a_trial_is_one_sentence() {
    let (shop, _) = drawn();
    shop.done(&["trial", "new", "Again", "--ask", "wait"]);
    let again = shop.json(&["trial", "show", "again", "--json"]);
    let labels: Vec<&str> = again["boards"].as_array().unwrap().iter().map(|b| b["label"].as_str().unwrap()).collect();
    assert_eq!((labels.first(), labels.last()), (Some(&"T17"), Some(&"T28")));
    let board = ["--size", "100x100x6mm"];
    let few = ["--pots", "8", "--boards", "16"];
    let told = |words: &[&str], code: i32, says: &str| {
        let words: Vec<&str> = ["trial", "new"].iter().chain(words).chain(&board).copied().collect();
        let ran = shop.run(&words);
        let last = ran.err.lines().last().unwrap_or_default();
        assert!(ran.code == Some(code) && last.contains(says), "{words:?}: {ran:?}");
        assert!(ran.out.is_empty(), "{ran:?}");
    };
    let vary = |text: &'static str| [&["X", "--vary", text][..], &few].concat();
    told(&vary("glue=60"), 2, "one level");
    told(&vary("glue=60,900"), 2, "must lie from 5 to 400");
    told(&vary("lime=1,2"), 2, "cannot be varied");
    told(&vary("coats=4,6,8"), 2, "take 3 boards a pot");
    told(&vary("glue=60,61"), 1, "cannot be parted");
    told(&["X", "--vary", "glue=60,80", "--pots", "6", "--boards", "6"], 1, "--pots 8 --boards 8 would do");
    told(&["Strength", "--ask", "wait"], 1, "a trial is not changed once its lots are drawn");
    assert_eq!(shop.json(&["trials", "--json"])["trials"].as_array().unwrap().len(), 2);
}
