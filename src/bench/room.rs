//! What is known beside the panels at hand: the room's air, and what earlier panels teach.
//!
//! Read from the twenty newest stories, aside from the journals at hand and without their lock, so that nobody waits for it.

use super::{Bench, Looks};
use crate::record::journal;
use crate::record::shelf::{Drawer, Shelf};
use crate::units::Id;
use crate::work::air::Air;
use crate::work::learn::{Learned, NEWEST};
use crate::work::panel::event::Event;
use crate::work::panel::story::Story;

/// The room and what was learned in it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Room {
    /// The readings of the air.
    pub air: Air,
    /// What the newest panels teach.
    pub learned: Learned,
    /// Which finished panels are to be looked over.
    pub looks: Looks,
}

impl Room {
    /// Reads it, save the looks, which whoever reads it keeps ([`Looks::read_on`]). What cannot be read is left out: it costs an estimate and nothing else.
    pub fn read(shelf: &Shelf) -> Room {
        let air = Bench::new(shelf.clone()).air().unwrap_or_default();
        let stories: Vec<Story> = newest(shelf).iter().filter_map(|id| story(shelf, id)).collect();
        let learned = Learned::of(&stories, &air);
        Room { air, learned, looks: Looks::default() }
    }
}

/// The newest panels by when they were opened, newest first.
fn newest(shelf: &Shelf) -> Vec<Id> {
    let opened = |id: &Id| {
        let first = journal::first::<Event>(shelf.disk().as_ref(), &shelf.file(Drawer::Panels, id));
        first.ok().map(|entry| entry.at)
    };
    let ids = shelf.panel_ids().unwrap_or_default();
    let mut opened: Vec<_> = ids.into_iter().filter_map(|id| Some((opened(&id)?, id))).collect();
    opened.sort_by(|a, b| b.cmp(a));
    opened.into_iter().take(NEWEST).map(|(_, id)| id).collect()
}

fn story(shelf: &Shelf, id: &Id) -> Option<Story> {
    let (_, entries) = shelf.open_panel(id).ok()?;
    Story::fold(entries).ok()
}
