//! How far a long command has come, on stderr, once it has taken a second and somebody is there to see it.
//!
//! It never says how long it will still take, which nobody knows of a disk.

use super::signal_cleanup;
use anyhow::{Context, Result};
use std::io::IsTerminal;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::Duration;

/// What is done is told only of what takes longer than this.
const SHOW_AFTER: Duration = Duration::from_secs(1);
/// And told anew so often.
const REFRESH_INTERVAL: Duration = Duration::from_millis(250);

/// What is being done, and how far it has come.
pub(super) struct Progress {
    activity: Mutex<String>,
    total: AtomicUsize,
    done: AtomicUsize,
    is_finished: AtomicBool,
}

/// Does that, telling how far it has come. A signal then ends it without leaving anything behind.
pub(super) fn with_progress<T>(does: impl FnOnce(&Progress) -> Result<T>) -> Result<T> {
    signal_cleanup::install_signal_cleanup().context("signals cannot be heard")?;
    let progress = Progress {
        activity: Mutex::default(),
        total: AtomicUsize::new(0),
        done: AtomicUsize::new(0),
        is_finished: AtomicBool::new(false),
    };
    std::thread::scope(|scope| {
        let teller = scope.spawn(|| progress.print_until_finished());
        let made = does(&progress);
        progress.is_finished.store(true, Ordering::Relaxed);
        teller.thread().unpark();
        made
    })
}

impl Progress {
    /// From now on that is being done, to so many stories; 0 where they are not counted. Nothing is told of nothing.
    pub(super) fn start_activity(&self, what: &str, all: usize) {
        if let Ok(mut doing) = self.activity.lock() {
            what.clone_into(&mut doing);
        }
        self.done.store(0, Ordering::Relaxed);
        self.total.store(all, Ordering::Relaxed);
    }

    /// Another one is done.
    pub(super) fn increment(&self) {
        self.done.fetch_add(1, Ordering::Relaxed);
    }

    fn status_line(&self) -> String {
        let doing = self.activity.lock().map_or_else(|_| String::new(), |doing| doing.clone());
        match self.total.load(Ordering::Relaxed) {
            _ if doing.is_empty() => doing,
            0 => doing,
            all => format!("{} of {all} stories {doing}", self.done.load(Ordering::Relaxed)),
        }
    }

    fn print_until_finished(&self) {
        if !std::io::stderr().is_terminal() {
            return;
        }
        std::thread::park_timeout(SHOW_AFTER);
        while !self.is_finished.load(Ordering::Relaxed) {
            match self.status_line().as_str() {
                "" => signal_cleanup::clear_progress_line(),
                told => signal_cleanup::print_progress_line(told),
            }
            std::thread::park_timeout(REFRESH_INTERVAL);
        }
        signal_cleanup::clear_progress_line();
    }
}
