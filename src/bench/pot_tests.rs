//! Random pot stories on a disk that fails at a random call: what is shown is on disk, and what was acknowledged stays.

use super::*;
use crate::craft::recipe::shipped;
use crate::record::demo::{CrackCause, DemoOptions, invent_shelf};
use crate::record::journal::faults::{Fuse, FusedDisk, Plan};
use crate::record::journal::storage::FsStorage;
use crate::units::{Entry, Mass, Span, Stamp, Temperature};
use crate::work::pot::act::PotAct;
use crate::work::pot::event::{PotCall, PotEvent, PotKind};
use crate::work::pot::story::PotStory;
use crate::work::pot::water::WaterInputs;
use crate::work::story::{CommonEvent, Story, StoryCall, StoryState};
use proptest::prelude::*;
use std::cell::Cell;
use std::io::ErrorKind;
use std::sync::Arc;

/// A clock that moves so many minutes on at each look.
fn clock(step_min: i64) -> impl Fn() -> Moment {
    let minutes = Cell::new(0);
    move || {
        minutes.set(minutes.get() + step_min);
        Moment::from_wall(Stamp::from_ms(1_800_000_000_000) + Span::from_s(60 * minutes.get()))
    }
}

fn act() -> impl Strategy<Value = PotAct> {
    prop_oneof![
        Just(PotAct::Soak),
        Just(PotAct::Melt),
        Just(PotAct::OutOfBath),
        Just(PotAct::Liquid),
        Just(PotAct::Gelled),
        Just(PotAct::made_as_asked()),
        Just(PotAct::Strained),
        (-60.0..130.0f64).prop_map(|c| PotAct::Temp(Temperature::from_c(c))),
        (0.0..900.0f64).prop_map(|g| PotAct::Weigh(Mass::from_g(g))),
        (0.0..60.0f64).prop_map(|g| PotAct::Water(Mass::from_g(g))),
        "[ a-z]{0,12}".prop_map(PotAct::Note),
        Just(PotAct::Undo { seen: None }),
        prop_oneof![4 => Just(PotAct::Strained), 1 => Just(PotAct::Empty)],
        prop_oneof![4 => Just(PotAct::Liquid), 1 => Just(PotAct::Discard("smells".to_owned()))],
    ]
}

fn story_on(shelf: &Shelf, id: &Id) -> Option<Arc<PotStory>> {
    Bench::new(shelf.clone()).load_pot(id).ok()?.story
}

/// The story of the pot as it stands on disk holds every entry that was acknowledged, and nothing on it blocks.
fn holds(shelf: &Shelf, id: &Id, acknowledged: &[Entry<PotEvent>]) -> Result<(), TestCaseError> {
    let story = story_on(shelf, id);
    let entries = story.as_ref().map_or(&[][..], |s| s.entries());
    for entry in acknowledged {
        prop_assert!(entries.contains(entry), "{entry:?} is gone");
    }
    let report = shelf.verify(&shelf.story_path(Drawer::Pots, id));
    prop_assert!(report.map_or(true, |r| r.damages.iter().all(|p| !p.kind.is_blocking())));
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn random_pots_lose_nothing_on_a_failing_disk(
        acts in proptest::collection::vec(act(), 1..24),
        poured in any::<bool>(),
        step_min in 1..90i64,
        fail_at in 0..160usize,
        bytes in 0..120usize,
        for_good in any::<bool>(),
    ) {
        let dir = tempfile::tempdir().unwrap();
        let fuse = Arc::new(Fuse::default());
        let fused = FusedDisk { disk: Arc::new(FsStorage), fuse: Arc::clone(&fuse) };
        let plain = Shelf::open(dir.path());
        let mut bench = Bench::new(Shelf::with_storage(Arc::new(fused), dir.path()));
        let now = clock(step_min);
        let pot = |label: &str, kind, parent| PotOpening { filler_lot: None,
            label: label.to_owned(),
            kind,
            parent,
            recipe: Arc::new(shipped::find_shipped_recipe(shipped::DEFAULT_RECIPE_NAME).unwrap()),
            size_ml: None,
            lot: None,
            at: None,
    for_group: None,
};
        let parent = poured.then(|| bench.open_pot(&pot("size", PotKind::Size, None), &now).unwrap().id);
        let told = bench.open_pot(&pot("pot", if poured { PotKind::Gesso } else { PotKind::Size }, parent), &now).unwrap();
        let id = told.id.clone();
        let mut acknowledged = told.story.unwrap().entries().to_vec();
        fuse.set(Some(Plan { fail_at, bytes, for_good, error: ErrorKind::StorageFull }));
        for act in &acts {
            if let Ok(told) = bench.record_pot(&id, &act.clone(), None, &now) {
                let shown = told.story.unwrap();
                acknowledged.push(shown.entries().last().unwrap().clone());
                // Shown is durable: somebody who reads the file now reads just that.
                let on_disk = story_on(&plain, &id);
                prop_assert_eq!(Some(&shown), on_disk.as_ref());
            }
            // The program's own calls pass the same way.
            let calls = bench.pot_snapshots().iter().find(|t| t.id == id).and_then(|t| t.story.clone());
            for calling in calls.iter().flat_map(|s| s.pot().due_calls(now())) {
                let event = CommonEvent::Alert { call: calling.call, fact_seq: calling.fact_seq };
                if let Ok(told) = bench.record_pot_notice(&id, event, &now) {
                    acknowledged.push(told.story.unwrap().entries().last().unwrap().clone());
                }
            }
        }
        holds(&plain, &id, &acknowledged)?;
        // The disk is well again: the maker goes on where the file stands.
        fuse.set(None);
        let ended = story_on(&plain, &id).unwrap().pot().end().is_some();
        let noted = bench.record_pot(&id, &PotAct::Note("after".to_owned()), None, &now);
        prop_assert!(noted.is_ok() || ended, "{noted:?}");
        holds(&plain, &id, &acknowledged)?;
        // Each call is on disk at most once for the fact it belongs to.
        let story = story_on(&plain, &id).unwrap();
        for call in PotCall::ALL.iter().copied() {
            let mut of: Vec<u64> = story.entries().iter().filter_map(|e| match e.event {
                PotEvent::Common(CommonEvent::Alert { call: c, fact_seq }) if c == call => Some(fact_seq),
                _ => None,
            }).collect();
            let all = of.len();
            of.sort_unstable();
            of.dedup();
            prop_assert_eq!(of.len(), all);
        }
    }
}

#[test]
fn earlier_pots_lend_what_they_showed() {
    let dir = tempfile::tempdir().unwrap();
    let mut bench = Bench::new(Shelf::open(dir.path()));
    let start = Stamp::from_ms(1_800_000_000_000);
    let now = || Moment::from_wall(start + Span::from_h(9.0));
    let room =
        crate::work::air::AirReading::new(start, Temperature::from_c(20.0), crate::units::Humidity::from_pct(50.0));
    bench.record_air(&[room.unwrap()], &now).unwrap();
    let recipe = Arc::new(shipped::find_shipped_recipe("gypsum-zinc").unwrap());
    // From the middle of 40 to 50 C to 30 C in a room of 20 C a pot takes 0.916 of its time constant.
    let mut pot = |label: &str, time_constant_min: Option<f64>| {
        let opening = PotOpening {
            filler_lot: None,
            label: label.to_owned(),
            kind: PotKind::Gesso,
            parent: None,
            recipe: Arc::clone(&recipe),
            size_ml: None,
            lot: None,
            at: Some(start),
            for_group: None,
        };
        let id = bench.open_pot(&opening, &now).unwrap().id;
        let gelled = time_constant_min.map(|tau| (PotAct::Gelled, 60.0 + tau * (25.0_f64 / 10.0).ln()));
        let marks = [(PotAct::Melt, 1.0), (PotAct::Liquid, 30.0), (PotAct::OutOfBath, 60.0)].into_iter().chain(gelled);
        for (act, min) in marks {
            bench.record_pot(&id, &act, Some(start + Span::from_min(min)), &now).unwrap();
        }
        id
    };
    let fresh = pot("Finch", None);
    let (_, _, third) = (pot("Wren", Some(24.0)), pot("Robin", Some(28.0)), pot("Tit", None));
    let survey = PotSurvey { pots: bench.pot_snapshots(), air: bench.load_air(), ..PotSurvey::default() };
    let told = |survey: &PotSurvey, id: &Id| survey.forecast(story_on(bench.shelf(), id).unwrap().pot()).unwrap();
    let lent = told(&survey, &third);
    assert!((24.0..30.0).contains(&lent.time_constant_min), "{lent:?}");
    assert!(lent.basis.to_string().contains("the cooling time of 2 earlier pots"), "{}", lent.basis);
    // Without them, only the recipe is known, and less surely.
    let mut alone = survey.clone();
    alone.pots.retain(|t| t.id == fresh);
    let recipe = told(&alone, &fresh);
    assert!((recipe.time_constant_min - 40.0).abs() < 0.01, "{recipe:?}");
    assert!(lent.latest - lent.earliest < recipe.latest - recipe.earliest, "{lent:?} {recipe:?}");
}

/// Every coat of an invented shelf that names a pot takes something out of it, and so does what was poured from it.
#[test]
fn coats_and_pours_take_from_the_pot_they_name() {
    let shelf =
        invent_shelf(&DemoOptions { panels: 6, seed: 3, cause: CrackCause::Overheated, force: false, trial: false })
            .unwrap();
    fn snapshot<F: StoryState>(id: &Id, story: &Story<F>) -> Snapshot<F> {
        Snapshot { id: id.clone(), story: Some(Arc::new(story.clone())), damage: None }
    }
    let survey = PotSurvey {
        pots: shelf.pots.iter().map(|s| snapshot(&s.pot().opened().id, s)).collect(),
        panels: shelf.panels.iter().map(|s| snapshot(&s.panel().opened().id, s)).collect(),
        ..PotSurvey::default()
    };
    for pot in shelf.pots.iter().map(PotStory::pot) {
        let id = &pot.opened().id;
        let uses = survey.uses_of(pot);
        assert_eq!(uses.iter().map(|u| u.at).collect::<Vec<_>>(), survey.usage().use_times(id), "{id}");
        let left = |at| pot.share_left(at, &uses, &WaterInputs::default());
        assert_eq!(left(pot.opened_at().wall), 1.0, "{id}");
        let last = left(Stamp::from_ms(i64::MAX));
        assert!((0.1..0.95).contains(&last), "{id}: {last} left");
    }
}
