//! The bench against real directories and failing disks: what is shown is on disk, and what was acknowledged stays.

use super::recording::Recorded;
use super::*;
use crate::craft::materials::Support;
use crate::craft::recipe::{Paint, Recipe, shipped};
use crate::record::journal::faults::{Fuse, FusedDisk, Plan};
use crate::record::journal::storage::FsStorage;
use crate::units::{Length, Size, Span, Stamp};
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::Face;
use crate::work::panel::refusal::PanelRefusal;
use crate::work::pot::act::PotAct;
use crate::work::pot::event::PotKind;
use crate::work::story::{CommonEvent, OrderRefusal, StoryEvent};
use std::cell::Cell;
use std::sync::Arc;

fn recipe() -> Arc<Recipe> {
    Arc::new(shipped::find_shipped_recipe(shipped::DEFAULT_RECIPE_NAME).unwrap())
}

pub(super) fn opening(label: &str, count: u16) -> PanelOpening {
    PanelOpening {
        sheet: None,
        label: label.into(),
        size: Size { width: Length::from_mm(300.0), height: Length::from_mm(400.0), thickness: None },
        support: Support::BirchPlywood,
        grain: None,
        paint: Paint::Oil,
        recipe: recipe(),
        count,
        at: None,
        witness: false,
    }
}

/// A clock that moves two minutes on at each look.
pub(super) fn clock() -> impl Fn() -> Moment {
    let minutes = Cell::new(0);
    move || {
        minutes.set(minutes.get() + 2);
        Moment::from_wall(Stamp::from_ms(1_800_000_000_000) + Span::from_s(60 * minutes.get()))
    }
}

pub(super) fn id(text: &str) -> Id {
    Id::new(text).unwrap()
}

pub(super) fn story_on(shelf: &Shelf, panel: &Id) -> Option<Arc<PanelStory>> {
    Bench::new(shelf.clone()).load(panel).ok()?.story
}

/// The acts of the failing-disk runs.
fn acts() -> Vec<PanelAct> {
    let note = |n: usize| PanelAct::Note(format!("note {n}"));
    vec![PanelAct::done_as_planned(), note(1), PanelAct::Start, PanelAct::Undo { seen: None }, note(2)]
}

#[test]
fn whichever_call_fails_the_screen_shows_what_is_on_disk() {
    for fail_at in 0.. {
        let mut blown = false;
        for (bytes, for_good) in [(40, false), (0, true)] {
            let dir = tempfile::tempdir().unwrap();
            let fuse = Arc::new(Fuse::default());
            let fused = FusedDisk { disk: Arc::new(FsStorage), fuse: Arc::clone(&fuse) };
            let plain = Shelf::open(dir.path());
            let mut bench = Bench::new(Shelf::with_storage(Arc::new(fused), dir.path()));
            let now = clock();
            let said = format!("call {fail_at}, {bytes} bytes, for good {for_good}");
            fuse.set(Some(Plan { fail_at, bytes, for_good, error: std::io::ErrorKind::StorageFull }));
            let mut acknowledged = Vec::new();
            if let Ok(told) = bench.open_panels(&opening("Wren", 1), &now) {
                acknowledged.extend(told[0].story.as_ref().unwrap().entries().to_vec());
                for act in acts() {
                    if let Ok(Recorded { changed, .. }) = bench.record(&id("wren"), &RecordRequest::from_act(act), &now)
                    {
                        let shown = changed[0].story.as_ref().unwrap();
                        acknowledged.push(shown.entries().last().unwrap().clone());
                        // Shown is durable: somebody who reads the file now reads just that.
                        assert_eq!(Some(shown), story_on(&plain, &id("wren")).as_ref(), "{said}");
                    }
                }
            }
            blown |= fuse.blown();
            let recovered = story_on(&plain, &id("wren"));
            let entries = recovered.as_ref().map_or(&[][..], |s| s.entries());
            for entry in &acknowledged {
                assert!(entries.contains(entry), "{said}: {entry:?} is gone");
            }
            let report = plain.verify(&plain.story_path(Drawer::Panels, &id("wren")));
            assert!(report.map_or(true, |r| r.damages.iter().all(|p| !p.kind.is_blocking())), "{said}");
            // The disk is well again: the maker goes on where the file stands.
            fuse.set(None);
            if recovered.is_some() {
                let noted = bench.record(&id("wren"), &RecordRequest::from_act(PanelAct::Note("after".into())), &now);
                assert!(noted.is_ok(), "{said}: {noted:?}");
            }
        }
        if !blown {
            assert!(fail_at > 20, "only {fail_at} calls");
            return;
        }
    }
}

#[test]
fn two_windows_lose_nothing_and_record_nothing_twice() {
    let dir = tempfile::tempdir().unwrap();
    let now = clock();
    let mut one = Bench::new(Shelf::open(dir.path()));
    one.open_panels(&opening("Wren", 1), &now).unwrap();
    let mut two = Bench::new(Shelf::open(dir.path()));
    let wren = id("wren");
    two.load(&wren).unwrap();
    let seen = two.snapshots()[0].story.as_ref().unwrap().panel().stage_at_hand();
    let ask = RecordRequest { expected_stage: seen, ..RecordRequest::from_act(PanelAct::done_as_planned()) };
    one.record(&wren, &ask, &now).unwrap();
    // The second window pressed for the same stage, which is no longer at hand.
    let refused = two.record(&wren, &ask, &now);
    assert!(matches!(refused, Err(RecordError::Refused(PanelRefusal::NoLongerAtHand { .. }))), "{refused:?}");
    two.record(&wren, &RecordRequest::from_act(PanelAct::done_as_planned()), &now).unwrap();
    assert_eq!(one.refresh(clock()()).len(), 1);
    assert_eq!(one.snapshots(), two.snapshots());
    assert_eq!(one.snapshots()[0].story.as_ref().unwrap().entries().len(), 3);
    assert!(one.refresh(clock()()).is_empty());
}

#[test]
fn leaving_is_written_to_every_panel_that_is_being_laid() {
    let dir = tempfile::tempdir().unwrap();
    let now = clock();
    let mut bench = Bench::new(Shelf::open(dir.path()));
    bench.open_panels(&opening("Wren", 3), &now).unwrap();
    for panel in ["wren-1", "wren-2"] {
        // To the tapped coat: the board, four coats of size, the tapping.
        for _ in 0..6 {
            bench.record(&id(panel), &RecordRequest::from_act(PanelAct::done_as_planned()), &now).unwrap();
        }
    }
    let changed = bench.record(&id("wren-3"), &RecordRequest::from_act(PanelAct::Away), &now).unwrap().changed;
    let away = |t: &Snapshot| t.story.as_ref().unwrap().panel().status(now()).away_since.is_some();
    let left: Vec<_> = bench.snapshots().iter().filter(|t| away(t)).map(|t| t.id.to_string()).collect();
    assert_eq!(left, ["wren-1", "wren-2"]);
    assert_eq!(changed.len(), 3, "the named one first, then those it was written to");
    bench.record(&id("wren-1"), &RecordRequest::from_act(PanelAct::done_as_planned()), &now).unwrap();
    assert!(bench.record(&id("wren-2"), &RecordRequest::from_act(PanelAct::Back), &now).is_ok());
    let none = bench.record(&id("wren-3"), &RecordRequest::from_act(PanelAct::Back), &now);
    assert!(matches!(none, Err(RecordError::Refused(PanelRefusal::NotAway))), "{none:?}");
}

#[test]
fn a_fact_just_recorded_is_moved_in_time() {
    let dir = tempfile::tempdir().unwrap();
    let now = clock();
    let mut bench = Bench::new(Shelf::open(dir.path()));
    bench.open_panels(&opening("Wren", 1), &now).unwrap();
    let wren = id("wren");
    let told =
        bench.record(&wren, &RecordRequest::from_act(PanelAct::done_as_planned()), &now).unwrap().changed.remove(0);
    let last = told.story.as_ref().unwrap().last_standing_entry().unwrap().clone();
    let moved = bench.retime(&wren, last.seq, last.at - Span::from_min(1.0), &now).unwrap();
    let story = moved.story.unwrap();
    assert_eq!(story.entries().len(), 3, "one line moves it");
    assert!(story.is_taken_back(last.seq));
    assert_eq!(story.last_standing_entry().unwrap().replaces, Some(last.seq));
    assert_eq!(
        story.last_standing_entry().map(|e| (e.event.clone(), e.at)),
        Some((last.event, last.at - Span::from_min(1.0)))
    );
    // Before the opening it cannot lie, and then nothing at all is written.
    let seq = story.last_standing_entry().unwrap().seq;
    assert!(bench.retime(&wren, seq, Stamp::from_ms(0), &now).is_err());
    assert_eq!(story_on(bench.shelf(), &wren).unwrap().entries().len(), 3);
    // Another fact since: the maker looks again.
    bench.record(&wren, &RecordRequest::from_act(PanelAct::Note("x".into())), &now).unwrap();
    let late = bench.retime(&wren, seq, last.at, &now);
    assert_eq!(late, Err(RecordError::Refused(PanelRefusal::Order(OrderRefusal::LastFactChanged))));
}

/// However the disk fails, and wherever the power goes: the fact stands where it stood or where it was moved to.
#[test]
fn a_fact_being_moved_stands_at_every_moment() {
    for fail_at in 0.. {
        let dir = tempfile::tempdir().unwrap();
        let now = clock();
        let fuse = Arc::new(Fuse::default());
        let disk = FusedDisk { disk: Arc::new(FsStorage), fuse: Arc::clone(&fuse) };
        let mut bench = Bench::new(Shelf::with_storage(Arc::new(disk), dir.path()));
        bench.open_panels(&opening("Wren", 1), &now).unwrap();
        let wren = id("wren");
        let told =
            bench.record(&wren, &RecordRequest::from_act(PanelAct::done_as_planned()), &now).unwrap().changed.remove(0);
        let last = told.story.as_ref().unwrap().last_standing_entry().unwrap().clone();
        fuse.set(Some(Plan { fail_at, bytes: 30, for_good: true, error: std::io::ErrorKind::StorageFull }));
        let moved = bench.retime(&wren, last.seq, last.at - Span::from_min(1.0), &now);
        let reached = fuse.blown();
        fuse.set(None);
        let story = story_on(&Shelf::open(dir.path()), &wren).unwrap();
        let standing = story.last_standing_entry().map(|e| (e.event.name().to_owned(), e.at));
        let at = if story.entries().len() == 3 { last.at - Span::from_min(1.0) } else { last.at };
        assert_eq!(standing, Some(("done".to_owned(), at)), "call {fail_at}");
        if !reached {
            assert!(moved.is_ok());
            return;
        }
    }
}

#[test]
fn a_call_is_written_once_whoever_raises_it() {
    let dir = tempfile::tempdir().unwrap();
    let now = clock();
    let mut bench = Bench::new(Shelf::open(dir.path()));
    bench.open_panels(&opening("Wren", 1), &now).unwrap();
    let wren = id("wren");
    for _ in 0..6 {
        bench.record(&wren, &RecordRequest::from_act(PanelAct::done_as_planned()), &now).unwrap();
    }
    let story = bench.snapshots()[0].story.clone().unwrap();
    let due = Moment::from_wall(story.last_fact_at() + Span::from_min(20.0));
    let (call, of) = find_due_call(&story, due, None).unwrap();
    assert_eq!(call, PanelCall::Due);
    let alert = CommonEvent::Alert { call, fact_seq: of };
    let told = bench.record_notice(&wren, alert.clone(), &|| due).unwrap();
    assert_eq!(find_due_call(told.story.as_ref().unwrap(), due, None), None);
    let again = Bench::new(Shelf::open(dir.path())).record_notice(&wren, alert, &|| due);
    assert!(matches!(again, Err(RecordError::Refused(PanelRefusal::AlreadyRaised { .. }))), "{again:?}");
}

#[test]
fn the_rack_holds_the_unfinished_and_is_rebuilt_where_it_is_gone() {
    let dir = tempfile::tempdir().unwrap();
    let now = clock();
    let mut bench = Bench::new(Shelf::open(dir.path()));
    bench.open_panels(&opening("Wren", 2), &now).unwrap();
    let racked = |now: Moment| {
        let mut bench = Bench::new(Shelf::open(dir.path()));
        bench.load_rack(now).unwrap();
        bench.snapshots().iter().map(|t| t.id.to_string()).collect::<Vec<_>>()
    };
    assert_eq!(racked(now()), ["wren-1", "wren-2"]);
    bench.record(&id("wren-1"), &RecordRequest::from_act(PanelAct::Abandon("cracked".into())), &now).unwrap();
    assert_eq!(racked(now()), ["wren-2"]);
    std::fs::remove_file(dir.path().join("rack.json")).unwrap();
    assert_eq!(racked(now()), ["wren-2"]);
    bench.record(&id("wren-1"), &RecordRequest::from_act(PanelAct::Undo { seen: None }), &now).unwrap();
    assert_eq!(racked(now()), ["wren-1", "wren-2"]);
    assert!(dir.path().join("rack.json").exists());
}

/// A program killed between a record and the rack leaves the rack as it was before: what the bench holds follows from the
/// journals all the same, in every direction, and so it does where a file was put there by hand.
#[test]
fn the_rack_hides_nothing_whatever_was_recorded_since_it_was_kept() {
    let dir = tempfile::tempdir().unwrap();
    let now = clock();
    let mut bench = Bench::new(Shelf::open(dir.path()));
    bench.open_panels(&opening("Wren", 2), &now).unwrap();
    let rack = dir.path().join("rack.json");
    let racked = || {
        let mut bench = Bench::new(Shelf::open(dir.path()));
        bench.load_rack(now()).unwrap();
        let ids = bench.snapshots().iter().map(|t| t.id.to_string()).collect::<Vec<_>>().join(" ");
        let again = bench.refresh(now()).len();
        assert_eq!(again, 0, "reading on brings nothing new");
        ids
    };
    let give_up = RecordRequest::from_act(PanelAct::Abandon("cracked".into()));
    let reopen = RecordRequest::from_act(PanelAct::Undo { seen: None });
    let wren = dir.path().join("panels/wren-1.jsonl");
    let unfinished_copy = std::fs::read(&wren).unwrap();
    let before = std::fs::read(&rack).unwrap();
    let mut step = |what: &str, change: &mut dyn FnMut(&mut Bench), expected: &str| {
        let before = std::fs::read(&rack).unwrap();
        change(&mut bench);
        let after = std::fs::read(&rack).unwrap();
        std::fs::write(&rack, &before).unwrap();
        assert_eq!(racked(), expected, "{what}, and killed before the rack was kept");
        std::fs::write(&rack, &after).unwrap();
        assert_eq!(racked(), expected, "{what}");
    };
    step("given up", &mut |b| drop(b.record(&id("wren-1"), &give_up, &now).unwrap()), "wren-2");
    step("taken back", &mut |b| drop(b.record(&id("wren-1"), &reopen, &now).unwrap()), "wren-1 wren-2");
    step("a new one", &mut |b| drop(b.open_panels(&opening("Robin", 1), &now).unwrap()), "wren-1 wren-2 robin");
    step("given up again", &mut |b| drop(b.record(&id("wren-1"), &give_up, &now).unwrap()), "wren-2 robin");
    step("a copy put back", &mut |_| std::fs::write(&wren, &unfinished_copy).unwrap(), "wren-1 wren-2 robin");
    std::fs::write(&rack, before).unwrap();
    assert_eq!(racked(), "wren-1 wren-2 robin", "an old rack copied over");
}

/// The bench reads the pots in use, those its panels name, the last that ended and their lines; a command that asks for all gets all. What it
/// holds does not depend on whether a rack is kept.
#[test]
fn the_bench_holds_the_pots_its_panels_can_use_and_what_belongs_to_them() {
    let dir = tempfile::tempdir().unwrap();
    let now = clock();
    let day = |n: f64| Moment::from_wall(Stamp::from_ms(1_800_000_000_000) + Span::from_h(24.0 * n));
    let mut bench = Bench::new(Shelf::open(dir.path()));
    let mut open = |label: &str, kind, parent: Option<&str>, at: f64| {
        let pot = PotOpening {
            filler_lot: None,
            label: label.into(),
            kind,
            parent: parent.map(id),
            recipe: recipe(),
            size_ml: None,
            lot: None,
            at: None,
            for_group: None,
        };
        bench.open_pot(&pot, &|| day(at)).unwrap();
    };
    open("forgotten", PotKind::Gesso, None, -50.0);
    open("old-size", PotKind::Size, None, -40.0);
    open("sibling", PotKind::Gesso, Some("old-size"), -39.0);
    open("gesso", PotKind::Gesso, Some("old-size"), -2.0);
    open("named", PotKind::Gesso, None, -60.0);
    for n in 1..=6 {
        open(&format!("ended-{n}"), PotKind::Size, None, -8.0 + f64::from(n));
    }
    for n in 1..=6 {
        bench.record_pot(&id(&format!("ended-{n}")), &PotAct::Empty, None, &|| day(f64::from(n) / 10.0 - 1.0)).unwrap();
    }
    bench.open_panels(&opening("Wren", 1), &now).unwrap();
    let wren = id("wren");
    for n in 0..7 {
        let pot = (n == 6).then(|| id("named"));
        let act = PanelAct::Done { direction: None, pot, map: None, by: None };
        bench.record(&wren, &RecordRequest::from_act(act), &now).unwrap();
    }
    let here = |then: Moment| {
        let mut bench = Bench::new(Shelf::open(dir.path()));
        bench.load_rack(then).unwrap();
        let at_hand = bench.load_rack_pots(then).unwrap();
        let ids = |told: &[Snapshot<Pot>]| told.iter().map(|t| t.id.to_string()).collect::<Vec<_>>().join(" ");
        assert!(bench.refresh_pots(then).is_empty());
        assert_eq!(ids(&bench.pot_snapshots()), ids(&at_hand));
        assert_eq!(bench.load_pots().unwrap().len(), 11);
        ids(&at_hand)
    };
    for what in ["a rack", "no rack"] {
        assert_eq!(here(now()), "named old-size sibling ended-3 ended-4 ended-5 ended-6 gesso", "{what}");
        let _ = std::fs::remove_file(dir.path().join("rack.json"));
    }
    // The panel has coats from these.
    assert_eq!(here(day(40.0)), "named old-size sibling gesso");
}

#[test]
fn a_coat_names_the_pot_it_can_only_have_come_from() {
    let dir = tempfile::tempdir().unwrap();
    let now = clock();
    let mut bench = Bench::new(Shelf::open(dir.path()));
    bench.open_panels(&opening("Wren", 1), &now).unwrap();
    let pot = |label: &str, kind| PotOpening {
        filler_lot: None,
        label: label.into(),
        kind,
        parent: None,
        recipe: recipe(),
        size_ml: None,
        lot: None,
        at: None,
        for_group: None,
    };
    bench.open_pot(&pot("Size", PotKind::Size), &now).unwrap();
    bench.open_pot(&pot("Gesso", PotKind::Gesso), &now).unwrap();
    let wren = id("wren");
    for _ in 0..7 {
        bench.record(&wren, &RecordRequest::from_act(PanelAct::done_as_planned()), &now).unwrap();
    }
    let named = |bench: &Bench| {
        let story = bench.snapshots()[0].story.clone().unwrap();
        let pots = story.panel().steps().iter().filter_map(|s| s.laid_coat()).map(|l| l.event.pot.clone());
        pots.map(|p| p.map_or("-".to_owned(), |p| p.to_string())).collect::<Vec<_>>().join(" ")
    };
    assert_eq!(named(&bench), "- size size size size gesso gesso");
    // With a second one in use it goes on from the one this panel has had; a panel that has had none names none.
    bench.open_pot(&pot("Gesso", PotKind::Gesso), &now).unwrap();
    bench.record(&wren, &RecordRequest::from_act(PanelAct::done_as_planned()), &now).unwrap();
    assert!(named(&bench).ends_with("gesso gesso gesso"), "{}", named(&bench));
    let coats = bench.snapshots()[0].story.as_ref().unwrap().panel().count_coats(Face::Front);
    assert_eq!(coats, 2);
    // A pot used up is named no more, whatever was written down about it afterwards.
    let gesso = id("gesso");
    bench.record_pot(&gesso, &PotAct::Empty, None, &now).unwrap();
    let later = Moment::from_wall(now().wall + Span::from_h(1.0));
    bench.record_pot(&gesso, &PotAct::Note("sour".into()), None, &|| later).unwrap();
    bench.record(&wren, &RecordRequest::from_act(PanelAct::done_as_planned()), &now).unwrap();
    assert!(named(&bench).ends_with("gesso gesso gesso-2"), "{}", named(&bench));
}

#[test]
fn a_fact_of_this_moment_follows_one_that_was_put_a_minute_ahead() {
    let dir = tempfile::tempdir().unwrap();
    let now = clock();
    let mut bench = Bench::new(Shelf::open(dir.path()));
    bench.open_panels(&opening("Wren", 1), &now).unwrap();
    let wren = id("wren");
    for _ in 0..7 {
        bench.record(&wren, &RecordRequest::from_act(PanelAct::done_as_planned()), &now).unwrap();
    }
    let moment = now();
    let ahead = moment.wall + Span::from_s(70);
    for at in [Some(ahead), None] {
        bench
            .record(&wren, &RecordRequest { at, ..RecordRequest::from_act(PanelAct::done_as_planned()) }, &|| moment)
            .unwrap();
    }
    let story = bench.snapshots()[0].story.clone().unwrap();
    let ways: Vec<_> = story.panel().steps().iter().filter_map(|s| s.laid_coat()?.event.direction).collect();
    assert!(ways.windows(2).all(|two| two[0] != two[1]) && ways.len() == 3, "{ways:?}");
}

#[test]
fn a_bench_over_named_panels_stays_over_those_and_one_over_the_rack_takes_in_new_ones() {
    let dir = tempfile::tempdir().unwrap();
    let now = clock();
    let ids = |bench: &Bench| bench.snapshots().iter().map(|t| t.id.to_string()).collect::<Vec<_>>();
    let mut first = Bench::new(Shelf::open(dir.path()));
    first.open_panels(&opening("Wren", 3), &now).unwrap();
    for panel in ["wren-1", "wren-2"] {
        for _ in 0..6 {
            first.record(&id(panel), &RecordRequest::from_act(PanelAct::done_as_planned()), &now).unwrap();
        }
    }
    first.record(&id("wren-3"), &RecordRequest::from_act(PanelAct::Abandon("split".into())), &now).unwrap();
    let mut named = Bench::new(Shelf::open(dir.path()));
    named.load(&id("wren-1")).unwrap();
    named.load(&id("wren-3")).unwrap();
    let changed = named.record(&id("wren-1"), &RecordRequest::from_act(PanelAct::Away), &now).unwrap().changed;
    assert_eq!((ids(&named), changed.len()), (vec!["wren-1".to_owned(), "wren-3".to_owned()], 1));
    // The other is away all the same.
    let other = story_on(&Shelf::open(dir.path()), &id("wren-2")).unwrap();
    assert!(other.panel().status(now()).away_since.is_some());
    let mut over = Bench::new(Shelf::open(dir.path()));
    over.load_rack(now()).unwrap();
    first.open_panels(&opening("Robin", 1), &now).unwrap();
    let news: Vec<_> = over.refresh(now()).iter().map(|t| t.id.to_string()).collect();
    assert_eq!((news, ids(&over)), (vec!["robin".to_owned()], vec!["wren-1".into(), "wren-2".into(), "robin".into()]));
    assert!(named.refresh(now()).iter().all(|t| t.id.as_str() != "robin"));
}

/// A story mended under an open bench is read anew; one that only lost facts stays told as damaged.
#[test]
fn a_story_mended_while_the_bench_is_open_is_read_anew() {
    let flip = |path: &std::path::Path, line: usize| {
        let mut bytes = std::fs::read(path).unwrap();
        let start = bytes.split_inclusive(|b| *b == b'\n').take(line).map(<[u8]>::len).sum::<usize>();
        bytes[start + 40] ^= 1;
        std::fs::write(path, bytes).unwrap();
    };
    // Which line is damaged, the opening not counted, and whether the bench was opened before that.
    for (line, opened_before) in [(2, true), (2, false), (5, true), (5, false)] {
        let dir = tempfile::tempdir().unwrap();
        let now = clock();
        let shelf = Shelf::open(dir.path());
        let mut other = Bench::new(shelf.clone());
        other.open_panels(&opening("Wren", 1), &now).unwrap();
        for n in 1..=5 {
            let note = RecordRequest::from_act(PanelAct::Note(format!("note {n}")));
            other.record(&id("wren"), &note, &now).unwrap();
        }
        let path = shelf.story_path(Drawer::Panels, &id("wren"));
        let mut bench = Bench::new(shelf.clone());
        if opened_before {
            bench.load_rack(now()).unwrap();
        }
        flip(&path, line);
        bench.load_rack(now()).unwrap();
        bench.refresh(now());
        shelf.mend(&shelf.lock().unwrap(), &path, now().wall).unwrap();
        bench.refresh(now());
        let told = bench.snapshots().remove(0);
        let on_disk = Bench::new(shelf.clone()).load(&id("wren")).unwrap();
        assert_eq!((told.damage, on_disk.damage), (None, None), "line {line}, opened before {opened_before}");
        assert_eq!(told.story, on_disk.story, "line {line}, opened before {opened_before}");
        let note = RecordRequest::from_act(PanelAct::Note("recorded again".into()));
        bench.record(&id("wren"), &note, &now).unwrap();
    }
    let dir = tempfile::tempdir().unwrap();
    let now = clock();
    let shelf = Shelf::open(dir.path());
    let mut bench = Bench::new(shelf.clone());
    bench.open_panels(&opening("Wren", 1), &now).unwrap();
    let path = shelf.story_path(Drawer::Panels, &id("wren"));
    let shorter = std::fs::read(&path).unwrap();
    bench.record(&id("wren"), &RecordRequest::from_act(PanelAct::Note("gone".into())), &now).unwrap();
    std::fs::write(&path, shorter).unwrap();
    for _ in 0..2 {
        bench.refresh(now());
        assert!(bench.snapshots()[0].damage.is_some(), "facts went, and nobody mended the file");
    }
}

#[test]
fn panels_opened_together_stand_as_people_count() {
    let dir = tempfile::tempdir().unwrap();
    let now = clock();
    let at = Some(now().wall);
    let mut bench = Bench::new(Shelf::open(dir.path()));
    bench.open_panels(&PanelOpening { at, ..opening("Wren", 12) }, &now).unwrap();
    let mut bench = Bench::new(Shelf::open(dir.path()));
    bench.load_rack(now()).unwrap();
    let ids: Vec<_> = bench.snapshots().iter().map(|t| t.id.to_string()).collect();
    assert_eq!(ids, (1..=12).map(|n| format!("wren-{n}")).collect::<Vec<_>>());
    assert_eq!(bench.shelf().panel_ids().unwrap().iter().map(Id::to_string).collect::<Vec<_>>(), ids);
}
