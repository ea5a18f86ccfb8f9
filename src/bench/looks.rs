//! The finished panels of the shelf, as far as looking them over goes: which looks are due, and what earlier looks saw.
//!
//! A shelf may hold thousands. A panel on the rack is not opened, nor one whose file has rested for longer than a look is
//! reminded of; what was read of one that has not grown is kept. Absent on purpose: what a look finds (`work::panel::inspection`), writing.

use super::Bench;
use crate::record::shelf::{Drawer, Shelf};
use crate::units::{Id, Moment, Stamp};
use crate::work::advice::inspections::{self, Due, due_after, looks, silent_after};
use crate::work::panel::inspection::Inspection;
use crate::work::panel::phase::Phase;
use crate::work::panel::story::Story;
use rayon::prelude::*;
use std::collections::{HashMap, HashSet};

/// A finished panel and every look at it.
#[derive(Debug, Clone, PartialEq)]
pub struct Finished {
    /// What it is filed under.
    pub id: Id,
    /// What the maker calls it.
    pub label: String,
    /// Its longer side, mm: what a straight edge most likely spans.
    pub long_mm: f64,
    /// Since when it is finished.
    pub finished: Stamp,
    /// The looks that stand, in the order they happened.
    pub looks: Vec<(Stamp, Inspection)>,
}

impl Finished {
    /// That panel, if it is finished at that moment.
    pub fn of(id: &Id, story: &Story, now: Moment) -> Option<Finished> {
        let standing = story.panel().standing(super::believed_now(story, now));
        let opened = story.panel().opened();
        (standing.phase == Phase::Finished).then(|| Finished {
            id: id.clone(),
            label: opened.label.clone(),
            long_mm: opened.size.width.mm().max(opened.size.height.mm()),
            finished: standing.since,
            looks: looks(story).into_iter().map(|(at, seen)| (at, seen.clone())).collect(),
        })
    }

    /// The look due now, or the next to come; none once all are done, or the last was missed for so long that nobody is
    /// reminded of it.
    pub fn due(&self, now: Stamp) -> Option<Due> {
        reminded(self.finished, self.looks.last().map(|(at, _)| *at), now)
    }

    /// The day after finishing that a moment falls on.
    pub fn day(&self, at: Stamp) -> i64 {
        (at - self.finished).ms().div_euclid(24 * 3_600_000)
    }
}

/// By what a finished panel is reminded of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reminder {
    /// What it is filed under.
    pub id: Id,
    /// What the maker calls it.
    pub label: String,
    /// Since when it is finished.
    pub finished: Stamp,
    /// When it was last looked over.
    pub last: Option<Stamp>,
}

impl Reminder {
    /// Of that panel.
    pub fn of(panel: &Finished) -> Reminder {
        let last = panel.looks.last().map(|(at, _)| *at);
        Reminder { id: panel.id.clone(), label: panel.label.clone(), finished: panel.finished, last }
    }

    fn due(&self, now: Stamp) -> Option<Due> {
        reminded(self.finished, self.last, now).filter(|due| due.now)
    }
}

fn reminded(finished: Stamp, last: Option<Stamp>, now: Stamp) -> Option<Due> {
    due_after(finished, last, now).filter(|_| now <= finished + silent_after())
}

/// The reminders of the shelf. What is due follows from them and a moment, so they are read again only when something
/// changed; and it is worked out again only when it may have changed.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Looks {
    known: HashMap<Id, (u64, Option<Reminder>)>,
    settled: Option<Settled>,
}

/// What is due within some time.
#[derive(Debug, Clone, PartialEq)]
struct Settled {
    from: Stamp,
    until: Option<Stamp>,
    due: usize,
    says: Vec<String>,
}

impl Looks {
    /// Reads what grew since they were last read. A panel that cannot be read is not reminded of; `panels` tells of it.
    pub fn read_on(&mut self, shelf: &Shelf, now: Moment) {
        let ids = off_the_rack(shelf);
        let mut before = std::mem::take(&mut self.known);
        let grown = ids.into_iter().filter_map(|id| {
            let (bytes, written) = shelf.extent(Drawer::Panels, &id)?;
            if now.wall > written + silent_after() {
                return None;
            }
            match before.remove(&id) {
                Some(known) if known.0 == bytes => {
                    self.known.insert(id, known);
                    None
                }
                Some(_) | None => Some((id, bytes)),
            }
        });
        let grown: Vec<(Id, u64)> = grown.collect();
        for (id, bytes) in grown {
            match read(shelf, &id, now) {
                Read::Finished(panel) => _ = self.known.insert(id, (bytes, Some(Reminder::of(&panel)))),
                Read::GivenUp => _ = self.known.insert(id, (bytes, None)),
                // Time alone may finish it, so it is asked again.
                Read::NotYet => {}
            }
        }
        self.settled = None;
        self.settle(now.wall);
    }

    /// Takes in that one, just recorded on.
    pub fn put(&mut self, panel: &Finished, now: Stamp) {
        self.known.insert(panel.id.clone(), (0, Some(Reminder::of(panel))));
        self.settled = None;
        self.settle(now);
    }

    /// Works out what is due at that moment, where that may have changed.
    pub fn settle(&mut self, now: Stamp) {
        let holds = |s: &Settled| s.from <= now && s.until.is_none_or(|until| now < until);
        if self.settled.as_ref().is_some_and(holds) {
            return;
        }
        let due = self.due(now);
        let finished = self.known.values().filter_map(|(_, r)| Some(r.as_ref()?.finished));
        self.settled = Some(Settled {
            from: now,
            until: finished.filter_map(|at| inspections::next_change(at, now)).min(),
            due: due.len(),
            says: inspections::reminder(&due, KEY),
        });
    }

    /// The panels with a look due at that moment, each with its day, the longest due first.
    pub fn due(&self, now: Stamp) -> Vec<(&str, u32)> {
        let reminders = self.known.values().filter_map(|(_, reminder)| reminder.as_ref());
        let mut due: Vec<_> = reminders.filter_map(|r| Some((r.due(now)?, r))).collect();
        due.sort_by(|(a, r), (b, s)| (a.at, &r.label, &r.id).cmp(&(b.at, &s.label, &s.id)));
        due.into_iter().map(|(due, r)| (r.label.as_str(), due.day)).collect()
    }

    /// How many are due, as of when that was last settled.
    pub fn how_many(&self) -> usize {
        self.settled.as_ref().map_or(0, |s| s.due)
    }

    /// What the bench says of them then, at length and in short.
    pub fn says(&self) -> &[String] {
        self.settled.as_ref().map_or(&[], |s| &s.says)
    }
}

/// The key of the bench that leads to the sitting.
const KEY: &str = "l";

enum Read {
    Finished(Finished),
    GivenUp,
    NotYet,
}

fn read(shelf: &Shelf, id: &Id, now: Moment) -> Read {
    let story = shelf.open_panel(id).ok().and_then(|(_, entries)| Story::fold(entries).ok());
    let Some(story) = story else { return Read::NotYet };
    if story.panel().given_up().is_some() {
        return Read::GivenUp;
    }
    Finished::of(id, &story, now).map_or(Read::NotYet, Read::Finished)
}

/// The panels that the list of unfinished ones does not hold; all, where none is kept.
fn off_the_rack(shelf: &Shelf) -> Vec<Id> {
    let on_it: HashSet<Id> = shelf.rack(|_| Vec::new()).unwrap_or_default().into_iter().collect();
    shelf.panel_ids().unwrap_or_default().into_iter().filter(|id| !on_it.contains(id)).collect()
}

/// The finished panels whose files were written to last, at most so many, and how many files were left unread.
pub fn finished_panels(bench: &Bench, most: usize, now: Moment) -> (Vec<Finished>, usize) {
    let shelf = bench.shelf();
    let written = |id: &Id| shelf.extent(Drawer::Panels, id).map(|(_, at)| at);
    let mut ids: Vec<_> = off_the_rack(shelf).into_iter().map(|id| (written(&id), id)).collect();
    ids.sort_by(|a, b| b.0.cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
    let left_out = ids.len().saturating_sub(most);
    ids.truncate(most);
    let finished = |(_, id): &(Option<Stamp>, Id)| match read(shelf, id, now) {
        Read::Finished(panel) => Some(panel),
        Read::GivenUp | Read::NotYet => None,
    };
    (ids.par_iter().filter_map(finished).collect(), left_out)
}
