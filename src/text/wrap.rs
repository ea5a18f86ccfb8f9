//! Words broken into lines at spaces.

use super::sanitize::display_width;
use textwrap::core::Fragment;
use textwrap::wrap_algorithms::wrap_first_fit;

/// A word and its columns, counted as a screen is filled: `textwrap` itself counts each character of an emoji.
#[derive(Debug)]
struct WrapWord<'t> {
    text: &'t str,
    columns: usize,
}

impl Fragment for WrapWord<'_> {
    fn width(&self) -> f64 {
        self.columns as f64
    }
    fn whitespace_width(&self) -> f64 {
        1.0
    }
    fn penalty_width(&self) -> f64 {
        0.0
    }
}

/// `text` in lines of at most `columns`, broken at spaces; a wider word stands alone on its line. No words, no lines.
pub fn wrap_words(text: &str, columns: usize) -> Vec<String> {
    let words: Vec<WrapWord<'_>> =
        text.split_whitespace().map(|word| WrapWord { text: word, columns: display_width(word) }).collect();
    if words.is_empty() {
        return Vec::new();
    }
    let lines = wrap_first_fit(&words, &[columns as f64]);
    lines.into_iter().map(|line| line.iter().map(|word| word.text).collect::<Vec<_>>().join(" ")).collect()
}
