//! The stair: reads `src/` and holds the order of the house. Each room uses only rooms above it, and some words may be
//! said only in some rooms. A new room is given its place in [`ROOMS`]; a file without one is a finding.
//!
//! Test code (`#[cfg(test)]`, `tests.rs`, `*_tests.rs`, `tests/`) is not held to it.

#[path = "stair/scan.rs"]
mod scan;

use scan::{Source, Token};
use std::fmt;
use std::path::{Path, PathBuf};

/// Every room from the top of the stair to its foot, and what it may say that others may not.
const ROOMS: &[(&str, &[Charge])] = &[
    ("units", &[]),
    ("clock", &[Charge::Time]),
    ("text", &[]),
    ("figures", &[]),
    ("craft/physics", &[]),
    ("craft/materials", &[]),
    ("craft/recipe", &[Charge::Serde]),
    ("craft/quantities", &[]),
    ("config", &[Charge::Serde, Charge::Files]),
    ("work/story", &[]),
    ("work/panel", &[]),
    ("work/pot", &[]),
    ("work/air", &[]),
    ("work/learn", &[]),
    ("work/advice", &[]),
    ("record/files", &[Charge::Files]),
    ("record/watch", &[Charge::Files]),
    ("record/journal", &[Charge::Files, Charge::Serde]),
    ("record/shelf", &[Charge::Files, Charge::Serde]),
    ("record/demo", &[Charge::Files]),
    ("review", &[Charge::Serde]),
    ("bench", &[Charge::Clock]),
    ("app", &[]),
    ("ui", &[Charge::Clock, Charge::Terminal]),
    ("cli", &[Charge::Clock, Charge::Files, Charge::Serde, Charge::Anyhow]),
    ("main", &[Charge::Clock, Charge::Anyhow]),
];

/// Words that only some rooms may say: as tokens separated by spaces, and the rule.
const WORDS: &[(Charge, &[&str], &str)] = &[
    (Charge::Time, &[":: now (", "Instant", "SystemTime"], "only clock reads a clock"),
    (Charge::Clock, &["crate :: clock"], "only bench, ui, cli and main are handed a clock; time is an argument"),
    (
        Charge::Serde,
        &["serde", "serde_json", "Serialize", "Deserialize"],
        "serde only in craft/recipe, config, record/journal, record/shelf, review and cli",
    ),
    (Charge::Terminal, &["ratatui", "crossterm"], "the terminal only in ui"),
    (Charge::Files, &["fs"], "files only in record, config and cli"),
    (Charge::Anyhow, &["anyhow"], "anyhow only in cli; elsewhere a failure is a named variant"),
    (Charge::Nobody, &[". unwrap (", ". expect ("], "no unwrap and no expect outside tests"),
];

/// What a room can be allowed to say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Charge {
    Time,
    Clock,
    Serde,
    Terminal,
    Files,
    Anyhow,
    Nobody,
}

/// A place that breaks a rule.
#[derive(Debug, PartialEq, Eq)]
struct Finding {
    file: String,
    line: usize,
    word: String,
    rule: String,
}

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}: `{}`: {}", self.file, self.line, self.word, self.rule)
    }
}

/// Where a module stands on the stair: a room, or the head of a wing, which stands at the foot of its wing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Place {
    level: usize,
    room: Option<usize>,
}

/// The place of a module or of something in it; none if the table has no such room.
fn place(module: &[String]) -> Option<Place> {
    let within = |room: &str| {
        let mut parts = room.split('/');
        let mut given = module.iter();
        parts.all(|part| given.next().is_some_and(|g| g == part))
    };
    if let Some(room) = ROOMS.iter().position(|(room, _)| within(room)) {
        return Some(Place { level: room, room: Some(room) });
    }
    let wing = module.first()?;
    let foot = ROOMS.iter().rposition(|(room, _)| room.split_once('/').is_some_and(|(w, _)| w == wing))?;
    Some(Place { level: foot, room: None })
}

/// The name of the wing or room at a place, for a finding.
fn name(place: Place) -> String {
    let (room, _) = ROOMS[place.level];
    match (place.room, room.split_once('/')) {
        (None, Some((wing, _))) => format!("{wing} (its head stands at the foot of the wing)"),
        (Some(_), _) | (None, None) => room.to_owned(),
    }
}

fn may(module: &[String], charge: Charge) -> bool {
    let Some(at) = place(module) else { return false };
    match at.room {
        Some(room) => ROOMS[room].1.contains(&charge),
        None => ROOMS
            .iter()
            .any(|(room, may)| room.split('/').next() == module.first().map(String::as_str) && may.contains(&charge)),
    }
}

/// Every finding in one file, given by its path below `src/`.
fn findings(file: &str, text: &str) -> Vec<Finding> {
    if is_test_file(file) {
        return Vec::new();
    }
    let module = module_of(file);
    let source = Source::read(text);
    let mut found = Vec::new();
    let finding = |line: usize, word: &str, rule: String| Finding {
        file: format!("src/{file}"),
        line,
        word: word.to_owned(),
        rule,
    };
    let Some(own) = place(&module).or((file == "lib.rs").then_some(Place { level: ROOMS.len(), room: None })) else {
        return vec![finding(1, file, "this file has no room in the table of tests/stair.rs".to_owned())];
    };
    for used in source.paths(&module) {
        let word = used.path.join("::");
        match place(&used.path) {
            Some(at) if at.level > own.level => {
                let rule = format!("{} stands below {} on the stair", name(at), name(own));
                found.push(finding(used.line, &word, rule));
            }
            None if !used.path.is_empty() && file != "lib.rs" && file != "main.rs" => {
                found.push(finding(used.line, &word, "no such room in the table of tests/stair.rs".to_owned()));
            }
            Some(_) | None => {}
        }
    }
    for &(charge, patterns, rule) in WORDS {
        if may(&module, charge) || (charge == Charge::Clock && module == ["clock"]) {
            continue;
        }
        for pattern in patterns {
            found.extend(said(&source.tokens, pattern).map(|line| finding(line, pattern, rule.to_owned())));
        }
    }
    found.sort_by_key(|f| f.line);
    found
}

/// The lines on which `pattern`, tokens separated by spaces, is said.
fn said(tokens: &[Token], pattern: &str) -> impl Iterator<Item = usize> {
    let words: Vec<&str> = pattern.split(' ').collect();
    tokens
        .windows(words.len())
        .filter(move |w| w.iter().map(|t| t.text.as_str()).eq(words.iter().copied()))
        .map(|w| w[0].line)
}

fn is_test_file(file: &str) -> bool {
    let mut parts = file.rsplit('/');
    let last = parts.next().unwrap_or_default();
    last == "tests.rs" || last.ends_with("_tests.rs") || parts.any(|dir| dir == "tests")
}

/// `work/panel/event.rs` is the module work, panel, event; a `mod.rs` is its directory.
fn module_of(file: &str) -> Vec<String> {
    let mut parts: Vec<String> = file.trim_end_matches(".rs").split('/').map(str::to_owned).collect();
    if parts.last().is_some_and(|p| p == "mod") || parts == ["lib"] {
        parts.pop();
    }
    parts
}

/// Every Rust file below `dir`, in order.
fn files_below(dir: &Path) -> std::io::Result<Vec<PathBuf>> {
    let mut files = Vec::new();
    for entry in std::fs::read_dir(dir)? {
        let path = entry?.path();
        if path.is_dir() {
            files.extend(files_below(&path)?);
        } else if path.extension().is_some_and(|e| e == "rs") {
            files.push(path);
        }
    }
    files.sort();
    Ok(files)
}

#[test]
fn the_house_stands() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let files = files_below(&src).unwrap();
    let mut found = Vec::new();
    let mut tokens = 0;
    for path in &files {
        let file = path.strip_prefix(&src).unwrap().to_str().unwrap().replace('\\', "/");
        let text = std::fs::read_to_string(path).unwrap();
        tokens += Source::read(&text).tokens.len();
        found.extend(findings(&file, &text));
    }
    let told: Vec<String> = found.iter().map(Finding::to_string).collect();
    assert!(told.is_empty(), "\n{}\n", told.join("\n"));
    assert!(files.len() >= 5 && tokens > 1000, "only {} files with {tokens} words were read", files.len());
}

/// What is found in a planted file, as (line, word).
fn check(file: &str, text: &str, meant: &[(usize, &str)]) {
    let found = findings(file, text);
    let short: Vec<(usize, &str)> = found.iter().map(|f| (f.line, f.word.as_str())).collect();
    assert_eq!(short, meant, "in {file}:\n{text}");
}

#[test]
fn a_room_uses_only_what_stands_above_it() {
    check("work/panel/event.rs", "use crate::craft::recipe::Recipe;\nuse crate::units::Span;", &[]);
    check("craft/recipe/mod.rs", "use super::materials::Filler;", &[]);
    check("craft/materials.rs", "\nuse super::recipe::Paint;", &[(2, "craft::recipe::Paint")]);
    check("units.rs", "fn f() { crate::text::clean(\"\"); }", &[(1, "text::clean")]);
    check("work/panel/fold.rs", "use super::event::Event;\nuse super::super::pot::Pot;", &[(2, "work::pot::Pot")]);
    check("work/advice/mod.rs", "use super::panel::event::Event;", &[]);
    check(
        "app/mod.rs",
        "use crate::{bench::Bench, units::{Stamp, Span}, ui::{self, draw::Frame}};",
        &[(1, "ui"), (1, "ui::draw::Frame")],
    );
    check("work/pot/mod.rs", "use crate::work;\nuse crate::craft;", &[(1, "work")]);
    check("work/pot/mod.rs", "use super::*;", &[(1, "work")]);
    check("record/journal/line.rs", "use crate::work::panel::event::*;\nuse crate::bench::*;", &[(2, "bench")]);
    check("bench.rs", "use crate::kitchen::Sink;", &[(1, "kitchen::Sink")]);
    check("kitchen.rs", "", &[(1, "kitchen.rs")]);
    check("main.rs", "fn main() { sottile::inside::run() }", &[]);
    check("lib.rs", "mod units;\nmod ui;", &[]);
    check("work/mod.rs", "pub use self::plan::Plan;\npub(in crate::work) use panel::event::Event;", &[]);
    check("text.rs", "mod inner { use super::super::app::App; use super::clean; }", &[(1, "app::App")]);
    check("text.rs", "mod inner { }\nuse super::app::App;", &[(2, "app::App")]);
}

#[test]
fn some_words_are_said_only_in_some_rooms() {
    for (file, text, word) in [
        ("bench.rs", "let t = Utc::now();", ":: now ("),
        ("ui/mod.rs", "use std::time::Instant;", "Instant"),
        ("cli/mod.rs", "std::time::SystemTime::UNIX_EPOCH", "SystemTime"),
        ("work/panel/fold.rs", "use crate::clock::Clock;", "crate :: clock"),
        ("work/panel/event.rs", "#[derive(serde::Serialize)]", "serde"),
        ("app/mod.rs", "use ratatui::layout::Rect;", "ratatui"),
        ("cli/mod.rs", "crossterm::terminal::size()", "crossterm"),
        ("review/mod.rs", "use std::{fs, io};", "fs"),
        ("bench.rs", "anyhow::bail!()", "anyhow"),
        ("record/files.rs", "x.unwrap()", ". unwrap ("),
        ("cli/mod.rs", "x\n    .expect(\"there\")", ". expect ("),
        ("lib.rs", "use serde::Serialize as S;", "serde"),
    ] {
        assert!(findings(file, text).iter().any(|f| f.word == word), "{file} may say {text}");
    }
    check("clock.rs", "let t = chrono::Local::now(); Instant::now();", &[]);
    check("record/shelf/mod.rs", "use std::fs; use serde::Deserialize;", &[]);
    check("record/mod.rs", "use std::fs;", &[]);
    check("cli/mod.rs", "use anyhow::Result; let t = clock.now(); use crate::clock::Clock;", &[]);
    check("ui/mod.rs", "x.unwrap_or_default(); let now = now();", &[]);
}

#[test]
fn comments_strings_and_tests_are_not_read() {
    for text in [
        "// x.unwrap()\n/* fs /* serde */ anyhow */\n/// crate::ui::Draw\n//! Instant",
        "let s = \"x.unwrap() \\\" serde\"; let r = r#\"fs \" anyhow\"#; let b = br\"serde\"; let c = '\"'; let d = '\\''; let e = b'\"';",
        "fn f<'a>(x: &'a str) -> char { '\\u{1f}' }",
        "#[cfg(test)]\nmod tests {\n    use super::*;\n    fn f() { x.unwrap(); { std::fs::read(y) } }\n}",
        "#[cfg(test)]\nuse serde::{Serialize};\n#[cfg(all(test, unix))]\n#[allow(dead_code)]\nfn f(x: [u8; 3]) { x.unwrap() }",
    ] {
        check("units.rs", text, &[]);
    }
    for file in ["work/panel/tests.rs", "work/panel/fold_tests.rs", "work/panel/tests/late.rs"] {
        check(file, "x.unwrap(); use crate::ui::Draw;", &[]);
    }
    check("units.rs", "#[cfg(test)]\nmod tests { x.unwrap() }\ny.unwrap()", &[(3, ". unwrap (")]);
    check("units.rs", "#[cfg(test)]\nmod tests;\ny.unwrap()", &[(3, ". unwrap (")]);
    check("units.rs", "#[cfg(not(test))]\nfn f() { y.unwrap() }", &[(2, ". unwrap (")]);
    check("units.rs", "let c = 'x'; y.unwrap(); let l: &'static str;", &[(1, ". unwrap (")]);
    check("units.rs", "let s = \"\n\n\\\n\"; y.unwrap()", &[(4, ". unwrap (")]);
}
