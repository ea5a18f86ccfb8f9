//! What can be wrong with settings, each in a sentence that names file, line, key, and what would be right.

use super::setting::Origin;
use crate::text::{FileError, WorkWeekError, find_nearest_word, quote_word, sanitize};
use std::fmt;
use std::path::PathBuf;

/// Why there are no settings.
#[derive(Debug, Clone, PartialEq)]
pub enum ConfigError {
    /// The platform names no place for data and none was given.
    NoDataDir,
    /// The settings file cannot be read.
    UnreadableFile {
        /// Which.
        path: PathBuf,
        /// Who asked for it.
        origin: Origin,
        /// What the system says.
        error: FileError,
    },
    /// Every fault in the settings file; nothing of it is applied.
    InvalidSettings(Vec<SettingError>),
}

impl fmt::Display for ConfigError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ConfigError::NoDataDir => {
                f.write_str("there is no place for data: give one with --data DIR or SOTTILE_DATA")
            }
            ConfigError::UnreadableFile { path, origin: from, error: trouble } => {
                let path = sanitize(&path.to_string_lossy());
                write!(
                    f,
                    "the settings file {path} ({from}) cannot be read: {}; mend it, or give another with --config FILE",
                    sanitize(&trouble.to_string())
                )
            }
            ConfigError::InvalidSettings(faults) => {
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
pub struct SettingError {
    /// The file.
    pub path: PathBuf,
    /// The line, from 1.
    pub line: usize,
    /// The key with its table, `alarm.bell`; empty where the file is no TOML.
    pub key: String,
    /// What is wrong.
    pub kind: SettingErrorKind,
}

/// What is wrong with a value in the settings file.
#[derive(Debug, Clone, PartialEq)]
pub enum SettingErrorKind {
    /// The file is no TOML; what the reader says.
    NotToml(String),
    /// Another kind of value stands there; what should.
    WrongType(&'static str),
    /// A word that is none of these.
    UnknownWord {
        /// What stands there.
        given: String,
        /// What may.
        allowed: Vec<&'static str>,
    },
    /// A number outside what can be.
    OutOfRange {
        /// What stands there.
        given: f64,
        /// The least.
        min: f64,
        /// The most.
        max: f64,
        /// Their unit.
        unit: &'static str,
    },
    /// Not two times of day.
    InvalidHours(String),
    /// Hours, days or days off that cannot be.
    InvalidWorkWeek(WorkWeekError),
    /// A path that does not begin at the root.
    RelativePath(String),
    /// One material under two of its names.
    Duplicate(&'static str),
}

impl fmt::Display for SettingError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, line {}: ", sanitize(&self.path.to_string_lossy()), self.line)?;
        if !self.key.is_empty() {
            write!(f, "{}: ", sanitize(&self.key))?;
        }
        write!(f, "{}", self.kind)
    }
}

impl fmt::Display for SettingErrorKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            SettingErrorKind::NotToml(message) => write!(f, "this is not TOML: {}", sanitize(message)),
            SettingErrorKind::WrongType(expected) => write!(f, "{expected} should stand here"),
            SettingErrorKind::UnknownWord { given, allowed: words } => {
                write!(f, "{} is none of {}", quote_word(given), words.join(", "))?;
                match find_nearest_word(given, words.iter().copied()) {
                    Some(word) => write!(f, "; the nearest is \"{word}\""),
                    None => Ok(()),
                }
            }
            SettingErrorKind::OutOfRange { given, min: least, max: most, unit } => {
                write!(f, "{given} is not between {least} and {most} {unit}")
            }
            SettingErrorKind::InvalidHours(given) => {
                write!(f, "{} is no pair of times; write for example \"22:00-07:00\", or \"none\"", quote_word(given))
            }
            SettingErrorKind::InvalidWorkWeek(error) => write!(f, "{error}"),
            SettingErrorKind::RelativePath(given) => {
                write!(f, "\"{}\" does not begin at the root of the disk", sanitize(given))
            }
            SettingErrorKind::Duplicate(name) => write!(f, "{name} has been given already under another name"),
        }
    }
}

/// A key of the settings file that is not known: it is passed over and told of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnknownSetting {
    /// The file.
    pub path: PathBuf,
    /// The line, from 1.
    pub line: usize,
    /// The key with its table.
    pub key: String,
    /// The known key most like it.
    pub nearest: Option<String>,
}

impl fmt::Display for UnknownSetting {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (path, key) = (sanitize(&self.path.to_string_lossy()), sanitize(&self.key));
        write!(f, "{path}, line {}: no setting is called \"{key}\"; it is passed over", self.line)?;
        match &self.nearest {
            Some(nearest) => write!(f, " (the nearest is \"{nearest}\")"),
            None => Ok(()),
        }
    }
}
