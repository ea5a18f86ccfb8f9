//! What a key does to what lies over the bench: what is read or chosen from, a line, a map, the form for a panel.

use super::Model;
use super::effect::{Effect, PendingKind};
use super::line_editor::{LineInput, LinePurpose, PotLinePurpose, format_empty_line_error};
use super::map_editor::MapHint;
use super::overlay::{FlawList, Overlay, ShelfTask};
use super::panel_form::{RECIPE, RecipeOffer, find_recipe_without_zinc};
use super::pots_overlay::PotsOverlay;
use crate::app::comparison_model::ComparisonOutcome;
use crate::app::form::edit_text;
use crate::app::message::{InputMode, Message};
use crate::craft::recipe::Recipe;
use crate::units::Moment;
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::{CheckMap, Flaw, Roughness};
use std::sync::Arc;

/// More lines than the list of keys will ever have.
const KEYS_MAX: usize = 200;

impl Model {
    pub(super) fn update_scroll(&mut self, message: &Message) -> Vec<Effect> {
        let last = match &self.overlay {
            Overlay::Story(_) => self.story().map_or(0, |s| s.entries().len().saturating_sub(1)),
            Overlay::None
            | Overlay::Keys(_)
            | Overlay::Line(_)
            | Overlay::Flaws(_)
            | Overlay::Clock(_)
            | Overlay::Shelf(_)
            | Overlay::Map(_)
            | Overlay::Form(_)
            | Overlay::Pots(_)
            | Overlay::Comparison(_)
            | Overlay::Queue(_)
            | Overlay::Plan(_)
            | Overlay::PassSheet(_)
            | Overlay::Sitting(_) => KEYS_MAX,
        };
        let (Overlay::Keys(offset) | Overlay::Story(offset)) = &mut self.overlay else { return Vec::new() };
        match message {
            Message::Up => *offset = offset.saturating_sub(1),
            Message::Down => *offset = (*offset + 1).min(last),
            Message::PageUp => *offset = offset.saturating_sub(10),
            Message::PageDown => *offset = (*offset + 10).min(last),
            Message::Home => *offset = 0,
            Message::End => *offset = last,
            Message::Paste(_) => {}
            _ => self.overlay = Overlay::None,
        }
        Vec::new()
    }

    pub(super) fn update_comparison(&mut self, message: &Message) -> Vec<Effect> {
        let Overlay::Comparison(comparison) = &mut self.overlay else { return Vec::new() };
        match comparison.update(message) {
            ComparisonOutcome::Stay => {}
            ComparisonOutcome::Close => self.return_to_bench(),
            ComparisonOutcome::ReuseRecipe(recipe) => {
                // The recipe of what was done comes first among those to choose from.
                self.settings.recipes.retain(|r| r.name != recipe.name);
                self.settings.recipes.insert(0, recipe);
                self.overlay = Overlay::Form(self.new_panel_form());
            }
        }
        Vec::new()
    }

    pub(super) fn update_shelf_choice(&mut self, message: &Message, now: Moment) -> Vec<Effect> {
        let last = ShelfTask::ALL.len() - 1;
        let Overlay::Shelf(choice) = &mut self.overlay else { return Vec::new() };
        match message {
            Message::Up => choice.cursor = choice.cursor.saturating_sub(1),
            Message::Down => choice.cursor = (choice.cursor + 1).min(last),
            Message::Home => choice.cursor = 0,
            Message::End => choice.cursor = last,
            Message::Leave => return self.leave_bench(now),
            Message::Accept => match ShelfTask::ALL[choice.cursor.min(last)] {
                ShelfTask::LookOver => return self.request_sitting(now),
                ShelfTask::Compare => return self.request_effect(Effect::ReadComparison, PendingKind::ReadShelf, now),
                ShelfTask::NewPanel => self.overlay = Overlay::Form(self.new_panel_form()),
            },
            _ => {}
        }
        Vec::new()
    }

    pub(super) fn update_flaw_list(&mut self, message: &Message, now: Moment) -> Vec<Effect> {
        let last = Flaw::ALL.len() - 1;
        let Overlay::Flaws(flaws) = &mut self.overlay else { return Vec::new() };
        match message {
            Message::Up => flaws.cursor = flaws.cursor.saturating_sub(1),
            Message::Down => flaws.cursor = (flaws.cursor + 1).min(last),
            Message::Home => flaws.cursor = 0,
            Message::End => flaws.cursor = last,
            Message::Accept => {
                let FlawList { cursor: at, seen_stage: seen } = *flaws;
                return self.record_act(PanelAct::Repeat(Flaw::ALL[at.min(last)]), seen, now);
            }
            Message::Leave => self.overlay = Overlay::None,
            _ => {}
        }
        Vec::new()
    }

    pub(super) fn update_line(&mut self, message: &Message, now: Moment) -> Vec<Effect> {
        let Overlay::Line(line) = &mut self.overlay else { return Vec::new() };
        if edit_text(&mut line.input, message) {
            line.error.clear();
            line.is_accepted_once = false;
            return Vec::new();
        }
        match message {
            Message::Leave => {
                self.close_line(now);
                Vec::new()
            }
            Message::Accept => self.accept_line(now),
            _ => Vec::new(),
        }
    }

    /// Back to where the line was opened: the pots, or the bench.
    pub(super) fn close_line(&mut self, now: Moment) {
        let Overlay::Line(line) = &self.overlay else { return };
        self.overlay = match &line.purpose {
            LinePurpose::Pot(id, PotLinePurpose::Made | PotLinePurpose::Balance) => {
                let id = id.clone();
                self.begin_making(Some(&id), now);
                return;
            }
            LinePurpose::Pot(id, _) => {
                let at = self.pot_list().iter().position(|t| t.id == *id).unwrap_or(0);
                Overlay::Pots(PotsOverlay::List { at })
            }
            LinePurpose::Note
            | LinePurpose::Weight
            | LinePurpose::Skip(_)
            | LinePurpose::GiveUp
            | LinePurpose::Maker
            | LinePurpose::Air => Overlay::None,
        };
    }

    fn accept_line(&mut self, now: Moment) -> Vec<Effect> {
        let Overlay::Line(line) = &mut self.overlay else { return Vec::new() };
        let text = line.input.value().trim();
        let input = if text.is_empty() && !line.purpose.takes_nothing() {
            Err(format_empty_line_error(&self.settings.keymap))
        } else {
            line.purpose.parse(text, now)
        };
        match input {
            Err(reason) => {
                line.error = reason;
                Vec::new()
            }
            Ok(LineInput::Panel(PanelAct::Abandon(_), _)) if !line.is_accepted_once => {
                line.is_accepted_once = true;
                let keep = self.settings.keymap.label(&Message::Accept, InputMode::Line);
                line.error = format!("this gives the panel up - press {keep} again if you mean it");
                Vec::new()
            }
            Ok(LineInput::Panel(act, seen)) => self.record_act(act, seen, now),
            Ok(LineInput::Pot(id, act)) => self.record_pot_act(&id, act, now),
            Ok(LineInput::Maker(name)) => {
                self.name_maker(name, now);
                Vec::new()
            }
            Ok(LineInput::Air(reading)) => self.request_effect(Effect::RecordAir(reading), PendingKind::Pot, now),
        }
    }

    pub(super) fn update_map(&mut self, message: &Message, now: Moment) -> Vec<Effect> {
        let Overlay::Map(map) = &mut self.overlay else { return Vec::new() };
        if !map.confirm_discard(message) {
            return Vec::new();
        }
        match message {
            Message::Up => map.move_cursor(-1, 0),
            Message::Down => map.move_cursor(1, 0),
            Message::Left => map.move_cursor(0, -1),
            Message::Right => map.move_cursor(0, 1),
            Message::Advance => map.cycle_area(),
            Message::SelectArea(digit) => map.cycle_area_by_digit(*digit),
            Message::Leave => self.overlay = Overlay::None,
            Message::Accept if map.areas.iter().flatten().all(|low| *low == Roughness::None) => {
                map.hint = MapHint::NothingMarked;
            }
            Message::Accept => return self.record_map(now),
            Message::ClearMap => {
                map.areas.iter_mut().flatten().for_each(|area| *area = Roughness::None);
                return self.record_map(now);
            }
            _ => {}
        }
        Vec::new()
    }

    fn record_map(&mut self, now: Moment) -> Vec<Effect> {
        let Overlay::Map(map) = &self.overlay else { return Vec::new() };
        let stage = map.stage;
        let areas = CheckMap::new(map.areas.clone()).expect("its areas were made within what a map may have");
        self.record_act(PanelAct::Done { direction: None, pot: None, map: Some(areas), by: None }, Some(stage), now)
    }

    pub(super) fn update_form(&mut self, message: &Message, now: Moment) -> Vec<Effect> {
        let recipes = self.settings.recipes.clone();
        let (empty, shelved) = (self.story().is_none(), self.has_shelf());
        let Overlay::Form(form) = &mut self.overlay else { return Vec::new() };
        if form.offer.is_some() {
            return self.answer_offer(message, now);
        }
        match message {
            Message::Leave if shelved => self.return_to_bench(),
            Message::Leave if empty => return self.leave_bench(now),
            Message::OpenSitting if empty => return self.request_sitting(now),
            Message::Leave => self.overlay = Overlay::None,
            Message::Accept => return self.accept_form(&recipes, now),
            _ => form.form.update(message),
        }
        Vec::new()
    }

    fn accept_form(&mut self, recipes: &[Arc<Recipe>], now: Moment) -> Vec<Effect> {
        let Overlay::Form(form) = &mut self.overlay else { return Vec::new() };
        let Some(opening) = form.parse_opening(recipes) else { return Vec::new() };
        let zinc = crate::work::advice::cautions::zinc_under_oil_caution(&opening.recipe, opening.paint);
        if let (Some(message), Some(instead), false) = (zinc, find_recipe_without_zinc(recipes), form.warned) {
            let name = recipes[instead].name.clone();
            form.offer = Some(RecipeOffer { caution: message.to_owned(), recipe_index: instead, name });
            form.warned = true;
            return Vec::new();
        }
        self.request_effect(Effect::OpenPanels(Box::new(opening)), PendingKind::OpenPanels, now)
    }

    /// The caution is said once: the recipe is kept, or the one offered is taken, or the form is gone back to.
    fn answer_offer(&mut self, message: &Message, now: Moment) -> Vec<Effect> {
        let recipes = self.settings.recipes.clone();
        let Overlay::Form(form) = &mut self.overlay else { return Vec::new() };
        let Some(offer) = form.offer.take() else { return Vec::new() };
        match message {
            Message::Accept => {}
            Message::TakeOffer => {
                form.form.fields[RECIPE].choose(offer.recipe_index);
            }
            Message::Leave => return Vec::new(),
            _ => {
                form.offer = Some(offer);
                return Vec::new();
            }
        }
        self.accept_form(&recipes, now)
    }
}
