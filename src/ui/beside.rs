//! The thread that reads what stands beside the panels: the air, and what earlier panels teach. It begins once the first
//! picture is drawn, and neither the screen nor a press ever waits for it.
//!
//! Absent on purpose: writing; what is said of it (`app::picture`).

use crate::bench::Room;
use crate::record::shelf::Shelf;
use std::io;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;

/// The screen's end of the thread.
pub struct Beside {
    asks: Sender<()>,
    read: Receiver<Room>,
}

impl Beside {
    /// Starts the thread over that shelf; it reads at once, and again whenever asked.
    ///
    /// # Errors
    /// What the system says.
    pub fn start(shelf: Shelf) -> io::Result<Beside> {
        let (asks, asked) = channel();
        let (tells, read) = channel();
        let beside = Beside { asks, read };
        beside.look_again();
        thread::Builder::new().name("beside".to_owned()).spawn(move || reads(&shelf, &asked, &tells))?;
        Ok(beside)
    }

    /// Asks it to read again: something was recorded.
    pub fn look_again(&self) {
        // The thread ends only with the program.
        let _ = self.asks.send(());
    }

    /// What it read since it was last asked for, if anything.
    pub fn news(&self) -> Option<Room> {
        self.read.try_iter().last()
    }
}

fn reads(shelf: &Shelf, asked: &Receiver<()>, tells: &Sender<Room>) {
    while asked.recv().is_ok() {
        // Several asks are one.
        while asked.try_recv().is_ok() {}
        if tells.send(Room::read(shelf)).is_err() {
            return;
        }
    }
}
