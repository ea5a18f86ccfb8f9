//! Learning from stories played minute by minute.

use super::*;
use crate::craft::recipe::shipped;
use crate::units::*;
use crate::work::air::AirReading;
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::{Grain, PanelEvent, PanelOpened};
use std::sync::Arc;

fn at(min: f64) -> Stamp {
    Stamp::from_ms(1_800_000_000_000) + Span::from_min(min)
}

/// A panel with its wood sized and cured by minute 0 of the third day; then a row of acts, each with its minute.
fn story(acts: &[(f64, &str)]) -> PanelStory {
    let pressed: Vec<_> = acts.iter().map(|(min, word)| (*min, *min, *word)).collect();
    story_written(400.0, &pressed)
}

/// The same on a board of that height, each act with its minute and the minute it was written.
fn story_written(height_mm: f64, acts: &[(f64, f64, &str)]) -> PanelStory {
    let event = PanelEvent::Opened(Box::new(PanelOpened {
        sheet: None,
        id: Id::new("wren").unwrap(),
        label: "Wren".into(),
        size: Size { width: Length::from_mm(300.0), height: Length::from_mm(height_mm), thickness: None },
        support: crate::craft::materials::Support::BirchPlywood,
        grain: Grain::Height,
        paint: crate::craft::recipe::Paint::Oil,
        recipe: Arc::new(shipped::find_shipped_recipe(shipped::DEFAULT_RECIPE_NAME).unwrap()),
        group: None,
        is_witness: false,
        trial: None,
    }));
    let before = -3.0 * 24.0 * 60.0;
    let moment = |min: f64| Moment::from_wall(at(min));
    let first = Entry { seq: 0, at: at(before), written: moment(before), raw_wall: None, replaces: None, event };
    let mut story = PanelStory::fold(vec![first]).unwrap();
    let sized = (1..=5).map(|i| before + f64::from(i) * 60.0).map(|min| (min, min, "done"));
    for (min, written, word) in sized.chain(acts.iter().copied()) {
        let act = match word {
            "start" => PanelAct::Start,
            "done" => PanelAct::done_as_planned(),
            "dull" => PanelAct::Dull,
            other => panic!("no act {other}"),
        };
        let event = story.build_event(&act, moment(min)).unwrap();
        let seq = story.entries().len() as u64;
        story = story
            .with_entry(Entry { seq, at: at(min), written: moment(written), raw_wall: None, replaces: None, event })
            .unwrap();
    }
    story
}

fn air(rows: &[(f64, f64)]) -> Air {
    let reading = |&(min, rh): &(f64, f64)| AirReading {
        at: at(min),
        temp: Temperature::from_c(20.0),
        rh: Humidity::from_pct(rh),
    };
    Air::from_readings(rows.iter().map(reading))
}

fn here(rh: f64) -> DryingEstimate {
    DryingEstimate::from_air(Some((Temperature::from_c(20.0), Humidity::from_pct(rh))))
}

/// The stipple and three coats, dull after 14, 12, 18 and 13 minutes; the third coat in damper air.
fn four_dulls() -> LearnedTimes {
    let story = story(&[
        (0.0, "done"),
        (14.0, "dull"),
        (15.0, "done"),
        (27.0, "dull"),
        (30.0, "done"),
        (43.0, "dull"),
        (60.0, "done"),
        (78.0, "dull"),
    ]);
    LearnedTimes::from_stories([&story], &air(&[(-10.0, 50.0), (50.0, 80.0)]))
}

#[test]
fn dull_marks_are_taken_with_the_air_of_their_coat() {
    let learned = four_dulls();
    let told: Vec<_> = learned.dull_marks.iter().map(|m| (m.kind, m.minutes)).collect();
    assert_eq!(
        told,
        [(StageKind::Stipple, 14.0), (StageKind::Coat, 12.0), (StageKind::Coat, 13.0), (StageKind::Coat, 18.0)]
    );
    let factors: Vec<_> = learned.dull_marks.iter().map(|m| m.drying.factor().unwrap().round()).collect();
    assert_eq!(factors, [1.0, 1.0, 1.0, 3.0]);
}

/// When a coat goes dull there, and on how many marks that rests.
#[track_caller]
fn foretold(learned: &LearnedTimes, kind: StageKind, air: DryingEstimate) -> (DullPrediction, usize) {
    match learned.own_dull_time(kind, Span::from_min(15.0), air) {
        OwnDullTime::Foretold { when, marks } => (when, marks),
        other => panic!("{other:?}"),
    }
}

#[test]
fn marks_speak_from_the_first_on_and_in_any_air() {
    let one = four_dulls();
    // Three coats: 12 and 13 minutes at 50 %, 18 at 80 %; computed apart by the matrix form with measured.md's prior.
    let (when, marks) = foretold(&one, StageKind::Coat, here(50.0));
    assert_eq!(marks, 3);
    let told = [when.best, when.low, when.high];
    assert!(told.iter().zip([12.275, 9.143, 16.482]).all(|(a, b)| (a / b - 1.0).abs() < 0.003), "{when:?}");
    // Damper air than any mark's: slower, and wider, in parts of itself.
    let (damp, _) = foretold(&one, StageKind::Coat, here(93.0));
    assert!(damp.best > 20.0 && damp.high / damp.low > when.high / when.low, "{damp:?}");
    // In air that is too damp for an estimate at least as long as at 95 %.
    let at_most = foretold(&one, StageKind::Coat, here(95.0)).0;
    assert_eq!(foretold(&one, StageKind::Coat, here(97.0)).0, at_most);
    // One mark is enough.
    assert_eq!(foretold(&one, StageKind::Stipple, here(65.0)).1, 1);
    let unread = one.own_dull_time(StageKind::Coat, Span::from_min(15.0), DryingEstimate::Unread);
    assert_eq!(unread, OwnDullTime::NoAir);
    assert_eq!(one.own_coat_time(here(50.0)), Some((when, 3)));
}

#[test]
fn marks_without_air_are_compared_with_nothing() {
    let story = story(&[(0.0, "done"), (14.0, "dull")]);
    let learned = LearnedTimes::from_stories([&story], &Air::default());
    assert_eq!(learned.dull_marks[0].drying, DryingEstimate::Unread);
    let own = learned.own_dull_time(StageKind::Stipple, Span::from_min(15.0), here(50.0));
    assert_eq!(own, OwnDullTime::NoMark);
}

#[test]
fn minutes_a_face_come_from_acts_begun_and_done() {
    let story = story(&[
        (0.0, "start"),
        (4.0, "done"),
        (20.0, "start"),
        (23.0, "done"),
        (40.0, "start"),
        (42.0, "done"),
        (60.0, "start"),
        (65.0, "done"),
        // A press that was forgotten.
        (80.0, "start"),
        (80.0 + 5.0 * 60.0, "done"),
    ]);
    let learned = LearnedTimes::from_stories([&story], &Air::default());
    assert_eq!(learned.minutes_per_face(StageKind::Coat), Some((3.0, 3)));
    assert_eq!(learned.minutes_per_face(StageKind::Stipple), None);
    assert_eq!(LearnedTimes::default().minutes_per_face(StageKind::Coat), None);
}

#[test]
fn minutes_a_face_come_from_the_gaps_between_boards_of_a_round() {
    let done = |minutes: &[f64]| minutes.iter().map(|min| (*min, *min, "done")).collect::<Vec<_>>();
    // Two boards, the second twice as large: stipples at 0 and 5, coats at 20 and 27, 40 and 46, 60 and 68; the first of
    // each round comes after a wait, which is longer than three coats.
    let one = story_written(400.0, &done(&[0.0, 20.0, 40.0, 60.0]));
    let two = story_written(800.0, &done(&[5.0, 27.0, 46.0, 68.0]));
    let learn = |stories: &[&PanelStory]| LearnedTimes::from_stories(stories.iter().copied(), &Air::default());
    let learned = learn(&[&one, &two]);
    // 7, 6 and 8 minutes on a face of 0.24 m2.
    assert_eq!(learned.minutes_per_face(StageKind::Coat), Some((3.5, 3)));
    assert_eq!(learned.minutes_per_face(StageKind::Stipple), None);
    assert_eq!(learned.work_minutes(StageKind::Coat, two.panel().opened()), 7.0);
    // The recipe's own four minutes, where too little is known.
    assert_eq!(learned.work_minutes(StageKind::Stipple, one.panel().opened()), 4.0);
    // One board alone, and a gap of three times the recipe's minutes, tell nothing.
    assert_eq!(learn(&[&one]).minutes_per_face(StageKind::Coat), None);
    let slow = story_written(400.0, &done(&[5.0, 29.0, 49.0, 69.0]));
    assert_eq!(learn(&[&one, &slow]).minutes_per_face(StageKind::Coat), None);
    // Times put in afterwards are somebody's reckoning; one alone spoils the two gaps it bounds.
    let late = [(5.0, 5.0, "done"), (27.0, 27.0, "done"), (46.0, 68.0, "done"), (68.0, 68.0, "done")];
    assert_eq!(learn(&[&one, &story_written(800.0, &late)]).minutes_per_face(StageKind::Coat), None);
    // What was begun with a press is told by that, and not once more by the gap.
    let begun =
        story(&[(5.0, "done"), (22.0, "start"), (23.0, "done"), (41.0, "start"), (43.0, "done"), (63.0, "done")]);
    assert_eq!(learn(&[&one, &begun]).minutes_per_face(StageKind::Coat), Some((2.0, 3)));
}
