//! A pass against real directories and failing disks: all of it is folded before anything is written, and what is told as
//! written is on disk.

use super::tests::{clock, id, opening, story_on};
use super::*;
use crate::record::journal::faults::{Fuse, FusedDisk, Plan};
use crate::record::journal::storage::FsStorage;
use crate::units::{Span, Stamp};
use crate::work::panel::act::PanelAct;
use crate::work::panel::refusal::PanelRefusal;
use crate::work::story::{OrderRefusal, StoryEvent};
use std::sync::Arc;

/// The minute the tests' panels are opened is the second; everything before the pass takes place by then.
fn minute(min: f64) -> Stamp {
    Stamp::from_ms(1_800_000_000_000) + Span::from_min(min)
}

fn at_minute(min: f64) -> impl Fn() -> Moment {
    move || Moment::from_wall(minute(min))
}

fn done(panel: &str, min: Option<f64>) -> PassEntry {
    PassEntry { id: id(panel), act: PanelAct::done_as_planned(), at: min.map(minute), expected_stage: None }
}

/// Three panels opened and prepared, by minute 12.
fn rack(dir: &std::path::Path) -> Bench {
    let now = clock();
    let mut bench = Bench::new(Shelf::open(dir));
    bench.open_panels(&opening("Wren", 3), &now).unwrap();
    for panel in ["wren-1", "wren-2", "wren-3"] {
        bench.record(&id(panel), &RecordRequest::from_act(PanelAct::done_as_planned()), &now).unwrap();
    }
    bench
}

/// What stands on disk of each panel: so many facts besides the opening, and when the last of them was.
fn on_disk(bench: &Bench) -> Vec<(usize, Stamp)> {
    ["wren-1", "wren-2", "wren-3"]
        .iter()
        .map(|panel| {
            let story = story_on(&Shelf::open(bench.shelf().root()), &id(panel)).unwrap();
            (story.entries().len() - 1, story.entries().last().unwrap().at)
        })
        .collect()
}

#[test]
fn a_pass_writes_each_fact_at_its_time_and_goes_back_as_one() {
    let dir = tempfile::tempdir().unwrap();
    let mut bench = rack(dir.path());
    let before = on_disk(&bench);
    let pass = [done("wren-3", None), done("wren-1", Some(24.0)), done("wren-2", Some(27.0))];
    let recorded = bench.record_pass(&pass, &at_minute(30.0)).unwrap();
    let facts: Vec<_> = recorded.written.iter().map(|f| (f.index, f.id.as_str(), f.seq)).collect();
    assert_eq!(facts, [(1, "wren-1", 3), (2, "wren-2", 3), (0, "wren-3", 3)]);
    assert_eq!(on_disk(&bench), [(2, minute(24.0)), (2, minute(27.0)), (2, minute(30.0))]);
    let shown: Vec<_> = recorded.changed.iter().map(|t| t.story.clone()).collect();
    let read: Vec<_> = ["wren-1", "wren-2", "wren-3"].map(|p| story_on(bench.shelf(), &id(p))).to_vec();
    assert_eq!((shown, recorded.failed), (read, Vec::new()));

    let facts: Vec<_> = recorded.written.into_iter().map(|f| (f.id, f.seq)).collect();
    // Something was recorded on one of them since: nothing at all is taken back.
    let note = RecordRequest::from_act(PanelAct::Note("a hair".into()));
    bench.record(&id("wren-2"), &note, &at_minute(31.0)).unwrap();
    let refused = bench.undo_pass(&facts, &at_minute(32.0)).unwrap_err();
    let changed = RecordError::Refused(PanelRefusal::Order(OrderRefusal::LastFactChanged));
    assert_eq!(refused, [(1, changed)]);
    assert_eq!(on_disk(&bench).iter().map(|(facts, _)| *facts).collect::<Vec<_>>(), [2, 3, 2]);
    bench.record(&id("wren-2"), &RecordRequest::from_act(PanelAct::Undo { seen: None }), &at_minute(33.0)).unwrap();
    let undone = bench.undo_pass(&facts, &at_minute(34.0)).unwrap();
    assert_eq!((undone.written.len(), undone.failed.len()), (3, 0));
    let standing = |t: &Snapshot| t.story.as_ref().unwrap().last_standing_entry().map(|e| e.at);
    let all: Vec<_> = bench.snapshots().iter().map(|t| standing(t).unwrap()).collect();
    assert_eq!(all, before.iter().map(|(_, at)| *at).collect::<Vec<_>>());
}

#[test]
fn coats_missed_on_one_panel_follow_each_other_whatever_order_they_are_typed_in() {
    let dir = tempfile::tempdir().unwrap();
    let mut bench = rack(dir.path());
    let stage = |n: usize| {
        let story = story_on(bench.shelf(), &id("wren-1")).unwrap();
        let mut stages = story.panel().stages();
        stages.nth(n).unwrap()
    };
    // Four coats of size, typed from the last to the first, each with the stage it stands for.
    let (first, second) = (stage(1), stage(2));
    let mut sheet: Vec<_> = [22.0, 18.0, 16.0, 14.0].map(|min| done("wren-1", Some(min))).to_vec();
    sheet[3].expected_stage = Some(first);
    sheet[2].expected_stage = Some(second);
    let recorded = bench.record_pass(&sheet, &at_minute(40.0)).unwrap();
    assert_eq!(recorded.written.iter().map(|f| (f.index, f.seq)).collect::<Vec<_>>(), [(3, 3), (2, 4), (1, 5), (0, 6)]);
    assert_eq!(recorded.changed.len(), 1);
    let story = story_on(bench.shelf(), &id("wren-1")).unwrap();
    let kinds: Vec<_> = story.panel().steps().iter().filter(|s| s.laid_coat().is_some()).map(|s| s.slot).collect();
    assert_eq!(kinds.len(), 5);
    // Taken back in whatever order they are named.
    let facts: Vec<_> = [3, 6, 4, 5].map(|seq| (id("wren-1"), seq)).to_vec();
    bench.undo_pass(&facts, &at_minute(41.0)).unwrap();
    let story = story_on(bench.shelf(), &id("wren-1")).unwrap();
    assert_eq!(story.panel().stage_at_hand(), Some(first));
    // With one of them missing, those behind it are not the last any more.
    let recorded = bench.record_pass(&sheet, &at_minute(42.0)).unwrap();
    let mut facts: Vec<_> = recorded.written.into_iter().map(|f| (f.id, f.seq)).collect();
    facts.remove(2);
    assert_eq!(bench.undo_pass(&facts, &at_minute(43.0)).unwrap_err().len(), 2);
}

#[test]
fn one_refusal_refuses_all_and_each_is_named() {
    let dir = tempfile::tempdir().unwrap();
    let mut bench = rack(dir.path());
    let before = on_disk(&bench);
    let seen = story_on(bench.shelf(), &id("wren-2")).unwrap().panel().stages().next();
    let pass = [
        done("wren-1", None),
        PassEntry { expected_stage: seen, ..done("wren-2", None) },
        done("wren-3", Some(0.0)),
        done("nobody", None),
        done("wren-1", Some(90.0)),
    ];
    let refused = bench.record_pass(&pass, &at_minute(30.0)).unwrap_err();
    assert_eq!(refused.iter().map(|(index, _)| *index).collect::<Vec<_>>(), [1, 2, 3, 4], "{refused:?}");
    assert!(matches!(refused[0].1, RecordError::Refused(PanelRefusal::NoLongerAtHand { .. })));
    assert!(matches!(refused[1].1, RecordError::Refused(PanelRefusal::Order(OrderRefusal::BeforeOpening { .. }))));
    assert!(matches!(refused[2].1, RecordError::Journal(_)), "{refused:?}");
    assert!(matches!(refused[3].1, RecordError::Refused(PanelRefusal::Order(OrderRefusal::TooFarAhead { .. }))));
    assert_eq!(on_disk(&bench), before);
    // A damaged panel refuses as well, before a line is written to the others.
    let path = bench.shelf().story_path(Drawer::Panels, &id("wren-3"));
    let mut bytes = std::fs::read(&path).unwrap();
    let in_the_last_line = bytes.len() - 60;
    bytes[in_the_last_line] ^= 1;
    std::fs::write(&path, bytes).unwrap();
    let mut bench = Bench::new(Shelf::open(dir.path()));
    let refused = bench.record_pass(&[done("wren-1", None), done("wren-3", None)], &at_minute(30.0)).unwrap_err();
    assert_eq!(refused.len(), 1);
    assert_eq!((refused[0].0, story_on(bench.shelf(), &id("wren-1")).unwrap().entries().len()), (1, 2));
}

/// However the disk fails: what is told as written is on disk, what is told as failed is not, and a pass that is repeated
/// with what failed is whole.
#[test]
fn a_failing_disk_leaves_what_was_written_and_names_the_rest() {
    for fail_at in 0.. {
        let mut blown = false;
        for for_good in [false, true] {
            let dir = tempfile::tempdir().unwrap();
            drop(rack(dir.path()));
            let fuse = Arc::new(Fuse::default());
            let disk = FusedDisk { disk: Arc::new(FsStorage), fuse: Arc::clone(&fuse) };
            let mut bench = Bench::new(Shelf::with_storage(Arc::new(disk), dir.path()));
            fuse.set(Some(Plan { fail_at, bytes: 30, for_good, error: std::io::ErrorKind::StorageFull }));
            let pass: Vec<_> = [14.0, 16.0]
                .iter()
                .flat_map(|min| ["wren-1", "wren-2", "wren-3"].map(|p| done(p, Some(*min))))
                .collect();
            let result = bench.record_pass(&pass, &at_minute(40.0));
            blown |= fuse.blown();
            fuse.set(None);
            let said = format!("call {fail_at}, for good {for_good}: {result:?}");
            let shelf = Shelf::open(dir.path());
            let done_at = |panel: &Id| -> Vec<Stamp> {
                let story = story_on(&shelf, panel).unwrap();
                story.entries().iter().skip(2).filter(|e| e.event.name() == "done").map(|e| e.at).collect()
            };
            let failed: Vec<usize> = match &result {
                Ok(recorded) => {
                    let told = recorded.written.iter().map(|f| f.index).chain(recorded.failed.iter().map(|f| f.0));
                    let mut told: Vec<_> = told.collect();
                    told.sort_unstable();
                    assert_eq!(told, (0..6).collect::<Vec<_>>(), "{said}");
                    for fact in &recorded.written {
                        assert!(done_at(&fact.id).contains(&pass[fact.index].at.unwrap()), "{said}");
                    }
                    for (nth, (index, error)) in recorded.failed.iter().enumerate() {
                        let is_same_panel = |f: &(usize, RecordError)| pass[f.0].id == pass[*index].id;
                        let is_behind = recorded.failed[..nth].iter().any(is_same_panel);
                        assert_eq!(*error == RecordError::EarlierFactFailed, is_behind, "{said}: {index}");
                    }
                    recorded.failed.iter().map(|f| f.0).collect()
                }
                Err(_) => (0..6).collect(),
            };
            let stands = |index: usize| done_at(&pass[index].id).contains(&pass[index].at.unwrap());
            for index in &failed {
                let error = result.as_ref().ok().and_then(|r| r.failed.iter().find(|f| f.0 == *index)).map(|f| &f.1);
                // What the disk neither kept for certain nor gave back says so itself.
                let is_uncertain = |error: &RecordError| {
                    matches!(error, RecordError::Journal(JournalError::SyncFailed { rolled_back: false, .. }))
                };
                assert!(!stands(*index) || error.is_some_and(is_uncertain), "{said}: {index}");
            }
            // The disk is well again: what is not there is recorded once more.
            let rest: Vec<_> =
                failed.iter().filter(|index| !stands(**index)).map(|index| pass[*index].clone()).collect();
            assert!(bench.record_pass(&rest, &at_minute(41.0)).is_ok_and(|r| r.failed.is_empty()), "{said}");
            for panel in ["wren-1", "wren-2", "wren-3"] {
                assert_eq!(done_at(&id(panel)), [14.0, 16.0].map(minute), "{said}");
            }
        }
        if !blown {
            assert!(fail_at > 20, "only {fail_at} calls");
            return;
        }
    }
}

/// Whichever write or sync fails while typed facts are taken in, the same file given again completes it and doubles nothing.
#[test]
fn typed_facts_broken_off_anywhere_are_completed_by_the_next_time() {
    let note = |min: f64| PassEntry { act: PanelAct::Note("a hair".into()), ..done("wren-2", Some(min)) };
    // Two alike at one time are two facts.
    let typed = [
        done("wren-1", Some(14.0)),
        done("wren-2", Some(14.0)),
        done("wren-1", Some(14.0)),
        note(20.0),
        done("wren-2", Some(26.0)),
        note(20.0),
    ];
    let whole = tempfile::tempdir().unwrap();
    let mut bench = rack(whole.path());
    assert_eq!(bench.record_typed(&typed, true, &at_minute(40.0)).unwrap().written, []);
    assert_eq!(on_disk(&bench).iter().map(|(facts, _)| *facts).collect::<Vec<_>>(), [1, 1, 1]);
    bench.record_typed(&typed, false, &at_minute(40.0)).unwrap();
    let expected = on_disk(&bench);
    assert_eq!(expected.iter().map(|(facts, _)| *facts).collect::<Vec<_>>(), [3, 5, 1]);
    let mut broken_off = 0;
    for fail_at in 0.. {
        let dir = tempfile::tempdir().unwrap();
        drop(rack(dir.path()));
        let fuse = Arc::new(Fuse::default());
        let fused = FusedDisk { disk: Arc::new(FsStorage), fuse: Arc::clone(&fuse) };
        let mut bench = Bench::new(Shelf::with_storage(Arc::new(fused), dir.path()));
        fuse.set(Some(Plan { fail_at, bytes: 40, for_good: true, error: std::io::ErrorKind::StorageFull }));
        let first = bench.record_typed(&typed, false, &at_minute(40.0));
        let has_written = first.is_ok_and(|first| !first.written.is_empty() && !first.failed.is_empty());
        broken_off += u32::from(has_written);
        let is_over = !fuse.blown();
        fuse.set(None);
        let mut again = Bench::new(Shelf::open(dir.path()));
        let second = again.record_typed(&typed, false, &at_minute(50.0)).unwrap();
        assert_eq!((second.failed.len(), second.written.len() + second.known.len()), (0, typed.len()));
        let facts = |shelf: &[(usize, Stamp)]| shelf.iter().map(|(facts, _)| *facts).collect::<Vec<_>>();
        assert_eq!(facts(&on_disk(&again)), facts(&expected), "broken off at call {fail_at}");
        let third = again.record_typed(&typed, false, &at_minute(60.0)).unwrap();
        assert_eq!((third.written.len(), third.known), (0, vec![0, 1, 2, 3, 4, 5]));
        if is_over {
            break;
        }
    }
    assert!(broken_off > 0, "no write was broken off in the middle");
}
