//! What is wrong with something typed, in one sentence: what was given, why it cannot be read, and one that can.

use super::sanitize::quote_input;
use std::fmt;

/// What was to be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Quantity {
    /// The size of a board.
    Size,
    /// One length.
    Length,
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

impl Quantity {
    /// What it is called in a sentence, with its article.
    pub const fn noun(self) -> &'static str {
        match self {
            Quantity::Size => "a size",
            Quantity::Length => "a length",
            Quantity::Time => "a time",
            Quantity::Mass => "a mass",
            Quantity::Volume => "a volume",
            Quantity::Temperature => "a temperature",
            Quantity::Humidity => "a humidity",
        }
    }
    /// One or more that can be read.
    pub const fn example(self) -> &'static str {
        match self {
            Quantity::Size => "300x400x12mm or 12x16x1/2in, width first",
            Quantity::Length => "12.4mm or 1/2in",
            Quantity::Time => "13:40, -4m, -1h30m, now or 2026-03-29T13:40:00+01:00",
            Quantity::Mass => "812g or 1.8lb",
            Quantity::Volume => "60ml or 2floz",
            Quantity::Temperature => "20C or 68F",
            Quantity::Humidity => "50%",
        }
    }
}

/// Why it cannot be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ParseErrorKind {
    /// Nothing was given.
    Empty,
    /// It does not have the form at all.
    WrongFormat,
    /// This part should be a number.
    NotANumber(String),
    /// A number without its unit.
    MissingUnit,
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
    NotAPercentage,
    /// No such hour, minute or day.
    NoSuchTime,
    /// The clocks were put forward over it: this local time never was.
    SkippedLocalTime {
        /// The local day, `2026-03-29`.
        day: String,
        /// The local time, `01:30`.
        time: String,
    },
    /// The clocks were put back over it: this local time came twice. Each as it can be typed, with its offset from UTC.
    RepeatedLocalTime {
        /// The first time it came.
        first: String,
        /// The second.
        second: String,
    },
}

/// Something typed that could not be read. Its `Display` is one sentence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ParseError {
    /// What was to be read.
    pub quantity: Quantity,
    /// What was typed, as typed.
    pub input: String,
    /// Why it cannot be read.
    pub kind: ParseErrorKind,
}

impl ParseError {
    pub(super) fn new(kind: Quantity, given: &str, fault: ParseErrorKind) -> Self {
        ParseError { quantity: kind, input: given.to_owned(), kind: fault }
    }
}

impl fmt::Display for ParseError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} cannot be read as {}: {}; ", quote_input(&self.input), self.quantity.noun(), self.kind)?;
        match (self.quantity, &self.kind) {
            (_, ParseErrorKind::SkippedLocalTime { .. }) => {
                f.write_str("write a time an hour later, or one with its offset from UTC")
            }
            (_, ParseErrorKind::RepeatedLocalTime { first, second }) => {
                write!(f, "write {first} for the first, {second} for the second")
            }
            (kind, _) => write!(f, "write for example {}", kind.example()),
        }
    }
}

impl std::error::Error for ParseError {}

impl fmt::Display for ParseErrorKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ParseErrorKind::Empty => f.write_str("nothing is there"),
            ParseErrorKind::WrongFormat => f.write_str("it does not have that form"),
            ParseErrorKind::NotANumber(part) => write!(f, "{} is not a number", quote_input(part)),
            ParseErrorKind::MissingUnit => f.write_str("the unit is missing"),
            ParseErrorKind::UnknownUnit(unit) => write!(f, "{} is not a unit known here", quote_input(unit)),
            ParseErrorKind::NotPositive => f.write_str("it must be more than zero"),
            ParseErrorKind::Negative => f.write_str("it cannot be less than zero"),
            ParseErrorKind::TooSmall(least) => write!(f, "it cannot be less than {least}"),
            ParseErrorKind::TooLarge(most) => write!(f, "it cannot be more than {most}"),
            ParseErrorKind::BelowAbsoluteZero => f.write_str("nothing is colder than -273.15 C"),
            ParseErrorKind::NotAPercentage => f.write_str("it lies between 0 and 100 per cent"),
            ParseErrorKind::NoSuchTime => f.write_str("there is no such hour or day"),
            ParseErrorKind::RepeatedLocalTime { .. } => {
                f.write_str("the clocks were put back over it, so it came twice")
            }
            ParseErrorKind::SkippedLocalTime { day, time } => {
                write!(f, "on {day} the clocks were put forward past {time}, so it never was")
            }
        }
    }
}
