use super::calendar::studio_moment;
use super::*;
use crate::craft::materials::fillers::BulkDensities;
use crate::work::advice::inspections::story_inspections;
use crate::work::panel::event::{Face, PanelEvent, StageKind};
use crate::work::panel::ground_test::GroundTest;
use crate::work::panel::phase::PanelPhase;
use crate::work::pot::coat_remarks::CoatRemark;
use crate::work::pot::forecast;
use crate::work::pot::lineage::{PotLineage, panel_coats, panel_pot_uses};
use crate::work::pot::usage::PotUsage;
use crate::work::story::StoryEvent;
use crate::work::trial::effects::compute_effect;
use crate::work::trial::event::TrialEvent;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

fn asked(panels: u16, seed: u64) -> DemoOptions {
    DemoOptions { panels, seed, cause: CrackCause::Overheated, force: false, trial: false }
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
        write_demo(&dir, &asked(2, seed)).unwrap();
        files_in(&dir)
    };
    let (first, again, other) = (made("a", 5), made("b", 5), made("c", 6));
    let panels: Vec<_> = first.keys().filter(|f| f.starts_with("panels/")).collect();
    assert_eq!(panels, ["panels/robin.jsonl", "panels/wren.jsonl"]);
    assert_eq!(first, again);
    assert_ne!(first, other);
    let mut left: Vec<_> = fs::read_dir(root.path().join("a")).unwrap().map(|e| e.unwrap().file_name()).collect();
    left.sort();
    assert_eq!(left, ["air.jsonl", "panels", "pots"]);
}

#[test]
fn every_story_is_sound_and_comes_to_an_end() {
    for seed in 0..20 {
        let shelf = invent_shelf(&asked(13, seed)).unwrap();
        for story in &shelf.panels {
            let label = &story.panel().opened().label;
            let refused = story.entries().iter().filter(|e| story.refusal_of(e.seq).is_some()).count();
            assert_eq!(refused, 0, "seed {seed}, {label}");
            let end = calendar::studio_moment(story.last_fact_at() + Span::from_h(48.0));
            let phase = story.panel().phase_at(end);
            assert!(matches!(phase, PanelPhase::Finished | PanelPhase::Abandoned), "seed {seed}, {label}: {phase:?}");
        }
        for story in &shelf.pots {
            let label = &story.pot().opened().label;
            assert!(story.entries().iter().all(|e| story.refusal_of(e.seq).is_none()), "seed {seed}, {label}");
            let asked = |seq: u64| story.pot().questions_of(seq);
            let doubts: Vec<_> = story.entries().iter().flat_map(|e| asked(e.seq)).collect();
            assert!(doubts.is_empty(), "seed {seed}, {label}: {doubts:?}");
            assert!(story.pot().end().is_some(), "seed {seed}, {label}");
            assert!(story.entries().windows(2).all(|two| two[0].at <= two[1].at), "seed {seed}, {label}");
        }
    }
}

/// Every coat of size and gesso names a pot of its kind that was made by then and not at an end, and a ground is laid from
/// one batch.
#[test]
fn every_coat_names_a_pot_that_was_ready_for_it() {
    for seed in 0..8 {
        let shelf = invent_shelf(&asked(12, seed)).unwrap();
        let uses = shelf.panels.iter().flat_map(|s| panel_pot_uses(s.panel())).map(|(id, at, _)| (id, at));
        let usage = PotUsage::new(PotLineage::new(&shelf.pots), uses, &BulkDensities::TABLE);
        for story in &shelf.panels {
            let coats = story.panel().steps().iter().filter(|s| {
                let gesso =
                    matches!(s.slot.kind, StageKind::Size | StageKind::Cloth | StageKind::Stipple | StageKind::Coat);
                gesso && s.laid_coat().is_some()
            });
            assert_eq!(panel_coats(story).len(), coats.count(), "seed {seed}");
            for coat in panel_coats(story) {
                let pot = usage.lineage().pot(&coat.pot).unwrap();
                assert!(pot.made_at().is_some_and(|m| m.wall < coat.at), "seed {seed}, {}", coat.pot);
            }
            for (_, remark) in usage.panel_remarks(story) {
                let wrong = match remark {
                    CoatRemark::Overheated { .. } | CoatRemark::Stronger { .. } | CoatRemark::TooOld { .. } => false,
                    CoatRemark::BatchChanged { .. }
                    | CoatRemark::WrongKind { .. }
                    | CoatRemark::Ended { .. }
                    | CoatRemark::DamagedPot { .. }
                    | CoatRemark::UnknownPot { .. } => true,
                };
                assert!(!wrong, "seed {seed}: {remark}");
            }
        }
    }
}

/// Water leaves and glue stays: the pots lose what such pots lose, and the one that was forgotten far more.
#[test]
fn pots_cool_gel_and_lose_water_as_pots_do() {
    for seed in 0..8 {
        let shelf = invent_shelf(&asked(12, seed)).unwrap();
        let hot: Vec<_> = shelf.pots.iter().filter(|s| s.pot().temps().iter().any(|(_, t)| t.c() >= 60.0)).collect();
        assert_eq!(hot.len(), 1, "seed {seed}");
        for story in &shelf.pots {
            let pot = story.pot();
            let weathered = StudioAir::new(seed);
            let room = |at| weathered.known_air(at).map(|(t, _)| t);
            let around = forecast::ForecastInputs { room_at: &room, ..forecast::ForecastInputs::default() };
            // These pots cool no faster as they empty, which the filter takes for granted: a full one looks slower.
            if let Some(lent) = pot.lend_estimate(&around) {
                let tau = lent.time_constant_min();
                assert!((20.0..200.0).contains(&tau), "seed {seed}, {}: {tau}", pot.opened().label);
            }
            assert!(pot.temps().iter().all(|(_, t)| (30.0..=72.0).contains(&t.c())), "seed {seed}");
        }
    }
}

/// What makes panels crack changes nothing but what is seen on them.
#[test]
fn the_work_is_the_same_whatever_the_cause() {
    let worked = |cause| {
        let shelf = invent_shelf(&DemoOptions { cause, ..asked(14, 3) }).unwrap();
        let done = |s: &PanelStory| -> Vec<_> {
            let looks = |e: &&Entry<PanelEvent>| matches!(e.event, PanelEvent::Inspected(_));
            s.entries().iter().filter(|e| !looks(e)).cloned().collect()
        };
        (shelf.panels.iter().map(done).collect::<Vec<_>>(), shelf.pots)
    };
    let seen = |cause| invent_shelf(&DemoOptions { cause, ..asked(14, 3) }).unwrap().panels;
    for cause in CrackCause::ALL.into_iter().filter(|c| c.is_planted()) {
        assert_eq!(worked(cause), worked(CrackCause::None), "{}", cause.name());
        assert_eq!(seen(cause) == seen(CrackCause::None), cause == CrackCause::None, "{}", cause.name());
    }
}

/// Two boards to a pot, a pot of size for four of those, a day for each pair, and nothing that the rules refuse.
#[test]
fn a_planted_shelf_is_of_pairs() {
    for seed in 1..5 {
        let shelf = invent_shelf(&DemoOptions { cause: CrackCause::None, ..asked(24, seed) }).unwrap();
        assert_eq!((shelf.panels.len(), shelf.pots.len()), (24, 15), "seed {seed}");
        let refused = shelf.panels.iter().flat_map(|s| s.entries().iter().map(move |e| s.refusal_of(e.seq)));
        assert!(refused.flatten().next().is_none(), "seed {seed}");
        let refused = shelf.pots.iter().flat_map(|s| s.entries().iter().map(move |e| s.refusal_of(e.seq)));
        assert!(refused.flatten().next().is_none(), "seed {seed}");
        let finished =
            |s: &&PanelStory| s.panel().phase_at(calendar::studio_moment(s.last_fact_at())) == PanelPhase::Finished;
        assert_eq!(shelf.panels.iter().filter(finished).count(), 24, "seed {seed}");
        let gaps = |s: &&PanelStory| {
            s.entries().iter().filter_map(|e| s.panel().judgement(e.seq)).any(|j| j.long_gap.is_some())
        };
        assert_eq!(shelf.panels.iter().filter(gaps).count(), 12, "seed {seed}");
        let hot = |s: &&PotStory| s.pot().temps().iter().any(|(_, t)| t.c() >= 58.0);
        assert_eq!(shelf.pots.iter().filter(hot).count(), 6, "seed {seed}");
    }
}

/// What a dozen stories must have in them to be worth looking at.
#[test]
fn a_dozen_stories_hold_what_can_happen() {
    for seed in [1, 2, 3, 77] {
        let shelf = invent_shelf(&asked(12, seed)).unwrap();
        let stories = &shelf.panels;
        let any = |what: &str, holds: &dyn Fn(&PanelStory) -> bool| {
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
            "inspected",
        ] {
            any(fact, &|s| s.entries().iter().any(|e| e.event.name() == fact));
        }
        let judged = |s: &PanelStory, holds: &dyn Fn(&crate::work::panel::state::IntervalJudgement) -> bool| {
            s.entries().iter().filter_map(|e| s.panel().judgement(e.seq)).any(holds)
        };
        any("an early coat", &|s| judged(s, &|j| j.early_by.is_some()));
        any("a late coat", &|s| judged(s, &|j| j.late_by.is_some_and(|l| l > Span::from_s(300))));
        any("a long gap", &|s| judged(s, &|j| j.long_gap.is_some()));
        any("a fact written late", &|s| {
            s.entries().iter().any(|e| matches!(e.event, PanelEvent::Done(_)) && e.written.wall > e.at)
        });
        any("a fact out of its order", &|s| s.entries().windows(2).any(|two| two[1].at < two[0].at));
        any("a map with grey on it", &|s| {
            let grey = |e: &crate::units::Entry<PanelEvent>| match &e.event {
                PanelEvent::Done(done) => done.map.as_ref().is_some_and(|m| !m.is_clear()),
                _ => false,
            };
            s.entries().iter().any(grey)
        });
        any("two coats one way", &|s| {
            let ways: Vec<_> = s
                .panel()
                .stages()
                .filter(|s| s.face == Some(Face::Front) && s.kind == crate::work::panel::event::StageKind::Coat)
                .filter_map(|s| s.direction)
                .collect();
            ways.windows(2).any(|two| two[0] == two[1])
        });
        let recipes: BTreeSet<_> = stories.iter().map(|s| s.panel().recipe().name.clone()).collect();
        assert_eq!(recipes.len(), 5, "seed {seed}");
        let in_pots = |fact: &str| shelf.pots.iter().any(|s| s.entries().iter().any(|e| e.event.name() == fact));
        for fact in
            ["soaked", "melt", "liquid", "made", "strained", "temp", "out", "gelled", "weighed", "water", "emptied"]
        {
            assert!(in_pots(fact), "seed {seed}: {fact}");
        }
        let looked = |s: &PanelStory| s.entries().iter().any(|e| matches!(e.event, PanelEvent::Inspected(_)));
        assert_eq!(stories.iter().filter(|s| !looked(s)).count(), 2, "seed {seed}: given up, and passed over");
        any("a panel that cracked", &|s| {
            s.entries().iter().any(|e| matches!(&e.event, PanelEvent::Inspected(seen) if seen.is_cracked()))
        });
    }
}

#[test]
fn panels_that_are_there_are_kept() {
    let dir = tempfile::tempdir().unwrap();
    write_demo(dir.path(), &asked(2, 1)).unwrap();
    let before = files_in(dir.path());
    let refused = write_demo(dir.path(), &asked(1, 2)).unwrap_err();
    assert_eq!(refused, DemoError::HasStories { dir: dir.path().to_owned() });
    assert_eq!(files_in(dir.path()), before);

    write_demo(dir.path(), &DemoOptions { force: true, ..asked(1, 2) }).unwrap();
    let after = files_in(dir.path());
    assert_eq!(after["panels/robin.jsonl"], before["panels/robin.jsonl"]);
    assert_ne!(after["panels/wren.jsonl"], before["panels/wren.jsonl"]);
    assert_ne!(after["air.jsonl"], before["air.jsonl"]);
    assert!(before.keys().all(|file| after.contains_key(file)));

    // Pots or air alone are a maker's too.
    for kept in ["pots/mine.jsonl", "air.jsonl"] {
        let dir = tempfile::tempdir().unwrap();
        fs::create_dir(dir.path().join("pots")).unwrap();
        fs::write(dir.path().join(kept), "").unwrap();
        let refused = write_demo(dir.path(), &asked(1, 2)).unwrap_err();
        assert_eq!(refused, DemoError::HasStories { dir: dir.path().to_owned() }, "{kept}");
    }
}

/// A run that fails half way leaves nothing behind, aside or in place.
#[test]
fn what_cannot_be_moved_in_leaves_no_panel_without_its_pots() {
    let dir = tempfile::tempdir().unwrap();
    // A directory where a pot's file is to be cannot be replaced by a file.
    let pot = invent_shelf(&asked(2, 1)).unwrap().pots[0].pot().opened().id.clone();
    fs::create_dir_all(dir.path().join("pots").join(format!("{pot}.jsonl/in the way"))).unwrap();
    let failed = write_demo(dir.path(), &DemoOptions { force: true, ..asked(2, 1) }).unwrap_err();
    assert!(matches!(failed, DemoError::Io { .. }), "{failed}");
    assert!(!dir.path().join("panels").exists());
    let left = fs::read_dir(dir.path()).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap());
    assert!(left.into_iter().all(|name| !name.starts_with(".demo-")));
}

/// Laid as it was drawn, looked at, and answered as it was invented.
#[test]
fn the_studio_has_made_a_trial_and_it_is_answered() {
    for seed in [1, 7, 12] {
        let shelf = invent_shelf(&DemoOptions { trial: true, ..asked(12, seed) }).unwrap();
        let trial = shelf.trials.iter().find_map(|e| match &e.event {
            TrialEvent::Opened(trial) => Some(trial),
            TrialEvent::Unknown { .. } => None,
        });
        let trial = trial.unwrap();
        let of_trial = |story: &&PanelStory| story.panel().opened().trial.is_some();
        let boards: BTreeMap<u32, PanelStory> = shelf
            .panels
            .iter()
            .filter(of_trial)
            .map(|s| (s.panel().opened().trial.as_ref().unwrap().run, s.clone()))
            .collect();
        let jars: Vec<_> = shelf.pots.iter().map(|s| s.pot().opened().clone()).collect();
        assert_eq!(boards.len(), 16);
        for story in boards.values() {
            let refused = story.entries().iter().filter(|e| story.refusal_of(e.seq).is_some()).count();
            assert_eq!(refused, 0);
            let end = studio_moment(story.last_fact_at());
            assert_eq!(story.panel().phase_at(end), PanelPhase::Finished);
        }
        let end = studio_moment(boards.values().map(PanelStory::last_fact_at).max().unwrap());
        let pencil = |(run, s): (&u32, &PanelStory)| {
            let looks = story_inspections(s);
            (*run, looks[0].1.mean_reading(GroundTest::Pencil).unwrap())
        };
        let outcomes = boards.iter().map(pencil).collect();
        let effect = |n: usize| compute_effect(trial, &trial.design.factors[n], &outcomes).unwrap();
        assert!(effect(0).p_value <= 0.05 && effect(0).effect > 1.0, "{seed}: {:?}", effect(0));
        assert!(boards.values().all(|s| s.panel().pot_ids().len() == 2) && end.wall.ms() > 0 && jars.len() > 10);
    }
}
