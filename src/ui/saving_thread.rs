//! The thread that owns the journals, so that a slow disk never holds the screen up.

mod sent;

use super::signals;
use crate::app::comparison_model::MAX_COMPARED_PANELS;
use crate::app::model::{Effect, Reply};
use crate::app::sitting;
use crate::bench::{Bench, RecordError, RecordRequest, StoryReader, load_finished_panels};
use crate::clock::Clock;
use crate::craft::materials::fillers::BulkDensities;
use crate::record::files::low_space;
use crate::record::shelf::{Drawer, Shelf};
use crate::record::watch::{WatchedPaths, watch};
use crate::units::{Id, Moment};
use chrono::Local;
use sent::SentStories;
use std::io;
use std::panic::{self, AssertUnwindSafe};
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
        let (answers, reply) = channel();
        let (gone, watched) = channel();
        let shelf = bench.shelf();
        let places = WatchedPaths {
            dir: shelf.drawer_path(Drawer::Panels),
            other_paths: vec![shelf.drawer_path(Drawer::Pots), shelf.air_path()],
            parent_dir: shelf.root().to_owned(),
        };
        start_watch_thread(places.clone(), jobs.clone(), gone)?;
        thread::Builder::new().name("saving".to_owned()).spawn(move || {
            let runner = EffectRunner::new(bench, move || clock.now()).with_bulk_densities(bulk);
            run_jobs(GuardedRunner::new(runner), &todo, &answers);
        })?;
        Ok(SavingThread { jobs, replies: reply, watch_end: watched, is_watched: true, places })
    }

    /// Hands a request over.
    pub fn submit(&self, effect: Effect) {
        // The thread ends only with the program.
        let _ = self.jobs.send(SaveJob::Run(Box::new(effect)));
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
            Ok(reply) => reply,
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

fn run_jobs(mut runner: GuardedRunner, todo: &Receiver<SaveJob>, answers: &Sender<Reply>) {
    let send = |replies: Vec<Reply>| {
        replies.into_iter().all(|reply| {
            let sent = answers.send(reply).is_ok();
            signals::wake_event_loop();
            sent
        })
    };
    let mut heard = send(runner.load());
    while heard {
        let Ok(job) = todo.recv() else { return };
        heard = send(match job {
            SaveJob::Run(effect) => runner.run_effect(*effect),
            SaveJob::Refresh => runner.refresh(),
        });
    }
}

/// The runner, until it panics. What its journals hold is then no longer known, so they are let go and everything asked
/// for is refused: the bench counts and rings on, and says that nothing is recorded.
pub struct GuardedRunner {
    runner: Option<EffectRunner>,
}

impl GuardedRunner {
    /// A runner that has not panicked.
    pub fn new(runner: EffectRunner) -> GuardedRunner {
        GuardedRunner { runner: Some(runner) }
    }

    /// The pots and the air, and whether the disk is nearly full.
    pub fn load(&mut self) -> Vec<Reply> {
        self.run_guarded(None, |runner| std::iter::once(runner.load_pots()).chain(runner.check_low_space()).collect())
    }

    /// What others wrote.
    pub fn refresh(&mut self) -> Vec<Reply> {
        self.run_guarded(None, |runner| {
            let pots = runner.refresh_pots();
            runner.refresh().into_iter().chain(pots).collect()
        })
    }

    /// What came of that effect.
    pub fn run_effect(&mut self, effect: Effect) -> Vec<Reply> {
        self.run_guarded(refuse_effect(&effect), |runner| runner.run_effect(effect))
    }

    fn run_guarded(
        &mut self,
        refusal: Option<Reply>,
        work: impl FnOnce(&mut EffectRunner) -> Vec<Reply>,
    ) -> Vec<Reply> {
        let Some(runner) = &mut self.runner else { return refusal.into_iter().collect() };
        // Nothing it left half done is looked at again.
        panic::catch_unwind(AssertUnwindSafe(|| work(runner))).unwrap_or_else(|_| {
            self.runner = None;
            std::iter::once(Reply::RecordingStopped).chain(refusal).collect()
        })
    }
}

/// The answer to an effect once nothing is recorded any more; none where none is waited for.
fn refuse_effect(effect: &Effect) -> Option<Reply> {
    let error = RecordError::ProgramFault;
    match effect {
        Effect::Record(..)
        | Effect::RecordPass(_)
        | Effect::UndoPass(_)
        | Effect::Retime(..)
        | Effect::OpenPanels(_)
        | Effect::RecordPot(..)
        | Effect::OpenPot(_)
        | Effect::RecordAir(_)
        | Effect::Replan(_)
        | Effect::ReadComparison
        | Effect::ReadFinishedPanels => Some(Reply::Failed(error)),
        Effect::RecordInspection(id, _) => Some(Reply::InspectionFailed(id.clone(), error)),
        Effect::RecordNotice(id, event) => Some(Reply::NoticeFailed(id.clone(), event.clone(), error)),
        Effect::RecordPotNotice(..)
        | Effect::KeepPlaces(_)
        | Effect::RingBell(_)
        | Effect::SendAlert(_)
        | Effect::Speak(_)
        | Effect::AdvanceClock(_)
        | Effect::RunClockFrom(..)
        | Effect::Suspend
        | Effect::Quit => None,
    }
}

/// The journals, and how much of each the screen has been told.
pub struct EffectRunner {
    bench: Bench,
    now: Box<dyn Fn() -> Moment>,
    sent_panels: SentStories,
    sent_pots: SentStories,
    sent_air_length: Option<u64>,
    bulk: BulkDensities,
    is_low_space_reported: bool,
}

impl EffectRunner {
    /// Journals whose panels the screen has just been told as they stand.
    pub fn new(bench: Bench, now: impl Fn() -> Moment + 'static) -> EffectRunner {
        let mut sent_panels = SentStories::default();
        sent_panels.mark(&bench.snapshots());
        EffectRunner {
            bench,
            now: Box::new(now),
            sent_panels,
            sent_pots: SentStories::default(),
            sent_air_length: None,
            bulk: BulkDensities::TABLE,
            is_low_space_reported: false,
        }
    }

    /// The same, told what the maker's powders weigh.
    #[must_use]
    pub fn with_bulk_densities(self, bulk: BulkDensities) -> EffectRunner {
        EffectRunner { bulk, ..self }
    }

    /// Takes in what others wrote.
    pub fn refresh(&mut self) -> Option<Reply> {
        self.bench.refresh((self.now)());
        self.collect_changes()
    }

    /// Does what was asked, and answers. What others wrote is told before the outcome, so that a refusal is read beside
    /// what caused it.
    pub fn run_effect(&mut self, effect: Effect) -> Vec<Reply> {
        let outcome = self.apply_effect(effect);
        match &outcome {
            Some(
                Reply::Changed(snapshots)
                | Reply::PartlyRecorded(snapshots, _)
                | Reply::Opened(snapshots)
                | Reply::ChangedElsewhere(snapshots),
            ) => self.sent_panels.mark(snapshots),
            Some(Reply::PassRecorded(recorded)) => self.sent_panels.mark(&recorded.changed),
            Some(Reply::NoticeRecorded(snapshot, _) | Reply::InspectionRecorded(snapshot)) => {
                self.sent_panels.mark(std::slice::from_ref(snapshot))
            }
            Some(Reply::PotChanged(snapshot) | Reply::PotOpened(snapshot)) => {
                self.sent_pots.mark(std::slice::from_ref(snapshot))
            }
            Some(Reply::PotsChangedElsewhere(snapshots) | Reply::PotsLoaded(snapshots, _)) => {
                self.sent_pots.mark(snapshots)
            }
            Some(Reply::AirRecorded(_) | Reply::AirChangedElsewhere(_)) => {
                self.sent_air_length = air_journal_length(&self.bench);
            }
            Some(
                Reply::NoticeFailed(..)
                | Reply::ComparisonRead(..)
                | Reply::FinishedPanelsRead(..)
                | Reply::InspectionFailed(..)
                | Reply::PassRefused(_)
                | Reply::Failed(_)
                | Reply::Planned(..)
                | Reply::PlanFailed(_)
                | Reply::LowSpace(_)
                | Reply::RecordingStopped,
            )
            | None => {}
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

    fn apply_effect(&mut self, effect: Effect) -> Option<Reply> {
        let now = &*self.now;
        let bench = &mut self.bench;
        Some(match effect {
            Effect::Record(id, ask) => match bench.record(&id, &ask, now) {
                Ok(recorded) if recorded.failed.is_empty() => Reply::Changed(recorded.changed),
                Ok(recorded) => Reply::PartlyRecorded(recorded.changed, recorded.failed),
                Err(error) => Reply::Failed(error),
            },
            Effect::RecordPass(entries) => {
                bench.record_pass(&entries, now).map_or_else(Reply::PassRefused, Reply::PassRecorded)
            }
            Effect::UndoPass(facts) => {
                bench.undo_pass(&facts, now).map_or_else(Reply::PassRefused, Reply::PassRecorded)
            }
            Effect::Retime(id, seq, at) => {
                bench.retime(&id, seq, at, now).map_or_else(Reply::Failed, |snapshot| Reply::Changed(vec![snapshot]))
            }
            Effect::OpenPanels(opening) => match bench.open_panels(&opening, now) {
                Ok(snapshots) => Reply::Opened(snapshots),
                Err((error, _)) => Reply::Failed(error),
            },
            Effect::Replan(habits) => match bench.replan(&habits, &Local, now) {
                Ok((plan, change)) => Reply::Planned(Box::new(plan), change),
                Err(error) => Reply::PlanFailed(error.to_string()),
            },
            Effect::ReadComparison => read_comparison(bench.shelf(), &self.bulk, now()),
            Effect::ReadFinishedPanels => {
                let (panels, left_out) = load_finished_panels(bench, sitting::MAX_SITTING_PANELS, now());
                Reply::FinishedPanelsRead(panels, left_out)
            }
            Effect::RecordInspection(id, ask) => record_inspection(bench, id, &ask, now),
            Effect::RecordNotice(id, event) => match bench.record_notice(&id, event.clone(), now) {
                Ok(snapshot) => Reply::NoticeRecorded(snapshot, event),
                Err(error) => Reply::NoticeFailed(id, event, error),
            },
            Effect::RecordPot(id, act) => {
                bench.record_pot(&id, &act, None, now).map_or_else(Reply::Failed, Reply::PotChanged)
            }
            // A call that another window wrote first, or that cannot be written, has rung here all the same.
            Effect::RecordPotNotice(id, event) => {
                Reply::PotsChangedElsewhere(vec![bench.record_pot_notice(&id, event, now).ok()?])
            }
            Effect::OpenPot(opening) => bench.open_pot(&opening, now).map_or_else(Reply::Failed, Reply::PotOpened),
            Effect::RecordAir(reading) => match bench.record_air(&[reading], now) {
                Ok(_) => Reply::AirRecorded(bench.load_air()),
                Err((error, _)) => Reply::Failed(error),
            },
            Effect::KeepPlaces(places) => {
                bench.keep_places(places, now());
                return None;
            }
            Effect::RingBell(_)
            | Effect::SendAlert(_)
            | Effect::Speak(_)
            | Effect::AdvanceClock(_)
            | Effect::RunClockFrom(..)
            | Effect::Suspend
            | Effect::Quit => return None,
        })
    }

    /// The pots at hand and the air, told once the first picture is drawn.
    pub fn load_pots(&mut self) -> Reply {
        let pots = self.bench.load_rack_pots((self.now)()).unwrap_or_default();
        self.sent_pots.mark(&pots);
        self.sent_air_length = air_journal_length(&self.bench);
        Reply::PotsLoaded(pots, self.bench.load_air())
    }

    /// Takes in what others wrote about pots and the air.
    pub fn refresh_pots(&mut self) -> Vec<Reply> {
        self.bench.refresh_pots((self.now)());
        self.collect_pot_changes()
    }

    /// Whatever the journals hold that the screen was not told: what others wrote, and what a request that failed left.
    fn collect_changes(&mut self) -> Option<Reply> {
        self.sent_panels.take_new(self.bench.snapshots()).map(Reply::ChangedElsewhere)
    }

    /// The same of pots and the air.
    fn collect_pot_changes(&mut self) -> Vec<Reply> {
        let pots = self.sent_pots.take_new(self.bench.pot_snapshots()).map(Reply::PotsChangedElsewhere);
        let length = air_journal_length(&self.bench);
        let air = (length != self.sent_air_length).then(|| {
            self.sent_air_length = length;
            Reply::AirChangedElsewhere(self.bench.load_air())
        });
        pots.into_iter().chain(air).collect()
    }
}

/// How long the journal of the air is, so that it is read only where it grew.
fn air_journal_length(bench: &Bench) -> Option<u64> {
    bench.shelf().storage().open_read(&bench.shelf().air_path()).and_then(|mut handle| handle.size()).ok()
}

/// Records a look at a finished panel, which joins the bench for no longer than that.
fn record_inspection(bench: &mut Bench, id: Id, request: &RecordRequest, now: &dyn Fn() -> Moment) -> Reply {
    let held = bench.has_panel(&id);
    let recorded = bench.record(&id, request, now);
    if !held {
        bench.unload(&id);
    }
    match recorded.map(|recorded| recorded.changed.into_iter().next()) {
        Ok(Some(snapshot)) => Reply::InspectionRecorded(snapshot),
        Ok(None) => Reply::InspectionFailed(id.clone(), RecordError::NoStory(id)),
        Err(error) => Reply::InspectionFailed(id, error),
    }
}

/// Reads the shelf for a comparison; of a very large one, the panels opened last.
fn read_comparison(shelf: &Shelf, bulk: &BulkDensities, now: Moment) -> Reply {
    let shelved = StoryReader { shelf, bulk, now, on_story_read: &|| {} };
    match shelved.read_compared_panels(MAX_COMPARED_PANELS) {
        Ok(side) => Reply::ComparisonRead(side),
        Err(error) => Reply::Failed(RecordError::Journal(error)),
    }
}
