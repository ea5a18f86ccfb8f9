use super::*;
use crate::work::panel::event::{Event, Face};
use crate::work::panel::phase::Phase;
use std::collections::BTreeMap;

fn asked(panels: u16, seed: u64) -> Asked {
    Asked { panels, seed, force: false }
}

/// Every file below `dir`, by its path there.
fn files_in(dir: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut found = BTreeMap::new();
    let mut open = vec![dir.to_owned()];
    while let Some(here) = open.pop() {
        for entry in fs::read_dir(here).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                open.push(path);
            } else {
                let name = path.strip_prefix(dir).unwrap().display().to_string();
                found.insert(name, fs::read(&path).unwrap());
            }
        }
    }
    found
}

#[test]
fn the_same_seed_makes_the_same_bytes_and_nothing_but_journals() {
    let root = tempfile::tempdir().unwrap();
    let made = |name: &str, seed| {
        let dir = root.path().join(name);
        write(&dir, &asked(2, seed)).unwrap();
        files_in(&dir)
    };
    let (first, again, other) = (made("a", 5), made("b", 5), made("c", 6));
    assert_eq!(first.keys().collect::<Vec<_>>(), ["panels/robin.jsonl", "panels/wren.jsonl"]);
    assert_eq!(first, again);
    assert_ne!(first, other);
    let left: Vec<_> = fs::read_dir(root.path().join("a")).unwrap().map(|e| e.unwrap().file_name()).collect();
    assert_eq!(left, ["panels"]);
}

#[test]
fn every_story_is_sound_and_comes_to_an_end() {
    for seed in 0..20 {
        for story in stories(&asked(13, seed)).unwrap() {
            let label = &story.panel().opened().label;
            let refused = story.entries().iter().filter(|e| story.refusal_of(e.seq).is_some()).count();
            assert_eq!(refused, 0, "seed {seed}, {label}");
            let end = days::moment(story.last_at() + Span::from_h(48.0));
            let phase = story.panel().phase_at(end);
            assert!(matches!(phase, Phase::Finished | Phase::Abandoned), "seed {seed}, {label}: {phase:?}");
        }
    }
}

/// What a dozen stories must have in them to be worth looking at.
#[test]
fn a_dozen_stories_hold_what_can_happen() {
    for seed in [1, 2, 3, 77] {
        let stories = stories(&asked(12, seed)).unwrap();
        let any = |what: &str, holds: &dyn Fn(&Story) -> bool| {
            assert!(stories.iter().any(holds), "seed {seed}: {what}");
        };
        for fact in [
            "started",
            "done",
            "dull",
            "noted",
            "weighed",
            "extra",
            "repeated",
            "skipped",
            "away",
            "back",
            "undone",
            "abandoned",
        ] {
            any(fact, &|s| s.entries().iter().any(|e| e.event.name() == fact));
        }
        let judged = |s: &Story, holds: &dyn Fn(&crate::work::panel::wait::Judgement) -> bool| {
            s.entries().iter().filter_map(|e| s.panel().judgement(e.seq)).any(holds)
        };
        any("an early coat", &|s| judged(s, &|j| j.early.is_some()));
        any("a late coat", &|s| judged(s, &|j| j.late.is_some_and(|l| l > Span::from_s(300))));
        any("a long gap", &|s| judged(s, &|j| j.gap.is_some()));
        any("a fact written late", &|s| {
            s.entries().iter().any(|e| matches!(e.event, Event::Done(_)) && e.written.wall > e.at)
        });
        any("a fact out of its order", &|s| s.entries().windows(2).any(|two| two[1].at < two[0].at));
        any("a map with grey on it", &|s| {
            let grey = |e: &crate::units::Entry<Event>| match &e.event {
                Event::Done(done) => done.map.as_ref().is_some_and(|m| !m.clear()),
                _ => false,
            };
            s.entries().iter().any(grey)
        });
        any("two coats one way", &|s| {
            let ways: Vec<_> = s
                .panel()
                .stages()
                .filter(|s| s.face == Some(Face::Front) && s.kind == crate::work::panel::event::Kind::Coat)
                .filter_map(|s| s.direction)
                .collect();
            ways.windows(2).any(|two| two[0] == two[1])
        });
        let recipes: BTreeSet<_> = stories.iter().map(|s| s.panel().recipe().name.clone()).collect();
        assert_eq!(recipes.len(), 5, "seed {seed}");
    }
}

#[test]
fn panels_that_are_there_are_kept() {
    let dir = tempfile::tempdir().unwrap();
    write(dir.path(), &asked(2, 1)).unwrap();
    let before = files_in(dir.path());
    let refused = write(dir.path(), &asked(1, 2)).unwrap_err();
    assert_eq!(refused, DemoFailure::HasPanels { dir: dir.path().to_owned() });
    assert_eq!(files_in(dir.path()), before);

    write(dir.path(), &Asked { force: true, ..asked(1, 2) }).unwrap();
    let after = files_in(dir.path());
    assert_eq!(after.len(), 2);
    assert_eq!(after["panels/robin.jsonl"], before["panels/robin.jsonl"]);
    assert_ne!(after["panels/wren.jsonl"], before["panels/wren.jsonl"]);
}
