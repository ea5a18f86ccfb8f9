//! Sentences set in lines that fit a terminal and a sheet of paper.

use crate::text::{display_width, wrap_words};

/// No line is wider, save by a single word.
const MAX_WIDTH: usize = 80;

/// `text` in lines behind `lead`; the lines after the first are set in as far as `lead` is wide.
pub(super) fn wrap_hanging(lead: &str, text: &str) -> String {
    let indent = display_width(lead);
    let lines = wrap_words(text, MAX_WIDTH.saturating_sub(indent));
    format!("{lead}{}", lines.join(&format!("\n{}", " ".repeat(indent))))
}

/// A note and where it comes from.
pub(super) fn format_note(message: &str, source: &str) -> String {
    format!("{}\n{}", wrap_hanging("  - ", message), wrap_hanging("      source: ", source))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_fit_and_hang() {
        let words = "gesso ".repeat(40);
        let set = wrap_hanging("  - ", &words);
        let lines: Vec<&str> = set.lines().collect();
        assert!(lines.iter().all(|l| l.len() <= MAX_WIDTH && !l.ends_with(' ')), "{set}");
        assert!(lines[0].starts_with("  - gesso") && lines[1].starts_with("    gesso"), "{set}");
        assert_eq!(set.split_whitespace().filter(|w| *w == "gesso").count(), 40);
        let long = "x".repeat(100);
        assert_eq!(wrap_hanging("- ", &long), format!("- {long}"));
    }
}
