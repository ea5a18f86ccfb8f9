//! The thread that owns the journals, so that a slow disk never holds the screen up.

mod pots;

use super::signals;
use crate::app::comparison_model::MAX_COMPARED_PANELS;
use crate::app::model::{Effect, Reply};
use crate::app::sitting;
use crate::bench::{Bench, RecordError, RecordRequest, Snapshot, StoryReader, load_finished_panels};
use crate::clock::Clock;
use crate::craft::materials::fillers::BulkDensities;
use crate::record::files::low_space;
use crate::record::shelf::{Drawer, Shelf};
use crate::record::watch::{WatchedPaths, watch};
use crate::units::{Id, Moment};
use crate::work::pot::fold::Pot;
use std::collections::HashMap;
use std::io;
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, TryRecvError, channel};
use std::thread;
use std::time::Duration;

/// What the thread is asked to do.
enum SaveJob {
    Run(Box<Effect>),
    Refresh,
}

/// The screen's end of the thread.
pub struct SavingThread {
    jobs: Sender<SaveJob>,
    replies: Receiver<Reply>,
    watch_end: Receiver<()>,
    is_watched: bool,
    places: WatchedPaths,
}

impl SavingThread {
    /// Starts the thread, and another that wakes it when somebody else writes.
    ///
    /// # Errors
    /// What the system says.
    pub fn start(bench: Bench, clock: Clock, bulk: BulkDensities) -> io::Result<SavingThread> {
        let (jobs, todo) = channel();
        let (answers, kept) = channel();
        let (gone, watched) = channel();
        let shelf = bench.shelf();
        let places = WatchedPaths {
            dir: shelf.drawer_path(Drawer::Panels),
            other_paths: vec![shelf.drawer_path(Drawer::Pots), shelf.air_path()],
            parent_dir: shelf.root().to_owned(),
        };
        start_watch_thread(places.clone(), jobs.clone(), gone)?;
        thread::Builder::new().name("saving".to_owned()).spawn(move || {
            run_jobs(EffectRunner::new(bench, move || clock.now()).with_bulk_densities(bulk), &todo, &answers);
        })?;
        Ok(SavingThread { jobs, replies: kept, watch_end: watched, is_watched: true, places })
    }

    /// Hands a request over.
    pub fn submit(&self, request: Effect) {
        // The thread ends only with the program.
        let _ = self.jobs.send(SaveJob::Run(Box::new(request)));
    }

    /// Where nothing tells of other windows' writing, looks for it.
    pub fn refresh_if_unwatched(&mut self) {
        self.is_watched &= matches!(self.watch_end.try_recv(), Err(TryRecvError::Empty));
        if !self.is_watched {
            let _ = self.jobs.send(SaveJob::Refresh);
        }
    }

    /// The directory may have been made only now: if nothing told of it before, it is watched from here on.
    pub fn restart_watch(&mut self) {
        if !self.is_watched {
            let (gone, watched) = channel();
            self.is_watched = start_watch_thread(self.places.clone(), self.jobs.clone(), gone).is_ok();
            self.watch_end = watched;
        }
    }

    /// Whether somebody else's writing has to be looked for.
    pub fn is_polling_needed(&self) -> bool {
        !self.is_watched
    }

    /// What came of the requests, waiting at most that long for the first.
    pub fn take_replies(&self, patience: Duration) -> Vec<Reply> {
        let first = match self.replies.recv_timeout(patience) {
            Ok(kept) => kept,
            Err(RecvTimeoutError::Timeout | RecvTimeoutError::Disconnected) => return Vec::new(),
        };
        std::iter::once(first).chain(self.replies.try_iter()).collect()
    }
}

/// Starts the thread that wakes the one that saves when somebody writes in those places; `gone` is dropped when it cannot.
fn start_watch_thread(places: WatchedPaths, wake: Sender<SaveJob>, gone: Sender<()>) -> io::Result<()> {
    thread::Builder::new().name("watching".to_owned()).spawn(move || {
        watch(&places, || wake.send(SaveJob::Refresh).is_ok());
        drop(gone);
    })?;
    Ok(())
}

fn run_jobs(mut desk: EffectRunner, todo: &Receiver<SaveJob>, answers: &Sender<Reply>) {
    for answer in std::iter::once(desk.load_pots()).chain(desk.check_low_space()) {
        if answers.send(answer).is_err() {
            return;
        }
        signals::wake_event_loop();
    }
    for job in todo {
        for answer in desk.run_job(job) {
            if answers.send(answer).is_err() {
                return;
            }
            signals::wake_event_loop();
        }
    }
}

/// How much of pots and air the screen has been told.
#[derive(Debug, Default)]
struct SentPots {
    pots: HashMap<Id, (usize, bool)>,
    air_length: Option<u64>,
}

impl SentPots {
    fn mark_sent(&mut self, told: &[Snapshot<Pot>]) {
        self.pots.extend(told.iter().map(|t| (t.id.clone(), pot_extent(t))));
    }
}

fn pot_extent(told: &Snapshot<Pot>) -> (usize, bool) {
    (told.story.as_ref().map_or(0, |s| s.entries().len()), told.damage.is_some())
}

/// The journals, and how much of each the screen has been told.
pub struct EffectRunner {
    bench: Bench,
    now: Box<dyn Fn() -> Moment>,
    sent_panels: HashMap<Id, (usize, bool)>,
    sent_pots: SentPots,
    bulk: BulkDensities,
    is_low_space_reported: bool,
}

impl EffectRunner {
    /// Journals whose panels the screen has just been told as they stand.
    pub fn new(bench: Bench, now: impl Fn() -> Moment + 'static) -> EffectRunner {
        let known = bench.snapshots().iter().map(|t| (t.id.clone(), panel_extent(t))).collect();
        let pots = SentPots::default();
        EffectRunner {
            bench,
            now: Box::new(now),
            sent_panels: known,
            sent_pots: pots,
            bulk: BulkDensities::TABLE,
            is_low_space_reported: false,
        }
    }

    /// The same, told what the maker's powders weigh.
    #[must_use]
    pub fn with_bulk_densities(self, bulk: BulkDensities) -> EffectRunner {
        EffectRunner { bulk, ..self }
    }

    fn run_job(&mut self, job: SaveJob) -> Vec<Reply> {
        match job {
            SaveJob::Refresh => {
                let pots = self.refresh_pots();
                self.refresh().into_iter().chain(pots).collect()
            }
            SaveJob::Run(request) => self.run_effect(*request),
        }
    }

    /// Takes in what others wrote.
    pub fn refresh(&mut self) -> Option<Reply> {
        self.bench.refresh((self.now)());
        self.collect_changes()
    }

    /// Does what was asked, and answers. What others wrote is told before the outcome, so that a refusal is read beside
    /// what caused it.
    pub fn run_effect(&mut self, request: Effect) -> Vec<Reply> {
        let outcome = self.apply_effect(request);
        match &outcome {
            Some(Reply::Changed(told) | Reply::Opened(told) | Reply::ChangedElsewhere(told)) => self.mark_sent(told),
            Some(Reply::NoticeRecorded(told, _) | Reply::InspectionRecorded(told)) => {
                self.mark_sent(std::slice::from_ref(told))
            }
            Some(
                Reply::NoticeFailed(..)
                | Reply::ComparisonRead(..)
                | Reply::FinishedPanelsRead(..)
                | Reply::InspectionFailed(..),
            ) => {}
            Some(Reply::Failed(_) | Reply::Pot(_) | Reply::LowSpace(_)) | None => {}
        }
        let pots = self.collect_pot_changes();
        self.collect_changes().into_iter().chain(pots).chain(outcome).chain(self.check_low_space()).collect()
    }

    /// A disk that is nearly full, told once.
    fn check_low_space(&mut self) -> Option<Reply> {
        let mb = low_space(self.bench.shelf().root()).filter(|_| !self.is_low_space_reported)?;
        self.is_low_space_reported = true;
        Some(Reply::LowSpace(mb))
    }

    fn apply_effect(&mut self, request: Effect) -> Option<Reply> {
        let now = &*self.now;
        let bench = &mut self.bench;
        Some(match request {
            Effect::Record(id, ask) => bench.record(&id, &ask, now).map_or_else(Reply::Failed, Reply::Changed),
            Effect::Retime(id, seq, at) => {
                bench.retime(&id, seq, at, now).map_or_else(Reply::Failed, |told| Reply::Changed(vec![told]))
            }
            Effect::OpenPanels(opening) => match bench.open_panels(&opening, now) {
                Ok(told) => Reply::Opened(told),
                Err((why, _)) => Reply::Failed(why),
            },
            Effect::ReadComparison => read_comparison(bench.shelf(), &self.bulk, now()),
            Effect::ReadFinishedPanels => {
                let (panels, left_out) = load_finished_panels(bench, sitting::MAX_SITTING_PANELS, now());
                Reply::FinishedPanelsRead(panels, left_out)
            }
            Effect::RecordInspection(id, ask) => record_inspection(bench, id, &ask, now),
            Effect::RecordNotice(id, event) => match bench.record_notice(&id, event.clone(), now) {
                Ok(told) => Reply::NoticeRecorded(told, event),
                Err(why) => Reply::NoticeFailed(id, event, why),
            },
            Effect::Pot(request) => return self.apply_pot_effect(request),
            Effect::RingBell(_) | Effect::SendAlert(..) | Effect::AdvanceClock(_) | Effect::Suspend | Effect::Quit => {
                return None;
            }
        })
    }

    fn mark_sent(&mut self, told: &[Snapshot]) {
        self.sent_panels.extend(told.iter().map(|t| (t.id.clone(), panel_extent(t))));
    }

    /// Whatever the journals hold that the screen was not told: what others wrote, and what a request that failed left.
    fn collect_changes(&mut self) -> Option<Reply> {
        let told = self.bench.snapshots();
        let new: Vec<Snapshot> =
            told.into_iter().filter(|t| self.sent_panels.get(&t.id) != Some(&panel_extent(t))).collect();
        self.mark_sent(&new);
        (!new.is_empty()).then_some(Reply::ChangedElsewhere(new))
    }
}

/// By what a panel's journal that grew is told from one that did not.
fn panel_extent(told: &Snapshot) -> (usize, bool) {
    (told.story.as_ref().map_or(0, |s| s.entries().len()), told.damage.is_some())
}

/// Records a look at a finished panel, which joins the bench for no longer than that.
fn record_inspection(bench: &mut Bench, id: Id, ask: &RecordRequest, now: &dyn Fn() -> Moment) -> Reply {
    let held = bench.has_panel(&id);
    let recorded = bench.record(&id, ask, now);
    if !held {
        bench.unload(&id);
    }
    match recorded.map(|told| told.into_iter().next()) {
        Ok(Some(told)) => Reply::InspectionRecorded(told),
        Ok(None) => Reply::InspectionFailed(id.clone(), RecordError::NoStory(id)),
        Err(why) => Reply::InspectionFailed(id, why),
    }
}

/// Reads the shelf for a comparison; of a very large one, the panels opened last.
fn read_comparison(shelf: &Shelf, bulk: &BulkDensities, now: Moment) -> Reply {
    let shelved = StoryReader { shelf, bulk, now, on_story_read: &|| {} };
    match shelved.read_compared_panels(MAX_COMPARED_PANELS) {
        Ok(side) => Reply::ComparisonRead(side),
        Err(failure) => Reply::Failed(RecordError::Journal(failure)),
    }
}
