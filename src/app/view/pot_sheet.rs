//! The pots sheet: which pot is in use, what happened to one, a pot opened, a line typed.
//!
//! Absent on purpose: how a batch is made (`making`), drawing.

use super::form::{Answer, Field};
use super::lines::edit;
use super::making::Making;
use super::pots::PotRequest;
use super::{Over, Request, View};
use crate::app::action::{Action, Typing};
use crate::bench::{PotOpening, Told};
use crate::craft::recipe::Recipe;
use crate::text::{parse_humidity, parse_mass, parse_temperature, parse_volume};
use crate::units::{Id, Moment};
use crate::work::air::Reading;
use crate::work::pot::act::Act;
use crate::work::pot::event::Kind;
use crate::work::pot::fold::Pot;
use std::sync::Arc;
use tui_input::Input;

/// What of the pots lies over the bench.
#[derive(Debug, Clone, PartialEq)]
pub enum PotsOver {
    /// Every pot, the cursor on one.
    List {
        /// The place of the cursor.
        at: usize,
    },
    /// The form for a pot.
    Form(Box<PotForm>),
    /// A line to be typed.
    Line(PotLine),
    /// A batch being made.
    Making(Making),
    /// What is to be known before the coat at hand, and where it comes from.
    Told,
}

impl PotsOver {
    /// Where the keys go.
    pub const fn typing(&self) -> Typing {
        match self {
            PotsOver::List { .. } | PotsOver::Making(_) | PotsOver::Told => Typing::Pots,
            PotsOver::Form(_) => Typing::Form,
            PotsOver::Line(_) => Typing::Line,
        }
    }
}

/// What a line is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PotPurpose {
    /// A thermometer reading.
    Temp,
    /// Water given back.
    Water,
    /// The pot's weight.
    Weight,
    /// A note.
    Note,
    /// Why it is thrown away.
    Discard,
    /// The air of the room.
    Air,
}

impl PotPurpose {
    /// What is asked.
    pub const fn question(self) -> &'static str {
        match self {
            PotPurpose::Temp => "The thermometer says",
            PotPurpose::Water => "Water given back",
            PotPurpose::Weight => "The pot weighs",
            PotPurpose::Note => "A note",
            PotPurpose::Discard => "Thrown away, because",
            PotPurpose::Air => "The air of the room",
        }
    }
    /// A word of help.
    pub const fn help(self) -> &'static str {
        match self {
            PotPurpose::Temp => "with its unit: 48C or 118F",
            PotPurpose::Water => "with its unit: 12g",
            PotPurpose::Weight => "vessel and brush with it, always the same way: 812g",
            PotPurpose::Note => "Enter keeps it, Esc forgets it",
            PotPurpose::Discard => "a word or two: smells, mouldy, does not gel",
            PotPurpose::Air => "temperature and humidity: 20C 50%",
        }
    }
}

/// A line being typed.
#[derive(Debug, Clone)]
pub struct PotLine {
    /// What it is for.
    pub purpose: PotPurpose,
    /// Of which pot; none for the air.
    pub pot: Option<Id>,
    /// What stands there.
    pub input: Input,
    /// What is wrong with it.
    pub problem: String,
}

impl PartialEq for PotLine {
    fn eq(&self, other: &Self) -> bool {
        (self.purpose, &self.pot, self.input.value(), &self.problem)
            == (other.purpose, &other.pot, other.input.value(), &other.problem)
    }
}

/// What an accepted line says.
enum Typed {
    Act(Act),
    Air(Reading),
}

impl PotLine {
    /// An empty line for that.
    pub fn new(purpose: PotPurpose, pot: Option<Id>) -> PotLine {
        PotLine { purpose, pot, input: Input::default(), problem: String::new() }
    }

    /// What was typed, or what is wrong with it.
    fn read(&self, now: Moment) -> Result<Typed, String> {
        let text = self.input.value().trim();
        if text.is_empty() {
            return Err("it needs a word or two; Esc forgets it".to_owned());
        }
        Ok(Typed::Act(match self.purpose {
            PotPurpose::Temp => Act::Temp(parse_temperature(text).map_err(|e| e.to_string())?),
            PotPurpose::Water => Act::Water(parse_mass(text).map_err(|e| e.to_string())?),
            PotPurpose::Weight => Act::Weigh(parse_mass(text).map_err(|e| e.to_string())?),
            PotPurpose::Note => Act::Note(text.to_owned()),
            PotPurpose::Discard => Act::Discard(text.to_owned()),
            PotPurpose::Air => return air(text, now).map(Typed::Air),
        }))
    }
}

/// A reading of the air as typed: a temperature and a humidity.
fn air(text: &str, now: Moment) -> Result<Reading, String> {
    let (temp, rh) = text
        .split_once(|c: char| c.is_whitespace() || c == ',')
        .ok_or_else(|| "it needs both, as in 20C 50%".to_owned())?;
    let temp = parse_temperature(temp.trim()).map_err(|e| e.to_string())?;
    let rh = parse_humidity(rh.trim()).map_err(|e| e.to_string())?;
    Reading::new(now.wall, temp, rh).map_err(|e| e.to_string())
}

/// The form that opens a pot.
#[derive(Debug, Clone, PartialEq)]
pub struct PotForm {
    /// Its fields from the top.
    pub fields: Vec<Field>,
    /// Which one the typing goes to.
    pub focus: usize,
    /// What is wrong with the form as a whole.
    pub problem: String,
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
    fn first(view: &View) -> PotForm {
        let sizes: Vec<&Told<Pot>> = view.pot_list().into_iter().filter(|t| t.in_use() && is(t, Kind::Size)).collect();
        let label = |t: &&Told<Pot>| t.story.as_ref().map_or_else(String::new, |s| s.pot().opened().label.clone());
        let parents: Vec<String> =
            std::iter::once("no pot recorded".to_owned()).chain(sizes.iter().map(label)).collect();
        let kinds = [Kind::Size, Kind::Gesso].map(|k| k.name().to_owned());
        let gesso = !sizes.is_empty();
        let here = view.story().map(|s| s.panel().opened().recipe.name.clone());
        let names: Vec<String> = view.recipes().iter().map(|r| r.name.clone()).collect();
        let recipe = here.and_then(|name| names.iter().position(|n| *n == name)).unwrap_or(0);
        let first = if gesso { Kind::Gesso } else { Kind::Size };
        let mut fields = vec![
            Field::text("Label", &free_label(view, first), "what you call it"),
            Field::choice("Kind", kinds, "size is glue and water; gesso has powders in it"),
            Field::choice("Poured from", parents, "the pot of size its glue comes from"),
            Field::choice("Recipe", names, "the plan of the batch"),
            Field::text("Size", "", "how much size is in it, as in 400ml; may be left empty"),
            Field::text("Glue lot", "", "as printed on the packet; may be left empty"),
        ];
        choose(&mut fields[KIND], usize::from(gesso));
        choose(&mut fields[PARENT], usize::from(gesso));
        choose(&mut fields[RECIPE], recipe);
        PotForm { fields, focus: LABEL, problem: String::new(), parents: sizes.iter().map(|t| t.id.clone()).collect() }
    }

    /// What the form asks to be opened; none while something is wrong, which then stands beside it.
    fn opening(&mut self, recipes: &[Arc<Recipe>]) -> Option<PotOpening> {
        let label = self.fields[LABEL].value().trim().to_owned();
        if label.is_empty() {
            "it needs a name".clone_into(&mut self.fields[LABEL].problem);
            self.focus = LABEL;
            return None;
        }
        let ml = self.fields[ML].value().trim().to_owned();
        let size_ml = match ml.as_str() {
            "" => None,
            text => match parse_volume(text) {
                Ok(volume) => Some(volume),
                Err(why) => {
                    self.fields[ML].problem = why.to_string();
                    self.focus = ML;
                    return None;
                }
            },
        };
        let lot = Some(self.fields[LOT].value().trim().to_owned()).filter(|l| !l.is_empty());
        let parent = self.fields[PARENT].chosen().checked_sub(1).and_then(|at| self.parents.get(at)).cloned();
        Some(PotOpening {
            label,
            kind: Kind::named(self.fields[KIND].value())?,
            parent,
            recipe: Arc::clone(recipes.get(self.fields[RECIPE].chosen())?),
            size_ml,
            lot,
            at: None,
        })
    }
}

fn choose(field: &mut Field, place: usize) {
    if let Answer::Choice(words, at) = &mut field.answer {
        *at = place.min(words.len().saturating_sub(1));
    }
}

fn is(told: &Told<Pot>, kind: Kind) -> bool {
    told.story.as_ref().is_some_and(|s| s.pot().opened().kind == kind)
}

/// A name no pot has yet: "gesso", "gesso 2" ...
pub(super) fn free_label(view: &View, kind: Kind) -> String {
    let taken: Vec<String> = view
        .around()
        .pots
        .iter()
        .filter_map(|t| t.story.as_ref())
        .map(|s| s.pot().opened().label.to_lowercase())
        .collect();
    let name = |n: u32| if n == 1 { kind.name().to_owned() } else { format!("{} {n}", kind.name()) };
    (1..).map(name).find(|name| !taken.contains(name)).unwrap_or_default()
}

/// What a letter on the pots sheet does to the pot under the cursor.
enum Letter {
    Act(Act),
    Line(PotPurpose),
    UsedUp,
    Make,
}

fn letter(pot: &Pot, key: char) -> Option<Letter> {
    Some(match key {
        'p' => Letter::Act(pot.bath_act()),
        'o' => Letter::Act(Act::Soak),
        'l' => Letter::Act(Act::Liquid),
        'j' => Letter::Act(Act::Gelled),
        'r' => Letter::Act(Act::Made),
        's' => Letter::Act(Act::Strained),
        'u' => Letter::Act(Act::Undo { seen: None }),
        't' => Letter::Line(PotPurpose::Temp),
        'a' => Letter::Line(PotPurpose::Water),
        'g' => Letter::Line(PotPurpose::Weight),
        'w' => Letter::Line(PotPurpose::Note),
        'D' => Letter::Line(PotPurpose::Discard),
        'z' => Letter::UsedUp,
        'f' => Letter::Make,
        _ => return None,
    })
}

impl View {
    /// What a key does while something of the pots lies over the bench.
    pub(super) fn potting(&mut self, action: &Action, now: Moment) -> Vec<Request> {
        let Over::Pots(pots) = &self.over else { return Vec::new() };
        match pots {
            PotsOver::List { at } => self.listing_pots(*at, action, now),
            PotsOver::Form(_) => self.forming_pot(action, now),
            PotsOver::Line(_) => self.typing_pot_line(action, now),
            PotsOver::Making(_) => self.making(action, now),
            PotsOver::Told => {
                self.pots.gap.clear();
                self.over = Over::Nothing;
                Vec::new()
            }
        }
    }

    fn listing_pots(&mut self, at: usize, action: &Action, now: Moment) -> Vec<Request> {
        let last = self.pot_list().len().saturating_sub(1);
        let under = self.pot_list().get(at).map(|t| (t.id.clone(), t.in_use()));
        match action {
            Action::Up => self.over = Over::Pots(PotsOver::List { at: at.saturating_sub(1) }),
            Action::Down => self.over = Over::Pots(PotsOver::List { at: (at + 1).min(last) }),
            Action::Home => self.over = Over::Pots(PotsOver::List { at: 0 }),
            Action::End => self.over = Over::Pots(PotsOver::List { at: last }),
            Action::Leave => self.over = Over::Nothing,
            Action::Open => self.over = Over::Pots(PotsOver::Form(Box::new(PotForm::first(self)))),
            Action::Accept => match under {
                Some((id, true)) => {
                    self.choose_pot(&id);
                    self.over = Over::Nothing;
                }
                Some((_, false)) => self.say("this pot is used up or thrown away".to_owned(), false, now),
                None => {}
            },
            Action::PotLetter('f') if under.is_none() => self.begin_making(None, now),
            Action::PotLetter(key) => return self.pot_letter(under.map(|(id, _)| id), *key, now),
            _ => {}
        }
        Vec::new()
    }

    fn pot_letter(&mut self, id: Option<Id>, key: char, now: Moment) -> Vec<Request> {
        let Some(id) = id else {
            self.say("no pot is recorded; + opens one, f leads through the making".to_owned(), false, now);
            return Vec::new();
        };
        let story = self.around().pots.iter().find(|t| t.id == id).and_then(|t| t.story.clone());
        let Some(letter) = story.as_ref().and_then(|s| letter(s.pot(), key)) else { return Vec::new() };
        match letter {
            Letter::Act(Act::Undo { .. }) => {
                let seen = story.and_then(|s| s.last_standing().map(|e| e.seq));
                self.mark_pot(&id, Act::Undo { seen }, now)
            }
            Letter::Act(act) => self.mark_pot(&id, act, now),
            Letter::Line(purpose) => {
                self.over = Over::Pots(PotsOver::Line(PotLine::new(purpose, Some(id))));
                Vec::new()
            }
            Letter::UsedUp if self.asked(&Action::PotLetter('z')) => self.mark_pot(&id, Act::Empty, now),
            Letter::UsedUp => {
                self.ask(Action::PotLetter('z'), "used up: press z again if it is".to_owned(), now);
                Vec::new()
            }
            Letter::Make => {
                self.begin_making(Some(&id), now);
                Vec::new()
            }
        }
    }

    fn typing_pot_line(&mut self, action: &Action, now: Moment) -> Vec<Request> {
        let Over::Pots(PotsOver::Line(line)) = &mut self.over else { return Vec::new() };
        if edit(&mut line.input, action) {
            line.problem.clear();
            return Vec::new();
        }
        match action {
            Action::Leave => {
                self.leave_pot_line();
                Vec::new()
            }
            Action::Accept => self.accept_pot_line(now),
            _ => Vec::new(),
        }
    }

    /// Back to where the line was opened: the pots, or the bench for the air.
    fn leave_pot_line(&mut self) {
        let Over::Pots(PotsOver::Line(line)) = &self.over else { return };
        self.over = match &line.pot {
            Some(id) => {
                let at = self.pot_list().iter().position(|t| t.id == *id).unwrap_or(0);
                Over::Pots(PotsOver::List { at })
            }
            None => Over::Nothing,
        };
    }

    fn accept_pot_line(&mut self, now: Moment) -> Vec<Request> {
        let Over::Pots(PotsOver::Line(line)) = &mut self.over else { return Vec::new() };
        match (line.read(now), line.pot.clone()) {
            (Err(why), _) => {
                line.problem = why;
                Vec::new()
            }
            (Ok(Typed::Air(reading)), _) => self.ask_pots(PotRequest::Air(reading), now),
            (Ok(Typed::Act(act)), Some(id)) => self.mark_pot(&id, act, now),
            (Ok(Typed::Act(_)), None) => Vec::new(),
        }
    }

    fn forming_pot(&mut self, action: &Action, now: Moment) -> Vec<Request> {
        let Over::Pots(PotsOver::Form(form)) = &mut self.over else { return Vec::new() };
        let fields = form.fields.len();
        match action {
            Action::Leave => {
                self.show_pots();
            }
            Action::Up => form.focus = (form.focus + fields - 1) % fields,
            Action::Down => form.focus = (form.focus + 1) % fields,
            Action::Accept => {
                let recipes = self.recipes().to_vec();
                let Over::Pots(PotsOver::Form(form)) = &mut self.over else { return Vec::new() };
                let Some(opening) = form.opening(&recipes) else { return Vec::new() };
                return self.ask_pots(PotRequest::Open(Box::new(opening)), now);
            }
            _ => {
                if let Some(field) = form.fields.get_mut(form.focus) {
                    field.change(action);
                }
                form.problem.clear();
            }
        }
        Vec::new()
    }

    /// What was typed is on disk and need not be kept open; a batch being made goes on.
    pub(super) fn after_pot_fact(&mut self) {
        let Over::Pots(pots) = &self.over else { return };
        match pots {
            PotsOver::Line(_) => self.leave_pot_line(),
            PotsOver::Making(_) => self.made_a_step(None),
            PotsOver::List { .. } | PotsOver::Form(_) | PotsOver::Told => {}
        }
    }

    /// The pot is open: the making goes on, or the list shows it.
    pub(super) fn after_pot_opened(&mut self, id: &Id) {
        let Over::Pots(pots) = &self.over else { return };
        match pots {
            PotsOver::Making(_) => self.made_a_step(Some(id)),
            PotsOver::Form(_) => {
                let at = self.pot_list().iter().position(|t| t.id == *id).unwrap_or(0);
                self.over = Over::Pots(PotsOver::List { at });
            }
            PotsOver::List { .. } | PotsOver::Line(_) | PotsOver::Told => {}
        }
    }
}
