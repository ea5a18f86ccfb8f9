//! The program in a terminal: keys go in, the screen is read, signals are sent.

use super::{PATIENCE, Shop, program};
use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};
use rustix::process::{Pid, Signal, kill_process};
use std::io::{Read, Write};
use std::sync::{Arc, Condvar, Mutex};
use std::time::{Duration, Instant};

/// A finger rests for a second; after this long the same key is heard again.
const HEARD_AGAIN: Duration = Duration::from_millis(1050);

/// What came out of the terminal so far.
struct Came {
    parser: vt100::Parser,
    raw: Vec<u8>,
    closed: bool,
    leave: bool,
}

/// A terminal with a program running in it. What is still running when it is dropped is killed.
pub struct Screen {
    master: Option<Box<dyn MasterPty + Send>>,
    keys: Option<Box<dyn Write + Send>>,
    child: Box<dyn Child + Send + Sync>,
    came: Arc<(Mutex<Came>, Condvar)>,
    last_key: Option<Instant>,
}

impl Screen {
    /// The bench, in a terminal of 80 x 24.
    pub fn bench(shop: &Shop) -> Screen {
        Screen::with(shop, (80, 24), &[])
    }

    /// The program with those arguments, in a terminal of so many columns and rows.
    pub fn with(shop: &Shop, size: (u16, u16), args: &[&str]) -> Screen {
        let mut command = CommandBuilder::new(program());
        command.args(args);
        Screen::of(shop, size, command)
    }

    /// Any command in a terminal.
    pub fn of(shop: &Shop, (cols, rows): (u16, u16), mut command: CommandBuilder) -> Screen {
        command.env_clear();
        for (name, value) in shop.surroundings() {
            command.env(name, value);
        }
        command.env("TERM", "xterm-256color");
        command.env("PATH", std::env::var_os("PATH").unwrap_or_default());
        command.cwd(shop.dir());
        Screen::started(command, (cols, rows))
    }

    /// A command whose surroundings are complete.
    pub fn started(command: CommandBuilder, (cols, rows): (u16, u16)) -> Screen {
        let pair = native_pty_system().openpty(size(cols, rows)).expect("a terminal");
        let child = pair.slave.spawn_command(command).expect("the program starts");
        drop(pair.slave);
        let keys = pair.master.take_writer().expect("the keys' end");
        let out = pair.master.try_clone_reader().expect("the screen's end");
        let came = Came { parser: vt100::Parser::new(rows, cols, 0), raw: Vec::new(), closed: false, leave: false };
        let came = Arc::new((Mutex::new(came), Condvar::new()));
        let reading = Arc::clone(&came);
        std::thread::spawn(move || take_in(out, &reading));
        Screen { master: Some(pair.master), keys: Some(keys), child, came, last_key: None }
    }

    /// Sends keys at once.
    pub fn keys(&mut self, keys: &str) -> &mut Screen {
        let to = self.keys.as_mut().expect("the terminal is open");
        to.write_all(keys.as_bytes()).and_then(|()| to.flush()).expect("keys go in");
        self.last_key = Some(Instant::now());
        self
    }

    /// Sends a key once the second in which it would be taken for a resting finger is over.
    pub fn press(&mut self, key: &str) -> &mut Screen {
        if let Some(last) = self.last_key {
            self.until(last + HEARD_AGAIN, |_| false);
        }
        self.keys(key)
    }

    /// Waits until the screen is as asked, for as long as `deadline`. Returns whether it is.
    fn until(&self, deadline: Instant, is: impl Fn(&Came) -> bool) -> bool {
        let (came, news) = &*self.came;
        let mut came = came.lock().expect("the reader lives");
        loop {
            if is(&came) {
                return true;
            }
            let left = deadline.saturating_duration_since(Instant::now());
            if left.is_zero() {
                return false;
            }
            came = news.wait_timeout(came, left).expect("the reader lives").0;
        }
    }

    /// Waits until a condition on the screen's text holds; gives up with the screen as it is.
    pub fn wait(&mut self, what: &str, is: impl Fn(&str) -> bool) -> &mut Screen {
        let held = self.until(Instant::now() + PATIENCE, |came| is(&came.parser.screen().contents()));
        assert!(held, "waited for {what}; the screen is:\n{}", self.text());
        self
    }

    /// Waits until the screen shows those words.
    pub fn shows(&mut self, words: &str) -> &mut Screen {
        self.wait(words, |text| text.contains(words))
    }

    /// Waits until it no longer does.
    pub fn lacks(&mut self, words: &str) -> &mut Screen {
        self.wait(&format!("{words} to go"), |text| !text.contains(words))
    }

    /// Waits until these bytes came out, as often as that.
    pub fn sent(&mut self, bytes: &str, times: usize) -> &mut Screen {
        let held = self.until(Instant::now() + PATIENCE, |came| count(&came.raw, bytes.as_bytes()) >= times);
        assert!(held, "waited for {bytes:?}, {times} times; all that came is {:?}", self.raw());
        self
    }

    /// The text on the screen.
    pub fn text(&self) -> String {
        self.came.0.lock().expect("the reader lives").parser.screen().contents()
    }

    /// Everything that came out, as it came.
    pub fn raw(&self) -> String {
        String::from_utf8_lossy(&self.came.0.lock().expect("the reader lives").raw).into_owned()
    }

    /// Makes the window another size, for the program and for us.
    pub fn resize(&mut self, cols: u16, rows: u16) -> &mut Screen {
        // The terminal of the test itself stumbles where it scrolls in a single row.
        self.came.0.lock().expect("the reader lives").parser.screen_mut().set_size(rows.max(2), cols.max(2));
        self.master.as_ref().expect("the terminal is open").resize(size(cols, rows)).expect("the window has a size");
        self
    }

    /// The process in it.
    pub fn pid(&self) -> Pid {
        let id = self.child.process_id().expect("it runs");
        Pid::from_raw(i32::try_from(id).expect("a small number")).expect("not 0")
    }

    /// Sends a signal to the process.
    pub fn signal(&mut self, signal: Signal) -> &mut Screen {
        kill_process(self.pid(), signal).expect("it runs");
        self
    }

    /// The window is closed: all ends of ours are gone once the reader has taken one more piece.
    pub fn close(&mut self) {
        self.keys = None;
        self.master = None;
        self.came.0.lock().expect("the reader lives").leave = true;
    }

    /// Leaves the bench, which asks once more while a wait runs. Returns the exit code.
    pub fn leave(&mut self) -> u32 {
        self.keys("q");
        if !self.until(Instant::now() + HEARD_AGAIN, |came| came.closed) {
            self.keys("q");
        }
        self.end()
    }

    /// Waits for the end, and for the last of the output. Returns the exit code and whether a signal ended it.
    pub fn end(&mut self) -> u32 {
        let deadline = Instant::now() + PATIENCE;
        loop {
            if let Some(status) = self.child.try_wait().expect("it can be waited for") {
                self.until(deadline, |came| came.closed);
                return status.exit_code();
            }
            assert!(Instant::now() < deadline, "it does not end; the screen is:\n{}", self.text());
            // Its end is told neither by the terminal nor by a channel; looked for now and then.
            self.until(Instant::now() + Duration::from_millis(10), |_| false);
        }
    }

    /// Ends it as a power cut would.
    pub fn kill(&mut self) {
        self.signal(Signal::KILL).end();
    }
}

impl Drop for Screen {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn size(cols: u16, rows: u16) -> PtySize {
    PtySize { rows, cols, pixel_width: 0, pixel_height: 0 }
}

fn take_in(mut out: Box<dyn Read + Send>, came: &(Mutex<Came>, Condvar)) {
    let mut buffer = [0; 4096];
    loop {
        let read = out.read(&mut buffer).unwrap_or(0);
        let mut now = came.0.lock().expect("no test panics holding it");
        emulate(&mut now.parser, &buffer[..read]);
        now.raw.extend_from_slice(&buffer[..read]);
        now.closed = read == 0 || now.leave;
        came.1.notify_all();
        if now.closed {
            return;
        }
    }
}

/// The terminal's own emulation gives out where a window of one column is written to; it then begins anew, as empty as a
/// window that changed its size, and the program draws it again.
fn emulate(parser: &mut vt100::Parser, bytes: &[u8]) {
    let (rows, cols) = parser.screen().size();
    let taken = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| parser.process(bytes)));
    if taken.is_err() {
        *parser = vt100::Parser::new(rows, cols, 0);
    }
}

fn count(in_them: &[u8], bytes: &[u8]) -> usize {
    in_them.windows(bytes.len()).filter(|w| *w == bytes).count()
}
