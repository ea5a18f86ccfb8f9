//! The text a command is given to read: a file, or what comes on stdin for `-`; whole, or not at all.
//!
//! How much of it there may be goes by what it is. What is larger is refused and never cut, since the last line of a
//! cut file may still look like one. Absent on purpose: what the text means, settings (`config` reads its own).

use super::failure::Fault;
use crate::text::Trouble;
use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

/// What is read, and with it how large it may be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Text {
    /// A recipe: a page or two.
    Recipe,
    /// What a logger or thermometer wrote: a reading every ten minutes for five years is some ten MiB.
    Readings,
}

impl Text {
    /// The largest that is read, MiB; far above any real one (assumed).
    const fn most_mib(self) -> u64 {
        match self {
            Text::Recipe => 1,
            Text::Readings => 16,
        }
    }

    /// What it is and what to try, once it is too large.
    const fn too_large(self) -> &'static str {
        match self {
            Text::Recipe => "no recipe is that large; look whether it is the right file",
            Text::Readings => "divide it into several files and give one after the other",
        }
    }

    /// The whole text of that file; `-` is stdin.
    ///
    /// # Errors
    /// A [`Fault`] if it cannot be read, is too large, or is no UTF-8.
    pub(super) fn of(self, path: &Path) -> Result<String, Fault> {
        let named = if path.as_os_str() == "-" { "stdin".to_owned() } else { path.display().to_string() };
        let failed = |e: io::Error| Fault::not_done(format!("{named} cannot be read: {}", Trouble::of(&e)));
        let most = self.most_mib() << 20;
        let mut bytes = Vec::new();
        if path.as_os_str() == "-" {
            io::stdin().lock().take(most + 1).read_to_end(&mut bytes).map_err(failed)?;
        } else {
            File::open(path).map_err(failed)?.take(most + 1).read_to_end(&mut bytes).map_err(failed)?;
        }
        if bytes.len() as u64 > most {
            let said = format!("{named} is larger than {} MiB: {}", self.most_mib(), self.too_large());
            return Err(Fault::not_done(said));
        }
        let no_text = |_| Fault::not_done(format!("{named} is no plain text; save it as UTF-8"));
        String::from_utf8(bytes).map_err(no_text)
    }
}
