//! From how far digits are read.
//!
//! The height a sign needs is 2 D tan(a / 2) at the distance D for the angle a; 16 minutes of arc is the least that
//! is asked for, 20 to 22 are preferred (ISO 9241-3, as quoted; NUREG-0700 rev. 2, 1.3.1-4).

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

fn check(rows_of_screen: f64, rows_of_sign: f64, wants_m: f64) {
    let height = rows_of_sign * row_mm(14.0, 16.0 / 9.0, rows_of_screen);
    let is = distance_mm(height, LEAST_ARCMIN) / 1000.0;
    assert!((is - wants_m).abs() < 0.05, "{rows_of_sign} of {rows_of_screen} rows: {is:.2} m");
}

/// A terminal that fills a 14 inch screen of 16 to 9 (174 mm high): its rows, the rows of a sign, the distance in
/// metres. Digits are 8 rows of 24 (7 once over time), 13 of 40, 24 of 60; the letters of the act are 2.5, 5 and
/// 7.5. A window half as high halves the distance.
#[test]
fn digits_are_read_from_across_the_room() {
    for (screen, sign, metres) in [
        (24.0, 8.0, 12.5),
        (24.0, 7.0, 10.9),
        (40.0, 13.0, 12.2),
        (60.0, 24.0, 15.0),
        (24.0, 2.5, 3.9),
        (40.0, 5.0, 4.7),
        (60.0, 7.5, 4.7),
    ] {
        check(screen, sign, metres);
    }
    assert!(distance_mm(7.0 * row_mm(14.0, 16.0 / 9.0, 24.0), LEAST_ARCMIN) > 3000.0);
}
