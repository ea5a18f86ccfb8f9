//! Text made safe to show. A label or a note may carry anything a keyboard, a paste or a damaged file can: escape
//! sequences, marks that turn the reading direction, letters stacked without end. The journal keeps the original;
//! what reaches a screen, a title or a log goes through `clean` first.
//!
//! Absent on purpose: normalising (what the maker wrote is shown as written), translation to ASCII.

use std::borrow::Cow;
use unicode_segmentation::UnicodeSegmentation;
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// The longest text shown, in characters; what is longer ends in "…".
pub const MAX_SHOWN_CHARS: usize = 4096;

/// The most marks without a width of their own that one letter keeps; the most any living script stacks is fewer (from memory).
pub const MAX_COMBINING_MARKS: usize = 5;

/// The longest text given to a terminal's title or notification, in characters.
const MAX_OSC_CHARS: usize = 200;

/// `text` as it may be shown: control characters as signs ("␛"; C1 as U+FFFD), bidirectional controls and invisible
/// characters gone, joiners only between letters, at most [`MARKS`] marks on a letter, at most [`LONGEST`] characters.
///
/// Cleaning twice changes nothing more. Line breaks too become signs: the outcome is always one line.
pub fn sanitize(text: &str) -> String {
    if text.len() <= MAX_SHOWN_CHARS && is_printable_ascii(text) {
        return text.to_owned();
    }
    let mut shown = truncate_to_max(&replace_invisible(text));
    // Taking a character away can bring others together; each round only takes away, so this ends.
    loop {
        let again = truncate_to_max(&limit_combining_marks(&remove_stray_joiners(&shown)));
        if again == shown {
            return shown;
        }
        shown = again;
    }
}

/// A text of any length as it may be written to a terminal: as [`sanitize`] has it, but lines stay lines and nothing is
/// cut.
pub fn sanitize_lines(text: &str) -> String {
    let shown = |c: char| if matches!(c, '\n' | '\t') { c } else { control_picture(c) };
    text.chars().filter(|&c| !is_hidden(c)).map(shown).collect()
}

/// Each character shown, replaced or removed by itself.
fn replace_invisible(text: &str) -> String {
    text.chars().filter(|&c| !is_hidden(c)).map(control_picture).collect()
}

/// A sign for a character that would act instead of being seen.
fn control_picture(c: char) -> char {
    match c {
        '\0'..='\u{1f}' => char::from_u32(0x2400 + u32::from(c)).unwrap_or('\u{fffd}'),
        '\u{7f}' => '\u{2421}',
        '\u{80}'..='\u{9f}' | '\u{2028}' | '\u{2029}' => '\u{fffd}',
        seen => seen,
    }
}

/// Whether `c` is removed: the twelve bidirectional controls, what has no width and no meaning between letters, and the
/// tag block.
fn is_hidden(c: char) -> bool {
    matches!(
        c,
        '\u{061c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' // Bidi_Control
        | '\u{200b}' | '\u{2060}'..='\u{2064}' | '\u{feff}' | '\u{00ad}' | '\u{034f}' | '\u{180e}'
        | '\u{206a}'..='\u{206f}' | '\u{fff9}'..='\u{fffb}'
        | '\u{115f}' | '\u{1160}' | '\u{3164}' | '\u{ffa0}'
        | '\u{e0000}'..='\u{e007f}'
    )
}

fn is_joiner(c: char) -> bool {
    matches!(c, '\u{200c}' | '\u{200d}')
}

/// Keeps a joiner only where it joins: one alone, between two characters of scripts that use it.
fn remove_stray_joiners(text: &str) -> String {
    let joins = |c: char| !c.is_ascii() && !c.is_whitespace() && !is_joiner(c);
    let mut out = String::with_capacity(text.len());
    let mut rest = text.chars().peekable();
    while let Some(c) = rest.next() {
        let kept =
            !is_joiner(c) || (out.chars().next_back().is_some_and(joins) && rest.peek().copied().is_some_and(joins));
        if kept {
            out.push(c);
        }
    }
    out
}

/// Keeps at most [`MARKS`] marks in each cluster.
fn limit_combining_marks(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for cluster in text.graphemes(true) {
        let mut marks = 0;
        for c in cluster.chars() {
            if c.width() == Some(0) && !is_joiner(c) {
                marks += 1;
                if marks > MAX_COMBINING_MARKS {
                    continue;
                }
            }
            out.push(c);
        }
    }
    out
}

/// At most [`LONGEST`] characters, cut between clusters.
fn truncate_to_max(text: &str) -> String {
    truncate_chars(text, MAX_SHOWN_CHARS)
}

fn truncate_chars(text: &str, longest: usize) -> String {
    if text.chars().take(longest + 1).count() <= longest {
        return text.to_owned();
    }
    let mut out = String::new();
    let mut chars = 1;
    for cluster in text.graphemes(true) {
        chars += cluster.chars().count();
        if chars > longest {
            break;
        }
        out.push_str(cluster);
    }
    out.push('…');
    out
}

/// Terminal columns `text` takes: the sum over its clusters, which is how a screen is filled.
pub fn display_width(text: &str) -> usize {
    // What is drawn every second is nearly all of this kind.
    if is_printable_ascii(text) {
        return text.len();
    }
    text.graphemes(true).map(UnicodeWidthStr::width).sum()
}

/// Whether `text` is nothing but letters and signs of ASCII, a byte and a column each.
fn is_printable_ascii(text: &str) -> bool {
    text.bytes().all(|b| (0x20..0x7f).contains(&b))
}

/// The beginning of `text` that fits into `columns`, with "…" where something is left off. Cuts between clusters, so the
/// outcome may be a column short. `text` is taken as already cleaned.
pub fn truncate_to_width(text: &str, columns: usize) -> String {
    truncate_with_marker(text, columns, "…")
}

/// As [`fit`], with "..." for the mark, or "." where there is no room for three.
pub fn truncate_to_width_ascii(text: &str, columns: usize) -> String {
    truncate_with_marker(text, columns, if columns > 3 { "..." } else { "." })
}

fn truncate_with_marker(text: &str, columns: usize, mark: &str) -> String {
    if display_width(text) <= columns {
        return text.to_owned();
    }
    let Some(room) = columns.checked_sub(display_width(mark)) else {
        return String::new();
    };
    let mut out = String::new();
    let mut taken = 0;
    for cluster in text.graphemes(true) {
        taken += UnicodeWidthStr::width(cluster);
        if taken > room {
            break;
        }
        out.push_str(cluster);
    }
    out.push_str(mark);
    out
}

/// `text` for the inside of an operating system command (title, notification): no control character at all, since one
/// would end the string early; no ";", which separates its fields; cleaned and at most two hundred characters.
pub fn sanitize_for_osc(text: &str) -> String {
    let plain: String = text.chars().filter(|c| !c.is_control()).map(|c| if c == ';' { ',' } else { c }).collect();
    let shown = sanitize(&plain);
    truncate_chars(&shown, MAX_OSC_CHARS)
}

/// A short, clean quotation of a word, for an error sentence.
pub fn quote_word(given: &str) -> String {
    format!("\"{}\"", truncate_to_width(&sanitize(given), 40))
}

/// The same of something typed, where it may be nothing.
pub(super) fn quote_input(given: &str) -> Cow<'static, str> {
    if given.trim().is_empty() {
        return Cow::Borrowed("nothing");
    }
    Cow::Owned(quote_word(given))
}
