//! The whole shelf, read afterwards: a row for each story, what was around it, and whatever else is wanted of it.
//!
//! Stories are read one at a time on every core, and of each only what is made of it is kept. A damaged one is named
//! and left out; the rest goes on.

use super::pot_survey::lineage_from_snapshots;
use super::{Bench, Snapshot, trusted_now};
use crate::craft::materials::fillers::BulkDensities;
use crate::record::journal::{JournalError, read_opening};
use crate::record::shelf::{Drawer, Shelf};
use crate::review::compare::UnreadableStory;
use crate::review::compared_panels::{ComparedPanel, ComparedPanels};
use crate::review::panel_row::PanelRow;
use crate::review::panel_timeline::timeline_from_story;
use crate::review::pots_and_air::PotsAndAir;
use crate::review::recipe_from_story::recipe_as_coated;
use crate::review::story_facts::{PotUse, StoryFacts, collect_pot_uses, facts_from_story};
use crate::units::{Id, Moment, Stamp};
use crate::work::air::Air;
use crate::work::panel::event::PanelEvent;
use crate::work::panel::story::PanelStory;
use crate::work::pot::fold::Pot;
use crate::work::pot::lineage::PotLineage;
use crate::work::pot::story::PotStory;
use crate::work::pot::usage::PotUsage;
use rayon::iter::Either;
use rayon::prelude::*;
use std::collections::BTreeSet;
use std::sync::Arc;

/// The rows of the stories that could be read, those that could not, and the pots and the air they were made among.
#[derive(Debug)]
pub struct PanelRows {
    /// A row for each story.
    pub rows: Vec<PanelRow>,
    /// Stories that could not be read, then pots and air whose figures are missing in the rows.
    pub unreadable_stories: Vec<UnreadableStory>,
    /// Every pot of the shelf whose journal is sound.
    pub pots: Vec<Arc<PotStory>>,
    /// The air of the room.
    pub air: Arc<Air>,
    /// Pots whose journals are damaged, so that nothing is known of what was poured from them.
    damaged_pots: Vec<Id>,
    /// What other panels took from the pots, where that bears on these.
    other_uses: Vec<PotUse>,
}

impl PanelRows {
    /// The pots with every use of them, as the rows were made from; loose powders weigh what `bulk` says.
    pub fn pot_usage<'a>(&'a self, bulk: &'a BulkDensities) -> PotUsage<'a> {
        let lineage = PotLineage::new(self.pots.iter().map(Arc::as_ref)).with_damaged(&self.damaged_pots);
        let uses = self.rows.iter().flat_map(|row| &row.story.pot_uses).chain(&self.other_uses);
        PotUsage::new(lineage, uses.map(|u| (&u.pot, u.at)), bulk)
    }
}

/// So many stories are read before what is made of them is handed on: enough for every core, and few enough to hold.
const STORIES_PER_CHUNK: usize = 64;

/// A shelf to be read afterwards.
pub struct StoryReader<'a> {
    /// Where the stories lie.
    pub shelf: &'a Shelf,
    /// What powders weigh, loosely filled.
    pub bulk: &'a BulkDensities,
    /// The moment the stories are told as of.
    pub now: Moment,
    /// Called once for each story read, from any thread.
    pub on_story_read: &'a (dyn Fn() + Sync),
}

impl StoryReader<'_> {
    /// The rows of those panels; `all` tells that there are no others.
    ///
    /// # Errors
    /// A [`JournalError`] if the shelf or its drawer of pots cannot be read at all.
    pub fn read_rows(&self, ids: &[Id], all: bool) -> Result<PanelRows, JournalError> {
        let story_facts = |story: &PanelStory| facts_from_story(story, self.bulk, trusted_now(story, self.now));
        let (read, mut unreadable_stories): (Vec<StoryFacts>, Vec<UnreadableStory>) =
            self.map_stories(ids, &story_facts).into_par_iter().partition_map(|read| match read {
                Ok(story_facts) => Either::Left(story_facts),
                Err(unreadable) => Either::Right(unreadable),
            });
        let (pots, air) = self.read_pots_and_air()?;
        let lineage = lineage_from_snapshots(&pots);
        // A pot's water depends on what every panel took from it, damaged ones too.
        let is_whole_shelf = all && unreadable_stories.is_empty();
        let mut used = read.iter().flat_map(|story_facts| &story_facts.pot_uses);
        let other_uses = if !is_whole_shelf && used.any(|u| lineage.does_water_depend_on_uses(&u.pot)) {
            self.read_other_uses(&read)?
        } else {
            Vec::new()
        };
        unreadable_stories.extend(self.missing_pots(&pots, &lineage, &read));
        unreadable_stories.extend(self.missing_air(&air, &read));
        let uses = read.iter().flat_map(|story_facts| &story_facts.pot_uses).chain(&other_uses);
        let pots_and_air =
            PotsAndAir { pots: PotUsage::new(lineage, uses.map(|u| (&u.pot, u.at)), self.bulk), air: &air };
        let rows = read.into_par_iter().map(|story_facts| PanelRow::new(story_facts, &pots_and_air)).collect();
        let damaged_pots = pots.iter().filter(|t| t.sound_story().is_none()).map(|t| t.id.clone()).collect();
        let pots = pots.iter().filter_map(Snapshot::sound_story).cloned().collect();
        Ok(PanelRows { rows, unreadable_stories, pots, air, damaged_pots, other_uses })
    }

    /// The damaged pots whose figures those panels would have: they came from it, or from one poured from it. One whose
    /// opening cannot be read may have been poured from any.
    fn missing_pots(
        &self,
        pots: &[Snapshot<Pot>],
        lineage: &PotLineage<'_>,
        read: &[StoryFacts],
    ) -> Vec<UnreadableStory> {
        let used: BTreeSet<Id> =
            read.iter().flat_map(|story_facts| &story_facts.pot_uses).flat_map(|u| lineage.ancestors(&u.pot)).collect();
        let missing = pots.iter().filter(|t| t.story.is_none() || used.contains(&t.id));
        let snapshot = missing.filter_map(|t| Some((t, t.blocking_damage()?)));
        let path = |id: &Id| self.shelf.story_path(Drawer::Pots, id).display().to_string();
        snapshot
            .map(|(t, damage)| UnreadableStory {
                path: path(&t.id),
                message: damage.to_string(),
                is_damaged: damage.kind.is_damage(),
            })
            .collect()
    }

    /// The air, where it is damaged and those panels would have figures of it.
    fn missing_air(&self, air: &Air, read: &[StoryFacts]) -> Option<UnreadableStory> {
        let fault = air.fault().filter(|_| read.iter().any(|story_facts| story_facts.coating_period.is_some()))?;
        let path = self.shelf.air_path().display().to_string();
        Some(UnreadableStory { path, message: fault.message.clone(), is_damaged: fault.is_damage })
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
                some.par_iter().map(|row| self.map_story(&row.story.id, &|s| make(s, row))).collect();
            for one in made {
                take(one?)?;
            }
        }
        Ok(())
    }

    /// The panels of the shelf for a view, at most so many, those opened last: rows, time lines, and a recipe of each.
    ///
    /// # Errors
    /// Those of [`StoryReader::read_rows`].
    pub fn read_compared_panels(&self, most: usize) -> Result<ComparedPanels, JournalError> {
        let ids = self.shelf.panel_ids()?;
        let of = ids.len();
        let ids = if of > most { self.newest_ids(ids, most) } else { ids };
        let PanelRows { rows: mut kept, unreadable_stories: mut left_out, pots, .. } =
            self.read_rows(&ids, ids.len() == of)?;
        // The boards of trials answer a question of their own.
        kept.retain(|row| row.story.trial.is_none());
        // How a pot was made rests on no use of it but by other pots.
        let made = PotUsage::new(PotLineage::new(pots.iter().map(|p| &**p)), [], self.bulk);
        let told = |f: PanelRow| {
            let read = self.map_story(&f.story.id, &|story| {
                (timeline_from_story(story), Arc::new(recipe_as_coated(story, &made)))
            });
            read.map(|(line, again)| ComparedPanel { row: f, timeline: line, recipe_as_done: again })
        };
        let mut ones = Vec::with_capacity(kept.len());
        for made in kept.into_par_iter().map(told).collect::<Vec<_>>() {
            match made {
                Ok(one) => ones.push(one),
                Err(out) => left_out.push(out),
            }
        }
        Ok(ComparedPanels { panels: ones, unreadable_stories: left_out, shelf_total: of, considered: ids.len() })
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

    /// The pots and the air. What is damaged of them costs its figures.
    fn read_pots_and_air(&self) -> Result<(Vec<Snapshot<Pot>>, Arc<Air>), JournalError> {
        let mut bench = Bench::new(self.shelf.clone());
        Ok((bench.load_pots()?, bench.load_air()))
    }

    /// What panels other than those took from the pots, as far as their stories can be read.
    fn read_other_uses(&self, read: &[StoryFacts]) -> Result<Vec<PotUse>, JournalError> {
        let read: BTreeSet<&Id> = read.iter().map(|story_facts| &story_facts.id).collect();
        let others: Vec<Id> = self.shelf.panel_ids()?.into_iter().filter(|id| !read.contains(id)).collect();
        let uses = others.par_iter().filter_map(|id| {
            let (_, entries) = self.shelf.open_panel(id).ok()?;
            Some(collect_pot_uses(PanelStory::fold(entries).ok()?.panel()))
        });
        Ok(uses.flatten().collect())
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
