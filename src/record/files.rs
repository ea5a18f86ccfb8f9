//! Files that are whole or not there: atomic replacement, the lock of the data directory, private directories, and
//! the two facts asked of the system (which boot this is, how much room is left).
//!
//! Symbolic links are refused wherever something is written, on purpose: a link in the data directory would let one
//! name write into another place.

use crate::text::FileError;
use std::fmt;
use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// Makes `dir` and what is missing above it, for this user alone, and makes each new name durable.
///
/// # Errors
/// What the system says; also if `dir` exists and is no directory.
pub fn ensure_dir(dir: &Path) -> io::Result<()> {
    if dir.is_dir() {
        return Ok(());
    }
    let above = parent_dir(dir);
    if above != dir {
        ensure_dir(&above)?;
    }
    match private_dir(dir) {
        // Another process made it in the meantime.
        Err(e) if e.kind() == io::ErrorKind::AlreadyExists && dir.is_dir() => Ok(()),
        Err(e) => Err(e),
        Ok(()) => sync_dir(&above),
    }
}

#[cfg(unix)]
fn private_dir(dir: &Path) -> io::Result<()> {
    use std::os::unix::fs::DirBuilderExt;
    fs::DirBuilder::new().mode(0o700).create(dir)
}

#[cfg(not(unix))]
fn private_dir(dir: &Path) -> io::Result<()> {
    fs::create_dir(dir)
}

/// The directory a path lies in; `.` for a bare name.
pub fn parent_dir(path: &Path) -> PathBuf {
    match path.parent() {
        Some(p) if p.as_os_str().is_empty() => PathBuf::from("."),
        Some(p) => p.to_owned(),
        None => path.to_owned(),
    }
}

/// Makes names made or changed in `dir` durable. Does nothing where directories cannot be opened (Windows).
///
/// # Errors
/// What the system says.
pub fn sync_dir(dir: &Path) -> io::Result<()> {
    if cfg!(windows) { Ok(()) } else { File::open(dir)?.sync_all() }
}

/// Options under which nothing is written through a symbolic link, no pipe is waited for, and what is made is for this
/// user alone.
pub fn private_open_options() -> OpenOptions {
    let mut options = OpenOptions::new();
    #[cfg(unix)]
    {
        use rustix::fs::OFlags;
        use std::os::unix::fs::OpenOptionsExt;
        options.mode(0o600).custom_flags((OFlags::NOFOLLOW | OFlags::NONBLOCK).bits().cast_signed());
    }
    options
}

/// Options for reading, under which no pipe is waited for.
pub fn read_open_options() -> OpenOptions {
    let mut options = OpenOptions::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt;
        options.custom_flags(rustix::fs::OFlags::NONBLOCK.bits().cast_signed());
    }
    options
}

/// What the path leads to, if something is there that is no file with bytes of its own.
pub fn find_special_kind(path: &Path) -> Option<&'static str> {
    let kind = fs::metadata(path).ok()?.file_type();
    if kind.is_file() {
        return None;
    }
    if kind.is_dir() {
        return Some("a directory");
    }
    #[cfg(unix)]
    {
        use std::os::unix::fs::FileTypeExt;
        if kind.is_fifo() {
            return Some("a pipe");
        }
        if kind.is_socket() {
            return Some("a socket");
        }
    }
    Some("a device")
}

/// Refuses what is there and is no file: a pipe would be waited for, and a device may do anything.
///
/// # Errors
/// One that is told as [`FileError::NotAFile`].
pub fn refuse_special(path: &Path) -> io::Result<()> {
    find_special_kind(path).map_or(Ok(()), |kind| Err(FileError::not_a_file_io_error(kind)))
}

/// The bytes of a file of the data directory.
///
/// # Errors
/// What the system says; what is no file is refused.
pub fn read_file(path: &Path) -> io::Result<Vec<u8>> {
    refuse_special(path)?;
    fs::read(path)
}

/// How the name of a file begins that is to replace another and is not whole yet.
const TEMP_PREFIX: &str = ".replacing-";

/// Removes what processes that were killed left behind of replacing files in `dir`. A process that still lives holds its
/// own locked.
pub fn remove_leftovers(dir: &Path) {
    let Ok(found) = fs::read_dir(dir) else { return };
    for path in found.filter_map(|entry| Some(entry.ok()?.path())) {
        let is_temp = path.file_name().and_then(|n| n.to_str()).is_some_and(|n| n.starts_with(TEMP_PREFIX));
        if is_temp && refuse_special(&path).is_ok() {
            // One that cannot be removed does no harm.
            let lone = private_open_options().read(true).open(&path).is_ok_and(|file| file.try_lock().is_ok());
            let _ = lone.then(|| fs::remove_file(&path));
        }
    }
}

/// Replaces the file at `path` by `bytes`, or makes it: after this, also after a power loss, the file is the old one
/// or the new one, whole. The mode of an old file is kept; a new one is for this user alone. On failure nothing is
/// left behind.
///
/// # Errors
/// What the system says; a symbolic link at `path`, or what is no file, is refused.
pub fn replace_file(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mode = match fs::symlink_metadata(path) {
        Ok(old) if old.is_symlink() => {
            return Err(FileError::symlink_io_error());
        }
        Ok(old) => Some(old.permissions()),
        Err(e) if e.kind() == io::ErrorKind::NotFound => None,
        Err(e) => return Err(e),
    };
    refuse_special(path)?;
    let dir = parent_dir(path);
    // The temporary file removes itself when dropped, so every early return leaves the directory as it was.
    remove_leftovers(&dir);
    let mut fresh = tempfile::Builder::new().prefix(TEMP_PREFIX).tempfile_in(&dir)?;
    // Where nothing can be locked, nothing is taken for a leftover either.
    let _ = fresh.as_file().try_lock();
    fresh.write_all(bytes)?;
    if fresh.as_file().metadata()?.len() != bytes.len() as u64 {
        return Err(io::ErrorKind::WriteZero.into());
    }
    if let Some(mode) = mode {
        fresh.as_file().set_permissions(mode)?;
    }
    fresh.as_file().sync_all()?;
    fresh.persist(path).map_err(|e| e.error)?;
    sync_dir(&dir)
}

/// Why the lock was not to be had.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LockError {
    /// Another process held it for longer than an append can take.
    Held {
        /// The lock file.
        path: PathBuf,
        /// Who holds it, as the lock file says.
        holder: Option<String>,
    },
    /// The lock file could not be opened or locked.
    Io {
        /// The lock file.
        path: PathBuf,
        /// What stood in the way.
        error: FileError,
    },
}

impl fmt::Display for LockError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            LockError::Held { path, holder: Some(by) } => write!(
                f,
                "{} is held by another window ({by}); it is needed for a moment only, so look whether that one is stopped",
                path.display()
            ),
            LockError::Held { path, holder: None } => write!(
                f,
                "{} is held by another window; it is needed for a moment only, so look whether that one is stopped",
                path.display()
            ),
            LockError::Io { path, error: trouble } => write!(f, "{} cannot be locked: {trouble}", path.display()),
        }
    }
}

/// The lock of a data directory, held for as long as one append takes. It ends with this value, and with the process.
///
/// The file is never renamed or deleted, so that everybody locks the same one; what stands in it is for messages only.
#[derive(Debug)]
pub struct Lock {
    file: File,
}

impl Lock {
    /// How often [`Lock::acquire`] tries again before it gives up: about five seconds altogether.
    const MAX_RETRIES: u32 = 64;

    /// Takes the lock at `path`, making the file if need be; waits about five seconds for another holder.
    ///
    /// It asks again and again with pauses in between, and does not wait in the system's own queue: a wait there has
    /// no end, and a stopped process would stop every window with it. An append holds the lock for one sync, so the
    /// first few pauses, of milliseconds, are nearly always enough.
    ///
    /// # Errors
    /// [`LockError::Held`] after that time, [`LockError::Io`] at once.
    pub fn acquire(path: &Path) -> Result<Lock, LockError> {
        Lock::acquire_with_retries(path, Self::MAX_RETRIES)
    }

    /// As [`Lock::acquire`], trying again `patience` times.
    ///
    /// # Errors
    /// As [`Lock::acquire`].
    pub fn acquire_with_retries(path: &Path, patience: u32) -> Result<Lock, LockError> {
        let trouble = |e: &io::Error| LockError::Io { path: path.to_owned(), error: FileError::from_io_error(e) };
        refuse_special(path).map_err(|e| trouble(&e))?;
        // Read and write: some network file systems lock only what is open for both.
        let mut file = private_open_options()
            .read(true)
            .write(true)
            .create(true)
            .truncate(false)
            .open(path)
            .map_err(|e| trouble(&e))?;
        for tried in 0..=patience {
            match file.try_lock() {
                Ok(()) => {
                    write_holder(&mut file);
                    return Ok(Lock { file });
                }
                Err(TryLockError::Error(e)) => return Err(trouble(&e)),
                Err(TryLockError::WouldBlock) if tried < patience => std::thread::sleep(retry_delay(tried)),
                Err(TryLockError::WouldBlock) => {}
            }
        }
        Err(LockError::Held { path: path.to_owned(), holder: read_holder(&mut file) })
    }
}

impl Drop for Lock {
    fn drop(&mut self) {
        // Closing the file unlocks it in any case; said here so that it happens before anything else of this value.
        let _ = self.file.unlock();
    }
}

/// The pause after the `tried`-th refusal: 2 ms, doubling up to 100 ms.
fn retry_delay(tried: u32) -> Duration {
    Duration::from_millis(2u64.saturating_mul(1 << tried.min(6)).min(100))
}

/// Says who holds the lock. It helps a message and nothing else, so a full disk does not matter.
fn write_holder(file: &mut File) {
    let _ = file
        .set_len(0)
        .and_then(|()| file.seek(SeekFrom::Start(0)))
        .and_then(|_| writeln!(file, "process {}", std::process::id()));
}

/// Who says to hold the lock.
fn read_holder(file: &mut File) -> Option<String> {
    let mut text = String::new();
    file.seek(SeekFrom::Start(0)).ok()?;
    file.take(80).read_to_string(&mut text).ok()?;
    let text: String = text.trim().chars().filter(|c| !c.is_control()).collect();
    (!text.is_empty()).then_some(text)
}

/// The identity of this boot, where the platform tells one (Linux).
pub fn read_boot_id() -> Option<u128> {
    parse_boot_id(fs::read_to_string("/proc/sys/kernel/random/boot_id").ok()?.trim())
}

/// A boot identity in the form journals keep it: 8-4-4-4-12 lower-case hexadecimal digits.
pub fn format_boot_id(boot: u128) -> String {
    let hex = format!("{boot:032x}");
    [&hex[..8], &hex[8..12], &hex[12..16], &hex[16..20], &hex[20..]].join("-")
}

/// Reads the form [`format_boot_id`] writes, and no other.
pub fn parse_boot_id(text: &str) -> Option<u128> {
    let is_hyphen = |at: usize| matches!(at, 8 | 13 | 18 | 23);
    (text.len() == 36).then_some(())?;
    text.bytes().enumerate().try_fold(0_u128, |sum, (at, byte)| match byte {
        b'-' => is_hyphen(at).then_some(sum),
        _ if is_hyphen(at) => None,
        b'0'..=b'9' => Some(sum << 4 | u128::from(byte - b'0')),
        b'a'..=b'f' => Some(sum << 4 | u128::from(byte - b'a' + 10)),
        _ => None,
    })
}

/// Below this many free megabytes it is time to say so: assumed; a story of one panel takes some tens of kilobytes.
pub const LOW_MB: u64 = 50;

/// The free megabytes of the disk `path` lies on, for this user; the nearest directory that exists is asked.
pub fn free_mb(path: &Path) -> Option<u64> {
    let there = path.ancestors().find(|p| p.exists()).unwrap_or(Path::new("."));
    free_bytes(there).map(|bytes| bytes / 1_000_000)
}

/// The free megabytes if they are fewer than [`LOW_MB`].
pub fn low_space(path: &Path) -> Option<u64> {
    free_mb(path).filter(|mb| *mb < LOW_MB)
}

#[cfg(unix)]
fn free_bytes(path: &Path) -> Option<u64> {
    let room = rustix::fs::statvfs(path).ok()?;
    Some(room.f_bavail.saturating_mul(room.f_frsize))
}

#[cfg(not(unix))]
fn free_bytes(_: &Path) -> Option<u64> {
    None
}

#[cfg(test)]
#[path = "files_tests.rs"]
mod tests;
