//! Sentences set in lines that fit a terminal and a sheet of paper.
//!
//! Absent on purpose: what they say.

use crate::text::display_width;

/// No line is wider, save by a single word.
const MAX_WIDTH: usize = 80;

/// `text` in lines behind `lead`; the lines after the first are set in as far as `lead` is wide.
pub(super) fn wrap_hanging(lead: &str, text: &str) -> String {
    let indent = display_width(lead);
    let mut lines = vec![lead.to_owned()];
    let mut used = indent;
    for word in text.split_whitespace() {
        let first = used == indent;
        if !first && used + 1 + display_width(word) > MAX_WIDTH {
            lines.push(" ".repeat(indent));
            used = indent;
        }
        if let Some(line) = lines.last_mut() {
            if used > indent {
                line.push(' ');
                used += 1;
            }
            line.push_str(word);
        }
        used += display_width(word);
    }
    lines.join("\n")
}

/// A note and where it comes from.
pub(super) fn format_note(said: &str, source: &str) -> String {
    format!("{}\n{}", wrap_hanging("  - ", said), wrap_hanging("      source: ", source))
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
