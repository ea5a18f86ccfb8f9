//! The order people put names in, by which what is told to them is sorted: 2 before 10.

use std::cmp::Ordering;

/// A piece of a name: a run of digits as the number it is, or one other character. Numbers stand before all others.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
enum NamePiece<'a> {
    /// How many digits, and which, zeros in front left out: a longer number is larger, whatever it fits into.
    Number(usize, &'a str),
    Char(char),
}

fn name_pieces(mut rest: &str) -> impl Iterator<Item = NamePiece<'_>> {
    std::iter::from_fn(move || {
        let first = rest.chars().next()?;
        let is_not_digit = |c: char| !c.is_ascii_digit();
        let len = if first.is_ascii_digit() { rest.find(is_not_digit).unwrap_or(rest.len()) } else { first.len_utf8() };
        let (piece, behind) = rest.split_at(len);
        rest = behind;
        let digits = piece.trim_start_matches('0');
        Some(if first.is_ascii_digit() { NamePiece::Number(digits.len(), digits) } else { NamePiece::Char(first) })
    })
}

/// How two names stand in the order of people. Names that differ are never equal: `2` stands before `02`.
pub fn compare_names(a: &str, b: &str) -> Ordering {
    name_pieces(a).cmp(name_pieces(b)).then_with(|| a.len().cmp(&b.len())).then_with(|| a.cmp(b))
}

/// A name that is ordered as people do, as a key to sort by.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NameKey<T>(pub T);

impl<T: AsRef<str> + Eq> Ord for NameKey<T> {
    fn cmp(&self, other: &Self) -> Ordering {
        compare_names(self.0.as_ref(), other.0.as_ref())
    }
}

impl<T: AsRef<str> + Eq> PartialOrd for NameKey<T> {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn names_stand_as_people_count() {
        let ordered = [
            "",
            "1",
            "2",
            "02",
            "10",
            "99999999999999999999",
            "100000000000000000000",
            "Wren",
            "wren",
            "wren 2",
            "wren 10",
            "wren 10 b",
            "wren-1",
            "wren-2",
            "wren-10",
            "wren-10-2",
            "wren-10-11",
            "z",
            "\u{e9}",
        ];
        for (i, a) in ordered.iter().enumerate() {
            for (j, b) in ordered.iter().enumerate() {
                assert_eq!(compare_names(a, b), i.cmp(&j), "{a:?} {b:?}");
            }
        }
    }

    proptest! {
        #[test]
        fn the_order_is_one(a in "[a0-2 \u{e9}]{0,5}", b in "[a0-2 \u{e9}]{0,5}", c in "[a0-2 \u{e9}]{0,5}") {
            prop_assert_eq!(compare_names(&a, &b), compare_names(&b, &a).reverse());
            prop_assert_eq!(compare_names(&a, &b) == Ordering::Equal, a == b);
            if compare_names(&a, &b) != Ordering::Greater && compare_names(&b, &c) != Ordering::Greater {
                prop_assert!(compare_names(&a, &c) != Ordering::Greater);
            }
        }
    }
}
