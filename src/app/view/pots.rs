//! The pots beside the bench: which one is in use, what the one key of the bath does, and what came of it.
//!
//! Absent on purpose: the sheets over the bench (`pot_sheet`, `making`), alarms (`pot_alarm`).

use super::keeping::What;
use super::pot_sheet::{PotLine, PotPurpose, PotsOver};
use super::{Kept, Over, Request, View};
use crate::bench::{Around, NotRecorded, PotAsk, PotOpening, Told, believed_now};
use crate::craft::materials::Filler;
use crate::units::{Id, Moment};
use crate::work::advice::pots as in_words;
use crate::work::air::{Air, Reading};
use crate::work::panel::event::Stage;
use crate::work::pot::act::Act;
use crate::work::pot::event::{Event, Kind};
use crate::work::pot::fold::Pot;
use crate::work::pot::genealogy::Remark;
use crate::work::pot::interruption::{self, KnownBy, Meaning};
use crate::work::pot::refusal::Question;

/// What a view asks of the program about pots and the air.
#[derive(Debug, Clone, PartialEq)]
pub enum PotRequest {
    /// Record an act on a pot.
    Record(Id, PotAsk),
    /// Open a pot.
    Open(Box<PotOpening>),
    /// Write what the program noticed by itself.
    Notice(Id, Event),
    /// Record the air.
    Air(Reading),
}

impl PotRequest {
    /// Whether the maker asked and waits for it; else the program noticed something by itself.
    pub const fn by_hand(&self) -> bool {
        match self {
            PotRequest::Record(..) | PotRequest::Open(_) | PotRequest::Air(_) => true,
            PotRequest::Notice(..) => false,
        }
    }
}

/// What came of it.
#[derive(Debug, Clone, PartialEq)]
pub enum PotKept {
    /// These are the pots there are, and the air: told once at the beginning.
    All(Vec<Told<Pot>>, Air),
    /// This pot changed by the maker's press.
    Changed(Told<Pot>),
    /// This pot was opened.
    Opened(Told<Pot>),
    /// Something is new about these, the maker's own press apart.
    News(Vec<Told<Pot>>),
    /// The air was recorded by the maker's press.
    Air(Air),
    /// The air was recorded by somebody else.
    AirNews(Air),
    /// Nothing was recorded.
    Not(NotRecorded),
}

/// The pots and the air as the view knows them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Pots {
    /// Pots, panels and air together.
    pub(super) around: Around,
    /// Whether the pots were read yet.
    pub(super) read: bool,
    /// The pots the maker chose, the last chosen last; at most one of a kind.
    chosen: Vec<Id>,
    /// The fact last pressed, where it was a pot's.
    last_mark: Option<(Id, u64)>,
    /// What a gap in the work means, until it is put away.
    pub(super) gap: Vec<Meaning>,
    /// The beginning of the last gap told of.
    gap_told: Option<Moment>,
    /// Calls of pots rung here: the pot, the fact, how many times by then, when last.
    pub(super) rung: Vec<(Id, u64, u64, Moment)>,
}

impl View {
    /// The same view, told what the maker's powders weigh.
    #[must_use]
    pub fn weighing(mut self, loose_g_per_ml: Vec<(Filler, f64)>) -> View {
        self.pots.around.loose_g_per_ml = loose_g_per_ml;
        self
    }

    /// The view as it begins: the panels are known to the pots.
    pub(super) fn beside_pots(mut self) -> View {
        self.pots_beside();
        self
    }

    /// Keeps the panels the pots know of in step with those on the bench.
    pub(super) fn pots_beside(&mut self) {
        self.pots.around.panels.clone_from(&self.told);
    }

    /// Pots, panels and air together.
    pub fn around(&self) -> &Around {
        &self.pots.around
    }

    /// Whether the pots were read from disk yet.
    pub fn pots_read(&self) -> bool {
        self.pots.read
    }

    /// Every pot, those in use first, the newest of them first.
    pub fn pot_list(&self) -> Vec<&Told<Pot>> {
        let mut list: Vec<_> = self.pots.around.pots.iter().filter(|t| t.story.is_some()).collect();
        list.sort_by_key(|t| {
            let opened = t.story.as_ref().map_or(0, |s| s.pot().opened_at().wall.ms());
            (!t.in_use(), std::cmp::Reverse(opened), t.id.clone())
        });
        list
    }

    fn pot(&self, id: &Id) -> Option<&Told<Pot>> {
        self.pots.around.pots.iter().find(|t| t.id == *id)
    }

    /// The pot a coat of that panel comes from: the one chosen, else the one its last coat of the kind came from, else the
    /// only one of the kind in use. None where several could be meant.
    pub fn pot_for(&self, panel: &Told, kind: Kind) -> Option<&Told<Pot>> {
        let fits = |t: &&Told<Pot>| t.in_use() && t.story.as_ref().is_some_and(|s| s.pot().opened().kind == kind);
        let in_use = |id: &Id| self.pot(id).filter(fits);
        let chosen = self.pots.chosen.iter().rev().find_map(in_use);
        let last = || panel.story.as_ref()?.panel().pots().into_iter().rev().find_map(in_use);
        let only = || {
            let mut all = self.pots.around.pots.iter().filter(fits);
            all.next().filter(|_| all.next().is_none())
        };
        chosen.or_else(last).or_else(only)
    }

    /// The pot the coat at hand comes from.
    pub fn pot_at_hand(&self) -> Option<&Told<Pot>> {
        let panel = self.panel()?;
        self.pot_for(panel, Kind::of_stage(self.at_hand()?.kind)?)
    }

    /// The pot the key of the bath is for: that of the coat at hand, else the one chosen last, else the only one in use.
    pub fn current_pot(&self) -> Option<&Told<Pot>> {
        let chosen = || self.pots.chosen.iter().rev().find_map(|id| self.pot(id).filter(|t| t.in_use()));
        let only = || {
            let mut all = self.pots.around.pots.iter().filter(|t| t.in_use());
            all.next().filter(|_| all.next().is_none())
        };
        self.pot_at_hand().or_else(chosen).or_else(only)
    }

    /// The id of the pot a coat of that stage is to name.
    pub(super) fn pot_named(&self, stage: Stage) -> Option<Id> {
        self.pot_for(self.panel()?, Kind::of_stage(stage.kind)?).map(|t| t.id.clone())
    }

    /// What is to be said before the coat at hand is laid from the pot in use.
    pub fn remarks(&self, now: Moment) -> Vec<Remark> {
        let (Some(story), Some(pot)) = (self.story(), self.pot_at_hand()) else { return Vec::new() };
        self.pots.around.before_coat(story, &pot.id, believed_now(story, now))
    }

    /// What the last gap in the work means, until it is put away.
    pub fn gap(&self) -> &[Meaning] {
        &self.pots.gap
    }

    /// Makes that pot the one in use for its kind.
    pub(super) fn choose_pot(&mut self, id: &Id) {
        let kind_of = |id: &Id| Some(self.pot(id)?.story.as_ref()?.pot().opened().kind);
        let kind = kind_of(id);
        let mut chosen: Vec<Id> = self.pots.chosen.iter().filter(|c| kind_of(c) != kind).cloned().collect();
        chosen.push(id.clone());
        self.pots.chosen = chosen;
    }

    /// The key of the bath: the current pot goes in, or comes out. Where several could be meant they are shown.
    pub(super) fn bath(&mut self, now: Moment) -> Vec<Request> {
        let current = self.current_pot().and_then(|t| Some((t.id.clone(), t.story.as_ref()?.pot().bath_act())));
        match current {
            Some((id, act)) => self.mark_pot(&id, act, now),
            None if self.pots.around.pots.iter().any(Told::in_use) => {
                self.say("several pots are in use: choose one with Enter".to_owned(), false, now);
                self.show_pots()
            }
            None => {
                self.say("no pot is recorded; P opens one".to_owned(), false, now);
                Vec::new()
            }
        }
    }

    pub(super) fn show_pots(&mut self) -> Vec<Request> {
        if self.panel().is_some() {
            let current = self.current_pot().map(|t| t.id.clone());
            let at = self.pot_list().iter().position(|t| Some(&t.id) == current.as_ref()).unwrap_or(0);
            self.over = Over::Pots(PotsOver::List { at });
        }
        Vec::new()
    }

    pub(super) fn air_line(&mut self) -> Vec<Request> {
        if self.panel().is_some() {
            self.over = Over::Pots(PotsOver::Line(PotLine::new(PotPurpose::Air, None)));
        }
        Vec::new()
    }

    /// Asks for a fact of a pot to be recorded.
    pub(super) fn mark_pot(&mut self, id: &Id, act: Act, now: Moment) -> Vec<Request> {
        let ask = PotAsk { act, at: None };
        self.request(Request::Pot(PotRequest::Record(id.clone(), ask)), What::Pot, now)
    }

    /// Takes the last press back where it was a pot's. None where it was not.
    pub(super) fn undo_pot_press(&mut self, now: Moment) -> Option<Vec<Request>> {
        let (id, seq) = self.pots.last_mark.clone()?;
        Some(self.mark_pot(&id, Act::Undo { seen: Some(seq) }, now))
    }

    /// Takes in what came of a request about pots and the air.
    pub(super) fn pot_kept(&mut self, kept: PotKept, now: Moment) -> Vec<Request> {
        match kept {
            PotKept::All(told, air) => {
                self.adopt_pots(told);
                self.breathe(air);
                self.pots.read = true;
                self.look_for_gap(now);
            }
            PotKept::Changed(told) => {
                self.pending.pop_front();
                self.pot_changed(told, now);
            }
            PotKept::Opened(told) => {
                self.pending.pop_front();
                self.pot_opened(told, now);
            }
            PotKept::News(told) => self.adopt_pots(told),
            PotKept::Air(air) => {
                self.pending.pop_front();
                self.breathe(air);
                self.over = Over::Nothing;
                self.say("the air is recorded".to_owned(), false, now);
            }
            PotKept::AirNews(air) => self.breathe(air),
            PotKept::Not(why) => self.pot_failed(&why, now),
        }
        Vec::new()
    }

    /// The air as it is recorded now, for the pots and for the waits.
    fn breathe(&mut self, air: Air) {
        self.room.air.clone_from(&air);
        self.pots.around.air = air;
    }

    pub(super) fn adopt_pots(&mut self, told: Vec<Told<Pot>>) {
        for new in told {
            match self.pots.around.pots.iter_mut().find(|t| t.id == new.id) {
                Some(old) => *old = new,
                None => self.pots.around.pots.push(new),
            }
        }
    }

    /// Says what was recorded, and asks what is doubtful about it.
    fn pot_changed(&mut self, told: Told<Pot>, now: Moment) {
        let id = told.id.clone();
        let story = told.story.clone();
        self.adopt_pots(vec![told]);
        self.question = None;
        self.pots.last_mark = None;
        if let Some((story, last)) = story.as_ref().and_then(|s| Some((s, s.entries().last()?))) {
            if last.event.can_be_taken_back() {
                self.pots.last_mark = Some((id, last.seq));
            }
            let said = format!("{}: {}", story.pot().opened().label, in_words::fact(&last.event));
            let asked: Vec<String> = story.asked().iter().map(ToString::to_string).collect();
            // The one key of the bath takes out what is just liquid without saying so: that is asked, and not insisted on.
            let loud = story.asked().iter().any(|q| *q != Question::OutUnmelted);
            match asked.is_empty() {
                true => self.say(said, false, now),
                // The doubt alone: what was pressed is known, and a line holds no more.
                false => self.say(format!("{}: {}", story.pot().opened().label, asked.join(" ")), loud, now),
            }
        }
        self.after_pot_fact();
    }

    fn pot_opened(&mut self, told: Told<Pot>, now: Moment) {
        let id = told.id.clone();
        let story = told.story.clone();
        self.adopt_pots(vec![told]);
        self.choose_pot(&id);
        self.pots.last_mark = None;
        if let Some(story) = story {
            let label = story.pot().opened().label.clone();
            let asked: Vec<String> = story.asked().iter().map(ToString::to_string).collect();
            match asked.is_empty() {
                true => self.say(format!("{label} is opened, and in use from now on"), false, now),
                false => self.say(format!("{label} is opened - {}", asked.join(" ")), true, now),
            }
        }
        self.after_pot_opened(&id);
    }

    fn pot_failed(&mut self, why: &NotRecorded, now: Moment) {
        self.pending.pop_front();
        let why = why.to_string();
        match &mut self.over {
            Over::Pots(PotsOver::Line(line)) => line.problem = why,
            Over::Pots(PotsOver::Form(form)) => form.problem = why,
            _ => self.say(why, true, now),
        }
    }

    /// A fact of a panel was recorded: the last press is no pot's any more, and once something is done the gap is behind.
    pub(super) fn panel_pressed(&mut self, done: bool) {
        self.pots.last_mark = None;
        if done {
            self.pots.gap.clear();
        }
    }

    /// Tells what a gap means that shows in the story: nothing was marked for longer than the recipe's bound.
    pub(super) fn look_for_gap(&mut self, now: Moment) {
        if self.pots.read {
            self.tell_gap(KnownBy::Silence, now);
        }
    }

    /// Tells what it means that the maker was away.
    pub(super) fn tell_gap(&mut self, by: KnownBy, now: Moment) {
        let (Some(story), pot) = (self.story().cloned(), self.pot_at_hand().and_then(|t| t.story.clone())) else {
            return;
        };
        let here = believed_now(&story, now);
        let Some(gap) = interruption::gap(&story, pot.as_deref(), here).filter(|gap| gap.by == by) else { return };
        if self.pots.gap_told.is_some_and(|told| told.wall == gap.from.wall) {
            return;
        }
        self.pots.gap_told = Some(gap.from);
        let forecast = pot.as_ref().and_then(|s| self.pots.around.forecast(s.pot()));
        let pot = pot.as_ref().map(|s| (s.pot(), forecast.as_ref()));
        self.pots.gap = interruption::meaning(story.panel(), pot, &gap);
    }

    pub(super) fn put_gap_away(&mut self) -> Vec<Request> {
        self.pots.gap.clear();
        Vec::new()
    }

    /// Asks for a pot to be opened, or for the air to be recorded.
    pub(super) fn ask_pots(&mut self, request: PotRequest, now: Moment) -> Vec<Request> {
        self.request(Request::Pot(request), What::Pot, now)
    }
}

impl From<PotKept> for Kept {
    fn from(kept: PotKept) -> Kept {
        Kept::Pot(kept)
    }
}
