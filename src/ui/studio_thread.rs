//! The thread that reads what stands beside the panels: the air, what earlier panels teach, and which finished ones are
//! to be looked over. It begins once the first picture is drawn, and neither the screen nor a press ever waits for it.

use super::signals;
use crate::bench::{InspectionReminders, StudioKnowledge};
use crate::clock::Clock;
use crate::craft::materials::fillers::BulkDensities;
use crate::record::shelf::Shelf;
use std::io;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;

/// The screen's end of the thread.
pub struct StudioThread {
    requests: Sender<()>,
    results: Receiver<StudioKnowledge>,
}

impl StudioThread {
    /// Starts the thread over that shelf; it reads at once, and again whenever asked.
    ///
    /// # Errors
    /// What the system says.
    pub fn start(shelf: Shelf, clock: Clock, bulk: BulkDensities) -> io::Result<StudioThread> {
        let (asks, asked) = channel();
        let (tells, read) = channel();
        let beside = StudioThread { requests: asks, results: read };
        beside.request_read();
        thread::Builder::new()
            .name("beside".to_owned())
            .spawn(move || run_reader(&shelf, &clock, bulk, &asked, &tells))?;
        Ok(beside)
    }

    /// Asks it to read again: something was recorded.
    pub fn request_read(&self) {
        // The thread ends only with the program.
        let _ = self.requests.send(());
    }

    /// What it read since it was last asked for, if anything.
    pub fn take_latest(&self) -> Option<StudioKnowledge> {
        self.results.try_iter().last()
    }
}

fn run_reader(
    shelf: &Shelf,
    clock: &Clock,
    bulk: BulkDensities,
    asked: &Receiver<()>,
    tells: &Sender<StudioKnowledge>,
) {
    let mut looks = InspectionReminders::default();
    while asked.recv().is_ok() {
        // Several asks are one.
        while asked.try_recv().is_ok() {}
        looks.refresh(shelf, clock.now());
        let read = StudioKnowledge::load(shelf).with_own_consumption(shelf, bulk);
        let sent = tells.send(StudioKnowledge { reminders: looks.clone(), ..read });
        if sent.is_err() {
            return;
        }
        signals::wake_event_loop();
    }
}
