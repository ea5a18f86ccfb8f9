//! A rehearsal in a terminal, from the bare board to the finished panel, led by nothing but its own sentences.
#![cfg(unix)]
#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};
use std::fs;
use std::io::{Read, Write};
use std::path::Path;
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::{Duration, Instant};

/// Nothing here takes this long; a test that waits for longer has failed.
const DEADLINE: Duration = Duration::from_secs(30);
/// A press that changed nothing is made again after this long.
const AGAIN: Duration = Duration::from_secs(4);
/// What the program sends once a picture is whole.
const WHOLE: &[u8] = b"\x1b[?2026l";
const ROWS: u16 = 24;
const COLUMNS: u16 = 80;

/// The program in a terminal of its own.
struct Terminal {
    child: Box<dyn Child + Send + Sync>,
    _master: Box<dyn MasterPty + Send>,
    keys: Box<dyn Write + Send>,
    /// The last picture that was whole.
    screen: Arc<Mutex<String>>,
}

impl Terminal {
    fn start(args: &[&str], data: &Path, temporary: &Path) -> Terminal {
        let size = PtySize { rows: ROWS, cols: COLUMNS, pixel_width: 0, pixel_height: 0 };
        let pair = native_pty_system().openpty(size).unwrap();
        let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_sottile"));
        command.args(args);
        command.cwd(data);
        command.env("TERM", "xterm-256color");
        command.env("SOTTILE_DATA", data);
        // No settings of whoever runs the test.
        command.env_remove("SOTTILE_CONFIG");
        command.env("HOME", data.join("nowhere"));
        command.env("XDG_CONFIG_HOME", data.join("nowhere"));
        command.env("TMPDIR", temporary);
        let child = pair.slave.spawn_command(command).unwrap();
        drop(pair.slave);
        let screen = Arc::new(Mutex::new(String::new()));
        let from = pair.master.try_clone_reader().unwrap();
        let shown = Arc::clone(&screen);
        thread::spawn(move || watch(from, &shown));
        let keys = pair.master.take_writer().unwrap();
        Terminal { child, _master: pair.master, keys, screen }
    }

    fn press(&mut self, keys: &str) {
        self.keys.write_all(keys.as_bytes()).unwrap();
        self.keys.flush().unwrap();
    }

    fn text(&self) -> String {
        self.screen.lock().unwrap().clone()
    }

    /// The screen as running text, so that a sentence is found across its lines.
    fn flat(&self) -> String {
        self.text().split_whitespace().collect::<Vec<_>>().join(" ")
    }

    /// The end of the sentence that leads: the two lowest lines.
    fn foot(&self) -> String {
        self.text().lines().skip(usize::from(ROWS) - 2).collect()
    }

    /// Looks until `holds`, at most for `patience`; tells whether it came to hold.
    fn look(&self, patience: Duration, holds: impl Fn(&str) -> bool) -> bool {
        let began = Instant::now();
        while began.elapsed() < patience {
            if holds(&self.flat()) {
                return true;
            }
            thread::yield_now();
            thread::park_timeout(Duration::from_millis(5));
        }
        holds(&self.flat())
    }

    fn wait_for(&self, words: &str) {
        assert!(self.look(DEADLINE, |s| s.contains(words)), "no \"{words}\" on:\n{}", self.text());
    }

    /// Waits for the end and tells its code.
    fn end(&mut self) -> u32 {
        let began = Instant::now();
        loop {
            if let Some(status) = self.child.try_wait().unwrap() {
                return status.exit_code();
            }
            assert!(began.elapsed() < DEADLINE, "still running:\n{}", self.text());
            thread::park_timeout(Duration::from_millis(5));
        }
    }
}

/// Shows every picture that is whole, and what stands there at the end.
fn watch(mut from: Box<dyn Read + Send>, shown: &Mutex<String>) {
    let mut parser = vt100::Parser::new(ROWS, COLUMNS, 0);
    let mut sent = Vec::new();
    let mut bytes = [0; 4096];
    while let Ok(n @ 1..) = from.read(&mut bytes) {
        sent.extend_from_slice(&bytes[..n]);
        while let Some(at) = sent.windows(WHOLE.len()).position(|w| w == WHOLE) {
            let picture: Vec<u8> = sent.drain(..at + WHOLE.len()).collect();
            parser.process(&picture);
            *shown.lock().unwrap() = parser.screen().contents();
        }
    }
    parser.process(&sent);
    *shown.lock().unwrap() = parser.screen().contents();
}

impl Drop for Terminal {
    fn drop(&mut self) {
        let _ = self.child.kill();
    }
}

/// The places that rehearsals have in `temporary`.
fn places(temporary: &Path) -> usize {
    fs::read_dir(temporary).unwrap().count()
}

/// Each sentence that can lead, in the words it is known by, and the keys a newcomer presses for it.
const LEADS: [(&str, &str); 8] = [
    ("Any key quiets it", "x"),
    // Begun first and then done: a start between two dones is no resting finger.
    ("Space when it is on.", "s "),
    ("Space when it is done.", "s "),
    ("none, some, much", "5\r"),
    ("no area is marked grey", "w"),
    // Another key than the one pressed last, which is deaf to itself for a second.
    ("Space for the map.", "\x1b[6~"),
    ("pass in", ""),
    ("passes...", ""),
];

/// The words at hand on that screen.
fn lead(screen: &str) -> Option<(&'static str, &'static str)> {
    LEADS.into_iter().find(|(words, _)| screen.contains(words))
}

#[test]
fn a_newcomer_is_led_through_a_whole_panel_and_nothing_is_kept() {
    let (data, temporary) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let mut terminal = Terminal::start(&["rehearse", "--pace", "3600"], data.path(), temporary.path());
    terminal.wait_for("Practice: nothing of it is kept");
    assert_eq!(places(temporary.path()), 1);

    let began = Instant::now();
    let mut seen = String::new();
    let mut maps = 0;
    while !terminal.look(Duration::ZERO, |s| s.contains("That was a whole panel")) {
        assert!(began.elapsed() < DEADLINE * 2, "not at the end after {:?}:\n{}", began.elapsed(), terminal.text());
        let before = terminal.flat();
        seen.push_str(&before);
        let Some((words, keys)) = lead(&before) else {
            terminal.look(AGAIN, |s| s != before);
            continue;
        };
        if words == "none, some, much" {
            // The first time something stays grey, so that there is a second round; then all is white.
            terminal.press(if maps == 0 { keys } else { "w" });
            assert!(terminal.look(DEADLINE, |s| !s.contains(words)), "the map stays:\n{}", terminal.text());
            maps += 1;
            continue;
        }
        let foot = terminal.foot();
        terminal.press(keys);
        terminal.look(if keys.is_empty() { DEADLINE } else { AGAIN }, |_| terminal.foot() != foot);
    }

    for said in [
        "A name and an arrow go on the back",
        "The back and the edges drink the same size",
        "A night passes... Now the size cures by itself.",
        "Any key quiets it",
        "The first gesso is pushed into the grain",
        "The second coat goes at right angles to the first",
        "The last coat.",
        "Light strokes of the blade",
        "Dark powder stays in the hollows",
        "A night passes... The ground rests",
        "Sealing goes into the ground",
        "One last light pass with fine paper",
    ] {
        assert!(seen.contains(said), "never said: {said}");
    }
    assert_eq!(maps, 2, "a grey map leads to another round, a white one on");

    terminal.press("q");
    assert_eq!(terminal.end(), 0);
    terminal.wait_for("The rehearsal is over; nothing of it is kept.");
    assert_eq!(places(temporary.path()), 0);
    assert_eq!(places(data.path()), 0);
}

#[test]
fn a_round_is_rehearsed_with_a_pot_and_the_arrows() {
    let (data, temporary) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let args = ["rehearse", "--boards", "2", "--pace", "3600"];
    let mut terminal = Terminal::start(&args, data.path(), temporary.path());
    terminal.wait_for("Boards share one pot. A press is for the board in block letters");
    let leads: [(&str, &str); 3] = [
        ("puts the pot into the bath", "p"),
        ("and p takes it out", "p"),
        ("still step the time of what was just pressed", ""),
    ];
    let began = Instant::now();
    let mut seen = String::new();
    while !seen.contains("first gesso tapped in") {
        assert!(began.elapsed() < DEADLINE * 2, "not at the gesso after {:?}:\n{}", began.elapsed(), terminal.text());
        let before = terminal.flat();
        seen.push_str(&before);
        let round = leads.into_iter().find(|(words, keys)| before.contains(words) && !keys.is_empty());
        let Some((_, keys)) = round.or_else(|| lead(&before)) else {
            terminal.look(AGAIN, |s| s != before);
            continue;
        };
        let foot = terminal.foot();
        terminal.press(keys);
        terminal.look(if keys.is_empty() { DEADLINE } else { AGAIN }, |_| terminal.foot() != foot);
    }
    for (said, _) in leads {
        assert!(seen.contains(said), "never said: {said}");
    }
    // A call that rings takes the first key, and leaving in the middle of a round asks once.
    for _ in 0..6 {
        terminal.press("q");
        if terminal.look(AGAIN, |s| s.contains("The rehearsal is over")) {
            break;
        }
    }
    assert_eq!(terminal.end(), 0);
    assert_eq!(places(temporary.path()), 0);
}

#[test]
fn it_can_be_left_at_any_time() {
    let (data, temporary) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let mut terminal = Terminal::start(&["rehearse"], data.path(), temporary.path());
    terminal.wait_for("Practice");
    terminal.press("q");
    assert_eq!(terminal.end(), 0);
    assert_eq!(places(temporary.path()), 0);
}

#[test]
fn a_signal_leaves_nothing_behind() {
    let (data, temporary) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    for (signal, code) in [("TERM", 143), ("HUP", 129)] {
        let mut terminal = Terminal::start(&["rehearse"], data.path(), temporary.path());
        terminal.wait_for("Practice");
        let pid = terminal.child.process_id().unwrap().to_string();
        assert!(std::process::Command::new("kill").args(["-s", signal, &pid]).status().unwrap().success());
        assert_eq!(terminal.end(), code, "SIG{signal}");
        assert_eq!(places(temporary.path()), 0, "SIG{signal}");
    }
}
