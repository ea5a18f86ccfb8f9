//! Masses, volumes, temperatures and humidities, read and printed. A number always carries its unit.

use super::UnitSystem;
use super::number::{format_number, parse_number, split_unit};
use super::parse_error::{ParseError, ParseErrorKind, Quantity};
use crate::units::{Humidity, Mass, Temperature, Volume};

/// Grams in an ounce, exactly: a sixteenth of a pound.
const G_PER_OZ: f64 = Mass::G_PER_LB / 16.0;
/// Millilitres in a US fluid ounce, exactly: 231 cubic inches to a gallon of 128.
const ML_PER_FLOZ: f64 = 29.573_529_562_5;
/// The most that is still believed: a tonne, and as much water.
const MAX_G_OR_ML: f64 = 1_000_000.0;
/// Hotter than this nothing on this bench gets, C; assumed.
const MAX_TEMPERATURE_C: f64 = 1000.0;

/// Reads a mass: `812g`, `0.8kg`, `1.8lb`, `12 oz`.
///
/// # Errors
/// No number, no unit or one not known here, less than nothing, more than a tonne.
pub fn parse_mass(text: &str) -> Result<Mass, ParseError> {
    let g = parse_amount(Quantity::Mass, text, "1000 kg", |unit| {
        Some(match unit {
            "mg" => 0.001,
            "g" | "gr" | "gram" | "grams" => 1.0,
            "kg" => 1000.0,
            "lb" | "lbs" => Mass::G_PER_LB,
            "oz" => G_PER_OZ,
            _ => return None,
        })
    })?;
    Ok(Mass::from_g(g))
}

/// Reads a volume: `60ml`, `0.5l`, `2floz` (US).
///
/// # Errors
/// No number, no unit or one not known here, less than nothing, more than a cubic metre.
pub fn parse_volume(text: &str) -> Result<Volume, ParseError> {
    let ml = parse_amount(Quantity::Volume, text, "1000 l", |unit| {
        Some(match unit {
            "ml" | "cc" => 1.0,
            "cl" => 10.0,
            "dl" => 100.0,
            "l" | "litre" | "litres" | "liter" | "liters" => 1000.0,
            "floz" | "fl oz" => ML_PER_FLOZ,
            _ => return None,
        })
    })?;
    Ok(Volume::from_ml(ml))
}

/// Reads a number with a unit, zero or more.
fn parse_amount(
    kind: Quantity,
    text: &str,
    most: &'static str,
    unit: impl Fn(&str) -> Option<f64>,
) -> Result<f64, ParseError> {
    let read = || {
        let (figure, name) = split_number_and_unit(text)?;
        let value = parse_number(figure, false)?;
        let factor = unit(&name).ok_or(ParseErrorKind::UnknownUnit(name))?;
        let all = value * factor;
        if all > MAX_G_OR_ML { Err(ParseErrorKind::TooLarge(most)) } else { Ok(all) }
    };
    read().map_err(|fault| ParseError::new(kind, text, fault))
}

/// Number and unit of `text`, the unit in small letters.
fn split_number_and_unit(text: &str) -> Result<(&str, String), ParseErrorKind> {
    if text.trim().is_empty() {
        return Err(ParseErrorKind::Empty);
    }
    let (figure, unit) = split_unit(text);
    if figure.is_empty() {
        return Err(ParseErrorKind::NotANumber(text.trim().to_owned()));
    }
    if unit.is_empty() { Err(ParseErrorKind::MissingUnit) } else { Ok((figure, unit.to_lowercase())) }
}

/// Reads a temperature: `20C`, `68F`, `-5 °C`.
///
/// # Errors
/// No number, no unit or one not known here, below absolute zero, above 1000 C.
pub fn parse_temperature(text: &str) -> Result<Temperature, ParseError> {
    let read = || {
        let (figure, unit) = split_number_and_unit(text)?;
        let value = parse_number(figure, true)?;
        let c = match unit.trim_start_matches(['°', 'º']).trim_start() {
            "c" | "℃" => value,
            "f" | "℉" => (value - 32.0) / 1.8,
            "" => return Err(ParseErrorKind::MissingUnit),
            _ => return Err(ParseErrorKind::UnknownUnit(unit)),
        };
        if c < -273.15 {
            Err(ParseErrorKind::BelowAbsoluteZero)
        } else if c > MAX_TEMPERATURE_C {
            Err(ParseErrorKind::TooLarge("1000 C"))
        } else {
            Ok(Temperature::from_c(c))
        }
    };
    read().map_err(|kind| ParseError::new(Quantity::Temperature, text, kind))
}

/// Reads a relative humidity: `50%`, `45.5 %`, `50%RH`.
///
/// # Errors
/// No number, no per cent sign, not between 0 and 100.
pub fn parse_humidity(text: &str) -> Result<Humidity, ParseError> {
    let read = || {
        let (figure, unit) = split_number_and_unit(text)?;
        let value = parse_number(figure, true)?;
        if !matches!(unit.as_str(), "%" | "%rh" | "% rh") {
            return Err(ParseErrorKind::UnknownUnit(unit));
        }
        if (0.0..=100.0).contains(&value) { Ok(Humidity::from_pct(value)) } else { Err(ParseErrorKind::NotAPercentage) }
    };
    read().map_err(|kind| ParseError::new(Quantity::Humidity, text, kind))
}

/// A mass to read: `812 g`, `1.25 kg`; `0.13 oz (3.7 g)`, `2.1 oz`, `1.79 lb`. Under an ounce the grams stand beside it, for
/// no kitchen scale tells hundredths of an ounce.
pub fn format_mass(mass: Mass, units: UnitSystem) -> String {
    let g = mass.g();
    match units {
        UnitSystem::Metric if g.abs() < 10.0 => format!("{} g", format_number(g, 1)),
        UnitSystem::Metric if g.abs() < 999.5 => format!("{} g", format_number(g, 0)),
        UnitSystem::Metric => format!("{} kg", format_number(g / 1000.0, 2)),
        UnitSystem::Imperial if g.abs() < G_PER_OZ => {
            format!("{} oz ({} g)", format_number(g / G_PER_OZ, 2), format_number(g, 1))
        }
        UnitSystem::Imperial if g.abs() < Mass::G_PER_LB => format!("{} oz", format_number(g / G_PER_OZ, 2)),
        UnitSystem::Imperial => format!("{} lb", format_number(g / Mass::G_PER_LB, 2)),
    }
}

/// A volume to read: `60 ml`, `1.25 l`; `2 floz`.
pub fn format_volume(volume: Volume, units: UnitSystem) -> String {
    let ml = volume.ml();
    match units {
        UnitSystem::Metric if ml.abs() < 10.0 => format!("{} ml", format_number(ml, 1)),
        UnitSystem::Metric if ml.abs() < 999.5 => format!("{} ml", format_number(ml, 0)),
        UnitSystem::Metric => format!("{} l", format_number(ml / 1000.0, 2)),
        UnitSystem::Imperial => format!("{} floz", format_number(ml / ML_PER_FLOZ, 2)),
    }
}

/// A temperature to read, to a tenth: `20.5 C`, `68 F`.
pub fn format_temperature(temperature: Temperature, units: UnitSystem) -> String {
    match units {
        UnitSystem::Metric => format!("{} C", format_number(temperature.c(), 1)),
        UnitSystem::Imperial => format!("{} F", format_number(temperature.c() * 1.8 + 32.0, 1)),
    }
}

/// How far two temperatures are apart, to a tenth: `2.8 K`, `5 F`.
pub fn format_temperature_difference(kelvin: f64, units: UnitSystem) -> String {
    match units {
        UnitSystem::Metric => format!("{} K", format_number(kelvin, 1)),
        UnitSystem::Imperial => format!("{} F", format_number(kelvin * 1.8, 1)),
    }
}

/// A relative humidity to read, to a whole per cent: `50%`.
pub fn format_humidity(humidity: Humidity) -> String {
    format!("{}%", format_number(humidity.pct(), 0))
}
