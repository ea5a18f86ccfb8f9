//! One panel on its way through the studio: what is done to it next, when, and what befalls it meanwhile.
//!
//! Every fact goes through the panel's own rules ([`PanelStory::build_event`], [`PanelStory::with_entry`]), so that
//! nothing is told which they refuse.

mod planned_act;

use super::calendar::{opening_entry, studio_moment};
use super::pots::pot_for_stage;
use super::rng::Rng;
use super::studio::Fate;
use super::studio_air::StudioAir;
use super::words;
use crate::record::journal::next_seq;
use crate::units::{Entry, Id, Mass, Span, Stamp};
use crate::work::panel::act::PanelAct;
use crate::work::panel::adjusted_wait::DryingEstimate;
use crate::work::panel::event::{CheckMap, Face, Flaw, PanelEvent, PanelOpened, Roughness, Stage, StageKind};
use crate::work::panel::phase::PanelPhase;
use crate::work::panel::refusal::PanelRefusal;
use crate::work::panel::story::PanelStory;

/// Grams to a cubic millimetre of a light board; only what is weighed first rests on it (assumed).
const BOARD_G_PER_MM3: f64 = 0.000_68;

/// The next act as it is meant to be done.
#[derive(Debug, Clone)]
struct PlannedAct {
    /// When it is begun, if the hands are free.
    begins_at: Stamp,
    /// How long it takes.
    duration: Span,
    /// Whether the start is recorded too.
    records_start: bool,
    /// When the gloss of the coat below is seen to be gone.
    dull_at: Option<Stamp>,
}

/// What a panel is worked with.
#[derive(Debug, Clone)]
pub(super) struct PanelSupplies {
    /// The pot of size.
    pub(super) size_pot: Id,
    /// The pot of gesso.
    pub(super) gesso_pot: Id,
    /// The air of the studio.
    pub(super) air: StudioAir,
}

/// A panel and its story so far.
#[derive(Debug, Clone)]
pub(super) struct PanelSimulation {
    supplies: PanelSupplies,
    story: PanelStory,
    fate: Fate,
    rng: Rng,
    next_act: PlannedAct,
    /// Whether its fate has come about, where it comes about once.
    fate_is_done: bool,
    /// Whether the maker is called away right now.
    pub(super) called_away: bool,
    /// How many rounds of checking it will take.
    rounds: u32,
}

impl PanelSimulation {
    /// A panel opened at that time.
    pub(super) fn new(
        opened: PanelOpened,
        fate: Fate,
        with: PanelSupplies,
        mut chance: Rng,
        at: Stamp,
    ) -> Result<PanelSimulation, PanelRefusal> {
        let event = PanelEvent::Opened(Box::new(opened));
        let story = PanelStory::fold(vec![opening_entry(at, event)])?;
        let rounds = if fate == Fate::Slow { 3 } else { chance.draw_int(1, 2) as u32 };
        let next = PlannedAct { begins_at: at, duration: Span::ZERO, records_start: true, dull_at: None };
        let mut tale = PanelSimulation {
            supplies: with,
            story,
            fate,
            rng: chance,
            next_act: next,
            fate_is_done: false,
            called_away: false,
            rounds,
        };
        tale.plan_next_act(at);
        Ok(tale)
    }

    /// The story so far.
    pub(super) fn story(&self) -> &PanelStory {
        &self.story
    }

    /// The pot of gesso it is laid from.
    pub(super) fn gesso_pot(&self) -> &Id {
        &self.supplies.gesso_pot
    }

    /// The pot the act at hand is done from.
    pub(super) fn current_pot(&self) -> Option<&Id> {
        self.current_stage().and_then(|s| pot_for_stage(s.kind, &self.supplies.size_pot, &self.supplies.gesso_pot))
    }

    /// What is to be done next; nothing once it is finished or given up.
    pub(super) fn current_stage(&self) -> Option<Stage> {
        self.story.panel().stage_at_hand().filter(|_| self.story.panel().abandon_reason().is_none())
    }

    /// When it next wants hands; nothing once it is finished or given up.
    pub(super) fn next_act_at(&self) -> Option<Stamp> {
        self.current_stage().map(|_| self.next_act.begins_at)
    }

    /// How much of one day the act at hand needs, all that has to follow on the same day included.
    pub(super) fn time_needed(&self) -> Span {
        let recipe = self.story.panel().recipe();
        let first = self.current_stage().is_some_and(|s| s.kind == StageKind::Stipple && s.number == Some(1));
        if !first {
            return self.next_act.duration;
        }
        let coats = f64::from(recipe.stipple.coats + recipe.coats.front + recipe.coats.back);
        Span::from_min(coats * (recipe.coats.wait_min.max(recipe.stipple.wait_min) + recipe.minutes.coat))
    }

    /// Whether the act at hand is one of the coats that follow the stipple without a night between.
    pub(super) fn is_coat_next(&self) -> bool {
        self.current_stage().is_some_and(|s| s.kind == StageKind::Coat)
    }

    fn record(&mut self, act: &PanelAct, at: Stamp, written: Stamp) -> Result<(), PanelRefusal> {
        let event = match self.story.build_event(act, studio_moment(at))? {
            PanelEvent::Done(done) => {
                let drying = DryingEstimate::from_air(self.supplies.air.known_air(at));
                PanelEvent::Done(Box::new(done.with_adjusted_wait(self.story.panel().recipe(), drying, false)))
            }
            event => event,
        };
        let seq = next_seq(self.story.entries());
        let entry = Entry { seq, at, written: studio_moment(written), raw_wall: None, replaces: None, event };
        self.story = self.story.with_entry(entry)?;
        Ok(())
    }

    /// Does the act at hand, beginning at that time. Returns when the hands are free again.
    pub(super) fn do_next_act(&mut self, at: Stamp) -> Result<Stamp, PanelRefusal> {
        let Some(stage) = self.current_stage() else { return Ok(at) };
        let next = self.next_act.clone();
        let free = match self.do_fate_act(&stage, at)? {
            Some(free) => free,
            None => self.do_act(&stage, at, &next)?,
        };
        self.plan_next_act(free);
        Ok(free)
    }

    /// The act as it is meant to be, and what befalls the panel by it.
    fn do_act(&mut self, stage: &Stage, at: Stamp, next: &PlannedAct) -> Result<Stamp, PanelRefusal> {
        let dull_late = self.fate == Fate::Late && self.is_front_coat(stage, 4);
        if let Some(dull) = next.dull_at.filter(|d| *d < at + next.duration && !dull_late) {
            self.record(&PanelAct::Dull, dull, dull)?;
        }
        if next.records_start {
            self.record(&PanelAct::Start, at, at)?;
        }
        let done = at + next.duration;
        let late = self.fate == Fate::Late && self.is_front_coat(stage, 3);
        let written = if late { done + self.rng.draw_seconds(6 * 60, 9 * 60) } else { done };
        let act = self.done_act(stage);
        self.record(&act, done, written)?;
        if let Some(dull) = next.dull_at.filter(|d| *d < done && dull_late) {
            let given = done + self.rng.draw_seconds(40, 120);
            self.record(&PanelAct::Dull, dull, given)?;
        }
        self.follow_up(stage, done)
    }

    fn done_act(&mut self, stage: &Stage) -> PanelAct {
        let turned = self.fate == Fate::Turned && self.is_front_coat(stage, 3);
        PanelAct::Done {
            direction: stage.direction.filter(|_| turned).map(|d| d.perpendicular()),
            pot: pot_for_stage(stage.kind, &self.supplies.size_pot, &self.supplies.gesso_pot).cloned(),
            map: if stage.kind == StageKind::Check { self.draw_check_map(stage.number.unwrap_or(1)) } else { None },
            by: None,
        }
    }

    fn is_front_coat(&self, stage: &Stage, number: u32) -> bool {
        (stage.kind, stage.face, stage.number) == (StageKind::Coat, Some(Face::Front), Some(number))
    }

    /// The map of that round: fewer areas from round to round, none in the last.
    fn draw_check_map(&mut self, round: u32) -> Option<CheckMap> {
        let check = self.story.panel().recipe().check.clone()?;
        let left = self.rounds.saturating_sub(round);
        let mut areas = vec![vec![Roughness::None; check.columns as usize]; check.rows as usize];
        for _ in 0..left * 2 {
            let row = self.rng.draw_int(0, i64::from(check.rows) - 1) as usize;
            let column = self.rng.draw_int(0, i64::from(check.columns) - 1) as usize;
            areas[row][column] = if left > 1 && self.rng.draw_one_in(2) { Roughness::Much } else { Roughness::Some };
        }
        CheckMap::new(areas)
    }

    /// What is done in the place of the act at hand, if anything is.
    fn do_fate_act(&mut self, stage: &Stage, at: Stamp) -> Result<Option<Stamp>, PanelRefusal> {
        if self.fate_is_done {
            return Ok(None);
        }
        let phase = self.story.panel().phase_at(studio_moment(at));
        let front = self.story.panel().recipe().coats.front;
        match self.fate {
            Fate::GivenUp if self.is_front_coat(stage, front / 2 + 1) => {
                self.fate_is_done = true;
                self.record(&PanelAct::Abandon(words::GIVEN_UP.to_owned()), at, at)?;
            }
            Fate::Extra if self.is_front_laid(stage) => {
                self.fate_is_done = true;
                self.record(&PanelAct::Note(words::GRAIN.to_owned()), at, at)?;
                self.record(&PanelAct::Extra(None), at, at + Span::from_s(20))?;
            }
            Fate::RestEnded if phase == PanelPhase::Waiting && self.is_resting(at) => {
                self.fate_is_done = true;
                self.record(&PanelAct::Skip(words::REST_ENDED.to_owned()), at, at)?;
            }
            _ => return Ok(None),
        }
        Ok(Some(at + Span::from_s(60)))
    }

    /// Whether the last front coat was the last thing done, and something else than a front coat follows.
    fn is_front_laid(&self, stage: &Stage) -> bool {
        let last = self.story.panel().last_done();
        let coat = last.is_some_and(|(s, _)| (s.kind, s.face) == (StageKind::Coat, Some(Face::Front)));
        coat && (stage.kind, stage.face) != (StageKind::Coat, Some(Face::Front))
    }

    fn is_resting(&self, at: Stamp) -> bool {
        self.story.panel().status(studio_moment(at)).stage.is_some_and(|s| s.kind == StageKind::Rest)
    }

    /// What follows straight after an act. Returns when the hands are free again.
    fn follow_up(&mut self, stage: &Stage, done: Stamp) -> Result<Stamp, PanelRefusal> {
        let mut free = done + Span::from_s(15);
        match self.fate {
            Fate::TakenBack if self.is_front_coat(stage, 2) => {
                let (press, back) = (done + Span::from_s(7), done + Span::from_s(19));
                let act = self.current_stage().map_or_else(PanelAct::done_as_planned, |next| self.done_act(&next));
                self.record(&act, press, press)?;
                self.record(&PanelAct::Undo { seen: None }, back, back)?;
                free = back;
            }
            Fate::Repeated if self.is_front_coat(stage, 4) && !self.fate_is_done => {
                self.fate_is_done = true;
                let seen = done + self.rng.draw_seconds(25, 90);
                self.record(&PanelAct::Note(words::LUMPY.to_owned()), seen, seen)?;
                free = seen + Span::from_s(20);
                self.record(&PanelAct::Repeat(Flaw::Lumpy), free, free)?;
            }
            Fate::Turned if self.is_front_coat(stage, 3) => {
                free = done + Span::from_s(45);
                self.record(&PanelAct::Note(words::TURNED.to_owned()), free, free)?;
            }
            Fate::CalledAway if self.is_front_coat(stage, 3) => self.called_away = true,
            Fate::Weighed => self.weigh_panel(stage, free)?,
            _ => {}
        }
        if self.rng.draw_one_in(9)
            && let Some(words) = self.rng.pick(words::notes_after(stage.kind))
        {
            free = free + Span::from_s(30);
            self.record(&PanelAct::Note((*words).to_owned()), free, free)?;
        }
        Ok(free)
    }

    /// The board bare, with all its coats, and finished.
    fn weigh_panel(&mut self, stage: &Stage, at: Stamp) -> Result<(), PanelRefusal> {
        let panel = self.story.panel();
        let last = self.current_stage().is_none_or(|h| h.kind != stage.kind);
        if !matches!(stage.kind, StageKind::Prepare | StageKind::Coat | StageKind::Seal | StageKind::Sand) || !last {
            return Ok(());
        }
        let size = panel.opened().size;
        let (width, height) = (size.width.mm(), size.height.mm());
        let board = width * height * size.thickness.map_or(9.0, |t| t.mm()) * BOARD_G_PER_MM3;
        // What the coats weigh is assumed: 70 g of dry ground to a square metre and coat.
        let coats = (panel.count_coats(Face::Front) + panel.count_coats(Face::Back)) as f64;
        let ground = width * height * 0.000_07 * coats;
        self.record(&PanelAct::Weigh(Mass::from_g((board + ground).round()), None), at, at)
    }

    /// Writes a note.
    pub(super) fn record_note(&mut self, words: &str, at: Stamp) -> Result<(), PanelRefusal> {
        self.record(&PanelAct::Note(words.to_owned()), at, at)
    }

    /// Sees to it that nothing of what is meant next lies in the time the maker is away.
    pub(super) fn pause_work(&mut self) {
        self.called_away = false;
        self.next_act.dull_at = None;
    }

    /// Leaves or comes back; a panel that is not being laid has no part in it.
    pub(super) fn record_away_or_back(&mut self, act: &PanelAct, at: Stamp) -> Result<(), PanelRefusal> {
        match self.record(act, at, at) {
            Err(
                PanelRefusal::AwayNotAllowed
                | PanelRefusal::NotAway
                | PanelRefusal::AlreadyAway
                | PanelRefusal::Abandoned,
            ) => Ok(()),
            told => told,
        }
    }
}
