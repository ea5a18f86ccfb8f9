//! The whole shelf, read afterwards: a row for each story, what was around it, and whatever else is wanted of it.
//!
//! Stories are read one at a time on every core, and of each only what is made of it is kept. A damaged one is named and
//! left out; the rest goes on. Absent on purpose: what the rows say together (`review`), telling how far it has come.

use super::{Bench, believed_now};
use crate::craft::materials::Filler;
use crate::record::journal::{Failure, first};
use crate::record::shelf::{Drawer, Shelf};
use crate::review::again::again;
use crate::review::around::Around;
use crate::review::compare::LeftOut;
use crate::review::facts::{Facts, Use, facts, uses};
use crate::review::lines::line;
use crate::review::side::{One, Side};
use crate::units::{Id, Moment, Stamp};
use crate::work::panel::event::Event;
use crate::work::panel::story::Story;
use rayon::prelude::*;
use std::collections::BTreeSet;
use std::sync::Arc;

/// The rows of the stories that could be read, those that could not, and what was around them.
#[derive(Debug)]
pub struct Rows {
    /// A row for each story.
    pub kept: Vec<Facts>,
    /// Stories that could not be read.
    pub left_out: Vec<LeftOut>,
    /// Pots and air.
    pub around: Around,
}

/// So many stories are read before what is made of them is handed on: enough for every core, and few enough to hold.
const AT_ONCE: usize = 64;

/// A shelf to be read afterwards.
pub struct Shelved<'a> {
    /// Where the stories lie.
    pub shelf: &'a Shelf,
    /// What powders weigh, loosely filled, g/ml.
    pub loose_g_per_ml: &'a [(Filler, f64)],
    /// The moment the stories are told as of.
    pub now: Moment,
    /// Called once for each story read, from any thread.
    pub read: &'a (dyn Fn() + Sync),
}

impl Shelved<'_> {
    /// The rows of those panels; `all` tells that there are no others.
    ///
    /// # Errors
    /// A [`Failure`] if the shelf, its pots or its air cannot be read at all.
    pub fn rows(&self, ids: &[Id], all: bool) -> Result<Rows, Failure> {
        let row = |story: &Story| facts(story, self.loose_g_per_ml, believed_now(story, self.now));
        let (mut kept, mut left_out) = (Vec::new(), Vec::new());
        for one in self.each(ids, &row) {
            match one {
                Ok(facts) => kept.push(facts),
                Err(out) => left_out.push(out),
            }
        }
        let mut around = self.around()?;
        around.used(kept.iter().flat_map(|f| f.uses.iter().cloned()));
        if !all && around.wants_every_use(&kept) {
            around.used(self.other_uses(ids)?);
        }
        around.settle();
        kept.par_iter_mut().for_each(|f| around.fill(f));
        Ok(Rows { kept, left_out, around })
    }

    /// Reads the stories of those rows once more, and hands over, in their order, what is made of each. Only so many are
    /// held as the cores are given at once.
    ///
    /// # Errors
    /// The first story that can no longer be read, and whatever `take` says; nothing is read after that.
    pub fn again<T: Send, E: From<LeftOut>>(
        &self,
        rows: &[Facts],
        make: &(dyn Fn(&Story, &Facts) -> T + Sync),
        take: &mut dyn FnMut(T) -> Result<(), E>,
    ) -> Result<(), E> {
        for some in rows.chunks(AT_ONCE) {
            let made: Vec<Result<T, LeftOut>> = some.par_iter().map(|f| self.one(&f.id, &|s| make(s, f))).collect();
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
    pub fn side_by_side(&self, most: usize) -> Result<Side, Failure> {
        let ids = self.shelf.panel_ids()?;
        let of = ids.len();
        let ids = if of > most { self.newest(ids, most) } else { ids };
        let Rows { kept, mut left_out, .. } = self.rows(&ids, ids.len() == of)?;
        let told = |f: Facts| {
            let made = self.one(&f.id, &|story| (line(story), Arc::new(again(story))));
            made.map(|(line, again)| One { facts: f, line, again })
        };
        let mut ones = Vec::with_capacity(kept.len());
        for made in kept.into_par_iter().map(told).collect::<Vec<_>>() {
            match made {
                Ok(one) => ones.push(one),
                Err(out) => left_out.push(out),
            }
        }
        Ok(Side { ones, left_out, of })
    }

    /// The panels opened last. One whose opening cannot be read stands behind every other.
    fn newest(&self, ids: Vec<Id>, most: usize) -> Vec<Id> {
        let mut opened: Vec<(Option<Stamp>, Id)> = ids
            .into_par_iter()
            .map(|id| (first::<Event>(self.shelf.disk().as_ref(), &self.shelf.file(Drawer::Panels, &id)), id))
            .map(|(first, id)| (first.ok().map(|entry| entry.at), id))
            .collect();
        opened.sort_by(|x, y| y.cmp(x));
        opened.truncate(most);
        opened.into_iter().map(|(_, id)| id).collect()
    }

    /// The pots and the air. One pot that cannot be read costs its columns, and is told of by `pots`.
    fn around(&self) -> Result<Around, Failure> {
        let mut bench = Bench::new(self.shelf.clone());
        let pots = bench.bring_pots()?;
        let air = bench.air()?;
        // Nobody else holds the stories then, so none is held twice.
        drop(bench);
        let pots = pots.into_iter().filter_map(|t| t.story).map(Arc::unwrap_or_clone).collect();
        Ok(Around::new(pots, air, self.loose_g_per_ml.to_vec()))
    }

    /// What panels not asked for took from the pots: a pot's water depends on it.
    fn other_uses(&self, asked: &[Id]) -> Result<Vec<Use>, Failure> {
        let asked: BTreeSet<&Id> = asked.iter().collect();
        let others: Vec<Id> = self.shelf.panel_ids()?.into_iter().filter(|id| !asked.contains(id)).collect();
        let made = self.each(&others, &|story| uses(story.panel()));
        Ok(made.into_iter().filter_map(Result::ok).flatten().collect())
    }

    fn each<T: Send>(&self, ids: &[Id], make: &(dyn Fn(&Story) -> T + Sync)) -> Vec<Result<T, LeftOut>> {
        ids.par_iter().map(|id| self.one(id, make)).collect()
    }

    /// What is made of one story; the story itself is let go before the next is read.
    fn one<T>(&self, id: &Id, make: &(dyn Fn(&Story) -> T + Sync)) -> Result<T, LeftOut> {
        let made = self.story(id).map(|story| make(&story));
        (self.read)();
        made
    }

    fn story(&self, id: &Id) -> Result<Story, LeftOut> {
        let out = |said: String| LeftOut { path: self.shelf.file(Drawer::Panels, id).display().to_string(), said };
        let (journal, entries) = self.shelf.open_panel(id).map_err(|e| out(e.to_string()))?;
        if let Some(damage) = journal.damage().filter(|d| d.kind.blocks()) {
            return Err(out(damage.to_string()));
        }
        Story::fold(entries).map_err(|e| out(e.to_string()))
    }
}

#[cfg(test)]
#[path = "shelved_tests.rs"]
mod tests;
