//! From bytes to lines: where lines begin and end, and what to make of the last piece.
//!
//! No more than a line and a block is held in memory, whatever the file holds.

use super::line::{self, ChainLink, JournalEvent, LINE_MAX, LineError, ParsedLine};
use super::storage::StorageFile;
use std::borrow::Cow;
use std::io;

const BLOCK: usize = 64 * 1024;

/// A stretch of the file up to a `\n`, or up to the end.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RawLine<'b> {
    /// Where it begins.
    pub byte: u64,
    /// Its bytes without the `\n`; of one longer than a line can be only the beginning.
    pub raw: Cow<'b, [u8]>,
    /// Whether it ended in `\n`.
    pub terminated: bool,
    /// Whether it is longer than a line can be.
    pub overlong: bool,
    /// Whether it is nothing but zero bytes.
    pub all_zero: bool,
}

/// Reads a file piece by piece.
pub struct LineReader<'h> {
    file: &'h mut dyn StorageFile,
    /// Offset of the first byte in `held` that is not handed out yet.
    byte: u64,
    buffer: Vec<u8>,
    /// How many bytes of `held` are handed out.
    consumed: usize,
    at_eof: bool,
}

impl<'h> LineReader<'h> {
    /// From the offset `byte` on.
    pub fn new(handle: &'h mut dyn StorageFile, byte: u64) -> Self {
        LineReader { file: handle, byte, buffer: Vec::new(), consumed: 0, at_eof: false }
    }

    /// What is held and not handed out yet.
    fn unconsumed(&self) -> &[u8] {
        self.buffer.get(self.consumed..).unwrap_or_default()
    }

    /// The next piece; nothing at the end.
    ///
    /// # Errors
    /// What the system says.
    pub fn next_line(&mut self) -> io::Result<Option<RawLine<'_>>> {
        let mut searched = 0;
        let (length, ended) = loop {
            let left = self.unconsumed();
            if let Some(n) = memchr::memchr(b'\n', &left[searched..]).map(|n| searched + n) {
                break (n, true);
            }
            if left.len() > LINE_MAX {
                return self.skip_overlong().map(Some);
            }
            searched = left.len();
            if self.at_eof {
                if searched == 0 {
                    return Ok(None);
                }
                break (searched, false);
            }
            self.read_block()?;
        };
        Ok(Some(self.take_line(length, ended)))
    }

    /// Takes the first `n` bytes left as a piece, and the `\n` after them.
    fn take_line(&mut self, n: usize, ended: bool) -> RawLine<'_> {
        let (byte, from) = (self.byte, self.consumed);
        self.advance(n + usize::from(ended));
        // What was handed out stays where it is until the next block is read.
        let raw = Cow::Borrowed(self.buffer.get(from..from + n).unwrap_or_default());
        RawLine { byte, terminated: ended, overlong: n > LINE_MAX, all_zero: raw.iter().all(|b| *b == 0), raw }
    }

    /// Hands out `n` bytes.
    fn advance(&mut self, n: usize) {
        self.consumed += n;
        self.byte += n as u64;
    }

    /// Passes over a piece that is longer than a line can be, keeping its beginning only.
    fn skip_overlong(&mut self) -> io::Result<RawLine<'static>> {
        let beginning = self.take_line(self.unconsumed().len(), false);
        let raw = Cow::Owned(beginning.raw.into_owned());
        let mut piece =
            RawLine { byte: beginning.byte, all_zero: beginning.all_zero, overlong: true, terminated: false, raw };
        loop {
            if self.at_eof {
                return Ok(piece);
            }
            self.read_block()?;
            let n = memchr::memchr(b'\n', self.unconsumed());
            let rest = &self.unconsumed()[..n.unwrap_or(self.unconsumed().len())];
            piece.all_zero &= rest.iter().all(|b| *b == 0);
            piece.terminated = n.is_some();
            self.advance(rest.len() + usize::from(piece.terminated));
            if piece.terminated {
                return Ok(piece);
            }
        }
    }

    /// Reads a block more. Only here is what was handed out let go, so that a byte is moved once and not for every line.
    fn read_block(&mut self) -> io::Result<()> {
        self.buffer.drain(..self.consumed);
        self.consumed = 0;
        let old = self.buffer.len();
        self.buffer.resize(old + BLOCK, 0);
        let got = loop {
            match self.file.read_at(self.byte + old as u64, &mut self.buffer[old..]) {
                Err(e) if e.kind() == io::ErrorKind::Interrupted => {}
                got => break got,
            }
        };
        self.buffer.truncate(old + got.as_ref().map_or(0, |n| *n));
        self.at_eof = got? == 0;
        Ok(())
    }
}

/// What a piece turns out to be.
#[derive(Debug, Clone, PartialEq)]
pub enum CheckedLine<E> {
    /// A line that hangs on to the one before it.
    Valid {
        /// The line.
        line: ParsedLine<E>,
        /// The offset after it, its `\n` included if it has one.
        end: u64,
        /// What is wrong all the same with how the file ends.
        ending: Option<BadEnding>,
    },
    /// The beginning of a line that was never wholly written, or zero bytes in its place.
    Torn,
    /// Something else.
    Invalid(LineError),
}

/// How the last line of a file can be whole and yet not ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BadEnding {
    /// Only its `\n` is missing.
    NoNewline,
    /// Something that is no line comes right after it.
    TrailingJunk,
}

/// Judges a piece that should hang on to `link`.
///
/// A last piece without `\n` is kept as far as it is a line that passes its check: what is taken away later is only
/// what never was a whole fact.
pub fn check_line<E: JournalEvent>(piece: &RawLine<'_>, link: ChainLink) -> CheckedLine<E> {
    if piece.overlong {
        return if piece.all_zero && !piece.terminated {
            CheckedLine::Torn
        } else {
            CheckedLine::Invalid(LineError::TooLong)
        };
    }
    let (len, open) = if piece.terminated {
        (piece.raw.len(), None)
    } else {
        match line::find_complete_line(&piece.raw) {
            None => return CheckedLine::Torn,
            Some(len) if len == piece.raw.len() => (len, Some(BadEnding::NoNewline)),
            Some(len) => (len, Some(BadEnding::TrailingJunk)),
        }
    };
    match line::parse_line(&piece.raw[..len], link) {
        Ok(read) => {
            CheckedLine::Valid { line: read, end: piece.byte + len as u64 + u64::from(piece.terminated), ending: open }
        }
        Err(error) => CheckedLine::Invalid(error),
    }
}
