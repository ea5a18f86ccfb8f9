//! Numbers of things in words.

use std::fmt::Display;

/// So many of something: `1 coat`, `3 coats`. The noun is one that takes an s.
pub fn format_count<N: Display + PartialEq + From<u8>>(n: N, noun: &str) -> String {
    let s = if n == N::from(1) { "" } else { "s" };
    format!("{n} {noun}{s}")
}

/// So many things that were recorded: `1 entry`, `3 entries`.
pub fn format_entries<N: Display + PartialEq + From<u8>>(n: N) -> String {
    if n == N::from(1) { "1 entry".to_owned() } else { format!("{n} entries") }
}

/// So many times: `once`, `3 times`.
pub fn format_times<N: Display + PartialEq + From<u8>>(n: N) -> String {
    if n == N::from(1) { "once".to_owned() } else { format!("{n} times") }
}

/// The numbers that are written as words.
const NUMBER_WORDS: [&str; 13] =
    ["none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];

/// A number up to twelve as a word, a larger one in figures: `four`, `14`.
pub fn format_number_word(n: usize) -> String {
    NUMBER_WORDS.get(n).map_or_else(|| n.to_string(), |word| (*word).to_owned())
}
