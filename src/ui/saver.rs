//! The thread that owns the journals, so that a slow disk never holds the screen up.

use crate::app::compare::MOST;
use crate::app::view::{Kept, Request};
use crate::bench::{Bench, NotRecorded, Shelved};
use crate::clock::Clock;
use crate::record::shelf::Drawer;
use crate::record::watch::watch;
use std::io;
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, TryRecvError, channel};
use std::thread;
use std::time::Duration;

/// What the thread is asked to do.
enum Job {
    Do(Box<Request>),
    ReadOn,
}

/// The screen's end of the thread.
pub struct Saver {
    jobs: Sender<Job>,
    kept: Receiver<Kept>,
    watched: Receiver<()>,
    tells: bool,
    dir: PathBuf,
}

impl Saver {
    /// Starts the thread, and another that wakes it when somebody else writes.
    ///
    /// # Errors
    /// What the system says.
    pub fn start(bench: Bench, clock: Clock) -> io::Result<Saver> {
        let (jobs, todo) = channel();
        let (answers, kept) = channel();
        let (gone, watched) = channel();
        let dir = bench.shelf().dir(Drawer::Panels);
        watch_beside(dir.clone(), jobs.clone(), gone)?;
        thread::Builder::new().name("saving".to_owned()).spawn(move || work(bench, &clock, &todo, &answers))?;
        Ok(Saver { jobs, kept, watched, tells: true, dir })
    }

    /// Hands a request over.
    pub fn ask(&self, request: Request) {
        // The thread ends only with the program.
        let _ = self.jobs.send(Job::Do(Box::new(request)));
    }

    /// Where nothing tells of other windows' writing, looks for it.
    pub fn look(&mut self) {
        self.tells &= matches!(self.watched.try_recv(), Err(TryRecvError::Empty));
        if !self.tells {
            let _ = self.jobs.send(Job::ReadOn);
        }
    }

    /// The directory may have been made only now: if nothing told of it before, it is watched from here on.
    pub fn watch_again(&mut self) {
        if !self.tells {
            let (gone, watched) = channel();
            self.tells = watch_beside(self.dir.clone(), self.jobs.clone(), gone).is_ok();
            self.watched = watched;
        }
    }

    /// Whether somebody else's writing has to be looked for.
    pub fn must_look(&self) -> bool {
        !self.tells
    }

    /// What came of the requests, waiting at most that long for the first.
    pub fn answers(&self, patience: Duration) -> Vec<Kept> {
        let first = match self.kept.recv_timeout(patience) {
            Ok(kept) => kept,
            Err(RecvTimeoutError::Timeout | RecvTimeoutError::Disconnected) => return Vec::new(),
        };
        std::iter::once(first).chain(self.kept.try_iter()).collect()
    }
}

/// Starts the thread that wakes the one that saves when somebody writes in `dir`; `gone` is dropped when it cannot.
fn watch_beside(dir: PathBuf, wake: Sender<Job>, gone: Sender<()>) -> io::Result<()> {
    thread::Builder::new().name("watching".to_owned()).spawn(move || {
        watch(&dir, || wake.send(Job::ReadOn).is_ok());
        drop(gone);
    })?;
    Ok(())
}

fn work(mut bench: Bench, clock: &Clock, todo: &Receiver<Job>, answers: &Sender<Kept>) {
    for job in todo {
        let answer = match job {
            Job::ReadOn => Some(bench.read_on()).filter(|told| !told.is_empty()).map(Kept::News),
            Job::Do(request) => done(&mut bench, clock, *request),
        };
        if answer.is_some_and(|answer| answers.send(answer).is_err()) {
            return;
        }
    }
}

/// Does what was asked; nothing is answered where nobody waits for it.
fn done(bench: &mut Bench, clock: &Clock, request: Request) -> Option<Kept> {
    let now = || clock.now();
    Some(match request {
        Request::Record(id, ask) => bench.record(&id, &ask, &now).map_or_else(Kept::Not, Kept::Changed),
        Request::Retime(id, seq, at) => {
            bench.retime(&id, seq, at, &now).map_or_else(Kept::Not, |told| Kept::Changed(vec![told]))
        }
        Request::Open(opening) => match bench.open(&opening, &now) {
            Ok(told) => Kept::Opened(told),
            Err((why, _)) => Kept::Not(why),
        },
        Request::Compare => compared(bench, clock),
        // A call that another window raised first, or that cannot be written down, has rung here all the same.
        Request::Notice(id, event) => Kept::Noted(bench.notice(&id, event, &now).ok()?),
        Request::Sound(_) | Request::Tell(..) | Request::Suspend | Request::Leave => return None,
    })
}

/// Reads the shelf for a comparison; of a very large one, only the panels on the bench.
fn compared(bench: &Bench, clock: &Clock) -> Kept {
    let read = || {
        let mut ids = bench.shelf().panel_ids()?;
        if ids.len() > MOST {
            ids = bench.told().into_iter().map(|t| t.id).collect();
        }
        let shelved = Shelved { shelf: bench.shelf(), loose_g_per_ml: &[], now: clock.now(), read: &|| {} };
        shelved.side_by_side(&ids)
    };
    match read() {
        Ok((all, left_out)) => Kept::Compared(all, left_out),
        Err(failure) => Kept::Not(NotRecorded::Failed(failure)),
    }
}
