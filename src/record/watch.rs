//! Waits, without waking up in between, until somebody writes into one of some directories or files.
//!
//! Where a platform does not tell, the caller looks now and then.

use std::path::PathBuf;

/// What is watched.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WatchedPaths {
    /// A directory whose files are written; without it nothing is told.
    pub dir: PathBuf,
    /// More of the kind, and single files, which may be made only later.
    pub other_paths: Vec<PathBuf>,
    /// The directory in which those are made; writing to a file that lies in it tells nothing.
    pub parent_dir: PathBuf,
}

/// Calls `changed` once watching has begun, for what was written before that, and then whenever something was written, made
/// or renamed in those places, until `changed` says to stop; a burst is told once. Returns false at once where the platform or the file system does not tell.
#[cfg(target_os = "linux")]
pub fn watch(places: &WatchedPaths, mut changed: impl FnMut() -> bool) -> bool {
    use rustix::fs::inotify::{self, CreateFlags, WatchFlags};
    let Ok(fd) = inotify::init(CreateFlags::CLOEXEC) else { return false };
    let made = WatchFlags::CREATE | WatchFlags::MOVED_TO;
    let written = made | WatchFlags::MODIFY | WatchFlags::DELETE;
    if inotify::add_watch(&fd, &*places.dir, written).is_err() {
        return false;
    }
    let _ = inotify::add_watch(&fd, &*places.parent_dir, made);
    if !changed() {
        return true;
    }
    let mut buffer = [0u8; 4096];
    loop {
        // What was made meanwhile is watched from here on; to watch it twice changes nothing.
        for place in &places.other_paths {
            let _ = inotify::add_watch(&fd, &**place, written);
        }
        match rustix::io::read(&fd, &mut buffer) {
            Ok(0) => return true,
            Ok(_) if !changed() => return true,
            Ok(_) | Err(rustix::io::Errno::INTR) => {}
            Err(_) => return false,
        }
    }
}

/// Calls `changed` whenever something was written there; this platform does not tell.
#[cfg(not(target_os = "linux"))]
pub fn watch(_places: &WatchedPaths, _changed: impl FnMut() -> bool) -> bool {
    false
}
