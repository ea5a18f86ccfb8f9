//! The drawer of photographs: `DATA/photos/<sha256>.<ext>`. A picture is filed under the sum of its own bytes, so that one
//! shown twice is kept once, and a name that fits its bytes proves that they are those the maker gave.

use super::Shelf;
use crate::record::files;
use crate::record::journal::verify::VerifyReport;
use crate::record::journal::{DamageKind, JournalError};
use crate::text::FileError;
use crate::units::Id;
use crate::work::panel::event::PanelEvent;
use data_encoding::HEXLOWER;
use sha2::{Digest, Sha256};
use std::collections::BTreeSet;
use std::fmt;
use std::fs;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

/// A larger file is no photograph of a panel, bytes (assumed).
pub const PHOTO_BYTES_MAX: u64 = 64 * 1024 * 1024;

/// No longer ending is kept; a name without one, or with another, ends in `bin`.
const EXTENSION_MAX: usize = 5;

/// Why a photograph was not kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PhotoError {
    /// The file, as it was named.
    pub path: PathBuf,
    /// What stood in the way.
    pub cause: PhotoErrorCause,
}

/// What stood in the way of a photograph.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PhotoErrorCause {
    /// It cannot be read.
    Unreadable(FileError),
    /// It is longer than [`PHOTO_BYTES_MAX`].
    TooLong,
    /// There is nothing in it.
    Empty,
    /// The copy cannot be written.
    Unwritable(FileError),
}

impl fmt::Display for PhotoError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "the photograph {}: ", self.path.display())?;
        match &self.cause {
            PhotoErrorCause::Unreadable(error) => write!(f, "{error}"),
            PhotoErrorCause::TooLong => write!(f, "longer than {} MB; make it smaller", PHOTO_BYTES_MAX / 1_048_576),
            PhotoErrorCause::Empty => f.write_str("there is nothing in it"),
            PhotoErrorCause::Unwritable(error) => write!(f, "its copy cannot be kept: {error}"),
        }
    }
}

impl std::error::Error for PhotoError {}

impl Shelf {
    /// Copies a photograph into its drawer, durably, and gives back the sum it is filed under: 64 small hexadecimal digits.
    /// What is there already is not written again.
    ///
    /// # Errors
    /// A `PhotoError`; nothing is then kept.
    pub fn keep_photo(&self, source: &Path) -> Result<String, PhotoError> {
        let failed = |cause| PhotoError { path: source.to_owned(), cause };
        let bytes =
            read_bounded(source).map_err(|e| failed(PhotoErrorCause::Unreadable(FileError::from_io_error(&e))))?;
        match bytes.len() as u64 {
            0 => return Err(failed(PhotoErrorCause::Empty)),
            length if length > PHOTO_BYTES_MAX => return Err(failed(PhotoErrorCause::TooLong)),
            _ => {}
        }
        let sum = HEXLOWER.encode(&Sha256::digest(&bytes));
        let path = self.photo_path(&source.to_string_lossy(), &sum);
        if fs::metadata(&path).is_ok_and(|kept| kept.is_file() && kept.len() == bytes.len() as u64) {
            return Ok(sum);
        }
        files::ensure_dir(&files::parent_dir(&path))
            .and_then(|()| files::replace_file(&path, &bytes))
            .map_err(|e| failed(PhotoErrorCause::Unwritable(FileError::from_io_error(&e))))?;
        Ok(sum)
    }

    /// Where the photograph that was given under that name, and has that sum, lies.
    pub fn photo_path(&self, name: &str, sum: &str) -> PathBuf {
        let extension = Path::new(name).extension().and_then(|e| e.to_str()).map(str::to_ascii_lowercase);
        let is_plain =
            |e: &String| (1..=EXTENSION_MAX).contains(&e.len()) && e.bytes().all(|b| b.is_ascii_alphanumeric());
        let extension = extension.filter(is_plain).unwrap_or_else(|| "bin".to_owned());
        self.root.join("photos").join(format!("{sum}.{extension}"))
    }

    /// The bytes of a kept photograph; nothing where it is not there, or is not what its sum says.
    pub fn read_photo(&self, name: &str, sum: &str) -> Option<Vec<u8>> {
        let bytes = read_bounded(&self.photo_path(name, sum)).ok()?;
        (HEXLOWER.encode(&Sha256::digest(&bytes)) == sum).then_some(bytes)
    }

    /// Looks whether every photograph that stands in a look is kept as it was: a report for each that is not, in the order of
    /// panels. Looks that were taken back count too, since they can be had again.
    ///
    /// # Errors
    /// [`JournalError::ReadFailed`] where the panels cannot be listed; of a panel that cannot be read its own check tells.
    pub fn verify_photos(&self) -> Result<Vec<VerifyReport>, JournalError> {
        let mut reports = Vec::new();
        let mut seen_before = BTreeSet::new();
        for id in self.panel_ids()? {
            let Ok((_, entries)) = self.open_panel(&id) else { continue };
            let looks = entries.iter().filter_map(|entry| {
                let PanelEvent::Inspected(seen) = &entry.event else { return None };
                seen.photo.as_ref().zip(seen.photo_sha256.as_ref())
            });
            for (name, sum) in looks {
                let path = self.photo_path(name, sum);
                if !seen_before.insert(path.clone()) {
                    continue;
                }
                reports.extend(self.report_photo(&id, name, sum, &path));
            }
        }
        Ok(reports)
    }

    /// What is wrong with a photograph of that panel, if anything is.
    fn report_photo(&self, panel: &Id, name: &str, sum: &str, path: &Path) -> Option<VerifyReport> {
        let what = match read_bounded(path) {
            Ok(bytes) if HEXLOWER.encode(&Sha256::digest(&bytes)) == sum => return None,
            Ok(_) => {
                "its bytes are not those that were kept; put the original there again, or a copy of yours".to_owned()
            }
            Err(e) if e.kind() == io::ErrorKind::NotFound => {
                "it is gone; put a copy of it there again under this name".to_owned()
            }
            Err(e) => FileError::from_io_error(&e).to_string(),
        };
        let message = format!("the photograph {name} of {panel}: {what}");
        Some(VerifyReport::not_a_journal(path, DamageKind::Photo, message))
    }
}

/// The bytes of a file, and no more of them than tell that it is too long.
fn read_bounded(path: &Path) -> io::Result<Vec<u8>> {
    files::refuse_special(path)?;
    let mut bytes = Vec::new();
    fs::File::open(path)?.take(PHOTO_BYTES_MAX + 1).read_to_end(&mut bytes)?;
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The sum of "abc" is the first example of FIPS 180-2, appendix B.1.
    #[test]
    fn a_photograph_is_filed_under_the_sum_of_its_bytes() {
        let dir = tempfile::tempdir().unwrap();
        let shelf = Shelf::open(dir.path().join("data"));
        let source = dir.path().join("Wren.JPG");
        fs::write(&source, "abc").unwrap();
        let sum = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(shelf.keep_photo(&source), Ok(sum.to_owned()));
        assert_eq!(shelf.keep_photo(&source), Ok(sum.to_owned()));
        let kept = dir.path().join("data/photos").join(format!("{sum}.jpg"));
        assert_eq!(fs::read(&kept).unwrap(), b"abc");
        assert_eq!(shelf.read_photo("Wren.JPG", sum), Some(b"abc".to_vec()));
        fs::write(&kept, "abd").unwrap();
        assert_eq!(shelf.read_photo("Wren.JPG", sum), None, "other bytes under its name");
    }

    #[test]
    fn what_is_no_photograph_is_refused_and_leaves_nothing() {
        let dir = tempfile::tempdir().unwrap();
        let shelf = Shelf::open(dir.path().join("data"));
        fs::write(dir.path().join("empty.jpg"), "").unwrap();
        fs::File::create(dir.path().join("long.jpg")).unwrap().set_len(PHOTO_BYTES_MAX + 1).unwrap();
        for (name, says) in [
            ("none.jpg", "no such file"),
            ("empty.jpg", "there is nothing in it"),
            ("long.jpg", "longer than 64 MB"),
            (".", "directory"),
        ] {
            let error = shelf.keep_photo(&dir.path().join(name)).unwrap_err().to_string();
            assert!(error.contains(says), "{name}: {error}");
        }
        assert!(!dir.path().join("data").exists());
    }

    #[test]
    fn an_ending_cannot_lead_out_of_the_drawer() {
        let shelf = Shelf::open("/data");
        for (name, ends) in [
            ("a.jpeg", "ab.jpeg"),
            ("a", "ab.bin"),
            ("a.j/../x", "ab.bin"),
            ("a.toolong", "ab.bin"),
            ("a.j g", "ab.bin"),
        ] {
            assert_eq!(shelf.photo_path(name, "ab"), Path::new("/data/photos").join(ends), "{name}");
        }
    }
}
