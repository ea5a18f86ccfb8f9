//! What is taken on the bench: hands, baths, wet boards, dust and spirit; and the first moment an act fits in between.

use super::board_tasks::{BoardTasks, PlanTask};
use super::planned_pot::{KEEPS, LATER_DAYS_MELTED, PlannedPot, PotStand};
use super::windows::{Minute, WorkWindow};
use std::sync::Arc;

/// Weighing glue and covering it with cold water takes so long, minutes (assumed).
pub const SOAK_WORK: Minute = 5;
/// A bath that nothing is laid from for longer than this is turned off, minutes (assumed).
pub const BATH_GAP: Minute = 120;

/// A batch that stands there was made on the day of a coat if it was no longer before it than this, minutes (assumed).
const SAME_DAY: Minute = 14 * 60;

/// How a pot gets ready for a coat.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PotLead {
    /// It is warm, or none is asked for.
    Nothing,
    /// It is melted again.
    Melt,
    /// It is made; its glue is put to soak then, where it does not soak yet.
    Make {
        /// When.
        soak_at: Option<Minute>,
    },
}

/// A pot in its bath.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BathTime {
    /// Which of the pots.
    pub pot: usize,
    /// On which day.
    pub day: i64,
    /// The first minute of making or melting.
    pub from: Minute,
    /// The pot is ready for the first coat.
    pub ready: Minute,
    /// The last coat from it is laid.
    pub to: Minute,
    /// How it was got ready.
    pub lead: PotLead,
}

/// Where an act goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TaskPlace {
    /// It begins then.
    pub start: Minute,
    /// In which working hours.
    pub window: usize,
    /// On which day.
    pub day: i64,
    /// Making or melting the pot right before it, minutes; 0 where it is warm.
    pub lead: Minute,
    /// What is done in them.
    pub pot_lead: PotLead,
}

impl TaskPlace {
    /// When the glue for it is put to soak.
    pub const fn soak_at(&self) -> Option<Minute> {
        match self.pot_lead {
            PotLead::Make { soak_at } => soak_at,
            PotLead::Nothing | PotLead::Melt => None,
        }
    }
}

/// What a piece takes that is being put, and is not on the bench yet.
#[derive(Debug, Clone, Default)]
pub struct OwnActs {
    /// Baths it opens.
    pub baths: Vec<BathTime>,
    /// Hands it keeps busy.
    pub busy: Vec<(Minute, Minute)>,
}

/// What is taken so far.
#[derive(Debug, Clone)]
pub struct BenchTime<'a> {
    windows: &'a [WorkWindow],
    hands: usize,
    /// The pots of this rack.
    pub pots: Arc<Vec<PlannedPot>>,
    busy: IntervalList,
    dusty: IntervalList,
    spirit: IntervalList,
    wet: IntervalList,
    /// Held for acts that are put later: no glue is put to soak in them.
    reserved: IntervalList,
    /// The baths so far.
    pub baths: Vec<BathTime>,
}

/// Spans of time in the order of their beginnings.
#[derive(Debug, Clone, Default)]
struct IntervalList {
    spans: Vec<(Minute, Minute)>,
    longest: Minute,
}

impl IntervalList {
    fn insert(&mut self, from: Minute, to: Minute) {
        let at = self.spans.partition_point(|span| *span < (from, to));
        self.spans.insert(at, (from, to));
        self.longest = self.longest.max(to - from);
    }

    fn remove(&mut self, from: Minute, to: Minute) {
        if let Ok(at) = self.spans.binary_search(&(from, to)) {
            self.spans.remove(at);
        }
    }

    /// Those that share a minute with that span.
    fn touching(&self, from: Minute, to: Minute) -> impl Iterator<Item = (Minute, Minute)> + '_ {
        let first = self.spans.partition_point(|span| span.0 < from - self.longest);
        self.spans[first..].iter().take_while(move |span| span.0 < to).filter(move |span| span.1 > from).copied()
    }

    fn first_end(&self, from: Minute, to: Minute) -> Option<Minute> {
        self.touching(from, to).map(|span| span.1).min()
    }
}

impl<'a> BenchTime<'a> {
    /// An empty bench in those hours for so many pairs of hands.
    pub fn new(windows: &'a [WorkWindow], hands: usize, boards: &[BoardTasks]) -> BenchTime<'a> {
        let mut pots: Vec<PlannedPot> = Vec::new();
        for board in boards {
            for kind in board.tasks.iter().filter_map(|task| task.pot) {
                let (recipe, at_hand) = (&board.opened.recipe, board.pot_at_hand(kind));
                if !pots.iter().any(|pot| pot.is_for(kind, recipe, at_hand)) {
                    pots.push(PlannedPot::new(kind, recipe, at_hand));
                }
            }
        }
        BenchTime {
            windows,
            hands: hands.max(1),
            pots: Arc::new(pots),
            busy: IntervalList::default(),
            dusty: IntervalList::default(),
            spirit: IntervalList::default(),
            wet: IntervalList::default(),
            reserved: IntervalList::default(),
            baths: Vec::new(),
        }
    }

    /// The working hours.
    pub const fn windows(&self) -> &'a [WorkWindow] {
        self.windows
    }

    /// The first working hours that end after that minute.
    pub fn window_at(&self, from: Minute) -> usize {
        self.windows.partition_point(|window| window.to <= from)
    }

    /// The last working hours of the day of those.
    pub fn last_window_of_day(&self, window: usize) -> usize {
        let day = self.windows[window].day;
        window + self.windows[window + 1..].iter().take_while(|later| later.day == day).count()
    }

    /// Keeps that time for an act that is put later.
    pub fn reserve(&mut self, from: Minute, to: Minute) {
        self.reserved.insert(from, to);
    }

    /// None where glue can be put to soak then; else when the first of what is in its way ends.
    fn soak_free_after(&self, from: Minute, to: Minute) -> Option<Minute> {
        let taken = self.busy.touching(from, to).count() + self.reserved.touching(from, to).count();
        let first_end = || self.busy.first_end(from, to).into_iter().chain(self.reserved.first_end(from, to)).min();
        // Of several that touch it not all need be at once; only where nothing else is reserved is that told apart.
        if self.reserved.touching(from, to).next().is_none() {
            return self.hands_free_after(from, to);
        }
        (taken >= self.hands).then(first_end).flatten()
    }

    fn hands_free_after(&self, from: Minute, to: Minute) -> Option<Minute> {
        // A maximum of acts that share a minute is reached where one of them begins.
        let begins = self.busy.touching(from, to).map(|span| span.0.max(from)).chain([from]);
        let full = |at: &Minute| self.busy.touching(*at, at + 1).count() >= self.hands;
        let at = begins.into_iter().find(full)?;
        self.busy.first_end(at, at + 1)
    }

    /// The pot that act is laid from.
    pub fn pot_of(&self, board: &BoardTasks, task: &PlanTask) -> Option<usize> {
        let kind = task.pot?;
        self.pots.iter().position(|pot| pot.is_for(kind, &board.opened.recipe, board.pot_at_hand(kind)))
    }

    /// The first place for that act of a board, no sooner than `from`, in the working hours of that number. `own` is
    /// what the acts before it of the same piece take.
    pub fn first_place(
        &self,
        (board, task): (&BoardTasks, &PlanTask),
        from: Minute,
        window: usize,
        own: &OwnActs,
    ) -> Option<TaskPlace> {
        let hours = self.windows.get(window)?;
        let pot = self.pot_of(board, task);
        let mut start = from.max(hours.from);
        loop {
            if start + task.work > hours.to {
                return None;
            }
            match self.try_place((task, pot), start, window, own) {
                Ok(place) => return Some(place),
                Err(next) => start = next.max(start + 1),
            }
        }
    }

    /// The place at exactly that minute, or the next minute worth a try.
    fn try_place(
        &self,
        (task, pot): (&PlanTask, Option<usize>),
        start: Minute,
        window: usize,
        own: &OwnActs,
    ) -> Result<TaskPlace, Minute> {
        let end = start + task.work;
        let (lead, pot_lead) = match pot {
            Some(pot) => self.find_bath(pot, (start, end), window, own)?,
            None => (0, PotLead::Nothing),
        };
        let from = start - lead;
        if from < self.windows[window].from {
            return Err(self.windows[window].from + lead);
        }
        let blocked = self.hands_free_after(from, end);
        let wet_to = end + task.wet;
        let blocked = blocked.or_else(|| self.dusty.first_end(start, wet_to).filter(|_| task.wet > 0));
        let blocked = blocked.or_else(|| self.spirit.first_end(from, end).filter(|_| pot.is_some()));
        let blocked = blocked.or_else(|| self.wet.first_end(start, end).filter(|_| task.is_dusty));
        let bath = |bath: &&BathTime| bath.from < end && bath.to > start;
        let blocked = blocked.or_else(|| {
            let baths = self.baths.iter().filter(bath).map(|bath| bath.to);
            baths.min().filter(|_| task.is_spirit)
        });
        match blocked {
            Some(until) => Err(until + lead),
            None => Ok(TaskPlace { start, window, day: self.windows[window].day, lead, pot_lead }),
        }
    }

    /// What the pot asks for before a coat then: minutes of making or melting, and which of them.
    fn find_bath(
        &self,
        number: usize,
        (start, end): (Minute, Minute),
        window: usize,
        own: &OwnActs,
    ) -> Result<(Minute, PotLead), Minute> {
        let (pot, day) = (&self.pots[number], self.windows[window].day);
        let baths = || self.baths.iter().chain(&own.baths).filter(|bath| bath.pot == number);
        let today = || baths().filter(|bath| bath.day == day);
        if let Some(first) = today().map(|bath| bath.ready).min() {
            let Some(last) = today().filter(|bath| bath.ready <= start).max_by_key(|bath| bath.to) else {
                // Before the pot is made there is nothing to lay.
                return Err(first);
            };
            let is_warm = start <= last.to + BATH_GAP && self.spirit.first_end(last.to.min(start), end).is_none();
            return Ok(if is_warm { (0, PotLead::Nothing) } else { (pot.melt, PotLead::Melt) });
        }
        if self.has_batch(number, start, day, own) {
            let now = self.windows.first().map_or(start, |hours| hours.from);
            let is_warm = pot.at_hand.as_ref().is_some_and(|pot| pot.is_warm) && start <= now + BATH_GAP;
            let is_warm = is_warm && self.spirit.first_end(now.min(start), end).is_none();
            return Ok(if is_warm { (0, PotLead::Nothing) } else { (pot.melt, PotLead::Melt) });
        }
        let soaks = pot.at_hand.as_ref().and_then(|pot| match pot.stand {
            PotStand::Soaks { until } => Some(until),
            PotStand::Made { .. } => None,
        });
        let is_used = |bath: &BathTime| bath.lead == PotLead::Make { soak_at: None };
        if let Some(until) = soaks.filter(|_| !baths().any(is_used)) {
            let by = until + pot.make;
            return if start >= by { Ok((pot.make, PotLead::Make { soak_at: None })) } else { Err(by) };
        }
        match self.last_soak(start - pot.make - pot.soak, own) {
            Some(soak_at) => Ok((pot.make, PotLead::Make { soak_at: Some(soak_at) })),
            None => match self.first_soak() {
                Some(soak_at) => Err(soak_at + SOAK_WORK + pot.soak + pot.make),
                None => Err(Minute::MAX / 2),
            },
        }
    }

    /// Whether a batch that was made on an earlier day still keeps then and may be melted again on that day.
    fn has_batch(&self, number: usize, start: Minute, day: i64, own: &OwnActs) -> bool {
        let baths = || self.baths.iter().chain(&own.baths).filter(|bath| bath.pot == number);
        let is_made = |bath: &&BathTime| matches!(bath.lead, PotLead::Make { .. });
        let made = baths().filter(is_made).filter(|bath| bath.ready <= start).max_by_key(|bath| bath.ready);
        let batch =
            made.map(|bath| (bath.ready, bath.day)).or_else(|| match self.pots[number].at_hand.as_ref()?.stand {
                // The day it was made on may be over, and then is none of these.
                PotStand::Made { at } => {
                    let same = self.windows.iter().find(|hours| hours.from - at < SAME_DAY && hours.to > at);
                    Some((at, same.map_or(i64::MIN, |hours| hours.day)))
                }
                PotStand::Soaks { .. } => None,
            });
        let Some((made_at, made_on)) = batch else { return false };
        let next = baths().filter(is_made).map(|bath| bath.ready).filter(|ready| *ready > start).min();
        let of_batch = baths().filter(|bath| bath.ready > made_at && next.is_none_or(|next| bath.ready < next));
        let mut days: Vec<i64> = of_batch.map(|bath| bath.day).chain([day]).filter(|day| *day != made_on).collect();
        days.sort_unstable();
        days.dedup();
        start - made_at <= KEEPS && days.len() <= LATER_DAYS_MELTED
    }

    /// The last time to put glue to soak so that it is done by then.
    fn last_soak(&self, by: Minute, own: &OwnActs) -> Option<Minute> {
        let last = self.windows.partition_point(|window| window.from + SOAK_WORK <= by);
        self.windows[..last].iter().rev().find_map(|window| {
            let mut end = by.min(window.to);
            while end - SOAK_WORK >= window.from {
                let start = end - SOAK_WORK;
                let own = own.busy.iter().filter(|span| span.0 < end && span.1 > start).map(|span| span.0);
                let own = own.min();
                if own.is_none() && self.soak_free_after(start, end).is_none() {
                    return Some(start);
                }
                let taken = self.busy.touching(start, end).map(|span| span.0).chain(own).min();
                end = taken.unwrap_or(start).min(end - 1);
            }
            None
        })
    }

    fn first_soak(&self) -> Option<Minute> {
        self.windows.iter().find_map(|window| {
            let mut start = window.from;
            while start + SOAK_WORK <= window.to {
                match self.soak_free_after(start, start + SOAK_WORK) {
                    None => return Some(start),
                    Some(next) => start = next.max(start + 1),
                }
            }
            None
        })
    }

    /// Puts that act there for good. Its place was found on this bench as it is now, or with the acts before it of the
    /// same board put on it.
    pub fn take(&mut self, board: &BoardTasks, task: &PlanTask, place: TaskPlace) {
        let (start, end) = (place.start, place.start + task.work);
        self.busy.insert(start - place.lead, end);
        self.reserved.remove(start - place.lead, start);
        self.reserved.remove(start, end);
        if task.is_dusty {
            self.dusty.insert(start, end);
        }
        if task.is_spirit {
            self.spirit.insert(start, end);
        }
        if task.wet > 0 {
            self.wet.insert(start, end + task.wet);
        }
        if let Some(soak_at) = place.soak_at() {
            self.busy.insert(soak_at, soak_at + SOAK_WORK);
        }
        let pot = self.pot_of(board, task);
        let opened = pot.and_then(|pot| extend_bath(&mut self.baths, pot, place, end));
        self.baths.extend(opened);
    }
}

/// Keeps the bath warm that a coat then comes from, or tells of the one that is opened for it.
pub fn extend_bath(baths: &mut [BathTime], pot: usize, place: TaskPlace, end: Minute) -> Option<BathTime> {
    let here = |bath: &&mut BathTime| bath.pot == pot && bath.day == place.day && bath.ready <= place.start;
    let warm = baths.iter_mut().filter(here).max_by_key(|bath| bath.to).filter(|_| place.lead == 0);
    if let Some(bath) = warm {
        bath.to = bath.to.max(end);
        return None;
    }
    let (from, ready) = (place.start - place.lead, place.start);
    Some(BathTime { pot, day: place.day, from, ready, to: end, lead: place.pot_lead })
}
