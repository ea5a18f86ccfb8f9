//! What the tests of the real program share: a data directory of their own, running a command, and reading what it said.
//!
//! Whoever waits, waits for a condition, until a deadline.

#![allow(dead_code, reason = "each test program uses its own part")]

pub mod screen;

use serde_json::Value;
use std::ffi::OsStr;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::time::Duration;
use tempfile::TempDir;

/// How long anything may take before a test gives it up; far above what any of it takes.
pub const PATIENCE: Duration = Duration::from_secs(10);

/// A place where panels are kept, of one test's own, with a clock set to UTC and no settings.
pub struct Shop {
    dir: TempDir,
}

/// What a command did.
#[derive(Debug)]
pub struct Ran {
    /// Its exit code; none where a signal ended it.
    pub code: Option<i32>,
    /// What it wrote to stdout.
    pub out: String,
    /// What it wrote to stderr.
    pub err: String,
}

impl From<Output> for Ran {
    fn from(output: Output) -> Ran {
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("all that is written is UTF-8");
        Ran { code: output.status.code(), out: text(output.stdout), err: text(output.stderr) }
    }
}

impl Ran {
    /// Its one sentence, told on stderr.
    pub fn sentence(&self) -> &str {
        let mut lines = self.err.lines();
        let said = lines.next().unwrap_or_default();
        assert!(lines.next().is_none(), "more than one sentence: {}", self.err);
        said.strip_prefix("sottile: ").unwrap_or_else(|| panic!("nobody says this: {:?}", self.err))
    }
}

/// The variables that could change what the program does, taken out of a test's surroundings.
const OURS: [&str; 10] = [
    "SOTTILE_DATA",
    "SOTTILE_CONFIG",
    "NO_COLOR",
    "CLICOLOR_FORCE",
    "XDG_DATA_HOME",
    "XDG_CONFIG_HOME",
    "TMUX",
    "STY",
    "TERM_PROGRAM",
    "RUST_BACKTRACE",
];

impl Shop {
    pub fn new() -> Shop {
        Shop { dir: TempDir::new().expect("a temporary directory") }
    }

    /// The directory of the test, where it may put what it likes.
    pub fn dir(&self) -> &Path {
        self.dir.path()
    }

    /// Where the program keeps its data.
    pub fn data(&self) -> PathBuf {
        self.dir().join("data")
    }

    /// The journal of a panel.
    pub fn journal(&self, id: &str) -> PathBuf {
        self.data().join("panels").join(format!("{id}.jsonl"))
    }

    /// What a run of the program is to find around it: name and value.
    pub fn surroundings(&self) -> Vec<(&'static str, PathBuf)> {
        vec![("SOTTILE_DATA", self.data()), ("HOME", self.dir().join("home")), ("TZ", "UTC".into())]
    }

    /// Any command, with those surroundings.
    pub fn of<S: AsRef<OsStr>>(&self, program: S) -> Command {
        let mut command = Command::new(program);
        for name in OURS {
            command.env_remove(name);
        }
        command.envs(self.surroundings()).current_dir(self.dir()).stdin(Stdio::null());
        command
    }

    /// The program.
    pub fn command(&self, args: &[&str]) -> Command {
        let mut command = self.of(program());
        command.args(args);
        command
    }

    /// Runs the program to its end.
    pub fn run(&self, args: &[&str]) -> Ran {
        self.command(args).output().expect("the program starts").into()
    }

    /// Runs the program, which must do what it is asked. Returns what it wrote to stdout.
    pub fn done(&self, args: &[&str]) -> String {
        let ran = self.run(args);
        assert_eq!(ran.code, Some(0), "{args:?}: {ran:?}");
        ran.out
    }

    /// Runs the program, which must print one JSON object and nothing else, whatever its exit code.
    pub fn json(&self, args: &[&str]) -> Value {
        let ran = self.run(args);
        serde_json::from_str(&ran.out).unwrap_or_else(|e| panic!("{args:?}: {e}: {ran:?}"))
    }

    /// Where a panel stands.
    pub fn show(&self, panel: &str) -> Value {
        self.json(&["show", panel, "--json"])
    }

    /// Opens a panel that nothing is special about, a good while ago, and returns its id.
    pub fn panel(&self, label: &str) -> String {
        self.done(&[
            "new",
            label,
            "--size",
            "300x400x12mm",
            "--recipe",
            "gypsum-titanium",
            "--at",
            "2026-03-02T09:00:00Z",
        ])
        .trim()
        .to_owned()
    }

    /// Opens a panel whose recipe is as short as a recipe can be, and returns its id.
    pub fn short_panel(&self, label: &str, at: &str) -> String {
        let recipe = self.short_recipe();
        let recipe = recipe.to_str().expect("a plain path");
        self.done(&["new", label, "--size", "300x400x12mm", "--recipe", recipe, "--at", at]).trim().to_owned()
    }

    /// A recipe with one coat of everything and waits of a minute or an hour.
    pub fn short_recipe(&self) -> PathBuf {
        let path = self.dir().join("short.toml");
        std::fs::write(&path, SHORT).expect("the recipe is written");
        path
    }

    /// The facts of a panel that stand, oldest first, by their names.
    pub fn facts(&self, panel: &str) -> Vec<String> {
        let story = self.show(panel);
        let standing = story["facts"].as_array().expect("facts").iter().filter(|f| f["undone"] == false);
        standing.map(|f| f["fact"].as_str().expect("a name").to_owned()).collect()
    }

    /// Checks every journal: they must be sound.
    pub fn sound(&self) {
        let ran = self.run(&["verify"]);
        assert_eq!(ran.code, Some(0), "{ran:?}");
    }
}

/// The program as it was built for this test.
pub fn program() -> PathBuf {
    PathBuf::from(env!("CARGO_BIN_EXE_sottile"))
}

const SHORT: &str = r#"
format = 1
name = "short"
title = "One coat of everything"
suits = ["oil"]
[size]
glue_g_per_l_water = 70.0
faces = "front"
coats_per_face = 1
cure_h = 1.0
wait_min = 1.0
[gesso]
glue_g_per_l_water = 70.0
fillers = [{ name = "gypsum dihydrate", ml_per_100_ml_size = 100.0 }]
[stipple]
wait_min = 1.0
[coats]
front = 2
wait_min = 1.0
dry_min = 1.0
[scrape]
[check]
columns = 2
rows = 2
[rest]
hours = 1.0
[seal]
with = "shellac"
resin_g_per_l_spirit = 120.0
wait_min = 1.0
[sand]
grit = "P400"
"#;

/// Whether that program can be run here; where it cannot, says so and what is passed over for it.
pub fn has(program: &str, passed_over: &str) -> bool {
    let path = std::env::var_os("PATH").unwrap_or_default();
    let there = std::env::split_paths(&path).any(|dir| dir.join(program).is_file());
    if !there {
        // Written past the test harness, which would swallow it.
        let _ = writeln!(std::io::stderr(), "{program} is not here: {passed_over} is not tried");
    }
    there
}
