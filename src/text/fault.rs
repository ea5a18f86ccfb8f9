//! What is wrong with something typed, in one sentence: what was given, why it cannot be read, and one that can.
//!
//! Absent on purpose: where it was typed (the caller knows), guessing what was meant.

use super::clean::quoted;
use std::fmt;

/// What was to be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Kind {
    /// The size of a board.
    Size,
    /// A time.
    Time,
    /// A mass.
    Mass,
    /// A volume.
    Volume,
    /// A temperature.
    Temperature,
    /// A relative humidity.
    Humidity,
}

impl Kind {
    /// What it is called in a sentence, with its article.
    pub const fn noun(self) -> &'static str {
        match self {
            Kind::Size => "a size",
            Kind::Time => "a time",
            Kind::Mass => "a mass",
            Kind::Volume => "a volume",
            Kind::Temperature => "a temperature",
            Kind::Humidity => "a humidity",
        }
    }
    /// One or more that can be read.
    pub const fn example(self) -> &'static str {
        match self {
            Kind::Size => "300x400x12mm or 12x16x1/2in, width first",
            Kind::Time => "13:40, -4m, -1h30m, now or 2026-03-29T13:40:00+01:00",
            Kind::Mass => "812g or 1.8lb",
            Kind::Volume => "60ml or 2floz",
            Kind::Temperature => "20C or 68F",
            Kind::Humidity => "50%",
        }
    }
}

/// Why it cannot be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fault {
    /// Nothing was given.
    Empty,
    /// It does not have the form at all.
    Form,
    /// This part should be a number.
    NotANumber(String),
    /// A number without its unit.
    NoUnit,
    /// A unit that is not known here.
    UnknownUnit(String),
    /// Zero or less, where only more can be.
    NotPositive,
    /// Less than zero, where that cannot be.
    Negative,
    /// Smaller than anything it could be; the smallest, in words.
    TooSmall(&'static str),
    /// Larger than anything it could be; the largest, in words.
    TooLarge(&'static str),
    /// Below -273.15 C.
    BelowAbsoluteZero,
    /// Not between 0 and 100 %.
    OutsidePercent,
    /// No such hour, minute or day.
    NoSuchTime,
    /// The clocks were put forward over it: this local time never was.
    Skipped {
        /// The local day, `2026-03-29`.
        day: String,
        /// The local time, `01:30`.
        time: String,
    },
}

/// Something typed that could not be read. Its `Display` is one sentence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unreadable {
    /// What was to be read.
    pub kind: Kind,
    /// What was typed, as typed.
    pub given: String,
    /// Why it cannot be read.
    pub fault: Fault,
}

impl Unreadable {
    pub(super) fn new(kind: Kind, given: &str, fault: Fault) -> Self {
        Unreadable { kind, given: given.to_owned(), fault }
    }
}

impl fmt::Display for Unreadable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} cannot be read as {}: {}; ", quoted(&self.given), self.kind.noun(), self.fault)?;
        match (self.kind, &self.fault) {
            (_, Fault::Skipped { .. }) => f.write_str("write a time an hour later, or one with its offset from UTC"),
            (kind, _) => write!(f, "write for example {}", kind.example()),
        }
    }
}

impl std::error::Error for Unreadable {}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Fault::Empty => f.write_str("nothing is there"),
            Fault::Form => f.write_str("it does not have that form"),
            Fault::NotANumber(part) => write!(f, "{} is not a number", quoted(part)),
            Fault::NoUnit => f.write_str("the unit is missing"),
            Fault::UnknownUnit(unit) => write!(f, "{} is not a unit known here", quoted(unit)),
            Fault::NotPositive => f.write_str("it must be more than zero"),
            Fault::Negative => f.write_str("it cannot be less than zero"),
            Fault::TooSmall(least) => write!(f, "it cannot be less than {least}"),
            Fault::TooLarge(most) => write!(f, "it cannot be more than {most}"),
            Fault::BelowAbsoluteZero => f.write_str("nothing is colder than -273.15 C"),
            Fault::OutsidePercent => f.write_str("it lies between 0 and 100 per cent"),
            Fault::NoSuchTime => f.write_str("there is no such hour or day"),
            Fault::Skipped { day, time } => {
                write!(f, "on {day} the clocks were put forward past {time}, so it never was")
            }
        }
    }
}
