//! What a key does while something of the pots lies over the bench.

use super::Model;
use super::effect::{Effect, PendingKind};
use super::line_editor::{LineEditor, LinePurpose, PotLinePurpose};
use super::overlay::Overlay;
use super::pots_overlay::{PotForm, PotsOverlay};
use crate::app::message::{InputMode, Message, PotCommand};
use crate::units::{Id, Moment};
use crate::work::pot::act::PotAct;

/// More lines of advice than a narrow window is ever scrolled by; what is drawn ends with the last.
const ADVICE_LINES_MAX: usize = 80;

impl Model {
    /// What a key does while something of the pots lies over the bench.
    pub(super) fn update_pots(&mut self, message: &Message, now: Moment) -> Vec<Effect> {
        let Overlay::Pots(pots) = &self.overlay else { return Vec::new() };
        match pots {
            PotsOverlay::List { at } => self.update_pot_list(*at, message, now),
            PotsOverlay::Form(_) => self.update_pot_form(message, now),
            PotsOverlay::Making(_) => self.update_making(message, now),
            PotsOverlay::Advice { offset } => {
                let offset = *offset;
                self.update_advice(offset, message);
                Vec::new()
            }
        }
    }

    /// Scrolls what is to be known; any other key goes back, and what was said of a gap has been read.
    fn update_advice(&mut self, offset: usize, message: &Message) {
        let offset = match message {
            Message::Up => offset.saturating_sub(1),
            Message::Down => (offset + 1).min(ADVICE_LINES_MAX),
            Message::PageUp => offset.saturating_sub(10),
            Message::PageDown => (offset + 10).min(ADVICE_LINES_MAX),
            Message::Home => 0,
            Message::End => ADVICE_LINES_MAX,
            Message::Paste(_) => offset,
            _ => {
                self.pots.gap_meanings.clear();
                self.overlay = Overlay::None;
                return;
            }
        };
        self.overlay = Overlay::Pots(PotsOverlay::Advice { offset });
    }

    fn update_pot_list(&mut self, at: usize, message: &Message, now: Moment) -> Vec<Effect> {
        let last = self.pot_list().len().saturating_sub(1);
        let under = self.pot_list().get(at).map(|t| (t.id.clone(), t.is_in_use()));
        match message {
            Message::Up => self.overlay = Overlay::Pots(PotsOverlay::List { at: at.saturating_sub(1) }),
            Message::Down => self.overlay = Overlay::Pots(PotsOverlay::List { at: (at + 1).min(last) }),
            Message::Home => self.overlay = Overlay::Pots(PotsOverlay::List { at: 0 }),
            Message::End => self.overlay = Overlay::Pots(PotsOverlay::List { at: last }),
            Message::Leave => self.overlay = Overlay::None,
            Message::OpenForm => {
                self.overlay = Overlay::Pots(PotsOverlay::Form(Box::new(PotForm::new(
                    &self.pot_list(),
                    self.recipes(),
                    self.story().map(|s| s.panel().opened().recipe.name.as_str()),
                ))))
            }
            Message::Accept => match under {
                Some((id, true)) => {
                    self.choose_pot(&id);
                    self.overlay = Overlay::None;
                }
                Some((_, false)) => self.show_message("this pot is used up or thrown away".to_owned(), false, now),
                None => {}
            },
            Message::Pot(PotCommand::StartMaking) if under.is_none() => self.begin_making(None, now),
            Message::Pot(command) => return self.run_pot_command(under.map(|(id, _)| id), *command, now),
            _ => {}
        }
        Vec::new()
    }

    fn run_pot_command(&mut self, id: Option<Id>, command: PotCommand, now: Moment) -> Vec<Effect> {
        let Some(id) = id else {
            let [open, make] = [Message::OpenForm, Message::Pot(PotCommand::StartMaking)]
                .map(|message| self.keymap().label(&message, InputMode::Pots));
            let words = format!("no pot is recorded; {open} opens one, {make} leads through the making");
            self.show_message(words, false, now);
            return Vec::new();
        };
        let story = self.pot_survey().pots.iter().find(|t| t.id == id).and_then(|t| t.story.clone());
        let Some(story) = story else { return Vec::new() };
        let act = match command {
            PotCommand::ToggleBath => story.pot().bath_act(),
            PotCommand::Soak => PotAct::Soak,
            PotCommand::Liquid => PotAct::Liquid,
            PotCommand::Gelled => PotAct::Gelled,
            PotCommand::Made => PotAct::made_as_asked(),
            PotCommand::Strained => PotAct::Strained,
            PotCommand::Undo => PotAct::Undo { seen: story.last_standing_entry().map(|e| e.seq) },
            PotCommand::UsedUp => {
                let message = Message::Pot(command);
                if !self.take_confirmation(&message) {
                    let again = self.keymap().label(&message, InputMode::Pots);
                    self.ask_confirmation(message, format!("used up: press {again} again if it is"), now);
                    return Vec::new();
                }
                PotAct::Empty
            }
            PotCommand::EnterTemp => return self.open_pot_line(PotLinePurpose::Temp, id),
            PotCommand::EnterWater => return self.open_pot_line(PotLinePurpose::Water, id),
            PotCommand::EnterWeight => return self.open_pot_line(PotLinePurpose::Weight, id),
            PotCommand::WriteNote => return self.open_pot_line(PotLinePurpose::Note, id),
            PotCommand::Discard => return self.open_pot_line(PotLinePurpose::Discard, id),
            PotCommand::StartMaking => {
                self.begin_making(Some(&id), now);
                return Vec::new();
            }
        };
        self.record_pot_act(&id, act, now)
    }

    fn open_pot_line(&mut self, purpose: PotLinePurpose, pot: Id) -> Vec<Effect> {
        self.overlay = Overlay::Line(LineEditor::new(LinePurpose::Pot(pot, purpose)));
        Vec::new()
    }

    fn update_pot_form(&mut self, message: &Message, now: Moment) -> Vec<Effect> {
        let recipes = self.recipes().to_vec();
        let Overlay::Pots(PotsOverlay::Form(form)) = &mut self.overlay else { return Vec::new() };
        match message {
            Message::Leave => return self.show_pots(),
            Message::Accept => {
                let Some(opening) = form.parse_opening(&recipes) else { return Vec::new() };
                return self.request_effect(Effect::OpenPot(Box::new(opening)), PendingKind::Pot, now);
            }
            _ => form.form.update(message),
        }
        Vec::new()
    }

    /// What was typed is on disk and need not be kept open; a batch being made goes on.
    pub(super) fn finish_pot_fact(&mut self, now: Moment) {
        match &self.overlay {
            Overlay::Line(line) if !line.purpose.is_of_panel() => self.close_line(now),
            Overlay::Pots(PotsOverlay::Making(_)) => self.advance_making(None),
            _ => {}
        }
    }

    /// The pot is open: the making goes on, or the list shows it.
    pub(super) fn finish_pot_opened(&mut self, id: &Id) {
        let Overlay::Pots(pots) = &self.overlay else { return };
        match pots {
            PotsOverlay::Making(_) => self.advance_making(Some(id)),
            PotsOverlay::Form(_) => {
                let at = self.pot_list().iter().position(|t| t.id == *id).unwrap_or(0);
                self.overlay = Overlay::Pots(PotsOverlay::List { at });
            }
            PotsOverlay::List { .. } | PotsOverlay::Advice { .. } => {}
        }
    }
}
