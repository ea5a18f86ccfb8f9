//! What goes to a terminal, with controls shown as signs and what is hidden left out.

use crate::text::sanitize_lines;
use std::io::{self, Write};

/// The most bytes of a character that may still be missing its end.
const PARTIAL_MAX: usize = 3;

/// Passes text on with nothing in it that acts on a terminal.
pub(super) struct TerminalWriter<W: Write> {
    to: W,
    /// The beginning of a character whose end is still to come.
    partial: Vec<u8>,
}

impl<W: Write> TerminalWriter<W> {
    pub(super) fn new(to: W) -> TerminalWriter<W> {
        TerminalWriter { to, partial: Vec::new() }
    }

    /// Passes on what is left, a broken character too.
    pub(super) fn finish(mut self) -> io::Result<()> {
        let rest = std::mem::take(&mut self.partial);
        self.to.write_all(sanitize_lines(&String::from_utf8_lossy(&rest)).as_bytes())
    }
}

impl<W: Write> Write for TerminalWriter<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.partial.extend_from_slice(bytes);
        let whole = match std::str::from_utf8(&self.partial) {
            Err(e) if e.error_len().is_none() && self.partial.len() - e.valid_up_to() <= PARTIAL_MAX => e.valid_up_to(),
            Ok(_) | Err(_) => self.partial.len(),
        };
        let rest = self.partial.split_off(whole);
        let text = std::mem::replace(&mut self.partial, rest);
        self.to.write_all(sanitize_lines(&String::from_utf8_lossy(&text)).as_bytes())?;
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        self.to.flush()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn however_it_is_cut_the_same_comes_out() {
        let text = "a\u{1b}[1m\u{202e}é\u{9b}31m 漢\n\tz".as_bytes();
        for cut in 1..text.len() {
            let mut out = Vec::new();
            let mut writer = TerminalWriter::new(&mut out);
            for piece in text.chunks(cut) {
                writer.write_all(piece).unwrap();
            }
            writer.finish().unwrap();
            assert_eq!(String::from_utf8(out).unwrap(), "a␛[1mé\u{fffd}31m 漢\n\tz", "{cut}");
        }
    }
}
