//! Why a command did not do what was asked, and the exit code that says so.

use crate::bench::NotRecorded;
use crate::record::files::LockFailure;
use crate::record::journal::Failure;
use std::fmt;

/// The kinds of failure that a script can tell apart, the worst last.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// It could not be done.
    NotDone,
    /// It was asked for wrongly.
    Usage,
    /// The data is damaged or cannot be locked.
    Damaged,
}

impl Kind {
    /// The exit code.
    pub const fn code(self) -> u8 {
        match self {
            Kind::NotDone => 1,
            Kind::Usage => 2,
            Kind::Damaged => 3,
        }
    }
}

/// One sentence, and its kind.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Its kind.
    pub kind: Kind,
    /// What, where, what to try; empty where all has been said.
    pub said: String,
}

impl Fault {
    /// It could not be done.
    pub fn not_done(said: impl fmt::Display) -> Fault {
        Fault { kind: Kind::NotDone, said: said.to_string() }
    }
    /// It was asked for wrongly.
    pub fn usage(said: impl fmt::Display) -> Fault {
        Fault { kind: Kind::Usage, said: said.to_string() }
    }
    /// The data is damaged or cannot be locked.
    pub fn damaged(said: impl fmt::Display) -> Fault {
        Fault { kind: Kind::Damaged, said: said.to_string() }
    }
    /// All has been said already; only the exit code is left to tell.
    pub const fn told(kind: Kind) -> Fault {
        Fault { kind, said: String::new() }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.said)
    }
}

impl std::error::Error for Fault {}

impl From<Failure> for Fault {
    fn from(failure: Failure) -> Self {
        let kind = match &failure {
            Failure::Unread { .. }
            | Failure::Exists { .. }
            | Failure::NotSaved { .. }
            | Failure::NotCertain { .. }
            | Failure::Unsettled { .. }
            | Failure::Behind { .. }
            | Failure::OutOfStep { .. }
            | Failure::Unwritable { .. }
            | Failure::TooLong { .. } => Kind::NotDone,
            Failure::Lock(LockFailure::Held { .. } | LockFailure::Trouble { .. })
            | Failure::Damaged { .. }
            | Failure::NoBeginning { .. } => Kind::Damaged,
        };
        Fault { kind, said: failure.to_string() }
    }
}

impl From<NotRecorded> for Fault {
    fn from(why: NotRecorded) -> Self {
        match why {
            NotRecorded::Refused(refusal) => Fault::not_done(refusal),
            NotRecorded::PotRefused(refusal) => Fault::not_done(refusal),
            NotRecorded::Failed(failure) => failure.into(),
            NotRecorded::NoStory(_) => Fault::damaged(why),
        }
    }
}
