//! What can be wrong with a journal, and why a fact could not be kept: each with its one sentence.

use super::line::LINE_MAX;
use crate::record::files::LockFailure;
use crate::text::Trouble;
use std::fmt;
use std::path::PathBuf;

/// The kinds of damage that are told apart, because something different follows from each.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum DamageKind {
    /// The end was cut while it was written; the next append mends it.
    Torn,
    /// A newer version wrote here; this one reads what it can and writes nothing.
    Newer,
    /// The file's name and the id in its first line differ.
    Name,
    /// A line is not what was written.
    Corrupt,
}

impl DamageKind {
    /// The word written in JSON.
    pub const fn name(self) -> &'static str {
        match self {
            DamageKind::Torn => "torn",
            DamageKind::Newer => "newer",
            DamageKind::Name => "name",
            DamageKind::Corrupt => "corrupt",
        }
    }
    /// Whether nothing may be recorded until the maker has decided.
    pub const fn blocks(self) -> bool {
        match self {
            DamageKind::Torn => false,
            DamageKind::Newer | DamageKind::Name | DamageKind::Corrupt => true,
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
    pub said: String,
}

impl fmt::Display for Damage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}, byte {}: {}", self.line, self.byte, self.said)
    }
}

/// Why a journal could not be read, made or written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Failure {
    /// The file could not be read.
    Unread {
        /// The file.
        path: PathBuf,
        /// What stood in the way.
        trouble: Trouble,
    },
    /// The lock was not to be had.
    Lock(LockFailure),
    /// A journal of that name is there already.
    Exists {
        /// The file.
        path: PathBuf,
    },
    /// The fact was not written; the file is as it was.
    NotSaved {
        /// The file.
        path: PathBuf,
        /// What stood in the way.
        trouble: Trouble,
    },
    /// The fact was written, and the system could not say that it is on disk.
    NotCertain {
        /// The file.
        path: PathBuf,
        /// What stood in the way.
        trouble: Trouble,
        /// Whether it was taken out again, so that the file is as it was and the fact can be recorded anew.
        taken_out: bool,
    },
    /// An earlier write failed and could not be taken back; the journal must be opened anew first.
    Unsettled {
        /// The file.
        path: PathBuf,
        /// What stood in the way.
        trouble: Trouble,
    },
    /// The journal is damaged; nothing is recorded in it until the maker has decided.
    Damaged {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        damage: Damage,
    },
    /// The first line, where the recipe stands, is missing or not whole.
    NoBeginning {
        /// The file.
        path: PathBuf,
    },
    /// Others have written since it was last read: read on first.
    Behind {
        /// The file.
        path: PathBuf,
    },
    /// The fact is numbered for another place.
    OutOfStep {
        /// The number it carries.
        found: u64,
        /// The number it should carry.
        expected: u64,
    },
    /// The fact cannot be put into a line that reads back as the same fact.
    Unwritable {
        /// What is wrong with it.
        why: String,
    },
    /// The line would be longer than a line may be.
    TooLong {
        /// Its length, bytes.
        bytes: usize,
    },
}

impl From<LockFailure> for Failure {
    fn from(failure: LockFailure) -> Self {
        Failure::Lock(failure)
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Failure::Unread { path, trouble } => write!(f, "{} cannot be read: {trouble}", path.display()),
            Failure::Lock(failure) => failure.fmt(f),
            Failure::Exists { path } => write!(f, "{} is there already; choose another name", path.display()),
            Failure::NotSaved { path, trouble } => write!(f, "not saved in {}: {trouble}", path.display()),
            Failure::NotCertain { path, trouble, taken_out: true } => write!(
                f,
                "it was not certain to be on disk in {}, so it was taken out again and is not saved: {trouble}",
                path.display()
            ),
            Failure::NotCertain { path, trouble, taken_out: false } => {
                write!(f, "it stands in {} and is not certain to be on disk: {trouble}", path.display())
            }
            Failure::Unsettled { path, trouble } => write!(
                f,
                "not saved: an earlier write to {} failed and could not be taken back ({trouble}); open it anew first",
                path.display()
            ),
            Failure::Damaged { path, damage } => write!(
                f,
                "{} is damaged ({damage}); nothing is recorded in it until `sottile verify --mend` has been run or it is put right by hand",
                path.display()
            ),
            Failure::NoBeginning { path } => write!(
                f,
                "{} has no whole first line, where the plan stands; nothing can be recorded in it",
                path.display()
            ),
            Failure::Behind { path } => {
                write!(f, "another window has written to {} in the meantime; read on and try again", path.display())
            }
            Failure::OutOfStep { found, expected } => {
                write!(f, "the fact is numbered {found}, and the journal is at {expected}; read on and try again")
            }
            Failure::Unwritable { why } => write!(f, "this cannot be recorded: {why}"),
            Failure::TooLong { bytes } => {
                write!(
                    f,
                    "this is too long to be recorded: {bytes} bytes, and a line holds {LINE_MAX}; shorten the text"
                )
            }
        }
    }
}

impl std::error::Error for Failure {}
