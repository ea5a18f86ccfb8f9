//! Text made fit for the screen.

use unicode_segmentation::UnicodeSegmentation;
use unicode_width::UnicodeWidthStr;

/// `text` without anything that could steer a terminal or reorder a line.
pub fn clean(text: &str) -> String {
    text.chars()
        .map(|c| if c.is_control() { '\u{fffd}' } else { c })
        .filter(|c| {
            !matches!(*c, '\u{61c}' | '\u{200b}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}'
                | '\u{2060}' | '\u{2066}'..='\u{2069}' | '\u{feff}' | '\u{e0000}'..='\u{e007f}')
        })
        .collect()
}

/// `text` cut to so many columns, with an ellipsis where something is left out.
pub fn fit(text: &str, columns: usize) -> String {
    if text.width() <= columns {
        return text.to_owned();
    }
    let mut out = String::new();
    let mut used = 0;
    for cluster in text.graphemes(true) {
        let wide = cluster.width();
        if used + wide + 1 > columns {
            break;
        }
        out.push_str(cluster);
        used += wide;
    }
    if columns > 0 {
        out.push('…');
    }
    out
}
