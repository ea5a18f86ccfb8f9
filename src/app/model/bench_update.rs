//! What the keys do on the bench itself.

use super::effect::Effect;
use super::line_editor::{LineEditor, LinePurpose};
use super::map_editor::MapEditor;
use super::overlay::{FlawList, Overlay};
use super::plan_overlay::PlanOverlay;
use super::{Model, PendingKind, PotsOverlay};
use crate::app::block_names::fit_block_line;
use crate::app::message::Message;
use crate::bench::trusted_now;
use crate::text::format_lateness;
use crate::units::{Moment, Span};
use crate::work::advice::wait_calls::NIGHT_SILENT_OVER;
use crate::work::advice::words::act_words;
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::{Face, StageKind};
use crate::work::panel::phase::{PanelPhase, PanelStatus};
use crate::work::panel::refusal::PanelRefusal;
use crate::work::panel::wait::TOLERANCE;
use crate::work::pot::interruption::GapEvidence;

impl Model {
    pub(super) fn update_bench(&mut self, message: Message, now: Moment) -> Vec<Effect> {
        match message {
            Message::RecordDone | Message::Accept => self.record_done(now),
            Message::RecordStart => self.record_start(now),
            Message::RecordDull => self.record_act(PanelAct::Dull, self.stage_at_hand(), now),
            Message::Undo => self.undo_last_press(now),
            Message::WriteNote => self.open_line(LinePurpose::Note),
            Message::EnterWeight => self.open_line(LinePurpose::Weight),
            Message::Skip => {
                self.run_unless_phase(now, PanelPhase::Finished, |v| v.open_line(LinePurpose::Skip(v.stage_at_hand())))
            }
            Message::GiveUp => self.run_unless_phase(now, PanelPhase::Abandoned, |v| v.open_line(LinePurpose::GiveUp)),
            Message::Extra => self.record_extra(now),
            Message::NameMaker => self.open_line(LinePurpose::Maker),
            Message::Repeat => self.run_unless_phase(now, PanelPhase::Abandoned, |v| v.open_flaw_list(now)),
            Message::TurnDirection => self.turn_direction(now),
            Message::ToggleAway => self.toggle_away(now),
            Message::OpenForm => self.open_form(),
            Message::NextPanel => self.step_to_board(1, now),
            Message::PreviousPanel => self.step_to_board(-1, now),
            Message::ShowQueue => self.open_queue(),
            Message::ShowPlan => self.open_overlay(Overlay::Plan(PlanOverlay::default())),
            Message::MovePlaceLeft => self.move_place(-1),
            Message::MovePlaceRight => self.move_place(1),
            Message::RecordPass => self.record_pass(None, now),
            Message::OpenPassSheet => self.open_pass_sheet(now),
            Message::BoardCount(boards) => self.record_pass(Some(boards), now),
            Message::Left => self.adjust_time(1, now),
            Message::Right => self.adjust_time(-1, now),
            Message::ShowKeys => self.open_overlay(Overlay::Keys(0)),
            Message::ShowStory => self.open_overlay(Overlay::Story(0)),
            Message::ShowComparison => self.request_effect(Effect::ReadComparison, PendingKind::ReadShelf, now),
            Message::OpenSitting => self.request_sitting(now),
            Message::ToggleDistanceMode => {
                self.distance_mode = !self.distance_mode;
                Vec::new()
            }
            Message::Leave => self.leave_bench(now),
            Message::ToggleBath => self.toggle_bath(now),
            Message::ShowPots => self.show_pots(),
            Message::EnterAir => self.open_air_line(),
            Message::ShowAdvice => self.open_overlay(Overlay::Pots(PotsOverlay::Advice { offset: 0 })),
            Message::DismissGap => self.dismiss_gap(),
            Message::Up
            | Message::Down
            | Message::PageUp
            | Message::PageDown
            | Message::Home
            | Message::End
            | Message::Advance
            | Message::RecordSitting
            | Message::ClearMap
            | Message::SelectArea(_)
            | Message::TypeChar(_)
            | Message::Paste(_)
            | Message::DeleteBackward
            | Message::DeleteForward
            | Message::ClearText
            | Message::Suspend
            | Message::Pot(_)
            | Message::SetGrouping(_)
            | Message::ToggleFullText
            | Message::AskNextFault
            | Message::ToggleWeeks
            | Message::Replan
            | Message::ToggleChosen
            | Message::ToggleOnlyChosen
            | Message::TakeOffer
            | Message::ToggleOnlyDue
            | Message::AnswerCrackPlace(_)
            | Message::AnswerCrackDirection(_)
            | Message::AnswerLastSpan
            | Message::AnswerSound
            | Message::Other => Vec::new(),
        }
    }

    fn open_overlay(&mut self, overlay: Overlay) -> Vec<Effect> {
        if self.shown_panel().is_some() || matches!(overlay, Overlay::Form(_) | Overlay::Keys(_)) {
            self.overlay = overlay;
        }
        Vec::new()
    }

    fn open_line(&mut self, purpose: LinePurpose) -> Vec<Effect> {
        self.open_overlay(Overlay::Line(LineEditor::new(purpose)))
    }

    /// One more coat: on the front where the grain shows, else of the act last done.
    fn record_extra(&mut self, now: Moment) -> Vec<Effect> {
        let shows = self.panel_status(now).is_some_and(|status| status.asks_grain);
        let face = shows.then_some(Face::Front);
        self.record_act(PanelAct::Extra(face), self.stage_at_hand(), now)
    }

    /// Asks for no reason that could not be kept: not on a panel given up, nor on one in that phase.
    fn run_unless_phase(
        &mut self,
        now: Moment,
        phase: PanelPhase,
        go_on: impl FnOnce(&mut Model) -> Vec<Effect>,
    ) -> Vec<Effect> {
        match self.panel_status(now) {
            Some(status) if [phase, PanelPhase::Abandoned].contains(&status.phase) => {
                self.show_nothing_to_do(&status, now)
            }
            Some(_) | None => go_on(self),
        }
    }

    fn open_flaw_list(&mut self, now: Moment) -> Vec<Effect> {
        let Some(status) = self.panel_status(now) else { return Vec::new() };
        let done = self.story().and_then(|s| s.panel().last_done()).is_some();
        let refusal = match (status.phase, status.stage) {
            (PanelPhase::Working, Some(stage)) => Some(PanelRefusal::UnderWay { stage }),
            (_, _) if !done => Some(PanelRefusal::NothingDoneYet),
            (_, _) => None,
        };
        match refusal {
            Some(refusal) => {
                self.show_message(refusal.to_string(), false, now);
                Vec::new()
            }
            None => self.open_overlay(Overlay::Flaws(FlawList { cursor: 0, seen_stage: self.stage_at_hand() })),
        }
    }

    fn open_form(&mut self) -> Vec<Effect> {
        self.open_overlay(Overlay::Form(self.new_panel_form()))
    }

    /// Leaves the bench; while something is still being saved, or a wait of a round runs, only on a second press.
    pub(super) fn leave_bench(&mut self, now: Moment) -> Vec<Effect> {
        let (line, text) = if self.busy {
            ("STILL SAVING", "the last press is still being saved - press again to leave all the same")
        } else if self.rehearsal.is_none() && self.has_running_wait(now, NIGHT_SILENT_OVER) {
            ("A WAIT RUNS", "once the bench is left nothing calls when it is over - press again to leave")
        } else {
            return vec![Effect::Quit];
        };
        if self.take_confirmation(&Message::Leave) {
            return vec![Effect::Quit];
        }
        let lines = vec![line.to_owned(), "LEAVE?".to_owned()];
        self.ask_in_block_letters(Message::Leave, lines, text.to_owned(), now);
        Vec::new()
    }

    fn record_done(&mut self, now: Moment) -> Vec<Effect> {
        if self.confirmation.as_ref().is_some_and(|q| q.message == Message::RecordPass) {
            return self.record_pass(None, now);
        }
        let Some(status) = self.panel_status(now) else { return self.open_form() };
        let Some(stage) = status.stage_to_record() else { return self.show_nothing_to_do(&status, now) };
        if self.ask_if_doubtful(&status, &Message::RecordDone, now) {
            return Vec::new();
        }
        if status.asks_grain {
            // No grain shows: the next act is at hand, and that is written for every window.
            return self.record_act(PanelAct::Start, Some(stage), now);
        }
        if stage.kind == StageKind::Check {
            let map = self.story().and_then(|s| MapEditor::from_panel(s.panel()));
            return map.map_or_else(Vec::new, |map| self.open_overlay(Overlay::Map(map)));
        }
        // Without a word about it, it is done as planned.
        let direction = status.direction_to_record(self.direction_turned).filter(|_| self.direction_turned);
        let pot = self.story().and_then(|s| self.find_pot_for_coat(s.panel(), stage)).map(|t| t.id.clone());
        self.record_act(PanelAct::Done { direction, pot, map: None, by: self.maker_of(stage) }, Some(stage), now)
    }

    fn show_nothing_to_do(&mut self, status: &PanelStatus, now: Moment) -> Vec<Effect> {
        let word = match status.phase {
            PanelPhase::Abandoned => {
                format!("this panel was given up; {} takes that back", self.bench_key(&Message::Undo))
            }
            PanelPhase::Waiting => "nothing more to do but to let it rest".to_owned(),
            PanelPhase::Ready | PanelPhase::Working | PanelPhase::Finished => {
                "everything on this panel is done".to_owned()
            }
        };
        self.show_message(word, false, now);
        Vec::new()
    }

    fn record_start(&mut self, now: Moment) -> Vec<Effect> {
        let Some(status) = self.panel_status(now) else { return Vec::new() };
        let Some(stage) = status.stage_to_record() else { return self.show_nothing_to_do(&status, now) };
        if self.ask_if_doubtful(&status, &Message::RecordStart, now) {
            return Vec::new();
        }
        self.record_act(PanelAct::Start, Some(stage), now)
    }

    /// Where something speaks against the press, the first only says what; the second records.
    fn ask_if_doubtful(&mut self, status: &PanelStatus, message: &Message, now: Moment) -> bool {
        let name = self.shown_panel().map(|t| self.block_name(&t.id)).unwrap_or_default();
        let early = status.early_by().map(|left| self.early_question(status, left));
        let objection = self.find_objection(status, now).map(|objection| {
            (vec![fit_block_line(&name, objection.word()), "AGAIN?".to_owned()], objection.to_string())
        });
        let Some((lines, text)) = objection.or(early) else { return false };
        if self.take_confirmation(message) {
            return false;
        }
        self.ask_in_block_letters(
            message.clone(),
            lines,
            format!("{text} - press again to record it all the same"),
            now,
        );
        true
    }

    /// How early it would be. Where a cure, a drying or a rest stands on the screen, the act that would be recorded is named.
    fn early_question(&self, status: &PanelStatus, left: Span) -> (Vec<String>, String) {
        let words = match left {
            left if left > TOLERANCE => format_lateness(-left),
            left => format!("{:.0} s early", left.seconds().ceil()),
        };
        let name = self.shown_panel().map(|t| self.block_name(&t.id)).unwrap_or_default();
        let act = status.stage_to_record().filter(|_| status.stage.is_some_and(|s| s.kind.ends_by_itself()));
        let act = act.zip(self.story()).map(|(stage, story)| {
            let opened = story.panel().opened();
            act_words(&stage, &opened.recipe, &opened.size).block
        });
        match act {
            Some(act) => {
                let line = words.to_uppercase().replace(" MIN ", " ");
                (vec![fit_block_line(&name, &act), format!("{line}?")], words)
            }
            None => (vec![fit_block_line(&name, &words.to_uppercase()), "AGAIN?".to_owned()], words),
        }
    }

    /// Says in which direction the act at hand will be recorded; where that is the direction below, asks first.
    fn turn_direction(&mut self, now: Moment) -> Vec<Effect> {
        let status = self.panel_status(now);
        let turned = status.as_ref().and_then(|s| s.direction_to_record(!self.direction_turned));
        let (Some(direction), Some(stage)) = (turned, status.and_then(|s| s.stage_to_record())) else {
            self.show_message("the act at hand has no direction".to_owned(), false, now);
            return Vec::new();
        };
        let repeats = self.story().and_then(|s| s.panel().direction_below(stage)) == Some(direction);
        if repeats && !self.take_confirmation(&Message::TurnDirection) {
            let name = self.shown_panel().map(|t| self.block_name(&t.id)).unwrap_or_default();
            let lines = vec![fit_block_line(&name, "SAME AS BELOW"), "AGAIN?".to_owned()];
            let text = format!("the coat below is {} as well - press again to lay {stage} so", direction.name());
            self.ask_in_block_letters(Message::TurnDirection, lines, text, now);
            return Vec::new();
        }
        self.direction_turned = !self.direction_turned;
        self.show_message(format!("{stage} will be recorded {}", direction.name()), false, now);
        Vec::new()
    }

    /// Away and back are the maker's, so it is back wherever on the rack somebody is away.
    fn toggle_away(&mut self, now: Moment) -> Vec<Effect> {
        let stories = self.snapshots.iter().filter_map(|t| t.story.as_ref());
        let away = stories.map(|s| s.panel().status(trusted_now(s, now)).away_since).any(|away| away.is_some());
        if away {
            self.explain_gap(GapEvidence::MarkedAway, now);
        }
        self.record_act(if away { PanelAct::Back } else { PanelAct::Away }, None, now)
    }
}
