//! What the system says of a file, in words that tell what to try.
//!
//! Absent on purpose: touching a file.

use std::fmt;
use std::io;

/// What stood in the way of a file operation, told apart only where the maker would do something different.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Trouble {
    /// No room is left on the disk.
    Full,
    /// The user's allowance on this disk is used up.
    Quota,
    /// The disk may only be read.
    ReadOnly,
    /// The file has reached the largest size allowed.
    TooBig,
    /// The device itself failed.
    Device,
    /// The system does not permit it.
    Permission,
    /// There is no such file or directory.
    Gone,
    /// Something of that name is there already.
    There,
    /// It is a directory where a file is wanted.
    Directory,
    /// The name is a symbolic link.
    Link,
    /// Anything else, in the system's own words.
    Other {
        /// The words.
        said: String,
    },
}

impl Trouble {
    /// What kind of trouble `error` is.
    pub fn of(error: &io::Error) -> Trouble {
        match error.kind() {
            io::ErrorKind::StorageFull => return Trouble::Full,
            io::ErrorKind::QuotaExceeded => return Trouble::Quota,
            io::ErrorKind::ReadOnlyFilesystem => return Trouble::ReadOnly,
            io::ErrorKind::FileTooLarge => return Trouble::TooBig,
            io::ErrorKind::PermissionDenied => return Trouble::Permission,
            io::ErrorKind::NotFound => return Trouble::Gone,
            io::ErrorKind::AlreadyExists => return Trouble::There,
            io::ErrorKind::IsADirectory => return Trouble::Directory,
            _ => {}
        }
        match error.raw_os_error() {
            // std has no name of its own for an input/output error of the device.
            Some(EIO) => Trouble::Device,
            raw if raw.is_some() && raw == link_errno() => Trouble::Link,
            _ => Trouble::Other { said: error.to_string() },
        }
    }

    /// The error a system gives for a symbolic link where none is followed; it is told as [`Trouble::Link`] on Unix.
    pub fn error_for_link() -> io::Error {
        link_errno().map_or_else(|| io::Error::other("a symbolic link"), io::Error::from_raw_os_error)
    }
}

/// The error number of a failing device; the same on every Unix.
const EIO: i32 = 5;

#[cfg(unix)]
fn link_errno() -> Option<i32> {
    Some(rustix::io::Errno::LOOP.raw_os_error())
}

#[cfg(not(unix))]
fn link_errno() -> Option<i32> {
    None
}

impl fmt::Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Trouble::Full => "the disk is full; make room on it and try again",
            Trouble::Quota => "your allowance on this disk is used up; remove something and try again",
            Trouble::ReadOnly => "the disk can only be read at present; make it writable and try again",
            Trouble::TooBig => "the file may not grow any larger here; raise the limit on file sizes and try again",
            Trouble::Device => "the disk reports a fault of its own; copy your data to another disk",
            Trouble::Permission => "this user may not do that; look at the permissions of the file and its directory",
            Trouble::Gone => "there is no such file or directory",
            Trouble::There => "something of that name is there already",
            Trouble::Directory => "it is a directory",
            Trouble::Link => "it is a symbolic link, and those are not written through; put a real file in its place",
            Trouble::Other { said } => said,
        })
    }
}
