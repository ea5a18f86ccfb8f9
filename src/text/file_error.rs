//! What the system says of a file, in words that tell what to try.

use std::fmt;
use std::io;

/// What stood in the way of a file operation, told apart only where the maker would do something different.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FileError {
    /// No room is left on the disk.
    DiskFull,
    /// The user's allowance on this disk is used up.
    QuotaExceeded,
    /// The disk may only be read.
    ReadOnly,
    /// The file has reached the largest size allowed.
    FileTooLarge,
    /// The device itself failed.
    DeviceError,
    /// The system does not permit it.
    PermissionDenied,
    /// There is no such file or directory.
    NotFound,
    /// Something of that name is there already.
    AlreadyExists,
    /// It is a directory where a file is wanted.
    IsDirectory,
    /// It is a pipe, a device, a socket where a file is wanted.
    NotAFile {
        /// What it is, with its article.
        kind: &'static str,
    },
    /// The name is a symbolic link.
    IsSymlink,
    /// Anything else, in the system's own words.
    Other {
        /// The words.
        message: String,
    },
}

/// The error given for what is no file and is not opened.
#[derive(Debug)]
struct NotAFile(&'static str);

impl fmt::Display for NotAFile {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "it is {} where a file should be; take it away", self.0)
    }
}

impl std::error::Error for NotAFile {}

impl FileError {
    /// The error for something that is no file but `kind`, "a pipe", and is therefore not opened.
    pub fn not_a_file_io_error(kind: &'static str) -> io::Error {
        io::Error::other(NotAFile(kind))
    }

    /// What kind of trouble `error` is.
    pub fn from_io_error(error: &io::Error) -> FileError {
        match error.kind() {
            io::ErrorKind::StorageFull => return FileError::DiskFull,
            io::ErrorKind::QuotaExceeded => return FileError::QuotaExceeded,
            io::ErrorKind::ReadOnlyFilesystem => return FileError::ReadOnly,
            io::ErrorKind::FileTooLarge => return FileError::FileTooLarge,
            io::ErrorKind::PermissionDenied => return FileError::PermissionDenied,
            io::ErrorKind::NotFound => return FileError::NotFound,
            io::ErrorKind::AlreadyExists => return FileError::AlreadyExists,
            io::ErrorKind::IsADirectory => return FileError::IsDirectory,
            _ => {}
        }
        if let Some(NotAFile(kind)) = error.get_ref().and_then(|e| e.downcast_ref()) {
            return FileError::NotAFile { kind };
        }
        match error.raw_os_error() {
            // std has no name of its own for an input/output error of the device.
            Some(EIO) => FileError::DeviceError,
            raw if raw.is_some() && raw == link_errno() => FileError::IsSymlink,
            _ => FileError::Other { message: error.to_string() },
        }
    }

    /// The error a system gives for a symbolic link where none is followed; it is told as [`FileError::IsSymlink`] on Unix.
    pub fn symlink_io_error() -> io::Error {
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

impl fmt::Display for FileError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            FileError::DiskFull => "the disk is full; make room on it and try again",
            FileError::QuotaExceeded => "your allowance on this disk is used up; remove something and try again",
            FileError::ReadOnly => "the disk can only be read at present; make it writable and try again",
            FileError::FileTooLarge => {
                "the file may not grow any larger here; raise the limit on file sizes and try again"
            }
            FileError::DeviceError => "the disk reports a fault of its own; copy your data to another disk",
            FileError::PermissionDenied => {
                "this user may not do that; look at the permissions of the file and its directory"
            }
            FileError::NotFound => "there is no such file or directory",
            FileError::AlreadyExists => "something of that name is there already",
            FileError::IsDirectory => "it is a directory",
            FileError::NotAFile { kind } => return NotAFile(kind).fmt(f),
            FileError::IsSymlink => {
                "it is a symbolic link, and those are not written through; put a real file in its place"
            }
            FileError::Other { message: said } => said,
        })
    }
}
