//! What each board is called in block letters: short enough to be read across the room, and no two alike.

use deunicode::deunicode;

/// The fewest letters, where a label has so many.
const LETTERS_MIN: usize = 3;
/// The most letters.
const LETTERS_MAX: usize = 6;

/// The block names of those labels, in their order: the shortest beginning that no other label has, of 3 to 6 capitals.
/// Labels alike for longer keep their beginning and take what tells them apart: "WREN10", "GARDER" and "GARDEL". What
/// still is not told apart, as two boards of one label, is numbered.
pub fn block_names(labels: &[&str]) -> Vec<String> {
    let letters: Vec<Vec<char>> = labels.iter().map(|label| to_letters(label)).collect();
    let mut names: Vec<String> = Vec::new();
    for (i, own) in letters.iter().enumerate() {
        let others = || letters.iter().enumerate().filter(|(j, _)| *j != i).map(|(_, other)| other);
        let unique = (LETTERS_MIN..=LETTERS_MAX).find(|n| {
            let beginning = own.get(..*n).unwrap_or(own);
            !beginning.ends_with(&[' ']) && others().all(|other| !other.starts_with(beginning))
        });
        let whole = own.len() <= LETTERS_MAX && others().all(|other| other != own);
        let name = match unique {
            Some(n) => own.get(..n).unwrap_or(own).iter().collect(),
            None if whole => own.iter().collect(),
            None => shorten_alike(own, others()),
        };
        names.push(name);
    }
    number_equals(names)
}

/// The label as letters that can be set large.
fn to_letters(label: &str) -> Vec<char> {
    let plain = deunicode(label).to_uppercase();
    let kept: String = plain.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { ' ' }).collect();
    let joined = kept.split_whitespace().collect::<Vec<_>>().join(" ");
    if joined.is_empty() { vec!['?'] } else { joined.chars().collect() }
}

/// A beginning and, behind it, what no longer is as on the label most like it.
fn shorten_alike<'a>(own: &[char], others: impl Iterator<Item = &'a Vec<char>>) -> String {
    let common = others.map(|other| own.iter().zip(other).take_while(|(a, b)| a == b).count()).max().unwrap_or(0);
    // A number is told whole, not from the digit where it differs.
    let is_digit = |i: &usize| own.get(*i).is_some_and(char::is_ascii_digit);
    let from = (0..common).rev().take_while(is_digit).last().unwrap_or(common);
    let tail: Vec<char> = own.iter().skip(from).filter(|c| **c != ' ').take(LETTERS_MAX - 1).copied().collect();
    let tail: &[char] = if tail.iter().all(char::is_ascii_digit) { &tail } else { tail.get(..1).unwrap_or(&tail) };
    let head = own.iter().take(from).filter(|c| **c != ' ').take(LETTERS_MAX - tail.len());
    head.chain(tail).collect()
}

/// Numbers those that are alike, in their order.
fn number_equals(names: Vec<String>) -> Vec<String> {
    let mut given: Vec<String> = Vec::new();
    for (i, name) in names.iter().enumerate() {
        let others = || names.iter().enumerate().filter(|(j, _)| *j != i).map(|(_, other)| other);
        let is_taken = |name: &String| given.contains(name) || others().any(|other| other == name);
        let free = if is_taken(name) {
            let numbered = (1..=names.len()).map(|n| {
                let number = n.to_string();
                let head: String = name.chars().take(LETTERS_MAX.saturating_sub(number.len())).collect();
                head + &number
            });
            numbered.into_iter().find(|name| !is_taken(name)).unwrap_or_else(|| name.clone())
        } else {
            name.clone()
        };
        given.push(free);
    }
    given
}

/// The most letters of a line of block letters at 80 columns.
const LINE_MAX: usize = 16;

/// A name and words in one line of block letters; without the name, or the word MIN, where the line would be too long.
pub fn fit_block_line(name: &str, words: &str) -> String {
    let shorter = words.replace(" MIN ", " ");
    let lines = [format!("{name} {words}"), format!("{name} {shorter}"), words.to_owned()];
    let fits = |line: &String| line.trim().chars().count() <= LINE_MAX;
    lines.iter().find(|line| fits(line)).unwrap_or(&shorter).trim().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stats::split_mix::SplitMix64;

    fn check(labels: &[&str], wants: &[&str]) {
        assert_eq!(block_names(labels), wants, "{labels:?}");
    }

    #[test]
    fn a_name_is_the_shortest_beginning_no_other_has() {
        check(&["Ash", "Bay", "Cob", "Dun"], &["ASH", "BAY", "COB", "DUN"]);
        check(&["Blackbird", "Blackcap", "Wren"], &["BLACKB", "BLACKC", "WRE"]);
        check(&["Wren", "Wryneck"], &["WRE", "WRY"]);
        check(&["Ash 1", "Ash 2"], &["ASH 1", "ASH 2"]);
        check(&["Wren"], &["WRE"]);
        check(&["Zaunkönig", "Zauber"], &["ZAUN", "ZAUB"]);
        check(&["A"], &["A"]);
        check(&["\u{1b}\u{202e}", "Wren"], &["?", "WRE"]);
    }

    #[test]
    fn labels_alike_for_longer_are_told_apart_by_what_differs() {
        check(&["Wren 1", "Wren 2", "Wren 10"], &["WREN 1", "WREN 2", "WREN10"]);
        check(&["Goldfinch 1", "Goldfinch 12"], &["GOLDF1", "GOLD12"]);
        check(&["Garden left", "Garden right"], &["GARDEL", "GARDER"]);
        check(&["Wren", "Wren"], &["WREN1", "WREN2"]);
    }

    #[test]
    fn no_two_are_alike_and_none_is_too_long() {
        let mut rng = SplitMix64::new(7);
        for _ in 0..400 {
            let label = |rng: &mut SplitMix64| -> String {
                let n = 1 + rng.next_below(9);
                (0..n).map(|_| ['a', 'b', ' ', '1', '2', 'ö'][rng.next_below(6)]).collect()
            };
            let labels: Vec<String> = (0..1 + rng.next_below(12)).map(|_| label(&mut rng)).collect();
            let labels: Vec<&str> = labels.iter().map(String::as_str).collect();
            let names = block_names(&labels);
            for (i, name) in names.iter().enumerate() {
                assert!((1..=LETTERS_MAX).contains(&name.chars().count()), "{labels:?}: {names:?}");
                assert!(!names[i + 1..].contains(name), "{labels:?}: {names:?}");
            }
        }
    }
}
