//! The views that lie over the bench, made from what is true.

use super::context::ViewContext;
use super::status_line::{build_status_line, format_ringing, is_saving_shown};
use crate::app::form::{Form, InputField};
use crate::app::keymap::{KeyGroup, KeyHint, Keymap};
use crate::app::message::{InputMode, Message};
use crate::app::model::{
    ClockQuestion, FlawList, LineEditor, MapEditor, Model, Overlay, PanelForm, PotForm, ShelfChoice, ShelfTask,
    area_of_digit,
};
use crate::app::overlay_view_models::{
    FormAside, FormField, FormViewModel, KeysViewModel, MapViewModel, StoryLine, StoryViewModel,
};
use crate::app::sitting::{SittingModel, SittingViewModel};
use crate::text::{
    UnitSystem, format_date, format_day_and_time, format_duration, format_size, format_times_once_a_day,
};
use crate::units::{Moment, Span, Stamp};
use crate::work::advice::fact_text;
use crate::work::advice::recipe_words::describe_recipe;
use crate::work::panel::event::{Flaw, PanelEvent};
use crate::work::panel::story::PanelStory;
use crate::work::plan::calendar::kept::ActName;
use chrono::{FixedOffset, Offset, TimeZone, Utc};
use std::fmt::Display;

/// An act this near to its hour was done as planned (assumed).
const PLANNED_WITHIN: Span = Span::from_s(5 * 60);

/// Every key, in groups; first those that do something now.
pub fn build_keys_view_model(keymap: &Keymap, usable_now: Vec<KeyHint>, offset: usize) -> KeysViewModel {
    let now = (!usable_now.is_empty()).then(|| ("Now".to_owned(), usable_now));
    let groups = KeyGroup::ALL.into_iter().filter(|group| group.is_on_sheet());
    let groups = groups.map(|group| (group.heading().to_owned(), keymap.group_hints(group)));
    KeysViewModel { groups: now.into_iter().chain(groups).collect(), offset }
}

/// The keys of a form of several lines.
fn form_key_hints(keymap: &Keymap, accept: &str, leave: &str) -> Vec<KeyHint> {
    let key = |messages: &[Message], words| keymap.hint_as(InputMode::Form, messages, words);
    vec![
        key(&[Message::Accept], accept),
        key(&[Message::Up, Message::Down], "field"),
        key(&[Message::Left, Message::Right], "change"),
        key(&[Message::Leave], leave),
    ]
}

/// The keys of a line that is typed.
fn line_key_hints(keymap: &Keymap) -> Vec<KeyHint> {
    let key = |message, words| keymap.hint_as(InputMode::Line, &[message], words);
    vec![key(Message::Accept, "keep"), key(Message::Leave, "forget")]
}

/// The story of the panel shown.
pub fn build_story_view_model<Z: TimeZone<Offset: Display>>(
    model: &Model,
    offset: usize,
    at: &ViewContext<'_, Z>,
) -> StoryViewModel {
    let Some(story) = model.story() else { return StoryViewModel::default() };
    let remarks = model.pot_survey().panel_remarks(story);
    let remarks = |seq| remarks.iter().filter(move |(of, _)| *of == seq).map(|(_, remark)| remark.to_string());
    let facts = fact_text::format_story(story, at.units);
    let stamps: Vec<Stamp> = facts.iter().map(|fact| fact.at).collect();
    let times = format_times_once_a_day(&stamps, at.now.wall, at.zone);
    let line = |(when, fact): (String, fact_text::FactText)| StoryLine {
        when,
        what: fact.text,
        deviation: {
            let planned = planned_against(model, story, fact.seq, at);
            fact.remarks.iter().cloned().chain(remarks(fact.seq)).chain(planned).collect::<Vec<_>>().join(", ")
        },
        why: fact.reason.or_else(|| fact.no_effect_reason.clone().filter(|n| n != "taken back")).unwrap_or_default(),
        undone: fact.no_effect_reason.is_some(),
    };
    let rings = format_ringing(model);
    StoryViewModel {
        title: rings.unwrap_or_else(|| format!("The story of {}", story.panel().opened().label)),
        facts: times.into_iter().zip(facts).map(line).collect(),
        offset,
        keys: vec![
            model.keymap().hint_as(InputMode::List, &[Message::Up, Message::Down], "scroll"),
            model.keymap().hint_as(InputMode::List, &[Message::Leave], "back to the bench"),
        ],
    }
}

/// For when that act was planned, and by how much it came later or earlier; nothing where no plan is kept that has it.
fn planned_against<Z: TimeZone<Offset: Display>>(
    model: &Model,
    story: &PanelStory,
    seq: u64,
    at: &ViewContext<'_, Z>,
) -> Option<String> {
    let entry = story.entries().iter().find(|entry| entry.seq == seq)?;
    let PanelEvent::Done(done) = &entry.event else { return None };
    let stage = done.stage?;
    let panel = story.panel().opened().id.clone();
    let name = ActName::Board { panel, kind: stage.kind, face: stage.face, number: stage.number };
    let planned = model.kept_plan()?.find(&name)?.end;
    let off = entry.at - planned;
    let by = format_duration(off.abs());
    let how = match off.abs() <= PLANNED_WITHIN {
        true => return Some("as planned".to_owned()),
        false if off > Span::ZERO => "later",
        false => "earlier",
    };
    Some(format!("planned {}, {by} {how}", format_day_and_time(planned, at.zone)))
}

/// What must be told whatever is looked at: what rings, what is being saved, what went wrong.
fn find_urgent_text(model: &Model, now: Moment) -> Option<String> {
    build_status_line(model, now)
        .filter(|notice| notice.urgent || is_saving_shown(model, now))
        .map(|notice| notice.text)
}

/// The map of a check.
pub fn build_map_view_model(model: &Model, map: &MapEditor, now: Moment) -> MapViewModel {
    let opened = model.story().map(|s| s.panel().opened());
    let key = |messages: &[Message], words| model.keymap().hint_as(InputMode::Map, messages, words);
    let arrows = [Message::Up, Message::Down, Message::Left, Message::Right];
    let areas: Vec<Message> = arrows.into_iter().chain((1..=9).map(Message::SelectArea)).collect();
    MapViewModel {
        title: format!("{}: {}", opened.map_or("", |o| &o.label), map.stage),
        size_mm: opened.map_or((1.0, 1.0), |o| (o.size.width.mm(), o.size.height.mm())),
        areas: map.areas.clone(),
        previous_areas: map.previous_areas.clone(),
        cursor: map.cursor,
        digits: (1..=9).map(|digit| (digit, area_of_digit(digit, map.areas.len(), map.areas[0].len()))).collect(),
        hint: find_urgent_text(model, now).unwrap_or_else(|| map.hint.describe(model.keymap())),
        keys: vec![
            key(&[Message::Advance], "none, some, much"),
            key(&[Message::ClearMap], "white all over"),
            key(&[Message::Accept], "record"),
            key(&areas, "area"),
            key(&[Message::Leave], "not yet"),
        ],
    }
}

/// The sitting over the finished panels. What rings, what is being saved and what went wrong is said here too.
pub fn build_sitting_view_model(model: &Model, sitting: &SittingModel, now: Moment) -> SittingViewModel {
    let mut sheet = sitting.build_view_model(model.keymap(), now.wall, model.units());
    match build_status_line(model, now) {
        Some(notice) if notice.urgent && !sheet.alert.is_empty() => {
            sheet.alert = format!("{} - {}", notice.text, sheet.alert);
        }
        Some(notice) if notice.urgent || sheet.alert.is_empty() => sheet.alert = notice.text,
        Some(_) | None => {}
    }
    sheet
}

/// A form, a line to be typed, or a choice.
pub trait ToFormViewModel {
    /// The form it is drawn as.
    fn to_form_view_model(&self, keymap: &Keymap) -> FormViewModel;
}

/// What is drawn for a form, a line to be typed, or a choice. What rings, what is being saved and what went wrong is said
/// here too: none of it may be hidden by what lies over the bench.
pub fn build_form_view_model(
    model: &Model,
    of: &impl ToFormViewModel,
    now: Moment,
    units: UnitSystem,
) -> FormViewModel {
    let mut form = of.to_form_view_model(model.keymap());
    // On an empty bench the form is all there is.
    let looks = model.studio.reminders.due_count();
    if looks > 0 && model.story().is_none() && matches!(model.overlay, Overlay::Form(_)) {
        let words = format!("{looks} to inspect");
        let inspect = model.keymap().hint_as(InputMode::Form, &[Message::OpenSitting], &words);
        form.keys.insert(1.min(form.keys.len()), inspect);
    }
    if let (Overlay::Shelf(_), Some(first)) = (&model.overlay, form.fields.first_mut()) {
        first.help = model.studio.reminders.due_messages().join("; ");
    }
    if let Overlay::Form(panel_form) = &model.overlay {
        form.aside = Some(build_form_aside(model, panel_form, units));
    }
    if let Some(notice) = build_status_line(model, now).filter(|n| n.urgent || form.alert.is_empty()) {
        form.alert = if form.alert.is_empty() { notice.text } else { format!("{} - {}", notice.text, form.alert) };
    }
    form
}

/// The board of the size typed, and what the recipe chosen means for it.
fn build_form_aside(model: &Model, form: &PanelForm, units: UnitSystem) -> FormAside {
    let size = form.size();
    let size_text = size.map(|size| format_size(size, units));
    let recipe = model.recipes().get(form.recipe_index());
    let means = recipe.map(|recipe| describe_recipe(recipe)).unwrap_or_default();
    FormAside {
        size_mm: size.map(|size| (size.width.mm(), size.height.mm())),
        lines: size_text.into_iter().chain(means).collect(),
    }
}

/// A form as it is drawn.
fn build_filled_form(title: &str, form: &Form, alert: String, keys: Vec<KeyHint>) -> FormViewModel {
    let field = |f: &InputField| FormField {
        label: f.label.to_owned(),
        value: f.display_value(),
        cursor: f.cursor(),
        help: f.help.to_owned(),
        error: f.error.clone(),
    };
    FormViewModel {
        title: title.to_owned(),
        fields: form.fields.iter().map(field).collect(),
        focus: form.focus,
        aside: None,
        alert,
        keys,
    }
}

impl ToFormViewModel for PanelForm {
    fn to_form_view_model(&self, keymap: &Keymap) -> FormViewModel {
        let (problem, keys) = match &self.offer {
            None => (self.form.error.clone(), form_key_hints(keymap, "open the panel", "leave")),
            Some(offer) => {
                let [keep, take] =
                    [Message::Accept, Message::TakeOffer].map(|message| keymap.label(&message, InputMode::Offer));
                (
                    format!("{} {keep} keeps this recipe, {take} takes {}.", offer.caution, offer.name),
                    keymap.screen_hints(InputMode::Offer, KeyGroup::Offer),
                )
            }
        };
        build_filled_form("A panel for the bench", &self.form, problem, keys)
    }
}

impl ToFormViewModel for PotForm {
    fn to_form_view_model(&self, keymap: &Keymap) -> FormViewModel {
        let keys = form_key_hints(keymap, "open the pot", "back");
        build_filled_form("A pot", &self.form, self.form.error.clone(), keys)
    }
}

impl ToFormViewModel for LineEditor {
    fn to_form_view_model(&self, keymap: &Keymap) -> FormViewModel {
        FormViewModel {
            title: self.purpose.prompt().to_owned(),
            fields: vec![FormField {
                label: self.purpose.prompt().to_owned(),
                value: self.input.value().to_owned(),
                cursor: self.input.cursor(),
                help: self.purpose.help(keymap),
                error: self.error.clone(),
            }],
            focus: 0,
            aside: None,
            alert: String::new(),
            keys: line_key_hints(keymap),
        }
    }
}

impl ToFormViewModel for ClockQuestion {
    fn to_form_view_model(&self, keymap: &Keymap) -> FormViewModel {
        let field = |label: &str, value: &str| FormField {
            label: label.to_owned(),
            value: value.to_owned(),
            ..FormField::default()
        };
        let key = |messages: &[Message], words| keymap.hint_as(InputMode::List, messages, words);
        let zone = FixedOffset::east_opt(self.clock.offset_min * 60).unwrap_or(Utc.fix());
        let day = |at| format_date(at, &zone);
        FormViewModel {
            title: format!("Clock: {}. Newest entry: {}. Is the clock right?", day(self.clock.wall), day(self.newest)),
            fields: vec![
                field("yes", "it is right; go on"),
                field("no", "it is wrong: times run on from the newest entry"),
            ],
            focus: usize::from(!self.is_right),
            aside: None,
            alert: String::new(),
            keys: vec![
                key(&[Message::Up, Message::Down], "choose"),
                key(&[Message::Accept], "answer"),
                key(&[Message::Leave], "go on"),
            ],
        }
    }
}

impl ToFormViewModel for ShelfChoice {
    fn to_form_view_model(&self, keymap: &Keymap) -> FormViewModel {
        let field = |task: ShelfTask| {
            let (label, value) = match task {
                ShelfTask::LookOver => ("look them over", "one question across all finished panels, then the next"),
                ShelfTask::Compare => ("compare", "side by side: what was done differently, and its outcome"),
                ShelfTask::NewPanel => ("a new panel", "opens a board for the bench"),
            };
            FormField { label: label.to_owned(), value: value.to_owned(), ..FormField::default() }
        };
        let key = |messages: &[Message], words| keymap.hint_as(InputMode::List, messages, words);
        FormViewModel {
            title: "The shelf: no panel is in work".to_owned(),
            fields: ShelfTask::ALL.map(field).to_vec(),
            focus: self.cursor,
            aside: None,
            alert: String::new(),
            keys: vec![
                key(&[Message::Up, Message::Down], "choose"),
                key(&[Message::Accept], "go there"),
                key(&[Message::Leave], "leave"),
            ],
        }
    }
}

impl ToFormViewModel for FlawList {
    fn to_form_view_model(&self, keymap: &Keymap) -> FormViewModel {
        let means = |flaw: Flaw| match flaw {
            Flaw::Lumpy => "lumps or skin went on with it",
            Flaw::Thick => "too thick",
            Flaw::Thin => "too thin, or it skipped",
            Flaw::Direction => "laid in the wrong direction",
            Flaw::Other => "something else",
        };
        let field = |flaw: Flaw| FormField {
            label: flaw.name().to_owned(),
            value: means(flaw).to_owned(),
            ..FormField::default()
        };
        let key = |messages: &[Message], words| keymap.hint_as(InputMode::List, messages, words);
        FormViewModel {
            title: "Do the last act again: what was wrong?".to_owned(),
            fields: Flaw::ALL.map(field).to_vec(),
            focus: self.cursor,
            aside: None,
            alert: String::new(),
            keys: vec![
                key(&[Message::Up, Message::Down], "choose"),
                key(&[Message::Accept], "do it again"),
                key(&[Message::Leave], "leave it"),
            ],
        }
    }
}
