//! The size of a board, read and printed: width first, with the arrow on its back pointing up.

use super::UnitSystem;
use super::number::{format_number, parse_number, split_unit};
use super::parse_error::{ParseError, ParseErrorKind, Quantity};
use crate::units::{Length, Size};

/// The largest side believed: ten metres.
pub const MAX_SIDE_MM: f64 = 10_000.0;
/// The smallest side believed.
pub const MIN_SIDE_MM: f64 = 0.1;
const MM_PER_IN: f64 = Length::MM_PER_IN;

/// Reads a size: `300x400x12mm`, `30 x 40 cm`, `12x16x1/2in`, `12 in × 16 in × 12 mm`. A part without a unit takes the
/// next unit to its right; no thickness is unknown.
///
/// # Errors
/// Not two or three parts, a part that is no number, no unit or one not known here, a side of zero or less, under a
/// tenth of a millimetre or over ten metres.
pub fn parse_size(text: &str) -> Result<Size, ParseError> {
    parse_sides(text).map_err(|kind| ParseError::new(Quantity::Size, text, kind))
}

/// Reads a length: `12.4mm`, `1/2in`.
///
/// # Errors
/// No number, no unit or one not known here, zero or less, under a tenth of a millimetre or over ten metres.
pub fn parse_length(text: &str) -> Result<Length, ParseError> {
    let read = || {
        if text.trim().is_empty() {
            return Err(ParseErrorKind::Empty);
        }
        let (figure, unit) = split_unit(text);
        if figure.is_empty() {
            return Err(ParseErrorKind::NotANumber(text.trim().to_owned()));
        }
        if unit.is_empty() {
            return Err(ParseErrorKind::MissingUnit);
        }
        let unit_mm = mm_per_unit(unit).ok_or_else(|| ParseErrorKind::UnknownUnit(unit.to_owned()))?;
        checked_side(parse_number(figure, true)?, unit_mm)
    };
    read().map_err(|kind| ParseError::new(Quantity::Length, text, kind))
}

fn parse_sides(text: &str) -> Result<Size, ParseErrorKind> {
    if text.trim().is_empty() {
        return Err(ParseErrorKind::Empty);
    }
    let parts: Vec<&str> = text.split(['x', 'X', '×', '*']).collect();
    if !(2..=3).contains(&parts.len()) {
        return Err(ParseErrorKind::WrongFormat);
    }
    let mut unit_mm = None;
    let mut sides_mm = Vec::with_capacity(3);
    for part in parts.into_iter().rev() {
        let (figure, unit) = split_unit(part);
        if figure.is_empty() {
            return Err(ParseErrorKind::NotANumber(part.trim().to_owned()));
        }
        if !unit.is_empty() {
            unit_mm = Some(mm_per_unit(unit).ok_or_else(|| ParseErrorKind::UnknownUnit(unit.to_owned()))?);
        }
        sides_mm.push(checked_side(parse_number(figure, true)?, unit_mm.ok_or(ParseErrorKind::MissingUnit)?)?);
    }
    sides_mm.reverse();
    match *sides_mm.as_slice() {
        [width, height] => Ok(Size { width, height, thickness: None }),
        [width, height, thickness] => Ok(Size { width, height, thickness: Some(thickness) }),
        _ => Err(ParseErrorKind::WrongFormat),
    }
}

fn checked_side(value: f64, unit_mm: f64) -> Result<Length, ParseErrorKind> {
    let mm = value * unit_mm;
    if mm <= 0.0 {
        Err(ParseErrorKind::NotPositive)
    } else if mm < MIN_SIDE_MM {
        Err(ParseErrorKind::TooSmall("0.1 mm"))
    } else if mm > MAX_SIDE_MM {
        Err(ParseErrorKind::TooLarge("10 m"))
    } else {
        Ok(Length::from_mm(mm))
    }
}

fn mm_per_unit(unit: &str) -> Option<f64> {
    Some(match unit.to_lowercase().as_str() {
        "mm" => 1.0,
        "cm" => 10.0,
        "m" => 1000.0,
        "in" | "inch" | "inches" | "\"" | "″" => MM_PER_IN,
        "ft" => 12.0 * MM_PER_IN,
        _ => return None,
    })
}

/// A size to read, which can also be typed: `300 x 400 x 12 mm`, `12 x 16 x 1/2 in`.
pub fn format_size(size: Size, units: UnitSystem) -> String {
    let sides = [Some(size.width), Some(size.height), size.thickness];
    let printed: Vec<String> = sides.into_iter().flatten().map(|side| format_length_number(side, units)).collect();
    format!("{} {}", printed.join(" x "), length_unit_name(units))
}

/// A length to read: `12 mm`, `1/2 in`.
pub fn format_length(length: Length, units: UnitSystem) -> String {
    format!("{} {}", format_length_number(length, units), length_unit_name(units))
}

/// A length too small for a rule, to so many places of a millimetre: `0.05 mm`, `0.002 in`.
pub fn format_fine_length(length: Length, places: usize, units: UnitSystem) -> String {
    match units {
        UnitSystem::Metric => format!("{} mm", format_number(length.mm(), places)),
        UnitSystem::Imperial => format!("{} in", format_number(length.mm() / MM_PER_IN, places + 1)),
    }
}

const fn length_unit_name(units: UnitSystem) -> &'static str {
    match units {
        UnitSystem::Metric => "mm",
        UnitSystem::Imperial => "in",
    }
}

fn format_length_number(side: Length, units: UnitSystem) -> String {
    match units {
        UnitSystem::Metric => format_number(side.mm(), 2),
        UnitSystem::Imperial => format_inches(side.mm() / MM_PER_IN),
    }
}

/// Inches as a rule has them, halves to sixty-fourths, where that is true within a hundredth of a millimetre; else
/// to a hundredth of an inch, or finer where the piece is thin.
fn format_inches(value: f64) -> String {
    let whole = value.trunc();
    let part = value - whole;
    for below in [1.0_f64, 2.0, 4.0, 8.0, 16.0, 32.0, 64.0] {
        let above = (part * below).round();
        if (part - above / below).abs() * MM_PER_IN > 0.01 {
            continue;
        }
        return match (whole + (above / below).trunc(), above % below) {
            (whole, 0.0) => format_number(whole, 0),
            (0.0, above) => format!("{above}/{below}"),
            (whole, above) => format!("{whole} {above}/{below}"),
        };
    }
    format_number(value, if value < 1.0 { 3 } else { 2 })
}
