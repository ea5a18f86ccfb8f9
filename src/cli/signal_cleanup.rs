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
struct CleanupState {
    /// How wide the line on stderr is.
    line_width: usize,
    /// The file that is not whole yet.
    partial_file: Option<TempPath>,
}

static CLEANUP_STATE: Mutex<CleanupState> = Mutex::new(CleanupState { line_width: 0, partial_file: None });

/// What is noted is right whoever panicked while noting.
fn lock_cleanup_state() -> MutexGuard<'static, CleanupState> {
    CLEANUP_STATE.lock().unwrap_or_else(std::sync::PoisonError::into_inner)
}

/// Takes the signals that end a program, but for those it was started to ignore, as by `nohup`.
///
/// # Errors
/// What the system says.
pub fn install_signal_cleanup() -> io::Result<()> {
    signals::set_exit_hook(|| {
        let mut now = lock_cleanup_state();
        erase_line(&mut now);
        drop(now.partial_file.take());
        // Locked for good: the program ends with the next line of whoever called.
        std::mem::forget(now);
    });
    signals::start_signal_thread(ignored_signals(), signals::StopSignal::Default)
}

/// The signals this process was started to ignore, a bit for each; none where the system does not tell.
fn ignored_signals() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let mask = status.lines().find_map(|line| line.strip_prefix("SigIgn:"));
    mask.and_then(|mask| u64::from_str_radix(mask.trim(), 16).ok()).unwrap_or_default()
}

/// Writes a line over the one before, on stderr. Where nobody can be told, nothing is lost.
pub fn print_progress_line(text: &str) {
    let mut now = lock_cleanup_state();
    let wide = crate::text::display_width(text);
    let blanks = " ".repeat(now.line_width.saturating_sub(wide));
    now.line_width = wide;
    let _ = write!(io::stderr(), "\r{text}{blanks}");
}

/// Wipes the line.
pub fn clear_progress_line() {
    erase_line(&mut lock_cleanup_state());
}

fn erase_line(now: &mut CleanupState) {
    let wide = std::mem::take(&mut now.line_width);
    if wide > 0 {
        let _ = write!(io::stderr(), "\r{}\r", " ".repeat(wide));
    }
}

/// Begins a file that is given its name only once it is whole; until then a signal takes it away.
///
/// # Errors
/// What the system says.
pub fn create_partial_file(make: impl FnOnce() -> io::Result<NamedTempFile>) -> io::Result<std::fs::File> {
    let mut now = lock_cleanup_state();
    let (file, path) = make()?.into_parts();
    now.partial_file = Some(path);
    Ok(file)
}

/// Gives the file its name, over another of that name only by `force`.
///
/// # Errors
/// What the system says; nothing is then left of it.
pub fn persist_partial_file(file: std::fs::File, path: &Path, force: bool) -> io::Result<()> {
    let mut now = lock_cleanup_state();
    let Some(made) = now.partial_file.take() else { return Err(io::ErrorKind::NotFound.into()) };
    let whole = NamedTempFile::from_parts(file, made);
    let kept = if force { whole.persist(path) } else { whole.persist_noclobber(path) };
    kept.map(drop).map_err(|PersistError { error, .. }| error)
}

/// Takes away what there is of a file.
pub fn discard_partial_file() {
    drop(lock_cleanup_state().partial_file.take());
}
