//! The pots sheet: which pot is in use, what happened to one, a pot opened.
//!
//! Absent on purpose: how a batch is made (`making`), drawing.

use super::form::{Form, InputField};
use super::line_editor::{LineEditor, LinePurpose, PotLinePurpose};
use super::making_model::MakingModel;
use super::replies::PendingKind;
use super::{Effect, Model, Overlay};
use crate::app::message::{InputMode, Message, PotCommand};
use crate::bench::{PotOpening, Snapshot};
use crate::craft::recipe::Recipe;
use crate::text::parse_volume;
use crate::units::{Id, Moment};
use crate::work::pot::act::PotAct;
use crate::work::pot::event::PotKind;
use crate::work::pot::fold::Pot;
use std::sync::Arc;

/// What of the pots lies over the bench.
#[derive(Debug, Clone, PartialEq)]
pub enum PotsOverlay {
    /// Every pot, the cursor on one.
    List {
        /// The place of the cursor.
        at: usize,
    },
    /// The form for a pot.
    Form(Box<PotForm>),
    /// A batch being made.
    Making(MakingModel),
    /// What is to be known before the coat at hand, and where it comes from.
    Advice,
}

impl PotsOverlay {
    /// Where the keys go.
    pub const fn input_mode(&self) -> InputMode {
        match self {
            PotsOverlay::List { .. } | PotsOverlay::Making(_) | PotsOverlay::Advice => InputMode::Pots,
            PotsOverlay::Form(_) => InputMode::Form,
        }
    }
}

/// The form that opens a pot.
#[derive(Debug, Clone, PartialEq)]
pub struct PotForm {
    /// Its fields.
    pub form: Form,
    /// The pots of size it can be poured from, in the order of their field's words after "none".
    parents: Vec<Id>,
}

const LABEL: usize = 0;
const KIND: usize = 1;
const PARENT: usize = 2;
const RECIPE: usize = 3;
const ML: usize = 4;
const LOT: usize = 5;

impl PotForm {
    /// The form as it stands at first: gesso where a pot of size is in use, else size.
    fn new(view: &Model) -> PotForm {
        let sizes: Vec<&Snapshot<Pot>> =
            view.pot_list().into_iter().filter(|t| t.is_in_use() && is_of_kind(t, PotKind::Size)).collect();
        let label = |t: &&Snapshot<Pot>| t.story.as_ref().map_or_else(String::new, |s| s.pot().opened().label.clone());
        let parents: Vec<String> =
            std::iter::once("no pot recorded".to_owned()).chain(sizes.iter().map(label)).collect();
        let kinds = [PotKind::Size, PotKind::Gesso].map(|k| k.name().to_owned());
        let gesso = !sizes.is_empty();
        let here = view.story().map(|s| s.panel().opened().recipe.name.clone());
        let names: Vec<String> = view.recipes().iter().map(|r| r.name.clone()).collect();
        let recipe = here.and_then(|name| names.iter().position(|n| *n == name)).unwrap_or(0);
        let first = if gesso { PotKind::Gesso } else { PotKind::Size };
        let mut fields = vec![
            InputField::new_text("Label", &find_free_label(view, first), "what you call it"),
            InputField::new_choice("Kind", kinds, "size is glue and water; gesso has powders in it"),
            InputField::new_choice("Poured from", parents, "the pot of size its glue comes from"),
            InputField::new_choice("Recipe", names, "the plan of the batch"),
            InputField::new_text("Size", "", "how much size is in it, as in 400ml; may be left empty"),
            InputField::new_text("Glue lot", "", "as printed on the packet; may be left empty"),
        ];
        fields[KIND].choose(usize::from(gesso));
        fields[PARENT].choose(usize::from(gesso));
        fields[RECIPE].choose(recipe);
        PotForm { form: Form::new(fields), parents: sizes.iter().map(|t| t.id.clone()).collect() }
    }

    /// What the form asks to be opened; none while something is wrong, which then stands beside it.
    fn parse_opening(&mut self, recipes: &[Arc<Recipe>]) -> Option<PotOpening> {
        let form = &mut self.form;
        let label = form.parse_label(LABEL)?;
        let size_ml = match form.value(ML).trim() {
            "" => None,
            text => Some(parse_volume(text).map_err(|why| form.reject(ML, why.to_string())).ok()?),
        };
        let lot = Some(form.value(LOT).trim().to_owned()).filter(|l| !l.is_empty());
        let parent = form.fields[PARENT].chosen_index().checked_sub(1).and_then(|at| self.parents.get(at)).cloned();
        Some(PotOpening {
            label,
            kind: PotKind::from_name(form.value(KIND))?,
            parent,
            recipe: Arc::clone(recipes.get(form.fields[RECIPE].chosen_index())?),
            size_ml,
            lot,
            at: None,
        })
    }
}

fn is_of_kind(told: &Snapshot<Pot>, kind: PotKind) -> bool {
    told.story.as_ref().is_some_and(|s| s.pot().opened().kind == kind)
}

/// A name no pot has yet: "gesso", "gesso 2" ...
pub(super) fn find_free_label(view: &Model, kind: PotKind) -> String {
    let taken: Vec<String> = view
        .pot_survey()
        .pots
        .iter()
        .filter_map(|t| t.story.as_ref())
        .map(|s| s.pot().opened().label.to_lowercase())
        .collect();
    let name = |n: u32| if n == 1 { kind.name().to_owned() } else { format!("{} {n}", kind.name()) };
    (1..).map(name).find(|name| !taken.contains(name)).unwrap_or_default()
}

impl Model {
    /// What a key does while something of the pots lies over the bench.
    pub(super) fn update_pots(&mut self, action: &Message, now: Moment) -> Vec<Effect> {
        let Overlay::Pots(pots) = &self.overlay else { return Vec::new() };
        match pots {
            PotsOverlay::List { at } => self.update_pot_list(*at, action, now),
            PotsOverlay::Form(_) => self.update_pot_form(action, now),
            PotsOverlay::Making(_) => self.update_making(action, now),
            PotsOverlay::Advice => {
                self.pots.gap_meanings.clear();
                self.overlay = Overlay::None;
                Vec::new()
            }
        }
    }

    fn update_pot_list(&mut self, at: usize, action: &Message, now: Moment) -> Vec<Effect> {
        let last = self.pot_list().len().saturating_sub(1);
        let under = self.pot_list().get(at).map(|t| (t.id.clone(), t.is_in_use()));
        match action {
            Message::Up => self.overlay = Overlay::Pots(PotsOverlay::List { at: at.saturating_sub(1) }),
            Message::Down => self.overlay = Overlay::Pots(PotsOverlay::List { at: (at + 1).min(last) }),
            Message::Home => self.overlay = Overlay::Pots(PotsOverlay::List { at: 0 }),
            Message::End => self.overlay = Overlay::Pots(PotsOverlay::List { at: last }),
            Message::Leave => self.overlay = Overlay::None,
            Message::OpenForm => self.overlay = Overlay::Pots(PotsOverlay::Form(Box::new(PotForm::new(self)))),
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
            PotCommand::Made => PotAct::Made,
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

    fn update_pot_form(&mut self, action: &Message, now: Moment) -> Vec<Effect> {
        let recipes = self.recipes().to_vec();
        let Overlay::Pots(PotsOverlay::Form(form)) = &mut self.overlay else { return Vec::new() };
        match action {
            Message::Leave => return self.show_pots(),
            Message::Accept => {
                let Some(opening) = form.parse_opening(&recipes) else { return Vec::new() };
                return self.request_effect(Effect::OpenPot(Box::new(opening)), PendingKind::Pot, now);
            }
            _ => form.form.update(action),
        }
        Vec::new()
    }

    /// What was typed is on disk and need not be kept open; a batch being made goes on.
    pub(super) fn finish_pot_fact(&mut self) {
        match &self.overlay {
            Overlay::Line(line) if !line.purpose.is_of_panel() => self.close_line(),
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
            PotsOverlay::List { .. } | PotsOverlay::Advice => {}
        }
    }
}
