//! The pots beside the bench: which one is in use, what the one key of the bath does, and what came of it.

use super::Model;
use super::effect::{Effect, PendingKind};
use super::last_press::{LastPress, PressedFacts};
use super::line_editor::{LineEditor, LinePurpose};
use super::overlay::Overlay;
use super::pots_overlay::PotsOverlay;
use crate::app::message::{InputMode, Message};
use crate::bench::{PotSurvey, Snapshot, StudioKnowledge, choose_pot_for_coat, trusted_now};
use crate::craft::materials::fillers::BulkDensities;
use crate::text::UnitSystem;
use crate::units::{Id, Moment};
use crate::work::advice::fact_text::format_pot_fact;
use crate::work::air::Air;
use crate::work::panel::event::Stage;
use crate::work::panel::state::Panel;
use crate::work::pot::act::PotAct;
use crate::work::pot::coat_remarks::CoatRemark;
use crate::work::pot::fold::Pot;
use crate::work::pot::interruption::{self, GapConsequence, GapEvidence};
use crate::work::pot::refusal::PotQuestion;
use crate::work::story::{StoryEvent, StoryState};
use std::sync::Arc;

impl Model {
    /// The same view, told what the maker's powders weigh.
    #[must_use]
    pub fn with_bulk_densities(mut self, bulk: BulkDensities) -> Model {
        self.pots.survey.bulk = bulk;
        self
    }

    /// The view as it begins: the panels are known to the pots, and have their names.
    pub(super) fn with_synced_panels(mut self) -> Model {
        self.sync_panels();
        self
    }

    /// Keeps the panels the pots know of, and the block names, in step with those on the bench.
    pub(super) fn sync_panels(&mut self) {
        self.pots.survey.panels.clone_from(&self.snapshots);
        self.update_block_names();
    }

    /// What is told of lengths and masses.
    pub fn units(&self) -> UnitSystem {
        self.settings.units
    }

    /// Takes in what was read beside the panels.
    pub fn take_studio_knowledge(&mut self, studio: StudioKnowledge) {
        self.pots.survey.consumption = studio.consumption;
        self.studio = studio;
    }

    /// Pots, panels and air together.
    pub fn pot_survey(&self) -> &PotSurvey {
        &self.pots.survey
    }

    /// Whether the pots were read from disk yet.
    pub fn has_loaded_pots(&self) -> bool {
        self.pots.is_loaded
    }

    /// Every pot, those in use first, the newest of them first; behind those, what cannot be read.
    pub fn pot_list(&self) -> Vec<&Snapshot<Pot>> {
        let mut list: Vec<_> = self.pots.survey.pots.iter().collect();
        list.sort_by_key(|t| {
            let opened = t.story.as_ref().map_or(0, |s| s.pot().opened_at().wall.ms());
            (!t.is_in_use(), std::cmp::Reverse(opened), t.id.clone())
        });
        list
    }

    fn find_pot(&self, id: &Id) -> Option<&Snapshot<Pot>> {
        self.pots.survey.pots.iter().find(|t| t.id == *id)
    }

    /// The pot a coat of that stage on that panel comes from; none where several could be meant.
    pub fn find_pot_for_coat(&self, panel: &Panel, stage: Stage) -> Option<&Snapshot<Pot>> {
        let PotSurvey { pots, panels, .. } = &self.pots.survey;
        choose_pot_for_coat(pots, panels, panel, stage, &self.pots.chosen, None)
    }

    /// The pot the coat at hand comes from.
    pub fn pot_for_stage_at_hand(&self) -> Option<&Snapshot<Pot>> {
        let panel = self.story()?.panel();
        self.find_pot_for_coat(panel, panel.stage_at_hand()?)
    }

    /// The pot the key of the bath is for: that of the coat at hand, else the one chosen last, else the only one in use.
    pub fn current_pot(&self) -> Option<&Snapshot<Pot>> {
        let chosen = || self.pots.chosen.iter().rev().find_map(|id| self.find_pot(id).filter(|t| t.is_in_use()));
        let only = || {
            let mut all = self.pots.survey.pots.iter().filter(|t| t.is_in_use());
            all.next().filter(|_| all.next().is_none())
        };
        self.pot_for_stage_at_hand().or_else(chosen).or_else(only)
    }

    /// What is to be said before the coat at hand is laid from the pot in use.
    pub fn remarks(&self, now: Moment) -> Vec<CoatRemark> {
        let (Some(story), Some(pot)) = (self.story(), self.pot_for_stage_at_hand()) else { return Vec::new() };
        self.pots.survey.remarks_before_coat(story, &pot.id, trusted_now(story, now))
    }

    /// What the last gap in the work means, until it is put away.
    pub fn gap_meanings(&self) -> &[GapConsequence] {
        &self.pots.gap_meanings
    }

    /// Makes that pot the one in use for its kind.
    pub(super) fn choose_pot(&mut self, id: &Id) {
        let kind_of = |id: &Id| Some(self.find_pot(id)?.story.as_ref()?.pot().opened().kind);
        let kind = kind_of(id);
        let mut chosen: Vec<Id> = self.pots.chosen.iter().filter(|c| kind_of(c) != kind).cloned().collect();
        chosen.push(id.clone());
        self.pots.chosen = chosen;
    }

    /// The pot the key of the bath is for: the one the band speaks of, else the current one.
    pub fn pot_for_bath_key(&self, now: Moment) -> Option<&Snapshot<Pot>> {
        self.pot_in_band(now).and_then(|(id, ..)| self.find_pot(&id)).or_else(|| self.current_pot())
    }

    /// The key of the bath: that pot goes in, or comes out. Where several could be meant they are shown.
    pub(super) fn toggle_bath(&mut self, now: Moment) -> Vec<Effect> {
        let current = self.pot_for_bath_key(now).and_then(|t| Some((t.id.clone(), t.story.as_ref()?.pot().bath_act())));
        match current {
            Some((id, act)) => self.record_pot_act(&id, act, now),
            None if self.pots.survey.pots.iter().any(Snapshot::is_in_use) => {
                let choose = self.keymap().label(&Message::Accept, InputMode::Pots);
                self.show_message(format!("several pots are in use: choose one with {choose}"), false, now);
                self.show_pots()
            }
            None => {
                let pots = self.bench_key(&Message::ShowPots);
                self.show_message(format!("no pot is recorded; {pots} opens one"), false, now);
                Vec::new()
            }
        }
    }

    pub(super) fn show_pots(&mut self) -> Vec<Effect> {
        let current = self.current_pot().map(|t| t.id.clone());
        self.show_pot_list(current.as_ref())
    }

    /// The pots, the cursor on that one.
    pub(super) fn show_pot_list(&mut self, id: Option<&Id>) -> Vec<Effect> {
        if self.shown_panel().is_some() {
            let at = self.pot_list().iter().position(|t| Some(&t.id) == id).unwrap_or(0);
            self.overlay = Overlay::Pots(PotsOverlay::List { at });
        }
        Vec::new()
    }

    pub(super) fn open_air_line(&mut self) -> Vec<Effect> {
        if self.shown_panel().is_some() {
            self.overlay = Overlay::Line(LineEditor::new(LinePurpose::Air));
        }
        Vec::new()
    }

    /// Asks for a fact of a pot to be recorded.
    pub(super) fn record_pot_act(&mut self, id: &Id, act: PotAct, now: Moment) -> Vec<Effect> {
        self.request_effect(Effect::RecordPot(id.clone(), act), PendingKind::Pot, now)
    }

    /// The pots and the air are read.
    pub(super) fn handle_pots_loaded(&mut self, snapshots: Vec<Snapshot<Pot>>, air: Arc<Air>, now: Moment) {
        self.replace_pot_snapshots(snapshots);
        self.set_air(air);
        self.pots.is_loaded = true;
        self.detect_silent_gap(now);
    }

    pub(super) fn handle_air_recorded(&mut self, air: Arc<Air>, now: Moment) {
        self.pending.pop_front();
        self.set_air(air);
        self.overlay = Overlay::None;
        self.show_message("the air is recorded".to_owned(), false, now);
    }

    /// The air as it is recorded now, for the pots and for the waits.
    pub(super) fn set_air(&mut self, air: Arc<Air>) {
        self.studio.air = Arc::clone(&air);
        self.pots.survey.air = air;
    }

    pub(super) fn replace_pot_snapshots(&mut self, snapshots: Vec<Snapshot<Pot>>) {
        for new in snapshots {
            match self.pots.survey.pots.iter_mut().find(|t| t.id == new.id) {
                Some(old) => *old = new,
                None => self.pots.survey.pots.push(new),
            }
        }
    }

    /// Says what was recorded, and asks what is doubtful about it.
    pub(super) fn handle_pot_changed(&mut self, snapshot: Snapshot<Pot>, now: Moment) {
        self.pending.pop_front();
        let id = snapshot.id.clone();
        let story = snapshot.story.clone();
        self.replace_pot_snapshots(vec![snapshot]);
        self.confirmation = None;
        self.last_press = None;
        if let Some((story, last)) = story.as_ref().and_then(|s| Some((s, s.entries().last()?))) {
            if last.event.can_be_taken_back() {
                let facts = PressedFacts::Pot(id, last.seq);
                self.last_press = Some(LastPress { facts, at: now, is_overtaken: false });
            }
            let message = format!(
                "{}: {}",
                story.pot().opened().label,
                format_pot_fact(story, last, self.settings.units).text_with_reason()
            );
            let asked: Vec<String> = story.last_questions().iter().map(ToString::to_string).collect();
            // The one key of the bath takes out what is just liquid without saying so: that is asked, and not insisted on.
            let loud = story.last_questions().iter().any(|q| *q != PotQuestion::OutBeforeLiquid);
            match asked.is_empty() {
                true => self.show_message(message, false, now),
                // The doubt alone: what was pressed is known, and a line holds no more.
                false => self.show_message(format!("{}: {}", story.pot().opened().label, asked.join(" ")), loud, now),
            }
        }
        self.finish_pot_fact(now);
    }

    pub(super) fn handle_pot_opened(&mut self, snapshot: Snapshot<Pot>, now: Moment) {
        self.pending.pop_front();
        let id = snapshot.id.clone();
        let story = snapshot.story.clone();
        self.replace_pot_snapshots(vec![snapshot]);
        self.choose_pot(&id);
        self.last_press = None;
        if let Some(story) = story {
            let label = story.pot().opened().label.clone();
            let asked: Vec<String> = story.last_questions().iter().map(ToString::to_string).collect();
            match asked.is_empty() {
                true => self.show_message(format!("{label} is opened, and in use from now on"), false, now),
                false => self.show_message(format!("{label} is opened - {}", asked.join(" ")), true, now),
            }
        }
        self.finish_pot_opened(&id);
    }

    /// Something was done on a board: a gap before it is behind.
    pub(super) fn close_gap(&mut self) {
        self.pots.gap_meanings.clear();
    }

    /// Tells what a gap means that shows in the story: nothing was marked for longer than the recipe's bound.
    pub(super) fn detect_silent_gap(&mut self, now: Moment) {
        if self.pots.is_loaded {
            self.explain_gap(GapEvidence::Silence, now);
        }
    }

    /// Tells what it means that the maker was away.
    pub(super) fn explain_gap(&mut self, by: GapEvidence, now: Moment) {
        let (Some(story), pot) = (self.story().cloned(), self.pot_for_stage_at_hand().and_then(|t| t.story.clone()))
        else {
            return;
        };
        let here = trusted_now(&story, now);
        let Some(gap) = interruption::find_gap(&story, pot.as_deref(), here).filter(|gap| gap.evidence == by) else {
            return;
        };
        if self.pots.explained_gap_start.is_some_and(|told| told.wall == gap.from.wall) {
            return;
        }
        self.pots.explained_gap_start = Some(gap.from);
        let forecast = pot.as_ref().and_then(|s| self.pots.survey.forecast(s.pot()));
        let pot = pot.as_ref().map(|s| (s.pot(), forecast.as_ref()));
        self.pots.gap_meanings = interruption::gap_consequences(story.panel(), pot, &gap);
    }

    pub(super) fn dismiss_gap(&mut self) -> Vec<Effect> {
        self.pots.gap_meanings.clear();
        Vec::new()
    }
}
