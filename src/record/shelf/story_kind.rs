//! Which kind of story a file holds, and what is done alike for all kinds.

use super::{Drawer, Shelf};
use crate::record::files::{Lock, find_special_kind};
use crate::record::journal::storage::Storage;
use crate::record::journal::verify::{MendReport, VerifyReport, mend, verify};
use crate::record::journal::{DamageKind, JournalError, JournalEvent};
use crate::text::FileError;
use crate::units::{Id, NameKey, Stamp};
use crate::work::stock::event::StockEvent;
use crate::work::{air, panel, pot, trial};
use std::path::{Path, PathBuf};
use std::{fs, io};

/// How much of a file is looked at for the word of its kind, bytes: it stands near the beginning of the first line.
const PROBE_LEN: usize = 4096;

/// The kinds of stories.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum StoryKind {
    Panel,
    Pot,
    Trial,
    Air,
    Stock,
}

impl StoryKind {
    /// By what the first line says, else by where the file lies.
    fn detect(storage: &dyn Storage, path: &Path) -> StoryKind {
        let mut beginning = vec![0; PROBE_LEN];
        let read = storage.open_read(path).and_then(|mut file| file.read_at(0, &mut beginning)).unwrap_or(0);
        beginning.truncate(read);
        let says = |format: &str| {
            let word = format!("\"format\":\"{format}\"");
            beginning.windows(word.len()).any(|w| w == word.as_bytes())
        };
        let lies_in = path.parent().and_then(Path::file_name).and_then(|n| n.to_str()).unwrap_or_default();
        if says(panel::event::PanelEvent::FORMAT) {
            StoryKind::Panel
        } else if says(pot::event::PotEvent::FORMAT) || lies_in == Drawer::Pots.dir_name() {
            StoryKind::Pot
        } else if says(trial::event::TrialEvent::FORMAT) || lies_in == Drawer::Trials.dir_name() {
            StoryKind::Trial
        } else if says(air::AirEvent::FORMAT) || path.file_name().is_some_and(|n| n == "air.jsonl") {
            StoryKind::Air
        } else if says(StockEvent::FORMAT) || path.file_name().is_some_and(|n| n == "stock.jsonl") {
            StoryKind::Stock
        } else {
            StoryKind::Panel
        }
    }
}

/// The journals that may lie beside the drawers.
const ROOT_JOURNALS: [&str; 3] = ["air.jsonl", "plan.jsonl", "stock.jsonl"];

/// What mending puts aside, and what is hidden, belongs to no story and is told of nowhere.
fn is_put_aside(name: &str) -> bool {
    name.starts_with('.') || name.contains(".jsonl.damaged-")
}

fn is_stray_among_stories(name: &str) -> bool {
    !is_put_aside(name) && name.strip_suffix(".jsonl").and_then(Id::new).is_none()
}

fn is_stray_beside(name: &str) -> bool {
    !is_put_aside(name) && name.ends_with(".jsonl") && !ROOT_JOURNALS.contains(&name)
}

/// The paths in a directory, in order; none if it is not there.
fn list_dir(dir: &Path) -> Result<Vec<PathBuf>, JournalError> {
    let unread = |e: &io::Error| JournalError::ReadFailed { path: dir.to_owned(), error: FileError::from_io_error(e) };
    let found = match fs::read_dir(dir) {
        Ok(found) => found,
        Err(e) if e.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(e) => return Err(unread(&e)),
    };
    let mut paths = found.map(|entry| Ok(entry?.path())).collect::<io::Result<Vec<_>>>().map_err(|e| unread(&e))?;
    paths.sort_by_cached_key(|path| NameKey(path.to_string_lossy().into_owned()));
    Ok(paths)
}

/// What is said of a path that leads to no file.
fn report_special(path: &Path) -> Option<VerifyReport> {
    let kind = find_special_kind(path)?;
    let message = format!("it is {kind} where a file should be, and is passed over; take it away");
    Some(VerifyReport::not_a_journal(path, DamageKind::Special, message))
}

impl Shelf {
    /// Every journal on the shelf: panels, pots, trials, the air.
    ///
    /// # Errors
    /// [`JournalError::ReadFailed`].
    pub fn journal_paths(&self) -> Result<Vec<PathBuf>, JournalError> {
        let mut files = Vec::new();
        for drawer in [Drawer::Panels, Drawer::Pots, Drawer::Trials] {
            files.extend(self.ids(drawer)?.iter().map(|id| self.story_path(drawer, id)));
        }
        files.extend([self.air_path(), self.stock_path()].into_iter().filter(|file| file.exists()));
        Ok(files)
    }

    /// Those of the shelf's single files that are passed over, being no files, each with the sentence that says so.
    pub fn find_passed_over(&self) -> Vec<String> {
        let paths = [self.air_path(), self.stock_path(), self.rack_path()];
        let reports = paths.iter().filter_map(|path| report_special(path));
        reports
            .flat_map(|r| r.damages.into_iter().map(move |d| format!("{}: {}", r.path.display(), d.message)))
            .collect()
    }

    /// What lies where only journals should, and is none: names that are no journal's, among the stories and beside them;
    /// pipes and the like in the place of the lock and the rack.
    ///
    /// # Errors
    /// [`JournalError::ReadFailed`].
    pub fn find_strangers(&self) -> Result<Vec<VerifyReport>, JournalError> {
        let mut reports = Vec::new();
        let dirs = [Drawer::Panels, Drawer::Pots, Drawer::Trials].map(|drawer| self.drawer_path(drawer));
        for dir in dirs.iter().map(PathBuf::as_path).chain([self.root()]) {
            for path in list_dir(dir)? {
                let name = path.file_name().and_then(|n| n.to_str()).unwrap_or_default();
                let is_stray = if dir == self.root() { is_stray_beside(name) } else { is_stray_among_stories(name) };
                if is_stray {
                    let message = "no panel, pot, trial or air is kept under this name, so it is passed over; take it away, or rename it to ID.jsonl";
                    reports.push(VerifyReport::not_a_journal(&path, DamageKind::Stray, message.to_owned()));
                } else if dir == self.root() && matches!(name, "lock" | "rack.json") {
                    reports.extend(report_special(&path));
                }
            }
        }
        Ok(reports)
    }

    /// Looks at a journal as a whole; which kind of story it holds is taken from what it says and where it lies.
    ///
    /// # Errors
    /// [`JournalError::ReadFailed`].
    pub fn verify(&self, path: &Path) -> Result<VerifyReport, JournalError> {
        if let Some(special) = report_special(path) {
            return Ok(special);
        }
        let storage = self.storage().as_ref();
        match StoryKind::detect(storage, path) {
            StoryKind::Panel => verify::<panel::event::PanelEvent>(storage, path),
            StoryKind::Pot => verify::<pot::event::PotEvent>(storage, path),
            StoryKind::Trial => verify::<trial::event::TrialEvent>(storage, path),
            StoryKind::Air => verify::<air::AirEvent>(storage, path),
            StoryKind::Stock => verify::<StockEvent>(storage, path),
        }
    }

    /// Mends a journal. What is no file is let be.
    ///
    /// # Errors
    /// Those of `journal::verify::mend`.
    pub fn mend(&self, lock: &Lock, path: &Path, now: Stamp) -> Result<MendReport, JournalError> {
        if let Some(damage) = report_special(path).and_then(|report| report.damages.into_iter().next()) {
            return Ok(MendReport { kept_events: 0, lost_events: 0, backup: None, message: damage.message });
        }
        let storage = self.storage().as_ref();
        match StoryKind::detect(storage, path) {
            StoryKind::Panel => mend::<panel::event::PanelEvent>(storage, lock, path, now),
            StoryKind::Pot => mend::<pot::event::PotEvent>(storage, lock, path, now),
            StoryKind::Trial => mend::<trial::event::TrialEvent>(storage, lock, path, now),
            StoryKind::Air => mend::<air::AirEvent>(storage, lock, path, now),
            StoryKind::Stock => mend::<StockEvent>(storage, lock, path, now),
        }
    }
}
