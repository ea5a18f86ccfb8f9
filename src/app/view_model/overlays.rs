//! The views that lie over the bench, made from what is true.

use super::context::ViewContext;
use super::status_line::{build_status_line, format_ringing, is_saving_shown};
use crate::app::bench_view_model::KeyHint;
use crate::app::model::{FlawList, LineEditor, MapEditor, Model, Overlay, PanelForm};
use crate::app::overlay_view_models::{
    FormField, FormViewModel, KeysViewModel, MapViewModel, StoryLine, StoryViewModel,
};
use crate::app::sitting::{SittingModel, SittingViewModel};
use crate::text::format_when;
use crate::units::Moment;
use crate::work::advice::fact_text;
use crate::work::panel::event::Flaw;
use chrono::TimeZone;
use std::fmt::Display;

pub(super) fn new_key_hint(key: &str, does: &str) -> KeyHint {
    KeyHint { key: key.to_owned(), description: does.to_owned() }
}

/// Every key, in groups.
pub fn build_keys_view_model(offset: usize) -> KeysViewModel {
    let group =
        |name: &str, keys: &[(&str, &str)]| (name.to_owned(), keys.iter().map(|(k, d)| new_key_hint(k, d)).collect());
    let groups = vec![
        group(
            "Recording",
            &[
                ("Space Enter PageDown", "the act at hand is done; in a wait it asks once more"),
                ("s", "the act at hand is begun"),
                ("d", "the gloss is gone from the last coat"),
                ("o", "the other direction, for the next act"),
                ("e", "one more of the act last done"),
                ("r", "do the act last done again, and why"),
                ("k", "leave the act at hand out, or end a cure, drying or rest"),
                ("a", "away from the bench, or back"),
                ("w", "write a note"),
                ("g", "the panel's weight"),
                ("u", "take the last fact back"),
                ("G", "give the panel up (asks twice)"),
            ],
        ),
        group("Straight after a press", &[("Left Right", "it happened a minute earlier, or later again")]),
        group(
            "The check",
            &[
                ("arrows", "to an area"),
                ("Space", "none, some, much"),
                ("1-9", "the area where that key lies on a number pad"),
                ("Enter", "record the map"),
                ("w", "white all over: nothing stays grey"),
            ],
        ),
        group(
            "Looking",
            &[
                ("Tab Shift-Tab", "the next panel, the one before"),
                ("t", "the panel's story"),
                ("l", "look the finished panels over: one question across all of them, then the next"),
                ("y", "panels side by side: what was done differently, and what came of it"),
                ("f", "only what can be read from afar"),
                ("+", "open another panel"),
                ("?", "this list"),
                ("Ctrl-Z", "give the terminal back for a while"),
                ("q", "leave"),
            ],
        ),
        group(
            "The pot",
            &[
                ("p", "the pot in use into the bath, or out of it"),
                ("P", "the pots: which is in use, what happened to one, the making"),
                ("h", "the air of the room: 20C 50%"),
                ("i", "all that is to be known before this act, with sources"),
                ("x", "put away what is said of a gap"),
            ],
        ),
        group(
            "The sitting over finished panels",
            &[
                ("Enter Space", "the next board; after the last, the next question"),
                ("arrows Tab", "boards and questions"),
                ("0-9 letters", "answer; what is left alone was not looked at"),
                ("Delete", "not looked at after all"),
                ("R Ctrl-S", "record a look for each board with an answer"),
                ("u", "take back what was just recorded of this board"),
                ("d", "only those due, or all"),
            ],
        ),
        group("An alarm", &[("any key", "quiets it, and does nothing else")]),
    ];
    KeysViewModel { groups, offset }
}

/// The story of the panel shown.
pub fn build_story_view_model<Z: TimeZone<Offset: Display>>(
    view: &Model,
    offset: usize,
    at: &ViewContext<'_, Z>,
) -> StoryViewModel {
    let Some(story) = view.story() else { return StoryViewModel::default() };
    let remarks = view.pot_survey().panel_remarks(story);
    let remarks = |seq| remarks.iter().filter(move |(of, _)| *of == seq).map(|(_, remark)| remark.to_string());
    let line = |fact: fact_text::FactText| StoryLine {
        when: format_when(fact.at, at.now.wall, at.zone),
        what: fact.text,
        deviation: fact.deviations.iter().cloned().chain(remarks(fact.seq)).collect::<Vec<_>>().join(", "),
        why: fact.reason.or_else(|| fact.no_effect_reason.clone().filter(|n| n != "taken back")).unwrap_or_default(),
        undone: fact.no_effect_reason.is_some(),
    };
    let rings = format_ringing(view);
    StoryViewModel {
        title: rings.unwrap_or_else(|| format!("The story of {}", story.panel().opened().label)),
        facts: fact_text::format_story(story).into_iter().map(line).collect(),
        offset,
        keys: vec![new_key_hint("Up Down", "scroll"), new_key_hint("Esc", "back to the bench")],
    }
}

/// What must be told whatever is looked at: what rings, what is being saved, what went wrong.
fn find_urgent_text(view: &Model, now: Moment) -> Option<String> {
    build_status_line(view, now).filter(|notice| notice.urgent || is_saving_shown(view, now)).map(|notice| notice.text)
}

/// The map of a check.
pub fn build_map_view_model(view: &Model, map: &MapEditor, now: Moment) -> MapViewModel {
    let opened = view.story().map(|s| s.panel().opened());
    MapViewModel {
        title: format!("{}: {}", opened.map_or("", |o| &o.label), map.stage),
        size_mm: opened.map_or((1.0, 1.0), |o| (o.size.width.mm(), o.size.height.mm())),
        areas: map.areas.clone(),
        previous_areas: map.previous_areas.clone(),
        cursor: map.cursor,
        hint: find_urgent_text(view, now).unwrap_or_else(|| map.hint.clone()),
        keys: vec![
            new_key_hint("arrows 1-9", "area"),
            new_key_hint("Space", "none, some, much"),
            new_key_hint("Enter", "record"),
            new_key_hint("w", "white all over"),
            new_key_hint("Esc", "not yet"),
        ],
    }
}

/// The sitting over the finished panels. What rings, what is being saved and what went wrong is said here too.
pub fn build_sitting_view_model(view: &Model, sitting: &SittingModel, now: Moment) -> SittingViewModel {
    let mut sheet = sitting.build_view_model(now.wall);
    match build_status_line(view, now) {
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
    fn to_form_view_model(&self) -> FormViewModel;
}

/// What is drawn for a form, a line to be typed, or a choice. What rings, what is being saved and what went wrong is said
/// here too: none of it may be hidden by what lies over the bench.
pub fn build_form_view_model(view: &Model, of: &impl ToFormViewModel, now: Moment) -> FormViewModel {
    let mut form = of.to_form_view_model();
    // On an empty bench the form is all there is.
    let looks = view.studio.reminders.due_count();
    if looks > 0 && view.story().is_none() && matches!(view.overlay, Overlay::Form(_)) {
        form.keys.insert(1.min(form.keys.len()), new_key_hint("F2", &format!("{looks} to inspect")));
    }
    if let Some(notice) = build_status_line(view, now).filter(|n| n.urgent || form.alert.is_empty()) {
        form.alert = if form.alert.is_empty() { notice.text } else { format!("{} - {}", notice.text, form.alert) };
    }
    form
}

impl ToFormViewModel for PanelForm {
    fn to_form_view_model(&self) -> FormViewModel {
        let field = |f: &crate::app::model::InputField| FormField {
            label: f.label.to_owned(),
            value: f.display_value(),
            cursor: f.cursor(),
            help: f.help.to_owned(),
            error: f.error.clone(),
        };
        let (problem, keys) = match &self.offer {
            None => (
                self.error.clone(),
                vec![
                    new_key_hint("Enter", "open the panel"),
                    new_key_hint("Up Down", "field"),
                    new_key_hint("Left Right", "change"),
                    new_key_hint("Esc", "leave"),
                ],
            ),
            Some(offer) => (
                format!("{} Enter keeps this recipe, t takes {}.", offer.caution, offer.name),
                vec![
                    new_key_hint("Enter", "keep it"),
                    new_key_hint("t", "take the other"),
                    new_key_hint("Esc", "back to the form"),
                ],
            ),
        };
        FormViewModel {
            title: "A panel for the bench".to_owned(),
            fields: self.fields.iter().map(field).collect(),
            focus: self.focus,
            alert: problem,
            keys,
        }
    }
}

impl ToFormViewModel for LineEditor {
    fn to_form_view_model(&self) -> FormViewModel {
        FormViewModel {
            title: self.purpose.prompt().to_owned(),
            fields: vec![FormField {
                label: self.purpose.prompt().to_owned(),
                value: self.input.value().to_owned(),
                cursor: self.input.cursor(),
                help: self.purpose.help().to_owned(),
                error: self.error.clone(),
            }],
            focus: 0,
            alert: String::new(),
            keys: vec![new_key_hint("Enter", "keep"), new_key_hint("Esc", "forget")],
        }
    }
}

impl ToFormViewModel for FlawList {
    fn to_form_view_model(&self) -> FormViewModel {
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
        FormViewModel {
            title: "Do the last act again: what was wrong?".to_owned(),
            fields: Flaw::ALL.map(field).to_vec(),
            focus: self.cursor,
            alert: String::new(),
            keys: vec![
                new_key_hint("Up Down", "choose"),
                new_key_hint("Enter", "do it again"),
                new_key_hint("Esc", "leave it"),
            ],
        }
    }
}
