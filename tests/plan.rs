//! `plan` as a script and a calendar meet it.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod common;

use common::Shop;
use ical::IcalParser;
use serde_json::Value;
use std::collections::BTreeSet;

const FIVE: &str = "5 of 300x400x12mm gypsum-zinc";
const EVENINGS: &str = "mon-fri 18:00-22:00, sat 09:00-17:00";

/// The names of the events, in order, as another reader of calendars finds them.
fn event_names(text: &str) -> Vec<String> {
    let calendars: Vec<_> = IcalParser::new(text.as_bytes()).map(Result::unwrap).collect();
    assert_eq!(calendars.len(), 1);
    let property = |event: &ical::parser::ical::component::IcalEvent, name: &str| {
        let found: Vec<_> =
            event.properties.iter().filter(|p| p.name == name).filter_map(|p| p.value.clone()).collect();
        assert_eq!(found.len(), 1, "{name}: {event:?}");
        found[0].clone()
    };
    let events = &calendars[0].events;
    for event in events {
        assert!(property(event, "DTSTART") < property(event, "DTEND"), "{event:?}");
        assert!(!property(event, "DTSTAMP").is_empty() && !property(event, "SUMMARY").is_empty());
        assert_eq!(event.alarms.len(), 1);
    }
    events.iter().map(|event| property(event, "UID")).collect()
}

fn keys(value: &Value) -> Vec<&str> {
    let mut keys: Vec<&str> = value.as_object().unwrap().keys().map(String::as_str).collect();
    keys.sort_unstable();
    keys
}

#[test]
fn json_holds_what_scripts_are_promised() {
    let shop = Shop::new();
    shop.panel("Wren");
    let plan = shop.json(&["plan", "wren", "--new", FIVE, "--json"]);
    for key in "start ready hands_on_min elapsed_h acts clashes stagger_min panels_one_pair_of_hands".split(' ') {
        assert!(keys(&plan).contains(&key), "{key} is left out");
    }
    let acts = plan["acts"].as_array().unwrap();
    for act in acts {
        assert_eq!(keys(act), ["act", "attended", "end", "panel", "reason", "stage", "start"]);
        assert_eq!(act["panel"].is_null(), act["stage"].is_null(), "{act}");
    }
    let panels: BTreeSet<&str> = acts.iter().filter_map(|act| act["panel"].as_str()).collect();
    assert_eq!(panels.into_iter().collect::<Vec<_>>(), ["new-2", "new-3", "new-4", "new-5", "new-6", "wren"]);
    assert!(acts.iter().any(|act| act["act"] == "put to soak"));
    // Nothing is recorded by planning.
    assert_eq!(shop.facts("wren"), ["opened"]);
}

#[test]
fn text_fits_a_terminal_and_says_what_to_have() {
    let shop = Shop::new();
    let text = shop.done(&["plan", "--new", FIVE, "--hours", EVENINGS, "--days", "mon-sat", "--shopping"]);
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    for told in
        ["soak glue for glue size, ", "make the gesso", "coat 1 to 6: New 1", "TO HAVE IN THE HOUSE", "dry glue"]
    {
        assert!(text.contains(told), "{told}: {text}");
    }
}

#[test]
fn a_calendar_reads_it_and_the_same_plan_is_the_same_bytes() {
    let shop = Shop::new();
    let in_days = |days| (chrono::Utc::now() + chrono::Duration::days(days)).format("%F 09:00").to_string();
    // A Monday, so that a day of the week later no other week-end lies between.
    let monday = (30..37).find(|n| (chrono::Utc::now() + chrono::Duration::days(*n)).format("%a").to_string() == "Mon");
    let monday = monday.unwrap();
    let at = in_days(monday);
    let start = ["--start", at.as_str()];
    let write = || shop.done(&[&["plan", "--new", FIVE, "--ics", "-"][..], &start].concat());
    let text = write();
    assert_eq!(text, write());
    assert!(text.lines().all(|line| line.len() <= 75), "RFC 5545, 3.1: a line is at most 75 octets");
    let events = event_names(&text);
    let uids: BTreeSet<&String> = events.iter().collect();
    assert_eq!(uids.len(), events.len(), "each event has a name of its own");
    assert!(events.iter().any(|uid| uid == "new-1-coat-front-3@sottile"));
    let plan = shop.json(&[&["plan", "--new", FIVE, "--json"][..], &start].concat());
    let attended = plan["acts"].as_array().unwrap().iter().filter(|act| act["attended"] == true).count();
    assert_eq!(events.len(), attended);
    // A later start moves every event and renames none.
    let later = shop.done(&["plan", "--new", FIVE, "--ics", "-", "--start", &in_days(monday + 1)]);
    let later = event_names(&later);
    let moved: BTreeSet<&String> = later.iter().collect();
    assert_eq!(uids, moved);
}

#[test]
fn a_wish_that_cannot_be_is_answered() {
    let shop = Shop::new();
    let by = (chrono::Utc::now() + chrono::Duration::days(60)).to_rfc3339();
    let plan = shop.json(&["plan", "--new", FIVE, "--ready-by", &by, "--json"]);
    let time = |key: &str| chrono::DateTime::parse_from_rfc3339(plan[key].as_str().unwrap()).unwrap();
    assert!(time("ready").to_utc() <= chrono::DateTime::parse_from_rfc3339(&by).unwrap());
    // It begins late: the work of five boards is no month.
    assert!(time("start").to_utc() > chrono::Utc::now() + chrono::Duration::days(40));
    let tomorrow = chrono::Utc::now() + chrono::Duration::hours(20);
    let ran = shop.run(&["plan", "--new", FIVE, "--ready-by", &tomorrow.to_rfc3339()]);
    assert_eq!(ran.code, Some(1));
    for told in ["cannot be: New ", "the nearest that can be: all ready on ", "nor can it be with a pair of hands more"]
    {
        assert!(ran.err.contains(told), "{told}: {}", ran.err);
    }
}

#[test]
fn nonsense_is_answered_in_one_sentence() {
    let shop = Shop::new();
    let rows: [(&[&str], i32, &str); 10] = [
        (&["plan", "--new", FIVE, "--start", "2199-01-01 09:00"], 2, "four years"),
        (&["plan"], 2, "there is nothing to plan"),
        (&["plan", "--new", FIVE, "--hours", "18:00-09:00"], 2, "ends before it begins"),
        (&["plan", "--new", FIVE, "--days", "someday"], 2, "names no days"),
        (&["plan", "--new", FIVE, "--off", "2026-12-27..2026-12-24"], 2, "ends before it begins"),
        (&["plan", "--new", FIVE, "--start", "2020-01-01 09:00"], 2, "is over"),
        (&["plan", "--new", FIVE, "--ready-by", "-4m"], 2, "is over"),
        (&["plan", "--new", "0 of 300x400mm"], 2, "1 to 200 panels"),
        (&["plan", "--new", "five of 300x400mm"], 2, "write for example"),
        (&["plan", "--new", FIVE, "--hours", "09:00-10:00"], 1, "from stipple to last coat"),
    ];
    for (args, code, told) in rows {
        let ran = shop.run(args);
        assert_eq!((ran.code, ran.out.as_str()), (Some(code), ""), "{args:?}: {}", ran.err);
        assert!(ran.err.contains(told), "{args:?}: {}", ran.err);
        // Behind what cannot be stands what would do, a line each.
        let said = ran.err.trim_end().lines().filter(|line| !line.starts_with("it can be "));
        assert_eq!(said.count(), 1, "{args:?}: {}", ran.err);
    }
}
