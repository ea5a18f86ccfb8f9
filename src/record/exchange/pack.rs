//! A shelf as one file: a tar of plain files, with the SHA-256 sum of each, for whoever opens it with whatever there is
//! then. The same shelf gives the same bytes: the files come in their order, without times and owners.

use crate::record::journal::JournalError;
use crate::record::shelf::Shelf;
use data_encoding::HEXLOWER;
use sha2::{Digest, Sha256};
use std::io::{self, Write};

/// The directory everything in a pack lies in.
pub const TOP_DIR: &str = "sottile-shelf";
/// The file of the sums, the last of all, so that a pack that was cut off lacks it.
pub const SUMS_FILE: &str = "SHA256SUMS";

/// What a pack is written of.
#[derive(Debug)]
pub struct Pack {
    /// What explains it, by name.
    explained_by: Vec<(String, Vec<u8>)>,
    /// The journals, by name, as they were when the shelf was looked at.
    journals: Vec<(String, Vec<u8>)>,
    /// What is read only when it is written: photographs.
    photos: Vec<(String, std::path::PathBuf)>,
}

impl Pack {
    /// What there is on the shelf at this moment. The journals are read under the lock where it is to be had, so that no
    /// line is half written in them; a shelf that cannot be written to is packed all the same.
    ///
    /// # Errors
    /// [`JournalError`], also while another window holds the lock.
    pub fn of_shelf(shelf: &Shelf, explained_by: Vec<(String, Vec<u8>)>) -> Result<Pack, JournalError> {
        let lock = shelf.lock_if_writable()?;
        let mut journals = Vec::new();
        for (name, path) in shelf.journal_files()? {
            journals.push((name, shelf.read_whole(&path)?));
        }
        drop(lock);
        Ok(Pack { explained_by, journals, photos: shelf.photo_files()? })
    }

    /// How many files of the shelf are in it.
    pub fn count_files(&self) -> usize {
        self.journals.len() + self.photos.len()
    }

    /// Writes the pack.
    ///
    /// # Errors
    /// What the system says of `to`, or of a photograph.
    pub fn write(&self, to: &mut dyn Write) -> io::Result<()> {
        let mut tar = tar::Builder::new(to);
        let mut sums = String::new();
        for (name, bytes) in self.explained_by.iter().chain(&self.journals) {
            append(&mut tar, name, bytes, Some(&mut sums))?;
        }
        for (name, path) in &self.photos {
            append(&mut tar, name, &crate::record::files::read_file(path)?, Some(&mut sums))?;
        }
        append(&mut tar, SUMS_FILE, sums.as_bytes(), None)?;
        tar.finish()
    }
}

fn append(
    tar: &mut tar::Builder<&mut dyn Write>,
    name: &str,
    bytes: &[u8],
    sums: Option<&mut String>,
) -> io::Result<()> {
    if let Some(sums) = sums {
        // The form that `sha256sum -c` reads.
        sums.push_str(&format!("{}  {name}\n", HEXLOWER.encode(&Sha256::digest(bytes))));
    }
    let mut header = tar::Header::new_gnu();
    header.set_entry_type(tar::EntryType::Regular);
    header.set_size(bytes.len() as u64);
    header.set_mode(0o644);
    header.set_mtime(0);
    tar.append_data(&mut header, format!("{TOP_DIR}/{name}"), bytes)
}
