//! What is at hand, told without reading what the rack says is not: unfinished panels, and the pots they name or could use,
//! with those they came from and led to.

use super::Bench;
use super::journaled_story::{JournaledStory, Snapshot};
use crate::record::files::Lock;
use crate::record::journal::JournalError;
use crate::record::shelf::{Drawer, Rack, RackPot};
use crate::units::{Id, Moment, Span, Stamp};
use crate::work::panel::state::Panel;
use crate::work::pot::fold::Pot;
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

/// A pot nothing was written of for longer is forgotten, and not at hand unless it belongs to one that is (assumed).
const POT_AT_HAND_DAYS: f64 = 30.0;
/// So many of the pots that ended last stay at hand: how they cooled tells of the next, and a mistaken end is taken back
/// (assumed).
const ENDED_POTS_AT_HAND: usize = 4;

/// So many panels at least are looked at on every core.
const PARALLEL_FROM: usize = 16;

/// A panel's id, the size its file had, and what came of reading it.
type OpenedPanel = (Id, Option<u64>, Result<JournaledStory<Panel>, JournalError>);

/// Whether a panel can be left unread from now on, as long as nothing is added to it.
fn is_done(snapshot: &Snapshot, now: Moment) -> bool {
    snapshot.story.is_some() && snapshot.damage.is_none() && !snapshot.is_unfinished(now)
}

/// What the rack keeps of a pot; nothing of one that is damaged, which is read and told every time.
fn rack_pot(snapshot: &Snapshot<Pot>) -> Option<RackPot> {
    let story = snapshot.story.as_ref().filter(|_| snapshot.damage.is_none())?;
    let written = story.entries().last()?.written.wall;
    let has_ended = story.pot().end().is_some();
    Some(RackPot { written, has_ended, parent: story.pot().opened().parent.clone() })
}

impl Bench {
    /// Puts the panels at hand that are not finished or given up. Returns those whose journals cannot be read, and why.
    pub(super) fn load_unfinished(&mut self, now: Moment) -> Result<Vec<(Id, JournalError)>, JournalError> {
        let mut failed = Vec::new();
        for (id, size, opened) in self.open_unlisted_panels()? {
            let journaled = match opened {
                Ok(journaled) => journaled,
                Err(error) => {
                    // A panel whose journal has vanished is no longer on the rack.
                    let exists = self.shelf.story_path(Drawer::Panels, &id).exists();
                    failed.extend(exists.then_some((id, error)));
                    continue;
                }
            };
            let snapshot = journaled.snapshot();
            if snapshot.is_unfinished(now) {
                self.panels.stories.push(journaled);
            }
            if let Some(size) = size.filter(|_| is_done(&snapshot, now)) {
                self.rack.add_finished(id, size);
            }
        }
        Ok(failed)
    }

    /// Reads the panels that are neither on the bench nor listed as finished, on every core; each with the size its file
    /// had before: what is added meanwhile makes it another.
    fn open_unlisted_panels(&self) -> Result<Vec<OpenedPanel>, JournalError> {
        let here: BTreeSet<&Id> = self.panels.stories.iter().map(|k| &k.id).collect();
        let rack = self.shelf.read_rack().unwrap_or_default();
        let ids = self.shelf.panel_ids()?;
        let open = |id: &Id| {
            let size = self.shelf.story_size(Drawer::Panels, id);
            let is_finished = |rack: &Rack| size.is_some_and(|size| rack.is_finished(id, size));
            let is_listed = is_finished(&rack) || is_finished(&self.rack);
            (!is_listed).then(|| (id.clone(), size, JournaledStory::open(&self.shelf, Drawer::Panels, id)))
        };
        // A few are read before another core is awake.
        let unread: Vec<&Id> = ids.iter().filter(|id| !here.contains(id)).collect();
        if unread.len() < PARALLEL_FROM {
            return Ok(unread.into_iter().filter_map(open).collect());
        }
        Ok(unread.into_par_iter().with_min_len(8).filter_map(open).collect())
    }

    /// Puts the boards in the places they were moved to; those nobody moved come behind, as they were opened.
    pub(super) fn sort_by_places(&mut self) {
        let rack = self.shelf.read_rack().unwrap_or_default();
        let places = rack.places();
        let place = |id: &Id| places.iter().position(|placed| placed == id).unwrap_or(places.len());
        self.panels.stories.sort_by_key(|k| place(&k.id));
    }

    /// Keeps the places in which the boards lie, from left to right. What cannot be kept costs nothing but the order.
    pub fn keep_places(&mut self, places: Vec<Id>, now: Moment) {
        let Ok(lock) = self.shelf.lock() else { return };
        let stored = self.shelf.read_rack();
        let rack = match stored {
            Some(rack) => Ok(rack),
            None => self.complete_rack(Rack::default(), now),
        };
        if let Ok(mut rack) = rack {
            rack.set_places(places);
            let _ = self.shelf.store_rack(&lock, &rack);
        }
    }

    /// Puts the pots at hand that are in use, those the panels here name, the few that ended last, and all that belong to
    /// them, oldest first.
    ///
    /// # Errors
    /// A [`JournalError`] if the shelf cannot be read at all; a single pot that cannot be read is told as damaged.
    pub fn load_rack_pots(&mut self, now: Moment) -> Result<Vec<Snapshot<Pot>>, JournalError> {
        let rack = self.shelf.read_rack().unwrap_or_default();
        let mut known: BTreeMap<Id, RackPot> = BTreeMap::new();
        let mut read = BTreeSet::new();
        let mut wanted: BTreeSet<Id> = self
            .snapshots()
            .iter()
            .filter_map(|t| t.story.as_ref())
            .flat_map(|s| s.panel().pot_ids())
            .cloned()
            .collect();
        for id in self.shelf.ids(Drawer::Pots)? {
            let size = self.shelf.story_size(Drawer::Pots, &id);
            let listed = size.and_then(|size| rack.pot(&id, size).or(self.rack.pot(&id, size))).cloned();
            let pot = listed.or_else(|| {
                let is_new = !self.pots.contains(&id);
                let pot = rack_pot(&self.pots.load_even_unreadable(&self.shelf, &id));
                if let (Some(size), Some(pot)) = (size, &pot) {
                    self.rack.add_pot(id.clone(), size, pot.clone());
                }
                is_new.then(|| read.insert(id.clone()));
                pot
            });
            if pot.as_ref().is_none_or(|pot| !pot.has_ended && is_of_late(pot.written, now)) {
                wanted.insert(id.clone());
            }
            known.extend(pot.map(|pot| (id, pot)));
        }
        wanted.extend(latest_ended_pots(&known, now));
        add_relatives(&mut wanted, &known);
        for id in wanted.iter().filter(|id| known.contains_key(*id)) {
            self.pots.load_even_unreadable(&self.shelf, id);
        }
        // What is shown does not depend on what the rack happened to list.
        self.pots.stories.retain(|k| wanted.contains(&k.id) || !read.contains(&k.id));
        self.pots.sort_by_opening();
        Ok(self.pot_snapshots())
    }

    /// Keeps the rack once something was recorded. A story that goes on needs no entry; one that `has_ended` gets it, and
    /// so does whatever else the rack does not list as it is now.
    pub(super) fn update_rack(&self, lock: &Lock, has_ended: bool, now: Moment) {
        let stored = self.shelf.read_rack();
        if stored.is_some() && !has_ended {
            return;
        }
        if let Ok(rack) = self.complete_rack(stored.unwrap_or_default(), now) {
            // A list that cannot be kept costs a slower start and nothing else.
            let _ = self.shelf.store_rack(lock, &rack);
        }
    }

    /// The rack with everything on the shelf, what it lists as it is now taken over unread.
    fn complete_rack(&self, before: Rack, now: Moment) -> Result<Rack, JournalError> {
        let mut rack = Rack::with_places(before.places().to_vec());
        for id in self.shelf.panel_ids()? {
            let Some(size) = self.shelf.story_size(Drawer::Panels, &id) else { continue };
            let read = || JournaledStory::<Panel>::open(&self.shelf, Drawer::Panels, &id);
            if before.is_finished(&id, size) || read().is_ok_and(|k| is_done(&k.snapshot(), now)) {
                rack.add_finished(id, size);
            }
        }
        for id in self.shelf.ids(Drawer::Pots)? {
            let Some(size) = self.shelf.story_size(Drawer::Pots, &id) else { continue };
            let read = || rack_pot(&JournaledStory::<Pot>::open(&self.shelf, Drawer::Pots, &id).ok()?.snapshot());
            if let Some(pot) = before.pot(&id, size).cloned().or_else(read) {
                rack.add_pot(id, size, pot);
            }
        }
        Ok(rack)
    }

    /// [`Bench::update_rack`] after something was recorded on that panel.
    pub(super) fn update_rack_of_panel(&self, lock: &Lock, snapshot: &Snapshot, now: Moment) {
        self.update_rack(lock, is_done(snapshot, now), now);
    }
}

fn is_of_late(written: Stamp, now: Moment) -> bool {
    now.wall - written <= Span::from_h(POT_AT_HAND_DAYS * 24.0)
}

/// The pots that ended last, of those written to of late.
fn latest_ended_pots(known: &BTreeMap<Id, RackPot>, now: Moment) -> Vec<Id> {
    let mut ended: Vec<_> = known.iter().filter(|(_, pot)| pot.has_ended && is_of_late(pot.written, now)).collect();
    ended.sort_by_key(|(id, pot)| (std::cmp::Reverse(pot.written), *id));
    ended.into_iter().take(ENDED_POTS_AT_HAND).map(|(id, _)| id.clone()).collect()
}

/// Adds the pots those came from and led to: what is said of one rests on what was poured out of the others.
fn add_relatives(wanted: &mut BTreeSet<Id>, known: &BTreeMap<Id, RackPot>) {
    loop {
        let before = wanted.len();
        for (id, pot) in known {
            let Some(parent) = &pot.parent else { continue };
            if wanted.contains(parent) {
                wanted.insert(id.clone());
            } else if wanted.contains(id) {
                wanted.insert(parent.clone());
            }
        }
        if wanted.len() == before {
            return;
        }
    }
}
