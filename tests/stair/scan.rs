//! Rust text to words: comments, strings and test code left out, each word with its line, and the paths that are used.
//!
//! Absent on purpose: the rules.

/// One word of source text: a name, `::`, or a single other character.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Token {
    /// The word.
    pub text: String,
    /// Its line, from 1.
    pub line: usize,
}

/// A path in use, from the root of the crate.
#[derive(Debug, PartialEq, Eq)]
pub struct Used {
    /// Its names; a glob is the module it opens.
    pub path: Vec<String>,
    /// The line.
    pub line: usize,
}

/// The words of a file outside comments, strings and test code.
#[derive(Debug)]
pub struct Source {
    /// In order.
    pub tokens: Vec<Token>,
}

impl Source {
    /// Reads a file's text.
    pub fn read(text: &str) -> Source {
        Source { tokens: without_tests(tokens(&blanked(text))) }
    }

    /// Every path that begins with `crate`, `super`, `self` or the crate's own name, in a file of module `own`.
    pub fn paths(&self, own: &[String]) -> Vec<Used> {
        let mut used = Vec::new();
        let mut inner: Vec<(String, usize)> = Vec::new();
        let mut depth = 0;
        for at in 0..self.tokens.len() {
            match self.text(at) {
                "{" => {
                    depth += 1;
                    if at >= 2 && self.text(at - 2) == "mod" {
                        inner.push((self.text(at - 1).to_owned(), depth));
                    }
                }
                "}" => {
                    inner.pop_if(|(_, opened)| *opened == depth);
                    depth = depth.saturating_sub(1);
                }
                root @ ("crate" | "sottile" | "super" | "self") if self.begins_path(at) => {
                    let mut base = own.to_vec();
                    base.extend(inner.iter().map(|(name, _)| name.clone()));
                    match root {
                        "super" => drop(base.pop()),
                        "self" => {}
                        _ => base.clear(),
                    }
                    self.tree(base, at + 2, &mut used);
                }
                _ => {}
            }
        }
        used
    }

    fn text(&self, at: usize) -> &str {
        self.tokens.get(at).map_or("", |t| t.text.as_str())
    }

    fn begins_path(&self, at: usize) -> bool {
        let before = if at == 0 { "" } else { self.text(at - 1) };
        self.text(at + 1) == "::" && !matches!(before, "::" | "in")
    }

    /// Reads what follows `base::`; gives the place after it.
    fn tree(&self, mut base: Vec<String>, at: usize, used: &mut Vec<Used>) -> usize {
        let line = self.tokens.get(at).map_or(0, |t| t.line);
        let mut here = |path: Vec<String>| used.push(Used { path, line });
        match self.text(at) {
            "{" => {
                let mut at = at + 1;
                while !matches!(self.text(at), "}" | "") {
                    at = if self.text(at) == "," { at + 1 } else { self.tree(base.clone(), at, used) };
                }
                return at + 1;
            }
            "super" => drop(base.pop()),
            "self" | "*" => {}
            name if is_name(name) => base.push(name.to_owned()),
            _ => {
                here(base);
                return at + 1;
            }
        }
        if self.text(at + 1) == "::" {
            return self.tree(base, at + 2, used);
        }
        here(base);
        let renamed = self.text(at + 1) == "as";
        at + if renamed { 3 } else { 1 }
    }
}

fn is_name(word: &str) -> bool {
    word.starts_with(|c: char| c.is_alphabetic() || c == '_')
}

/// The text with every comment, string and character literal blanked, line breaks kept.
fn blanked(text: &str) -> String {
    let chars: Vec<char> = text.chars().collect();
    let mut out = String::with_capacity(text.len());
    let mut at = 0;
    while at < chars.len() {
        let end = literal_end(&chars, at);
        if end == at {
            out.push(chars[at]);
            at += 1;
            continue;
        }
        out.extend(chars[at..end].iter().map(|&c| if c == '\n' { '\n' } else { ' ' }));
        at = end;
    }
    out
}

/// Where the comment or literal that begins at `at` ends; `at` itself if none does.
fn literal_end(chars: &[char], at: usize) -> usize {
    let next = chars.get(at + 1);
    let end = match chars[at] {
        '/' if next == Some(&'/') => find(chars, at, |c| c == '\n'),
        '/' if next == Some(&'*') => block_comment_end(chars, at),
        '"' => quoted_end(chars, at + 1, '"'),
        '\'' if next == Some(&'\\') => quoted_end(chars, at + 1, '\''),
        '\'' if chars.get(at + 2) == Some(&'\'') => at + 3,
        'r' if !in_name(chars, at) => raw_end(chars, at).unwrap_or(at),
        _ => at,
    };
    end.min(chars.len())
}

fn find(chars: &[char], from: usize, stop: impl Fn(char) -> bool) -> usize {
    (from..chars.len()).find(|&i| stop(chars[i])).unwrap_or(chars.len())
}

fn block_comment_end(chars: &[char], from: usize) -> usize {
    let (mut depth, mut at) = (0, from);
    while at < chars.len() {
        match (chars[at], chars.get(at + 1)) {
            ('/', Some('*')) => (depth, at) = (depth + 1, at + 2),
            ('*', Some('/')) => (depth, at) = (depth - 1, at + 2),
            _ => at += 1,
        }
        if depth == 0 {
            return at;
        }
    }
    at
}

fn quoted_end(chars: &[char], from: usize, quote: char) -> usize {
    let mut at = from;
    while at < chars.len() && chars[at] != quote {
        at += if chars[at] == '\\' { 2 } else { 1 };
    }
    at + 1
}

/// Whether the character at `at` continues a name; `br"` and `cr"` are not names.
fn in_name(chars: &[char], at: usize) -> bool {
    let before = |back: usize| at.checked_sub(back).map(|i| chars[i]);
    let part = |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric() || c == '_');
    match before(1) {
        Some('b' | 'c') => part(before(2)),
        other => part(other),
    }
}

fn raw_end(chars: &[char], from: usize) -> Option<usize> {
    let quote = find(chars, from + 1, |c| c != '#');
    let hashes = quote - from - 1;
    if chars.get(quote) != Some(&'"') {
        return None;
    }
    let closes = |i: usize| chars[i] == '"' && chars[i + 1..].iter().take_while(|c| **c == '#').count() >= hashes;
    Some((quote + 1..chars.len()).find(|&i| closes(i)).map_or(chars.len(), |i| i + 1 + hashes))
}

fn tokens(text: &str) -> Vec<Token> {
    let mut tokens: Vec<Token> = Vec::new();
    let mut line = 1;
    let mut before = ' ';
    for c in text.chars() {
        let in_name = |c: char| c.is_alphanumeric() || c == '_';
        match tokens.last_mut() {
            Some(last) if in_name(c) && in_name(before) => last.text.push(c),
            Some(last) if c == ':' && before == ':' && last.text == ":" => last.text.push(c),
            _ if c.is_whitespace() => line += usize::from(c == '\n'),
            _ => tokens.push(Token { text: c.to_string(), line }),
        }
        before = c;
    }
    tokens
}

/// Leaves out what stands under `#[cfg(test)]`.
fn without_tests(tokens: Vec<Token>) -> Vec<Token> {
    let text = |at: usize| tokens.get(at).map_or("", |t| t.text.as_str());
    let mut kept = Vec::with_capacity(tokens.len());
    let mut at = 0;
    while at < tokens.len() {
        if text(at) != "#" || text(at + 1) != "[" {
            kept.push(tokens[at].clone());
            at += 1;
            continue;
        }
        let end = attribute_end(&tokens, at);
        if is_test(&tokens[at..end]) {
            at = item_end(&tokens, end);
        } else {
            kept.extend_from_slice(&tokens[at..end]);
            at = end;
        }
    }
    kept
}

fn attribute_end(tokens: &[Token], from: usize) -> usize {
    let mut depth = 0;
    for (at, token) in tokens.iter().enumerate().skip(from + 1) {
        match token.text.as_str() {
            "[" => depth += 1,
            "]" => depth -= 1,
            _ => {}
        }
        if depth == 0 {
            return at + 1;
        }
    }
    tokens.len()
}

/// Whether an attribute keeps its item for tests alone.
fn is_test(attribute: &[Token]) -> bool {
    let words: Vec<&str> = attribute.iter().map(|t| t.text.as_str()).collect();
    let all = words.starts_with(&["#", "[", "cfg", "(", "all", "("]);
    let plain = words == ["#", "[", "cfg", "(", "test", ")", "]"];
    plain || (all && words.contains(&"test") && !words.contains(&"not") && !words.contains(&"any"))
}

/// Where the item after an attribute ends: its `;` or its closing brace.
fn item_end(tokens: &[Token], from: usize) -> usize {
    let mut at = from;
    while tokens.get(at).is_some_and(|t| t.text == "#") {
        at = attribute_end(tokens, at);
    }
    let mut depth = 0;
    while at < tokens.len() {
        match tokens[at].text.as_str() {
            "{" | "(" | "[" => depth += 1,
            ")" | "]" => depth -= 1,
            "}" => {
                depth -= 1;
                if depth <= 0 {
                    return at + 1;
                }
            }
            ";" if depth == 0 => return at + 1,
            _ => {}
        }
        at += 1;
    }
    at
}
