//! What is read or chosen from: every key, the story, panels side by side, what was wrong with an act that is done again.

use super::{Form, Over, Request, View};
use crate::app::action::Action;
use crate::app::compare::Step;
use crate::units::Moment;
use crate::work::panel::act::Act;
use crate::work::panel::event::{Flaw, Stage};

/// More lines than the list of keys will ever have.
const KEYS_MAX: usize = 200;

/// What was wrong with an act that is done again, while it is chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Flaws {
    /// The place of the flaw among [`Flaw::ALL`].
    pub at: usize,
    /// The stage the maker saw at hand.
    pub seen: Option<Stage>,
}

impl View {
    pub(super) fn reading(&mut self, action: &Action) -> Vec<Request> {
        let last = match &self.over {
            Over::Story(_) => self.story().map_or(0, |s| s.entries().len().saturating_sub(1)),
            Over::Nothing
            | Over::Keys(_)
            | Over::Line(_)
            | Over::Flaws(_)
            | Over::Map(_)
            | Over::Form(_)
            | Over::Pots(_)
            | Over::Compare(_)
            | Over::Sitting(_) => KEYS_MAX,
        };
        let (Over::Keys(offset) | Over::Story(offset)) = &mut self.over else { return Vec::new() };
        match action {
            Action::Up => *offset = offset.saturating_sub(1),
            Action::Down => *offset = (*offset + 1).min(last),
            Action::PageUp => *offset = offset.saturating_sub(10),
            Action::PageDown => *offset = (*offset + 10).min(last),
            Action::Home => *offset = 0,
            Action::End => *offset = last,
            Action::Paste(_) => {}
            _ => self.over = Over::Nothing,
        }
        Vec::new()
    }

    pub(super) fn comparing(&mut self, action: &Action) -> Vec<Request> {
        let Over::Compare(compare) = &mut self.over else { return Vec::new() };
        match compare.update(action) {
            Step::Stay => {}
            Step::Close => self.over = Over::Nothing,
            Step::Again(recipe) => {
                // The recipe of what was done comes first among those to choose from.
                self.manner.recipes.retain(|r| r.name != recipe.name);
                self.manner.recipes.insert(0, recipe);
                self.over = Over::Form(Form::first(&self.manner, &self.told));
            }
        }
        Vec::new()
    }

    pub(super) fn choosing(&mut self, action: &Action, now: Moment) -> Vec<Request> {
        let last = Flaw::ALL.len() - 1;
        let Over::Flaws(flaws) = &mut self.over else { return Vec::new() };
        match action {
            Action::Up => flaws.at = flaws.at.saturating_sub(1),
            Action::Down => flaws.at = (flaws.at + 1).min(last),
            Action::Home => flaws.at = 0,
            Action::End => flaws.at = last,
            Action::Accept => {
                let Flaws { at, seen } = *flaws;
                return self.record(Act::Repeat(Flaw::ALL[at.min(last)]), seen, now);
            }
            Action::Leave => self.over = Over::Nothing,
            _ => {}
        }
        Vec::new()
    }
}
