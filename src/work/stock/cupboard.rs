//! What is left of each lot: what was said to be there, less what was used and what the pots took since.

use super::event::StockEvent;
use super::item::StockItem;
use super::takings::{PotTaking, PotTakings};
use crate::units::{Entry, Id, Stamp};
use chrono::NaiveDate;
use std::collections::BTreeSet;

/// A lot of something.
#[derive(Debug, Clone, PartialEq)]
pub struct StockLot {
    /// What it is.
    pub item: StockItem,
    /// As printed on the packet.
    pub lot: Option<String>,
    /// When it was opened or mixed.
    pub opened: Option<NaiveDate>,
    /// What was paid for it.
    pub price: Option<String>,
    /// When it was said how much is there.
    pub set_at: Stamp,
    /// How much then, in its unit.
    pub set: f64,
    /// Used by hand since.
    pub used: f64,
    /// Taken by pots since.
    pub taken: f64,
}

impl StockLot {
    /// What is there.
    pub fn left(&self) -> f64 {
        (self.set - self.used - self.taken).max(0.0)
    }

    /// So much more was used than there was; nothing where it adds up.
    pub fn overdrawn(&self) -> f64 {
        (self.used + self.taken - self.set).max(0.0)
    }
}

/// The cupboard.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Cupboard {
    lots: Vec<StockLot>,
    /// Pots made since the first lot was told of, and of which nobody said how much they took.
    pub unknown_pots: Vec<Id>,
}

/// How something goes out.
enum WayOut {
    ByHand,
    ByPot,
}

impl Cupboard {
    /// The cupboard as of now, from its journal and what the pots took. At one time what is set comes last: it is what
    /// somebody saw.
    pub fn from_facts(entries: &[Entry<StockEvent>], pots: &PotTakings) -> Cupboard {
        let taken_back = resolve_take_backs(entries);
        let standing = entries.iter().filter(|entry| !taken_back.contains(&entry.seq));
        let mut facts: Vec<(Stamp, u8, &StockEvent)> = Vec::new();
        for entry in standing {
            let rank = u8::from(matches!(entry.event, StockEvent::Set(_)));
            facts.push((entry.at, rank, &entry.event));
        }
        facts.sort_by_key(|(at, rank, _)| (*at, *rank));
        let mut takings: Vec<&PotTaking> = pots.takings.iter().collect();
        takings.sort_by_key(|taking| taking.at);
        let mut takings = takings.into_iter().peekable();
        let mut cupboard = Cupboard::default();
        for (at, rank, event) in facts {
            while let Some(taking) = takings.next_if(|taking| (taking.at, 0) <= (at, rank)) {
                cupboard.take(&taking.item, taking.lot.as_deref(), taking.amount, &WayOut::ByPot);
            }
            cupboard.apply(at, event);
        }
        for taking in takings {
            cupboard.take(&taking.item, taking.lot.as_deref(), taking.amount, &WayOut::ByPot);
        }
        let since = cupboard.lots.iter().map(|lot| lot.set_at).min();
        let unknown = pots.unknown.iter().filter(|(at, _)| since.is_some_and(|since| *at > since));
        cupboard.unknown_pots = unknown.map(|(_, id)| id.clone()).collect();
        cupboard.lots.sort_by(|a, b| (&a.item, a.opened, &a.lot).cmp(&(&b.item, b.opened, &b.lot)));
        cupboard
    }

    /// Every lot that was told of, by what it is.
    pub fn lots(&self) -> &[StockLot] {
        &self.lots
    }

    /// What is left of it in all lots; none where nothing was ever said of it.
    pub fn left_of(&self, item: &StockItem) -> Option<f64> {
        let mut lots = self.lots.iter().filter(|lot| lot.item == *item).peekable();
        lots.peek()?;
        Some(lots.map(StockLot::left).sum())
    }

    /// The names of the lots of which something is left.
    pub fn lots_left_of(&self, item: &StockItem) -> Vec<&str> {
        let left = self.lots.iter().filter(|lot| lot.item == *item && lot.left() > 0.0);
        left.filter_map(|lot| lot.lot.as_deref()).collect()
    }

    fn apply(&mut self, at: Stamp, event: &StockEvent) {
        match event {
            StockEvent::Set(set) => {
                self.lots.retain(|lot| (&lot.item, &lot.lot) != (&set.item, &set.lot));
                self.lots.push(StockLot {
                    item: set.item.clone(),
                    lot: set.lot.clone(),
                    opened: set.opened,
                    price: set.price.clone(),
                    set_at: at,
                    set: set.amount,
                    used: 0.0,
                    taken: 0.0,
                });
            }
            StockEvent::Used { item, amount, lot } => self.take(item, lot.as_deref(), *amount, &WayOut::ByHand),
            StockEvent::Undone { .. } | StockEvent::Unknown { .. } => {}
        }
    }

    /// Takes an amount off the lot of that name, else off the lots that are there, the oldest opened first; the last of
    /// them bears what is too much. What the cupboard was never told of is no part of it.
    fn take(&mut self, item: &StockItem, name: Option<&str>, amount: f64, way: &WayOut) {
        let mut places: Vec<usize> = (0..self.lots.len()).filter(|i| self.lots[*i].item == *item).collect();
        if places.iter().any(|i| name.is_some() && self.lots[*i].lot.as_deref() == name) {
            places.retain(|i| self.lots[*i].lot.as_deref() == name);
        }
        // What was opened goes before what was not.
        places.sort_by_key(|i| (self.lots[*i].opened.is_none(), self.lots[*i].opened, self.lots[*i].set_at));
        let mut rest = amount;
        let last = places.last().copied();
        for i in places {
            let lot = &mut self.lots[i];
            let out = if Some(i) == last { rest } else { rest.min(lot.left()) };
            match way {
                WayOut::ByHand => lot.used += out,
                WayOut::ByPot => lot.taken += out,
            }
            rest -= out;
        }
    }
}

/// Which facts were taken back: each take-back takes the last recorded one that stands.
pub fn resolve_take_backs(entries: &[Entry<StockEvent>]) -> BTreeSet<u64> {
    let mut standing: Vec<u64> = Vec::new();
    let mut taken_back = BTreeSet::new();
    for entry in entries {
        match &entry.event {
            StockEvent::Undone { takes_back } if standing.last() == Some(takes_back) => {
                standing.pop();
                taken_back.insert(*takes_back);
            }
            StockEvent::Undone { .. } | StockEvent::Unknown { .. } => {}
            StockEvent::Set(_) | StockEvent::Used { .. } => standing.push(entry.seq),
        }
    }
    taken_back
}

/// The fact the next take-back would take back.
pub fn last_standing(entries: &[Entry<StockEvent>]) -> Option<&Entry<StockEvent>> {
    let taken_back = resolve_take_backs(entries);
    let is_makers = |entry: &&Entry<StockEvent>| matches!(entry.event, StockEvent::Set(_) | StockEvent::Used { .. });
    entries.iter().rev().find(|entry| is_makers(entry) && !taken_back.contains(&entry.seq))
}
