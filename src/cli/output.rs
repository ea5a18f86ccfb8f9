//! Data on stdout, words on stderr; a closed pipe is quiet.

use super::signal_cleanup;
use crate::text::FileError;
use anyhow::{Context, Result};
use serde::Serialize;
use std::io::{self, Write};
use std::path::Path;

/// Writes a text to stdout as it is. A reader that went away is no failure.
///
/// # Errors
/// What the system says.
pub fn print_text(text: &str) -> Result<()> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(e) if e.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        other => other.context("stdout cannot be written to"),
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
    let mut out = io::BufWriter::new(io::stdout().lock());
    let written = write(&mut out).and_then(|()| Ok(out.flush()?));
    // What a failed write left behind is not tried once more.
    let _ = out.into_parts();
    let gone = |e: &anyhow::Error| e.downcast_ref().is_some_and(|e: &io::Error| e.kind() == io::ErrorKind::BrokenPipe);
    match written {
        Err(e) if gone(&e) => Ok(()),
        other => other.context("stdout cannot be written to"),
    }
}

/// Says a sentence on stderr. Where that cannot be written either there is nobody left to tell.
pub fn print_message(sentence: &str) {
    let _ = writeln!(io::stderr().lock(), "{sentence}");
}

/// Whether something of that name may be written, before any work is done for it.
///
/// # Errors
/// What is in the way, and what to try.
pub fn check_not_existing(path: &Path, force: bool) -> Result<()> {
    let there = path.as_os_str() != "-" && path.symlink_metadata().is_ok();
    if there && !force { Err(already_exists_error(path)) } else { Ok(()) }
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

/// As [`file`], piece by piece.
///
/// # Errors
/// What is in the way, and what to try; and what `write` says.
pub fn write_file_with(path: &Path, force: bool, write: &mut dyn FnMut(&mut dyn Write) -> Result<()>) -> Result<()> {
    if path.as_os_str() == "-" {
        return write_stdout(write);
    }
    let cannot =
        |e: &io::Error| anyhow::anyhow!("{} cannot be written: {}", path.display(), FileError::from_io_error(e));
    let dir = path.parent().filter(|d| !d.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let file = signal_cleanup::create_partial_file(|| create_temp_file(dir)).map_err(|e| cannot(&e))?;
    let mut to = io::BufWriter::new(file);
    let whole = write(&mut to).and_then(|()| Ok(to.into_inner().map_err(io::IntoInnerError::into_error)?));
    let kept = whole.and_then(|file| {
        file.sync_all()?;
        Ok(signal_cleanup::persist_partial_file(file, path, force)?)
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
