//! The whole shelf, read afterwards: a row for each story, what was around it, and whatever else is wanted of it.
//!
//! Stories are read one at a time on every core, and of each only what is made of it is kept. A damaged one is named and
//! left out; the rest goes on. Absent on purpose: what the rows say together (`review`), telling how far it has come.

use super::{Bench, trusted_now};
use crate::craft::materials::Filler;
use crate::record::journal::{JournalError, read_opening};
use crate::record::shelf::{Drawer, Shelf};
use crate::review::compare::UnreadableStory;
use crate::review::compared_panels::{ComparedPanel, ComparedPanels};
use crate::review::panel_row::{PanelRow, PotUse, collect_pot_uses, row_from_story};
use crate::review::panel_timeline::timeline_from_story;
use crate::review::pots_and_air::PotsAndAir;
use crate::review::recipe_from_story::recipe_from_story;
use crate::units::{Id, Moment, Stamp};
use crate::work::panel::event::PanelEvent;
use crate::work::panel::story::PanelStory;
use rayon::prelude::*;
use std::collections::BTreeSet;
use std::sync::Arc;

/// The rows of the stories that could be read, those that could not, and what was around them.
#[derive(Debug)]
pub struct PanelRows {
    /// A row for each story.
    pub rows: Vec<PanelRow>,
    /// Stories that could not be read.
    pub unreadable_stories: Vec<UnreadableStory>,
    /// Pots and air.
    pub pots_and_air: PotsAndAir,
}

/// So many stories are read before what is made of them is handed on: enough for every core, and few enough to hold.
const STORIES_PER_CHUNK: usize = 64;

/// A shelf to be read afterwards.
pub struct StoryReader<'a> {
    /// Where the stories lie.
    pub shelf: &'a Shelf,
    /// What powders weigh, loosely filled, g/ml.
    pub loose_g_per_ml: &'a [(Filler, f64)],
    /// The moment the stories are told as of.
    pub now: Moment,
    /// Called once for each story read, from any thread.
    pub on_story_read: &'a (dyn Fn() + Sync),
}

impl StoryReader<'_> {
    /// The rows of those panels; `all` tells that there are no others.
    ///
    /// # Errors
    /// A [`Failure`] if the shelf, its pots or its air cannot be read at all.
    pub fn read_rows(&self, ids: &[Id], all: bool) -> Result<PanelRows, JournalError> {
        let row = |story: &PanelStory| row_from_story(story, self.loose_g_per_ml, trusted_now(story, self.now));
        let (mut kept, mut left_out) = (Vec::new(), Vec::new());
        for one in self.map_stories(ids, &row) {
            match one {
                Ok(facts) => kept.push(facts),
                Err(out) => left_out.push(out),
            }
        }
        let mut around = self.read_pots_and_air()?;
        around.add_uses(kept.iter().flat_map(|f| f.pot_uses.iter().cloned()));
        if !all && around.needs_all_uses(&kept) {
            around.add_uses(self.read_other_uses(ids)?);
        }
        around.sort_uses();
        kept.par_iter_mut().for_each(|f| around.fill_row(f));
        Ok(PanelRows { rows: kept, unreadable_stories: left_out, pots_and_air: around })
    }

    /// Reads the stories of those rows once more, and hands over, in their order, what is made of each. Only so many are
    /// held as the cores are given at once.
    ///
    /// # Errors
    /// The first story that can no longer be read, and whatever `take` says; nothing is read after that.
    pub fn reread_stories<T: Send, E: From<UnreadableStory>>(
        &self,
        rows: &[PanelRow],
        make: &(dyn Fn(&PanelStory, &PanelRow) -> T + Sync),
        take: &mut dyn FnMut(T) -> Result<(), E>,
    ) -> Result<(), E> {
        for some in rows.chunks(STORIES_PER_CHUNK) {
            let made: Vec<Result<T, UnreadableStory>> =
                some.par_iter().map(|f| self.map_story(&f.id, &|s| make(s, f))).collect();
            for one in made {
                take(one?)?;
            }
        }
        Ok(())
    }

    /// The panels of the shelf for a view, at most so many, those opened last: rows, time lines, and a recipe of each.
    ///
    /// # Errors
    /// Those of [`Shelved::rows`].
    pub fn read_compared_panels(&self, most: usize) -> Result<ComparedPanels, JournalError> {
        let ids = self.shelf.panel_ids()?;
        let of = ids.len();
        let ids = if of > most { self.newest_ids(ids, most) } else { ids };
        let PanelRows { rows: kept, unreadable_stories: mut left_out, .. } = self.read_rows(&ids, ids.len() == of)?;
        let told = |f: PanelRow| {
            let made = self.map_story(&f.id, &|story| (timeline_from_story(story), Arc::new(recipe_from_story(story))));
            made.map(|(line, again)| ComparedPanel { row: f, timeline: line, recipe_as_done: again })
        };
        let mut ones = Vec::with_capacity(kept.len());
        for made in kept.into_par_iter().map(told).collect::<Vec<_>>() {
            match made {
                Ok(one) => ones.push(one),
                Err(out) => left_out.push(out),
            }
        }
        Ok(ComparedPanels { panels: ones, unreadable_stories: left_out, shelf_total: of })
    }

    /// The panels opened last. One whose opening cannot be read stands behind every other.
    fn newest_ids(&self, ids: Vec<Id>, most: usize) -> Vec<Id> {
        let mut opened: Vec<(Option<Stamp>, Id)> = ids
            .into_par_iter()
            .map(|id| {
                (
                    read_opening::<PanelEvent>(
                        self.shelf.storage().as_ref(),
                        &self.shelf.story_path(Drawer::Panels, &id),
                    ),
                    id,
                )
            })
            .map(|(first, id)| (first.ok().map(|entry| entry.at), id))
            .collect();
        opened.sort_by(|x, y| y.cmp(x));
        opened.truncate(most);
        opened.into_iter().map(|(_, id)| id).collect()
    }

    /// The pots and the air. One pot that cannot be read costs its columns, and is told of by `pots`.
    fn read_pots_and_air(&self) -> Result<PotsAndAir, JournalError> {
        let mut bench = Bench::new(self.shelf.clone());
        let pots = bench.load_pots()?;
        let air = bench.load_air()?;
        // Nobody else holds the stories then, so none is held twice.
        drop(bench);
        let pots = pots.into_iter().filter_map(|t| t.story).map(Arc::unwrap_or_clone).collect();
        Ok(PotsAndAir::new(pots, air, self.loose_g_per_ml.to_vec()))
    }

    /// What panels not asked for took from the pots: a pot's water depends on it.
    fn read_other_uses(&self, asked: &[Id]) -> Result<Vec<PotUse>, JournalError> {
        let asked: BTreeSet<&Id> = asked.iter().collect();
        let others: Vec<Id> = self.shelf.panel_ids()?.into_iter().filter(|id| !asked.contains(id)).collect();
        let made = self.map_stories(&others, &|story| collect_pot_uses(story.panel()));
        Ok(made.into_iter().filter_map(Result::ok).flatten().collect())
    }

    fn map_stories<T: Send>(
        &self,
        ids: &[Id],
        make: &(dyn Fn(&PanelStory) -> T + Sync),
    ) -> Vec<Result<T, UnreadableStory>> {
        ids.par_iter().map(|id| self.map_story(id, make)).collect()
    }

    /// What is made of one story; the story itself is let go before the next is read.
    fn map_story<T>(&self, id: &Id, make: &(dyn Fn(&PanelStory) -> T + Sync)) -> Result<T, UnreadableStory> {
        let made = self.read_story(id).map(|story| make(&story));
        (self.on_story_read)();
        made
    }

    fn read_story(&self, id: &Id) -> Result<PanelStory, UnreadableStory> {
        let out = |said: String, is_damaged: bool| UnreadableStory {
            path: self.shelf.story_path(Drawer::Panels, id).display().to_string(),
            message: said,
            is_damaged,
        };
        let (journal, entries) = self.shelf.open_panel(id).map_err(|e| out(e.to_string(), true))?;
        if let Some(damage) = journal.damage().filter(|d| d.kind.is_blocking()) {
            return Err(out(damage.to_string(), damage.kind.is_damage()));
        }
        PanelStory::fold(entries).map_err(|e| out(e.to_string(), true))
    }
}

#[cfg(test)]
#[path = "shelved_tests.rs"]
mod tests;
