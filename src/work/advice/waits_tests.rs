//! What is said beside a countdown, as a table of airs.

use super::waits::{WaitAdvice, sealing_tip, wait_advice};
use super::{LINE_MAX, Tip};
use crate::craft::materials::Support;
use crate::craft::recipe::{Coats, Paint, Recipe, shipped};
use crate::text::UnitSystem;
use crate::units::*;
use crate::work::air::{Air, AirReading};
use crate::work::learn::LearnedTimes;
use crate::work::panel::act::PanelAct;
use crate::work::panel::adjusted_wait::DryingEstimate;
use crate::work::panel::event::*;
use crate::work::panel::story::PanelStory;
use std::sync::Arc;

fn at(min: f64) -> Stamp {
    Stamp::from_ms(1_800_000_000_000) + Span::from_min(min)
}

/// A panel whose acts were all done at those minutes, each wait fixed by the air of its time.
fn story(air: &Air, long_gap_min: f64, minutes: &[f64], dulls: &[f64]) -> PanelStory {
    let plain = shipped::find_shipped_recipe(shipped::DEFAULT_RECIPE_NAME).unwrap();
    let recipe = Recipe { coats: Coats { long_gap_min, ..plain.coats.clone() }, ..plain };
    let event = PanelEvent::Opened(Box::new(PanelOpened {
        sheet: None,
        id: Id::new("wren").unwrap(),
        label: "Wren".into(),
        size: Size { width: Length::from_mm(300.0), height: Length::from_mm(400.0), thickness: None },
        support: Support::BirchPlywood,
        grain: Grain::Height,
        paint: Paint::Oil,
        recipe: Arc::new(recipe),
        group: None,
        is_witness: false,
        trial: None,
    }));
    let moment = |min: f64| Moment::from_wall(at(min));
    let first = Entry { seq: 0, at: at(-6000.0), written: moment(-6000.0), raw_wall: None, replaces: None, event };
    let mut story = PanelStory::fold(vec![first]).unwrap();
    let sized = [-5990.0, -5980.0, -5970.0, -5940.0, -5930.0].iter().map(|min| (*min, PanelAct::done_as_planned()));
    let laid = minutes.iter().map(|min| (*min, PanelAct::done_as_planned()));
    let mut acts: Vec<(f64, PanelAct)> =
        sized.chain(laid).chain(dulls.iter().map(|min| (*min, PanelAct::Dull))).collect();
    acts.sort_by(|a, b| a.0.total_cmp(&b.0));
    for (min, act) in acts {
        let mut event = story.build_event(&act, moment(min)).unwrap();
        if let PanelEvent::Done(done) = event {
            let drying = DryingEstimate::from_air(air.reading_as_of(at(min)).map(|r| (r.temp, r.rh)));
            event = PanelEvent::Done(Box::new(done.with_adjusted_wait(story.panel().recipe(), drying, false)));
        }
        let seq = story.entries().len() as u64;
        story = story
            .with_entry(Entry { seq, at: at(min), written: moment(min), raw_wall: None, replaces: None, event })
            .unwrap();
    }
    story
}

fn air(rh: f64) -> Air {
    let reading = |min| AirReading { at: at(min), temp: Temperature::from_c(20.0), rh: Humidity::from_pct(rh) };
    Air::from_readings([reading(-10.0)])
}

#[track_caller]
fn check(story: &PanelStory, air: &Air, learned: &LearnedTimes, said: &[&str]) {
    let WaitAdvice { tips: beside, missing_tip: missing, limits_tip: _ } = wait_advice(story.panel(), air, learned);
    let tips: Vec<Tip> = beside.into_iter().chain(missing).collect();
    assert_eq!(tips.iter().map(|t| t.text.as_ref()).collect::<Vec<_>>(), said);
    assert!(tips.iter().all(|t| t.text.chars().count() <= LINE_MAX && !t.source.is_empty()), "{tips:?}");
}

#[test]
fn what_the_air_did_to_a_wait_is_said() {
    let none = LearnedTimes::default();
    let so_far = "Your own time: none of your stipples was marked dull yet.";
    for (rh, gap, said) in [
        // 1.4794 by the reference table: 22.19 min.
        (65.0, 60.0, vec!["Wait 22.2 min (20 C 65 %): the recipe's 15 x 1.43 to 1.48.", so_far]),
        (90.0, 60.0, vec!["Damp air (20 C 90 %): wait 60 min, then look at it.", so_far]),
        (50.0, 60.0, vec![so_far]),
        (97.0, 60.0, vec!["Too damp to foretell (20 C 97 %): look at it when 60 min are over.", so_far]),
    ] {
        check(&story(&air(rh), gap, &[0.0], &[]), &air(rh), &none, &said);
    }
    let unread = "Your own time: read the air (sottile air) to compare.";
    check(&story(&Air::default(), 60.0, &[0.0], &[]), &Air::default(), &none, &[unread]);
    // Dull ends the wait: nothing more is said of it. And nothing before the gesso has begun.
    check(&story(&air(65.0), 60.0, &[0.0], &[10.0]), &air(65.0), &none, &[]);
    check(&story(&air(65.0), 60.0, &[], &[]), &air(65.0), &none, &[]);
}

#[test]
fn the_maker_s_own_time_is_said_from_the_first_mark_in_any_air() {
    let room = air(50.0);
    let before = story(&room, 60.0, &[0.0, 15.0, 30.0, 45.0], &[12.0, 26.0, 43.0, 59.0]);
    let learned = LearnedTimes::from_stories([&before], &room);
    let after = story(&room, 60.0, &[0.0, 16.0], &[]);
    // Coats of 11, 13 and 14 minutes.
    check(&after, &room, &learned, &["Your coats: dull after 13 min, 9 in 10 from 10 to 17 (3 marks)."]);
    let due = after.panel().current_wait().unwrap().wait.span;
    assert_eq!(due, Span::from_min(15.0), "it is told, and moves nothing");
    let damp = air(65.0);
    let said = [
        "Wait 22.2 min (20 C 65 %): the recipe's 15 x 1.43 to 1.48.",
        "Your stipples: dull after 16 min, 9 in 10 from 10 to 25 (1 mark).",
    ];
    check(&story(&damp, 60.0, &[0.0], &[]), &damp, &learned, &said);
    let limits = |air: &Air| wait_advice(story(air, 60.0, &[0.0], &[]).panel(), air, &learned).limits_tip;
    assert!(limits(&damp).is_some_and(|tip| tip.text.contains("draught") && tip.text.chars().count() <= LINE_MAX));
    assert_eq!(limits(&Air::default()), None);
}

#[test]
fn before_sealing_dew_and_damp_are_said() {
    let seal = Stage { kind: StageKind::Seal, face: None, number: Some(1), total: Some(1), direction: None };
    let said = |stage: &Stage, rh: f64| {
        sealing_tip(stage, air(rh).reading_as_of(at(0.0)), UnitSystem::Metric).map(|tip| tip.text.to_string())
    };
    for (rh, expected) in [
        // Dew points of 20 C air by PsychroLib: 9.27 at 50 %, 16.44 at 80 %, 17.22 at 84 %, 18.3 at 90 %.
        (50.0, "Dew point 9 C: a panel under 12 C may haze."),
        (84.0, "Dew point 17 C, only 2.8 K below the room: a seal may haze."),
        (90.0, "90 %, dew point 18 C: damp, a seal may haze; 85 % at most."),
    ] {
        let text = said(&seal, rh).unwrap();
        assert_eq!(text, expected);
        assert!(text.chars().count() <= LINE_MAX);
    }
    // 17.22 C is 63 F; 2.78 K are 5 F.
    let imperial = sealing_tip(&seal, air(84.0).reading_as_of(at(0.0)), UnitSystem::Imperial).unwrap();
    assert_eq!(imperial.text, "Dew point 63 F, only 5 F below the room: a seal may haze.");
    assert_eq!(said(&Stage { kind: StageKind::Coat, ..seal }, 90.0), None);
    assert_eq!(sealing_tip(&seal, None, UnitSystem::Metric), None);
}

#[test]
fn the_bone_dry_bound_moves_with_the_air_of_the_coat_below() {
    let room = |c: f64, rh: f64| {
        let reading = AirReading { at: at(-10.0), temp: Temperature::from_c(c), rh: Humidity::from_pct(rh) };
        Air::from_readings([reading])
    };
    for (air, gap, is_long) in [
        (room(20.0, 50.0), 60.0, false),
        (room(20.0, 50.0), 61.0, true),
        // A coat takes 5.476 times as long by the reference table: 82 min are no more than its wait, 328 the bound.
        (room(20.0, 90.0), 82.0, false),
        (room(20.0, 90.0), 328.0, false),
        (room(20.0, 90.0), 330.0, true),
        (room(35.0, 20.0), 20.0, false),
        (room(35.0, 20.0), 25.0, true),
        (room(20.0, 98.0), 90.0, false),
        // Nobody read the air: the recipe's bound.
        (Air::default(), 61.0, true),
    ] {
        let story = story(&air, 60.0, &[0.0, gap], &[]);
        let last = story.entries().last().unwrap().seq;
        let judged = story.panel().judgement(last).unwrap();
        assert_eq!(judged.long_gap.is_some(), is_long, "{:?} {gap}", air.reading_as_of(at(0.0)));
    }
}
