//! The whole shelf, read afterwards: a row for each story, what was around it, and whatever else is wanted of it.
//!
//! Stories are read one at a time on every core, and of each only what is made of it is kept. A damaged one is named and
//! left out; the rest goes on. Absent on purpose: what the rows say together (`review`), telling how far it has come.

use super::{Bench, believed_now};
use crate::craft::materials::Filler;
use crate::record::journal::Failure;
use crate::record::shelf::{Drawer, Shelf};
use crate::review::again::again;
use crate::review::around::Around;
use crate::review::compare::LeftOut;
use crate::review::facts::{Facts, Use, facts, uses};
use crate::review::lines::line;
use crate::review::side::One;
use crate::units::{Id, Moment};
use crate::work::panel::story::Story;
use rayon::prelude::*;
use std::collections::{BTreeSet, HashMap};
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

    /// Reads the stories of those rows once more, and makes of each what is wanted; in their order.
    ///
    /// # Errors
    /// The first story that can no longer be read.
    pub fn again<T: Send>(
        &self,
        rows: &[Facts],
        make: &(dyn Fn(&Story, &Facts) -> T + Sync),
    ) -> Result<Vec<T>, LeftOut> {
        let of: HashMap<&Id, &Facts> = rows.iter().map(|f| (&f.id, f)).collect();
        let ids: Vec<Id> = rows.iter().map(|f| f.id.clone()).collect();
        let made = self.each(&ids, &|story| Some(make(story, of.get(&story.panel().opened().id)?)));
        Ok(made.into_iter().collect::<Result<Vec<Option<T>>, LeftOut>>()?.into_iter().flatten().collect())
    }

    /// The panels of the shelf for a view: rows, time lines, and a recipe of each.
    ///
    /// # Errors
    /// Those of [`Shelved::rows`].
    pub fn side_by_side(&self, ids: &[Id]) -> Result<(Vec<One>, Vec<LeftOut>), Failure> {
        let rows = self.rows(ids, false)?;
        let one = |story: &Story, facts: &Facts| One {
            facts: facts.clone(),
            line: line(story),
            again: Arc::new(again(story)),
        };
        let (mut left_out, mut ones) = (rows.left_out, Vec::new());
        match self.again(&rows.kept, &one) {
            Ok(made) => ones = made,
            Err(out) => left_out.push(out),
        }
        Ok((ones, left_out))
    }

    /// The pots and the air. One pot that cannot be read costs its columns, and is told of by `pots`.
    fn around(&self) -> Result<Around, Failure> {
        let mut bench = Bench::new(self.shelf.clone());
        let pots = bench.bring_pots()?;
        let air = bench.air()?;
        let pots = pots.into_iter().filter_map(|t| t.story).map(|s| (*s).clone()).collect();
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
        let one = |id: &Id| {
            let made = self.story(id).map(|story| make(&story));
            (self.read)();
            made
        };
        ids.par_iter().map(one).collect()
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
