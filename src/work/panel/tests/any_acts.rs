//! Whatever is asked of a panel, in whatever order, what always holds still holds.

use super::*;
use proptest::prelude::*;

fn any_act() -> impl Strategy<Value = PanelAct> {
    prop_oneof![
        8 => Just(PanelAct::done_as_planned()),
        2 => Just(PanelAct::Start),
        1 => Just(PanelAct::Done { direction: Some(Direction::Vertical), pot: None, map: None, by: None }),
        2 => Just(PanelAct::Done { direction: None, pot: None, map: CheckMap::parse("01/20"), by: None }),
        2 => Just(PanelAct::Dull),
        1 => Just(PanelAct::Note("x".into())),
        1 => Just(PanelAct::Extra(None)),
        1 => Just(PanelAct::Extra(Some(Face::Front))),
        1 => Just(PanelAct::Extra(Some(Face::Back))),
        1 => Just(PanelAct::Repeat(Flaw::Thin)),
        1 => Just(PanelAct::Skip("x".into())),
        1 => Just(PanelAct::Away),
        1 => Just(PanelAct::Back),
        2 => Just(PanelAct::Undo { seen: None }),
        1 => Just(PanelAct::Abandon("x".into())),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    /// Whatever is asked in whatever order: nothing panics, a refused fact leaves the panel untouched, numbers within a kind
    /// and face have no holes, the coat at hand crosses the one below, and enough take-backs lead to the opening.
    #[test]
    fn random_stories_hold_together(acts in prop::collection::vec((any_act(), 0u16..2000, 0u16..40), 0..80)) {
        let mut story = opened(recipe());
        let mut clock = 0.0;
        let mut asked = Vec::new();
        for (act, step, back) in acts {
            clock += f64::from(step);
            let min = (clock - f64::from(if back > 30 { back * 10 } else { 0 })).max(0.0);
            asked.extend(story.build_event(&act, Moment::from_wall(at(min))));
            if let Ok(next) = record(&story, &act, min, clock) {
                story = next;
            }
            let now = Moment::from_wall(at(clock));
            for event in &asked {
                let mut panel = story.panel().clone();
                let seq = story.entries().len() as u64;
                let entry = Entry { seq, at: now.wall, written: now, raw_wall: None, replaces: None, event: event.clone() };
                if panel.after(&entry).is_err() {
                    prop_assert_eq!(&panel, story.panel());
                }
            }
            let panel = story.panel();
            let hand = panel.stage_at_hand().filter(|s| s.kind == StageKind::Coat);
            let below = |face| {
                let steps = panel.stages().zip(panel.steps()).filter(move |(_, s)| s.slot.face == face);
                let laid = steps.filter_map(|(stage, s)| Some((s.laid_coat()?, stage.direction?)));
                laid.max_by_key(|(l, _)| (l.done_at.wall, l.seq)).map(|(_, direction)| direction)
            };
            if let Some((ours, theirs)) = hand.and_then(|h| h.direction.zip(below(h.face))) {
                prop_assert_eq!(ours, theirs.perpendicular());
            }
            let s = story.panel().status(now);
            match (s.stage_to_record(), story.build_event(&PanelAct::done_as_planned(), now)) {
                (Some(stage), Ok(PanelEvent::Done(done))) => prop_assert_eq!(done.stage, Some(stage)),
                (None, _) => prop_assert!(record(&story, &PanelAct::done_as_planned(), clock, clock).is_err()),
                (Some(_), other) => prop_assert!(false, "{:?}", other),
            }
            prop_assert_eq!(s.early_by().is_some(), s.phase == PanelPhase::Waiting);
            prop_assert_eq!(s.phase == PanelPhase::Waiting, s.time_left.is_some_and(|l| l > Span::ZERO) && s.phase != PanelPhase::Ready);
            let stages: Vec<_> = story.panel().stages().collect();
            for kind in StageKind::ALL {
                for face in [Some(Face::Front), Some(Face::Back)] {
                    let mut numbers: Vec<_> = stages.iter().filter(|s| s.kind == kind && s.face == face && kind.is_counted()).map(|s| s.number.unwrap()).collect();
                    numbers.sort_unstable();
                    prop_assert_eq!(numbers.clone(), (1..=numbers.len() as u32).collect::<Vec<_>>());
                }
            }
        }
        for _ in 0..story.entries().len() {
            match record(&story, &PanelAct::Undo { seen: None }, clock, clock) {
                Ok(next) => story = next,
                Err(refusal) => prop_assert_eq!(refusal, OrderRefusal::NothingToTakeBack.into()),
            }
        }
        let s = story.panel().status(Moment::from_wall(at(DAY)));
        prop_assert_eq!(standing_text(&s), "ready preparing the board > glue size 1 of 1 on the front");
    }
}
