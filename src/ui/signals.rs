//! The thread that ends the program when the system asks for it.
//!
//! It does not go through the loop: once the terminal has vanished, reading keys never returns. Every fact shown is on
//! disk already, so there is nothing to be saved.

use super::screen::{pause_terminal, release_terminal, stop_process};
use std::io;
use std::sync::Mutex;

/// What is still to be done when a signal ends the program.
static EXIT_HOOK: Mutex<Option<Box<dyn FnOnce() + Send>>> = Mutex::new(None);

/// Lets `last` be done when a signal that can be heard ends the program; nothing that runs longer than a moment. It takes
/// the place of what was given before.
pub fn set_exit_hook(last: impl FnOnce() + Send + 'static) {
    if let Ok(mut slot) = EXIT_HOOK.lock() {
        *slot = Some(Box::new(last));
    }
}

/// What becomes of a stop asked for from outside (SIGTSTP).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StopSignal {
    /// The terminal is given back before the process stops, and taken again once it goes on.
    GivesTerminalBack,
    /// Nothing of the terminal is taken: the system's own way.
    Default,
}

/// Starts the thread. It gives the terminal back and exits with 128 and the signal's number. `but` are signals to be let
/// be, a bit for each from the lowest on, the first bit for signal 1.
///
/// # Errors
/// What the system says.
#[cfg(unix)]
pub fn start_signal_thread(but: u64, stop: StopSignal) -> io::Result<()> {
    use signal_hook::consts::{SIGHUP, SIGINT, SIGQUIT, SIGTERM, SIGTSTP};
    use signal_hook::iterator::Signals;
    let stop = (stop == StopSignal::GivesTerminalBack).then_some(SIGTSTP);
    let heard =
        [SIGTERM, SIGHUP, SIGINT, SIGQUIT].into_iter().chain(stop).filter(|signal| but & (1 << (signal - 1)) == 0);
    let mut signals = Signals::new(heard)?;
    std::thread::Builder::new().name("signals".to_owned()).spawn(move || {
        for signal in signals.forever() {
            if signal == SIGTSTP {
                pause_terminal(stop_process);
                wake_event_loop();
                continue;
            }
            release_terminal();
            if let Some(last) = EXIT_HOOK.lock().ok().and_then(|mut slot| slot.take()) {
                last();
            }
            std::process::exit(128 + signal);
        }
    })?;
    Ok(())
}

/// There are no such signals here.
///
/// # Errors
/// Never.
#[cfg(not(unix))]
pub fn start_signal_thread(_but: u64, _stop: StopSignal) -> io::Result<()> {
    Ok(())
}

/// Wakes the loop where it waits for keys, as a window that changed its size would.
#[cfg(unix)]
pub fn wake_event_loop() {
    // Where it fails the loop wakes by itself, within a minute.
    let _ = signal_hook::low_level::raise(signal_hook::consts::SIGWINCH);
}

/// The loop wakes by itself here, every second.
#[cfg(not(unix))]
pub fn wake_event_loop() {}

/// Lets a limit on file sizes be an error of the write and not the end of the program.
#[cfg(unix)]
pub fn survive_file_limits() {
    let unread = std::sync::Arc::new(std::sync::atomic::AtomicBool::new(false));
    // Where the handler cannot be set, a file that grows too large ends the program; nothing acknowledged is lost by that.
    let _ = signal_hook::flag::register(signal_hook::consts::SIGXFSZ, unread);
}

/// There is no such signal here.
#[cfg(not(unix))]
pub fn survive_file_limits() {}
