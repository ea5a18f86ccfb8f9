//! What a signal must not leave behind: a file half written, a line of progress on the terminal.
//!
//! A command that runs long takes its signals here. On one the thread of `ui::signals` wipes and removes what is noted
//! down, and ends the program with 128 and the signal's number. What is noted stays locked until the very end, so that
//! nobody begins a file in between. Absent on purpose: what is being written.

use crate::ui::signals;
use std::io::{self, Write};
use std::path::Path;
use std::sync::{Mutex, MutexGuard};
use tempfile::{NamedTempFile, PersistError, TempPath};

/// What is under way.
struct UnderWay {
    /// How wide the line on stderr is.
    line: usize,
    /// The file that is not whole yet.
    file: Option<TempPath>,
}

static UNDER_WAY: Mutex<UnderWay> = Mutex::new(UnderWay { line: 0, file: None });

/// What is noted is right whoever panicked while noting.
fn under_way() -> MutexGuard<'static, UnderWay> {
    UNDER_WAY.lock().unwrap_or_else(std::sync::PoisonError::into_inner)
}

/// Takes the signals that end a program, but for those it was started to ignore, as by `nohup`.
///
/// # Errors
/// What the system says.
pub fn heed() -> io::Result<()> {
    signals::at_end(|| {
        let mut now = under_way();
        wipe(&mut now);
        drop(now.file.take());
        // Locked for good: the program ends with the next line of whoever called.
        std::mem::forget(now);
    });
    signals::listen(ignored())
}

/// The signals this process was started to ignore, a bit for each; none where the system does not tell.
fn ignored() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let mask = status.lines().find_map(|line| line.strip_prefix("SigIgn:"));
    mask.and_then(|mask| u64::from_str_radix(mask.trim(), 16).ok()).unwrap_or_default()
}

/// Writes a line over the one before, on stderr. Where nobody can be told, nothing is lost.
pub fn line(text: &str) {
    let mut now = under_way();
    let wide = crate::text::width(text);
    let blanks = " ".repeat(now.line.saturating_sub(wide));
    now.line = wide;
    let _ = write!(io::stderr(), "\r{text}{blanks}");
}

/// Wipes the line.
pub fn wiped() {
    wipe(&mut under_way());
}

fn wipe(now: &mut UnderWay) {
    let wide = std::mem::take(&mut now.line);
    if wide > 0 {
        let _ = write!(io::stderr(), "\r{}\r", " ".repeat(wide));
    }
}

/// Begins a file that is given its name only once it is whole; until then a signal takes it away.
///
/// # Errors
/// What the system says.
pub fn begin(make: impl FnOnce() -> io::Result<NamedTempFile>) -> io::Result<std::fs::File> {
    let mut now = under_way();
    let (file, path) = make()?.into_parts();
    now.file = Some(path);
    Ok(file)
}

/// Gives the file its name, over another of that name only by `force`.
///
/// # Errors
/// What the system says; nothing is then left of it.
pub fn keep(file: std::fs::File, path: &Path, force: bool) -> io::Result<()> {
    let mut now = under_way();
    let Some(made) = now.file.take() else { return Err(io::ErrorKind::NotFound.into()) };
    let whole = NamedTempFile::from_parts(file, made);
    let kept = if force { whole.persist(path) } else { whole.persist_noclobber(path) };
    kept.map(drop).map_err(|PersistError { error, .. }| error)
}

/// Takes away what there is of a file.
pub fn dropped() {
    drop(under_way().file.take());
}
