//! Planted rooms: which uses make a circle of two files, and which do not.

use crate::House;
use crate::circles::Arrows;

fn house(files: &[(&str, &str)]) -> House {
    House::of(&files.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect::<Vec<_>>())
}

fn circles(files: &[(&str, &str)]) -> Vec<Vec<String>> {
    let circles = Arrows::of(&house(files).files).circles();
    circles.into_keys().map(|modules| modules.into_iter().collect()).collect()
}

/// A room with a head and two files; the second uses the first.
fn room<'t>(head: &'t str, one: &'t str, two: &'t str) -> [(&'static str, &'t str); 3] {
    [("app/mod.rs", head), ("app/one.rs", one), ("app/two.rs", two)]
}

const ONE: &str = "pub struct One; pub const SIZE: u8 = 1; pub fn one() {} pub enum Way { Up }";

#[test]
fn two_files_that_use_each_other_are_a_circle() {
    let two = "use super::one::One;\npub struct Two; pub const FAR: u8 = 1; pub fn two() {} pub enum Kind { A }";
    for use_of_two in [
        "use super::two::Two;",
        "use super::two::{self, Two as Other};",
        "use super::{two as other}; fn f() { other::two(); }",
        "use crate::app::two; fn f(x: Vec<two::Two>) {}",
        "use super::*; fn f() -> two::Two {}",
        "use super::two::*;",
        "use super::Two;",
        "use super::Second;",
        "use super::*; fn f(x: Two) {}",
        "use super::*; fn f() { let two = two(); }",
        "use super::*; fn f() { x.map(two) }",
        "use super::*; fn f() { match x { FAR => {} } }",
        "fn f() { super::two::Kind::A; }",
        "fn f() { use super::two::Kind::*; }",
        "fn f() { format!(\"{}\", super::two::FAR) }",
        "impl super::two::Two { fn f() {} }",
        "mod inner { use super::super::two::Two; }",
        "#[arg(value_parser = super::two::two)]\nfn f() {}",
    ] {
        let one = format!("{ONE} {use_of_two}");
        let head = "mod one; mod two; pub use two::{FAR, Two, two}; pub(crate) use self::two::Two as Second;";
        assert_eq!(circles(&room(head, &one, two)), [["app/one", "app/two"]], "{use_of_two}");
    }
}

#[test]
fn what_only_looks_like_a_use_makes_no_circle() {
    let two = "use super::one::One;\npub struct Two; pub fn two() {}";
    for text in [
        "use super::two;",
        "use super::*; fn f() { let two = 1; two + 1 }",
        "use super::*; fn f(x: u8) { x.two(); x.two; html! { two { \"Two\" } } }",
        "use super::*; struct Two; fn f(x: Two) {}",
        "use other::two::Two; use ::app::two::Two as Three;",
        "// super::two::Two\nfn f() { \"super::two::Two\" }",
        "#[cfg(test)]\nmod tests { use super::super::two::Two; }",
    ] {
        let one = format!("{ONE} {text}");
        assert!(circles(&room("mod one; mod two; pub use two::{Two, two};", &one, two)).is_empty(), "{text}");
    }
}

#[test]
fn a_head_that_only_hands_on_needs_no_child() {
    let two = "use super::{One, Shared, SIZE};";
    assert!(circles(&room("mod one; mod two; pub use one::*; pub struct Shared;", ONE, two)).is_empty());
    let head = "mod one; mod two; pub use two::Two; pub struct Shared;";
    let two = "use super::Shared; pub struct Two;";
    assert!(circles(&room(head, ONE, two)).is_empty());
    for said in ["fn f(x: Two) {}", "use two::Two as T;", "fn f() { matches!(x, two::Two::A) }", "impl Two {}"] {
        let head = format!("{head} {said}");
        assert_eq!(circles(&room(&head, ONE, two)), [["app", "app/two"]], "{said}");
    }
}

#[test]
fn a_file_that_hands_on_what_is_not_its_child_uses_it() {
    let one = format!("{ONE} pub use super::two::Two;");
    assert_eq!(circles(&room("", &one, "use super::one::One; pub struct Two;")), [["app/one", "app/two"]]);
    let three = [("app/three.rs", "use super::one::Two; pub struct Three;")];
    let files = [room("", &one, "use super::three::Three; pub struct Two;").as_slice(), &three].concat();
    assert_eq!(circles(&files), [["app/three", "app/two"]], "what is handed on is used where it stands");
}

#[test]
fn what_a_macro_makes_stands_where_the_macro_is_called() {
    let two = "use super::one::One; quantity!(Grams);";
    assert_eq!(circles(&room("", "pub struct One; use super::two::Grams;", two)), [["app/one", "app/two"]]);
}

#[test]
fn a_circle_goes_through_many_files_and_is_told_with_its_arrows() {
    let three = [("app/three.rs", "use super::one::One;\n\npub struct Three;")];
    let one = "\nuse super::two::Two;\npub struct One; fn f(x: Two) {}";
    let house = house(&[room("", one, "pub struct Two(super::three::Three);").as_slice(), &three].concat());
    let told = "a circle of 3 files: app/one, app/three, app/two\n  \
        src/app/one.rs:2 uses app/two.rs: `super::two::Two`, and 1 more\n  \
        src/app/two.rs:1 uses app/three.rs: `super::three::Three`\n  \
        src/app/three.rs:1 uses app/one.rs: `super::one::One`\n";
    assert_eq!(Arrows::of(&house.files).findings(), [told]);
}
