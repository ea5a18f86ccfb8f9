//! Data on stdout, words on stderr; a closed pipe is quiet.
//!
//! On a terminal controls are shown and never act, whatever a label, a path or an option holds; a file and a pipe are
//! given the bytes as they are.

use super::signal_cleanup;
use super::terminal_writer::TerminalWriter;
use crate::record::files::{parent_dir, sync_dir};
use crate::text::{FileError, sanitize_lines};
use anyhow::{Context, Result};
use serde::Serialize;
use std::fs::{self, OpenOptions};
use std::io::{self, IsTerminal, Write};
use std::path::{Path, PathBuf};

/// Writes a text to stdout. A reader that went away is no failure.
///
/// # Errors
/// What the system says.
pub fn print_text(text: &str) -> Result<()> {
    write_stdout(&mut |to| Ok(to.write_all(text.as_bytes())?))
}

/// What was recorded stands whether or not it could be told: a stdout that takes nothing costs a word and no failure, so
/// that no script records the same again.
///
/// # Errors
/// None of stdout's; any other of `told`.
pub fn allow_untold(told: Result<()>) -> Result<()> {
    match told {
        Err(e) if e.is::<StdoutError>() => {
            print_message(&format!("sottile: it is recorded, but could not be told: {e:#}"));
            Ok(())
        }
        other => other,
    }
}

/// Stdout takes nothing more.
#[derive(Debug)]
struct StdoutError;

impl std::fmt::Display for StdoutError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("stdout cannot be written to")
    }
}

/// Writes a value to stdout as JSON, one object, readable.
///
/// # Errors
/// What the system says.
pub fn print_json<T: Serialize>(value: &T) -> Result<()> {
    write_stdout(&mut |to| {
        serde_json::to_writer_pretty(&mut *to, value).map_err(io::Error::from)?;
        Ok(to.write_all(b"\n")?)
    })
}

/// Writes to stdout piece by piece. A reader that went away is no failure, and nothing more is then made for it.
fn write_stdout(write: &mut dyn FnMut(&mut dyn Write) -> Result<()>) -> Result<()> {
    let out = io::stdout().lock();
    let is_terminal = out.is_terminal();
    ignore_gone_reader(write_open(out, is_terminal, write)).context(StdoutError)
}

/// Writes to what is open, with controls made harmless where it is a terminal.
fn write_open(out: impl Write, is_terminal: bool, write: &mut dyn FnMut(&mut dyn Write) -> Result<()>) -> Result<()> {
    let mut out = io::BufWriter::new(out);
    let written = if is_terminal {
        let mut safe = TerminalWriter::new(&mut out);
        write(&mut safe).and_then(|()| Ok(safe.finish()?))
    } else {
        write(&mut out)
    };
    let written = written.and_then(|()| Ok(out.flush()?));
    // What a failed write left behind is not tried once more.
    let _ = out.into_parts();
    written
}

fn ignore_gone_reader(written: Result<()>) -> Result<()> {
    let gone = |e: &anyhow::Error| e.downcast_ref().is_some_and(|e: &io::Error| e.kind() == io::ErrorKind::BrokenPipe);
    match written {
        Err(e) if gone(&e) => Ok(()),
        other => other,
    }
}

/// Says a sentence on stderr. Where that cannot be written either there is nobody left to tell.
pub fn print_message(sentence: &str) {
    let _ = writeln!(io::stderr().lock(), "{}", sanitize_lines(sentence));
}

/// Whether something of that name may be written, before any work is done for it.
///
/// # Errors
/// What is in the way, and what to try.
pub fn check_not_existing(path: &Path, force: bool) -> Result<()> {
    match OutputTarget::find(path)? {
        OutputTarget::File(file) if !force && file.symlink_metadata().is_ok() => Err(already_exists_error(path)),
        OutputTarget::File(_) | OutputTarget::Stdout | OutputTarget::Device => Ok(()),
    }
}

/// Where output goes that was asked for under a name.
enum OutputTarget {
    /// `-`, or a name of the system's for it.
    Stdout,
    /// A pipe, a terminal, `/dev/null`: written through, never replaced.
    Device,
    /// A file, or one to be made. A symbolic link is followed, so that it goes on leading there.
    File(PathBuf),
}

impl OutputTarget {
    fn find(path: &Path) -> Result<OutputTarget> {
        if path.as_os_str() == "-" || is_name_of_stdout(path) {
            return Ok(OutputTarget::Stdout);
        }
        let is_link = path.symlink_metadata().is_ok_and(|m| m.is_symlink());
        match fs::metadata(path) {
            Ok(there) if there.is_dir() => Err(anyhow::anyhow!("{} is a directory; name a file in it", path.display())),
            Ok(there) if !there.is_file() => Ok(OutputTarget::Device),
            Ok(_) if is_link => path
                .canonicalize()
                .map(OutputTarget::File)
                .map_err(|e| anyhow::anyhow!("{}: {}", path.display(), FileError::from_io_error(&e))),
            Err(_) if is_link => Err(anyhow::anyhow!(
                "{} is a link that leads to nothing; name the file itself, or remove the link",
                path.display()
            )),
            Ok(_) | Err(_) => Ok(OutputTarget::File(path.to_owned())),
        }
    }
}

/// Whether the system calls stdout so: `/dev/stdout`, `/dev/fd/1`. Opened by that name, a file would be begun anew.
#[cfg(unix)]
fn is_name_of_stdout(path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let is_named = path.starts_with("/dev") || path.starts_with("/proc");
    let Some((named, stdout)) = fs::metadata(path).ok().filter(|_| is_named).zip(rustix::fs::fstat(io::stdout()).ok())
    else {
        return false;
    };
    (named.dev(), named.ino()) == (stdout.st_dev, stdout.st_ino)
}

#[cfg(not(unix))]
fn is_name_of_stdout(_path: &Path) -> bool {
    false
}

fn already_exists_error(path: &Path) -> anyhow::Error {
    anyhow::anyhow!("{} is there already; name another file, or write over it with --force", path.display())
}

/// Writes a text to a file, whole or not at all; `-` is stdout. A file that is there is written over only by `force`.
///
/// # Errors
/// What is in the way, and what to try.
pub fn write_file(path: &Path, written: &str, force: bool) -> Result<()> {
    write_file_with(path, force, &mut |to| Ok(to.write_all(written.as_bytes())?))
}

/// As [`write_file`], piece by piece.
///
/// # Errors
/// What is in the way, and what to try; and what `write` says.
pub fn write_file_with(path: &Path, force: bool, write: &mut dyn FnMut(&mut dyn Write) -> Result<()>) -> Result<()> {
    match OutputTarget::find(path)? {
        OutputTarget::Stdout => write_stdout(write),
        OutputTarget::Device => write_device(path, write),
        OutputTarget::File(file) => replace_whole(&file, force, write),
    }
}

fn write_device(path: &Path, write: &mut dyn FnMut(&mut dyn Write) -> Result<()>) -> Result<()> {
    let cannot =
        |e: &io::Error| anyhow::anyhow!("{} cannot be written: {}", path.display(), FileError::from_io_error(e));
    let device = OpenOptions::new().write(true).open(path).map_err(|e| cannot(&e))?;
    let is_terminal = device.is_terminal();
    ignore_gone_reader(write_open(device, is_terminal, write)).map_err(|e| match e.downcast::<io::Error>() {
        Ok(e) => cannot(&e),
        Err(other) => other,
    })
}

fn replace_whole(path: &Path, force: bool, write: &mut dyn FnMut(&mut dyn Write) -> Result<()>) -> Result<()> {
    let cannot =
        |e: &io::Error| anyhow::anyhow!("{} cannot be written: {}", path.display(), FileError::from_io_error(e));
    let dir = parent_dir(path);
    let file = signal_cleanup::create_partial_file(|| create_temp_file(&dir)).map_err(|e| cannot(&e))?;
    let mut to = io::BufWriter::new(file);
    let whole = write(&mut to).and_then(|()| Ok(to.into_inner().map_err(io::IntoInnerError::into_error)?));
    let kept = whole.and_then(|file| {
        file.sync_all()?;
        signal_cleanup::persist_partial_file(file, path, force)?;
        // The file is whole and has its name; a disk that makes no directory durable has no more to give.
        let _ = sync_dir(&dir);
        Ok(())
    });
    kept.map_err(|e| {
        signal_cleanup::discard_partial_file();
        match e.downcast::<io::Error>() {
            Ok(e) if e.kind() == io::ErrorKind::AlreadyExists => already_exists_error(path),
            Ok(e) => cannot(&e),
            Err(other) => other,
        }
    })
}

/// A file for what is being written, beside where it will be.
fn create_temp_file(dir: &Path) -> io::Result<tempfile::NamedTempFile> {
    let mut new = tempfile::Builder::new();
    #[cfg(unix)]
    let new = {
        use std::os::unix::fs::PermissionsExt;
        // What the maker means to hand on is readable as any other file of theirs is.
        new.permissions(std::fs::Permissions::from_mode(0o666))
    };
    new.tempfile_in(dir)
}
