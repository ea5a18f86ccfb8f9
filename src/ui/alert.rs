//! How a call reaches the maker: the bell, what the terminal or the desktop shows, a command of the maker's own.
//!
//! Nothing here waits: a command runs beside the program, and whoever cannot be reached is passed over.

use crate::app::model::Alarm;
use crate::text::{format_times, sanitize, sanitize_for_osc};
use crate::work::panel::event::PanelCall;
use crate::work::story::StoryCall;
use std::io::{self, Write};
use std::process::{Command, Stdio};
use std::sync::mpsc::Receiver;
#[cfg(feature = "desktop")]
use std::sync::mpsc::channel;
use std::time::Duration;

/// The ways a maker wants to be called.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct AlertChannels {
    /// The terminal's bell.
    pub bell: bool,
    /// What the terminal or the desktop shows.
    pub desktop: bool,
    /// A command: program and arguments, no shell. It finds the call in `SOTTILE_CALL` and the panel in `SOTTILE_PANEL`.
    pub command: Vec<String>,
}

/// What a call says.
pub const fn call_text(call: PanelCall) -> &'static str {
    match call {
        PanelCall::LookDull => "look whether the gloss is gone",
        PanelCall::Pot => "see to the pot",
        PanelCall::Due => "it is time for the next",
    }
}

/// Every call, in the order a wait has them.
pub const CALLS: [PanelCall; 3] = [PanelCall::LookDull, PanelCall::Pot, PanelCall::Due];

/// How long a desktop's answer is waited for where somebody wants to know it.
const DESKTOP_TIMEOUT: Duration = Duration::from_secs(2);

/// Rings a call's pattern through once, a second from stroke to stroke. Returns what was tried, in words.
pub fn play_alert(ways: &AlertChannels, call: PanelCall, label: &str) -> Vec<String> {
    let strokes = Alarm::count_strokes(call);
    let mut tried = Vec::new();
    if ways.bell {
        tried.push(format!("the bell, {}", format_times(strokes)));
    }
    tried.extend(send_alert_and_wait(ways, call, label, Some(DESKTOP_TIMEOUT)));
    for stroke in 0..strokes {
        if stroke > 0 {
            std::thread::sleep(Duration::from_secs(1));
        }
        ring_bell(ways);
    }
    tried
}

/// Rings the terminal's bell once.
pub fn ring_bell(ways: &AlertChannels) {
    if ways.bell {
        write_to_terminal("\x07");
    }
}

/// Tells the terminal, the desktop and the maker's own command of a call, and waits for none of them. Returns what was
/// tried, in words.
pub fn send_alert(ways: &AlertChannels, call: PanelCall, label: &str) -> Vec<String> {
    send_alert_and_wait(ways, call, label, None)
}

fn send_alert_and_wait(ways: &AlertChannels, call: PanelCall, label: &str, patience: Option<Duration>) -> Vec<String> {
    let label = sanitize(label);
    let mut tried = Vec::new();
    if ways.desktop {
        let sequence = NotificationSequence::from_env(|name| std::env::var(name).ok());
        if let Some(sequence) = sequence {
            write_to_terminal(&sequence.encode(&label, call_text(call)));
            tried.push(format!("the terminal ({})", sequence.name()));
        }
        tried.extend(
            send_desktop_notification(&label, call_text(call)).map(|told| format_desktop_outcome(&told, patience)),
        );
    }
    tried.extend(run_command(ways, call, &label));
    tried
}

/// What came of a desktop notification, for whoever has the patience.
fn format_desktop_outcome(told: &Receiver<Result<(), String>>, patience: Option<Duration>) -> String {
    match patience.map(|patience| told.recv_timeout(patience)) {
        None | Some(Ok(Ok(()))) => "the desktop".to_owned(),
        Some(Ok(Err(reason))) => format!("the desktop, which could not be reached ({})", sanitize(&reason)),
        Some(Err(_)) => "the desktop, which did not answer".to_owned(),
    }
}

/// A terminal that is gone cannot be told anything.
fn write_to_terminal(text: &str) {
    let mut out = io::stdout().lock();
    let _ = out.write_all(text.as_bytes()).and_then(|()| out.flush());
}

/// The notification sequences that terminals understand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum NotificationSequence {
    /// OSC 9: one text.
    Osc9,
    /// OSC 777: a title and a text.
    Osc777,
    /// OSC 99: parts in base64 or plain.
    Osc99,
}

impl NotificationSequence {
    /// The one this terminal is known to understand; none inside a multiplexer, which swallows them.
    fn from_env(env: impl Fn(&str) -> Option<String>) -> Option<NotificationSequence> {
        if env("TMUX").is_some() || env("STY").is_some() {
            return None;
        }
        let term = env("TERM").unwrap_or_default();
        let program = env("TERM_PROGRAM").unwrap_or_default();
        let knows = |names: &[&str]| names.iter().any(|n| term.contains(n) || program.contains(n));
        if knows(&["kitty"]) {
            Some(NotificationSequence::Osc99)
        } else if knows(&["foot", "ghostty", "rxvt-unicode", "WezTerm"]) {
            Some(NotificationSequence::Osc777)
        } else if knows(&["iTerm", "vscode", "WarpTerminal"]) {
            Some(NotificationSequence::Osc9)
        } else {
            None
        }
    }

    const fn name(self) -> &'static str {
        match self {
            NotificationSequence::Osc9 => "OSC 9",
            NotificationSequence::Osc777 => "OSC 777",
            NotificationSequence::Osc99 => "OSC 99",
        }
    }

    /// The bytes. The title never begins a sequence's text with a digit, which some terminals take for progress.
    fn encode(self, title: &str, body: &str) -> String {
        let (title, body) = (sanitize_for_osc(title).replace(';', ","), sanitize_for_osc(body).replace(';', ","));
        match self {
            NotificationSequence::Osc9 => format!("\x1b]9;panel {title}: {body}\x1b\\"),
            NotificationSequence::Osc777 => format!("\x1b]777;notify;{title};{body}\x1b\\"),
            NotificationSequence::Osc99 => {
                format!("\x1b]99;i=sottile:d=0:p=title;{title}\x1b\\\x1b]99;i=sottile:d=1:p=body;{body}\x1b\\")
            }
        }
    }
}

/// Starts the maker's own command beside the program.
fn run_command(ways: &AlertChannels, call: PanelCall, label: &str) -> Option<String> {
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
            format!("the command {}", sanitize(program))
        }
        Err(e) => format!("the command {}, which failed: {e}", sanitize(program)),
    })
}

/// A desktop notification, sent from a thread of its own: a broken service may hang. What comes of it is told there.
#[cfg(feature = "desktop")]
fn send_desktop_notification(title: &str, body: &str) -> Option<Receiver<Result<(), String>>> {
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
        let check = |vars: &[(&str, &str)], expected: Option<NotificationSequence>| {
            let env = |name: &str| vars.iter().find(|(n, _)| *n == name).map(|(_, v)| (*v).to_owned());
            assert_eq!(NotificationSequence::from_env(env), expected, "{vars:?}");
        };
        check(&[("TERM", "xterm-kitty")], Some(NotificationSequence::Osc99));
        check(&[("TERM", "foot")], Some(NotificationSequence::Osc777));
        check(&[("TERM", "xterm-256color"), ("TERM_PROGRAM", "iTerm.app")], Some(NotificationSequence::Osc9));
        check(&[("TERM", "xterm-256color")], None);
        check(&[("TERM", "xterm-kitty"), ("TMUX", "/x")], None);
    }

    #[test]
    fn a_label_cannot_end_a_sequence_or_begin_another() {
        for sequence in [NotificationSequence::Osc9, NotificationSequence::Osc777, NotificationSequence::Osc99] {
            let text = sequence.encode("4;5\x1b\\\x07\u{9c}Wren", "due");
            assert_eq!(text.matches('\x1b').count(), sequence.encode("Wren", "due").matches('\x1b').count());
            assert!(!text.contains('\x07') && !text.contains('\u{9c}') && !text.contains("]9;4"), "{text:?}");
        }
    }
}
