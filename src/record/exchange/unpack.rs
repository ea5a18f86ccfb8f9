//! A pack taken apart into a directory, and held to its sums. A name never leads out of that directory, and nothing but
//! plain files is taken: no link, no device.

use super::pack::{SUMS_FILE, TOP_DIR};
use crate::record::files;
use crate::text::FileError;
use data_encoding::HEXLOWER;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fmt;
use std::fs::File;
use std::io::{self, Read, Write};
use std::path::{Component, Path, PathBuf};

/// Why a pack was not taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PackError {
    /// It cannot be read, or is no tar.
    Unreadable(FileError),
    /// It cannot be taken apart.
    Unwritable(FileError),
    /// It has something in it that is no plain file, or whose name leads elsewhere.
    Unsafe {
        /// The name.
        name: String,
    },
    /// One name comes twice.
    Twice {
        /// The name.
        name: String,
    },
    /// The sums, which come last, are not there.
    CutOff,
    /// Files that are not what they were when they were packed, are missing, or were put in afterwards.
    WrongSums {
        /// Their names.
        names: Vec<String>,
    },
}

impl fmt::Display for PackError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PackError::Unreadable(error) => write!(f, "it cannot be read as a tar file: {error}"),
            PackError::Unwritable(error) => write!(f, "it cannot be taken apart: {error}"),
            PackError::Unsafe { name } => {
                write!(f, "{name} in it is no plain file inside of it, so nothing of it is taken")
            }
            PackError::Twice { name } => write!(f, "{name} is in it twice, so nothing of it is taken"),
            PackError::CutOff => {
                write!(f, "the list of sums at its end is missing: it was cut off; copy it anew from where it was made")
            }
            PackError::WrongSums { names } => {
                let shown: Vec<&str> = names.iter().take(3).map(String::as_str).collect();
                let more = if names.len() > shown.len() {
                    format!(" and {} more", names.len() - shown.len())
                } else {
                    String::new()
                };
                write!(
                    f,
                    "not what was packed: {}{more}; copy it anew from where it was made, or take it apart with tar and bring the directory",
                    shown.join(", ")
                )
            }
        }
    }
}

impl std::error::Error for PackError {}

/// A pack that was taken apart.
#[derive(Debug)]
pub struct Unpacked {
    /// The directory of the shelf in it.
    pub shelf_dir: PathBuf,
    /// How many files were held to a sum; none in a tar that another program made.
    pub files_checked: Option<usize>,
}

/// Takes a pack apart into `dir`, which must be empty, and holds it to its sums.
///
/// # Errors
/// [`PackError`]; what lies in `dir` is then not to be used.
pub fn unpack(pack: &Path, dir: &Path) -> Result<Unpacked, PackError> {
    let unreadable = |e: &io::Error| PackError::Unreadable(FileError::from_io_error(e));
    files::refuse_special(pack).map_err(|e| unreadable(&e))?;
    let mut tar = tar::Archive::new(File::open(pack).map_err(|e| unreadable(&e))?);
    let mut sums: BTreeMap<PathBuf, String> = BTreeMap::new();
    for entry in tar.entries().map_err(|e| unreadable(&e))? {
        let mut entry = entry.map_err(|e| unreadable(&e))?;
        let name = safe_name(&mut entry)?;
        match entry.header().entry_type() {
            tar::EntryType::Directory | tar::EntryType::XGlobalHeader => {}
            tar::EntryType::Regular => {
                let sum = write_entry(&mut entry, &dir.join(&name))?;
                if sums.insert(name.clone(), sum).is_some() {
                    return Err(PackError::Twice { name: name.display().to_string() });
                }
            }
            _ => return Err(PackError::Unsafe { name: name.display().to_string() }),
        }
    }
    if sums.is_empty() {
        return Err(PackError::CutOff);
    }
    let files_checked = check_sums(dir, &sums)?;
    Ok(Unpacked { shelf_dir: find_shelf_dir(dir, &sums), files_checked })
}

/// The name of an entry, if it stays where it is put.
fn safe_name(entry: &mut tar::Entry<'_, File>) -> Result<PathBuf, PackError> {
    let shown = String::from_utf8_lossy(&entry.path_bytes()).into_owned();
    let name = entry.path().map_err(|_| PackError::Unsafe { name: shown.clone() })?;
    let mut safe = PathBuf::new();
    for component in name.components() {
        match component {
            Component::Normal(part) => safe.push(part),
            Component::CurDir => {}
            Component::Prefix(_) | Component::RootDir | Component::ParentDir => {
                return Err(PackError::Unsafe { name: shown });
            }
        }
    }
    Ok(safe)
}

/// Writes an entry out, and gives its sum.
fn write_entry(entry: &mut tar::Entry<'_, File>, path: &Path) -> Result<String, PackError> {
    let unwritable = |e: &io::Error| PackError::Unwritable(FileError::from_io_error(e));
    files::ensure_dir(&files::parent_dir(path)).map_err(|e| unwritable(&e))?;
    let twice = |e: &io::Error| match e.kind() {
        io::ErrorKind::AlreadyExists => PackError::Twice { name: path.display().to_string() },
        _ => unwritable(e),
    };
    let mut file = files::private_open_options().write(true).create_new(true).open(path).map_err(|e| twice(&e))?;
    let (mut sum, mut piece) = (Sha256::new(), vec![0; 1 << 16]);
    loop {
        let read = entry.read(&mut piece).map_err(|e| PackError::Unreadable(FileError::from_io_error(&e)))?;
        if read == 0 {
            return Ok(HEXLOWER.encode(&sum.finalize()));
        }
        sum.update(&piece[..read]);
        file.write_all(&piece[..read]).map_err(|e| unwritable(&e))?;
    }
}

/// Holds every file to the list of sums, and the list to the files. A tar that another program made has none.
fn check_sums(dir: &Path, found: &BTreeMap<PathBuf, String>) -> Result<Option<usize>, PackError> {
    let top = Path::new(TOP_DIR);
    let list = top.join(SUMS_FILE);
    if !found.contains_key(&list) {
        let is_ours = found.keys().any(|name| name.starts_with(top));
        return if is_ours { Err(PackError::CutOff) } else { Ok(None) };
    }
    let text = files::read_file(&dir.join(&list)).map_err(|e| PackError::Unreadable(FileError::from_io_error(&e)))?;
    let text = String::from_utf8_lossy(&text);
    let listed: BTreeMap<PathBuf, &str> =
        text.lines().filter_map(|line| line.split_once("  ")).map(|(sum, name)| (top.join(name), sum)).collect();
    let wrong = |name: &&PathBuf| found.get(*name).map(String::as_str) != listed.get(*name).copied();
    let mut names: Vec<&PathBuf> =
        listed.keys().chain(found.keys().filter(|name| **name != list)).filter(wrong).collect();
    names.sort();
    names.dedup();
    match names.is_empty() {
        true => Ok(Some(listed.len())),
        false => Err(PackError::WrongSums { names: names.iter().map(|name| name.display().to_string()).collect() }),
    }
}

/// Where in the directory the shelf lies: the one that holds panels, pots or the air, at the top or below.
fn find_shelf_dir(dir: &Path, found: &BTreeMap<PathBuf, String>) -> PathBuf {
    let is_part = |name: &Path| ["panels", "pots"].iter().any(|part| name.ends_with(part));
    let holder = |name: &PathBuf| {
        let parent = name.parent()?;
        let shelf = if is_part(parent) { parent.parent()? } else { parent };
        (is_part(parent) || name.ends_with("air.jsonl")).then(|| shelf.to_owned())
    };
    let top = || Some(PathBuf::from(TOP_DIR)).filter(|top| found.keys().any(|name| name.starts_with(top)));
    dir.join(found.keys().find_map(holder).or_else(top).unwrap_or_default())
}
