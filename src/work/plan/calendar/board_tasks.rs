//! What one board still asks for: its acts in order, the minutes of each, and what each must wait for.

use super::planned_pot::PotAtHand;
use super::windows::{Minute, ceil_minutes, minute_from};
use crate::craft::materials::PotKind;
use crate::craft::recipe::{Recipe, SealMaterial};
use crate::units::{Moment, Span};
use crate::work::learn::LearnedTimes;
use crate::work::panel::adjusted_wait::{DryingEstimate, adjust_wait, own_wait_within_bounds};
use crate::work::panel::event::{PanelOpened, Stage, StageKind};
use crate::work::panel::stage_kind::StageHazard;
use crate::work::panel::state::{Panel, PlanStep, StepState};

/// What bears on how long things take.
#[derive(Debug, Clone, Copy)]
pub struct PlanConditions<'a> {
    /// The maker's own minutes.
    pub learned: &'a LearnedTimes,
    /// What the air that is expected does to waits.
    pub drying: DryingEstimate,
    /// Whether it may shorten them.
    pub may_shorten: bool,
    /// Whether the maker's own marks of dull set the waits.
    pub own_waits: bool,
}

/// One act that somebody has to do.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanTask {
    /// What.
    pub stage: Stage,
    /// The hand is busy with it for so long, minutes; at least one.
    pub work: Minute,
    /// It begins so many minutes after the end of those acts at the earliest.
    pub after: Vec<(usize, Minute)>,
    /// It begins no sooner than this: what was done already is still curing or drying.
    pub release: Minute,
    /// The board is wet for so long behind it, minutes.
    pub wet: Minute,
    /// The pot it is laid from.
    pub pot: Option<PotKind>,
    /// It makes dust, or is done with powder.
    pub is_dusty: bool,
    /// It is done with spirit.
    pub is_spirit: bool,
    /// The act below on its face, and how long after that one's end the surface is bone dry, minutes.
    pub bound: Option<(usize, Minute)>,
    /// The coat below lies already: later than this the surface is bone dry.
    pub bound_at: Option<Minute>,
}

/// What one board still asks for.
#[derive(Debug, Clone, PartialEq)]
pub struct BoardTasks {
    /// What was said when it was opened, or would be.
    pub opened: PanelOpened,
    /// The acts in order; may be none.
    pub tasks: Vec<PlanTask>,
    /// No night between the first coat of gesso and the last.
    pub one_day: bool,
    /// It is ready so many minutes after its last act.
    pub ready_after: Minute,
    /// It is ready no sooner than this.
    pub ready_release: Minute,
    /// The pots that stand there for it.
    pub pots_at_hand: Vec<PotAtHand>,
}

/// Pieces of the work that are put on the calendar one after the other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum TaskGroup {
    /// Preparing, before any glue is warm.
    Preparing,
    /// Size and cloth.
    Sizing,
    /// Stipple to last coat.
    Laying,
    /// Scraping, polishing, checking.
    Levelling,
    /// The seal.
    Sealing,
    /// The last fine pass, once no seal is wet.
    Sanding,
}

impl TaskGroup {
    /// The group of a kind of stage.
    pub const fn of(kind: StageKind) -> TaskGroup {
        match kind {
            StageKind::Prepare => TaskGroup::Preparing,
            StageKind::Size | StageKind::Cloth | StageKind::Cure => TaskGroup::Sizing,
            StageKind::Stipple | StageKind::Coat | StageKind::Dry => TaskGroup::Laying,
            StageKind::Scrape | StageKind::Polish | StageKind::Check | StageKind::Rest => TaskGroup::Levelling,
            StageKind::Seal => TaskGroup::Sealing,
            StageKind::Sand => TaskGroup::Sanding,
        }
    }
}

/// Where something ends that a later act waits for.
#[derive(Clone, Copy)]
enum EndOf {
    Task(usize),
    Past(Minute),
}

impl BoardTasks {
    /// What that panel still asks for from now on. A board that was given up asks for nothing.
    pub fn from_panel(panel: &Panel, now: Moment, conditions: PlanConditions<'_>) -> BoardTasks {
        let opened = panel.opened().clone();
        let mut built = TaskBuilder {
            panel,
            conditions,
            now,
            tasks: Vec::new(),
            ends: Vec::new(),
            gaps: Vec::new(),
            pending: Vec::new(),
        };
        if panel.abandon_reason().is_none() {
            for (step, stage) in panel.steps().iter().zip(panel.stages()) {
                built.add_step(step, stage);
            }
        }
        let (mut ready_after, mut ready_release) = (0, minute_from(now.wall));
        for (end, least) in built.waits_before(None) {
            match end {
                // Every wait of the end hangs on the last act, or on one before it whose wait is over by then.
                EndOf::Task(i) if i + 1 == built.tasks.len() => ready_after = ready_after.max(least),
                EndOf::Task(_) => {}
                EndOf::Past(at) => ready_release = ready_release.max(at + least),
            }
        }
        let one_day = opened.recipe.coats.one_day;
        BoardTasks { opened, tasks: built.tasks, one_day, ready_after, ready_release, pots_at_hand: Vec::new() }
    }

    /// The same, laid from those pots while they last.
    #[must_use]
    pub fn with_pots(self, pots_at_hand: Vec<PotAtHand>) -> BoardTasks {
        BoardTasks { pots_at_hand, ..self }
    }

    /// The pot of that kind that stands there for it.
    pub fn pot_at_hand(&self, kind: PotKind) -> Option<&PotAtHand> {
        self.pots_at_hand.iter().find(|pot| pot.kind == kind)
    }

    /// Its acts in pieces, each a range of `tasks` with its group.
    pub fn groups(&self) -> Vec<(TaskGroup, std::ops::Range<usize>)> {
        let mut groups: Vec<(TaskGroup, std::ops::Range<usize>)> = Vec::new();
        for (i, task) in self.tasks.iter().enumerate() {
            let group = TaskGroup::of(task.stage.kind);
            match groups.last_mut().filter(|(last, _)| *last == group) {
                Some((_, range)) => range.end = i + 1,
                None => groups.push((group, i..i + 1)),
            }
        }
        groups
    }

    /// The shortest time from the beginning of the first act of that range to the end of the last, minutes.
    pub fn shortest_run(&self, range: &std::ops::Range<usize>) -> Minute {
        let mut ends = vec![0; self.tasks.len()];
        for i in range.clone() {
            let task = &self.tasks[i];
            let before = if i > range.start { ends[i - 1] } else { 0 };
            let after = task.after.iter().filter(|(j, _)| range.contains(j)).map(|(j, least)| ends[*j] + least);
            ends[i] = after.fold(before, Minute::max) + task.work;
        }
        range.clone().last().map_or(0, |last| ends[last])
    }
}

struct TaskBuilder<'a> {
    panel: &'a Panel,
    conditions: PlanConditions<'a>,
    now: Moment,
    tasks: Vec<PlanTask>,
    /// What was done or is to be done, in order, with where it ends.
    ends: Vec<(Stage, EndOf)>,
    /// Longer than this behind each of them, and its surface is bone dry.
    gaps: Vec<Minute>,
    /// The cure, drying or rest between the last act and the next.
    pending: Vec<StageKind>,
}

impl TaskBuilder<'_> {
    fn recipe(&self) -> &Recipe {
        self.panel.recipe()
    }

    fn add_step(&mut self, step: &PlanStep, stage: Stage) {
        if stage.kind.ends_by_itself() {
            if matches!(step.state, StepState::Pending) {
                self.pending.push(stage.kind);
            }
            return;
        }
        match &step.state {
            StepState::Skipped(_) => {}
            StepState::Done(laid) => {
                self.ends.push((stage, EndOf::Past(minute_from(laid.done_at.wall))));
                self.gaps.push(self.panel.long_gap_after(laid).minutes().floor() as Minute);
                self.pending.clear();
            }
            StepState::Pending | StepState::Begun(_) => {
                let task = self.build_task(step, stage);
                self.ends.push((stage, EndOf::Task(self.tasks.len())));
                self.gaps.push(self.long_gap(stage.kind));
                self.tasks.push(task);
                self.pending.clear();
            }
        }
    }

    fn build_task(&self, step: &PlanStep, stage: Stage) -> PlanTask {
        let (kind, recipe) = (stage.kind, self.recipe());
        let minutes = self.conditions.learned.work_minutes(kind, self.panel.opened());
        let begun_ago = match step.state {
            StepState::Begun(at) => (self.now.wall - at.wall).minutes(),
            StepState::Pending | StepState::Done(_) | StepState::Skipped(_) => 0.0,
        };
        let mut task = PlanTask {
            stage,
            work: ceil_minutes(minutes - begun_ago).max(1),
            after: Vec::new(),
            release: minute_from(self.now.wall),
            wet: self.wet_minutes(kind),
            pot: kind.row().pot,
            is_dusty: kind.row().hazards.contains(&StageHazard::Dust),
            is_spirit: uses_spirit(kind, recipe),
            bound: None,
            bound_at: None,
        };
        for (end, least) in self.waits_before(Some(stage)) {
            match end {
                EndOf::Task(i) => task.after.push((i, least)),
                EndOf::Past(at) => task.release = task.release.max(at + least),
            }
        }
        if self.tasks.is_empty() {
            // The wait that really runs, the maker's own minutes and a mark of dull included.
            let due = self.panel.status(self.now).due_at.map(minute_from);
            task.release = due.unwrap_or(task.release).max(minute_from(self.now.wall));
        }
        let below = |s: &Stage| s.kind.is_gesso() && s.face == stage.face;
        let below = self.ends.iter().rposition(|(s, _)| below(s)).filter(|_| kind == StageKind::Coat);
        match below.map(|i| (self.ends[i].1, self.gaps[i])) {
            Some((EndOf::Task(i), gap)) => task.bound = Some((i, gap)),
            Some((EndOf::Past(at), gap)) => task.bound_at = Some(at + gap),
            None => {}
        }
        task
    }

    /// What an act at that place waits for, with the minutes; of no place: what the whole board waits for at the end.
    fn waits_before(&self, next: Option<Stage>) -> Vec<(EndOf, Minute)> {
        let recipe = self.recipe();
        let last_of = |belongs: &dyn Fn(StageKind) -> bool| {
            self.ends.iter().rev().find(|(s, _)| belongs(s.kind)).map(|(_, end)| *end)
        };
        let hours = |h: f64| ceil_minutes(h * 60.0);
        let mut waits = Vec::new();
        for kind in &self.pending {
            match kind {
                StageKind::Cure => {
                    let cloth_h = recipe.cloth.as_ref().map_or(0.0, |cloth| cloth.rest_h);
                    let size = last_of(&|kind| kind == StageKind::Size).map(|end| (end, hours(recipe.size.cure_h)));
                    waits.extend(size);
                    waits.extend(last_of(&|kind| kind == StageKind::Cloth).map(|end| (end, hours(cloth_h))));
                }
                StageKind::Dry => {
                    waits.extend(last_of(&StageKind::is_gesso).map(|end| (end, ceil_minutes(recipe.coats.dry_min))));
                }
                StageKind::Rest => {
                    let ground = |kind: StageKind| (StageKind::Stipple..StageKind::Rest).contains(&kind);
                    waits.extend(last_of(&ground).map(|end| (end, hours(recipe.rest.hours))));
                }
                StageKind::Prepare
                | StageKind::Size
                | StageKind::Cloth
                | StageKind::Stipple
                | StageKind::Coat
                | StageKind::Scrape
                | StageKind::Polish
                | StageKind::Check
                | StageKind::Seal
                | StageKind::Sand => {}
            }
        }
        let Some((before, end)) = self.ends.last().copied() else { return waits };
        let is_same_coat = next.is_some_and(|n| (n.kind, n.number) == (before.kind, before.number));
        let spans = before.kind.row().spans_faces && is_same_coat;
        // A cure, a drying or a rest takes the place of the coat's own wait.
        let own = if spans || !self.pending.is_empty() { 0 } else { self.wait_after(before.kind) };
        waits.push((end, own));
        waits
    }

    fn wait_after(&self, kind: StageKind) -> Minute {
        let PlanConditions { learned, drying, may_shorten, own_waits } = self.conditions;
        let of_recipe = self.panel.recipe_wait(kind).unwrap_or(Span::ZERO);
        let own = own_waits.then(|| learned.own_wait(kind, self.recipe(), of_recipe, drying)).flatten();
        let wait = match own {
            Some(own) => own_wait_within_bounds(kind, self.recipe(), own),
            None => adjust_wait(kind, of_recipe, self.recipe(), drying, may_shorten).span,
        };
        ceil_minutes(wait.minutes())
    }

    /// Longer than this behind a coat of that kind, and its surface is bone dry: as `Panel::long_gap_after` has it, in the
    /// air that is expected.
    fn long_gap(&self, kind: StageKind) -> Minute {
        let factor = self.conditions.drying.factor().filter(|f| f.is_finite() && *f > 0.0).unwrap_or(1.0);
        let bound = (self.recipe().coats.long_gap_min * factor + 1e-6).floor() as Minute;
        bound.max(self.wait_after(kind))
    }

    /// How long a board is wet behind an act: as long as a coat of its kind waits; cloth is laid in size, and as wet.
    fn wet_minutes(&self, kind: StageKind) -> Minute {
        match kind {
            StageKind::Cloth => self.wait_after(StageKind::Size),
            StageKind::Size | StageKind::Stipple | StageKind::Coat | StageKind::Seal => self.wait_after(kind),
            StageKind::Prepare
            | StageKind::Cure
            | StageKind::Dry
            | StageKind::Scrape
            | StageKind::Polish
            | StageKind::Check
            | StageKind::Rest
            | StageKind::Sand => 0,
        }
    }
}

fn uses_spirit(kind: StageKind, recipe: &Recipe) -> bool {
    let hazards = kind.row().hazards;
    let seals = hazards.contains(&StageHazard::SealMaterial) && recipe.seal.with == SealMaterial::Shellac;
    hazards.contains(&StageHazard::Spirit) || seals
}
