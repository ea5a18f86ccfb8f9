//! What leaves a sitting: the order of boards, and what cannot be told twice.

use super::*;
use crate::text::UnitSystem;
use crate::units::{Length, Size, Span};
use crate::work::panel::inspection::{CrackDirection, CrackPlace};
use crate::work::story::TrialRun;

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
        trial: None,
        seen_anyway: Vec::new(),
        size: Size { width: Length::from_mm(400.0), height: Length::from_mm(300.0), thickness: None },
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

/// Boards finished last and first, in another order than their numbers.
#[test]
fn boards_of_a_trial_stand_in_the_order_drawn_and_tell_nothing_of_before() {
    let of_trial = |label: &str, run: u32, finished: f64| FinishedPanel {
        trial: Some(TrialRun { trial: Id::new("strength").unwrap(), run, jar: run }),
        is_witness: true,
        seen_anyway: vec!["cloth is seen and felt"],
        ..panel(label, finished, &[3.0])
    };
    let panels =
        vec![of_trial("T10", 10, 0.0), panel("Wren", -1.0, &[]), of_trial("T2", 2, 0.3), of_trial("T1", 1, 0.6)];
    let mut sitting = SittingModel::new(panels, 0, day(9.0));
    let labels = |sitting: &SittingModel| {
        let view = sitting.build_view_model(&Keymap::default(), day(9.0), UnitSystem::Metric);
        let told = view.rows.iter().any(|row| row.label.starts_with('T') && !row.previous_answer.is_empty());
        assert!(!told, "{:?}", view.rows);
        (view.rows.iter().map(|row| row.label.clone()).collect::<Vec<_>>(), view.board_notes.join(" "))
    };
    let (rows, notes) = labels(&sitting);
    assert_eq!(rows, ["T1", "T2", "T10", "Wren"]);
    assert!(notes.contains("Looked at blind") && notes.contains("cloth is seen and felt"), "{notes}");
    // Also not by what is answered now.
    sitting.update(&Message::TypeChar('2'), &Keymap::default());
    sitting.update(&Message::AnswerCrackPlace(CrackPlace::Edge), &Keymap::default());
    sitting.update(&Message::AnswerCrackDirection(CrackDirection::Along), &Keymap::default());
    let (_, notes) = labels(&sitting);
    assert!(!notes.contains("growing") && notes.contains("so far: crack"), "{notes}");
}
