//! The thread that reads what stands beside the panels: the air, what earlier panels teach, and which finished ones are
//! to be looked over. It begins once the first picture is drawn, and neither the screen nor a press ever waits for it.
//!
//! Absent on purpose: writing; what is said of it (`app::picture`).

use super::signals;
use crate::bench::{Looks, Room};
use crate::clock::Clock;
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
    pub fn start(shelf: Shelf, clock: Clock) -> io::Result<Beside> {
        let (asks, asked) = channel();
        let (tells, read) = channel();
        let beside = Beside { asks, read };
        beside.look_again();
        thread::Builder::new().name("beside".to_owned()).spawn(move || reads(&shelf, &clock, &asked, &tells))?;
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

fn reads(shelf: &Shelf, clock: &Clock, asked: &Receiver<()>, tells: &Sender<Room>) {
    let mut looks = Looks::default();
    while asked.recv().is_ok() {
        // Several asks are one.
        while asked.try_recv().is_ok() {}
        looks.read_on(shelf, clock.now());
        let sent = tells.send(Room { looks: looks.clone(), ..Room::read(shelf) });
        if sent.is_err() {
            return;
        }
        signals::wake();
    }
}
