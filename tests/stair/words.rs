//! Rust text to words, each with its line: comments and test code left out.

use proc_macro2::{Delimiter, Group, Spacing, TokenStream, TokenTree};

/// One word of source text: a name, a literal, `::`, or a single other character.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Token {
    pub text: String,
    /// From 1.
    pub line: usize,
}

/// The words of a stream in order, the brackets of its groups among them.
pub fn tokens(stream: TokenStream) -> Vec<Token> {
    let mut all = Vec::new();
    push(stream, &mut all);
    all
}

fn push(stream: TokenStream, all: &mut Vec<Token>) {
    let (mut colon, mut tick) = (false, false);
    for tree in stream {
        let line = tree.span().start().line;
        let joint = matches!(&tree, TokenTree::Punct(punct) if punct.spacing() == Spacing::Joint);
        let token = match tree {
            TokenTree::Group(group) => {
                let (open, close) = brackets(group.delimiter());
                all.push(Token { text: open.to_owned(), line });
                push(group.stream(), all);
                Token { text: close.to_owned(), line: group.span_close().start().line }
            }
            TokenTree::Punct(punct) if colon && punct.as_char() == ':' => {
                all.pop();
                Token { text: "::".to_owned(), line }
            }
            TokenTree::Ident(name) if tick => Token { text: format!("'{name}"), line },
            other => Token { text: other.to_string(), line },
        };
        (colon, tick) = (joint && token.text == ":", token.text == "'");
        all.push(token);
    }
}

fn brackets(delimiter: Delimiter) -> (&'static str, &'static str) {
    match delimiter {
        Delimiter::Parenthesis => ("(", ")"),
        Delimiter::Brace => ("{", "}"),
        Delimiter::Bracket => ("[", "]"),
        Delimiter::None => ("", ""),
    }
}

/// The stream without what stands under `#[cfg(test)]`, and the modules in other files that are kept for tests.
pub fn without_tests(stream: TokenStream) -> (TokenStream, Vec<String>) {
    let trees: Vec<TokenTree> = stream.into_iter().collect();
    let mut kept: Vec<TokenTree> = Vec::with_capacity(trees.len());
    let mut modules = Vec::new();
    let mut at = 0;
    while at < trees.len() {
        match (&trees[at], attribute(&trees, at)) {
            (_, Some(words)) if is_test(&words) => {
                let end = item_end(&trees, at);
                modules.extend(declared(&trees[at..end]));
                // What was said of the item before goes with it.
                while kept.len() > 1 && attribute(&kept, kept.len() - 2).is_some() {
                    kept.truncate(kept.len() - 2);
                }
                at = end;
                continue;
            }
            (TokenTree::Group(group), _) if group.delimiter() == Delimiter::Brace && holds_tests(group.stream()) => {
                let (inside, _) = without_tests(group.stream());
                let mut group = Group::new(Delimiter::Brace, inside);
                group.set_span(trees[at].span());
                kept.push(TokenTree::Group(group));
            }
            (tree, _) => kept.push(tree.clone()),
        }
        at += 1;
    }
    (kept.into_iter().collect(), modules)
}

/// Whether an attribute keeps anything in there for tests; most groups hold none and stay as they are.
fn holds_tests(stream: TokenStream) -> bool {
    let trees: Vec<TokenTree> = stream.into_iter().collect();
    (0..trees.len()).any(|at| match &trees[at] {
        TokenTree::Group(group) => holds_tests(group.stream()),
        _ => attribute(&trees, at).is_some_and(|words| is_test(&words)),
    })
}

/// The words inside the attribute that begins at `at`.
fn attribute(trees: &[TokenTree], at: usize) -> Option<Vec<String>> {
    match (trees.get(at)?, trees.get(at + 1)?) {
        (TokenTree::Punct(hash), TokenTree::Group(group))
            if hash.as_char() == '#' && group.delimiter() == Delimiter::Bracket =>
        {
            Some(tokens(group.stream()).into_iter().map(|t| t.text).collect())
        }
        _ => None,
    }
}

/// Whether an attribute keeps its item for tests alone.
fn is_test(attribute: &[String]) -> bool {
    let words: Vec<&str> = attribute.iter().map(String::as_str).collect();
    let all = words.starts_with(&["cfg", "(", "all", "("]);
    let plain = words == ["cfg", "(", "test", ")"];
    plain || (all && words.contains(&"test") && !words.contains(&"not") && !words.contains(&"any"))
}

/// Where the item ends whose attributes begin at `at`: after its `;`, or after its braces where no `;` must follow.
fn item_end(trees: &[TokenTree], mut at: usize) -> usize {
    while attribute(trees, at).is_some() {
        at += 2;
    }
    let says = |word: &str| trees[at..].iter().take(4).any(|t| matches!(t, TokenTree::Ident(name) if name == word));
    let to_semicolon = ["use", "let", "static", "type"].iter().any(|w| says(w)) || (says("const") && !says("fn"));
    let ends = |tree: &TokenTree| match tree {
        TokenTree::Punct(punct) => punct.as_char() == ';',
        TokenTree::Group(group) => !to_semicolon && group.delimiter() == Delimiter::Brace,
        _ => false,
    };
    trees[at..].iter().position(ends).map_or(trees.len(), |end| at + end + 1)
}

/// The name of a module that is only declared: `mod name;`.
fn declared(item: &[TokenTree]) -> Option<String> {
    match item {
        [.., TokenTree::Ident(word), TokenTree::Ident(name), TokenTree::Punct(_)] if word == "mod" => {
            Some(name.to_string())
        }
        _ => None,
    }
}
