//! What of the pots lies over the bench, and the form that opens one.

use super::making_model::MakingModel;
use crate::app::form::{Form, InputField};
use crate::app::message::InputMode;
use crate::bench::{PotOpening, Snapshot};
use crate::craft::recipe::Recipe;
use crate::text::parse_volume;
use crate::units::Id;
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
    Advice {
        /// How many lines are scrolled away at the top.
        offset: usize,
    },
}

impl PotsOverlay {
    /// Where the keys go.
    pub const fn input_mode(&self) -> InputMode {
        match self {
            PotsOverlay::List { .. } | PotsOverlay::Making(_) => InputMode::Pots,
            PotsOverlay::Advice { .. } => InputMode::List,
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
    pub(super) fn new(pots: &[&Snapshot<Pot>], recipes: &[Arc<Recipe>], recipe_here: Option<&str>) -> PotForm {
        let sizes: Vec<&Snapshot<Pot>> =
            pots.iter().copied().filter(|t| t.is_in_use() && is_of_kind(t, PotKind::Size)).collect();
        let label = |t: &&Snapshot<Pot>| t.story.as_ref().map_or_else(String::new, |s| s.pot().opened().label.clone());
        let parents: Vec<String> =
            std::iter::once("no pot recorded".to_owned()).chain(sizes.iter().map(label)).collect();
        let kinds = [PotKind::Size, PotKind::Gesso].map(|k| k.name().to_owned());
        let gesso = !sizes.is_empty();
        let names: Vec<String> = recipes.iter().map(|r| r.name.clone()).collect();
        let recipe = recipe_here.and_then(|name| names.iter().position(|n| *n == name)).unwrap_or(0);
        let first = if gesso { PotKind::Gesso } else { PotKind::Size };
        let mut fields = vec![
            InputField::new_suggestion("Label", &find_free_label(pots, first), "type your own name for it"),
            InputField::new_choice(
                "Kind",
                kinds,
                "size is glue and water, for the wood and for gesso; gesso has powders in it",
            ),
            InputField::new_choice("Poured from", parents, "the pot of glue size it is made from"),
            InputField::new_choice("Recipe", names, "the plan of the batch"),
            InputField::new_text("Glue size", "", "how much of it is in the pot, as in 400ml; may be left empty"),
            InputField::new_text("Glue lot", "", "as printed on the packet; may be left empty"),
        ];
        fields[KIND].choose(usize::from(gesso));
        fields[PARENT].choose(usize::from(gesso));
        fields[RECIPE].choose(recipe);
        PotForm { form: Form::new(fields), parents: sizes.iter().map(|t| t.id.clone()).collect() }
    }

    /// What the form asks to be opened; none while something is wrong, which then stands beside it.
    pub(super) fn parse_opening(&mut self, recipes: &[Arc<Recipe>]) -> Option<PotOpening> {
        let form = &mut self.form;
        let label = form.parse_label(LABEL)?;
        let size_ml = match form.value(ML).trim() {
            "" => None,
            text => Some(parse_volume(text).map_err(|error| form.reject(ML, error.to_string())).ok()?),
        };
        let lot = Some(form.value(LOT).trim().to_owned()).filter(|l| !l.is_empty());
        let parent = form.fields[PARENT].chosen_index().checked_sub(1).and_then(|at| self.parents.get(at)).cloned();
        Some(PotOpening {
            filler_lot: None,
            label,
            kind: PotKind::from_name(form.value(KIND))?,
            parent,
            recipe: Arc::clone(recipes.get(form.fields[RECIPE].chosen_index())?),
            size_ml,
            lot,
            at: None,
            for_group: None,
        })
    }
}

fn is_of_kind(snapshot: &Snapshot<Pot>, kind: PotKind) -> bool {
    snapshot.story.as_ref().is_some_and(|s| s.pot().opened().kind == kind)
}

/// A name no pot has yet: "gesso", "gesso 2" ...
pub(super) fn find_free_label(pots: &[&Snapshot<Pot>], kind: PotKind) -> String {
    let taken: Vec<String> =
        pots.iter().filter_map(|t| t.story.as_ref()).map(|s| s.pot().opened().label.to_lowercase()).collect();
    let name = |n: u32| if n == 1 { kind.name().to_owned() } else { format!("{} {n}", kind.name()) };
    (1..).map(name).find(|name| !taken.contains(name)).expect("there are more numbers than pots")
}
