//! What is read or chosen from: every key, the story, panels side by side, what was wrong with an act that is done again.

use super::{Effect, Model, Overlay, PanelForm};
use crate::app::comparison_model::ComparisonOutcome;
use crate::app::message::Message;
use crate::units::Moment;
use crate::work::panel::act::PanelAct;
use crate::work::panel::event::{Flaw, Stage};

/// More lines than the list of keys will ever have.
const KEYS_MAX: usize = 200;

/// What was wrong with an act that is done again, while it is chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FlawList {
    /// The place of the flaw among [`Flaw::ALL`].
    pub cursor: usize,
    /// The stage the maker saw at hand.
    pub seen_stage: Option<Stage>,
}

impl Model {
    pub(super) fn update_scroll(&mut self, action: &Message) -> Vec<Effect> {
        let last = match &self.overlay {
            Overlay::Story(_) => self.story().map_or(0, |s| s.entries().len().saturating_sub(1)),
            Overlay::None
            | Overlay::Keys(_)
            | Overlay::Line(_)
            | Overlay::Flaws(_)
            | Overlay::Map(_)
            | Overlay::Form(_)
            | Overlay::Pots(_)
            | Overlay::Comparison(_)
            | Overlay::Sitting(_) => KEYS_MAX,
        };
        let (Overlay::Keys(offset) | Overlay::Story(offset)) = &mut self.overlay else { return Vec::new() };
        match action {
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

    pub(super) fn update_comparison(&mut self, action: &Message) -> Vec<Effect> {
        let Overlay::Comparison(compare) = &mut self.overlay else { return Vec::new() };
        match compare.update(action) {
            ComparisonOutcome::Stay => {}
            ComparisonOutcome::Close => self.overlay = Overlay::None,
            ComparisonOutcome::ReuseRecipe(recipe) => {
                // The recipe of what was done comes first among those to choose from.
                self.settings.recipes.retain(|r| r.name != recipe.name);
                self.settings.recipes.insert(0, recipe);
                self.overlay = Overlay::Form(PanelForm::new(&self.settings, &self.snapshots));
            }
        }
        Vec::new()
    }

    pub(super) fn update_flaw_list(&mut self, action: &Message, now: Moment) -> Vec<Effect> {
        let last = Flaw::ALL.len() - 1;
        let Overlay::Flaws(flaws) = &mut self.overlay else { return Vec::new() };
        match action {
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
}
