//! Paths as lists of names, and paths in tokens that are no Rust yet.

use crate::words::Token;

/// Names from the root of the crate or from some module.
pub type Path = Vec<String>;

/// The module called `name` in `module`.
pub fn below(module: &[String], name: &str) -> Path {
    let mut path = module.to_vec();
    path.push(name.to_owned());
    path
}

/// The library goes by two names: `main.rs` says `sottile`.
pub fn root(name: &str) -> String {
    if name == "sottile" { "crate".to_owned() } else { name.to_owned() }
}

/// Whether a name is written as functions, variables and modules are.
pub fn is_small(name: &str) -> bool {
    name.starts_with(|c: char| c.is_lowercase() || c == '_')
}

/// A path written with `crate`, `super` or `self`, from the root of the crate.
pub fn from_root(module: &[String], path: &[String]) -> Option<Path> {
    let mut base = match path.first()?.as_str() {
        "crate" => Path::new(),
        "super" | "self" => module.to_vec(),
        _ => return None,
    };
    for name in path {
        match name.as_str() {
            "crate" | "self" => {}
            "super" => drop(base.pop()),
            name => base.push(name.to_owned()),
        }
    }
    Some(base)
}

/// What looks like a path, with its line. A lone small name counts only where it is called.
pub fn in_tokens(tokens: &[Token]) -> Vec<(Path, usize)> {
    let text = |at: usize| tokens.get(at).map_or("", |t| t.text.as_str());
    let mut found = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        let begin = at;
        let mut path = Path::new();
        while is_name(text(at)) {
            path.push(root(text(at)));
            if text(at + 1) != "::" || !is_name(text(at + 2)) {
                break;
            }
            at += 2;
        }
        let lone = path.len() == 1;
        let told = !lone || !is_small(&path[0]) || (text(at + 1) == "(" && path[0] != "crate");
        if !path.is_empty() && told && begins(tokens, begin) {
            found.push((path, tokens[begin].line));
        }
        at += 1;
    }
    found
}

/// Whether a path can begin here: not behind `::`, not a method or field, not a macro's variable.
fn begins(tokens: &[Token], at: usize) -> bool {
    let before = |back: usize| at.checked_sub(back).map_or("", |i| tokens[i].text.as_str());
    match before(1) {
        "." => before(2) == ".",
        "$" => tokens[at].text == "crate",
        word => !matches!(word, "::" | "fn" | "let"),
    }
}

fn is_name(word: &str) -> bool {
    word.starts_with(|c: char| c.is_alphabetic() || c == '_')
}
