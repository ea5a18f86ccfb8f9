//! What a shelf is made of, in one table: `verify`, `pack` and `bring` ask it which files there are.

use super::{Drawer, Shelf};
use crate::record::files::{Lock, LockError};
use crate::record::journal::JournalError;
use crate::text::FileError;
use data_encoding::HEXLOWER;
use sha2::{Digest, Sha256};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use strum::VariantArray;

/// A part of a shelf.
#[derive(Debug, Clone, Copy, PartialEq, Eq, VariantArray)]
pub enum ShelfPart {
    /// The panels.
    Panels,
    /// The pots.
    Pots,
    /// The trials.
    Trials,
    /// The air of the room.
    Air,
    /// What is planned.
    Plan,
    /// What is in the cupboard.
    Stock,
    /// Photographs, each called by the sum of its bytes.
    Photos,
}

impl ShelfPart {
    /// What its file or directory is called.
    pub const fn name(self) -> &'static str {
        match self {
            ShelfPart::Panels => Drawer::Panels.dir_name(),
            ShelfPart::Pots => Drawer::Pots.dir_name(),
            ShelfPart::Trials => "trials",
            ShelfPart::Air => "air.jsonl",
            ShelfPart::Plan => "plan.jsonl",
            ShelfPart::Stock => "stock.jsonl",
            ShelfPart::Photos => "photos",
        }
    }

    /// Whether it is one journal, and not a directory.
    pub const fn is_single_file(self) -> bool {
        match self {
            ShelfPart::Air | ShelfPart::Plan | ShelfPart::Stock => true,
            ShelfPart::Panels | ShelfPart::Pots | ShelfPart::Trials | ShelfPart::Photos => false,
        }
    }

    /// Whether a file of that name belongs to it.
    fn holds(self, name: &str) -> bool {
        match self {
            ShelfPart::Photos => !name.starts_with('.'),
            ShelfPart::Panels
            | ShelfPart::Pots
            | ShelfPart::Trials
            | ShelfPart::Air
            | ShelfPart::Plan
            | ShelfPart::Stock => !name.starts_with('.') && name.ends_with(".jsonl"),
        }
    }
}

impl Shelf {
    /// Where a part lies, whether or not it is there.
    pub fn part_path(&self, part: ShelfPart) -> PathBuf {
        self.root().join(part.name())
    }

    /// The files of a part, by their names from the shelf on, in their order. Links and what is no file are passed over.
    ///
    /// # Errors
    /// [`JournalError::ReadFailed`].
    pub fn files_of(&self, part: ShelfPart) -> Result<Vec<(String, PathBuf)>, JournalError> {
        let path = self.part_path(part);
        let is_file = |path: &Path| fs::symlink_metadata(path).is_ok_and(|about| about.is_file());
        if part.is_single_file() {
            return Ok(if is_file(&path) { vec![(part.name().to_owned(), path)] } else { Vec::new() });
        }
        let unread =
            |e: &io::Error| JournalError::ReadFailed { path: path.clone(), error: FileError::from_io_error(e) };
        let found = match fs::read_dir(&path) {
            Ok(found) => found,
            Err(e) if e.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
            Err(e) => return Err(unread(&e)),
        };
        let mut files = Vec::new();
        for entry in found {
            let path = entry.map_err(|e| unread(&e))?.path();
            let name = path.file_name().and_then(|n| n.to_str()).filter(|name| part.holds(name));
            if let Some(name) = name.map(|name| format!("{}/{name}", part.name())).filter(|_| is_file(&path)) {
                files.push((name, path));
            }
        }
        files.sort();
        Ok(files)
    }

    /// Every journal, by its name from the shelf on.
    ///
    /// # Errors
    /// [`JournalError::ReadFailed`].
    pub fn journal_files(&self) -> Result<Vec<(String, PathBuf)>, JournalError> {
        let parts = ShelfPart::VARIANTS.iter().filter(|part| **part != ShelfPart::Photos);
        let files = parts.map(|part| self.files_of(*part)).collect::<Result<Vec<_>, _>>()?;
        Ok(files.into_iter().flatten().collect())
    }

    /// Every photograph, by its name from the shelf on.
    ///
    /// # Errors
    /// [`JournalError::ReadFailed`].
    pub fn photo_files(&self) -> Result<Vec<(String, PathBuf)>, JournalError> {
        self.files_of(ShelfPart::Photos)
    }

    /// Whether a photograph is called by the sum of those bytes.
    pub fn is_named_by_sum(path: &Path, bytes: &[u8]) -> bool {
        let stem = path.file_stem().and_then(|stem| stem.to_str()).unwrap_or_default();
        HEXLOWER.encode(&Sha256::digest(bytes)) == stem
    }

    /// The bytes of a file of the shelf.
    ///
    /// # Errors
    /// [`JournalError::ReadFailed`].
    pub fn read_whole(&self, path: &Path) -> Result<Vec<u8>, JournalError> {
        self.read_until(path, |_| None)
    }

    /// The first line of a file, without its end.
    ///
    /// # Errors
    /// [`JournalError::ReadFailed`].
    pub fn read_first_line(&self, path: &Path) -> Result<Vec<u8>, JournalError> {
        self.read_until(path, |bytes| memchr::memchr(b'\n', bytes))
    }

    /// The bytes of a file, as far as `ends_at` finds an end in them.
    fn read_until(&self, path: &Path, ends_at: impl Fn(&[u8]) -> Option<usize>) -> Result<Vec<u8>, JournalError> {
        let unread =
            |e: &io::Error| JournalError::ReadFailed { path: path.to_owned(), error: FileError::from_io_error(e) };
        let mut file = self.storage().open_read(path).map_err(|e| unread(&e))?;
        let (mut bytes, mut piece) = (Vec::new(), vec![0; 1 << 16]);
        loop {
            let read = file.read_at(bytes.len() as u64, &mut piece).map_err(|e| unread(&e))?;
            bytes.extend_from_slice(&piece[..read]);
            if let Some(end) = ends_at(&bytes) {
                bytes.truncate(end);
                return Ok(bytes);
            }
            if read == 0 {
                return Ok(bytes);
            }
        }
    }

    /// The lock, where the shelf can be written to; without it, what another writes at this moment may be read in part.
    ///
    /// # Errors
    /// [`JournalError::Lock`] where another window holds it.
    pub fn lock_if_writable(&self) -> Result<Option<Lock>, JournalError> {
        if !self.root().is_dir() {
            return Ok(None);
        }
        match self.lock() {
            Ok(lock) => Ok(Some(lock)),
            Err(error @ JournalError::Lock(LockError::Held { .. })) => Err(error),
            Err(_) => Ok(None),
        }
    }

    /// The directory of the shelf with nothing of a link left in its name, so that one shelf is known under two names.
    pub fn real_root(&self) -> PathBuf {
        self.root().canonicalize().unwrap_or_else(|_| self.root().to_owned())
    }
}
