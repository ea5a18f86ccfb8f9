//! The thread that owns the journals, so that a slow disk never holds the screen up.

mod pots;

use super::signals;
use crate::app::compare::MOST;
use crate::app::sitting;
use crate::app::view::{Kept, Request};
use crate::bench::{Ask, Bench, NotRecorded, Shelved, Told, finished_panels};
use crate::clock::Clock;
use crate::craft::materials::Filler;
use crate::record::files::low_space;
use crate::record::shelf::{Drawer, Shelf};
use crate::record::watch::{Places, watch};
use crate::units::{Id, Moment};
use std::collections::HashMap;
use std::io;
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
    places: Places,
}

impl Saver {
    /// Starts the thread, and another that wakes it when somebody else writes.
    ///
    /// # Errors
    /// What the system says.
    pub fn start(bench: Bench, clock: Clock, loose_g_per_ml: Vec<(Filler, f64)>) -> io::Result<Saver> {
        let (jobs, todo) = channel();
        let (answers, kept) = channel();
        let (gone, watched) = channel();
        let shelf = bench.shelf();
        let places = Places {
            dir: shelf.dir(Drawer::Panels),
            more: vec![shelf.dir(Drawer::Pots), shelf.air_file()],
            above: shelf.root().to_owned(),
        };
        watch_beside(places.clone(), jobs.clone(), gone)?;
        thread::Builder::new().name("saving".to_owned()).spawn(move || {
            work(Desk::new(bench, move || clock.now()).weighing(loose_g_per_ml), &todo, &answers);
        })?;
        Ok(Saver { jobs, kept, watched, tells: true, places })
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
            self.tells = watch_beside(self.places.clone(), self.jobs.clone(), gone).is_ok();
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

/// Starts the thread that wakes the one that saves when somebody writes in those places; `gone` is dropped when it cannot.
fn watch_beside(places: Places, wake: Sender<Job>, gone: Sender<()>) -> io::Result<()> {
    thread::Builder::new().name("watching".to_owned()).spawn(move || {
        watch(&places, || wake.send(Job::ReadOn).is_ok());
        drop(gone);
    })?;
    Ok(())
}

fn work(mut desk: Desk, todo: &Receiver<Job>, answers: &Sender<Kept>) {
    for answer in std::iter::once(desk.begins()).chain(desk.low_space()) {
        if answers.send(answer).is_err() {
            return;
        }
        signals::wake();
    }
    for job in todo {
        for answer in desk.does(job) {
            if answers.send(answer).is_err() {
                return;
            }
            signals::wake();
        }
    }
}

/// The journals, and how much of each the screen has been told.
pub struct Desk {
    bench: Bench,
    now: Box<dyn Fn() -> Moment>,
    known: HashMap<Id, (usize, bool)>,
    pots: pots::Known,
    loose_g_per_ml: Vec<(Filler, f64)>,
    told_low: bool,
}

impl Desk {
    /// Journals whose panels the screen has just been told as they stand.
    pub fn new(bench: Bench, now: impl Fn() -> Moment + 'static) -> Desk {
        let known = bench.told().iter().map(|t| (t.id.clone(), extent(t))).collect();
        let pots = pots::Known::default();
        Desk { bench, now: Box::new(now), known, pots, loose_g_per_ml: Vec::new(), told_low: false }
    }

    /// The same, told what the maker's powders weigh.
    #[must_use]
    pub fn weighing(self, loose_g_per_ml: Vec<(Filler, f64)>) -> Desk {
        Desk { loose_g_per_ml, ..self }
    }

    fn does(&mut self, job: Job) -> Vec<Kept> {
        match job {
            Job::ReadOn => {
                let pots = self.reads_on_pots();
                self.reads_on().into_iter().chain(pots).collect()
            }
            Job::Do(request) => self.serves(*request),
        }
    }

    /// Takes in what others wrote.
    pub fn reads_on(&mut self) -> Option<Kept> {
        self.bench.read_on((self.now)());
        self.news()
    }

    /// Does what was asked, and answers. What others wrote is told before the outcome, so that a refusal is read beside
    /// what caused it.
    pub fn serves(&mut self, request: Request) -> Vec<Kept> {
        let outcome = self.outcome(request);
        match &outcome {
            Some(Kept::Changed(told) | Kept::Opened(told) | Kept::News(told)) => self.tell(told),
            Some(Kept::Noted(told, _) | Kept::Looked(told)) => self.tell(std::slice::from_ref(told)),
            Some(Kept::NotNoted(..) | Kept::Compared(..) | Kept::Sat(..) | Kept::NotLooked(..)) => {}
            Some(Kept::Not(_) | Kept::Pot(_) | Kept::LowSpace(_)) | None => {}
        }
        let pots = self.pot_news();
        self.news().into_iter().chain(pots).chain(outcome).chain(self.low_space()).collect()
    }

    /// A disk that is nearly full, told once.
    fn low_space(&mut self) -> Option<Kept> {
        let mb = low_space(self.bench.shelf().root()).filter(|_| !self.told_low)?;
        self.told_low = true;
        Some(Kept::LowSpace(mb))
    }

    fn outcome(&mut self, request: Request) -> Option<Kept> {
        let now = &*self.now;
        let bench = &mut self.bench;
        Some(match request {
            Request::Record(id, ask) => bench.record(&id, &ask, now).map_or_else(Kept::Not, Kept::Changed),
            Request::Retime(id, seq, at) => {
                bench.retime(&id, seq, at, now).map_or_else(Kept::Not, |told| Kept::Changed(vec![told]))
            }
            Request::Open(opening) => match bench.open(&opening, now) {
                Ok(told) => Kept::Opened(told),
                Err((why, _)) => Kept::Not(why),
            },
            Request::Compare => compared(bench.shelf(), &self.loose_g_per_ml, now()),
            Request::Sit => {
                let (panels, left_out) = finished_panels(bench, sitting::MOST, now());
                Kept::Sat(panels, left_out)
            }
            Request::Look(id, ask) => looked(bench, id, &ask, now),
            Request::Notice(id, event) => match bench.notice(&id, event.clone(), now) {
                Ok(told) => Kept::Noted(told, event),
                Err(why) => Kept::NotNoted(id, event, why),
            },
            Request::Pot(request) => return self.pot_outcome(request),
            Request::Sound(_) | Request::Tell(..) | Request::Pass(_) | Request::Suspend | Request::Leave => {
                return None;
            }
        })
    }

    fn tell(&mut self, told: &[Told]) {
        self.known.extend(told.iter().map(|t| (t.id.clone(), extent(t))));
    }

    /// Whatever the journals hold that the screen was not told: what others wrote, and what a request that failed left.
    fn news(&mut self) -> Option<Kept> {
        let told = self.bench.told();
        let new: Vec<Told> = told.into_iter().filter(|t| self.known.get(&t.id) != Some(&extent(t))).collect();
        self.tell(&new);
        (!new.is_empty()).then_some(Kept::News(new))
    }
}

/// By what a panel's journal that grew is told from one that did not.
fn extent(told: &Told) -> (usize, bool) {
    (told.story.as_ref().map_or(0, |s| s.entries().len()), told.damage.is_some())
}

/// Records a look at a finished panel, which joins the bench for no longer than that.
fn looked(bench: &mut Bench, id: Id, ask: &Ask, now: &dyn Fn() -> Moment) -> Kept {
    let held = bench.has(&id);
    let recorded = bench.record(&id, ask, now);
    if !held {
        bench.let_go(&id);
    }
    match recorded.map(|told| told.into_iter().next()) {
        Ok(Some(told)) => Kept::Looked(told),
        Ok(None) => Kept::NotLooked(id.clone(), NotRecorded::NoStory(id)),
        Err(why) => Kept::NotLooked(id, why),
    }
}

/// Reads the shelf for a comparison; of a very large one, the panels opened last.
fn compared(shelf: &Shelf, loose_g_per_ml: &[(Filler, f64)], now: Moment) -> Kept {
    let shelved = Shelved { shelf, loose_g_per_ml, now, read: &|| {} };
    match shelved.side_by_side(MOST) {
        Ok(side) => Kept::Compared(side),
        Err(failure) => Kept::Not(NotRecorded::Failed(failure)),
    }
}
