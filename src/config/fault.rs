//! What can be wrong with settings, each in a sentence that names file, line, key, and what would be right.
//!
//! Absent on purpose: deciding that anything is wrong (`file`).

use super::Origin;
use crate::text::{Trouble, clean};
use std::fmt;
use std::path::PathBuf;

/// Why there are no settings.
#[derive(Debug, Clone, PartialEq)]
pub enum ConfigError {
    /// The platform names no place for data and none was given.
    NoPlaceForData,
    /// The settings file cannot be read.
    Unreadable {
        /// Which.
        path: PathBuf,
        /// Who asked for it.
        from: Origin,
        /// What the system says.
        trouble: Trouble,
    },
    /// Every fault in the settings file; nothing of it is applied.
    Faults(Vec<Fault>),
}

impl fmt::Display for ConfigError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ConfigError::NoPlaceForData => {
                f.write_str("there is no place for data: give one with --data DIR or SOTTILE_DATA")
            }
            ConfigError::Unreadable { path, from, trouble } => {
                let path = clean(&path.to_string_lossy());
                write!(
                    f,
                    "the settings file {path} ({from}) cannot be read: {}; mend it, or give another with --config FILE",
                    clean(&trouble.to_string())
                )
            }
            ConfigError::Faults(faults) => {
                for (i, fault) in faults.iter().enumerate() {
                    write!(f, "{}{fault}", if i == 0 { "" } else { "\n" })?;
                }
                Ok(())
            }
        }
    }
}

impl std::error::Error for ConfigError {}

/// One fault in the settings file.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    /// The file.
    pub path: PathBuf,
    /// The line, from 1.
    pub line: usize,
    /// The key with its table, `alarm.bell`; empty where the file is no TOML.
    pub key: String,
    /// What is wrong.
    pub wrong: Wrong,
}

/// What is wrong with a value in the settings file.
#[derive(Debug, Clone, PartialEq)]
pub enum Wrong {
    /// The file is no TOML; what the reader says.
    NotToml(String),
    /// Another kind of value stands there; what should.
    NotA(&'static str),
    /// A word that is none of these.
    NotAmong {
        /// What stands there.
        given: String,
        /// What may.
        words: Vec<&'static str>,
    },
    /// A number outside what can be.
    Outside {
        /// What stands there.
        given: f64,
        /// The least.
        least: f64,
        /// The most.
        most: f64,
        /// Their unit.
        unit: &'static str,
    },
    /// Not two times of day.
    NotHours(String),
    /// A path that does not begin at the root.
    NotAbsolute(String),
    /// One material under two of its names.
    Twice(&'static str),
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, line {}: ", clean(&self.path.to_string_lossy()), self.line)?;
        if !self.key.is_empty() {
            write!(f, "{}: ", clean(&self.key))?;
        }
        write!(f, "{}", self.wrong)
    }
}

impl fmt::Display for Wrong {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Wrong::NotToml(said) => write!(f, "this is not TOML: {}", clean(said)),
            Wrong::NotA(expected) => write!(f, "{expected} should stand here"),
            Wrong::NotAmong { given, words } => {
                write!(f, "\"{}\" is none of {}", clean(given), words.join(", "))?;
                match nearest(given, words.iter().copied()) {
                    Some(word) => write!(f, "; the nearest is \"{word}\""),
                    None => Ok(()),
                }
            }
            Wrong::Outside { given, least, most, unit } => {
                write!(f, "{given} is not between {least} and {most} {unit}")
            }
            Wrong::NotHours(given) => {
                write!(f, "\"{}\" is no pair of times; write for example \"22:00-07:00\", or \"none\"", clean(given))
            }
            Wrong::NotAbsolute(given) => write!(f, "\"{}\" does not begin at the root of the disk", clean(given)),
            Wrong::Twice(name) => write!(f, "{name} has been given already under another name"),
        }
    }
}

/// A key of the settings file that is not known: it is passed over and told of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unknown {
    /// The file.
    pub path: PathBuf,
    /// The line, from 1.
    pub line: usize,
    /// The key with its table.
    pub key: String,
    /// The known key most like it.
    pub nearest: Option<String>,
}

impl fmt::Display for Unknown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (path, key) = (clean(&self.path.to_string_lossy()), clean(&self.key));
        write!(f, "{path}, line {}: no setting is called \"{key}\"; it is passed over", self.line)?;
        match &self.nearest {
            Some(nearest) => write!(f, " (the nearest is \"{nearest}\")"),
            None => Ok(()),
        }
    }
}

/// The one of `known` most like `given`, if any is like it.
pub(super) fn nearest<'a>(given: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let likeness = |word: &'a str| (strsim::jaro_winkler(&given.to_lowercase(), word), word);
    known.map(likeness).filter(|(like, _)| *like >= 0.75).max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, word)| word)
}
