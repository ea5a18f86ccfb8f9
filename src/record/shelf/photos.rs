//! The drawer of photographs: `DATA/photos/<sha256>.<ext>`. A picture is filed under the sum of its own bytes, so that one
//! shown twice is kept once, and a name that fits its bytes proves that they are those the maker gave.

use super::Shelf;
use crate::record::files;
use crate::text::FileError;
use data_encoding::HEXLOWER;
use sha2::{Digest, Sha256};
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
