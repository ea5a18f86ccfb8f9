//! Waits, without waking up in between, until somebody writes into a directory.
//!
//! Absent on purpose: what was written (the journals read on), platforms that do not tell (there the caller looks now and then).

use std::path::Path;

/// Calls `changed` once watching has begun, for what was written before that, and then whenever something was written,
/// made or renamed in `dir`, until `changed` says to stop; a burst is told once. Returns false at once where the platform or the file system does not tell.
#[cfg(target_os = "linux")]
pub fn watch(dir: &Path, mut changed: impl FnMut() -> bool) -> bool {
    use rustix::fs::inotify::{self, CreateFlags, WatchFlags};
    let Ok(fd) = inotify::init(CreateFlags::CLOEXEC) else { return false };
    let flags = WatchFlags::MODIFY | WatchFlags::CREATE | WatchFlags::MOVED_TO | WatchFlags::DELETE;
    if inotify::add_watch(&fd, dir, flags).is_err() {
        return false;
    }
    if !changed() {
        return true;
    }
    let mut buffer = [0u8; 4096];
    loop {
        match rustix::io::read(&fd, &mut buffer) {
            Ok(0) => return true,
            Ok(_) if !changed() => return true,
            Ok(_) | Err(rustix::io::Errno::INTR) => {}
            Err(_) => return false,
        }
    }
}

/// Calls `changed` whenever something was written in `dir`; this platform does not tell.
#[cfg(not(target_os = "linux"))]
pub fn watch(_dir: &Path, _changed: impl FnMut() -> bool) -> bool {
    false
}
