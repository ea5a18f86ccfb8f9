//! From how far digits are read.
//!
//! The height a sign needs is 2 D tan(a / 2) at the distance D for the angle a; 16 minutes of arc is the least that
//! is asked for, 20 to 22 are preferred (ISO 9241-3, as quoted; NUREG-0700 rev. 2, 1.3.1-4).

/// The least angle, minutes of arc (ISO 9241-3, as quoted).
pub const LEAST_ARCMIN: f64 = 16.0;

/// The farthest distance, mm, at which a sign `height_mm` high still fills `arcmin` minutes of arc.
pub fn distance_mm(height_mm: f64, arcmin: f64) -> f64 {
    height_mm / (2.0 * (arcmin / 60.0).to_radians().mul_add(0.5, 0.0).tan())
}

/// The height of one row, mm, on a screen `diagonal_in` inches across with sides as `aspect` = width / height, that
/// shows `rows` rows from edge to edge.
pub fn row_mm(diagonal_in: f64, aspect: f64, rows: f64) -> f64 {
    diagonal_in * 25.4 / aspect.hypot(1.0) / rows
}
