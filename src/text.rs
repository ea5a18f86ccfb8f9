//! What is typed, read and said back: text made safe to show, and sizes, times and amounts read and printed.
//!
//! `clean` guards the display against what text can carry; `fault` says what is wrong with something typed, in one
//! sentence, `trouble` what the system says of a file; `amount`, `size` and `time` read and print. What is printed can be typed in again.
//! Absent on purpose: clocks (`now` and the time zone are arguments), files, terminal, serde, languages other than English.

mod amount;
mod clean;
mod fault;
mod number;
mod size;
mod time;
mod trouble;

#[cfg(test)]
mod tests;

pub use amount::{
    humidity, mass, parse_humidity, parse_mass, parse_temperature, parse_volume, round_to, temperature, volume,
};
pub use clean::{clean, fit, fit_ascii, osc_safe, width};
pub use fault::Unreadable;
pub use size::{length, parse_size, size};
pub use time::{countdown, date, early_late, hhmm, lasting, parse_time, rfc3339, when};
pub use trouble::Trouble;

/// The units a maker reads and writes in. Inside, everything is metric; JSON always is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Units {
    /// Millimetres, grams, millilitres, degrees Celsius.
    #[default]
    Metric,
    /// Inches, ounces and pounds, US fluid ounces, degrees Fahrenheit.
    Imperial,
}

impl Units {
    /// Both, in the order they are told.
    pub const ALL: [Units; 2] = [Units::Metric, Units::Imperial];

    /// The word written in commands and settings.
    pub const fn name(self) -> &'static str {
        match self {
            Units::Metric => "metric",
            Units::Imperial => "imperial",
        }
    }

    /// The units of that name.
    pub fn named(name: &str) -> Option<Units> {
        Units::ALL.into_iter().find(|u| u.name() == name)
    }
}
