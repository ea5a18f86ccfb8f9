//! The voice: sentences handed to the platform's speech command, each as one argument and through no shell.
//!
//! A thread of its own speaks one after the other, so that nobody waits; of several that pile up meanwhile the last is
//! spoken, which tells what holds now.

use crate::text::sanitize;
use std::ffi::OsString;
use std::io;
use std::process::{Child, Command, ExitStatus, Stdio};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::time::Duration;

/// Programs that speak, with what each is told beside the sentence. The first that is there and does not fail is taken;
/// spd-say is made to wait until it has spoken, as the others do.
const SPEECH_COMMANDS: [&[&str]; 3] = [&["spd-say", "--wait"], &["espeak-ng"], &["say"]];
/// A running command is looked at so often, and ended after so many looks, a minute: it hangs.
const LOOK_INTERVAL: Duration = Duration::from_millis(50);
const LOOKS_MAX: u32 = 1200;

/// The voice of the bench.
#[derive(Debug)]
pub struct Voice {
    sentences: Sender<String>,
    faults: Receiver<String>,
}

impl Voice {
    /// A voice by the platform's speech command.
    ///
    /// # Errors
    /// What the system says where no thread can be started.
    pub fn start() -> io::Result<Voice> {
        let (sentences, asked) = channel::<String>();
        let (told, faults) = channel();
        let mut speech = Speech::from_platform();
        let run = move || {
            while let Ok(first) = asked.recv() {
                let latest = asked.try_iter().last().unwrap_or(first);
                if let Err(fault) = speech.speak_and_wait(&latest) {
                    // Told once: what has failed is not tried again.
                    let _ = told.send(fault);
                    return;
                }
            }
        };
        std::thread::Builder::new().name("speaking".to_owned()).spawn(run)?;
        Ok(Voice { sentences, faults })
    }

    /// Has that spoken, after what is being spoken.
    pub fn speak(&self, sentence: &str) {
        // A voice that failed has said so.
        let _ = self.sentences.send(sentence.to_owned());
    }

    /// Why nothing is spoken, told once.
    pub fn take_fault(&self) -> Option<String> {
        self.faults.try_recv().ok()
    }
}

/// The speech commands not yet known to fail.
#[derive(Debug)]
pub struct Speech {
    commands: Vec<Vec<OsString>>,
}

impl Speech {
    /// Those of this platform.
    pub fn from_platform() -> Speech {
        let commands = SPEECH_COMMANDS.iter().map(|words| words.iter().map(OsString::from).collect()).collect();
        Speech { commands }
    }

    /// Speaks the sentence to its end, by the first command that can. Returns that command's name.
    ///
    /// # Errors
    /// A sentence that says why none could.
    pub fn speak_and_wait(&mut self, sentence: &str) -> Result<String, String> {
        let names: Vec<String> = self.commands.iter().map(|command| command_name(command)).collect();
        let mut reason = None;
        while let Some(command) = self.commands.first() {
            let name = command_name(command);
            match start_speaking(command, sentence).and_then(wait_for_end) {
                Ok(status) if status.success() => return Ok(name),
                Ok(status) => reason = Some(format!("{name}: {status}")),
                Err(error) if error.kind() == io::ErrorKind::NotFound => {}
                Err(error) => reason = Some(format!("{name}: {error}")),
            }
            self.commands.remove(0);
        }
        let reason = reason.unwrap_or_else(|| format!("none of {} is there", names.join(", ")));
        Err(format!("nothing can be spoken ({})", sanitize(&reason)))
    }
}

fn command_name(command: &[OsString]) -> String {
    command.first().map(|program| program.to_string_lossy().into_owned()).unwrap_or_default()
}

/// Starts a speech command with the sentence as its last argument.
fn start_speaking(command: &[OsString], sentence: &str) -> io::Result<Child> {
    let (program, arguments) = command.split_first().ok_or(io::ErrorKind::NotFound)?;
    Command::new(program)
        .args(arguments)
        .arg(clean_for_speech(sentence))
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
}

/// Waits until the command has ended and takes it in, or ends it once it takes too long.
fn wait_for_end(mut child: Child) -> io::Result<ExitStatus> {
    for _ in 0..LOOKS_MAX {
        if let Some(status) = child.try_wait()? {
            return Ok(status);
        }
        std::thread::sleep(LOOK_INTERVAL);
    }
    let _ = child.kill();
    child.wait()
}

/// A sentence as a speech command may have it: one line without control characters, which does not begin like an option
/// and holds no `[[`, with which one of them is given orders.
pub fn clean_for_speech(sentence: &str) -> String {
    let line: String = sentence.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    let shown = sanitize(&line).replace("[[", "[ [");
    shown.trim_start_matches(|c: char| c == '-' || c.is_whitespace()).trim_end().to_owned()
}

#[cfg(unix)]
#[cfg(test)]
mod tests {
    use super::*;
    use crate::ui::tests::stand_in::StandIn;

    #[test]
    fn a_sentence_is_one_clean_argument_whatever_it_holds() {
        for (sentence, expected) in [
            ("Ash: lay coat 4 of 6, vertical.", "Ash: lay coat 4 of 6, vertical."),
            ("it's \"$(touch x)\" `id` $HOME; rm *: lay", "it's \"$(touch x)\" `id` $HOME; rm *: lay"),
            ("--file=/etc/passwd: lay", "file=/etc/passwd: lay"),
            ("- -x\n-y\x1b[2J\0: lay", "x -y [2J : lay"),
            ("Ash [[slnc 9]]: lay", "Ash [ [slnc 9]]: lay"),
        ] {
            let stand_in = StandIn::new();
            let child = start_speaking(&[stand_in.program(), "--wait".into()], sentence).unwrap();
            assert_eq!(stand_in.arguments(child), ["--wait", expected], "{sentence:?}");
        }
    }

    #[test]
    fn the_next_command_speaks_where_one_is_missing_or_fails_and_a_fault_is_told_once() {
        let (stand_in, failing) = (StandIn::new(), StandIn::failing());
        let missing = vec![OsString::from("/no/such/program")];
        let mut speech = Speech { commands: vec![missing.clone(), vec![failing.program()], vec![stand_in.program()]] };
        assert_eq!(speech.speak_and_wait("Ash"), Ok(stand_in.program().to_string_lossy().into_owned()));
        assert_eq!(speech.commands.len(), 1, "what failed is not tried again");
        let mut speech = Speech { commands: vec![missing] };
        assert_eq!(
            speech.speak_and_wait("Ash").unwrap_err(),
            "nothing can be spoken (none of /no/such/program is there)"
        );
        let mut speech = Speech { commands: vec![vec![failing.program()]] };
        assert!(speech.speak_and_wait("Ash").unwrap_err().contains("exit status: 1"));
    }
}
