//! The whole story of a panel: every entry of its journal, what was taken back, what was refused, and the state that follows.
//!
//! Story order is by the time things happened (ties by `seq`), so a fact recorded late takes its place and everything is
//! folded anew. Absent on purpose: files and clocks.

use super::event::Event;
use super::fold::Panel;
use super::refusal::Refusal;
use crate::units::{Entry, Span, Stamp};
use std::collections::{BTreeMap, BTreeSet};

/// A fact may lie this far ahead of the clock; clocks of two machines differ (common practice, no source).
pub const AHEAD: Span = Span::from_s(120);

/// A panel's story.
#[derive(Debug, Clone, PartialEq)]
pub struct Story {
    entries: Vec<Entry<Event>>,
    taken_back: BTreeSet<u64>,
    refused: BTreeMap<u64, Refusal>,
    panel: Panel,
}

impl Story {
    /// Folds entries in the order of their `seq`. An entry the rules refuse is kept, marked, and has no effect.
    ///
    /// # Errors
    /// [`Refusal::NotOpened`] if the first entry is not an opening.
    pub fn fold(entries: Vec<Entry<Event>>) -> Result<Story, Refusal> {
        let (taken_back, refused) = take_backs(&entries);
        Story::fold_standing(entries, taken_back, refused)
    }

    fn fold_standing(
        entries: Vec<Entry<Event>>,
        taken_back: BTreeSet<u64>,
        mut refused: BTreeMap<u64, Refusal>,
    ) -> Result<Story, Refusal> {
        let first = entries.first().ok_or(Refusal::NotOpened)?;
        let mut panel = Panel::open(first)?;
        for entry in in_story_order(&entries, &taken_back) {
            if let Err(refusal) = panel.after(entry) {
                refused.insert(entry.seq, refusal);
            }
        }
        Ok(Story { entries, taken_back, refused, panel })
    }

    /// The story with one more entry.
    ///
    /// # Errors
    /// The refusal of that entry, or of a later fact that could then not be true; this story is untouched.
    pub fn with(&self, entry: Entry<Event>) -> Result<Story, Refusal> {
        let opened_at = self.panel.opened_at().wall;
        if entry.at < opened_at {
            return Err(Refusal::BeforeOpening { opened_at });
        }
        let ahead = entry.at - entry.written.wall;
        if ahead > AHEAD {
            return Err(Refusal::Ahead { by: ahead });
        }
        let seq = entry.seq;
        let mut entries = self.entries.clone();
        entries.push(entry);
        let mut story = Story::fold(entries)?;
        if let Some(refusal) = story.refused.remove(&seq) {
            return Err(refusal);
        }
        let broken = story.refused.iter().find(|(seq, _)| !self.refused.contains_key(seq));
        if let Some((seq, because)) = broken {
            let later = story.entries.iter().find(|e| e.seq == *seq);
            return Err(Refusal::StoryBreaks {
                at: later.map_or(opened_at, |e| e.at),
                fact: later.map_or_else(String::new, |e| e.event.name().to_owned()),
                because: Box::new(because.clone()),
            });
        }
        Ok(story)
    }

    /// The story as it stood at that time: facts that happened later are left out; what was taken back since stays so.
    /// None before the panel was opened.
    pub fn as_of(&self, at: Stamp) -> Option<Story> {
        if at < self.panel.opened_at().wall {
            return None;
        }
        let kept = self.entries.iter().filter(|e| e.at <= at).cloned().collect();
        Story::fold_standing(kept, self.taken_back.clone(), BTreeMap::new()).ok()
    }

    /// Every entry, by `seq`.
    pub fn entries(&self) -> &[Entry<Event>] {
        &self.entries
    }
    /// The state that follows.
    pub fn panel(&self) -> &Panel {
        &self.panel
    }
    /// Whether the fact of that `seq` was taken back.
    pub fn was_taken_back(&self, seq: u64) -> bool {
        self.taken_back.contains(&seq)
    }
    /// Why the fact of that `seq` has no effect, if so.
    pub fn refusal_of(&self, seq: u64) -> Option<&Refusal> {
        self.refused.get(&seq)
    }
    /// The fact the next take-back would take back.
    pub fn last_standing(&self) -> Option<&Entry<Event>> {
        self.entries.iter().rev().find(|e| e.event.can_be_taken_back() && !self.was_taken_back(e.seq))
    }
    /// Entries in story order, the opening first.
    pub fn in_order(&self) -> Vec<&Entry<Event>> {
        let mut order: Vec<_> = self.entries.iter().collect();
        order.sort_by_key(|e| (e.seq != 0, e.at, e.seq));
        order
    }
    /// The latest time of any fact that stands.
    pub fn last_at(&self) -> Stamp {
        let standing = self.entries.iter().filter(|e| !self.was_taken_back(e.seq));
        standing.map(|e| e.at).max().unwrap_or_default()
    }
}

/// Which facts were taken back, and which take-backs cannot be true. Each takes back the last recorded one standing.
fn take_backs(entries: &[Entry<Event>]) -> (BTreeSet<u64>, BTreeMap<u64, Refusal>) {
    let mut standing: Vec<u64> = Vec::new();
    let mut taken_back = BTreeSet::new();
    let mut refused = BTreeMap::new();
    for entry in entries {
        if let Event::Undone { takes_back } = entry.event {
            if standing.last() == Some(&takes_back) {
                standing.pop();
                taken_back.insert(takes_back);
            } else {
                let refusal = match standing.last() {
                    Some(_) => Refusal::NotTheLastFact { seq: takes_back },
                    None => Refusal::NothingToTakeBack,
                };
                refused.insert(entry.seq, refusal);
            }
        } else if entry.event.can_be_taken_back() {
            standing.push(entry.seq);
        }
    }
    (taken_back, refused)
}

/// What is folded behind the opening: the entries that stand, in the order they happened.
fn in_story_order<'a>(entries: &'a [Entry<Event>], taken_back: &BTreeSet<u64>) -> Vec<&'a Entry<Event>> {
    let stands = |e: &&Entry<Event>| !taken_back.contains(&e.seq) && !matches!(e.event, Event::Undone { .. });
    let mut order: Vec<_> = entries.iter().skip(1).filter(stands).collect();
    order.sort_by_key(|e| (e.at, e.seq));
    order
}
