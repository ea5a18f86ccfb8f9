//! What can be wrong with a journal, and why a fact could not be kept: each with its one sentence.

use super::line::LINE_MAX;
use crate::record::files::LockError;
use crate::text::FileError;
use std::fmt;
use std::path::PathBuf;

/// The kinds of damage that are told apart, because something different follows from each.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum DamageKind {
    /// The file is empty: it was made and never begun.
    Empty,
    /// The end was cut while it was written; the next append mends it.
    Torn,
    /// A file among the journals that is none by its name; it is let be.
    Stray,
    /// A photograph that stands in a look and is not kept as it was: it is gone, or its bytes are others.
    Photo,
    /// A pipe, a device, a directory, a socket where a journal should be; it is passed over.
    Special,
    /// A newer version wrote here; this one reads what it can and writes nothing.
    NewerVersion,
    /// The file's name and the id in its first line differ.
    WrongName,
    /// A line is not what was written.
    Corrupt,
    /// The file cannot be read at all.
    Unreadable,
}

impl DamageKind {
    /// The word written in JSON.
    pub const fn name(self) -> &'static str {
        match self {
            DamageKind::Empty => "empty",
            DamageKind::Torn => "torn",
            DamageKind::Stray => "stray",
            DamageKind::Photo => "photo",
            DamageKind::Special => "special",
            DamageKind::NewerVersion => "newer",
            DamageKind::WrongName => "name",
            DamageKind::Corrupt => "corrupt",
            DamageKind::Unreadable => "unreadable",
        }
    }
    /// Whether something is broken: a torn end mends itself, and a newer version's lines are sound.
    pub const fn is_damage(self) -> bool {
        match self {
            DamageKind::Empty
            | DamageKind::Torn
            | DamageKind::Stray
            | DamageKind::Photo
            | DamageKind::Special
            | DamageKind::NewerVersion => false,
            DamageKind::WrongName | DamageKind::Corrupt | DamageKind::Unreadable => true,
        }
    }
    /// Whether nothing may be recorded until the maker has decided.
    pub const fn is_blocking(self) -> bool {
        match self {
            DamageKind::Empty | DamageKind::Torn | DamageKind::Photo | DamageKind::Stray | DamageKind::Special => false,
            DamageKind::NewerVersion | DamageKind::WrongName | DamageKind::Corrupt | DamageKind::Unreadable => true,
        }
    }
}

/// Something wrong with a journal, and where.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Damage {
    /// The line, from 1.
    pub line: u64,
    /// The offset of the line's first byte.
    pub byte: u64,
    /// Of which kind.
    pub kind: DamageKind,
    /// What is wrong, a sentence without its full stop.
    pub message: String,
}

impl Damage {
    /// That the whole file cannot be read.
    pub fn from_read_error(error: &JournalError) -> Damage {
        Damage { line: 1, byte: 0, kind: DamageKind::Unreadable, message: error.to_string() }
    }
}

impl fmt::Display for Damage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.kind == DamageKind::Unreadable {
            return f.write_str(&self.message);
        }
        write!(f, "line {}, byte {}: {}", self.line, self.byte, self.message)
    }
}

/// Why a journal could not be read, made or written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum JournalError {
    /// The file could not be read.
    ReadFailed {
        /// The file.
        path: PathBuf,
        /// What stood in the way.
        error: FileError,
    },
    /// The lock was not to be had.
    Lock(LockError),
    /// A journal of that name is there already.
    AlreadyExists {
        /// The file.
        path: PathBuf,
    },
    /// The fact was not written; the file is as it was.
    WriteFailed {
        /// The file.
        path: PathBuf,
        /// What stood in the way.
        error: FileError,
    },
    /// The fact was written, and the system could not say that it is on disk.
    SyncFailed {
        /// The file.
        path: PathBuf,
        /// What stood in the way.
        error: FileError,
        /// Whether it was taken out again, so that the file is as it was and the fact can be recorded anew.
        rolled_back: bool,
    },
    /// An earlier write failed and could not be taken back; the journal must be opened anew first.
    ReopenNeeded {
        /// The file.
        path: PathBuf,
        /// What stood in the way.
        error: FileError,
    },
    /// The journal is damaged; nothing is recorded in it until the maker has decided.
    Damaged {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        damage: Damage,
    },
    /// The first line, where the recipe stands, is missing or not whole.
    NoFirstLine {
        /// The file.
        path: PathBuf,
    },
    /// Others have written since it was last read: read on first.
    Stale {
        /// The file.
        path: PathBuf,
    },
    /// The fact is numbered for another place.
    WrongSeq {
        /// The number it carries.
        found: u64,
        /// The number it should carry.
        expected: u64,
    },
    /// The fact cannot be put into a line that reads back as the same fact.
    Unwritable {
        /// What is wrong with it.
        reason: String,
    },
    /// The line would be longer than a line may be.
    TooLong {
        /// Its length, bytes.
        bytes: usize,
    },
}

impl From<LockError> for JournalError {
    fn from(error: LockError) -> Self {
        JournalError::Lock(error)
    }
}

impl fmt::Display for JournalError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            JournalError::ReadFailed { path, error: trouble } => {
                write!(f, "{} cannot be read: {trouble}", path.display())
            }
            JournalError::Lock(failure) => failure.fmt(f),
            JournalError::AlreadyExists { path } => {
                write!(f, "{} is there already; choose another name", path.display())
            }
            JournalError::WriteFailed { path, error: trouble } => {
                write!(f, "not saved in {}: {trouble}", path.display())
            }
            JournalError::SyncFailed { path, error: trouble, rolled_back: true } => write!(
                f,
                "it was not certain to be on disk in {}, so it was taken out again and is not saved: {trouble}",
                path.display()
            ),
            JournalError::SyncFailed { path, error: trouble, rolled_back: false } => {
                write!(f, "it stands in {} and is not certain to be on disk: {trouble}", path.display())
            }
            JournalError::ReopenNeeded { path, error: trouble } => write!(
                f,
                "not saved: an earlier write to {} failed and could not be taken back ({trouble}); open it anew first",
                path.display()
            ),
            JournalError::Damaged { path, damage } if damage.kind == DamageKind::NewerVersion => {
                write!(f, "nothing is recorded in {} by this version: {damage}", path.display())
            }
            JournalError::Damaged { path, damage } => write!(
                f,
                "{} is damaged ({damage}); nothing is recorded in it until `sottile verify --mend` has been run or it is put right by hand",
                path.display()
            ),
            JournalError::NoFirstLine { path } => write!(
                f,
                "{} has no whole first line, where the plan stands; nothing can be recorded in it",
                path.display()
            ),
            JournalError::Stale { path } => {
                write!(f, "another window has written to {} in the meantime; read on and try again", path.display())
            }
            JournalError::WrongSeq { found, expected } => {
                write!(f, "the entry is numbered {found}, and the file is at {expected}; read on and try again")
            }
            JournalError::Unwritable { reason: why } => write!(f, "this cannot be recorded: {why}"),
            JournalError::TooLong { bytes } => {
                write!(
                    f,
                    "this is too long to be recorded: {bytes} bytes, and a line holds {LINE_MAX}; shorten the text"
                )
            }
        }
    }
}

impl std::error::Error for JournalError {}
