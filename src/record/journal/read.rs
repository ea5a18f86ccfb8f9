//! From bytes to lines: where lines begin and end, and what to make of the last piece.
//!
//! No more than a line and a block is held in memory, whatever the file holds. Absent on purpose: what is done about
//! a bad line (`mod`, `verify`).

use super::line::{self, Fact, Fault, LINE_MAX, Link, Read};
use super::storage::Handle;
use std::io;

const BLOCK: usize = 64 * 1024;

/// A stretch of the file up to a `\n`, or up to the end.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Piece {
    /// Where it begins.
    pub byte: u64,
    /// Its bytes without the `\n`; of one longer than a line can be only the beginning.
    pub raw: Vec<u8>,
    /// Whether it ended in `\n`.
    pub ended: bool,
    /// Whether it is longer than a line can be.
    pub long: bool,
    /// Whether it is nothing but zero bytes.
    pub blank: bool,
}

/// Reads a file piece by piece.
pub struct Pieces<'h> {
    handle: &'h mut dyn Handle,
    /// Offset of the first byte in `held` that is not handed out yet.
    byte: u64,
    held: Vec<u8>,
    /// How many bytes of `held` are handed out.
    gone: usize,
    at_end: bool,
}

impl<'h> Pieces<'h> {
    /// From the offset `byte` on.
    pub fn from(handle: &'h mut dyn Handle, byte: u64) -> Self {
        Pieces { handle, byte, held: Vec::new(), gone: 0, at_end: false }
    }

    /// What is held and not handed out yet.
    fn left(&self) -> &[u8] {
        self.held.get(self.gone..).unwrap_or_default()
    }

    /// The next piece; nothing at the end.
    ///
    /// # Errors
    /// What the system says.
    pub fn take(&mut self) -> io::Result<Option<Piece>> {
        let mut searched = 0;
        loop {
            let left = self.left();
            if let Some(n) = left[searched..].iter().position(|b| *b == b'\n').map(|n| searched + n) {
                return Ok(Some(self.cut(n, true)));
            }
            if left.len() > LINE_MAX {
                return self.long().map(Some);
            }
            searched = left.len();
            if self.at_end {
                return Ok((searched > 0).then(|| self.cut(searched, false)));
            }
            self.fill()?;
        }
    }

    /// Takes the first `n` bytes left as a piece, and the `\n` after them.
    fn cut(&mut self, n: usize, ended: bool) -> Piece {
        let raw = self.left().get(..n).unwrap_or_default().to_vec();
        let byte = self.byte;
        self.pass(n + usize::from(ended));
        Piece { byte, ended, long: n > LINE_MAX, blank: raw.iter().all(|b| *b == 0), raw }
    }

    /// Hands out `n` bytes.
    fn pass(&mut self, n: usize) {
        self.gone += n;
        self.byte += n as u64;
    }

    /// Passes over a piece that is longer than a line can be, keeping its beginning only.
    fn long(&mut self) -> io::Result<Piece> {
        let mut piece = self.cut(self.left().len(), false);
        piece.long = true;
        loop {
            if self.at_end {
                return Ok(piece);
            }
            self.fill()?;
            let n = self.left().iter().position(|b| *b == b'\n');
            let rest = &self.left()[..n.unwrap_or(self.left().len())];
            piece.blank &= rest.iter().all(|b| *b == 0);
            piece.ended = n.is_some();
            self.pass(rest.len() + usize::from(piece.ended));
            if piece.ended {
                return Ok(piece);
            }
        }
    }

    /// Reads a block more. Only here is what was handed out let go, so that a byte is moved once and not for every line.
    fn fill(&mut self) -> io::Result<()> {
        self.held.drain(..self.gone);
        self.gone = 0;
        let old = self.held.len();
        self.held.resize(old + BLOCK, 0);
        let got = loop {
            match self.handle.read(self.byte + old as u64, &mut self.held[old..]) {
                Err(e) if e.kind() == io::ErrorKind::Interrupted => {}
                got => break got,
            }
        };
        self.held.truncate(old + got.as_ref().map_or(0, |n| *n));
        self.at_end = got? == 0;
        Ok(())
    }
}

/// What a piece turns out to be.
#[derive(Debug, Clone, PartialEq)]
pub enum Judged<E> {
    /// A line that hangs on to the one before it.
    Good {
        /// The line.
        read: Read<E>,
        /// The offset after it, its `\n` included if it has one.
        end: u64,
        /// What is wrong all the same with how the file ends.
        open: Option<Open>,
    },
    /// The beginning of a line that was never wholly written, or zero bytes in its place.
    Torn,
    /// Something else.
    Bad(Fault),
}

/// How the last line of a file can be whole and yet not ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Open {
    /// Only its `\n` is missing.
    NoEnd,
    /// Something that is no line comes right after it.
    Junk,
}

/// Judges a piece that should hang on to `link`.
///
/// A last piece without `\n` is kept as far as it is a line that passes its check: what is taken away later is only
/// what never was a whole fact.
pub fn judge<E: Fact>(piece: &Piece, link: Link) -> Judged<E> {
    if piece.long {
        return if piece.blank && !piece.ended { Judged::Torn } else { Judged::Bad(Fault::Long) };
    }
    let (len, open) = if piece.ended {
        (piece.raw.len(), None)
    } else {
        match line::whole_line_in(&piece.raw) {
            None => return Judged::Torn,
            Some(len) if len == piece.raw.len() => (len, Some(Open::NoEnd)),
            Some(len) => (len, Some(Open::Junk)),
        }
    };
    match line::read(&piece.raw[..len], link) {
        Ok(read) => Judged::Good { read, end: piece.byte + len as u64 + u64::from(piece.ended), open },
        Err(fault) => Judged::Bad(fault),
    }
}
