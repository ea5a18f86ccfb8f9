//! What the screens of a round of boards look like, and what holds of them at every size.

use super::letter_reader::find_letters;
use super::tests::{PLAIN, drawn, scene, styles, text};
use super::{bench, samples};
use crate::app::bench_view_model::{BandViewModel, BenchViewModel, CrossSectionViewModel, StatusLine};
use crate::ui::theme::{ColorScheme, Theme};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Modifier;

const STATES: [&str; 11] = [
    "round",
    "round_due",
    "round_late",
    "round_called",
    "round_both",
    "round_early",
    "round_look",
    "round_wrong_pot",
    "round_pass",
    "round_pot_in",
    "round_soon",
];

#[test]
fn rounds_look_so() {
    for name in STATES {
        for (w, h) in [(80, 24), (120, 40), (200, 60)] {
            insta::assert_snapshot!(format!("{name}-{w}x{h}"), text(&drawn(&scene(name), PLAIN, w, h)));
        }
    }
    for boards in [1, 12, 60] {
        insta::assert_snapshot!(format!("round-of-{boards}"), text(&drawn(&samples::round_of(boards), PLAIN, 80, 24)));
    }
    for look in [ColorScheme::Terminal, ColorScheme::Dark, ColorScheme::Light, ColorScheme::Mono] {
        let theme = Theme { color_scheme: look, ascii: false };
        insta::assert_snapshot!(format!("round_due-{look:?}"), styles(&drawn(&scene("round_due"), theme, 80, 24)));
    }
    let ascii = Theme { color_scheme: ColorScheme::Mono, ascii: true };
    for name in ["round", "round_due", "round_early", "round_wrong_pot"] {
        insta::assert_snapshot!(format!("{name}-ascii"), text(&drawn(&scene(name), ascii, 80, 24)));
    }
    for name in ["far_round", "far_round_due", "far_round_both", "far_round_early"] {
        insta::assert_snapshot!(format!("{name}-80x24"), text(&drawn(&scene(name), PLAIN, 80, 24)));
    }
    for (w, h) in [(40, 12), (50, 15), (60, 10), (80, 8), (20, 5), (50, 60)] {
        insta::assert_snapshot!(format!("round_due-{w}x{h}"), text(&drawn(&scene("round_due"), PLAIN, w, h)));
    }
}

/// Sizes from the smallest that says more than the time to the largest.
fn sizes(least: (u16, u16)) -> Vec<(u16, u16)> {
    let heights = move || (least.1..=12).chain((13..=30).step_by(4)).chain([least.1]);
    let near = (least.0..=100).step_by(12).flat_map(move |w| heights().map(move |h| (w, h)));
    let far = [80, 140, 250].into_iter().flat_map(|w| [24, 29, 40, 80].map(|h| (w, h)));
    let tall = [36, 63].into_iter().flat_map(|w| [24, 40, 80].map(|h| (w, h)));
    near.chain(far).chain(tall).filter(|(w, h)| *w >= least.0 && *h >= least.1).collect()
}

fn drawn_with_digits(scene: &BenchViewModel, theme: Theme, (w, h): (u16, u16)) -> (Buffer, bool) {
    let area = Rect::new(0, 0, w, h);
    let mut buf = Buffer::empty(area);
    let regions = bench::render_bench_in(scene, &theme, &mut buf, area);
    (buf, regions.digits.is_some_and(|digits| digits.rows > 0))
}

#[test]
fn board_and_time_are_on_the_screen_at_every_size() {
    let ascii = Theme { color_scheme: ColorScheme::Mono, ascii: true };
    for name in ["round", "round_due", "round_both", "round_early", "far_round", "far_round_both"] {
        let scene = scene(name);
        let time = super::digits::format_timer(&scene.timer.unwrap()).0;
        for theme in [PLAIN, ascii] {
            for size in sizes((20, 5)) {
                let (buf, has_digits) = drawn_with_digits(&scene, theme, size);
                let shown = text(&buf);
                let stands = |words: &str| shown.contains(words) || find_letters(&buf, words, theme.ascii).is_some();
                assert!(stands("BAY"), "{name} {size:?} ascii {}: no name in\n{shown}", theme.ascii);
                assert!(has_digits || stands(&time), "{name} {size:?} ascii {}: no time in\n{shown}", theme.ascii);
            }
        }
    }
}

/// In block letters from 80 columns by 24 rows up: board, act and direction; and the digits are seven rows high.
#[test]
fn all_four_are_large_from_eighty_by_twenty_four_up() {
    let ascii = Theme { color_scheme: ColorScheme::Mono, ascii: true };
    for name in ["round", "round_due", "round_late", "far_round", "far_round_due"] {
        for theme in [PLAIN, ascii] {
            for size in sizes((80, 24)) {
                let scene = scene(name);
                let area = Rect::new(0, 0, size.0, size.1);
                let mut buf = Buffer::empty(area);
                let regions = bench::render_bench_in(&scene, &theme, &mut buf, area);
                for words in ["BAY", "COAT 4", "VERTICAL"] {
                    let found = find_letters(&buf, words, theme.ascii).is_some();
                    assert!(found, "{name} {size:?}: {words} in\n{}", text(&buf));
                }
                assert!(regions.digits.is_some_and(|digits| digits.rows >= 7), "{name} {size:?}\n{}", text(&buf));
                if scene.pot_band.is_some_and(|band| band.is_calling) {
                    let found = find_letters(&buf, "POT OUT NOW", theme.ascii).is_some();
                    assert!(found, "{name} {size:?}: {}", text(&buf));
                }
            }
        }
    }
}

/// Rows that are inside out from edge to edge.
fn count_reversed_rows(buf: &Buffer, rows: std::ops::Range<u16>) -> usize {
    let is_reversed = |x: u16, y: u16| buf[(x, y)].modifier.contains(Modifier::REVERSED);
    rows.filter(|y| (0..buf.area.width).all(|x| is_reversed(x, *y))).count()
}

/// What is due is told from what waits without reading: a bar from edge to edge.
#[test]
fn due_stands_in_a_bar_over_the_whole_width() {
    for look in [ColorScheme::Terminal, ColorScheme::Dark, ColorScheme::Light, ColorScheme::Mono] {
        for ascii in [false, true] {
            let theme = Theme { color_scheme: look, ascii };
            for (w, h) in sizes((20, 5)) {
                let mut due = samples::round_due();
                due.pot_band = None;
                for (scene, least) in [(samples::round(), 0), (due, 1), (samples::round_early(), 1)] {
                    let buf = drawn(&scene, theme, w, h);
                    let rows = count_reversed_rows(&buf, 0..h);
                    let large = if w >= 80 && h >= 24 && !ascii { 3 * least } else { least };
                    assert!(rows >= large && (least > 0 || rows == 0), "{w}x{h}: {rows} rows in\n{}", text(&buf));
                }
            }
        }
    }
}

/// Labels of many columns, everywhere a label can stand.
fn with_long_labels(mut scene: BenchViewModel) -> BenchViewModel {
    let label = "Ö".repeat(90);
    scene.header.label.clone_from(&label);
    scene.header.recipe.clone_from(&label);
    scene.places.iter_mut().for_each(|place| place.name.clone_from(&label));
    scene.queue.iter_mut().for_each(|item| item.name.clone_from(&label));
    // What stands beside the section are dates and names.
    scene.cross_section = CrossSectionViewModel::default();
    scene.rack = samples::waiting().rack;
    scene.rack.iter_mut().for_each(|line| line.label.clone_from(&label));
    scene.pots.iter_mut().for_each(|pot| pot.label.clone_from(&label));
    scene
}

/// Words that tell what to do.
fn list_instructions(scene: &BenchViewModel) -> Vec<String> {
    let band = |band: &Option<BandViewModel>| band.as_ref().map(|band| band.explanation.clone());
    let card = scene.block_card.as_ref().map(|card| card.explanation.clone());
    let notice = scene.status_line.as_ref().map(|notice| notice.text.clone());
    let said = [&scene.caution, &scene.explanation, &scene.remark].map(Clone::clone);
    let bands = [band(&scene.call_band), band(&scene.pot_band)].into_iter().flatten();
    said.into_iter().chain(bands).chain(card).chain(notice).chain(scene.confirmation.clone()).collect()
}

#[test]
fn labels_give_way_and_instructions_never() {
    let mut cases: Vec<(&str, BenchViewModel)> =
        samples::all().into_iter().filter(|(name, _)| *name != "hostile").collect();
    let mut full = samples::round_both();
    full.explanation = "the surface dries out: the coat will bond less well after 14:59".into();
    full.status_line = Some(StatusLine { text: "not saved: the disk is full; press r".into(), urgent: true });
    cases.push(("full", full));
    let ascii = Theme { color_scheme: ColorScheme::Mono, ascii: true };
    for (name, scene) in cases {
        let scene = with_long_labels(scene);
        for theme in [PLAIN, ascii] {
            for (w, h) in sizes((80, 24)) {
                let shown = text(&drawn(&scene, theme, w, h));
                // In ASCII the section is drawn with dots.
                for (at, mark) in shown.match_indices('…').filter(|_| !theme.ascii) {
                    let is_label = shown[..at].ends_with('Ö');
                    let is_count = shown[at + mark.len()..].trim_start().starts_with(|c: char| c.is_ascii_digit());
                    assert!(is_label || is_count, "{name} {w}x{h}: cut in\n{shown}");
                }
                if scene.distance_mode {
                    continue;
                }
                for words in list_instructions(&scene).iter().flat_map(|said| said.split_whitespace()) {
                    assert!(shown.contains(words), "{name} {w}x{h}: {words} is missing in\n{shown}");
                }
            }
        }
    }
}

/// A word about the recording and a caution are both told, and the digits do not move for a short one.
#[test]
fn a_notice_never_stands_over_a_caution() {
    let mut saving = samples::round_due();
    saving.status_line = Some(StatusLine { text: "saving".into(), urgent: false });
    let (before, with) = (drawn(&samples::round_due(), PLAIN, 80, 24), drawn(&saving, PLAIN, 80, 24));
    let shown = text(&with);
    assert!(shown.contains("saving") && shown.contains("Hot bath: cable away, handles in."), "{shown}");
    let changed = before.content().iter().zip(with.content()).filter(|(a, b)| a != b).count();
    assert_eq!(changed, "saving".len());
}

/// The places about the one shown, and how many are left out at either side.
#[test]
fn the_places_lie_about_the_one_shown() {
    for (boards, shown, wants_left, wants_right) in
        [(4, 1, "", ""), (60, 0, "", " →"), (60, 30, "← ", " →"), (60, 59, "← ", "")]
    {
        let mut scene = samples::round_of(boards);
        scene.places.iter_mut().enumerate().for_each(|(i, place)| place.is_shown = i == shown);
        let line = text(&drawn(&scene, PLAIN, 80, 24)).lines().next().unwrap().to_owned();
        let name = format!("[Wren{}]", shown + 1);
        assert!(line.contains(&name) && line.contains("Tue 14:07"), "{line}");
        assert_eq!(line.contains("← "), !wants_left.is_empty(), "{line}");
        assert_eq!(line.contains(" →"), !wants_right.is_empty(), "{line}");
        let told = line.matches("Wren").count();
        let left_out: usize = line.split_whitespace().filter_map(|word| word.parse::<usize>().ok()).sum();
        assert_eq!(told + left_out, boards, "{line}");
    }
}

/// What comes is cut between its parts only, and what does not fit is counted.
#[test]
fn the_queue_is_cut_between_its_parts() {
    let scene = samples::round_of(60);
    for w in 64..=250 {
        let shown = text(&drawn(&scene, PLAIN, w, 24));
        let line = shown.lines().find(|line| line.contains("then: Wren")).unwrap();
        let parts: Vec<&str> = line.trim().trim_start_matches("then: ").split(", ").collect();
        let (more, told) = parts.split_last().unwrap();
        let left: usize = more.trim_start_matches("… ").trim_end_matches(" more").parse().unwrap();
        assert_eq!(told.len() + left, 59, "{line}");
        assert!(told.iter().all(|part| part.ends_with(":10")), "{line}");
    }
}

/// With one board there is no name before the act.
#[test]
fn one_board_is_not_named() {
    let buf = drawn(&samples::round_of(1), PLAIN, 80, 24);
    assert!(find_letters(&buf, "WREN", false).is_none() && find_letters(&buf, "LAY COAT 4", false).is_some());
}

/// What a card asks is not asked once more under the digits.
#[test]
fn a_question_is_asked_once() {
    let mut scene = samples::round_early();
    scene.confirmation = scene.block_card.as_ref().map(|card| card.explanation.clone());
    for size in sizes((80, 24)) {
        for distance_mode in [false, true] {
            let scene = BenchViewModel { distance_mode, ..scene.clone() };
            let shown = text(&drawn(&scene, PLAIN, size.0, size.1));
            assert_eq!(shown.matches("Space again lays it").count(), 1, "{size:?}\n{shown}");
        }
    }
}
