//! Several processes on one panel at once, and processes ended by force: what was acknowledged is there, once.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod common;

use common::screen::Screen;
use common::{Shop, has};
use std::collections::BTreeMap;
use std::process::Stdio;
use std::thread;
use std::time::{Duration, Instant};

/// Numbers that look random and are the same for the same seed (xorshift).
struct Dice(u64);

impl Dice {
    /// A seed from the clock, or the one in `SEED`; printed, so that a failing run can be had again.
    fn thrown() -> Dice {
        let clock = || u64::from(std::time::UNIX_EPOCH.elapsed().unwrap().subsec_nanos()) | 1;
        let seed = std::env::var("SEED").ok().and_then(|s| s.parse().ok()).unwrap_or_else(clock);
        eprintln!("SEED={seed}");
        Dice(seed)
    }

    fn below(&mut self, n: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % n
    }
}

/// The notes of a panel and how often each stands there.
fn notes(shop: &Shop, id: &str) -> BTreeMap<String, usize> {
    let mut notes = BTreeMap::new();
    for fact in shop.show(id)["facts"].as_array().unwrap() {
        if fact["fact"] == "noted" {
            *notes.entry(fact["text"].as_str().unwrap().to_owned()).or_default() += 1;
        }
    }
    notes
}

/// The facts are numbered without a gap, behind the opening and its copy.
fn dense(shop: &Shop, id: &str) -> usize {
    let story = shop.show(id);
    let mut seqs: Vec<u64> = story["facts"].as_array().unwrap().iter().map(|f| f["seq"].as_u64().unwrap()).collect();
    seqs.sort_unstable();
    let expected: Vec<u64> = (0..=seqs.len() as u64).filter(|seq| *seq != 1).collect();
    assert_eq!(seqs, expected);
    seqs.len()
}

#[test]
fn four_processes_mark_the_same_panel_at_once() {
    const EACH: usize = 12;
    let shop = Shop::new();
    let id = shop.panel("Wren");
    let acknowledged = thread::scope(|scope| {
        let process = |n: usize| {
            let (shop, id) = (&shop, &id);
            move || {
                let mut done = 0;
                for i in 0..EACH {
                    shop.done(&["mark", id, "note", &format!("{n}-{i}")]);
                    // Whoever comes when nothing is left is told so, and that is no acknowledgement.
                    done += usize::from(shop.run(&["mark", id, "done"]).code == Some(0));
                }
                done
            }
        };
        let all: Vec<_> = (0..4).map(|n| scope.spawn(process(n))).collect();
        all.into_iter().map(|one| one.join().unwrap()).sum::<usize>()
    });
    let notes = notes(&shop, &id);
    let expected: BTreeMap<String, usize> =
        (0..4).flat_map(|n| (0..EACH).map(move |i| (format!("{n}-{i}"), 1))).collect();
    assert_eq!(notes, expected);
    let done = shop.facts(&id).iter().filter(|f| *f == "done").count();
    assert_eq!(done, acknowledged, "{:#}", shop.show(&id));
    assert_eq!(dense(&shop, &id), 1 + 4 * EACH + done);
    shop.sound();
}

#[test]
fn panels_opened_at_once_get_ids_of_their_own() {
    let shop = Shop::new();
    let ids = thread::scope(|scope| {
        let all: Vec<_> = (0..4).map(|_| scope.spawn(|| shop.panel("Wren"))).collect();
        all.into_iter().map(|one| one.join().unwrap()).collect::<std::collections::BTreeSet<_>>()
    });
    assert_eq!(ids.into_iter().collect::<Vec<_>>(), ["wren", "wren-2", "wren-3", "wren-4"]);
    assert_eq!(shop.json(&["panels", "--json"])["panels"].as_array().unwrap().len(), 4);
    shop.sound();
}

#[test]
fn a_script_that_is_killed_anywhere_loses_nothing_it_acknowledged() {
    let mut dice = Dice::thrown();
    let shop = Shop::new();
    let id = shop.panel("Wren");
    let mut acknowledged = BTreeMap::new();
    for round in 0..40 {
        let text = format!("round {round}");
        let mut child =
            shop.command(&["mark", &id, "note", &text]).stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
        // From before it has begun to after it has ended.
        let until = Instant::now() + Duration::from_micros(dice.below(9000));
        while Instant::now() < until && child.try_wait().unwrap().is_none() {
            thread::yield_now();
        }
        let _ = child.kill();
        if child.wait().unwrap().success() {
            acknowledged.insert(text, 1);
        }
        let there = notes(&shop, &id);
        assert!(acknowledged.keys().all(|note| there.contains_key(note)), "{acknowledged:?} {there:?}");
        assert!(there.values().all(|times| *times == 1), "{there:?}");
        // Whatever stands there from now on stays there.
        acknowledged = there;
        let verified = shop.run(&["verify"]).code;
        assert!(verified == Some(0) || verified == Some(1), "round {round}: {verified:?}");
    }
    shop.done(&["mark", &id, "note", "at last"]);
    dense(&shop, &id);
    shop.sound();
}

#[test]
fn a_bench_that_is_killed_anywhere_stands_where_it_stood() {
    let mut dice = Dice::thrown();
    let shop = Shop::new();
    let id = shop.panel("Wren");
    let mut told = 1;
    for round in 0..15 {
        let mut screen = Screen::bench(&shop);
        screen.shows("Wren").keys("w").shows("A note").keys(&format!("{round}\r")).lacks("A note");
        // The note was shown as kept. Its take-back is on its way when the end comes.
        screen.keys("u");
        let until = Instant::now() + Duration::from_micros(dice.below(6000));
        while Instant::now() < until {
            thread::yield_now();
        }
        screen.kill();
        let there = notes(&shop, &id);
        assert_eq!(there, (0..=round).map(|n| (n.to_string(), 1)).collect::<BTreeMap<_, _>>());
        let now = dense(&shop, &id);
        assert!(now == told + 1 || now == told + 2, "round {round}: {told} facts, then {now}");
        told = now;
    }
    shop.done(&["mark", &id, "note", "at last"]);
    dense(&shop, &id);
    shop.sound();
}

/// Runs `mark note` under strace with a fault put in. Returns whether it was acknowledged.
fn marked_with(shop: &Shop, id: &str, text: &str, fault: &str) -> bool {
    let journal = shop.journal(id);
    let mut strace = shop.of("strace");
    strace.args(["-f", "-qq", "-o", "/dev/null", "-P"]).arg(&journal).args(["-e", &format!("inject={fault}")]);
    strace.arg(common::program()).args(["mark", id, "note", text]);
    let ran: common::Ran = strace.output().unwrap().into();
    match ran.code {
        Some(0) => true,
        Some(1) => {
            assert!(ran.sentence().contains("saved") || ran.sentence().contains("not certain"), "{fault}: {ran:?}");
            false
        }
        _ => {
            assert!(fault.contains("KILL"), "{fault}: {ran:?}");
            false
        }
    }
}

/// Whether strace may look at other processes here.
fn strace_works(shop: &Shop) -> bool {
    let tried = || shop.of("strace").args(["-o", "/dev/null", "true"]).output().is_ok_and(|o| o.status.success());
    let works = has("strace", "a fault at the k-th call") && tried();
    if !works {
        eprintln!("strace cannot be used here: a fault at the k-th call is not tried");
    }
    works
}

#[test]
fn a_fault_at_any_call_on_the_journal_loses_nothing_and_says_so() {
    let shop = Shop::new();
    if !strace_works(&shop) {
        return;
    }
    let id = shop.panel("Wren");
    let mut acknowledged = vec![];
    let faults = [
        "fsync,fdatasync:error=EIO",
        "write:error=ENOSPC",
        "write:error=EIO",
        "write:signal=KILL",
        "fsync,fdatasync:signal=KILL",
        "ftruncate:error=EIO",
    ];
    for fault in faults {
        for when in 1..=3 {
            let text = format!("{fault} {when}");
            if marked_with(&shop, &id, &text, &format!("{fault}:when={when}")) {
                acknowledged.push(text);
            }
            let verified = shop.run(&["verify"]);
            assert!(matches!(verified.code, Some(0 | 1)), "{fault} {when}: {verified:?}");
            let there = notes(&shop, &id);
            for note in &acknowledged {
                assert_eq!(there.get(note), Some(&1), "{fault} {when}: {there:?}");
            }
        }
    }
    assert!(!acknowledged.is_empty(), "some of these faults come after the last call");
    shop.done(&["mark", &id, "note", "at last"]);
    dense(&shop, &id);
    shop.sound();
}
