//! A setting with where it came from, and the choices that are more than a number or a text.

use crate::text::parse_minute_of_day;
use crate::units::written_words;
use std::fmt;
use std::path::PathBuf;
use strum::{VariantArray, VariantNames};

/// Where a setting came from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Origin {
    /// An option on the command line.
    CommandLine,
    /// This environment variable.
    Environment(&'static str),
    /// This line of this settings file, from 1.
    File(PathBuf, usize),
    /// Nobody chose; the program did.
    Default,
}

impl fmt::Display for Origin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Origin::CommandLine => f.write_str("option"),
            Origin::Environment(name) => write!(f, "environment, {name}"),
            Origin::File(path, line) => write!(f, "{}, line {line}", path.display()),
            Origin::Default => f.write_str("default"),
        }
    }
}

/// A setting and where it came from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sourced<T> {
    /// What was chosen.
    pub value: T,
    /// By whom.
    pub origin: Origin,
}

impl<T> Sourced<T> {
    /// A setting nobody chose.
    pub fn from_default(value: T) -> Self {
        Sourced { value, origin: Origin::Default }
    }
    pub(super) fn from_option(value: T) -> Self {
        Sourced { value, origin: Origin::CommandLine }
    }
    pub(super) fn from_env(value: T, name: &'static str) -> Self {
        Sourced { value, origin: Origin::Environment(name) }
    }
}

/// The most pairs of hands at one bench.
pub const HANDS_MAX: u8 = 8;

/// Whether colour is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, VariantArray, VariantNames)]
#[strum(serialize_all = "lowercase")]
pub enum ColorMode {
    /// Where the output is a terminal that shows it.
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}
written_words!(ColorMode);

/// The colours of the screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, VariantArray, VariantNames)]
#[strum(serialize_all = "lowercase")]
pub enum ThemeName {
    /// The terminal's own sixteen.
    Terminal,
    /// Ours, on a dark ground.
    Dark,
    /// Ours, on a light ground.
    Light,
    /// None: bold, reverse and words.
    Mono,
}
written_words!(ThemeName);

/// Whose minutes set the wait after a coat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, VariantArray, VariantNames)]
#[strum(serialize_all = "lowercase")]
pub enum WaitSource {
    /// The recipe's, as the air lengthens them.
    Recipe,
    /// The maker's own, once a coat of theirs was marked dull.
    Own,
}
written_words!(WaitSource);

/// The hours in which long waits end silently, in minutes of the local day; from may be later than to, over midnight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct QuietHours {
    /// The first silent minute, 0 to 1439.
    pub start_min: u16,
    /// The first minute after them, 0 to 1439.
    pub end_min: u16,
}

impl QuietHours {
    /// Ten in the evening to seven in the morning; assumed.
    pub const DEFAULT: QuietHours = QuietHours { start_min: 22 * 60, end_min: 7 * 60 };

    /// Reads `22:00-07:00`.
    pub fn parse(text: &str) -> Option<QuietHours> {
        let (from, to) = text.split_once('-')?;
        let night = QuietHours { start_min: parse_minute_of_day(from)?, end_min: parse_minute_of_day(to)? };
        (night.start_min != night.end_min).then_some(night)
    }

    /// Whether that minute of the local day (hour x 60 + minute) is silent.
    pub const fn contains(self, minute: u16) -> bool {
        if self.start_min <= self.end_min {
            self.start_min <= minute && minute < self.end_min
        } else {
            self.start_min <= minute || minute < self.end_min
        }
    }
}

impl fmt::Display for QuietHours {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (from, to) = (self.start_min, self.end_min);
        write!(f, "{:02}:{:02}-{:02}:{:02}", from / 60, from % 60, to / 60, to % 60)
    }
}
