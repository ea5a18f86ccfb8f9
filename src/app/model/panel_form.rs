//! The form that opens a panel, filled in so that Enter alone gets going.

use crate::app::form::{Form, InputField};
use crate::bench::{PanelOpening, Snapshot};
use crate::craft::materials::{Filler, Support};
use crate::craft::recipe::{Paint, Recipe};
use crate::text::parse_size;
use crate::units::{Id, Size};
use crate::work::panel::event::Grain;
use std::sync::Arc;

/// A caution before the panel is opened, with another recipe to take instead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RecipeOffer {
    /// The caution.
    pub caution: String,
    /// The place of the other recipe among those that can be chosen.
    pub recipe_index: usize,
    /// Its name.
    pub name: String,
}

/// The form.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelForm {
    /// Its fields.
    pub form: Form,
    /// A caution that waits for an answer.
    pub offer: Option<RecipeOffer>,
    pub(super) warned: bool,
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
const COUNT: usize = 2;
const SUPPORT: usize = 3;
pub(super) const RECIPE: usize = 4;
const PAINT: usize = 5;
const GRAIN: usize = 6;

/// The most boards opened at once: more than any bench is wide (assumed).
const COUNT_MAX: u16 = 60;

impl PanelForm {
    /// The form as it stands at first, with a name that no panel on the bench or on the shelf has.
    pub fn new(recipes: &[Arc<Recipe>], shelf_ids: &[Id], snapshots: &[Snapshot]) -> PanelForm {
        let taken = |name: &String| {
            let filed = name.to_lowercase().replace(' ', "-");
            shelf_ids.iter().any(|id| id.as_str() == filed)
                || snapshots
                    .iter()
                    .filter_map(|t| t.story.as_ref())
                    .any(|s| s.panel().opened().label.eq_ignore_ascii_case(name))
        };
        let again = (2_u32..).flat_map(|n| BIRDS.iter().map(move |bird| format!("{bird} {n}")));
        let mut names = BIRDS.iter().map(|bird| (*bird).to_owned()).chain(again);
        let free = names.find(|name| !taken(name)).expect("there are more numbers than panels");
        let names = recipes.iter().map(|r| r.name.clone());
        let longer = ["along the longer side", "along the width", "along the height"].map(str::to_owned);
        PanelForm {
            form: Form::new(vec![
                InputField::new_suggestion("Label", &free, "your own name for it; it goes on the back"),
                InputField::new_suggestion(
                    "Board",
                    "300x400x12mm",
                    "width x height x thickness with a unit, the arrow up",
                ),
                InputField::new_suggestion("How many", "1", "boards alike, from one pot; each is numbered"),
                InputField::new_choice(
                    "Support",
                    Support::ALL.map(|s| s.name().to_owned()),
                    "what the board is made of",
                ),
                InputField::new_choice("Recipe", names, "the plan; sottile recipe list tells them all"),
                InputField::new_choice("Paint", Paint::ALL.map(|p| p.name().to_owned()), "what will be painted on it"),
                InputField::new_choice("Grain", longer, "which way the grain of the face runs"),
            ]),
            offer: None,
            warned: false,
        }
    }

    /// The size typed, where it can be read: the board is drawn by it.
    pub fn size(&self) -> Option<Size> {
        parse_size(self.form.value(SIZE)).ok()
    }

    /// The place of the recipe chosen among those that can be chosen.
    pub fn recipe_index(&self) -> usize {
        self.form.fields[RECIPE].chosen_index()
    }

    /// What the form asks to be opened; none while something is wrong, which then stands beside it.
    pub(super) fn parse_opening(&mut self, recipes: &[Arc<Recipe>]) -> Option<PanelOpening> {
        let form = &mut self.form;
        let label = form.parse_label(LABEL);
        let size = parse_size(form.value(SIZE)).map_err(|error| form.reject(SIZE, error.to_string()));
        let count = match form.value(COUNT).trim().parse::<u16>() {
            Ok(count) if (1..=COUNT_MAX).contains(&count) => Some(count),
            Ok(_) | Err(_) => {
                form.reject(COUNT, format!("a whole number from 1 to {COUNT_MAX}"));
                None
            }
        };
        let recipe = recipes.get(form.fields[RECIPE].chosen_index());
        if recipe.is_none() {
            "there is no recipe to choose".clone_into(&mut form.error);
        }
        let grain = [None, Some(Grain::Width), Some(Grain::Height)];
        Some(PanelOpening {
            sheet: None,
            label: label?,
            size: size.ok()?,
            support: Support::from_name(form.value(SUPPORT))?,
            grain: grain.get(form.fields[GRAIN].chosen_index()).copied().flatten(),
            paint: Paint::from_name(form.value(PAINT))?,
            recipe: Arc::clone(recipe?),
            count: count?,
            at: None,
            witness: false,
        })
    }
}

/// The place of a recipe that suits oil and has titanium white where this one has zinc white.
pub(super) fn find_recipe_without_zinc(recipes: &[Arc<Recipe>]) -> Option<usize> {
    let has = |r: &Recipe, filler| r.gesso.fillers.iter().any(|f| f.filler == filler);
    recipes
        .iter()
        .position(|r| r.suits.contains(&Paint::Oil) && has(r, Filler::TitaniumWhite) && !has(r, Filler::ZincWhite))
}
