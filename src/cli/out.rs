//! Data on stdout, words on stderr; a closed pipe is quiet.

use anyhow::{Context, Result};
use serde::Serialize;
use std::io::{self, Write};

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
