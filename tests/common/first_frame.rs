//! A program started in a terminal and timed until something stands on it, for benches.

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};
use rustix::process::{Pid, Signal, kill_process};
use std::io::Read;
use std::path::Path;

/// A program in a terminal, killed when it is dropped; that is not measured.
pub struct Running {
    child: Box<dyn Child + Send + Sync>,
    _terminal: Box<dyn MasterPty + Send>,
}

impl Drop for Running {
    fn drop(&mut self) {
        // The terminal's own way to kill waits between its attempts.
        if let Some(pid) = self.child.process_id().and_then(|id| Pid::from_raw(i32::try_from(id).ok()?)) {
            let _ = kill_process(pid, Signal::KILL);
        }
        let _ = self.child.wait();
    }
}

/// From starting a program in a terminal until it wrote `last`; or until it ended, where that is empty.
pub fn run_until(data: &Path, program: &str, last: &[u8]) -> Running {
    let size = PtySize { rows: 40, cols: 120, pixel_width: 0, pixel_height: 0 };
    let pair = native_pty_system().openpty(size).unwrap();
    let mut command = CommandBuilder::new(program);
    command.env("SOTTILE_DATA", data);
    command.env("TERM", "xterm-256color");
    let mut out = pair.master.try_clone_reader().unwrap();
    let mut child = pair.slave.spawn_command(command).unwrap();
    drop(pair.slave);
    let (mut came, mut buffer) = (Vec::new(), [0; 16384]);
    while !last.is_empty() && !came.windows(last.len()).any(|w| w == last) {
        let read = out.read(&mut buffer).unwrap();
        came.extend_from_slice(&buffer[..read]);
    }
    if last.is_empty() {
        child.wait().unwrap();
    }
    Running { child, _terminal: pair.master }
}
