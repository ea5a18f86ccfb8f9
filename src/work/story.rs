//! A whole story: every entry of one journal, what was taken back, what was refused, and the state that follows. What
//! the story is of, a panel or a pot, comes as a [`StoryState`].
//!
//! Story order is by the time things happened (ties by `seq`), so a fact recorded late takes its place and everything is
//! folded anew.

mod event;
mod refusal;
mod trial_run;

pub use event::{CommonEvent, Filing, LOST_EVENT, StoryCall, StoryEvent};
pub use refusal::{AHEAD_MAX, OrderRefusal, TEXT_CHARS_MAX, TextRefusal, validate_text};
pub use trial_run::{TrialRun, jar_letter};

use crate::units::{Entry, Moment, Stamp};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::{Debug, Display};

/// A state that follows from facts taken in one after the other.
pub trait StoryState: Sized + Clone + Debug + PartialEq {
    /// What can happen to it.
    type Event: StoryEvent;
    /// What it is called: "panel".
    const NOUN: &'static str;
    /// Why a fact cannot be true.
    type Refusal: Clone + Debug + Display + PartialEq + From<OrderRefusal<Self::Refusal>>;

    /// The state as its opening leaves it.
    ///
    /// # Errors
    /// [`OrderRefusal::NotOpened`] if the entry is anything else.
    fn from_opening(entry: &Entry<Self::Event>) -> Result<Self, Self::Refusal>;
    /// When it was opened.
    fn opened_at(&self) -> Moment;
    /// Takes in one more fact.
    ///
    /// # Errors
    /// The refusal if it cannot be true; the state is then untouched.
    fn after(&mut self, entry: &Entry<Self::Event>) -> Result<(), Self::Refusal>;
}

/// The story of one thing.
#[derive(Debug, Clone, PartialEq)]
pub struct Story<F: StoryState> {
    entries: Vec<Entry<F::Event>>,
    taken_back: BTreeSet<u64>,
    refusals: BTreeMap<u64, F::Refusal>,
    state: F,
}

impl<F: StoryState> Story<F> {
    /// Folds entries in the order of their `seq`. An entry the rules refuse is kept, marked, and has no effect.
    ///
    /// # Errors
    /// [`OrderRefusal::NotOpened`] if the first entry is not an opening.
    pub fn fold(mut entries: Vec<Entry<F::Event>>) -> Result<Story<F>, F::Refusal> {
        refile_entries(&mut entries);
        Story::fold_refiled(entries)
    }

    /// The story with what else was found in its journal.
    ///
    /// # Errors
    /// As [`Story::fold`].
    pub fn extended(&self, more: Vec<Entry<F::Event>>) -> Result<Story<F>, F::Refusal> {
        let mut entries = self.entries.clone();
        entries.extend(more);
        refile(&mut entries, self.entries.len());
        Story::fold_refiled(entries)
    }

    fn fold_refiled(entries: Vec<Entry<F::Event>>) -> Result<Story<F>, F::Refusal> {
        let (taken_back, misplaced) = resolve_take_backs::<F>(&entries);
        Story::fold_standing(entries, taken_back, misplaced)
    }

    fn fold_standing(
        entries: Vec<Entry<F::Event>>,
        taken_back: BTreeSet<u64>,
        mut refusals: BTreeMap<u64, F::Refusal>,
    ) -> Result<Story<F>, F::Refusal> {
        let first = entries.first().ok_or(OrderRefusal::NotOpened)?;
        let mut state = F::from_opening(first)?;
        let has_place = |e: &&Entry<F::Event>| !taken_back.contains(&e.seq) && !refusals.contains_key(&e.seq);
        let standing: Vec<_> = facts_in_order(&entries).into_iter().filter(has_place).collect();
        for entry in standing {
            if let Err(refusal) = state.after(entry) {
                refusals.insert(entry.seq, refusal);
            }
        }
        Ok(Story { entries, taken_back, refusals, state })
    }

    /// The story with one more entry.
    ///
    /// # Errors
    /// The refusal of that entry, or of a later fact that could then not be true; this story is untouched.
    pub fn with_entry(&self, entry: Entry<F::Event>) -> Result<Story<F>, F::Refusal> {
        let opened_at = self.state.opened_at().wall;
        if entry.at < opened_at {
            return Err(OrderRefusal::BeforeOpening { of: F::NOUN }.into());
        }
        OrderRefusal::check_not_ahead(entry.at, entry.written.wall)?;
        let seq = entry.seq;
        let mut story = self.extended(vec![entry])?;
        if let Some(refusal) = story.refusals.remove(&seq) {
            return Err(refusal);
        }
        let broken = story.refusals.iter().find(|(seq, _)| !self.refusals.contains_key(seq));
        if let Some((seq, because)) = broken {
            let later = story.entry(*seq);
            let breaks = OrderRefusal::StoryBreaks {
                at: later.map_or(opened_at, |e| e.at),
                fact: later.map_or_else(String::new, |e| e.event.name().to_owned()),
                cause: Box::new(because.clone()),
            };
            return Err(breaks.into());
        }
        Ok(story)
    }

    /// The story as it stood at that time: facts that happened later are left out; what was taken back since stays so.
    /// What holds for the whole story holds then too, whenever it was recorded. None before the opening.
    pub fn as_of(&self, at: Stamp) -> Option<Story<F>> {
        if at < self.state.opened_at().wall {
            return None;
        }
        let kept: Vec<_> = self.entries.iter().filter(|e| e.at <= at || e.event.holds_throughout()).cloned().collect();
        let (taken_back, mut misplaced) = resolve_take_backs::<F>(&self.entries);
        misplaced.retain(|seq, _| kept.iter().any(|e| e.seq == *seq));
        Story::fold_standing(kept, taken_back, misplaced).ok()
    }

    /// Every entry, by `seq`.
    pub fn entries(&self) -> &[Entry<F::Event>] {
        &self.entries
    }
    /// The entry of that `seq`; found without looking through them all.
    pub fn entry(&self, seq: u64) -> Option<&Entry<F::Event>> {
        self.entries.binary_search_by_key(&seq, |e| e.seq).ok().and_then(|at| self.entries.get(at))
    }
    /// The state that follows.
    pub fn state(&self) -> &F {
        &self.state
    }
    /// Whether the fact of that `seq` was taken back.
    pub fn is_taken_back(&self, seq: u64) -> bool {
        self.taken_back.contains(&seq)
    }
    /// Why the fact of that `seq` has no effect, if so.
    pub fn refusal_of(&self, seq: u64) -> Option<&F::Refusal> {
        self.refusals.get(&seq)
    }
    /// The fact the next take-back would take back.
    pub fn last_standing_entry(&self) -> Option<&Entry<F::Event>> {
        self.entries.iter().rev().find(|e| e.event.can_be_taken_back() && !self.is_taken_back(e.seq))
    }
    /// The `seq` the next take-back takes back, if that is the fact the maker saw.
    ///
    /// # Errors
    /// [`OrderRefusal::NothingToTakeBack`]; [`OrderRefusal::LastFactChanged`] if the maker saw another.
    pub fn take_back_seq(&self, seen: Option<u64>) -> Result<u64, F::Refusal> {
        let last = self.last_standing_entry().ok_or(OrderRefusal::NothingToTakeBack)?;
        if seen.is_some_and(|seq| seq != last.seq) {
            return Err(OrderRefusal::LastFactChanged.into());
        }
        Ok(last.seq)
    }
    /// Entries in story order, the opening first.
    pub fn entries_in_order(&self) -> Vec<&Entry<F::Event>> {
        let mut order: Vec<_> = self.entries.iter().collect();
        order.sort_by_key(|e| (e.seq != 0, e.at, e.seq));
        order
    }
    /// The latest time of any fact that stands.
    pub fn last_fact_at(&self) -> Stamp {
        let standing = self.entries.iter().filter(|e| !self.is_taken_back(e.seq));
        standing.map(|e| e.at).max().unwrap_or(self.state.opened_at().wall)
    }
}

/// Which facts were taken back, and which take-backs cannot be true. Each takes back the last recorded one standing,
/// whether by itself or by a fact that stands in its place.
fn resolve_take_backs<F: StoryState>(entries: &[Entry<F::Event>]) -> (BTreeSet<u64>, BTreeMap<u64, F::Refusal>) {
    let mut standing: Vec<u64> = Vec::new();
    let mut taken_back = BTreeSet::new();
    let mut misplaced = BTreeMap::new();
    for entry in entries {
        let makers_own = entry.event.can_be_taken_back();
        if let Some(seq) = entry.replaces.or_else(|| entry.event.takes_back()) {
            let is_take_back = makers_own || entry.replaces.is_none();
            if is_take_back && standing.last() == Some(&seq) {
                standing.pop();
                taken_back.insert(seq);
            } else {
                let refusal = match standing.last() {
                    Some(_) => OrderRefusal::NotTheLastFact { seq },
                    None => OrderRefusal::NothingToTakeBack,
                };
                misplaced.insert(entry.seq, refusal.into());
            }
        }
        if makers_own {
            standing.push(entry.seq);
        }
    }
    (taken_back, misplaced)
}

/// Calls things by the ids that the filings among those entries give them.
pub fn refile_entries<E: StoryEvent>(entries: &mut [Entry<E>]) {
    refile(entries, 0);
}

/// Calls things by the ids that filings from that place on give them. What was refiled once is not refiled again, so that
/// an id may be given up and taken again.
fn refile<E: StoryEvent>(entries: &mut [Entry<E>], from: usize) {
    for at in from..entries.len() {
        let (before, behind) = entries.split_at_mut(at);
        if let Some(filing) = behind.first().and_then(|e| e.event.filing()) {
            before.iter_mut().for_each(|e| e.event.refile(filing));
        }
    }
}

/// What is folded behind the opening, in the order things happened; before all of it what holds for the whole story.
fn facts_in_order<E: StoryEvent>(entries: &[Entry<E>]) -> Vec<&Entry<E>> {
    let mut order: Vec<_> = entries.iter().skip(1).filter(|e| e.event.takes_back().is_none()).collect();
    order.sort_by_key(|e| (!e.event.holds_throughout(), e.at, e.seq));
    order
}
