//! Leading through a batch: which step is shown, and what a key records of it.
//!
//! Where the pots' own facts tell how far the making is, they are asked: whoever soaked the glue last night is led on from
//! there in the morning.

use super::Model;
use super::effect::{Effect, PendingKind};
use super::line_editor::{LineEditor, LinePurpose, PotLinePurpose};
use super::making_model::{MakingModel, StepTimer, find_first_missing_step};
use super::overlay::Overlay;
use super::pots_overlay::{PotsOverlay, find_free_label};
use crate::app::batch_amounts::BatchAmounts;
use crate::app::message::{Message, PotCommand};
use crate::bench::PotOpening;
use crate::text::format_lateness;
use crate::units::{Id, Moment, Span, Volume};
use crate::work::advice::making::{MakingStep, SINK_TIME};
use crate::work::panel::event::StageKind;
use crate::work::pot::act::PotAct;
use crate::work::pot::event::PotKind;
use crate::work::pot::story::PotStory;
use crate::work::pot::weighed::WeighedParts;
use std::sync::Arc;

impl Model {
    fn pot_story(&self, id: Option<&Id>) -> Option<Arc<PotStory>> {
        self.pot_survey().pots.iter().find(|t| Some(&t.id) == id)?.story.clone()
    }

    /// What a batch by that recipe takes for the unfinished boards here.
    pub(in crate::app) fn batch_amounts(&self, recipe: &crate::craft::recipe::Recipe) -> Option<BatchAmounts> {
        let survey = self.pot_survey();
        BatchAmounts::compute(self.snapshots(), &survey.bulk, survey.consumption, recipe)
    }

    /// The recipe of the batch being made: that of its pot, else that of the panel shown.
    pub fn making_recipe(&self, making: &MakingModel) -> Option<Arc<crate::craft::recipe::Recipe>> {
        let pot = self.pot_story(making.gesso.as_ref()).or_else(|| self.pot_story(making.size.as_ref()));
        match pot {
            Some(story) => Some(Arc::clone(&story.pot().opened().recipe)),
            None => Some(Arc::clone(&self.story()?.panel().opened().recipe)),
        }
    }

    /// Begins to lead: from the first step whose fact is missing, where a pot is already under way.
    pub(super) fn begin_making(&mut self, pot: Option<&Id>, now: Moment) {
        let story = self.pot_story(pot);
        let (size, gesso) = match story.as_ref().map(|s| s.pot().opened()) {
            Some(opened) if opened.kind == PotKind::Gesso => (opened.parent.clone(), pot.cloned()),
            Some(_) => (pot.cloned(), None),
            None => (None, None),
        };
        let step = match (&story, &gesso) {
            (None, _) => MakingStep::LayOut,
            (Some(s), Some(_)) => {
                find_first_missing_step(s.pot(), &[MakingStep::Combine, MakingStep::Strain], MakingStep::Ready)
            }
            (Some(s), None) => {
                let size_steps =
                    [MakingStep::Soak, MakingStep::Melt, MakingStep::Look, MakingStep::Lift, MakingStep::Try];
                let then = if self.has_board_to_size() { MakingStep::SizeBoard } else { MakingStep::Powders };
                find_first_missing_step(s.pot(), &size_steps, then)
            }
        };
        // What has not been stirred together may not have been sifted in.
        let step = if step == MakingStep::Combine { MakingStep::Sift } else { step };
        self.overlay = Overlay::Pots(PotsOverlay::Making(MakingModel {
            step,
            size,
            gesso,
            since: now,
            shows_sources: false,
            is_record_pending: false,
            is_undo_pending: false,
        }));
    }

    /// Whether the board shown waits for size: it is sized, and cures, before gesso is made for it.
    fn has_board_to_size(&self) -> bool {
        self.stage_at_hand().is_some_and(|stage| match stage.kind {
            StageKind::Prepare | StageKind::Size | StageKind::Cloth => true,
            StageKind::Cure
            | StageKind::Stipple
            | StageKind::Coat
            | StageKind::Dry
            | StageKind::Scrape
            | StageKind::Polish
            | StageKind::Check
            | StageKind::Rest
            | StageKind::Seal
            | StageKind::Sand => false,
        })
    }

    /// What the step at hand is timed by: the soak, the bath, or the sinking.
    pub fn making_timer(&self, making: &MakingModel, now: Moment) -> Option<StepTimer> {
        let size = self.pot_story(making.size.as_ref());
        let down = |span: Span| Some(StepTimer { span, counts_up: false, at: now.wall + span });
        match making.step {
            MakingStep::Melt => down(size?.pot().soak_countdown(now)?.time_left),
            MakingStep::Look | MakingStep::Lift => {
                let into = size?.pot().current_bath()?.in_at;
                Some(StepTimer { span: now.since(into), counts_up: true, at: into.wall })
            }
            MakingStep::Sink => down(SINK_TIME - now.since(making.since)),
            MakingStep::LayOut
            | MakingStep::Packet
            | MakingStep::Weigh
            | MakingStep::Soak
            | MakingStep::Try
            | MakingStep::SizeBoard
            | MakingStep::Powders
            | MakingStep::Pour
            | MakingStep::Sift
            | MakingStep::Combine
            | MakingStep::Strain
            | MakingStep::Ready => None,
        }
    }

    /// Whether a batch being made has a time that runs on the screen.
    pub(super) fn is_making_timed(&self, now: Moment) -> bool {
        matches!(&self.overlay, Overlay::Pots(PotsOverlay::Making(making)) if self.making_timer(making, now).is_some())
    }

    pub(super) fn update_making(&mut self, message: &Message, now: Moment) -> Vec<Effect> {
        let Overlay::Pots(PotsOverlay::Making(making)) = &self.overlay else { return Vec::new() };
        let making = making.clone();
        match message {
            Message::RecordDone | Message::Accept => return self.finish_step(&making, message, now),
            Message::Up | Message::Left => self.go_to_step(making.step.previous(), now),
            Message::Down | Message::Right => self.go_to_step(making.step.next(), now),
            Message::Pot(PotCommand::Undo) => {
                if self.is_last_press_of_pot() {
                    let effects = self.undo_last_press(now);
                    if let Overlay::Pots(PotsOverlay::Making(making)) = &mut self.overlay {
                        making.is_undo_pending = true;
                    }
                    return effects;
                }
                self.show_message("nothing was recorded here just now".to_owned(), false, now);
            }
            Message::Pot(PotCommand::EnterWeight) => self.open_balance_line(&making, now),
            Message::ShowAdvice => {
                if let Overlay::Pots(PotsOverlay::Making(making)) = &mut self.overlay {
                    making.shows_sources = !making.shows_sources;
                }
            }
            Message::Leave => {
                self.show_pots();
            }
            _ => {}
        }
        Vec::new()
    }

    /// What the balance said, where it is not what was asked for. Before the pot is made it is noted on it, so that a night
    /// between weighing and making loses nothing; the step that makes it takes the note.
    fn open_balance_line(&mut self, making: &MakingModel, now: Moment) {
        let pot = making.step.weighed_kind().and_then(|kind| making.pot_of(kind));
        match pot.filter(|id| self.pot_story(Some(id)).is_some_and(|s| s.pot().made_at().is_none())) {
            Some(id) => {
                let purpose = if making.step.makes_pot() { PotLinePurpose::Made } else { PotLinePurpose::Balance };
                let noted = self.noted_balance(Some(id)).map_or_else(String::new, |parts| parts.to_line());
                self.overlay = Overlay::Line(LineEditor::with_text(LinePurpose::Pot(id.clone(), purpose), noted));
            }
            None => self.show_message("what was weighed is asked once it is in the pot".to_owned(), false, now),
        }
    }

    /// What the balance said of a pot that is not made yet.
    pub fn noted_balance(&self, pot: Option<&Id>) -> Option<WeighedParts> {
        self.pot_story(pot)?.noted_balance()
    }

    fn go_to_step(&mut self, step: MakingStep, now: Moment) {
        if let Overlay::Pots(PotsOverlay::Making(making)) = &mut self.overlay {
            making.step = step;
            making.since = now;
            making.is_record_pending = false;
        }
    }

    /// The step at hand is done: its fact is recorded where it has one, and the next step shown once it is on disk.
    fn finish_step(&mut self, making: &MakingModel, message: &Message, now: Moment) -> Vec<Effect> {
        let to_bench = match making.step {
            MakingStep::Ready => Some(making.gesso.as_ref()),
            MakingStep::SizeBoard if self.has_board_to_size() => Some(making.size.as_ref()),
            _ => None,
        };
        if let Some(pot) = to_bench {
            if let Some(id) = pot {
                self.choose_pot(id);
            }
            self.overlay = Overlay::None;
            return Vec::new();
        }
        let early = self.making_timer(making, now).filter(|t| !t.counts_up && t.span > Span::ZERO);
        if let Some(timed) = early.filter(|_| !self.take_confirmation(message)) {
            self.ask_confirmation(
                message.clone(),
                format!("{} - press again if it is right", format_lateness(-timed.span)),
                now,
            );
            return Vec::new();
        }
        let effects = match (making.step.pot_act(), self.build_pot_opening(making)) {
            (Some((kind, act)), _) => {
                let pot = making.pot_of(kind).cloned();
                let act = match (act, self.noted_balance(pot.as_ref())) {
                    (PotAct::Made(_), Some(parts)) => PotAct::Made(Box::new(parts)),
                    (act, _) => act,
                };
                let behind = self.pot_story(pot.as_ref()).is_some_and(|s| making.step.is_done_in(s.pot()));
                match pot {
                    Some(id) if !behind => self.record_pot_act(&id, act, now),
                    Some(_) | None => {
                        self.go_to_step(making.step.next(), now);
                        return Vec::new();
                    }
                }
            }
            (None, Some(opening)) => self.request_effect(Effect::OpenPot(Box::new(opening)), PendingKind::Pot, now),
            (None, None) => {
                self.go_to_step(making.step.next(), now);
                return Vec::new();
            }
        };
        if let (Overlay::Pots(PotsOverlay::Making(making)), false) = (&mut self.overlay, effects.is_empty()) {
            making.is_record_pending = true;
            making.since = now;
        }
        effects
    }

    /// The pot that step opens: size once it is weighed, gesso once the size for it is measured.
    fn build_pot_opening(&self, making: &MakingModel) -> Option<PotOpening> {
        let (kind, parent) = match (making.step, &making.size, &making.gesso) {
            (MakingStep::Weigh, None, _) => (PotKind::Size, None),
            (MakingStep::Pour, size, None) => (PotKind::Gesso, size.clone()),
            (_, _, _) => return None,
        };
        let recipe = self.making_recipe(making)?;
        // What was asked for and measured; powders that are weighed afterwards went to so much.
        let size_ml = self.batch_amounts(&recipe).map(|batch| Volume::from_ml(batch.size_ml(kind)));
        Some(PotOpening {
            filler_lot: None,
            label: find_free_label(&self.pot_list(), kind),
            kind,
            parent,
            recipe,
            size_ml,
            lot: None,
            at: None,
            for_group: None,
        })
    }

    /// What was asked for is on disk: the next step, unless the maker went elsewhere meanwhile.
    pub(super) fn advance_making(&mut self, opened: Option<&Id>) {
        let Overlay::Pots(PotsOverlay::Making(making)) = &mut self.overlay else { return };
        match (making.step, opened) {
            (MakingStep::Weigh, Some(id)) => making.size = Some(id.clone()),
            (MakingStep::Pour, Some(id)) => making.gesso = Some(id.clone()),
            (_, _) => {}
        }
        if std::mem::take(&mut making.is_record_pending) {
            making.step = making.step.next();
        }
        if std::mem::take(&mut making.is_undo_pending) {
            let making = making.clone();
            let taken_back = self.find_missing_step_before(&making);
            if let (Overlay::Pots(PotsOverlay::Making(making)), Some(step)) = (&mut self.overlay, taken_back) {
                making.step = step;
            }
        }
    }

    /// The step before the one at hand that records a fact, where that fact is missing now.
    fn find_missing_step_before(&self, making: &MakingModel) -> Option<MakingStep> {
        let before = MakingStep::ALL.into_iter().take(making.step.index()).rev();
        let (step, kind) = before.filter_map(|step| Some((step, step.pot_act()?.0))).next()?;
        let story = self.pot_story(making.pot_of(kind))?;
        (!step.is_done_in(story.pot())).then_some(step)
    }
}
