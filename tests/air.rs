//! The air on the real program: a logger's file whole, corrections in either direction, and what has not happened yet.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod common;

use common::Shop;
use std::fs;

/// The temperatures in the journal of the air, C, in the order written.
fn recorded(shop: &Shop) -> Vec<f64> {
    let journal = fs::read_to_string(shop.data().join("air.jsonl")).unwrap_or_default();
    let figure = |line: &str| serde_json::from_str::<serde_json::Value>(line).unwrap()["temp_c"].as_f64().unwrap();
    journal.lines().map(figure).collect()
}

#[test]
fn a_long_logger_file_is_taken_whole() {
    let shop = Shop::new();
    let log = shop.dir().join("log.csv");
    // Wide lines, so that a mebibyte ends amid one of them, behind its first digit.
    let line = |n: usize| format!("2026-03-{:02} {:02}:{:02},1{},50", 1 + n / 1440, n / 60 % 24, n % 60, n % 10);
    let wide: String = (0..2000).map(|n| format!("{}{}\n", line(n), " ".repeat(700))).collect();
    assert!(wide.len() > 1 << 20);
    fs::write(&log, &wide).unwrap();
    let from = ["air", "--from", log.to_str().unwrap()];
    assert_eq!(shop.done(&from), "air: 2000 recorded\n");
    let expected: Vec<f64> = (0..2000).map(|n| 10.0 + f64::from(n % 10)).collect();
    assert_eq!(recorded(&shop), expected);
    assert_eq!(shop.done(&from), "air: 0 recorded; 2000 stood there already\n");
    shop.sound();
}

#[test]
fn air_that_was_put_right_can_be_put_back() {
    let shop = Shop::new();
    let air = |temp: &str| shop.done(&["air", temp, "50%", "--at", "2026-03-02T10:00:00Z"]);
    for temp in ["20C", "25C", "20C"] {
        assert_eq!(air(temp), "air: 1 recorded\n", "{temp}");
    }
    assert_eq!(air("20C"), "air: 0 recorded; 1 stood there already\n");
    assert_eq!(recorded(&shop), [20.0, 25.0, 20.0]);
}

#[test]
fn air_that_lies_ahead_is_refused() {
    let shop = Shop::new();
    let ran = shop.run(&["air", "20C", "50%", "--at", "2199-01-01T00:00:00Z"]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(1), ""), "{ran:?}");
    assert!(ran.sentence().contains("ahead"), "{ran:?}");
    let log = shop.dir().join("log.csv");
    fs::write(&log, "time,temp_c,rh_pct\n2026-03-02T10:00:00Z,20,50\n2199-01-01T00:00:00Z,21,50\n").unwrap();
    let ran = shop.run(&["air", "--from", log.to_str().unwrap()]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(0), "air: 1 recorded\n"), "{ran:?}");
    assert!(ran.sentence().contains("line 3") && ran.sentence().contains("ahead"), "{ran:?}");
    assert_eq!(recorded(&shop), [20.0]);
}
