//! Masses, volumes, temperatures and humidities, read and printed. A number always carries its unit.
//!
//! Absent on purpose: lengths (`size`), what an amount is good for.

use super::Units;
use super::fault::{Fault, Kind, Unreadable};
use super::number::{number, split_unit, trimmed};
use crate::units::{Humidity, Mass, Temperature, Volume};

/// Grams in an avoirdupois pound, exactly (international yard and pound agreement, 1959).
const G_PER_LB: f64 = 453.592_37;
/// Grams in an ounce, exactly: a sixteenth of a pound.
const G_PER_OZ: f64 = G_PER_LB / 16.0;
/// Millilitres in a US fluid ounce, exactly: 231 cubic inches to a gallon of 128.
const ML_PER_FLOZ: f64 = 29.573_529_562_5;
/// The most that is still believed: a tonne, and as much water.
const MOST_G: f64 = 1_000_000.0;
/// Hotter than this nothing on this bench gets, C; assumed.
const HOTTEST_C: f64 = 1000.0;

/// Reads a mass: `812g`, `0.8kg`, `1.8lb`, `12 oz`.
///
/// # Errors
/// No number, no unit or one not known here, less than nothing, more than a tonne.
pub fn parse_mass(text: &str) -> Result<Mass, Unreadable> {
    let g = measured(Kind::Mass, text, "1000 kg", |unit| {
        Some(match unit {
            "mg" => 0.001,
            "g" | "gr" | "gram" | "grams" => 1.0,
            "kg" => 1000.0,
            "lb" | "lbs" => G_PER_LB,
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
pub fn parse_volume(text: &str) -> Result<Volume, Unreadable> {
    let ml = measured(Kind::Volume, text, "1000 l", |unit| {
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
fn measured(kind: Kind, text: &str, most: &'static str, unit: impl Fn(&str) -> Option<f64>) -> Result<f64, Unreadable> {
    let read = || {
        let (figure, name) = with_unit(text)?;
        let value = number(figure, false)?;
        let factor = unit(&name).ok_or(Fault::UnknownUnit(name))?;
        let all = value * factor;
        if all > MOST_G { Err(Fault::TooLarge(most)) } else { Ok(all) }
    };
    read().map_err(|fault| Unreadable::new(kind, text, fault))
}

/// Number and unit of `text`, the unit in small letters.
fn with_unit(text: &str) -> Result<(&str, String), Fault> {
    if text.trim().is_empty() {
        return Err(Fault::Empty);
    }
    let (figure, unit) = split_unit(text);
    if figure.is_empty() {
        return Err(Fault::NotANumber(text.trim().to_owned()));
    }
    if unit.is_empty() { Err(Fault::NoUnit) } else { Ok((figure, unit.to_lowercase())) }
}

/// Reads a temperature: `20C`, `68F`, `-5 °C`.
///
/// # Errors
/// No number, no unit or one not known here, below absolute zero, above 1000 C.
pub fn parse_temperature(text: &str) -> Result<Temperature, Unreadable> {
    let read = || {
        let (figure, unit) = with_unit(text)?;
        let value = number(figure, true)?;
        let c = match unit.trim_start_matches(['°', 'º']).trim_start() {
            "c" | "℃" => value,
            "f" | "℉" => (value - 32.0) / 1.8,
            "" => return Err(Fault::NoUnit),
            _ => return Err(Fault::UnknownUnit(unit)),
        };
        if c < -273.15 {
            Err(Fault::BelowAbsoluteZero)
        } else if c > HOTTEST_C {
            Err(Fault::TooLarge("1000 C"))
        } else {
            Ok(Temperature::from_c(c))
        }
    };
    read().map_err(|fault| Unreadable::new(Kind::Temperature, text, fault))
}

/// Reads a relative humidity: `50%`, `45.5 %`, `50%RH`.
///
/// # Errors
/// No number, no per cent sign, not between 0 and 100.
pub fn parse_humidity(text: &str) -> Result<Humidity, Unreadable> {
    let read = || {
        let (figure, unit) = with_unit(text)?;
        let value = number(figure, true)?;
        if !matches!(unit.as_str(), "%" | "%rh" | "% rh") {
            return Err(Fault::UnknownUnit(unit));
        }
        if (0.0..=100.0).contains(&value) { Ok(Humidity::from_pct(value)) } else { Err(Fault::OutsidePercent) }
    };
    read().map_err(|fault| Unreadable::new(Kind::Humidity, text, fault))
}

/// A mass to read: `812 g`, `1.25 kg`; `2.1 oz`, `1.79 lb`.
pub fn mass(mass: Mass, units: Units) -> String {
    let g = mass.g();
    match units {
        Units::Metric if g.abs() < 10.0 => format!("{} g", trimmed(g, 1)),
        Units::Metric if g.abs() < 999.5 => format!("{} g", trimmed(g, 0)),
        Units::Metric => format!("{} kg", trimmed(g / 1000.0, 2)),
        Units::Imperial if g.abs() < G_PER_LB => format!("{} oz", trimmed(g / G_PER_OZ, 2)),
        Units::Imperial => format!("{} lb", trimmed(g / G_PER_LB, 2)),
    }
}

/// A volume to read: `60 ml`, `1.25 l`; `2 floz`.
pub fn volume(volume: Volume, units: Units) -> String {
    let ml = volume.ml();
    match units {
        Units::Metric if ml.abs() < 10.0 => format!("{} ml", trimmed(ml, 1)),
        Units::Metric if ml.abs() < 999.5 => format!("{} ml", trimmed(ml, 0)),
        Units::Metric => format!("{} l", trimmed(ml / 1000.0, 2)),
        Units::Imperial => format!("{} floz", trimmed(ml / ML_PER_FLOZ, 2)),
    }
}

/// A temperature to read, to a tenth: `20.5 C`, `68 F`.
pub fn temperature(temperature: Temperature, units: Units) -> String {
    match units {
        Units::Metric => format!("{} C", trimmed(temperature.c(), 1)),
        Units::Imperial => format!("{} F", trimmed(temperature.c() * 1.8 + 32.0, 1)),
    }
}

/// A relative humidity to read, to a whole per cent: `50%`.
pub fn humidity(humidity: Humidity) -> String {
    format!("{}%", trimmed(humidity.pct(), 0))
}

/// A bare number to read, with at most `decimals` after the point and no zeros at its end.
pub fn round_to(value: f64, decimals: usize) -> String {
    trimmed(value, decimals)
}
