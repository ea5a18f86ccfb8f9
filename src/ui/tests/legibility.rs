//! From how far letters and digits are read.
//!
//! The height a sign needs is 2 D tan(a / 2) at the distance D for the angle a; 16 minutes of arc is the least that
//! is asked for, 20 to 22 are preferred (ISO 9241-3, as quoted; NUREG-0700 rev. 2, 1.3.1-4).

use crate::app::bench_view_model::BenchViewModel;
use crate::ui::render::letter_reader::measure_signs;
use crate::ui::render::samples;

/// The least angle, minutes of arc (ISO 9241-3, as quoted).
const LEAST_ARCMIN: f64 = 16.0;

/// The farthest distance, mm, at which a sign `height_mm` high still fills `arcmin` minutes of arc.
fn distance_mm(height_mm: f64, arcmin: f64) -> f64 {
    height_mm / (2.0 * ((arcmin / 60.0).to_radians() / 2.0).tan())
}

/// The height of one row, mm, on a screen `diagonal_in` inches across with sides as `aspect` = width / height, that
/// shows `rows` rows from edge to edge.
fn row_mm(diagonal_in: f64, aspect: f64, rows: f64) -> f64 {
    diagonal_in * 25.4 / aspect.hypot(1.0) / rows
}

/// Heights by 2 D tan(a / 2), mm, for distances in mm and angles in minutes of arc.
#[test]
fn distances_are_those_of_the_formula() {
    for (distance, arcmin, height) in [
        (500.0, 16.0, 2.32711),
        (500.0, 22.0, 3.19978),
        (700.0, 18.0, 3.6652),
        (1000.0, 24.0, 6.98135),
        (1500.0, 20.0, 8.72667),
        (2000.0, 16.0, 9.30844),
        (2000.0, 24.0, 13.96269),
        (3000.0, 16.0, 13.96266),
        (3000.0, 20.0, 17.45334),
        (3000.0, 24.0, 20.94404),
    ] {
        let is = distance_mm(height, arcmin);
        assert!((is - distance).abs() < distance * 5e-5, "{height} mm at {arcmin}': {is}");
    }
}

/// A screen of 14 inches, 16 to 9, that the window fills; one of fewer than 24 rows has letters as large as one of 24.
fn distance_of(rows_of_sign: f64, rows_of_window: u16) -> f64 {
    distance_mm(rows_of_sign * row_mm(14.0, 16.0 / 9.0, f64::from(rows_of_window.max(24))), LEAST_ARCMIN) / 1000.0
}

/// A line of the table: metres, or "words" where a part stands in the size of all text.
fn format_row(name: &str, scene: &BenchViewModel, width: u16, height: u16) -> String {
    let signs = measure_signs(scene, width, height);
    let told = |rows: Option<f64>| rows.map_or("words".into(), |rows| format!("{:.1}", distance_of(rows, height)));
    let cells = [signs.name, signs.act, signs.direction, signs.digits, signs.pot].map(told);
    format!("| {width}x{height}{name} | {} |", cells.join(" | "))
}

const SIZES: [(u16, u16); 7] = [(80, 24), (120, 40), (200, 60), (60, 10), (80, 8), (50, 15), (40, 12)];

/// The table of `DEVELOPERS.md`, measured on the pictures: a board that is due while the pot calls.
#[test]
fn the_distances_are_those_of_the_handbook() {
    let due = samples::round_due();
    let far = BenchViewModel { distance_mode: true, ..due.clone() };
    let quiet = BenchViewModel { pot_band: None, ..far.clone() };
    let near = SIZES.iter().map(|(w, h)| format_row("", &due, *w, *h));
    let afar = [(80, 24), (120, 40), (200, 60)].map(|(w, h)| format_row(", far", &far, w, h));
    let alone = [(80, 24), (200, 60)].map(|(w, h)| format_row(", far, no pot", &quiet, w, h));
    let table: Vec<String> = near.chain(afar).chain(alone).collect();
    let handbook = include_str!("../../../DEVELOPERS.md");
    assert!(table.iter().all(|row| handbook.contains(row.as_str())), "{}", table.join("\n"));
}

/// From three metres all of it is read in every window of 24 rows and more.
#[test]
fn everything_large_is_read_from_three_metres() {
    for (w, h) in [(80, 24), (100, 30), (120, 40), (160, 45), (200, 60), (250, 80)] {
        for scene in [samples::round(), samples::round_due()] {
            let signs = measure_signs(&scene, w, h);
            let pot = signs.pot.filter(|_| scene.pot_band.as_ref().is_some_and(|band| band.is_calling));
            for rows in [signs.name, signs.act, signs.direction, signs.digits].into_iter().chain([pot.or(signs.digits)])
            {
                let is = rows.map(|rows| distance_of(rows, h));
                assert!(is.is_some_and(|metres| metres >= 3.0), "{w}x{h}: {signs:?}");
            }
        }
    }
}
