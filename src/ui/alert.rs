//! How a call reaches the maker: the bell, what the terminal or the desktop shows, a command of the maker's own.
//!
//! Nothing here waits: a command runs beside the program, and whoever cannot be reached is passed over.
//! Absent on purpose: when to call (`app`).

use crate::app::view::Alarm;
use crate::text::{clean, osc_safe};
use crate::work::panel::event::Call;
use std::io::{self, Write};
use std::process::{Command, Stdio};
use std::sync::mpsc::Receiver;
#[cfg(feature = "desktop")]
use std::sync::mpsc::channel;
use std::time::Duration;

/// The ways a maker wants to be called.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Ways {
    /// The terminal's bell.
    pub bell: bool,
    /// What the terminal or the desktop shows.
    pub desktop: bool,
    /// A command: program and arguments, no shell. It finds the call in `SOTTILE_CALL` and the panel in `SOTTILE_PANEL`.
    pub command: Vec<String>,
}

/// What a call says.
pub const fn words(call: Call) -> &'static str {
    match call {
        Call::LookDull => "look whether the gloss is gone",
        Call::Pot => "see to the pot",
        Call::Due => "it is time for the next",
    }
}

/// Every call, in the order a wait has them.
pub const CALLS: [Call; 3] = [Call::LookDull, Call::Pot, Call::Due];

/// How long a desktop's answer is waited for where somebody wants to know it.
const ANSWER_IN: Duration = Duration::from_secs(2);

/// Rings a call's pattern through once, a second from stroke to stroke. Returns what was tried, in words.
pub fn rehearse(ways: &Ways, call: Call, label: &str) -> Vec<String> {
    let strokes = Alarm::strokes(call);
    let mut tried = Vec::new();
    if ways.bell {
        let times = if strokes == 1 { "once".to_owned() } else { format!("{strokes} times") };
        tried.push(format!("the bell, {times}"));
    }
    tried.extend(tell_and_wait(ways, call, label, Some(ANSWER_IN)));
    for stroke in 0..strokes {
        if stroke > 0 {
            std::thread::sleep(Duration::from_secs(1));
        }
        sound(ways);
    }
    tried
}

/// Rings the terminal's bell once.
pub fn sound(ways: &Ways) {
    if ways.bell {
        put("\x07");
    }
}

/// Tells the terminal, the desktop and the maker's own command of a call, and waits for none of them. Returns what was
/// tried, in words.
pub fn tell(ways: &Ways, call: Call, label: &str) -> Vec<String> {
    tell_and_wait(ways, call, label, None)
}

fn tell_and_wait(ways: &Ways, call: Call, label: &str, patience: Option<Duration>) -> Vec<String> {
    let label = clean(label);
    let mut tried = Vec::new();
    if ways.desktop {
        let sequence = Sequence::of_terminal(|name| std::env::var(name).ok());
        if let Some(sequence) = sequence {
            put(&sequence.text(&label, words(call)));
            tried.push(format!("the terminal ({})", sequence.name()));
        }
        tried.extend(desktop(&label, words(call)).map(|told| came_of_it(&told, patience)));
    }
    tried.extend(run(ways, call, &label));
    tried
}

/// What came of a desktop notification, for whoever has the patience.
fn came_of_it(told: &Receiver<Result<(), String>>, patience: Option<Duration>) -> String {
    match patience.map(|patience| told.recv_timeout(patience)) {
        None | Some(Ok(Ok(()))) => "the desktop".to_owned(),
        Some(Ok(Err(why))) => format!("the desktop, which could not be reached ({})", clean(&why)),
        Some(Err(_)) => "the desktop, which did not answer".to_owned(),
    }
}

/// A terminal that is gone cannot be told anything.
fn put(text: &str) {
    let mut out = io::stdout().lock();
    let _ = out.write_all(text.as_bytes()).and_then(|()| out.flush());
}

/// The notification sequences that terminals understand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Sequence {
    /// OSC 9: one text.
    Nine,
    /// OSC 777: a title and a text.
    TripleSeven,
    /// OSC 99: parts in base64 or plain.
    NinetyNine,
}

impl Sequence {
    /// The one this terminal is known to understand; none inside a multiplexer, which swallows them.
    fn of_terminal(env: impl Fn(&str) -> Option<String>) -> Option<Sequence> {
        if env("TMUX").is_some() || env("STY").is_some() {
            return None;
        }
        let term = env("TERM").unwrap_or_default();
        let program = env("TERM_PROGRAM").unwrap_or_default();
        let knows = |names: &[&str]| names.iter().any(|n| term.contains(n) || program.contains(n));
        if knows(&["kitty"]) {
            Some(Sequence::NinetyNine)
        } else if knows(&["foot", "ghostty", "rxvt-unicode", "WezTerm"]) {
            Some(Sequence::TripleSeven)
        } else if knows(&["iTerm", "vscode", "WarpTerminal"]) {
            Some(Sequence::Nine)
        } else {
            None
        }
    }

    const fn name(self) -> &'static str {
        match self {
            Sequence::Nine => "OSC 9",
            Sequence::TripleSeven => "OSC 777",
            Sequence::NinetyNine => "OSC 99",
        }
    }

    /// The bytes. The title never begins a sequence's text with a digit, which some terminals take for progress.
    fn text(self, title: &str, body: &str) -> String {
        let (title, body) = (osc_safe(title).replace(';', ","), osc_safe(body).replace(';', ","));
        match self {
            Sequence::Nine => format!("\x1b]9;panel {title}: {body}\x1b\\"),
            Sequence::TripleSeven => format!("\x1b]777;notify;{title};{body}\x1b\\"),
            Sequence::NinetyNine => {
                format!("\x1b]99;i=sottile:d=0:p=title;{title}\x1b\\\x1b]99;i=sottile:d=1:p=body;{body}\x1b\\")
            }
        }
    }
}

/// Starts the maker's own command beside the program.
fn run(ways: &Ways, call: Call, label: &str) -> Option<String> {
    let (program, arguments) = ways.command.split_first()?;
    let child = Command::new(program)
        .args(arguments)
        .env("SOTTILE_CALL", call.name())
        .env("SOTTILE_PANEL", label)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn();
    Some(match child {
        Ok(mut child) => {
            // Waited for beside, so that no dead process is left behind.
            std::thread::spawn(move || child.wait());
            format!("the command {}", clean(program))
        }
        Err(e) => format!("the command {}, which failed: {e}", clean(program)),
    })
}

/// A desktop notification, sent from a thread of its own: a broken service may hang. What comes of it is told there.
#[cfg(feature = "desktop")]
fn desktop(title: &str, body: &str) -> Option<Receiver<Result<(), String>>> {
    let (title, body) = (title.to_owned(), body.to_owned());
    let (outcome, told) = channel();
    let show = move || {
        let shown = notify_rust::Notification::new().appname("sottile").summary(&title).body(&body).show();
        // Mostly nobody waits for it.
        let _ = outcome.send(shown.map(|_| ()).map_err(|e| e.to_string()));
    };
    std::thread::Builder::new().name("notifying".to_owned()).spawn(show).ok()?;
    Some(told)
}

/// This build has no desktop notifications.
#[cfg(not(feature = "desktop"))]
fn desktop(_title: &str, _body: &str) -> Option<Receiver<Result<(), String>>> {
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sequences_go_to_terminals_known_to_understand_them() {
        let check = |vars: &[(&str, &str)], expected: Option<Sequence>| {
            let env = |name: &str| vars.iter().find(|(n, _)| *n == name).map(|(_, v)| (*v).to_owned());
            assert_eq!(Sequence::of_terminal(env), expected, "{vars:?}");
        };
        check(&[("TERM", "xterm-kitty")], Some(Sequence::NinetyNine));
        check(&[("TERM", "foot")], Some(Sequence::TripleSeven));
        check(&[("TERM", "xterm-256color"), ("TERM_PROGRAM", "iTerm.app")], Some(Sequence::Nine));
        check(&[("TERM", "xterm-256color")], None);
        check(&[("TERM", "xterm-kitty"), ("TMUX", "/x")], None);
    }

    #[test]
    fn a_label_cannot_end_a_sequence_or_begin_another() {
        for sequence in [Sequence::Nine, Sequence::TripleSeven, Sequence::NinetyNine] {
            let text = sequence.text("4;5\x1b\\\x07\u{9c}Wren", "due");
            assert_eq!(text.matches('\x1b').count(), sequence.text("Wren", "due").matches('\x1b').count());
            assert!(!text.contains('\x07') && !text.contains('\u{9c}') && !text.contains("]9;4"), "{text:?}");
        }
    }
}
