//! The rack: the list of panels not yet finished, kept so that the bench need not read every story ever told.
//!
//! It is derived, and the only derived thing that is stored. Where it is missing, unreadable, older than the
//! panels' directory or made for another number of panels it is made anew from the stories. A rack that lists too
//! much does no harm, since every panel on it is opened and asked; one that lists too little would hide a panel.

use super::Shelf;
use crate::record::files::{self, Lock};
use crate::units::Id;
use serde::{Deserialize, Serialize};
use std::fs;
use std::path::PathBuf;

const FORMAT: u32 = 1;

#[derive(Serialize, Deserialize)]
struct RackFile {
    format: u32,
    /// How many panels there were on the shelf.
    panels: usize,
    unfinished: Vec<String>,
}

impl Shelf {
    pub(super) fn rack_path(&self) -> PathBuf {
        self.root.join("rack.json")
    }

    /// The ids of the unfinished panels: as kept, or as `rebuild` tells from all ids on the shelf. Writes nothing.
    ///
    /// # Errors
    /// Those of reading the directory.
    pub fn read_rack(&self, rebuild: impl FnOnce(Vec<Id>) -> Vec<Id>) -> Result<Vec<Id>, super::JournalError> {
        let ids = self.panel_ids()?;
        Ok(self.stored_rack(&ids).unwrap_or_else(|| rebuild(ids)))
    }

    /// The rack as kept, if it can be relied on for these panels.
    fn stored_rack(&self, ids: &[Id]) -> Option<Vec<Id>> {
        let changed = |path| fs::metadata(path).and_then(|m| m.modified()).ok();
        if changed(self.rack_path())? < changed(self.root.join(super::Drawer::Panels.dir_name()))? {
            return None;
        }
        let kept: RackFile = serde_json::from_slice(&files::read_file(&self.rack_path()).ok()?).ok()?;
        let fits = kept.format == FORMAT && kept.panels == ids.len();
        let unfinished = kept.unfinished.iter().map(|text| Id::new(text)).collect::<Option<Vec<_>>>()?;
        (fits && unfinished.iter().all(|id| ids.contains(id))).then_some(unfinished)
    }

    /// Whether the rack is kept and can be relied on.
    pub fn has_stored_rack(&self) -> bool {
        self.panel_ids().is_ok_and(|ids| self.stored_rack(&ids).is_some())
    }

    /// Keeps the rack. A failure costs a slower start and nothing else, so it fails no record: it is told by `false`,
    /// and what is kept is then removed if that can be done, so that it is not relied on.
    pub fn store_rack(&self, _lock: &Lock, unfinished: &[Id]) -> bool {
        let kept = self.panel_ids().ok().and_then(|ids| {
            let unfinished = unfinished.iter().map(|id| id.as_str().to_owned()).collect();
            let mut text = serde_json::to_vec(&RackFile { format: FORMAT, panels: ids.len(), unfinished }).ok()?;
            text.push(b'\n');
            files::replace_file(&self.rack_path(), &text).ok()
        });
        if kept.is_none() && files::refuse_special(&self.rack_path()).is_ok() {
            let _ = fs::remove_file(self.rack_path());
        }
        kept.is_some()
    }
}
