//! Data on stdout, words on stderr; a closed pipe is quiet.

use crate::text::Trouble;
use anyhow::{Context, Result};
use serde::Serialize;
use std::io::{self, Write};
use std::path::Path;

/// Writes a text to stdout as it is. A reader that went away is no failure.
///
/// # Errors
/// What the system says.
pub fn text(text: &str) -> Result<()> {
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
pub fn json<T: Serialize>(value: &T) -> Result<()> {
    let mut json = serde_json::to_string_pretty(value).context("it cannot be put into JSON")?;
    json.push('\n');
    text(&json)
}

/// Says a sentence on stderr. Where that cannot be written either there is nobody left to tell.
pub fn say(sentence: &str) {
    let _ = writeln!(io::stderr().lock(), "{sentence}");
}

/// Writes a text to a file, whole or not at all; `-` is stdout. A file that is there is written over only by `force`.
///
/// # Errors
/// What is in the way, and what to try.
pub fn file(path: &Path, written: &str, force: bool) -> Result<()> {
    if path.as_os_str() == "-" {
        return text(written);
    }
    let shown = path.display();
    let dir = path.parent().filter(|d| !d.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut new = tempfile::Builder::new();
    #[cfg(unix)]
    let new = {
        use std::os::unix::fs::PermissionsExt;
        // What the maker means to hand on is readable as any other file of theirs is.
        new.permissions(std::fs::Permissions::from_mode(0o666))
    };
    let cannot = |e: &io::Error| anyhow::anyhow!("{shown} cannot be written: {}", Trouble::of(e));
    let mut file = new.tempfile_in(dir).map_err(|e| cannot(&e))?;
    file.write_all(written.as_bytes()).and_then(|()| file.as_file().sync_all()).map_err(|e| cannot(&e))?;
    let kept = if force { file.persist(path) } else { file.persist_noclobber(path) };
    match kept {
        Ok(_) => Ok(()),
        Err(e) if e.error.kind() == io::ErrorKind::AlreadyExists => {
            anyhow::bail!("{shown} is there already; name another file, or write over it with --force")
        }
        Err(e) => Err(cannot(&e.error)),
    }
}
