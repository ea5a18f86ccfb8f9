//! What is taken on the bench: hands, baths, wet boards, dust and spirit; and the first moment an act fits in between.

use super::board_tasks::{BoardTasks, PlanTask, ceil_minutes};
use super::windows::{Minute, WorkWindow};
use crate::craft::materials::PotKind;
use crate::craft::recipe::Recipe;
use std::sync::Arc;

/// Weighing glue and covering it with cold water takes so long, minutes (assumed).
pub const SOAK_WORK: Minute = 5;
/// Making a pot of warm size takes so long, and one of gesso, minutes (assumed).
const MAKE_SIZE_WORK: Minute = 15;
const MAKE_GESSO_WORK: Minute = 25;
/// A bath that nothing is laid from for longer than this is turned off, minutes (assumed).
pub const BATH_GAP: Minute = 120;

/// A pot of one kind and recipe, which serves all boards of that recipe.
#[derive(Debug, Clone, PartialEq)]
pub struct PlannedPot {
    /// Size or gesso.
    pub kind: PotKind,
    /// Of what.
    pub recipe: Arc<Recipe>,
    /// The glue soaks so long, minutes.
    pub soak: Minute,
    /// Making it keeps the hands so long, minutes.
    pub make: Minute,
    /// Melting it again, minutes.
    pub melt: Minute,
}

impl PlannedPot {
    fn new(kind: PotKind, recipe: &Arc<Recipe>) -> PlannedPot {
        PlannedPot {
            kind,
            recipe: Arc::clone(recipe),
            soak: ceil_minutes(recipe.size.soak_h * 60.0),
            make: match kind {
                PotKind::Size => MAKE_SIZE_WORK,
                PotKind::Gesso => MAKE_GESSO_WORK,
            },
            melt: ceil_minutes(recipe.gesso.melt_min).max(1),
        }
    }
}

/// A pot in its bath.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BathTime {
    /// Which of the pots.
    pub pot: usize,
    /// In which working hours.
    pub window: usize,
    /// The first minute of making or melting.
    pub from: Minute,
    /// The pot is ready for the first coat.
    pub ready: Minute,
    /// The last coat from it is laid.
    pub to: Minute,
    /// When its glue was put to soak; none where the pot is melted again.
    pub soak_at: Option<Minute>,
}

/// Where an act goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TaskPlace {
    /// It begins then.
    pub start: Minute,
    /// In which working hours.
    pub window: usize,
    /// Making or melting the pot right before it, minutes; 0 where it is warm.
    pub lead: Minute,
    /// When the glue for it is put to soak.
    pub soak_at: Option<Minute>,
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
                let recipe = &board.opened.recipe;
                if find_pot(&pots, kind, recipe).is_none() {
                    pots.push(PlannedPot::new(kind, recipe));
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

    fn hands_free_after(&self, from: Minute, to: Minute) -> Option<Minute> {
        // A maximum of acts that share a minute is reached where one of them begins.
        let begins = self.busy.touching(from, to).map(|span| span.0.max(from)).chain([from]);
        let full = |at: &Minute| self.busy.touching(*at, at + 1).count() >= self.hands;
        let at = begins.into_iter().find(full)?;
        self.busy.first_end(at, at + 1)
    }

    /// The pot that act is laid from.
    pub fn pot_of(&self, board: &BoardTasks, task: &PlanTask) -> Option<usize> {
        task.pot.and_then(|kind| find_pot(&self.pots, kind, &board.opened.recipe))
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
        let (lead, soak_at) = match pot {
            Some(pot) => self.find_bath(pot, (start, end), window, own)?,
            None => (0, None),
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
            None => Ok(TaskPlace { start, window, lead, soak_at }),
        }
    }

    /// What the pot asks for before a coat then: minutes of making or melting, and when its glue is put to soak.
    fn find_bath(
        &self,
        pot: usize,
        (start, end): (Minute, Minute),
        window: usize,
        own: &OwnActs,
    ) -> Result<(Minute, Option<Minute>), Minute> {
        let kind = &self.pots[pot];
        let mut today =
            self.baths.iter().chain(&own.baths).filter(|bath| bath.pot == pot && bath.window == window).peekable();
        if today.peek().is_some() {
            let before: Vec<&BathTime> = today.clone().filter(|bath| bath.ready <= start).collect();
            let Some(last) = before.iter().max_by_key(|bath| bath.to) else {
                // Before the pot is made there is nothing to lay.
                return Err(today.map(|bath| bath.ready).min().unwrap_or(end));
            };
            let is_warm = start <= last.to + BATH_GAP && self.spirit.first_end(last.to.min(start), end).is_none();
            return Ok((if is_warm { 0 } else { kind.melt }, None));
        }
        let soaked_by = start - kind.make - kind.soak;
        match self.last_soak(soaked_by, own) {
            Some(soak_at) => Ok((kind.make, Some(soak_at))),
            None => match self.first_soak() {
                Some(soak_at) => Err(soak_at + SOAK_WORK + kind.soak + kind.make),
                None => Err(Minute::MAX / 2),
            },
        }
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
                if own.is_none() && self.hands_free_after(start, end).is_none() {
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
                match self.hands_free_after(start, start + SOAK_WORK) {
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
        if task.is_dusty {
            self.dusty.insert(start, end);
        }
        if task.is_spirit {
            self.spirit.insert(start, end);
        }
        if task.wet > 0 {
            self.wet.insert(start, end + task.wet);
        }
        if let Some(soak_at) = place.soak_at {
            self.busy.insert(soak_at, soak_at + SOAK_WORK);
        }
        let pot = self.pot_of(board, task);
        let opened = pot.and_then(|pot| extend_bath(&mut self.baths, pot, place, end));
        self.baths.extend(opened);
    }
}

/// Keeps the bath warm that a coat then comes from, or tells of the one that is opened for it.
pub fn extend_bath(baths: &mut [BathTime], pot: usize, place: TaskPlace, end: Minute) -> Option<BathTime> {
    let here = |bath: &&mut BathTime| bath.pot == pot && bath.window == place.window && bath.ready <= place.start;
    if place.lead == 0 {
        if let Some(bath) = baths.iter_mut().filter(here).max_by_key(|bath| bath.to) {
            bath.to = bath.to.max(end);
        }
        return None;
    }
    let (window, from, ready) = (place.window, place.start - place.lead, place.start);
    Some(BathTime { pot, window, from, ready, to: end, soak_at: place.soak_at })
}

fn find_pot(pots: &[PlannedPot], kind: PotKind, recipe: &Arc<Recipe>) -> Option<usize> {
    pots.iter().position(|pot| pot.kind == kind && (Arc::ptr_eq(&pot.recipe, recipe) || pot.recipe == *recipe))
}
