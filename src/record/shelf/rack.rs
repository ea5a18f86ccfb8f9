//! The rack: which stories need not be read to tell what is at hand, so that the bench does not read every story ever told.
//!
//! It also keeps the places in which the maker's boards lie, which follow from no story: without it they stand in the
//! order of their opening.
//!
//! It lists the finished panels, and of each pot when it was last written to and whether it has ended, each with the size of the file that was derived
//! from. A file that is not listed, or has another size, is read anew: the list may be missing, older than the stories, or
//! the work of a program that was killed, and hides nothing. It is the only derived thing that is stored, and may be
//! deleted at any time.

use super::{Drawer, Shelf};
use crate::record::files::{self, Lock};
use crate::units::{Id, Stamp};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::fs;
use std::path::PathBuf;

/// An older shape of the file is not read, and written over when the next story ends.
const FORMAT: u32 = 3;

#[derive(Serialize, Deserialize)]
struct RackFile {
    format: u32,
    /// The size of the journal by the panel's id.
    finished: BTreeMap<String, u64>,
    pots: BTreeMap<String, RackPotLine>,
    /// The boards from left to right; none where nobody moved one.
    #[serde(default)]
    places: Vec<String>,
}

#[derive(Serialize, Deserialize)]
struct RackPotLine {
    size: u64,
    written_ms: i64,
    ended: bool,
    parent: Option<String>,
}

/// What is known of stories without reading them.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Rack {
    finished: BTreeMap<Id, u64>,
    pots: BTreeMap<Id, (u64, RackPot)>,
    /// The boards from left to right, as the maker moved them; empty where nobody did.
    places: Vec<Id>,
}

/// What is known of a pot without reading its story.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RackPot {
    /// When it was last written to.
    pub written: Stamp,
    /// It is used up or thrown away.
    pub has_ended: bool,
    /// The pot it was poured from.
    pub parent: Option<Id>,
}

impl Rack {
    /// A rack that knows nothing yet but those places.
    pub fn with_places(places: Vec<Id>) -> Rack {
        Rack { places, ..Rack::default() }
    }

    /// The boards from left to right, as the maker moved them; empty where nobody did.
    pub fn places(&self) -> &[Id] {
        &self.places
    }

    /// The boards lie so from now on.
    pub fn set_places(&mut self, places: Vec<Id>) {
        self.places = places;
    }

    /// Whether that panel was finished or given up when its file had that size.
    pub fn is_finished(&self, id: &Id, size: u64) -> bool {
        self.finished.get(id) == Some(&size)
    }

    /// Notes that a panel is finished or given up.
    pub fn add_finished(&mut self, id: Id, size: u64) {
        self.finished.insert(id, size);
    }

    /// What is known of a pot whose file has that size.
    pub fn pot(&self, id: &Id, size: u64) -> Option<&RackPot> {
        self.pots.get(id).filter(|(of, _)| *of == size).map(|(_, pot)| pot)
    }

    /// Notes what the story of a pot says.
    pub fn add_pot(&mut self, id: Id, size: u64, pot: RackPot) {
        self.pots.insert(id, (size, pot));
    }

    fn to_file(&self) -> RackFile {
        let pot = |(size, pot): &(u64, RackPot)| RackPotLine {
            size: *size,
            written_ms: pot.written.ms(),
            ended: pot.has_ended,
            parent: pot.parent.as_ref().map(ToString::to_string),
        };
        RackFile {
            format: FORMAT,
            finished: self.finished.iter().map(|(id, size)| (id.to_string(), *size)).collect(),
            pots: self.pots.iter().map(|(id, known)| (id.to_string(), pot(known))).collect(),
            places: self.places.iter().map(ToString::to_string).collect(),
        }
    }

    /// None where the file is of another shape, or names what can be no id.
    fn from_file(file: RackFile) -> Option<Rack> {
        let pot = |(id, line): (String, RackPotLine)| {
            let parent = match line.parent {
                Some(text) => Some(Id::new(&text)?),
                None => None,
            };
            let pot = RackPot { written: Stamp::from_ms(line.written_ms), has_ended: line.ended, parent };
            Some((Id::new(&id)?, (line.size, pot)))
        };
        let finished = file.finished.into_iter().map(|(id, size)| Some((Id::new(&id)?, size)));
        (file.format == FORMAT).then_some(())?;
        Some(Rack {
            finished: finished.collect::<Option<_>>()?,
            pots: file.pots.into_iter().map(pot).collect::<Option<_>>()?,
            places: file.places.iter().filter_map(|id| Id::new(id)).collect(),
        })
    }
}

impl Shelf {
    pub(super) fn rack_path(&self) -> PathBuf {
        self.root.join("rack.json")
    }

    /// How many bytes a story's file has; none where there is no such file.
    pub fn story_size(&self, drawer: Drawer, id: &Id) -> Option<u64> {
        fs::metadata(self.story_path(drawer, id)).ok().filter(fs::Metadata::is_file).map(|about| about.len())
    }

    /// The rack as kept; none where there is none that this version wrote.
    pub fn read_rack(&self) -> Option<Rack> {
        Rack::from_file(serde_json::from_slice(&files::read_file(&self.rack_path()).ok()?).ok()?)
    }

    /// Keeps the rack. A failure costs a slower start and nothing else, so it fails no record.
    pub fn store_rack(&self, _lock: &Lock, rack: &Rack) -> bool {
        let text = serde_json::to_vec(&rack.to_file()).ok().map(|text| [text.as_slice(), b"\n"].concat());
        text.is_some_and(|text| files::replace_file(&self.rack_path(), &text).is_ok())
    }
}
