//! What balance and calliper say of a board, and what is asked about it.

use super::super::board_moisture::moisture_left;
use super::super::dryness::Dryness;
use super::super::measured::PanelQuestion;
use super::*;

fn mm(points: &[f64]) -> PanelAct {
    PanelAct::Thick(points.iter().copied().map(Length::from_mm).collect())
}

fn g(mass: f64, offcut: Option<f64>) -> PanelAct {
    PanelAct::Weigh(Mass::from_g(mass), offcut.map(Mass::from_g))
}

fn board(thickness: f64) -> PanelStory {
    let story = opened(recipe());
    let mut entries = story.entries().to_vec();
    if let PanelEvent::Opened(o) = &mut entries[0].event {
        o.size.thickness = Some(Length::from_mm(thickness));
    }
    PanelStory::fold(entries).unwrap()
}

fn after(story: &PanelStory, act: &PanelAct, min: f64) -> PanelStory {
    record(story, act, min, min).unwrap_or_else(|r| panic!("{act:?}: {r}"))
}

fn asked(story: &PanelStory) -> &[PanelQuestion] {
    story.panel().questions_of(story.entries().last().unwrap().seq)
}

#[test]
fn the_first_thickness_is_the_bare_board_and_the_next_tells_what_was_built() {
    let bare = after(&board(12.0), &mm(&[12.0, 12.1, 11.9]), 1.0);
    assert!(asked(&bare).is_empty() && bare.panel().build().is_none());
    let built = after(&bare, &mm(&[12.8, 13.0, 12.6]), 900.0);
    let build = built.panel().build().unwrap();
    assert!((build.mean_um - 800.0).abs() < 1e-6 && build.points == 3, "{build:?}");
    assert!((build.range_um.0 - 700.0).abs() < 1e-6 && (build.range_um.1 - 900.0).abs() < 1e-6, "{build:?}");
    // Taken back, nothing is built.
    let back = after(&built, &PanelAct::Undo { seen: None }, 901.0);
    assert!(back.panel().build().is_none());
    for (points, question) in [
        (&[12.8, 13.0][..], PanelQuestion::OtherPoints { bare: 3 }),
        (&[12.8, 13.0, 11.4], PanelQuestion::Thinner { by_um: 500.0 }),
        // Inches for millimetres.
        (&[12.8, 13.0, 304.8], PanelQuestion::TooThick { build_um: 292_900.0 }),
    ] {
        let story = after(&bare, &mm(points), 900.0);
        let told = format!("{:?}", asked(&story));
        assert_eq!(asked(&story).len(), 1, "{told}");
        assert_eq!(asked(&story)[0].to_string(), question.to_string(), "{told}");
    }
    let other = after(&board(12.0), &mm(&[1.2]), 1.0);
    assert!(matches!(asked(&other), [PanelQuestion::OtherThickness { .. }]), "{:?}", asked(&other));
    let late = after(&after(&board(12.0), &PanelAct::done_as_planned(), 1.0), &mm(&[12.0]), 2.0);
    assert_eq!(asked(&late), [PanelQuestion::NotBare]);
    for points in [&[][..], &[0.0], &[f64::NAN], &[12.0; 101]] {
        assert!(matches!(record(&board(12.0), &mm(points), 1.0, 1.0), Err(PanelRefusal::InvalidThickness { .. })));
    }
}

#[test]
fn weighings_count_from_the_last_coat_and_what_is_odd_is_asked() {
    let day = DAY;
    let mut story = after(&board(12.0), &PanelAct::done_as_planned(), 1.0);
    story = after(&story, &g(800.0, None), 2.0);
    for min in [10.0, 11.0] {
        story = after(&story, &PanelAct::done_as_planned(), min);
    }
    // Heavier by the size that was laid between: no question.
    story = after(&story, &g(814.0, None), 20.0);
    assert!(asked(&story).is_empty());
    assert!(matches!(story.panel().dryness().unwrap().dryness, Dryness::TooFew { weighings: 1 }));
    let grown = after(&story, &g(817.0, None), 20.0 + day);
    assert_eq!(asked(&grown), [PanelQuestion::Heavier { by: Mass::from_g(3.0) }]);
    let other = after(&story, &g(300.0, None), 20.0 + day);
    assert!(matches!(asked(&other), [PanelQuestion::MuchLighter { .. }]));
    let swapped = after(&story, &g(810.0, Some(900.0)), 20.0 + day);
    assert!(matches!(asked(&swapped), [PanelQuestion::OffcutHeavier]));
    for (days, mass) in [(1.0, 805.0), (2.0, 801.0), (3.0, 799.2)] {
        story = after(&story, &g(mass, None), 20.0 + days * day);
    }
    let report = story.panel().dryness().unwrap();
    assert!(matches!(report.dryness, Dryness::Settling(s) if s.left_g > 0.5 && s.upper_g > s.left_g), "{report:?}");
    assert!(!report.has_offcut && report.weighings == 4);
    // One more coat begins anew.
    story = after(&story, &PanelAct::done_as_planned(), 30.0 + 3.0 * day);
    assert!(story.panel().dryness().is_none());
    for mass in [0.0, -1.0, f64::NAN] {
        assert_eq!(record(&story, &g(mass, None), 5e3, 5e3), Err(PanelRefusal::InvalidMass));
    }
}

#[test]
fn a_weighing_moves_no_stage_and_a_model_says_nothing_of_ready() {
    let story = after(&after(&board(12.0), &PanelAct::done_as_planned(), 1.0), &PanelAct::done_as_planned(), 2.0);
    let later = after(&after(&story, &g(800.0, None), 3.0), &mm(&[12.0]), 4.0);
    let now = Moment::from_wall(at(5.0));
    assert_eq!(story.panel().status(now), later.panel().status(now));
    assert!(moisture_left(Support::Lime, 12.0, 24.0).is_some());
    let left = story.panel().moisture_after_cure().unwrap();
    assert!(left.open.0 > 0.05 && left.open.1 < left.flat.1, "{left:?}");
    // 300 x 400 mm, both faces, one coat of 90 ml: 21.6 ml, of which 20.5 g are water.
    assert!((story.panel().size_water_g() - 20.5).abs() < 0.1, "{}", story.panel().size_water_g());
}
