//! The views that lie over the bench, made from what is true.

use super::Telling;
use crate::app::scene::KeyHint;
use crate::app::sheets::{FormField, FormView, KeysSheet, MapView, StoryLine, StoryView};
use crate::app::sitting::{Sitting, SittingSheet};
use crate::app::view::{Flaws, Form, Line, Map, Over, View};
use crate::text::when;
use crate::units::Moment;
use crate::work::advice::told;
use crate::work::panel::event::Flaw;
use chrono::TimeZone;
use std::fmt::Display;

pub(super) fn key(key: &str, does: &str) -> KeyHint {
    KeyHint { key: key.to_owned(), does: does.to_owned() }
}

/// Every key, in groups.
pub fn keys_sheet(offset: usize) -> KeysSheet {
    let group = |name: &str, keys: &[(&str, &str)]| (name.to_owned(), keys.iter().map(|(k, d)| key(k, d)).collect());
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
    KeysSheet { groups, offset }
}

/// The story of the panel shown.
pub fn story_view<Z: TimeZone<Offset: Display>>(view: &View, offset: usize, at: &Telling<'_, Z>) -> StoryView {
    let Some(story) = view.story() else { return StoryView::default() };
    let remarks = view.around().on_panel(story);
    let remarks = |seq| remarks.iter().filter(move |(of, _)| *of == seq).map(|(_, remark)| remark.to_string());
    let line = |fact: told::Told| StoryLine {
        when: when(fact.at, at.now.wall, at.zone),
        what: fact.what,
        off: fact.stood.iter().cloned().chain(remarks(fact.seq)).collect::<Vec<_>>().join(", "),
        why: fact.why.or_else(|| fact.no_effect.clone().filter(|n| n != "taken back")).unwrap_or_default(),
        undone: fact.no_effect.is_some(),
    };
    let rings = super::ringing(view);
    StoryView {
        title: rings.unwrap_or_else(|| format!("The story of {}", story.panel().opened().label)),
        facts: told::story(story).into_iter().map(line).collect(),
        offset,
        keys: vec![key("Up Down", "scroll"), key("Esc", "back to the bench")],
    }
}

/// What must be told whatever is looked at: what rings, what is being saved, what went wrong.
fn pressing(view: &View, now: Moment) -> Option<String> {
    super::notice(view, now).filter(|notice| notice.loud || super::saving(view, now)).map(|notice| notice.text)
}

/// The map of a check.
pub fn map_view(view: &View, map: &Map, now: Moment) -> MapView {
    let opened = view.story().map(|s| s.panel().opened());
    MapView {
        title: format!("{}: {}", opened.map_or("", |o| &o.label), map.stage),
        size_mm: opened.map_or((1.0, 1.0), |o| (o.size.width.mm(), o.size.height.mm())),
        now: map.areas.clone(),
        before: map.before.clone(),
        cursor: map.cursor,
        hint: pressing(view, now).unwrap_or_else(|| map.hint.clone()),
        keys: vec![
            key("arrows 1-9", "area"),
            key("Space", "none, some, much"),
            key("Enter", "record"),
            key("w", "white all over"),
            key("Esc", "not yet"),
        ],
    }
}

/// The sitting over the finished panels. What rings, what is being saved and what went wrong is said here too.
pub fn sitting_sheet(view: &View, sitting: &Sitting, now: Moment) -> SittingSheet {
    let mut sheet = sitting.sheet(now.wall);
    match super::notice(view, now) {
        Some(notice) if notice.loud && !sheet.problem.is_empty() => {
            sheet.problem = format!("{} - {}", notice.text, sheet.problem);
        }
        Some(notice) if notice.loud || sheet.problem.is_empty() => sheet.problem = notice.text,
        Some(_) | None => {}
    }
    sheet
}

/// A form, a line to be typed, or a choice.
pub trait AsForm {
    /// The form it is drawn as.
    fn as_form(&self) -> FormView;
}

/// What is drawn for a form, a line to be typed, or a choice. What rings, what is being saved and what went wrong is said
/// here too: none of it may be hidden by what lies over the bench.
pub fn form_view(view: &View, of: &impl AsForm, now: Moment) -> FormView {
    let mut form = of.as_form();
    // On an empty bench the form is all there is.
    let looks = view.room.looks.how_many();
    if looks > 0 && view.story().is_none() && matches!(view.over, Over::Form(_)) {
        form.keys.insert(1.min(form.keys.len()), key("F2", &format!("{looks} to inspect")));
    }
    if let Some(notice) = super::notice(view, now).filter(|n| n.loud || form.problem.is_empty()) {
        form.problem =
            if form.problem.is_empty() { notice.text } else { format!("{} - {}", notice.text, form.problem) };
    }
    form
}

impl AsForm for Form {
    fn as_form(&self) -> FormView {
        let field = |f: &crate::app::view::Field| FormField {
            label: f.label.to_owned(),
            value: f.shown(),
            cursor: f.cursor(),
            help: f.help.to_owned(),
            problem: f.problem.clone(),
        };
        let (problem, keys) = match &self.offer {
            None => (
                self.problem.clone(),
                vec![
                    key("Enter", "open the panel"),
                    key("Up Down", "field"),
                    key("Left Right", "change"),
                    key("Esc", "leave"),
                ],
            ),
            Some(offer) => (
                format!("{} Enter keeps this recipe, t takes {}.", offer.said, offer.name),
                vec![key("Enter", "keep it"), key("t", "take the other"), key("Esc", "back to the form")],
            ),
        };
        FormView {
            title: "A panel for the bench".to_owned(),
            fields: self.fields.iter().map(field).collect(),
            focus: self.focus,
            problem,
            keys,
        }
    }
}

impl AsForm for Line {
    fn as_form(&self) -> FormView {
        FormView {
            title: self.purpose.question().to_owned(),
            fields: vec![FormField {
                label: self.purpose.question().to_owned(),
                value: self.input.value().to_owned(),
                cursor: self.input.cursor(),
                help: self.purpose.help().to_owned(),
                problem: self.problem.clone(),
            }],
            focus: 0,
            problem: String::new(),
            keys: vec![key("Enter", "keep"), key("Esc", "forget")],
        }
    }
}

impl AsForm for Flaws {
    fn as_form(&self) -> FormView {
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
        FormView {
            title: "Do the last act again: what was wrong?".to_owned(),
            fields: Flaw::ALL.map(field).to_vec(),
            focus: self.at,
            problem: String::new(),
            keys: vec![key("Up Down", "choose"), key("Enter", "do it again"), key("Esc", "leave it")],
        }
    }
}
