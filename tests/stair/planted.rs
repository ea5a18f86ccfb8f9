//! Planted files: every rule of the rooms and the words can fail.

use crate::House;
use crate::rules::Finding;

fn findings(file: &str, text: &str) -> Vec<Finding> {
    House::of(&[(file.to_owned(), text.to_owned())]).findings()
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
fn a_room_is_used_wherever_it_is_named() {
    for text in [
        "fn f(x: Vec<crate::app::App>) {}",
        "impl crate::app::App for u8 {}",
        "fn f() { match x { crate::app::App { .. } => {} } }",
        "fn f() { write!(out, \"{}\", crate::app::App::new()) }",
        "fn f() { html! { p { (crate::app::App) } @for x in 0..crate::app::App {} } }",
        "macro_rules! m { () => { $crate::app::App } }",
        "#[arg(value_parser = crate::app::App)]\nfn f() {}",
        "fn f() { use crate::app::App as _; }",
    ] {
        assert!(findings("text.rs", text).iter().any(|f| f.word.starts_with("app::App")), "{text}");
    }
}

#[test]
fn some_words_are_said_only_in_some_rooms() {
    for (file, text, word) in [
        ("bench.rs", "fn f() { let t = Utc::now(); }", ":: now ("),
        ("ui/mod.rs", "use std::time::Instant;", "Instant"),
        ("cli/mod.rs", "fn f() { std::time::SystemTime::UNIX_EPOCH }", "SystemTime"),
        ("work/panel/fold.rs", "use crate::clock::Clock;", "crate :: clock"),
        ("work/panel/fold.rs", "use crate::{clock::Clock, units};", "crate :: clock"),
        ("work/panel/event.rs", "#[derive(serde::Serialize)]\nstruct S;", "serde"),
        ("app/mod.rs", "use ratatui::layout::Rect;", "ratatui"),
        ("cli/mod.rs", "fn f() { crossterm::terminal::size() }", "crossterm"),
        ("review/mod.rs", "use std::{fs, io};", "fs"),
        ("bench.rs", "fn f() { anyhow::bail!() }", "anyhow"),
        ("lib.rs", "use serde::Serialize as S;", "serde"),
    ] {
        assert!(findings(file, text).iter().any(|f| f.word == word), "{file} may say {text}");
    }
    check("clock.rs", "fn f() { let t = chrono::Local::now(); Instant::now(); }", &[]);
    check("record/shelf/mod.rs", "use std::fs; use serde::Deserialize;", &[]);
    check("record/mod.rs", "use std::fs;", &[]);
    check("cli/mod.rs", "use anyhow::Result; use crate::clock::Clock; fn f() { let t = clock.now(); }", &[]);
    let rule = &findings("text.rs", "use ratatui::layout::Rect;")[0].rule;
    assert_eq!(rule, "the terminal only in ui");
}

#[test]
fn whoever_expects_gives_a_reason() {
    let body = |text: &str| format!("fn f() {{ x\n.{text}; }}");
    for text in
        ["unwrap()", "expect(\"\")", "expect(\" \")", "expect(reason)", "expect(&format!(\"a\"))", "expect(b\"a\")"]
    {
        let word = if text == "unwrap()" { ". unwrap (" } else { ". expect (" };
        check("cli/mod.rs", &body(text), &[(2, word)]);
    }
    check("cli/mod.rs", "fn f() { format!(\"{}\", x.unwrap()) }", &[(1, ". unwrap (")]);
    for text in ["expect(\"a list is never empty\")", "expect(\n r#\"there\"#,\n)", "unwrap_or_default()"] {
        check("cli/mod.rs", &body(text), &[]);
    }
}

#[test]
fn comments_strings_and_tests_are_not_read() {
    for text in [
        "// x.unwrap()\n/* fs /* serde */ anyhow */\n/// crate::ui::Draw\nfn f() {}",
        "fn f() { let s = \"x.unwrap() \\\" serde\"; let r = r#\"fs \" anyhow\"#; }",
        "fn f<'fs>(x: &'fs str) -> char { '\\u{1f}' }",
        "#[cfg(test)]\nmod tests {\n    use super::*;\n    fn f() { x.unwrap(); { std::fs::read(y) } }\n}",
        "#[cfg(test)]\nuse serde::{Serialize};\n#[cfg(all(test, unix))]\n#[allow(dead_code)]\nfn f(x: [u8; 3]) { x.unwrap() }",
        "impl S {\n#[cfg(test)]\nconst fn f() -> u8 { x.unwrap() }\n#[cfg(test)]\nconst C: T = T { a: b.unwrap() };\n}",
        "fn f() {\n#[cfg(test)]\nlet x = { y.unwrap() };\n}",
        "impl S {\n/// Words.\n#[must_use]\n#[cfg(test)]\nfn f() { x.unwrap() }\n}",
    ] {
        check("units.rs", text, &[]);
    }
    for file in ["work/panel/tests.rs", "work/panel/fold_tests.rs", "work/panel/tests/late.rs"] {
        check(file, "use crate::ui::Draw; fn f() { x.unwrap() }", &[]);
    }
    let after = "fn f() { y.unwrap() }";
    check("units.rs", &format!("#[cfg(test)]\nmod tests {{ fn f() {{ x.unwrap() }} }}\n{after}"), &[(3, ". unwrap (")]);
    check("units.rs", &format!("#[cfg(test)]\nmod tests;\n{after}"), &[(3, ". unwrap (")]);
    check("units.rs", &format!("#[cfg(not(test))]\n{after}"), &[(2, ". unwrap (")]);
    check("units.rs", &format!("const S: &str = \"\n\n\\\n\"; {after}"), &[(4, ". unwrap (")]);
}

#[test]
fn a_file_declared_for_tests_is_not_read() {
    let house = |declared: &str| {
        let files = [("text.rs", declared), ("text/samples.rs", "use crate::ui::Draw;")];
        House::of(&files.map(|(name, text)| (name.to_owned(), text.to_owned()))).findings()
    };
    assert_eq!(house("#[cfg(test)]\npub(crate) mod samples;"), []);
    assert_eq!(house("mod samples;").len(), 1);
}

#[test]
fn what_is_not_rust_is_a_finding() {
    check("text.rs", "fn f() {}\nfn g( {}", &[(2, "text.rs")]);
    check("text.rs", "fn f() {}\nfn fn", &[(2, "text.rs")]);
}
