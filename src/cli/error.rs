//! Why a command did not do what was asked, and the exit code that says so.

use crate::bench::RecordError;
use crate::record::files::LockError;
use crate::record::journal::{DamageKind, JournalError};
use std::fmt;

/// The kinds of failure that a script can tell apart, the worst last.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ExitKind {
    /// It could not be done.
    Failed,
    /// It was asked for wrongly.
    Usage,
    /// The data is damaged or cannot be locked.
    Damaged,
}

impl ExitKind {
    /// The exit code.
    pub const fn code(self) -> u8 {
        match self {
            ExitKind::Failed => 1,
            ExitKind::Usage => 2,
            ExitKind::Damaged => 3,
        }
    }
}

/// One sentence, and its kind.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CliError {
    /// Its kind.
    pub kind: ExitKind,
    /// What, where, what to try; empty where all has been said.
    pub message: String,
}

impl CliError {
    /// It could not be done.
    pub fn failed(said: impl fmt::Display) -> CliError {
        CliError { kind: ExitKind::Failed, message: said.to_string() }
    }
    /// It was asked for wrongly.
    pub fn usage(said: impl fmt::Display) -> CliError {
        CliError { kind: ExitKind::Usage, message: said.to_string() }
    }
    /// The data is damaged or cannot be locked.
    pub fn damaged(said: impl fmt::Display) -> CliError {
        CliError { kind: ExitKind::Damaged, message: said.to_string() }
    }
    /// All has been said already; only the exit code is left to tell.
    pub const fn already_reported(kind: ExitKind) -> CliError {
        CliError { kind, message: String::new() }
    }
}

impl fmt::Display for CliError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for CliError {}

impl From<JournalError> for CliError {
    fn from(error: JournalError) -> Self {
        let kind = match &error {
            JournalError::Damaged { damage, .. } if damage.kind == DamageKind::NewerVersion => ExitKind::Failed,
            JournalError::ReadFailed { .. }
            | JournalError::AlreadyExists { .. }
            | JournalError::WriteFailed { .. }
            | JournalError::SyncFailed { .. }
            | JournalError::ReopenNeeded { .. }
            | JournalError::Stale { .. }
            | JournalError::WrongSeq { .. }
            | JournalError::Unwritable { .. }
            | JournalError::TooLong { .. } => ExitKind::Failed,
            JournalError::Lock(LockError::Held { .. } | LockError::Io { .. })
            | JournalError::Damaged { .. }
            | JournalError::NoFirstLine { .. } => ExitKind::Damaged,
        };
        CliError { kind, message: error.to_string() }
    }
}

impl From<RecordError> for CliError {
    fn from(error: RecordError) -> Self {
        match error {
            RecordError::Refused(refusal) => CliError::failed(refusal),
            RecordError::PotRefused(refusal) => CliError::failed(refusal),
            RecordError::Journal(error) => error.into(),
            RecordError::NoStory(_) => CliError::damaged(error),
            RecordError::Photo(_) | RecordError::EarlierFactFailed | RecordError::ProgramFault => {
                CliError::failed(error)
            }
        }
    }
}
