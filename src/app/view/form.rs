//! The form that opens a panel, filled in so that Enter alone gets going.

use super::lines::edit;
use super::{Manner, Over, Request, View};
use crate::app::action::Action;
use crate::app::view::keeping::What;
use crate::bench::{Opening, Told};
use crate::craft::materials::{Filler, Support};
use crate::craft::recipe::{Paint, Recipe};
use crate::text::parse_size;
use crate::units::Moment;
use crate::work::panel::event::Grain;
use std::sync::Arc;
use tui_input::Input;

/// What can be asked in a field.
#[derive(Debug, Clone)]
pub enum Answer {
    /// A text.
    Text(Input),
    /// One of some words: the words, and which.
    Choice(Vec<String>, usize),
}

/// A field of the form.
#[derive(Debug, Clone)]
pub struct Field {
    /// What is asked.
    pub label: &'static str,
    /// A word of help.
    pub help: &'static str,
    /// What stands there.
    pub answer: Answer,
    /// What is wrong with it.
    pub problem: String,
}

impl PartialEq for Field {
    fn eq(&self, other: &Self) -> bool {
        (self.label, self.value(), &self.problem) == (other.label, other.value(), &other.problem)
    }
}

impl Field {
    pub(super) fn text(label: &'static str, value: &str, help: &'static str) -> Field {
        Field { label, help, answer: Answer::Text(Input::new(value.to_owned())), problem: String::new() }
    }
    pub(super) fn choice(label: &'static str, words: impl IntoIterator<Item = String>, help: &'static str) -> Field {
        Field { label, help, answer: Answer::Choice(words.into_iter().collect(), 0), problem: String::new() }
    }
    /// What stands there.
    pub fn value(&self) -> &str {
        match &self.answer {
            Answer::Text(input) => input.value(),
            Answer::Choice(words, at) => words.get(*at).map_or("", String::as_str),
        }
    }
    /// What is drawn: a choice between marks that say it can be changed.
    pub fn shown(&self) -> String {
        match &self.answer {
            Answer::Text(input) => input.value().to_owned(),
            Answer::Choice(..) => format!("< {} >", self.value()),
        }
    }
    /// Where the next character goes, in characters.
    pub fn cursor(&self) -> usize {
        match &self.answer {
            Answer::Text(input) => input.cursor(),
            Answer::Choice(..) => 0,
        }
    }
    /// Lets a key change what stands there.
    pub(super) fn change(&mut self, action: &Action) {
        let by: isize = match action {
            Action::Right | Action::Type(' ') => 1,
            Action::Left => -1,
            _ => 0,
        };
        match &mut self.answer {
            Answer::Text(input) => {
                edit(input, action);
            }
            Answer::Choice(words, at) => {
                *at = (*at as isize + by).rem_euclid(words.len().max(1) as isize) as usize;
            }
        }
        self.problem.clear();
    }
    pub(super) fn chosen(&self) -> usize {
        match &self.answer {
            Answer::Text(_) => 0,
            Answer::Choice(_, at) => *at,
        }
    }
}

/// A caution before the panel is opened, with another recipe to take instead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Offer {
    /// The caution.
    pub said: String,
    /// The place of the other recipe among those that can be chosen.
    pub instead: usize,
    /// Its name.
    pub name: String,
}

/// The form.
#[derive(Debug, Clone, PartialEq)]
pub struct Form {
    /// Its fields from the top.
    pub fields: Vec<Field>,
    /// Which one the typing goes to.
    pub focus: usize,
    /// What is wrong with the form as a whole.
    pub problem: String,
    /// A caution that waits for an answer.
    pub offer: Option<Offer>,
    warned: bool,
}

/// Names for panels that have none yet: birds of the garden.
const BIRDS: [&str; 12] = [
    "Wren",
    "Robin",
    "Blackbird",
    "Dunnock",
    "Goldfinch",
    "Greenfinch",
    "Nuthatch",
    "Starling",
    "Siskin",
    "Chaffinch",
    "Song Thrush",
    "Treecreeper",
];

const LABEL: usize = 0;
const SIZE: usize = 1;
const SUPPORT: usize = 2;
const RECIPE: usize = 3;
const PAINT: usize = 4;
const GRAIN: usize = 5;

impl Form {
    /// The form as it stands at first, with a name that no panel on the bench or on the shelf has.
    pub fn first(manner: &Manner, told: &[Told]) -> Form {
        let taken = |name: &String| {
            let filed = name.to_lowercase().replace(' ', "-");
            manner.shelved.iter().any(|id| id.as_str() == filed)
                || told
                    .iter()
                    .filter_map(|t| t.story.as_ref())
                    .any(|s| s.panel().opened().label.eq_ignore_ascii_case(name))
        };
        let again = (2..=99).flat_map(|n| BIRDS.iter().map(move |bird| format!("{bird} {n}")));
        let mut names = BIRDS.iter().map(|bird| (*bird).to_owned()).chain(again);
        let free = names.find(|name| !taken(name)).unwrap_or_default();
        let names = manner.recipes.iter().map(|r| r.name.clone());
        let longer = ["along the longer side", "along the width", "along the height"].map(str::to_owned);
        Form {
            fields: vec![
                Field::text("Label", &free, "what you call it; write it on the back with an arrow up"),
                Field::text("Size", "300x400x12mm", "width x height x thickness with a unit, the arrow up"),
                Field::choice("Support", Support::ALL.map(|s| s.name().to_owned()), "what the board is made of"),
                Field::choice("Recipe", names, "the plan; sottile recipe list tells them all"),
                Field::choice("Paint", Paint::ALL.map(|p| p.name().to_owned()), "what will be painted on it"),
                Field::choice("Grain", longer, "which way the grain of the face runs"),
            ],
            focus: 0,
            problem: String::new(),
            offer: None,
            warned: false,
        }
    }

    fn go(&mut self, by: isize) {
        let fields = self.fields.len() as isize;
        self.focus = (self.focus as isize + by).rem_euclid(fields) as usize;
    }

    fn change(&mut self, action: &Action) {
        let Some(field) = self.fields.get_mut(self.focus) else { return };
        field.change(action);
        self.problem.clear();
    }

    /// What the form asks to be opened; none while something is wrong, which then stands beside it.
    fn opening(&mut self, recipes: &[Arc<Recipe>]) -> Option<Opening> {
        let label = self.fields[LABEL].value().trim().to_owned();
        if label.is_empty() {
            "it needs a name".clone_into(&mut self.fields[LABEL].problem);
            self.focus = LABEL;
        }
        let size = parse_size(self.fields[SIZE].value());
        if let Err(why) = &size {
            self.fields[SIZE].problem = why.to_string();
            self.focus = SIZE;
        }
        let recipe = recipes.get(self.fields[RECIPE].chosen());
        if recipe.is_none() {
            "there is no recipe to choose".clone_into(&mut self.problem);
        }
        let grain = [None, Some(Grain::Width), Some(Grain::Height)];
        Some(Opening {
            label: Some(label).filter(|l| !l.is_empty())?,
            size: size.ok()?,
            support: Support::named(self.fields[SUPPORT].value())?,
            grain: grain.get(self.fields[GRAIN].chosen()).copied().flatten(),
            paint: Paint::named(self.fields[PAINT].value())?,
            recipe: Arc::clone(recipe?),
            count: 1,
            at: None,
        })
    }
}

/// The place of a recipe that suits oil and has titanium white where this one has zinc white.
fn without_zinc(recipes: &[Arc<Recipe>]) -> Option<usize> {
    let has = |r: &Recipe, filler| r.gesso.fillers.iter().any(|f| f.filler == filler);
    recipes
        .iter()
        .position(|r| r.suits.contains(&Paint::Oil) && has(r, Filler::TitaniumWhite) && !has(r, Filler::ZincWhite))
}

impl View {
    pub(super) fn forming(&mut self, action: &Action, now: Moment) -> Vec<Request> {
        let recipes = self.manner.recipes.clone();
        let empty = self.story().is_none();
        let Over::Form(form) = &mut self.over else { return Vec::new() };
        if form.offer.is_some() {
            return self.answer_offer(action, now);
        }
        match action {
            Action::Leave if empty => return self.leave(now),
            Action::LookOver if empty => return self.look_over(now),
            Action::Leave => self.over = Over::Nothing,
            Action::Up => form.go(-1),
            Action::Down => form.go(1),
            Action::Accept => return self.accept_form(&recipes, now),
            _ => form.change(action),
        }
        Vec::new()
    }

    fn accept_form(&mut self, recipes: &[Arc<Recipe>], now: Moment) -> Vec<Request> {
        let Over::Form(form) = &mut self.over else { return Vec::new() };
        let Some(opening) = form.opening(recipes) else { return Vec::new() };
        let zinc = crate::work::advice::cautions::zinc_under_oil(&opening.recipe, opening.paint);
        if let (Some(said), Some(instead), false) = (zinc, without_zinc(recipes), form.warned) {
            let name = recipes.get(instead).map(|r| r.name.clone()).unwrap_or_default();
            form.offer = Some(Offer { said: said.to_owned(), instead, name });
            form.warned = true;
            return Vec::new();
        }
        self.request(Request::Open(Box::new(opening)), What::Opening, now)
    }

    /// The caution is said once: Enter keeps the recipe, `t` takes the one offered, Esc goes back to the form.
    fn answer_offer(&mut self, action: &Action, now: Moment) -> Vec<Request> {
        let recipes = self.manner.recipes.clone();
        let Over::Form(form) = &mut self.over else { return Vec::new() };
        let Some(offer) = form.offer.take() else { return Vec::new() };
        match action {
            Action::Accept => {}
            Action::Type('t') => {
                if let Answer::Choice(_, at) = &mut form.fields[RECIPE].answer {
                    *at = offer.instead;
                }
            }
            Action::Leave => return Vec::new(),
            _ => {
                form.offer = Some(offer);
                return Vec::new();
            }
        }
        self.accept_form(&recipes, now)
    }
}
