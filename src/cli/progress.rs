//! How far a long command has come, on stderr, once it has taken a second and somebody is there to see it.
//!
//! Absent on purpose: how long it will still take, which nobody knows of a disk.

use super::interrupted;
use anyhow::{Context, Result};
use std::io::IsTerminal;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::Duration;

/// What is done is told only of what takes longer than this.
const SECOND: Duration = Duration::from_secs(1);
/// And told anew so often.
const ANEW: Duration = Duration::from_millis(250);

/// What is being done, and how far it has come.
pub(super) struct Progress {
    doing: Mutex<String>,
    all: AtomicUsize,
    done: AtomicUsize,
    over: AtomicBool,
}

/// Does that, telling how far it has come. A signal then ends it without leaving anything behind.
pub(super) fn shown<T>(does: impl FnOnce(&Progress) -> Result<T>) -> Result<T> {
    interrupted::heed().context("signals cannot be heard")?;
    let progress = Progress {
        doing: Mutex::default(),
        all: AtomicUsize::new(0),
        done: AtomicUsize::new(0),
        over: AtomicBool::new(false),
    };
    std::thread::scope(|scope| {
        let teller = scope.spawn(|| progress.tell());
        let made = does(&progress);
        progress.over.store(true, Ordering::Relaxed);
        teller.thread().unpark();
        made
    })
}

impl Progress {
    /// From now on that is being done, to so many stories; 0 where they are not counted. Nothing is told of nothing.
    pub(super) fn doing(&self, what: &str, all: usize) {
        if let Ok(mut doing) = self.doing.lock() {
            what.clone_into(&mut doing);
        }
        self.done.store(0, Ordering::Relaxed);
        self.all.store(all, Ordering::Relaxed);
    }

    /// Another one is done.
    pub(super) fn one(&self) {
        self.done.fetch_add(1, Ordering::Relaxed);
    }

    fn told(&self) -> String {
        let doing = self.doing.lock().map_or_else(|_| String::new(), |doing| doing.clone());
        match self.all.load(Ordering::Relaxed) {
            _ if doing.is_empty() => doing,
            0 => doing,
            all => format!("{} of {all} stories {doing}", self.done.load(Ordering::Relaxed)),
        }
    }

    fn tell(&self) {
        if !std::io::stderr().is_terminal() {
            return;
        }
        std::thread::park_timeout(SECOND);
        while !self.over.load(Ordering::Relaxed) {
            match self.told().as_str() {
                "" => interrupted::wiped(),
                told => interrupted::line(told),
            }
            std::thread::park_timeout(ANEW);
        }
        interrupted::wiped();
    }
}
