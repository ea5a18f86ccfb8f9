//! What leaves a sitting: the order of boards, and what cannot be told twice.

use super::*;
use crate::text::UnitSystem;
use crate::units::Span;

fn day(n: f64) -> Stamp {
    Stamp::from_ms(1_800_000_000_000) + Span::from_h(n * 24.0)
}

fn panel(label: &str, finished: f64, looked: &[f64]) -> FinishedPanel {
    let sound = Inspection { sound: true, ..Inspection::default() };
    FinishedPanel {
        is_here: true,
        id: Id::new(&label.to_lowercase().replace(' ', "-")).unwrap(),
        label: label.to_owned(),
        is_witness: label.ends_with("witness"),
        longer_side_mm: 400.0,
        finished_at: day(finished),
        inspections: looked.iter().map(|at| (day(*at), sound.clone())).collect(),
    }
}

#[test]
fn the_longest_due_stand_at_the_top_and_those_nobody_is_reminded_of_below() {
    let check = |panels: &[(&str, f64, &[f64])], order: &[(&str, &str)]| {
        let panels = panels.iter().map(|(label, finished, looked)| panel(label, *finished, looked)).collect();
        let sheet = SittingModel::new(panels, 0, day(100.0)).build_view_model(
            &Keymap::default(),
            day(100.0),
            UnitSystem::Metric,
        );
        let rows: Vec<_> = sheet.rows.iter().map(|r| (r.label.as_str(), r.look.as_str())).collect();
        assert_eq!(rows, order);
    };
    check(&[], &[]);
    check(
        &[("Wren", 99.0, &[]), ("Robin", 70.0, &[]), ("Siskin", 70.0, &[99.0]), ("Serin", -500.0, &[])],
        &[("Robin", "day 28 due"), ("Wren", "day 1 due"), ("Serin", ""), ("Siskin", "next day 90")],
    );
}

#[test]
fn an_answer_that_comes_late_touches_no_other_board() {
    let mut sitting = SittingModel::new(vec![panel("Wren", 0.0, &[]), panel("Robin", 0.0, &[])], 0, day(1.0));
    sitting.update(&Message::TypeChar('0'), &Keymap::default());
    let SittingOutcome::Record(looks) = sitting.update(&Message::RecordSitting, &Keymap::default()) else {
        panic!("a look was answered")
    };
    assert_eq!(looks.iter().map(|(id, _)| id.as_str()).collect::<Vec<_>>(), ["robin"]);
    sitting.mark_saving(&looks[0].0);
    sitting.mark_recorded(panel("Siskin", 0.0, &[1.0]), Some(3));
    sitting.mark_failed(&Id::new("wren").unwrap(), "the disk is full".to_owned());
    sitting.mark_recorded(panel("Robin", 0.0, &[1.0]), Some(3));
    let signs: Vec<_> = sitting
        .build_view_model(&Keymap::default(), day(1.0), UnitSystem::Metric)
        .rows
        .iter()
        .map(|r| (r.label.clone(), r.status))
        .collect();
    assert_eq!(
        signs,
        [("Robin".to_owned(), SittingRowStatus::Recorded), ("Wren".to_owned(), SittingRowStatus::Failed)]
    );
    assert_eq!(
        sitting.update(&Message::RecordSitting, &Keymap::default()),
        SittingOutcome::Stay,
        "nothing is left to record"
    );
}

#[test]
fn the_small_tests_are_asked_of_witnesses_alone() {
    let keymap = Keymap::default();
    let asked = |panels: Vec<FinishedPanel>| {
        let mut sitting = SittingModel::new(panels, 0, day(1.0));
        let mut asked = Vec::new();
        loop {
            let view = sitting.build_view_model(&keymap, day(1.0), UnitSystem::Metric);
            let rows: Vec<_> = view.rows.iter().map(|r| r.label.as_str()).collect();
            asked.push(format!("{}: {}", view.questions[view.question_index], rows.join(" ")));
            sitting.update(&Message::NextPanel, &keymap);
            if sitting.build_view_model(&keymap, day(1.0), UnitSystem::Metric).question_index == view.question_index {
                return asked;
            }
        }
    };
    let with_witness = asked(vec![panel("Wren", 0.0, &[]), panel("Wren witness", 0.0, &[])]);
    let both = |q: &str| format!("{q}: Wren Wren witness");
    let expected: Vec<String> = InspectionQuestion::ALL
        .iter()
        .map(|q| if q.is_of_every_board() { both(q.name()) } else { format!("{}: Wren witness", q.name()) })
        .collect();
    assert_eq!(with_witness, expected);
    assert_eq!(expected.iter().filter(|q| !q.contains("Wren Wren")).count(), 10);
    // Where nothing may be tried out the questions are passed over, in both directions and board by board.
    let painted = asked(vec![panel("Wren", 0.0, &[])]);
    assert_eq!(painted.len(), InspectionQuestion::ALL.len() - 10);
    let mut sitting = SittingModel::new(vec![panel("Wren", 0.0, &[]), panel("Robin", 0.0, &[])], 0, day(1.0));
    for _ in 0..8 {
        sitting.update(&Message::Advance, &keymap);
    }
    assert_eq!(sitting.question, InspectionQuestion::Mould);
    sitting.update(&Message::PreviousPanel, &keymap);
    assert_eq!(sitting.question, InspectionQuestion::Bow);
}
