//! The panels and pots of another shelf: what becomes of each, and the bytes it is written with.

use super::fate::StoryFate;
use super::story_lines::{Relation, StoryLines};
use crate::record::files;
use crate::record::journal::{DamageKind, JournalError, JournalEvent};
use crate::record::shelf::{Drawer, Shelf, free_id};
use crate::text::FileError;
use crate::units::{Id, Stamp};
use crate::work::story::{CommonEvent, Filing, StoryEvent};
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// A story of the other shelf, and where it belongs here.
#[derive(Debug)]
pub struct PlacedStory<E> {
    /// The story as it lies there.
    pub theirs: StoryLines<E>,
    /// Its id here.
    pub new_id: Id,
    /// What becomes of it.
    pub fate: StoryFate,
}

/// The ids of the other shelf, and what goes by them here.
pub type NewIds = BTreeMap<Id, Id>;

/// Finds for every story of a drawer where it belongs.
///
/// # Errors
/// [`JournalError::ReadFailed`], where one of the drawers cannot be read.
pub fn place_stories<E: JournalEvent + StoryEvent>(
    shelf: &Shelf,
    source: &Shelf,
    drawer: Drawer,
) -> Result<Vec<PlacedStory<E>>, JournalError> {
    let their_ids = source.ids(drawer)?;
    let mut places = Places::of_drawer(shelf, drawer, &their_ids)?;
    let mut placed = Vec::with_capacity(their_ids.len());
    for id in their_ids {
        let theirs = StoryLines::<E>::read(source, drawer, &id)?;
        let (new_id, fate) = places.find_place(&theirs)?;
        placed.push(PlacedStory { theirs, new_id, fate });
    }
    Ok(placed)
}

/// What the ids of those stories become here. `with_parted` if a name means the copy brought, where both went on.
pub fn new_ids<E>(placed: &[PlacedStory<E>], with_parted: bool) -> NewIds {
    let counts = |p: &&PlacedStory<E>| match p.fate {
        StoryFate::New | StoryFate::Continued | StoryFate::AlreadyHere | StoryFate::Renamed => true,
        StoryFate::Parted => with_parted,
        StoryFate::LeftOut { .. } => false,
    };
    placed.iter().filter(counts).map(|p| (p.theirs.id.clone(), p.new_id.clone())).collect()
}

/// What is taken in a drawer, and which story is where.
struct Places<'s> {
    shelf: &'s Shelf,
    drawer: Drawer,
    /// Ours, by their first lines.
    by_first_line: HashMap<Vec<u8>, Vec<Id>>,
    /// Ids that stories have here.
    here: BTreeSet<Id>,
    /// Ids no story is given: those of either shelf, and those given already.
    taken: BTreeSet<Id>,
}

impl<'s> Places<'s> {
    fn of_drawer(shelf: &'s Shelf, drawer: Drawer, their_ids: &[Id]) -> Result<Places<'s>, JournalError> {
        let here: BTreeSet<Id> = shelf.ids(drawer)?.into_iter().collect();
        let mut by_first_line: HashMap<Vec<u8>, Vec<Id>> = HashMap::new();
        for id in &here {
            let line = shelf.read_first_line(&shelf.story_path(drawer, id))?;
            by_first_line.entry(line).or_default().push(id.clone());
        }
        let taken = here.iter().chain(their_ids).cloned().collect();
        Ok(Places { shelf, drawer, by_first_line, here, taken })
    }

    fn find_place<E: JournalEvent + StoryEvent>(
        &mut self,
        theirs: &StoryLines<E>,
    ) -> Result<(Id, StoryFate), JournalError> {
        let left_out = |reason: String, is_damaged| (theirs.id.clone(), StoryFate::LeftOut { reason, is_damaged });
        if let Some(damage) = theirs.damage.as_ref().filter(|d| d.kind != DamageKind::NewerVersion) {
            return Ok(left_out(format!("it is damaged there: {damage}; mend it there, then bring it"), true));
        }
        if theirs.bytes.is_empty() {
            return Ok(left_out("nothing was ever recorded in it".to_owned(), false));
        }
        match self.nearest_copy(theirs)? {
            Some((id, Relation::Contained, _)) => Ok((id, StoryFate::AlreadyHere)),
            Some((id, _, true)) => {
                Ok(left_out(format!("{id} here is damaged; mend it with `sottile verify --mend`"), true))
            }
            Some((id, Relation::Continues, false)) => Ok((id, StoryFate::Continued)),
            Some((_, Relation::Parted, false)) => Ok((self.give_id(theirs), StoryFate::Parted)),
            None if self.here.contains(&theirs.id) => Ok((self.give_id(theirs), StoryFate::Renamed)),
            None => Ok((theirs.id.clone(), StoryFate::New)),
        }
    }

    /// The copy here that has most of that story, how the other stands to it, and whether it is damaged.
    fn nearest_copy<E: JournalEvent + StoryEvent>(
        &self,
        theirs: &StoryLines<E>,
    ) -> Result<Option<(Id, Relation, bool)>, JournalError> {
        let mut nearest: Option<(Id, Relation, bool)> = None;
        for id in self.by_first_line.get(theirs.first_line()).into_iter().flatten() {
            let mine = StoryLines::<E>::read(self.shelf, self.drawer, id)?;
            let relation = mine.relation_of(theirs);
            if nearest.as_ref().is_none_or(|(_, best, _)| relation > *best) {
                nearest = Some((id.clone(), relation, mine.damage.is_some()));
            }
        }
        Ok(nearest)
    }

    fn give_id<E: JournalEvent + StoryEvent>(&mut self, theirs: &StoryLines<E>) -> Id {
        let label = theirs.entries.first().and_then(|e| e.event.header()).map_or("", |header| header.label);
        let id = free_id(label, self.drawer, &self.taken);
        self.taken.insert(id.clone());
        id
    }
}

impl<E: JournalEvent + StoryEvent> PlacedStory<E> {
    /// The bytes it is written with here: its own, and a line that says by which ids things go here, where they have
    /// others. None where nothing is written.
    ///
    /// # Errors
    /// Why it is not taken after all.
    pub fn bytes_here(&self, pots: &NewIds, groups: &NewIds, now: Stamp) -> Result<Option<Vec<u8>>, StoryFate> {
        match self.fate {
            StoryFate::AlreadyHere | StoryFate::LeftOut { .. } => return Ok(None),
            StoryFate::New | StoryFate::Continued | StoryFate::Renamed | StoryFate::Parted => {}
        }
        let filing = self.filing(pots, groups);
        let is_as_it_was = filing.id == self.theirs.id && filing.pots.is_empty() && filing.group.is_none();
        let left_out = |reason: String| StoryFate::LeftOut { reason, is_damaged: false };
        match (is_as_it_was, &self.theirs.damage) {
            (true, _) => Ok(Some(self.theirs.bytes.clone())),
            (false, Some(_)) => Err(left_out(
                "a newer version wrote in it, and another has its id here; bring it with that version".to_owned(),
            )),
            (false, None) => {
                let event = E::from(CommonEvent::Filed(Box::new(filing)));
                self.theirs.with_fact(event, now).map(Some).map_err(|error| left_out(error.to_string()))
            }
        }
    }

    /// The ids it goes by here, and those of what it names that differ.
    fn filing(&self, pots: &NewIds, groups: &NewIds) -> Filing {
        let events = || self.theirs.entries.iter().map(|e| &e.event);
        let renamed = |id: &Id, ids: &NewIds| ids.get(id).filter(|new| *new != id).cloned();
        let named = events().filter_map(StoryEvent::named_pot);
        Filing {
            id: self.new_id.clone(),
            pots: named.filter_map(|id| Some((id.clone(), renamed(id, pots)?))).collect(),
            group: events().find_map(StoryEvent::named_group).and_then(|id| renamed(id, groups)),
        }
    }

    /// Whether it is the one its group is called by, or stands alone: those it leads name it.
    pub fn leads_group(&self) -> bool {
        let group = self.theirs.entries.iter().find_map(|e| e.event.named_group());
        group.is_none_or(|group| *group == self.theirs.id)
    }
}

/// Writes a story whole. The caller holds the lock of the shelf.
///
/// # Errors
/// [`JournalError::WriteFailed`]; what was there then stands.
pub fn write_story(shelf: &Shelf, drawer: Drawer, id: &Id, bytes: &[u8]) -> Result<(), JournalError> {
    let path = shelf.story_path(drawer, id);
    files::ensure_dir(&shelf.drawer_path(drawer))
        .and_then(|()| shelf.storage().replace(&path, bytes))
        .map_err(|e| JournalError::WriteFailed { path, error: FileError::from_io_error(&e) })
}
