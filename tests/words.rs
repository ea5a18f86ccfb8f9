//! What a person reads at a shell holds no word that only the program needs. Technical commands (`verify`, the columns of
//! an export) and JSON keep theirs.
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod common;

use common::Shop;
use std::path::Path;

const UNWANTED: [&str; 11] =
    ["journal", "journals", "fact", "facts", "folded", "torn", "time constant", "pvc", "vpd", "emc", "wet bulb"];

#[track_caller]
fn check(about: &[&str], text: &str) {
    let letters: String =
        text.chars().map(|c| if c.is_alphanumeric() { c.to_ascii_lowercase() } else { ' ' }).collect();
    let words = format!(" {} ", letters.split_whitespace().collect::<Vec<_>>().join(" "));
    for unwanted in UNWANTED {
        assert!(!words.contains(&format!(" {unwanted} ")), "\"{unwanted}\" is said by {about:?}:\n{text}");
    }
    assert!(!text.contains("p = "), "a p is said by {about:?}:\n{text}");
}

#[test]
fn no_help_says_what_only_the_program_needs() {
    let shop = Shop::new();
    let commands = [
        "bench",
        "new",
        "mark",
        "panels",
        "plan",
        "show",
        "inspect",
        "compare",
        "report",
        "card",
        "pot",
        "pots",
        "air",
        "mix",
        "board",
        "recipe",
        "rehearse",
        "demo",
        "completions",
        "man",
        "config",
        "paths",
        "alert",
    ];
    check(&["--help"], &shop.done(&["--help"]));
    for command in commands {
        check(&[command, "--help"], &shop.done(&[command, "--help"]));
    }
    for pot in ["new", "mark", "show", "forecast"] {
        check(&["pot", pot, "--help"], &shop.done(&["pot", pot, "--help"]));
    }
}

#[test]
fn no_answer_says_what_only_the_program_needs() {
    let shop = Shop::new();
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-sessions");
    let demo = demo.to_str().unwrap();
    let on_demo: [&[&str]; 11] = [
        &["panels"],
        &["show", "wren"],
        &["show", "chaffinch"],
        &["pots"],
        &["pot", "show", "gesso-1"],
        &["compare"],
        &["compare", "--all"],
        &["compare", "--of", "bow"],
        &["compare", "--by", "recipe"],
        &["card", "wren", "-o", "-"],
        &["report", "wren", "robin", "-o", "-"],
    ];
    for asked in on_demo {
        check(asked, &shop.done(&[&["--data", demo], asked].concat()));
    }
    let alone: [&[&str]; 10] = [
        &["plan", "--new", "3 of 300x400x12mm", "--shopping"],
        &["plan", "--new", "3 of 300x400x12mm", "--hands", "2"],
        &["mix", "--size", "300x400x12mm", "--detail"],
        &["mix", "--size", "300x400x12mm", "--recipe", "gypsum-zinc", "--detail"],
        &["board", "--size", "300x400x12mm", "--support", "oak-white", "--from", "20C,50%", "--to", "20C,70%"],
        &["air", "20C", "50%", "--only"],
        &["pot", "forecast", "--room", "20C", "--gels-at", "30C", "--reading", "0=50C", "--reading", "10=44C"],
        &["pot", "forecast", "--room", "20C", "--gels-at", "30C", "--reading", "0=50C"],
        &["recipe", "list"],
        &["recipe", "show", "gypsum-titanium"],
    ];
    for asked in alone {
        let ran = shop.run(asked);
        // The key of a recipe file is a technical name.
        check(asked, &format!("{}{}", ran.out.replace("time_constant", ""), ran.err));
    }
}
