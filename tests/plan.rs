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
    let schema = include_str!("../assets/schema/plan.json");
    let validator = jsonschema::draft202012::new(&serde_json::from_str(schema).unwrap()).unwrap();
    let wrong: Vec<String> = validator.iter_errors(&plan).map(|e| e.to_string()).collect();
    assert!(wrong.is_empty(), "{wrong:?}");
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
    for told in ["soak glue for glue size, ", "make the gesso", "coat 1 to 6: New 1", "TO HAVE IN THE HOUSE", "g  glue"]
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
    assert!(text == write(), "the same plan gives the same bytes");
    assert!(text.lines().all(|line| line.len() <= 75), "RFC 5545, 3.1: a line is at most 75 octets");
    let events = event_names(&text);
    let uids: BTreeSet<&String> = events.iter().collect();
    assert_eq!(uids.len(), events.len(), "each event has a name of its own");
    // The hash of the act's own words: the same in every plan.
    assert!(events.iter().any(|uid| uid == "8057707871e6f32ca20b541c3a84568f@sottile"));
    let plan = shop.json(&[&["plan", "--new", FIVE, "--json"][..], &start].concat());
    let attended = plan["acts"].as_array().unwrap().iter().filter(|act| act["attended"] == true).count();
    assert_eq!(events.len(), attended);
    // A later start moves every event and renames none.
    let later = shop.done(&["plan", "--new", FIVE, "--ics", "-", "--start", &in_days(monday + 1)]);
    assert!(text.contains("SEQUENCE:0") && !text.contains("SEQUENCE:1"));
    assert!(later.contains("SEQUENCE:1") && !later.contains("SEQUENCE:0"), "each was moved once");
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

/// The weekend this is shown for: a Wednesday evening in Berlin, two weeks before the clocks are put back, and a day of
/// painting after the weekend on which they are.
#[test]
fn five_panels_across_a_weekend_are_in_the_calendar_in_local_time() {
    let shop = Shop::new();
    let zone = "Europe/Berlin";
    let year = chrono::Datelike::year(&chrono::Utc::now()) + 1;
    // The last Sunday of October, on which the clocks of that zone are put back.
    let october = |day| chrono::NaiveDate::from_ymd_opt(year, 10, day).unwrap();
    let sunday = (25..=31).map(october).find(|day| chrono::Datelike::weekday(day) == chrono::Weekday::Sun).unwrap();
    let by = format!("{} 20:00", sunday + chrono::Days::new(3));
    let args = ["plan", "--new", FIVE, "--hours", EVENINGS, "--days", "mon-sat", "--ready-by", &by];
    let file = shop.dir().join("five.ics");
    let path = file.to_str().unwrap();
    let mut command = shop.command(&[&args[..], &["--name", "five for the choir", "--ics", path]].concat());
    let output = command.env("TZ", zone).output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let told = String::from_utf8(output.stdout).unwrap();
    assert!(told.starts_with("five for the choir: to paint on "), "{told}");
    let text = std::fs::read_to_string(&file).unwrap();
    let calendars: Vec<_> = IcalParser::new(text.as_bytes()).map(Result::unwrap).collect();
    let zones = &calendars[0].timezones;
    assert_eq!(zones.len(), 1);
    // Both of that autumn's offsets are told.
    assert!(text.contains("TZOFFSETTO:+0200") && text.contains("TZOFFSETTO:+0100"));
    let mut begins = Vec::new();
    for event in &calendars[0].events {
        let start = event.properties.iter().find(|p| p.name == "DTSTART").unwrap();
        let params = start.params.as_ref().unwrap();
        assert!(params.iter().any(|(name, values)| name == "TZID" && values == &[zone.to_owned()]), "{start:?}");
        let at = chrono::NaiveDateTime::parse_from_str(start.value.as_ref().unwrap(), "%Y%m%dT%H%M%S").unwrap();
        let hour = chrono::Timelike::hour(&at);
        match chrono::Datelike::weekday(&at) {
            chrono::Weekday::Sun => panic!("nobody works on a Sunday: {at}"),
            chrono::Weekday::Sat => assert!((9..17).contains(&hour), "{at}"),
            _ => assert!((18..22).contains(&hour), "{at}"),
        }
        begins.push(at);
    }
    assert!(begins.iter().any(|at| at.date() < sunday) && begins.iter().any(|at| at.date() > sunday));
    if let Some(theirs) = begins_in_python(&file) {
        begins.sort();
        let ours: Vec<String> = begins.iter().map(|at| at.format("%F %H:%M").to_string()).collect();
        assert_eq!(theirs, ours, "a second parser reads the same hours");
    }
    shop.sound();
}

/// The beginnings of the events as Python's reader of calendars finds them, in local time; none where it is not at hand.
fn begins_in_python(file: &std::path::Path) -> Option<Vec<String>> {
    let script = "import sys, icalendar\n\
                  calendar = icalendar.Calendar.from_ical(open(sys.argv[1], 'rb').read())\n\
                  begins = [e.decoded('dtstart') for e in calendar.walk('VEVENT')]\n\
                  assert all(b.tzinfo is not None for b in begins)\n\
                  print('\\n'.join(sorted(b.strftime('%Y-%m-%d %H:%M') for b in begins)))";
    let output = std::process::Command::new("python3").arg("-c").arg(script).arg(file).output();
    let read = output.ok().filter(|output| output.status.success());
    let Some(read) = read else {
        println!("passed over: Python with icalendar is not at hand");
        return None;
    };
    Some(String::from_utf8(read.stdout).unwrap().lines().map(str::to_owned).collect())
}

#[test]
fn the_plan_that_is_kept_holds_its_hours() {
    let shop = Shop::new();
    let plan = |more: &[&str]| shop.done(&[&["plan", "--new", "2 of 300x400x12mm gypsum-zinc"][..], more].concat());
    let journal = shop.data().join("plan.jsonl");
    plan(&[]);
    assert!(!journal.exists(), "a plan is kept when that is asked for");
    let first = plan(&["--keep"]);
    assert!(!first.contains("against the plan"), "{first}");
    let kept = std::fs::read(&journal).unwrap();
    let again = plan(&["--keep"]);
    assert!(again.contains("nothing moved in the plan that is kept"), "{again}");
    assert_eq!(std::fs::read(&journal).unwrap(), kept, "the same plan is not written twice");
    // One more board: what was planned for the two stays where it can.
    let third = plan(&["--new", "1 of 200x200x12mm gypsum-zinc", "--keep"]);
    assert!(third.contains("against the plan that is kept: "), "{third}");
    assert!(std::fs::read(&journal).unwrap().len() > kept.len());
    shop.sound();
    // A torn last line is no reason to plan nothing.
    let mut torn = std::fs::read(&journal).unwrap();
    torn.extend_from_slice(b"{\"v\":1,\"seq\":2");
    std::fs::write(&journal, torn).unwrap();
    plan(&["--keep"]);
}
