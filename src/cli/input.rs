//! The text a command is given to read: a file, or what comes on stdin for `-`; whole, or not at all.
//!
//! How much of it there may be goes by what it is. What is larger is refused and never cut, since the last line of a
//! cut file may still look like one.

use super::error::CliError;
use crate::text::FileError;
use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

/// What is read, and with it how large it may be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum InputKind {
    /// A recipe: a page or two.
    Recipe,
    /// What a logger or thermometer wrote: a reading every ten minutes for five years is some ten MiB.
    Readings,
    /// Times typed from a sheet: a few lines a panel.
    Times,
}

impl InputKind {
    /// The largest that is read, MiB; far above any real one (assumed).
    const fn max_mib(self) -> u64 {
        match self {
            InputKind::Recipe | InputKind::Times => 1,
            InputKind::Readings => 16,
        }
    }

    /// What it is and what to try, once it is too large.
    const fn too_large_advice(self) -> &'static str {
        match self {
            InputKind::Recipe => "no recipe is that large; look whether it is the right file",
            InputKind::Times => "no sheet is that large; look whether it is the right file",
            InputKind::Readings => "divide it into several files and give one after the other",
        }
    }

    /// The whole text of that file; `-` is stdin.
    ///
    /// # Errors
    /// A [`CliError`] if it cannot be read, is too large, or is no UTF-8.
    pub(super) fn read_text(self, path: &Path) -> Result<String, CliError> {
        let named = if path.as_os_str() == "-" { "stdin".to_owned() } else { path.display().to_string() };
        let failed =
            |e: io::Error| CliError::failed(format!("{named} cannot be read: {}", FileError::from_io_error(&e)));
        let most = self.max_mib() << 20;
        let mut bytes = Vec::new();
        if path.as_os_str() == "-" {
            io::stdin().lock().take(most + 1).read_to_end(&mut bytes).map_err(failed)?;
        } else {
            File::open(path).map_err(failed)?.take(most + 1).read_to_end(&mut bytes).map_err(failed)?;
        }
        if bytes.len() as u64 > most {
            let message = format!("{named} is larger than {} MiB: {}", self.max_mib(), self.too_large_advice());
            return Err(CliError::failed(message));
        }
        let no_text = |_| CliError::failed(format!("{named} is no plain text; save it as UTF-8"));
        String::from_utf8(bytes).map_err(no_text)
    }
}
