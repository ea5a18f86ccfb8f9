//! The seam between a journal and the disk, so that a disk can be made to fail on purpose.
//!
//! What is assumed of a disk, and no more: bytes that were synced stay as they are; an append changes nothing before
//! the old end; an append that was not synced may be cut anywhere, or be zero bytes of its length; a new name is there
//! after a power loss only if its directory was synced; between files no order is kept.

use crate::record::files;
use std::fmt::Debug;
use std::fs::{self, File, OpenOptions};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

/// What a journal asks of a disk. Files are opened anew for each turn and by name, so that one that was replaced
/// meanwhile is never written to.
pub trait Storage: Debug + Send + Sync {
    /// Makes a new, empty file, for appending; an error if the name is taken.
    ///
    /// # Errors
    /// What the system says.
    fn create(&self, path: &Path) -> io::Result<Box<dyn StorageFile>>;
    /// Opens a file for reading.
    ///
    /// # Errors
    /// What the system says.
    fn open_read(&self, path: &Path) -> io::Result<Box<dyn StorageFile>>;
    /// Opens a file for reading and appending; a symbolic link is an error.
    ///
    /// # Errors
    /// What the system says.
    fn open_append(&self, path: &Path) -> io::Result<Box<dyn StorageFile>>;
    /// Removes a file.
    ///
    /// # Errors
    /// What the system says.
    fn remove(&self, path: &Path) -> io::Result<()>;
    /// Replaces a file as a whole, durably.
    ///
    /// # Errors
    /// What the system says.
    fn replace(&self, path: &Path, bytes: &[u8]) -> io::Result<()>;
    /// Makes the names in a directory durable.
    ///
    /// # Errors
    /// What the system says.
    fn sync_dir(&self, dir: &Path) -> io::Result<()>;
}

/// An open file.
pub trait StorageFile {
    /// Its length, bytes.
    ///
    /// # Errors
    /// What the system says.
    fn size(&mut self) -> io::Result<u64>;
    /// Reads some bytes from the offset `from` on; 0 at the end.
    ///
    /// # Errors
    /// What the system says.
    fn read_at(&mut self, from: u64, into: &mut [u8]) -> io::Result<usize>;
    /// One write at the end; how many of the bytes were taken.
    ///
    /// # Errors
    /// What the system says; some bytes may have been written all the same.
    fn append(&mut self, bytes: &[u8]) -> io::Result<usize>;
    /// Cuts the file off at `len`.
    ///
    /// # Errors
    /// What the system says.
    fn set_len(&mut self, len: u64) -> io::Result<()>;
    /// Makes content and length durable.
    ///
    /// # Errors
    /// What the system says; nothing is then known of what was written since the last success.
    fn sync(&mut self) -> io::Result<()>;
}

/// Appends all of `bytes`, in one write unless the system takes fewer.
///
/// # Errors
/// The first error; some bytes may have been written all the same.
pub fn append_all(handle: &mut dyn StorageFile, mut bytes: &[u8]) -> io::Result<()> {
    while !bytes.is_empty() {
        match handle.append(bytes) {
            Ok(0) => return Err(io::ErrorKind::WriteZero.into()),
            Ok(n) => bytes = bytes.get(n..).unwrap_or_default(),
            Err(e) if e.kind() == io::ErrorKind::Interrupted => {}
            Err(e) => return Err(e),
        }
    }
    Ok(())
}

/// Finds out a system that says it took more than it did, before what was written is called kept.
///
/// # Errors
/// What the system says; [`io::ErrorKind::WriteZero`] if the file is of another size.
pub fn check_size(handle: &mut dyn StorageFile, expected: u64) -> io::Result<()> {
    if handle.size()? == expected { Ok(()) } else { Err(io::ErrorKind::WriteZero.into()) }
}

/// The machine's own disk.
#[derive(Debug, Clone, Copy, Default)]
pub struct FsStorage;

#[derive(Debug)]
struct FsFile {
    file: File,
    path: PathBuf,
}

fn open_file(options: &OpenOptions, path: &Path) -> io::Result<Box<dyn StorageFile>> {
    files::refuse_special(path)?;
    Ok(Box::new(FsFile { file: options.open(path)?, path: path.to_owned() }))
}

impl Storage for FsStorage {
    fn create(&self, path: &Path) -> io::Result<Box<dyn StorageFile>> {
        open_file(files::private_open_options().read(true).append(true).create_new(true), path)
    }
    fn open_read(&self, path: &Path) -> io::Result<Box<dyn StorageFile>> {
        open_file(files::read_open_options().read(true), path)
    }
    fn open_append(&self, path: &Path) -> io::Result<Box<dyn StorageFile>> {
        open_file(files::private_open_options().read(true).append(true), path)
    }
    fn remove(&self, path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }
    fn replace(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        files::replace_file(path, bytes)
    }
    fn sync_dir(&self, dir: &Path) -> io::Result<()> {
        files::sync_dir(dir)
    }
}

impl StorageFile for FsFile {
    fn size(&mut self) -> io::Result<u64> {
        Ok(self.file.metadata()?.len())
    }
    fn read_at(&mut self, from: u64, into: &mut [u8]) -> io::Result<usize> {
        self.file.seek(SeekFrom::Start(from))?;
        self.file.read(into)
    }
    fn append(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.file.write(bytes)
    }
    fn set_len(&mut self, len: u64) -> io::Result<()> {
        if cfg!(windows) {
            // A handle that may only append may not cut there.
            OpenOptions::new().write(true).open(&self.path)?.set_len(len)
        } else {
            self.file.set_len(len)
        }
    }
    fn sync(&mut self) -> io::Result<()> {
        self.file.sync_all()
    }
}
