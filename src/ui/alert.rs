//! How a call reaches the maker: the bell, what the terminal or the desktop shows, a command of the maker's own. What is
//! spoken is `voice`.
//!
//! Nothing here waits: a command runs beside the program, and whoever cannot be reached is passed over.

use super::voice::{Speech, clean_for_speech};
use crate::app::model::{Alarm, AlertText};
use crate::text::{format_times, sanitize, sanitize_for_osc};
use crate::work::panel::event::PanelCall;
use crate::work::story::StoryCall;
use std::io::{self, Write};
use std::process::{Child, Command, Stdio};
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
    /// A command: program and arguments, no shell. `{board}`, `{act}`, `{direction}`, `{late}`, `{call}` and `{text}` in
    /// its arguments are filled in, and `SOTTILE_BOARD` and its like tell the same.
    pub command: Vec<String>,
    /// Spoken, where the platform has a speech command.
    pub speak: bool,
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

/// Rings a call's pattern through once, a second from stroke to stroke, and has it spoken. Returns what was tried, in
/// words.
pub fn play_alert(ways: &AlertChannels, alert: &AlertText) -> Vec<String> {
    let strokes = Alarm::count_strokes(alert.call);
    let mut tried = Vec::new();
    if ways.bell {
        tried.push(format!("the bell, {}", format_times(strokes)));
    }
    tried.extend(send_alert_and_wait(ways, alert, Some(DESKTOP_TIMEOUT)));
    for stroke in 0..strokes {
        if stroke > 0 {
            std::thread::sleep(Duration::from_secs(1));
        }
        ring_bell(ways);
    }
    if ways.speak {
        tried.push(match Speech::from_platform().speak_and_wait(&alert.sentence()) {
            Ok(program) => format!("the voice ({program})"),
            Err(fault) => format!("the voice: {fault}"),
        });
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
pub fn send_alert(ways: &AlertChannels, alert: &AlertText) -> Vec<String> {
    send_alert_and_wait(ways, alert, None)
}

fn send_alert_and_wait(ways: &AlertChannels, alert: &AlertText, patience: Option<Duration>) -> Vec<String> {
    let (call, label) = (alert.call, sanitize(&alert.label));
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
    tried.extend(run_command(ways, alert));
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
fn run_command(ways: &AlertChannels, alert: &AlertText) -> Option<String> {
    let program = sanitize(ways.command.first()?);
    Some(match start_command(&ways.command, alert) {
        Ok(mut child) => {
            // Waited for beside, so that no dead process is left behind.
            std::thread::spawn(move || child.wait());
            format!("the command {program}")
        }
        Err(e) => format!("the command {program}, which failed: {e}"),
    })
}

fn start_command(command: &[String], alert: &AlertText) -> io::Result<Child> {
    let (program, arguments) = command.split_first().ok_or(io::ErrorKind::NotFound)?;
    let values = placeholder_values(alert);
    let variables = values.iter().map(|(name, value)| (format!("SOTTILE_{}", variable_name(name)), value));
    Command::new(program)
        .args(arguments.iter().map(|argument| fill_placeholders(argument, &values)))
        .env("SOTTILE_PANEL", sanitize(&alert.label))
        .envs(variables)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
}

/// What a command is told, by the name it goes under in an argument.
fn placeholder_values(alert: &AlertText) -> [(&'static str, String); 6] {
    [
        ("board", sanitize(&alert.label)),
        ("act", sanitize(&alert.act)),
        ("direction", alert.direction.map_or_else(String::new, |d| d.name().to_owned())),
        ("late", alert.late_min.to_string()),
        ("call", alert.call.name().to_owned()),
        ("text", clean_for_speech(&alert.sentence())),
    ]
}

/// The name in the environment: a variable says its unit.
fn variable_name(placeholder: &str) -> String {
    if placeholder == "late" { "LATE_MIN".to_owned() } else { placeholder.to_uppercase() }
}

/// An argument with what it names in braces filled in, once from left to right: a label that holds a placeholder stays
/// what it is. One that begins with a value never begins like an option because of it.
fn fill_placeholders(argument: &str, values: &[(&str, String)]) -> String {
    let mut filled = String::new();
    let mut rest = argument;
    while let Some(open) = rest.find('{') {
        filled.push_str(&rest[..open]);
        rest = &rest[open..];
        let known = values
            .iter()
            .find_map(|(name, value)| Some((value, rest.strip_prefix('{')?.strip_prefix(name)?.strip_prefix('}')?)));
        let Some((value, behind)) = known else {
            filled.push('{');
            rest = &rest[1..];
            continue;
        };
        filled.push_str(if filled.is_empty() { value.trim_start_matches('-') } else { value });
        rest = behind;
    }
    filled + rest
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
fn send_desktop_notification(_title: &str, _body: &str) -> Option<Receiver<Result<(), String>>> {
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

    /// A call whose board is called so.
    #[cfg(unix)]
    fn alert(label: &str) -> AlertText {
        AlertText {
            call: PanelCall::Due,
            label: label.to_owned(),
            act: "lay coat 4 of 6".to_owned(),
            direction: Some(crate::craft::recipe::Direction::Vertical),
            direction_text: Some("along the long side"),
            late_min: 3,
            pot: None,
        }
    }

    #[cfg(unix)]
    #[test]
    fn a_command_is_told_by_arguments_and_by_variables() {
        use crate::ui::tests::stand_in::StandIn;
        let told = |label: &str, arguments: &[&str]| {
            let stand_in = StandIn::new();
            let program = stand_in.program().into_string().unwrap();
            let command: Vec<String> =
                [program.as_str()].iter().chain(arguments).map(|word| (*word).to_owned()).collect();
            let child = start_command(&command, &alert(label)).unwrap();
            let given = stand_in.arguments(child);
            let names = ["BOARD", "ACT", "DIRECTION", "LATE_MIN", "CALL", "TEXT", "PANEL"];
            (given, stand_in.variables(names.map(|n| format!("SOTTILE_{n}")).each_ref().map(String::as_str)))
        };
        let text = "Ash: lay coat 4 of 6, vertical, along the long side. 3 minutes late.";
        let (given, variables) =
            told("Ash", &["{board}", "at={late}{", "{act}, {direction}", "{call}", "{text}", "{other}"]);
        assert_eq!(given, ["Ash", "at=3{", "lay coat 4 of 6, vertical", "due", text, "{other}"]);
        assert_eq!(variables, ["Ash", "lay coat 4 of 6", "vertical", "3", "due", text, "Ash"]);
        // Whatever a label holds, it is one argument, one line, no option and no placeholder.
        let hostile = "--x \"$(id)\" 'y' `z`;\n{call} *";
        let (given, [board, ..]) = told(hostile, &["{board}", "-b{board}"]);
        assert_eq!(given, ["x \"$(id)\" 'y' `z`;\u{240a}{call} *", "-b--x \"$(id)\" 'y' `z`;\u{240a}{call} *"]);
        assert_eq!(board, "--x \"$(id)\" 'y' `z`;\u{240a}{call} *");
    }

    #[test]
    fn a_command_that_cannot_be_started_is_told_of() {
        let ways = AlertChannels { command: vec!["/no/such/program".to_owned()], ..AlertChannels::default() };
        let text = AlertText {
            call: PanelCall::Pot,
            label: "Tuesday".to_owned(),
            act: "out of the bath".to_owned(),
            direction: None,
            direction_text: None,
            late_min: 0,
            pot: Some("Tuesday".to_owned()),
        };
        let tried = send_alert(&ways, &text);
        assert!(tried.len() == 1 && tried[0].starts_with("the command /no/such/program, which failed: "), "{tried:?}");
        assert_eq!(text.sentence(), "Tuesday: out of the bath.");
        let coat = AlertText { act: "into the bath".to_owned(), label: "Ash".to_owned(), ..text };
        assert_eq!(coat.sentence(), "Tuesday: into the bath, for Ash.");
        let look = AlertText { act: "is the gloss gone?".to_owned(), pot: None, ..coat };
        assert_eq!(look.sentence(), "Ash: is the gloss gone?");
        let late = |late_min| AlertText { act: "lay coat 4".to_owned(), late_min, ..look.clone() }.sentence();
        assert_eq!((late(0), late(1)), ("Ash: lay coat 4.".to_owned(), "Ash: lay coat 4. 1 minute late.".to_owned()));
        assert_eq!(late(780), "Ash: lay coat 4. 13 hours late.");
    }
}
