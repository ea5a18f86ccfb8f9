//! Asks the machine not to fall asleep while a short wait runs.
//!
//! The asking is done in a thread, since a service that hangs must not hold the screen up; the loop only says what it
//! wants. What is held is an open file, which costs nothing while it is held and ends with the program however it ends.
//! On macOS and Windows the machine is not asked, and that is said.

use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;

/// What came of asking.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum InhibitorStatus {
    /// The machine stays awake.
    Held,
    /// It could not be asked.
    Unavailable,
}

/// The screen's end of the thread.
#[derive(Debug)]
pub struct SleepInhibitor {
    requests: Option<Sender<bool>>,
    statuses: Receiver<InhibitorStatus>,
    wanted: bool,
}

impl SleepInhibitor {
    /// Nothing is asked yet; no thread runs before something is.
    pub fn new() -> SleepInhibitor {
        SleepInhibitor { requests: None, statuses: channel().1, wanted: false }
    }

    /// Says whether the machine is to stay awake; asks only where that changed.
    pub fn set_wanted(&mut self, awake: bool) {
        if self.wanted == awake {
            return;
        }
        self.wanted = awake;
        if self.requests.is_none() {
            let (wants, asked) = channel();
            let (answer, answers) = channel();
            self.requests = Some(wants);
            self.statuses = answers;
            // Without the thread the answer never comes, and nobody waits for it.
            let _ =
                thread::Builder::new().name("staying awake".to_owned()).spawn(move || run_inhibitor(&asked, &answer));
        }
        if let Some(wants) = &self.requests {
            let _ = wants.send(awake);
        }
    }

    /// What came of asking since this was last called.
    pub fn latest_status(&self) -> Option<InhibitorStatus> {
        self.statuses.try_iter().last()
    }
}

impl Default for SleepInhibitor {
    fn default() -> Self {
        SleepInhibitor::new()
    }
}

/// Holds the machine awake from a "yes" to the next "no".
fn run_inhibitor(asked: &Receiver<bool>, answer: &Sender<InhibitorStatus>) {
    let mut held = None;
    for awake in asked {
        held = if awake { held.or_else(inhibit) } else { None };
        let said = if held.is_some() { InhibitorStatus::Held } else { InhibitorStatus::Unavailable };
        if awake && answer.send(said).is_err() {
            return;
        }
    }
}

/// Whether this build can ask at all.
pub const IS_SUPPORTED: bool = cfg!(all(feature = "desktop", unix, not(target_os = "macos")));

#[cfg(all(feature = "desktop", unix, not(target_os = "macos")))]
use login::inhibit;

#[cfg(not(all(feature = "desktop", unix, not(target_os = "macos"))))]
fn inhibit() -> Option<()> {
    None
}

/// The login manager's inhibitor locks, over D-Bus.
#[cfg(all(feature = "desktop", unix, not(target_os = "macos")))]
mod login {
    use zbus::wire::OwnedFd;

    const NAME: &str = "org.freedesktop.login1";
    const PATH: &str = "/org/freedesktop/login1";
    const INTERFACE: &str = "org.freedesktop.login1.Manager";

    /// An inhibitor lock, held as long as it is kept open; none where nobody can be asked.
    pub(super) fn inhibit() -> Option<OwnedFd> {
        zbus::block_on(async {
            // Not the lid: whoever closes it means it. The connection ends with this block, so that nothing listens to
            // the bus during the wait.
            let bus = zbus::Connection::system().await?;
            let asked = &("sleep:idle", "sottile", "a coat is drying", "block");
            let reply = bus.call_method(Some(NAME), PATH, Some(INTERFACE), "Inhibit", asked).await?;
            let held: OwnedFd = reply.body().deserialize()?;
            bus.close().await?;
            Ok::<_, zbus::Error>(held)
        })
        .ok()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_is_asked_until_something_is_wanted_and_then_once() {
        let mut wakeful = SleepInhibitor::new();
        wakeful.set_wanted(false);
        assert!(wakeful.requests.is_none(), "no thread for nothing");
        let (wants, asked) = channel();
        wakeful.requests = Some(wants);
        for awake in [true, true, false, false, true] {
            wakeful.set_wanted(awake);
        }
        assert_eq!(asked.try_iter().collect::<Vec<_>>(), [true, false, true]);
    }
}
