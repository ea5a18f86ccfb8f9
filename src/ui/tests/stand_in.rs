//! A command that stands in for another in tests: a script that writes down its arguments and its environment.

use std::ffi::OsString;
use std::os::unix::fs::PermissionsExt;
use std::path::PathBuf;
use std::process::Child;
use std::time::{Duration, Instant};

/// The script, in a directory of its own.
pub struct StandIn {
    dir: tempfile::TempDir,
}

impl StandIn {
    /// One that succeeds.
    pub fn new() -> StandIn {
        StandIn::ending_with(0)
    }

    /// One that fails.
    pub fn failing() -> StandIn {
        StandIn::ending_with(1)
    }

    fn ending_with(status: i32) -> StandIn {
        let stand_in = StandIn { dir: tempfile::tempdir().unwrap() };
        let dir = stand_in.dir.path().display();
        // Arguments end in a nought, so that one with line breaks stays one.
        let script = format!(
            "#!/bin/sh\nfor argument do printf '%s\\0' \"$argument\"; done >'{dir}/arguments'\n\
             env -0 >'{dir}/environment'\nexit {status}\n"
        );
        let path = stand_in.path();
        std::fs::write(&path, script).unwrap();
        std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o700)).unwrap();
        stand_in
    }

    fn path(&self) -> PathBuf {
        self.dir.path().join("stand-in")
    }

    /// What is to be started.
    pub fn program(&self) -> OsString {
        self.path().into_os_string()
    }

    /// The arguments it was given, once it has ended.
    pub fn arguments(&self, child: Child) -> Vec<String> {
        wait_until_ended(child);
        self.read("arguments")
    }

    /// The value of each of those variables it was given; empty for one that was not.
    pub fn variables<const N: usize>(&self, names: [&str; N]) -> [String; N] {
        let all = self.read("environment");
        names.map(|name| {
            let value = |line: &String| Some(line.strip_prefix(name)?.strip_prefix('=')?.to_owned());
            all.iter().find_map(value).unwrap_or_default()
        })
    }

    fn read(&self, file: &str) -> Vec<String> {
        let bytes = std::fs::read(self.dir.path().join(file)).unwrap();
        let text = String::from_utf8(bytes).unwrap();
        text.split_terminator('\0').map(str::to_owned).collect()
    }
}

fn wait_until_ended(mut child: Child) {
    let begun = Instant::now();
    while child.try_wait().unwrap().is_none() {
        assert!(begun.elapsed() < Duration::from_secs(60), "the stand-in does not end");
        std::thread::yield_now();
    }
}
